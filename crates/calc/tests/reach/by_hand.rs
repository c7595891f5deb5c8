//! Windows worked out on paper.

use calc::reach::plan::{Limit, Plan, RateInForce, SectionSet};
use calc::reach::proven::{Proof, Proven};
use calc::reach::window::{Span, Window, window, window_with};
use calc::rig::{Carrier, InjectionPump, ProductRate, Rig};
use units::{Pressure, Share, VolumePerCarrier};

use crate::rigs::{carrier_only, close, gpa, gpm, mph, oz_per_min, per_area, quillmere};

fn bar(rig: &Rig, limit: Limit) -> (Option<f64>, Option<f64>) {
    let reach = window(&Plan::new(rig.clone()));
    match reach.bars.iter().find(|bar| bar.limit == limit).map(|bar| bar.span) {
        Some(Span::Between { low, high }) => (low.map(|e| e.speed.as_mph()), high.map(|e| e.speed.as_mph())),
        other => panic!("{limit:?}: {other:?}"),
    }
}

fn check(rig: &Rig, limit: Limit, low: Option<f64>, high: Option<f64>) {
    let got = bar(rig, limit);
    for (got, expected) in [(got.0, low), (got.1, high)] {
        match (got, expected) {
            (Some(g), Some(e)) => close(g, e, 1e-9),
            (None, None) => {}
            _ => panic!("{limit:?}: got {got:?}, expected {expected:?}"),
        }
    }
}

const fn pump(pump_idx: usize, rate: RateInForce) -> Limit {
    Limit::Pump { pump_idx, rate }
}

// 33 ft at v mph and R gal/ac is R·v·33/495 = R·v/15 gal/min, so v = 15·q/R.
#[test]
fn meter_and_supply() {
    // 15 × 2 / 20 and 15 × 50 / 20.
    check(&quillmere(), Limit::Meter, Some(1.5), Some(37.5));
    // 40 gal/min less 20 % and 20 % leaves 24; 15 × 24 / 20.
    check(&quillmere(), Limit::Supply, None, Some(18.0));
    check(&quillmere(), Limit::TopSpeed, None, Some(15.0));
}

#[test]
fn every_rate_of_a_pump_has_its_own_bar() {
    let nudged = |which: RateInForce, presses| RateInForce { presses, ..which };
    let rig = quillmere();
    // 15 × 2 / 16 and 15 × 24 / 16.
    check(&rig, pump(0, RateInForce::FIRST), Some(1.875), Some(22.5));
    // 15 × 2 / 40 and 15 × 24 / 40.
    check(&rig, pump(0, RateInForce::SECOND), Some(0.75), Some(9.0));
    // 40 × 1.1 = 44: 30/44 and 360/44.
    check(&rig, pump(0, nudged(RateInForce::SECOND, 1)), Some(30.0 / 44.0), Some(360.0 / 44.0));
    // 16 × 0.9 = 14.4: 30/14.4 and 360/14.4.
    check(&rig, pump(0, nudged(RateInForce::FIRST, -1)), Some(30.0 / 14.4), Some(25.0));
    // No nudge on the second pump: 15 × 1 / 8 and 15 × 16 / 8.
    check(&rig, pump(1, RateInForce::FIRST), Some(1.875), Some(30.0));
    let reach = window(&Plan::new(rig));
    assert_eq!(reach.bars.iter().filter(|b| matches!(b.limit, Limit::Pump { .. })).count(), 7);
}

// Nozzles 20 in apart at 20 gal/ac: 5.94 mph at 40 psi with carrier alone (5940 × 0.4 / (20 × 20)).
#[test]
fn nozzles_without_product() {
    check(
        &carrier_only(),
        Limit::NozzlePressure,
        Some(5.94 * (15.0_f64 / 40.0).sqrt()),
        Some(5.94 * 1.5_f64.sqrt()),
    );
}

// Nozzles pass carrier and products: the least sum is 14.4 + 8 fl oz/ac, the greatest 44 + 8, of 128 fl oz in a gallon.
#[test]
fn nozzles_carry_the_products_too() {
    let with = |oz: f64| 5.94 * 20.0 / (20.0 + oz / 128.0);
    check(
        &quillmere(),
        Limit::NozzlePressure,
        Some(with(22.4) * (15.0_f64 / 40.0).sqrt()),
        Some(with(52.0) * 1.5_f64.sqrt()),
    );
}

#[test]
fn the_window_names_what_binds() {
    let Window::Open { low: Some(low), high: Some(high) } = window(&Plan::new(quillmere())).window else {
        panic!()
    };
    assert_eq!(low.limit, Limit::NozzlePressure);
    assert_eq!(high.limit, Limit::NozzlePressure);
    // 5.94 × 20 / 20.40625 × √1.5 = 7.130, below the pump's 360/44 = 8.18.
    close(high.end.speed.as_mph(), 7.130_2, 1e-4);

    // A weaker first pump runs out first: 15 × 20 / 44 on the second rate nudged up.
    let mut rig = quillmere();
    rig.pumps[0].greatest = Some(oz_per_min(20.0));
    let Window::Open { high: Some(high), .. } = window(&Plan::new(rig)).window else { panic!() };
    assert_eq!(high.limit, pump(0, RateInForce { presses: 1, ..RateInForce::SECOND }));
    close(high.end.speed.as_mph(), 300.0 / 44.0, 1e-9);
}

#[test]
fn an_empty_window_names_the_pair() {
    // The pump needs 15 × 9 / 16 = 8.4375 mph (9.375 nudged down), the nozzles give out at 7.13.
    let mut rig = quillmere();
    rig.pumps[0].least = Some(oz_per_min(9.0));
    let reach = window(&Plan::new(rig));
    let Window::Empty { needs, allows } = reach.window else { panic!("{:?}", reach.window) };
    assert_eq!(needs.limit, pump(0, RateInForce { presses: -1, ..RateInForce::FIRST }));
    close(needs.end.speed.as_mph(), 9.375, 1e-9);
    assert_eq!(allows.limit, Limit::NozzlePressure);
    // First rate 8.4375, nudged up 7.670, down 9.375; they run against the nozzles' 7.13 (all three), the nudged second
    // rate's 8.18 (two) and the second rate's 9.0 (one).
    assert_eq!(reach.conflicts().len(), 6);
    assert!(!reach.window.contains(mph(8.0)));
}

#[test]
fn fewer_sections_need_more_speed_for_the_pumps_alone() {
    let plan = Plan::new(quillmere());
    let one = window_with(&plan, SectionSet::none().with(1));
    // A third of the width: three times the speed for the same flow, 3 × 30/14.4.
    let Window::Open { low: Some(low), .. } = one.window else { panic!() };
    close(low.end.speed.as_mph(), 6.25, 1e-9);
    assert_eq!(low.limit, pump(0, RateInForce { presses: -1, ..RateInForce::FIRST }));
    // The flow of one nozzle stays.
    let nozzle = |reach: &calc::reach::window::Reach| {
        reach.bars.iter().find(|b| b.limit == Limit::NozzlePressure).map(|b| b.span)
    };
    let Some((Span::Between { low: Some(a), .. }, Span::Between { low: Some(b), .. })) =
        nozzle(&one).zip(nozzle(&window(&plan)))
    else {
        panic!()
    };
    close(a.speed.as_mph(), b.speed.as_mph(), 1e-12);
}

#[test]
fn a_product_per_carrier_moves_with_the_carrier_rate() {
    let mut rig = quillmere();
    // 1 % of 20 gal/ac is 25.6 fl oz/ac: 15 × 24 / 25.6.
    rig.pumps[0] = InjectionPump {
        first: Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(1.0))),
        second: None,
        nudge: None,
        ..rig.pumps[0]
    };
    check(&rig, pump(0, RateInForce::FIRST), Some(30.0 / 25.6), Some(360.0 / 25.6));
    // At 10 gal/ac half the product, twice the speed.
    rig.carrier = Some(Carrier::Regulated(gpa(10.0)));
    check(&rig, pump(0, RateInForce::FIRST), Some(60.0 / 25.6), Some(720.0 / 25.6));
}

// 19.8 nozzles (33 ft over 20 in) of 0.4 gal/min at 40 psi are 7.92 gal/min whatever the speed.
#[test]
fn carrier_in_manual_alone_has_no_speed_limits_of_its_own() {
    let mut rig = carrier_only();
    rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    rig.supply = quillmere().supply;
    check(&rig, Limit::NozzlePressure, None, None);
    check(&rig, Limit::Supply, None, None);
    rig.carrier = Some(Carrier::Manual(Pressure::from_psi(70.0)));
    assert_eq!(window(&Plan::new(rig.clone())).window, Window::Nowhere { limit: Limit::NozzlePressure });
    // 7.92 gal/min is more than 60 % of 13.
    rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    if let Some(supply) = &mut rig.supply {
        supply.greatest = gpm(13.0);
    }
    assert_eq!(window(&Plan::new(rig)).window, Window::Nowhere { limit: Limit::Supply });
}

#[test]
fn carrier_in_manual_falls_as_product_takes_its_place() {
    let mut rig = quillmere();
    rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    rig.pumps.truncate(1);
    rig.pumps[0] = InjectionPump { first: per_area(128.0), second: None, nudge: None, ..rig.pumps[0] };
    if let Some(meter) = &mut rig.meter {
        meter.least = Some(gpm(7.5));
    }
    // 1 gal/ac of product is v/15 gal/min, so carrier is 7.92 − v/15; 7.5 is reached at 15 × 0.42.
    check(&rig, Limit::Meter, None, Some(6.3));
    check(&rig, pump(0, RateInForce::FIRST), Some(30.0 / 128.0), Some(360.0 / 128.0));
    // 25 % of carrier instead: the pump follows 7.92 / 1.25 = 6.336 gal/min of it, 202.752 fl oz/min at any speed.
    rig.pumps[0].first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(25.0)));
    let nowhere = |greatest: f64| {
        let mut rig = rig.clone();
        rig.pumps[0].greatest = Some(oz_per_min(greatest));
        if let Some(meter) = &mut rig.meter {
            meter.least = None;
        }
        window(&Plan::new(rig)).window
    };
    assert_eq!(nowhere(202.7), Window::Nowhere { limit: pump(0, RateInForce::FIRST) });
    assert!(nowhere(202.8).is_open());
}

/// Half-width of 95 % of the normal distribution in standard deviations, as in any table.
const K: f64 = 1.959_963_984_54;

fn known(percent: f64) -> Option<Proof> {
    Some(Proof::known(Share::from_percent(percent)))
}

#[test]
fn proven_numbers_make_intervals() {
    let mut plan = Plan::new(quillmere());
    plan.rig.pumps[0].greatest = Some(oz_per_min(20.0));
    plan.proven =
        Proven { meter: known(0.6), nozzle_flow: known(0.8), pumps: vec![known(1.5)], ..Proven::default() };
    let reach = window(&plan);
    let Window::Open { low: Some(low), high: Some(high) } = reach.window else { panic!() };
    // The pump's 300/44 mph ± 1.96 × 1.5 %.
    close(high.end.least.as_mph(), 300.0 / 44.0 * (1.0 - 0.015 * K), 1e-9);
    close(high.end.greatest.as_mph(), 300.0 / 44.0 * (1.0 + 0.015 * K), 1e-9);
    // 0.6 % and 0.8 % in quadrature are 1 %, so ± 1.96 %.
    close(low.end.greatest.as_mph() / low.end.speed.as_mph(), 1.0 + 0.01 * K, 1e-9);
    // Sure only inside the intervals. The nozzles' 7.130 less 2 % stays above the pump's 6.618.
    close(reach.surely.low().map_or(0.0, units::Speed::as_mph), low.end.greatest.as_mph(), 1e-12);
    close(reach.surely.high().map_or(0.0, units::Speed::as_mph), high.end.least.as_mph(), 1e-12);
}

/// The single high end of one limit: least, best, greatest, in mph.
fn high_end(plan: &Plan, limit: Limit) -> [f64; 3] {
    let reach = window(plan);
    let bar = reach.bars.iter().find(|bar| bar.limit == limit).map(|bar| bar.span);
    let Some(Span::Between { high: Some(end), .. }) = bar else { panic!("{bar:?}") };
    [end.least.as_mph(), end.speed.as_mph(), end.greatest.as_mph()]
}

fn check_end(got: [f64; 3], expected: [f64; 3]) {
    for (got, expected) in got.iter().zip(expected) {
        close(*got, expected, 1e-8);
    }
}

// Few runs count for what they are: t = 4.302653 with two degrees of freedom (any table of Student's distribution), not 2.
#[test]
fn few_runs_leave_more_open() {
    let mut plan = Plan::new(quillmere());
    plan.proven.pumps = vec![known(0.5)];
    if let Some(proof) = &mut plan.proven.pumps[0] {
        proof.dof = 2.0;
    }
    // 24 fl oz/min at 16 fl oz/ac on 33 ft: 495 × 24 / (16 × 33) = 22.5 mph.
    let part = 0.005 * 4.302_652_729_9;
    let pump = pump(0, RateInForce::FIRST);
    check_end(high_end(&plan, pump), [22.5 * (1.0 - part), 22.5, 22.5 * (1.0 + part)]);
    // 50 gal/min through the meter at 20 gal/ac: 37.5 mph. Meter alone with 2 degrees of freedom.
    plan.proven.meter = plan.proven.pumps[0];
    check_end(high_end(&plan, Limit::Meter), [37.5 * (1.0 - part), 37.5, 37.5 * (1.0 + part)]);
    // The supply pump, 24 gal/min left of 40 (18 mph), to 0.5 % with 2 degrees too: √2 × 0.5 %, and
    // ν = (0.5² + 0.5²)² / (0.5⁴/2 + 0.5⁴/2) = 4, t = 2.776445.
    plan.proven.supply = plan.proven.meter;
    let part = 0.005 * 2.0_f64.sqrt() * 2.776_445_105_2;
    check_end(high_end(&plan, Limit::Supply), [18.0 * (1.0 - part), 18.0, 18.0 * (1.0 + part)]);
}

// An error that was found and not keyed in moves the interval, and the end as it is keyed in stays inside.
#[test]
fn an_error_left_in_a_number_stays_open() {
    let mut plan = Plan::new(quillmere());
    let off = |percent: f64| Share::from_percent(percent);
    // The true flow is 2 % above the one shown, known to 0.5 %: the meter's 50 gal/min come at 1/1.02 of the speed.
    plan.proven.meter = Some(Proof { off: off(2.0), ..Proof::known(off(0.5)) });
    let least = 37.5 / 1.02 * (1.0 - 0.005 * K);
    check_end(high_end(&plan, Limit::Meter), [least, 37.5, 37.5]);
    // Worn nozzles give 5 % more at a pressure, known to 1 %: 60 psi come at 1.05/1.02 of the speed.
    plan.proven.nozzle_flow = Some(Proof { off: off(5.0), ..Proof::known(off(1.0)) });
    let end = high_end(&plan, Limit::NozzlePressure);
    close(end[0], end[1], 1e-12);
    close(end[2] / end[1], 1.05 / 1.02 * (1.0 + 0.01_f64.hypot(0.005) * K), 1e-9);
    // A small one within its uncertainty opens both sides: 0.3 % less, ± 0.98 %.
    plan.proven.meter = Some(Proof { off: off(-0.3), ..Proof::known(off(0.5)) });
    let by = |sign: f64| 37.5 / 0.997 * (1.0 + sign * 0.005 * K);
    check_end(high_end(&plan, Limit::Meter), [by(-1.0), 37.5, by(1.0)]);
}

#[test]
fn the_course_number_moves_the_top_speed_alone() {
    let plain = Plan::new(quillmere());
    let mut plan = plain.clone();
    plan.proven.course = known(0.5);
    // 15 mph of truck are 15 mph ± 0.98 % on the display.
    check_end(high_end(&plan, Limit::TopSpeed), [15.0 * (1.0 - 0.005 * K), 15.0, 15.0 * (1.0 + 0.005 * K)]);
    for (a, b) in window(&plain).bars.iter().zip(&window(&plan).bars) {
        assert_eq!(a == b, a.limit != Limit::TopSpeed);
    }
}

#[test]
fn the_rate_is_held_from_the_hold_speed_on() {
    let held_from = |hold: f64| {
        let mut rig = quillmere();
        rig.hold_speed = Some(mph(hold));
        window(&Plan::new(rig)).rate_held_from().map(units::Speed::as_mph)
    };
    let low = window(&Plan::new(quillmere())).window.low().map(units::Speed::as_mph);
    assert_eq!(held_from(2.0), low);
    close(held_from(5.0).unwrap(), 5.0, 1e-12);
    // Above the window's 7.13 mph the rate is held nowhere in it.
    assert_eq!(held_from(8.0), None);
}

#[test]
fn proven_numbers_in_manual() {
    // As above, with 1 gal/ac of product: carrier is 7.92 − v/15 gal/min.
    let mut plan = Plan::new(quillmere());
    plan.rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    plan.rig.pumps.truncate(1);
    plan.rig.pumps[0] =
        InjectionPump { first: per_area(128.0), second: None, nudge: None, ..plan.rig.pumps[0] };
    if let (Some(meter), Some(supply)) = (&mut plan.rig.meter, &mut plan.rig.supply) {
        meter.least = Some(gpm(7.5));
        // 60 % of 13 is 7.8: from 1.8 mph on.
        supply.greatest = gpm(13.0);
    }
    let ends = |plan: &Plan, limit: Limit| {
        let reach = window(plan);
        let bar = reach.bars.iter().find(|bar| bar.limit == limit).map(|bar| bar.span);
        let Some(Span::Between { low, high }) = bar else { panic!("{bar:?}") };
        let end = low.or(high).unwrap();
        [end.least.as_mph(), end.speed.as_mph(), end.greatest.as_mph()]
    };
    let check = |got: [f64; 3], expected: [f64; 3]| {
        for (got, expected) in got.iter().zip(expected) {
            close(*got, expected, 1e-9);
        }
    };
    // The nozzles' flow is known to 0.1 %, so the 7.5 stands for 7.5 ± 0.0075·k: 15 × (7.92 − …).
    plan.proven.nozzle_flow = known(0.1);
    check(ends(&plan, Limit::Meter), [6.3 - 0.1125 * K, 6.3, 6.3 + 0.1125 * K]);
    check(ends(&plan, Limit::Supply), [1.8 - 0.117 * K, 1.8, 1.8 + 0.117 * K]);
    // The supply pump to 0.24 %, 0.26 % in quadrature: 7.8 × 0.26 % × 15.
    plan.proven.supply = known(0.24);
    check(ends(&plan, Limit::Supply), [1.8 - 0.3042 * K, 1.8, 1.8 + 0.3042 * K]);

    // A product per carrier follows the meter: pump, meter and nozzles in quadrature. 10 % of carrier with 1 gal/ac through
    // another pump: 0.1 × (7.92 − v/15) / 1.1 gal/min, 0.7 at 3.3 mph.
    let mut per_carrier = plan.rig.pumps[0];
    per_carrier.first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(10.0)));
    (per_carrier.least, per_carrier.greatest) = (None, Some(gpm(0.7)));
    plan.rig.pumps.push(per_carrier);
    plan.proven.meter = known(0.2);
    plan.proven.pumps = vec![None, known(0.2)];
    // √(0.2² + 0.2² + 0.1²) = 0.3 %: 0.7 × 0.3 % × 1.1 × 15 / 0.1.
    check(ends(&plan, pump(1, RateInForce::FIRST)), [3.3 - 0.3465 * K, 3.3, 3.3 + 0.3465 * K]);
}

#[test]
fn pressure_to_set_under_a_hold() {
    // The pumps go on at 6 mph while the truck does 4: 20 gal/ac × 4 and 24 fl oz/ac × 6, on 20 in.
    let mut plan = Plan::new(quillmere());
    plan.rig.hold_speed = Some(mph(6.0));
    let q: f64 = (20.0 * 4.0 + 24.0 / 128.0 * 6.0) * 20.0 / 5940.0;
    let setting = calc::reach::expected::pressure_to_set(&plan, gpa(20.0), mph(4.0));
    close(setting.pressure.unwrap().as_psi(), 40.0 * (q / 0.4).powi(2), 1e-9);
    // And gives that rate back once the carrier is left at it.
    plan.rig.carrier = setting.pressure.map(Carrier::Manual);
    let here = calc::reach::expected::along(&plan, [mph(4.0)])[0];
    close(here.carrier_rate.unwrap().as_us_gal_per_ac(), 20.0, 1e-9);
    // Both rates together: 24 fl oz/ac become 36 at 4 mph.
    close(here.total_rate.unwrap().as_us_gal_per_ac(), 20.0 + 36.0 / 128.0, 1e-9);
}
