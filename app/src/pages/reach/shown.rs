//! The units and steps of the reach screen and of the card, by the system of the rig.

use super::stepper::Range;
use crate::state::sheet::System;
use crate::text::number;
use units::{
    LengthUnit, Pressure, PressureUnit, Quantity, Speed, SpeedUnit, VolumePerArea, VolumePerAreaUnit,
};

/// The units of a screen.
#[derive(Clone, Copy)]
pub(crate) struct In {
    /// Of speeds.
    pub(crate) speed: SpeedUnit,
    /// Of the carrier rate.
    pub(crate) rate: VolumePerAreaUnit,
    /// Of pressures.
    pub(crate) pressure: PressureUnit,
    /// Of widths and radii.
    pub(crate) length: LengthUnit,
    /// From one row of a table to the next.
    pub(crate) step: Speed,
    /// One press of a speed.
    pub(super) fine_step: Speed,
    /// One press of the carrier rate.
    pub(super) rate_step: VolumePerArea,
    /// One press of a pressure.
    pub(super) pressure_step: Pressure,
    /// Radii of curves, in the unit of length.
    pub(super) radii: Range,
}

/// The units of a rig's system.
pub(crate) fn units_of(system: System) -> In {
    match system {
        System::Us => In {
            speed: SpeedUnit::MilePerHour,
            rate: VolumePerAreaUnit::UsGallonPerAcre,
            pressure: PressureUnit::Psi,
            length: LengthUnit::Foot,
            step: Speed::from_mph(1.0),
            fine_step: Speed::from_mph(0.5),
            radii: Range { least: 5.0, greatest: 400.0, step: 5.0 },
            rate_step: VolumePerArea::from_us_gal_per_ac(1.0),
            pressure_step: Pressure::from_psi(1.0),
        },
        System::Metric => In {
            speed: SpeedUnit::KilometrePerHour,
            rate: VolumePerAreaUnit::LitrePerHectare,
            pressure: PressureUnit::Bar,
            length: LengthUnit::Metre,
            step: Speed::from_km_per_h(2.0),
            fine_step: Speed::from_km_per_h(1.0),
            radii: Range { least: 2.0, greatest: 120.0, step: 2.0 },
            rate_step: VolumePerArea::from_l_per_ha(10.0),
            pressure_step: Pressure::from_bar(0.1),
        },
    }
}

impl In {
    /// A speed in words.
    pub(crate) fn v(&self, speed: Speed) -> String {
        number::quantity(speed, self.speed, 3)
    }

    /// A pressure in words, a dash where it is not known.
    pub(crate) fn p(&self, pressure: Option<Pressure>) -> String {
        pressure.map_or_else(|| "–".to_owned(), |p| number::quantity(p, self.pressure, 3))
    }

    /// A carrier rate in words, a dash where it is not known.
    pub(crate) fn r(&self, rate: Option<VolumePerArea>) -> String {
        rate.map_or_else(|| "–".to_owned(), |r| number::quantity(r, self.rate, 3))
    }
}

/// A quantity at the nearest whole step from one step up, for a stepper to start from.
pub(super) fn to_step<Q: Quantity>(value: Q, step: Q) -> Q {
    let n = (value.as_si() / step.as_si()).round().max(1.0);
    Q::from_si(n * step.as_si())
}
