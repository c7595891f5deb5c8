//! What is tried beside the rig's own plan: how the carrier is run, which sections are on, the speed looked at. It stands
//! in the address too, so that a reload and the card have the same plan.

use super::shown::{In, to_step};
use crate::bridge::what_if::WhatIf;
use crate::browser::address;
use crate::route::Route;
use calc::reach::expected::along;
use calc::reach::plan::{Plan, SectionSet};
use calc::reach::window::Reach;
use calc::rig::Carrier;
use leptos::prelude::*;
use std::time::Duration;
use units::{Pressure, Quantity, Speed, VolumePerArea};

/// How long nothing must change before what takes longer is worked out.
const QUIET: Duration = Duration::from_millis(150);

/// The plan that is tried, and its parts.
#[derive(Clone, Copy)]
pub(super) struct Tried {
    /// The rig's own plan.
    own: StoredValue<Plan>,
    /// The carrier is left in manual.
    pub(super) manual: RwSignal<bool>,
    /// The rate that the console holds, or that is wanted in manual.
    pub(super) rate: RwSignal<Option<VolumePerArea>>,
    /// The pressure in manual.
    pub(super) pressure: RwSignal<Option<Pressure>>,
    /// Sections that are on.
    pub(super) on: RwSignal<SectionSet>,
    /// The speed looked at.
    pub(super) speed: RwSignal<Speed>,
    first_speed: Speed,
    /// The plan with all of this.
    pub(super) plan: Memo<Plan>,
    /// Plan and speed after nothing has changed for a moment; `None` before the first such moment.
    pub(super) calm: RwSignal<Option<(Plan, Speed)>>,
    shown_in: In,
}

impl Tried {
    /// Starts from the rig's own plan and what the address says.
    pub(super) fn new(own: Plan, reach: &Reach, what_if: WhatIf, top: Speed, shown_in: In) -> Self {
        let first_speed = own.rig.standing_speed.filter(|v| reach.window.contains(*v));
        let first_speed = first_speed.or(reach.window.high()).unwrap_or(top);
        let first_speed = floor_to(first_speed, shown_in.fine_step);
        let mut plan = own.clone();
        what_if.apply(&mut plan);
        let (rate, pressure) = starts(&plan, &own, first_speed, shown_in);
        let manual = RwSignal::new(matches!(plan.rig.carrier, Some(Carrier::Manual(_))));
        let on = RwSignal::new(plan.sections_on);
        let (rate, pressure) = (RwSignal::new(rate), RwSignal::new(pressure));
        let speed = RwSignal::new(what_if.speed.filter(|v| *v <= top).unwrap_or(first_speed));
        let own = StoredValue::new(own);
        let plan = Memo::new(move |_| {
            let mut plan = own.get_value();
            plan.sections_on = on.get();
            let carrier = if manual.get() {
                pressure.get().map(Carrier::Manual)
            } else {
                rate.get().map(Carrier::Regulated)
            };
            plan.rig.carrier = carrier.or(plan.rig.carrier);
            plan
        });
        let calm = calm(plan, speed);
        Self { own, manual, rate, pressure, on, speed, first_speed, plan, calm, shown_in }
    }

    /// How many sections the boom has.
    pub(super) fn n_sections(&self) -> usize {
        self.own.with_value(|own| own.rig.sections.len())
    }

    /// Takes carrier and sections of another plan.
    pub(super) fn take(&self, plan: &Plan) {
        self.on.set(plan.sections_on);
        match plan.rig.carrier {
            Some(Carrier::Regulated(rate)) => {
                self.rate.set(Some(rate));
                self.manual.set(false);
            }
            Some(Carrier::Manual(pressure)) => {
                self.pressure.set(Some(pressure));
                self.manual.set(true);
            }
            None => self.manual.set(false),
        }
    }

    /// Back to the rig's own plan.
    pub(super) fn reset(&self) {
        let own = self.own.get_value();
        self.take(&own);
    }

    /// What differs from the rig's own plan, as it stands in an address.
    pub(super) fn code(&self) -> String {
        let moved = Some(self.speed.get()).filter(|speed| *speed != self.first_speed);
        let what_if = self.own.with_value(|own| self.plan.with(|plan| WhatIf::between(own, plan, moved)));
        what_if.to_code(self.shown_in.rate, self.shown_in.pressure, self.shown_in.speed)
    }

    /// Keeps the address in step, whenever there is a moment of quiet.
    pub(super) fn keep_in_address(self, rig: String, in_address: String) {
        Effect::new(move |before: Option<String>| {
            let before = before.unwrap_or_else(|| in_address.clone());
            if self.calm.with(Option::is_none) {
                return before;
            }
            let code = untrack(|| self.code());
            if code != before {
                address::replace(&Route::Reach(Some(rig.clone()), code.clone()));
            }
            code
        });
    }
}

/// Rate and pressure that the two ways of running the carrier start from: the plan's own, else what it comes to at the
/// speed, at whole steps; for a pressure that nothing says the nozzles' own window or rating.
fn starts(plan: &Plan, own: &Plan, speed: Speed, shown_in: In) -> (Option<VolumePerArea>, Option<Pressure>) {
    let expected = along(plan, [speed]).first().copied();
    let rate = [plan.rig.carrier, own.rig.carrier].into_iter().flatten().find_map(|carrier| match carrier {
        Carrier::Regulated(rate) => Some(rate),
        Carrier::Manual(_) => None,
    });
    let pressure =
        [plan.rig.carrier, own.rig.carrier].into_iter().flatten().find_map(|carrier| match carrier {
            Carrier::Manual(pressure) => Some(pressure),
            Carrier::Regulated(_) => None,
        });
    let comes_to = || expected.and_then(|e| e.carrier_rate).map(|rate| to_step(rate, shown_in.rate_step));
    let needed = || {
        let nozzles = plan.rig.nozzles?;
        let needed = expected.and_then(|e| e.pressure).or(nozzles.least_pressure);
        Some(to_step(needed.unwrap_or(nozzles.rated_pressure), shown_in.pressure_step))
    };
    (rate.or_else(comes_to), pressure.or_else(needed))
}

/// At the whole step below, one step at least.
fn floor_to(speed: Speed, step: Speed) -> Speed {
    Speed::from_si((speed.as_si() / step.as_si()).floor().max(1.0) * step.as_si())
}

/// A thumb that moves a slider sets off nothing that takes longer than a frame: that waits here for a pause.
fn calm(plan: Memo<Plan>, speed: RwSignal<Speed>) -> RwSignal<Option<(Plan, Speed)>> {
    let calm = RwSignal::new(None);
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    let stop = move || {
        if let Some(handle) = waiting.try_update_value(Option::take).flatten() {
            handle.clear();
        }
    };
    Effect::new(move |_| {
        plan.track();
        speed.track();
        stop();
        let later = move || calm.set(Some((plan.get_untracked(), speed.get_untracked())));
        waiting.set_value(set_timeout_with_handle(later, QUIET).ok());
    });
    on_cleanup(stop);
    calm
}
