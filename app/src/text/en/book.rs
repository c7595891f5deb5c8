//! The book, in English.

use crate::text::book::BookWords;

pub(super) const WORDS: BookWords = BookWords {
    title: "Book",
    show: "Show",
    of: "Of",
    all: "Everything",
    trials: "Trials",
    changes: "Changed numbers",
    notes: "Notes",
    all_rigs: "All rigs",
    this_rig: "The rig at hand",
    none_yet: "Nothing is written here yet.",
    more: "Show more",
    note: "Note",
    save_note: "Save note",
    by_trial: "Taken over from a trial",
    correction: "correction",
    corrects: "Puts an earlier entry right",
    corrected_by: "This entry was put right later",
    because: "Because of an earlier entry",
    cleared: "nothing",
    entry: "Entry",
    written: |at, by| if by.is_empty() { format!("Written {at}.") } else { format!("Written {at} by {by}.") },
    before: |old| format!("Before: {old}"),
    history: "Everything that ever stood here",
    correct: "Put it right",
    correct_hint: "The entry above stays as it is. The correction is a new entry that points to it.",
    correct_label: |what| format!("{what}, corrected"),
    save_correction: "Save the correction",
    back: "Back to the book",
    at_odds: |what| format!("{what}: two devices set this without knowing of each other. Which one holds?"),
    change: |what, old, new| format!("{what}: {old} → {new}"),
    described: |fields, begun| {
        let what = if begun { "Rig begun" } else { "Rig described" };
        if fields == 1 { format!("{what}: 1 field") } else { format!("{what}: {fields} fields") }
    },
    trial: |title, state, numbers| {
        if numbers.is_empty() { format!("{title}: {state}") } else { format!("{title}: {state}, {numbers}") }
    },
    old_new: |old, new| format!("{old} → {new}"),
    other: "Written by another version of this program",
};
