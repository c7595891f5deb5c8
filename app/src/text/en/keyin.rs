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
    manual: "The carrier is left in manual: no carrier rate is keyed in.",
    no_widths: "Widths add up here once every section has one.",
    widths: "Widths as sections go on",
    width_now: |on, sum| match on {
        1 => format!("1 section on: {sum}"),
        n => format!("{n} sections on: {sum}"),
    },
    sections_up_to: |n| if n == 1 { "Section 1".to_owned() } else { format!("Sections 1 to {n}") },
    one_less: "One section less",
    one_more: "One section more",
    foot: "Worked out from what was keyed in here; not a certificate. Prove it with clean water before product goes in. The product label \
           is the law where it is used; local codes and licensed practice come first. Wear the label’s protective equipment.",
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
};
