//! Droplet classes along the speed axis, by the user's own table. Nothing is said where the table says nothing.

use super::limits::Axis;
use super::shown::In;
use crate::bridge::nozzles::{ClassTable, OwnNozzles};
use crate::components::table::sentences;
use crate::text::{reach as told, words};
use calc::reach::expected::along;
use calc::reach::nozzle_choice::Droplets;
use calc::reach::plan::Plan;
use leptos::prelude::*;
use units::Speed;

/// How finely the axis is looked at: a change of class is found to a five-hundredth of the axis.
const N_POINTS: u16 = 500;
const WIDTH: f64 = 480.0;

/// Speeds over which one class, or one pair of classes, holds.
#[derive(Clone, Debug, PartialEq)]
struct Stretch {
    from: Speed,
    to: Speed,
    class: String,
}

/// The classes of the set on the rig along the axis: a drawing and a sentence; nothing without a table.
#[component]
pub(super) fn DropletAxis(
    /// The plan as it stands.
    plan: Memo<Plan>,
    /// Droplet tables.
    own: StoredValue<OwnNozzles>,
    /// The axis.
    axis: Axis,
    /// Units.
    shown_in: In,
) -> impl IntoView {
    let stretches = Memo::new(move |_| {
        own.with_value(|own| own.on_rig.as_ref().map(|table| stretches(&plan.read(), table, axis)))
    });
    let body = move || stretches.with(|found| found.as_ref().map(|found| drawn(found, axis, shown_in)));
    let odd = own.with_value(|own| {
        own.unreadable.iter().map(|(set, _)| (words().reach.droplets_odd)(*set)).collect::<Vec<_>>()
    });
    view! {
        {body}
        {sentences(odd)}
    }
    .into_any()
}

fn stretches(plan: &Plan, table: &ClassTable, axis: Axis) -> Vec<Stretch> {
    let speeds = (1..=N_POINTS)
        .map(|n| Speed::from_m_per_s(axis.top.as_m_per_s() * f64::from(n) / f64::from(N_POINTS)));
    let mut found: Vec<Stretch> = Vec::new();
    let mut open = false;
    for expected in along(plan, speeds) {
        let said = expected.pressure.map(|pressure| table.at(pressure)).filter(|d| *d != Droplets::Outside);
        let Some(class) = said.map(told::droplet_text) else {
            open = false;
            continue;
        };
        match found.last_mut() {
            Some(last) if open && last.class == class => last.to = expected.speed,
            _ => {
                let from = found.last().filter(|_| open).map_or(expected.speed, |last| last.to);
                found.push(Stretch { from, to: expected.speed, class });
            }
        }
        open = true;
    }
    found
}

fn drawn(found: &[Stretch], axis: Axis, shown_in: In) -> AnyView {
    let w = &words().reach;
    let texts: Vec<String> = found
        .iter()
        .map(|stretch| (w.droplets_from)(&stretch.class, &shown_in.v(stretch.from), &shown_in.v(stretch.to)))
        .collect();
    let said = (w.droplets)(&texts);
    let parts = found
        .iter()
        .map(|stretch| {
            let (left, right) = (axis.x(stretch.from), axis.x(stretch.to));
            // About 8 units a letter; what does not fit is said in the sentence.
            let fits = f64::from(u16::try_from(stretch.class.chars().count()).unwrap_or(u16::MAX)) * 8.0 < right - left;
            view! {
                <path class="reach__stretch" d=format!("M{left:.1} 2H{right:.1}V28H{left:.1}z") />
                {fits.then(|| view! { <text x=format!("{:.1}", (left + right) / 2.0) y="20" text-anchor="middle">{stretch.class.clone()}</text> })}
            }
        })
        .collect_view();
    view! {
        <svg class="drawing" viewBox=format!("0 0 {WIDTH} 30") aria-hidden="true">{parts}</svg>
        <p>{said}</p>
    }
    .into_any()
}
