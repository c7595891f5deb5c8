//! Nozzle catch trials against published rows and hand calculation.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::catch_trial::{Catch, CatchOutcome, CatchReading, CatchTrial, Nominal, NozzleState, work_out};
use calc::course_trial::Stopwatch;
use calc::next_run::Next;
use calc::ratio_trial::TrialError;
use calc::rig::NozzleSet;
use calc::uncertainty::propagate;
use calc::verdict::{Tolerance, Verdict};
use proptest::prelude::*;
use units::{Duration, FlowRate, Pressure, Share, Volume};

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

fn ml(volume: f64, s: f64) -> Catch {
    Catch { volume: Volume::from_ml(volume), time: Duration::from_s(s) }
}

/// Size 03 (1.2 L/min at 3 bar).
fn nominal(bar: f64, specific_gravity: f64) -> Option<Nominal> {
    Some(Nominal {
        nozzles: NozzleSet {
            rated_flow: FlowRate::from_l_per_min(1.2),
            rated_pressure: Pressure::from_bar(3.0),
            least_pressure: None,
            greatest_pressure: None,
            spacing: None,
        },
        pressure: Pressure::from_bar(bar),
        pressure_half_width: Pressure::from_bar(0.05),
        specific_gravity,
    })
}

fn trial(nominal: Option<Nominal>, catches: Vec<Catch>) -> CatchTrial {
    CatchTrial {
        nominal,
        catches,
        reading: CatchReading {
            jug_step: Volume::from_ml(10.0),
            jug_tolerance: Share::from_percent(0.5),
            stopwatch: Stopwatch::BY_HAND,
        },
        nominal_tolerance: Tolerance::NOZZLE_NOMINAL,
        mean_tolerance: Tolerance::NOZZLE_MEAN,
    }
}

fn caught(nominal: Option<Nominal>, ml_a_minute: &[f64]) -> CatchOutcome {
    work_out(&trial(nominal, ml_a_minute.iter().map(|v| ml(*v, 60.0)).collect())).unwrap()
}

// NOZ-01, SportsTurf, April 2014: 44, 45, 44 fl oz in 46 s; sum 133; all within 7 % of 44.33; worst +1.5 %.
#[test]
fn three_published_nozzles() {
    let oz = |v| Catch { volume: Volume::from_us_fl_oz(v), time: Duration::from_s(46.0) };
    let mut three = trial(None, vec![oz(44.0), oz(45.0), oz(44.0)]);
    three.mean_tolerance = Tolerance::user(Share::from_percent(7.0));
    three.reading.jug_step = Volume::from_us_fl_oz(1.0);
    let outcome = work_out(&three).unwrap();
    near(outcome.total.as_us_fl_oz_per_min() * 46.0 / 60.0, 133.0, 1e-9);
    near(outcome.mean.as_us_fl_oz_per_min() * 46.0 / 60.0, 44.333, 0.0005);
    near(outcome.nozzles[1].of_mean.unwrap().error.as_percent(), 1.5, 0.05);
    assert!(outcome.nozzles.iter().all(|n| n.state == NozzleState::Fine));
    // NOZ-10 (constructed): CV 1.3023 %.
    near(outcome.cv.unwrap().as_percent(), 1.3023, 5e-5);
}

// NOZ-08, Clemson: a catch of 15 s × 4 ÷ 128 is gal/min.
#[test]
fn a_catch_of_fifteen_seconds() {
    let one = Catch { volume: Volume::from_us_fl_oz(10.0), time: Duration::from_s(15.0) };
    let outcome = work_out(&trial(None, vec![one])).unwrap();
    near(outcome.mean.as_us_gal_per_min(), 10.0 * 4.0 / 128.0, 1e-12);
}

// METER/TAB "catch_flow" (reference table): 1.215 L in 60.4 s is 1.20695364 L/min; jug 10 mL step, 0.15 s.
#[test]
fn a_catch_and_its_uncertainty() {
    let mut one = trial(None, vec![ml(1215.0, 60.4)]);
    one.reading.jug_tolerance = Share::from_percent(0.0);
    one.reading.stopwatch.step = Duration::from_s(0.0);
    let outcome = work_out(&one).unwrap();
    near(outcome.mean.as_l_per_min(), 1.206_953_642, 1e-9);
    // The budget "jug_catch" prints 0.002867633787 for the graduation and 0.00299740143 for the watch.
    let expected = 1.959_963_985 * 0.002_867_633_787_f64.hypot(0.002_997_401_43);
    near(outcome.nozzles[0].expanded.as_l_per_min(), expected, 1e-9);
}

// NOZ-05, Univ. of Nebraska: within 10 % of rated AND within 5 % of the boom's mean; both are tested.
#[test]
fn both_limits_count() {
    let sound = [1200.0; 9];
    let with = |last: f64| {
        let all: Vec<f64> = sound.iter().copied().chain([last]).collect();
        caught(nominal(3.0, 1.0), &all)
    };
    assert_eq!(with(1200.0).counts.fine, 10);
    // 8 % over the mean, inside 10 % of nominal: worn by the mean alone.
    let outcome = with(1310.0);
    let last = outcome.nozzles[9];
    assert_eq!(last.of_mean.unwrap().verdict, Verdict::Out);
    assert_ne!(last.of_nominal.unwrap().verdict, Verdict::Out);
    assert_eq!(last.state, NozzleState::Worn);
    assert_eq!(outcome.counts.worn, 1);
    assert_eq!(with(1060.0).nozzles[9].state, NozzleState::Blocked);
    assert_eq!(with(0.0).nozzles[9].state, NozzleState::Blocked);
}

// NOZ-04, Ohio State: 10 % above new output. A whole boom worn alike shows against nominal only.
#[test]
fn a_boom_worn_alike_shows_against_nominal() {
    let outcome = caught(nominal(3.0, 1.0), &[1380.0; 8]);
    assert_eq!(outcome.counts.worn, 8);
    near(outcome.mean_of_nominal.unwrap().error.as_percent(), 15.0, 1e-9);
    assert!(outcome.nozzles.iter().all(|n| n.of_mean.unwrap().verdict == Verdict::Within));
    assert_eq!(caught(None, &[1380.0; 8]).counts.fine, 8);
}

#[test]
fn out_both_ways_is_a_contradiction() {
    // The boom is 25 % low throughout (pressure?), one nozzle stands 10 % over the mean: too little and too much.
    let mut flows = vec![900.0; 9];
    flows.push(1000.0);
    let outcome = caught(nominal(3.0, 1.0), &flows);
    assert_eq!(outcome.nozzles[0].state, NozzleState::Blocked);
    assert_eq!(outcome.nozzles[9].state, NozzleState::Contradictory);
    assert_eq!((outcome.counts.blocked, outcome.counts.contradictory), (9, 1));
}

#[test]
fn pressure_and_density_move_the_nominal() {
    // By hand: 1.2 × √(4/3) = 1.38564 L/min; and ÷ √1.28 = 1.22474.
    near(caught(nominal(4.0, 1.0), &[1386.0; 3]).nominal.unwrap().as_l_per_min(), 1.385_641, 1e-6);
    near(caught(nominal(4.0, 1.28), &[1225.0; 3]).nominal.unwrap().as_l_per_min(), 1.224_745, 1e-6);
}

#[test]
fn shared_errors_cancel_against_the_mean() {
    let mut wide = trial(nominal(3.0, 1.0), vec![ml(1200.0, 60.0); 4]);
    let before = work_out(&wide).unwrap().nozzles[0];
    wide.reading.jug_tolerance = Share::from_percent(5.0);
    let after = work_out(&wide).unwrap().nozzles[0];
    assert_eq!(before.of_mean, after.of_mean);
    assert!(after.of_nominal.unwrap().expanded > before.of_nominal.unwrap().expanded);
    assert!(after.expanded > before.expanded);
}

#[test]
fn a_longer_catch_that_is_proposed_does_decide() {
    // 15 s catches, 10 mL steps: 300 mL each, the last 4 % over.
    let at = |s: f64| {
        let mut catches = vec![ml(1200.0 * s / 60.0, s); 9];
        catches.push(ml(1254.0 * s / 60.0, s));
        work_out(&trial(None, catches)).unwrap().nozzles[9]
    };
    let short = at(15.0);
    assert_eq!(short.state, NozzleState::NotProvenYet);
    let Next::Runs { size, .. } = short.next else { panic!("{:?}", short.next) };
    assert_ne!(at(size.as_s() * 1.001).state, NozzleState::NotProvenYet);
    assert_eq!(at(size.as_s() * 0.98).state, NozzleState::NotProvenYet);
    assert_eq!(at(size.as_s() * 1.001).next, Next::Nothing);
}

#[test]
fn a_bad_jug_cannot_be_outwaited() {
    let mut coarse = trial(nominal(3.0, 1.0), vec![ml(1300.0, 60.0); 4]);
    coarse.reading.jug_tolerance = Share::from_percent(5.0);
    let nozzle = work_out(&coarse).unwrap().nozzles[0];
    assert_eq!(nozzle.state, NozzleState::NotProvenYet);
    assert!(matches!(nozzle.next, Next::BetterReference { .. }));
}

#[test]
fn bad_input_is_named() {
    let error = |catches| work_out(&trial(None, catches)).unwrap_err();
    assert_eq!(error(vec![]), TrialError::NoRuns);
    assert!(matches!(error(vec![ml(1.0, 60.0), ml(-1.0, 60.0)]), TrialError::Input { idx: 1, .. }));
    assert!(matches!(error(vec![ml(1.0, 0.0)]), TrialError::Input { idx: 0, .. }));
    assert!(matches!(error(vec![ml(1.0, -60.0)]), TrialError::Input { .. }));
    assert!(matches!(error(vec![ml(0.0, 60.0), ml(0.0, 60.0)]), TrialError::Input { .. }));
    assert!(matches!(error(vec![ml(f64::NAN, 60.0)]), TrialError::Input { .. }));
    let bad = |nominal| work_out(&trial(nominal, vec![ml(1200.0, 60.0); 2])).unwrap_err();
    assert_eq!(bad(nominal(0.0, 1.0)), TrialError::Number { got: 0.0 });
    assert_eq!(bad(nominal(3.0, 0.0)), TrialError::Number { got: 0.0 });
    let mut limit = trial(None, vec![ml(1200.0, 60.0); 2]);
    limit.mean_tolerance = Tolerance::user(Share::from_percent(-5.0));
    assert!(matches!(work_out(&limit).unwrap_err(), TrialError::Tolerance { .. }));
}

proptest! {
    /// A second method for the uncertainty against the mean: numerical propagation of every volume and time.
    #[test]
    fn uncertainty_against_the_mean(volumes in prop::collection::vec(800.0..1600.0, 2..7), idx in 0_usize..7) {
        let n = volumes.len();
        let idx = idx % n;
        let catches: Vec<Catch> = volumes.iter().map(|v| ml(*v, 60.0)).collect();
        let got = work_out(&trial(None, catches)).unwrap().nozzles[idx].of_mean.unwrap();
        let mut inputs = volumes.clone();
        inputs.extend(vec![60.0; n]);
        let mut standards = vec![10.0 / 12.0_f64.sqrt(); n];
        standards.extend(vec![0.15_f64.hypot(0.01 / 12.0_f64.sqrt()); n]);
        let f = |x: &[f64]| {
            let flows: Vec<f64> = (0..n).map(|j| x[j] / x[n + j]).collect();
            flows[idx] / (flows.iter().sum::<f64>() / n as f64)
        };
        let p = propagate(f, &inputs, &standards).unwrap();
        prop_assert!((got.error.as_fraction() - (p.value - 1.0)).abs() < 1e-12);
        prop_assert!((got.expanded.as_fraction() / (1.959_963_985 * p.standard) - 1.0).abs() < 1e-6);
    }

    /// Deviations from the mean cancel, and the same catch in ounces says the same.
    #[test]
    fn deviations_cancel(volumes in prop::collection::vec(500.0..2000.0, 2..20)) {
        let outcome = caught(nominal(3.0, 1.0), &volumes);
        let sum: f64 = outcome.nozzles.iter().map(|n| n.of_mean.unwrap().error.as_fraction()).sum();
        prop_assert!(sum.abs() < 1e-9);
        let c = outcome.counts;
        let total = c.fine + c.worn + c.blocked + c.contradictory + c.not_proven_yet;
        prop_assert_eq!(total, volumes.len());
        prop_assert!((outcome.total.as_ml_per_min() / volumes.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }
}

#[test]
fn a_pressure_counts_half() {
    // By hand: ±0.05 bar on 3 bar, half of it on the flow: 0.5 · 0.05/3 ÷ √3 = 0.4811 %.
    let mut exact = trial(nominal(3.0, 1.0), vec![ml(1200.0, 60.0); 2]);
    exact.reading = CatchReading {
        jug_step: Volume::from_ml(0.0),
        jug_tolerance: Share::from_percent(0.0),
        stopwatch: Stopwatch { step: Duration::from_s(0.0), hand: Duration::from_s(0.0) },
    };
    let of_nominal = work_out(&exact).unwrap().nozzles[0].of_nominal.unwrap();
    near(of_nominal.expanded.as_fraction(), 1.959_963_985 * 0.5 * 0.05 / 3.0 / 3.0_f64.sqrt(), 1e-9);
    near(of_nominal.error.as_fraction(), 0.0, 1e-12);
}
