//! Student's t against published tables and closed forms.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::student_t::{StudentError, both_tails, two_sided};
use proptest::prelude::*;
use std::f64::consts::PI;

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

fn t(confidence: f64, dof: f64) -> f64 {
    two_sided(confidence, dof).unwrap()
}

// US 10 CFR Part 429, Subpart B, Appendix A: one-sided 90, 95, 97.5, 99 %, to the printed digit. A one-sided p is a
// two-sided 2p − 1.
#[test]
fn the_table_of_10_cfr_429() {
    let table = [
        [3.078, 6.314, 12.71, 31.82],
        [1.886, 2.920, 4.303, 6.965],
        [1.638, 2.353, 3.182, 4.541],
        [1.533, 2.132, 2.776, 3.747],
        [1.476, 2.015, 2.571, 3.365],
        [1.440, 1.943, 2.447, 3.143],
        [1.415, 1.895, 2.365, 2.998],
        [1.397, 1.860, 2.306, 2.896],
        [1.383, 1.833, 2.262, 2.821],
        [1.372, 1.812, 2.228, 2.764],
    ];
    for (idx, row) in table.iter().enumerate() {
        for (one_sided, printed) in [0.90_f64, 0.95, 0.975, 0.99].into_iter().zip(row) {
            let digit = if *printed > 10.0 { 0.005 } else { 0.0005 };
            near(t(2.0 * one_sided - 1.0, (idx + 1) as f64), *printed, digit + 1e-9);
        }
    }
}

// JCGM 100:2008, Table G.2 (memory), 95.45 %; recomputed numerically to the third decimal.
#[test]
fn table_g2_of_the_guide() {
    let table = [
        (2.0, 4.527),
        (3.0, 3.307),
        (4.0, 2.869),
        (5.0, 2.649),
        (6.0, 2.517),
        (8.0, 2.366),
        (10.0, 2.284),
        (20.0, 2.133),
    ];
    for (dof, printed) in table {
        near(t(0.9545, dof), printed, 0.0006);
    }
    near(t(0.9545, f64::INFINITY), 2.000, 0.0005);
}

// Closed forms: ν = 1, t = tan(πp/2); ν = 2, t = p √(2/(1 − p²)); ν = 4 by its cubic.
#[test]
fn closed_forms() {
    for p in [0.5, 0.8, 0.9, 0.95, 0.99, 0.999] {
        near(t(p, 1.0) / (PI * p / 2.0).tan(), 1.0, 1e-10);
        near(t(p, 2.0) / (p * (2.0 / (1.0 - p * p)).sqrt()), 1.0, 1e-10);
        // Shaw (2006): t = 2 √(cos(acos(√α)/3)/√α − 1), α = 4 u (1 − u), u = (1 + p)/2.
        let alpha = 1.0 - p * p;
        near(t(p, 4.0) / (2.0 * ((alpha.sqrt().acos() / 3.0).cos() / alpha.sqrt() - 1.0).sqrt()), 1.0, 1e-10);
    }
}

// Normal quantiles (Abramowitz and Stegun, Table 26.5, memory): 1.6448536270, 1.9599639845, 2.5758293035.
#[test]
fn endless_freedom_is_the_normal_distribution() {
    near(t(0.90, f64::INFINITY), 1.644_853_626_951, 1e-11);
    near(t(0.95, f64::INFINITY), 1.959_963_984_540, 1e-11);
    near(t(0.99, f64::INFINITY), 2.575_829_303_549, 1e-11);
}

// scipy.stats.t.ppf through the reference table of budgets: fractional degrees of freedom.
#[test]
fn fractional_degrees_of_freedom() {
    near(t(0.95, 47.290_514_15), 2.011_414_334_41, 1e-9);
    near(t(0.95, 53.119_955_291_5), 2.005_640_267_97, 1e-9);
    near(t(0.95, 3.665_040_710_36), 2.879_439_261_07, 1e-9);
    near(t(0.99, 9.0), 3.249_835_541_59, 1e-9);
    near(t(0.90, 5.0), 2.015_048_373_33, 1e-9);
}

#[test]
fn the_series_for_many_degrees_meets_the_exact_one() {
    for p in [0.5, 0.9, 0.95, 0.99, 0.999] {
        near(t(p, 2000.0), t(p, 2_000.000_001), 1e-10);
        near(t(p, 1e12), t(p, f64::INFINITY), 1e-10);
    }
}

#[test]
fn bad_input_is_named() {
    assert_eq!(two_sided(0.0, 5.0), Err(StudentError::Confidence { got: 0.0 }));
    assert_eq!(two_sided(1.0, 5.0), Err(StudentError::Confidence { got: 1.0 }));
    assert!(matches!(two_sided(f64::NAN, 5.0), Err(StudentError::Confidence { .. })));
    assert_eq!(two_sided(0.95, 0.0), Err(StudentError::DegreesOfFreedom { got: 0.0 }));
    assert!(two_sided(0.95, f64::NAN).is_err());
}

proptest! {
    /// The factor falls with freedom, grows with confidence, and leaves just the tails asked for.
    #[test]
    fn monotone_and_inverse(p in 0.5..0.999, dof in 0.5..1900.0) {
        let factor = t(p, dof);
        prop_assert!(t(p, dof * 1.01) < factor);
        prop_assert!(t(p + 0.0005, dof) > factor);
        prop_assert!((both_tails(factor, dof).unwrap() / (1.0 - p) - 1.0).abs() < 1e-9);
        prop_assert!(factor > t(p, f64::INFINITY));
    }

    /// A second method: Simpson's rule on the density agrees with the tail.
    #[test]
    fn the_density_integrates_to_the_confidence(dof in 3.0..200.0_f64, upper in 0.2..6.0_f64) {
        let density = |x: f64| (1.0 + x * x / dof).powf(-0.5 * (dof + 1.0));
        let simpson = |a: f64, b: f64, n: i32| {
            let h = (b - a) / f64::from(n);
            let inner: f64 = (1..n).map(|i| density(a + f64::from(i) * h) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
            h / 3.0 * (density(a) + inner + density(b))
        };
        // The whole half line, by x = tan(a): no gamma function needed.
        let whole = {
            let f = |a: f64| density(a.tan()) / (a.cos() * a.cos());
            let n = 4000;
            let h = (PI / 2.0 - 1e-9) / f64::from(n);
            let inner: f64 = (1..n).map(|i| f(f64::from(i) * h) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
            h / 3.0 * (f(0.0) + inner + f(PI / 2.0 - 1e-9))
        };
        let inside = simpson(0.0, upper, 2000) / whole;
        prop_assert!((1.0 - both_tails(upper, dof).unwrap() - inside).abs() < 2e-6);
    }
}
