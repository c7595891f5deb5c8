//! What a day adds up to: each ratio with its interval and what to do about it, what cannot be told apart, what does not
//! fit, and what really went on against the label.

use super::Said;
use crate::bridge::closing::correct::{Fix, fix, kept, on_rig, outcome_of};
use crate::bridge::closing::{Closing, JobTold};
use crate::browser::clock;
use crate::pages::prove::begin_trial;
use crate::route::Route;
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::{closing as told, number, words};
use calc::balance::{Balance, Correction, Estimate, JobRates, RateApplied, Ratio, Separation};
use leptos::prelude::*;
use records::closing::DayView;
use records::fields::Measure;
use records::rig::RigView;
use records::trial::TrialKind;
use records::{DocId, ProductRate};
use units::{Quantity, Unit, VolumePerArea, VolumePerAreaUnit};

/// What the day adds up to.
#[component]
pub(super) fn Outcome(
    /// The rig.
    rig: DocId,
    /// What the day says.
    closing: Said,
    /// What each pump carries.
    products: StoredValue<Vec<String>>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().closing;
    let body = move || {
        let closing = closing.get()?;
        let balance = match &closing.balance {
            Err(error) => {
                return Some(view! { <p class="field__problem">{told::refused_text(error)}</p> }.into_any());
            }
            Ok(balance) => balance,
        };
        let products = products.get_value();
        let known = balance.estimates.iter().any(|e| e.correction != Correction::NothingKnown);
        let estimates = known.then(|| {
            let blocks = balance
                .estimates
                .iter()
                .map(|e| estimate_view(sheet, &rig, e, closing.is_odd(e.ratio), &products))
                .collect_view();
            view! { <div class="readings">{blocks}</div> }
        });
        let waiting = (!known).then_some(view! { <p class="field__hint">{w.waiting}</p> });
        let rates = closing.jobs.iter().zip(&balance.rates).map(|(job, rates)| rates_view(sheet, job, rates));
        Some(
            view! {
                {cautions(sheet, &closing, balance)}
                <h2>{w.outcome}</h2>
                {waiting}
                {estimates}
                {findings(sheet, &rig, &closing, balance, &products, known)}
                <h2>{w.rates}</h2>
                {rates.collect_view()}
            }
            .into_any(),
        )
    };
    view! { <section class="outcome" aria-label=w.outcome>{body}</section> }
}

/// A figure with its name above and what belongs to it below.
fn block(label: String, value: String, more: Vec<String>, actions: AnyView) -> AnyView {
    let more =
        more.into_iter().map(|text| view! { <span class="reading__more">{text}</span> }).collect_view();
    view! {
        <div class="reading">
            <span class="reading__label">{label}</span>
            <span class="reading__value">{value}</span>
            {more}
            {actions}
        </div>
    }
    .into_any()
}

fn fix_of(sheet: Sheet, rig: &DocId, estimate: &Estimate) -> Option<Fix> {
    let book = sheet.ledger.book;
    book.with(|book| fix(&DayView::read(book.doc(&sheet.id())?), &RigView::read(book.doc(rig)?), estimate))
}

fn estimate_view(sheet: Sheet, rig: &DocId, estimate: &Estimate, odd: bool, products: &[String]) -> AnyView {
    let w = &words().closing;
    let what = told::ratio_text(estimate.ratio, products);
    let justified = estimate.correction == Correction::Justified && !odd;
    let fix = fix_of(sheet, rig, estimate);
    let old = fix.as_ref().map(|fix| number::significant(fix.corrected.old, 8));
    let numbers = old.as_deref().zip(fix.as_ref().map(|fix| fix.new.as_str()));
    let advice = if odd { w.odd_first.to_owned() } else { told::advice_text(estimate, numbers) };
    let mut more = vec![advice];
    if estimate.correction == Correction::NothingKnown {
        return block(what, "–".to_owned(), more, ().into_any());
    }
    more.insert(0, told::interval_text(estimate.low, estimate.high));
    let done = outcome_of(estimate.ratio).and_then(|path| {
        let of =
            |field: &str| sheet.read(|doc| doc.text(&format!("outcome.{path}.{field}")).map(str::to_owned));
        Some((of("old")??, of("new")??))
    });
    if let Some((old, new)) = &done {
        more.push((w.done)(old, new));
    }
    let largest = fix.as_ref().filter(|_| justified).and_then(|fix| fix.corrected.beyond_largest);
    if let Some(largest) = largest {
        more.push((words().prove.beyond_largest)(&number::significant(largest, 8)));
    }
    let can_put = justified
        && done.is_none()
        && fix
            .as_ref()
            .is_some_and(|f| f.corrected.beyond_largest.is_none() && f.corrected.rounded != f.corrected.old);
    let put = can_put
        .then(|| put_button(sheet, rig.clone(), *estimate, fix.map(|fix| fix.new).unwrap_or_default()));
    let prove = justified.then(|| prove_button(sheet, rig.clone(), separation(estimate.ratio)));
    let actions = view! { <div class="button-row no-print">{put}{prove}</div> }.into_any();
    let actions = if justified { actions } else { ().into_any() };
    block(what, told::off_text(estimate.shown_over_true), more, actions)
}

fn separation(ratio: Ratio) -> Separation {
    match ratio {
        Ratio::Speed => Separation::Course,
        Ratio::Width => Separation::Tape,
        Ratio::Meter => Separation::Meter,
        Ratio::Pump(pump) => Separation::Pump(pump),
    }
}

/// The press that puts the new number on the rig because of this day.
fn put_button(sheet: Sheet, rig: DocId, estimate: Estimate, new: String) -> AnyView {
    let w = &words().closing;
    let put = move |_| {
        let on: String = clock::now_iso().chars().take(10).collect();
        let day = sheet.id();
        let texts = sheet.ledger.book.with_untracked(|book| {
            let (view, doc) = (DayView::read(book.doc(&day)?), book.doc(&rig)?);
            let fix = fix(&view, &RigView::read(doc), &estimate)?;
            Some((on_rig(&view, doc, &fix, &on)?, kept(&fix, &estimate)))
        });
        // A number that cannot be put there must not be told to be there.
        let Some((of_rig, of_day)) = texts else { return };
        let drafts = vec![
            sheet.ledger.draft(&rig).set_all(of_rig).because(day.clone()),
            sheet.ledger.draft(&day).set_all(of_day),
        ];
        sheet.ledger.save_all_then(drafts, |_| {});
    };
    view! {
        <button type="button" class="button" on:click=put>{(w.put_on_rig)(&new)}</button>
        <span class="field__hint">{w.put_hint}</span>
    }
    .into_any()
}

/// The press that opens the trial that would tell.
fn prove_button(sheet: Sheet, rig: DocId, by: Separation) -> AnyView {
    let label = (words().closing.prove_by)(by);
    let trial = match by {
        Separation::Tape => {
            let href = Route::Rig(rig.to_string()).to_hash();
            return view! { <a class="button" href=href>{label}</a> }.into_any();
        }
        Separation::Course => (TrialKind::Course, 0),
        Separation::Meter => (TrialKind::Meter, 0),
        Separation::Pump(pump) => (TrialKind::Pump, u32::try_from(pump + 1).unwrap_or(1)),
    };
    let begin = move |_| begin_trial(sheet.ledger, &rig, trial.0, trial.1, Some(sheet.id()), Vec::new());
    view! { <button type="button" class="button" on:click=begin>{label}</button> }.into_any()
}

/// What cannot be told apart, what does not fit, what was left out, and what few entries do not allow to conclude.
fn findings(
    sheet: Sheet,
    rig: &DocId,
    closing: &Closing,
    balance: &Balance,
    products: &[String],
    known: bool,
) -> AnyView {
    let w = &words().closing;
    let mut items: Vec<AnyView> = Vec::new();
    let mut say = |text: String| items.push(view! { <li>{text}</li> }.into_any());
    for complaint in &closing.complaints {
        let place = told::complaint_place(closing, &complaint.path);
        say((w.left_out)(&place, &told::wrong_text(&complaint.wrong, sheet.system)));
    }
    for (at, n) in &closing.left_out_elsewhere {
        say((w.left_out_elsewhere)(&told::day_text(at), *n));
    }
    let odd: Vec<_> = balance.misfits.iter().filter(|misfit| !misfit.fits).collect();
    for misfit in &odd {
        say(told::misfit_text(misfit, closing, products));
    }
    let several = balance.estimates.iter().any(|e| closing.n_comparisons(e.ratio) > 1);
    if odd.is_empty() && several {
        say(w.all_fit.to_owned());
    }
    told::limits_text(closing, products).into_iter().for_each(&mut say);
    for pair in &balance.confounded {
        let text = told::confounded_text(pair, products);
        let button = known.then(|| prove_button(sheet, rig.clone(), pair.separate_by));
        items.push(view! { <li>{text}<div class="no-print">{button}</div></li> }.into_any());
    }
    if items.is_empty() {
        return ().into_any();
    }
    view! { <h2>{w.what_to_know}</h2><ul class="findings">{items}</ul> }.into_any()
}

/// What one job really got: the carrier, and each product of which anything was read.
fn rates_view(sheet: Sheet, job: &JobTold, rates: &JobRates) -> AnyView {
    let w = &words().closing;
    let block_of = |name: String, rate: Option<RateApplied>, unit, planned, label| match rate {
        Some(rate) => rate_block(name, &rate, unit, planned, label),
        None => block(name, "–".to_owned(), vec![w.no_rate.to_owned()], ().into_any()),
    };
    let unit = job.carrier.map_or_else(|| usual(Measure::VolumePerArea, sheet.system), |typed| typed.unit);
    let planned = job.carrier.map(|typed| (number::quantity(typed.value, typed.unit, 4), Some(typed.value)));
    let mut blocks = vec![block_of(w.carrier.to_owned(), rates.carrier, unit, planned, None)];
    for (idx, (product, rate)) in job.products.iter().zip(&rates.products).enumerate() {
        if rate.is_none() && !product.any_read {
            continue;
        }
        let unit = product_unit(product, sheet.system);
        let planned = product.planned.map(|planned| match planned {
            ProductRate::PerArea(typed) => (number::quantity(typed.value, typed.unit, 4), Some(typed.value)),
            ProductRate::PerCarrier(typed) => (number::quantity(typed.value, typed.unit, 4), None),
        });
        let label = product.label.map(|typed| number::quantity(typed.value, typed.unit, 4));
        blocks.push(block_of((w.pump)(idx + 1, &product.name), *rate, unit, planned, label));
    }
    view! {
        <h3>{told::job_text(job)}</h3>
        <div class="readings">{blocks}</div>
    }
    .into_any()
}

fn usual(measure: Measure, system: System) -> VolumePerAreaUnit {
    let code = crate::text::measure::usual_unit(measure, system);
    VolumePerAreaUnit::from_code(code).unwrap_or(VolumePerAreaUnit::LitrePerHectare)
}

/// The unit of the plan, else that of the label.
fn product_unit(product: &crate::bridge::closing::ProductTold, system: System) -> VolumePerAreaUnit {
    match (product.planned, product.label) {
        (Some(ProductRate::PerArea(typed)), _) | (_, Some(typed)) => typed.unit,
        _ => usual(Measure::ProductRate, system),
    }
}

fn rate_block(
    name: String,
    rate: &RateApplied,
    unit: VolumePerAreaUnit,
    planned: Option<(String, Option<VolumePerArea>)>,
    label: Option<String>,
) -> AnyView {
    let w = &words().closing;
    let show = |rate| number::quantity(rate, unit, 3);
    let below = rate.label == Some(calc::balance::LabelVerdict::Below);
    let more = [
        Some((w.rate_more)(&show(rate.low), &show(rate.high))),
        planned.map(|(planned, rate_planned)| {
            // A plan in parts of the carrier has no rate of its own.
            let off = rate_planned.map(|p| number::signed_percent(rate.rate.as_si() / p.as_si() - 1.0, 0));
            (w.rate_planned)(&planned, off.as_deref())
        }),
        rate.shown.map(|shown| (w.rate_shown)(&show(shown))),
        label.filter(|_| below).map(|most| (w.label_below)(&most)),
    ];
    block(name, show(rate.rate), more.into_iter().flatten().collect(), ().into_any())
}

/// Products that went on above their label, or may have.
fn cautions(sheet: Sheet, closing: &Closing, balance: &Balance) -> AnyView {
    let w = &words().closing;
    let mut texts = Vec::new();
    for (job, rates) in closing.jobs.iter().zip(&balance.rates) {
        for (idx, (product, rate)) in job.products.iter().zip(&rates.products).enumerate() {
            let Some((rate, most)) = rate.as_ref().zip(product.label) else { continue };
            let Some(verdict) = rate.label else { continue };
            let unit = product_unit(product, sheet.system);
            let most = number::quantity(most.value, most.unit, 4);
            let (low, high) = (number::quantity(rate.low, unit, 3), number::quantity(rate.high, unit, 3));
            let name = (w.pump)(idx + 1, &product.name);
            texts.extend(told::label_caution(verdict, &told::job_text(job), &name, [&most, &low, &high]));
        }
    }
    if texts.is_empty() {
        return ().into_any();
    }
    let lines = texts.into_iter().map(|text| view! { <p>{text}</p> }).collect_view();
    view! { <div class="caution caution--lines" role="alert">{lines}<p>{w.label_law}</p></div> }.into_any()
}
