//! Share of the boom at full dose against distance, as steps. The table beside it says the same.

use crate::text::plumbing::Shown;
use crate::text::{lag as told, number, words};
use calc::plumbing::lag::LagSheet;
use leptos::prelude::*;
use std::fmt::Write;
use units::{Length, Quantity, Unit};

const WIDTH: f64 = 480.0;
const LEFT: f64 = 58.0;
const TOP: f64 = 10.0;
const BOTTOM: f64 = 170.0;

/// The chart.
pub(super) fn chart(sheet: &LagSheet, shown_in: Shown) -> AnyView {
    let Some(end) = sheet.dose_from.last().map(|step| step.distance.as_m()) else { return ().into_any() };
    let x = |m: f64| LEFT + m / (end * 1.08).max(1e-9) * (WIDTH - LEFT);
    let y = |share: f64| BOTTOM - share.clamp(0.0, 1.0) * (BOTTOM - TOP);
    let mut line = format!("M{LEFT} {BOTTOM}");
    for step in &sheet.dose_from {
        // Writing to a string cannot fail.
        let _ = write!(line, "H{:.1}V{:.1}", x(step.distance.as_m()), y(step.share.as_fraction()));
    }
    let _ = write!(line, "H{WIDTH}");
    let grid: String =
        [0.25, 0.5, 0.75, 1.0].map(|share| format!("M{LEFT} {:.1}H{WIDTH}", y(share))).concat();
    let shares = [0.0, 0.5, 1.0]
        .map(|share| {
            view! { <text x=format!("{:.1}", LEFT - 6.0) y=format!("{:.1}", y(share) + 5.0) text-anchor="end">{number::percent(share, 3)}</text> }
        })
        .collect_view();
    let distances = [0.0, 0.25, 0.5, 0.75, 1.0]
        .map(|share| {
            let here = Length::from_m(end * share).in_unit(shown_in.length);
            view! { <text x=format!("{:.1}", x(end * share)) y=format!("{:.1}", BOTTOM + 20.0) text-anchor="middle">{number::significant(here, 2)}</text> }
        })
        .collect_view();
    view! {
        <svg class="drawing" viewBox=format!("0 0 {WIDTH} {:.0}", BOTTOM + 26.0) role="img" aria-label=told::chart_text(sheet, shown_in)>
            <path class="lag__grid" d=grid />
            <path class="lag__steps" d=line />
            <path class="reach__mark" d=format!("M{LEFT} {BOTTOM}H{WIDTH}") />
            {shares}
            {distances}
        </svg>
        <p class="field__hint">{(words().lag.chart_axis)(Unit::symbol(shown_in.length))}</p>
    }
    .into_any()
}
