//! The lag sheet: what the lag of a steady state means on the ground, in the line and in the tank.
//!
//! One speed, one rate, plug flow. A pass that changes speed or sections is in [`crate::pass`]; the lags themselves are
//! from [`super::arrival`].

use units::{Duration, FlowRate, Length, Quantity, Share, Speed, Volume, VolumePerArea};

use super::arrival::Lags;
use super::hydraulics::{DryNozzles, Given, Hydraulics, HydraulicsError, Operating, Solver};
use crate::rate::{RateError, concentration, flow_for_rate};

/// What the rig is to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LagJob<'a> {
    /// Ground speed, > 0.
    pub speed: Speed,
    /// Carrier per area, > 0.
    pub carrier_rate: VolumePerArea,
    /// Product per area, ≥ 0.
    pub product_rate: VolumePerArea,
    /// Working width of the open sections, > 0.
    pub width: Length,
    /// Places of the shut sections.
    pub shut: &'a [usize],
}

/// Why there is no lag sheet.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum LagError {
    /// Standing still, a width of zero, a rate below zero, no carrier, or something that is not a number.
    Rate(RateError),
    /// The network has no injection point.
    NoInjectionPoint,
    /// Product reaches no open nozzle.
    NothingArrives,
    /// The state cannot be solved.
    Hydraulics(HydraulicsError),
}

/// When and where product comes out of one nozzle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NozzleLag {
    /// Place of the nozzle.
    pub nozzle: usize,
    /// Where it sits, to the right of the rig's middle, where that is known.
    pub across: Option<Length>,
    /// Time from the injection point.
    pub lag: Duration,
    /// How far the rig drives meanwhile.
    pub distance: Length,
}

/// How much of the boom sprays the full dose from a distance on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseFrom {
    /// Driven since the injection pump started.
    pub distance: Length,
    /// Share of the boom's flow at full dose from there on.
    pub share: Share,
}

/// The lag sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct LagSheet {
    /// Pressures and flows that go with it.
    pub state: Hydraulics,
    /// Lags of the nozzles that are reached, soonest first.
    pub nozzles: Vec<NozzleLag>,
    /// Share of the boom at full dose against distance; a step at each entry.
    pub dose_from: Vec<DoseFrom>,
    /// Time and distance until half the boom's flow carries product.
    pub half: Option<(Duration, Length)>,
    /// Until 95 % of it does.
    pub most: Option<(Duration, Length)>,
    /// Lead-in: how far before the mark to start so that every nozzle is at full dose there.
    pub lead_in: Length,
    /// Liquid in all lines of the open sections, supply and injection included: what fills them from empty.
    pub fill: Volume,
    /// Liquid in the lines between injection point and nozzles.
    pub behind_injection: Volume,
    /// Sprayed until the last nozzle is at full dose: liquid, and the product in it.
    pub charge: Spent,
    /// Product that stands in the lines once they are charged.
    pub product_in_line: Volume,
    /// With the pump off and carrier at its flow: how long until the last nozzle sprays clean carrier.
    pub flush_time: Duration,
    /// How far the rig drives meanwhile.
    pub flush_distance: Length,
    /// Carrier that goes through the boom meanwhile.
    pub flush: Volume,
}

/// What went through the nozzles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spent {
    /// Liquid in all.
    pub liquid: Volume,
    /// Product in it.
    pub product: Volume,
}

impl LagSheet {
    /// Lag of the nozzle that is reached first; a sheet always has one.
    #[must_use]
    pub fn first(&self) -> Option<NozzleLag> {
        self.nozzles.first().copied()
    }

    /// Lag of the nozzle that is reached last.
    #[must_use]
    pub fn last(&self) -> Option<NozzleLag> {
        self.nozzles.last().copied()
    }
}

/// Works out the lag sheet of a rig at a speed and rate.
///
/// Flows: carrier `R v w`, product `R_p v w`. Time to a nozzle: `Σ content/flow` on its way; distance: time × speed. Charging
/// takes the whole flow until the last nozzle is reached, of which only the product that has left a nozzle counts as
/// sprayed. Flushing is the same with carrier alone, at the carrier's own flow.
///
/// # Errors
/// [`LagError`]; each variant says when.
///
/// # Source
/// Definition of plug flow. Order of size: 7 to 30 s and up to 80 m are published for sprayers that inject at the tank end
/// of the line (Transactions of the ASAE, 1998, for the 80 m).
///
/// # Example
/// Checked by hand in the tests of this module: 10 L of line at 0.1 L/s and 2 m/s make 100 s and 200 m.
pub fn lag_sheet(solver: &Solver, job: &LagJob) -> Result<LagSheet, LagError> {
    let (carrier, product) = flows(job)?;
    let solve = |injected: FlowRate| {
        let operating = Operating { given: Given::Carrier(carrier), injected, shut: job.shut };
        solver.solve(&operating, DryNozzles::Refuse).map_err(LagError::Hydraulics)
    };
    let plumbing = solver.plumbing();
    let state = solve(product)?;
    let lags = Lags::of(plumbing, &state).ok_or(LagError::NoInjectionPoint)?;
    let last = lags.last().ok_or(LagError::NothingArrives)?;
    let distance = |time: Duration| Length::from_m(time.as_s() * job.speed.as_m_per_s());
    let mut nozzles: Vec<NozzleLag> = Vec::with_capacity(lags.nozzles.len());
    for (nozzle, lag) in lags.nozzles.iter().enumerate() {
        let Some(lag) = *lag else { continue };
        let across = plumbing.network().nodes[plumbing.node_at[plumbing.nozzle_spot[nozzle]]].across;
        // Put where it belongs, behind those that are reached together with it: a boom has at most some hundred nozzles.
        let place = nozzles.partition_point(|other| other.lag <= lag);
        nozzles.insert(place, NozzleLag { nozzle, across, lag, distance: distance(lag) });
    }
    let share_of_product =
        concentration(job.product_rate, job.carrier_rate).map_err(LagError::Rate)?.as_fraction();
    // What has come out by then with product in it: each nozzle from its own lag on.
    let charged_m3: f64 =
        nozzles.iter().map(|n| state.nozzles[n.nozzle].as_m3_per_s() * (last.as_s() - n.lag.as_s())).sum();
    let behind_injection = behind_injection(solver, &state);
    let clean = solve(FlowRate::from_m3_per_s(0.0))?;
    let flush_time =
        Lags::of(plumbing, &clean).and_then(|lags| lags.last()).ok_or(LagError::NothingArrives)?;
    let total_m3_s = carrier.as_m3_per_s() + product.as_m3_per_s();
    Ok(LagSheet {
        dose_from: dose_from(&nozzles, &state),
        half: reached(&nozzles, &state, Share::from_percent(50.0)),
        most: reached(&nozzles, &state, Share::from_percent(95.0)),
        lead_in: distance(last),
        fill: fill(solver, &state),
        behind_injection,
        charge: Spent {
            liquid: Volume::from_m3(total_m3_s * last.as_s()),
            product: Volume::from_m3(charged_m3 * share_of_product),
        },
        product_in_line: Volume::from_m3(behind_injection.as_m3() * share_of_product),
        flush_distance: distance(flush_time),
        flush: Volume::from_m3(carrier.as_m3_per_s() * flush_time.as_s()),
        flush_time,
        nozzles,
        state,
    })
}

/// One product's part of a volume of several that go in at one point: `V R_p/Σ R_p`, rates per area.
///
/// All rates ≥ 0; nothing where they are zero together. Products that go in at different points are parted by where they
/// stand and not by this.
///
/// # Source
/// Definition: what flows together stays mixed in the proportion of its flows.
///
/// ```
/// # use calc::plumbing::lag::part_of;
/// # use units::{Volume, VolumePerArea};
/// // By hand: 1 L/ha of 4 L/ha in all is a quarter: 0.25 L of 1 L.
/// let rate = VolumePerArea::from_l_per_ha;
/// assert!((part_of(Volume::from_l(1.0), rate(1.0), rate(4.0)).as_l() - 0.25).abs() < 1e-12);
/// assert_eq!(part_of(Volume::from_l(1.0), rate(0.0), rate(0.0)).as_l(), 0.0);
/// ```
#[must_use]
pub fn part_of(all: Volume, rate: VolumePerArea, all_rates: VolumePerArea) -> Volume {
    let share = rate.as_si() / all_rates.as_si();
    Volume::from_m3(if share.is_finite() { all.as_m3() * share } else { 0.0 })
}

fn flows(job: &LagJob) -> Result<(FlowRate, FlowRate), LagError> {
    let flow = |rate| flow_for_rate(rate, job.speed, job.width).map_err(LagError::Rate);
    let (carrier, product) = (flow(job.carrier_rate)?, flow(job.product_rate)?);
    if job.speed.as_m_per_s() == 0.0 {
        return Err(LagError::Rate(RateError::Speed { got: job.speed }));
    }
    if carrier.as_m3_per_s() == 0.0 {
        return Err(LagError::Rate(RateError::Rate { got: job.carrier_rate }));
    }
    Ok((carrier, product))
}

/// When and where nozzles with this share of the boom's flow are reached; as [`Lags::time_to_share`], from a list in order.
fn reached(nozzles: &[NozzleLag], state: &Hydraulics, share: Share) -> Option<(Duration, Length)> {
    let total_m3_s: f64 = state.nozzles.iter().map(|q| q.as_m3_per_s()).sum();
    let mut reached_m3_s = 0.0;
    nozzles
        .iter()
        .find(|lag| {
            reached_m3_s += state.nozzles[lag.nozzle].as_m3_per_s();
            share.as_fraction() - 1e-9 <= reached_m3_s / total_m3_s
        })
        .map(|lag| (lag.lag, lag.distance))
}

/// Shares add up in the order in which nozzles are reached; those that are reached together make one step.
fn dose_from(nozzles: &[NozzleLag], state: &Hydraulics) -> Vec<DoseFrom> {
    let total: f64 = state.nozzles.iter().map(|q| q.as_m3_per_s()).sum();
    let mut steps: Vec<DoseFrom> = Vec::new();
    let mut reached = 0.0;
    for lag in nozzles {
        reached += state.nozzles[lag.nozzle].as_m3_per_s();
        let step = DoseFrom { distance: lag.distance, share: Share::from_fraction(reached / total) };
        match steps.last_mut() {
            Some(last) if last.distance == step.distance => *last = step,
            _ => steps.push(step),
        }
    }
    steps
}

/// Content of the pipes that carry something.
fn fill(solver: &Solver, state: &Hydraulics) -> Volume {
    let content_m3 = &solver.plumbing().content_m3;
    let spots = 1..content_m3.len();
    Volume::from_m3(spots.filter(|&i| outward_m3_s(solver, state, i) != 0.0).map(|i| content_m3[i]).sum())
}

/// Content of the pipes that carry what has passed the injection point.
fn behind_injection(solver: &Solver, state: &Hydraulics) -> Volume {
    let plumbing = solver.plumbing();
    let Some(mut joins) = plumbing.injection_spot else { return Volume::from_m3(0.0) };
    // A feed hose is passed towards the supply; where it joins, everything outwards carries product.
    let mut content_m3 = 0.0;
    while joins != 0 && outward_m3_s(solver, state, joins) < 0.0 {
        content_m3 += plumbing.content_m3[joins];
        joins = plumbing.feeder[joins];
    }
    content_m3 += (joins + 1..plumbing.branch_end[joins])
        .filter(|&i| 0.0 < outward_m3_s(solver, state, i))
        .map(|i| plumbing.content_m3[i])
        .sum::<f64>();
    Volume::from_m3(content_m3)
}

fn outward_m3_s(solver: &Solver, state: &Hydraulics, spot: usize) -> f64 {
    let plumbing = solver.plumbing();
    plumbing.sense[spot] * state.pipes[plumbing.pipe_at[spot]].flow.as_m3_per_s()
}
