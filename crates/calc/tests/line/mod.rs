//! A line with one nozzle, and a pass over ten metres of width: small enough to work out by hand.

#![allow(dead_code, reason = "each test file uses its own part of this")]
#![allow(unreachable_pub, reason = "a module that several test files include")]
#![allow(clippy::unwrap_used, reason = "for tests only")]

use calc::pass::drive::{Drive, Manoeuvre};
use calc::pass::setup::{Controller, Pass};
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::Solver;
use calc::plumbing::network::Network;
use calc::plumbing::{Plumbing, pipe_content};
use units::{Duration, Length, Speed, VolumePerArea};

use crate::boom;
use crate::made::{network, node, nozzle, pipe};

pub const fn m_s(v: f64) -> Speed {
    Speed::from_m_per_s(v)
}

pub const fn s(t: f64) -> Duration {
    Duration::from_s(t)
}

pub const fn m(x: f64) -> Length {
    Length::from_m(x)
}

pub const AT_ONCE: Controller = Controller { dead_time: s(0.0), time_constant: s(0.0) };

/// One nozzle of 10 m behind `litres` of line; injection at the supply.
pub fn line(litres: f64) -> Solver {
    let length_m = 0.001 * litres / pipe_content(m(1.0), Length::from_mm(50.0)).as_m3();
    let mut network = network(
        vec![node("s", 0.0), node("n", 0.0)],
        vec![pipe("1", "s", "n", length_m, 50.0)],
        vec![nozzle("n", 1e-6)],
    );
    network.injection = Some("s".into());
    ready(&network)
}

pub fn ready(network: &Network) -> Solver {
    Solver::new(Plumbing::check(network).unwrap(), FrictionLaw::SwameeJain)
}

/// 99 + 1 L/ha on 10 m with everything at once: 0.1 L/s in all for each m/s.
pub fn plain(drive: Drive) -> Pass {
    Pass {
        widths: vec![m(10.0)],
        carrier_rate: VolumePerArea::from_l_per_ha(99.0),
        carrier: AT_ONCE,
        pump: AT_ONCE,
        ..boom::pass(drive)
    }
}

pub fn drive(from: f64, manoeuvres: &[Manoeuvre]) -> Drive {
    Drive::of(m_s(from), manoeuvres).unwrap()
}
