//! Speed, carrier flow, pressure and pump output against time, as drawings and in a table.

use crate::bridge::drive::digest::{Course, Digest};
use crate::state::pass_run::PassRun;
use crate::text::pass::{output_unit, time_text};
use crate::text::plumbing::Shown;
use crate::text::{number, words};
use leptos::prelude::*;
use std::fmt::Write;
use units::{Duration, Quantity, Unit};

/// One drawing: its name, its unit, its courses; the first is the thick one.
struct Chart {
    what: &'static str,
    unit: &'static str,
    courses: Vec<(&'static str, Course)>,
}

/// The four drawings and the table that says the same.
pub(super) fn charts(run: PassRun, shown_in: Shown) -> AnyView {
    let w = &words().pass;
    let body = move || {
        run.courses.get().map(|digest| {
            let charts = charts_of(&digest, shown_in);
            view! {
                <div class="pass__charts">{charts.iter().map(drawing).collect_view()}</div>
                <p class="field__hint">{w.pressure_key}</p>
                <details class="group">
                    <summary>{w.in_numbers}</summary>
                    {table(&charts)}
                </details>
            }
        })
    };
    view! {
        <section class:pass__old=move || run.is_stale() aria-label=w.against_time>
            <h2>{w.against_time}</h2>
            {body}
        </section>
    }
    .into_any()
}

fn charts_of(digest: &Digest, shown_in: Shown) -> Vec<Chart> {
    let w = &words().pass;
    let outcome = &digest.outcome;
    let pressure = shown_in.pressure;
    vec![
        Chart {
            what: w.speed,
            unit: shown_in.speed.symbol(),
            courses: vec![("", Course::of(outcome, &|m| Some(m.speed.in_unit(shown_in.speed))))],
        },
        Chart {
            what: w.flow,
            unit: shown_in.flow.symbol(),
            courses: vec![("", Course::of(outcome, &|m| Some(m.carrier.in_unit(shown_in.flow))))],
        },
        Chart {
            what: w.pressure,
            unit: pressure.symbol(),
            courses: vec![
                (w.at_nozzles, Course::of(outcome, &|m| Some(m.nozzle_pressure?.in_unit(pressure)))),
                (w.at_supply, Course::of(outcome, &|m| Some(m.supply_pressure?.in_unit(pressure)))),
            ],
        },
        Chart {
            what: w.pump_output,
            unit: output_unit(shown_in).symbol(),
            courses: vec![("", Course::of(outcome, &|m| Some(m.pump.in_unit(output_unit(shown_in)))))],
        },
    ]
}

/// Tenths of the drawing's units: whole numbers are written faster, and finer than a screen shows.
const WIDE: f64 = 4800.0;
const HIGH: f64 = 1500.0;
/// Room above the courses for the greatest value in figures.
const HEADROOM: f64 = 1.16;

fn drawing(chart: &Chart) -> AnyView {
    let w = &words().pass;
    let spans = chart.courses.iter().filter_map(|(_, course)| course.span());
    let (least, greatest) = spans.fold((f64::INFINITY, 0.0_f64), |(lo, hi), (l, h)| (lo.min(l), hi.max(h)));
    let lasts_s = chart.courses.first().map_or(0.0, |(_, course)| course.lasts_s());
    if !(0.0 < greatest && 0.0 < lasts_s && least.is_finite()) {
        return ().into_any();
    }
    let paths = chart
        .courses
        .iter()
        .enumerate()
        .map(|(idx, (_, course))| {
            let class = if idx == 0 { "pass__course" } else { "pass__course pass__course--second" };
            view! { <path class=class d=path(course, greatest * HEADROOM, lasts_s) /> }
        })
        .collect_view();
    let text = |value: f64| format!("{}\u{a0}{}", number::significant(value, 3), chart.unit);
    let time = time_text(Duration::from_s(lasts_s));
    let said = (w.chart_text)(chart.what, &text(least), &text(greatest), &time);
    view! {
        <figure class="pass__chart">
            <figcaption>{(w.chart)(chart.what, chart.unit)}</figcaption>
            <svg class="drawing" viewBox="0 0 480 176" role="img" aria-label=said>
                <g transform="translate(0 4) scale(.1)">{paths}<path class="pass__foot" d="M0 1500H4800" /></g>
                <text x="2" y="18">{number::significant(greatest, 3)}</text>
                <text x="2" y="172">"0"</text>
                <text x="478" y="172" text-anchor="end">{time}</text>
            </svg>
        </figure>
    }
    .into_any()
}

/// A staircase through the pieces; those too short to be seen are left out.
fn path(course: &Course, top: f64, lasts_s: f64) -> String {
    let mut path = String::with_capacity(course.pieces.len() * 12);
    let (mut at, mut last) = (0, None);
    for (to_s, value) in &course.pieces {
        let to = rounded(to_s / lasts_s * WIDE);
        if to == at {
            continue;
        }
        let y = value.map(|value| rounded(HIGH - value / top * HIGH));
        // Writing to a string cannot fail.
        let _ = match (y, last) {
            (None, _) => Ok(()),
            (Some(y), Some(before)) if y == before => write!(path, "H{to}"),
            (Some(y), Some(_)) => write!(path, "V{y}H{to}"),
            (Some(y), None) => write!(path, "M{at} {y}H{to}"),
        };
        (at, last) = (to, y);
    }
    path
}

fn rounded(value: f64) -> i32 {
    #[allow(clippy::cast_possible_truncation, reason = "within the drawing")]
    let whole = value.round() as i32;
    whole
}

const N_ROWS: u32 = 12;

fn table(charts: &[Chart]) -> AnyView {
    let w = &words().pass;
    let courses: Vec<(String, &Course)> = charts
        .iter()
        .flat_map(|chart| {
            chart.courses.iter().map(|(part, course)| {
                let what = if part.is_empty() { chart.what.to_owned() } else { (*part).to_owned() };
                (format!("{what} ({})", chart.unit), course)
            })
        })
        .collect();
    let lasts_s = courses.first().map_or(0.0, |(_, course)| course.lasts_s());
    let rows = (0..=N_ROWS)
        .map(|n| {
            let time_s = lasts_s * f64::from(n) / f64::from(N_ROWS);
            let cells = courses
                .iter()
                .map(|(_, course)| {
                    let text =
                        course.at(time_s).map_or_else(|| "–".to_owned(), |v| number::significant(v, 3));
                    view! { <td>{text}</td> }
                })
                .collect_view();
            view! { <tr><th scope="row">{time_text(Duration::from_s(time_s))}</th>{cells}</tr> }
        })
        .collect_view();
    view! {
        <div class="scroll" tabindex="0" role="group" aria-label=w.against_time>
            <table>
                <thead>
                    <tr>
                        <th scope="col">{w.time}</th>
                        {courses.iter().map(|(label, _)| view! { <th scope="col">{label.clone()}</th> }).collect_view()}
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}
