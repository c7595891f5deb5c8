//! Passes and drives that make no sense: each error names what is wrong.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "for tests only")]

mod boom;
mod line;
mod made;

use calc::pass::drive::{Drive, DriveError, Manoeuvre, Switch, Switched};
use calc::pass::setup::{Controller, FieldMarks, Fineness, Pass, PassError};
use calc::pass::simulation::Simulation;
use calc::plumbing::network::FlowCoefficient;
use line::{drive, line, m, m_s, plain, ready, s};
use units::{FlowRate, Share, VolumePerArea};

#[test]
fn requests_that_make_no_sense_are_named() {
    let solver = line(1.0);
    let sound = || plain(drive(2.0, &[Manoeuvre::Steady { distance: m(20.0) }]));
    let problem = |pass: Pass| Simulation::new(solver.clone(), pass).unwrap_err();
    assert_eq!(problem(Pass { widths: vec![], ..sound() }), PassError::WidthCount { got: 0, wanted: 1 });
    assert_eq!(
        problem(Pass { widths: vec![m(0.0)], ..sound() }),
        PassError::Width { nozzle: 0, got: m(0.0) }
    );
    let zero = VolumePerArea::from_l_per_ha(0.0);
    assert_eq!(problem(Pass { carrier_rate: zero, ..sound() }), PassError::Rate { got: zero });
    assert_eq!(problem(Pass { second_rate: Some(zero), ..sound() }), PassError::Rate { got: zero });
    let backwards = Controller { dead_time: s(-1.0), time_constant: s(1.0) };
    assert_eq!(problem(Pass { pump: backwards, ..sound() }), PassError::Number { got: -1.0 });
    let endless = Some(FlowRate::from_m3_per_s(f64::INFINITY));
    assert!(matches!(problem(Pass { pump_greatest: endless, ..sound() }), PassError::Number { .. }));
    let much = Share::from_fraction(1.5);
    assert_eq!(problem(Pass { lines_hold: much, ..sound() }), PassError::Number { got: 1.5 });
    for cell in [m(0.0), m(-1.0), m(f64::NAN), m(1e-9)] {
        assert!(matches!(problem(Pass { cell, ..sound() }), PassError::Cell { .. }));
    }
    let field = FieldMarks { from: m(9.0), to: Some(m(3.0)) };
    assert_eq!(problem(Pass { field, ..sound() }), PassError::Field { got: field });
    let none = Fineness { ramp: 0, settling: 8 };
    assert_eq!(problem(Pass { fineness: none, ..sound() }), PassError::Fineness { got: none });
    let shut = Switch { at: s(1.0), what: Switched::Shut(vec![3]) };
    let mut unknown = sound();
    unknown.drive.switches.push(shut);
    assert_eq!(problem(unknown), PassError::UnknownSection { switch: 0, section: 3 });
    let mut late = sound();
    late.drive.switches.push(Switch { at: s(99.0), what: Switched::Boom(false) });
    assert_eq!(problem(late), PassError::Drive(DriveError::SwitchOrder { switch: 0 }));
    let mut still = sound();
    still.drive.speed.truncate(1);
    assert_eq!(problem(still), PassError::Drive(DriveError::KnotOrder { knot: 1 }));
    let mut network = solver.plumbing().network().clone();
    network.injection = None;
    let without = Simulation::new(ready(&network), sound()).unwrap_err();
    assert_eq!(without, PassError::NoInjectionPoint);
    network.injection = Some("s".into());
    network.nozzles[0].size = FlowCoefficient::from_m3_s_pa05(0.0);
    let blocked = Simulation::new(ready(&network), sound()).unwrap().run().unwrap_err();
    assert!(matches!(blocked, PassError::Hydraulics { at, .. } if at == s(0.0)), "{blocked:?}");
}

#[test]
fn manoeuvres_that_make_no_sense_are_named() {
    let problem = |from, manoeuvres: &[Manoeuvre]| Drive::of(m_s(from), manoeuvres).unwrap_err();
    let on = Manoeuvre::Steady { distance: m(10.0) };
    assert_eq!(problem(0.0, std::slice::from_ref(&on)), DriveError::Standing { manoeuvre: 0 });
    let back = Manoeuvre::Steady { distance: m(-10.0) };
    assert_eq!(problem(1.0, &[on.clone(), back]), DriveError::Number { manoeuvre: 1, got: -10.0 });
    let jump = Manoeuvre::ChangeSpeed { to: m_s(2.0), takes: s(0.0) };
    assert_eq!(problem(1.0, &[jump]), DriveError::Number { manoeuvre: 0, got: 0.0 });
    let reverse = Manoeuvre::ChangeSpeed { to: m_s(-2.0), takes: s(1.0) };
    assert_eq!(problem(1.0, &[reverse]), DriveError::Number { manoeuvre: 0, got: -2.0 });
    assert_eq!(problem(1.0, &[]), DriveError::KnotOrder { knot: 1 });
    assert!(matches!(
        problem(f64::NAN, &[on]),
        DriveError::Standing { .. } | DriveError::KnotSpeed { .. } | DriveError::Number { .. }
    ));
}
