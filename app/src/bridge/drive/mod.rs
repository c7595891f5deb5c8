//! A drive as described becomes a drive and a pass as numbers; what keeps it from that is told by the step and box it is in.
//! Drives that are ready to begin with are in [`ready`]. What a pass leaves is worked out by `calc::pass`.

pub(crate) mod digest;
pub(crate) mod ready;

use crate::bridge::plumbing::{Trouble, drawn_of};
use calc::pass::drive::{Drive, DriveError, Manoeuvre};
use calc::pass::outcome::DoseLimits;
use calc::pass::setup::{AtSwitch, Controller, FieldMarks, Fineness, Pass, PassError};
use calc::pass::simulation::widths_of;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::network::Network;
use calc::rate::product_rate_per_area;
use calc::rig::{Carrier, Rig};
use records::drive::{DriveView, StepKind, StepView};
use records::fields::FieldProblem;
use records::rig::{Reading, RigView, SettleView, SwitchKeeps};
use units::{Duration, Length, Quantity, Share, Speed, Typed};

/// Dead time of a carrier controller that nobody stated. No source; typical order.
pub(crate) const CARRIER_DEAD: Duration = Duration::from_s(0.5);
/// Time constant of a carrier controller that nobody stated. No source; typical order.
pub(crate) const CARRIER_CONSTANT: Duration = Duration::from_s(1.5);
/// Dead time of an injection pump that nobody stated. No source; typical order.
pub(crate) const PUMP_DEAD: Duration = Duration::from_s(0.3);
/// Time constant of an injection pump that nobody stated. No source; typical order.
pub(crate) const PUMP_CONSTANT: Duration = Duration::from_s(0.5);

/// The finest picture along the track, in metres, and what it may grow to so that a long drive stays a picture.
const CELLS_M: &[f64] = &[0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];
const MOST_CELLS_ALONG: f64 = 1000.0;
const MOST_CELLS: f64 = 300_000.0;

/// What keeps a step from being driven.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Wrong {
    /// Nothing is filled in.
    Missing,
    /// What is filled in is no value; the box says why.
    Unreadable,
    /// Not a list of section numbers.
    NotSections,
    /// The rig has no section of this number.
    NoSection(usize),
    /// A distance is to be driven while standing.
    Standing,
    /// It sets off, and moves already.
    Moving,
    /// No presses up or down.
    NoPresses,
    /// The pump has no second rate.
    NoSecondRate,
    /// The pump has no nudge step.
    NoNudge,
    /// The rig has no minimum-speed hold to be below of.
    NoHold,
    /// The speed is not below the hold.
    NotBelowHold(Speed),
    /// A manoeuvre that this program does not know.
    Unknown,
}

/// A step that cannot be driven.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StepProblem {
    /// Key of the step.
    pub(crate) key: String,
    /// Its field; empty where it is about the step itself.
    pub(crate) field: &'static str,
    /// Why.
    pub(crate) wrong: Wrong,
}

/// What keeps a pass from being simulated.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum PassProblem {
    /// There are no steps.
    NoSteps,
    /// A step.
    Step(StepProblem),
    /// A box of the drive itself or of the console, by its path.
    Field(String, FieldProblem),
    /// The carrier is in manual, or has no rate.
    NoCarrierRate,
    /// The rig has no pump of this number.
    NoPump(u32),
    /// The pump has no product rate.
    NoProductRate(u32),
    /// The simulation refuses it.
    Refused(PassError),
}

/// What keeps a job from being begun.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Stop {
    /// The lines.
    Lines(Vec<Trouble>),
    /// The drive or the rates.
    Pass(PassProblem),
}

/// Everything that a simulation depends on.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Job {
    /// The lines.
    pub(crate) network: Network,
    /// Their friction formula.
    pub(crate) law: FrictionLaw,
    /// The pass.
    pub(crate) pass: Pass,
    /// From where to where a dose counts as on target.
    pub(crate) limits: DoseLimits,
}

/// The job that a drive of a rig makes.
pub(crate) fn job_of(rig: &RigView, view: &DriveView) -> Result<Job, Stop> {
    let drawn = drawn_of(rig).map_err(Stop::Lines)?;
    let drive = driven(view, &drawn.rig).map_err(Stop::Pass)?.drive;
    let pass = pass_of(view, drive, &drawn.rig, &rig.settle, &drawn.network).map_err(Stop::Pass)?;
    Ok(Job { network: drawn.network, law: drawn.law, pass, limits: limits_of(view).map_err(Stop::Pass)? })
}

/// A drive as numbers, and where each step of it begins.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Driven {
    /// The drive.
    pub(crate) drive: Drive,
    /// By step: distance and time at which it begins.
    pub(crate) begins: Vec<(Length, Duration)>,
}

/// Puts the steps of a drive one after another.
pub(crate) fn driven(view: &DriveView, rig: &Rig) -> Result<Driven, PassProblem> {
    let start = match view.quantity::<Speed>("start.speed") {
        None => Speed::from_m_per_s(0.0),
        Some(Ok(typed)) => typed.value,
        Some(Err(problem)) => return Err(PassProblem::Field("start.speed".to_owned(), problem)),
    };
    let pump = pump_of(view)?;
    if view.steps.is_empty() {
        return Err(PassProblem::NoSteps);
    }
    let mut manoeuvres: Vec<Manoeuvre> = Vec::with_capacity(view.steps.len());
    let mut begins = Vec::with_capacity(view.steps.len());
    let mut speed = start;
    for step in &view.steps {
        let before = Drive::of(start, &manoeuvres).ok();
        begins.push(before.map_or((Length::from_m(0.0), Duration::from_s(0.0)), |d| (d.length(), d.lasts())));
        let problem =
            |(field, wrong)| PassProblem::Step(StepProblem { key: step.key.to_owned(), field, wrong });
        let manoeuvre = manoeuvre_of(step, rig, pump, speed).map_err(problem)?;
        match &manoeuvre {
            Manoeuvre::ChangeSpeed { to, .. } => speed = *to,
            Manoeuvre::EndOfPass { .. } => speed = Speed::from_m_per_s(0.0),
            _ => {}
        }
        manoeuvres.push(manoeuvre);
    }
    let drive = Drive::of(start, &manoeuvres).map_err(|error| at_step(view, error))?;
    Ok(Driven { drive, begins })
}

/// An error of the drive at the step it is about.
fn at_step(view: &DriveView, error: DriveError) -> PassProblem {
    let at = |place: usize, field, wrong| {
        let key = view.steps.get(place).map(|step| step.key.to_owned()).unwrap_or_default();
        PassProblem::Step(StepProblem { key, field, wrong })
    };
    match error {
        DriveError::Standing { manoeuvre } => at(manoeuvre, "distance", Wrong::Standing),
        DriveError::Number { manoeuvre, .. } => at(manoeuvre, "", Wrong::Unreadable),
        other => PassProblem::Refused(PassError::Drive(other)),
    }
}

type Found<T> = Result<T, (&'static str, Wrong)>;

fn manoeuvre_of(step: &StepView, rig: &Rig, pump: u32, speed: Speed) -> Found<Manoeuvre> {
    let kind = step.kind.ok_or(("", Wrong::Unknown))?;
    let set = usize::try_from(pump).ok().and_then(|n| rig.pumps.get(n.checked_sub(1)?));
    let takes = || quantity::<Duration>(step, "takes");
    let distance = || quantity::<Length>(step, "distance");
    let to = || quantity::<Speed>(step, "speed");
    Ok(match kind {
        StepKind::SetOff if 0.0 < speed.as_m_per_s() => return Err(("", Wrong::Moving)),
        StepKind::SetOff | StepKind::Change => Manoeuvre::ChangeSpeed { to: to()?, takes: takes()? },
        StepKind::Steady => Manoeuvre::Steady { distance: distance()? },
        StepKind::Corner => Manoeuvre::Corner { slow_to: to()?, takes: takes()?, distance: distance()? },
        StepKind::Crawl => {
            let slow_to = to()?;
            match rig.hold_speed {
                None => return Err(("speed", Wrong::NoHold)),
                Some(hold) if hold <= slow_to => return Err(("speed", Wrong::NotBelowHold(hold))),
                Some(_) => Manoeuvre::Corner { slow_to, takes: takes()?, distance: distance()? },
            }
        }
        StepKind::Stop => Manoeuvre::StopAndGo {
            takes: takes()?,
            stands: quantity(step, "stands")?,
            boom_off: step.text("boom") != Some("on"),
        },
        StepKind::Shut => Manoeuvre::SectionsShut {
            sections: sections(step.text("sections").unwrap_or_default(), rig.sections.len())
                .map_err(|wrong| ("sections", wrong))?,
            distance: distance()?,
        },
        StepKind::Second if set.is_some_and(|pump| pump.second.is_none()) => {
            return Err(("", Wrong::NoSecondRate));
        }
        StepKind::Second => Manoeuvre::SecondRate { distance: distance()? },
        StepKind::Nudge if set.is_some_and(|pump| pump.nudge.is_none()) => {
            return Err(("", Wrong::NoNudge));
        }
        StepKind::Nudge => Manoeuvre::Nudged { steps: presses(step)?, distance: distance()? },
        StepKind::Flush => Manoeuvre::PumpOff { distance: distance()? },
        StepKind::End => Manoeuvre::EndOfPass { takes: takes()? },
    })
}

fn quantity<Q: Quantity>(step: &StepView, field: &'static str) -> Found<Q> {
    match step.quantity::<Q>(field) {
        None => Err((field, Wrong::Missing)),
        Some(Err(_)) => Err((field, Wrong::Unreadable)),
        Some(Ok(typed)) => Ok(typed.value),
    }
}

fn presses(step: &StepView) -> Found<i32> {
    const FIELD: &str = "presses";
    let number =
        step.number(FIELD).ok_or((FIELD, Wrong::Missing))?.map_err(|_| (FIELD, Wrong::Unreadable))?;
    if number.fract() != 0.0 {
        return Err((FIELD, Wrong::Unreadable));
    }
    if number == 0.0 {
        return Err((FIELD, Wrong::NoPresses));
    }
    // Whole, and within ± 20 by its row.
    #[allow(clippy::cast_possible_truncation)]
    Ok(number as i32)
}

/// `1, 3-5` becomes the places 0, 2, 3 and 4.
fn sections(text: &str, n_sections: usize) -> Result<Vec<usize>, Wrong> {
    let mut places: Vec<usize> = Vec::new();
    for part in text.split([',', ';', ' ', '+']).filter(|part| !part.is_empty()) {
        let (first, last) = part.split_once(['-', '–']).unwrap_or((part, part));
        let number = |text: &str| text.trim().parse::<usize>().map_err(|_| Wrong::NotSections);
        let (first, last) = (number(first)?, number(last)?);
        if let Some(n) = [first, last].into_iter().find(|n| !(1..=n_sections).contains(n)) {
            return Err(Wrong::NoSection(n));
        }
        places.extend(first - 1..last.max(first));
    }
    places.sort_unstable();
    places.dedup();
    if places.is_empty() { Err(Wrong::Missing) } else { Ok(places) }
}

fn pump_of(view: &DriveView) -> Result<u32, PassProblem> {
    view.pump().map_err(|problem| PassProblem::Field("pump".to_owned(), problem))
}

/// The limits from where to where a dose counts as on target; the usual ones where nothing stands.
pub(crate) fn limits_of(view: &DriveView) -> Result<DoseLimits, PassProblem> {
    let usual = DoseLimits::usual();
    let limit = |path: &str, usual| match view.quantity::<Share>(path) {
        None => Ok(usual),
        Some(Ok(typed)) => Ok(typed.value),
        Some(Err(problem)) => Err(PassProblem::Field(path.to_owned(), problem)),
    };
    Ok(DoseLimits {
        least: limit("limit.least", usual.least)?,
        greatest: limit("limit.greatest", usual.greatest)?,
    })
}

/// A time of the console; the usual one where nothing stands.
fn time_of(reading: &Reading<Typed<Duration>>, usual: Duration) -> Result<Duration, PassProblem> {
    match &reading.read {
        None => Ok(usual),
        Some(Ok(typed)) => Ok(typed.value),
        Some(Err(problem)) => Err(PassProblem::Field(reading.path.clone(), problem.clone())),
    }
}

/// A pass of one pump's product over what a drive covers.
pub(crate) fn pass_of(
    view: &DriveView,
    drive: Drive,
    rig: &Rig,
    settle: &SettleView,
    network: &Network,
) -> Result<Pass, PassProblem> {
    let Some(Carrier::Regulated(carrier_rate)) = rig.carrier else { return Err(PassProblem::NoCarrierRate) };
    let n = pump_of(view)?;
    let place = usize::try_from(n).unwrap_or(0).checked_sub(1);
    let pump = place.and_then(|place| rig.pumps.get(place)).ok_or(PassProblem::NoPump(n))?;
    let per_area = |rate| product_rate_per_area(rate, carrier_rate).ok();
    let product_rate = pump.first.and_then(per_area).ok_or(PassProblem::NoProductRate(n))?;
    let widths = widths_of(rig, network);
    let cell = cell_of(drive.length(), widths.len());
    let mut pass = Pass {
        widths,
        carrier_rate,
        product_rate,
        second_rate: pump.second.and_then(per_area),
        label_greatest: pump.label_greatest,
        nudge: pump.nudge.unwrap_or(Share::from_fraction(0.0)),
        hold_speed: rig.hold_speed,
        carrier: Controller {
            dead_time: time_of(&settle.carrier_dead, CARRIER_DEAD)?,
            time_constant: time_of(&settle.carrier_constant, CARRIER_CONSTANT)?,
        },
        pump: Controller {
            dead_time: time_of(&settle.pump_dead, PUMP_DEAD)?,
            time_constant: time_of(&settle.pump_constant, PUMP_CONSTANT)?,
        },
        pump_least: pump.least,
        pump_greatest: pump.greatest,
        at_switch: match settle.switch_keeps.ok() {
            Some(SwitchKeeps::Flow) => AtSwitch::KeepsFlow,
            _ => AtSwitch::KeepsPressure,
        },
        lines_hold: Share::from_fraction(0.0),
        drive,
        field: FieldMarks::whole(),
        cell,
        fineness: Fineness::usual(),
    };
    if view.lines_charged()
        && let Ok(share) = pass.running_share()
    {
        pass.lines_hold = share;
    }
    Ok(pass)
}

/// As fine as the picture can show and a phone can hold.
fn cell_of(length: Length, n_nozzles: usize) -> Length {
    #[allow(clippy::cast_precision_loss, reason = "a count of nozzles")]
    let most = MOST_CELLS_ALONG.min(MOST_CELLS / n_nozzles.max(1) as f64);
    let fits = CELLS_M.iter().copied().find(|cell_m| length.as_m() / cell_m <= most);
    Length::from_m(fits.unwrap_or(length.as_m() / most))
}

#[cfg(test)]
mod tests;
