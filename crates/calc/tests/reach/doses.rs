//! Doses over speed against the label maximum.

use calc::reach::doses::{Cause, Passes, Worst, doses};
use calc::reach::plan::{Plan, RateInForce};
use calc::reach::proven::Proof;
use calc::reach::window::Window;
use calc::rig::{Carrier, ProductRate, Rig};
use proptest::prelude::*;
use units::{Pressure, Quantity, Share, Speed, VolumePerArea, VolumePerCarrier};

use crate::rigs::{close, gpa, mph, oz_per_ac, oz_per_min, per_area, quillmere};

fn passes(rig: &Rig, pump_idx: usize, rate: RateInForce) -> Passes {
    let lines = doses(&Plan::new(rig.clone())).lines;
    let line = lines.iter().find(|line| line.pump_idx == pump_idx && line.rate == rate).unwrap();
    line.passes.unwrap()
}

#[test]
fn every_rate_has_a_line() {
    let doses = doses(&Plan::new(quillmere()));
    let rates: Vec<(usize, f64)> = doses
        .lines
        .iter()
        .map(|line| (line.pump_idx, line.law.held().unwrap().as_us_fl_oz_per_ac()))
        .collect();
    // 16 and 40 fl oz/ac, one press of 10 % each way; 8 without a nudge.
    let expected = [(0, 16.0), (0, 40.0), (0, 17.6), (0, 14.4), (0, 44.0), (0, 36.0), (1, 8.0)];
    assert_eq!(rates.len(), expected.len());
    for (got, expected) in rates.iter().zip(expected) {
        assert_eq!(got.0, expected.0);
        close(got.1, expected.1, 1e-9);
    }
    assert!(doses.refused.is_empty());
    assert_eq!(doses.label_kept_from(), None);
}

#[test]
fn a_hold_passes_the_label_where_the_dose_has_grown_that_far() {
    let mut rig = quillmere();
    rig.hold_speed = Some(mph(3.0));
    // 3 × 40 / 48 and 3 × 44 / 48, 3 × 8 / 12.
    let below = |pump_idx, rate, expected: f64| {
        let Passes::Below(v) = passes(&rig, pump_idx, rate) else { panic!() };
        close(v.as_mph(), expected, 1e-9);
    };
    below(0, RateInForce::SECOND, 2.5);
    below(0, RateInForce { presses: 1, ..RateInForce::SECOND }, 2.75);
    below(1, RateInForce::FIRST, 2.0);
    // The window begins at 3.57 mph, so nothing is refused, but the caution stands.
    let doses = doses(&Plan::new(rig));
    assert!(doses.refused.is_empty());
    close(doses.label_kept_from().unwrap().as_mph(), 2.75, 1e-9);
}

#[test]
fn a_hold_that_passes_the_label_in_the_window_is_refused() {
    let mut rig = quillmere();
    rig.hold_speed = Some(mph(6.0));
    let doses = doses(&Plan::new(rig));
    let low = doses.window.low().unwrap().as_mph();
    // Passed below 6 × rate / label: 5.0 on the second rate (5.5 and 4.5 nudged), 4.0 on the other pump; the first rate's
    // 2.0, 2.2 and 1.8 lie below the window.
    let named: Vec<(usize, RateInForce)> = doses.refused.iter().map(|r| (r.pump_idx, r.rate)).collect();
    let second = |presses| RateInForce { presses, ..RateInForce::SECOND };
    assert_eq!(named, [(0, second(0)), (0, second(1)), (0, second(-1)), (1, RateInForce::FIRST)]);
    let refusal = doses.refused[0];
    assert_eq!(refusal.cause, Cause::Hold);
    let Some(Worst { speed: Some(speed), dose, over }) = refusal.worst else { panic!() };
    close(speed.as_mph(), low, 1e-12);
    close(dose.as_us_fl_oz_per_ac(), 40.0 * 6.0 / low, 1e-9);
    close(over.as_fraction(), 40.0 * 6.0 / low / 48.0 - 1.0, 1e-12);
}

#[test]
fn a_rate_above_the_label_is_refused_at_every_speed() {
    let mut rig = quillmere();
    rig.pumps[0].label_greatest = Some(oz_per_ac(42.0));
    let nudged = RateInForce { presses: 1, ..RateInForce::SECOND };
    let refused = doses(&Plan::new(rig.clone())).refused;
    assert_eq!(refused.len(), 1);
    assert_eq!(
        (refused[0].rate, refused[0].cause, refused[0].passes),
        (nudged, Cause::RateItself, Passes::Always)
    );
    let Some(Worst { speed: None, dose, over }) = refused[0].worst else { panic!() };
    close(dose.as_us_fl_oz_per_ac(), 44.0, 1e-9);
    close(over.as_fraction(), 44.0 / 42.0 - 1.0, 1e-12);
    // Also where the plan has no window at all.
    rig.pumps[0].least = Some(oz_per_min(20.0));
    let doses = doses(&Plan::new(rig));
    assert!(matches!(doses.window, Window::Empty { .. }));
    assert_eq!(doses.refused[0].rate, nudged);
}

#[test]
fn the_maximum_in_other_units_is_kept() {
    // 1 L/ha is 1000 mL/ha.
    let mut rig = quillmere();
    rig.pumps.truncate(1);
    rig.pumps[0].first = Some(ProductRate::PerArea(VolumePerArea::from_ml_per_ha(1000.0)));
    rig.pumps[0].second = None;
    rig.pumps[0].nudge = None;
    rig.pumps[0].label_greatest = Some(VolumePerArea::from_l_per_ha(1.0));
    assert_eq!(passes(&rig, 0, RateInForce::FIRST), Passes::Never);
    // 3 gal/ac in fl oz: 384.
    rig.pumps[0].first = per_area(384.0);
    rig.pumps[0].label_greatest = Some(gpa(3.0));
    assert_eq!(passes(&rig, 0, RateInForce::FIRST), Passes::Never);
}

#[test]
fn without_a_low_end_a_hold_grows_without_end() {
    let mut rig = quillmere();
    rig.hold_speed = Some(mph(3.0));
    rig.nozzles = None;
    rig.meter = None;
    for pump in &mut rig.pumps {
        pump.least = None;
    }
    let refused = doses(&Plan::new(rig)).refused;
    assert_eq!(refused.len(), 7);
    assert!(refused.iter().all(|r| r.worst.is_none() && r.cause == Cause::Hold));
}

#[test]
fn product_per_carrier_in_manual_falls_with_speed() {
    let mut rig = quillmere();
    rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    rig.pumps.truncate(1);
    rig.pumps[0].first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(1.0)));
    (rig.pumps[0].second, rig.pumps[0].nudge) = (None, None);
    rig.pumps[0].label_greatest = Some(oz_per_ac(30.0));
    let doses = doses(&Plan::new(rig));
    // 33 ft over 20 in is 19.8 nozzles of 0.4 gal/min, 7.92; of that 1/101 is product, in fl oz/min 7.92 × 128 / 101. On
    // v·33/495 ac/min.
    let at = |v: f64| 7.92 * 128.0 / 101.0 / (v / 15.0);
    for v in [2.0, 6.0, 12.0] {
        close(doses.lines[0].law.at(mph(v)).unwrap().as_us_fl_oz_per_ac(), at(v), 1e-9);
    }
    let Some(Passes::Below(v)) = doses.lines[0].passes else { panic!() };
    close(at(v.as_mph()), 30.0, 1e-9);
    // Nothing but the top speed limits the speeds (the pump gives 10.04 fl oz/min, inside its range), so it is refused.
    assert_eq!(doses.refused[0].cause, Cause::CarrierInManual);
}

#[test]
fn the_carrier_floats_in_manual() {
    let mut rig = quillmere();
    rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    let carrier = doses(&Plan::new(rig)).carrier.unwrap();
    // 7.92 gal/min less 24 fl oz/ac × v/15, over v/15 ac/min.
    let at = |v: f64| 7.92 / (v / 15.0) - 24.0 / 128.0;
    for v in [3.0, 5.94, 11.0] {
        close(carrier.at(mph(v)).unwrap().as_us_gal_per_ac(), at(v), 1e-9);
    }
    assert_eq!(carrier.held(), None);
}

#[test]
fn doses_meet_at_the_hold_speed() {
    let mut rig = quillmere();
    rig.hold_speed = Some(mph(4.3));
    rig.pumps[1].first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(0.4)));
    for carrier in [Carrier::Regulated(gpa(20.0)), Carrier::Manual(Pressure::from_psi(30.0))] {
        rig.carrier = Some(carrier);
        let doses = doses(&Plan::new(rig.clone()));
        for law in doses.lines.iter().map(|line| line.law).chain(doses.carrier) {
            let hold_m_s = rig.hold_speed.unwrap().as_m_per_s();
            let d = |part: f64| law.at(Speed::from_m_per_s(hold_m_s * part)).unwrap().as_si();
            close(d(1.0 - 1e-9) / d(1.0), 1.0, 1e-8);
            close(d(1.0 + 1e-9) / d(1.0), 1.0, 1e-8);
            // Below it the output stands still, so half the speed is twice the dose.
            close(d(0.5) / d(1.0), 2.0, 1e-12);
            assert!(d(0.9) > d(1.0) && d(1.0) >= d(1.1));
        }
    }
}

/// Half-width of 95 % of the normal distribution in standard deviations, as in any table.
const K: f64 = 1.959_963_984_54;

// 44 fl oz/ac, the second rate nudged up, against a maximum of 45: kept by the best value. The pump number to 0.8 % and the
// course number to 0.6 % are 1 % in quadrature, so up to 44.86; to 1.2 % and 0.9 %, 1.5 %, up to 45.29.
#[test]
fn a_dose_that_may_pass_the_label_is_doubtful_and_not_refused() {
    let mut plan = Plan::new(quillmere());
    plan.rig.pumps[0].label_greatest = Some(oz_per_ac(45.0));
    let nudged_up = RateInForce { presses: 1, ..RateInForce::SECOND };
    let known = |percent: f64| Some(Proof::known(Share::from_percent(percent)));
    assert!(doses(&plan).doubtful.is_empty());
    plan.proven.pumps = vec![known(0.8)];
    plan.proven.course = known(0.6);
    let line = |plan: &Plan| doses(plan).lines.into_iter().find(|l| l.rate == nudged_up).unwrap();
    let ends = |plan: &Plan| {
        let (least, most) = line(plan).open;
        [least, most].map(|law| law.held().unwrap().as_us_fl_oz_per_ac())
    };
    let near = |got: [f64; 2], part: f64| {
        close(got[0], 44.0 * (1.0 - part), 1e-8);
        close(got[1], 44.0 * (1.0 + part), 1e-8);
    };
    near(ends(&plan), 0.01 * K);
    assert_eq!(line(&plan).may_pass, Some(Passes::Never));
    assert!(doses(&plan).doubtful.is_empty());
    plan.proven.pumps = vec![known(1.2)];
    plan.proven.course = known(0.9);
    near(ends(&plan), 0.015 * K);
    assert_eq!((line(&plan).passes, line(&plan).may_pass), (Some(Passes::Never), Some(Passes::Always)));
    let all = doses(&plan);
    assert!(all.refused.is_empty());
    assert_eq!(all.doubtful.len(), 1);
    let doubt = all.doubtful[0];
    assert_eq!((doubt.pump_idx, doubt.rate, doubt.cause), (0, nudged_up, Cause::RateItself));
    close(doubt.worst.unwrap().dose.as_us_fl_oz_per_ac(), 44.0 * (1.0 + 0.015 * K), 1e-8);
    // Below a hold of 5 mph the upper end passes in the window, from 5 × 44 × (1 + k·1.5 %) / 48 mph down; best value 4.583.
    plan.rig.pumps[0].label_greatest = Some(oz_per_ac(62.0));
    plan.rig.hold_speed = Some(mph(5.0));
    let all = doses(&plan);
    let Some(Passes::Below(at)) = line(&plan).may_pass else { panic!() };
    close(at.as_mph(), 5.0 * 44.0 * (1.0 + 0.015 * K) / 62.0, 1e-8);
    // The window begins at 3.573 mph, between the 3.548 of the best value and this 3.653.
    assert!(all.refused.is_empty());
    assert_eq!(
        all.doubtful.iter().map(|d| (d.rate, d.cause)).collect::<Vec<_>>(),
        [(nudged_up, Cause::Hold)]
    );
    // A dose that passes by its best value is refused, not doubtful.
    plan.rig.hold_speed = Some(mph(5.1));
    let all = doses(&plan);
    assert_eq!((all.refused.len(), all.doubtful.len()), (1, 0));
}

// In manual a product per carrier follows the nozzles and what the meter makes of their flow.
#[test]
fn a_dose_per_carrier_in_manual_rests_on_nozzles_and_meter_too() {
    let mut plan = Plan::new(quillmere());
    plan.rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    plan.rig.pumps[0].first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(1.0)));
    (plan.rig.pumps[0].second, plan.rig.pumps[0].nudge) = (None, None);
    let known = |percent: f64| Some(Proof::known(Share::from_percent(percent)));
    plan.proven.pumps = vec![known(0.2)];
    plan.proven.nozzle_flow = known(0.4);
    plan.proven.meter = known(0.4);
    plan.proven.course = known(0.8);
    // √(0.2² + 0.4² + 0.4² + 0.8²) = 1 %.
    let upper = |plan: &Plan| {
        let line = doses(plan).lines[0];
        let at = |law: calc::reach::doses::DoseLaw| law.at(mph(5.0)).unwrap().as_us_fl_oz_per_ac();
        at(line.open.1) / at(line.law)
    };
    close(upper(&plan), 1.0 + 0.01 * K, 1e-9);
    // With the rate held neither counts: √(0.2² + 0.8²).
    plan.rig.carrier = Some(Carrier::Regulated(gpa(20.0)));
    close(upper(&plan), 1.0 + 0.002_f64.hypot(0.008) * K, 1e-9);
}

#[test]
fn more_presses_when_the_plan_asks_for_them() {
    let mut plan = Plan::new(quillmere());
    plan.nudge_presses = 3;
    let doses = doses(&plan);
    // Two rates with seven steps each, and one without a nudge. Three presses of 10 % from the rate as set: 40 × 1.3.
    assert_eq!(doses.lines.len(), 15);
    let most = doses.lines.iter().map(|l| l.law.held().unwrap().as_us_fl_oz_per_ac()).fold(0.0, f64::max);
    close(most, 52.0, 1e-9);
    assert_eq!(doses.refused.len(), 1);
    close(
        doses.refused[0].worst.unwrap().over.as_fraction(),
        Share::from_fraction(4.0 / 48.0).as_fraction(),
        1e-9,
    );
}

proptest! {
    // The speed that divides the axis does: below it the dose lies above the maximum, above it does not.
    #[test]
    fn passes_where_the_dose_says_so(
        manual in any::<bool>(),
        percent in 0.1..5.0_f64,
        other in 0.0..200.0_f64,
        label in 5.0..300.0_f64,
        hold in prop::option::of(1.0..12.0_f64),
        v in 0.5..20.0_f64,
    ) {
        let mut rig = quillmere();
        if manual {
            rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
        }
        rig.hold_speed = hold.map(mph);
        rig.pumps[0].first = per_area(other + 1.0);
        rig.pumps[1].first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(percent)));
        rig.pumps[1].label_greatest = Some(oz_per_ac(label));
        let doses = doses(&Plan::new(rig));
        let line = doses.lines.iter().find(|line| line.pump_idx == 1).unwrap();
        let dose = |v: f64| line.law.at(mph(v)).unwrap().as_us_fl_oz_per_ac();
        match line.passes.unwrap() {
            Passes::Always => prop_assert!(dose(v) > label && dose(30.0) > label),
            Passes::Never => prop_assert!(dose(v) <= label * (1.0 + 1e-9) && dose(0.01) <= label * (1.0 + 1e-9)),
            Passes::Below(at) => {
                prop_assert_eq!(dose(v) > label, v < at.as_mph());
                close(dose(at.as_mph()) / label, 1.0, 1e-9);
            }
        }
        // Never more at a higher speed.
        prop_assert!(dose(v * 1.1) <= dose(v) * (1.0 + 1e-12));
    }
}
