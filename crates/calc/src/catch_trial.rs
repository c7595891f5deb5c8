//! Proving nozzles: a catch at every nozzle of a section or the boom, against nominal and against the boom's own mean.
//!
//! The flow of one nozzle at a pressure is [`crate::nozzle`]'s.

use units::{Duration, FlowRate, Pressure, Share, Volume};

use crate::course_trial::Stopwatch;
use crate::next_run::Next;
use crate::nozzle::{NozzleError, flow_at_pressure};
use crate::ratio_trial::{TrialError, budget_error, check_width};
use crate::rig::NozzleSet;
use crate::stats::standard_deviation;
use crate::uncertainty::{CONFIDENCE, Part, Source, combine};
use crate::verdict::{Tolerance, Verdict, judge};

/// What was caught at one nozzle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Catch {
    /// Volume in the jug, ≥ 0; a fully blocked nozzle gives none.
    pub volume: Volume,
    /// Over this time, > 0.
    pub time: Duration,
}

/// The nominal side of a catch trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nominal {
    /// The nozzle set.
    pub nozzles: NozzleSet,
    /// Pressure measured at the nozzles, > 0.
    pub pressure: Pressure,
    /// What that pressure may be off, either way.
    pub pressure_half_width: Pressure,
    /// Density of what was caught over that of water; 1 for water.
    pub specific_gravity: f64,
}

/// How well the jug and the watch can be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CatchReading {
    /// Smallest graduation of the jug.
    pub jug_step: Volume,
    /// What the jug may be off, either way, as a share. The same jug for all: it cancels against the mean.
    pub jug_tolerance: Share,
    /// The watch.
    pub stopwatch: Stopwatch,
}

/// A catch trial.
#[derive(Clone, Debug, PartialEq)]
pub struct CatchTrial {
    /// Nominal flow and pressure; without it nozzles are compared with each other only.
    pub nominal: Option<Nominal>,
    /// The catches, left to right.
    pub catches: Vec<Catch>,
    /// How well they can be read.
    pub reading: CatchReading,
    /// Limit against nominal. [`Tolerance::NOZZLE_NOMINAL`] unless somebody knows better.
    pub nominal_tolerance: Tolerance,
    /// Limit against the boom's mean. [`Tolerance::NOZZLE_MEAN`] unless somebody knows better.
    pub mean_tolerance: Tolerance,
}

/// What a nozzle is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NozzleState {
    /// Inside both limits.
    Fine,
    /// Gives too much: replace it.
    Worn,
    /// Gives too little: clean it and catch again.
    Blocked,
    /// Outside one limit one way and outside the other the other way: look at the pressure first.
    Contradictory,
    /// Not decided yet.
    NotProvenYet,
}

/// A comparison with a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compared {
    /// Relative error.
    pub error: Share,
    /// Its expanded uncertainty, 95 %.
    pub expanded: Share,
    /// Verdict.
    pub verdict: Verdict,
}

/// One nozzle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NozzleOutcome {
    /// Its flow.
    pub flow: FlowRate,
    /// Expanded uncertainty of the flow, 95 %.
    pub expanded: FlowRate,
    /// Against nominal at the measured pressure.
    pub of_nominal: Option<Compared>,
    /// Against the mean of all catches; none for a single one.
    pub of_mean: Option<Compared>,
    /// What it is.
    pub state: NozzleState,
    /// How long to catch to decide.
    pub next: Next<Duration>,
}

/// What a catch trial says.
#[derive(Clone, Debug, PartialEq)]
pub struct CatchOutcome {
    /// One for each catch, in the order given.
    pub nozzles: Vec<NozzleOutcome>,
    /// Mean flow.
    pub mean: FlowRate,
    /// Flow of all together.
    pub total: FlowRate,
    /// Coefficient of variation, n − 1; none for a single catch.
    pub cv: Option<Share>,
    /// Nominal flow at the measured pressure, with the density of what was caught.
    pub nominal: Option<FlowRate>,
    /// The mean against nominal, judged by the limit for nominal.
    pub mean_of_nominal: Option<Compared>,
    /// How many are in each state: fine, worn, blocked, contradictory, not proven yet.
    pub counts: StateCounts,
}

/// How many nozzles are in each state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StateCounts {
    /// Fine.
    pub fine: usize,
    /// Worn.
    pub worn: usize,
    /// Blocked.
    pub blocked: usize,
    /// Contradictory.
    pub contradictory: usize,
    /// Not proven yet.
    pub not_proven_yet: usize,
}

/// Works out a catch trial.
///
/// | symbol | meaning                                         | range                     |
/// |--------|-------------------------------------------------|---------------------------|
/// | `V_j`  | volume caught                                   | finite, ≥ 0, not all zero |
/// | `t_j`  | time                                            | finite, > 0               |
/// | `P`    | measured pressure                               | finite, > 0               |
/// | `SG`   | density of what was caught over that of water   | finite, > 0               |
///
/// `q_j = V_j / t_j`; nominal `q₀ √(P/P₀) / √SG`; mean, and CV with n − 1. Each nozzle against nominal and against the mean
/// of all (its own share of which is taken into account), each with a guard band. Jug step and watch are drawn afresh
/// for each nozzle; jug tolerance and pressure are shared, and cancel against the mean. Worn: out and high. Blocked: out
/// and low. Not for nozzles of different sizes on one boom.
///
/// # Errors
/// [`TrialError`]: [`TrialError::NoRuns`], [`TrialError::Input`] with the nozzle's index,
/// [`TrialError::Number`] for nominal flow, pressure or density.
///
/// # Source
/// Limits: ISO 16122-2 (from memory) and Univ. of Nebraska (R. Klein); clean when low, replace when high: Alberta
/// Agriculture, Agdex 606-1. CV: ISO 5682 practice (from memory).
///
/// # Example
/// Published (SportsTurf, April 2014): 44, 45, 44 fl oz in 46 s, mean 44.33, largest deviation +1.5 %.
/// ```
/// # use calc::catch_trial::{Catch, CatchReading, CatchTrial, work_out};
/// # use calc::course_trial::Stopwatch;
/// # use calc::verdict::Tolerance;
/// # use units::{Duration, Share, Volume};
/// let caught = |oz| Catch { volume: Volume::from_us_fl_oz(oz), time: Duration::from_s(46.0) };
/// let outcome = work_out(&CatchTrial {
///     nominal: None,
///     catches: vec![caught(44.0), caught(45.0), caught(44.0)],
///     reading: CatchReading {
///         jug_step: Volume::from_us_fl_oz(1.0),
///         jug_tolerance: Share::from_percent(1.0),
///         stopwatch: Stopwatch::BY_HAND,
///     },
///     nominal_tolerance: Tolerance::NOZZLE_NOMINAL,
///     mean_tolerance: Tolerance::NOZZLE_MEAN,
/// })?;
/// assert!((outcome.mean.as_us_fl_oz_per_min() * 46.0 / 60.0 - 44.333_333).abs() < 1e-6);
/// assert!(outcome.nozzles[1].of_mean.is_some_and(|c| (c.error.as_percent() - 1.503_759).abs() < 1e-6));
/// assert!(outcome.cv.is_some_and(|cv| (cv.as_percent() - 1.3023).abs() < 1e-4));
/// assert_eq!(outcome.counts.fine, 3);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn work_out(trial: &CatchTrial) -> Result<CatchOutcome, TrialError> {
    check(trial)?;
    let n = trial.catches.len();
    let flows_m3_s: Vec<f64> = trial.catches.iter().map(|c| c.volume.as_m3() / c.time.as_s()).collect();
    let sum_m3_s: f64 = flows_m3_s.iter().sum();
    if sum_m3_s <= 0.0 {
        return Err(TrialError::Input { idx: 0, got: 0.0 });
    }
    let mean_m3_s = sum_m3_s / n as f64;
    let nominal = trial.nominal.map(|nominal| nominal_flow(&nominal)).transpose()?;
    // Squares of each nozzle's own standard uncertainty of flow.
    let own_2: Vec<f64> = trial.catches.iter().map(|c| own_m3_s(c, trial.reading).powi(2)).collect();
    let own_sum_2: f64 = own_2.iter().sum();
    let jug =
        Part::rectangular(Source::VesselTolerance, trial.reading.jug_tolerance.as_fraction(), 1.0).standard();
    // One budget gives the normal factor: all parts here are taken as known.
    let k = combine(&[], CONFIDENCE).map_err(budget_error)?.k;

    let against_nominal = |q_m3_s: f64, own_2: f64| {
        nominal.map(|(nominal, pressure)| {
            let relative = q_m3_s / nominal.as_m3_per_s();
            let own = own_2.sqrt() / nominal.as_m3_per_s();
            let shared = relative * jug.hypot(pressure);
            compared(relative - 1.0, k * own.hypot(shared), trial.nominal_tolerance)
        })
    };
    let against_mean = |q_m3_s: f64, own_2: f64| {
        // e = q/m − 1 with q inside m: its own error counts (1 − q/(n·m)), the others' −q/(n·m).
        let relative = q_m3_s / mean_m3_s;
        let in_mean = relative / n as f64;
        let variance = (own_2 * (1.0 - in_mean).powi(2) + (own_sum_2 - own_2) * in_mean.powi(2))
            / (mean_m3_s * mean_m3_s);
        (n > 1).then(|| compared(relative - 1.0, k * variance.max(0.0).sqrt(), trial.mean_tolerance))
    };

    let nozzles: Vec<NozzleOutcome> = flows_m3_s
        .iter()
        .zip(&own_2)
        .zip(&trial.catches)
        .map(|((q_m3_s, own_2), caught)| {
            let of_nominal = against_nominal(*q_m3_s, *own_2);
            let of_mean = against_mean(*q_m3_s, *own_2);
            let expanded = k * own_2.sqrt().hypot(q_m3_s * jug);
            let shared = nominal.map_or(0.0, |(_, pressure)| k * jug.hypot(pressure));
            NozzleOutcome {
                flow: FlowRate::from_m3_per_s(*q_m3_s),
                expanded: FlowRate::from_m3_per_s(expanded),
                of_nominal,
                of_mean,
                state: state(of_nominal, of_mean),
                next: next(trial, caught.time, of_nominal, of_mean, shared),
            }
        })
        .collect();
    let cv = standard_deviation(&flows_m3_s).ok().map(|s| Share::from_fraction(s / mean_m3_s));
    Ok(CatchOutcome {
        counts: count(&nozzles),
        nozzles,
        mean: FlowRate::from_m3_per_s(mean_m3_s),
        total: FlowRate::from_m3_per_s(sum_m3_s),
        cv,
        nominal: nominal.map(|(flow, _)| flow),
        mean_of_nominal: against_nominal(mean_m3_s, own_sum_2 / (n * n) as f64),
    })
}

/// Standard uncertainty of one nozzle's flow from its own readings.
fn own_m3_s(caught: &Catch, reading: CatchReading) -> f64 {
    let t_s = caught.time.as_s();
    let jug_m3 = Part::resolution(Source::VesselStep, reading.jug_step.as_m3(), 1.0).standard();
    let step_s = Part::resolution(Source::StopwatchStep, reading.stopwatch.step.as_s(), 1.0).standard();
    let watch_s = step_s.hypot(reading.stopwatch.hand.as_s());
    (jug_m3 / t_s).hypot(caught.volume.as_m3() / t_s * watch_s / t_s)
}

/// Nominal flow at the measured pressure, and its relative standard uncertainty from that pressure.
fn nominal_flow(nominal: &Nominal) -> Result<(FlowRate, f64), TrialError> {
    let set = nominal.nozzles;
    let flow =
        flow_at_pressure(set.rated_flow, set.rated_pressure, nominal.pressure, nominal.specific_gravity)
            .map_err(|error| TrialError::Number { got: nozzle_value(&error) })?;
    let p_pa = nominal.pressure.as_pa();
    if p_pa <= 0.0 {
        return Err(TrialError::Number { got: p_pa });
    }
    let half_width_pa = nominal.pressure_half_width.as_pa();
    check_width(Source::Pressure, half_width_pa)?;
    // Flow goes with the square root of pressure.
    Ok((flow, Part::rectangular(Source::Pressure, half_width_pa, 0.5 / p_pa).contribution()))
}

fn nozzle_value(error: &NozzleError) -> f64 {
    match error {
        NozzleError::RatedFlow { got } | NozzleError::Flow { got } => got.as_m3_per_s(),
        NozzleError::RatedPressure { got } | NozzleError::Pressure { got } => got.as_pa(),
        NozzleError::SpecificGravity { got } => *got,
    }
}

fn compared(error: f64, expanded: f64, tolerance: Tolerance) -> Compared {
    Compared {
        error: Share::from_fraction(error),
        expanded: Share::from_fraction(expanded),
        verdict: judge(error, expanded, tolerance.limit.as_fraction()),
    }
}

fn state(of_nominal: Option<Compared>, of_mean: Option<Compared>) -> NozzleState {
    let both = || [of_nominal, of_mean].into_iter().flatten();
    let out = |high: bool| both().any(|c| c.verdict == Verdict::Out && (c.error.as_fraction() > 0.0) == high);
    match (out(true), out(false)) {
        (true, true) => NozzleState::Contradictory,
        (true, false) => NozzleState::Worn,
        (false, true) => NozzleState::Blocked,
        (false, false) => {
            let proven = both().count() > 0 && both().all(|c| c.verdict == Verdict::Within);
            if proven { NozzleState::Fine } else { NozzleState::NotProvenYet }
        }
    }
}

/// Time that decides: own uncertainty falls as one over the time of every catch, the shared one stays.
fn next(
    trial: &CatchTrial,
    time: Duration,
    of_nominal: Option<Compared>,
    of_mean: Option<Compared>,
    shared_expanded: f64,
) -> Next<Duration> {
    if matches!(state(of_nominal, of_mean), s if s != NozzleState::NotProvenYet) {
        return Next::Nothing;
    }
    let mut longest: f64 = 1.0;
    let open = [(of_nominal, trial.nominal_tolerance, shared_expanded), (of_mean, trial.mean_tolerance, 0.0)];
    for (compared, tolerance, shared) in open {
        let Some(compared) = compared.filter(|c| c.verdict == Verdict::NotProvenYet) else { continue };
        let error = compared.error.as_fraction();
        let shared = shared * (1.0 + error);
        let needed = (error.abs() - tolerance.limit.as_fraction()).abs();
        if shared >= needed {
            return Next::BetterReference { reachable: shared, needed };
        }
        let own_2 = compared.expanded.as_fraction().powi(2) - shared * shared;
        let factor = (own_2.max(0.0) / (needed * needed - shared * shared)).sqrt();
        if factor > LONGEST_FACTOR {
            return Next::TooClose { needed };
        }
        longest = longest.max(factor);
    }
    Next::Runs { runs: 1, size: Duration::from_s(time.as_s() * longest), spread_assumed: false }
}

/// A catch is never proposed longer than this many times the last.
const LONGEST_FACTOR: f64 = 20.0;

fn count(nozzles: &[NozzleOutcome]) -> StateCounts {
    let mut counts = StateCounts::default();
    for nozzle in nozzles {
        match nozzle.state {
            NozzleState::Fine => counts.fine += 1,
            NozzleState::Worn => counts.worn += 1,
            NozzleState::Blocked => counts.blocked += 1,
            NozzleState::Contradictory => counts.contradictory += 1,
            NozzleState::NotProvenYet => counts.not_proven_yet += 1,
        }
    }
    counts
}

fn check(trial: &CatchTrial) -> Result<(), TrialError> {
    if trial.catches.is_empty() {
        return Err(TrialError::NoRuns);
    }
    for tolerance in [trial.nominal_tolerance, trial.mean_tolerance] {
        if !tolerance.is_sensible() {
            return Err(TrialError::Tolerance { got: tolerance.limit });
        }
    }
    let reading = trial.reading;
    check_width(Source::VesselStep, reading.jug_step.as_m3())?;
    check_width(Source::VesselTolerance, reading.jug_tolerance.as_fraction())?;
    check_width(Source::StopwatchStep, reading.stopwatch.step.as_s())?;
    check_width(Source::StopwatchHand, reading.stopwatch.hand.as_s())?;
    for (idx, caught) in trial.catches.iter().enumerate() {
        let (v_m3, t_s) = (caught.volume.as_m3(), caught.time.as_s());
        if !(v_m3.is_finite() && v_m3 >= 0.0) {
            return Err(TrialError::Input { idx, got: v_m3 });
        }
        if !(t_s.is_finite() && t_s > 0.0) {
            return Err(TrialError::Input { idx, got: t_s });
        }
    }
    Ok(())
}
