//! A trial as typed becomes a trial as numbers, and what came out becomes entries. What cannot be read is named with its
//! place; nothing is worked out around it.

pub(crate) mod begin;
pub(crate) mod catch;
pub(crate) mod check;
pub(crate) mod course;
pub(crate) mod gauge;
pub(crate) mod meter;
pub(crate) mod outcome;
pub(crate) mod pump;
pub(crate) mod sections;
pub(crate) mod standing;

use calc::course_trial::{DirectionGap, WheelOutcome};
use calc::keyin::{Corrected, KeyedPulses};
use calc::next_run::Next;
use calc::pump_trial::PumpOutcome;
use calc::ratio_trial::{RatioOutcome, TrialError};
use calc::verdict::Tolerance;
use records::fields::FieldProblem;
use records::trial::{RunView, TrialView, read_number, read_quantity};
use units::{KeyInStep, LengthUnit, PulseConvention, Quantity, Share, Typed, Unit, decimals_for};

/// Why nothing can be worked out, and where.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Obstacle {
    /// No run yet.
    NoRuns,
    /// Something in `setup` is not there or does not read.
    Setup {
        /// Field behind `setup.`.
        field: &'static str,
        /// What is wrong.
        problem: FieldProblem,
    },
    /// Something in a run is not there or does not read.
    Run {
        /// Its number in the list, from 1.
        number: usize,
        /// Field behind `run.<key>.`.
        field: &'static str,
        /// What is wrong.
        problem: FieldProblem,
    },
    /// The calculation refuses.
    Trial {
        /// Number of the run that it refuses, where it is one.
        number: Option<usize>,
        /// Why.
        error: TrialError,
    },
}

/// How large a run is, in the unit in which its like were typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Size {
    /// In the unit.
    pub(crate) value: f64,
    /// The unit's symbol.
    pub(crate) symbol: &'static str,
}

/// What a ratio trial (meter, course, pump) says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Judged {
    /// Ratio, budget, verdict, flags, the runs for drawing.
    pub(crate) ratio: RatioOutcome,
    /// The number, old and new.
    pub(crate) number: Corrected,
    /// Code of the convention that the number is in.
    pub(crate) convention: String,
    /// Decimals that the number deserves.
    pub(crate) decimals: usize,
    /// What to run next.
    pub(crate) next: Next<Size>,
    /// Numbers in the list of the runs that count, in their order.
    pub(crate) numbers: Vec<usize>,
    /// What this kind of trial says besides.
    pub(crate) more: More,
}

/// What one kind of trial says besides the ratio.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum More {
    /// Nothing.
    Nothing,
    /// Course: out against back.
    Directions(DirectionGap),
    /// A wheel beside a tape: its circumference, in the unit of the tape.
    Wheel(Box<WheelOutcome>, LengthUnit),
    /// Pump: each output, slip.
    Outputs(Box<PumpOutcome>),
}

impl Judged {
    /// Whether the new number may be taken: a spread is known, it differs from the old one, and the console takes it.
    pub(crate) fn can_take(&self) -> bool {
        self.ratio.spread.is_some()
            && self.number.beyond_largest.is_none()
            && self.number.rounded != self.number.old
    }

    /// Whether the runs have shown enough to end the trial.
    pub(crate) fn is_decided(&self) -> bool {
        self.ratio.runs.len() >= calc::next_run::FEWEST_IN_ALL
            && self.ratio.verdict != calc::verdict::Verdict::NotProvenYet
    }
}

/// The runs that count with their numbers in the list.
pub(crate) fn numbered<'a>(view: &'a TrialView<'a>) -> impl Iterator<Item = (usize, &'a RunView<'a>)> {
    view.runs.iter().enumerate().map(|(idx, run)| (idx + 1, run)).filter(|(_, run)| !run.removed)
}

/// A field of the setup; `None` where nothing stands.
pub(crate) fn setup<Q: Quantity>(
    view: &TrialView<'_>,
    field: &'static str,
) -> Result<Option<Typed<Q>>, Obstacle> {
    read_quantity(view.doc(), &format!("setup.{field}"))
        .transpose()
        .map_err(|problem| Obstacle::Setup { field, problem })
}

/// A field of the setup that is needed.
pub(crate) fn setup_needed<Q: Quantity>(view: &TrialView<'_>, field: &'static str) -> Result<Q, Obstacle> {
    match setup::<Q>(view, field)? {
        Some(typed) => Ok(typed.value),
        None => Err(Obstacle::Setup { field, problem: FieldProblem::Missing }),
    }
}

/// A field of a run that is needed.
pub(crate) fn run_field<Q: Quantity>(
    run: &RunView<'_>,
    number: usize,
    field: &'static str,
) -> Result<Typed<Q>, Obstacle> {
    run.quantity(field).unwrap_or(Err(FieldProblem::Missing)).map_err(|problem| Obstacle::Run {
        number,
        field,
        problem,
    })
}

/// How far the console may be off: as typed, else the default.
pub(crate) fn tolerance(view: &TrialView<'_>, default: Tolerance) -> Result<Tolerance, Obstacle> {
    Ok(setup::<Share>(view, "tolerance")?.map_or(default, |typed| Tolerance::user(typed.value)))
}

/// The number that was keyed in during the runs, with the console's step from the rig.
pub(crate) fn keyed<U: Unit>(
    view: &TrialView<'_>,
    step: Option<KeyInStep>,
) -> Result<KeyedPulses<U>, Obstacle> {
    let at = |field| move |problem| Obstacle::Setup { field, problem };
    let number = setup_number(view, "number")?;
    let code =
        view.doc().text("setup.convention").ok_or(FieldProblem::NoConvention).map_err(at("convention"))?;
    let convention =
        PulseConvention::from_code(code).map_err(|e| at("convention")(FieldProblem::Convention(e)))?;
    Ok(KeyedPulses { number, convention, step })
}

/// A calculation's refusal with the run that it is about.
pub(crate) fn refused(error: TrialError, numbers: &[usize]) -> Obstacle {
    let idx = match &error {
        TrialError::NoRuns => return Obstacle::NoRuns,
        TrialError::Indicated { run_idx, .. }
        | TrialError::IndicatedZero { run_idx, .. }
        | TrialError::Actual { run_idx, .. }
        | TrialError::Absurd { run_idx, .. }
        | TrialError::Weighing { run_idx, .. }
        | TrialError::Temperature { run_idx, .. } => Some(*run_idx),
        _ => None,
    };
    Obstacle::Trial { number: idx.and_then(|idx| numbers.get(idx).copied()), error }
}

/// A number of the setup that is needed.
pub(crate) fn setup_number(view: &TrialView<'_>, field: &'static str) -> Result<f64, Obstacle> {
    read_number(view.doc(), &format!("setup.{field}"))
        .unwrap_or(Err(FieldProblem::Missing))
        .map_err(|problem| Obstacle::Setup { field, problem })
}

/// The proposed size in the unit of the runs so far.
pub(crate) fn next_in<Q: Quantity>(next: Next<Q>, unit: Q::Unit) -> Next<Size> {
    next.map(|size| Size { value: size.in_unit(unit), symbol: unit.symbol() })
}

/// Decimals of a number: by the console's step, else by its uncertainty.
pub(crate) fn decimals(number: &Corrected, step: Option<KeyInStep>) -> usize {
    step.map_or_else(|| decimals_for(number.exact, number.expanded), KeyInStep::decimals)
}
