//! The standing run: what should come out while the truck stands and the console pretends a speed, and what did.

use super::end;
use super::result::{error_detail, obstacle_view, verdict_view};
use crate::bridge::trial::standing::{judge, plan, sections_on};
use crate::bridge::trial::{Obstacle, outcome};
use crate::components::boom::{BoomDrawing, DrawnSection};
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::{number, prove, words};
use calc::standing_run::{Expected, Line};
use leptos::prelude::*;
use records::rig::RigView;
use records::trial::{Status, TrialView};
use units::{
    Area, AreaUnit, Duration, FlowRate, FlowRateUnit, Length, LengthUnit, Pressure, PressureUnit, Quantity,
    Volume, VolumeUnit,
};

fn rig(sheet: Sheet) -> Option<RigView> {
    let id = sheet.read(|doc| TrialView::read(doc).rig.clone()).flatten()?;
    sheet.ledger.book.with(|book| book.doc(&id).map(|doc| RigView::read(doc)))
}

/// How many pumps the rig of this trial has.
pub(super) fn n_pumps(sheet: Sheet) -> usize {
    rig(sheet).map_or(0, |rig| rig.pumps.len())
}

/// Sections as switches, and the prediction for one minute.
#[component]
pub(super) fn Plan() -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let on = Memo::new(move |_| {
        let n = rig(sheet).map_or(0, |rig| rig.sections.len());
        sheet.read(|doc| sections_on(&TrialView::read(doc), n)).unwrap_or_default()
    });
    let drawn = Signal::derive(move || {
        let on = on.get();
        let unit = if sheet.system == System::Metric { LengthUnit::Metre } else { LengthUnit::Foot };
        rig(sheet).map_or_else(Vec::new, |rig| {
            rig.sections
                .iter()
                .zip(on)
                .map(|(section, on)| DrawnSection {
                    width_m: section.working_width.map_or(0.0, Length::as_m),
                    label: section
                        .working_width
                        .map_or_else(|| "?".to_owned(), |width| number::quantity(width, unit, 4)),
                    on,
                })
                .collect()
        })
    });
    let press = move |idx: usize| {
        let mut now = on.get_untracked();
        if let Some(switch) = now.get_mut(idx) {
            *switch = !*switch;
        }
        let text: Vec<String> =
            now.iter().enumerate().filter(|(_, on)| **on).map(|(idx, _)| (idx + 1).to_string()).collect();
        sheet.set_one("setup.sections", text.join(","));
    };
    let prediction = move || {
        let rig = rig(sheet).ok_or(Obstacle::NoRuns)?;
        sheet
            .read(|doc| plan(&TrialView::read(doc), &rig, Duration::from_min(1.0)))
            .unwrap_or(Err(Obstacle::NoRuns))
    };
    view! {
        <BoomDrawing sections=drawn />
        <div class="button-row" role="group" aria-label=w.sections_on>
            <For each=move || 0..on.read().len() key=|idx| *idx let(idx)>
                <button
                    type="button"
                    class="button"
                    aria-pressed=move || on.read().get(idx).copied().unwrap_or(false).to_string()
                    on:click=move |_| press(idx)
                >
                    {move || (w.section_switch)(idx + 1, on.read().get(idx).copied().unwrap_or(false))}
                </button>
            </For>
        </div>
        {move || match prediction() {
            Err(obstacle) => obstacle_view(&obstacle, sheet.system),
            Ok(expected) => readings(&expected, sheet.system),
        }}
    }
}

fn units_of(system: System) -> (FlowRateUnit, VolumeUnit, AreaUnit, PressureUnit, VolumeUnit) {
    match system {
        System::Us => (
            FlowRateUnit::UsGallonPerMinute,
            VolumeUnit::UsGallon,
            AreaUnit::Acre,
            PressureUnit::Psi,
            VolumeUnit::UsFluidOunce,
        ),
        System::Metric => (
            FlowRateUnit::LitrePerMinute,
            VolumeUnit::Litre,
            AreaUnit::Hectare,
            PressureUnit::Bar,
            VolumeUnit::Millilitre,
        ),
    }
}

/// The prediction in large figures.
fn readings(expected: &Expected, system: System) -> AnyView {
    let w = &words().prove;
    let (flow, volume, area, pressure, small) = units_of(system);
    let mut rows: Vec<(String, String)> = Vec::new();
    if let Some(q) = expected.prediction.shown.flow {
        rows.push((w.shown_flow.to_owned(), number::quantity(q, flow, 4)));
    }
    if let Some(v) = expected.shown.volume {
        rows.push((w.after_a_minute.to_owned(), number::quantity(v, volume, 4)));
    }
    rows.push((w.shown_area.to_owned(), number::quantity(expected.shown.area, area, 4)));
    if let Some(p) = expected.prediction.pressure {
        rows.push((w.nozzle_pressure.to_owned(), number::quantity(p, pressure, 3)));
    }
    if let Some(v) = expected.per_nozzle {
        rows.push((w.each_nozzle.to_owned(), number::quantity(v, small, 3)));
    }
    for (idx, product) in expected.shown.products.iter().enumerate() {
        if let Some(v) = product {
            rows.push(((w.pump_after_a_minute)(idx + 1), number::quantity(*v, small, 4)));
        }
    }
    view! {
        <h2>{w.prediction}</h2>
        <div class="readings">
            {rows
                .into_iter()
                .map(|(label, value)| view! {
                    <div class="reading"><span class="reading__label">{label}</span><span class="reading__value">{value}</span></div>
                })
                .collect_view()}
        </div>
    }
    .into_any()
}

/// Each line that was seen against what was predicted.
#[component]
pub(super) fn Outcome() -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let judged = Memo::new(move |_| {
        let rig = rig(sheet).ok_or(Obstacle::NoRuns)?;
        sheet.read(|doc| judge(&TrialView::read(doc), &rig)).unwrap_or(Err(Obstacle::NoRuns))
    });
    let status = Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status));
    let conclude = move |_| {
        let verdict = judged.get_untracked().ok().and_then(|judged| judged.verdict);
        let Some(verdict) = verdict else { return };
        let fields = vec![("verdict", outcome::verdict_code(verdict).to_owned())];
        end::conclude(sheet, outcome::with_status(fields));
    };
    let body = move || match judged.get() {
        Err(obstacle) => obstacle_view(&obstacle, sheet.system),
        Ok(judged) => {
            let lines = judged
                .lines
                .iter()
                .map(|line| {
                    let detail = error_detail(
                        line.error.as_fraction(),
                        line.expanded.as_fraction(),
                        judged_tolerance(sheet),
                        calc::verdict::ToleranceSource::Iso16122RateControl,
                    );
                    let title = (w.line_detail)(
                        &prove::line_label(line.line),
                        &line_text(line.line, line.expected_si, sheet.system),
                        &line_text(line.line, line.seen_si, sheet.system),
                    );
                    view! { <li><p>{title}</p>{verdict_view(line.verdict, detail)}</li> }
                })
                .collect_view();
            view! {
                <ul>{lines}</ul>
                {(status.get() == Some(Status::Open) && judged.verdict.is_some()).then(|| view! {
                    <button type="button" class="button button--main" on:click=conclude>{w.conclude}</button>
                })}
            }
            .into_any()
        }
    };
    view! { <section class="outcome" aria-label=w.outcome>{body}</section> }
}

/// What is allowed: as typed, else the default.
fn judged_tolerance(sheet: Sheet) -> f64 {
    let typed = sheet.read(|doc| {
        crate::bridge::trial::setup::<units::Share>(&TrialView::read(doc), "tolerance")
            .ok()
            .flatten()
            .map(|t| t.value)
    });
    typed.flatten().unwrap_or(calc::verdict::Tolerance::RATE_CONTROL.limit).as_fraction()
}

/// A line's SI number in the rig's habit.
fn line_text(line: Line, si: f64, system: System) -> String {
    let (flow, volume, area, pressure, small) = units_of(system);
    match line {
        Line::ShownFlow => number::quantity(FlowRate::from_si(si), flow, 4),
        Line::ShownArea => number::quantity(Area::from_si(si), area, 4),
        Line::Pressure => number::quantity(Pressure::from_si(si), pressure, 3),
        Line::ShownVolume | Line::DrawnCarrier => number::quantity(Volume::from_si(si), volume, 4),
        _ => number::quantity(Volume::from_si(si), small, 4),
    }
}
