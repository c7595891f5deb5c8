//! What came out of a nozzle catch: bars against the band, each nozzle's state, what to do with it.

use super::end;
use super::result::obstacle_view;
use crate::bridge::trial::catch::{CatchJudged, judge};
use crate::bridge::trial::{Obstacle, outcome};
use crate::components::bars::{Bar, BarChart, BarMark, Bars};
use crate::state::sheet::{Sheet, sheet};
use crate::text::{number, prove, words};
use calc::catch_trial::NozzleState;
use calc::verdict::Verdict;
use leptos::prelude::*;
use records::rig::RigView;
use records::trial::{Status, TrialView};
use units::Quantity;

/// The outcome so far.
#[component]
pub(super) fn Outcome() -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let judged = Memo::new(move |_| read(sheet));
    let chart = Signal::derive(move || judged.read().as_ref().ok().map(chart_of).unwrap_or_default());
    let status = Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status));
    let conclude = move |_| {
        let Ok(judged) = judged.get_untracked() else { return };
        let counts = judged.outcome.counts;
        let verdict = if counts.worn + counts.blocked + counts.contradictory > 0 {
            Verdict::Out
        } else if counts.not_proven_yet > 0 {
            Verdict::NotProvenYet
        } else {
            Verdict::Within
        };
        let fields = vec![
            ("verdict", outcome::verdict_code(verdict).to_owned()),
            ("runs", judged.outcome.nozzles.len().to_string()),
            ("mean", judged.outcome.mean.as_si().to_string()),
            ("worn", counts.worn.to_string()),
            ("blocked", counts.blocked.to_string()),
            ("fine", counts.fine.to_string()),
        ];
        end::conclude(sheet, outcome::with_status(fields));
    };
    let body = move || match judged.get() {
        Err(obstacle) => obstacle_view(&obstacle, sheet.system),
        Ok(judged) => view! {
            {told(&judged)}
            <Bars chart=chart />
            {table(&judged)}
            {(status.get() == Some(Status::Open)).then(|| view! {
                <button type="button" class="button button--main" on:click=conclude>{w.conclude}</button>
            })}
        }
        .into_any(),
    };
    view! { <section class="outcome" aria-label=w.outcome>{body}</section> }
}

fn read(sheet: Sheet) -> Result<CatchJudged, Obstacle> {
    let judged = sheet.read(|doc| {
        let view = TrialView::read(doc);
        let rig = view
            .rig
            .as_ref()
            .and_then(|rig| sheet.ledger.book.with(|book| book.doc(rig).map(|d| RigView::read(d))));
        judge(&view, rig.as_ref())
    });
    judged.unwrap_or(Err(Obstacle::NoRuns))
}

fn chart_of(judged: &CatchJudged) -> BarChart {
    let outcome = &judged.outcome;
    let mean = outcome.mean.in_unit(judged.unit);
    let limit = judged.mean_tolerance.limit.as_fraction();
    let bars = outcome
        .nozzles
        .iter()
        .zip(&judged.labels)
        .map(|(nozzle, label)| {
            let mark = match nozzle.state {
                NozzleState::Worn => BarMark::High,
                NozzleState::Blocked => BarMark::Low,
                _ => BarMark::Fine,
            };
            Bar { label: label.clone(), value: nozzle.flow.in_unit(judged.unit), mark }
        })
        .collect();
    let counts = outcome.counts;
    BarChart {
        bars,
        band: Some((mean * (1.0 - limit), mean * (1.0 + limit))),
        mean: Some(mean),
        summary: (words().prove.catch_summary)(
            outcome.nozzles.len(),
            counts.fine,
            counts.worn,
            counts.blocked,
        ),
    }
}

/// Mean, spread, and how many are what.
fn told(judged: &CatchJudged) -> AnyView {
    let w = &words().prove;
    let outcome = &judged.outcome;
    let counts = outcome.counts;
    let of_nominal = outcome.mean_of_nominal.map(|c| {
        (w.mean_of_nominal)(&number::signed_percent(c.error.as_fraction(), 1), prove::verdict_word(c.verdict))
    });
    view! {
        <div class="readings">
            <div class="reading">
                <span class="reading__label">{w.mean_flow}</span>
                <span class="reading__value">{number::quantity(outcome.mean, judged.unit, 4)}</span>
                <span class="reading__more">{of_nominal}</span>
            </div>
            <div class="reading">
                <span class="reading__label">{w.cv}</span>
                <span class="reading__value">{outcome.cv.map_or_else(|| "–".to_owned(), |cv| number::percent(cv.as_fraction(), 2))}</span>
            </div>
            <div class="reading">
                <span class="reading__label">{w.total_flow}</span>
                <span class="reading__value">{number::quantity(outcome.total, judged.unit, 4)}</span>
            </div>
        </div>
        <p>{(w.catch_summary)(outcome.nozzles.len(), counts.fine, counts.worn, counts.blocked)}</p>
        <p class="field__hint">{(w.catch_limits)(
            &number::percent(judged.nominal_tolerance.limit.as_fraction(), 2),
            prove::tolerance_source(judged.nominal_tolerance.source),
            &number::percent(judged.mean_tolerance.limit.as_fraction(), 2),
            prove::tolerance_source(judged.mean_tolerance.source),
        )}</p>
    }
    .into_any()
}

/// The same as a table: who cannot see the bars reads this.
fn table(judged: &CatchJudged) -> AnyView {
    let w = &words().prove;
    let percent = |c: Option<calc::catch_trial::Compared>| {
        c.map_or_else(|| "–".to_owned(), |c| number::signed_percent(c.error.as_fraction(), 1))
    };
    let rows = judged
        .outcome
        .nozzles
        .iter()
        .zip(&judged.labels)
        .map(|(nozzle, label)| {
            view! {
                <tr>
                    <th scope="row">{label.clone()}</th>
                    <td>{number::quantity(nozzle.flow, judged.unit, 3)}</td>
                    <td>{percent(nozzle.of_nominal)}</td>
                    <td>{percent(nozzle.of_mean)}</td>
                    <td>{prove::nozzle_state(nozzle.state)}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <div class="scroll">
            <table>
                <thead><tr>
                    <th scope="col">{w.nozzle}</th><th scope="col">{w.flow}</th><th scope="col">{w.of_nominal}</th>
                    <th scope="col">{w.of_mean}</th><th scope="col">{w.state}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}
