//! Speed of a full ranking: 12 sections, 6 pumps, everything read. The list updates while readings are typed.
#![allow(missing_docs, clippy::unwrap_used)]

use criterion::{Criterion, criterion_group, criterion_main};

#[path = "../tests/diagnosis_world/mod.rs"]
mod diagnosis_world;

use calc::diagnosis::{Condition, Motion, diagnose};
use calc::model::KeyedNumber;
use diagnosis_world::random::Random;
use diagnosis_world::rigs::rig;
use diagnosis_world::run::{Drive, World, read, run};
use std::hint::black_box;

fn full_ranking(c: &mut Criterion) {
    let mut random = Random::new(12);
    let setup = rig(&mut random, 12, 6);
    let mut world = World::right(&setup);
    world.console_meter *= 214.0 / 241.0;
    world.scatter(&setup, &mut random);
    let drive = Drive { speed: 2.5, time: 120.0, pressure: 3e5 };
    let mut situations = Vec::new();
    for motion in [Motion::Driving, Motion::Standing] {
        let condition = Condition { motion, ..Condition::driving() };
        let outturn = run(&world, &condition, drive);
        situations.push(read(&setup, &condition, &outturn, |_| true, Some(&mut random)));
    }
    let one = &situations[..1];
    let n = diagnose(&setup, one, 6).unwrap().n_candidates;
    c.bench_function(&format!("full ranking, 12 sections, 6 pumps, {n} candidates, 1 situation"), |b| {
        b.iter(|| diagnose(black_box(&setup), black_box(one), 6));
    });
    c.bench_function("the same, 2 situations", |b| {
        b.iter(|| diagnose(black_box(&setup), black_box(&situations), 6));
    });
    // The slowest kind: no speed read, so both sides of the minimum-speed hold are weighed for each candidate.
    let mut blind = situations.clone();
    for situation in &mut blind {
        situation.readings.retain(|r| r.what != calc::diagnosis::What::ShownSpeed);
    }
    assert!(setup.number(KeyedNumber::HoldSpeed).is_some());
    c.bench_function("the same, no shown speed", |b| {
        b.iter(|| diagnose(black_box(&setup), black_box(&blind), 6));
    });
}

criterion_group!(benches, full_ranking);
criterion_main!(benches);
