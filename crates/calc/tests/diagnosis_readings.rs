//! One diagnosis at a time, with readings worked out by hand: what is found, what is said when nothing can be.
//!
//! The rig: three sections of 144, 120 and 144 in (408 in = 34 ft), meter 241 pulses/gal, 20 gal/ac, one pump with 64 and
//! 96 fl oz/ac. At 5 mph, by 495: 20 × 5 × 34 ÷ 495 = 6.8687 gal/min and 34 × 5 ÷ 495 = 0.34343 ac/min.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of tests stand outside of `#[test]` functions"
)]

use calc::diagnosis::{
    Amount, CarrierMode, Cause, Check, CheckKind, Condition, ContradictionKind, Diagnosis, DiagnosisError,
    Effort, Explanation, How, Motion, NumberForm, Outcome, Proof, Reading, Setup, SheetNumber, Side,
    Situation, SlipKind, SpeedSource, What, diagnose,
};
use calc::model::KeyedNumber as Entry;
use calc::rig::NozzleSet;
use units::{
    Area, Duration, FlowRate, KeyInStep, Length, LengthUnit, Pressure, PulseConvention, ShareUnit, Speed,
    SpeedUnit, Volume, VolumePerArea, VolumePerAreaUnit, VolumeUnit,
};

fn number(entry: Entry, form: NumberForm, text: &str, step: f64) -> SheetNumber {
    SheetNumber {
        entry,
        form,
        text: text.into(),
        value: text.parse().unwrap(),
        step: Some(KeyInStep { step, largest: None }),
        proof: Proof::Proven { u_rel: 0.005 },
        stamped: None,
    }
}

fn setup() -> Setup {
    let inches = NumberForm::Length(LengthUnit::Inch);
    let per_gal = NumberForm::PerVolume(PulseConvention::counting(1.0, VolumeUnit::UsGallon));
    let per_oz = NumberForm::PerVolume(PulseConvention::counting(1.0, VolumeUnit::UsFluidOunce));
    let course = NumberForm::PerDistance(PulseConvention::counting(300.0, LengthUnit::Foot));
    let oz = NumberForm::PerArea(VolumePerAreaUnit::UsFluidOuncePerAcre);
    Setup {
        numbers: vec![
            number(Entry::Meter, per_gal, "241", 1.0),
            number(Entry::Course, course, "1530", 1.0),
            number(Entry::Width(0), inches, "144", 1.0),
            number(Entry::Width(1), inches, "120", 1.0),
            number(Entry::Width(2), inches, "144", 1.0),
            number(Entry::CarrierRate, NumberForm::PerArea(VolumePerAreaUnit::UsGallonPerAcre), "20.0", 0.1),
            number(Entry::Pump(0), per_oz, "38.5", 0.1),
            number(Entry::FirstRate(0), oz, "64", 1.0),
            number(Entry::SecondRate(0), oz, "96", 1.0),
            number(Entry::NudgeStep(0), NumberForm::Share(ShareUnit::Percent), "10", 1.0),
            number(Entry::StandingSpeed, NumberForm::Speed(SpeedUnit::MilePerHour), "5.0", 0.1),
            number(Entry::HoldSpeed, NumberForm::Speed(SpeedUnit::MilePerHour), "2.0", 0.1),
        ],
        n_nozzles: vec![7, 6, 7],
        nozzles: Some(NozzleSet {
            rated_flow: FlowRate::from_us_gal_per_min(0.4),
            rated_pressure: Pressure::from_psi(40.0),
            least_pressure: None,
            greatest_pressure: None,
            spacing: None,
        }),
        specific_gravity: 1.0,
        speed_source: SpeedSource::Wheel,
    }
}

fn gal(what: What, us_gal: f64) -> Reading {
    Reading::relative(what, Amount::Volume(Volume::from_us_gal(us_gal)), 0.01)
}

fn oz(what: What, us_fl_oz: f64) -> Reading {
    Reading::relative(what, Amount::Volume(Volume::from_us_fl_oz(us_fl_oz)), 0.015)
}

fn mph(what: What, mph: f64) -> Reading {
    Reading::relative(what, Amount::Speed(Speed::from_mph(mph)), 0.01)
}

fn ft(what: What, ft: f64) -> Reading {
    Reading::relative(what, Amount::Length(Length::from_ft(ft)), 0.004)
}

fn rate(gal_per_ac: f64) -> Reading {
    Reading::relative(What::ShownRate, Amount::PerArea(VolumePerArea::from_us_gal_per_ac(gal_per_ac)), 0.005)
}

fn flow(what: What, gal_per_min: f64) -> Reading {
    Reading::relative(what, Amount::Flow(FlowRate::from_us_gal_per_min(gal_per_min)), 0.01)
}

fn seconds(s: f64) -> Reading {
    Reading::relative(What::Time, Amount::Time(Duration::from_s(s)), 0.003)
}

fn ac(what: What, ac: f64) -> Reading {
    Reading::relative(what, Amount::Area(Area::from_ac(ac)), 0.006)
}

fn standing(readings: &[Reading]) -> Situation {
    Situation { condition: Condition::standing(), readings: readings.to_vec() }
}

fn driving(readings: &[Reading]) -> Situation {
    Situation { condition: Condition::driving(), readings: readings.to_vec() }
}

fn of(situations: &[Situation]) -> Diagnosis {
    diagnose(&setup(), situations, 20).unwrap()
}

fn first(d: &Diagnosis) -> &Explanation {
    &d.top[0]
}

/// Everything a console on target shows after three minutes of a standing run: 20.606 gal, 1.0303 ac, 65.94 fl oz.
fn on_target() -> Vec<Reading> {
    vec![
        mph(What::ShownSpeed, 5.0),
        ft(What::ShownWidth, 34.0),
        rate(20.0),
        flow(What::ShownFlow, 6.8687),
        gal(What::ShownVolume, 20.606),
        ac(What::ShownArea, 1.0303),
        oz(What::ShownProductVolume(0), 65.94),
        seconds(180.0),
    ]
}

// 241 keyed as 214: the console counts 214 pulses as a gallon, so 20.606 shown gallons are 4409.7 pulses or 18.298 true
// gallons. Two jugs say so; the display, being regulated, says nothing.
#[test]
fn swapped_digits_of_the_meter_number() {
    let mut readings = on_target();
    readings.push(gal(What::Volume, 18.30));
    readings.push(gal(What::Volume, 18.27));
    // The nozzles give the product too: 65.94 fl oz are 0.515 gal.
    readings.push(flow(What::NozzleFlow, (18.30 + 65.94 / 128.0) / 3.0 / 20.0));
    let d = of(&[standing(&readings)]);
    assert_eq!(d.outcome, Outcome::Found { sure: true });
    let best = first(&d);
    assert_eq!(best.cause, Cause::Entry(Entry::Meter));
    let way = &best.variants[0];
    assert_eq!(way.how, How::Slip { kind: SlipKind::SwappedDigits(1), side: Side::Console });
    assert_eq!(way.keyed.as_ref().unwrap().text, "214");
    assert_eq!(way.wanted.as_ref().unwrap().text, "241");
    assert!((way.factor.unwrap().value - 214.0 / 241.0).abs() < 1e-12);
    // Every reading is predicted within two of its own uncertainties.
    assert_eq!(best.fit.len(), readings.len());
    assert!(best.fit.iter().all(|f| f.misfit.abs() < 2.0), "{:?}", best.fit);
    assert_eq!(best.cause.proof(), Some(CheckKind::MeterTrial));
}

// The same without the jug: in regulated mode a wrong meter number is invisible on the display.
#[test]
fn wrong_meter_number_is_invisible_when_regulated() {
    let d = of(&[standing(&on_target())]);
    assert_eq!(d.outcome, Outcome::NothingWrong);
    assert!(d.causes.iter().all(|c| c.cause != Cause::Entry(Entry::Meter)), "no reading could show it");
}

// In manual with the nozzles' pressure known, the same wrong number does show: 40 psi through 20 nozzles of 0.4 gal/min is
// 8 gal/min, shown as 8 × 241/214 = 9.009. It could as well be worn nozzles; a jug tells the two apart.
#[test]
fn manual_carrier_shows_it() {
    let readings = [
        flow(What::ShownFlow, 9.009),
        mph(What::ShownSpeed, 5.0),
        Reading::relative(What::Pressure, Amount::Pressure(Pressure::from_psi(40.0)), 0.02),
    ];
    let condition = Condition { carrier: CarrierMode::Manual, ..Condition::standing() };
    let d = of(&[Situation { condition, readings: readings.to_vec() }]);
    let named: Vec<Cause> = d.causes.iter().take(4).map(|c| c.cause).collect();
    assert!(named.contains(&Cause::WornNozzles), "{named:?}");
    assert!(named.contains(&Cause::Entry(Entry::Meter)), "{named:?}");
    assert_ne!(d.outcome, Outcome::Found { sure: true });
}

// Common practice, no source: a section width keyed in feet where inches were wanted shows a twelfth of the width. Section
// by section: 12 in on the first, 120 and 144 in on the others.
#[test]
fn width_keyed_in_feet() {
    let alone = |j: usize, shown_in: f64| {
        let condition = Condition { sections_on: (0..3).map(|k| k == j).collect(), ..Condition::standing() };
        Situation { condition, readings: vec![ft(What::ShownWidth, shown_in / 12.0)] }
    };
    let taped = driving(&[ft(What::Width, 34.0), ft(What::ShownWidth, 23.0)]);
    let d = of(&[alone(0, 12.0), alone(1, 120.0), alone(2, 144.0), taped]);
    assert_eq!(d.outcome, Outcome::Found { sure: true });
    let way = &first(&d).variants[0];
    assert_eq!(first(&d).cause, Cause::Entry(Entry::Width(0)));
    assert_eq!((way.keyed.as_ref().unwrap().value, way.wanted.as_ref().unwrap().value), (12.0, 144.0));
    let meant_for = NumberForm::Length(LengthUnit::Foot);
    assert_eq!(way.how, How::Slip { kind: SlipKind::OtherForm { meant_for }, side: Side::Console });
    assert!((way.factor.unwrap().value - 1.0 / 12.0).abs() < 1e-12);
}

// Two sections are alike: 264 in shown of 408 may be either of them left out, and nothing given tells which. The cheapest
// look that does is one at a time.
#[test]
fn equal_sections_cannot_be_told_apart() {
    let d = of(&[standing(&[ft(What::ShownWidth, 22.0), ft(What::Width, 34.0)])]);
    assert_eq!(d.outcome, Outcome::Alike);
    let alike: Vec<Cause> =
        d.top.iter().enumerate().filter(|(i, e)| *i == 0 || e.alike).map(|(_, e)| e.cause).collect();
    for section in [0, 2] {
        assert!(alike.contains(&Cause::SectionLeftOut(section)), "{alike:?}");
    }
    let Some(Check { kind, effort, n_u, expected, .. }) = d.next_check else { panic!("no check") };
    assert!(matches!(kind, CheckKind::SectionCheck(0 | 2)), "{kind:?}");
    assert_eq!(effort, Effort::Look);
    assert!(n_u > 4.0);
    // One of the two says 144 in, the other nothing.
    let mut widths = expected.map(|e| e.amount.as_si());
    widths.sort_by(f64::total_cmp);
    assert!(widths[0].abs() < 1e-9 && (widths[1] / 3.6576 - 1.0).abs() < 0.01, "{widths:?}");
}

// 96 fl oz/ac instead of 64, shown and drawn alike: 65.94 × 1.5 = 98.9 fl oz. The second rate explains it; so would a
// wrong first rate, and a look at the display's set-up page tells.
#[test]
fn second_rate_left_on() {
    let mut readings = on_target();
    readings.retain(|r| r.what.pump().is_none());
    readings.extend([oz(What::ShownProductVolume(0), 98.9), oz(What::ProductVolume(0), 99.4)]);
    let d = of(&[standing(&readings)]);
    assert_eq!(first(&d).cause, Cause::OtherRateOn(0));
    assert!(first(&d).share > 0.8, "{}", first(&d).share);
}

// One press of 10 % up: 64 → 70.4 (common practice, no source), 65.94 × 1.1 = 72.5 fl oz.
#[test]
fn nudge_left_on() {
    let mut readings = on_target();
    readings.retain(|r| r.what.pump().is_none());
    readings.extend([oz(What::ShownProductVolume(0), 72.5), oz(What::ProductVolume(0), 72.9)]);
    let per_ac = Amount::PerArea(VolumePerArea::from_us_fl_oz_per_ac(70.4));
    readings.push(Reading::relative(What::ShownProductRate(0), per_ac, 0.005));
    let d = of(&[standing(&readings)]);
    assert_eq!(first(&d).cause, Cause::NudgeLeftOn(0));
    assert_eq!(first(&d).variants[0].how, How::Presses(1));
}

// Nothing came out of the product tank, though the pump counted: two drops in the cylinder.
#[test]
fn product_tank_empty() {
    let mut readings = on_target();
    readings.push(Reading {
        what: What::ProductVolume(0),
        seen: Amount::Volume(Volume::from_ml(0.0)),
        u: Amount::Volume(Volume::from_ml(2.0)),
    });
    let d = of(&[standing(&readings)]);
    assert_eq!(first(&d).cause, Cause::TankEmpty(0));
    assert!(matches!(d.outcome, Outcome::Found { .. }), "{:?}", d.outcome);
}

// At 1 mph with a hold at 2 mph the console keeps the output of 2 mph: twice the rate on the display.
#[test]
fn hold_in_force() {
    let readings = [
        mph(What::ShownSpeed, 1.0),
        mph(What::Speed, 1.01),
        rate(40.0),
        flow(What::ShownFlow, 2.7475),
        ft(What::ShownWidth, 34.0),
    ];
    let d = of(&[driving(&readings)]);
    assert_eq!(first(&d).cause, Cause::HoldActive);
    assert_eq!(d.outcome, Outcome::Found { sure: true });
    assert!(d.held_share > 0.99);
}

// The course number 10 % high: 5 mph shown over 5.5 true, driven over a taped 300 ft in 37.19 s (300 ÷ 5.5 ÷ 1.46667).
#[test]
fn wheel_slip_or_course_number() {
    let mut setup = setup();
    setup.numbers.iter_mut().for_each(|n| n.proof = Proof::Untried);
    let readings = [
        mph(What::ShownSpeed, 5.5),
        ft(What::ShownDistance, 330.0),
        ft(What::Distance, 300.0),
        seconds(40.91),
        mph(What::Speed, 5.0),
        ft(What::ShownWidth, 34.0),
    ];
    let d = diagnose(&setup, &[driving(&readings)], 6).unwrap();
    assert_eq!(d.outcome, Outcome::Alike);
    let suspects: Vec<Cause> =
        d.top.iter().enumerate().filter(|(i, e)| *i == 0 || e.alike).map(|(_, e)| e.cause).collect();
    assert!(suspects.contains(&Cause::Entry(Entry::Course)), "{suspects:?}");
    assert!(suspects.contains(&Cause::WheelSlip), "{suspects:?}");
    // Slip is gone on firm ground, a wrong number is not.
    assert_eq!(d.next_check.map(|c| c.kind), Some(CheckKind::CourseTrial));
    // A sensor that looks at the ground cannot slip.
    setup.speed_source = SpeedSource::Ground;
    let d = diagnose(&setup, &[driving(&readings)], 6).unwrap();
    assert!(d.causes.iter().all(|c| c.cause != Cause::WheelSlip));
}

// Read back from the set-up page: 214 where the sheet says 241. Nothing else could be meant.
#[test]
fn a_number_read_back() {
    let read =
        Reading { what: What::ReadBack(Entry::Meter), seen: Amount::Number(214.0), u: Amount::Number(0.3) };
    let mut readings = on_target();
    readings.push(read);
    let d = of(&[standing(&readings)]);
    assert_eq!(d.outcome, Outcome::Found { sure: true });
    assert_eq!(first(&d).cause, Cause::Entry(Entry::Meter));
    // Read back as on the sheet, every slip at the console is out; a sheet that is wrong itself is not.
    let fine = Reading { seen: Amount::Number(241.0), ..read };
    let mut readings = on_target();
    readings.extend([fine, gal(What::Volume, 18.3), flow(What::NozzleFlow, 6.1 / 20.0)]);
    let d = of(&[standing(&readings)]);
    assert_eq!(first(&d).cause, Cause::Entry(Entry::Meter));
    assert!(
        first(&d)
            .variants
            .iter()
            .all(|v| v.how == How::Drift || matches!(v.how, How::Slip { side: Side::Sheet, .. })),
        "{:?}",
        first(&d).variants
    );
}

#[test]
fn one_reading_of_something_unknown() {
    let d = of(&[driving(&[mph(What::ShownSpeed, 5.0)])]);
    assert_eq!(d.outcome, Outcome::NothingToCompare);
    assert_eq!(d.n_comparisons, 0);
}

// One reading that the sheet has a word on: compared, but never sure.
#[test]
fn one_reading_against_the_sheet() {
    let d = of(&[standing(&[ft(What::ShownWidth, 24.0)])]);
    assert_eq!(d.n_comparisons, 1);
    assert!(!matches!(d.outcome, Outcome::Found { sure: true } | Outcome::NothingWrong), "{:?}", d.outcome);
    let d = of(&[standing(&[ft(What::ShownWidth, 34.0)])]);
    assert_eq!(d.outcome, Outcome::NothingWrong);
}

#[test]
fn no_reading_at_all() {
    let d = of(&[standing(&[])]);
    assert_eq!(d.outcome, Outcome::NothingToCompare);
    assert!(d.next_check.is_none());
    assert_eq!(of(&[]).outcome, Outcome::NothingToCompare);
}

fn contradiction(situation: Situation, kind: ContradictionKind, fatal: bool) {
    let d = of(&[situation]);
    assert!(d.contradictions.iter().any(|c| c.kind == kind), "{:?}", d.contradictions);
    assert_eq!(d.outcome == Outcome::Contradictory, fatal, "{:?}", d.outcome);
}

// Area shown with speed zero and no time cannot be.
#[test]
fn impossible_readings() {
    let nothing = |what, amount: Amount| Reading { what, seen: amount.with_si(0.0), u: amount };
    let still = nothing(What::ShownSpeed, Amount::Speed(Speed::from_mph(0.05)));
    let no_time = nothing(What::Time, Amount::Time(Duration::from_s(0.1)));
    contradiction(driving(&[ac(What::ShownArea, 1.0), still]), ContradictionKind::Impossible, true);
    contradiction(driving(&[ac(What::ShownArea, 1.0), no_time]), ContradictionKind::Impossible, true);
    contradiction(standing(&[ft(What::Distance, 300.0)]), ContradictionKind::Impossible, true);
}

// 5 mph is 7.3333 ft/s; in 60 s that is 440 ft, not 500.
#[test]
fn contradictory_truths() {
    let readings = [mph(What::Speed, 5.0), seconds(60.0), ft(What::Distance, 500.0)];
    contradiction(driving(&readings), ContradictionKind::Truths, true);
    contradiction(
        standing(&[gal(What::Volume, 18.3), gal(What::Volume, 20.6)]),
        ContradictionKind::Truths,
        true,
    );
    let d = of(&[driving(&[mph(What::Speed, 5.0), seconds(60.0), ft(What::Distance, 440.0)])]);
    assert!(d.contradictions.is_empty());
}

// 34 ft × 300 ft is 10 200 ft² or 0.2342 ac; 0.30 ac shown means that a counter was not reset.
#[test]
fn the_display_contradicts_itself() {
    let readings = [ft(What::ShownWidth, 34.0), ft(What::ShownDistance, 300.0), ac(What::ShownArea, 0.30)];
    contradiction(driving(&readings), ContradictionKind::Shown, false);
}

// Meter 40 % off and pump 55 % off at once, and neither by a slip that this rig's numbers allow.
#[test]
fn two_things_wrong_at_once() {
    let mut readings = on_target();
    readings.extend([gal(What::Volume, 20.606 * 1.4), flow(What::NozzleFlow, 6.8687 * 1.4 / 20.0)]);
    readings.extend([oz(What::ProductVolume(0), 65.94 * 1.55), oz(What::ProductVolume(0), 65.94 * 1.55)]);
    let d = of(&[standing(&readings)]);
    assert_eq!(d.outcome, Outcome::NothingExplains);
}

#[test]
fn what_cannot_be_reasoned_about() {
    let check = |setup: Setup, situation: Situation, want: DiagnosisError| {
        assert_eq!(diagnose(&setup, &[situation], 3).err(), Some(want));
    };
    let fine = || standing(&[ft(What::ShownWidth, 34.0)]);
    let mut s = setup();
    s.numbers[0].value = 0.0;
    check(s, fine(), DiagnosisError::Number { entry: Entry::Meter, got: 0.0 });
    let mut s = setup();
    s.numbers[0].form = NumberForm::Length(LengthUnit::Foot);
    check(s, fine(), DiagnosisError::Form { entry: Entry::Meter });
    let mut s = setup();
    let twice = s.numbers[0].clone();
    s.numbers.push(twice);
    check(s, fine(), DiagnosisError::Twice { entry: Entry::Meter });
    let mut s = setup();
    s.numbers.retain(|n| n.entry != Entry::Width(1));
    check(s, fine(), DiagnosisError::Missing { entry: Entry::Width(1) });
    let mut s = setup();
    s.specific_gravity = f64::NAN;
    check(s, fine(), DiagnosisError::Nozzles);
    let mut s = setup();
    s.numbers[1].proof = Proof::Proven { u_rel: 0.0 };
    check(s, fine(), DiagnosisError::ProofUncertainty { entry: Entry::Course, got: 0.0 });

    let wrong_kind = Reading {
        what: What::ShownWidth,
        ..Reading::relative(What::Time, Amount::Time(Duration::from_s(3.0)), 0.1)
    };
    check(setup(), standing(&[wrong_kind]), DiagnosisError::ReadingKind { situation: 0, reading: 0 });
    let negative = ft(What::ShownWidth, -3.0);
    let got = Length::from_ft(-3.0).as_m();
    check(setup(), standing(&[negative]), DiagnosisError::Reading { situation: 0, reading: 0, got });
    let certain = Reading::relative(What::Width, Amount::Length(Length::from_ft(34.0)), 0.0);
    check(
        setup(),
        standing(&[fine().readings[0], certain]),
        DiagnosisError::ReadingUncertainty { situation: 0, reading: 1, got: 0.0 },
    );
    let of_no_pump = oz(What::ProductVolume(3), 10.0);
    check(setup(), standing(&[of_no_pump]), DiagnosisError::ReadingOfNothing { situation: 0, reading: 0 });
    let all_off = Condition { sections_on: vec![false; 3], motion: Motion::Driving, ..Condition::standing() };
    check(
        setup(),
        Situation { condition: all_off, readings: fine().readings },
        DiagnosisError::NoSectionOn { situation: 0 },
    );
}
