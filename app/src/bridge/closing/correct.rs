//! A number that a day has found off, put right on the rig.

use super::readings::K_95;
use crate::bridge::rig::step_of;
use crate::bridge::trial::decimals;
use crate::bridge::trial::outcome::{Number, put_number};
use calc::balance::{Estimate, Ratio};
use calc::keyin::{Corrected, KeyedPulses};
use records::closing::DayView;
use records::fields::Texts;
use records::rig::RigView;
use units::{KeyInStep, LengthUnit, PulseConvention, Unit, VolumeUnit, format_decimal};

/// A number, old and new.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fix {
    /// Which.
    pub(crate) number: Number,
    /// Old and new.
    pub(crate) corrected: Corrected,
    /// The new one as text.
    pub(crate) new: String,
    /// Code of its convention.
    pub(crate) convention: String,
}

/// What is kept of a ratio behind `outcome.`; none for a width, which is not one number.
pub(crate) fn outcome_of(ratio: Ratio) -> Option<String> {
    match ratio {
        Ratio::Speed => Some("course".to_owned()),
        Ratio::Meter => Some("meter".to_owned()),
        Ratio::Pump(pump) => Some(format!("pump.{}", pump + 1)),
        Ratio::Width => None,
    }
}

/// The new number of an estimate; none for a width, and where the number that was keyed in is not known.
pub(crate) fn fix(day: &DayView<'_>, rig: &RigView, estimate: &Estimate) -> Option<Fix> {
    let number = match estimate.ratio {
        Ratio::Speed => Number::Course,
        Ratio::Meter => Number::Meter,
        Ratio::Pump(pump) => Number::Pump(u32::try_from(pump + 1).ok()?),
        Ratio::Width => return None,
    };
    let (at, entry) = match number {
        Number::Course => ("setup.course".to_owned(), "course".to_owned()),
        Number::Meter => ("setup.meter".to_owned(), "meter".to_owned()),
        Number::Pump(n) => (format!("setup.pump.{n}"), format!("pump.{n}.number")),
    };
    let old = records::trial::read_number(day.doc(), &format!("{at}.number"))?.ok()?;
    let convention = day.doc().text(&format!("{at}.convention"))?;
    let step = step_of(rig, &entry);
    let corrected = match number {
        Number::Course => corrected::<LengthUnit>(old, convention, step, estimate),
        _ => corrected::<VolumeUnit>(old, convention, step, estimate),
    }?;
    let new = format_decimal(corrected.rounded, decimals(&corrected, step));
    Some(Fix { number, corrected, new, convention: convention.to_owned() })
}

fn corrected<U: Unit>(
    number: f64,
    convention: &str,
    step: Option<KeyInStep>,
    estimate: &Estimate,
) -> Option<Corrected> {
    let keyed = KeyedPulses { number, convention: PulseConvention::<U>::from_code(convention).ok()?, step };
    keyed.corrected(estimate.shown_over_true, estimate.shown_over_true * K_95 * estimate.u_rel).ok()
}

/// Paths and stored texts that put the new number on the rig.
pub(crate) fn on_rig(
    day: &DayView<'_>,
    rig: &dyn Texts,
    fix: &Fix,
    on: &str,
) -> Option<Vec<(String, String)>> {
    put_number(rig, fix.number, &fix.convention, fix.corrected.rounded, &fix.new, day.doc().id(), on)
}

/// What the day keeps of it.
pub(crate) fn kept(fix: &Fix, estimate: &Estimate) -> Vec<(String, String)> {
    let Some(what) = outcome_of(estimate.ratio) else { return Vec::new() };
    [
        ("old", fix.corrected.old.to_string()),
        ("new", fix.new.clone()),
        ("ratio", estimate.shown_over_true.to_string()),
        ("expanded", (K_95 * estimate.u_rel).to_string()),
    ]
    .into_iter()
    .map(|(field, text)| (format!("outcome.{what}.{field}"), text))
    .collect()
}
