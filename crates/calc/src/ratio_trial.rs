//! The statistics that all ratio trials share: runs of (indicated, actual), their ratio, budget, verdict, next run.
//!
//! Which quantities are compared and what is corrected by the ratio is the business of [`crate::meter_trial`],
//! [`crate::course_trial`] and [`crate::pump_trial`].

use units::Share;

use crate::next_run::{Next, Plan};
use crate::stats::standard_deviation;
use crate::student_t::two_sided;
use crate::uncertainty::{Budget, BudgetError, CONFIDENCE, Part, Shape, Source, combine};
use crate::verdict::{Tolerance, Verdict, judge};

/// One repetition, both sides in the same unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// What the console showed, > 0.
    pub indicated: f64,
    /// What the jug, scale or tape said, > 0.
    pub actual: f64,
}

/// Which side of a run a reading belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The console's.
    Indicated,
    /// The jug's, scale's or tape's.
    Actual,
}

/// A reading uncertainty that is drawn afresh in every run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunPart {
    /// Where it comes from.
    pub source: Source,
    /// The reading it is on.
    pub side: Side,
    /// Standard uncertainty in each run, in the unit of the runs; one for each run, finite, ≥ 0.
    pub standards: Vec<f64>,
    /// Whether it falls, relative to the reading, as one over the size of the run.
    pub falls_with_size: bool,
}

impl RunPart {
    /// The same width in each of `n_runs` runs.
    #[must_use]
    pub fn same(source: Source, side: Side, shape: Shape, width: f64, n_runs: usize) -> Self {
        let standard = Part { source, shape, width, sensitivity: 1.0, dof: f64::INFINITY }.standard();
        Self { source, side, standards: vec![standard; n_runs], falls_with_size: true }
    }
}

/// An uncertainty that all runs share, such as a vessel that is off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SharedPart {
    /// Where it comes from.
    pub source: Source,
    /// How `relative` is meant.
    pub shape: Shape,
    /// Width relative to the reading, finite, ≥ 0: 0.5 % is 0.005.
    pub relative: f64,
}

/// Everything a ratio trial needs.
#[derive(Clone, Debug, PartialEq)]
pub struct RatioTrial<'a> {
    /// The runs, at least one.
    pub runs: &'a [Run],
    /// What is drawn afresh in each run.
    pub run_parts: &'a [RunPart],
    /// What all runs share.
    pub shared_parts: &'a [SharedPart],
    /// How far from 1 the ratio may be.
    pub tolerance: Tolerance,
    /// Size of each run as the next one is proposed (volume, distance …); one for each run.
    pub sizes: &'a [f64],
    /// Whether a larger run gives larger readings (volumes do, speeds do not).
    pub readings_grow: bool,
}

/// One run as it is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunPoint {
    /// Indicated over actual.
    pub ratio: f64,
    /// Expanded uncertainty of this ratio from the readings of this run alone.
    pub expanded: f64,
}

/// Something about the runs that a person should look at before trusting the result.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Flag {
    /// One run shows no spread: its uncertainty is unknown, not small.
    SingleRun,
    /// One run lies away from the others further than chance allows.
    Outlier {
        /// Index of the run.
        run_idx: usize,
        /// Its ratio against that of all runs.
        deviation: Share,
    },
    /// The runs disagree by more than the tolerance that they are to prove.
    Scatter {
        /// Relative standard deviation of the run ratios.
        spread: Share,
        /// The tolerance.
        limit: Share,
    },
    /// Indicated is more than twice or less than half the actual: a unit may be mixed up.
    FarFromOne {
        /// Indicated over actual.
        ratio: f64,
    },
    /// The steps of the readings alone are coarser than the tolerance.
    CoarseReadings {
        /// Relative expanded uncertainty of one run from its readings.
        expanded: Share,
        /// The tolerance.
        limit: Share,
    },
}

/// What a ratio trial says.
#[derive(Clone, Debug, PartialEq)]
pub struct RatioOutcome {
    /// Σ indicated over Σ actual.
    pub ratio: f64,
    /// `ratio − 1`: above zero when the console shows too much.
    pub error: Share,
    /// Standard deviation of the run ratios; none after a single run.
    pub spread: Option<f64>,
    /// Expanded uncertainty of the ratio, 95 %. Infinite after a single run.
    pub expanded: f64,
    /// The parts behind it. After a single run the readings and shared parts alone, so its own `expanded` is the
    /// least that the uncertainty can be.
    pub budget: Budget,
    /// Whether the ratio can be told from 1: `|error| > expanded`. If not, keep the old number.
    pub told_apart: bool,
    /// Verdict against `tolerance`.
    pub verdict: Verdict,
    /// The tolerance judged against.
    pub tolerance: Tolerance,
    /// What would decide; the size is in the unit of `sizes`.
    pub next: Next<f64>,
    /// What to look at first.
    pub flags: Vec<Flag>,
    /// The runs, in the order given.
    pub runs: Vec<RunPoint>,
}

impl RatioOutcome {
    /// Expanded uncertainty relative to the ratio.
    #[must_use]
    pub fn expanded_relative(&self) -> f64 {
        self.expanded / self.ratio
    }
}

/// Why a trial cannot be worked out. Values are in SI.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum TrialError {
    /// No run yet.
    NoRuns,
    /// Indicated is negative or not finite.
    Indicated {
        /// Index of the run.
        run_idx: usize,
        /// What was given.
        got: f64,
    },
    /// The console counted nothing although something passed: a wire or a sensor, not a number.
    IndicatedZero {
        /// Index of the run.
        run_idx: usize,
        /// What passed.
        actual: f64,
    },
    /// Actual is zero, negative or not finite.
    Actual {
        /// Index of the run.
        run_idx: usize,
        /// What was given.
        got: f64,
    },
    /// Indicated and actual differ by more than a factor of [`ABSURD_RATIO`].
    Absurd {
        /// Index of the run.
        run_idx: usize,
        /// What the console showed.
        indicated: f64,
        /// What was measured.
        actual: f64,
    },
    /// A step, tolerance or other width is negative or not finite.
    Width {
        /// Whose width.
        source: Source,
        /// What was given.
        got: f64,
    },
    /// Not one standard uncertainty or size for each run.
    Count {
        /// How many were given.
        got: usize,
        /// How many runs there are.
        expected: usize,
    },
    /// The tolerance is zero, negative or not finite.
    Tolerance {
        /// What was given.
        got: Share,
    },
    /// The number keyed in, or its convention, is zero, negative or not finite.
    Number {
        /// What was given.
        got: f64,
    },
    /// Full weighs no more than empty.
    Weighing {
        /// Index of the run.
        run_idx: usize,
        /// Full, in kg.
        gross_kg: f64,
        /// Empty, in kg.
        tare_kg: f64,
    },
    /// The water's temperature is outside the range of the density formula.
    Temperature {
        /// Index of the run.
        run_idx: usize,
        /// In °C.
        got_c: f64,
    },
    /// A course, time, speed or pressure that is zero, negative, not finite or absurd.
    Input {
        /// Index of the run, output or nozzle; 0 for what all share.
        idx: usize,
        /// What was given, in SI.
        got: f64,
    },
}

/// Indicated and actual may differ by this factor at most; beyond it nothing is computed.
pub const ABSURD_RATIO: f64 = 20.0;

/// Works out a ratio trial.
///
/// | symbol        | meaning                                              | range       |
/// |---------------|------------------------------------------------------|-------------|
/// | `i_r`, `a_r`  | indicated and actual of each run                     | finite, > 0 |
/// | `s`           | standard deviation of `i_r / a_r`, n − 1             |             |
/// | `u_r`         | reading uncertainty, afresh in each run              | finite, ≥ 0 |
/// | `h`           | relative width shared by all runs                    | finite, ≥ 0 |
///
/// `ratio = Σi / Σa`; Type A `s/√n` with n − 1 degrees of freedom; a reading part adds `√Σu_r² / Σ` of its side,
/// relative; shared parts add as they are. All in quadrature, Welch–Satterthwaite, Student t at the fractional degrees
/// of freedom, 95 %. The verdict judges `ratio − 1` with a guard band of the expanded uncertainty. A single run is worked
/// out, but its uncertainty is infinite.
///
/// Flags: an outlier passes Grubbs' test at 95 % and lies further off than three times its reading uncertainty and
/// half the tolerance.
///
/// # Errors
/// [`TrialError`].
///
/// # Source
/// JCGM 100:2008, 4.2, 4.3, G.4; JCGM 106:2012; Grubbs (1969), Technometrics 11, 1–21 (from memory).
///
/// # Example
/// By hand: (52 + 104) / (50 + 100) = 1.04; run ratios are both 1.04, so only the steps count:
/// √2 · 0.5/√12 ÷ 150 = 0.136 %, times 1.96 and the ratio: U = 0.002774.
/// ```
/// # use calc::ratio_trial::{RatioTrial, Run, RunPart, Side, work_out};
/// # use calc::uncertainty::{Shape, Source};
/// # use calc::verdict::{Tolerance, Verdict};
/// let runs = [Run { indicated: 52.0, actual: 50.0 }, Run { indicated: 104.0, actual: 100.0 }];
/// let outcome = work_out(&RatioTrial {
///     runs: &runs,
///     run_parts: &[RunPart::same(Source::VesselStep, Side::Actual, Shape::Resolution, 0.5, 2)],
///     shared_parts: &[],
///     tolerance: Tolerance::RATE_CONTROL,
///     sizes: &[50.0, 100.0],
///     readings_grow: true,
/// })?;
/// assert!((outcome.ratio - 1.04).abs() < 1e-12);
/// assert!((outcome.expanded - 0.002_774).abs() < 1e-6);
/// assert_eq!(outcome.verdict, Verdict::Within);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn work_out(trial: &RatioTrial<'_>) -> Result<RatioOutcome, TrialError> {
    check(trial)?;
    let n = trial.runs.len();
    let limit = trial.tolerance.limit.as_fraction();
    let sum = |side| trial.runs.iter().map(|run| value(*run, side)).sum::<f64>();
    let (indicated_sum, actual_sum) = (sum(Side::Indicated), sum(Side::Actual));
    let ratio = indicated_sum / actual_sum;
    let ratios: Vec<f64> = trial.runs.iter().map(|run| run.indicated / run.actual).collect();
    let spread = standard_deviation(&ratios).ok();

    let mut parts = Vec::with_capacity(trial.run_parts.len() + trial.shared_parts.len() + 1);
    if let Some(s) = spread {
        parts.push(Part::normal(Source::Spread, s / (n as f64).sqrt(), 1.0, (n - 1) as f64));
    }
    let (mut falling_2, mut steady_2) = (0.0, 0.0);
    for part in trial.run_parts {
        let standard = part.standards.iter().map(|u| u * u).sum::<f64>().sqrt();
        let total = if part.side == Side::Indicated { indicated_sum } else { actual_sum };
        parts.push(Part::normal(part.source, standard / total, ratio, f64::INFINITY));
        // Of one average run: n runs together are √n times better than one.
        let one_2 = (standard / total).powi(2) * n as f64;
        if part.falls_with_size { falling_2 += one_2 } else { steady_2 += one_2 }
    }
    let mut shared_2 = 0.0;
    for part in trial.shared_parts {
        let part = Part {
            source: part.source,
            shape: part.shape,
            width: part.relative,
            sensitivity: ratio,
            dof: f64::INFINITY,
        };
        shared_2 += part.standard().powi(2);
        parts.push(part);
    }
    let budget = combine(&parts, CONFIDENCE).map_err(budget_error)?;
    let expanded = if n == 1 { f64::INFINITY } else { budget.expanded };
    let error = ratio - 1.0;
    let verdict = judge(error, expanded, limit);
    let normal_k = two_sided(CONFIDENCE, f64::INFINITY).unwrap_or(f64::INFINITY);
    let points = points(trial, &ratios, normal_k);
    let next = if verdict == Verdict::NotProvenYet {
        Plan {
            n_runs: n,
            spread: spread.map(|s| s / ratio),
            falling: falling_2.sqrt(),
            steady: steady_2.sqrt(),
            shared: shared_2.sqrt(),
            needed: (error.abs() - limit).abs() / ratio,
            readings_grow: trial.readings_grow,
            mean_size: trial.sizes.iter().sum::<f64>() / n as f64,
        }
        .search()
    } else {
        Next::Nothing
    };
    let coarse = normal_k * falling_2.sqrt().hypot(steady_2.sqrt());
    let flags = flags(trial, ratio, spread, &points, coarse);
    Ok(RatioOutcome {
        ratio,
        error: Share::from_fraction(error),
        spread,
        expanded,
        budget,
        told_apart: error.abs() > expanded,
        verdict,
        tolerance: trial.tolerance,
        next,
        flags,
        runs: points,
    })
}

/// Critical value of Grubbs' two-sided test for one outlier among `n` values, 95 %; none below three values.
///
/// `(n−1)/√n · √(t²/(n−2+t²))` with `t` at 1 − 0.05/n two-sided and n − 2 degrees of freedom.
///
/// # Source
/// Grubbs (1969); the table value for n = 10 is 2.290 (from memory, also in ASTM E178).
///
/// # Example
/// For n = 3 no value can exceed 2/√3 = 1.1547, and the critical one lies just below.
/// ```
/// # use calc::ratio_trial::grubbs_critical;
/// assert!(grubbs_critical(3).is_some_and(|g| 1.150 < g && g < 1.1547));
/// assert!(grubbs_critical(10).is_some_and(|g| (g - 2.290).abs() < 5e-4));
/// ```
#[must_use]
pub fn grubbs_critical(n: usize) -> Option<f64> {
    if n < 3 {
        return None;
    }
    let count = n as f64;
    let t = two_sided(1.0 - 0.05 / count, count - 2.0).ok()?;
    Some((count - 1.0) / count.sqrt() * (t * t / (count - 2.0 + t * t)).sqrt())
}

fn value(run: Run, side: Side) -> f64 {
    match side {
        Side::Indicated => run.indicated,
        Side::Actual => run.actual,
    }
}

fn points(trial: &RatioTrial<'_>, ratios: &[f64], k: f64) -> Vec<RunPoint> {
    ratios
        .iter()
        .zip(trial.runs)
        .enumerate()
        .map(|(idx, (ratio, run))| {
            let relative_2: f64 =
                trial.run_parts.iter().map(|p| (p.standards[idx] / value(*run, p.side)).powi(2)).sum();
            RunPoint { ratio: *ratio, expanded: k * ratio * relative_2.sqrt() }
        })
        .collect()
}

fn flags(
    trial: &RatioTrial<'_>,
    ratio: f64,
    spread: Option<f64>,
    points: &[RunPoint],
    coarse: f64,
) -> Vec<Flag> {
    let limit = trial.tolerance.limit;
    let mut flags = Vec::new();
    match spread {
        None => flags.push(Flag::SingleRun),
        Some(s) => {
            if s / ratio > limit.as_fraction() {
                flags.push(Flag::Scatter { spread: Share::from_fraction(s / ratio), limit });
            }
            flags.extend(outlier(points, s, limit.as_fraction(), ratio));
        }
    }
    if !(0.5..=2.0).contains(&ratio) {
        flags.push(Flag::FarFromOne { ratio });
    }
    if coarse > limit.as_fraction() {
        flags.push(Flag::CoarseReadings { expanded: Share::from_fraction(coarse), limit });
    }
    flags
}

fn outlier(points: &[RunPoint], s: f64, limit: f64, ratio: f64) -> Option<Flag> {
    let critical = grubbs_critical(points.len())?;
    let mean = points.iter().map(|p| p.ratio).sum::<f64>() / points.len() as f64;
    let (run_idx, point) = points
        .iter()
        .enumerate()
        .max_by(|(_, a), (_, b)| (a.ratio - mean).abs().total_cmp(&(b.ratio - mean).abs()))?;
    let away = (point.ratio - mean).abs();
    // A point's `expanded` is 1.96 standard uncertainties.
    let beyond_reading = away > 1.5 * point.expanded && away / ratio > 0.5 * limit;
    (s > 0.0 && away / s > critical && beyond_reading)
        .then_some(Flag::Outlier { run_idx, deviation: Share::from_fraction(point.ratio / ratio - 1.0) })
}

fn check(trial: &RatioTrial<'_>) -> Result<(), TrialError> {
    let n = trial.runs.len();
    if n == 0 {
        return Err(TrialError::NoRuns);
    }
    if !trial.tolerance.is_sensible() {
        return Err(TrialError::Tolerance { got: trial.tolerance.limit });
    }
    for (run_idx, run) in trial.runs.iter().enumerate() {
        check_run(run_idx, *run)?;
    }
    for part in trial.run_parts {
        if part.standards.len() != n {
            return Err(TrialError::Count { got: part.standards.len(), expected: n });
        }
        for got in &part.standards {
            check_width(part.source, *got)?;
        }
    }
    for part in trial.shared_parts {
        check_width(part.source, part.relative)?;
    }
    if trial.sizes.len() != n {
        return Err(TrialError::Count { got: trial.sizes.len(), expected: n });
    }
    Ok(())
}

fn check_run(run_idx: usize, run: Run) -> Result<(), TrialError> {
    let Run { indicated, actual } = run;
    if !(actual.is_finite() && actual > 0.0) {
        return Err(TrialError::Actual { run_idx, got: actual });
    }
    if !(indicated.is_finite() && indicated >= 0.0) {
        return Err(TrialError::Indicated { run_idx, got: indicated });
    }
    if indicated == 0.0 {
        return Err(TrialError::IndicatedZero { run_idx, actual });
    }
    let ratio = indicated / actual;
    if !(ABSURD_RATIO.recip()..=ABSURD_RATIO).contains(&ratio) {
        return Err(TrialError::Absurd { run_idx, indicated, actual });
    }
    Ok(())
}

pub(crate) fn check_width(source: Source, got: f64) -> Result<(), TrialError> {
    if got.is_finite() && got >= 0.0 { Ok(()) } else { Err(TrialError::Width { source, got }) }
}

/// Widths are checked before a budget is made, so only a sum that overflows can still fail.
pub(crate) fn budget_error(error: BudgetError) -> TrialError {
    match error {
        BudgetError::Part { got } => TrialError::Width { source: got.source, got: got.width },
        BudgetError::Student(_) => TrialError::Width { source: Source::Other, got: f64::NAN },
    }
}
