//! What a path may hold, and what a stored text at it means: the rules that rigs and trials share.
//! Reading one text is in `read`. Which paths there are is in [`crate::rig`] and [`crate::trial`].

mod read;

use std::collections::BTreeMap;

use units::{
    Area, Density, Duration, FlowRate, Length, LengthUnit, Mass, ParseProblem, Pressure,
    PulseConventionCodeError, Share, Speed, Temperature, Unit, Volume, VolumePerArea, VolumePerCarrier,
    VolumeUnit,
};

use crate::doc::Doc;
use crate::value::FieldValue;

pub use read::{IsoNumber, PulseNumber};
pub(crate) use read::{
    choice, convention, count, distance_pulses, doc_id, iso_number, number, product_rate, quantity,
    volume_pulses,
};

/// A kind of quantity, for messages and for lists of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Measure {
    /// A bare number.
    Number,
    /// [`Volume`].
    Volume,
    /// [`Length`].
    Length,
    /// [`Area`].
    Area,
    /// [`FlowRate`].
    FlowRate,
    /// [`Speed`].
    Speed,
    /// [`Pressure`].
    Pressure,
    /// [`Share`].
    Share,
    /// [`Density`].
    Density,
    /// [`Temperature`].
    Temperature,
    /// [`Mass`].
    Mass,
    /// [`Duration`].
    Duration,
    /// [`VolumePerArea`].
    VolumePerArea,
    /// [`VolumePerCarrier`].
    VolumePerCarrier,
    /// [`crate::ProductRate`]: per area or per carrier.
    ProductRate,
}

/// What a path holds.
///
/// *Plain* means that the stored text is the value; *typed* means that it is a [`FieldValue`].
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Holds {
    /// Plain words.
    Words,
    /// Plain: one of these.
    Choice(&'static [&'static str]),
    /// Plain: the code of a unit.
    UnitOf(Measure),
    /// Plain: the code of a [`units::PulseConvention`] over volumes.
    VolumeConvention,
    /// Plain: the code of a [`units::PulseConvention`] over distances.
    DistanceConvention,
    /// Plain: a [`crate::DocId`].
    Doc,
    /// Typed: a whole number.
    Count,
    /// Typed: a bare number.
    Number,
    /// Typed: a number in the volume convention at this path; the range is that of pulses per cubic metre.
    VolumePulses(&'static str),
    /// Typed: a number in the distance convention at this path; the range is that of pulses per metre.
    DistancePulses(&'static str),
    /// Typed: a quantity with its unit.
    Quantity(Measure),
    /// Typed: an ISO 10625 nozzle number.
    IsoNumber,
}

impl Holds {
    /// Whether the stored text is a [`FieldValue`] rather than the value itself.
    #[must_use]
    pub fn is_typed(self) -> bool {
        !matches!(
            self,
            Self::Words
                | Self::Choice(_)
                | Self::UnitOf(_)
                | Self::VolumeConvention
                | Self::DistanceConvention
                | Self::Doc
        )
    }
}

/// When a field has to be filled in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It may stay empty.
    No,
    /// Always.
    Yes,
    /// When the choice at this path is this one; a path without text counts as its first choice.
    If(&'static str, &'static str),
}

/// One path, what it holds and which values are believable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FieldSpec {
    /// The path. `N` stands for a number from 1, `*` for any one segment.
    pub path: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// Smallest believable value, SI, included.
    pub least: f64,
    /// Largest believable value, SI, included.
    pub greatest: f64,
    /// When it has to be there.
    pub need: Need,
}

/// A row of a table whose value may be left out.
pub(crate) const fn row(path: &'static str, holds: Holds, least: f64, greatest: f64) -> FieldSpec {
    FieldSpec::new(path, holds, least, greatest, Need::No)
}

/// A row of a table whose value has no range.
pub(crate) const fn plain(path: &'static str, holds: Holds, need: Need) -> FieldSpec {
    FieldSpec::plain(path, holds, need)
}

impl FieldSpec {
    pub(crate) const fn new(path: &'static str, holds: Holds, least: f64, greatest: f64, need: Need) -> Self {
        Self { path, holds, least, greatest, need }
    }

    pub(crate) const fn plain(path: &'static str, holds: Holds, need: Need) -> Self {
        Self::new(path, holds, 0.0, f64::MAX, need)
    }

    /// Whether the path fits the pattern; the numbers at `N` and `*` are then put into it by [`fill`].
    #[must_use]
    pub fn fits(&self, path: &str) -> bool {
        let mut parts = path.split('.');
        for expected in self.path.split('.') {
            let Some(part) = parts.next() else { return false };
            let fits = match expected {
                "N" => {
                    (1..=2).contains(&part.len())
                        && !part.starts_with('0')
                        && part.bytes().all(|b| b.is_ascii_digit())
                }
                "*" => !part.is_empty(),
                word => part == word,
            };
            if !fits {
                return false;
            }
        }
        parts.next().is_none()
    }
}

/// The first pattern's `N` and `*` replaced by what stands at the same segment of `path`.
///
/// ```
/// # use records::fields::fill;
/// assert_eq!(fill("pump.N.convention", "pump.2.number"), "pump.2.convention");
/// ```
#[must_use]
pub fn fill(pattern: &str, path: &str) -> String {
    let mut parts = path.split('.');
    let filled: Vec<&str> = pattern
        .split('.')
        .map(|word| {
            let part = parts.next();
            if matches!(word, "N" | "*") { part.unwrap_or(word) } else { word }
        })
        .collect();
    filled.join(".")
}

/// Why a field's text is no value.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum FieldProblem {
    /// Nothing is there, and something is needed.
    Missing,
    /// It does not read as a number or quantity.
    Parse(ParseProblem),
    /// Zero where that makes no sense.
    Zero,
    /// Below zero where that makes no sense.
    Negative,
    /// Not believable.
    OutOfRange {
        /// What was read, SI (or the bare number).
        got: f64,
        /// Smallest believable value, SI (or the bare number).
        least: f64,
        /// Largest believable value, SI (or the bare number).
        greatest: f64,
        /// Of what.
        measure: Measure,
    },
    /// A fraction where a count is wanted.
    NotWhole {
        /// What was read.
        got: f64,
    },
    /// None of the choices.
    NotAChoice {
        /// The text as found.
        found: String,
        /// What is possible.
        options: &'static [&'static str],
    },
    /// A stored unit code that no unit has.
    UnitCode {
        /// The code as found.
        found: String,
    },
    /// A convention that cannot be read.
    Convention(PulseConventionCodeError),
    /// A number whose convention is not known yet.
    NoConvention,
    /// Not an ISO 10625 number such as 03 or 015.
    NotAnIsoNumber {
        /// The text as found.
        found: String,
    },
    /// Not the id of a document.
    NotADoc {
        /// The text as found.
        found: String,
    },
}

impl From<ParseProblem> for FieldProblem {
    fn from(problem: ParseProblem) -> Self {
        Self::Parse(problem)
    }
}

/// Anything that has texts at paths: a [`Doc`], a map, a form over a document.
pub trait Texts {
    /// The text at a path.
    fn text_at(&self, path: &str) -> Option<&str>;

    /// Every path with a text.
    fn paths(&self) -> Vec<&str>;
}

impl Texts for Doc {
    fn text_at(&self, path: &str) -> Option<&str> {
        self.text(path)
    }

    fn paths(&self) -> Vec<&str> {
        self.texts().map(|(path, _)| path).collect()
    }
}

impl Texts for BTreeMap<String, String> {
    fn text_at(&self, path: &str) -> Option<&str> {
        self.get(path).map(String::as_str)
    }

    fn paths(&self) -> Vec<&str> {
        self.keys().map(String::as_str).collect()
    }
}

/// A form that is being filled in, laid over what is stored. `None` clears.
#[derive(Clone, Copy, Debug)]
pub struct Overlay<'a, T> {
    /// What lies below.
    pub base: &'a T,
    /// What was typed and not saved yet.
    pub over: &'a BTreeMap<String, Option<String>>,
}

impl<T: Texts> Texts for Overlay<'_, T> {
    fn text_at(&self, path: &str) -> Option<&str> {
        match self.over.get(path) {
            Some(text) => text.as_deref(),
            None => self.base.text_at(path),
        }
    }

    fn paths(&self) -> Vec<&str> {
        let below = self.base.paths().into_iter().filter(|path| !self.over.contains_key(*path));
        let above = self.over.iter().filter(|(_, text)| text.is_some()).map(|(path, _)| path.as_str());
        below.chain(above).collect()
    }
}

/// Checks the text at a path as its pattern wants it. Nothing there is no problem here; see [`missing`].
///
/// # Errors
/// [`FieldProblem`].
pub fn check(spec: &FieldSpec, path: &str, texts: &dyn Texts) -> Result<(), FieldProblem> {
    let Some(stored) = texts.text_at(path) else { return Ok(()) };
    let value = || FieldValue::from_stored(stored);
    match spec.holds {
        Holds::Words => Ok(()),
        Holds::Choice(options) => choice(stored, options).map(|_| ()),
        Holds::UnitOf(measure) => unit_code(stored, measure),
        Holds::VolumeConvention => convention::<VolumeUnit>(stored).map(|_| ()),
        Holds::DistanceConvention => convention::<LengthUnit>(stored).map(|_| ()),
        Holds::Doc => doc_id(stored).map(|_| ()),
        Holds::Count => count(&value(), spec).map(|_| ()),
        Holds::Number => number(&value(), spec).map(|_| ()),
        Holds::VolumePulses(at) => volume_pulses(&value(), spec, texts.text_at(&fill(at, path))).map(|_| ()),
        Holds::DistancePulses(at) => {
            distance_pulses(&value(), spec, texts.text_at(&fill(at, path))).map(|_| ())
        }
        Holds::IsoNumber => iso_number(&value()).map(|_| ()),
        Holds::Quantity(measure) => check_quantity(&value(), spec, measure),
    }
}

/// Whether something has to stand at the path and nothing does.
#[must_use]
pub fn missing(spec: &FieldSpec, path: &str, texts: &dyn Texts, all: &[FieldSpec]) -> bool {
    if texts.text_at(path).is_some_and(|text| !text.trim().is_empty()) {
        return false;
    }
    match spec.need {
        Need::No => false,
        Need::Yes => true,
        Need::If(at, choice) => {
            let at = fill(at, path);
            let first = || match all.iter().find(|other| other.fits(&at)).map(|other| other.holds) {
                Some(Holds::Choice(options)) => options.first().copied(),
                _ => None,
            };
            texts.text_at(&at).or_else(first) == Some(choice)
        }
    }
}

fn check_quantity(value: &FieldValue, spec: &FieldSpec, measure: Measure) -> Result<(), FieldProblem> {
    match measure {
        Measure::Number => number(value, spec).map(|_| ()),
        Measure::Volume => quantity::<Volume>(value, spec, measure).map(|_| ()),
        Measure::Length => quantity::<Length>(value, spec, measure).map(|_| ()),
        Measure::Area => quantity::<Area>(value, spec, measure).map(|_| ()),
        Measure::FlowRate => quantity::<FlowRate>(value, spec, measure).map(|_| ()),
        Measure::Speed => quantity::<Speed>(value, spec, measure).map(|_| ()),
        Measure::Pressure => quantity::<Pressure>(value, spec, measure).map(|_| ()),
        Measure::Share => quantity::<Share>(value, spec, measure).map(|_| ()),
        Measure::Density => quantity::<Density>(value, spec, measure).map(|_| ()),
        Measure::Temperature => quantity::<Temperature>(value, spec, measure).map(|_| ()),
        Measure::Mass => quantity::<Mass>(value, spec, measure).map(|_| ()),
        Measure::Duration => quantity::<Duration>(value, spec, measure).map(|_| ()),
        Measure::VolumePerArea => quantity::<VolumePerArea>(value, spec, measure).map(|_| ()),
        Measure::VolumePerCarrier => quantity::<VolumePerCarrier>(value, spec, measure).map(|_| ()),
        Measure::ProductRate => product_rate(value, spec).map(|_| ()),
    }
}

/// Whether a unit of the measure has this code.
fn unit_code(code: &str, measure: Measure) -> Result<(), FieldProblem> {
    fn has<U: Unit>(code: &str) -> bool {
        U::from_code(code).is_some()
    }
    let known = match measure {
        Measure::Number => false,
        Measure::Volume => has::<VolumeUnit>(code),
        Measure::Length => has::<LengthUnit>(code),
        Measure::Area => has::<units::AreaUnit>(code),
        Measure::FlowRate => has::<units::FlowRateUnit>(code),
        Measure::Speed => has::<units::SpeedUnit>(code),
        Measure::Pressure => has::<units::PressureUnit>(code),
        Measure::Share => has::<units::ShareUnit>(code),
        Measure::Density => has::<units::DensityUnit>(code),
        Measure::Temperature => has::<units::TemperatureUnit>(code),
        Measure::Mass => has::<units::MassUnit>(code),
        Measure::Duration => has::<units::DurationUnit>(code),
        Measure::VolumePerArea => has::<units::VolumePerAreaUnit>(code),
        Measure::VolumePerCarrier => has::<units::VolumePerCarrierUnit>(code),
        Measure::ProductRate => {
            has::<units::VolumePerAreaUnit>(code) || has::<units::VolumePerCarrierUnit>(code)
        }
    };
    if known { Ok(()) } else { Err(FieldProblem::UnitCode { found: code.to_owned() }) }
}
