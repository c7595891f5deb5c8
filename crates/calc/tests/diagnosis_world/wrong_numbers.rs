//! Wrong numbers, worked out from digits and units here and not by the diagnosis.

use calc::diagnosis::{NumberForm, Proof, Setup, SheetNumber};
use calc::model::KeyedNumber as Entry;
use units::{Form, LengthUnit, PulseConvention, SpeedUnit, VolumePerAreaUnit, VolumeUnit};

use super::cases::Wrong;
use super::random::Random;

/// What the console holds and what would be right, in the console's form.
pub fn wrong_number(setup: &Setup, entry: Entry, wrong: Wrong, random: &mut Random) -> Option<(f64, f64)> {
    let number = setup.number(entry)?;
    let sheet = number.value;
    let round = |x: f64| number.step.unwrap().round(x);
    let digits: Vec<char> = number.text.chars().collect();
    let digit_places: Vec<usize> = (0..digits.len()).filter(|i| digits[*i] != '.').collect();
    let parse = |chars: &[char]| chars.iter().collect::<String>().parse::<f64>().ok();
    let swapped = |random: &mut Random| {
        let at = random.below(digit_places.len().checked_sub(1)?);
        let mut other = digits.clone();
        other.swap(digit_places[at], digit_places[at + 1]);
        if other[0] == '0' && other.get(1) != Some(&'.') {
            return None;
        }
        parse(&other)
    };
    let pair = match wrong {
        Wrong::OtherUnit => (round(in_form(number, other_unit(number.form, random)?)), sheet),
        Wrong::OtherAmount => (round(in_form(number, other_amount(number.form, random)?)), sheet),
        Wrong::OtherForm => (round(in_form(number, turned_form(number.form)?)), sheet),
        Wrong::Decimal => {
            let moved = sheet * *random.pick(&[10.0, 0.1]);
            ((round(moved) / moved - 1.0).abs() < 0.003).then_some((round(moved), sheet))?
        }
        Wrong::Swapped => (swapped(random)?, sheet),
        Wrong::Doubled => {
            let at = *random.pick(&digit_places);
            let mut other = digits.clone();
            other.insert(at, digits[at]);
            (round(parse(&other)?), sheet)
        }
        Wrong::Dropped => {
            let at = *random.pick(&digit_places);
            let mut other = digits.clone();
            other.remove(at);
            (parse(&other)?, sheet)
        }
        Wrong::OtherEntry => {
            let others: Vec<&SheetNumber> = setup
                .numbers
                .iter()
                .filter(|n| {
                    n.entry != entry
                        && n.form == number.form
                        && match entry {
                            Entry::Pump(_) => matches!(n.entry, Entry::Pump(_)),
                            Entry::Width(_) => matches!(n.entry, Entry::Width(_)),
                            _ => matches!(n.entry, Entry::FirstRate(_)),
                        }
                })
                .collect();
            if others.is_empty() {
                return None;
            }
            (random.pick(&others).value, sheet)
        }
        Wrong::Stamped => (number.stamped?, sheet),
        Wrong::PerOtherArea => {
            let NumberForm::PerArea(unit) = number.form else { return None };
            let code = units::Unit::code(unit);
            // Handbook: 1 ha = 2.47105 ac.
            let by = match () {
                () if code.ends_with("per_ac") => 2.471_05,
                () if code.ends_with("per_ha") => 1.0 / 2.471_05,
                () => return None,
            };
            (round(sheet * by), sheet)
        }
        Wrong::Drift => {
            let wide = matches!(number.proof, Proof::Proven { .. }) || matches!(entry, Entry::Width(_));
            let by = if wide { random.between(0.04, 0.12) } else { random.between(0.05, 0.22) };
            (sheet, sheet * if random.chance(0.5) { 1.0 + by } else { 1.0 / (1.0 + by) })
        }
        Wrong::OtherNumber => (
            round(
                sheet * if random.chance(0.5) { random.between(1.3, 6.0) } else { random.between(0.2, 0.7) },
            ),
            sheet,
        ),
        Wrong::SheetSwapped => (sheet, swapped(random)?),
        Wrong::SheetOtherUnit => {
            (sheet, number.form.number_of_si(other_unit(number.form, random)?.meaning_si(sheet)))
        }
    };
    let fine = |x: f64| x.is_finite() && x > 0.0;
    (fine(pair.0) && fine(pair.1) && (pair.0 / pair.1 - 1.0).abs() > 1e-9).then_some(pair)
}

/// The number that this form's owner would have written down.
fn in_form(number: &SheetNumber, form: NumberForm) -> f64 {
    form.number_of_si(number.form.meaning_si(number.value))
}

/// Another unit of everyday mix-ups: in/ft, in/cm, ft/m, gal/L, US/imperial gal, gal/fl oz, fl oz/mL, mi/km, mph/km/h.
fn other_unit(form: NumberForm, random: &mut Random) -> Option<NumberForm> {
    use VolumeUnit::{ImperialGallon, Litre, Millilitre, UsFluidOunce, UsGallon};
    let volume = |unit: VolumeUnit| -> Vec<VolumeUnit> {
        match unit {
            UsGallon => vec![Litre, ImperialGallon, UsFluidOunce],
            Litre => vec![UsGallon],
            ImperialGallon => vec![UsGallon],
            UsFluidOunce => vec![Millilitre, UsGallon],
            Millilitre => vec![UsFluidOunce],
            _ => Vec::new(),
        }
    };
    let length = |unit: LengthUnit| -> Vec<LengthUnit> {
        use LengthUnit::{Centimetre, Foot, Inch, Kilometre, Metre, Mile};
        match unit {
            Inch => vec![Foot, Centimetre],
            Foot => vec![Inch, Metre],
            Metre => vec![Foot],
            Centimetre => vec![Inch],
            Kilometre => vec![Mile],
            Mile => vec![Kilometre],
            _ => Vec::new(),
        }
    };
    let one_of = |random: &mut Random, n: usize| (n > 0).then(|| random.below(n));
    Some(match form {
        NumberForm::PerVolume(c) => {
            let units = volume(c.unit);
            NumberForm::PerVolume(PulseConvention { unit: units[one_of(random, units.len())?], ..c })
        }
        NumberForm::PerDistance(c) => {
            let units = length(c.unit);
            NumberForm::PerDistance(PulseConvention { unit: units[one_of(random, units.len())?], ..c })
        }
        NumberForm::Length(unit) => {
            let units = length(unit);
            NumberForm::Length(units[one_of(random, units.len())?])
        }
        NumberForm::PerArea(unit) => NumberForm::PerArea(match unit {
            VolumePerAreaUnit::UsGallonPerAcre => VolumePerAreaUnit::LitrePerHectare,
            VolumePerAreaUnit::LitrePerHectare => VolumePerAreaUnit::UsGallonPerAcre,
            VolumePerAreaUnit::UsFluidOuncePerAcre => VolumePerAreaUnit::MillilitrePerHectare,
            VolumePerAreaUnit::MillilitrePerHectare => VolumePerAreaUnit::UsFluidOuncePerAcre,
            VolumePerAreaUnit::UsPintPerAcre | VolumePerAreaUnit::UsQuartPerAcre => {
                VolumePerAreaUnit::UsFluidOuncePerAcre
            }
            _ => return None,
        }),
        NumberForm::Speed(SpeedUnit::MilePerHour) => NumberForm::Speed(SpeedUnit::KilometrePerHour),
        NumberForm::Speed(SpeedUnit::KilometrePerHour) => NumberForm::Speed(SpeedUnit::MilePerHour),
        _ => return None,
    })
}

/// Per 1 against per 10, per 100 m against per 300 ft.
fn other_amount(form: NumberForm, random: &mut Random) -> Option<NumberForm> {
    let tenth = random.chance(0.5);
    Some(match form {
        NumberForm::PerVolume(c) => {
            let amount = if c.amount >= 10.0 && tenth { c.amount / 10.0 } else { c.amount * 10.0 };
            NumberForm::PerVolume(PulseConvention { amount, ..c })
        }
        NumberForm::PerDistance(c) => NumberForm::PerDistance(match (c.form, c.unit) {
            (Form::Counting, LengthUnit::Metre) => PulseConvention::counting(300.0, LengthUnit::Foot),
            (Form::Counting, LengthUnit::Foot) if tenth => {
                PulseConvention::counting(100.0, LengthUnit::Metre)
            }
            _ => PulseConvention { amount: c.amount * 10.0, ..c },
        }),
        _ => return None,
    })
}

/// Counting against spacing.
fn turned_form(form: NumberForm) -> Option<NumberForm> {
    Some(match form {
        NumberForm::PerVolume(c) if c.form == Form::Counting => {
            NumberForm::PerVolume(PulseConvention::spacing(1000.0, c.unit))
        }
        NumberForm::PerVolume(c) => NumberForm::PerVolume(PulseConvention::counting(1.0, c.unit)),
        NumberForm::PerDistance(c) if c.form == Form::Counting => {
            NumberForm::PerDistance(PulseConvention::spacing(100.0, c.unit))
        }
        NumberForm::PerDistance(c) => NumberForm::PerDistance(PulseConvention::counting(100.0, c.unit)),
        _ => return None,
    })
}
