//! What the book says.

use super::{prove, rig, words};
use crate::bridge::book::{What, as_typed, spec_of};
use crate::bridge::trial::outcome::verdict_from;
use records::Kind;
use records::fields::{Holds, Measure};
use records::trial::{Status, TrialKind};

pub(crate) struct BookWords {
    pub(crate) title: &'static str,
    pub(crate) show: &'static str,
    pub(crate) of: &'static str,
    pub(crate) all: &'static str,
    pub(crate) trials: &'static str,
    pub(crate) changes: &'static str,
    pub(crate) notes: &'static str,
    pub(crate) all_rigs: &'static str,
    pub(crate) none_yet: &'static str,
    pub(crate) more: &'static str,
    pub(crate) note: &'static str,
    pub(crate) save_note: &'static str,
    pub(crate) by_trial: &'static str,
    pub(crate) correction: &'static str,
    pub(crate) corrects: &'static str,
    pub(crate) corrected_by: &'static str,
    pub(crate) corrected_since: &'static str,
    pub(crate) typed: &'static str,
    pub(crate) replaced: &'static str,
    pub(crate) at_its_place: &'static str,
    pub(crate) everything: &'static str,
    pub(crate) fields: fn(n: usize) -> String,
    pub(crate) side: fn(value: &str, at: &str, by: &str) -> String,
    pub(crate) because: &'static str,
    pub(crate) cleared: &'static str,
    pub(crate) entry: &'static str,
    pub(crate) written: fn(at: &str, by: &str) -> String,
    pub(crate) before: fn(old: &str) -> String,
    pub(crate) history: &'static str,
    pub(crate) correct: &'static str,
    pub(crate) correct_hint: &'static str,
    pub(crate) correct_label: fn(what: &str) -> String,
    pub(crate) save_correction: &'static str,
    pub(crate) back: &'static str,
    pub(crate) at_odds: fn(what: &str, rig: &str) -> String,
    pub(crate) change: fn(what: &str, old: &str, new: &str) -> String,
    pub(crate) described: fn(fields: usize, begun: bool) -> String,
    pub(crate) trial: fn(title: &str, state: &str, numbers: &str) -> String,
    pub(crate) old_new: fn(old: &str, new: &str) -> String,
    pub(crate) other: &'static str,
    pub(crate) removed: &'static str,
    pub(crate) choice: fn(code: &str) -> String,
    pub(crate) run: fn(key: &str, reading: &str) -> String,
    pub(crate) trial_field: fn(&str) -> &'static str,
    pub(crate) outcome_field: fn(&str) -> &'static str,
}

/// The title of an item.
pub(crate) fn item_text(what: &What) -> String {
    let w = &words().book;
    match what {
        What::Trial { kind, status, verdict, numbers, pump } => {
            let title = match (kind, pump) {
                (Some(TrialKind::Pump), Some(n)) => (words().prove.pump_title)(*n),
                (Some(kind), _) => prove::kind_words(*kind).0.to_owned(),
                (None, _) => w.other.to_owned(),
            };
            let state = match (status, verdict.as_deref().and_then(verdict_from)) {
                (Status::Open, _) => words().prove.open_still,
                (Status::Concluded, Some(verdict)) => prove::verdict_word(verdict),
                (Status::Concluded, None) => words().prove.concluded,
            };
            let numbers = numbers.as_ref().map(|(old, new)| (w.old_new)(old, new)).unwrap_or_default();
            (w.trial)(&title, state, &numbers)
        }
        What::Change { path, old, new } => {
            let text = |stored: &str| value_text(&Kind::Rig, path, stored);
            let new = new.as_deref().map_or_else(|| w.cleared.to_owned(), text);
            (w.change)(&path_text(&Kind::Rig, path), &text(old), &new)
        }
        What::Described { fields, begun } => (w.described)(*fields, *begun),
        What::Drive(name) if name.is_empty() => words().pass.unnamed.to_owned(),
        What::Drive(name) => (words().pass.described)(name),
        What::Closing { name, jobs } => (words().closing.item)(name, *jobs),
        What::Note(text) => text.clone(),
        What::Readings(done) => super::adds_up::item_text(done.as_ref()),
        What::Other => w.other.to_owned(),
    }
}

/// What a path of a document is called.
pub(crate) fn path_text(kind: &Kind, path: &str) -> String {
    let w = &words().book;
    if path == "removed" {
        return w.removed.to_owned();
    }
    match kind {
        Kind::Note if path == "text" => w.note.to_owned(),
        Kind::Trial => trial_path_text(path),
        Kind::Job => super::closing::path_text(path),
        Kind::Readings => super::adds_up::path_text(path),
        Kind::Drive if path != "rig" => super::pass::path_text(path),
        _ if path != "rig" && spec_of(kind, path).is_some() => rig::place_text(path),
        _ if path == "rig" => words().rig.title.to_owned(),
        _ => path.to_owned(),
    }
}

/// What a path of a trial is called: as the box in which it was typed.
fn trial_path_text(path: &str) -> String {
    let w = &words().book;
    let parts: Vec<&str> = path.split('.').collect();
    match parts.as_slice() {
        ["setup", "liquid"] => words().prove.liquid.to_owned(),
        ["setup", "temperature"] => words().prove.temperature.to_owned(),
        ["setup", "tolerance"] => words().prove.tolerance.to_owned(),
        ["setup", "way"] => words().prove.way.to_owned(),
        ["setup", field] => prove::setup_label(field).to_owned(),
        ["outcome", field] => (w.outcome_field)(field).to_owned(),
        ["run", key, "product", n] => {
            let label = n.parse::<usize>().ok().and_then(|n| words().prove.products.get(n.checked_sub(1)?));
            (w.run)(key, label.copied().unwrap_or(n))
        }
        ["run", key, field] => (w.run)(key, (w.trial_field)(field)),
        [field] => (w.trial_field)(field).to_owned(),
        _ => path.to_owned(),
    }
}

/// A stored text as a person would write it.
pub(crate) fn value_text(kind: &Kind, path: &str, stored: &str) -> String {
    let (text, unit) = as_typed(kind, path, stored);
    let holds = spec_of(kind, path).map(|spec| spec.holds);
    let measure = match holds {
        Some(Holds::VolumeConvention | Holds::DistanceConvention) => return prove::convention_text(stored),
        Some(Holds::Choice(_)) if *kind == Kind::Drive => return super::pass::choice_text(stored),
        Some(Holds::Choice(_)) if path != "kind" => return (words().book.choice)(stored),
        Some(Holds::UnitOf(measure)) => return super::measure::symbol_of(measure, stored),
        Some(Holds::Quantity(measure)) => measure,
        _ if *kind == Kind::Readings && path == "outcome.entry" => {
            return super::adds_up::entry_text(stored);
        }
        _ if path.ends_with(".convention") => return prove::convention_text(stored),
        _ if path == "outcome.verdict" => {
            return verdict_from(stored).map_or_else(|| text.clone(), |v| prove::verdict_word(v).to_owned());
        }
        _ if path == "kind" => {
            let kind = TrialKind::from_code(stored);
            return kind.map_or_else(|| text.clone(), |kind| prove::kind_words(kind).0.to_owned());
        }
        _ => Measure::Number,
    };
    match unit {
        Some(code) if !text.bytes().any(|b| b.is_ascii_alphabetic()) => {
            format!("{text} {}", super::measure::symbol_of(measure, &code))
        }
        _ => text,
    }
}
