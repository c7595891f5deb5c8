//! The pressure to expect at each speed; with the carrier in manual the rate that comes of it, and the pressure to set.

use super::limits::Axis;
use super::shown::{In, to_step};
use super::tried::Tried;
use super::what_if::holds;
use crate::bridge::nozzles::ClassTable;
use crate::components::table::wide_table;
use crate::text::{number, reach as told, words};
use calc::reach::expected::{Expected, along, pressure_to_set};
use calc::reach::plan::Plan;
use calc::reach::window::Window;
use calc::rig::Carrier;
use leptos::prelude::*;
use units::{Quantity, Speed, Unit, VolumePerArea};

/// What pressure gives the wanted rate at the speed looked at, with one press to take it.
pub(super) fn to_set(tried: Tried, shown_in: In) -> AnyView {
    let w = &words().reach;
    let Some(rate) = tried.rate.get() else { return ().into_any() };
    let speed = tried.speed.get();
    let setting = tried.plan.with(|plan| pressure_to_set(plan, rate, speed));
    let Some(pressure) = setting.pressure else {
        return view! { <p>{w.to_set_unknown}</p> }.into_any();
    };
    let text = (w.to_set)(
        &shown_in.r(Some(rate)),
        &shown_in.v(speed),
        &shown_in.p(Some(pressure)),
        setting.inside_window,
    );
    let set = to_step(pressure, shown_in.pressure_step);
    let other = tried.pressure.get() != Some(set);
    view! {
        <div class="reach__smallest">
            <p>{text}</p>
            {other.then(|| view! { <button type="button" class="button" on:click=move |_| tried.pressure.set(Some(set))>{(w.set_it)(&shown_in.p(Some(set)))}</button> })}
        </div>
    }
    .into_any()
}

/// One row for each whole step of speed on the axis.
pub(super) fn by_speed(
    plan: &Plan,
    window: &Window,
    droplets: Option<&ClassTable>,
    axis: Axis,
    shown_in: In,
) -> AnyView {
    let w = &words().reach;
    let rows = along(plan, steps(axis, shown_in.step))
        .iter()
        .map(|expected| row(plan, window, expected, droplets, shown_in))
        .collect();
    let heads = [w.speed, w.pressure, w.carrier, w.window, w.droplet_class];
    wide_table(w.pressures, &heads[..if droplets.is_some() { 5 } else { 4 }], rows)
}

/// Whole steps up to the end of the axis.
fn steps(axis: Axis, step: Speed) -> Vec<Speed> {
    let n = (axis.top.as_m_per_s() / step.as_m_per_s()).floor();
    let mut speeds = Vec::new();
    let mut at = 1.0;
    while at <= n {
        speeds.push(Speed::from_m_per_s(at * step.as_m_per_s()));
        at += 1.0;
    }
    speeds
}

fn row(
    plan: &Plan,
    window: &Window,
    expected: &Expected,
    droplets: Option<&ClassTable>,
    shown_in: In,
) -> Vec<String> {
    let w = &words().reach;
    let inside = window.contains(expected.speed);
    let state = match (inside, holds(plan, window, expected.speed)) {
        (_, true) => w.held,
        (true, false) if matches!(plan.rig.carrier, Some(Carrier::Manual(_))) => w.floats,
        (true, false) => w.grows,
        (false, false) => w.not_held,
    };
    let class = droplets
        .map(|table| expected.pressure.map_or_else(|| "–".to_owned(), |p| told::droplet_text(table.at(p))));
    let mut cells = vec![
        shown_in.v(expected.speed),
        shown_in.p(expected.pressure),
        shown_in.r(expected.carrier_rate),
        state.to_owned(),
    ];
    cells.extend(class);
    cells
}

const WIDTH: f64 = 480.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 160.0;
const N_POINTS: u8 = 64;

/// The carrier rate over speed at the pressure left standing, against the one wanted. The table says the same.
pub(super) fn float_plot(
    plan: &Plan,
    window: &Window,
    wanted: Option<VolumePerArea>,
    axis: Axis,
    shown_in: In,
) -> AnyView {
    let Some(Carrier::Manual(pressure)) = plan.rig.carrier else { return ().into_any() };
    let speeds = (1..=N_POINTS)
        .map(|n| Speed::from_m_per_s(axis.top.as_m_per_s() * f64::from(n) / f64::from(N_POINTS)));
    let points: Vec<(Speed, f64)> = along(plan, speeds)
        .iter()
        .filter_map(|expected| Some((expected.speed, expected.carrier_rate?.in_unit(shown_in.rate))))
        .collect();
    let wanted = wanted.map(|rate| rate.in_unit(shown_in.rate));
    // Room for twice what is wanted, or for what lands in the middle of the axis; the rest runs off the top.
    let middle = points.get(points.len() / 2).map(|(_, rate)| *rate);
    let Some(highest) = wanted.or(middle).map(|rate| rate * 2.0).filter(|rate| *rate > 0.0) else {
        return ().into_any();
    };
    let y = move |rate: f64| BOTTOM - (rate / highest).clamp(0.0, 1.0) * (BOTTOM - TOP);
    let mut path = String::new();
    for (speed, rate) in points.iter().filter(|(_, rate)| *rate <= highest) {
        let letter = if path.is_empty() { 'M' } else { 'L' };
        path.push_str(&format!("{letter}{:.1} {:.1}", axis.x(*speed), y(*rate)));
    }
    let shade =
        axis.span(window).map(|(left, right)| format!("M{left:.1} {TOP}H{right:.1}V{BOTTOM}H{left:.1}z"));
    let level = wanted.map(|rate| format!("M0 {:.1}H{WIDTH}", y(rate)));
    let title = (words().reach.float_plot)(&shown_in.p(Some(pressure)), shown_in.rate.symbol());
    let figure = wanted.map(|rate| {
        view! { <text x=format!("{:.1}", WIDTH - 2.0) y=format!("{:.1}", y(rate) - 6.0) text-anchor="end">{number::significant(rate, 3)}</text> }
    });
    view! {
        <figure class="reach__plot">
            <figcaption>{title.clone()}</figcaption>
            <svg class="drawing" viewBox=format!("0 0 {WIDTH} {:.0}", BOTTOM + 26.0) role="img" aria-label=title>
                <path class="reach__window" d=shade.unwrap_or_default() />
                <path class="reach__ghost" d=level.unwrap_or_default() />
                <path class="reach__dose reach__dose--first" d=path />
                <path class="reach__mark" d=format!("M0 {BOTTOM}H{WIDTH}") />
                {figure}
                <text x="2" y=format!("{:.1}", BOTTOM + 20.0)>"0"</text>
                <text x=format!("{:.1}", WIDTH - 2.0) y=format!("{:.1}", BOTTOM + 20.0) text-anchor="end">{shown_in.v(axis.top)}</text>
            </svg>
        </figure>
        <p class="field__hint">{words().reach.float_key}</p>
    }
    .into_any()
}
