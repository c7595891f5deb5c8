//! The standing run: truck still, console on a simulated speed. What should be seen and caught, and whether it was.
//!
//! The prediction is [`crate::model`]'s; this module puts readings beside it.

use units::{Area, Duration, FlowRate, Pressure, Quantity, Share, Speed, Volume};

use crate::course_trial::Stopwatch;
use crate::model::{Condition, Dose, ErrorFactors, ModelError, Motion, Prediction, Totals, predict};
use crate::ratio_trial::{TrialError, budget_error, check_width};
use crate::rig::Rig;
use crate::uncertainty::{Budget, CONFIDENCE, Part, Source, combine};
use crate::verdict::{Tolerance, Verdict, judge, worst};

/// A standing run as it is planned.
#[derive(Clone, Debug, PartialEq)]
pub struct StandingRun<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// Simulated speed, > 0.
    pub speed: Speed,
    /// Which sections are on.
    pub sections_on: Vec<bool>,
    /// What each injection pump gives.
    pub doses: Vec<Dose>,
    /// How long, > 0.
    pub time: Duration,
}

/// What should be seen and caught.
#[derive(Clone, Debug, PartialEq)]
pub struct Expected {
    /// The state of the rig: flows, pressure, shown rate.
    pub prediction: Prediction,
    /// What the console should show after the time.
    pub shown: Totals,
    /// What should really have left after the time.
    pub actual: Totals,
    /// What each nozzle should have given, product included; none where the nozzles are not known.
    pub per_nozzle: Option<Volume>,
}

/// Why a standing run cannot be worked out.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum StandingRunError {
    /// Nothing can be predicted.
    Model(ModelError),
    /// The time is zero, negative or not finite.
    Time {
        /// What was given.
        got: Duration,
    },
    /// A reading makes no sense.
    Reading {
        /// The line.
        line: Line,
        /// What was given, in SI.
        got: f64,
    },
    /// There is a reading for something that cannot be predicted for this rig.
    NotPredicted {
        /// The line.
        line: Line,
    },
    /// A width, tolerance or stopwatch makes no sense.
    Trial(TrialError),
}

/// Predicts a standing run of a rig whose numbers are all right.
///
/// Ranges: simulated speed and time finite, > 0; one switch for each section, one dose for each pump.
/// `q = R·v·w`, `V = q·t`, `A = v·w·t`, `q_p = R_p·v·w`, each nozzle `(V + ΣV_p) / n`.
///
/// # Errors
/// [`StandingRunError::Model`], [`StandingRunError::Time`].
///
/// # Source
/// The forward model, [`predict`].
///
/// # Example
/// By hand: 20 gal/ac at 6 mph on 33 ft is 8 gal/min, so 16 gal and 0.8 ac in two minutes.
/// ```
/// # use calc::rig::{Carrier, Rig, Section};
/// # use calc::standing_run::{StandingRun, expect};
/// # use units::{Duration, Length, Speed, VolumePerArea};
/// let mut rig = Rig::blank();
/// rig.sections = vec![Section { width: Length::from_ft(33.0), n_nozzles: 20 }];
/// rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0)));
/// let run = StandingRun {
///     rig: &rig,
///     speed: Speed::from_mph(6.0),
///     sections_on: vec![true],
///     doses: vec![],
///     time: Duration::from_min(2.0),
/// };
/// let expected = expect(&run)?;
/// assert!(expected.shown.volume.is_some_and(|v| (v.as_us_gal() - 16.0).abs() < 1e-9));
/// assert!((expected.shown.area.as_ac() - 0.8).abs() < 1e-9);
/// assert!(expected.per_nozzle.is_some_and(|v| (v.as_us_gal() - 0.8).abs() < 1e-9));
/// # Ok::<(), calc::standing_run::StandingRunError>(())
/// ```
pub fn expect(run: &StandingRun<'_>) -> Result<Expected, StandingRunError> {
    let t_s = run.time.as_s();
    if !(t_s.is_finite() && t_s > 0.0) {
        return Err(StandingRunError::Time { got: run.time });
    }
    let condition = Condition {
        motion: Motion::Standing(run.speed),
        sections_on: run.sections_on.clone(),
        doses: run.doses.clone(),
    };
    let prediction =
        predict(run.rig, &ErrorFactors::none(run.rig), &condition).map_err(StandingRunError::Model)?;
    let shown = prediction.shown.after(run.time).map_err(StandingRunError::Model)?;
    let actual = prediction.actual.after(run.time).map_err(StandingRunError::Model)?;
    let product_m3: f64 = actual.products.iter().flatten().map(|v| v.as_m3()).sum();
    let per_nozzle = actual
        .volume
        .zip(prediction.n_nozzles)
        .map(|(volume, n)| Volume::from_m3((volume.as_m3() + product_m3) / f64::from(n)));
    Ok(Expected { prediction, shown, actual, per_nozzle })
}

/// Something that is read off the console or caught.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Line {
    /// Carrier flow on the console.
    ShownFlow,
    /// Carrier volume on the console.
    ShownVolume,
    /// Area on the console.
    ShownArea,
    /// Product volume on the console, by pump.
    ShownProduct(usize),
    /// Carrier drawn from the tank, by its marks or a meter of its own.
    DrawnCarrier,
    /// Product drawn from its cylinder, by pump.
    DrawnProduct(usize),
    /// What one nozzle gave (or the mean of several).
    CaughtAtNozzle,
    /// Pressure at the nozzles.
    Pressure,
}

/// One reading, in SI like its line: flow, volume, area or pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// What was read.
    pub line: Line,
    /// The reading in SI, ≥ 0. See [`Seen::flow`], [`Seen::volume`], [`Seen::area`], [`Seen::pressure`].
    pub value_si: f64,
    /// Smallest step of the reading in SI, ≥ 0.
    pub step_si: f64,
    /// What the jug, tank or gauge may be off, either way, as a share. Zero for the console's own displays.
    pub reference_tolerance: Share,
    /// How far off it may be.
    pub tolerance: Tolerance,
}

impl Seen {
    /// A flow on the console, [`Line::ShownFlow`].
    #[must_use]
    pub fn flow(value: FlowRate, step: FlowRate, tolerance: Tolerance) -> Self {
        Self::si(Line::ShownFlow, value.as_si(), step.as_si(), tolerance)
    }

    /// A volume, on the console, drawn or caught.
    #[must_use]
    pub fn volume(line: Line, value: Volume, step: Volume, tolerance: Tolerance) -> Self {
        Self::si(line, value.as_si(), step.as_si(), tolerance)
    }

    /// An area on the console, [`Line::ShownArea`].
    #[must_use]
    pub fn area(value: Area, step: Area, tolerance: Tolerance) -> Self {
        Self::si(Line::ShownArea, value.as_si(), step.as_si(), tolerance)
    }

    /// A pressure, [`Line::Pressure`].
    #[must_use]
    pub fn pressure(value: Pressure, step: Pressure, tolerance: Tolerance) -> Self {
        Self::si(Line::Pressure, value.as_si(), step.as_si(), tolerance)
    }

    /// The same, read off a vessel or gauge that may itself be off by a share.
    #[must_use]
    pub const fn with_reference(self, reference_tolerance: Share) -> Self {
        Self { reference_tolerance, ..self }
    }

    const fn si(line: Line, value_si: f64, step_si: f64, tolerance: Tolerance) -> Self {
        Self { line, value_si, step_si, reference_tolerance: Share::from_fraction(0.0), tolerance }
    }
}

/// One line, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct LineOutcome {
    /// The line.
    pub line: Line,
    /// What should have been read, in SI.
    pub expected_si: f64,
    /// What was read, in SI.
    pub seen_si: f64,
    /// Seen over expected, less one.
    pub error: Share,
    /// Its expanded uncertainty, 95 %.
    pub expanded: Share,
    /// The parts behind it, relative to what should have been read.
    pub budget: Budget,
    /// Verdict.
    pub verdict: Verdict,
}

/// What a standing run says.
#[derive(Clone, Debug, PartialEq)]
pub struct StandingRunOutcome {
    /// What should have been seen and caught.
    pub expected: Expected,
    /// One for each reading, in the order given.
    pub lines: Vec<LineOutcome>,
    /// Out if one line is out, within if all are; none without readings.
    pub verdict: Option<Verdict>,
}

/// Compares readings with the prediction.
///
/// | symbol | meaning                                 | range       |
/// |--------|-----------------------------------------|-------------|
/// | `x`    | reading                                 | finite, ≥ 0 |
/// | `X`    | prediction                              | > 0         |
/// | `δ`    | step of the reading                     | finite, ≥ 0 |
/// | `u_t`  | stopwatch, on volumes and areas alone   | finite, ≥ 0 |
///
/// `e = x / X − 1`, judged with a guard band. The prediction takes every keyed-in number and the nozzles' nominal flow as
/// right: a line that is out says that something is wrong, not what.
///
/// # Errors
/// [`StandingRunError`].
///
/// # Source
/// JCGM 100 and 106.
///
/// # Example
/// By hand: 16 gal predicted and 17.6 caught is 10 % too much, well outside 5 %.
/// ```
/// # use calc::course_trial::Stopwatch;
/// # use calc::rig::{Carrier, Rig, Section};
/// # use calc::standing_run::{Line, Seen, StandingRun, compare};
/// # use calc::verdict::{Tolerance, Verdict};
/// # use units::{Duration, Length, Speed, Volume, VolumePerArea};
/// let mut rig = Rig::blank();
/// rig.sections = vec![Section { width: Length::from_ft(33.0), n_nozzles: 0 }];
/// rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0)));
/// let run = StandingRun {
///     rig: &rig,
///     speed: Speed::from_mph(6.0),
///     sections_on: vec![true],
///     doses: vec![],
///     time: Duration::from_min(2.0),
/// };
/// let gal = Volume::from_us_gal;
/// let seen = [Seen::volume(Line::DrawnCarrier, gal(17.6), gal(0.1), Tolerance::RATE_CONTROL)];
/// let outcome = compare(&run, &seen, Stopwatch::BY_HAND)?;
/// assert!((outcome.lines[0].error.as_percent() - 10.0).abs() < 1e-9);
/// assert_eq!(outcome.verdict, Some(Verdict::Out));
/// # Ok::<(), calc::standing_run::StandingRunError>(())
/// ```
pub fn compare(
    run: &StandingRun<'_>,
    seen: &[Seen],
    stopwatch: Stopwatch,
) -> Result<StandingRunOutcome, StandingRunError> {
    let expected = expect(run)?;
    check_width(Source::StopwatchStep, stopwatch.step.as_s()).map_err(StandingRunError::Trial)?;
    check_width(Source::StopwatchHand, stopwatch.hand.as_s()).map_err(StandingRunError::Trial)?;
    let lines = seen
        .iter()
        .map(|reading| line_outcome(&expected, *reading, run.time, stopwatch))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(StandingRunOutcome { verdict: worst(lines.iter().map(|l| l.verdict)), expected, lines })
}

fn line_outcome(
    expected: &Expected,
    seen: Seen,
    time: Duration,
    stopwatch: Stopwatch,
) -> Result<LineOutcome, StandingRunError> {
    let Seen { line, value_si, step_si, reference_tolerance, tolerance } = seen;
    if !(value_si.is_finite() && value_si >= 0.0) {
        return Err(StandingRunError::Reading { line, got: value_si });
    }
    if !tolerance.is_sensible() {
        return Err(StandingRunError::Trial(TrialError::Tolerance { got: tolerance.limit }));
    }
    let expected_si =
        expected_si(expected, line).filter(|x| *x > 0.0).ok_or(StandingRunError::NotPredicted { line })?;
    let relative = value_si / expected_si;
    let (step_source, reference_source) = match line {
        Line::Pressure => (Source::GaugeStep, Source::ReferenceTolerance),
        Line::ShownFlow | Line::ShownVolume | Line::ShownArea | Line::ShownProduct(_) => {
            (Source::ConsoleStep, Source::ReferenceTolerance)
        }
        Line::DrawnCarrier | Line::DrawnProduct(_) | Line::CaughtAtNozzle => {
            (Source::VesselStep, Source::VesselTolerance)
        }
    };
    check_width(step_source, step_si).map_err(StandingRunError::Trial)?;
    check_width(reference_source, reference_tolerance.as_fraction()).map_err(StandingRunError::Trial)?;
    let mut parts = vec![
        Part::resolution(step_source, step_si, 1.0 / expected_si),
        Part::rectangular(reference_source, reference_tolerance.as_fraction(), relative),
    ];
    if !matches!(line, Line::ShownFlow | Line::Pressure) {
        let of_time = relative / time.as_s();
        parts.push(Part::resolution(Source::StopwatchStep, stopwatch.step.as_s(), of_time));
        parts.push(Part::normal(Source::StopwatchHand, stopwatch.hand.as_s(), of_time, f64::INFINITY));
    }
    let budget = combine(&parts, CONFIDENCE).map_err(|error| StandingRunError::Trial(budget_error(error)))?;
    let error = relative - 1.0;
    Ok(LineOutcome {
        line,
        expected_si,
        seen_si: value_si,
        error: Share::from_fraction(error),
        expanded: Share::from_fraction(budget.expanded),
        verdict: judge(error, budget.expanded, tolerance.limit.as_fraction()),
        budget,
    })
}

fn expected_si(expected: &Expected, line: Line) -> Option<f64> {
    let product =
        |totals: &Totals, idx: usize| totals.products.get(idx).copied().flatten().map(Volume::as_m3);
    match line {
        Line::ShownFlow => expected.prediction.shown.flow.map(FlowRate::as_m3_per_s),
        Line::ShownVolume => expected.shown.volume.map(Volume::as_m3),
        Line::ShownArea => Some(expected.shown.area.as_m2()),
        Line::ShownProduct(idx) => product(&expected.shown, idx),
        Line::DrawnCarrier => expected.actual.volume.map(Volume::as_m3),
        Line::DrawnProduct(idx) => product(&expected.actual, idx),
        Line::CaughtAtNozzle => expected.per_nozzle.map(Volume::as_m3),
        Line::Pressure => expected.prediction.pressure.map(Pressure::as_pa),
    }
}
