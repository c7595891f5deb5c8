//! What the operator's card says, as data. Words, units and layout are the app's.

use units::{Length, Share, Speed};

use super::doses::{DoseLaw, Passes, Refusal, doses};
use super::expected::{Expected, along};
use super::plan::{Limit, Plan, Problem, RateInForce, SectionSet};
use super::sections::{CountWindow, by_count};
use super::turns::{Direction, TurnRadius, turn_limits};
use super::window::{Window, window};
use crate::rig::Carrier;

/// The card.
#[derive(Clone, Debug, PartialEq)]
pub struct CabCard {
    /// Speeds to keep.
    pub window: Window,
    /// The slowest speed at which the rate is really held, see [`super::window::Reach::rate_held_from`].
    pub rate_held_from: Option<Speed>,
    /// The minimum-speed hold.
    pub hold: Option<Speed>,
    /// Sections that are on.
    pub sections_on: SectionSet,
    /// Their working width.
    pub width: Option<Length>,
    /// What to expect at the slowest speed of the window.
    pub at_slowest: Option<Expected>,
    /// What to expect at each whole step of speed inside the window.
    pub rows: Vec<Expected>,
    /// What to expect at the fastest.
    pub at_fastest: Option<Expected>,
    /// What each position of each pump's switches does to the dose.
    pub switches: Vec<SwitchEffect>,
    /// Windows with fewer sections, from all to one.
    pub by_count: Vec<CountWindow>,
    /// What never to do.
    pub never: Vec<Never>,
    /// Why the plan is refused. Not empty: this card must not be used before the plan is changed.
    pub refused: Vec<Refusal>,
    /// What may pass its label maximum in the window, as far as its numbers are proven.
    pub doubtful: Vec<Refusal>,
    /// What is missing or makes no sense.
    pub problems: Vec<Problem>,
}

/// What a switch position does to the dose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwitchEffect {
    /// Place of the pump in the rig's list.
    pub pump_idx: usize,
    /// The rate that the switch and the nudge put in force.
    pub rate: RateInForce,
    /// Dose over speed.
    pub law: DoseLaw,
    /// How much more (or, when negative, less) than the first rate; `None` without a first rate to compare with.
    pub against_first: Option<Share>,
    /// Where it passes the label maximum; `None` without one.
    pub passes: Option<Passes>,
}

/// What the operator must never do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Never {
    /// Spray slower than this: the limit is broken.
    SlowerThan {
        /// The speed.
        speed: Speed,
        /// What breaks.
        limit: Limit,
    },
    /// Spray faster than this: the limit is broken.
    FasterThan {
        /// The speed.
        speed: Speed,
        /// What breaks.
        limit: Limit,
    },
    /// Use this rate at all: it passes the label maximum.
    Use {
        /// Place of the pump.
        pump_idx: usize,
        /// The rate.
        rate: RateInForce,
    },
    /// Spray slower than this at a rate: the dose then passes the label maximum. For each pump only the rate that passes
    /// it at the highest speed.
    PastLabelBelow {
        /// Place of the pump.
        pump_idx: usize,
        /// The rate.
        rate: RateInForce,
        /// The speed.
        speed: Speed,
    },
    /// Stand still with the boom on: the hold, or a carrier left in manual, keeps the output up.
    StandWithBoomOn {
        /// The minimum-speed hold; `None` where it is the carrier in manual.
        hold: Option<Speed>,
    },
    /// Turn tighter than this at a rate with the boom on: the inner end passes the label maximum. Only the widest such
    /// radius.
    TurnTighterThan {
        /// Radius of the path of the boom's middle.
        radius: Length,
        /// Place of the pump.
        pump_idx: usize,
        /// The rate.
        rate: RateInForce,
    },
}

/// A card with more rows than this cannot be read from a seat; the step is then too small for the window.
const MOST_ROWS: usize = 40;

/// The card of a plan.
///
/// `step` is the distance of the speeds in the table, usually 1 mph or 2 km/h; rows stand at its whole multiples inside
/// the window, at most 40. Where nothing limits the window's low end the table begins at one step, where nothing limits
/// the high end it ends ten steps on. A step that is zero, negative or not finite gives no rows and
/// [`Problem::WantedSpeed`].
///
/// ```
/// # use calc::reach::{cab_card::cab_card, plan::Plan};
/// # use calc::rig::{Carrier, NozzleSet, Rig, Section};
/// # use units::{FlowRate, Length, Pressure, Speed, VolumePerArea};
/// // By hand: 20 gal/ac on 20 in, 0.4 gal/min at 40 psi: 10 to 40 psi is 2.97 to 5.94 mph, so rows at 3, 4 and 5 mph.
/// let nozzles = NozzleSet {
///     rated_flow: FlowRate::from_us_gal_per_min(0.4), rated_pressure: Pressure::from_psi(40.0),
///     least_pressure: Some(Pressure::from_psi(10.0)), greatest_pressure: Some(Pressure::from_psi(40.0)), spacing: None,
/// };
/// let rig = Rig {
///     sections: vec![Section { width: Length::from_in(240.0), n_nozzles: 12 }], nozzles: Some(nozzles),
///     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))), ..Rig::blank()
/// };
/// let card = cab_card(&Plan::new(rig), Speed::from_mph(1.0));
/// let mph: Vec<f64> = card.rows.iter().map(|row| row.speed.as_mph().round()).collect();
/// assert_eq!(mph, [3.0, 4.0, 5.0]);
/// ```
#[must_use]
pub fn cab_card(plan: &Plan, step: Speed) -> CabCard {
    let reach = window(plan);
    let doses = doses(plan);
    let mut problems = reach.problems.clone();
    let rows = if step.as_m_per_s().is_finite() && step.as_m_per_s() > 0.0 {
        along(plan, whole_steps(&reach.window, step))
    } else {
        problems.push(Problem::WantedSpeed { got: step });
        Vec::new()
    };
    let one = |speed: Option<Speed>| speed.and_then(|v| along(plan, [v]).into_iter().next());
    let width =
        plan.sections_on.iter().filter_map(|idx| plan.rig.sections.get(idx)).map(|s| s.width.as_m()).sum();
    let switches = doses
        .lines
        .iter()
        .map(|line| SwitchEffect {
            pump_idx: line.pump_idx,
            rate: line.rate,
            law: line.law,
            against_first: against_first(plan, &doses.lines, line.pump_idx, line.law),
            passes: line.passes,
        })
        .collect();
    CabCard {
        window: reach.window,
        rate_held_from: reach.rate_held_from(),
        hold: reach.hold,
        sections_on: plan.sections_on,
        width: Some(width).filter(|w| *w > 0.0).map(Length::from_m),
        at_slowest: one(reach.window.low()),
        rows,
        at_fastest: one(reach.window.high()),
        switches,
        by_count: by_count(plan),
        never: never(plan, &reach.window, reach.hold, &doses.lines),
        refused: doses.refused,
        doubtful: doses.doubtful,
        problems,
    }
}

/// Whole multiples of a step inside an open window.
fn whole_steps(window: &Window, step: Speed) -> Vec<Speed> {
    let Window::Open { low, high } = window else { return Vec::new() };
    let step_m_s = step.as_m_per_s();
    // A trace, so that an end that is a whole multiple in all but rounding counts as one.
    const TRACE: f64 = 1e-9;
    let of = |v: Speed| v.as_m_per_s() / step_m_s;
    let first = low.map_or(1.0, |b| (of(b.end.speed) - TRACE).ceil().max(1.0));
    let last = high.map_or(first + 10.0, |b| (of(b.end.speed) + TRACE).floor());
    (0..MOST_ROWS)
        .map(|k| first + k as f64)
        .take_while(|k| *k <= last)
        .map(|k| Speed::from_m_per_s(k * step_m_s))
        .collect()
}

/// At the hold speed, where every law stands at what the console is asked for; without one, wherever.
fn against_first(
    plan: &Plan,
    lines: &[super::doses::DoseLine],
    pump_idx: usize,
    law: DoseLaw,
) -> Option<Share> {
    let first = lines.iter().find(|line| line.pump_idx == pump_idx && line.rate == RateInForce::FIRST)?;
    let speed = plan.rig.hold_speed.unwrap_or(Speed::from_m_per_s(1.0));
    let (own, of_first) = (law.at(speed)?, first.law.at(speed)?);
    let (own, of_first) = (own.as_l_per_ha(), of_first.as_l_per_ha());
    (of_first > 0.0).then(|| Share::from_fraction(own / of_first - 1.0))
}

fn never(plan: &Plan, window: &Window, hold: Option<Speed>, lines: &[super::doses::DoseLine]) -> Vec<Never> {
    let mut never = Vec::new();
    if let Window::Open { low, high } = window {
        never.extend(low.map(|b| Never::SlowerThan { speed: b.end.speed, limit: b.limit }));
        never.extend(high.map(|b| Never::FasterThan { speed: b.end.speed, limit: b.limit }));
    }
    for line in lines.iter().filter(|line| line.passes == Some(Passes::Always)) {
        never.push(Never::Use { pump_idx: line.pump_idx, rate: line.rate });
    }
    for pump_idx in 0..plan.rig.pumps.len() {
        let below = |line: &super::doses::DoseLine| match line.passes {
            Some(Passes::Below(speed)) if line.pump_idx == pump_idx => Some((speed, line.rate)),
            _ => None,
        };
        let worst = lines.iter().filter_map(below).fold(None, |worst: Option<(Speed, RateInForce)>, next| {
            if worst.is_some_and(|w| w.0 >= next.0) { worst } else { Some(next) }
        });
        never.extend(worst.map(|(speed, rate)| Never::PastLabelBelow { pump_idx, rate, speed }));
    }
    if hold.is_some() || matches!(plan.rig.carrier, Some(Carrier::Manual(_))) {
        never.push(Never::StandWithBoomOn { hold });
    }
    never.extend(tightest_turn(plan, window, hold));
    never
}

/// At a speed of the window at which the rate is held, so that only the curve raises the dose.
fn tightest_turn(plan: &Plan, window: &Window, hold: Option<Speed>) -> Option<Never> {
    let speed = window.high().or(hold).or(window.low()).unwrap_or(Speed::from_m_per_s(1.0));
    let limits =
        [Direction::Left, Direction::Right].into_iter().flat_map(|way| turn_limits(plan, way, speed));
    let radii = limits.filter_map(|limit| match limit.radius {
        TurnRadius::From(radius) => Some((radius, limit.pump_idx, limit.rate)),
        _ => None,
    });
    let widest = radii.fold(
        None,
        |widest: Option<(Length, usize, RateInForce)>, next| {
            if widest.is_some_and(|w| w.0 >= next.0) { widest } else { Some(next) }
        },
    );
    widest.map(|(radius, pump_idx, rate)| Never::TurnTighterThan { radius, pump_idx, rate })
}
