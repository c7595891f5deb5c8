//! A rig as keyed in becomes the set-up that a diagnosis reasons about: the rows of the key-in sheet with their digits, how
//! well each is known, and what was stamped before a trial replaced it.

use crate::bridge::keyin::{self, rate_unit, sheet_of, unit_of};
use crate::bridge::rig::{rig_of, step_of};
use crate::state::sheet::System;
use calc::diagnosis::{NumberForm, Proof, Setup, SheetNumber, SpeedSource};
use calc::model::KeyedNumber;
use records::fields::Measure;
use records::rig::{RigView, SpeedBy};
use records::{Book, Doc, Field, FieldValue, Source};
use units::{
    Share, Speed, Unit, VolumePerArea, VolumePerAreaUnit, VolumePerCarrierUnit, format_decimal, parse_number,
};

/// Relative standard uncertainty of a number that a trial proved without saying how well.
const PROVEN_SOMEHOW: f64 = 0.005;

/// Entries without which nothing can be reasoned about, as the sheet names them.
pub(crate) type Lacking = Vec<keyin::Entry>;

/// The set-up of a rig.
///
/// # Errors
/// Section widths that the rig does not state or the console does not take. Of other numbers that are missing only the
/// readings that need them are not compared.
pub(crate) fn setup_of(book: &Book, doc: &Doc, system: System) -> Result<Setup, Lacking> {
    let view = RigView::read(doc);
    let sheet = sheet_of(&view, system);
    let rig = rig_of(&view);
    let mut lacking = Lacking::new();
    let mut numbers = Vec::with_capacity(sheet.rows.len());
    for row in &sheet.rows {
        let number = row.number.as_ref().and_then(|number| number.as_ref().ok());
        match (number, number_of(row.entry), form_of(&view, row.entry, sheet.width_unit, system)) {
            (Some(number), Some(entry), Some(form)) => {
                let name = entry_name(row.entry);
                let step = step_of(&view, &name);
                let path = path_of(&view, row.entry);
                numbers.push(SheetNumber {
                    entry,
                    form,
                    text: digits(number.rounded, step.map(units::KeyInStep::decimals)),
                    value: number.rounded,
                    step,
                    proof: path.as_deref().map_or(Proof::Untried, |path| proof(book, doc, path)),
                    stamped: path.as_deref().and_then(|path| stamped(doc, path)),
                });
            }
            (_, Some(KeyedNumber::Width(_)), _) => lacking.push(row.entry),
            _ => {}
        }
    }
    if view.sections.is_empty() {
        lacking.push(keyin::Entry::TotalWidth);
    }
    if !lacking.is_empty() {
        return Err(lacking);
    }
    Ok(Setup {
        numbers,
        n_nozzles: rig.sections.iter().map(|section| section.n_nozzles).collect(),
        nozzles: rig.nozzles,
        specific_gravity: rig.specific_gravity,
        speed_source: match view.speed.by.ok() {
            Some(SpeedBy::Wheel) => SpeedSource::Wheel,
            _ => SpeedSource::Unknown,
        },
    })
}

/// The sheet's entry in the words of the calculation; none for the sum of the widths, which nobody keys in.
pub(crate) fn number_of(entry: keyin::Entry) -> Option<KeyedNumber> {
    let idx = |n: u32| usize::try_from(n).ok()?.checked_sub(1);
    Some(match entry {
        keyin::Entry::Meter => KeyedNumber::Meter,
        keyin::Entry::Course => KeyedNumber::Course,
        keyin::Entry::Width(n) => KeyedNumber::Width(idx(n)?),
        keyin::Entry::TotalWidth => return None,
        keyin::Entry::CarrierRate => KeyedNumber::CarrierRate,
        keyin::Entry::Pump(n) => KeyedNumber::Pump(idx(n)?),
        keyin::Entry::First(n) => KeyedNumber::FirstRate(idx(n)?),
        keyin::Entry::Second(n) => KeyedNumber::SecondRate(idx(n)?),
        keyin::Entry::Nudge(n) => KeyedNumber::NudgeStep(idx(n)?),
        keyin::Entry::Standing => KeyedNumber::StandingSpeed,
        keyin::Entry::Hold => KeyedNumber::HoldSpeed,
    })
}

/// The calculation's entry in the words of the sheet.
pub(crate) fn entry_of(number: KeyedNumber) -> keyin::Entry {
    let n = |idx: usize| u32::try_from(idx + 1).unwrap_or(u32::MAX);
    match number {
        KeyedNumber::Meter => keyin::Entry::Meter,
        KeyedNumber::Course => keyin::Entry::Course,
        KeyedNumber::Width(idx) => keyin::Entry::Width(n(idx)),
        KeyedNumber::CarrierRate => keyin::Entry::CarrierRate,
        KeyedNumber::Pump(idx) => keyin::Entry::Pump(n(idx)),
        KeyedNumber::FirstRate(idx) => keyin::Entry::First(n(idx)),
        KeyedNumber::SecondRate(idx) => keyin::Entry::Second(n(idx)),
        KeyedNumber::NudgeStep(idx) => keyin::Entry::Nudge(n(idx)),
        KeyedNumber::StandingSpeed => keyin::Entry::Standing,
        KeyedNumber::HoldSpeed => keyin::Entry::Hold,
        // The sum of the widths, which no set-up here holds.
        _ => keyin::Entry::TotalWidth,
    }
}

/// What `keyin.<name>.step` calls an entry.
fn entry_name(entry: keyin::Entry) -> String {
    match entry {
        keyin::Entry::Meter => "meter".to_owned(),
        keyin::Entry::Course => "course".to_owned(),
        keyin::Entry::Width(_) | keyin::Entry::TotalWidth => "width".to_owned(),
        keyin::Entry::CarrierRate => "carrier_rate".to_owned(),
        keyin::Entry::Pump(n) => format!("pump.{n}.number"),
        keyin::Entry::First(n) | keyin::Entry::Second(n) => format!("pump.{n}.rate"),
        keyin::Entry::Nudge(_) => "nudge".to_owned(),
        keyin::Entry::Standing => "standing_speed".to_owned(),
        keyin::Entry::Hold => "hold_speed".to_owned(),
    }
}

/// Where the number stands on the rig, where it stands there as such: a width that comes from nozzles and spacing does not.
pub(crate) fn path_of(view: &RigView, entry: keyin::Entry) -> Option<String> {
    Some(match entry {
        keyin::Entry::Meter => "meter.number".to_owned(),
        keyin::Entry::Course if view.speed.by.ok() == Some(SpeedBy::Wheel) => {
            "wheel.circumference".to_owned()
        }
        keyin::Entry::Course => "speed.number".to_owned(),
        keyin::Entry::Width(n) => {
            let section = view.sections.iter().find(|section| section.n == n)?;
            let by_width = section.by.ok() == Some(records::rig::SectionBy::Width);
            return by_width.then(|| format!("section.{n}.width"));
        }
        keyin::Entry::Pump(n) => format!("pump.{n}.number"),
        keyin::Entry::TotalWidth
        | keyin::Entry::CarrierRate
        | keyin::Entry::First(_)
        | keyin::Entry::Second(_)
        | keyin::Entry::Nudge(_)
        | keyin::Entry::Standing
        | keyin::Entry::Hold => return None,
    })
}

fn form_of(
    view: &RigView,
    entry: keyin::Entry,
    width_unit: units::LengthUnit,
    system: System,
) -> Option<NumberForm> {
    let speed = |name| unit_of::<Speed>(view, name, Measure::Speed, system).map(NumberForm::Speed);
    match entry {
        keyin::Entry::Meter => view.meter.convention.ok().map(NumberForm::PerVolume),
        keyin::Entry::Course => view.speed.convention.ok().map(NumberForm::PerDistance),
        keyin::Entry::Width(_) | keyin::Entry::TotalWidth => Some(NumberForm::Length(width_unit)),
        keyin::Entry::CarrierRate => {
            unit_of::<VolumePerArea>(view, "carrier_rate", Measure::VolumePerArea, system)
                .map(NumberForm::PerArea)
        }
        keyin::Entry::Pump(n) => {
            let pump = view.pumps.iter().find(|pump| pump.n == n)?;
            pump.convention.ok().map(NumberForm::PerVolume)
        }
        keyin::Entry::First(n) | keyin::Entry::Second(n) => {
            let code = rate_unit(view, n, system);
            let per_area = VolumePerAreaUnit::from_code(&code).map(NumberForm::PerArea);
            per_area.or_else(|| VolumePerCarrierUnit::from_code(&code).map(NumberForm::PerCarrier))
        }
        keyin::Entry::Nudge(_) => {
            unit_of::<Share>(view, "nudge", Measure::Share, system).map(NumberForm::Share)
        }
        keyin::Entry::Standing => speed("standing_speed"),
        keyin::Entry::Hold => speed("hold_speed"),
    }
}

/// The digits of a number: to the console's step where one is known, else without trailing noughts.
fn digits(value: f64, decimals: Option<usize>) -> String {
    let text = format_decimal(value, decimals.unwrap_or(6));
    match decimals {
        None if text.contains('.') => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        _ => text,
    }
}

/// How well the number at a path is known, by where it came from.
fn proof(book: &Book, doc: &Doc, path: &str) -> Proof {
    match doc.value(path).and_then(|value| value.source) {
        Some(Source::Stamped) => Proof::Stamped,
        Some(Source::Proven { trial, .. }) => {
            let expanded = trial
                .and_then(|id| book.doc(&id)?.text("outcome.expanded")?.parse::<f64>().ok())
                .filter(|expanded| expanded.is_finite() && *expanded > 0.0);
            // Expanded at 95 %: twice the standard uncertainty, near enough.
            Proof::Proven { u_rel: expanded.map_or(PROVEN_SOMEHOW, |expanded| expanded / 2.0) }
        }
        _ => Proof::Untried,
    }
}

/// The number that was stamped on the part before another took its place, while the convention stayed as it is.
fn stamped(doc: &Doc, path: &str) -> Option<f64> {
    let field = doc.field(path)?;
    let convention = doc.field(&path.replace(".number", ".convention"));
    let one_convention = |field: &Field| field.history().all(|setting| setting.text == field.text());
    if path == "wheel.circumference" || !convention.is_none_or(one_convention) {
        return None;
    }
    let values = || field.history().filter_map(|setting| setting.text.map(FieldValue::from_stored));
    let now = field.text().map(FieldValue::from_stored)?;
    let was = values().find(|value| value.source == Some(Source::Stamped))?;
    let number = |value: &FieldValue| parse_number(&value.text).ok();
    // A width may be typed in any unit: only bare numbers are compared.
    (now.unit.is_none() && number(&was) != number(&now)).then(|| number(&was)).flatten()
}
