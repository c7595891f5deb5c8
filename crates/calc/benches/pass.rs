//! How long a simulated pass takes: five minutes, 120 nozzles, 40 events; and how the cost grows with nozzles and events.

#![allow(missing_docs)] // criterion_group! makes a public function without docs
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "not shipped")]

#[path = "../tests/boom/mod.rs"]
mod boom;
#[path = "../tests/network_case/mod.rs"]
mod network_case;

use std::hint::black_box;

use calc::pass::simulation::Simulation;
use calc::plumbing::friction::FrictionLaw;
use criterion::{BatchSize, BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};

fn five_minutes(c: &mut Criterion) {
    let mut group = c.benchmark_group("pass");
    let (solver, pass) = (boom::solver(120), boom::five_minutes(40));
    let pass = boom::with_widths(pass, &solver);
    let n_pieces = Simulation::new(solver.clone(), pass.clone()).unwrap().n_pieces();
    group.bench_function(format!("five_minutes_120_nozzles_40_events_{n_pieces}_pieces"), |b| {
        b.iter_batched(
            || (solver.clone(), pass.clone()),
            |(solver, pass)| Simulation::new(solver, black_box(pass)).unwrap().run().unwrap(),
            BatchSize::LargeInput,
        );
    });
    // The boom that EPANET solved too (case P7): 264 pipes, with a drop to each nozzle.
    let solver = network_case::own_case("P7").solver(FrictionLaw::SwameeJain);
    let pass = boom::with_widths(boom::five_minutes(40), &solver);
    group.bench_function("five_minutes_p7_40_events", |b| {
        b.iter_batched(
            || (solver.clone(), pass.clone()),
            |(solver, pass)| Simulation::new(solver, black_box(pass)).unwrap().run().unwrap(),
            BatchSize::LargeInput,
        );
    });
    group.finish();
}

fn growth(c: &mut Criterion) {
    let mut group = c.benchmark_group("pass_by_nozzles");
    group.sample_size(20);
    for n_nozzles in [12, 60, 120, 300, 600, 1200] {
        let solver = boom::solver(n_nozzles);
        let pass = boom::with_widths(boom::five_minutes(40), &solver);
        group.throughput(Throughput::Elements(u64::from(n_nozzles) * 40));
        group.bench_function(BenchmarkId::from_parameter(n_nozzles), |b| {
            b.iter_batched(
                || (solver.clone(), pass.clone()),
                |(solver, pass)| Simulation::new(solver, pass).unwrap().run().unwrap(),
                BatchSize::LargeInput,
            );
        });
    }
    group.finish();
    let mut group = c.benchmark_group("pass_by_events");
    group.sample_size(20);
    let solver = boom::solver(120);
    for n_events in [10, 20, 40, 80, 160] {
        let pass = boom::with_widths(boom::five_minutes(n_events), &solver);
        group.throughput(Throughput::Elements(u64::from(n_events) * 120));
        group.bench_function(BenchmarkId::from_parameter(n_events), |b| {
            b.iter_batched(
                || (solver.clone(), pass.clone()),
                |(solver, pass)| Simulation::new(solver, pass).unwrap().run().unwrap(),
                BatchSize::LargeInput,
            );
        });
    }
    group.finish();
}

criterion_group!(benches, five_minutes, growth);
criterion_main!(benches);
