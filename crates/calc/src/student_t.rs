//! Student's t: the two-sided factor for a level of confidence, also at fractional degrees of freedom.
//!
//! Only what an expanded uncertainty needs; no other distribution lives here.

use std::f64::consts::PI;

/// Why there is no factor.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum StudentError {
    /// Not between 0 and 1, both excluded.
    Confidence {
        /// What was given.
        got: f64,
    },
    /// Zero, negative or not a number.
    DegreesOfFreedom {
        /// What was given.
        got: f64,
    },
}

/// Factor `t` with `P(|T| ≤ t) = confidence`.
///
/// | symbol | meaning                                                    | range                    |
/// |--------|------------------------------------------------------------|--------------------------|
/// | `p`    | confidence                                                 | 0 < p < 1                |
/// | `ν`    | degrees of freedom; infinite gives the normal distribution | > 0, fractions welcome   |
///
/// Found by Newton's method on the tail `I_x(ν/2, 1/2)`, `x = ν/(ν + t²)` (regularised incomplete beta function); for
/// ν > 2000 from the normal quantile with the Cornish-Fisher series of three terms. Relative accuracy about 1e-10 for
/// 0.5 ≤ p ≤ 0.999 and ν ≥ 0.5. JCGM 100 G.4.1 also allows ν rounded down; here it is taken as it is.
///
/// # Errors
/// [`StudentError`].
///
/// # Source
/// Abramowitz and Stegun 26.5.27 and 26.7.5 (from memory); checked against 10 CFR 429 App. A and JCGM 100 Table G.2.
///
/// # Example
/// By hand: for ν = 1 the distribution is Cauchy's, t = tan(π p / 2) = tan(0.475 π) = 12.7062.
/// ```
/// # use calc::student_t::two_sided;
/// assert!((two_sided(0.95, 1.0)? - (0.475 * std::f64::consts::PI).tan()).abs() < 1e-8);
/// # Ok::<(), calc::student_t::StudentError>(())
/// ```
pub fn two_sided(confidence: f64, dof: f64) -> Result<f64, StudentError> {
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(StudentError::Confidence { got: confidence });
    }
    if dof.is_nan() || dof <= 0.0 {
        return Err(StudentError::DegreesOfFreedom { got: dof });
    }
    if dof > 2000.0 {
        return Ok(from_normal(normal_two_sided(confidence), dof));
    }
    Ok(quantile(1.0 - confidence, dof))
}

/// Newton's method on the logarithm of the tail against the logarithm of t, kept inside a bracket.
fn quantile(both_tails: f64, dof: f64) -> f64 {
    let ln_front = ln_gamma(0.5 * (dof + 1.0)) - ln_gamma(0.5 * dof) - 0.5 * (dof * PI).ln();
    let density = |t: f64| (ln_front - 0.5 * (dof + 1.0) * (t * t / dof).ln_1p()).exp();
    let (mut low, mut high) = (0.0_f64, f64::INFINITY);
    let mut t = if dof > 3.0 { from_normal(normal_two_sided(1.0 - both_tails), dof) } else { 1.0 };
    for _ in 0..400 {
        let beyond = tails(t, dof);
        if beyond > both_tails {
            low = low.max(t);
        } else {
            high = high.min(t);
        }
        let newton = t * ((beyond / both_tails).ln() * beyond / (2.0 * density(t) * t)).exp();
        let inside = low < newton && newton < high;
        let next = match (inside, high.is_finite()) {
            (true, _) => newton,
            (false, true) => 0.5 * (low + high),
            (false, false) => 4.0 * t,
        };
        if !next.is_finite() || (next - t).abs() <= 1e-15 * t || high - low <= 2.0 * f64::EPSILON * low {
            return next;
        }
        t = next;
    }
    t
}

/// Both tails beyond ±t: `P(|T| > t)`.
///
/// Range: `t` ≥ 0, `dof` above 0 and at most a few thousand (beyond that the series behind it loses digits).
///
/// # Errors
/// [`StudentError::DegreesOfFreedom`].
///
/// # Source
/// Abramowitz and Stegun 26.7.1 with 26.5.1 (from memory).
///
/// # Example
/// By hand: for ν = 1 and t = 1, P(|T| > 1) = 1 − 2/π · atan(1) = 0.5.
/// ```
/// # use calc::student_t::both_tails;
/// assert!((both_tails(1.0, 1.0)? - 0.5).abs() < 1e-12);
/// # Ok::<(), calc::student_t::StudentError>(())
/// ```
pub fn both_tails(t: f64, dof: f64) -> Result<f64, StudentError> {
    if dof.is_nan() || dof <= 0.0 || dof.is_infinite() {
        return Err(StudentError::DegreesOfFreedom { got: dof });
    }
    Ok(tails(t.abs(), dof))
}

fn tails(t: f64, dof: f64) -> f64 {
    incomplete_beta(dof / 2.0, 0.5, dof / (dof + t * t))
}

/// Cornish-Fisher series from the normal quantile, Abramowitz and Stegun 26.7.5.
fn from_normal(z: f64, dof: f64) -> f64 {
    if dof.is_infinite() {
        return z;
    }
    let z2 = z * z;
    let g1 = (z2 + 1.0) * z / 4.0;
    let g2 = ((5.0 * z2 + 16.0) * z2 + 3.0) * z / 96.0;
    let g3 = (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) * z / 384.0;
    z + (g1 + (g2 + g3 / dof) / dof) / dof
}

/// `z` with `P(|Z| ≤ z) = confidence`, by Newton's method on the logarithm of the tail, which is concave.
fn normal_two_sided(confidence: f64) -> f64 {
    let both_tails = 1.0 - confidence;
    let mut z = 0.0_f64;
    for _ in 0..100 {
        let beyond = normal_both_tails(z);
        let density = (-0.5 * z * z).exp() / (2.0 * PI).sqrt();
        let step = (beyond / both_tails).ln() * beyond / (2.0 * density);
        z += step;
        if step.abs() <= 1e-15 * z {
            break;
        }
    }
    z
}

/// `P(|Z| > z) = erfc(z/√2)`: power series near zero, continued fraction beyond.
fn normal_both_tails(z: f64) -> f64 {
    let x = z / std::f64::consts::SQRT_2;
    if x < 2.0 {
        let (mut term, mut sum, mut n) = (x, x, 0.0);
        while term.abs() > 1e-18 * sum.abs() {
            n += 1.0;
            term *= 2.0 * x * x / (2.0 * n + 1.0);
            sum += term;
        }
        return 1.0 - 2.0 / PI.sqrt() * (-x * x).exp() * sum;
    }
    let mut fraction = 0.0;
    for n in (1..=200_u16).rev() {
        fraction = f64::from(n) / 2.0 / (x + fraction);
    }
    (-x * x).exp() / PI.sqrt() / (x + fraction)
}

/// Regularised incomplete beta function by its continued fraction (Lentz's method).
fn incomplete_beta(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    let front = (ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * x.ln() + b * (-x).ln_1p()).exp();
    if x < (a + 1.0) / (a + b + 2.0) {
        front * beta_fraction(a, b, x) / a
    } else {
        1.0 - front * beta_fraction(b, a, 1.0 - x) / b
    }
}

fn beta_fraction(a: f64, b: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let away_from_zero = |v: f64| if v.abs() < TINY { TINY } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / away_from_zero(1.0 - (a + b) * x / (a + 1.0));
    let mut fraction = d;
    for step in 1..=10_000_u16 {
        let m = f64::from(step);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / away_from_zero(1.0 + even * d);
        c = away_from_zero(1.0 + even / c);
        fraction *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / away_from_zero(1.0 + odd * d);
        c = away_from_zero(1.0 + odd / c);
        let change = d * c;
        fraction *= change;
        if (change - 1.0).abs() < 1e-16 {
            break;
        }
    }
    fraction
}

/// Lanczos approximation with g = 7 and nine terms, for x > 0.
fn ln_gamma(x: f64) -> f64 {
    const TERMS: [f64; 8] = [
        676.520_368_121_885_1,
        -1_259.139_216_722_402_8,
        771.323_428_777_653_1,
        -176.615_029_162_140_6,
        12.507_343_278_686_905,
        -0.138_571_095_265_720_12,
        9.984_369_578_019_572e-6,
        1.505_632_735_149_311_6e-7,
    ];
    if x < 0.5 {
        return (PI / (PI * x).sin()).ln() - ln_gamma(1.0 - x);
    }
    let y = x - 1.0;
    let mut sum = 0.999_999_999_999_809_9;
    for (idx, term) in (1_u8..).zip(TERMS) {
        sum += term / (y + f64::from(idx));
    }
    let t = y + 7.5;
    0.5 * (2.0 * PI).ln() + (y + 0.5) * t.ln() - t + sum.ln()
}
