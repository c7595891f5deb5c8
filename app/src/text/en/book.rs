//! The book, in English.

use crate::text::book::BookWords;

pub(super) const WORDS: BookWords = BookWords {
    title: "Book",
    show: "Show",
    of: "Of which rig",
    all: "Everything",
    trials: "Trials",
    changes: "Changed numbers",
    notes: "Notes",
    all_rigs: "All rigs",
    none_yet: "Nothing is written here yet.",
    more: "Show more",
    note: "Note",
    save_note: "Save note",
    by_trial: "Taken over from a trial",
    correction: "correction",
    corrects: "Puts an earlier entry right",
    corrected_by: "This entry was put right later",
    corrected_since: "put right since",
    typed: "typed",
    replaced: "A later entry is in force now. See that one.",
    at_its_place: "This is changed where it was chosen: on the rig, or in the trial while that is open.",
    everything: "Everything written about it",
    fields: |n| if n == 1 { "1 field".to_owned() } else { format!("{n} fields") },
    side: |value, at, by| {
        if by.is_empty() { format!("{value} ({at})") } else { format!("{value} ({by}, {at})") }
    },
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
    at_odds: |what, rig| {
        let of = if rig.is_empty() { String::new() } else { format!("{rig}, ") };
        format!("{of}{what}: two devices set this without knowing of each other. Which one holds?")
    },
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
    removed: "Taken off the list",
    choice: |code| {
        let text = match code {
            "us" => "US units",
            "metric" => "metric units",
            "number" => "by a number",
            "wheel" => "by a wheel",
            "width" => "width by tape",
            "nozzles" => "nozzles × spacing",
            "iso" => "by ISO 10625 number",
            "flow" => "by flow at a pressure",
            "regulated" => "regulated to a rate",
            "manual" => "left in manual",
            "concluded" => "finished",
            "jug" => "in a jug or tank",
            "weight" => "on a scale",
            other => other,
        };
        text.to_owned()
    },
    run: |key, reading| {
        // The key is the entry that began the run; its last part is the number that differs from run to run.
        let short = key.rsplit_once('-').map_or(key, |(_, seq)| seq);
        format!("Run {short}: {reading}")
    },
    trial_field: |field| match field {
        "kind" => "Trial",
        "rig" => "Rig",
        "status" => "State",
        "note" => "Note",
        "indicated" | "distance" | "speed" | "width" => "console shows",
        "actual" => "jug says",
        "gross" => "scale, full",
        "tare" => "scale, empty",
        "temperature" => "water temperature",
        "seconds" => "stopwatch says",
        "direction" => "direction",
        "taped" => "tape says",
        "output" => "output of the pump",
        "section" => "section",
        "nozzle" => "nozzle",
        "on" => "sections on",
        "expected" => "should show",
        "gauge" | "pressure" => "gauge shows",
        "reference" => "reference shows",
        "flow" => "console, flow",
        "area" => "console, area",
        "removed" => "taken out of the count",
        _ => "reading",
    },
    outcome_field: |field| match field {
        "verdict" => "Verdict",
        "error" => "Error, as a share",
        "expanded" => "Uncertainty of the error (95 %), as a share",
        "tolerance" => "Tolerance, as a share",
        "runs" => "Runs that counted",
        "old" => "Number before",
        "new" => "New number",
        "exact" => "New number before rounding",
        "number_expanded" => "Uncertainty of the new number (95 %)",
        "convention" => "Convention",
        "action" => "What was done with it",
        _ => "What came out",
    },
};
