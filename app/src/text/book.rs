//! What the book says.

use super::{prove, rig, words};
use crate::bridge::book::{What, as_typed};
use crate::bridge::trial::outcome::verdict_from;
use records::fields::{Holds, Measure};
use records::rig::spec_of;
use records::trial::Status;

pub(crate) struct BookWords {
    pub(crate) title: &'static str,
    pub(crate) show: &'static str,
    pub(crate) of: &'static str,
    pub(crate) all: &'static str,
    pub(crate) trials: &'static str,
    pub(crate) changes: &'static str,
    pub(crate) notes: &'static str,
    pub(crate) all_rigs: &'static str,
    pub(crate) this_rig: &'static str,
    pub(crate) none_yet: &'static str,
    pub(crate) more: &'static str,
    pub(crate) note: &'static str,
    pub(crate) save_note: &'static str,
    pub(crate) by_trial: &'static str,
    pub(crate) correction: &'static str,
    pub(crate) corrects: &'static str,
    pub(crate) corrected_by: &'static str,
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
    pub(crate) at_odds: fn(what: &str) -> String,
    pub(crate) change: fn(what: &str, old: &str, new: &str) -> String,
    pub(crate) described: fn(fields: usize, begun: bool) -> String,
    pub(crate) trial: fn(title: &str, state: &str, numbers: &str) -> String,
    pub(crate) old_new: fn(old: &str, new: &str) -> String,
    pub(crate) other: &'static str,
}

/// The title of an item.
pub(crate) fn item_text(what: &What) -> String {
    let w = &words().book;
    match what {
        What::Trial { kind, status, verdict, numbers, pump } => {
            let title = match (kind, pump) {
                (Some(records::trial::TrialKind::Pump), Some(n)) => (words().prove.pump_title)(*n),
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
            let new = new.as_ref().map_or_else(|| w.cleared.to_owned(), |new| value_text(path, new));
            (w.change)(&path_text(path), &value_text(path, old), &new)
        }
        What::Described { fields, begun } => (w.described)(*fields, *begun),
        What::Note(text) => text.clone(),
        What::Other => w.other.to_owned(),
    }
}

/// What a path is called.
pub(crate) fn path_text(path: &str) -> String {
    match path {
        "text" => words().book.note.to_owned(),
        _ if spec_of(path).is_some() => rig::place_text(path),
        _ => path.to_owned(),
    }
}

/// A stored text as a person would write it.
pub(crate) fn value_text(path: &str, stored: &str) -> String {
    let (text, unit) = as_typed(path, stored);
    let measure = match spec_of(path).map(|spec| spec.holds) {
        Some(Holds::VolumeConvention | Holds::DistanceConvention) => return prove::convention_text(stored),
        Some(Holds::Quantity(measure)) => measure,
        _ => Measure::Number,
    };
    match unit {
        Some(code) if !text.bytes().any(|b| b.is_ascii_alphabetic()) => {
            format!("{text} {}", super::measure::symbol_of(measure, &code))
        }
        _ => text,
    }
}
