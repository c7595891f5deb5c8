//! Booms and passes for tests and benchmarks, made from a few numbers. Invented, but of common sizes.

#![allow(dead_code, reason = "each test file uses its own part of this")]
#![allow(unreachable_pub, reason = "a module that several test files include")]
#![allow(clippy::unwrap_used, reason = "for tests only")]

use calc::pass::drive::{Drive, Manoeuvre};
use calc::pass::setup::{AtSwitch, Controller, FieldMarks, Fineness, Pass};
use calc::plumbing::Plumbing;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::Solver;
use calc::plumbing::quick::{FeedPoint, HoseLengths, QuickAnswers, SMOOTH_WALL, quick_network};
use calc::rig::{NozzleSet, Rig, Section};
use units::{Duration, FlowRate, Length, Pressure, Share, Speed, Viscosity, VolumePerArea};

/// Nozzles half a metre apart, up to twelve a section, fed at the centre.
pub fn rig(n_nozzles: u32) -> Rig {
    let per_section = n_nozzles.min(12);
    let section = Section { width: Length::from_m(0.5 * f64::from(per_section)), n_nozzles: per_section };
    let nozzles = NozzleSet {
        rated_flow: FlowRate::from_l_per_min(0.8),
        rated_pressure: Pressure::from_bar(3.0),
        least_pressure: None,
        greatest_pressure: None,
        spacing: None,
    };
    let sections = vec![section; (n_nozzles / per_section) as usize];
    Rig { sections, nozzles: Some(nozzles), ..Rig::blank() }
}

pub fn answers(n_nozzles: u32) -> QuickAnswers {
    QuickAnswers {
        supply_length: Length::from_m(2.0),
        main_length: Length::from_m(5.0),
        // As wide as keeps the velocity the same, whatever the boom.
        main_bore: Length::from_mm(38.0 * (f64::from(n_nozzles) / 120.0).sqrt()),
        hose_lengths: HoseLengths::ReachPlus(Length::from_m(1.0)),
        hose_bore: Length::from_mm(19.0),
        valve_k: 4.0,
        feed: FeedPoint::Centre,
        section_bore: Length::from_mm(19.0),
        boom_height: Length::from_m(0.0),
        roughness: SMOOTH_WALL,
        viscosity: Viscosity::from_mpa_s(1.002),
    }
}

pub fn solver(n_nozzles: u32) -> Solver {
    let network = quick_network(&rig(n_nozzles), &answers(n_nozzles)).unwrap();
    Solver::new(Plumbing::check(&network).unwrap(), FrictionLaw::SwameeJain)
}

pub fn pass(drive: Drive) -> Pass {
    Pass {
        widths: vec![],
        carrier_rate: VolumePerArea::from_l_per_ha(100.0),
        product_rate: VolumePerArea::from_l_per_ha(1.0),
        second_rate: Some(VolumePerArea::from_l_per_ha(1.5)),
        label_greatest: None,
        nudge: Share::from_percent(10.0),
        hold_speed: None,
        carrier: Controller { dead_time: Duration::from_s(0.3), time_constant: Duration::from_s(0.8) },
        pump: Controller { dead_time: Duration::from_s(0.2), time_constant: Duration::from_s(0.5) },
        pump_least: None,
        pump_greatest: None,
        at_switch: AtSwitch::KeepsPressure,
        lines_hold: Share::from_fraction(0.0),
        drive,
        field: FieldMarks::whole(),
        cell: Length::from_m(1.0),
        fineness: Fineness::usual(),
    }
}

/// Every nozzle covers half a metre.
pub fn with_widths(pass: Pass, solver: &Solver) -> Pass {
    Pass { widths: vec![Length::from_m(0.5); solver.plumbing().network().nozzles.len()], ..pass }
}

/// Five minutes with a number of events: speeds changed, sections shut and opened, second rate on and off.
pub fn five_minutes(n_events: u32) -> Pass {
    let speed = |m_s| Speed::from_m_per_s(m_s);
    let mut manoeuvres = vec![Manoeuvre::ChangeSpeed { to: speed(3.0), takes: Duration::from_s(4.0) }];
    // Two events each, one to and one fro; the rest of the time is steady driving in between.
    let n_pairs = n_events.saturating_sub(2) / 2;
    let steady = Manoeuvre::Steady { distance: Length::from_m(3.0 * 290.0 / f64::from(n_pairs) / 2.0) };
    for pair in 0..n_pairs {
        let distance = Length::from_m(3.0 * 290.0 / f64::from(n_pairs) / 2.0);
        manoeuvres.push(steady.clone());
        manoeuvres.push(match pair % 4 {
            0 => Manoeuvre::SectionsShut { sections: vec![0], distance },
            1 => Manoeuvre::SecondRate { distance },
            2 => Manoeuvre::Nudged { steps: 1, distance },
            _ => {
                let takes = Duration::from_s(distance.as_m() / 3.0 / 4.0);
                Manoeuvre::Corner {
                    slow_to: speed(1.5),
                    takes,
                    distance: Length::from_m(distance.as_m() / 4.0),
                }
            }
        });
    }
    manoeuvres.push(Manoeuvre::EndOfPass { takes: Duration::from_s(4.0) });
    pass(Drive::of(speed(0.0), &manoeuvres).unwrap())
}
