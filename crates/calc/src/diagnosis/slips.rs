//! The slips that people make with one keyed-in number, worked out from its own digits and its own convention.
//!
//! How likely a slip is stands in `priors`; what it does to the readings in `forward`.

use units::{
    Form, LengthUnit, PulseConvention, SpeedUnit, Unit, VolumePerAreaUnit, VolumePerCarrierUnit, VolumeUnit,
};

use super::digits;
use super::setup::{Entry, NumberForm, Setup, SheetNumber};

/// What kind of slip turned one number into another.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum SlipKind {
    /// The number for another unit or another amount, keyed in where this form is wanted.
    OtherForm {
        /// For which form the number would have been right.
        meant_for: NumberForm,
    },
    /// A rate per hectare keyed in where per acre is wanted.
    PerHectareForPerAcre,
    /// A rate per acre keyed in where per hectare is wanted.
    PerAcreForPerHectare,
    /// The decimal mark moved by this many places, to the right positive.
    DecimalPlace(i8),
    /// Two neighbouring digits swapped; the place of the first one, from 0.
    SwappedDigits(usize),
    /// A digit typed twice; its place, from 0.
    DoubledDigit(usize),
    /// A digit left out; its place in the full number, from 0.
    DroppedDigit(usize),
    /// The number of another entry of the same kind.
    OtherEntry(Entry),
    /// The number stamped on the part, replaced by a trial but still in the console.
    StampedInConsole,
}

/// Which side is wrong: the console, or the sheet from which it was keyed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The sheet is right, the console holds something else: reading the number back shows it.
    Console,
    /// The console holds what the sheet says, and the sheet is wrong.
    Sheet,
}

/// One slip: what is keyed in and what would be right, both in the console's form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Slip {
    pub(crate) kind: SlipKind,
    pub(crate) side: Side,
    /// What the console holds.
    pub(crate) keyed: f64,
    /// What it should hold.
    pub(crate) wanted: f64,
}

/// Every slip with this number that gives another number which the console would take.
pub(crate) fn slips_of(setup: &Setup, number: &SheetNumber) -> Vec<Slip> {
    let mut slips = Vec::with_capacity(64);
    let sheet = number.value;
    let text = digits::plain_digits(&number.text, sheet, number.step);
    console_slips(setup, number, &text, &mut |kind, keyed| {
        slips.push(Slip { kind, side: Side::Console, keyed: rounded(number, keyed), wanted: sheet });
    });
    if sheet_can_be_wrong(number.entry) {
        sheet_slips(number, &text, &mut |kind, wanted| {
            slips.push(Slip { kind, side: Side::Sheet, keyed: sheet, wanted });
        });
    }
    slips.retain(|slip| {
        let takes = |x: f64| x.is_finite() && x > 0.0;
        let largest = number.step.and_then(|s| s.largest).unwrap_or(f64::INFINITY);
        takes(slip.keyed) && takes(slip.wanted) && slip.keyed <= largest && slip.keyed != slip.wanted
    });
    drop_repeats(&mut slips);
    slips
}

/// A number that states a wish (a rate, a speed to simulate) cannot be wrong on the sheet; one that describes a part can.
const fn sheet_can_be_wrong(entry: Entry) -> bool {
    matches!(entry, Entry::Meter | Entry::Course | Entry::Pump(_) | Entry::Width(_) | Entry::TotalWidth)
}

/// The same two numbers by two roads: the first kind stays, they are listed from the commonest.
fn drop_repeats(slips: &mut Vec<Slip>) {
    let mut kept: Vec<Slip> = Vec::with_capacity(slips.len());
    for slip in slips.drain(..) {
        let same = |k: &Slip| {
            k.side == slip.side
                && (k.keyed - slip.keyed).abs() <= 1e-9 * slip.keyed
                && (k.wanted - slip.wanted).abs() <= 1e-9 * slip.wanted
        };
        if !kept.iter().any(same) {
            kept.push(slip);
        }
    }
    *slips = kept;
}

/// As the console would take it.
fn rounded(number: &SheetNumber, value: f64) -> f64 {
    number.step.map_or(value, |step| step.round(value))
}

/// What might have been keyed in instead of the right number.
fn console_slips(setup: &Setup, number: &SheetNumber, text: &str, push: &mut impl FnMut(SlipKind, f64)) {
    let sheet = number.value;
    if let Some(stamped) = number.stamped {
        push(SlipKind::StampedInConsole, stamped);
    }
    for form in other_forms(number.form) {
        push(SlipKind::OtherForm { meant_for: form }, form.number_of_si(number.meaning_si()));
    }
    area_bases(number.form, &mut |kind, factor| push(kind, sheet * factor));
    for other in setup.numbers.iter().filter(|other| same_kind(number.entry, other.entry)) {
        // Carried over as digits when the forms agree, else as what it means.
        let value = if other.form == number.form {
            other.value
        } else {
            number.form.number_of_si(other.meaning_si())
        };
        push(SlipKind::OtherEntry(other.entry), value);
    }
    for places in [1, -1, 2, -2] {
        let moved = sheet * 10_f64.powi(i32::from(places));
        // Moving the mark to the left loses digits that the console has no room for; then it is another number.
        if (rounded(number, moved) / moved - 1.0).abs() < 0.005 {
            push(SlipKind::DecimalPlace(places), moved);
        }
    }
    digits::swapped(text, &mut |place, value| push(SlipKind::SwappedDigits(place), value));
    digits::doubled(text, &mut |place, value| push(SlipKind::DoubledDigit(place), value));
    digits::dropped(text, &mut |place, value| push(SlipKind::DroppedDigit(place), value));
}

/// What might be right where the sheet itself holds a slip.
fn sheet_slips(number: &SheetNumber, text: &str, push: &mut impl FnMut(SlipKind, f64)) {
    let sheet = number.value;
    for form in other_forms(number.form) {
        // The sheet's digits belong to another form: what they mean there is the truth.
        push(SlipKind::OtherForm { meant_for: form }, number.form.number_of_si(form.meaning_si(sheet)));
    }
    for places in [1, -1] {
        push(SlipKind::DecimalPlace(places), sheet * 10_f64.powi(-i32::from(places)));
    }
    digits::swapped(text, &mut |place, value| push(SlipKind::SwappedDigits(place), value));
    digits::undoubled(text, &mut |place, value| push(SlipKind::DoubledDigit(place), value));
}

/// Entries whose numbers are mixed up with each other.
fn same_kind(one: Entry, other: Entry) -> bool {
    one != other
        && matches!(
            (one, other),
            (Entry::Pump(_), Entry::Pump(_))
                | (Entry::Width(_), Entry::Width(_))
                | (Entry::FirstRate(_) | Entry::SecondRate(_), Entry::FirstRate(_) | Entry::SecondRate(_))
                | (Entry::StandingSpeed, Entry::HoldSpeed)
                | (Entry::HoldSpeed, Entry::StandingSpeed)
        )
}

/// The other forms in which people hold the number that this form wants. Common practice, no source; it is the list of
/// units that stand side by side on labels, parts and tapes.
pub(crate) fn other_forms(form: NumberForm) -> Vec<NumberForm> {
    match form {
        NumberForm::PerVolume(form) => other_pulse_forms(form, &beside_volume(form.unit), &[1.0])
            .into_iter()
            .map(NumberForm::PerVolume)
            .collect(),
        NumberForm::PerDistance(form) => {
            other_pulse_forms(form, &beside_length(form.unit), &[1.0, 100.0, 300.0])
                .into_iter()
                .chain(other_courses(form))
                .map(NumberForm::PerDistance)
                .collect()
        }
        NumberForm::Length(unit) => beside_length(unit).into_iter().map(NumberForm::Length).collect(),
        NumberForm::PerArea(unit) => beside_rate(unit).iter().copied().map(NumberForm::PerArea).collect(),
        NumberForm::PerCarrier(unit) => {
            beside_per_carrier(unit).iter().copied().map(NumberForm::PerCarrier).collect()
        }
        NumberForm::Share(_) => Vec::new(),
        NumberForm::Speed(unit) => beside_speed(unit).iter().copied().map(NumberForm::Speed).collect(),
    }
}

/// Another unit, ten times or a tenth of the amount, and counting against spacing.
fn other_pulse_forms<U: Unit>(
    form: PulseConvention<U>,
    beside: &[U],
    counting_amounts: &[f64],
) -> Vec<PulseConvention<U>> {
    let mut forms: Vec<PulseConvention<U>> =
        beside.iter().map(|unit| PulseConvention { unit: *unit, ..form }).collect();
    let tenth = if form.amount >= 10.0 { Some(form.amount / 10.0) } else { None };
    let tenfold = if form.amount < 10_000.0 { Some(form.amount * 10.0) } else { None };
    forms.extend([tenth, tenfold].into_iter().flatten().map(|amount| PulseConvention { amount, ..form }));
    match form.form {
        Form::Counting => {
            forms
                .extend([1.0, 10.0, 100.0, 1000.0].map(|pulses| PulseConvention::spacing(pulses, form.unit)));
        }
        Form::Spacing => {
            forms.extend(counting_amounts.iter().map(|amount| PulseConvention::counting(*amount, form.unit)));
        }
    }
    forms
}

/// The courses that stand for each other: 300 ft, 400 ft, 100 m; 1 km, 1 mi.
fn other_courses(form: PulseConvention<LengthUnit>) -> Vec<PulseConvention<LengthUnit>> {
    const SHORT: [(f64, LengthUnit); 3] =
        [(300.0, LengthUnit::Foot), (400.0, LengthUnit::Foot), (100.0, LengthUnit::Metre)];
    const LONG: [(f64, LengthUnit); 2] = [(1.0, LengthUnit::Kilometre), (1.0, LengthUnit::Mile)];
    let own = (form.amount, form.unit);
    let group: &[(f64, LengthUnit)] = if form.form == Form::Spacing {
        &[]
    } else if SHORT.contains(&own) {
        &SHORT
    } else if LONG.contains(&own) {
        &LONG
    } else {
        &[]
    };
    group
        .iter()
        .filter(|c| **c != own)
        .map(|(amount, unit)| PulseConvention::counting(*amount, *unit))
        .collect()
}

fn beside_volume(unit: VolumeUnit) -> Vec<VolumeUnit> {
    use VolumeUnit::{
        ImperialFluidOunce, ImperialGallon, Litre, Millilitre, UsFluidOunce, UsGallon, UsPint, UsQuart,
    };
    match unit {
        UsGallon => vec![Litre, ImperialGallon, UsFluidOunce],
        Litre => vec![UsGallon, ImperialGallon, Millilitre],
        ImperialGallon => vec![UsGallon, Litre, ImperialFluidOunce],
        UsFluidOunce => vec![UsGallon, Millilitre, ImperialFluidOunce],
        Millilitre => vec![UsFluidOunce, Litre, ImperialFluidOunce],
        ImperialFluidOunce => vec![UsFluidOunce, ImperialGallon, Millilitre],
        UsQuart => vec![UsGallon, Litre, UsPint],
        UsPint => vec![UsGallon, UsQuart, Litre],
        _ => vec![Litre, UsGallon],
    }
}

fn beside_length(unit: LengthUnit) -> Vec<LengthUnit> {
    use LengthUnit::{Centimetre, Foot, Inch, Kilometre, Metre, Mile, Millimetre, Yard};
    match unit {
        Inch => vec![Foot, Centimetre],
        Foot => vec![Inch, Metre, Yard],
        Yard => vec![Foot, Metre],
        Metre => vec![Foot, Centimetre, Yard],
        Centimetre => vec![Inch, Metre, Millimetre],
        Millimetre => vec![Centimetre, Inch],
        Kilometre => vec![Mile],
        Mile => vec![Kilometre],
    }
}

const fn beside_rate(unit: VolumePerAreaUnit) -> &'static [VolumePerAreaUnit] {
    use VolumePerAreaUnit::{
        ImperialFluidOuncePerAcre, ImperialGallonPerAcre, ImperialPintPerAcre, ImperialQuartPerAcre,
        LitrePerHectare, LitrePerHundredSquareMetres, MillilitrePerHectare, MillilitrePerHundredSquareMetres,
        UsFluidOuncePerAcre, UsFluidOuncePerThousandSquareFeet, UsGallonPerAcre,
        UsGallonPerThousandSquareFeet, UsPintPerAcre, UsQuartPerAcre,
    };
    match unit {
        UsGallonPerAcre => {
            &[LitrePerHectare, ImperialGallonPerAcre, UsGallonPerThousandSquareFeet, UsFluidOuncePerAcre]
        }
        LitrePerHectare => {
            &[UsGallonPerAcre, ImperialGallonPerAcre, LitrePerHundredSquareMetres, MillilitrePerHectare]
        }
        UsFluidOuncePerAcre => &[
            MillilitrePerHectare,
            UsPintPerAcre,
            UsQuartPerAcre,
            UsGallonPerAcre,
            UsFluidOuncePerThousandSquareFeet,
        ],
        UsPintPerAcre => &[UsFluidOuncePerAcre, UsQuartPerAcre, LitrePerHectare],
        UsQuartPerAcre => &[UsFluidOuncePerAcre, UsPintPerAcre, UsGallonPerAcre, LitrePerHectare],
        MillilitrePerHectare => &[UsFluidOuncePerAcre, LitrePerHectare, MillilitrePerHundredSquareMetres],
        UsGallonPerThousandSquareFeet => &[UsGallonPerAcre, UsFluidOuncePerThousandSquareFeet],
        UsFluidOuncePerThousandSquareFeet => &[UsFluidOuncePerAcre, UsGallonPerThousandSquareFeet],
        LitrePerHundredSquareMetres => &[LitrePerHectare, MillilitrePerHundredSquareMetres],
        MillilitrePerHundredSquareMetres => &[MillilitrePerHectare, LitrePerHundredSquareMetres],
        // Imperial units of rate stand beside their US namesakes.
        ImperialFluidOuncePerAcre => &[UsFluidOuncePerAcre, ImperialPintPerAcre, MillilitrePerHectare],
        ImperialPintPerAcre => &[UsPintPerAcre, ImperialFluidOuncePerAcre, LitrePerHectare],
        ImperialQuartPerAcre => &[UsQuartPerAcre, ImperialPintPerAcre, LitrePerHectare],
        ImperialGallonPerAcre => &[UsGallonPerAcre, LitrePerHectare],
    }
}

const fn beside_per_carrier(unit: VolumePerCarrierUnit) -> &'static [VolumePerCarrierUnit] {
    use VolumePerCarrierUnit::{
        LitrePer100Litres, MillilitrePer100Litres, MillilitrePerLitre, PercentByVolume,
        UsFluidOuncePer100Gallons, UsGallonPer100Gallons, UsPintPer100Gallons, UsQuartPer100Gallons,
    };
    match unit {
        PercentByVolume => {
            &[UsFluidOuncePer100Gallons, UsPintPer100Gallons, MillilitrePerLitre, MillilitrePer100Litres]
        }
        UsFluidOuncePer100Gallons => &[UsPintPer100Gallons, PercentByVolume, MillilitrePer100Litres],
        UsPintPer100Gallons => &[UsFluidOuncePer100Gallons, UsQuartPer100Gallons, PercentByVolume],
        UsQuartPer100Gallons => &[UsPintPer100Gallons, UsGallonPer100Gallons, UsFluidOuncePer100Gallons],
        UsGallonPer100Gallons => &[UsQuartPer100Gallons, UsPintPer100Gallons],
        MillilitrePer100Litres => &[LitrePer100Litres, MillilitrePerLitre, UsFluidOuncePer100Gallons],
        LitrePer100Litres => &[MillilitrePer100Litres, UsFluidOuncePer100Gallons],
        MillilitrePerLitre => &[PercentByVolume, MillilitrePer100Litres],
    }
}

const fn beside_speed(unit: SpeedUnit) -> &'static [SpeedUnit] {
    use SpeedUnit::{FootPerMinute, KilometrePerHour, MetrePerSecond, MilePerHour};
    match unit {
        MilePerHour => &[KilometrePerHour],
        KilometrePerHour => &[MilePerHour, MetrePerSecond],
        MetrePerSecond => &[KilometrePerHour, MilePerHour],
        FootPerMinute => &[MilePerHour],
    }
}

/// Per hectare for per acre and the other way round, the volume unit being right.
fn area_bases(form: NumberForm, push: &mut impl FnMut(SlipKind, f64)) {
    use units::AreaUnit::{Acre, Hectare};
    let ac_per_ha = Hectare.si_per_unit() / Acre.si_per_unit();
    let NumberForm::PerArea(unit) = form else { return };
    if unit.code().ends_with("_per_ac") {
        push(SlipKind::PerHectareForPerAcre, ac_per_ha);
    } else if unit.code().ends_with("_per_ha") {
        push(SlipKind::PerAcreForPerHectare, 1.0 / ac_per_ha);
    }
}
