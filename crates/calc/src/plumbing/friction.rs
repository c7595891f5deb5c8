//! Darcy friction factors: laminar, transition, turbulent.
//!
//! Each correlation carries its author, year and range and refuses what lies outside. Pressure losses of whole pipes are
//! in [`super::hydraulics`]; Hazen–Williams and other formulas for town mains deliberately are not here.

/// Above this Reynolds number flow is no longer taken as laminar.
pub const RE_LAMINAR_MAX: f64 = 2000.0;
/// From this Reynolds number on flow is taken as fully turbulent.
pub const RE_TURBULENT_MIN: f64 = 4000.0;
/// Largest Reynolds number of the turbulent formulas.
pub const RE_MAX: f64 = 1e8;
/// Largest roughness over bore of the turbulent formulas.
pub const RELATIVE_ROUGHNESS_MAX: f64 = 0.05;

/// Which turbulent formula is in force from [`RE_TURBULENT_MIN`] on. Laminar flow and the transition rule are the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FrictionLaw {
    /// Explicit; see [`friction_swamee_jain_1976`].
    SwameeJain,
    /// Implicit, solved to rounding; see [`friction_colebrook_1939`].
    Colebrook,
}

/// What kind of flow a Reynolds number stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Regime {
    /// Nothing moves.
    Still,
    /// Reynolds number up to [`RE_LAMINAR_MAX`].
    Laminar,
    /// Between the two limits: neither formula holds, a cubic joins them.
    Transition,
    /// Reynolds number from [`RE_TURBULENT_MIN`] on.
    Turbulent,
}

impl Regime {
    /// The regime of a Reynolds number.
    #[must_use]
    pub fn of(re: f64) -> Self {
        match re {
            _ if re == 0.0 => Self::Still,
            _ if re <= RE_LAMINAR_MAX => Self::Laminar,
            _ if re < RE_TURBULENT_MIN => Self::Transition,
            _ => Self::Turbulent,
        }
    }
}

/// Why a friction factor cannot be given.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum FrictionError {
    /// The Reynolds number is outside the formula's range, or not a number.
    Reynolds {
        /// What was asked for.
        got: f64,
        /// Least allowed value.
        least: f64,
        /// Greatest allowed value.
        greatest: f64,
    },
    /// Roughness over bore is negative, above [`RELATIVE_ROUGHNESS_MAX`], or not a number.
    RelativeRoughness {
        /// What was asked for.
        got: f64,
    },
}

/// Friction factor over the whole range of Reynolds numbers.
///
/// | symbol | meaning               | range                                    |
/// |--------|-----------------------|------------------------------------------|
/// | `re`   | Reynolds number       | above 0, up to [`RE_MAX`]                |
/// | `e/d`  | roughness over bore   | 0 to [`RELATIVE_ROUGHNESS_MAX`]          |
///
/// `64/re` up to 2000, [`friction_transition_dunlop_1991`] between, `law` from 4000 on.
///
/// # Errors
/// [`FrictionError::Reynolds`], [`FrictionError::RelativeRoughness`] outside the ranges above.
///
/// # Source
/// The same three pieces as in EPANET 2.2, L. A. Rossman and others, *EPANET 2.2 User Manual*, US EPA 2020, ch. 12.
///
/// # Example
/// By hand: 64 / 1600 = 0.04.
/// ```
/// # use calc::plumbing::friction::{FrictionLaw, friction_factor};
/// assert!((friction_factor(1600.0, 0.0, FrictionLaw::SwameeJain)? - 0.04).abs() < 1e-15);
/// # Ok::<(), calc::plumbing::friction::FrictionError>(())
/// ```
pub fn friction_factor(re: f64, relative_roughness: f64, law: FrictionLaw) -> Result<f64, FrictionError> {
    let relative_roughness = check_roughness(relative_roughness)?;
    let re = check_re(re, f64::MIN_POSITIVE, RE_MAX)?;
    Ok(Curve::new(relative_roughness, law).at(re).0)
}

/// Friction factor of laminar flow in a round pipe.
///
/// `f = 64/re`, 0 < `re` ≤ 2000. Independent of roughness. Not for entrance lengths.
///
/// # Errors
/// [`FrictionError::Reynolds`] outside the range.
///
/// # Source
/// Exact solution, after Hagen 1839 and Poiseuille 1840; in any textbook.
///
/// # Example
/// By hand: 64 / 640 = 0.1.
/// ```
/// # use calc::plumbing::friction::friction_laminar;
/// assert!((friction_laminar(640.0)? - 0.1).abs() < 1e-15);
/// # Ok::<(), calc::plumbing::friction::FrictionError>(())
/// ```
pub fn friction_laminar(re: f64) -> Result<f64, FrictionError> {
    Ok(64.0 / check_re(re, f64::MIN_POSITIVE, RE_LAMINAR_MAX)?)
}

/// Friction factor of turbulent flow, explicit.
///
/// `f = 0.25 / log10(e/(3.7 d) + 5.74/re^0.9)²`. Its authors state 1 % agreement with Colebrook for 5000 ≤ `re` ≤ 1e8
/// and 1e-6 ≤ `e/d` ≤ 0.01 (a sweep finds up to 2.8 % in the corner of low `re` and rough pipe). Taken here from 4000 on and
/// for `e/d` from 0 to 0.05, as EPANET does: within 3.4 % there.
///
/// # Errors
/// [`FrictionError::Reynolds`] below 4000 or above 1e8, [`FrictionError::RelativeRoughness`] outside 0 to 0.05.
///
/// # Source
/// P. K. Swamee, A. K. Jain, *Explicit equations for pipe-flow problems*, J. Hydraulics Div. ASCE 102(5) (1976) 657–664.
///
/// # Example
/// By hand, smooth pipe at 1e5: `re^0.9` = 31 622.8, 5.74/31 622.8 = 1.815e-4, log10 = −3.7411, 0.25/13.9957 = 0.017862.
/// ```
/// # use calc::plumbing::friction::friction_swamee_jain_1976;
/// assert!((friction_swamee_jain_1976(1e5, 0.0)? - 0.017_862).abs() < 1e-5);
/// # Ok::<(), calc::plumbing::friction::FrictionError>(())
/// ```
pub fn friction_swamee_jain_1976(re: f64, relative_roughness: f64) -> Result<f64, FrictionError> {
    let relative_roughness = check_roughness(relative_roughness)?;
    Ok(swamee_jain(check_re(re, RE_TURBULENT_MIN, RE_MAX)?, relative_roughness).0)
}

/// Friction factor of turbulent flow, implicit.
///
/// `1/√f = −2 log10(e/(3.7 d) + 2.51/(re √f))`, 4000 ≤ `re` ≤ 1e8, 0 ≤ `e/d` ≤ 0.05, solved by Newton steps until they no
/// longer change the answer: the equation holds to about 1e-15.
///
/// # Errors
/// [`FrictionError::Reynolds`] below 4000 or above 1e8, [`FrictionError::RelativeRoughness`] outside 0 to 0.05.
///
/// # Source
/// C. F. Colebrook, *Turbulent flow in pipes*, J. Institution of Civil Engineers 11 (1939) 133–156.
///
/// # Example
/// By hand, smooth pipe at 1e5: put f = 0.017990 in: 1/√f = 7.4556; 2.51·7.4556/1e5 = 1.8714e-4, −2 log10 of it = 7.4557.
/// ```
/// # use calc::plumbing::friction::friction_colebrook_1939;
/// assert!((friction_colebrook_1939(1e5, 0.0)? - 0.017_990).abs() < 1e-6);
/// # Ok::<(), calc::plumbing::friction::FrictionError>(())
/// ```
pub fn friction_colebrook_1939(re: f64, relative_roughness: f64) -> Result<f64, FrictionError> {
    let relative_roughness = check_roughness(relative_roughness)?;
    Ok(colebrook(check_re(re, RE_TURBULENT_MIN, RE_MAX)?, relative_roughness).0)
}

/// Friction factor between laminar and turbulent flow: the cubic in `re` that has the value and the slope of `64/re` at
/// 2000 and of the turbulent law at 4000.
///
/// 2000 ≤ `re` ≤ 4000, 0 ≤ `e/d` ≤ 0.05. A rule, not a measurement: flow in this range is not steady, and a real pipe may
/// lie anywhere between the two laws.
///
/// # Errors
/// [`FrictionError::Reynolds`] outside 2000 to 4000, [`FrictionError::RelativeRoughness`] outside 0 to 0.05.
///
/// # Source
/// E. J. Dunlop, *WADI Users Manual*, Local Government Computer Services Board, Dublin 1991, as used by EPANET 2.
///
/// # Example
/// By hand: at 2000 it meets 64/2000 = 0.032.
/// ```
/// # use calc::plumbing::friction::{FrictionLaw, friction_transition_dunlop_1991};
/// let f = friction_transition_dunlop_1991(2000.0, 0.0, FrictionLaw::SwameeJain)?;
/// assert!((f - 0.032).abs() < 1e-15);
/// # Ok::<(), calc::plumbing::friction::FrictionError>(())
/// ```
pub fn friction_transition_dunlop_1991(
    re: f64,
    relative_roughness: f64,
    law: FrictionLaw,
) -> Result<f64, FrictionError> {
    let relative_roughness = check_roughness(relative_roughness)?;
    let re = check_re(re, RE_LAMINAR_MAX, RE_TURBULENT_MIN)?;
    Ok(Curve::new(relative_roughness, law).transition(re).0)
}

/// The friction curve of one pipe, its cubic worked out once. Unchecked: the solver's inner loop.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Curve {
    relative_roughness: f64,
    law: FrictionLaw,
    /// Value and slope (per unit of Reynolds number) at 4000.
    turbulent_end: (f64, f64),
}

impl Curve {
    pub(crate) fn new(relative_roughness: f64, law: FrictionLaw) -> Self {
        let turbulent_end = turbulent(RE_TURBULENT_MIN, relative_roughness, law);
        Self { relative_roughness, law, turbulent_end }
    }

    /// Value and slope at a Reynolds number above 0.
    pub(crate) fn at(&self, re: f64) -> (f64, f64) {
        if re <= RE_LAMINAR_MAX {
            return (64.0 / re, -64.0 / (re * re));
        }
        if re < RE_TURBULENT_MIN {
            return self.transition(re);
        }
        turbulent(re, self.relative_roughness, self.law)
    }

    /// Hermite's cubic between the two ends.
    fn transition(&self, re: f64) -> (f64, f64) {
        const SPAN: f64 = RE_TURBULENT_MIN - RE_LAMINAR_MAX;
        const LAMINAR_END: f64 = 64.0 / RE_LAMINAR_MAX;
        const LAMINAR_RISE: f64 = -64.0 / (RE_LAMINAR_MAX * RE_LAMINAR_MAX) * SPAN;
        let (end, slope) = self.turbulent_end;
        let step = end - LAMINAR_END;
        let rise = slope * SPAN;
        let c2 = 3.0 * step - 2.0 * LAMINAR_RISE - rise;
        let c3 = LAMINAR_RISE + rise - 2.0 * step;
        let t = (re - RE_LAMINAR_MAX) / SPAN;
        let f = LAMINAR_END + t * (LAMINAR_RISE + t * (c2 + t * c3));
        let slope = (LAMINAR_RISE + t * (2.0 * c2 + t * 3.0 * c3)) / SPAN;
        (f, slope)
    }
}

fn turbulent(re: f64, relative_roughness: f64, law: FrictionLaw) -> (f64, f64) {
    match law {
        FrictionLaw::SwameeJain => swamee_jain(re, relative_roughness),
        FrictionLaw::Colebrook => colebrook(re, relative_roughness),
    }
}

fn swamee_jain(re: f64, relative_roughness: f64) -> (f64, f64) {
    let smooth = 5.74 / re.powf(0.9);
    let sum = relative_roughness / 3.7 + smooth;
    let log = sum.log10();
    let f = 0.25 / (log * log);
    let log_slope = -0.9 * smooth / re / (sum * std::f64::consts::LN_10);
    (f, -2.0 * f / log * log_slope)
}

fn colebrook(re: f64, relative_roughness: f64) -> (f64, f64) {
    const TWO_OVER_LN_10: f64 = 2.0 / std::f64::consts::LN_10;
    let rough = relative_roughness / 3.7;
    let per_x = 2.51 / re;
    // x = 1/√f. The left side less the right side rises and is nearly straight, so Newton's steps converge from anywhere
    // near; the explicit formula is within 2 % of x, and three steps reach rounding.
    let mut x = 1.0 / swamee_jain(re, relative_roughness).0.sqrt();
    let mut slope = 1.0;
    for _ in 0..8 {
        let sum = rough + per_x * x;
        slope = 1.0 + TWO_OVER_LN_10 * per_x / sum;
        let step = (x + TWO_OVER_LN_10 * sum.ln()) / slope;
        x -= step;
        if step.abs() <= 1e-12 * x {
            break;
        }
    }
    let sum = rough + per_x * x;
    let x_slope = TWO_OVER_LN_10 * per_x * x / re / (sum * slope);
    let f = 1.0 / (x * x);
    (f, -2.0 * f / x * x_slope)
}

fn check_re(got: f64, least: f64, greatest: f64) -> Result<f64, FrictionError> {
    if least <= got && got <= greatest {
        return Ok(got);
    }
    Err(FrictionError::Reynolds { got, least, greatest })
}

fn check_roughness(got: f64) -> Result<f64, FrictionError> {
    if (0.0..=RELATIVE_ROUGHNESS_MAX).contains(&got) {
        return Ok(got);
    }
    Err(FrictionError::RelativeRoughness { got })
}
