//! What came out of a trial that compares shown with true: meter, course, pump, gauge.

use super::result::{budget_view, error_detail, next_view, obstacle_view, verdict_view};
use crate::bridge::trial::outcome::{self, Action};
use crate::bridge::trial::{Judged, More, Obstacle, course, gauge, meter, next_in, pump};
use crate::browser::clock;
use crate::components::dots::{DotPlot, Dots};
use crate::state::sheet::{Sheet, sheet};
use crate::text::{number, prove, words};
use leptos::prelude::*;
use records::rig::RigView;
use records::trial::{Status, TrialKind, TrialView};
use units::{Quantity, Unit};

/// The outcome so far, and the press that takes it over.
#[component]
pub(super) fn Outcome(
    /// Which trial.
    kind: TrialKind,
) -> impl IntoView {
    let sheet = sheet();
    if kind == TrialKind::Gauge {
        return gauge_result(sheet);
    }
    let judged = Memo::new(move |_| judge(sheet, kind));
    let status = Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status));
    let plot = Signal::derive(move || judged.read().as_ref().ok().map(plot_of).unwrap_or_default());
    let body = move || match judged.get() {
        Err(obstacle) => obstacle_view(&obstacle, sheet.system),
        Ok(judged) => view! {
            {told(&judged)}
            <Dots plot=plot />
            {next_view(&judged.next)}
            {(status.get() == Some(Status::Open)).then(|| take_view(sheet, kind, &judged))}
            {budget_view(&judged.ratio.budget, judged.ratio.ratio)}
        }
        .into_any(),
    };
    view! { <section class="outcome" aria-label=words().prove.outcome>{body}</section> }.into_any()
}

fn judge(sheet: Sheet, kind: TrialKind) -> Result<Judged, Obstacle> {
    let judged = sheet.read(|doc| {
        let view = TrialView::read(doc);
        let rig = view
            .rig
            .as_ref()
            .and_then(|rig| sheet.ledger.book.with(|book| book.doc(rig).map(|d| RigView::read(d))));
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

/// Verdict, flags, the number old and new, and what this kind says besides.
fn told(judged: &Judged) -> AnyView {
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
        More::Nothing => None,
        More::Directions(gap) => Some(prove::direction_text(gap)),
        More::Outputs(outcome) => Some(prove::slip_text(outcome)),
    };
    let old = number::significant(judged.number.old, 8);
    let new = number::number(judged.number.rounded, judged.decimals);
    let exact = number::with_uncertainty(judged.number.exact, judged.number.expanded, "");
    view! {
        {verdict_view(ratio.verdict, detail)}
        <ul class="findings">{flags.into_iter().chain(more).map(|text| view! { <li>{text}</li> }).collect_view()}</ul>
        <div class="readings">
            <div class="reading"><span class="reading__label">{w.keyed_now}</span><span class="reading__value">{old}</span></div>
            <div class="reading">
                <span class="reading__label">{w.to_key}</span>
                <span class="reading__value">{new}</span>
                <span class="reading__more">{(w.exactly)(&exact, &prove::convention_text(&judged.convention))}</span>
            </div>
        </div>
        {judged.number.beyond_largest.map(|largest| view! {
            <p class="field__problem">{(w.beyond_largest)(&number::significant(largest, 8))}</p>
        })}
    }
    .into_any()
}

/// The press that puts the new number on the rig, and the one that keeps the old.
fn take_view(sheet: Sheet, kind: TrialKind, judged: &Judged) -> AnyView {
    let w = &words().prove;
    let can_take = judged.can_take();
    let advise_keep = !judged.ratio.told_apart;
    let end = move |action: Action| {
        let Ok(judged) = judge(sheet, kind) else { return };
        let on: String = clock::now_iso().chars().take(10).collect();
        let trial = sheet.id();
        let found = sheet.peek(|doc| {
            let view = TrialView::read(doc);
            let rig = view.rig.clone()?;
            let set = sheet.ledger.book.with_untracked(|book| {
                let rig_doc = book.doc(&rig)?;
                outcome::take(&view, rig_doc, &judged, &trial, &on)
            });
            Some((rig, set))
        });
        let mut concluded = sheet.ledger.draft(&trial);
        concluded.set =
            outcome::concluded(&judged, action).into_iter().map(|(path, text)| (path, Some(text))).collect();
        let mut drafts = vec![concluded];
        if let (Action::Taken, Some(Some((rig, Some(set))))) = (action, found) {
            drafts.push(sheet.ledger.draft(&rig).set_all(set).because(trial));
        }
        sheet.ledger.save_all_then(drafts, |_| {});
    };
    view! {
        {advise_keep.then(|| view! { <p>{w.advise_keep}</p> })}
        <div class="button-row">
            {can_take.then(|| view! {
                <button type="button" class="button button--main" on:click=move |_| end(Action::Taken)>{w.take}</button>
            })}
            <button type="button" class="button" on:click=move |_| end(Action::Kept)>{w.keep}</button>
        </div>
    }
    .into_any()
}

/// A gauge against a reference, point by point.
fn gauge_result(sheet: Sheet) -> AnyView {
    let w = &words().prove;
    let judged = Memo::new(move |_| {
        sheet.read(|doc| gauge::judge(&TrialView::read(doc))).unwrap_or(Err(Obstacle::NoRuns))
    });
    let status = Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status));
    let conclude = move |_| {
        if let Ok(judged) = judged.get_untracked() {
            let mut draft = sheet.ledger.draft(sheet.id());
            draft.set = outcome::gauge_concluded(&judged)
                .into_iter()
                .map(|(path, text)| (path, Some(text)))
                .collect();
            sheet.ledger.save_then(draft, |_| {});
        }
    };
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
                    let off =
                        format!("{}\u{a0}{}", number::number(point.error.in_unit(unit), 2), unit.symbol());
                    view! {
                        <tr>
                            <th scope="row">{show(point.reference)}</th>
                            <td>{off}</td>
                            <td>{show(point.limit)}</td>
                            <td>{point.flow_error.map(|e| number::signed_percent(e.as_fraction(), 1))}</td>
                            <td>{prove::verdict_word(point.verdict)}</td>
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
                <div class="scroll">
                    <table>
                        <thead><tr>
                            <th scope="col">{w.reference_shows}</th><th scope="col">{w.off_by}</th><th scope="col">{w.allowed}</th>
                            <th scope="col">{w.flow_effect}</th><th scope="col">{w.verdict}</th>
                        </tr></thead>
                        <tbody>{rows}</tbody>
                    </table>
                </div>
                {next_view(&next_in(judged.outcome.next, unit))}
                {(status.get() == Some(Status::Open)).then(|| view! {
                    <button type="button" class="button button--main" on:click=conclude>{w.conclude}</button>
                })}
                {budget_view(&judged.outcome.budget, 100_000.0)}
            }
            .into_any()
        }
    };
    view! { <section class="outcome" aria-label=w.outcome>{body}</section> }.into_any()
}
