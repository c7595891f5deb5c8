//! What must hold of every window: ends where exactly one limit is just met, shrinking under tighter limits, the same in
//! metric and US units. The limits are computed here once more, from flows and pressures instead of speeds.

use calc::nozzle::pressure_for_flow;
use calc::rate::{flow_for_rate, nudged_rate, product_rate_per_area};
use calc::reach::plan::{Limit, Plan, RateInForce, WhichRate};
use calc::reach::proven::Proof;
use calc::reach::window::{Span, Window, window};
use calc::rig::{Carrier, FlowMeter, InjectionPump, NozzleSet, ProductRate, Rig, Section, SupplyPump};
use proptest::prelude::*;
use units::{
    FlowRate, FlowRateUnit, Length, LengthUnit, Pressure, PressureUnit, PulsesPerVolume, Quantity, Share,
    Speed, SpeedUnit, VolumePerArea, VolumePerAreaUnit, VolumePerCarrier,
};

use crate::rigs::close;

fn product_rates() -> impl Strategy<Value = ProductRate> {
    prop_oneof![
        (0.3..4.0_f64).prop_map(|r| ProductRate::PerArea(VolumePerArea::from_l_per_ha(r))),
        (0.2..3.0_f64).prop_map(|p| ProductRate::PerCarrier(VolumePerCarrier::from_percent(p))),
    ]
}

fn pumps() -> impl Strategy<Value = InjectionPump> {
    let range = (0.01..0.4_f64, 2.0..40.0_f64);
    let rates = (product_rates(), prop::option::of(product_rates()), prop::option::of(1.0..30.0_f64));
    (range, rates).prop_map(|((least, times), (first, second, nudge))| InjectionPump {
        least: Some(FlowRate::from_l_per_min(least)),
        greatest: Some(FlowRate::from_l_per_min(least * times)),
        first: Some(first),
        second,
        nudge: nudge.map(Share::from_percent),
        ..InjectionPump::blank()
    })
}

fn rigs() -> impl Strategy<Value = Rig> {
    let boom = prop::collection::vec((2.0..6.0_f64, 4..12_u32), 1..6);
    let nozzles = (0.3..3.0_f64, 0.8..2.5_f64, 1.5..5.0_f64, 0.8..1.4_f64);
    let carrier = (40.0..300.0_f64, 3.0..20.0_f64, 5.0..60.0_f64, 40.0..300.0_f64);
    let pumps = prop::collection::vec(pumps(), 0..4);
    (boom, nozzles, carrier, pumps, prop::option::of(8.0..40.0_f64)).prop_map(
        |(boom, (rated, least_bar, times, sg), (rate, meter, meter_times, supply), pumps, top)| Rig {
            sections: boom
                .into_iter()
                .map(|(w, n_nozzles)| Section { width: Length::from_m(w), n_nozzles })
                .collect(),
            nozzles: Some(NozzleSet {
                rated_flow: FlowRate::from_l_per_min(rated),
                rated_pressure: Pressure::from_bar(3.0),
                least_pressure: Some(Pressure::from_bar(least_bar)),
                greatest_pressure: Some(Pressure::from_bar(least_bar * times)),
                spacing: None,
            }),
            meter: Some(FlowMeter {
                number: PulsesPerVolume::from_per_m3(50_000.0),
                least: Some(FlowRate::from_l_per_min(meter)),
                greatest: Some(FlowRate::from_l_per_min(meter * meter_times)),
            }),
            supply: Some(SupplyPump {
                greatest: FlowRate::from_l_per_min(supply),
                agitation: Share::from_percent(10.0),
                reserve: Share::from_percent(15.0),
            }),
            pumps,
            carrier: Some(Carrier::Regulated(VolumePerArea::from_l_per_ha(rate))),
            specific_gravity: sg,
            top_speed: top.map(Speed::from_km_per_h),
            ..Rig::blank()
        },
    )
}

/// Every rate of a pump with one press of the nudge, per area.
fn rates_of(pump: &InjectionPump, carrier: VolumePerArea) -> Vec<(RateInForce, VolumePerArea)> {
    let mut rates = Vec::new();
    for (which, rate) in [(WhichRate::First, pump.first), (WhichRate::Second, pump.second)] {
        let Some(rate) = rate else { continue };
        for presses in [0, 1, -1] {
            let nudged = match (presses, pump.nudge) {
                (0, _) => rate,
                (_, None) => continue,
                (presses, Some(step)) => nudged_rate(rate, step, presses).unwrap(),
            };
            rates.push((RateInForce { which, presses }, product_rate_per_area(nudged, carrier).unwrap()));
        }
    }
    rates
}

/// Of every limit how far it is from being met at a speed, as a share: 0 just met, below 0 broken.
fn margins(rig: &Rig, speed: Speed) -> Vec<(Limit, f64)> {
    let Some(Carrier::Regulated(carrier)) = rig.carrier else { panic!() };
    let boom = rig.boom_width();
    let flow = |rate: VolumePerArea| flow_for_rate(rate, speed, boom).unwrap().as_l_per_min();
    let mut margins = Vec::new();
    let mut between = |limit: Limit, x: f64, least: f64, greatest: f64| {
        margins.push((limit, x / least - 1.0));
        margins.push((limit, 1.0 - x / greatest));
    };
    let (mut least_sum, mut greatest_sum) = (0.0, 0.0);
    for (pump_idx, pump) in rig.pumps.iter().enumerate() {
        let rates = rates_of(pump, carrier);
        least_sum += rates.iter().map(|(_, r)| r.as_l_per_ha()).fold(f64::INFINITY, f64::min);
        greatest_sum += rates.iter().map(|(_, r)| r.as_l_per_ha()).fold(0.0, f64::max);
        for (rate, per_area) in rates {
            let (least, greatest) = (pump.least.unwrap(), pump.greatest.unwrap());
            let limit = Limit::Pump { pump_idx, rate };
            between(limit, flow(per_area), least.as_l_per_min(), greatest.as_l_per_min());
        }
    }
    let meter = rig.meter.unwrap();
    let (least, greatest) = (meter.least.unwrap().as_l_per_min(), meter.greatest.unwrap().as_l_per_min());
    between(Limit::Meter, flow(carrier), least, greatest);
    let supply = rig.supply.unwrap().greatest.as_l_per_min() * 0.75;
    margins.push((Limit::Supply, 1.0 - flow(carrier) / supply));
    let set = rig.nozzles.unwrap();
    let bar = |products: f64| {
        let of_one = FlowRate::from_l_per_min(
            flow(carrier) * (1.0 + products / carrier.as_l_per_ha()) / f64::from(rig.n_nozzles()),
        );
        pressure_for_flow(set.rated_flow, set.rated_pressure, of_one, rig.specific_gravity).unwrap().as_bar()
    };
    margins.push((Limit::NozzlePressure, bar(least_sum) / set.least_pressure.unwrap().as_bar() - 1.0));
    margins.push((Limit::NozzlePressure, 1.0 - bar(greatest_sum) / set.greatest_pressure.unwrap().as_bar()));
    if let Some(top) = rig.top_speed {
        margins.push((Limit::TopSpeed, 1.0 - speed.as_m_per_s() / top.as_m_per_s()));
    }
    margins
}

fn speeds_of(window: &Window) -> (f64, f64) {
    (window.low().map_or(0.0, Speed::as_km_per_h), window.high().map_or(f64::INFINITY, Speed::as_km_per_h))
}

/// Through typed numbers of other units and back.
fn retyped<Q: Quantity>(quantity: Q, unit: Q::Unit) -> Q {
    Q::from_unit(quantity.in_unit(unit), unit)
}

fn in_us_units(rig: &Rig) -> Rig {
    let mut rig = rig.clone();
    let flow = |q: FlowRate| retyped(q, FlowRateUnit::UsGallonPerMinute);
    let small = |q: FlowRate| retyped(q, FlowRateUnit::UsFluidOuncePerMinute);
    for section in &mut rig.sections {
        section.width = retyped(section.width, LengthUnit::Inch);
    }
    if let Some(set) = &mut rig.nozzles {
        set.rated_flow = flow(set.rated_flow);
        set.rated_pressure = retyped(set.rated_pressure, PressureUnit::Psi);
        set.least_pressure = set.least_pressure.map(|p| retyped(p, PressureUnit::Psi));
        set.greatest_pressure = set.greatest_pressure.map(|p| retyped(p, PressureUnit::Psi));
    }
    if let Some(meter) = &mut rig.meter {
        (meter.least, meter.greatest) = (meter.least.map(flow), meter.greatest.map(flow));
    }
    if let Some(supply) = &mut rig.supply {
        supply.greatest = flow(supply.greatest);
    }
    for pump in &mut rig.pumps {
        (pump.least, pump.greatest) = (pump.least.map(small), pump.greatest.map(small));
        let rate = |rate: ProductRate| match rate {
            ProductRate::PerArea(r) => ProductRate::PerArea(retyped(r, VolumePerAreaUnit::UsPintPerAcre)),
            per_carrier => per_carrier,
        };
        (pump.first, pump.second) = (pump.first.map(rate), pump.second.map(rate));
    }
    if let Some(Carrier::Regulated(rate)) = rig.carrier {
        rig.carrier = Some(Carrier::Regulated(retyped(rate, VolumePerAreaUnit::UsGallonPerAcre)));
    }
    rig.top_speed = rig.top_speed.map(|v| retyped(v, SpeedUnit::MilePerHour));
    rig
}

/// One limit, tightened by a share, but never past the other end of its range: that would be a range the wrong way round,
/// which is left out and named. The place counts through all that a rig has.
fn tightened(rig: &Rig, place: usize, share: f64) -> Rig {
    fn up<Q: Quantity>(least: &mut Option<Q>, greatest: Option<Q>, share: f64) {
        let most = greatest.map_or(f64::INFINITY, Q::as_si);
        *least = least.map(|x| Q::from_si((x.as_si() * (1.0 + share)).min(most)));
    }
    fn down<Q: Quantity>(least: Option<Q>, greatest: &mut Option<Q>, share: f64) {
        let fewest = least.map_or(0.0, Q::as_si);
        *greatest = greatest.map(|x| Q::from_si((x.as_si() / (1.0 + share)).max(fewest)));
    }
    let mut rig = rig.clone();
    let n = 6 + 2 * rig.pumps.len();
    match (place % n, &mut rig) {
        (0, Rig { nozzles: Some(set), .. }) => up(&mut set.least_pressure, set.greatest_pressure, share),
        (1, Rig { nozzles: Some(set), .. }) => down(set.least_pressure, &mut set.greatest_pressure, share),
        (2, Rig { meter: Some(meter), .. }) => up(&mut meter.least, meter.greatest, share),
        (3, Rig { meter: Some(meter), .. }) => down(meter.least, &mut meter.greatest, share),
        (4, Rig { supply: Some(supply), .. }) => supply.reserve = Share::from_percent(15.0 + 20.0 * share),
        (5, rig) => {
            let slower = |v: Speed| Speed::from_si(v.as_si() / (1.0 + share));
            rig.top_speed = Some(rig.top_speed.map_or(Speed::from_km_per_h(20.0), slower));
        }
        (k, rig) => {
            let pump = &mut rig.pumps[(k - 6) / 2];
            if k % 2 == 0 {
                up(&mut pump.least, pump.greatest, share);
            } else {
                down(pump.least, &mut pump.greatest, share);
            }
        }
    }
    rig
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn at_each_end_exactly_one_limit_is_just_met(rig in rigs()) {
        let window = window(&Plan::new(rig.clone())).window;
        let Window::Open { low, high } = window else { return Ok(()) };
        for bound in [low, high].into_iter().flatten() {
            let margins = margins(&rig, bound.end.speed);
            let met: Vec<Limit> = margins.iter().filter(|(_, m)| m.abs() < 1e-9).map(|(limit, _)| *limit).collect();
            prop_assert_eq!(met, vec![bound.limit]);
            prop_assert!(margins.iter().all(|(_, m)| *m > -1e-9));
        }
    }

    #[test]
    fn inside_nothing_is_broken_and_outside_something_is(rig in rigs(), part in 0.001..0.999_f64, km_per_h in 0.5..60.0_f64) {
        let window = window(&Plan::new(rig.clone())).window;
        let broken = |v: f64| margins(&rig, Speed::from_km_per_h(v)).iter().any(|(_, m)| *m < -1e-9);
        if window.is_open() {
            let (lo, hi) = speeds_of(&window);
            prop_assert!(!broken(lo * (1.0 - part) + hi * part));
        }
        prop_assert_eq!(window.contains(Speed::from_km_per_h(km_per_h)), !broken(km_per_h));
    }

    #[test]
    fn an_empty_window_names_two_limits_that_exclude_one_another(rig in rigs()) {
        let window = window(&Plan::new(rig.clone())).window;
        let Window::Empty { needs, allows } = window else { return Ok(()) };
        prop_assert!(needs.end.speed > allows.end.speed);
        for bound in [needs, allows] {
            let own = margins(&rig, bound.end.speed);
            prop_assert!(own.iter().any(|(limit, m)| *limit == bound.limit && m.abs() < 1e-9));
        }
        // Half way between them both are broken.
        let half = Speed::from_si((needs.end.speed.as_si() + allows.end.speed.as_si()) / 2.0);
        let margins = margins(&rig, half);
        for limit in [needs.limit, allows.limit] {
            prop_assert!(margins.iter().any(|(l, m)| *l == limit && *m < 0.0));
        }
    }

    #[test]
    fn a_tighter_limit_never_widens_the_window(rig in rigs(), place in 0..64_usize, share in 0.01..0.6_f64) {
        let before = window(&Plan::new(rig.clone())).window;
        let after = window(&Plan::new(tightened(&rig, place, share))).window;
        if after.is_open() {
            prop_assert!(before.is_open());
            let ((a, b), (c, d)) = (speeds_of(&before), speeds_of(&after));
            prop_assert!(a <= c && d <= b, "{:?} {:?}", before, after);
        }
    }

    #[test]
    fn metric_and_us_units_give_the_same_window(rig in rigs()) {
        let (metric, us) = (window(&Plan::new(rig.clone())), window(&Plan::new(in_us_units(&rig))));
        prop_assert_eq!(metric.bars.len(), us.bars.len());
        for (a, b) in metric.bars.iter().zip(&us.bars) {
            prop_assert_eq!(a.limit, b.limit);
            let (Span::Between { low: l1, high: h1 }, Span::Between { low: l2, high: h2 }) = (a.span, b.span) else {
                prop_assert_eq!(a.span, b.span);
                continue;
            };
            for (x, y) in [(l1, l2), (h1, h2)] {
                prop_assert_eq!(x.is_some(), y.is_some());
                if let Some((x, y)) = x.zip(y) {
                    close(x.speed.as_m_per_s() / y.speed.as_m_per_s(), 1.0, 1e-12);
                }
            }
        }
    }

    #[test]
    fn uncertainty_only_takes_away(rig in rigs(), percent in 0.1..5.0_f64, dof in 2.0..30.0_f64) {
        let mut plan = Plan::new(rig);
        let best = window(&plan);
        prop_assert_eq!(speeds_of(&best.window), speeds_of(&best.surely));
        let proof = Proof { dof, ..Proof::known(Share::from_percent(percent)) };
        plan.proven.meter = Some(proof);
        plan.proven.pumps = vec![Some(proof); plan.rig.pumps.len()];
        let reach = window(&plan);
        prop_assert_eq!(speeds_of(&best.window), speeds_of(&reach.window));
        for bar in &reach.bars {
            let Span::Between { low, high } = bar.span else { continue };
            for end in [low, high].into_iter().flatten() {
                prop_assert!(end.least <= end.speed && end.speed <= end.greatest);
                prop_assert_eq!(end.least < end.speed, bar.limit != Limit::TopSpeed);
            }
        }
        if reach.surely.is_open() {
            let ((a, b), (c, d)) = (speeds_of(&reach.window), speeds_of(&reach.surely));
            prop_assert!(a <= c && d <= b);
        }
    }
}

/// With the carrier in manual: carrier is what the products leave of the nozzles' flow.
fn manual_margins(rig: &Rig, speed: Speed) -> Vec<(Limit, f64)> {
    let Some(Carrier::Manual(pressure)) = rig.carrier else { panic!() };
    let set = rig.nozzles.unwrap();
    let of_one =
        calc::nozzle::flow_at_pressure(set.rated_flow, set.rated_pressure, pressure, rig.specific_gravity);
    let whole = of_one.unwrap().as_l_per_min() * f64::from(rig.n_nozzles());
    // One pump at a rate per area is all that these rigs have, so each rate is one state of the rig.
    let pump = rig.pumps[0];
    let mut margins = Vec::new();
    for (rate, per_area) in rates_of(&pump, VolumePerArea::from_l_per_ha(1.0)) {
        let product = flow_for_rate(per_area, speed, rig.boom_width()).unwrap().as_l_per_min();
        let (least, greatest) = (pump.least.unwrap().as_l_per_min(), pump.greatest.unwrap().as_l_per_min());
        margins.push((Limit::Pump { pump_idx: 0, rate }, product / least - 1.0));
        margins.push((Limit::Pump { pump_idx: 0, rate }, 1.0 - product / greatest));
        let carrier = whole - product;
        let meter = rig.meter.unwrap();
        margins.push((Limit::Meter, carrier / meter.least.unwrap().as_l_per_min() - 1.0));
        margins.push((Limit::Meter, 1.0 - carrier / meter.greatest.unwrap().as_l_per_min()));
        margins.push((Limit::Supply, 1.0 - carrier / (rig.supply.unwrap().greatest.as_l_per_min() * 0.75)));
    }
    margins.push((Limit::NozzlePressure, pressure.as_bar() / set.least_pressure.unwrap().as_bar() - 1.0));
    margins.push((Limit::NozzlePressure, 1.0 - pressure.as_bar() / set.greatest_pressure.unwrap().as_bar()));
    if let Some(top) = rig.top_speed {
        margins.push((Limit::TopSpeed, 1.0 - speed.as_m_per_s() / top.as_m_per_s()));
    }
    margins
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn in_manual_inside_nothing_is_broken_and_outside_something_is(
        rig in rigs(), bar in 0.8..8.0_f64, litres in 1.0..40.0_f64, nudge in prop::option::of(1.0..30.0_f64), km_per_h in 0.5..60.0_f64,
    ) {
        let mut rig = rig;
        rig.carrier = Some(Carrier::Manual(Pressure::from_bar(bar)));
        rig.pumps = vec![InjectionPump {
            least: Some(FlowRate::from_l_per_min(0.5)),
            greatest: Some(FlowRate::from_l_per_min(60.0)),
            first: Some(ProductRate::PerArea(VolumePerArea::from_l_per_ha(litres))),
            nudge: nudge.map(Share::from_percent),
            ..InjectionPump::blank()
        }];
        let window = window(&Plan::new(rig.clone())).window;
        let broken = |v: Speed| manual_margins(&rig, v).iter().any(|(_, m)| *m < -1e-9);
        let v = Speed::from_km_per_h(km_per_h);
        prop_assert_eq!(window.contains(v), !broken(v));
        let Window::Open { low, high } = window else { return Ok(()) };
        for bound in [low, high].into_iter().flatten() {
            let margins = manual_margins(&rig, bound.end.speed);
            prop_assert!(margins.iter().any(|(limit, m)| *limit == bound.limit && m.abs() < 1e-9));
            prop_assert!(!broken(bound.end.speed));
        }
    }
}
