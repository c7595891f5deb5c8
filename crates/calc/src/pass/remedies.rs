//! What would help: each remedy simulated anew on the same pass, ranked by the area that it brings on target.
//!
//! One change at a time, so that each stands for itself. What a remedy costs beside (pressure, lines that become too small)
//! is told with it; whether it can be built is for people to judge.

use units::{Length, Pressure, Share, Speed, VolumePerArea};

use super::outcome::{AreaShares, DoseLimits, PassOutcome};
use super::setup::{Pass, PassError};
use super::simulation::{Progress, Simulation};
use crate::plumbing::Plumbing;
use crate::plumbing::boom::{LineLimits, LineWarning, small_lines};
use crate::plumbing::friction::FrictionLaw;
use crate::plumbing::hydraulics::{DryNozzles, Given, Operating, Solver};
use crate::plumbing::lag::{LagJob, lag_sheet};
use crate::plumbing::network::{Network, NetworkError};
use crate::rate::flow_for_rate;

/// One change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Remedy {
    /// Start this far before the mark.
    LeadIn {
        /// How far: the lag of the last nozzle at the greatest speed of the drive.
        distance: Length,
    },
    /// Narrower lines from the injection point on.
    SmallerBore {
        /// Bores times this.
        times: f64,
    },
    /// Inject further down, as near to the boom as one point can feed all of it.
    InjectionNearer {
        /// Place of the node.
        node: usize,
    },
    /// Slow down less.
    SteadierSpeed {
        /// By which share of the way to the greatest speed.
        share: Share,
    },
    /// More carrier through the same lines.
    HigherCarrierRate {
        /// The new rate.
        rate: VolumePerArea,
    },
}

/// How far each remedy goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RemedyOptions {
    /// For [`Remedy::SmallerBore`], above 0 and below 1.
    pub bore_times: f64,
    /// For [`Remedy::SteadierSpeed`], above 0, up to 1.
    pub steadier: Share,
    /// For [`Remedy::HigherCarrierRate`], above 1.
    pub carrier_times: f64,
    /// From where to where a dose counts as on target.
    pub limits: DoseLimits,
    /// From where on a line counts as too small.
    pub lines: LineLimits,
}

impl RemedyOptions {
    /// Bores three quarters as wide (about one size of hose), half as slow, a quarter more carrier. Common practice, no source.
    #[must_use]
    pub const fn usual() -> Self {
        Self {
            bore_times: 0.75,
            steadier: Share::from_percent(50.0),
            carrier_times: 1.25,
            limits: DoseLimits::usual(),
            lines: LineLimits::usual(),
        }
    }
}

/// What a remedy brings.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// The change.
    pub remedy: Remedy,
    /// What came out, or why nothing did.
    pub result: Result<Brought, PassError>,
}

/// What came out of a pass.
#[derive(Clone, Debug, PartialEq)]
pub struct Brought {
    /// Shares of the field's area under, on and over the product target.
    pub shares: AreaShares,
    /// Share of the area on target, less that of the pass as it is.
    pub gain: Share,
    /// The highest pressure at the supply on the way.
    pub greatest_supply_pressure: Option<Pressure>,
    /// The highest mean pressure at the nozzles on the way.
    pub greatest_nozzle_pressure: Option<Pressure>,
    /// Lines that are too small at the greatest flow with all sections open.
    pub small_lines: Vec<LineWarning>,
}

/// The pass as it is, and every remedy from the best down.
#[derive(Clone, Debug, PartialEq)]
pub struct RemedyList {
    /// As it is; its gain is zero.
    pub as_is: Brought,
    /// Remedies by what they bring, the best first; those that cannot be simulated last.
    pub tried: Vec<Tried>,
}

/// Remedies being simulated one after another.
#[derive(Debug)]
pub struct Remedies {
    options: RemedyOptions,
    /// What is still to be simulated, the next one last; the pass as it is has no remedy.
    waiting: Vec<(Option<Remedy>, Solver, Pass)>,
    running: Option<(Option<Remedy>, Box<Simulation>, Vec<LineWarning>)>,
    as_is: Option<Brought>,
    tried: Vec<Tried>,
    n_all: usize,
}

/// Each simulation counts for so many units of progress.
const UNITS: usize = 1000;

impl Remedies {
    /// Works out which remedies there are: a lead-in if product arrives, the injection point if it can move, a steadier speed
    /// if it changes.
    ///
    /// # Errors
    /// [`PassError`] of the pass as it is; [`NetworkError`] never, if `network` was checked before.
    pub fn new(
        network: &Network,
        law: FrictionLaw,
        pass: &Pass,
        options: RemedyOptions,
    ) -> Result<Self, RemedyError> {
        let solver = |network: &Network| Plumbing::check(network).map(|p| Solver::new(p, law));
        let base = solver(network).map_err(RemedyError::Network)?;
        // Finds out at once what is wrong with the pass itself.
        Simulation::new(base.clone(), pass.clone()).map_err(RemedyError::Pass)?;
        let mut waiting = Vec::new();
        let changed_rate =
            VolumePerArea::from_l_per_ha(pass.carrier_rate.as_l_per_ha() * options.carrier_times);
        let remedy = Remedy::HigherCarrierRate { rate: changed_rate };
        waiting.push((Some(remedy), base.clone(), with_carrier_rate(pass, changed_rate)));
        let steadier = pass.drive.steadier(options.steadier.as_fraction());
        if steadier != pass.drive {
            let remedy = Remedy::SteadierSpeed { share: options.steadier };
            waiting.push((Some(remedy), base.clone(), Pass { drive: steadier, ..pass.clone() }));
        }
        if let Some(node) = nearest_injection(base.plumbing()) {
            let mut changed = network.clone();
            changed.injection = Some(network.nodes[node].id.clone());
            let solver = solver(&changed).map_err(RemedyError::Network)?;
            waiting.push((Some(Remedy::InjectionNearer { node }), solver, pass.clone()));
        }
        let narrow = narrower(base.plumbing(), options.bore_times);
        // So narrow that the wall's roughness is out of range: no such remedy.
        if let Ok(solver) = solver(&narrow) {
            let remedy = Remedy::SmallerBore { times: options.bore_times };
            waiting.push((Some(remedy), solver, pass.clone()));
        }
        if let Some((distance, changed)) = with_lead_in(&base, pass) {
            waiting.push((Some(Remedy::LeadIn { distance }), base.clone(), changed));
        }
        waiting.push((None, base, pass.clone()));
        let n_all = waiting.len();
        Ok(Self { options, waiting, running: None, as_is: None, tried: Vec::new(), n_all })
    }

    /// Works on until about `budget` units are done; see [`Simulation::step`].
    ///
    /// # Errors
    /// [`PassError`] when the pass as it is cannot be simulated. A remedy that cannot be is told in the list instead.
    pub fn step(&mut self, budget: usize) -> Result<Progress, RemedyError> {
        let Some((remedy, mut simulation, warnings)) = self.running.take().or_else(|| self.start()) else {
            return Ok(self.progress(0));
        };
        match simulation.step(budget) {
            Ok(progress) if !progress.is_done() => {
                let part = UNITS * progress.done / progress.total;
                self.running = Some((remedy, simulation, warnings));
                return Ok(self.progress(part));
            }
            Ok(_) => {
                let brought = simulation.finish().map(|outcome| self.brought(&outcome, warnings));
                self.keep(remedy, brought)?;
            }
            Err(problem) => self.keep(remedy, Err(problem))?,
        }
        Ok(self.progress(0))
    }

    /// Does all that is left.
    ///
    /// # Errors
    /// As [`Self::step`].
    pub fn run(mut self) -> Result<RemedyList, RemedyError> {
        while !self.step(usize::MAX)?.is_done() {}
        self.finish()
    }

    /// The list, once all is done.
    ///
    /// # Errors
    /// [`PassError::NotDone`] before that.
    pub fn finish(self) -> Result<RemedyList, RemedyError> {
        let is_done = self.waiting.is_empty() && self.running.is_none();
        let (true, Some(as_is)) = (is_done, self.as_is) else {
            return Err(RemedyError::Pass(PassError::NotDone));
        };
        let gain = |tried: &Tried| tried.result.as_ref().map_or(f64::NEG_INFINITY, |b| b.gain.as_fraction());
        // A handful: put in place one by one, without a sort of their own.
        let mut tried: Vec<Tried> = Vec::with_capacity(self.tried.len());
        for next in self.tried {
            let place = tried.partition_point(|other| gain(&next) <= gain(other));
            tried.insert(place, next);
        }
        Ok(RemedyList { as_is, tried })
    }

    fn start(&mut self) -> Option<(Option<Remedy>, Box<Simulation>, Vec<LineWarning>)> {
        while let Some((remedy, solver, pass)) = self.waiting.pop() {
            let warnings = warnings(&solver, &pass, self.options.lines);
            match Simulation::new(solver, pass) {
                Ok(simulation) => return Some((remedy, Box::new(simulation), warnings)),
                Err(problem) => {
                    let result = Err(problem);
                    self.tried.extend(remedy.map(|remedy| Tried { remedy, result }));
                }
            }
        }
        None
    }

    fn keep(
        &mut self,
        remedy: Option<Remedy>,
        brought: Result<Brought, PassError>,
    ) -> Result<(), RemedyError> {
        match remedy {
            Some(remedy) => self.tried.push(Tried { remedy, result: brought }),
            None => self.as_is = Some(brought.map_err(RemedyError::Pass)?),
        }
        Ok(())
    }

    fn brought(&self, outcome: &PassOutcome, small_lines: Vec<LineWarning>) -> Brought {
        let shares = outcome.product_shares(self.options.limits);
        let before = self.as_is.as_ref().map_or(shares.on, |as_is| as_is.shares.on);
        let greatest = |pressures: &mut dyn Iterator<Item = Pressure>| {
            pressures.reduce(|a, b| if a < b { b } else { a })
        };
        let moments = outcome.moments();
        Brought {
            gain: Share::from_fraction(shares.on.as_fraction() - before.as_fraction()),
            shares,
            greatest_supply_pressure: greatest(&mut moments.iter().filter_map(|m| m.supply_pressure)),
            greatest_nozzle_pressure: greatest(&mut moments.iter().filter_map(|m| m.nozzle_pressure)),
            small_lines,
        }
    }

    fn progress(&self, part: usize) -> Progress {
        let left = self.waiting.len() + usize::from(self.running.is_some());
        Progress { done: (self.n_all - left) * UNITS + part, total: self.n_all * UNITS }
    }
}

/// Why no remedies can be worked out.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum RemedyError {
    /// The network itself is wrong.
    Network(NetworkError),
    /// The pass as it is cannot be simulated.
    Pass(PassError),
}

/// Lines charged with the running mixture stay charged with it.
fn with_carrier_rate(pass: &Pass, carrier_rate: VolumePerArea) -> Pass {
    let changed = Pass { carrier_rate, ..pass.clone() };
    let times = match (pass.running_share(), changed.running_share()) {
        (Ok(old), Ok(new)) if 0.0 < old.as_fraction() => new.as_fraction() / old.as_fraction(),
        _ => 1.0,
    };
    Pass { lines_hold: Share::from_fraction(pass.lines_hold.as_fraction() * times), ..changed }
}

/// The mark moves away by the lag distance; what was driven from there on is driven from there on.
fn with_lead_in(solver: &Solver, pass: &Pass) -> Option<(Length, Pass)> {
    let speeds = pass.drive.speed.iter().map(|knot| knot.speed);
    let speed = speeds.reduce(|a, b| if a < b { b } else { a })?;
    let width = Length::from_m(pass.widths.iter().map(|width| width.as_m()).sum());
    let job =
        LagJob { speed, carrier_rate: pass.carrier_rate, product_rate: pass.product_rate, width, shut: &[] };
    let distance = lag_sheet(solver, &job).ok()?.lead_in;
    let mut changed = Pass { drive: pass.drive.with_lead_in(distance)?, ..pass.clone() };
    changed.field.from = further(pass.field.from, distance);
    changed.field.to = pass.field.to.map(|mark| further(mark, distance));
    Some((distance, changed))
}

fn further(mark: Length, by: Length) -> Length {
    Length::from_m(mark.as_m() + by.as_m())
}

/// From the injection point outwards as long as there is only one way and no nozzle on it. `None` if it is there already.
fn nearest_injection(plumbing: &Plumbing) -> Option<usize> {
    let start = plumbing.injection_spot?;
    let mut at = start;
    loop {
        let mut ways = (at + 1..plumbing.branch_end[at]).filter(|&spot| plumbing.feeder[spot] == at);
        let (Some(next), None) = (ways.next(), ways.next()) else { break };
        if plumbing.nozzle_spot.contains(&at) {
            break;
        }
        at = next;
    }
    (at != start).then(|| plumbing.node_at[at])
}

fn narrower(plumbing: &Plumbing, times: f64) -> Network {
    let mut network = plumbing.network().clone();
    let start = plumbing.injection_spot.unwrap_or_default();
    for spot in start + 1..plumbing.branch_end[start] {
        let pipe = &mut network.pipes[plumbing.pipe_at[spot]];
        pipe.bore = Length::from_m(pipe.bore.as_m() * times);
    }
    network
}

fn warnings(solver: &Solver, pass: &Pass, limits: LineLimits) -> Vec<LineWarning> {
    let width_m: f64 = pass.widths.iter().map(|width| width.as_m()).sum();
    let v_m_s = pass.drive.speed.iter().map(|knot| knot.speed.as_m_per_s()).fold(0.0, f64::max);
    let (speed, width) = (Speed::from_m_per_s(v_m_s), Length::from_m(width_m));
    let flow = |rate| flow_for_rate(rate, speed, width);
    let (Ok(carrier), Ok(injected)) = (flow(pass.carrier_rate), flow(pass.product_rate)) else {
        return Vec::new();
    };
    let operating = Operating { given: Given::Carrier(carrier), injected, shut: &[] };
    let state = solver.solve(&operating, DryNozzles::Close);
    state.map_or(Vec::new(), |state| small_lines(solver.plumbing(), &state, None, limits))
}
