//! Names of the keyed-in numbers, and why a prediction fails. No formula lives here.

use units::{Duration, FlowRate, Length, Speed};

use super::Dose;
use crate::nozzle::NozzleError;
use crate::rate::RateError;

/// Which keyed-in number an error factor belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum KeyedNumber {
    /// The meter number.
    Meter,
    /// The course number.
    Course,
    /// The width of a section, by index.
    Width(usize),
    /// The number of an injection pump, by index.
    Pump(usize),
    /// The widths of all sections together, for consoles that want one total.
    TotalWidth,
    /// The standing-test speed.
    StandingSpeed,
    /// The minimum-speed hold.
    HoldSpeed,
    /// The target carrier rate.
    CarrierRate,
    /// The product rate of an injection pump, by index.
    FirstRate(usize),
    /// The second rate of an injection pump, by index.
    SecondRate(usize),
    /// The nudge step of an injection pump, by index.
    NudgeStep(usize),
}

/// Why nothing can be predicted.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum ModelError {
    /// An error factor that is zero, negative or not finite.
    Factor {
        /// Whose factor.
        number: KeyedNumber,
        /// What was given.
        got: f64,
    },
    /// Not one factor or state for each section of the rig.
    SectionCount {
        /// How many were given.
        got: usize,
        /// How many sections the rig has.
        expected: usize,
    },
    /// Not one factor or dose for each injection pump of the rig.
    PumpCount {
        /// How many were given.
        got: usize,
        /// How many pumps the rig has.
        expected: usize,
    },
    /// A speed that is zero, negative or not finite.
    Speed {
        /// What was given.
        got: Speed,
    },
    /// A minimum-speed hold that is negative or not finite.
    HoldSpeed {
        /// What was given.
        got: Speed,
    },
    /// A section width that is zero, negative or not finite.
    Width {
        /// Index of the section.
        section_idx: usize,
        /// What was given.
        got: Length,
    },
    /// Every section is off: no width, no rate.
    NoSectionOn,
    /// A target or product rate that is negative or not finite.
    Rate(RateError),
    /// The pump is asked for a rate that it does not have.
    NoRate {
        /// Index of the pump.
        pump_idx: usize,
        /// The dose that was asked for.
        dose: Dose,
    },
    /// The pump is nudged but has no nudge step.
    NoNudgeStep {
        /// Index of the pump.
        pump_idx: usize,
    },
    /// The carrier is in manual, and a section that is on does not say how many nozzles it carries.
    NozzlesUnknown {
        /// Index of the section.
        section_idx: usize,
    },
    /// The carrier is in manual, and the rig has no nozzle set.
    NoNozzleSet,
    /// The carrier is in manual, and the products alone are more than the nozzles pass at its pressure.
    NoCarrierLeft {
        /// What the nozzles pass.
        nozzles: FlowRate,
        /// What the injection pumps give.
        products: FlowRate,
    },
    /// The nozzle set or the manual pressure makes no sense.
    Nozzle(NozzleError),
    /// A time that is negative or not finite.
    Duration {
        /// What was given.
        got: Duration,
    },
    /// The rig does not have this number.
    NoSuchNumber {
        /// The number.
        number: KeyedNumber,
    },
}
