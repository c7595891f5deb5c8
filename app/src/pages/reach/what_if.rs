//! Speed, carrier and sections under the thumb, with the window moving beside them.

use super::limits::{Axis, Strip};
use super::pressures::to_set;
use super::shown::In;
use super::stepper::{Range, Stepper};
use super::tried::Tried;
use crate::components::choice::Choice;
use crate::route::Route;
use crate::text::{number, reach as told, words};
use calc::reach::expected::along;
use calc::reach::plan::{Plan, SectionSet};
use calc::reach::sections::{Smallest, smallest_at};
use calc::reach::window::{Reach, Window};
use calc::rig::Carrier;
use leptos::prelude::*;
use units::{Pressure, Quantity, Speed, VolumePerArea};

const REGULATED: &str = "regulated";
const MANUAL: &str = "manual";

/// Whether the carrier rate is what was planned at a speed: inside the window, not below the hold, not left in manual.
pub(super) fn holds(plan: &Plan, window: &Window, speed: Speed) -> bool {
    window.contains(speed)
        && plan.rig.hold_speed.is_none_or(|hold| hold <= speed)
        && !matches!(plan.rig.carrier, Some(Carrier::Manual(_)))
}

/// A stepper over a quantity, in the unit shown.
fn stepper<Q: Quantity>(
    label: &'static str,
    value: RwSignal<Option<Q>>,
    unit: Q::Unit,
    step: Q,
    greatest: f64,
) -> AnyView {
    let step = step.in_unit(unit);
    let number = Signal::derive(move || value.get().map_or(0.0, |v| v.in_unit(unit)));
    let shown =
        Signal::derive(move || value.get().map_or_else(|| "–".to_owned(), |v| number::quantity(v, unit, 3)));
    let set = Callback::new(move |v: f64| value.set(Some(Q::from_unit(v, unit))));
    let range = Range { least: step, greatest: (greatest / step).ceil().max(1.0) * step, step };
    view! { <Stepper label=label number=number on_set=set range=range shown=shown /> }.into_any()
}

/// The steppers, the sections as switches, and the ways on.
#[component]
pub(super) fn WhatIfPanel(
    /// What is tried.
    tried: Tried,
    /// What it can hold.
    reach: Memo<Reach>,
    /// What the rig's own plan can hold.
    ghost: StoredValue<Reach>,
    /// The axis of speeds.
    axis: Axis,
    /// The rig's id.
    rig: String,
    /// Units.
    shown_in: In,
) -> impl IntoView {
    let w = &words().reach;
    let plan = tried.plan;
    let at_speed = move || {
        let (plan, speed) = (plan.read(), tried.speed.get());
        let held = reach.with(|reach| holds(&plan, &reach.window, speed));
        told::at_speed(along(&plan, [speed]).first(), shown_in.speed, shown_in.pressure, held)
    };
    let to_card = move || Route::Card(rig.clone(), tried.code()).to_hash();
    view! {
        <section class="reach__panel" aria-label=w.what_if>
            <Strip reach=reach ghost=ghost speed=tried.speed axis=axis shown_in=shown_in />
            <p class="reach__now"><output aria-live="polite">{at_speed}</output></p>
            <div class="steppers">
                <h2 class="unseen">{w.what_if}</h2>
                {speed_stepper(tried, axis, shown_in)}
                {carrier(tried, shown_in)}
                {sections(tried, shown_in)}
            </div>
            <div class="button-row">
                <a class="button button--main" href=to_card>{w.to_card}</a>
                <button type="button" class="button" on:click=move |_| tried.reset()>{w.reset}</button>
            </div>
        </section>
    }
    .into_any()
}

fn speed_stepper(tried: Tried, axis: Axis, shown_in: In) -> AnyView {
    let step = shown_in.fine_step.in_unit(shown_in.speed);
    let number = Signal::derive(move || tried.speed.get().in_unit(shown_in.speed));
    let shown = Signal::derive(move || shown_in.v(tried.speed.get()));
    let set = Callback::new(move |v: f64| tried.speed.set(Speed::from_unit(v, shown_in.speed)));
    let greatest = (axis.top.in_unit(shown_in.speed) / step).floor() * step;
    let range = Range { least: step, greatest, step };
    view! { <Stepper label=words().reach.speed number=number on_set=set range=range shown=shown /> }
        .into_any()
}

/// Held by the console, or left in manual.
fn carrier(tried: Tried, shown_in: In) -> AnyView {
    let (w, rig) = (&words().reach, &words().rig);
    let (rate, pressure) = (tried.rate, tried.pressure);
    let greatest_rate = rate.get_untracked().map_or(0.0, |v: VolumePerArea| v.in_unit(shown_in.rate) * 3.0);
    let window = tried.plan.with_untracked(|plan| plan.rig.nozzles.and_then(|set| set.greatest_pressure));
    let greatest_pressure =
        window.or(pressure.get_untracked()).map_or(0.0, |p: Pressure| p.in_unit(shown_in.pressure) * 1.5);
    let chosen = Signal::derive(move || if tried.manual.get() { MANUAL } else { REGULATED }.to_owned());
    let options =
        vec![(REGULATED.to_owned(), w.regulated.to_owned()), (MANUAL.to_owned(), w.manual.to_owned())];
    let choose = Callback::new(move |code: String| tried.manual.set(code == MANUAL));
    let rates = move |label| {
        rate.get_untracked().map(|_| stepper(label, rate, shown_in.rate, shown_in.rate_step, greatest_rate))
    };
    let body = move || {
        if tried.manual.get() {
            let pressures = pressure.get_untracked().map(|_| {
                stepper(
                    w.manual_pressure,
                    pressure,
                    shown_in.pressure,
                    shown_in.pressure_step,
                    greatest_pressure,
                )
            });
            view! {
                {pressures}
                {rates(w.wanted_rate)}
                {move || to_set(tried, shown_in)}
            }
            .into_any()
        } else {
            rates(w.rate).into_any()
        }
    };
    view! {
        <Choice legend=rig.carrier_mode options=options chosen=chosen on_choose=choose />
        {body}
    }
    .into_any()
}

/// How many sections, which, and the smallest set that would still do.
fn sections(tried: Tried, shown_in: In) -> AnyView {
    let w = &words().reach;
    let n = tried.n_sections();
    if n == 0 {
        return ().into_any();
    }
    // A boom has at most some hundred sections.
    #[allow(clippy::cast_precision_loss)]
    let (number, range) = (
        Signal::derive(move || tried.on.get().count() as f64),
        Range { least: 1.0, greatest: n as f64, step: 1.0 },
    );
    // Clamped to whole numbers from 1 by the stepper.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let set = Callback::new(move |value: f64| tried.on.set(SectionSet::all((value.round() as usize).min(n))));
    let shown = Signal::derive(move || (w.sections_on)(tried.on.get().count(), n));
    let widths: Vec<String> = tried.plan.with_untracked(|plan| {
        plan.rig.sections.iter().map(|s| number::quantity(s.width, shown_in.length, 3)).collect()
    });
    let switches = widths
        .into_iter()
        .enumerate()
        .map(|(idx, width)| {
            let label = (w.switch)(idx + 1, &width);
            let is_on = move || tried.on.get().contains(idx);
            let press = move |_| {
                tried.on.update(|set| *set = if set.contains(idx) { set.without(idx) } else { set.with(idx) });
            };
            view! {
                <button type="button" class="button reach__switch" aria-pressed=move || is_on().to_string() aria-label=label on:click=press>
                    <strong>{idx + 1}</strong>
                    <span>{width}</span>
                </button>
            }
        })
        .collect_view();
    view! {
        <Stepper label=w.sections number=number on_set=set range=range shown=shown />
        <div class="reach__switches" role="group" aria-label=w.switches>{switches}</div>
        {move || smallest(tried, shown_in)}
    }
    .into_any()
}

fn smallest(tried: Tried, shown_in: In) -> AnyView {
    // There from the first: what came later would move the links below it from under a thumb.
    let at_first = || (tried.plan.get_untracked(), tried.speed.get_untracked());
    let (plan, speed) = tried.calm.get().unwrap_or_else(at_first);
    let smallest = smallest_at(&plan, speed);
    let text = told::smallest_text(&smallest, speed, shown_in.speed, shown_in.length);
    let take = match smallest {
        Smallest::Set { set, .. } if set.sections_on != plan.sections_on => Some(set.sections_on),
        _ => None,
    };
    view! {
        <div class="reach__smallest">
            <p>{text}</p>
            {take.map(|set| view! { <button type="button" class="button" on:click=move |_| tried.on.set(set)>{words().reach.take_set}</button> })}
        </div>
    }
    .into_any()
}
