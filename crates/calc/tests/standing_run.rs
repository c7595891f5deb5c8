//! The standing run, by hand.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::course_trial::Stopwatch;
use calc::model::{Dose, ModelError};
use calc::rig::{Carrier, InjectionPump, NozzleSet, ProductRate, Rig, Section};
use calc::standing_run::{Line, Seen, StandingRun, StandingRunError, compare, expect};
use calc::uncertainty::Source;
use calc::verdict::{Tolerance, Verdict};
use units::{Area, Duration, FlowRate, Length, Pressure, Share, Speed, Volume, VolumePerArea};

#[track_caller]
fn near(got: f64, expected: f64) {
    assert!((got - expected).abs() <= 1e-9 * expected.abs().max(1.0), "got {got}, expected {expected}");
}

/// Four sections of 4.5 m with 9 nozzles of 1.2 L/min at 3 bar, 100 L/ha, one pump at 1 L/ha.
fn rig() -> Rig {
    Rig {
        sections: vec![Section { width: Length::from_m(4.5), n_nozzles: 9 }; 4],
        nozzles: Some(NozzleSet {
            rated_flow: FlowRate::from_l_per_min(1.2),
            rated_pressure: Pressure::from_bar(3.0),
            least_pressure: None,
            greatest_pressure: None,
            spacing: Some(Length::from_m(0.5)),
        }),
        carrier: Some(Carrier::Regulated(VolumePerArea::from_l_per_ha(100.0))),
        pumps: vec![InjectionPump {
            first: Some(ProductRate::PerArea(VolumePerArea::from_l_per_ha(1.0))),
            ..InjectionPump::blank()
        }],
        ..Rig::blank()
    }
}

fn run(rig: &Rig) -> StandingRun<'_> {
    StandingRun {
        rig,
        speed: Speed::from_km_per_h(10.0),
        sections_on: vec![true, true, false, false],
        doses: vec![Dose::First(0)],
        time: Duration::from_min(4.0),
    }
}

// By hand: 9 m at 10 km/h: 100 × 10 × 9 ÷ 600 = 15 L/min, 60 L in 4 min; 10 000 × 9 ÷ 15 ÷ 10 000 = 0.6 ha;
// 0.6 L of product; 60.6 L ÷ 18 nozzles; 15.15 L/min through them: 3 bar × (15.15/18 ÷ 1.2)² = 1.47584 bar.
#[test]
fn what_should_be_seen_and_caught() {
    let rig = rig();
    let e = expect(&run(&rig)).unwrap();
    near(e.prediction.shown.flow.unwrap().as_l_per_min(), 15.0);
    near(e.shown.volume.unwrap().as_l(), 60.0);
    near(e.shown.area.as_ha(), 0.6);
    near(e.actual.area.as_ha(), 0.0);
    near(e.actual.products[0].unwrap().as_l(), 0.6);
    near(e.per_nozzle.unwrap().as_l(), 60.6 / 18.0);
    near(e.prediction.pressure.unwrap().as_bar(), 3.0 * (15.15 / 18.0 / 1.2_f64).powi(2));
}

// Carrier left alone at 3 bar: 18 nozzles of 1.2 L/min pass 21.6 L/min in all, of which 1 L/ha × 10 × 9 ÷ 600 = 0.15 L/min
// are product. Carrier used to be taken as the whole 21.6, and each nozzle caught more than it gives at its pressure.
#[test]
fn a_nozzle_gives_what_its_pressure_says() {
    let rig = Rig { carrier: Some(Carrier::Manual(Pressure::from_bar(3.0))), ..rig() };
    let e = expect(&run(&rig)).unwrap();
    near(e.per_nozzle.unwrap().as_l(), 4.8);
    near(e.actual.volume.unwrap().as_l(), 4.0 * 21.45);
    near(e.actual.products[0].unwrap().as_l(), 0.6);
}

#[test]
fn every_line_is_judged() {
    let rig = rig();
    let (five, l) = (Tolerance::RATE_CONTROL, Volume::from_l);
    let seen = [
        Seen::flow(FlowRate::from_l_per_min(15.1), FlowRate::from_l_per_min(0.1), five),
        Seen::volume(Line::ShownVolume, l(60.2), l(0.1), five),
        Seen::area(Area::from_ha(0.6), Area::from_ha(0.01), five),
        Seen::volume(Line::ShownProduct(0), l(0.6), l(0.01), five),
        Seen::volume(Line::DrawnCarrier, l(61.0), l(0.5), five).with_reference(Share::from_percent(0.5)),
        Seen::volume(Line::DrawnProduct(0), l(0.5), l(0.005), five).with_reference(Share::from_percent(1.0)),
        Seen::volume(Line::CaughtAtNozzle, l(3.37), l(0.02), five),
        Seen::pressure(
            Pressure::from_bar(1.5),
            Pressure::from_bar(0.05),
            Tolerance::user(Share::from_percent(10.0)),
        ),
    ];
    let outcome = compare(&run(&rig), &seen, Stopwatch::BY_HAND).unwrap();
    let verdicts: Vec<Verdict> = outcome.lines.iter().map(|l| l.verdict).collect();
    let within = Verdict::Within;
    assert_eq!(verdicts, [within, within, within, within, within, Verdict::Out, within, within]);
    assert_eq!(outcome.verdict, Some(Verdict::Out));
    near(outcome.lines[5].error.as_percent(), 100.0 * (0.5 / 0.6 - 1.0));
    // The watch counts on volumes, not on flows and pressures: 0.15 s of 240 s is 0.0625 %.
    let watch = |idx: usize| {
        let line: &calc::standing_run::LineOutcome = &outcome.lines[idx];
        line.budget
            .parts
            .iter()
            .find(|p| p.source == Source::StopwatchHand)
            .map(calc::uncertainty::Part::contribution)
    };
    assert_eq!((watch(0), watch(7)), (None, None));
    near(watch(1).unwrap(), 0.15 / 240.0 * 60.2 / 60.0);
}

#[test]
fn a_line_without_a_prediction_is_refused() {
    let mut rig = rig();
    rig.nozzles = None;
    let seen = [Seen::pressure(Pressure::from_bar(1.5), Pressure::from_bar(0.05), Tolerance::RATE_CONTROL)];
    assert_eq!(
        compare(&run(&rig), &seen, Stopwatch::BY_HAND).unwrap_err(),
        StandingRunError::NotPredicted { line: Line::Pressure }
    );
    let line = Line::DrawnProduct(3);
    let seen = [Seen::volume(line, Volume::from_l(1.0), Volume::from_l(0.1), Tolerance::RATE_CONTROL)];
    assert_eq!(
        compare(&run(&rig), &seen, Stopwatch::BY_HAND).unwrap_err(),
        StandingRunError::NotPredicted { line }
    );
}

#[test]
fn bad_input_is_named() {
    let rig = rig();
    let still = StandingRun { speed: Speed::from_mph(0.0), ..run(&rig) };
    assert!(matches!(expect(&still), Err(StandingRunError::Model(ModelError::Speed { .. }))));
    let at_once = StandingRun { time: Duration::from_s(0.0), ..run(&rig) };
    assert!(matches!(expect(&at_once), Err(StandingRunError::Time { .. })));
    let off = StandingRun { sections_on: vec![false; 4], ..run(&rig) };
    assert!(matches!(expect(&off), Err(StandingRunError::Model(ModelError::NoSectionOn))));
    let seen = [Seen::volume(
        Line::DrawnCarrier,
        Volume::from_l(-1.0),
        Volume::from_l(0.1),
        Tolerance::RATE_CONTROL,
    )];
    assert!(matches!(
        compare(&run(&rig), &seen, Stopwatch::BY_HAND),
        Err(StandingRunError::Reading { line: Line::DrawnCarrier, .. })
    ));
    let seen = [Seen::volume(
        Line::DrawnCarrier,
        Volume::from_l(1.0),
        Volume::from_l(0.1),
        Tolerance::user(Share::from_percent(0.0)),
    )];
    assert!(matches!(compare(&run(&rig), &seen, Stopwatch::BY_HAND), Err(StandingRunError::Trial(_))));
    assert_eq!(compare(&run(&rig), &[], Stopwatch::BY_HAND).unwrap().verdict, None);
}

#[test]
fn a_vessel_that_may_be_off_counts() {
    let rig = rig();
    let l = Volume::from_l;
    let seen = [Seen::volume(Line::DrawnCarrier, l(61.0), l(0.5), Tolerance::RATE_CONTROL)
        .with_reference(Share::from_percent(0.5))];
    let line = compare(&run(&rig), &seen, Stopwatch::BY_HAND).unwrap().lines.remove(0);
    let part = line.budget.parts.iter().find(|p| p.source == Source::VesselTolerance).unwrap();
    near(part.contribution(), 61.0 / 60.0 * 0.005 / 3.0_f64.sqrt()); // by hand
}
