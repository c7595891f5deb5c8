//! What a solved state means for the boom: the spread from nozzle to nozzle, the gauge against the nozzle, lines that are
//! too small.

use units::{FlowRate, Pressure, Share, Speed};

use super::Plumbing;
use super::hydraulics::{DryNozzles, Given, Hydraulics, HydraulicsError, Operating, Solver};

/// Least, mean, greatest and coefficient of variation of something over the open nozzles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread<T> {
    /// The least, and the place of its nozzle.
    pub least: (T, usize),
    /// The mean.
    pub mean: T,
    /// The greatest, and the place of its nozzle.
    pub greatest: (T, usize),
    /// Standard deviation (n − 1) over the mean; zero with one nozzle.
    pub variation: Share,
}

/// Pressure and flow over the open nozzles of a state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoomSpread {
    /// Pressure at the nozzles.
    pub pressure: Spread<Pressure>,
    /// Flow of the nozzles.
    pub flow: Spread<FlowRate>,
}

impl BoomSpread {
    /// The spread over all open nozzles, blocked ones included. `None` when none is open or the state is of another network.
    ///
    /// ```
    /// # use calc::plumbing::{Plumbing, boom::*, friction::FrictionLaw, hydraulics::*, network::*};
    /// # use units::{FlowRate, Length, Pressure};
    /// # let node = |id: &str| Node { id: id.into(), height: Length::from_m(0.0), across: None };
    /// # let pipe = |id: &str| Pipe {
    /// #     id: id.into(), from: "s".into(), to: id.into(), length: Length::from_m(0.0),
    /// #     bore: Length::from_mm(25.0), roughness: Length::from_mm(0.0), minor_k: 0.0,
    /// # };
    /// # let nozzle = |id: &str, k: f64| {
    /// #     Nozzle { node: id.into(), size: FlowCoefficient::from_m3_s_pa05(k), section: None }
    /// # };
    /// # let network = Network {
    /// #     liquid: Liquid::water_20_c(), nodes: vec![node("s"), node("a"), node("b")],
    /// #     pipes: vec![pipe("a"), pipe("b")], nozzles: vec![nozzle("a", 2e-8), nozzle("b", 3e-8)],
    /// #     sections: vec![], supply: "s".into(), injection: None,
    /// # };
    /// // By hand, two nozzles at one pressure, sizes 2 and 3: flows 0.4 and 0.6 of the whole, mean 0.5,
    /// // s = √(2 × 0.1²/1) = 0.1414, over the mean 28.3 %.
    /// let solver = Solver::new(Plumbing::check(&network).unwrap(), FrictionLaw::SwameeJain);
    /// let given = Given::Carrier(FlowRate::from_l_per_min(1.0));
    /// let operating = Operating { given, injected: FlowRate::from_l_per_min(0.0), shut: &[] };
    /// let state = solver.solve(&operating, DryNozzles::Refuse).unwrap();
    /// let spread = BoomSpread::of(solver.plumbing(), &state).unwrap();
    /// assert!((spread.flow.variation.as_percent() - 28.28).abs() < 0.01);
    /// assert_eq!(spread.flow.greatest.1, 1);
    /// ```
    #[must_use]
    pub fn of(plumbing: &Plumbing, state: &Hydraulics) -> Option<Self> {
        if state.nodes.len() != plumbing.spot_of.len() || state.nozzles.len() != plumbing.nozzle_spot.len() {
            return None;
        }
        let pressures: Vec<(f64, usize)> = nozzle_pressures(plumbing, state)
            .into_iter()
            .enumerate()
            .filter_map(|(nozzle, p)| Some((p?.as_pa(), nozzle)))
            .collect();
        let flows: Vec<(f64, usize)> =
            pressures.iter().map(|&(_, nozzle)| (state.nozzles[nozzle].as_m3_per_s(), nozzle)).collect();
        Some(Self {
            pressure: spread(&pressures, Pressure::from_pa)?,
            flow: spread(&flows, FlowRate::from_m3_per_s)?,
        })
    }
}

/// Pressure at each nozzle; `None` where shut.
#[must_use]
pub fn nozzle_pressures(plumbing: &Plumbing, state: &Hydraulics) -> Vec<Option<Pressure>> {
    let at = |&spot: &usize| state.nodes.get(plumbing.node_at[spot]).copied().flatten();
    plumbing.nozzle_spot.iter().map(at).collect()
}

/// What a pressure read at a gauge is worth at the nozzles.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeReading {
    /// The pressure read.
    pub gauge: Pressure,
    /// Pressure and flow over the open nozzles.
    pub nozzles: BoomSpread,
    /// Gauge less the mean pressure at the nozzles; below zero where the boom lies lower than the gauge by enough.
    pub loss: Pressure,
    /// The same relative to the gauge.
    pub loss_share: Share,
    /// The whole state.
    pub state: Hydraulics,
}

/// Turns a pressure read at a node into pressures at the nozzles, through the losses at the flow that it makes.
///
/// # Errors
/// [`HydraulicsError`], as [`Solver::solve`].
///
/// # Example
/// See [`Solver::solve`]; this is the same state, stated by what a gauge shows.
pub fn read_gauge(
    solver: &Solver,
    gauge_node: usize,
    pressure: Pressure,
    injected: FlowRate,
    shut: &[usize],
) -> Result<GaugeReading, HydraulicsError> {
    let given = Given::PressureAt { node: gauge_node, pressure };
    let state = solver.solve(&Operating { given, injected, shut }, DryNozzles::Refuse)?;
    let nozzles = BoomSpread::of(solver.plumbing(), &state).ok_or(HydraulicsError::AllShut)?;
    let (loss, loss_share) = loss_from_gauge(pressure, &nozzles);
    Ok(GaugeReading { gauge: pressure, nozzles, loss, loss_share, state })
}

/// Gauge less the mean pressure at the nozzles, and the same relative to the gauge.
///
/// ```
/// # use calc::plumbing::boom::{BoomSpread, Spread, loss_from_gauge};
/// # use units::{FlowRate, Pressure, Share};
/// # let same = |bar| {
/// #     let p = Pressure::from_bar(bar);
/// #     Spread { least: (p, 0), mean: p, greatest: (p, 0), variation: Share::from_percent(0.0) }
/// # };
/// # let q = FlowRate::from_l_per_min(1.0);
/// # let flow = Spread { least: (q, 0), mean: q, greatest: (q, 0), variation: Share::from_percent(0.0) };
/// // By hand: 4 bar at the gauge and 3.8 bar at the nozzles are 0.2 bar and 5 % less.
/// let (loss, share) = loss_from_gauge(Pressure::from_bar(4.0), &BoomSpread { pressure: same(3.8), flow });
/// assert!((loss.as_bar() - 0.2).abs() < 1e-12 && (share.as_percent() - 5.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn loss_from_gauge(gauge: Pressure, nozzles: &BoomSpread) -> (Pressure, Share) {
    let loss_pa = gauge.as_pa() - nozzles.pressure.mean.as_pa();
    (Pressure::from_pa(loss_pa), Share::from_fraction(loss_pa / gauge.as_pa()))
}

/// From where on a line counts as too small.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineLimits {
    /// Largest drop of pressure along a section's line, relative to the highest in it.
    pub drop: Share,
    /// Largest velocity in a pressure line.
    pub velocity: Speed,
}

impl LineLimits {
    /// A drop of 10 % along a spray line, as in-use tests of sprayers ask (as described for the Irish test, DAFM; the same
    /// 10 % between main gauge and boom end in GRDC's Spray Application Manual, module 6.6), and 6 ft/s, common guidance for
    /// pressure lines (from memory).
    #[must_use]
    pub const fn usual() -> Self {
        Self { drop: Share::from_percent(10.0), velocity: Speed::from_ft_per_min(360.0) }
    }
}

/// Something that speaks for a wider line.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum LineWarning {
    /// Pressure drops too much from the best to the worst nozzle of a section.
    SectionDrop {
        /// Place of the section.
        section: usize,
        /// The drop, relative to the best.
        drop: Share,
        /// The limit.
        greatest: Share,
    },
    /// Pressure drops too much from a gauge to the worst nozzle of the boom.
    GaugeDrop {
        /// Place of that nozzle.
        nozzle: usize,
        /// The drop, relative to the gauge.
        drop: Share,
        /// The limit.
        greatest: Share,
    },
    /// The liquid runs too fast.
    Velocity {
        /// Place of the pipe.
        pipe: usize,
        /// The velocity.
        velocity: Speed,
        /// The limit.
        greatest: Speed,
    },
}

/// Where lines are too small for a state: sections first, then gauge, then pipes in the network's order.
///
/// Drops count what height takes or gives as well, as a gauge held to the line would.
#[must_use]
pub fn small_lines(
    plumbing: &Plumbing,
    state: &Hydraulics,
    gauge_node: Option<usize>,
    limits: LineLimits,
) -> Vec<LineWarning> {
    let mut found = Vec::new();
    let pressures = nozzle_pressures(plumbing, state);
    for (section, &inlet) in plumbing.inlet_spot.iter().enumerate() {
        let is_behind = |spot: usize| inlet <= spot && spot < plumbing.branch_end[inlet];
        let inside: Vec<f64> = plumbing
            .nozzle_spot
            .iter()
            .zip(&pressures)
            .filter_map(|(&spot, p)| p.filter(|_| is_behind(spot)).map(Pressure::as_pa))
            .collect();
        let best = inside.iter().fold(f64::NEG_INFINITY, |most, p| most.max(*p));
        let worst = inside.iter().fold(f64::INFINITY, |least, p| least.min(*p));
        let drop = Share::from_fraction((best - worst) / best);
        if 0.0 < best && limits.drop < drop {
            found.push(LineWarning::SectionDrop { section, drop, greatest: limits.drop });
        }
    }
    let gauge = gauge_node.and_then(|node| state.nodes.get(node).copied().flatten()).map(Pressure::as_pa);
    if let (Some(gauge_pa), Some(spread)) = (gauge, BoomSpread::of(plumbing, state)) {
        let (worst, nozzle) = spread.pressure.least;
        let drop = Share::from_fraction((gauge_pa - worst.as_pa()) / gauge_pa);
        if 0.0 < gauge_pa && limits.drop < drop {
            found.push(LineWarning::GaugeDrop { nozzle, drop, greatest: limits.drop });
        }
    }
    for (pipe, flow) in state.pipes.iter().enumerate() {
        let greatest = limits.velocity;
        if greatest < flow.velocity {
            found.push(LineWarning::Velocity { pipe, velocity: flow.velocity, greatest });
        }
    }
    found
}

fn spread<T>(values: &[(f64, usize)], make: impl Fn(f64) -> T) -> Option<Spread<T>> {
    let least = values.iter().copied().reduce(|a, b| if b.0 < a.0 { b } else { a })?;
    let greatest = values.iter().copied().reduce(|a, b| if a.0 < b.0 { b } else { a })?;
    #[allow(clippy::cast_precision_loss, reason = "a count of nozzles")]
    let n = values.len() as f64;
    let mean = values.iter().map(|v| v.0).sum::<f64>() / n;
    let square = values.iter().map(|v| (v.0 - mean).powi(2)).sum::<f64>();
    let variation = if n < 2.0 { 0.0 } else { (square / (n - 1.0)).sqrt() / mean };
    Some(Spread {
        least: (make(least.0), least.1),
        mean: make(mean),
        greatest: (make(greatest.0), greatest.1),
        variation: Share::from_fraction(variation),
    })
}
