//! Statistics and budgets against JCGM 100.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::stats::{StatsError, coefficient_of_variation, mean, standard_deviation};
use calc::uncertainty::{BudgetError, Part, Source, combine, propagate};

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

// UNC-01, JCGM 100:2008, 4.4.3 (memory): twenty temperatures.
const TEMPERATURES_C: [f64; 20] = [
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95,
    101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
];

#[test]
fn twenty_temperatures_of_the_guide() {
    near(mean(&TEMPERATURES_C).unwrap(), 100.145, 1e-9);
    near(standard_deviation(&TEMPERATURES_C).unwrap(), 1.489, 0.0005);
    near(standard_deviation(&TEMPERATURES_C).unwrap() / 20.0_f64.sqrt(), 0.33292, 5e-6);
}

// UNC-02, JCGM 100, 4.3.7 (memory): half-width over √3; a step of 1 oz has u = 0.289.
#[test]
fn shapes() {
    let u = |part: Part| part.standard();
    near(u(Part::resolution(Source::VesselStep, 1.0, 1.0)), 0.288_675, 5e-7);
    near(u(Part::rectangular(Source::VesselTolerance, 0.5, 1.0)), 0.288_675, 5e-7);
    near(u(Part::triangular(Source::TapeStep, 0.05, 1.0)), 0.020_412_414_523_2, 1e-12);
    near(u(Part::normal(Source::Spread, 0.3, 1.0, 4.0)), 0.3, 0.0);
}

// UNC-03 and UNC-04 (constructed): 50.2 u 0.15 over 51.0 u 0.20: ratio 0.98431, relative u 0.493 %.
#[test]
fn a_ratio_of_two_means() {
    let p = propagate(|x| x[0] / x[1], &[50.2, 51.0], &[0.15, 0.20]).unwrap();
    near(p.value, 0.984_313_7, 1e-7);
    near(p.standard / p.value, 0.004_930_2, 1e-7);
}

// JCGM 100, 5.1.6: a product of powers; the square root of pressure has p = 1/2.
#[test]
fn a_root_halves_the_relative_uncertainty() {
    let p = propagate(|x| x[0] * (x[1] / 40.0).sqrt(), &[0.4, 60.0], &[0.0, 0.6]).unwrap();
    near(p.standard / p.value, 0.005, 1e-9);
}

// UNC-05, JCGM 100, G.4: two like parts with ν₁ and ν₂ have ν_eff = 4/(1/ν₁ + 1/ν₂), by hand.
#[test]
fn welch_satterthwaite() {
    let parts = [Part::normal(Source::Spread, 1.0, 1.0, 3.0), Part::normal(Source::Other, 1.0, -1.0, 6.0)];
    near(combine(&parts, 0.95).unwrap().dof, 8.0, 1e-9);
}

// JCGM 100:2008, H.1.6 (memory): end gauge with parts 25 nm (18), 9.7 (25.6), 2.9 (50), 16.6 (2): u_c = 32 nm, ν_eff = 16.7,
// rounded down to 16, t = 2.92 and U = 93 nm at 99 %.
#[test]
fn the_end_gauge_of_the_guide() {
    let parts = [
        Part::normal(Source::Other, 25.0, 1.0, 18.0),
        Part::normal(Source::Other, 9.7, 1.0, 25.6),
        Part::normal(Source::Other, 2.9, 1.0, 50.0),
        Part::normal(Source::Other, 16.6, 1.0, 2.0),
    ];
    let budget = combine(&parts, 0.99).unwrap();
    near(budget.combined, 32.0, 0.5);
    near(budget.dof.floor(), 16.0, 0.0);
    let floored = calc::student_t::two_sided(0.99, budget.dof.floor()).unwrap();
    near(floored, 2.92, 0.005);
    near(floored * budget.combined, 93.0, 0.5);
}

// UNC-06, BIPM: for many degrees of freedom k is about 2.
#[test]
fn known_parts_give_two() {
    near(combine(&[Part::normal(Source::Other, 1.0, 1.0, f64::INFINITY)], 0.95).unwrap().k, 2.0, 0.05);
}

// NOZ-10 (constructed check): 44, 45, 44 has CV 1.302 %.
#[test]
fn coefficient_of_variation_with_n_less_one() {
    near(coefficient_of_variation(&[44.0, 45.0, 44.0]).unwrap(), 0.013_023, 5e-7);
}

#[test]
fn tiny_and_huge_parts_survive_the_fourth_power() {
    for scale in [1e-90, 1.0, 1e70] {
        let parts = [
            Part::normal(Source::Spread, 3.0 * scale, 1.0, 4.0),
            Part::normal(Source::Other, 4.0 * scale, 1.0, f64::INFINITY),
        ];
        let budget = combine(&parts, 0.95).unwrap();
        near(budget.combined / scale, 5.0, 1e-12);
        near(budget.dof, 4.0 * (5.0_f64 / 3.0).powi(4), 1e-9); // by hand
    }
}

#[test]
fn bad_input_is_named() {
    assert_eq!(mean(&[]), Err(StatsError::TooFew { got: 0, needed: 1 }));
    assert_eq!(standard_deviation(&[1.0]), Err(StatsError::TooFew { got: 1, needed: 2 }));
    assert!(matches!(mean(&[1.0, f64::NAN]), Err(StatsError::NotFinite { idx: 1, .. })));
    assert_eq!(coefficient_of_variation(&[-1.0, 1.0]), Err(StatsError::Mean { got: 0.0 }));
    let negative = Part::normal(Source::Spread, -1.0, 1.0, 1.0);
    assert_eq!(combine(&[negative], 0.95), Err(BudgetError::Part { got: negative }));
    assert!(combine(&[Part::normal(Source::Spread, 1.0, 1.0, 0.0)], 0.95).is_err());
    assert!(combine(&[], 1.0).is_err());
    assert!(propagate(|x| x[0], &[1.0], &[]).is_none());
    assert!(propagate(|x| x[0].sqrt(), &[-1.0], &[0.1]).is_none());
}
