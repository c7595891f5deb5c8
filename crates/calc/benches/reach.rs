//! How long a full recompute takes while a slider moves: 144 nozzles, 12 sections, 6 pumps, 200 speeds.

#![allow(missing_docs)] // criterion_group! makes a public function without docs

use std::hint::black_box;

use calc::reach::cab_card::cab_card;
use calc::reach::doses::doses;
use calc::reach::expected::along;
use calc::reach::make_it_work::{Goal, Steps, make_it_work};
use calc::reach::nozzle_choice::{Wanted, nozzle_choice};
use calc::reach::plan::Plan;
use calc::reach::sections::{by_count, smallest_at};
use calc::reach::turns::{Direction, Reaches, curve_ends, turn_limits};
use calc::reach::window::window;
use calc::rig::{Carrier, FlowMeter, InjectionPump, NozzleSet, ProductRate, Rig, Section, SupplyPump};
use criterion::{Criterion, criterion_group, criterion_main};
use units::{FlowRate, Length, Pressure, PulsesPerVolume, Share, Speed, VolumePerArea};

fn plan() -> Plan {
    let pump = |k: u32| InjectionPump {
        least: Some(FlowRate::from_ml_per_min(40.0)),
        greatest: Some(FlowRate::from_ml_per_min(4000.0)),
        first: Some(ProductRate::PerArea(VolumePerArea::from_ml_per_ha(300.0 + 50.0 * f64::from(k)))),
        second: Some(ProductRate::PerArea(VolumePerArea::from_ml_per_ha(500.0 + 50.0 * f64::from(k)))),
        nudge: Some(Share::from_percent(10.0)),
        label_greatest: Some(VolumePerArea::from_ml_per_ha(1200.0)),
        ..InjectionPump::blank()
    };
    // Mirrored widths as built, so that sections differ and 144 nozzles stand 50 cm apart.
    let n_nozzles = [8, 10, 12, 12, 14, 16, 16, 14, 12, 12, 10, 8];
    let section = |n_nozzles: u32| Section { width: Length::from_m(0.5 * f64::from(n_nozzles)), n_nozzles };
    Plan::new(Rig {
        sections: n_nozzles.map(section).to_vec(),
        nozzles: Some(NozzleSet {
            rated_flow: FlowRate::from_l_per_min(1.2),
            rated_pressure: Pressure::from_bar(3.0),
            least_pressure: Some(Pressure::from_bar(1.5)),
            greatest_pressure: Some(Pressure::from_bar(5.0)),
            spacing: Some(Length::from_cm(50.0)),
        }),
        meter: Some(FlowMeter {
            number: PulsesPerVolume::from_per_m3(100_000.0),
            least: Some(FlowRate::from_l_per_min(10.0)),
            greatest: Some(FlowRate::from_l_per_min(300.0)),
        }),
        supply: Some(SupplyPump {
            greatest: FlowRate::from_l_per_min(400.0),
            agitation: Share::from_percent(15.0),
            reserve: Share::from_percent(15.0),
        }),
        pumps: (0..6).map(pump).collect(),
        carrier: Some(Carrier::Regulated(VolumePerArea::from_l_per_ha(120.0))),
        hold_speed: Some(Speed::from_km_per_h(5.0)),
        top_speed: Some(Speed::from_km_per_h(30.0)),
        ..Rig::blank()
    })
}

fn speeds() -> Vec<Speed> {
    (1..=200).map(|k| Speed::from_km_per_h(0.15 * f64::from(k))).collect()
}

/// Everything that the screen draws.
fn full(plan: &Plan, speed: Speed, speeds: &[Speed], radii: &[Length]) -> f64 {
    let reach = window(plan);
    let counts = by_count(plan);
    let smallest = smallest_at(plan, speed);
    let here = along(plan, speeds.iter().copied());
    let doses = doses(plan);
    let mut sum = reach.bars.len() as f64 + counts.len() as f64 + here.len() as f64;
    for line in &doses.lines {
        sum += speeds.iter().filter_map(|v| line.law.at(*v)).map(VolumePerArea::as_l_per_ha).sum::<f64>();
    }
    let wanted = Wanted {
        rate: VolumePerArea::from_l_per_ha(120.0),
        slowest: Speed::from_km_per_h(8.0),
        fastest: Speed::from_km_per_h(14.0),
    };
    let window = (Some(Pressure::from_bar(1.5)), Some(Pressure::from_bar(5.0)));
    let choices = nozzle_choice(plan, wanted, window, &[], 13);
    sum += choices.choices.len() as f64;
    if let Some(reaches) = Reaches::of(plan, plan.sections_on)
        && let Ok(ends) = curve_ends(reaches.left, reaches.right, radii)
    {
        sum += ends.iter().map(|e| e.outer.ratio()).sum::<f64>();
    }
    sum += turn_limits(plan, Direction::Left, Speed::from_km_per_h(10.0)).len() as f64;
    sum += cab_card(plan, Speed::from_km_per_h(2.0)).rows.len() as f64;
    black_box(smallest);
    sum
}

fn reach(c: &mut Criterion) {
    let plan = plan();
    let speeds = speeds();
    let radii: Vec<Length> = (1..=200).map(|k| Length::from_m(f64::from(k))).collect();
    let (some, none) = (Speed::from_km_per_h(10.0), Speed::from_km_per_h(25.0));
    c.bench_function("reach/full", |b| b.iter(|| full(black_box(&plan), some, &speeds, &radii)));
    c.bench_function("reach/full_none_fits", |b| b.iter(|| full(black_box(&plan), none, &speeds, &radii)));
    c.bench_function("reach/window", |b| b.iter(|| window(black_box(&plan))));
    c.bench_function("reach/by_count", |b| b.iter(|| by_count(black_box(&plan))));
    c.bench_function("reach/smallest_at", |b| {
        b.iter(|| smallest_at(black_box(&plan), some));
    });
    c.bench_function("reach/smallest_at_none", |b| {
        b.iter(|| smallest_at(black_box(&plan), none));
    });
    // No two of twelve sections alike, and of 36: the most that there is to search.
    for n in [12, 36] {
        let mut unlike = plan.clone();
        let section = |k: u32| Section { width: Length::from_m(2.0 + f64::from(k).sqrt()), n_nozzles: 0 };
        unlike.rig.sections = (1..=n).map(section).collect();
        (unlike.rig.nozzles, unlike.rig.supply) = (None, None);
        unlike.rig.meter = plan.rig.meter.map(|meter| FlowMeter { greatest: None, ..meter });
        let name = format!("reach/smallest_at_{n}_unlike");
        c.bench_function(&name, |b| b.iter(|| smallest_at(black_box(&unlike), Speed::from_km_per_h(2.0))));
    }
    c.bench_function("reach/along_200", |b| b.iter(|| along(black_box(&plan), speeds.iter().copied())));

    // The dearest question.
    let goal = Goal {
        speeds: Some((Speed::from_km_per_h(18.0), Speed::from_km_per_h(22.0))),
        breadth: Speed::from_km_per_h(1.0),
    };
    let steps = Steps {
        carrier: VolumePerArea::from_l_per_ha(1.0),
        pressure: Pressure::from_bar(0.1),
        product: Share::from_percent(1.0),
        speed: Speed::from_km_per_h(0.5),
    };
    c.bench_function("reach/make_it_work", |b| {
        b.iter(|| make_it_work(black_box(&plan), goal, steps, &[]));
    });
    // Any window that is broad enough, which no single step of most families gives: the most steps to leave out.
    let broad = Goal { speeds: None, breadth: Speed::from_km_per_h(12.0) };
    c.bench_function("reach/make_it_work_any_speeds", |b| {
        b.iter(|| make_it_work(black_box(&plan), broad, steps, &[]));
    });
    c.bench_function("reach/full_none_fits_and_make_it_work", |b| {
        b.iter(|| {
            black_box(make_it_work(black_box(&plan), goal, steps, &[]));
            full(black_box(&plan), none, &speeds, &radii)
        });
    });
}

criterion_group!(benches, reach);
criterion_main!(benches);
