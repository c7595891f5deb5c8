//! Rate algebra against published rows. Each case names its source; what is printed is matched to its own last digit,
//! what is recomputed by hand to 1e-6.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::rate::{
    RateError, application_rate, area_rate, concentration, flow_for_rate, nudge_factor, nudged_rate,
    product_flow, speed_for_rate,
};
use calc::rig::ProductRate;
use proptest::prelude::*;
use units::{FlowRate, Length, Share, Speed, Volume, VolumePerArea, VolumePerCarrier};

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

fn gal_per_ac(gal_per_min: f64, mph: f64, inches: f64) -> f64 {
    application_rate(
        FlowRate::from_us_gal_per_min(gal_per_min),
        Speed::from_mph(mph),
        Length::from_in(inches),
    )
    .unwrap()
    .as_us_gal_per_ac()
}

fn gal_per_min(gal_per_ac: f64, mph: f64, inches: f64) -> f64 {
    flow_for_rate(
        VolumePerArea::from_us_gal_per_ac(gal_per_ac),
        Speed::from_mph(mph),
        Length::from_in(inches),
    )
    .unwrap()
    .as_us_gal_per_min()
}

// RATE-01, Univ. of Florida IFAS Extension, Marion County, 2017.
#[test]
fn sixteen_ounces_a_minute_are_an_eighth_of_a_gallon() {
    near(FlowRate::from_us_fl_oz_per_min(16.0).as_us_gal_per_min(), 0.125, 1e-12);
}

// RATE-02, Univ. of Florida IFAS, EDIS WG013: 5940 × GPM ÷ (MPH × W in).
#[test]
fn the_constant_is_5940_with_inches() {
    near(gal_per_ac(1.0, 1.0, 1.0), 5940.0, 1e-6);
    near(gal_per_ac(0.35, 7.0, 20.0), 5940.0 * 0.35 / 140.0, 1e-9);
}

// The same page rounds a gallon to 3,786 mL; NIST Handbook 44: 3785.411784 mL. Trap: do not copy.
#[test]
fn a_gallon_is_not_3786_millilitres() {
    near(Volume::from_us_gal(1.0).as_ml(), 3_785.411_784, 1e-9);
    assert!((Volume::from_us_gal(1.0).as_ml() - 3786.0).abs() > 0.5);
}

// RATE-03, Mesa County (Colorado): 495 with feet; 495 = 43 560 × 60 ÷ 5280 exactly.
#[test]
fn the_constant_is_495_with_feet() {
    near(gal_per_ac(1.0, 1.0, 12.0), 495.0, 1e-7);
    near(43_560.0 * 60.0 / 5280.0, 495.0, 0.0);
}

// RATE-04, Albany County (Wyoming): 480 fl oz/min, 222 in, 5 mph; printed 20, exact 20.068.
#[test]
fn a_cluster_nozzle_gives_twenty_gallons() {
    let rate = gal_per_ac(480.0 / 128.0, 5.0, 222.0);
    near(rate, 20.0, 0.5);
    near(rate, 20.067_567_57, 1e-6);
}

// RATE-05, Montana State MT 2000-14: 30 GPA, 7 mph, 30 in; printed 1 (rounded down), exact 1.0606.
#[test]
fn thirty_gallons_at_seven_miles_need_one_and_six_hundredths() {
    near(gal_per_min(30.0, 7.0, 30.0), 1.060_606_06, 1e-6);
}

// RATE-07, Good Fruit Grower: 10 ft × 436 ft, 4 gal; printed 40, exact 39.963 (435.6 ft would be a tenth of an acre).
#[test]
fn a_tenth_of_an_acre_takes_four_gallons() {
    let rate = calc::speed::rate_over_area(Volume::from_us_gal(4.0), units::Area::from_ft2(4360.0)).unwrap();
    near(rate.as_us_gal_per_ac(), 40.0, 0.5);
    near(rate.as_us_gal_per_ac(), 39.963_302_75, 1e-6);
}

// RATE-08, South Dakota State Univ. Extension (inputs): 15 GPA, 10 mph, 20 in → 64.646 fl oz/min by hand.
#[test]
fn fifteen_gallons_at_ten_miles_on_twenty_inches() {
    near(gal_per_min(15.0, 10.0, 20.0) * 128.0, 64.646_464_6, 1e-6);
}

// RATE-09, Univ. of Florida UF00067548: 15 in band, 16 fl oz over 300 ft; printed 14.5; two nozzles per row double it.
#[test]
fn a_band_of_fifteen_inches() {
    let area = units::Area::from_ft2(300.0 * 15.0 / 12.0);
    let rate = |oz| calc::speed::rate_over_area(Volume::from_us_fl_oz(oz), area).unwrap().as_us_gal_per_ac();
    near(rate(16.0), 14.5, 0.05);
    near(rate(16.0), 14.52, 1e-6);
    near(rate(32.0), 29.04, 1e-6);
}

// RATE-10, Kansas State / Illinois "Calibrating Boom Sprayers" (memory): 15 GPA, 7 mph, 20 in → 0.35 GPM, 45 oz/min.
#[test]
fn the_well_known_extension_example() {
    near(gal_per_min(15.0, 7.0, 20.0), 0.35, 0.005);
    near(gal_per_min(15.0, 7.0, 20.0) * 128.0, 45.0, 0.5);
    near(gal_per_min(15.0, 7.0, 20.0), 0.353_535_35, 1e-6);
}

// RATE-11, Cornell (inputs): 20 GPA, 4 mph, 20 in → 0.26936 by hand.
#[test]
fn twenty_gallons_at_four_miles() {
    near(gal_per_min(20.0, 4.0, 20.0), 0.269_360_27, 1e-6);
}

// RATE-12, Texas A&M AgriLife, Henderson County: 13 nozzles at 20 in → 21.7 ft.
#[test]
fn thirteen_nozzles_cover_thirteen_spacings() {
    near(13.0 * Length::from_in(20.0).as_ft(), 21.7, 0.05);
}

// RATE-13, Univ. of Missouri G1270A: 10 % slower at constant flow puts about 10 % (exactly 11.1 %) more on.
#[test]
fn a_tenth_slower_puts_a_ninth_more_on() {
    near(gal_per_ac(0.5, 9.0, 20.0) / gal_per_ac(0.5, 10.0, 20.0) - 1.0, 1.0 / 9.0, 1e-12);
}

fn l_per_ha(l_per_min: f64, km_per_h: f64, m: f64) -> f64 {
    application_rate(FlowRate::from_l_per_min(l_per_min), Speed::from_km_per_h(km_per_h), Length::from_m(m))
        .unwrap()
        .as_l_per_ha()
}

// METR-01, Ontario ep75 (steps read, factor derived): mL ÷ spacing in m × 0.2 on a 50 m course.
#[test]
fn millilitres_on_fifty_metres() {
    let rate = calc::speed::rate_over_area(Volume::from_ml(300.0), units::Area::from_m2(50.0 * 0.5)).unwrap();
    near(rate.as_l_per_ha(), 300.0 / 0.5 * 0.2, 1e-9);
}

// METR-02, GRDC module 8.3: a chart for 50 cm used at 50.8 cm is 1.6 % wrong.
#[test]
fn a_chart_for_fifty_centimetres_used_at_twenty_inches() {
    near(l_per_ha(1.0, 10.0, 0.5) / l_per_ha(1.0, 10.0, 0.508) - 1.0, 0.016, 1e-12);
}

// METR-03, GRDC video: 36 m at 0.5 m are 72 nozzles; 72 L/min at 1 L/min each (the speaker says seventy).
#[test]
fn seventy_two_nozzles_on_thirty_six_metres() {
    near(36.0 / 0.5 * 1.0, 72.0, 0.0);
    near(l_per_ha(72.0, 10.0, 36.0), l_per_ha(1.0, 10.0, 0.5), 1e-9);
}

// METR-06, METR-07, standard form (memory): 600; 120 L/ha, 12 km/h, 0.5 m → 1.2 L/min.
#[test]
fn the_constant_is_600_in_metric() {
    near(l_per_ha(1.0, 1.0, 1.0), 600.0, 1e-9);
    let flow =
        flow_for_rate(VolumePerArea::from_l_per_ha(120.0), Speed::from_km_per_h(12.0), Length::from_m(0.5));
    near(flow.unwrap().as_l_per_min(), 1.2, 1e-12);
}

// INJ-01, Univ. of Florida IFAS (Langeland): acres/min = mph × ft ÷ 495.
#[test]
fn acres_a_minute() {
    let rate = area_rate(Speed::from_mph(5.0), Length::from_ft(33.0)).unwrap();
    near(rate.as_ac_per_min(), 5.0 * 33.0 / 495.0, 1e-12);
}

// INJ-02 (follows from INJ-01): 32 oz/ac, 8 mph, 24 ft → 12.412 oz/min.
#[test]
fn an_injection_pump_for_thirty_two_ounces() {
    let rate = ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(32.0));
    let flow = product_flow(rate, FlowRate::from_l_per_min(1.0), Speed::from_mph(8.0), Length::from_ft(24.0));
    near(flow.unwrap().as_us_fl_oz_per_min(), 12.412_121_2, 1e-6);
}

// INJ-04, Univ. of Maryland FS-1121: 1:50 is one part in 50 in all. A rate per carrier is parts added to it.
#[test]
fn one_to_fifty_is_not_one_in_fifty() {
    let l = VolumePerArea::from_l_per_ha;
    near(concentration(l(1.0), l(49.0)).unwrap().as_fraction(), 0.02, 1e-12);
    let added = ProductRate::PerCarrier(VolumePerCarrier::from_percent(2.0));
    let flow = product_flow(added, FlowRate::from_l_per_min(50.0), Speed::from_mph(1.0), Length::from_m(1.0));
    near(flow.unwrap().as_l_per_min(), 1.0, 1e-12);
    near(concentration(l(1.0), l(50.0)).unwrap().as_fraction(), 1.0 / 51.0, 1e-12);
}

// Common practice, no source: 64 oz/ac nudged once by 10 % is 70.4 up and 57.6 down.
#[test]
fn sixty_four_ounces_nudged_by_a_tenth() {
    near(64.0 * nudge_factor(Share::from_percent(10.0), 1).unwrap(), 70.4, 1e-9);
    near(64.0 * nudge_factor(Share::from_percent(10.0), -1).unwrap(), 57.6, 1e-9);
}

#[test]
fn presses_add_up_and_do_not_compound() {
    near(nudge_factor(Share::from_percent(10.0), 2).unwrap(), 1.2, 1e-12); // by hand
    near(nudge_factor(Share::from_percent(10.0), -9).unwrap(), 0.1, 1e-12);
}

#[test]
fn bad_input_is_named() {
    let (q, v, w) = (FlowRate::from_l_per_min(1.0), Speed::from_km_per_h(8.0), Length::from_m(0.5));
    let still = Speed::from_km_per_h(0.0);
    assert_eq!(application_rate(q, still, w), Err(RateError::Speed { got: still }));
    let back = Speed::from_km_per_h(-1.0);
    assert_eq!(application_rate(q, back, w), Err(RateError::Speed { got: back }));
    let none = Length::from_m(0.0);
    assert_eq!(application_rate(q, v, none), Err(RateError::Width { got: none }));
    let negative = FlowRate::from_l_per_min(-1.0);
    assert_eq!(application_rate(negative, v, w), Err(RateError::Flow { got: negative }));
    assert!(matches!(
        application_rate(FlowRate::from_l_per_min(f64::NAN), v, w),
        Err(RateError::Flow { .. })
    ));
    assert!(matches!(
        application_rate(q, Speed::from_km_per_h(f64::INFINITY), w),
        Err(RateError::Speed { .. })
    ));
    let zero = VolumePerArea::from_l_per_ha(0.0);
    assert_eq!(speed_for_rate(q, zero, w), Err(RateError::Rate { got: zero }));
    let step = Share::from_percent(10.0);
    assert_eq!(nudge_factor(step, -10), Err(RateError::NudgedAway { presses: -10, step }));
    let none = Share::from_percent(0.0);
    assert_eq!(nudge_factor(none, 1), Err(RateError::Step { got: none }));
    assert!(matches!(
        nudged_rate(ProductRate::PerArea(VolumePerArea::from_l_per_ha(-1.0)), step, 1),
        Err(RateError::Rate { .. })
    ));
}

proptest! {
    /// Flow and rate undo each other, in whichever units they are written.
    #[test]
    fn flow_and_rate_are_inverse(rate in 0.01..2000.0, mph in 0.1..40.0, ft in 0.5..150.0) {
        let wanted = VolumePerArea::from_us_gal_per_ac(rate);
        let (v, w) = (Speed::from_mph(mph), Length::from_ft(ft));
        let q = flow_for_rate(wanted, v, w).unwrap();
        prop_assert!((application_rate(q, v, w).unwrap().as_us_gal_per_ac() / rate - 1.0).abs() < 1e-12);
        prop_assert!((speed_for_rate(q, wanted, w).unwrap().as_mph() / mph - 1.0).abs() < 1e-12);
        // The metric formula on the same rig, by its own constant.
        let metric = wanted.as_l_per_ha() * v.as_km_per_h() * w.as_m() / 600.0;
        prop_assert!((q.as_l_per_min() / metric - 1.0).abs() < 1e-12);
        // The US formula likewise.
        prop_assert!((q.as_us_gal_per_min() / (rate * mph * ft / 495.0) - 1.0).abs() < 1e-12);
    }

    /// More flow puts more on, more speed or width less.
    #[test]
    fn rate_moves_the_right_way(q in 0.1..500.0, v in 1.0..30.0, w in 0.3..40.0, more in 1.001..3.0) {
        let base = l_per_ha(q, v, w);
        prop_assert!(l_per_ha(q * more, v, w) > base);
        prop_assert!(l_per_ha(q, v * more, w) < base);
        prop_assert!(l_per_ha(q, v, w * more) < base);
    }
}
