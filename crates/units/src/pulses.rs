//! What a pulse is worth: pulses per volume and pulses per distance. Always in the counting sense; how a console writes
//! them down is a [`crate::PulseConvention`].

use crate::{Length, Quantity, Volume};

/// Pulses that a flow meter or an injection pump gives for each volume. Kept in 1/m³.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct PulsesPerVolume(f64);

impl PulsesPerVolume {
    /// From pulses counted over a volume. Infinite or not a number where the volume is zero: check before.
    ///
    /// ```
    /// # use units::{PulsesPerVolume, Volume};
    /// // Common practice, no source: a meter stamped 299 counts 299 pulses for one US gallon.
    /// let meter = PulsesPerVolume::from_pulses_over(299.0, Volume::from_us_gal(1.0));
    /// // NIST HB 44: 1 US gal = 3.785411784 L, so by hand 299 ÷ 3.785411784 = 78.98744 pulses/L.
    /// assert!((meter.pulses_in(Volume::from_l(1.0)) - 78.987_443).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn from_pulses_over(pulses: f64, volume: Volume) -> Self {
        Self(pulses / volume.as_m3())
    }

    /// From pulses per cubic metre.
    #[must_use]
    pub const fn from_per_m3(value: f64) -> Self {
        Self(value)
    }

    /// As pulses per cubic metre.
    #[must_use]
    pub const fn as_per_m3(self) -> f64 {
        self.0
    }

    /// Pulses given by a volume.
    #[must_use]
    pub fn pulses_in(self, volume: Volume) -> f64 {
        self.0 * volume.as_m3()
    }

    /// Volume that gives this many pulses.
    #[must_use]
    pub fn volume_of(self, pulses: f64) -> Volume {
        Volume::from_m3(pulses / self.0)
    }
}

/// Pulses that a speed or distance sensor gives for each length of travel. Kept in 1/m.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct PulsesPerDistance(f64);

impl PulsesPerDistance {
    /// From pulses counted over a distance. Infinite or not a number where the distance is zero: check before.
    ///
    /// ```
    /// # use units::{Length, PulsesPerDistance};
    /// // ISO 11786 (from memory): a tractor's ground-speed signal gives 130 pulses per metre.
    /// let radar = PulsesPerDistance::from_pulses_over(13_000.0, Length::from_m(100.0));
    /// assert_eq!(radar.as_per_m(), 130.0);
    /// ```
    #[must_use]
    pub fn from_pulses_over(pulses: f64, distance: Length) -> Self {
        Self(pulses / distance.as_m())
    }

    /// From pulses per metre.
    #[must_use]
    pub const fn from_per_m(value: f64) -> Self {
        Self(value)
    }

    /// As pulses per metre.
    #[must_use]
    pub const fn as_per_m(self) -> f64 {
        self.0
    }

    /// Pulses given by a distance.
    #[must_use]
    pub fn pulses_in(self, distance: Length) -> f64 {
        self.0 * distance.as_m()
    }

    /// Distance that gives this many pulses.
    #[must_use]
    pub fn distance_of(self, pulses: f64) -> Length {
        Length::from_m(pulses / self.0)
    }
}

/// A number of pulses per amount of some quantity; lets one convention type serve volumes and distances.
pub trait PulsesPer: Copy {
    /// What the pulses are counted over.
    type Over: Quantity;

    /// From pulses per SI unit.
    fn from_pulses_per_si(value: f64) -> Self;

    /// As pulses per SI unit.
    fn as_pulses_per_si(self) -> f64;
}

impl PulsesPer for PulsesPerVolume {
    type Over = Volume;

    fn from_pulses_per_si(value: f64) -> Self {
        Self(value)
    }

    fn as_pulses_per_si(self) -> f64 {
        self.0
    }
}

impl PulsesPer for PulsesPerDistance {
    type Over = Length;

    fn from_pulses_per_si(value: f64) -> Self {
        Self(value)
    }

    fn as_pulses_per_si(self) -> f64 {
        self.0
    }
}
