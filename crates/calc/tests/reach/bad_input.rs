//! What is missing or makes no sense is named, and the rest is still there.

use calc::reach::cab_card::cab_card;
use calc::reach::doses::doses;
use calc::reach::expected::{along, pressure_to_set};
use calc::reach::make_it_work::{Goal, Outcome, Steps, make_it_work};
use calc::reach::nozzle_choice::{DropletClass, DropletTable, DropletTableError, Wanted, nozzle_choice};
use calc::reach::plan::{Limit, Plan, Problem, SectionSet, WhichRate};
use calc::reach::proven::Proof;
use calc::reach::sections::{Smallest, by_count, smallest_at};
use calc::reach::turns::{TurnError, curve_dose, least_radius_for_fraction, least_radius_for_greatest_ratio};
use calc::reach::window::{Window, window, window_with};
use calc::rig::{Carrier, InjectionPump, ProductRate, Rig};
use units::{FlowRate, Length, Pressure, Share, Speed, VolumePerArea, VolumePerCarrier};

use crate::rigs::{gpa, gpm, mph, oz_per_ac, oz_per_min, per_area, quillmere};

fn limits(rig: &Rig) -> Vec<Limit> {
    let mut limits: Vec<Limit> = window(&Plan::new(rig.clone())).bars.iter().map(|bar| bar.limit).collect();
    limits.dedup_by_key(|limit| match limit {
        Limit::Pump { pump_idx, .. } => 10 + *pump_idx,
        Limit::NozzlePressure => 0,
        Limit::Meter => 1,
        Limit::Supply => 2,
        Limit::TopSpeed => 3,
    });
    limits
}

/// The change brings this problem, alone, and takes away this many kinds of bars.
fn check(change: impl Fn(&mut Rig), expected: &[Problem], n_bars_lost: usize) {
    let whole = quillmere();
    assert_eq!(window(&Plan::new(whole.clone())).problems, []);
    let mut rig = whole.clone();
    change(&mut rig);
    assert_eq!(window(&Plan::new(rig.clone())).problems, expected);
    assert_eq!(limits(&whole).len() - limits(&rig).len(), n_bars_lost, "{expected:?}");
}

#[test]
fn nozzles() {
    check(|rig| rig.nozzles = None, &[Problem::NoNozzleSet], 1);
    let set = |rig: &mut Rig, change: fn(&mut calc::rig::NozzleSet)| {
        if let Some(set) = &mut rig.nozzles {
            change(set);
        }
    };
    let (low, high) = (Pressure::from_psi(60.0), Pressure::from_psi(15.0));
    check(
        |rig| set(rig, |s| (s.least_pressure, s.greatest_pressure) = (s.greatest_pressure, s.least_pressure)),
        &[Problem::NozzleWindowReversed { least: low, greatest: high }],
        1,
    );
    check(
        |rig| set(rig, |s| s.rated_flow = FlowRate::from_l_per_min(0.0)),
        &[Problem::NozzleRatedFlow { got: FlowRate::from_l_per_min(0.0) }],
        1,
    );
    check(
        |rig| set(rig, |s| s.rated_pressure = Pressure::from_bar(-1.0)),
        &[Problem::NozzleRatedPressure { got: Pressure::from_bar(-1.0) }],
        1,
    );
    // One end alone still draws a bar.
    check(|rig| set(rig, |s| s.least_pressure = None), &[Problem::NozzleLeastUnknown], 0);
    check(|rig| set(rig, |s| s.greatest_pressure = None), &[Problem::NozzleGreatestUnknown], 0);
    check(
        |rig| set(rig, |s| s.least_pressure = Some(Pressure::from_bar(-2.0))),
        &[Problem::NozzleWindowPressure { got: Pressure::from_bar(-2.0) }],
        0,
    );
    check(|rig| set(rig, |s| s.spacing = None), &[Problem::NozzlesNotCounted], 1);
    check(|rig| rig.specific_gravity = 0.0, &[Problem::SpecificGravity { got: 0.0 }], 1);
}

#[test]
fn meter_and_supply() {
    check(|rig| rig.meter = None, &[Problem::NoMeter], 1);
    check(
        |rig| {
            if let Some(meter) = &mut rig.meter {
                (meter.least, meter.greatest) = (Some(gpm(50.0)), Some(gpm(2.0)));
            }
        },
        &[Problem::MeterReversed { least: gpm(50.0), greatest: gpm(2.0) }],
        1,
    );
    check(
        |rig| {
            if let Some(meter) = &mut rig.meter {
                (meter.least, meter.greatest) = (Some(gpm(-1.0)), None);
            }
        },
        &[Problem::MeterFlow { got: gpm(-1.0) }, Problem::MeterGreatestUnknown],
        1,
    );
    check(|rig| rig.supply = None, &[Problem::NoSupply], 1);
    let supply = |agitation: f64, reserve: f64, flow: f64| {
        move |rig: &mut Rig| {
            if let Some(supply) = &mut rig.supply {
                (supply.agitation, supply.reserve) =
                    (Share::from_percent(agitation), Share::from_percent(reserve));
                supply.greatest = gpm(flow);
            }
        }
    };
    let shares = |agitation, reserve| Problem::SupplyShares {
        agitation: Share::from_percent(agitation),
        reserve: Share::from_percent(reserve),
    };
    check(supply(60.0, 40.0, 40.0), &[shares(60.0, 40.0)], 1);
    check(supply(-5.0, 20.0, 40.0), &[shares(-5.0, 20.0)], 1);
    check(supply(20.0, 20.0, 0.0), &[Problem::SupplyFlow { got: gpm(0.0) }], 1);
}

#[test]
fn pumps() {
    let pump = |change: fn(&mut InjectionPump)| move |rig: &mut Rig| change(&mut rig.pumps[1]);
    check(
        pump(|p| (p.least, p.greatest) = (p.greatest, p.least)),
        &[Problem::PumpReversed { pump_idx: 1, least: oz_per_min(16.0), greatest: oz_per_min(1.0) }],
        1,
    );
    check(pump(|p| p.least = None), &[Problem::PumpLeastUnknown { pump_idx: 1 }], 0);
    check(pump(|p| p.greatest = None), &[Problem::PumpGreatestUnknown { pump_idx: 1 }], 0);
}

#[test]
fn pump_flow_that_is_no_number() {
    let mut rig = quillmere();
    rig.pumps[1].greatest = Some(oz_per_min(f64::NAN));
    let reach = window(&Plan::new(rig));
    assert!(matches!(reach.problems[..], [Problem::PumpFlow { pump_idx: 1, .. }]));
    assert!(reach.window.is_open());
}

#[test]
fn rates() {
    let pump = |change: fn(&mut InjectionPump)| move |rig: &mut Rig| change(&mut rig.pumps[0]);
    let zero = ProductRate::PerArea(oz_per_ac(0.0));
    check(
        pump(|p| p.second = per_area(0.0)),
        &[Problem::ProductRate { pump_idx: 0, which: WhichRate::Second, got: zero }],
        0,
    );
    check(pump(|p| p.first = None), &[Problem::NoFirstRate { pump_idx: 0 }], 0);
    check(
        pump(|p| p.nudge = Some(Share::from_percent(-10.0))),
        &[Problem::NudgeStep { pump_idx: 0, got: Share::from_percent(-10.0) }],
        0,
    );
    check(
        pump(|p| p.nudge = Some(Share::from_percent(100.0))),
        &[Problem::NudgedAway { pump_idx: 0, step: Share::from_percent(100.0), presses: -1 }],
        0,
    );
    check(pump(|p| p.label_greatest = None), &[Problem::LabelUnknown { pump_idx: 0 }], 0);
    check(
        pump(|p| p.label_greatest = Some(VolumePerArea::from_l_per_ha(-1.0))),
        &[Problem::Label { pump_idx: 0, got: VolumePerArea::from_l_per_ha(-1.0) }],
        0,
    );
    // A pump without product is no problem as long as another one has some.
    check(|rig| rig.pumps[0] = InjectionPump::blank(), &[], 1);
    check(|rig| rig.pumps.clear(), &[Problem::NoProduct], 2);
    check(|rig| rig.pumps = vec![InjectionPump::blank()], &[Problem::NoProduct], 2);
}

#[test]
fn carrier_and_speeds() {
    check(|rig| rig.carrier = None, &[Problem::NoCarrier], 3);
    check(
        |rig| rig.carrier = Some(Carrier::Regulated(gpa(0.0))),
        &[Problem::CarrierRate { got: gpa(0.0) }],
        3,
    );
    let p = Pressure::from_psi(0.0);
    check(|rig| rig.carrier = Some(Carrier::Manual(p)), &[Problem::ManualPressure { got: p }], 3);
    check(|rig| rig.top_speed = Some(mph(0.0)), &[Problem::TopSpeed { got: mph(0.0) }], 1);
    check(|rig| rig.hold_speed = Some(mph(-3.0)), &[Problem::HoldSpeed { got: mph(-3.0) }], 0);
    // Without carrier the pumps' bars stand, but no window is claimed.
    let rig = Rig { carrier: None, ..quillmere() };
    assert_eq!(window(&Plan::new(rig)).window, Window::Unknown);
    // A rate per carrier needs the carrier.
    let mut rig = Rig { carrier: None, ..quillmere() };
    rig.pumps[1].first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(1.0)));
    let problems = window(&Plan::new(rig)).problems;
    assert!(problems.contains(&Problem::PerCarrierWithoutCarrier { pump_idx: 1, which: WhichRate::First }));
}

#[test]
fn sections() {
    let reach = window(&Plan::new(Rig { sections: Vec::new(), ..quillmere() }));
    assert_eq!(reach.problems, [Problem::NoSections]);
    assert_eq!(reach.window, Window::Unknown);
    assert_eq!(reach.bars.len(), 1); // the top speed

    let plan = Plan::new(quillmere());
    let none = window_with(&plan, SectionSet::none());
    assert_eq!((none.problems, none.window), (vec![Problem::NoSectionOn], Window::Unknown));
    let far = window_with(&plan, SectionSet::all(3).with(7));
    assert_eq!(far.problems, [Problem::SectionNotThere { section_idx: 7 }]);
    assert_eq!(far.window, window(&plan).window);

    let mut rig = quillmere();
    rig.sections[2].width = Length::from_m(0.0);
    let reach = window(&Plan::new(rig.clone()));
    assert_eq!(reach.problems, [Problem::SectionWidth { section_idx: 2, got: Length::from_m(0.0) }]);
    assert!(reach.window.is_open());
    assert_eq!(by_count(&Plan::new(rig)).len(), 2);

    let section = quillmere().sections[0];
    let reach = window(&Plan::new(Rig { sections: vec![section; 130], ..quillmere() }));
    assert_eq!(reach.problems, [Problem::TooManySections { got: 130 }]);
}

#[test]
fn uncertainties() {
    let mut plan = Plan::new(quillmere());
    let known = Proof::known(Share::from_percent(0.5));
    let percent = |p: f64| Share::from_percent(p);
    // Nothing left at 95 %; the same with t = 12.7 of a single degree of freedom; no number; less than nothing flows.
    for proof in [
        Proof::known(percent(60.0)),
        Proof { standard: percent(8.0), dof: 1.0, ..known },
        Proof { standard: percent(f64::INFINITY), ..known },
        Proof { standard: percent(-1.0), ..known },
        Proof { dof: 0.0, ..known },
        Proof { dof: f64::NAN, ..known },
        Proof { off: percent(-100.0), ..known },
        Proof { off: percent(f64::NAN), ..known },
    ] {
        plan.proven.meter = Some(proof);
        let reach = window(&plan);
        assert_eq!(reach.problems, [Problem::Uncertainty { got: proof.standard }]);
        assert_eq!(reach.window, reach.surely);
    }
    plan.proven.meter = Some(known);
    assert_eq!(window(&plan).problems, []);
}

#[test]
fn a_blank_rig_answers_everything_with_problems() {
    let plan = Plan::new(Rig::blank());
    assert_eq!(
        window(&plan).problems,
        [
            Problem::NoSections,
            Problem::NoNozzleSet,
            Problem::NoCarrier,
            Problem::NoMeter,
            Problem::NoSupply,
            Problem::NoProduct
        ]
    );
    assert_eq!(window(&plan).bars, []);
    assert_eq!(by_count(&plan), []);
    assert_eq!(smallest_at(&plan, mph(5.0)), Smallest::Unknown);
    assert_eq!(along(&plan, [mph(5.0)])[0].pressure, None);
    assert_eq!(doses(&plan).lines, []);
    assert_eq!(cab_card(&plan, mph(1.0)).rows, []);
    assert_eq!(pressure_to_set(&plan, gpa(20.0), mph(5.0)).pressure, None);
    let Outcome::Unknown(problems) = make_it_work(&plan, goal(), steps(), &[]) else { panic!() };
    assert!(problems.contains(&Problem::NoSections));
}

fn goal() -> Goal {
    Goal { speeds: Some((mph(4.0), mph(8.0))), breadth: mph(1.0) }
}

fn steps() -> Steps {
    Steps {
        carrier: gpa(0.5),
        pressure: Pressure::from_psi(5.0),
        product: Share::from_percent(1.0),
        speed: mph(0.5),
    }
}

#[test]
fn speeds_asked_for() {
    let plan = Plan::new(quillmere());
    let wrong = |got| vec![Problem::WantedSpeed { got }];
    assert_eq!(pressure_to_set(&plan, gpa(20.0), mph(0.0)).problems, wrong(mph(0.0)));
    let wanted = |slowest, fastest| {
        let wanted = Wanted { rate: gpa(20.0), slowest: mph(slowest), fastest: mph(fastest) };
        nozzle_choice(&plan, wanted, (None, None), &[], 3)
    };
    assert_eq!(wanted(8.0, 4.0).problems, wrong(mph(4.0)));
    assert_eq!(wanted(0.0, 4.0).problems, wrong(mph(0.0)));
    assert!(wanted(8.0, 4.0).choices.is_empty());
    assert_eq!(cab_card(&plan, mph(0.0)).problems, wrong(mph(0.0)));
    let reversed = Goal { speeds: Some((mph(8.0), mph(4.0))), ..goal() };
    assert_eq!(make_it_work(&plan, reversed, steps(), &[]), Outcome::Unknown(wrong(mph(4.0))));
    let narrow = Goal { breadth: mph(-1.0), ..goal() };
    assert_eq!(make_it_work(&plan, narrow, steps(), &[]), Outcome::Unknown(wrong(mph(-1.0))));
    assert!(along(&plan, [mph(0.0), Speed::from_mph(f64::NAN)]).is_empty());
    assert_eq!(doses(&plan).lines[0].law.at(mph(0.0)), None);
}

#[test]
fn curves() {
    let ft = Length::from_ft;
    assert_eq!(curve_dose(ft(0.0), ft(1.0)), Err(TurnError::Radius { got: ft(0.0) }));
    assert!(matches!(curve_dose(ft(9.0), ft(f64::INFINITY)), Err(TurnError::Offset { .. })));
    assert_eq!(least_radius_for_greatest_ratio(ft(60.0), 1.0), Err(TurnError::GreatestRatio { got: 1.0 }));
    let whole = Share::from_percent(100.0);
    assert_eq!(least_radius_for_fraction(ft(60.0), whole), Err(TurnError::Fraction { got: whole }));
}

#[test]
fn droplet_tables() {
    let bar = Pressure::from_bar;
    assert_eq!(DropletTable::<DropletClass>::new(Vec::new()), Err(DropletTableError::Empty));
    let rows = vec![(bar(3.0), DropletClass::Medium), (bar(3.0), DropletClass::Fine)];
    assert_eq!(DropletTable::new(rows), Err(DropletTableError::Twice { pressure: bar(3.0) }));
    let rows = vec![(bar(0.0), DropletClass::Medium)];
    assert_eq!(DropletTable::new(rows), Err(DropletTableError::Pressure { got: bar(0.0) }));
}
