//! Tail probabilities of the chi-squared and the normal distribution. Student's t is `crate::student_t`.

/// Probability that a chi-squared variable with `dof` degrees of freedom is at least `x`. 1 for `x ≤ 0` or no freedom.
///
/// `Q(dof/2, x/2)`, the upper incomplete gamma function: a series below `a + 1`, Lentz's continued fraction above.
/// Source: Abramowitz and Stegun (1964), 6.5.29 and 6.5.31; 26.4.19.
pub(crate) fn chi_squared_tail(x: f64, dof: usize) -> f64 {
    if dof == 0 || x.is_nan() || x <= 0.0 {
        return 1.0;
    }
    // Degrees of freedom are counts of readings.
    upper_gamma(dof as f64 / 2.0, x / 2.0)
}

/// Natural logarithm of the probability that a standard normal variable is below `z`.
pub(crate) fn ln_normal_below(z: f64) -> f64 {
    if z > 0.0 {
        (-0.5 * upper_gamma(0.5, z * z / 2.0)).ln_1p()
    } else if z > -30.0 {
        (0.5 * upper_gamma(0.5, z * z / 2.0)).ln()
    } else {
        // Mills' ratio, first term; Abramowitz and Stegun 26.2.12.
        -0.5 * z * z - (-z).ln() - 0.5 * std::f64::consts::TAU.ln()
    }
}

fn upper_gamma(a: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 1.0;
    }
    let scale = (a * x.ln() - x - ln_gamma_of_half(a)).exp();
    if x < a + 1.0 {
        let (mut term, mut sum, mut k) = (1.0 / a, 1.0 / a, a);
        while term > sum * 1e-16 {
            k += 1.0;
            term *= x / k;
            sum += term;
        }
        (1.0 - scale * sum).max(0.0)
    } else {
        let mut b = x + 1.0 - a;
        let mut c = 1e300;
        let mut d = 1.0 / b;
        let mut fraction = d;
        for k in 1..500_u32 {
            let k = f64::from(k);
            let an = -k * (k - a);
            b += 2.0;
            d = 1.0 / (an * d + b);
            c = b + an / c;
            let step = c * d;
            fraction *= step;
            if (step - 1.0).abs() < 1e-15 {
                break;
            }
        }
        scale * fraction
    }
}

/// `ln Γ(a)` for the whole and half numbers that degrees of freedom give, by `Γ(a + 1) = a·Γ(a)`.
fn ln_gamma_of_half(a: f64) -> f64 {
    let (mut k, mut ln) =
        if (a - a.floor()).abs() < 0.25 { (1.0, 0.0) } else { (0.5, 0.5 * std::f64::consts::PI.ln()) };
    while k + 0.5 < a {
        ln += f64::ln(k);
        k += 1.0;
    }
    ln
}

#[cfg(test)]
mod tests {
    use super::*;

    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, upper critical values (printed to 3 decimals; from
    // memory): 3.841, 5.991, 18.307 and 43.773 leave 5 % for 1, 2, 10 and 30 degrees; 10.828 leaves 0.1 % for 1.
    #[test]
    fn chi_squared_against_the_printed_table() {
        for (x, dof, tail) in
            [(3.841, 1, 0.05), (5.991, 2, 0.05), (18.307, 10, 0.05), (43.773, 30, 0.05), (10.828, 1, 0.001)]
        {
            assert!((chi_squared_tail(x, dof) - tail).abs() < 2e-5, "{x} {dof}");
        }
    }

    // By hand: with two degrees the tail is exp(−x/2); with four, exp(−x/2)·(1 + x/2).
    #[test]
    fn chi_squared_in_closed_form() {
        for x in [1e-6, 0.1, 1.0, 3.0, 7.0, 20.0, 100.0, 600.0] {
            let h = x / 2.0;
            assert!((chi_squared_tail(x, 2) / f64::exp(-h) - 1.0).abs() < 1e-12, "{x}");
            assert!((chi_squared_tail(x, 4) / (f64::exp(-h) * (1.0 + h)) - 1.0).abs() < 1e-12, "{x}");
        }
    }

    // Abramowitz and Stegun, table 26.1 (from memory): Φ(1) = 0.841344746, Φ(−2) = 0.022750132.
    #[test]
    fn normal() {
        assert!((ln_normal_below(1.0).exp() - 0.841_344_746).abs() < 1e-9);
        assert!((ln_normal_below(-2.0).exp() - 0.022_750_132).abs() < 1e-9);
        assert!((ln_normal_below(0.0).exp() - 0.5).abs() < 1e-15);
        // The far tail joins the near one.
        let (near, far) = (ln_normal_below(-29.999), ln_normal_below(-30.001));
        assert!((near - far - 0.06).abs() < 2e-3, "{near} {far}");
    }
}
