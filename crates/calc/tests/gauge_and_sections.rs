//! The pressure gauge and the section check, by hand.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::gauge_trial::{GaugeLimit, GaugeOutcome, GaugePoint, GaugeTrial};
use calc::next_run::Next;
use calc::ratio_trial::TrialError;
use calc::section_check::{SectionCheck, SectionCheckError, SectionVerdict};
use calc::verdict::{ToleranceSource, Verdict};
use calc::{gauge_trial, section_check};
use units::{Length, Pressure};

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

fn gauge_trial(points: &[(f64, f64)]) -> GaugeTrial {
    let bar = Pressure::from_bar;
    GaugeTrial {
        points: points.iter().map(|(g, r)| GaugePoint { gauge: bar(*g), reference: bar(*r) }).collect(),
        gauge_step: bar(0.05),
        reference_step: bar(0.01),
        reference_tolerance: bar(0.02),
        limit: GaugeLimit::ISO_16122,
    }
}

fn gauge(points: &[(f64, f64)]) -> GaugeOutcome {
    gauge_trial::work_out(&gauge_trial(points)).unwrap()
}

// STD-06, ISO 16122-2 (memory): ±0.2 bar up to 2 bar, 10 % above.
#[test]
fn the_limits_of_a_gauge() {
    let at = |bar: f64| GaugeLimit::ISO_16122.at(Pressure::from_bar(bar)).as_bar();
    near(at(0.5), 0.2, 1e-12);
    near(at(2.0), 0.2, 1e-12);
    near(at(2.0 + 1e-9), 0.2, 1e-9); // the two rules meet
    near(at(5.0), 0.5, 1e-12);
    assert_eq!(GaugeLimit::ISO_16122.source, ToleranceSource::Iso16122Gauge);
}

#[test]
fn a_gauge_is_judged_point_by_point() {
    let outcome = gauge(&[(1.05, 1.0), (3.1, 3.0), (5.9, 5.0)]);
    let verdicts: Vec<Verdict> = outcome.points.iter().map(|p| p.verdict).collect();
    assert_eq!(verdicts, [Verdict::Within, Verdict::Within, Verdict::Out]);
    assert_eq!(outcome.verdict, Verdict::Out);
    near(outcome.points[2].error.as_bar(), 0.9, 1e-9);
    // By hand: 1.96 √(0.05²/12 + 0.01²/12 + 0.02²/3) = 1.96 √0.00035 = 0.036668 bar.
    near(outcome.expanded.as_bar(), 0.036_668, 1e-6);
    // By hand: set to 5.9 on the gauge, the nozzles have 5.0: flow √(5/5.9) = 7.94 % low.
    near(outcome.points[2].flow_error.unwrap().as_percent(), -7.943, 5e-4);
}

#[test]
fn a_doubtful_gauge_asks_for_a_better_reference() {
    let outcome = gauge(&[(3.28, 3.0)]);
    assert_eq!(outcome.verdict, Verdict::NotProvenYet);
    let Next::BetterReference { reachable, needed } = outcome.next else { panic!("{:?}", outcome.next) };
    near(needed, 0.02 / 3.0, 1e-9);
    assert!(reachable > needed);
}

#[test]
fn a_gauge_that_shows_nothing_is_out() {
    let outcome = gauge(&[(0.0, 3.0)]);
    assert_eq!(outcome.verdict, Verdict::Out);
    assert_eq!(outcome.points[0].flow_error, None);
}

#[test]
fn bad_gauge_input_is_named() {
    let error = |points: &[(f64, f64)]| gauge_trial::work_out(&gauge_trial(points)).unwrap_err();
    assert_eq!(error(&[]), TrialError::NoRuns);
    assert!(matches!(error(&[(3.0, 0.0)]), TrialError::Actual { run_idx: 0, .. }));
    assert!(matches!(error(&[(3.0, 3.0), (-1.0, 3.0)]), TrialError::Indicated { run_idx: 1, .. }));
    let mut trial = gauge_trial(&[(3.0, 3.0)]);
    trial.limit.fixed = Pressure::from_bar(0.0);
    assert_eq!(gauge_trial::work_out(&trial).unwrap_err(), TrialError::Number { got: 0.0 });
    trial = gauge_trial(&[(3.0, 3.0)]);
    trial.gauge_step = Pressure::from_bar(-0.1);
    assert!(matches!(gauge_trial::work_out(&trial).unwrap_err(), TrialError::Width { .. }));
}

fn sections(shown_ft: &[Option<f64>]) -> SectionCheck {
    SectionCheck {
        widths: [144.0, 120.0, 144.0].map(Length::from_in).to_vec(),
        shown: shown_ft.iter().map(|s| s.map(Length::from_ft)).collect(),
        shown_step: Length::from_ft(0.1),
        keyed_step: Length::from_in(1.0),
    }
}

fn verdicts(shown_ft: &[Option<f64>]) -> Vec<SectionVerdict> {
    section_check::work_out(&sections(shown_ft)).unwrap().steps.iter().map(|s| s.verdict).collect()
}

#[test]
fn widths_add_up_left_to_right() {
    let outcome = section_check::work_out(&sections(&[Some(12.0), Some(22.0), Some(34.0)])).unwrap();
    let expected: Vec<f64> = outcome.steps.iter().map(|s| s.expected.as_ft()).collect();
    for (got, by_hand) in expected.into_iter().zip([12.0, 22.0, 34.0]) {
        near(got, by_hand, 1e-9);
    }
    assert!(outcome.agrees);
    near(outcome.boom_error.unwrap().as_percent(), 0.0, 1e-9);
}

#[test]
fn the_section_that_is_wrong_is_named() {
    use SectionVerdict::{Agrees, NotRead, NotSeen, TooNarrow, TooWide};
    assert_eq!(verdicts(&[Some(12.0), Some(24.0), Some(36.0)]), [Agrees, TooWide, Agrees]);
    assert_eq!(verdicts(&[Some(11.0), Some(21.0), Some(33.0)]), [TooNarrow, Agrees, Agrees]);
    assert_eq!(verdicts(&[Some(12.0), Some(12.0), Some(24.0)]), [Agrees, NotSeen, Agrees]);
    assert_eq!(verdicts(&[Some(12.0), None, Some(34.0)]), [Agrees, NotRead, Agrees]);
    assert_eq!(verdicts(&[Some(12.0), None, Some(36.0)]), [Agrees, NotRead, TooWide]);
    // By hand: half an inch of keying and half a tenth of a foot of showing is 0.0917 ft; 0.1 is beyond it.
    assert_eq!(verdicts(&[Some(12.1), Some(22.1), Some(34.1)]), [TooWide, Agrees, Agrees]);
}

#[test]
fn rounding_alone_is_no_fault() {
    use SectionVerdict::Agrees;
    // By hand: 0.05 ft of showing + 0.0417 ft of keying = 0.0917 ft for the first section.
    let mut check = sections(&[Some(12.05), Some(22.05), Some(34.1)]);
    check.shown_step = Length::from_ft(0.1);
    let outcome = section_check::work_out(&check).unwrap();
    assert!(outcome.steps.iter().all(|s| s.verdict == Agrees), "{:?}", outcome.steps);
}

#[test]
fn bad_section_input_is_named() {
    let error = |check: SectionCheck| section_check::work_out(&check).unwrap_err();
    assert_eq!(error(sections(&[None])), SectionCheckError::Count { got: 1, expected: 3 });
    let mut none = sections(&[]);
    none.widths.clear();
    assert_eq!(error(none), SectionCheckError::NoSections);
    let mut flat = sections(&[None, None, None]);
    flat.widths[1] = Length::from_in(0.0);
    assert!(matches!(error(flat), SectionCheckError::Width { section_idx: 1, .. }));
    assert!(matches!(
        error(sections(&[None, Some(-1.0), None])),
        SectionCheckError::Shown { section_idx: 1, .. }
    ));
    let mut step = sections(&[None, None, None]);
    step.shown_step = Length::from_ft(f64::NAN);
    assert!(matches!(error(step), SectionCheckError::Step { .. }));
}

#[test]
fn a_later_section_rests_on_two_readings() {
    // By hand: 21.94 − 12.05 = 9.89 ft for 10: 0.11 off where half an inch and two half steps allow 0.1417.
    assert_eq!(verdicts(&[Some(12.05), Some(21.94), None])[1], SectionVerdict::Agrees);
    assert_eq!(verdicts(&[Some(12.05), Some(21.90), None])[1], SectionVerdict::TooNarrow);
}
