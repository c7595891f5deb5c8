//! What a reading is: which quantity, what it says, how well. No model of the rig lives here, and no sentence.

use units::{
    Area, Duration, FlowRate, Length, Pressure, Quantity, Speed, Volume, VolumePerArea, VolumePerCarrier,
};

use crate::model::KeyedNumber;

/// The quantity that a reading is about. "Shown" is what the console says; the rest is what a jug, a tape, a stopwatch
/// or a gauge says. Pumps are counted from 0 in the console's order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum What {
    /// Carrier flow on the display.
    ShownFlow,
    /// Carrier volume counted by the console.
    ShownVolume,
    /// Speed on the display; on a standing run the simulated one.
    ShownSpeed,
    /// Distance counted by the console.
    ShownDistance,
    /// Width of the sections that the console holds to be on.
    ShownWidth,
    /// Area counted by the console.
    ShownArea,
    /// Carrier rate on the display.
    ShownRate,
    /// Volume of one product counted by the console.
    ShownProductVolume(usize),
    /// Rate of one product on the display, per area or per carrier as it is keyed in.
    ShownProductRate(usize),
    /// Carrier that really left: caught, weighed, dipped or refilled.
    Volume,
    /// Carrier flow by another meter than the rig's own.
    Flow,
    /// Time that the counted quantities ran, by stopwatch.
    Time,
    /// Width that is really wetted, by tape, with the sections of the situation on.
    Width,
    /// Distance really driven, by tape.
    Distance,
    /// Speed over ground, by stopwatch over a taped distance.
    Speed,
    /// Area really covered.
    Area,
    /// Volume of one product drawn from its tank or cylinder.
    ProductVolume(usize),
    /// Mean flow of one nozzle, caught at several nozzles that spray.
    NozzleFlow,
    /// Pressure at the nozzles.
    Pressure,
    /// A number read back from the console's set-up page, in the console's own convention.
    ReadBack(KeyedNumber),
}

impl What {
    /// Whether the console says it.
    #[must_use]
    pub const fn is_shown(self) -> bool {
        matches!(
            self,
            Self::ShownFlow
                | Self::ShownVolume
                | Self::ShownSpeed
                | Self::ShownDistance
                | Self::ShownWidth
                | Self::ShownArea
                | Self::ShownRate
                | Self::ShownProductVolume(_)
                | Self::ShownProductRate(_)
        )
    }

    /// How far a fair try with hand tools may be off, as a share of what was read, 19 times in 20; common practice, no
    /// source. What a stopwatch loses at its start and stop is not in it, nor what a coarse readout loses.
    #[must_use]
    pub const fn usual_share(self) -> f64 {
        match self {
            Self::ReadBack(_) => 0.002,
            Self::ShownDistance | Self::ShownWidth | Self::Time | Self::Width | Self::Distance => 0.01,
            Self::ShownFlow
            | Self::ShownVolume
            | Self::ShownSpeed
            | Self::ShownArea
            | Self::ShownRate
            | Self::ShownProductVolume(_)
            | Self::ShownProductRate(_)
            | Self::Volume
            | Self::Flow
            | Self::Area => 0.02,
            Self::ProductVolume(_) => 0.03,
            Self::Speed | Self::NozzleFlow => 0.04,
            Self::Pressure => 0.06,
        }
    }

    /// The pump that it belongs to.
    #[must_use]
    pub const fn pump(self) -> Option<usize> {
        match self {
            Self::ShownProductVolume(pump) | Self::ShownProductRate(pump) | Self::ProductVolume(pump) => {
                Some(pump)
            }
            _ => None,
        }
    }
}

/// A quantity of any kind that a reading can have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Of [`What::ShownFlow`], [`What::Flow`], [`What::NozzleFlow`].
    Flow(FlowRate),
    /// Of [`What::ShownVolume`], [`What::Volume`], [`What::ShownProductVolume`], [`What::ProductVolume`].
    Volume(Volume),
    /// Of [`What::ShownSpeed`], [`What::Speed`].
    Speed(Speed),
    /// Of [`What::ShownDistance`], [`What::Distance`], [`What::ShownWidth`], [`What::Width`].
    Length(Length),
    /// Of [`What::ShownArea`], [`What::Area`].
    Area(Area),
    /// Of [`What::ShownRate`] and [`What::ShownProductRate`].
    PerArea(VolumePerArea),
    /// Of [`What::ShownProductRate`] where the product follows the carrier.
    PerCarrier(VolumePerCarrier),
    /// Of [`What::Time`].
    Time(Duration),
    /// Of [`What::Pressure`].
    Pressure(Pressure),
    /// Of [`What::ReadBack`]: the bare number as the console shows it.
    Number(f64),
}

impl Amount {
    /// The SI number.
    #[must_use]
    pub fn as_si(self) -> f64 {
        match self {
            Self::Flow(q) => q.as_si(),
            Self::Volume(q) => q.as_si(),
            Self::Speed(q) => q.as_si(),
            Self::Length(q) => q.as_si(),
            Self::Area(q) => q.as_si(),
            Self::PerArea(q) => q.as_si(),
            Self::PerCarrier(q) => q.as_si(),
            Self::Time(q) => q.as_si(),
            Self::Pressure(q) => q.as_si(),
            Self::Number(value) => value,
        }
    }

    /// The same kind of quantity with another SI number.
    #[must_use]
    pub fn with_si(self, si: f64) -> Self {
        match self {
            Self::Flow(_) => Self::Flow(FlowRate::from_si(si)),
            Self::Volume(_) => Self::Volume(Volume::from_si(si)),
            Self::Speed(_) => Self::Speed(Speed::from_si(si)),
            Self::Length(_) => Self::Length(Length::from_si(si)),
            Self::Area(_) => Self::Area(Area::from_si(si)),
            Self::PerArea(_) => Self::PerArea(VolumePerArea::from_si(si)),
            Self::PerCarrier(_) => Self::PerCarrier(VolumePerCarrier::from_si(si)),
            Self::Time(_) => Self::Time(Duration::from_si(si)),
            Self::Pressure(_) => Self::Pressure(Pressure::from_si(si)),
            Self::Number(_) => Self::Number(si),
        }
    }

    /// Whether this kind of quantity belongs to that reading.
    #[must_use]
    pub const fn fits(self, what: What) -> bool {
        match what {
            What::ShownFlow | What::Flow | What::NozzleFlow => matches!(self, Self::Flow(_)),
            What::ShownVolume | What::Volume | What::ShownProductVolume(_) | What::ProductVolume(_) => {
                matches!(self, Self::Volume(_))
            }
            What::ShownSpeed | What::Speed => matches!(self, Self::Speed(_)),
            What::ShownDistance | What::Distance | What::ShownWidth | What::Width => {
                matches!(self, Self::Length(_))
            }
            What::ShownArea | What::Area => matches!(self, Self::Area(_)),
            What::ShownRate => matches!(self, Self::PerArea(_)),
            What::ShownProductRate(_) => matches!(self, Self::PerArea(_) | Self::PerCarrier(_)),
            What::Time => matches!(self, Self::Time(_)),
            What::Pressure => matches!(self, Self::Pressure(_)),
            What::ReadBack(_) => matches!(self, Self::Number(_)),
        }
    }
}

/// One reading with its standard uncertainty.
///
/// `u` holds everything that can move this one reading: readout step, graduation, timing, flicker of the display. For a
/// readout in steps of δ it is at least δ/(2√3) (rectangular distribution, JCGM 100:2008, 4.3.7).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The quantity.
    pub what: What,
    /// What was read, ≥ 0.
    pub seen: Amount,
    /// Standard uncertainty of what was read, > 0, same kind of quantity.
    pub u: Amount,
}

impl Reading {
    /// A reading as it was read off: `share` is how far it may be off as a share of itself, 19 times in 20 (coverage factor
    /// 2), `last_place` the place of its last digit, in SI.
    ///
    /// `u² = (share·seen/2)² + last_place²/12`, for a time also (0.2 s)² for the hand at start and stop. Source: JCGM 100:2008,
    /// 4.3.7 and 6.3.3; the hand is common practice, no source.
    ///
    /// ```
    /// # use calc::diagnosis::{Amount, Reading, What};
    /// # use units::Length;
    /// // By hand: 1 % of 34 m, halved, is 0.17 m; steps of 0.1 m add 0.0289 m; together 0.17244 m.
    /// let taped = Reading::read_off(What::Width, Amount::Length(Length::from_m(34.0)), 0.01, 0.1);
    /// assert!((taped.u.as_si() - 0.172_44).abs() < 1e-5);
    /// ```
    #[must_use]
    pub fn read_off(what: What, seen: Amount, share: f64, last_place: f64) -> Self {
        let hand = if matches!(what, What::Time) { 0.2 } else { 0.0 };
        let si = (0.5 * share * seen.as_si()).hypot(last_place / 12_f64.sqrt()).hypot(hand);
        Self { what, seen, u: seen.with_si(si) }
    }

    /// A reading with a relative standard uncertainty.
    ///
    /// ```
    /// # use calc::diagnosis::{Amount, Reading, What};
    /// # use units::{Quantity, Volume};
    /// // By hand: 2 % of 50 L is 1 L.
    /// let caught = Reading::relative(What::Volume, Amount::Volume(Volume::from_l(50.0)), 0.02);
    /// assert!((caught.u.as_si() - Volume::from_l(1.0).as_si()).abs() < 1e-15);
    /// ```
    #[must_use]
    pub fn relative(what: What, seen: Amount, u_rel: f64) -> Self {
        Self { what, seen, u: seen.with_si(seen.as_si() * u_rel) }
    }
}
