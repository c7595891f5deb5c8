//! Dose on the ground over speed, a drawing for each pump, against its label maximum. The table beside it says the same.

use super::shown::In;
use crate::text::{reach as told, words};
use calc::reach::doses::{DoseLine, Doses};
use calc::reach::plan::WhichRate;
use leptos::prelude::*;
use units::{Quantity, Speed, Unit};

const WIDTH: f64 = 480.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 180.0;
/// Below the hold, and all over where a dose moves with speed; from the hold on a held dose is a straight line.
const N_POINTS: u8 = 48;

/// The drawing of one pump; nothing where no dose is known at the fast end.
pub(super) fn plot(
    pump_idx: usize,
    lines: &[&DoseLine],
    doses: &Doses,
    hold: Option<Speed>,
    top: Speed,
    shown_in: In,
) -> Option<AnyView> {
    let unit = told::product_unit(shown_in.rate);
    let label = lines.iter().find_map(|line| line.label).map(|label| label.in_unit(unit));
    // Room for every dose at the fast end and for the label; what grows past that runs off the top.
    let at_top = lines.iter().filter_map(|line| line.law.at(top)).map(|dose| dose.in_unit(unit));
    let highest = at_top.chain(label).fold(0.0, f64::max) * 1.6;
    if !(highest.is_finite() && highest > 0.0) {
        return None;
    }
    let x = move |speed: Speed| (speed.as_m_per_s() / top.as_m_per_s()).clamp(0.0, 1.0) * WIDTH;
    let y = move |dose: f64| BOTTOM - (dose / highest).clamp(0.0, 1.0) * (BOTTOM - TOP);
    let curves = lines
        .iter()
        .map(|line| {
            let class = match (line.rate.which, line.rate.presses) {
                (WhichRate::First, 0) => "reach__dose reach__dose--first",
                (WhichRate::Second, 0) => "reach__dose reach__dose--second",
                _ => "reach__dose",
            };
            let mut path = String::new();
            let mut straight = false;
            for idx in 1..=N_POINTS {
                let speed = Speed::from_m_per_s(top.as_m_per_s() * f64::from(idx) / f64::from(N_POINTS));
                let Some(dose) = line.law.at(speed).map(|dose| dose.in_unit(unit)) else { continue };
                // A straight line needs its ends alone.
                let inside =
                    idx < N_POINTS && line.law.held().is_some() && hold.is_none_or(|hold| hold < speed);
                if dose <= highest && !(inside && !path.is_empty() && straight) {
                    straight = inside;
                    let letter = if path.is_empty() { 'M' } else { 'L' };
                    path.push_str(&format!("{letter}{:.1} {:.1}", x(speed), y(dose)));
                }
            }
            view! { <path class=class d=path /> }
        })
        .collect_view();
    let window = doses.window.is_open().then(|| {
        let left = doses.window.low().map_or(0.0, x);
        let right = doses.window.high().map_or(WIDTH, x);
        view! { <rect class="reach__window" x=format!("{left:.1}") y=format!("{TOP:.1}") width=format!("{:.1}", (right - left).max(1.0)) height=format!("{:.1}", BOTTOM - TOP) /> }
    });
    let limit = label.map(|label| {
        let ticks: String = (0..12).map(|k| format!("M{} {:.1}v-8", k * 40 + 20, y(label))).collect();
        let figure = crate::text::number::significant(label, 4);
        view! {
            <path class="reach__label" d=format!("M0 {:.1}H{WIDTH}{ticks}", y(label)) />
            <text x=format!("{:.1}", WIDTH - 2.0) y=format!("{:.1}", y(label) - 12.0) text-anchor="end">{figure}</text>
        }
    });
    let held =
        hold.map(|hold| view! { <path class="reach__hold" d=format!("M{:.1} {TOP}V{BOTTOM}", x(hold)) /> });
    let ends = view! {
        <text x="2" y=format!("{:.1}", BOTTOM + 20.0)>"0"</text>
        <text x=format!("{:.1}", WIDTH - 2.0) y=format!("{:.1}", BOTTOM + 20.0) text-anchor="end">{crate::text::number::quantity(top, shown_in.speed, 3)}</text>
    };
    let title = (words().reach.plot)(pump_idx + 1, Unit::symbol(unit));
    let said = format!("{title}. {}", told::doses_text(lines, shown_in.speed, shown_in.rate));
    Some(
        view! {
            <figure class="reach__plot">
                <figcaption>{title}</figcaption>
                <svg class="drawing" viewBox=format!("0 0 {WIDTH} {:.0}", BOTTOM + 26.0) role="img" aria-label=said>
                    {window}
                    {curves}
                    {held}
                    {limit}
                    <path class="reach__mark" d=format!("M0 {BOTTOM}H{WIDTH}") />
                    {ends}
                </svg>
            </figure>
        }
        .into_any(),
    )
}
