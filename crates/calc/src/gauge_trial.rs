//! Proving a pressure gauge against a reference gauge.

use units::{Pressure, Share};

use crate::next_run::Next;
use crate::ratio_trial::{TrialError, budget_error, check_width};
use crate::uncertainty::{Budget, CONFIDENCE, Part, Source, combine};
use crate::verdict::{ToleranceSource, Verdict, judge, worst};

/// One pressure, read off both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugePoint {
    /// What the gauge under test shows, ≥ 0.
    pub gauge: Pressure,
    /// What the reference gauge shows, > 0.
    pub reference: Pressure,
}

/// How far off a gauge may be: a fixed amount at low pressures, a share above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeLimit {
    /// Up to this pressure the fixed amount holds.
    pub fixed_up_to: Pressure,
    /// The fixed amount, either way.
    pub fixed: Pressure,
    /// Above it, the share of the true pressure, either way.
    pub share_above: Share,
    /// Who says so.
    pub source: ToleranceSource,
}

impl GaugeLimit {
    /// ISO 16122-2 (from memory): 0.2 bar up to 2 bar, 10 % above.
    pub const ISO_16122: Self = Self {
        fixed_up_to: Pressure::from_bar(2.0),
        fixed: Pressure::from_bar(0.2),
        share_above: Share::from_percent(10.0),
        source: ToleranceSource::Iso16122Gauge,
    };

    /// How far off a gauge may be at a true pressure.
    ///
    /// ```
    /// # use calc::gauge_trial::GaugeLimit;
    /// # use units::Pressure;
    /// // By hand: 10 % of 4 bar.
    /// assert!((GaugeLimit::ISO_16122.at(Pressure::from_bar(4.0)).as_bar() - 0.4).abs() < 1e-12);
    /// assert!((GaugeLimit::ISO_16122.at(Pressure::from_bar(1.0)).as_bar() - 0.2).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn at(&self, pressure: Pressure) -> Pressure {
        if pressure <= self.fixed_up_to {
            self.fixed
        } else {
            Pressure::from_pa(pressure.as_pa() * self.share_above.as_fraction())
        }
    }
}

/// A gauge trial.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeTrial {
    /// The pressures, at least one.
    pub points: Vec<GaugePoint>,
    /// Smallest graduation of the gauge under test, as it can be read.
    pub gauge_step: Pressure,
    /// Smallest graduation of the reference gauge.
    pub reference_step: Pressure,
    /// What the reference gauge may be off, either way (its class × full scale).
    pub reference_tolerance: Pressure,
    /// How far off the gauge may be. [`GaugeLimit::ISO_16122`] unless somebody knows better.
    pub limit: GaugeLimit,
}

/// One pressure, judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeOutcomePoint {
    /// What the reference showed.
    pub reference: Pressure,
    /// Gauge less reference.
    pub error: Pressure,
    /// How far off it may be here.
    pub limit: Pressure,
    /// Verdict.
    pub verdict: Verdict,
    /// Relative change of a nozzle flow set by this gauge: √(reference / gauge) − 1. None where the gauge shows zero.
    pub flow_error: Option<Share>,
}

/// What a gauge trial says.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeOutcome {
    /// One for each pressure, in the order given.
    pub points: Vec<GaugeOutcomePoint>,
    /// Expanded uncertainty of each error, 95 %; the same at every pressure.
    pub expanded: Pressure,
    /// The parts behind it, in Pa.
    pub budget: Budget,
    /// Out if one point is out, within if all are.
    pub verdict: Verdict,
    /// What would decide: for a gauge only a better reference or finer reading, since errors do not average out along
    /// the scale. Its numbers are relative to the reference pressure of the first point not proven.
    pub next: Next<Pressure>,
}

/// Works out a gauge trial.
///
/// | symbol | meaning                               | range       |
/// |--------|---------------------------------------|-------------|
/// | `g`    | gauge under test                      | finite, ≥ 0 |
/// | `r`    | reference                             | finite, > 0 |
/// | `δ`    | steps of both                         | finite, ≥ 0 |
/// | `a`    | what the reference may be off         | finite, ≥ 0 |
///
/// `e = g − r`, judged at each pressure with a guard band of `U = 1.96 √(δ_g²/12 + δ_r²/12 + a²/3)`. Let the needle rest,
/// go up and down, and read both at the same height.
///
/// # Errors
/// [`TrialError`]; [`TrialError::Actual`] for the reference, [`TrialError::Indicated`] for the gauge,
/// [`TrialError::Number`] for a limit that is not above zero.
///
/// # Source
/// Limits: ISO 16122-2 (from memory). JCGM 100 and 106.
///
/// # Example
/// By hand: 3.25 against 3.00 bar is 0.25 off where 0.30 is allowed; U = 1.96 · √(0.1²/12 + 0.02²/12 + 0.03²/3) = 0.06695
/// bar, and 0.25 + 0.067 > 0.30: not proven yet.
/// ```
/// # use calc::gauge_trial::{GaugeLimit, GaugePoint, GaugeTrial, work_out};
/// # use calc::verdict::Verdict;
/// # use units::Pressure;
/// let bar = Pressure::from_bar;
/// let outcome = work_out(&GaugeTrial {
///     points: vec![GaugePoint { gauge: bar(3.25), reference: bar(3.0) }],
///     gauge_step: bar(0.1),
///     reference_step: bar(0.02),
///     reference_tolerance: bar(0.03),
///     limit: GaugeLimit::ISO_16122,
/// })?;
/// assert!((outcome.expanded.as_bar() - 0.066_946).abs() < 1e-6);
/// assert_eq!(outcome.verdict, Verdict::NotProvenYet);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn work_out(trial: &GaugeTrial) -> Result<GaugeOutcome, TrialError> {
    check(trial)?;
    let parts = [
        Part::resolution(Source::GaugeStep, trial.gauge_step.as_pa(), 1.0),
        Part::resolution(Source::ReferenceStep, trial.reference_step.as_pa(), -1.0),
        Part::rectangular(Source::ReferenceTolerance, trial.reference_tolerance.as_pa(), -1.0),
    ];
    let budget = combine(&parts, CONFIDENCE).map_err(budget_error)?;
    let points: Vec<GaugeOutcomePoint> =
        trial.points.iter().map(|point| judged(*point, trial.limit, budget.expanded)).collect();
    let verdict = worst(points.iter().map(|p| p.verdict)).ok_or(TrialError::NoRuns)?;
    let next = match points.iter().find(|p| p.verdict == Verdict::NotProvenYet) {
        Some(open) if verdict == Verdict::NotProvenYet => {
            let r_pa = open.reference.as_pa();
            Next::BetterReference {
                reachable: budget.expanded / r_pa,
                needed: (open.error.as_pa().abs() - open.limit.as_pa()).abs() / r_pa,
            }
        }
        _ => Next::Nothing,
    };
    Ok(GaugeOutcome { points, expanded: Pressure::from_pa(budget.expanded), budget, verdict, next })
}

fn judged(point: GaugePoint, limit: GaugeLimit, expanded_pa: f64) -> GaugeOutcomePoint {
    let (g_pa, r_pa) = (point.gauge.as_pa(), point.reference.as_pa());
    let limit = limit.at(point.reference);
    GaugeOutcomePoint {
        reference: point.reference,
        error: Pressure::from_pa(g_pa - r_pa),
        limit,
        verdict: judge(g_pa - r_pa, expanded_pa, limit.as_pa()),
        flow_error: (g_pa > 0.0).then(|| Share::from_fraction((r_pa / g_pa).sqrt() - 1.0)),
    }
}

fn check(trial: &GaugeTrial) -> Result<(), TrialError> {
    if trial.points.is_empty() {
        return Err(TrialError::NoRuns);
    }
    for got in
        [trial.limit.fixed.as_pa(), trial.limit.fixed_up_to.as_pa(), trial.limit.share_above.as_fraction()]
    {
        if !(got.is_finite() && got > 0.0) {
            return Err(TrialError::Number { got });
        }
    }
    check_width(Source::GaugeStep, trial.gauge_step.as_pa())?;
    check_width(Source::ReferenceStep, trial.reference_step.as_pa())?;
    check_width(Source::ReferenceTolerance, trial.reference_tolerance.as_pa())?;
    for (run_idx, point) in trial.points.iter().enumerate() {
        let (g_pa, r_pa) = (point.gauge.as_pa(), point.reference.as_pa());
        if !(r_pa.is_finite() && r_pa > 0.0) {
            return Err(TrialError::Actual { run_idx, got: r_pa });
        }
        if !(g_pa.is_finite() && g_pa >= 0.0) {
            return Err(TrialError::Indicated { run_idx, got: g_pa });
        }
    }
    Ok(())
}
