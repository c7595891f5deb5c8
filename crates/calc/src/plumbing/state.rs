//! What a state of the rig is: what drives it, what comes out, what keeps it from being solved. Solving it is in
//! [`super::hydraulics`], which passes these on.

use units::{FlowRate, Pressure, Speed};

use super::friction::Regime;

/// What is known about a state; the rest is an answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Given {
    /// Carrier flow into the supply node. The supply pressure follows.
    Carrier(FlowRate),
    /// The same, from a supply that cannot give more than a pressure.
    CarrierUpTo {
        /// Carrier flow into the supply node, ≥ 0.
        flow: FlowRate,
        /// The largest pressure that the supply can hold.
        greatest: Pressure,
    },
    /// Pressure at the supply node. The carrier flow follows.
    SupplyPressure(Pressure),
    /// Pressure at another node, where a gauge sits. Carrier flow and supply pressure follow.
    PressureAt {
        /// Place of the node in the network's list.
        node: usize,
        /// What the gauge shows.
        pressure: Pressure,
    },
}

/// One state of the rig: what drives it and what is shut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Operating<'a> {
    /// What drives it.
    pub given: Given,
    /// Flow that the injection pump adds at the injection point, ≥ 0.
    pub injected: FlowRate,
    /// Places of the shut sections in the network's list.
    pub shut: &'a [usize],
}

/// What to do about a nozzle that the state leaves without pressure, high up on a sloping boom at a small flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DryNozzles {
    /// An error that names the first of them.
    Refuse,
    /// They close (each has a check valve), and the others take the flow.
    Close,
}

/// Pressures and flows of one state. Lists are in the order of the network's own.
#[derive(Clone, Debug, PartialEq)]
pub struct Hydraulics {
    /// Carrier flow into the supply node.
    pub carrier: FlowRate,
    /// Flow of the injection pump.
    pub injected: FlowRate,
    /// Pressure at the supply node.
    pub supply_pressure: Pressure,
    /// Pressure at each node; `None` behind a shut inlet.
    pub nodes: Vec<Option<Pressure>>,
    /// What happens in each pipe.
    pub pipes: Vec<PipeFlow>,
    /// Flow of each nozzle; zero where shut, blocked or dry.
    pub nozzles: Vec<FlowRate>,
    /// Whether each nozzle is behind a shut inlet.
    pub nozzle_is_shut: Vec<bool>,
    /// How well the answer converged.
    pub convergence: Convergence,
}

/// Flow in one pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PipeFlow {
    /// Positive from the pipe's `from` to its `to`.
    pub flow: FlowRate,
    /// Mean velocity in the bore, ≥ 0.
    pub velocity: Speed,
    /// Reynolds number `ρ v d/μ`.
    pub reynolds: f64,
    /// What kind of flow that is.
    pub regime: Regime,
    /// What friction and fittings take, ≥ 0; the weight of the liquid is not in it.
    pub loss: Pressure,
}

/// How well a solution fulfils the equations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Convergence {
    /// Newton steps taken.
    pub n_steps: u32,
    /// Largest change of any flow in the last step, relative to that flow.
    pub last_change: f64,
    /// Largest difference between the pressure at a nozzle and `(q/k)²`, relative to the largest pressure or weight of
    /// height in the network.
    pub pressure_residual: f64,
    /// Largest difference between what enters and what leaves a node, relative to the whole flow.
    pub flow_residual: f64,
}

/// Why a state cannot be solved.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum HydraulicsError {
    /// The carrier flow is negative or not a number, or nothing at all flows.
    Carrier {
        /// As given.
        got: FlowRate,
    },
    /// The injected flow is negative or not a number.
    Injected {
        /// As given.
        got: FlowRate,
    },
    /// The pressure is not a number.
    Pressure {
        /// As given.
        got: Pressure,
    },
    /// No section with this place.
    UnknownSection {
        /// As given.
        section: usize,
    },
    /// No node with this place.
    UnknownNode {
        /// As given.
        node: usize,
    },
    /// Every nozzle is behind a shut inlet.
    AllShut,
    /// Every open nozzle is blocked: its flow coefficient is zero.
    AllBlocked,
    /// The gauge is behind a shut inlet.
    GaugeShutOff {
        /// Place of the node.
        node: usize,
    },
    /// Something is injected, but the network has no injection point.
    NoInjectionPoint,
    /// Something is injected behind a shut inlet.
    InjectionShutOff,
    /// The pump injects more than the nozzles take at the given pressure: carrier would flow back.
    CarrierBackwards {
        /// The carrier flow that would follow, below zero.
        carrier: FlowRate,
    },
    /// The flow needs more pressure than the supply can hold.
    BeyondPressure {
        /// The carrier flow asked for.
        flow: FlowRate,
        /// The supply pressure that it needs.
        needs: Pressure,
        /// The largest that there is.
        greatest: Pressure,
    },
    /// There is no pressure at this nozzle: too little for the height at which it sits.
    NozzleDry {
        /// Place of the nozzle.
        nozzle: usize,
        /// What the pressure there would be, at or below zero.
        pressure: Pressure,
    },
    /// The Reynolds number in a pipe is above the range of the friction formula.
    Reynolds {
        /// Place of the pipe.
        pipe: usize,
        /// What it would be.
        got: f64,
        /// The largest allowed.
        greatest: f64,
    },
    /// The iteration did not settle.
    NotConverged(Convergence),
}

impl PipeFlow {
    pub(super) fn still() -> Self {
        Self {
            flow: FlowRate::from_m3_per_s(0.0),
            velocity: Speed::from_m_per_s(0.0),
            reynolds: 0.0,
            regime: Regime::Still,
            loss: Pressure::from_pa(0.0),
        }
    }
}
