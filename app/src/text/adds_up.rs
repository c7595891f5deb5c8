//! What the screen for readings that do not add up says: causes, how sure, checks, contradictions.

use super::{keyin, measure, number, words};
use crate::bridge::adds_up::readings::{Input, Place, tail, whats};
use crate::bridge::adds_up::remedy::entry_from;
use crate::bridge::adds_up::setup::entry_of;
use crate::bridge::keyin::Entry;
use crate::state::sheet::System;
use calc::diagnosis::{
    Amount, Cause, Check, CheckKind, Contradiction, Diagnosis, DiagnosisError, Expected, Explanation, How,
    NumberForm, Outcome, SlipKind, What,
};
use records::fields::Measure;
use units::{Unit, VolumeUnit};

/// Most pumps that readings can be about.
const N_PUMPS: usize = records::rig::MOST_PUMPS as usize;

pub(crate) struct AddsUpWords {
    pub(crate) title: &'static str,
    pub(crate) ask: &'static str,
    pub(crate) lead: &'static str,
    pub(crate) caution: &'static str,
    pub(crate) begin: &'static str,
    pub(crate) past: &'static str,
    pub(crate) none_yet: &'static str,
    pub(crate) runs: fn(n: usize, readings: usize) -> String,
    pub(crate) from_trial: &'static str,
    pub(crate) lacking: fn(names: &str) -> String,
    pub(crate) describe: &'static str,
    pub(crate) run: fn(n: usize) -> String,
    pub(crate) add_run: &'static str,
    pub(crate) remove_run: fn(n: usize) -> String,
    pub(crate) motion: &'static str,
    pub(crate) standing: &'static str,
    pub(crate) driving: &'static str,
    pub(crate) carrier: &'static str,
    pub(crate) regulated: &'static str,
    pub(crate) manual: &'static str,
    pub(crate) sections_and_products: &'static str,
    pub(crate) rate_in_force: fn(pump: usize) -> String,
    pub(crate) first_rate: &'static str,
    pub(crate) second_rate: &'static str,
    pub(crate) pump_off: &'static str,
    pub(crate) presses: fn(pump: usize) -> String,
    pub(crate) presses_hint: &'static str,
    pub(crate) shown: &'static str,
    pub(crate) known: &'static str,
    pub(crate) more_readings: &'static str,
    pub(crate) how_well: &'static str,
    pub(crate) how_well_hint: &'static str,
    pub(crate) give_or_take: fn(reading: &str) -> String,
    pub(crate) usual_share: fn(share: &str) -> String,
    pub(crate) read_back: &'static str,
    pub(crate) read_back_hint: &'static str,
    pub(crate) result: &'static str,
    pub(crate) nothing_typed: &'static str,
    pub(crate) label: fn(What) -> String,
    pub(crate) back_label: fn(entry: &str) -> String,
    pub(crate) in_run: fn(label: &str, run: usize) -> String,
    pub(crate) left_out: fn(label: &str, problem: &str) -> String,
    pub(crate) unused: fn(labels: &str) -> String,
    pub(crate) no_section: fn(run: usize) -> String,
    pub(crate) outcome: fn(Outcome) -> (&'static str, &'static str),
    pub(crate) one_comparison: &'static str,
    pub(crate) blind: &'static str,
    pub(crate) held: &'static str,
    pub(crate) explanations: &'static str,
    pub(crate) how_sure: fn(share: f64, percent: &str) -> String,
    pub(crate) alike: &'static str,
    pub(crate) unlisted: fn(percent: &str) -> String,
    pub(crate) keyed_as: fn(entry: &str, wanted: &str, keyed: &str) -> String,
    pub(crate) sheet_wrong: fn(entry: &str, sheet: &str, wanted: &str) -> String,
    pub(crate) drifted: fn(entry: &str, keyed: &str, wanted: &str) -> String,
    pub(crate) other_number: fn(entry: &str, wanted: &str, keyed: &str) -> String,
    pub(crate) drift_more: &'static str,
    pub(crate) other_more: &'static str,
    pub(crate) slip: fn(SlipKind) -> &'static str,
    pub(crate) other_form: fn(meant_for: &str) -> String,
    pub(crate) other_entry: fn(entry: &str) -> String,
    pub(crate) on_sheet: fn(slip: &str) -> String,
    pub(crate) fault: fn(Cause, How, factor: &str) -> (String, &'static str),
    pub(crate) misread: fn(label: &str) -> String,
    pub(crate) misread_more: &'static str,
    pub(crate) or_else: fn(other: &str) -> String,
    pub(crate) table: &'static str,
    pub(crate) reading: &'static str,
    pub(crate) seen: &'static str,
    pub(crate) predicted: &'static str,
    pub(crate) fits: &'static str,
    pub(crate) fit: fn(misfit: f64, times: &str) -> String,
    pub(crate) check: &'static str,
    pub(crate) check_text: fn(CheckKind, name: &str) -> String,
    pub(crate) if_so: fn(cause: &str, expected: &str) -> String,
    pub(crate) too_much: fn(percent: &str) -> String,
    pub(crate) tank: fn(empty: bool) -> &'static str,
    pub(crate) spray: fn(percent: &str) -> String,
    pub(crate) of_nominal: fn(percent: &str) -> String,
    pub(crate) open_trial: fn(title: &str) -> String,
    pub(crate) to_box: fn(label: &str) -> String,
    pub(crate) to_rig: &'static str,
    pub(crate) prove: fn(title: &str) -> String,
    pub(crate) put_on_rig: fn(entry: &str, wanted: &str) -> String,
    pub(crate) key_again: fn(entry: &str, wanted: &str) -> String,
    pub(crate) keyed_again: fn(entry: &str, wanted: &str) -> String,
    pub(crate) put_right: &'static str,
    pub(crate) was: &'static str,
    pub(crate) now: &'static str,
    pub(crate) done: fn(entry: &str, keyed: &str, wanted: &str) -> String,
    pub(crate) contradiction: fn(&Contradiction, labels: &str, ratio: &str) -> String,
    pub(crate) error: fn(entry: &str) -> String,
    pub(crate) note: &'static str,
    pub(crate) item: fn(done: &str) -> String,
    pub(crate) by_readings: &'static str,
    pub(crate) disagree: &'static str,
    pub(crate) disagree_more: &'static str,
    pub(crate) closing_more: &'static str,
}

/// What a reading is called.
pub(crate) fn label(what: What) -> String {
    let w = &words().adds_up;
    match what {
        What::ReadBack(number) => (w.back_label)(&keyin::entry_text(entry_of(number))),
        _ => (w.label)(what),
    }
}

/// What a reading is called on the press that leads to its box: there it is plain that a number is read back.
pub(crate) fn short_label(what: What) -> String {
    match what {
        What::ReadBack(number) => keyin::entry_text(entry_of(number)),
        _ => label(what),
    }
}

/// What a path of stored readings is called: as the box in which it was typed.
pub(crate) fn path_text(path: &str) -> String {
    let w = &words().adds_up;
    let (run, behind) = match path.strip_prefix("run.").and_then(|rest| rest.split_once('.')) {
        Some((_, behind)) => (true, behind),
        None => (false, path),
    };
    let pump = behind.rsplit('.').next().and_then(|n| n.parse().ok()).unwrap_or(0);
    let of = |behind: &str| whats(N_PUMPS).into_iter().find(|what| tail(*what) == behind).map(label);
    if let Some(label) = behind.strip_prefix("u.").and_then(of) {
        return (w.give_or_take)(&label);
    }
    if let Some(entry) = behind.strip_prefix("back.").and_then(entry_from) {
        return (w.back_label)(&keyin::entry_text(entry));
    }
    let word = match behind.split('.').next().unwrap_or_default() {
        "motion" => w.motion,
        "removed" => words().book.removed,
        "carrier" => w.carrier,
        "sections" => words().prove.sections_on,
        "use" => return (w.rate_in_force)(pump),
        "presses" => return (w.presses)(pump),
        "from" => w.from_trial,
        "rig" => words().rig.title,
        "outcome" => match behind {
            "outcome.entry" => w.put_right,
            "outcome.keyed" => w.was,
            _ => w.now,
        },
        "note" if !run => w.note,
        _ => return of(behind).unwrap_or_else(|| path.to_owned()),
    };
    word.to_owned()
}

/// A stored entry code in words.
pub(crate) fn entry_text(code: &str) -> String {
    entry_from(code).map_or_else(|| code.to_owned(), keyin::entry_text)
}

/// A reading's name, with its run where there are several.
pub(crate) fn place_text(input: &Input, place: &Place) -> String {
    let label = label(place.what);
    let many = input.places.iter().flatten().any(|other| other.run != place.run);
    let own = !matches!(place.what, What::ReadBack(_));
    if many && own { (words().adds_up.in_run)(&label, place.run) } else { label }
}

/// An SI number as a reading was typed: in its unit, to its digits.
pub(crate) fn figure_text(place: &Place, si: f64, digits: u8) -> String {
    let text = number::significant(si / place.figure.si_per_unit, digits);
    format!("{text}\u{a0}{}", place.figure.symbol).trim_end().to_owned()
}

/// What is wrong, in one line, and one line more.
pub(crate) fn cause_text(input: &Input, explanation: &Explanation) -> (String, String) {
    let w = &words().adds_up;
    let Some(way) = explanation.variants.first() else { return (String::new(), String::new()) };
    let factor = way.factor.map_or(1.0, |factor| factor.value);
    match explanation.cause {
        Cause::Entry(entry) => {
            let entry = keyin::entry_text(entry_of(entry));
            let text = |number: &Option<calc::diagnosis::NumberText>| {
                number.as_ref().map(|n| n.text.clone()).unwrap_or_default()
            };
            let (keyed, wanted) = (text(&way.keyed), text(&way.wanted));
            match way.how {
                How::Slip { kind, side } => {
                    let more = slip_text(kind);
                    match side {
                        calc::diagnosis::Side::Console => ((w.keyed_as)(&entry, &wanted, &keyed), more),
                        calc::diagnosis::Side::Sheet => {
                            ((w.sheet_wrong)(&entry, &keyed, &wanted), (w.on_sheet)(&more))
                        }
                    }
                }
                How::Drift => {
                    ((w.drifted)(&entry, &keyed, &fitted(way, &way.wanted)), w.drift_more.to_owned())
                }
                _ => (
                    (w.other_number)(&entry, &fitted(way, &way.wanted), &fitted(way, &way.keyed)),
                    w.other_more.to_owned(),
                ),
            }
        }
        Cause::Misread { situation, reading } => {
            let name = input.place(situation, reading).map(|place| place_text(input, place));
            ((w.misread)(&name.unwrap_or_default()), w.misread_more.to_owned())
        }
        cause => {
            let factor = number::percent((factor - 1.0).abs(), 2);
            let (title, more) = (w.fault)(cause, way.how, &factor);
            (title, more.to_owned())
        }
    }
}

/// A number of which one side was fitted to the readings: to as many digits as it deserves.
fn fitted(way: &calc::diagnosis::Variant, side: &Option<calc::diagnosis::NumberText>) -> String {
    let Some(text) = side else { return String::new() };
    match way.factor.and_then(|factor| factor.u_rel) {
        // Shorter than three digits it is read as typed.
        Some(_) if text.text.len() > 4 => number::significant(text.value, 3),
        _ => text.text.clone(),
    }
}

fn slip_text(kind: SlipKind) -> String {
    let w = &words().adds_up;
    match kind {
        SlipKind::OtherForm { meant_for } => (w.other_form)(&form_text(meant_for)),
        SlipKind::OtherEntry(entry) => (w.other_entry)(&keyin::entry_text(entry_of(entry))),
        _ => (w.slip)(kind).to_owned(),
    }
}

fn form_text(form: NumberForm) -> String {
    match form {
        NumberForm::PerVolume(form) => super::rig::convention_text(form),
        NumberForm::PerDistance(form) => super::rig::convention_text(form),
        NumberForm::Length(unit) => unit.symbol().to_owned(),
        NumberForm::PerArea(unit) => unit.symbol().to_owned(),
        NumberForm::PerCarrier(unit) => unit.symbol().to_owned(),
        NumberForm::Share(unit) => unit.symbol().to_owned(),
        NumberForm::Speed(unit) => unit.symbol().to_owned(),
    }
}

/// Other ways in which the same cause may have come about.
pub(crate) fn other_ways(input: &Input, explanation: &Explanation) -> Vec<String> {
    let one = |way: &calc::diagnosis::Variant| {
        let only = Explanation { variants: vec![way.clone()], fit: Vec::new(), ..explanation.clone() };
        let (title, more) = cause_text(input, &only);
        (words().adds_up.or_else)(&[title, more].join(": "))
    };
    explanation.variants.iter().skip(1).filter(|way| way.share > 0.05 * explanation.share).map(one).collect()
}

/// A share of all that is thinkable; never quite 0 or 100.
pub(crate) fn share_text(share: f64) -> String {
    number::percent((share.clamp(0.01, 0.99) * 100.0).round() / 100.0, 2)
}

/// What to do to tell two explanations apart, and what each of them expects.
pub(crate) fn check_text(
    input: &Input,
    said: &Diagnosis,
    check: &Check,
    system: System,
) -> (String, Vec<String>) {
    let w = &words().adds_up;
    let title = (w.check_text)(check.kind, &check_name(input, check.kind));
    let expected = check.expected.iter().zip(&said.top).map(|(expected, explanation)| {
        (w.if_so)(&cause_text(input, explanation).0, &expected_text(input, check.kind, expected, system))
    });
    (title, expected.collect())
}

/// The thing that a check is about.
pub(crate) fn check_name(input: &Input, kind: CheckKind) -> String {
    match kind {
        CheckKind::ReadBack(entry) => keyin::entry_text(entry_of(entry)),
        CheckKind::Reading { situation, what } => {
            let run = input.place(situation, 0).map_or(1, |place| place.run);
            if input.places.len() > 1 { (words().adds_up.in_run)(&label(what), run) } else { label(what) }
        }
        CheckKind::Again { situation, reading } => {
            input.place(situation, reading).map(|place| place_text(input, place)).unwrap_or_default()
        }
        CheckKind::PumpTrial(n)
        | CheckKind::BledPumpTrial(n)
        | CheckKind::SectionCheck(n)
        | CheckKind::TapeSection(n)
        | CheckKind::LookIntoTank(n) => (n + 1).to_string(),
        _ => String::new(),
    }
}

fn expected_text(input: &Input, kind: CheckKind, expected: &Expected, system: System) -> String {
    let w = &words().adds_up;
    let si = expected.amount.as_si();
    let whole = |share: f64| number::percent(share, 3);
    match kind {
        CheckKind::ReadBack(_) => number::significant(si, 5),
        CheckKind::Again { situation, reading } => match input.place(situation, reading) {
            Some(place) => figure_text(place, si, 4),
            None => String::new(),
        },
        CheckKind::Reading { what, .. } => amount_text(what, expected.amount, system),
        CheckKind::LookAtNozzles => (w.spray)(&whole(si)),
        CheckKind::LookIntoTank(_) => (w.tank)(si < 0.5).to_owned(),
        CheckKind::NozzleTrial => (w.of_nominal)(&whole(si)),
        CheckKind::SectionCheck(_) | CheckKind::TapeSection(_) => {
            measure::si_text(Measure::Length, si, system)
        }
        _ if si.is_finite() => (w.too_much)(&number::signed_percent(si - 1.0, 1)),
        _ => (w.tank)(true).to_owned(),
    }
}

fn amount_text(what: What, amount: Amount, system: System) -> String {
    let small = if system == System::Us { VolumeUnit::UsFluidOunce } else { VolumeUnit::Millilitre };
    let measure = match amount {
        Amount::Volume(volume) if what.pump().is_some() => return number::quantity(volume, small, 4),
        Amount::Flow(_) => Measure::FlowRate,
        Amount::Volume(_) => Measure::Volume,
        Amount::Speed(_) => Measure::Speed,
        Amount::Length(_) => Measure::Length,
        Amount::Area(_) => Measure::Area,
        Amount::PerArea(_) => Measure::VolumePerArea,
        Amount::PerCarrier(_) => Measure::VolumePerCarrier,
        Amount::Time(_) => Measure::Duration,
        Amount::Pressure(_) => Measure::Pressure,
        Amount::Number(_) => Measure::Number,
    };
    measure::si_text(measure, amount.as_si(), system)
}

/// What contradicts itself.
pub(crate) fn contradiction_text(input: &Input, found: &Contradiction) -> String {
    let places = found.readings.iter().filter_map(|reading| input.place(found.situation, *reading));
    let labels: Vec<String> = places.map(|place| place_text(input, place)).collect();
    let ratio = if found.ratio.is_finite() { number::percent(found.ratio, 3) } else { String::new() };
    (words().adds_up.contradiction)(found, &labels.join(", "), &ratio)
}

/// Why a set-up cannot be reasoned about.
pub(crate) fn error_text(error: &DiagnosisError) -> String {
    let entry = match error {
        DiagnosisError::Number { entry, .. }
        | DiagnosisError::Form { entry }
        | DiagnosisError::Twice { entry }
        | DiagnosisError::Missing { entry }
        | DiagnosisError::ProofUncertainty { entry, .. } => keyin::entry_text(entry_of(*entry)),
        _ => String::new(),
    };
    (words().adds_up.error)(&entry)
}

/// What readings are called in the book: what was done about them, where something was.
pub(crate) fn item_text(outcome: Option<&(Entry, String, String)>) -> String {
    let w = &words().adds_up;
    let done = outcome.map(|(entry, keyed, wanted)| (w.done)(&keyin::entry_text(*entry), keyed, wanted));
    (w.item)(&done.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    // The book tells every path by the name of its box.
    #[test]
    fn every_path_of_readings_has_a_name() {
        let filled = |path: &str| path.replacen("*", "k3f9a2bc-2", 1).replace('N', "2");
        for spec in records::readings::FIELDS {
            let path = match spec.path {
                "back.*" => "back.meter".to_owned(),
                "back.*.N" => "back.width.2".to_owned(),
                "run.*.u.*.*" => "run.1.u.shown.flow".to_owned(),
                "run.*.u.*.*.N" => "run.1.u.true.product.2".to_owned(),
                path => filled(path),
            };
            let text = path_text(&path);
            assert!(!text.is_empty() && text != path, "{path}: {text}");
        }
        assert_eq!(path_text("run.1.u.true.product.2"), "Product 2 drawn, give or take");
        assert_eq!(path_text("back.width.2"), "Read back: section 2 width");
    }

    // Nobody is told that something is certain, or that it cannot be.
    #[test]
    fn a_share_is_never_all_or_nothing() {
        assert_eq!(share_text(0.999_9), "99\u{a0}%");
        assert_eq!(share_text(0.000_1), "1\u{a0}%");
        assert_eq!(share_text(0.847), "85\u{a0}%");
    }
}
