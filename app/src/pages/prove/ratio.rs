//! What came out of a trial that compares shown with true: meter, course, pump, gauge.

use super::end;
use super::result::{budget_view, error_detail, next_view, obstacle_view, verdict_view};
use crate::bridge::trial::outcome::{self, Action};
use crate::bridge::trial::{Judged, More, Obstacle, course, gauge, meter, next_in, pump};
use crate::browser::clock;
use crate::components::dots::{DotPlot, Dots};
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::{number, prove, words};
use calc::pump_trial::Slip;
use leptos::prelude::*;
use records::rig::{RigView, SpeedBy};
use records::trial::{Status, TrialKind, TrialView};
use units::FlowRateUnit;

/// What such a trial says, or why it says nothing.
pub(super) type Judgement = Memo<Result<Judged, Obstacle>>;

/// What the trial says, anew with each run.
pub(super) fn judgement(sheet: Sheet, kind: TrialKind) -> Judgement {
    Memo::new(move |_| judge(sheet, kind))
}

/// Whether the trial still waits for runs: nothing is decided, and no better number is to be had yet.
pub(super) fn waits_for_runs(judged: &Result<Judged, Obstacle>) -> bool {
    match judged {
        Ok(judged) => !(judged.is_decided() || judged.can_take() && judged.ratio.told_apart),
        Err(_) => true,
    }
}

/// The deviation of each run that counts, by its number in the list.
pub(super) fn deviations(judged: &Result<Judged, Obstacle>) -> Vec<(usize, String)> {
    let Ok(judged) = judged else { return Vec::new() };
    let points = judged.numbers.iter().zip(&judged.ratio.runs);
    points.map(|(number, point)| (*number, number::signed_percent(point.ratio - 1.0, 2))).collect()
}

/// The outcome so far, and the press that takes it over.
#[component]
pub(super) fn Outcome(
    /// Which trial.
    kind: TrialKind,
    /// What it says.
    judged: Judgement,
) -> impl IntoView {
    let sheet = sheet();
    let status = Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status));
    let plot = Signal::derive(move || judged.read().as_ref().ok().map(plot_of).unwrap_or_default());
    let body = move || match judged.get() {
        Err(obstacle) => obstacle_view(&obstacle, sheet.system),
        Ok(judged) => view! {
            {told(sheet, kind, &judged)}
            <Dots plot=plot />
            {next_view(&judged.next)}
            {number_view(&judged)}
            {(status.get() == Some(Status::Open)).then(|| view! {
                {advice_view(sheet, kind, &judged)}
                {take_view(sheet, kind, &judged)}
            })}
            {outputs_view(sheet, &judged)}
            {budget_view(&judged.ratio.budget, judged.ratio.ratio)}
        }
        .into_any(),
    };
    view! { <section class="outcome" aria-label=words().prove.outcome aria-live="polite">{body}</section> }
}

fn rig_of(sheet: Sheet, view: &TrialView<'_>) -> Option<RigView> {
    let rig = view.rig.as_ref()?;
    sheet.ledger.book.with(|book| book.doc(rig).map(|doc| RigView::read(doc)))
}

fn judge(sheet: Sheet, kind: TrialKind) -> Result<Judged, Obstacle> {
    let judged = sheet.read(|doc| {
        let view = TrialView::read(doc);
        let rig = rig_of(sheet, &view);
        match kind {
            TrialKind::Course => course::judge(&view, rig.as_ref()),
            TrialKind::Pump => pump::judge(&view, rig.as_ref()),
            _ => meter::judge(&view, rig.as_ref()),
        }
    });
    judged.unwrap_or(Err(Obstacle::NoRuns))
}

fn plot_of(judged: &Judged) -> DotPlot {
    DotPlot {
        runs: judged.ratio.runs.iter().map(|run| run.ratio - 1.0).collect(),
        best: Some(judged.ratio.ratio - 1.0),
        expanded: judged.ratio.expanded,
        tolerance: judged.ratio.tolerance.limit.as_fraction(),
    }
}

/// Verdict, the spread, what stands out, and what this kind says besides.
fn told(sheet: Sheet, kind: TrialKind, judged: &Judged) -> AnyView {
    let w = &words().prove;
    let ratio = &judged.ratio;
    let detail = error_detail(
        ratio.error.as_fraction(),
        ratio.expanded,
        ratio.tolerance.limit.as_fraction(),
        ratio.tolerance.source,
    );
    let flags: Vec<String> = ratio.flags.iter().map(|flag| prove::flag_text(flag, &judged.numbers)).collect();
    let more = match &judged.more {
        More::Directions(gap) => Some(prove::direction_text(gap)),
        More::Wheel(wheel, unit) => Some(prove::wheel_text(wheel, *unit)),
        More::Outputs(outcome) => Some(prove::slip_text(outcome)),
        More::Nothing if kind == TrialKind::Course => Some(w.one_way.to_owned()),
        More::Nothing if kind == TrialKind::Pump => Some((w.slips)(Slip::OneOutput, "", "")),
        More::Nothing => None,
    };
    let outside = (kind == TrialKind::Meter).then(|| outside_rated(sheet)).flatten();
    let sentences: Vec<String> = flags.into_iter().chain(more).chain(outside).collect();
    let spread = ratio.spread.map_or_else(|| w.unknown.to_owned(), |s| number::percent(s / ratio.ratio, 2));
    view! {
        {verdict_view(ratio.verdict, detail)}
        <p class="figure">{(w.runs_spread)(ratio.runs.len(), &spread)}</p>
        <ul class="findings">{sentences.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul>
    }
    .into_any()
}

/// The sentence for a run at a flow for which the meter is not rated.
fn outside_rated(sheet: Sheet) -> Option<String> {
    let (number, flow, least, greatest) = sheet.read(|doc| {
        let view = TrialView::read(doc);
        meter::outside_rated(&view, rig_of(sheet, &view).as_ref())
    })??;
    let show = |flow| number::quantity(flow, least.unit, 3);
    Some((words().prove.outside_meter)(number, &show(flow), &show(least.value), &show(greatest.value)))
}

/// The number, old and new.
fn number_view(judged: &Judged) -> AnyView {
    let w = &words().prove;
    let number = &judged.number;
    let exact = number::with_uncertainty(number.exact, number.expanded, "");
    view! {
        <div class="readings readings--pair">
            <div class="reading"><span class="reading__label">{w.keyed_now}</span><span class="reading__value">{number::significant(number.old, 8)}</span></div>
            <div class="reading">
                <span class="reading__label">{w.to_key}</span>
                <span class="reading__value">{number::number(number.rounded, judged.decimals)}</span>
                <span class="reading__more">{(w.exactly)(&exact, &prove::convention_text(&judged.convention))}</span>
            </div>
        </div>
    }
    .into_any()
}

/// Whether the new number is worth taking, in words.
fn advice_view(sheet: Sheet, kind: TrialKind, judged: &Judged) -> AnyView {
    let w = &words().prove;
    let number = &judged.number;
    let old = number::significant(number.old, 8);
    let new = number::number(number.rounded, judged.decimals);
    let advice = if let Some(largest) = number.beyond_largest {
        (w.beyond_largest)(&number::significant(largest, 8))
    } else if judged.ratio.spread.is_none() {
        w.one_more_run.to_owned()
    } else if !judged.ratio.told_apart {
        (w.advise_keep)(&old)
    } else if number.rounded == number.old {
        (w.same_in_steps)(&old)
    } else {
        (w.advise_take)(&old, &new)
    };
    let moved_on = number_on_rig(sheet, kind)
        .filter(|now| (now - number.old).abs() > 1e-9 * number.old)
        .map(|now| (w.rig_moved_on)(&number::significant(now, 8), &old));
    view! {
        <p class:field__problem=number.beyond_largest.is_some()>{advice}</p>
        {moved_on.map(|text| view! { <p>{text}</p> })}
    }
    .into_any()
}

/// The number of this trial as the rig has it now; none for a wheel, which has no number of its own.
fn number_on_rig(sheet: Sheet, kind: TrialKind) -> Option<f64> {
    sheet.read(|doc| {
        let view = TrialView::read(doc);
        let rig = rig_of(sheet, &view)?;
        match kind {
            TrialKind::Meter => Some(rig.meter.number.ok()?.number),
            TrialKind::Pump => {
                let n = pump::pump_of(&view)?;
                Some(rig.pumps.iter().find(|pump| pump.n == n)?.number.ok()?.number)
            }
            _ if rig.speed.by.ok() == Some(SpeedBy::Number) => Some(rig.speed.number.ok()?.number),
            _ => None,
        }
    })?
}

/// The press that puts the new number on the rig, and the one that keeps the old.
fn take_view(sheet: Sheet, kind: TrialKind, judged: &Judged) -> AnyView {
    let w = &words().prove;
    // Without its rig on this device there is nowhere to put a number.
    let rig_here = sheet.peek(|doc| rig_of(sheet, &TrialView::read(doc)).is_some()) == Some(true);
    let can_take = judged.can_take() && rig_here;
    let told_apart = judged.ratio.told_apart;
    let end = move |action: Action| {
        let Ok(judged) = untrack(|| judge(sheet, kind)) else { return };
        let on: String = clock::now_iso().chars().take(10).collect();
        let trial = sheet.id();
        let concluded = sheet.ledger.draft(&trial).set_all(outcome::concluded(&judged, action));
        let mut drafts = vec![concluded];
        if action == Action::Taken {
            let found = sheet.peek(|doc| {
                let view = TrialView::read(doc);
                let rig = view.rig.clone()?;
                let set = sheet
                    .ledger
                    .book
                    .with_untracked(|book| outcome::take(&view, book.doc(&rig)?, &judged, &trial, &on))?;
                Some((rig, set))
            });
            // A number that cannot be put there must not be told to be there.
            let Some((rig, set)) = found.flatten() else { return };
            drafts.push(sheet.ledger.draft(&rig).set_all(set).because(trial));
        }
        sheet.ledger.save_all_then(drafts, |_| {});
    };
    view! {
        <div class="button-row">
            {can_take.then(|| view! {
                <button type="button" class="button" class:button--main=told_apart on:click=move |_| end(Action::Taken)>{w.take}</button>
            })}
            <button type="button" class="button" on:click=move |_| end(Action::Kept)>{w.keep}</button>
        </div>
        {can_take.then(|| view! { <p class="field__hint">{w.take_hint}</p> })}
    }
    .into_any()
}

/// Each output of a pump on its own, where there are several: a pump that slips at one end shows here.
fn outputs_view(sheet: Sheet, judged: &Judged) -> AnyView {
    let w = &words().prove;
    let More::Outputs(outcome) = &judged.more else { return ().into_any() };
    if outcome.outputs.len() < 2 {
        return ().into_any();
    }
    let unit =
        sheet.peek(|doc| pump::output_unit(&TrialView::read(doc))).flatten().unwrap_or(match sheet.system {
            System::Us => FlowRateUnit::UsFluidOuncePerMinute,
            System::Metric => FlowRateUnit::MillilitrePerMinute,
        });
    let rows = outcome
        .outputs
        .iter()
        .map(|one| {
            let ratio = &one.ratio;
            let error = number::signed_percent(ratio.error.as_fraction(), 2);
            let expanded = if ratio.expanded.is_finite() {
                format!("±\u{a0}{}", number::percent(ratio.expanded, 2))
            } else {
                w.unknown.to_owned()
            };
            view! {
                <tr>
                    <th scope="row">{number::quantity(one.output, unit, 3)}</th>
                    <td>{error}</td>
                    <td>{expanded}</td>
                    <td>{prove::verdict_word(ratio.verdict)}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <div class="scroll" tabindex="0" role="group" aria-label=w.verdict>
            <table class="dense">
                <thead><tr>
                    <th scope="col">{w.pump_output}</th><th scope="col">{w.off_by}</th>
                    <th scope="col">{w.uncertainty}</th><th scope="col">{w.verdict}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

/// A gauge against a reference, point by point.
#[component]
pub(super) fn GaugeResult() -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let judged = Memo::new(move |_| {
        sheet.read(|doc| gauge::judge(&TrialView::read(doc))).unwrap_or(Err(Obstacle::NoRuns))
    });
    let status = Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status));
    let conclude = move |_| {
        if let Ok(judged) = judged.get_untracked() {
            end::conclude(sheet, outcome::gauge_concluded(&judged));
        }
    };
    let plot = Signal::derive(move || match judged.read().as_ref() {
        Ok(judged) => DotPlot {
            runs: judged.outcome.points.iter().map(|p| p.error.as_pa() / p.limit.as_pa()).collect(),
            best: None,
            expanded: f64::NAN,
            tolerance: 1.0,
        },
        Err(_) => DotPlot::default(),
    });
    let body = move || match judged.get() {
        Err(obstacle) => obstacle_view(&obstacle, sheet.system),
        Ok(judged) => {
            let unit = judged.unit;
            let show = move |p: units::Pressure| number::quantity(p, unit, 3);
            let rows = judged
                .outcome
                .points
                .iter()
                .map(|point| {
                    let off = number::signed_quantity(point.error, unit, judged.outcome.expanded);
                    view! {
                        <tr>
                            <th scope="row">{show(point.reference)}</th>
                            <td>{off}</td>
                            <td>{show(point.limit)}</td>
                            <td>{prove::verdict_word(point.verdict)}</td>
                            <td>{point.flow_error.map(|e| number::signed_percent(e.as_fraction(), 1))}</td>
                        </tr>
                    }
                })
                .collect_view();
            let detail = (w.gauge_detail)(
                &show(judged.outcome.expanded),
                prove::tolerance_source(judged.limit.source),
            );
            view! {
                {verdict_view(judged.outcome.verdict, detail)}
                <div class="scroll" tabindex="0" role="group" aria-label=w.verdict>
                    <table class="dense">
                        <thead><tr>
                            <th scope="col">{w.reference_shows}</th><th scope="col">{w.off_by}</th><th scope="col">{w.allowed}</th>
                            <th scope="col">{w.verdict}</th><th scope="col">{w.flow}</th>
                        </tr></thead>
                        <tbody>{rows}</tbody>
                    </table>
                </div>
                <p class="field__hint">{w.gauge_plot}</p>
                <Dots plot=plot />
                {next_view(&next_in(judged.outcome.next, unit))}
                {(status.get() == Some(Status::Open)).then(|| view! {
                    <div class="button-row">
                        <button type="button" class="button button--main" on:click=conclude>{w.conclude}</button>
                    </div>
                })}
                {budget_view(&judged.outcome.budget, 100_000.0)}
            }
            .into_any()
        }
    };
    view! { <section class="outcome" aria-label=w.outcome aria-live="polite">{body}</section> }
}
