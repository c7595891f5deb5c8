//! Key-in rounding, water, loads, verdicts.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::keyin::{KeyInError, KeyedPulses, key_in, key_in_pulses};
use calc::load::{LoadError, area_of_load, product_for_load, volume_for_area};
use calc::rig::ProductRate;
use calc::verdict::{Tolerance, Verdict, judge, worst};
use calc::water::density;
use proptest::prelude::*;
use units::{
    Area, KeyInStep, LengthUnit, PulseConvention, PulsesPerDistance, Share, Temperature, Volume,
    VolumePerArea, VolumePerCarrier, VolumeUnit,
};

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

fn step(step: f64, largest: Option<f64>) -> Option<KeyInStep> {
    Some(KeyInStep { step, largest })
}

#[test]
fn rounding_by_hand() {
    near(key_in(748.8, step(1.0, None)).unwrap().rounded, 749.0, 0.0);
    near(key_in(748.8, step(5.0, None)).unwrap().rounded, 750.0, 0.0);
    near(key_in(12.34, step(0.1, None)).unwrap().rounded, 12.3, 1e-12);
    near(key_in(12.34, step(0.1, None)).unwrap().rounding_error.as_percent(), -0.324_149, 1e-6);
    near(key_in(12.34, None).unwrap().rounded, 12.34, 0.0);
}

// ISO 11786 (memory): 130 pulses per metre. By hand: 130 × 91.44 = 11 887.2 per 300 ft; 10 in hold 33.02 pulses.
#[test]
fn the_standard_speed_signal_in_several_conventions() {
    let sensor = PulsesPerDistance::from_per_m(130.0);
    let number = |convention, s| key_in_pulses(sensor, convention, step(s, None)).unwrap().rounded;
    near(number(PulseConvention::counting(300.0, LengthUnit::Foot), 1.0), 11_887.0, 0.0);
    near(number(PulseConvention::counting(100.0, LengthUnit::Metre), 1.0), 13_000.0, 0.0);
    near(number(PulseConvention::counting(1.0, LengthUnit::Mile), 1.0), 209_215.0, 0.0);
    near(number(PulseConvention::spacing(10.0, LengthUnit::Inch), 0.001), 3.028, 1e-9);
}

#[test]
fn bad_numbers_are_named() {
    assert_eq!(key_in(0.0, None), Err(KeyInError::Number { got: 0.0 }));
    assert_eq!(key_in(-3.0, None), Err(KeyInError::Number { got: -3.0 }));
    assert!(matches!(key_in(f64::NAN, None), Err(KeyInError::Number { .. })));
    assert_eq!(key_in(0.3, step(1.0, None)), Err(KeyInError::RoundsToZero { exact: 0.3, step: 1.0 }));
    assert_eq!(
        key_in(10_000.0, step(1.0, Some(9999.0))),
        Err(KeyInError::TooLarge { rounded: 10_000.0, largest: 9999.0 })
    );
    near(key_in(9999.4, step(1.0, Some(9999.0))).unwrap().rounded, 9999.0, 0.0);
    assert_eq!(key_in(1.0, step(0.0, None)), Err(KeyInError::Step { got: 0.0 }));
    let convention = PulseConvention::counting(0.0, VolumeUnit::Litre);
    let keyed = KeyedPulses { number: 1.0, convention, step: None };
    assert_eq!(keyed.corrected(1.0, 0.0), Err(KeyInError::Amount { got: 0.0 }));
}

// Tanaka et al. 2001, known values (memory) in kg/m³.
#[test]
fn water_against_known_values() {
    let table = [
        (0.0, 999.8428),
        (4.0, 999.9749),
        (10.0, 999.7027),
        (15.0, 999.1026),
        (20.0, 998.2067),
        (25.0, 997.0470),
        (30.0, 995.6488),
        (40.0, 992.2152),
    ];
    for (celsius, kg_m3) in table {
        near(density(Temperature::from_c(celsius)).unwrap().as_kg_per_m3(), kg_m3, 1.5e-4);
    }
    // Extension texts use 8.34 (8.33) lb/US gal.
    near(density(Temperature::from_f(60.0)).unwrap().as_lb_per_us_gal(), 8.34, 0.005);
}

// A second formula: Kell (1975), J. Chem. Eng. Data 20, 97 (coefficients from memory). The two agree to 0.01 kg/m³; Kell
// stands on the temperature scale of 1968.
#[test]
fn water_by_a_second_formula() {
    for tenth in 0..=400_u16 {
        let t = f64::from(tenth) / 10.0;
        let kell = (999.83952 + 16.945176 * t - 7.987_040_1e-3 * t.powi(2) - 46.170_461e-6 * t.powi(3)
            + 105.563_02e-9 * t.powi(4)
            - 280.542_53e-12 * t.powi(5))
            / (1.0 + 16.879_850e-3 * t);
        near(density(Temperature::from_c(t)).unwrap().as_kg_per_m3(), kell, 0.01);
    }
}

#[test]
fn water_is_not_extrapolated() {
    for celsius in [-0.1, 40.1, 100.0, f64::NAN] {
        assert!(density(Temperature::from_c(celsius)).is_err());
    }
    assert!(density(Temperature::from_f(32.0)).is_ok() && density(Temperature::from_f(104.0)).is_ok());
}

fn acres(gal: f64, gal_per_ac: f64) -> f64 {
    area_of_load(Volume::from_us_gal(gal), VolumePerArea::from_us_gal_per_ac(gal_per_ac)).unwrap().as_ac()
}

// MIX-01, Montana State MT 2000-14: 16.6 and 8.3 printed (truncated), 16.667 and 8.333 exact. OZ-03: 300 gal at 10.
#[test]
fn acres_of_a_load() {
    near(acres(500.0, 30.0), 16.666_667, 1e-6);
    near(acres(250.0, 30.0), 8.333_333, 1e-6);
    assert!(acres(500.0, 30.0) > 16.65, "the truncation is not copied");
    near(acres(300.0, 10.0), 30.0, 1e-9);
}

// METR-04, Alberta Agdex 606-1: 30 ac at 40 L/ac: 1200 L. METR-05: 20 ha at 200 L/ha, 1000 L tank: 4000 L, 4 loads.
// MIX-05: 3.5 ac at 15 GPA: 52.5 gal.
#[test]
fn volume_of_a_field() {
    let l_per_ac = VolumePerArea::from_l_per_ha(40.0 / Area::from_ac(1.0).as_ha());
    near(volume_for_area(Area::from_ac(30.0), l_per_ac).unwrap().as_l(), 1200.0, 1e-9);
    let field = volume_for_area(Area::from_ha(20.0), VolumePerArea::from_l_per_ha(200.0)).unwrap();
    near(field.as_l() / 1000.0, 4.0, 1e-12);
    let part = volume_for_area(Area::from_ac(3.5), VolumePerArea::from_us_gal_per_ac(15.0)).unwrap();
    near(part.as_us_gal(), 52.5, 1e-9);
}

// MIX-04, Univ. of Missouri: 500 gal, 20 GPA, 3 pt/ac: 75 pt. STRIP-05, Albany County: 20 GPA, 32 oz/ac: 32 oz in
// each 20 gal. MIX-09, Illinois: 0.5 % v/v in 2 gal: 1.28 fl oz. MIX-12 (memory): 0.5 % in 300 gal: 1.5 gal. MIX-13:
// 1 % v/v is 1.28 fl oz a gallon (1.34 oz is by WEIGHT and is not copied).
#[test]
fn product_of_a_load() {
    let gal_per_ac = VolumePerArea::from_us_gal_per_ac(20.0);
    let product = |rate, gal| product_for_load(rate, Volume::from_us_gal(gal), gal_per_ac).unwrap();
    let pints = ProductRate::PerArea(VolumePerArea::from_us_pt_per_ac(3.0));
    near(product(pints, 500.0).as_us_pt(), 75.0, 1e-9);
    let ounces = ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(32.0));
    near(product(ounces, 20.0).as_us_fl_oz(), 32.0, 1e-9);
    let share = |percent| ProductRate::PerCarrier(VolumePerCarrier::from_percent(percent));
    near(product(share(0.5), 2.0).as_us_fl_oz(), 1.28, 1e-9);
    near(product(share(0.5), 300.0).as_us_gal(), 1.5, 1e-9);
    near(product(share(1.0), 1.0).as_us_fl_oz(), 1.28, 1e-9);
}

#[test]
fn bad_loads_are_named() {
    let (load, none) = (Volume::from_l(100.0), VolumePerArea::from_l_per_ha(0.0));
    assert_eq!(area_of_load(load, none), Err(LoadError::CarrierRate { got: none }));
    let negative = Volume::from_l(-1.0);
    let rate = VolumePerArea::from_l_per_ha(100.0);
    assert_eq!(area_of_load(negative, rate), Err(LoadError::Volume { got: negative }));
    let nowhere = Area::from_ha(-1.0);
    assert_eq!(volume_for_area(nowhere, rate), Err(LoadError::Area { got: nowhere }));
    let bad = ProductRate::PerArea(VolumePerArea::from_l_per_ha(-1.0));
    assert!(matches!(product_for_load(bad, load, rate), Err(LoadError::ProductRate(_))));
}

// JCGM 106:2012, 8.3: the edges belong to acceptance, by the rule |e| + U ≤ T.
#[test]
fn verdicts_at_the_edges() {
    assert_eq!(judge(0.25, 0.25, 0.5), Verdict::Within);
    assert_eq!(judge(0.75, 0.25, 0.5), Verdict::NotProvenYet);
    assert_eq!(judge(0.751, 0.25, 0.5), Verdict::Out);
    assert_eq!(judge(0.0, f64::INFINITY, 0.5), Verdict::NotProvenYet);
    assert_eq!(judge(f64::NAN, 0.0, 0.5), Verdict::NotProvenYet);
    assert_eq!(worst([Verdict::Within; 3]), Some(Verdict::Within));
    assert_eq!(worst([Verdict::NotProvenYet, Verdict::Within]), Some(Verdict::NotProvenYet));
}

// ERR-01, NOZ-05, STD-03, STD-05: defaults.
#[test]
fn default_tolerances() {
    for (tolerance, percent) in [
        (Tolerance::RATE_CONTROL, 5.0),
        (Tolerance::NOZZLE_NOMINAL, 10.0),
        (Tolerance::NOZZLE_MEAN, 5.0),
        (Tolerance::APPLICATION_RATE, 5.0),
    ] {
        near(tolerance.limit.as_percent(), percent, 1e-12);
    }
    assert!(!Tolerance::user(Share::from_percent(0.0)).is_sensible());
}

proptest! {
    /// A verdict never turns from out to within by making the uncertainty smaller or larger, and is even in the error.
    #[test]
    fn verdicts_are_consistent(e in -0.2..0.2, u in 0.0..0.2, less in 0.0..1.0, t in 0.001..0.2) {
        let (wide, narrow) = (judge(e, u, t), judge(e, u * less, t));
        prop_assert_eq!(judge(-e, u, t), wide);
        prop_assert!(wide == Verdict::NotProvenYet || wide == narrow);
        prop_assert_eq!(judge(e, 0.0, t) == Verdict::Within, e.abs() <= t);
    }

    /// The rounded number lies on a step and no further than half a step away.
    #[test]
    fn rounding_stays_within_half_a_step(value in 1.0..100_000.0, s in 0.001..0.9) {
        let number = key_in(value, step(s, None)).unwrap();
        prop_assert!((number.rounded - value).abs() <= 0.5 * s * (1.0 + 1e-9) + 1e-7);
        let steps = number.rounded / s;
        prop_assert!((steps - steps.round()).abs() < 1e-6);
        prop_assert!((number.exact * (1.0 + number.rounding_error.as_fraction()) - number.rounded).abs() < 1e-6);
    }
}
