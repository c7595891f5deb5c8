//! Prediction and correction are inverse: a console with a wrong number, simulated, put through the trial, gives the
//! right number back. For every form of convention, in US and metric units.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::course_trial::{
    Course, CourseTrial, Direction, DistanceReading, DistanceRun, SpeedReading, Stopwatch, TimedRun,
    by_distance, by_stopwatch,
};
use calc::keyin::KeyedPulses;
use calc::meter_trial::{
    MeterTrial, VolumeReading, VolumeRun, WeighedRun, WeightReading, by_volume, by_weight,
};
use calc::model::{Condition, ErrorFactors, Motion, predict};
use calc::pump_trial::{OutputRuns, PumpTrial, work_out};
use calc::rig::{Carrier, InjectionPump, ProductRate, Rig, Section};
use calc::verdict::Tolerance;
use proptest::prelude::*;
use units::{
    Duration, FlowRate, Length, LengthUnit, Mass, PulseConvention, PulsesPerDistance, PulsesPerVolume, Share,
    Speed, Temperature, Unit, Volume, VolumePerArea, VolumeUnit,
};

fn rig() -> Rig {
    Rig {
        sections: vec![Section { width: Length::from_ft(34.0), n_nozzles: 20 }],
        carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))),
        pumps: vec![InjectionPump {
            first: Some(ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(64.0))),
            ..InjectionPump::blank()
        }],
        ..Rig::blank()
    }
}

fn volume_convention() -> impl Strategy<Value = PulseConvention<VolumeUnit>> {
    (
        any::<bool>(),
        prop::sample::select(vec![1.0, 10.0, 100.0, 1000.0]),
        prop::sample::select(VolumeUnit::ALL),
    )
        .prop_map(|(counting, amount, unit)| {
            if counting {
                PulseConvention::counting(amount, unit)
            } else {
                PulseConvention::spacing(amount, unit)
            }
        })
}

fn length_convention() -> impl Strategy<Value = PulseConvention<LengthUnit>> {
    (
        any::<bool>(),
        prop::sample::select(vec![1.0, 10.0, 100.0, 300.0, 400.0, 1000.0]),
        prop::sample::select(LengthUnit::ALL),
    )
        .prop_map(|(counting, amount, unit)| {
            if counting {
                PulseConvention::counting(amount, unit)
            } else {
                PulseConvention::spacing(amount, unit)
            }
        })
}

fn close(got: f64, expected: f64) -> bool {
    (got / expected - 1.0).abs() < 1e-9
}

proptest! {
    #[test]
    fn the_meter_number_comes_back(
        convention in volume_convention(),
        per_gal in 20.0..5000.0,
        factor in 0.6..1.7,
        mph in 2.0..15.0,
        seconds in prop::collection::vec(30.0..600.0, 1..8),
    ) {
        let right = PulsesPerVolume::from_pulses_over(per_gal, Volume::from_us_gal(1.0));
        let right_number = convention.key_in(right);
        // Wrong in the pulses-per-unit sense; a spacing convention turns it over by itself.
        let wrong_number = convention.key_in(PulsesPerVolume::from_per_m3(right.as_per_m3() * factor));
        let rig = rig();
        let errors = ErrorFactors { meter: factor, ..ErrorFactors::none(&rig) };
        let standing = Condition::all_on(&rig, Motion::Standing(Speed::from_mph(mph)));
        let p = predict(&rig, &errors, &standing).unwrap();
        let after = |s: f64| {
            let time = Duration::from_s(s);
            (p.shown.after(time).unwrap().volume.unwrap(), p.actual.after(time).unwrap().volume.unwrap())
        };
        let keyed = KeyedPulses { number: wrong_number, convention, step: None };
        let outcome = by_volume(&MeterTrial {
            keyed,
            runs: seconds.iter().map(|s| { let (indicated, actual) = after(*s); VolumeRun { indicated, actual } }).collect(),
            reading: VolumeReading {
                console_step: Volume::from_us_gal(0.1),
                vessel_step: Volume::from_us_gal(0.1),
                vessel_tolerance: Share::from_percent(0.5),
            },
            tolerance: Tolerance::RATE_CONTROL,
        }).unwrap();
        prop_assert!(close(outcome.corrected.exact, right_number));
        prop_assert!(close(outcome.number.as_per_m3(), right.as_per_m3()));
        // By weight of water at 20 °C (998.2067 kg/m³, known value) the same comes out.
        let weighed = seconds.iter().map(|s| {
            let (indicated, actual) = after(*s);
            WeighedRun {
                indicated,
                gross: Mass::from_kg(12.0 + actual.as_m3() * 998.2067),
                tare: Mass::from_kg(12.0),
                temperature: Temperature::from_c(20.0),
            }
        });
        let outcome = by_weight(&MeterTrial {
            keyed,
            runs: weighed.collect(),
            reading: WeightReading {
                console_step: Volume::from_us_gal(0.1),
                scale_step: Mass::from_kg(0.05),
                scale_tolerance: Share::from_percent(0.1),
                temperature_half_width_c: 1.0,
            },
            tolerance: Tolerance::RATE_CONTROL,
        }).unwrap();
        prop_assert!((outcome.corrected.exact / right_number - 1.0).abs() < 1e-6);
    }

    #[test]
    fn the_course_number_comes_back(
        convention in length_convention(),
        per_m in 1.0..500.0,
        factor in 0.6..1.7,
        mph in 2.0..15.0,
        ft in 100.0..1000.0,
        n_runs in 1_usize..6,
    ) {
        let right = PulsesPerDistance::from_per_m(per_m);
        let right_number = convention.key_in(right);
        let wrong_number = convention.key_in(PulsesPerDistance::from_per_m(per_m * factor));
        let rig = rig();
        let errors = ErrorFactors { speed: factor, ..ErrorFactors::none(&rig) };
        let driving = Condition::all_on(&rig, Motion::Driving(Speed::from_mph(mph)));
        let p = predict(&rig, &errors, &driving).unwrap();
        let length = Length::from_ft(ft);
        let time = Duration::from_s(length.as_m() / p.actual.speed.as_m_per_s());
        let keyed = KeyedPulses { number: wrong_number, convention, step: None };
        let course = Course {
            length,
            tape_step: Length::from_cm(1.0),
            tape_tolerance: Share::from_percent(0.05),
            marks: Length::from_cm(5.0),
        };
        let by_tape = by_distance(&CourseTrial {
            keyed,
            course,
            runs: vec![
                DistanceRun { indicated: p.shown.after(time).unwrap().distance, direction: Direction::Out };
                n_runs
            ],
            reading: DistanceReading { console_step: Length::from_ft(1.0) },
            tolerance: Tolerance::RATE_CONTROL,
        }).unwrap();
        prop_assert!(close(by_tape.corrected.exact, right_number));
        let by_watch = by_stopwatch(&CourseTrial {
            keyed,
            course,
            runs: vec![TimedRun { indicated: p.shown.speed, time, direction: Direction::Back }; n_runs],
            reading: SpeedReading { console_step: Speed::from_mph(0.1), stopwatch: Stopwatch::BY_HAND },
            tolerance: Tolerance::RATE_CONTROL,
        }).unwrap();
        prop_assert!(close(by_watch.corrected.exact, right_number));
        prop_assert!(close(by_watch.number.as_per_m(), per_m));
    }

    #[test]
    fn the_pump_number_comes_back(
        convention in volume_convention(),
        per_oz in 5.0..500.0,
        factor in 0.6..1.7,
        speeds in prop::collection::btree_set(2_u32..15, 1..4),
    ) {
        let right = PulsesPerVolume::from_pulses_over(per_oz, Volume::from_us_fl_oz(1.0));
        let wrong = PulsesPerVolume::from_per_m3(right.as_per_m3() * factor);
        let rig = rig();
        let errors = ErrorFactors { pumps: vec![factor], ..ErrorFactors::none(&rig) };
        let outputs = speeds.iter().map(|mph| {
            let standing = Condition::all_on(&rig, Motion::Standing(Speed::from_mph(f64::from(*mph))));
            let p = predict(&rig, &errors, &standing).unwrap();
            let time = Duration::from_min(1.0);
            let run = VolumeRun {
                indicated: p.shown.after(time).unwrap().products[0].unwrap(),
                actual: p.actual.after(time).unwrap().products[0].unwrap(),
            };
            OutputRuns { output: p.actual.products[0].unwrap().flow, runs: vec![run; 2] }
        });
        let outcome = work_out(&PumpTrial {
            keyed: KeyedPulses { number: convention.key_in(wrong), convention, step: None },
            outputs: outputs.collect(),
            reading: VolumeReading {
                console_step: Volume::from_ml(1.0),
                vessel_step: Volume::from_ml(5.0),
                vessel_tolerance: Share::from_percent(1.0),
            },
            tolerance: Tolerance::RATE_CONTROL,
        }).unwrap();
        prop_assert!(close(outcome.all.corrected.exact, convention.key_in(right)));
    }

    /// A trial says the same in litres as in gallons.
    #[test]
    fn metric_and_us_agree(
        runs in prop::collection::vec((40.0..60.0, 40.0..60.0), 2..8),
        step in 0.0..1.0,
        tolerance in 0.0..2.0,
    ) {
        let trial = |unit: VolumeUnit, factor: f64| {
            let v = |x: f64| units::Quantity::from_unit(x * factor, unit);
            by_volume(&MeterTrial {
                keyed: KeyedPulses {
                    number: 760.0 / factor,
                    convention: PulseConvention::counting(1.0, unit),
                    step: None,
                },
                runs: runs.iter().map(|(i, a)| VolumeRun { indicated: v(*i), actual: v(*a) }).collect(),
                reading: VolumeReading {
                    console_step: v(0.1),
                    vessel_step: v(step),
                    vessel_tolerance: Share::from_percent(tolerance),
                },
                tolerance: Tolerance::RATE_CONTROL,
            }).unwrap()
        };
        let us = trial(VolumeUnit::UsGallon, 1.0);
        let metric = trial(VolumeUnit::Litre, 3.785_411_784); // NIST Handbook 44
        prop_assert!(close(us.ratio.ratio, metric.ratio.ratio));
        prop_assert!(close(us.ratio.expanded, metric.ratio.expanded));
        prop_assert!(close(us.number.as_per_m3(), metric.number.as_per_m3()));
        prop_assert_eq!(us.ratio.verdict, metric.ratio.verdict);
    }

    /// More of any uncertainty never makes a trial surer; more indicated always asks for a larger counting number.
    #[test]
    fn sweeps(
        base in 45.0..55.0, spread in 0.01..1.0, console in 0.0..0.5, vessel in 0.0..0.5, tolerance in 0.0..2.0, more in 1.01..2.0,
    ) {
        let trial = |spread: f64, console: f64, vessel: f64, tolerance: f64, scale: f64| {
            let gal = Volume::from_us_gal;
            by_volume(&MeterTrial {
                keyed: KeyedPulses {
                    number: 760.0,
                    convention: PulseConvention::counting(1.0, VolumeUnit::UsGallon),
                    step: None,
                },
                runs: [-spread, 0.0, spread]
                    .map(|d| VolumeRun { indicated: gal((base + d) * scale), actual: gal(50.0) })
                    .to_vec(),
                reading: VolumeReading {
                    console_step: gal(console),
                    vessel_step: gal(vessel),
                    vessel_tolerance: Share::from_percent(tolerance),
                },
                tolerance: Tolerance::RATE_CONTROL,
            }).unwrap()
        };
        let reference = trial(spread, console, vessel, tolerance, 1.0);
        let combined = |o: &calc::meter_trial::VolumeOutcome| o.ratio.budget.combined;
        prop_assert!(combined(&trial(spread * more, console, vessel, tolerance, 1.0)) > combined(&reference));
        prop_assert!(combined(&trial(spread, console * more, vessel, tolerance, 1.0)) >= combined(&reference));
        prop_assert!(combined(&trial(spread, console, vessel * more, tolerance, 1.0)) >= combined(&reference));
        prop_assert!(combined(&trial(spread, console, vessel, tolerance * more, 1.0)) >= combined(&reference));
        let larger = trial(spread, console, vessel, tolerance, more);
        prop_assert!(larger.corrected.exact > reference.corrected.exact);
    }
}

#[test]
fn outputs_of_a_pump_follow_speed() {
    let rig = rig();
    let at = |mph| {
        let standing = Condition::all_on(&rig, Motion::Standing(Speed::from_mph(mph)));
        predict(&rig, &ErrorFactors::none(&rig), &standing).unwrap().actual.products[0].unwrap().flow
    };
    assert!(FlowRate::from_l_per_min(0.0) < at(3.0) && at(3.0) < at(6.0));
}
