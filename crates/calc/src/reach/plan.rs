//! What is planned: a rig with its rates, the sections that are on, and how well its numbers are proven.
//!
//! What can be wrong or missing in a plan is named here too. What follows from a plan is in the sibling modules.

use units::{FlowRate, Length, Pressure, Share, Speed, VolumePerArea};

use super::proven::Proven;
use crate::rig::{ProductRate, Rig};

/// A plan: the rig with its carrier and product rates, and the sections that are on.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The rig, with the rates in it.
    pub rig: Rig,
    /// Which sections spray.
    pub sections_on: SectionSet,
    /// How many presses of a nudge, up and down, the plan must still hold. Usually 1.
    pub nudge_presses: u8,
    /// How well the numbers behind the limits are proven.
    pub proven: Proven,
}

impl Plan {
    /// All sections on, one press of each nudge, nothing proven.
    ///
    /// ```
    /// # use calc::{reach::plan::Plan, rig::Rig};
    /// assert_eq!(Plan::new(Rig::blank()).sections_on.count(), 0);
    /// ```
    #[must_use]
    pub fn new(rig: Rig) -> Self {
        let sections_on = SectionSet::all(rig.sections.len());
        Self { rig, sections_on, nudge_presses: 1, proven: Proven::default() }
    }

    /// The product rate that stands for a rate in force before any nudge.
    #[must_use]
    pub fn product_rate(&self, pump_idx: usize, which: WhichRate) -> Option<ProductRate> {
        let pump = self.rig.pumps.get(pump_idx)?;
        match which {
            WhichRate::First => pump.first,
            WhichRate::Second => pump.second,
        }
    }
}

/// A set of sections, by their place from the left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct SectionSet(u128);

impl SectionSet {
    /// The most sections that a set can speak of.
    pub const MOST: usize = 128;

    /// No section.
    #[must_use]
    pub const fn none() -> Self {
        Self(0)
    }

    /// The first `n` sections; [`Self::MOST`] where `n` is larger.
    #[must_use]
    pub fn all(n: usize) -> Self {
        (0..n).collect()
    }

    /// This set and one section more. Places from [`Self::MOST`] on are left out.
    #[must_use]
    pub const fn with(self, section_idx: usize) -> Self {
        if section_idx < Self::MOST { Self(self.0 | (1 << section_idx)) } else { self }
    }

    /// This set without one section.
    #[must_use]
    pub const fn without(self, section_idx: usize) -> Self {
        if section_idx < Self::MOST { Self(self.0 & !(1 << section_idx)) } else { self }
    }

    /// Whether a section is on.
    #[must_use]
    pub const fn contains(self, section_idx: usize) -> bool {
        section_idx < Self::MOST && self.0 & (1 << section_idx) != 0
    }

    /// How many sections are on.
    ///
    /// ```
    /// # use calc::reach::plan::SectionSet;
    /// // By hand: sections 0, 2 and 4 of five are three.
    /// assert_eq!(SectionSet::all(5).without(1).without(3).count(), 3);
    /// ```
    #[must_use]
    pub const fn count(self) -> usize {
        self.0.count_ones() as usize
    }

    /// Whether no section is on.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The places of the sections that are on, from the left.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        let mut left = self.0;
        std::iter::from_fn(move || {
            if left == 0 {
                return None;
            }
            let idx = left.trailing_zeros() as usize;
            left &= left - 1;
            Some(idx)
        })
    }
}

impl FromIterator<usize> for SectionSet {
    fn from_iter<T: IntoIterator<Item = usize>>(section_idxs: T) -> Self {
        section_idxs.into_iter().fold(Self::none(), Self::with)
    }
}

/// The first or the second product rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WhichRate {
    /// The product rate.
    First,
    /// The other one, on a switch.
    Second,
}

/// A product rate as it is in force: which one, and how far nudged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct RateInForce {
    /// First or second.
    pub which: WhichRate,
    /// Presses of the nudge: above zero up, below zero down.
    pub presses: i32,
}

impl RateInForce {
    /// The first rate, not nudged.
    pub const FIRST: Self = Self { which: WhichRate::First, presses: 0 };
    /// The second rate, not nudged.
    pub const SECOND: Self = Self { which: WhichRate::Second, presses: 0 };
}

/// What can set an end to the speeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Limit {
    /// The nozzles' pressure window.
    NozzlePressure,
    /// The carrier meter's rated flow.
    Meter,
    /// The supply pump less agitation and reserve.
    Supply,
    /// What one injection pump can give, at one of its rates.
    Pump {
        /// Place of the pump in the rig's list.
        pump_idx: usize,
        /// The rate that it has to give.
        rate: RateInForce,
    },
    /// The stated top speed.
    TopSpeed,
}

/// What is missing or makes no sense in a plan. The rest is still computed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Problem {
    /// The boom has no sections.
    NoSections,
    /// More sections than [`SectionSet::MOST`].
    TooManySections {
        /// How many there are.
        got: usize,
    },
    /// Sections are described, but none is on.
    NoSectionOn,
    /// A section is on that the boom does not have.
    SectionNotThere {
        /// Its place.
        section_idx: usize,
    },
    /// A section that is on has a width that is zero, negative or not finite.
    SectionWidth {
        /// Its place.
        section_idx: usize,
        /// Its width.
        got: Length,
    },
    /// No nozzle set is described.
    NoNozzleSet,
    /// The nominal flow of the nozzles is zero, negative or not finite.
    NozzleRatedFlow {
        /// What was given.
        got: FlowRate,
    },
    /// The pressure of the nominal flow is zero, negative or not finite.
    NozzleRatedPressure {
        /// What was given.
        got: Pressure,
    },
    /// Neither the number of nozzles nor their spacing is known, so the flow of one nozzle is not either.
    NozzlesNotCounted,
    /// The nozzles have no least pressure.
    NozzleLeastUnknown,
    /// The nozzles have no greatest pressure.
    NozzleGreatestUnknown,
    /// An end of the pressure window is negative or not finite.
    NozzleWindowPressure {
        /// What was given.
        got: Pressure,
    },
    /// The pressure window is the wrong way round; it is left out.
    NozzleWindowReversed {
        /// The pressure given as least.
        least: Pressure,
        /// The pressure given as greatest.
        greatest: Pressure,
    },
    /// The carrier's specific gravity is zero, negative or not finite.
    SpecificGravity {
        /// What was given.
        got: f64,
    },
    /// No meter is described.
    NoMeter,
    /// The meter has no least flow.
    MeterLeastUnknown,
    /// The meter has no greatest flow.
    MeterGreatestUnknown,
    /// A meter limit is negative or not finite.
    MeterFlow {
        /// What was given.
        got: FlowRate,
    },
    /// The meter's least flow lies above its greatest; both are left out.
    MeterReversed {
        /// The flow given as least.
        least: FlowRate,
        /// The flow given as greatest.
        greatest: FlowRate,
    },
    /// No supply pump is described.
    NoSupply,
    /// The supply pump's flow is zero, negative or not finite.
    SupplyFlow {
        /// What was given.
        got: FlowRate,
    },
    /// Agitation and reserve are not shares from 0, or leave nothing of the supply pump.
    SupplyShares {
        /// Share for agitation.
        agitation: Share,
        /// Share held back.
        reserve: Share,
    },
    /// No carrier rate and no manual pressure is given.
    NoCarrier,
    /// The carrier rate is zero, negative or not finite.
    CarrierRate {
        /// What was given.
        got: VolumePerArea,
    },
    /// The pressure of a carrier left in manual is zero, negative or not finite.
    ManualPressure {
        /// What was given.
        got: Pressure,
    },
    /// No pump has a product rate.
    NoProduct,
    /// A pump has a second rate, a nudge or a label maximum, but no first rate.
    NoFirstRate {
        /// Its place.
        pump_idx: usize,
    },
    /// A product rate is zero, negative or not finite.
    ProductRate {
        /// Place of the pump.
        pump_idx: usize,
        /// Which of its rates.
        which: WhichRate,
        /// What was given.
        got: ProductRate,
    },
    /// A rate per carrier cannot be turned into a flow, since the carrier is not known.
    PerCarrierWithoutCarrier {
        /// Place of the pump.
        pump_idx: usize,
        /// Which of its rates.
        which: WhichRate,
    },
    /// A pump that is to give product has no least output.
    PumpLeastUnknown {
        /// Its place.
        pump_idx: usize,
    },
    /// A pump that is to give product has no greatest output.
    PumpGreatestUnknown {
        /// Its place.
        pump_idx: usize,
    },
    /// A pump's least or greatest output is negative or not finite.
    PumpFlow {
        /// Its place.
        pump_idx: usize,
        /// What was given.
        got: FlowRate,
    },
    /// A pump's least output lies above its greatest; both are left out.
    PumpReversed {
        /// Its place.
        pump_idx: usize,
        /// The output given as least.
        least: FlowRate,
        /// The output given as greatest.
        greatest: FlowRate,
    },
    /// A nudge step is zero, negative, not finite or above 100 %; the nudge is left out.
    NudgeStep {
        /// Place of the pump.
        pump_idx: usize,
        /// What was given.
        got: Share,
    },
    /// So many presses down that nothing is left of the rate; these presses are left out.
    NudgedAway {
        /// Place of the pump.
        pump_idx: usize,
        /// Step of one press.
        step: Share,
        /// Presses, below zero.
        presses: i32,
    },
    /// A pump that is to give product has no label maximum to hold its doses against.
    LabelUnknown {
        /// Its place.
        pump_idx: usize,
    },
    /// A label maximum is zero, negative or not finite.
    Label {
        /// Place of the pump.
        pump_idx: usize,
        /// What was given.
        got: VolumePerArea,
    },
    /// The top speed is zero, negative or not finite.
    TopSpeed {
        /// What was given.
        got: Speed,
    },
    /// A speed that was asked for is zero, negative or not finite, or a range of speeds is the wrong way round.
    WantedSpeed {
        /// What was given.
        got: Speed,
    },
    /// The hold speed is zero, negative or not finite.
    HoldSpeed {
        /// What was given.
        got: Speed,
    },
    /// What was said of a proven number is no proof: its standard uncertainty is negative, not finite, or so large that
    /// nothing is left of the number at 95 %, or the error left in it is no number.
    Uncertainty {
        /// The standard uncertainty that was given.
        got: Share,
    },
}
