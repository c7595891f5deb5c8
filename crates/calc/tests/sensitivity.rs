//! Signs and sizes on the key-in sheet, against differentiation by hand.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::model::{Condition, KeyedNumber, ModelError, Motion};
use calc::rig::{Carrier, InjectionPump, NozzleSet, ProductRate, Rig, Section};
use calc::sensitivity::{Effect, Forms, effect, effects, numbers, sheet};
use units::{FlowRate, Form, Length, Pressure, Share, Speed, VolumePerArea, VolumePerCarrier};

fn rig(carrier: Carrier) -> Rig {
    let section = |ft| Section { width: Length::from_ft(ft), n_nozzles: 6 };
    Rig {
        sections: vec![section(10.0), section(30.0)],
        nozzles: Some(NozzleSet {
            rated_flow: FlowRate::from_l_per_min(1.2),
            rated_pressure: Pressure::from_bar(3.0),
            least_pressure: None,
            greatest_pressure: None,
            spacing: None,
        }),
        carrier: Some(carrier),
        pumps: vec![
            InjectionPump {
                first: Some(ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(64.0))),
                second: Some(ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(32.0))),
                nudge: Some(Share::from_percent(10.0)),
                ..InjectionPump::blank()
            },
            InjectionPump {
                first: Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(1.0))),
                ..InjectionPump::blank()
            },
        ],
        standing_speed: Some(Speed::from_mph(6.0)),
        hold_speed: Some(Speed::from_mph(3.0)),
        ..Rig::blank()
    }
}

fn regulated() -> Rig {
    rig(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0)))
}

fn manual() -> Rig {
    rig(Carrier::Manual(Pressure::from_bar(3.0)))
}

fn one() -> Share {
    Share::from_percent(1.0)
}

fn of(sheet: &[Effect], number: KeyedNumber) -> &Effect {
    sheet.iter().find(|e| e.number == number).unwrap()
}

/// Carrier, product per area, product per carrier, shown area, in percent for 1 % high.
#[track_caller]
fn check(effect: &Effect, carrier: f64, per_area: f64, per_carrier: f64, shown_area: f64) {
    let got = [
        effect.carrier.unwrap().as_percent(),
        effect.products[0].unwrap().as_percent(),
        effect.products[1].unwrap().as_percent(),
        effect.shown_area.as_percent(),
    ];
    for (got, expected) in got.into_iter().zip([carrier, per_area, per_carrier, shown_area]) {
        assert!((got - expected).abs() < 1e-9, "{:?}: got {got}, expected {expected}", effect.number);
    }
}

/// 1/1.01 − 1 in percent.
const LESS: f64 = 100.0 * (1.0 / 1.01 - 1.0);

#[test]
fn regulated_counting() {
    let rig = regulated();
    let sheet = sheet(&rig, &Forms::counting(&rig), one()).unwrap();
    check(of(&sheet, KeyedNumber::Meter), 1.0, 0.0, 0.0, 0.0);
    check(of(&sheet, KeyedNumber::Course), LESS, LESS, LESS, LESS);
    // A quarter and three quarters of the boom.
    check(of(&sheet, KeyedNumber::Width(0)), 0.25, 0.25, 0.25, 0.25);
    check(of(&sheet, KeyedNumber::Width(1)), 0.75, 0.75, 0.75, 0.75);
    check(of(&sheet, KeyedNumber::TotalWidth), 1.0, 1.0, 1.0, 1.0);
    check(of(&sheet, KeyedNumber::CarrierRate), 1.0, 0.0, 1.0, 0.0);
    check(of(&sheet, KeyedNumber::Pump(0)), 0.0, 1.0, 0.0, 0.0);
    check(of(&sheet, KeyedNumber::Pump(1)), 0.0, 0.0, 1.0, 0.0);
    check(of(&sheet, KeyedNumber::FirstRate(0)), 0.0, 1.0, 0.0, 0.0);
    check(of(&sheet, KeyedNumber::SecondRate(0)), 0.0, 1.0, 0.0, 0.0);
    check(of(&sheet, KeyedNumber::NudgeStep(0)), 0.0, 100.0 * (1.101 / 1.1 - 1.0), 0.0, 0.0);
    check(of(&sheet, KeyedNumber::HoldSpeed), 1.0, 1.0, 1.0, 0.0);
    check(of(&sheet, KeyedNumber::StandingSpeed), 1.0, 1.0, 1.0, 1.0);
    assert_eq!(sheet.len(), numbers(&rig).len());
}

#[test]
fn a_spacing_number_moves_the_other_way() {
    let rig = regulated();
    let forms = Forms { meter: Form::Spacing, course: Form::Spacing, pumps: vec![Form::Spacing; 2] };
    let sheet = sheet(&rig, &forms, one()).unwrap();
    check(of(&sheet, KeyedNumber::Meter), LESS, 0.0, 0.0, 0.0);
    check(of(&sheet, KeyedNumber::Course), 1.0, 1.0, 1.0, 1.0);
    check(of(&sheet, KeyedNumber::Pump(0)), 0.0, LESS, 0.0, 0.0);
}

#[test]
fn manual_carrier_listens_to_nothing() {
    // Without product the carrier is what the nozzles pass at their pressure, whatever is keyed in.
    let mut rig = manual();
    rig.pumps.clear();
    let effects = sheet(&rig, &Forms::counting(&rig), one()).unwrap();
    assert!(effects.iter().all(|effect| effect.carrier == Some(Share::from_percent(0.0))), "{effects:?}");
    assert!(!numbers(&rig).contains(&KeyedNumber::CarrierRate));
}

#[test]
fn manual_carrier_is_what_the_products_leave() {
    let rig = manual();
    let sheet = sheet(&rig, &Forms::counting(&rig), one()).unwrap();
    // 12 nozzles of 1.2 L/min at 3 bar pass 14.4 L/min; 64 fl oz/ac (4.67694 L/ha: 29.573 529 562 5 mL over 0.404 685 642 24 ha)
    // on 40 ft at the sheet's 6 mph are the product per area, 1 % of the carrier the other. What is above the old flow of
    // either comes out of the carrier's.
    let area = 64.0 * 29.573_529_562_5e-3 / 0.404_685_642_24 * (6.0 * 1.609_344) * (40.0 * 0.3048) / 600.0;
    let carrier = |area: f64, share: f64| (14.4 - area) / (1.0 + share);
    let change = |area_after: f64, share_after: f64| {
        100.0 * (carrier(area_after, share_after) / carrier(area, 0.01) - 1.0)
    };
    let along = |own: f64, carrier: f64| 100.0 * ((1.0 + own / 100.0) * (1.0 + carrier / 100.0) - 1.0);
    // Per carrier the pump follows the shown flow, and a meter number too high shows too little.
    let meter = change(area, 0.01 / 1.01);
    check(of(&sheet, KeyedNumber::Meter), meter, 0.0, along(LESS, meter), 0.0);
    let course = change(area / 1.01, 0.01);
    check(of(&sheet, KeyedNumber::Course), course, LESS, course, LESS);
    let width = change(area * 1.01, 0.01);
    check(of(&sheet, KeyedNumber::TotalWidth), width, 1.0, width, 1.0);
    check(of(&sheet, KeyedNumber::Pump(0)), width, 1.0, width, 0.0);
}

#[test]
fn the_standing_speed_moves_a_standing_run_only() {
    let rig = regulated();
    let forms = Forms::counting(&rig);
    let number = KeyedNumber::StandingSpeed;
    let driving = Condition::all_on(&rig, Motion::Driving(Speed::from_mph(6.0)));
    check(&effect(&rig, &driving, &forms, number, one()).unwrap(), 0.0, 0.0, 0.0, 0.0);
    let standing = Condition::all_on(&rig, Motion::Standing(Speed::from_mph(6.0)));
    check(&effect(&rig, &standing, &forms, number, one()).unwrap(), 1.0, 1.0, 1.0, 1.0);
    // And the course number moves nothing while standing.
    check(&effect(&rig, &standing, &forms, KeyedNumber::Course, one()).unwrap(), 0.0, 0.0, 0.0, 0.0);
}

#[test]
fn a_section_that_is_off_moves_nothing() {
    let rig = regulated();
    let mut state = Condition::all_on(&rig, Motion::Driving(Speed::from_mph(6.0)));
    state.sections_on = vec![true, false];
    let all = effects(&rig, &state, &Forms::counting(&rig), one()).unwrap();
    check(of(&all, KeyedNumber::Width(0)), 1.0, 1.0, 1.0, 1.0);
    check(of(&all, KeyedNumber::Width(1)), 0.0, 0.0, 0.0, 0.0);
}

#[test]
fn low_and_high_undo_each_other_in_sign() {
    let rig = regulated();
    let low = sheet(&rig, &Forms::counting(&rig), Share::from_percent(-1.0)).unwrap();
    let high = sheet(&rig, &Forms::counting(&rig), one()).unwrap();
    for (low, high) in low.iter().zip(&high) {
        let signs = low.carrier.unwrap().as_percent() * high.carrier.unwrap().as_percent();
        assert!(signs <= 0.0, "{:?}", low.number);
    }
}

#[test]
fn bad_input_is_named() {
    let rig = regulated();
    let state = Condition::all_on(&rig, Motion::Driving(Speed::from_mph(6.0)));
    let forms = Forms::counting(&rig);
    for number in [
        KeyedNumber::Width(2),
        KeyedNumber::Pump(2),
        KeyedNumber::SecondRate(1),
        KeyedNumber::NudgeStep(1),
        KeyedNumber::FirstRate(9),
    ] {
        assert_eq!(effect(&rig, &state, &forms, number, one()), Err(ModelError::NoSuchNumber { number }));
    }
    let by = Share::from_percent(-100.0);
    assert!(matches!(effect(&rig, &state, &forms, KeyedNumber::Meter, by), Err(ModelError::Factor { .. })));
}
