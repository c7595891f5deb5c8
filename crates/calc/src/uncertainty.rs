//! Uncertainty budgets after JCGM 100: parts, combination, effective degrees of freedom, expansion; propagation.
//!
//! Verdicts live in [`crate::verdict`], what a trial puts into its budget in [`crate::ratio_trial`].

use crate::student_t::{StudentError, two_sided};

/// The confidence that every trial expands to.
pub const CONFIDENCE: f64 = 0.95;

/// Where a part of a budget comes from. `app` finds the words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Source {
    /// Spread of the runs.
    Spread,
    /// Smallest step of the console's readout.
    ConsoleStep,
    /// Smallest graduation of the jug, cylinder or tank.
    VesselStep,
    /// What the maker or the last check allows the vessel to be off.
    VesselTolerance,
    /// Smallest step of the scale.
    ScaleStep,
    /// What the scale may be off.
    ScaleTolerance,
    /// Temperature of the water, through its density.
    WaterTemperature,
    /// Lift of the air on what is weighed, which is not corrected.
    AirLift,
    /// Smallest step of the stopwatch.
    StopwatchStep,
    /// Starting and stopping by hand.
    StopwatchHand,
    /// Smallest graduation of the tape.
    TapeStep,
    /// What the tape may be off.
    TapeTolerance,
    /// Hitting the marks at the start and the end of the course.
    CourseMarks,
    /// Smallest graduation of a gauge under test, or of the gauge that a pressure was read from.
    GaugeStep,
    /// Smallest step of the reference gauge.
    ReferenceStep,
    /// What the reference gauge may be off.
    ReferenceTolerance,
    /// The measured pressure, through the nominal flow.
    Pressure,
    /// Anything else.
    Other,
}

/// How the width of a part is meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Readout step `δ`: `u = δ / (2√3)`.
    Resolution,
    /// Half-width `a`, equal chance in between: `u = a / √3`.
    Rectangular,
    /// Half-width `a`, likelier in the middle: `u = a / √6`.
    Triangular,
    /// A standard uncertainty.
    Normal,
}

/// One part, before combination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Where it comes from.
    pub source: Source,
    /// How `width` is meant.
    pub shape: Shape,
    /// Finite, ≥ 0; in the unit of the input.
    pub width: f64,
    /// How the result moves with the input, in result units per input unit. Finite.
    pub sensitivity: f64,
    /// Degrees of freedom behind `width`, > 0; infinite where it is taken as known.
    pub dof: f64,
}

impl Part {
    /// A readout step.
    #[must_use]
    pub const fn resolution(source: Source, step: f64, sensitivity: f64) -> Self {
        Self { source, shape: Shape::Resolution, width: step, sensitivity, dof: f64::INFINITY }
    }

    /// A half-width with equal chance.
    #[must_use]
    pub const fn rectangular(source: Source, half_width: f64, sensitivity: f64) -> Self {
        Self { source, shape: Shape::Rectangular, width: half_width, sensitivity, dof: f64::INFINITY }
    }

    /// A half-width, likelier in the middle.
    #[must_use]
    pub const fn triangular(source: Source, half_width: f64, sensitivity: f64) -> Self {
        Self { source, shape: Shape::Triangular, width: half_width, sensitivity, dof: f64::INFINITY }
    }

    /// A standard uncertainty with its degrees of freedom.
    #[must_use]
    pub const fn normal(source: Source, standard: f64, sensitivity: f64, dof: f64) -> Self {
        Self { source, shape: Shape::Normal, width: standard, sensitivity, dof }
    }

    /// Standard uncertainty of the input.
    ///
    /// ```
    /// # use calc::uncertainty::{Part, Source};
    /// // JCGM 100, 4.3.7 (from memory): a step of 1 oz gives 0.5/√3 = 0.2887 oz.
    /// let step = Part::resolution(Source::VesselStep, 1.0, 1.0);
    /// assert!((step.standard() - 0.288_675_134_6).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn standard(&self) -> f64 {
        match self.shape {
            Shape::Resolution => self.width / 12.0_f64.sqrt(),
            Shape::Rectangular => self.width / 3.0_f64.sqrt(),
            Shape::Triangular => self.width / 6.0_f64.sqrt(),
            Shape::Normal => self.width,
        }
    }

    /// What it adds to the result: `|sensitivity| · u`.
    #[must_use]
    pub fn contribution(&self) -> f64 {
        (self.sensitivity * self.standard()).abs()
    }
}

/// A combined and expanded budget.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// The parts as given.
    pub parts: Vec<Part>,
    /// Combined standard uncertainty of the result.
    pub combined: f64,
    /// Effective degrees of freedom; infinite where every part is known.
    pub dof: f64,
    /// Coverage factor.
    pub k: f64,
    /// Expanded uncertainty, `k · combined`. Infinite where it cannot be known.
    pub expanded: f64,
}

/// Why a budget cannot be combined.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum BudgetError {
    /// A width that is negative or not finite, or a sensitivity that is not finite.
    Part {
        /// The part.
        got: Part,
    },
    /// Confidence or degrees of freedom out of range.
    Student(StudentError),
}

/// Combines parts in quadrature and expands to a confidence.
///
/// | symbol | meaning                                    | range       |
/// |--------|--------------------------------------------|-------------|
/// | `u_i`  | contribution of each part                  | finite, ≥ 0 |
/// | `ν_i`  | its degrees of freedom                     | > 0         |
/// | `p`    | confidence                                 | 0 < p < 1   |
///
/// `u_c² = Σ u_i²`, `ν_eff = u_c⁴ / Σ(u_i⁴/ν_i)`, `U = t_p(ν_eff) · u_c`. The parts are independent of each other;
/// ν_eff is taken as it is, not rounded down.
///
/// # Errors
/// [`BudgetError`].
///
/// # Source
/// JCGM 100:2008, 5.1.2 and G.4.2 (Welch–Satterthwaite).
///
/// # Example
/// By hand: two parts of 3 and 4 make 5; both known, so ν is infinite and k = 1.959964.
/// ```
/// # use calc::uncertainty::{Part, Source, combine};
/// let parts = [3.0, 4.0].map(|u| Part::normal(Source::Other, u, 1.0, f64::INFINITY));
/// let budget = combine(&parts, 0.95)?;
/// assert!((budget.combined - 5.0).abs() < 1e-12);
/// assert!((budget.expanded - 5.0 * 1.959_963_985).abs() < 1e-7);
/// # Ok::<(), calc::uncertainty::BudgetError>(())
/// ```
pub fn combine(parts: &[Part], confidence: f64) -> Result<Budget, BudgetError> {
    let mut variance = 0.0;
    for part in parts {
        let sensible = part.width.is_finite() && part.width >= 0.0 && part.sensitivity.is_finite();
        if !sensible {
            return Err(BudgetError::Part { got: *part });
        }
        if part.dof.is_nan() || part.dof <= 0.0 {
            return Err(BudgetError::Student(StudentError::DegreesOfFreedom { got: part.dof }));
        }
        variance += part.contribution().powi(2);
    }
    let combined = variance.sqrt();
    // In shares of the combined one, so that tiny numbers do not vanish in the fourth power.
    let weighted: f64 = parts
        .iter()
        .filter(|_| combined > 0.0)
        .map(|part| (part.contribution() / combined).powi(4) / part.dof)
        .sum();
    let dof = if weighted > 0.0 { 1.0 / weighted } else { f64::INFINITY };
    let k = two_sided(confidence, dof).map_err(BudgetError::Student)?;
    Ok(Budget { parts: parts.to_vec(), combined, dof, k, expanded: k * combined })
}

/// A value with its standard uncertainty and how it moves with each input.
#[derive(Clone, Debug, PartialEq)]
pub struct Propagated {
    /// The result at the inputs.
    pub value: f64,
    /// Combined standard uncertainty.
    pub standard: f64,
    /// Derivative of the result by each input.
    pub sensitivities: Vec<f64>,
}

/// Propagates standard uncertainties of independent inputs through any formula, to first order.
///
/// | symbol | meaning                               | range                                 |
/// |--------|---------------------------------------|---------------------------------------|
/// | `f`    | the formula                           | smooth near the inputs                |
/// | `x_i`  | inputs                                | finite                                |
/// | `u_i`  | their standard uncertainties          | finite, ≥ 0, as many as inputs        |
///
/// `u² = Σ (∂f/∂x_i · u_i)²`, derivatives by central differences (about 1e-9 relative). None where the result or a
/// derivative is not finite, or the counts differ. Not for formulas with a kink inside the uncertainty.
///
/// # Source
/// JCGM 100:2008, 5.1.2.
///
/// # Example
/// By hand: 600·q/(v·w) with 1 % on q alone has 1 %: 0.828 on 82.8.
/// ```
/// # use calc::uncertainty::propagate;
/// let p = propagate(|x| 600.0 * x[0] / (x[1] * x[2]), &[23.6, 9.5, 18.0], &[0.236, 0.0, 0.0]).ok_or("no number")?;
/// assert!((p.standard / p.value - 0.01).abs() < 1e-8);
/// # Ok::<(), &str>(())
/// ```
pub fn propagate(f: impl Fn(&[f64]) -> f64, inputs: &[f64], standards: &[f64]) -> Option<Propagated> {
    let covariance = |i: usize, j: usize| if i == j { standards[i] * standards[i] } else { 0.0 };
    (inputs.len() == standards.len()).then(|| propagate_with(&f, inputs, covariance))?
}

/// As [`propagate`], for inputs that err together: a covariance matrix instead of standard uncertainties.
///
/// `u² = Σ_i Σ_j (∂f/∂x_i)(∂f/∂x_j) cov_ij`. None also where the matrix is not square of the size of the inputs.
///
/// # Source
/// JCGM 100:2008, 5.2.2.
///
/// # Example
/// By hand: a difference of two weighings that err wholly together has none: 1 + 1 − 2 = 0.
/// ```
/// # use calc::uncertainty::propagate_correlated;
/// let together = [vec![1.0, 1.0], vec![1.0, 1.0]];
/// let p = propagate_correlated(|x| x[0] - x[1], &[20.0, 1.0], &together).ok_or("no number")?;
/// assert!(p.standard.abs() < 1e-4);
/// # Ok::<(), &str>(())
/// ```
pub fn propagate_correlated(
    f: impl Fn(&[f64]) -> f64,
    inputs: &[f64],
    covariance: &[Vec<f64>],
) -> Option<Propagated> {
    let square = covariance.len() == inputs.len() && covariance.iter().all(|row| row.len() == inputs.len());
    square.then(|| propagate_with(&f, inputs, |i, j| covariance[i][j]))?
}

fn propagate_with(
    f: &impl Fn(&[f64]) -> f64,
    inputs: &[f64],
    covariance: impl Fn(usize, usize) -> f64,
) -> Option<Propagated> {
    let mut at = inputs.to_vec();
    let mut sensitivities = Vec::with_capacity(inputs.len());
    for idx in 0..inputs.len() {
        // The cube root of the machine's precision balances rounding against curvature.
        let step = f64::EPSILON.cbrt() * inputs[idx].abs().max(1e-12);
        at[idx] = inputs[idx] + step;
        let above = f(&at);
        at[idx] = inputs[idx] - step;
        let below = f(&at);
        at[idx] = inputs[idx];
        sensitivities.push((above - below) / (2.0 * step));
    }
    let mut variance = 0.0;
    for (i, a) in sensitivities.iter().enumerate() {
        for (j, b) in sensitivities.iter().enumerate() {
            variance += a * b * covariance(i, j);
        }
    }
    let value = f(inputs);
    let standard = variance.max(0.0).sqrt();
    (value.is_finite() && standard.is_finite()).then_some(Propagated { value, standard, sensitivities })
}
