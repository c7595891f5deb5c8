//! Runs a pass: hydraulics of each piece of time, plug flow through the plumbing, dose on the ground.
//!
//! Work is done in slices so that a screen can stay awake, show progress and drop it: see [`Simulation::step`]. What comes
//! out, and the shares of area, are in [`super::outcome`].

use units::{Duration, FlowRate, Length, Pressure, Quantity, Speed, Volume, VolumePerArea};

use super::outcome::{Field, Moment, PassOutcome};
use super::pieces::{Cut, Piece, cut};
use super::setup::{Controller, Fineness, Pass, PassError};
use crate::plumbing::Plumbing;
use crate::plumbing::hydraulics::{DryNozzles, Given, Operating, Solver};
use crate::plumbing::newton::Flows;
use crate::plumbing::tracker::{Run, Tracker};
use crate::plumbing::transport::{Balance, pieces};

/// A pass being simulated.
#[derive(Debug)]
pub struct Simulation {
    solver: Solver,
    pass: Pass,
    cut: Cut,
    /// By spot, states within: filled piece by piece.
    pipe_m3_s: Vec<f64>,
    nozzle_m3_s: Vec<f64>,
    moments: Vec<Moment>,
    flows: Flows,
    /// Pattern, carrier and pump flow that `flows` holds.
    solved: Option<(usize, f64, f64)>,
    tracker: Option<Tracker>,
    n_junctions: usize,
    in_lines_m3: f64,
    field: Field,
}

/// How far a simulation is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Units of work done.
    pub done: usize,
    /// Units of work in all.
    pub total: usize,
}

impl Progress {
    /// Whether nothing is left to do.
    #[must_use]
    pub fn is_done(self) -> bool {
        self.done == self.total
    }
}

/// More cells than this, over all nozzles, are refused: they take 16 bytes each.
const MOST_CELLS: f64 = 1e7;

impl Simulation {
    /// Checks a pass and cuts it into pieces of time.
    ///
    /// # Errors
    /// [`PassError`]; each variant says when. States that cannot be solved are found out by [`Self::step`].
    pub fn new(solver: Solver, pass: Pass) -> Result<Self, PassError> {
        check(&solver, &pass)?;
        let plumbing = solver.plumbing();
        let widths_m: Vec<f64> = pass.widths.iter().map(|width| width.as_m()).collect();
        let cut = cut(&pass, |shut| open_width_m(plumbing, &widths_m, shut));
        let n = plumbing.node_at.len() * cut.pieces.len();
        let field = Field::new(plumbing, &pass, &cut);
        Ok(Self {
            pipe_m3_s: vec![0.0; n],
            nozzle_m3_s: vec![0.0; n],
            moments: Vec::with_capacity(cut.pieces.len()),
            flows: Flows::default(),
            solved: None,
            tracker: None,
            n_junctions: 0,
            in_lines_m3: 0.0,
            field,
            solver,
            pass,
            cut,
        })
    }

    /// Works on until about `budget` units are done or nothing is left, and tells how far it is.
    ///
    /// A unit is one pipe in one piece of time, once for its flow and once for what it carries: 30 to 100 ns natively, two to
    /// three times that in a browser. At least one piece or one junction is done, so any budget gets there in the end. To
    /// cancel, drop the simulation.
    ///
    /// # Errors
    /// [`PassError::Hydraulics`], [`PassError::Reverses`].
    pub fn step(&mut self, budget: usize) -> Result<Progress, PassError> {
        let mut left = budget;
        loop {
            let cost = self.one_unit()?;
            let progress = self.progress();
            if progress.is_done() || left <= cost {
                return Ok(progress);
            }
            left -= cost;
        }
    }

    /// How far it is.
    #[must_use]
    pub fn progress(&self) -> Progress {
        let (n_spots, n_pieces) = (self.solver.plumbing().node_at.len(), self.cut.pieces.len());
        Progress {
            done: self.moments.len() * n_spots + self.n_junctions * n_pieces,
            total: 2 * n_spots * n_pieces,
        }
    }

    /// How many pieces time was cut into.
    #[must_use]
    pub fn n_pieces(&self) -> usize {
        self.cut.pieces.len()
    }

    /// Does all that is left.
    ///
    /// # Errors
    /// As [`Self::step`].
    pub fn run(mut self) -> Result<PassOutcome, PassError> {
        self.step(usize::MAX)?;
        self.finish()
    }

    /// The outcome of a simulation that is done.
    ///
    /// # Errors
    /// [`PassError::NotDone`] before that.
    pub fn finish(self) -> Result<PassOutcome, PassError> {
        if !self.progress().is_done() {
            return Err(PassError::NotDone);
        }
        let content_m3: f64 = self.solver.plumbing().content_m3.iter().sum();
        let injected_m3: f64 = self.cut.pieces.iter().map(|p| p.pump_m3_s * (p.to_s - p.from_s)).sum();
        let balance = Balance {
            at_start: Volume::from_m3(content_m3 * self.pass.lines_hold.as_fraction()),
            carried_in: Volume::from_m3(0.0),
            injected: Volume::from_m3(injected_m3),
            sprayed: Volume::from_m3(self.field.product_m3()),
            in_pipes: Volume::from_m3(self.in_lines_m3),
        };
        Ok(PassOutcome::new(&self.pass, self.field, self.moments, balance))
    }

    /// One piece of time, or one junction; tells what it cost.
    fn one_unit(&mut self) -> Result<usize, PassError> {
        let (n_spots, n_pieces) = (self.solver.plumbing().node_at.len(), self.cut.pieces.len());
        if self.moments.len() < n_pieces {
            self.solve_piece(self.moments.len())?;
            return Ok(n_spots);
        }
        if self.n_junctions < n_spots {
            self.pass_junction()?;
            return Ok(n_pieces);
        }
        Ok(0)
    }

    fn solve_piece(&mut self, place: usize) -> Result<(), PassError> {
        let Piece { from_s, to_s, from_m, to_m, carrier_m3_s, pump_m3_s, pattern, .. } =
            self.cut.pieces[place];
        let pattern = pattern.filter(|_| 0.0 < carrier_m3_s + pump_m3_s);
        let mut pressures = None;
        if let Some(pattern) = pattern {
            let is_near = self.solved.is_some_and(|(last, ..)| last == pattern);
            if self.solved != Some((pattern, carrier_m3_s, pump_m3_s)) {
                let operating = Operating {
                    given: Given::Carrier(FlowRate::from_m3_per_s(carrier_m3_s)),
                    injected: FlowRate::from_m3_per_s(pump_m3_s),
                    shut: &self.cut.patterns[pattern],
                };
                self.solver
                    .solve_flows(&operating, DryNozzles::Close, &mut self.flows, is_near)
                    .map_err(|problem| PassError::Hydraulics { at: Duration::from_s(from_s), problem })?;
                self.solved = Some((pattern, carrier_m3_s, pump_m3_s));
            }
            let n_pieces = self.cut.pieces.len();
            for spot in (0..self.flows.pipe.len()).filter(|&spot| self.flows.is_fed[spot]) {
                self.pipe_m3_s[spot * n_pieces + place] = self.flows.pipe[spot];
                self.nozzle_m3_s[spot * n_pieces + place] = self.flows.nozzle[spot];
            }
            pressures = self.pressures();
        }
        let dt_s = to_s - from_s;
        self.moments.push(Moment {
            from: Duration::from_s(from_s),
            to: Duration::from_s(to_s),
            place: Length::from_m(from_m),
            speed: Speed::from_m_per_s((to_m - from_m) / dt_s),
            carrier: FlowRate::from_m3_per_s(carrier_m3_s),
            pump: FlowRate::from_m3_per_s(pump_m3_s),
            supply_pressure: pressures.map(|(supply, _)| supply),
            nozzle_pressure: pressures.map(|(_, nozzle)| nozzle),
        });
        Ok(())
    }

    /// Pressure at the supply, and the mean at the open nozzles.
    fn pressures(&self) -> Option<(Pressure, Pressure)> {
        let (flows, numbers) = (&self.flows, &self.solver.numbers);
        let (mut sum_pa, mut n) = (0.0, 0.0);
        for &spot in self.solver.plumbing().nozzle_spot.iter().filter(|&&spot| flows.is_fed[spot]) {
            sum_pa += flows.head[spot] - numbers.height_pa[spot];
            n += 1.0;
        }
        let supply_pa = flows.head.first()? - numbers.height_pa.first()?;
        (0.0 < n).then(|| (Pressure::from_pa(supply_pa), Pressure::from_pa(sum_pa / n)))
    }

    fn pass_junction(&mut self) -> Result<(), PassError> {
        let plumbing = self.solver.plumbing();
        if self.tracker.is_none() {
            let pieces = &self.cut.pieces;
            let run = Run {
                starts_s: pieces.iter().map(|piece| piece.from_s).collect(),
                pipe_m3_s: std::mem::take(&mut self.pipe_m3_s),
                injected_m3_s: pieces.iter().map(|piece| piece.pump_m3_s).collect(),
                carrier_m3_s: pieces.iter().map(|piece| piece.carrier_m3_s).collect(),
                carrier_share: 0.0,
                start_share: vec![self.pass.lines_hold.as_fraction(); plumbing.node_at.len()],
                until_s: pieces.last().map_or(0.0, |piece| piece.to_s),
            };
            let tracker = Tracker::new(plumbing, run)
                .map_err(|reverses| PassError::Reverses { pipe: plumbing.pipe_at[reverses.spot] })?;
            self.tracker = Some(tracker);
        }
        let Some(tracker) = &mut self.tracker else { return Ok(()) };
        let Some(spot) = tracker.advance(plumbing) else { return Ok(()) };
        let until_s = tracker.run.until_s;
        let n_pieces = self.cut.pieces.len();
        let flows = &self.nozzle_m3_s[spot * n_pieces..(spot + 1) * n_pieces];
        for (nozzle, part) in self.field.at_spot(spot) {
            let mut ground = self.field.under(nozzle);
            for (from_s, to_s, place, share) in pieces(&tracker.run.starts_s, tracker.line(spot), until_s) {
                let liquid_m3 = part * flows[place] * (to_s - from_s);
                if liquid_m3 == 0.0 {
                    continue;
                }
                let piece = &self.cut.pieces[place];
                let v_m_s = (piece.to_m - piece.from_m) / (piece.to_s - piece.from_s);
                let at_m = |t_s: f64| piece.from_m + v_m_s * (t_s - piece.from_s);
                ground.spray(at_m(from_s), at_m(to_s), liquid_m3 * share, liquid_m3 * (1.0 - share));
            }
        }
        // What the pipe to this junction holds in the end; with a feed hose its mouth is known by now too.
        for pipe_spot in tracker.filled_by(plumbing, spot) {
            let in_lines_m3 = &mut self.in_lines_m3;
            tracker.held(plumbing, pipe_spot, until_s, |volume_m3, share| *in_lines_m3 += volume_m3 * share);
        }
        tracker.forget_done(plumbing, spot);
        self.n_junctions += 1;
        Ok(())
    }
}

/// Width of the nozzles that are open when sections are shut.
fn open_width_m(plumbing: &Plumbing, widths_m: &[f64], shut: &[usize]) -> f64 {
    let is_open = |spot: usize| {
        !shut.iter().any(|&section| {
            let inlet = plumbing.inlet_spot[section];
            inlet <= spot && spot < plumbing.branch_end[inlet]
        })
    };
    plumbing
        .nozzle_spot
        .iter()
        .zip(widths_m)
        .filter(|&(&spot, _)| is_open(spot))
        .map(|(_, width_m)| width_m)
        .sum()
}

fn check(solver: &Solver, pass: &Pass) -> Result<(), PassError> {
    let plumbing = solver.plumbing();
    let n_nozzles = plumbing.nozzle_spot.len();
    if pass.widths.len() != n_nozzles {
        return Err(PassError::WidthCount { got: pass.widths.len(), wanted: n_nozzles });
    }
    if let Some(nozzle) = pass.widths.iter().position(|width| !is_above_zero(width.as_m())) {
        return Err(PassError::Width { nozzle, got: pass.widths[nozzle] });
    }
    let rates = [Some(pass.carrier_rate), Some(pass.product_rate), pass.second_rate, pass.label_greatest];
    if let Some(got) = rates.into_iter().flatten().find(|rate: &VolumePerArea| !is_above_zero(rate.as_si())) {
        return Err(PassError::Rate { got });
    }
    let settles = |c: &Controller| [c.dead_time.as_s(), c.time_constant.as_s()];
    let limits = [pass.pump_least, pass.pump_greatest].into_iter().flatten().map(FlowRate::as_m3_per_s);
    let others = [pass.nudge.as_fraction(), pass.hold_speed.map_or(0.0, Speed::as_m_per_s)];
    let mut numbers =
        settles(&pass.carrier).into_iter().chain(settles(&pass.pump)).chain(limits).chain(others);
    if let Some(got) = numbers.find(|number| !(0.0..f64::INFINITY).contains(number)) {
        return Err(PassError::Number { got });
    }
    if !(0.0..=1.0).contains(&pass.lines_hold.as_fraction()) {
        return Err(PassError::Number { got: pass.lines_hold.as_fraction() });
    }
    let Fineness { ramp, settling } = pass.fineness;
    if ramp == 0 || settling == 0 {
        return Err(PassError::Fineness { got: pass.fineness });
    }
    pass.drive.check().map_err(PassError::Drive)?;
    check_switches(pass, plumbing.inlet_spot.len())?;
    #[allow(clippy::cast_precision_loss, reason = "a count of nozzles")]
    let n_cells = pass.drive.length().as_m() / pass.cell.as_m() * n_nozzles as f64;
    if !(is_above_zero(pass.cell.as_m()) && n_cells < MOST_CELLS) {
        return Err(PassError::Cell { got: pass.cell });
    }
    let (from_m, to_m) = (pass.field.from.as_m(), pass.field.to.map_or(f64::INFINITY, Length::as_m));
    if !(0.0 <= from_m && from_m.is_finite() && from_m < to_m) {
        return Err(PassError::Field { got: pass.field });
    }
    if plumbing.injection_spot.is_none() {
        return Err(PassError::NoInjectionPoint);
    }
    Ok(())
}

fn check_switches(pass: &Pass, n_sections: usize) -> Result<(), PassError> {
    use super::drive::Switched;
    for (switch, thrown) in pass.drive.switches.iter().enumerate() {
        let (Switched::Shut(sections) | Switched::Open(sections)) = &thrown.what else { continue };
        if let Some(&section) = sections.iter().find(|&&section| n_sections <= section) {
            return Err(PassError::UnknownSection { switch, section });
        }
    }
    Ok(())
}

fn is_above_zero(value: f64) -> bool {
    value.is_finite() && 0.0 < value
}

/// Widths of the nozzles of a network made by [`quick_network`](crate::plumbing::quick::quick_network) from the same rig:
/// each section's width over its nozzles.
///
/// ```
/// # use calc::pass::simulation::widths_of;
/// # use calc::plumbing::quick::*;
/// # use calc::rig::{NozzleSet, Rig, Section};
/// # use units::{FlowRate, Length, Pressure, Viscosity};
/// # let section = |width_m, n_nozzles| Section { width: Length::from_m(width_m), n_nozzles };
/// # let nozzles = NozzleSet {
/// #     rated_flow: FlowRate::from_l_per_min(0.8), rated_pressure: Pressure::from_bar(3.0),
/// #     least_pressure: None, greatest_pressure: None, spacing: None,
/// # };
/// let rig = Rig { sections: vec![section(2.0, 4), section(3.0, 5)], nozzles: Some(nozzles), ..Rig::blank() };
/// # let answers = QuickAnswers {
/// #     supply_length: Length::from_m(1.0), main_length: Length::from_m(3.0), main_bore: Length::from_mm(25.0),
/// #     hose_lengths: HoseLengths::Same(Length::from_m(2.0)), hose_bore: Length::from_mm(19.0), valve_k: 4.0,
/// #     feed: FeedPoint::Centre, section_bore: Length::from_mm(19.0), boom_height: Length::from_m(0.0),
/// #     roughness: SMOOTH_WALL, viscosity: Viscosity::from_mpa_s(1.002),
/// # };
/// let widths = widths_of(&rig, &quick_network(&rig, &answers)?);
/// // By hand: 2 m / 4 and 3 m / 5.
/// assert_eq!((widths[0].as_m(), widths[8].as_m()), (0.5, 0.6));
/// # Ok::<(), QuickError>(())
/// ```
#[must_use]
pub fn widths_of(rig: &crate::rig::Rig, network: &crate::plumbing::network::Network) -> Vec<Length> {
    let section_of = |nozzle: &crate::plumbing::network::Nozzle| {
        network.sections.iter().position(|section| Some(&section.id) == nozzle.section.as_ref())
    };
    let sections: Vec<Option<usize>> = network.nozzles.iter().map(section_of).collect();
    let width = |section: &Option<usize>| {
        let n = sections.iter().filter(|other| *other == section).count();
        let width_m = section.and_then(|idx| rig.sections.get(idx)).map_or(0.0, |s| s.width.as_m());
        #[allow(clippy::cast_precision_loss, reason = "a count of nozzles")]
        Length::from_m(width_m / n as f64)
    };
    sections.iter().map(width).collect()
}
