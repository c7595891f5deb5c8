//! The forward model against the formulas of the trade, written out a second time, and by hand.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::model::{Condition, Dose, ErrorFactors, KeyedNumber, ModelError, Motion, Prediction, predict};
use calc::rig::{Carrier, InjectionPump, NozzleSet, ProductRate, Rig, Section};
use proptest::prelude::*;
use units::{Duration, FlowRate, Length, Pressure, Share, Speed, VolumePerArea, VolumePerCarrier};

#[track_caller]
fn near(got: f64, expected: f64) {
    assert!((got - expected).abs() <= 1e-9 * expected.abs().max(1e-9), "got {got}, expected {expected}");
}

/// Three sections of 12, 10 and 12 ft with 7, 6 and 7 nozzles, one pump at 64 fl oz/ac, one at 0.5 % v/v.
fn rig() -> Rig {
    let section = |ft, n_nozzles| Section { width: Length::from_ft(ft), n_nozzles };
    Rig {
        sections: vec![section(12.0, 7), section(10.0, 6), section(12.0, 7)],
        nozzles: Some(NozzleSet {
            rated_flow: FlowRate::from_us_gal_per_min(0.4),
            rated_pressure: Pressure::from_psi(40.0),
            least_pressure: None,
            greatest_pressure: None,
            spacing: None,
        }),
        carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))),
        pumps: vec![
            InjectionPump {
                first: Some(ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(64.0))),
                second: Some(ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(96.0))),
                nudge: Some(Share::from_percent(10.0)),
                ..InjectionPump::blank()
            },
            InjectionPump {
                first: Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(0.5))),
                ..InjectionPump::blank()
            },
        ],
        ..Rig::blank()
    }
}

fn driving(rig: &Rig, mph: f64) -> Condition {
    Condition::all_on(rig, Motion::Driving(Speed::from_mph(mph)))
}

fn right(rig: &Rig, condition: &Condition) -> Prediction {
    predict(rig, &ErrorFactors::none(rig), condition).unwrap()
}

#[test]
fn a_right_rig_shows_the_truth() {
    let rig = rig();
    let p = right(&rig, &driving(&rig, 6.0));
    assert_eq!(p.shown, p.actual);
    near(p.actual.rate.unwrap().as_us_gal_per_ac(), 20.0);
    // By hand: 20 × 6 × 34 ÷ 495 = 8.2424 gal/min; 64 × 6 × 34 ÷ 495 = 26.376 fl oz/min.
    near(p.actual.flow.unwrap().as_us_gal_per_min(), 20.0 * 6.0 * 34.0 / 495.0);
    near(p.actual.products[0].unwrap().flow.as_us_fl_oz_per_min(), 64.0 * 6.0 * 34.0 / 495.0);
    near(p.actual.products[0].unwrap().rate.unwrap().as_us_fl_oz_per_ac(), 64.0);
    // By hand: 0.5 % of 20 gal/ac is 12.8 fl oz/ac.
    near(p.actual.products[1].unwrap().rate.unwrap().as_us_fl_oz_per_ac(), 12.8);
    // The nozzles pass the products too. By hand: 20 gal/ac, 64 fl oz/ac = 0.5 gal/ac and 0.5 % of 20 = 0.1 gal/ac, so
    // 8.2424 × 20.6/20 = 8.4897 gal/min, 0.42448 each of 20; 40 psi × (0.42448/0.4)² = 45.047 psi, 2.59 psi more than
    // carrier alone.
    near(p.pressure.unwrap().as_psi(), 40.0 * (20.6 * 6.0 * 34.0 / 495.0 / 20.0 / 0.4_f64).powi(2));
    assert_eq!(p.n_nozzles, Some(20));
    assert!(!p.hold_in_force);
}

#[test]
fn totals_grow_with_time() {
    let rig = rig();
    let totals = right(&rig, &driving(&rig, 6.0)).actual.after(Duration::from_min(10.0)).unwrap();
    // By hand: 6 mph for ten minutes is a mile; × 34 ft ÷ 8.25 = 4.1212 ac; × 20 gal, × 64 fl oz.
    near(totals.distance.as_mi(), 1.0);
    near(totals.area.as_ac(), 34.0 / 8.25);
    near(totals.volume.unwrap().as_us_gal(), 20.0 * 34.0 / 8.25);
    near(totals.products[0].unwrap().as_us_fl_oz(), 64.0 * 34.0 / 8.25);
}

#[test]
fn below_the_hold_the_dose_grows_as_hold_over_speed() {
    let rig = Rig { hold_speed: Some(Speed::from_mph(4.0)), ..rig() };
    let p = right(&rig, &driving(&rig, 2.0));
    assert!(p.hold_in_force);
    near(p.actual.rate.unwrap().as_us_gal_per_ac(), 40.0); // 20 × 4/2
    near(p.shown.rate.unwrap().as_us_gal_per_ac(), 40.0);
    near(p.actual.products[0].unwrap().rate.unwrap().as_us_fl_oz_per_ac(), 128.0);
    near(p.steering_speed.as_mph(), 4.0);
    // The hold compares with the shown speed: a course number 10 % high shows 4.4 mph as 4.
    let errors = ErrorFactors { speed: 1.1, ..ErrorFactors::none(&rig) };
    let p = predict(&rig, &errors, &driving(&rig, 4.3)).unwrap();
    assert!(p.hold_in_force);
    near(p.actual.rate.unwrap().as_us_gal_per_ac(), 20.0 * 4.0 / 4.3);
}

#[test]
fn doses_follow_the_switch_and_the_nudge() {
    let rig = rig();
    let dose = |dose| {
        let mut state = driving(&rig, 6.0);
        state.doses = vec![dose, Dose::Off];
        right(&rig, &state).actual.products[0].map(|p| p.rate.unwrap().as_us_fl_oz_per_ac())
    };
    near(dose(Dose::First(1)).unwrap(), 70.4); // common practice, no source
    near(dose(Dose::First(-1)).unwrap(), 57.6);
    near(dose(Dose::Second(0)).unwrap(), 96.0);
    near(dose(Dose::Second(2)).unwrap(), 115.2);
    assert_eq!(dose(Dose::Off), None);
}

#[test]
fn a_standing_run_lands_nowhere() {
    let rig = rig();
    let p = right(&rig, &Condition::all_on(&rig, Motion::Standing(Speed::from_mph(6.0))));
    near(p.shown.rate.unwrap().as_us_gal_per_ac(), 20.0);
    near(p.actual.flow.unwrap().as_us_gal_per_min(), 20.0 * 6.0 * 34.0 / 495.0);
    assert_eq!(p.actual.rate, None);
    assert_eq!(p.actual.products[0].unwrap().rate, None);
    near(p.actual.area_rate.as_ac_per_h(), 0.0);
    // The course number plays no part while the console pretends its speed.
    let wrong = ErrorFactors { speed: 1.3, ..ErrorFactors::none(&rig) };
    let condition = Condition::all_on(&rig, Motion::Standing(Speed::from_mph(6.0)));
    assert_eq!(predict(&rig, &wrong, &condition).unwrap(), p);
}

#[test]
fn sections_that_are_off_count_for_nothing() {
    let rig = rig();
    let mut state = driving(&rig, 6.0);
    state.sections_on = vec![true, false, true];
    let p = right(&rig, &state);
    near(p.shown.width.as_ft(), 24.0);
    near(p.actual.flow.unwrap().as_us_gal_per_min(), 20.0 * 6.0 * 24.0 / 495.0);
    assert_eq!(p.n_nozzles, Some(14));
    state.sections_on = vec![false; 3];
    assert_eq!(predict(&rig, &ErrorFactors::none(&rig), &state), Err(ModelError::NoSectionOn));
}

#[test]
fn heavier_carrier_needs_more_pressure() {
    let heavy = Rig { specific_gravity: 1.28, ..rig() };
    let water = rig();
    let ratio = right(&heavy, &driving(&heavy, 6.0)).pressure.unwrap().as_psi()
        / right(&water, &driving(&water, 6.0)).pressure.unwrap().as_psi();
    near(ratio, 1.28);
}

#[test]
fn what_is_not_known_is_not_made_up() {
    let mut rig = rig();
    rig.carrier = None;
    let p = right(&rig, &driving(&rig, 6.0));
    assert_eq!((p.actual.flow, p.actual.rate, p.pressure), (None, None, None));
    assert!(p.actual.products[0].is_some()); // per area needs no carrier
    assert_eq!(p.actual.products[1], None); // per carrier does
    rig.sections[1].n_nozzles = 0;
    rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0)));
    let p = right(&rig, &driving(&rig, 6.0));
    assert_eq!((p.n_nozzles, p.pressure), (None, None));
}

#[test]
fn bad_input_is_named() {
    let rig = rig();
    let none = ErrorFactors::none(&rig);
    let good = driving(&rig, 6.0);
    let error =
        |rig: &Rig, errors: &ErrorFactors, state: &Condition| predict(rig, errors, state).unwrap_err();
    assert!(matches!(error(&rig, &none, &driving(&rig, 0.0)), ModelError::Speed { .. }));
    assert!(matches!(error(&rig, &none, &driving(&rig, -2.0)), ModelError::Speed { .. }));
    let meter = ErrorFactors { meter: 0.0, ..none.clone() };
    assert_eq!(error(&rig, &meter, &good), ModelError::Factor { number: KeyedNumber::Meter, got: 0.0 });
    let widths = ErrorFactors { widths: vec![1.0], ..none.clone() };
    assert_eq!(error(&rig, &widths, &good), ModelError::SectionCount { got: 1, expected: 3 });
    let pumps = ErrorFactors { pumps: vec![], ..none.clone() };
    assert_eq!(error(&rig, &pumps, &good), ModelError::PumpCount { got: 0, expected: 2 });
    let state = Condition { doses: vec![Dose::Off, Dose::Second(0)], ..good.clone() };
    assert_eq!(error(&rig, &none, &state), ModelError::NoRate { pump_idx: 1, dose: Dose::Second(0) });
    let state = Condition { doses: vec![Dose::Off, Dose::First(1)], ..good.clone() };
    assert_eq!(error(&rig, &none, &state), ModelError::NoNudgeStep { pump_idx: 1 });
    let state = Condition { doses: vec![Dose::First(-10), Dose::Off], ..good.clone() };
    assert!(matches!(error(&rig, &none, &state), ModelError::Rate(_)));
    let mut flat = rig.clone();
    flat.sections[2].width = Length::from_ft(0.0);
    assert!(matches!(error(&flat, &none, &good), ModelError::Width { section_idx: 2, .. }));
    let mut manual = rig.clone();
    manual.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    manual.sections[0].n_nozzles = 0;
    assert_eq!(error(&manual, &none, &good), ModelError::NozzlesUnknown { section_idx: 0 });
    manual.nozzles = None;
    assert_eq!(error(&manual, &none, &good), ModelError::NoNozzleSet);
    // 20 nozzles pass 2 gal/min at 2.5 psi; 64 fl oz/ac at 60 mph are 0.5 × 60 × 34 ÷ 495 = 2.06.
    let thin = Rig { carrier: Some(Carrier::Manual(Pressure::from_psi(2.5))), ..rig.clone() };
    assert!(matches!(error(&thin, &none, &driving(&thin, 60.0)), ModelError::NoCarrierLeft { .. }));
    let hold = Rig { hold_speed: Some(Speed::from_mph(f64::NAN)), ..rig.clone() };
    assert!(matches!(error(&hold, &none, &good), ModelError::HoldSpeed { .. }));
    let p = right(&rig, &good);
    assert!(matches!(p.shown.after(Duration::from_s(-1.0)), Err(ModelError::Duration { .. })));
}

proptest! {
    /// Regulated: R = T (v̂/v)(ŵ/w) c_meter, R_p = T_p (v̂/v)(ŵ/w) c_pump, and the display never tells.
    #[test]
    fn regulated_errors_multiply(
        meter in 0.7..1.4, speed in 0.7..1.4, width in 0.7..1.4, pump in 0.7..1.4, mph in 1.0..20.0,
    ) {
        let rig = rig();
        let errors = ErrorFactors { meter, speed, widths: vec![width; 3], pumps: vec![pump; 2] };
        let p = predict(&rig, &errors, &driving(&rig, mph)).unwrap();
        let (v_hat_over_v, w_hat_over_w) = (1.0 / speed, width);
        let close = |got: f64, expected: f64| (got / expected - 1.0).abs() < 1e-12;
        prop_assert!(close(p.actual.rate.unwrap().as_us_gal_per_ac(), 20.0 * v_hat_over_v * w_hat_over_w * meter));
        let product = |idx: usize| p.actual.products[idx].unwrap().rate.unwrap().as_us_fl_oz_per_ac();
        prop_assert!(close(product(0), 64.0 * v_hat_over_v * w_hat_over_w * pump));
        // Per carrier the console doses by its own shown flow, which sits on target whatever the meter.
        prop_assert!(close(product(1), 12.8 * v_hat_over_v * w_hat_over_w * pump));
        prop_assert!(close(p.shown.rate.unwrap().as_us_gal_per_ac(), 20.0));
        prop_assert!(close(p.shown.products[0].unwrap().rate.unwrap().as_us_fl_oz_per_ac(), 64.0));
        prop_assert!(close(p.shown.speed.as_mph(), mph / speed));
        prop_assert!(close(p.shown.flow.unwrap().as_l_per_min() * meter, p.actual.flow.unwrap().as_l_per_min()));
    }

    /// Manual: the nozzles pass what the pressure gives, whatever is keyed in; product still follows shown area, is injected
    /// before the nozzles and takes the place of as much carrier.
    #[test]
    fn manual_carrier_ignores_the_console(
        meter in 0.7..1.4, speed in 0.7..1.4, width in 0.7..1.4, pump in 0.7..1.4, mph in 1.0..20.0, psi in 10.0..90.0,
    ) {
        let rig = Rig { carrier: Some(Carrier::Manual(Pressure::from_psi(psi))), ..rig() };
        let errors = ErrorFactors { meter, speed, widths: vec![width; 3], pumps: vec![pump; 2] };
        let p = predict(&rig, &errors, &driving(&rig, mph)).unwrap();
        let close = |got: f64, expected: f64| (got / expected - 1.0).abs() < 1e-12;
        let per_min_of_area = 64.0 / 128.0 / speed * width * pump * mph * (34.0 / width) / 495.0;
        let per_carrier = 0.005 / meter * pump;
        let gal_per_min = (20.0 * 0.4 * (psi / 40.0_f64).sqrt() - per_min_of_area) / (1.0 + per_carrier);
        prop_assert!(close(p.actual.flow.unwrap().as_us_gal_per_min(), gal_per_min));
        prop_assert!(close(p.actual.rate.unwrap().as_us_gal_per_ac(), 495.0 * gal_per_min / (mph * 34.0 / width)));
        prop_assert!(close(p.shown.flow.unwrap().as_us_gal_per_min(), gal_per_min / meter));
        let product = |idx: usize| p.actual.products[idx].unwrap();
        prop_assert!(close(product(0).rate.unwrap().as_us_fl_oz_per_ac(), 64.0 / speed * width * pump));
        prop_assert!(close(product(1).flow.as_us_gal_per_min(), 0.005 * gal_per_min / meter * pump));
    }

    /// The dose is continuous where the hold sets in.
    #[test]
    fn no_jump_at_the_hold(hold in 1.0..10.0) {
        let rig = Rig { hold_speed: Some(Speed::from_mph(hold)), ..rig() };
        let dose = |mph: f64| right(&rig, &driving(&rig, mph)).actual.rate.unwrap().as_us_gal_per_ac();
        prop_assert!((dose(hold * (1.0 - 1e-9)) - dose(hold * (1.0 + 1e-9))).abs() < 1e-6);
        prop_assert!(dose(hold * 0.5) > dose(hold * 0.9));
        prop_assert!((dose(hold * 2.0) - 20.0).abs() < 1e-9);
    }
}
