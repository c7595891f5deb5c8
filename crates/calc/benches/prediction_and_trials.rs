//! Speed of what runs while somebody types: prediction, a trial of 100 runs, a catch of 144 nozzles.
#![allow(missing_docs)] // the macro of criterion makes a public function without docs

use std::hint::black_box;

use calc::catch_trial::{Catch, CatchReading, CatchTrial, Nominal};
use calc::course_trial::Stopwatch;
use calc::keyin::KeyedPulses;
use calc::meter_trial::{MeterTrial, VolumeReading, VolumeRun, by_volume};
use calc::model::{Condition, ErrorFactors, Motion, predict};
use calc::rig::{Carrier, InjectionPump, NozzleSet, ProductRate, Rig, Section};
use calc::sensitivity::{Forms, sheet};
use calc::student_t::two_sided;
use calc::verdict::Tolerance;
use criterion::{Criterion, criterion_group, criterion_main};
use units::{
    Duration, FlowRate, Length, Pressure, PulseConvention, Share, Speed, Volume, VolumePerArea, VolumeUnit,
};

fn nozzles() -> NozzleSet {
    NozzleSet {
        rated_flow: FlowRate::from_l_per_min(1.2),
        rated_pressure: Pressure::from_bar(3.0),
        least_pressure: None,
        greatest_pressure: None,
        spacing: None,
    }
}

/// Twelve sections of twelve nozzles, six pumps.
fn rig() -> Rig {
    let pump = InjectionPump {
        first: Some(ProductRate::PerArea(VolumePerArea::from_l_per_ha(2.0))),
        second: Some(ProductRate::PerArea(VolumePerArea::from_l_per_ha(3.0))),
        nudge: Some(Share::from_percent(10.0)),
        ..InjectionPump::blank()
    };
    Rig {
        sections: vec![Section { width: Length::from_m(6.0), n_nozzles: 12 }; 12],
        nozzles: Some(nozzles()),
        carrier: Some(Carrier::Regulated(VolumePerArea::from_l_per_ha(100.0))),
        pumps: vec![pump; 6],
        hold_speed: Some(Speed::from_km_per_h(4.0)),
        standing_speed: Some(Speed::from_km_per_h(10.0)),
        ..Rig::blank()
    }
}

fn prediction(c: &mut Criterion) {
    let rig = rig();
    let errors = ErrorFactors { meter: 1.02, ..ErrorFactors::none(&rig) };
    let state = Condition::all_on(&rig, Motion::Driving(Speed::from_km_per_h(10.0)));
    c.bench_function("predict, 12 sections, 6 pumps", |b| {
        b.iter(|| predict(black_box(&rig), black_box(&errors), black_box(&state)));
    });
    let forms = Forms::counting(&rig);
    c.bench_function("key-in sheet, every number", |b| {
        b.iter(|| sheet(black_box(&rig), black_box(&forms), Share::from_percent(1.0)));
    });
}

/// `n` runs about `indicated` over 50 gal, in a pattern that spreads by about half a gallon.
fn meter_trial(n: u32, indicated: f64) -> MeterTrial<VolumeRun, VolumeReading> {
    let gal = Volume::from_us_gal;
    let run = |idx: u32| VolumeRun {
        indicated: gal(indicated + f64::from(idx * 7 % 11) / 10.0 - 0.5),
        actual: gal(50.0),
    };
    MeterTrial {
        keyed: KeyedPulses {
            number: 760.0,
            convention: PulseConvention::counting(1.0, VolumeUnit::UsGallon),
            step: None,
        },
        runs: (0..n).map(run).collect(),
        reading: VolumeReading {
            console_step: gal(0.1),
            vessel_step: gal(0.5),
            vessel_tolerance: Share::from_percent(0.5),
        },
        tolerance: Tolerance::RATE_CONTROL,
    }
}

fn trials(c: &mut Criterion) {
    let decided = meter_trial(100, 51.0);
    c.bench_function("meter trial, 100 runs, decided", |b| b.iter(|| by_volume(black_box(&decided))));
    let open = meter_trial(100, 52.4);
    c.bench_function("meter trial, 100 runs, next run searched", |b| b.iter(|| by_volume(black_box(&open))));
    let few = meter_trial(3, 52.4);
    c.bench_function("meter trial, 3 runs, next run searched", |b| b.iter(|| by_volume(black_box(&few))));
    c.bench_function("student t at 3.7 degrees", |b| b.iter(|| two_sided(black_box(0.95), black_box(3.7))));
}

fn catch(c: &mut Criterion) {
    let caught = |idx: u32| Catch {
        volume: Volume::from_ml(1150.0 + f64::from(idx * 37 % 101)),
        time: Duration::from_s(60.0),
    };
    let trial = CatchTrial {
        nominal: Some(Nominal {
            nozzles: nozzles(),
            pressure: Pressure::from_bar(3.0),
            pressure_half_width: Pressure::from_bar(0.05),
            specific_gravity: 1.0,
        }),
        catches: (0..144).map(caught).collect(),
        reading: CatchReading {
            jug_step: Volume::from_ml(10.0),
            jug_tolerance: Share::from_percent(0.5),
            stopwatch: Stopwatch::BY_HAND,
        },
        nominal_tolerance: Tolerance::NOZZLE_NOMINAL,
        mean_tolerance: Tolerance::NOZZLE_MEAN,
    };
    c.bench_function("catch of 144 nozzles", |b| {
        b.iter(|| calc::catch_trial::work_out(black_box(&trial)));
    });
}

criterion_group!(benches, prediction, trials, catch);
criterion_main!(benches);
