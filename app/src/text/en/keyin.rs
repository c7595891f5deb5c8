//! The key-in sheet, in English.

use crate::text::keyin::KeyInWords;

pub(super) const WORDS: KeyInWords = KeyInWords {
    title: "Key-in sheet",
    entry: "Entry",
    key: "Key in",
    rounding: "Rounding",
    source: "From",
    source_unsaid: "not said",
    one_percent: "If it is 1 % high, on the ground",
    missing: "missing",
    still_missing: |names| format!("Still missing: {names}."),
    describe: "Describe it on the rig",
    printed: |at| format!("As of {at}"),
    lifted: "This plan puts more on the ground than the label allows:",
    at_carrier_rate: "worked out at the target carrier rate",
    wants_per_area: "The console takes this rate per area, and it is stated per carrier. Without a carrier rate to hold it cannot \
                     be worked out: state it per area.",
    wants_per_carrier: "The console takes this rate per carrier, and it is stated per area. State it as the console takes it.",
    manual: "The carrier is left in manual: no carrier rate is keyed in.",
    no_widths: "Widths add up here once every section has one.",
    widths: "Widths as sections go on",
    width_now: |on, sum| match on {
        0 => "No section on: 0".to_owned(),
        1 => format!("1 section on: {sum}"),
        n => format!("{n} sections on: {sum}"),
    },
    sections_up_to: |n| if n == 1 { "Section 1".to_owned() } else { format!("Sections 1 to {n}") },
    widths_hint: "Switch sections on at the console from left to right: it should add up to this.",
    switches: "Sections on",
    switch: |n| format!("Section {n}"),
    all_widths: "All widths together",
    foot: "Calculated from what was described here; not a certificate. Prove it with clean water before product goes in, and never lean on a \
           lone reading. The product label is the law where it is used; local codes and licensed practice come first. Wear the label’s \
           protective equipment. Keep a backflow device or an air gap when filling.",
    print: "Print this sheet",
    to_rig: "Change the rig",
    width: |n| format!("Section {n} width"),
    too_large: |rounded, largest| {
        format!(
            "{rounded} is more than the console takes ({largest}). Choose another unit or convention on the rig."
        )
    },
    rounds_to_zero: |step| {
        format!("Smaller than half the console’s step of {step}: it would be keyed in as zero.")
    },
    not_possible: "This cannot be keyed in. Check it on the rig.",
    carrier_moves: |by| format!("carrier {by}"),
    product_moves: |pumps, by| format!("product {pumps} {by}"),
    nothing_moves: "no change",
    on_second: |moves| format!("on the second rate: {moves}"),
    after_nudge: |moves| format!("one press up: {moves}"),
    below_hold: |moves| format!("slower than the hold: {moves}"),
    standing_only: |moves| format!("standing run only: {moves}"),
};
