//! For a plan that does not work: the smallest single changes that make it work, each one worked out anew.
//!
//! No table of remedies lives here. How each family of changes is searched is in the private `search`.

use units::{FlowRate, Pressure, Share, Speed, VolumePerArea};

use super::doses::{any_refused, refused_from};
use super::flows::{Boom, Flows};
use super::limits::Ends;
use super::nozzle_choice::{Candidate, OwnSet};
use super::plan::{Plan, Problem, SectionSet, WhichRate};
use super::search;
use super::window::{Window, window_of};
use crate::rig::{NozzleSet, ProductRate};

/// What a plan must do to count as working.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Goal {
    /// The window must hold these speeds, slowest and fastest. `None`: any window will do.
    pub speeds: Option<(Speed, Speed)>,
    /// The window must be at least so wide, ≥ 0. A window of one speed cannot be driven.
    pub breadth: Speed,
}

/// How finely changes are tried. Each is finite and > 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// Carrier rates tried are whole multiples of this, e.g. 0.5 gal/ac or 5 L/ha.
    pub carrier: VolumePerArea,
    /// Pressures of a carrier left in manual, likewise.
    pub pressure: Pressure,
    /// Product rates are tried in whole multiples of this share of the rate as it is.
    pub product: Share,
    /// Top and hold speeds tried are whole multiples of this.
    pub speed: Speed,
}

/// One change to a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// Another nozzle set. A nominal size is taken with the pressure window of the set on the rig.
    Nozzles {
        /// Which.
        candidate: Candidate,
        /// Its numbers.
        nozzles: NozzleSet,
    },
    /// Another carrier rate.
    CarrierRate {
        /// As it is.
        from: VolumePerArea,
        /// As it should be.
        to: VolumePerArea,
    },
    /// Another pressure of a carrier left in manual.
    ManualPressure {
        /// As it is.
        from: Pressure,
        /// As it should be.
        to: Pressure,
    },
    /// Fewer or more sections.
    Sections {
        /// As they are.
        from: SectionSet,
        /// As they should be.
        to: SectionSet,
    },
    /// Another product rate, never above the label maximum.
    ProductRate {
        /// Place of the pump.
        pump_idx: usize,
        /// Which of its rates.
        which: WhichRate,
        /// As it is.
        from: ProductRate,
        /// As it should be.
        to: ProductRate,
    },
    /// The product of one pump through another one, and the other way round where that has one.
    SwapProducts {
        /// Place of one pump.
        pump_idx: usize,
        /// Place of the other.
        with_pump_idx: usize,
    },
    /// Do without the second rate.
    WithoutSecond {
        /// Place of the pump.
        pump_idx: usize,
    },
    /// Do without the nudge.
    WithoutNudge {
        /// Place of the pump.
        pump_idx: usize,
    },
    /// Another minimum-speed hold. `None`: none.
    HoldSpeed {
        /// As it is.
        from: Speed,
        /// As it should be.
        to: Option<Speed>,
    },
    /// A higher top speed.
    TopSpeed {
        /// As it is.
        from: Speed,
        /// As it should be.
        to: Speed,
    },
    /// Drive at other speeds than the wanted ones: the plan's own window. `None` where nothing limits that side.
    Drive {
        /// No slower than this.
        slowest: Option<Speed>,
        /// No faster than this.
        fastest: Option<Speed>,
    },
    /// An injection pump with another range: what it must give so that it limits nothing that the rest can hold.
    PumpRange {
        /// Place of the pump.
        pump_idx: usize,
        /// Its least output must not be above this.
        least: Option<FlowRate>,
        /// Its greatest output must not be below this.
        greatest: Option<FlowRate>,
    },
    /// A meter with another range, likewise.
    MeterRange {
        /// Its least flow must not be above this.
        least: Option<FlowRate>,
        /// Its greatest flow must not be below this.
        greatest: Option<FlowRate>,
    },
    /// A supply pump of at least this flow, agitation and reserve being the same shares of it.
    SupplyFlow {
        /// The flow.
        greatest: FlowRate,
    },
}

/// A change that makes the plan work.
#[derive(Clone, Debug, PartialEq)]
pub struct Suggestion {
    /// The change.
    pub change: Change,
    /// The plan with it.
    pub plan: Plan,
    /// What that plan holds.
    pub window: Window,
    /// How large the change is: the logarithm of the ratio of new to old, by size. `None` where that means nothing.
    pub size: Option<f64>,
}

/// What can be done.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// Nothing needs to be done.
    Works,
    /// Each of these alone makes the plan work. Within a family of changes the smallest one down and the smallest one
    /// up. May be empty: no single change that was tried does.
    Changes(Vec<Suggestion>),
    /// Too much is missing to say.
    Unknown(Vec<Problem>),
}

/// The smallest single changes that make a plan work.
///
/// A plan works when its window is open, as broad as the goal asks, holds the wanted speeds, and no dose in it passes a
/// label maximum. Every suggestion is a whole plan that was computed anew and meets the goal; along a family no step
/// nearer to the plan works (carrier rates, pressures and product rates between a quarter and four times the present
/// one). Not every step is computed for that: with the carrier rate held every end of every limit falls as a rate rises, so
/// where even the most favourable ends of a stretch of steps do not meet the goal, none of its steps does.
///
/// Sections: of all sets that leave out some of the sections that are on, the one that leaves out the fewest, of those the
/// one that gives up the least width; the same for sets that add some. Sets that do both are not tried. Beyond 8192 choices
/// by kind of section (more than twelve that all differ) only some orders are: from both ends, from the left, from the right,
/// narrowest first, widest first.
///
/// | family                     | tried                                                              |
/// |----------------------------|--------------------------------------------------------------------|
/// | nozzles                    | nominal sizes (ISO 10625, from memory) and own sets, nearest first |
/// | carrier rate, pressure     | whole multiples of a step, nearest first                           |
/// | sections                   | every set with fewer, every set with more, nearest first           |
/// | product rate               | in shares of the present one, nearest first                        |
/// | other pump                 | the product swapped with every other pump                          |
/// | second rate, nudge         | left out                                                           |
/// | hold                       | lower by whole steps, then none                                    |
/// | speed                      | the plan's own window instead of the wanted speeds; the top speed  |
/// | pump, meter, supply pump   | the range needed so that this part limits nothing                  |
///
/// # Example
/// By hand: 20 gal/ac at 12 mph on 20 in is 0.808 gal/min. An 0.4 at 40 psi would need 163 psi, above its 60; at most
/// 0.4 × √(60/40) = 0.49 gal/min, so no more than 5940 × 0.49 ÷ (12 × 20) = 12.1 gal/ac: 12 on steps of a half.
/// ```
/// # use calc::reach::make_it_work::{Change, Goal, Outcome, Steps, make_it_work};
/// # use calc::reach::plan::Plan;
/// # use calc::rig::{Carrier, NozzleSet, Rig, Section};
/// # use units::{FlowRate, Length, Pressure, Share, Speed, VolumePerArea};
/// let nozzles = NozzleSet {
///     rated_flow: FlowRate::from_us_gal_per_min(0.4), rated_pressure: Pressure::from_psi(40.0),
///     least_pressure: Some(Pressure::from_psi(15.0)), greatest_pressure: Some(Pressure::from_psi(60.0)), spacing: None,
/// };
/// let rig = Rig {
///     sections: vec![Section { width: Length::from_in(240.0), n_nozzles: 12 }], nozzles: Some(nozzles),
///     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))), ..Rig::blank()
/// };
/// let goal = Goal {
///     speeds: Some((Speed::from_mph(10.0), Speed::from_mph(12.0))),
///     breadth: Speed::from_mph(0.0),
/// };
/// let steps = Steps {
///     carrier: VolumePerArea::from_us_gal_per_ac(0.5), pressure: Pressure::from_psi(5.0),
///     product: Share::from_percent(1.0), speed: Speed::from_mph(0.5),
/// };
/// let Outcome::Changes(changes) = make_it_work(&Plan::new(rig), goal, steps, &[]) else { panic!() };
/// let rate = changes.iter().find_map(|s| match s.change { Change::CarrierRate { to, .. } => Some(to), _ => None });
/// assert!(rate.is_some_and(|r| (r.as_us_gal_per_ac() - 12.0).abs() < 1e-9));
/// ```
#[must_use]
pub fn make_it_work(plan: &Plan, goal: Goal, steps: Steps, own: &[OwnSet]) -> Outcome {
    let mut problems = Vec::new();
    let speeds = goal.speeds.into_iter().flat_map(|(slowest, fastest)| [slowest, fastest]);
    for got in speeds.chain([steps.speed]) {
        if !(got.as_m_per_s().is_finite() && got.as_m_per_s() > 0.0) {
            problems.push(Problem::WantedSpeed { got });
        }
    }
    if let Some((slowest, fastest)) = goal.speeds
        && slowest > fastest
    {
        problems.push(Problem::WantedSpeed { got: fastest });
    }
    if !(goal.breadth.as_m_per_s().is_finite() && goal.breadth.as_m_per_s() >= 0.0) {
        problems.push(Problem::WantedSpeed { got: goal.breadth });
    }
    if !problems.is_empty() {
        return Outcome::Unknown(problems);
    }
    let task = Task { plan, goal, steps, own };
    let judged = judge(plan, goal);
    if judged.window == Window::Unknown {
        let flows = Flows::new(plan);
        let mut problems = flows.problems.clone();
        flows.set_problems(plan.sections_on, &mut problems);
        return Outcome::Unknown(problems);
    }
    if judged.works {
        return Outcome::Works;
    }
    Outcome::Changes(search::every_family(&task, &judged))
}

/// A plan to be mended.
pub(super) struct Task<'a> {
    pub(super) plan: &'a Plan,
    pub(super) goal: Goal,
    pub(super) steps: Steps,
    pub(super) own: &'a [OwnSet],
}

/// How a plan does against a goal.
pub(super) struct Judged {
    pub(super) window: Window,
    /// Some dose passes its label maximum in the window.
    pub(super) refused: bool,
    pub(super) works: bool,
}

pub(super) fn judge(plan: &Plan, goal: Goal) -> Judged {
    let flows = Flows::new(plan);
    let boom = flows.boom(plan.sections_on);
    judge_flows(&flows, boom.as_ref(), goal)
}

fn judge_flows(flows: &Flows, boom: Option<&Boom>, goal: Goal) -> Judged {
    let window = window_of(flows, boom);
    let refused = any_refused(flows, boom, &window);
    let (low_m_s, high_m_s) =
        (window.low().map_or(0.0, Speed::as_m_per_s), window.high().map_or(f64::INFINITY, Speed::as_m_per_s));
    let works = window.is_open() && !refused && holds_goal(Ends { low_m_s, high_m_s }, goal);
    Judged { window, refused, works }
}

/// The same answer as [`judge`], at a fraction of the cost: nothing but the ends of the window is worked out.
pub(super) fn works_at_all(flows: &Flows, boom: Option<&Boom>, goal: Goal) -> bool {
    flows.ends(boom).is_some_and(|ends| holds_goal(ends, goal) && !refused_from(flows, boom, ends.low_m_s))
}

/// Whether speeds between these ends, if there are any, meet a goal.
pub(super) fn holds_goal(ends: Ends, goal: Goal) -> bool {
    let Ends { low_m_s, high_m_s } = ends;
    if low_m_s > high_m_s {
        return false;
    }
    // A trace, since a range that was worked out backward from a window must count as holding it.
    const TRACE: f64 = 1e-9;
    let broad = high_m_s - low_m_s >= goal.breadth.as_m_per_s() * (1.0 - TRACE);
    let wanted = goal.speeds.is_none_or(|(slowest, fastest)| {
        low_m_s <= slowest.as_m_per_s() * (1.0 + TRACE) && fastest.as_m_per_s() <= high_m_s * (1.0 + TRACE)
    });
    broad && wanted
}

impl Task<'_> {
    /// The suggestion, if the changed plan works.
    pub(super) fn works(&self, change: Change, plan: Plan, size: Option<f64>) -> Option<Suggestion> {
        let judged = judge(&plan, self.goal);
        judged.works.then_some(Suggestion { change, plan, window: judged.window, size })
    }

    /// The plan with something changed.
    pub(super) fn with(&self, change: impl FnOnce(&mut Plan)) -> Plan {
        let mut plan = self.plan.clone();
        change(&mut plan);
        plan
    }
}
