//! The section check: sections go on one by one from the left; what the console should show stands beside what it shows.

use super::end;
use super::result::obstacle_view;
use crate::bridge::trial::sections::{SectionsJudged, judge, width_unit};
use crate::bridge::trial::{Obstacle, outcome};
use crate::components::boom::{BoomDrawing, DrawnSection};
use crate::components::doc_field::DocField;
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::{number, prove, words};
use calc::section_check::SectionVerdict;
use calc::verdict::Verdict;
use leptos::prelude::*;
use records::rig::RigView;
use records::trial::{Status, TrialView};
use units::Unit;

fn rig(sheet: Sheet) -> Option<RigView> {
    let id = sheet.read(|doc| TrialView::read(doc).rig.clone()).flatten()?;
    sheet.ledger.book.with(|book| book.doc(&id).map(|doc| RigView::read(doc)))
}

fn read(sheet: Sheet) -> Result<SectionsJudged, Obstacle> {
    let rig = rig(sheet).ok_or(Obstacle::NoRuns)?;
    let metric = sheet.system == System::Metric;
    sheet.read(|doc| judge(&TrialView::read(doc), &rig, metric)).unwrap_or(Err(Obstacle::NoRuns))
}

/// One box for each step.
#[component]
pub(super) fn Form() -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let judged = Memo::new(move |_| read(sheet).ok());
    // As many sections are drawn on as have been read, and the next one.
    let drawn = Signal::derive(move || {
        let judged = judged.get();
        let read =
            judged.as_ref().map_or(0, |j| j.outcome.steps.iter().take_while(|s| s.shown.is_some()).count());
        rig(sheet).map_or_else(Vec::new, |rig| {
            let unit = width_unit(&rig, sheet.system == System::Metric);
            rig.sections
                .iter()
                .enumerate()
                .map(|(idx, section)| DrawnSection {
                    width_m: section.working_width.map_or(0.0, units::Length::as_m),
                    label: section
                        .working_width
                        .map_or_else(|| "?".to_owned(), |width| number::quantity(width, unit, 4)),
                    on: idx <= read,
                })
                .collect()
        })
    });
    let count = Memo::new(move |_| rig(sheet).map_or(0, |rig| rig.sections.len()));
    let unit_code =
        untrack(|| rig(sheet)).map_or("ft", |rig| width_unit(&rig, sheet.system == System::Metric).code());
    view! {
        <BoomDrawing sections=drawn />
        <For each=move || 1..=count.get() key=|n| *n let(n)>
            <DocField
                path=format!("run.{n}.width")
                label=(w.sections_to)(n)
                hint=Signal::derive(move || judged.read().as_ref().and_then(|j| {
                    j.outcome.steps.get(n - 1).map(|step| (w.should_show)(&number::quantity(step.expected, j.unit, 5)))
                }).unwrap_or_default())
                unit_first=unit_code
            />
        </For>
    }
}

/// Step by step, and what is likely behind a difference.
#[component]
pub(super) fn Outcome() -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let judged = Memo::new(move |_| read(sheet));
    let status = Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status));
    let conclude = move |_| {
        let Ok(judged) = judged.get_untracked() else { return };
        let all_read = judged.outcome.steps.iter().all(|step| step.shown.is_some());
        let verdict = match (judged.outcome.agrees, all_read) {
            (true, true) => Verdict::Within,
            (_, false) => Verdict::NotProvenYet,
            (false, true) => Verdict::Out,
        };
        let fields = vec![("verdict", outcome::verdict_code(verdict).to_owned())];
        end::conclude(sheet, outcome::with_status(fields));
    };
    let body = move || match judged.get() {
        Err(obstacle) => obstacle_view(&obstacle, sheet.system),
        Ok(judged) => {
            let show = |l: Option<units::Length>| {
                l.map_or_else(|| "–".to_owned(), |l| number::quantity(l, judged.unit, 5))
            };
            let rows = judged
                .outcome
                .steps
                .iter()
                .enumerate()
                .map(|(idx, step)| {
                    let mark = match step.verdict {
                        SectionVerdict::Agrees => "✓",
                        SectionVerdict::NotRead => "·",
                        _ => "▲",
                    };
                    let before = idx.checked_sub(1).and_then(|before| judged.outcome.steps.get(before));
                    let own_m = step.expected.as_m() - before.map_or(0.0, |step| step.expected.as_m());
                    let hint = prove::section_hint(step.verdict, step.own_off.map(|off| (off.as_m(), own_m)));
                    view! {
                        <tr>
                            <th scope="row">{idx + 1}</th>
                            <td>{show(Some(step.expected))}</td>
                            <td>{show(step.shown)}</td>
                            <td>{mark}" "{prove::section_verdict(step.verdict)}" "{hint}</td>
                        </tr>
                    }
                })
                .collect_view();
            let boom = judged
                .outcome
                .boom_error
                .map(|e| (w.boom_error)(&number::signed_percent(e.as_fraction(), 2)));
            view! {
                <div class="scroll">
                    <table>
                        <thead><tr>
                            <th scope="col">{w.sections_on}</th><th scope="col">{w.expected}</th>
                            <th scope="col">{w.console_shows}</th><th scope="col">{w.verdict}</th>
                        </tr></thead>
                        <tbody>{rows}</tbody>
                    </table>
                </div>
                <p>{boom}</p>
                {(status.get() == Some(Status::Open)).then(|| view! {
                    <button type="button" class="button button--main" on:click=conclude>{w.conclude}</button>
                })}
            }
            .into_any()
        }
    };
    view! { <section class="outcome" aria-label=w.outcome>{body}</section> }
}
