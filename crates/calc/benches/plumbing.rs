//! How long hydraulics and transport take: the boom of 120 nozzles that EPANET solved too (case P7), and how the cost grows
//! with the boom.
//!
//! What `cargo xtask compare-epanet` prints beside EPANET's own times are the numbers of `p7/…`.

#![allow(missing_docs)] // criterion_group! makes a public function without docs
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "not shipped")]

#[path = "../tests/boom/mod.rs"]
mod boom;
#[path = "../tests/network_case/mod.rs"]
mod network_case;

use std::hint::black_box;

use calc::plumbing::Plumbing;
use calc::plumbing::arrival::Lags;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::{DryNozzles, Given, Operating};
use calc::plumbing::transport::{Contents, Transport};
use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use units::FlowRate;

fn p7(c: &mut Criterion) {
    let case = network_case::own_case("P7");
    let mut group = c.benchmark_group("p7");
    group.bench_function("check_network", |b| b.iter(|| Plumbing::check(black_box(&case.network)).unwrap()));
    for law in [FrictionLaw::SwameeJain, FrictionLaw::Colebrook] {
        let solver = case.solver(law);
        let operating = case.states[0].operating();
        group.bench_function(format!("hydraulics_given_flow_{law:?}"), |b| {
            b.iter(|| solver.solve(black_box(&operating), DryNozzles::Refuse).unwrap());
        });
        let answer = solver.solve(&operating, DryNozzles::Refuse).unwrap();
        let by_pressure = Operating { given: Given::SupplyPressure(answer.supply_pressure), ..operating };
        group.bench_function(format!("hydraulics_given_pressure_{law:?}"), |b| {
            b.iter(|| solver.solve(black_box(&by_pressure), DryNozzles::Refuse).unwrap());
        });
    }
    let solver = case.solver(FrictionLaw::SwameeJain);
    group.bench_function("hydraulics_and_transport", |b| {
        b.iter(|| {
            let solved = case.solve(black_box(&solver));
            let states = case.timeline(&solved);
            let transport = Transport::follow(solver.plumbing(), &states, Contents::clean()).unwrap();
            transport.last_arrival().unwrap()
        });
    });
    let solved = case.solve(&solver);
    group.bench_function("lags", |b| {
        b.iter(|| Lags::of(solver.plumbing(), black_box(solved[0].as_ref().unwrap())).unwrap());
    });
    group.finish();
}

fn growth(c: &mut Criterion) {
    let mut group = c.benchmark_group("hydraulics_by_nozzles");
    for n_nozzles in [12, 60, 120, 300, 600, 1200] {
        let solver = boom::solver(n_nozzles);
        let given = Given::Carrier(FlowRate::from_l_per_min(f64::from(n_nozzles)));
        let operating = Operating { given, injected: FlowRate::from_l_per_min(0.5), shut: &[] };
        group.throughput(Throughput::Elements(n_nozzles.into()));
        group.bench_function(BenchmarkId::from_parameter(n_nozzles), |b| {
            b.iter(|| solver.solve(black_box(&operating), DryNozzles::Refuse).unwrap());
        });
    }
    group.finish();
}

criterion_group!(benches, p7, growth);
criterion_main!(benches);
