//! What the diagnosis must know of the rig: every keyed-in number with its convention and digits, and the nozzles.
//! How a slip changes a number lives in `slips`, what a number does to the readings in `forward`.

use units::{
    KeyInStep, LengthUnit, PulseConvention, PulsesPerDistance, PulsesPerVolume, ShareUnit, SpeedUnit, Unit,
    VolumePerAreaUnit, VolumePerCarrierUnit, VolumeUnit,
};

use super::reading::Reading;
pub(crate) use crate::model::KeyedNumber as Entry;
use crate::rig::NozzleSet;

/// In which unit the console wants a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NumberForm {
    /// Meter and pump numbers.
    PerVolume(PulseConvention<VolumeUnit>),
    /// Course numbers.
    PerDistance(PulseConvention<LengthUnit>),
    /// Section widths.
    Length(LengthUnit),
    /// Rates per area.
    PerArea(VolumePerAreaUnit),
    /// Product rates per carrier.
    PerCarrier(VolumePerCarrierUnit),
    /// Nudge steps.
    Share(ShareUnit),
    /// Standing and hold speeds.
    Speed(SpeedUnit),
}

impl NumberForm {
    /// Whether this form belongs to that entry.
    #[must_use]
    pub const fn fits(self, entry: Entry) -> bool {
        match entry {
            Entry::Meter | Entry::Pump(_) => matches!(self, Self::PerVolume(_)),
            Entry::Course => matches!(self, Self::PerDistance(_)),
            Entry::Width(_) | Entry::TotalWidth => matches!(self, Self::Length(_)),
            Entry::CarrierRate => matches!(self, Self::PerArea(_)),
            Entry::FirstRate(_) | Entry::SecondRate(_) => {
                matches!(self, Self::PerArea(_) | Self::PerCarrier(_))
            }
            Entry::NudgeStep(_) => matches!(self, Self::Share(_)),
            Entry::StandingSpeed | Entry::HoldSpeed => matches!(self, Self::Speed(_)),
        }
    }

    /// What a number in this form means, in SI: pulses per m³ or per m for pulse numbers (always in the counting
    /// sense), else m, m³/m², a ratio or m/s.
    #[must_use]
    pub fn meaning_si(self, number: f64) -> f64 {
        match self {
            Self::PerVolume(form) => form.meaning::<PulsesPerVolume>(number).as_per_m3(),
            Self::PerDistance(form) => form.meaning::<PulsesPerDistance>(number).as_per_m(),
            Self::Length(unit) => unit.to_si(number),
            Self::PerArea(unit) => unit.to_si(number),
            Self::PerCarrier(unit) => unit.to_si(number),
            Self::Share(unit) => unit.to_si(number),
            Self::Speed(unit) => unit.to_si(number),
        }
    }

    /// The number that says this in this form. The inverse of [`Self::meaning_si`].
    #[must_use]
    pub fn number_of_si(self, si: f64) -> f64 {
        match self {
            Self::PerVolume(form) => form.key_in(PulsesPerVolume::from_per_m3(si)),
            Self::PerDistance(form) => form.key_in(PulsesPerDistance::from_per_m(si)),
            Self::Length(unit) => unit.of_si(si),
            Self::PerArea(unit) => unit.of_si(si),
            Self::PerCarrier(unit) => unit.of_si(si),
            Self::Share(unit) => unit.of_si(si),
            Self::Speed(unit) => unit.of_si(si),
        }
    }
}

/// How well a number on the sheet is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Proof {
    /// Printed on the part, and never tried since.
    Stamped,
    /// From the maker's papers, measured at rest or guessed, and never tried since.
    Untried,
    /// Proven in a trial, with this relative standard uncertainty, > 0.
    Proven {
        /// Relative standard uncertainty, e.g. 0.005.
        u_rel: f64,
    },
}

/// A keyed-in number as the key-in sheet has it.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetNumber {
    /// Which number.
    pub entry: Entry,
    /// Unit and, for pulse numbers, counting or spacing.
    pub form: NumberForm,
    /// Its digits as they are keyed in, e.g. `241` or `12.5`. Plain digits with at most one decimal point; anything else
    /// (feet and inches) is replaced by the digits of [`Self::value`].
    pub text: String,
    /// The number itself, in the console's form. Finite, > 0.
    pub value: f64,
    /// Steps in which the console takes it, and its largest value.
    pub step: Option<KeyInStep>,
    /// How well it is known.
    pub proof: Proof,
    /// The number stamped on the part, in the console's form, where a trial has replaced it since.
    pub stamped: Option<f64>,
}

impl SheetNumber {
    /// What the number means in SI; see [`NumberForm::meaning_si`].
    #[must_use]
    pub fn meaning_si(&self) -> f64 {
        self.form.meaning_si(self.value)
    }
}

/// What turns the wheel-speed sensor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpeedSource {
    /// A wheel or a drive shaft: it can slip and its tyre wears.
    Wheel,
    /// Looks at the ground or the sky: it cannot slip.
    Ground,
    /// Not known; slip is thought possible.
    Unknown,
}

/// A rig as keyed in.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// Every keyed-in number, each entry once. Sections and pumps without gaps from 0.
    pub numbers: Vec<SheetNumber>,
    /// How many nozzles each section carries; empty or 0 where not known.
    pub n_nozzles: Vec<u32>,
    /// The nozzle set; gives pressure its meaning.
    pub nozzles: Option<NozzleSet>,
    /// Carrier density over that of water, > 0.
    pub specific_gravity: f64,
    /// What the speed sensor looks at.
    pub speed_source: SpeedSource,
}

/// Whether the rig moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Motion {
    /// Boom on, truck still, console on its simulated speed.
    Standing,
    /// Driven.
    Driving,
}

/// How the carrier was run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CarrierMode {
    /// The console steers the valve: the shown rate sits on the keyed-in target, whatever the meter number is.
    Regulated,
    /// The valve is left alone: nozzles and pressure decide the flow.
    Manual,
}

/// The product rate that is thought to be in force at one pump.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ProductInUse {
    /// On the second rate.
    pub second: bool,
    /// Presses of the nudge, up positive.
    pub presses: i32,
}

impl ProductInUse {
    /// The first rate, not nudged.
    pub const FIRST: Self = Self { second: false, presses: 0 };
}

/// Under which condition readings were taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// Standing or driving.
    pub motion: Motion,
    /// Regulated or manual.
    pub carrier: CarrierMode,
    /// Which sections are on; an empty list means all.
    pub sections_on: Vec<bool>,
    /// What each pump is set to; `None` where it is off. An empty list means every pump on its first rate.
    pub products: Vec<Option<ProductInUse>>,
}

/// One trial or one stretch of work: a condition that held all the time, and what was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Situation {
    /// The condition.
    pub condition: Condition,
    /// The readings, in any order, each quantity as often as it was read.
    pub readings: Vec<Reading>,
}

impl Condition {
    /// Standing, regulated, every section on, every pump on its first rate.
    #[must_use]
    pub const fn standing() -> Self {
        Self {
            motion: Motion::Standing,
            carrier: CarrierMode::Regulated,
            sections_on: Vec::new(),
            products: Vec::new(),
        }
    }

    /// Driving, regulated, every section on, every pump on its first rate.
    #[must_use]
    pub fn driving() -> Self {
        Self { motion: Motion::Driving, ..Self::standing() }
    }

    /// Whether a section is on.
    #[must_use]
    pub fn section_on(&self, section: usize) -> bool {
        self.sections_on.is_empty() || self.sections_on.get(section).copied().unwrap_or(false)
    }

    /// What a pump is set to.
    #[must_use]
    pub fn product(&self, pump: usize) -> Option<ProductInUse> {
        if self.products.is_empty() {
            Some(ProductInUse::FIRST)
        } else {
            self.products.get(pump).copied().flatten()
        }
    }
}

/// Why a set-up or its readings cannot be reasoned about.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum DiagnosisError {
    /// A keyed-in number is not finite or not above zero.
    Number {
        /// Which one.
        entry: Entry,
        /// Its value.
        got: f64,
    },
    /// A number's form does not belong to its entry, e.g. a width in L/ha.
    Form {
        /// Which one.
        entry: Entry,
    },
    /// The same entry stands twice in the set-up.
    Twice {
        /// Which one.
        entry: Entry,
    },
    /// A section or pump is missing between others, or a needed number is missing altogether.
    Missing {
        /// Which one.
        entry: Entry,
    },
    /// A proof's uncertainty is not finite or not above zero.
    ProofUncertainty {
        /// Of which number.
        entry: Entry,
        /// What was given.
        got: f64,
    },
    /// Specific gravity or a nozzle's rating is not finite or not above zero.
    Nozzles,
    /// A reading is negative or not finite.
    Reading {
        /// In which situation.
        situation: usize,
        /// Which reading of it.
        reading: usize,
        /// Its SI number.
        got: f64,
    },
    /// A reading's uncertainty is not finite or not above zero.
    ReadingUncertainty {
        /// In which situation.
        situation: usize,
        /// Which reading of it.
        reading: usize,
        /// Its SI number.
        got: f64,
    },
    /// The kind of quantity does not belong to the reading, or its uncertainty is of another kind.
    ReadingKind {
        /// In which situation.
        situation: usize,
        /// Which reading of it.
        reading: usize,
    },
    /// A reading belongs to a pump, a section or an entry that the set-up does not have, or that is off.
    ReadingOfNothing {
        /// In which situation.
        situation: usize,
        /// Which reading of it.
        reading: usize,
    },
    /// No section is on.
    NoSectionOn {
        /// In which situation.
        situation: usize,
    },
}

impl Setup {
    /// A rig of which nothing is keyed in yet, with water as its carrier.
    #[must_use]
    pub const fn blank() -> Self {
        Self {
            numbers: Vec::new(),
            n_nozzles: Vec::new(),
            nozzles: None,
            specific_gravity: 1.0,
            speed_source: SpeedSource::Unknown,
        }
    }

    /// The number of an entry.
    #[must_use]
    pub fn number(&self, entry: Entry) -> Option<&SheetNumber> {
        self.numbers.iter().find(|n| n.entry == entry)
    }

    /// How many sections have a width.
    #[must_use]
    pub fn n_sections(&self) -> usize {
        self.numbers.iter().filter(|n| matches!(n.entry, Entry::Width(_))).count()
    }

    /// How many injection pumps have a number or a rate.
    #[must_use]
    pub fn n_pumps(&self) -> usize {
        self.numbers
            .iter()
            .filter_map(|n| match n.entry {
                Entry::Pump(p) | Entry::FirstRate(p) | Entry::SecondRate(p) | Entry::NudgeStep(p) => {
                    Some(p + 1)
                }
                _ => None,
            })
            .max()
            .unwrap_or(0)
    }

    /// Nozzles of the sections that are on; 0 where any of them is not known.
    #[must_use]
    pub fn nozzles_on(&self, condition: &Condition) -> u32 {
        let counts: Vec<u32> = (0..self.n_sections())
            .filter(|j| condition.section_on(*j))
            .map(|j| self.n_nozzles.get(j).copied().unwrap_or(0))
            .collect();
        if counts.contains(&0) { 0 } else { counts.iter().sum() }
    }

    /// Checks the set-up.
    ///
    /// # Errors
    /// [`DiagnosisError`] names the first number that makes no sense. Meter, course and rates may be missing: then the
    /// readings that need them are simply not compared.
    pub fn check(&self) -> Result<(), DiagnosisError> {
        for (idx, number) in self.numbers.iter().enumerate() {
            let entry = number.entry;
            if !(number.value.is_finite() && number.value > 0.0) {
                return Err(DiagnosisError::Number { entry, got: number.value });
            }
            if !number.form.fits(entry) {
                return Err(DiagnosisError::Form { entry });
            }
            if self.numbers[..idx].iter().any(|earlier| earlier.entry == entry) {
                return Err(DiagnosisError::Twice { entry });
            }
            if let Proof::Proven { u_rel } = number.proof
                && !(u_rel.is_finite() && u_rel > 0.0)
            {
                return Err(DiagnosisError::ProofUncertainty { entry, got: u_rel });
            }
        }
        let gap = (0..self.n_sections()).map(Entry::Width).find(|e| self.number(*e).is_none());
        if let Some(entry) = gap {
            return Err(DiagnosisError::Missing { entry });
        }
        if self.n_sections() == 0 && self.number(Entry::TotalWidth).is_none() {
            return Err(DiagnosisError::Missing { entry: Entry::Width(0) });
        }
        let fine = |x: f64| x.is_finite() && x > 0.0;
        let rating =
            self.nozzles.is_none_or(|n| fine(n.rated_flow.as_m3_per_s()) && fine(n.rated_pressure.as_pa()));
        if !(fine(self.specific_gravity) && rating) {
            return Err(DiagnosisError::Nozzles);
        }
        Ok(())
    }
}
