//! What a diagnosis calls for: the trial to open, the box to fill, the entry to put right.

use super::readings::{Input, tail};
use super::setup::{entry_of, number_of, path_of};
use crate::bridge::keyin;
use calc::diagnosis::{Cause, CheckKind, How, NumberForm, Setup, Side, Variant, What};
use records::rig::RigView;
use records::trial::TrialKind;
use records::{Doc, FieldValue, Source};
use units::Unit;

/// Where a check is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Step {
    /// In a trial of its own; pumps count from 0.
    Trial {
        /// Which.
        kind: TrialKind,
        /// The pump that it is about, where it is about one.
        pump: usize,
    },
    /// In a box of these readings: number of the run, from 1, and what to read.
    Reading {
        /// Number of the run, from 1.
        run: usize,
        /// What to read.
        what: What,
    },
    /// On the rig's own form.
    Rig,
    /// At the rig, with the eyes.
    Look,
}

/// Where a check is made.
pub(crate) fn step_of(kind: CheckKind, input: &Input) -> Step {
    let trial = |kind, pump| Step::Trial { kind, pump };
    let run_of = |situation: usize| input.place(situation, 0).map_or(1, |place| place.run);
    match kind {
        CheckKind::ReadBack(entry) => Step::Reading { run: 1, what: What::ReadBack(entry) },
        CheckKind::Reading { situation, what } => Step::Reading { run: run_of(situation), what },
        CheckKind::Again { situation, reading } => input
            .place(situation, reading)
            .map_or(Step::Look, |place| Step::Reading { run: place.run, what: place.what }),
        CheckKind::MeterTrial => trial(TrialKind::Meter, 0),
        CheckKind::CourseTrial => trial(TrialKind::Course, 0),
        CheckKind::PumpTrial(pump) | CheckKind::BledPumpTrial(pump) => trial(TrialKind::Pump, pump),
        CheckKind::SectionCheck(_) => trial(TrialKind::Sections, 0),
        CheckKind::NozzleTrial => trial(TrialKind::Catch, 0),
        CheckKind::TapeSection(_) => Step::Rig,
        _ => Step::Look,
    }
}

/// How an entry is put right.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Correction {
    /// Which entry.
    pub(crate) entry: keyin::Entry,
    /// What stands there now.
    pub(crate) keyed: String,
    /// What belongs there.
    pub(crate) wanted: String,
    /// Path and stored text to set on the rig; none where the sheet is right and the console holds something else.
    pub(crate) on_rig: Option<(String, String)>,
}

/// How the entry that is wrong is put right; none where it is no entry, or where only a trial or a tape gives the right
/// number: a number that was fitted to readings is an estimate and no entry.
pub(crate) fn correction(rig: &Doc, setup: &Setup, cause: Cause, variant: &Variant) -> Option<Correction> {
    let Cause::Entry(number) = cause else { return None };
    let (keyed, wanted) = (variant.keyed.as_ref()?, variant.wanted.as_ref()?);
    let entry = entry_of(number);
    let sheet = setup.number(number)?;
    let correction =
        |on_rig| Correction { entry, keyed: keyed.text.clone(), wanted: wanted.text.clone(), on_rig };
    match variant.how {
        How::Slip { side: Side::Console, .. } => Some(correction(None)),
        // Whatever it is that the console holds: the sheet's number belongs there.
        How::OtherNumber if wanted.value == sheet.value => Some(correction(None)),
        How::Slip { side: Side::Sheet, .. } => {
            let path = path_of(&RigView::read(rig), entry).filter(|path| path != "wheel.circumference")?;
            let was = rig.value(&path);
            let source = was.and_then(|was| was.source).filter(|s| !matches!(s, Source::Proven { .. }));
            let mut value = FieldValue::new(wanted.text.clone());
            value.source = source;
            if let NumberForm::Length(unit) = sheet.form {
                value.unit = Some(unit.code().to_owned());
            }
            Some(correction(Some((path, value.to_stored()))))
        }
        _ => None,
    }
}

/// Paths and stored texts that keep, with the readings, what was put right.
pub(crate) fn kept(correction: &Correction) -> Vec<(String, Option<String>)> {
    let entry = number_of(correction.entry).map(|number| tail(What::ReadBack(number))).unwrap_or_default();
    let field = |name: &str, text: &str| (format!("outcome.{name}"), Some(text.to_owned()));
    vec![
        field("entry", entry.strip_prefix("back.").unwrap_or(&entry)),
        field("keyed", &correction.keyed),
        field("wanted", &correction.wanted),
    ]
}

/// What was put right because of readings: the entry, what stood there, what took its place.
pub(crate) fn put_right(doc: &Doc) -> Option<(keyin::Entry, String, String)> {
    let at = |name: &str| doc.text(&format!("outcome.{name}"));
    Some((entry_from(at("entry")?)?, at("keyed")?.to_owned(), at("wanted")?.to_owned()))
}

/// Reads what [`kept`] calls an entry.
pub(crate) fn entry_from(code: &str) -> Option<keyin::Entry> {
    let (name, n) = match code.split_once('.') {
        Some((name, n)) => (name, n.parse().ok()?),
        None => (code, 0),
    };
    Some(match name {
        "meter" => keyin::Entry::Meter,
        "course" => keyin::Entry::Course,
        "width" => keyin::Entry::Width(n),
        "carrier_rate" => keyin::Entry::CarrierRate,
        "pump" => keyin::Entry::Pump(n),
        "first" => keyin::Entry::First(n),
        "second" => keyin::Entry::Second(n),
        "nudge" => keyin::Entry::Nudge(n),
        "standing" => keyin::Entry::Standing,
        "hold" => keyin::Entry::Hold,
        _ => return None,
    })
}
