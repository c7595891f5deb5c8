//! What a simulated pass needs to know, and what can be wrong with it. Nothing is computed here.

use units::{Duration, FlowRate, Length, Share, Speed, VolumePerArea};

use super::drive::{Drive, DriveError};
use crate::plumbing::hydraulics::HydraulicsError;
use crate::rate::{RateError, concentration};

/// A pass to be simulated.
#[derive(Clone, Debug, PartialEq)]
pub struct Pass {
    /// Ground that each nozzle covers, in the order of the network's nozzles; > 0.
    pub widths: Vec<Length>,
    /// Carrier per area, > 0.
    pub carrier_rate: VolumePerArea,
    /// Product per area, > 0.
    pub product_rate: VolumePerArea,
    /// Product per area with the second rate on; without one, that switch changes nothing.
    pub second_rate: Option<VolumePerArea>,
    /// Largest product per area that the label allows.
    pub label_greatest: Option<VolumePerArea>,
    /// Step of the nudge, as a share of the rate in force.
    pub nudge: Share,
    /// Minimum-speed hold of the console.
    pub hold_speed: Option<Speed>,
    /// How the carrier follows its target.
    pub carrier: Controller,
    /// How the injection pump follows its target.
    pub pump: Controller,
    /// Least output of the pump: it gives no less, unless none is asked for.
    pub pump_least: Option<FlowRate>,
    /// Greatest output of the pump.
    pub pump_greatest: Option<FlowRate>,
    /// What happens to the carrier when sections are shut or opened.
    pub at_switch: AtSwitch,
    /// Share of concentrate in the lines at the start: none when flushed, [`Pass::running_share`] when charged.
    pub lines_hold: Share,
    /// How it is driven.
    pub drive: Drive,
    /// From where to where along the track ground counts as field.
    pub field: FieldMarks,
    /// Length of one cell of the result along the track, > 0.
    pub cell: Length,
    /// How finely ramps and settling controllers are cut; see [`Fineness`].
    pub fineness: Fineness,
}

impl Pass {
    /// Share of concentrate in what leaves the nozzles when everything is on target: `R_p/(R + R_p)`.
    ///
    /// # Errors
    /// [`RateError`], as [`concentration`].
    pub fn running_share(&self) -> Result<Share, RateError> {
        concentration(self.product_rate, self.carrier_rate)
    }
}

/// A controller with its actuator: after a dead time the output nears its target by `1 − exp(−t/τ)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Controller {
    /// Nothing happens for so long, ≥ 0.
    pub dead_time: Duration,
    /// Time constant `τ`, ≥ 0: after it 63 % of a step are done.
    pub time_constant: Duration,
}

/// What the carrier does at the moment at which sections are shut or opened; from then on its controller acts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AtSwitch {
    /// Nozzle pressure stays: section valves with a metered return, or a supply that holds its pressure. Common practice, no
    /// source.
    KeepsPressure,
    /// Flow stays: the sections that are left take it all until the controller has throttled.
    KeepsFlow,
}

/// The part of the track that counts as field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FieldMarks {
    /// Where it begins, ≥ 0, from the start of the drive.
    pub from: Length,
    /// Where it ends; the end of the track if that is sooner or `None`.
    pub to: Option<Length>,
}

impl FieldMarks {
    /// All that is driven.
    #[must_use]
    pub const fn whole() -> Self {
        Self { from: Length::from_m(0.0), to: None }
    }
}

/// How finely time is cut. Within a piece flows stand at their mean, so volumes are exact at the ends of each piece whatever
/// the fineness; shapes in between are not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Pieces into which a change of speed is cut, for each full speed gained or lost; at least 1.
    pub ramp: u32,
    /// Pieces into which the settling of a controller is cut; at least 1.
    pub settling: u32,
}

impl Fineness {
    /// 16 pieces a ramp, 8 a settling. Against four times as fine, areas under and over target move by well under 1 %.
    #[must_use]
    pub const fn usual() -> Self {
        Self { ramp: 16, settling: 8 }
    }
}

/// Why a pass cannot be simulated.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum PassError {
    /// There is not one width for each nozzle.
    WidthCount {
        /// How many were given.
        got: usize,
        /// How many nozzles there are.
        wanted: usize,
    },
    /// A nozzle's width is not above zero.
    Width {
        /// Place of the nozzle.
        nozzle: usize,
        /// As given.
        got: Length,
    },
    /// A rate is not above zero.
    Rate {
        /// As given.
        got: VolumePerArea,
    },
    /// A nudge step, hold speed, share in the lines, dead time, time constant or pump limit is below zero or not a number.
    Number {
        /// As given, in SI.
        got: f64,
    },
    /// The cell is not above zero, or so short that the track has more cells than can be kept.
    Cell {
        /// As given.
        got: Length,
    },
    /// The field ends before it begins, or begins before the start.
    Field {
        /// As given.
        got: FieldMarks,
    },
    /// A fineness of zero.
    Fineness {
        /// As given.
        got: Fineness,
    },
    /// The drive makes no sense.
    Drive(DriveError),
    /// A switch names a section that is not there.
    UnknownSection {
        /// Place of the switch in the drive.
        switch: usize,
        /// The section it names.
        section: usize,
    },
    /// The network has no injection point.
    NoInjectionPoint,
    /// A state on the way cannot be solved.
    Hydraulics {
        /// When it begins.
        at: Duration,
        /// Why.
        problem: HydraulicsError,
    },
    /// A pipe would be passed one way and then the other.
    Reverses {
        /// Place of the pipe.
        pipe: usize,
    },
    /// The simulation was not run to its end.
    NotDone,
}
