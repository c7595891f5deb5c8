//! The cab card.

use calc::reach::cab_card::{Never, cab_card};
use calc::reach::plan::{Limit, Plan, RateInForce};
use calc::rig::Carrier;
use units::{Pressure, Speed};

use crate::rigs::{close, mph, oz_per_ac, quillmere};

#[test]
fn rows_stand_at_whole_steps_inside_the_window() {
    let card = cab_card(&Plan::new(quillmere()), mph(1.0));
    // 3.57 to 7.13 mph.
    let speeds: Vec<f64> = card.rows.iter().map(|row| row.speed.as_mph()).collect();
    assert_eq!(speeds.len(), 4);
    for (got, expected) in speeds.iter().zip([4.0, 5.0, 6.0, 7.0]) {
        close(*got, expected, 1e-12);
    }
    // By hand: 20 + 24/128 gal/ac at 6 mph on 20 in is 0.40783 gal/min, 40 × (0.40783/0.4)² psi.
    let q: f64 = (20.0 + 24.0 / 128.0) * 6.0 * 20.0 / 5940.0;
    close(card.rows[2].pressure.unwrap().as_psi(), 40.0 * (q / 0.4).powi(2), 1e-9);
    // 6/15 × 20 gal/min of carrier.
    close(card.rows[2].carrier_flow.unwrap().as_us_gal_per_min(), 8.0, 1e-9);
    assert!(card.rows.iter().all(|row| row.inside_window == Some(true)));
    assert!(card.at_slowest.unwrap().speed < card.rows[0].speed);
    assert!(card.at_fastest.unwrap().speed > card.rows[3].speed);

    let metric = cab_card(&Plan::new(quillmere()), Speed::from_km_per_h(2.0));
    // 5.75 to 11.47 km/h.
    let speeds: Vec<f64> = metric.rows.iter().map(|row| row.speed.as_km_per_h().round()).collect();
    assert_eq!(speeds, [6.0, 8.0, 10.0]);
}

#[test]
fn ends_that_are_whole_steps_have_rows() {
    let mut rig = quillmere();
    rig.nozzles = None;
    // The pump's least binds at 2 × 15 / 14.4; made so that it is 3 mph exactly: 14.4 × 3 / 15.
    rig.pumps[0].least = Some(crate::rigs::oz_per_min(14.4 * 3.0 / 15.0));
    rig.top_speed = Some(mph(8.0));
    let card = cab_card(&Plan::new(rig), mph(1.0));
    let speeds: Vec<f64> = card.rows.iter().map(|row| row.speed.as_mph().round()).collect();
    assert_eq!(speeds, [3.0, 4.0, 5.0, 6.0, 7.0, 8.0]);
}

#[test]
fn switches_say_what_they_do() {
    let card = cab_card(&Plan::new(quillmere()), mph(1.0));
    let share = |pump_idx, rate: RateInForce| {
        let effect = card.switches.iter().find(|s| s.pump_idx == pump_idx && s.rate == rate).unwrap();
        effect.against_first.unwrap().as_fraction()
    };
    close(share(0, RateInForce::FIRST), 0.0, 1e-12);
    // 40/16, 17.6/16 and 36/16.
    close(share(0, RateInForce::SECOND), 1.5, 1e-12);
    close(share(0, RateInForce { presses: 1, ..RateInForce::FIRST }), 0.1, 1e-12);
    close(share(0, RateInForce { presses: -1, ..RateInForce::SECOND }), 1.25, 1e-12);
    assert_eq!(card.switches.len(), 7);
}

#[test]
fn what_never_to_do() {
    let mut rig = quillmere();
    rig.hold_speed = Some(mph(3.0));
    rig.pumps[0].label_greatest = Some(oz_per_ac(42.0));
    let card = cab_card(&Plan::new(rig), mph(1.0));
    let nudged = RateInForce { presses: 1, ..RateInForce::SECOND };
    assert!(matches!(card.never[0], Never::SlowerThan { limit: Limit::NozzlePressure, .. }));
    assert!(matches!(card.never[1], Never::FasterThan { limit: Limit::NozzlePressure, .. }));
    assert_eq!(card.never[2], Never::Use { pump_idx: 0, rate: nudged });
    assert_eq!(card.refused.len(), 1);
    // Of the rates that may be used the second one passes 42 first, below 3 × 40 / 42; the other pump below 3 × 8 / 12.
    let below: Vec<(usize, RateInForce, f64)> = card
        .never
        .iter()
        .filter_map(|never| match never {
            Never::PastLabelBelow { pump_idx, rate, speed } => Some((*pump_idx, *rate, speed.as_mph())),
            _ => None,
        })
        .collect();
    assert_eq!(below.len(), 2);
    assert_eq!((below[0].0, below[0].1), (0, RateInForce::SECOND));
    close(below[0].2, 120.0 / 42.0, 1e-9);
    close(below[1].2, 2.0, 1e-9);
    assert!(card.never.contains(&Never::StandWithBoomOn { hold: Some(mph(3.0)) }));
    // 42/40 = 1.05, 16.5 ft inward: 1.05 × 16.5 / 0.05.
    let radius = card.never.iter().find_map(|never| match never {
        Never::TurnTighterThan { radius, rate, .. } => Some((radius.as_ft(), *rate)),
        _ => None,
    });
    let (radius, rate) = radius.unwrap();
    close(radius, 346.5, 1e-6);
    assert_eq!(rate, RateInForce::SECOND);
}

#[test]
fn a_carrier_in_manual_runs_on_at_a_stand() {
    let mut rig = quillmere();
    rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
    let card = cab_card(&Plan::new(rig), mph(1.0));
    assert!(card.never.contains(&Never::StandWithBoomOn { hold: None }));
    // The pressure stays, the rate floats.
    assert!(card.rows.iter().all(|row| row.pressure == Some(Pressure::from_psi(40.0))));
    assert!(card.rows.windows(2).all(|pair| pair[0].carrier_rate > pair[1].carrier_rate));
}
