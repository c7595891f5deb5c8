//! Quantities, their units, and the typed text that people enter for them.
//!
//! A quantity is a number in SI with a name ([`Length`], [`Volume`], [`VolumePerArea`] …). A unit is a value of the
//! quantity's own unit type ([`LengthUnit`] …) with an exact factor, a stable code for storage, a symbol for the screen
//! and the spellings that people type. [`parse`] turns typed text into a quantity, [`PulseConvention`] turns pulses per
//! volume or distance into the number that a rate console wants.
//!
//! What does not live here: formulas (crate `calc`), what is stored (crate `records`), sentences for people (`app`).

mod area;
mod area_rate;
mod convention;
mod density;
mod display;
mod duration;
mod exact;
mod flow_rate;
mod length;
mod mass;
mod parse;
mod pressure;
mod pulses;
mod quantity;
mod rate_per_area;
mod rate_per_carrier;
mod share;
mod speed;
mod spelling;
mod temperature;
mod viscosity;
mod volume;

pub use area::{Area, AreaUnit};
pub use area_rate::{AreaRate, AreaRateUnit};
pub use convention::{Form, KeyInStep, PulseConvention, PulseConventionCodeError};
pub use density::{Density, DensityUnit};
pub use display::{decimals_for, decimals_for_significant, format_decimal};
pub use duration::{Duration, DurationUnit};
pub use flow_rate::{FlowRate, FlowRateUnit};
pub use length::{Length, LengthUnit};
pub use mass::{Mass, MassUnit};
pub use parse::{ParseProblem, Typed, parse, parse_number};
pub use pressure::{Pressure, PressureUnit};
pub use pulses::{PulsesPer, PulsesPerDistance, PulsesPerVolume};
pub use quantity::{Quantity, Unit};
pub use rate_per_area::{VolumePerArea, VolumePerAreaUnit};
pub use rate_per_carrier::{VolumePerCarrier, VolumePerCarrierUnit};
pub use share::{Share, ShareUnit};
pub use speed::{Speed, SpeedUnit};
pub use temperature::{Temperature, TemperatureUnit};
pub use viscosity::{Viscosity, ViscosityUnit};
pub use volume::{Volume, VolumeUnit};
