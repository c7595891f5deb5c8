//! From a stored text to a value: one reader for each kind of field, with its range.

use units::{
    Form, LengthUnit, ParseProblem, PulseConvention, PulsesPerDistance, PulsesPerVolume, Quantity, Typed,
    Unit, VolumeUnit, parse, parse_number,
};

use super::{FieldProblem, FieldSpec, Measure};
use crate::ids::DocId;
use crate::product_rate::ProductRate;
use crate::value::FieldValue;

/// One of the options.
pub(crate) fn choice(stored: &str, options: &'static [&'static str]) -> Result<&'static str, FieldProblem> {
    options
        .iter()
        .copied()
        .find(|option| *option == stored)
        .ok_or_else(|| FieldProblem::NotAChoice { found: stored.to_owned(), options })
}

/// A convention from its code.
pub(crate) fn convention<U: Unit>(stored: &str) -> Result<PulseConvention<U>, FieldProblem> {
    PulseConvention::from_code(stored).map_err(FieldProblem::Convention)
}

pub(crate) fn doc_id(stored: &str) -> Result<DocId, FieldProblem> {
    stored.parse().map_err(|_| FieldProblem::NotADoc { found: stored.to_owned() })
}

/// A whole number in range.
pub(crate) fn count(value: &FieldValue, spec: &FieldSpec) -> Result<u32, FieldProblem> {
    let got = number(value, spec)?;
    if got.fract() != 0.0 || got > f64::from(u32::MAX) {
        return Err(FieldProblem::NotWhole { got });
    }
    // In range by now: whole, not negative, at most u32::MAX.
    Ok(got as u32)
}

/// A bare number in range.
pub(crate) fn number(value: &FieldValue, spec: &FieldSpec) -> Result<f64, FieldProblem> {
    let got = parse_number(&value.text)?;
    in_range(got, spec.least, spec.greatest, Measure::Number)?;
    Ok(got)
}

/// A number in a convention over volumes.
pub(crate) fn volume_pulses(
    value: &FieldValue,
    spec: &FieldSpec,
    convention_code: Option<&str>,
) -> Result<PulseNumber<PulsesPerVolume>, FieldProblem> {
    let number = positive_number(value)?;
    let convention: PulseConvention<VolumeUnit> =
        convention(convention_code.ok_or(FieldProblem::NoConvention)?)?;
    let key = |si| convention.key_in(PulsesPerVolume::from_per_m3(si));
    pulses_in_range(number, convention.form, key(spec.least), key(spec.greatest))?;
    Ok(PulseNumber { number, pulses: convention.meaning(number) })
}

/// A number in a convention over distances.
pub(crate) fn distance_pulses(
    value: &FieldValue,
    spec: &FieldSpec,
    convention_code: Option<&str>,
) -> Result<PulseNumber<PulsesPerDistance>, FieldProblem> {
    let number = positive_number(value)?;
    let convention: PulseConvention<LengthUnit> =
        convention(convention_code.ok_or(FieldProblem::NoConvention)?)?;
    let key = |si| convention.key_in(PulsesPerDistance::from_per_m(si));
    pulses_in_range(number, convention.form, key(spec.least), key(spec.greatest))?;
    Ok(PulseNumber { number, pulses: convention.meaning(number) })
}

/// A keyed-in calibration number and what it means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PulseNumber<P> {
    /// As keyed in, in the console's convention.
    pub number: f64,
    /// What that is in pulses.
    pub pulses: P,
}

/// A nozzle number after ISO 10625.
#[derive(Clone, Debug, PartialEq)]
pub struct IsoNumber {
    /// As written, e.g. `015`.
    pub code: String,
    /// The size it stands for, e.g. 1.5 for `015`, 3 for `03`, 10 for `10`.
    pub size: f64,
}

/// Reads a nozzle number: the point stands behind the first digit after a leading nought (015 is 1.5), and numbers
/// without a nought are whole (10 is 10).
pub(crate) fn iso_number(value: &FieldValue) -> Result<IsoNumber, FieldProblem> {
    let code = value.text.trim();
    let problem = || FieldProblem::NotAnIsoNumber { found: value.text.clone() };
    if code.is_empty() {
        return Err(FieldProblem::Parse(ParseProblem::Empty));
    }
    if code.len() > 4 || !code.bytes().all(|b| b.is_ascii_digit()) {
        return Err(problem());
    }
    let size: f64 = match code.strip_prefix('0').and_then(|rest| rest.split_at_checked(1)) {
        Some((whole, decimals)) => format!("{whole}.{decimals}0").parse().map_err(|_| problem())?,
        None => code.parse().map_err(|_| problem())?,
    };
    // From memory: the standard's numbers run from 0050 (half a size) to 30.
    if (0.25..=50.0).contains(&size) { Ok(IsoNumber { code: code.to_owned(), size }) } else { Err(problem()) }
}

/// A quantity in range.
pub(crate) fn quantity<Q: Quantity>(
    value: &FieldValue,
    spec: &FieldSpec,
    measure: Measure,
) -> Result<Typed<Q>, FieldProblem> {
    let beside = match value.unit.as_deref() {
        None => None,
        Some(code) => {
            Some(Q::Unit::from_code(code).ok_or_else(|| FieldProblem::UnitCode { found: code.to_owned() })?)
        }
    };
    let typed = parse::<Q>(&value.text, beside)?;
    in_range(typed.value.as_si(), spec.least, spec.greatest, measure)?;
    Ok(typed)
}

/// A product rate in range; the range of rates per area is in the spec, that of rates per carrier is 1 in a million to 1.
pub(crate) fn product_rate(value: &FieldValue, spec: &FieldSpec) -> Result<ProductRate, FieldProblem> {
    let rate = ProductRate::parse(&value.text, value.unit.as_deref())?;
    match rate {
        ProductRate::PerArea(typed) => {
            in_range(typed.value.as_si(), spec.least, spec.greatest, Measure::VolumePerArea)?;
        }
        ProductRate::PerCarrier(typed) => {
            in_range(typed.value.as_si(), 1e-6, 1.0, Measure::VolumePerCarrier)?;
        }
    }
    Ok(rate)
}

fn positive_number(value: &FieldValue) -> Result<f64, FieldProblem> {
    let got = parse_number(&value.text)?;
    if got == 0.0 {
        return Err(FieldProblem::Zero);
    }
    if got < 0.0 {
        return Err(FieldProblem::Negative);
    }
    Ok(got)
}

/// A spacing number falls as pulses rise, so its limits change places.
fn pulses_in_range(number: f64, form: Form, at_least: f64, at_greatest: f64) -> Result<(), FieldProblem> {
    let (least, greatest) = match form {
        Form::Counting => (at_least, at_greatest),
        Form::Spacing => (at_greatest, at_least),
    };
    in_range(number, least, greatest, Measure::Number)
}

fn in_range(got: f64, least: f64, greatest: f64, measure: Measure) -> Result<(), FieldProblem> {
    // A hair's breadth of room, so that a limit typed in another unit is still inside.
    let room = 1e-9 * greatest.abs().max(least.abs());
    if least - room.min(least.abs() * 1e-9) <= got && got <= greatest + room {
        return Ok(());
    }
    if got == 0.0 && least > 0.0 {
        return Err(FieldProblem::Zero);
    }
    if got < 0.0 && least >= 0.0 {
        return Err(FieldProblem::Negative);
    }
    Err(FieldProblem::OutOfRange { got, least, greatest, measure })
}
