//! Proving the course number: console distance against a taped course, or console speed against a stopwatch; and the
//! number that a wheel gives.
//!
//! The statistics are [`crate::ratio_trial`]'s.

use units::{Duration, Length, LengthUnit, PulsesPerDistance, Share, Speed};

use crate::keyin::{Corrected, KeyedPulses};
use crate::meter_trial::number_error;
use crate::next_run::Next;
use crate::ratio_trial::{
    RatioOutcome, RatioTrial, Run, RunPart, SharedPart, Side, TrialError, budget_error, check_width, work_out,
};
use crate::stats::{mean, standard_deviation};
use crate::student_t::two_sided;
use crate::uncertainty::{Budget, CONFIDENCE, Part, Shape, Source, combine};
use crate::verdict::Tolerance;

/// Which way the course was driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// From the first mark to the second.
    Out,
    /// Back again.
    Back,
}

/// One drive along the course, read as a distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DistanceRun {
    /// What the console showed, > 0.
    pub indicated: Length,
    /// Which way.
    pub direction: Direction,
}

/// One drive along the course at a steady speed, timed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimedRun {
    /// Speed that the console showed, > 0.
    pub indicated: Speed,
    /// What the stopwatch said, > 0.
    pub time: Duration,
    /// Which way.
    pub direction: Direction,
}

/// How well the course is known and met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Course {
    /// Taped length, > 0.
    pub length: Length,
    /// Smallest graduation of the tape, as it was read.
    pub tape_step: Length,
    /// What the tape and its laying may be off, either way, as a share of the length.
    pub tape_tolerance: Share,
    /// How far off the marks the vehicle may start and stop, either way, both ends together.
    pub marks: Length,
}

/// How well a stopwatch is worked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stopwatch {
    /// Smallest step of its display.
    pub step: Duration,
    /// Standard uncertainty of starting and stopping it by hand.
    pub hand: Duration,
}

impl Stopwatch {
    /// A hundredth of a second on the display and 0.15 s by hand, the middle of the 0.1 to 0.2 s that are usual
    /// (common practice, no source).
    pub const BY_HAND: Self = Self { step: Duration::from_s(0.01), hand: Duration::from_s(0.15) };
}

/// A course trial.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseTrial<R, S> {
    /// The course number keyed in during the runs.
    pub keyed: KeyedPulses<LengthUnit>,
    /// The course.
    pub course: Course,
    /// The drives, at least one.
    pub runs: Vec<R>,
    /// How well the console (and the watch) can be read.
    pub reading: S,
    /// How far the console may be off. [`Tolerance::RATE_CONTROL`] unless somebody knows better.
    pub tolerance: Tolerance,
}

/// Reading of a distance trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DistanceReading {
    /// Smallest step of the console's distance.
    pub console_step: Length,
}

/// Reading of a speed trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeedReading {
    /// Smallest step of the console's speed.
    pub console_step: Speed,
    /// The watch.
    pub stopwatch: Stopwatch,
}

/// Whether out and back differ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DirectionGap {
    /// Mean ratio out over mean ratio back, less one.
    pub gap: Share,
    /// Its expanded uncertainty, 95 %; infinite where no spread is known.
    pub expanded: Share,
    /// Whether they can be told apart: wind, slope, tyre slip or marks.
    pub told_apart: bool,
}

/// What a course trial says.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseOutcome {
    /// Ratio, budget, verdict, flags, the runs for drawing.
    pub ratio: RatioOutcome,
    /// The new number in the console's convention. Worth keying in when [`RatioOutcome::told_apart`].
    pub corrected: Corrected,
    /// The new number as pulses per distance, before rounding.
    pub number: PulsesPerDistance,
    /// Out against back; none when only one way was driven.
    pub directions: Option<DirectionGap>,
    /// What to drive next; the size is the length of the course.
    pub next: Next<Length>,
    /// True speed of each run; empty for a trial by distance.
    pub speeds: Vec<Speed>,
}

/// Vehicles faster than this (300 km/h) are a slip of the pen, not a sprayer.
pub const ABSURD_SPEED: Speed = Speed::from_km_per_h(300.0);

/// A course trial by the console's distance.
///
/// | symbol | meaning                                | range       |
/// |--------|----------------------------------------|-------------|
/// | `i`    | console's distance of a drive          | finite, > 0 |
/// | `L`    | taped length                           | finite, > 0 |
/// | `δ`    | steps of console and tape              | finite, ≥ 0 |
/// | `m`    | half-width of hitting the marks        | finite, ≥ 0 |
/// | `h`    | tape tolerance, share                  | finite, ≥ 0 |
///
/// `ratio = Σi / (n·L)`; a counting number grows by it, a spacing number shrinks. Console step, tape step and marks are
/// drawn afresh in each drive, the tape's tolerance is shared.
///
/// # Errors
/// [`TrialError`].
///
/// # Source
/// Definition; JCGM 100 and 106 as in [`work_out`]. Cornell Univ.: at least 100 ft, both directions; longer is better.
///
/// # Example
/// Reference table "course_five_runs" (uncertainties 3.2.3, scipy 1.17.1): 1304 becomes 1313.128 ± 2.4968.
/// ```
/// # use calc::course_trial::{Course, CourseTrial, Direction, DistanceReading, DistanceRun, by_distance};
/// # use calc::keyin::KeyedPulses;
/// # use calc::verdict::Tolerance;
/// # use units::{Length, LengthUnit, PulseConvention, Share};
/// let m = Length::from_m;
/// let run = |indicated| DistanceRun { indicated: m(indicated), direction: Direction::Out };
/// let outcome = by_distance(&CourseTrial {
///     keyed: KeyedPulses { number: 1304.0, convention: PulseConvention::counting(10.0, LengthUnit::Metre), step: None },
///     course: Course { length: m(100.0), tape_step: m(0.01), tape_tolerance: Share::from_percent(0.05), marks: m(0.0) },
///     runs: [100.6, 100.9, 100.5, 100.8, 100.7].map(run).to_vec(),
///     reading: DistanceReading { console_step: m(0.1) },
///     tolerance: Tolerance::RATE_CONTROL,
/// })?;
/// assert!((outcome.corrected.exact - 1313.128).abs() < 1e-6);
/// assert!((outcome.corrected.expanded - 2.496_700_765).abs() < 1e-6);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn by_distance(trial: &CourseTrial<DistanceRun, DistanceReading>) -> Result<CourseOutcome, TrialError> {
    check_course(trial.course)?;
    let step_m = trial.reading.console_step.as_m();
    check_width(Source::ConsoleStep, step_m)?;
    let n = trial.runs.len();
    let length_m = trial.course.length.as_m();
    let runs: Vec<Run> =
        trial.runs.iter().map(|r| Run { indicated: r.indicated.as_m(), actual: length_m }).collect();
    let run_parts = [
        RunPart::same(Source::ConsoleStep, Side::Indicated, Shape::Resolution, step_m, n),
        RunPart::same(Source::TapeStep, Side::Actual, Shape::Resolution, trial.course.tape_step.as_m(), n),
        RunPart::same(Source::CourseMarks, Side::Actual, Shape::Rectangular, trial.course.marks.as_m(), n),
    ];
    let directions: Vec<Direction> = trial.runs.iter().map(|r| r.direction).collect();
    Measured::along(trial).finish(&runs, &run_parts, &directions, true, Vec::new())
}

/// A course trial by the console's speed against a stopwatch.
///
/// | symbol | meaning                                       | range                      |
/// |--------|-----------------------------------------------|----------------------------|
/// | `v̂`    | console's speed, held steady over the course  | > 0, below [`ABSURD_SPEED`] |
/// | `L`    | taped length                                  | finite, > 0                |
/// | `t`    | time                                          | finite, > 0                |
///
/// Actual speed `L / t`, `ratio = Σv̂ / Σ(L/t)`, then as [`by_distance`]. The watch's step and the hand on it are drawn
/// afresh in each drive; a longer course makes them smaller, the console's step of speed it does not. A speed read off
/// by eye is coarser than a distance: prefer [`by_distance`] where the console has one.
///
/// # Errors
/// [`TrialError`]; a speed or time that is absurd is [`TrialError::Input`].
///
/// # Source
/// Definition; JCGM 100 and 106 as in [`work_out`].
///
/// # Example
/// By hand: 88 ft in 10 s is 6 mph; the console says 6.3, so it shows 5 % too much and a counting number grows by 5 %.
/// ```
/// # use calc::course_trial::{Course, CourseTrial, Direction, SpeedReading, Stopwatch, TimedRun, by_stopwatch};
/// # use calc::keyin::KeyedPulses;
/// # use calc::verdict::Tolerance;
/// # use units::{Duration, Length, LengthUnit, PulseConvention, Share, Speed};
/// let ft = Length::from_ft;
/// let run = TimedRun { indicated: Speed::from_mph(6.3), time: Duration::from_s(10.0), direction: Direction::Out };
/// let outcome = by_stopwatch(&CourseTrial {
///     keyed: KeyedPulses { number: 2000.0, convention: PulseConvention::counting(300.0, LengthUnit::Foot), step: None },
///     course: Course { length: ft(88.0), tape_step: ft(0.01), tape_tolerance: Share::from_percent(0.1), marks: ft(0.1) },
///     runs: vec![run; 3],
///     reading: SpeedReading { console_step: Speed::from_mph(0.1), stopwatch: Stopwatch::BY_HAND },
///     tolerance: Tolerance::RATE_CONTROL,
/// })?;
/// assert!((outcome.corrected.exact - 2100.0).abs() < 1e-6);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn by_stopwatch(trial: &CourseTrial<TimedRun, SpeedReading>) -> Result<CourseOutcome, TrialError> {
    check_course(trial.course)?;
    let step_m_s = trial.reading.console_step.as_m_per_s();
    let watch = trial.reading.stopwatch;
    check_width(Source::ConsoleStep, step_m_s)?;
    check_width(Source::StopwatchStep, watch.step.as_s())?;
    check_width(Source::StopwatchHand, watch.hand.as_s())?;
    let length_m = trial.course.length.as_m();
    let mut runs = Vec::with_capacity(trial.runs.len());
    for (idx, run) in trial.runs.iter().enumerate() {
        let t_s = run.time.as_s();
        let sensible_time = t_s.is_finite() && t_s > 0.0 && length_m / t_s < ABSURD_SPEED.as_m_per_s();
        if !sensible_time {
            return Err(TrialError::Input { idx, got: t_s });
        }
        if run.indicated >= ABSURD_SPEED {
            return Err(TrialError::Input { idx, got: run.indicated.as_m_per_s() });
        }
        runs.push(Run { indicated: run.indicated.as_m_per_s(), actual: length_m / t_s });
    }
    let n = runs.len();
    let of_time = |source, shape, width_s: f64| {
        let mut part = RunPart::same(source, Side::Actual, shape, width_s, n);
        for (u, (run, timed)) in part.standards.iter_mut().zip(runs.iter().zip(&trial.runs)) {
            *u *= run.actual / timed.time.as_s();
        }
        part
    };
    let of_length = |source, shape, width_m: f64| {
        let mut part = RunPart::same(source, Side::Actual, shape, width_m, n);
        for (u, run) in part.standards.iter_mut().zip(&runs) {
            *u *= run.actual / length_m;
        }
        part
    };
    let mut console = RunPart::same(Source::ConsoleStep, Side::Indicated, Shape::Resolution, step_m_s, n);
    console.falls_with_size = false;
    let run_parts = [
        console,
        of_time(Source::StopwatchStep, Shape::Resolution, watch.step.as_s()),
        of_time(Source::StopwatchHand, Shape::Normal, watch.hand.as_s()),
        of_length(Source::TapeStep, Shape::Resolution, trial.course.tape_step.as_m()),
        of_length(Source::CourseMarks, Shape::Rectangular, trial.course.marks.as_m()),
    ];
    let directions: Vec<Direction> = trial.runs.iter().map(|r| r.direction).collect();
    let speeds = runs.iter().map(|run| Speed::from_m_per_s(run.actual)).collect();
    Measured::along(trial).finish(&runs, &run_parts, &directions, false, speeds)
}

/// What a wheel sensor gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Wheel {
    /// Distance rolled, loaded, over `turns`; one for each time it was measured.
    pub rolled: Vec<Length>,
    /// Turns behind each distance, > 0; ten are usual.
    pub turns: f64,
    /// Pulses of the sensor for each turn, > 0.
    pub pulses_per_turn: f64,
    /// Smallest graduation of the tape.
    pub tape_step: Length,
    /// What the tape may be off, either way, as a share.
    pub tape_tolerance: Share,
}

/// What a measured wheel says.
#[derive(Clone, Debug, PartialEq)]
pub struct WheelOutcome {
    /// Rolling circumference.
    pub circumference: Length,
    /// Pulses per distance.
    pub number: PulsesPerDistance,
    /// Relative expanded uncertainty of both, 95 %; infinite when it was rolled only once.
    pub expanded: Share,
    /// The parts behind it, relative. After one rolling the tape's parts alone.
    pub budget: Budget,
}

/// Pulses per distance from a wheel's rolling circumference.
///
/// | symbol | meaning                               | range       |
/// |--------|---------------------------------------|-------------|
/// | `L`    | distance rolled, loaded               | finite, > 0 |
/// | `n`    | turns                                 | finite, > 0 |
/// | `p`    | pulses per turn                       | finite, > 0 |
///
/// `circumference = mean(L) / n`, `number = p · n / mean(L)`.
///
/// # Errors
/// [`TrialError`]; [`TrialError::Input`] for turns, pulses or a distance that is not above zero.
///
/// # Source
/// Definition; budget as in [`work_out`].
///
/// # Example
/// By hand: ten turns roll 25 m, so 2.5 m a turn; 50 pulses a turn are 20 in a metre.
/// ```
/// # use calc::course_trial::{Wheel, wheel_number};
/// # use units::{Length, Share};
/// let wheel = Wheel {
///     rolled: vec![Length::from_m(25.02), Length::from_m(24.98)],
///     turns: 10.0,
///     pulses_per_turn: 50.0,
///     tape_step: Length::from_cm(1.0),
///     tape_tolerance: Share::from_percent(0.05),
/// };
/// let outcome = wheel_number(&wheel)?;
/// assert!((outcome.circumference.as_m() - 2.5).abs() < 1e-9);
/// assert!((outcome.number.as_per_m() - 20.0).abs() < 1e-9);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn wheel_number(wheel: &Wheel) -> Result<WheelOutcome, TrialError> {
    for got in [wheel.turns, wheel.pulses_per_turn] {
        if !(got.is_finite() && got > 0.0) {
            return Err(TrialError::Input { idx: 0, got });
        }
    }
    check_width(Source::TapeStep, wheel.tape_step.as_m())?;
    check_width(Source::TapeTolerance, wheel.tape_tolerance.as_fraction())?;
    let rolled_m: Vec<f64> = wheel.rolled.iter().map(|l| l.as_m()).collect();
    if let Some((idx, got)) = rolled_m.iter().enumerate().find(|(_, m)| !(m.is_finite() && **m > 0.0)) {
        return Err(TrialError::Input { idx, got: *got });
    }
    let n = rolled_m.len() as f64;
    let mean_m = mean(&rolled_m).map_err(|_| TrialError::NoRuns)?;
    let mut parts = vec![
        Part::resolution(Source::TapeStep, wheel.tape_step.as_m(), 1.0 / (mean_m * n.sqrt())),
        Part::rectangular(Source::TapeTolerance, wheel.tape_tolerance.as_fraction(), 1.0),
    ];
    let spread_m = standard_deviation(&rolled_m).ok();
    if let Some(s_m) = spread_m {
        parts.push(Part::normal(Source::Spread, s_m / n.sqrt(), 1.0 / mean_m, n - 1.0));
    }
    let budget = combine(&parts, CONFIDENCE).map_err(budget_error)?;
    let expanded = if spread_m.is_some() { budget.expanded } else { f64::INFINITY };
    Ok(WheelOutcome {
        circumference: Length::from_m(mean_m / wheel.turns),
        number: PulsesPerDistance::from_per_m(wheel.pulses_per_turn * wheel.turns / mean_m),
        expanded: Share::from_fraction(expanded),
        budget,
    })
}

/// A wheel held against the course number that is keyed in.
#[derive(Clone, Debug, PartialEq)]
pub struct WheelTrial {
    /// The course number keyed in now.
    pub keyed: KeyedPulses<LengthUnit>,
    /// The wheel as measured.
    pub wheel: Wheel,
    /// How far the console may be off. [`Tolerance::RATE_CONTROL`] unless somebody knows better.
    pub tolerance: Tolerance,
}

/// What a wheel says, by itself and against the number that is keyed in.
#[derive(Clone, Debug, PartialEq)]
pub struct WheelAgainstNumber {
    /// Circumference and pulses.
    pub wheel: WheelOutcome,
    /// The course number; out and back are the same to a wheel.
    pub course: CourseOutcome,
}

/// A course trial by a wheel that is rolled beside a tape: the pulses of its turns, as the console would count them with the
/// number that is keyed in, against the tape.
///
/// | symbol | meaning                                   | range       |
/// |--------|-------------------------------------------|-------------|
/// | `L`    | distance rolled, loaded                   | finite, > 0 |
/// | `n, p` | turns, pulses per turn                    | finite, > 0 |
/// | `c`    | keyed-in number as pulses per distance    | > 0         |
///
/// Each rolling is a run that the console would show as `n·p/c`; then as [`by_distance`], with the tape's step drawn afresh
/// in each rolling and its tolerance shared. The new number is that of [`wheel_number`].
///
/// # Errors
/// [`TrialError`], as [`wheel_number`] and [`by_distance`].
///
/// # Source
/// Definition; JCGM 100 and 106 as in [`work_out`].
///
/// # Example
/// By hand: ten turns of 50 pulses on 25 m are 20 pulses in a metre, 2000 on 100 m. With 1960 keyed in the console would show
/// 500 ÷ 19.6 = 25.51 m for 25 m, 2.04 % too much.
/// ```
/// # use calc::course_trial::{Wheel, WheelTrial, by_wheel};
/// # use calc::keyin::KeyedPulses;
/// # use calc::verdict::Tolerance;
/// # use units::{Length, LengthUnit, PulseConvention, Share};
/// let outcome = by_wheel(&WheelTrial {
///     keyed: KeyedPulses { number: 1960.0, convention: PulseConvention::counting(100.0, LengthUnit::Metre), step: None },
///     wheel: Wheel {
///         rolled: vec![Length::from_m(25.02), Length::from_m(24.98)],
///         turns: 10.0,
///         pulses_per_turn: 50.0,
///         tape_step: Length::from_cm(1.0),
///         tape_tolerance: Share::from_percent(0.05),
///     },
///     tolerance: Tolerance::RATE_CONTROL,
/// })?;
/// assert!((outcome.course.corrected.exact - 2000.0).abs() < 1e-6);
/// assert!((outcome.course.ratio.error.as_percent() - 2.0408).abs() < 1e-4);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn by_wheel(trial: &WheelTrial) -> Result<WheelAgainstNumber, TrialError> {
    let wheel = wheel_number(&trial.wheel)?;
    let keyed: PulsesPerDistance = trial.keyed.meaning().map_err(number_error)?;
    let shown_m = keyed.distance_of(trial.wheel.turns * trial.wheel.pulses_per_turn).as_m();
    let sizes: Vec<f64> = trial.wheel.rolled.iter().map(|l| l.as_m()).collect();
    let runs: Vec<Run> = sizes.iter().map(|m| Run { indicated: shown_m, actual: *m }).collect();
    let step_m = trial.wheel.tape_step.as_m();
    let step = RunPart::same(Source::TapeStep, Side::Actual, Shape::Resolution, step_m, runs.len());
    let course = Measured {
        keyed: trial.keyed,
        tolerance: trial.tolerance,
        tape_tolerance: trial.wheel.tape_tolerance,
        sizes,
    }
    .finish(&runs, &[step], &[], true, Vec::new())?;
    Ok(WheelAgainstNumber { wheel, course })
}

fn check_course(course: Course) -> Result<(), TrialError> {
    let length_m = course.length.as_m();
    if !(length_m.is_finite() && length_m > 0.0) {
        return Err(TrialError::Input { idx: 0, got: length_m });
    }
    check_width(Source::TapeStep, course.tape_step.as_m())?;
    check_width(Source::CourseMarks, course.marks.as_m())?;
    check_width(Source::TapeTolerance, course.tape_tolerance.as_fraction())
}

/// What every way of the trial has in common.
struct Measured {
    keyed: KeyedPulses<LengthUnit>,
    tolerance: Tolerance,
    tape_tolerance: Share,
    /// True length of each run, m.
    sizes: Vec<f64>,
}

impl Measured {
    fn along<R, S>(trial: &CourseTrial<R, S>) -> Self {
        Self {
            keyed: trial.keyed,
            tolerance: trial.tolerance,
            tape_tolerance: trial.course.tape_tolerance,
            sizes: vec![trial.course.length.as_m(); trial.runs.len()],
        }
    }

    fn finish(
        &self,
        runs: &[Run],
        run_parts: &[RunPart],
        directions: &[Direction],
        readings_grow: bool,
        speeds: Vec<Speed>,
    ) -> Result<CourseOutcome, TrialError> {
        let shared = [SharedPart {
            source: Source::TapeTolerance,
            shape: Shape::Rectangular,
            relative: self.tape_tolerance.as_fraction(),
        }];
        let ratio = work_out(&RatioTrial {
            runs,
            run_parts,
            shared_parts: &shared,
            tolerance: self.tolerance,
            sizes: &self.sizes,
            readings_grow,
        })?;
        let corrected = self.keyed.corrected(ratio.ratio, ratio.expanded).map_err(number_error)?;
        Ok(CourseOutcome {
            number: self.keyed.convention.meaning(corrected.exact),
            directions: direction_gap(&ratio, directions),
            next: ratio.next.map(Length::from_m),
            speeds,
            ratio,
            corrected,
        })
    }
}

/// Pooled two-sample comparison; what all drives share (the tape) cancels.
fn direction_gap(ratio: &RatioOutcome, directions: &[Direction]) -> Option<DirectionGap> {
    let of = |wanted| -> Vec<f64> {
        let both = ratio.runs.iter().zip(directions);
        both.filter(|(_, d)| **d == wanted).map(|(run, _)| run.ratio).collect()
    };
    let (out, back) = (of(Direction::Out), of(Direction::Back));
    let (mean_out, mean_back) = (mean(&out).ok()?, mean(&back).ok()?);
    let dof = (out.len() + back.len()).saturating_sub(2) as f64;
    let squares = |values: &[f64], centre: f64| values.iter().map(|x| (x - centre).powi(2)).sum::<f64>();
    let s_2 = (squares(&out, mean_out) + squares(&back, mean_back)) / dof;
    // The steps of the readings also part the two means.
    let reading = ratio.runs.iter().map(|r| r.expanded).fold(0.0, f64::max) / 1.96;
    let share = 1.0 / out.len() as f64 + 1.0 / back.len() as f64;
    let u_2 = (s_2 + reading * reading) * share;
    let dof_eff = if s_2 > 0.0 { dof * (1.0 + reading * reading / s_2).powi(2) } else { f64::INFINITY };
    let k = if dof > 0.0 { two_sided(CONFIDENCE, dof_eff).ok()? } else { f64::INFINITY };
    let gap = mean_out / mean_back - 1.0;
    let expanded = if dof > 0.0 { k * u_2.sqrt() / mean_back } else { f64::INFINITY };
    Some(DirectionGap {
        gap: Share::from_fraction(gap),
        expanded: Share::from_fraction(expanded),
        told_apart: gap.abs() > expanded,
    })
}
