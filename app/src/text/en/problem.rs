//! Problems of typed text, in English.

use crate::text::problem::ProblemWords;

pub(super) const WORDS: ProblemWords = ProblemWords {
    empty: "Nothing is typed here yet.",
    not_a_number: |found| format!("“{found}” is not a number. Type digits, for example 12.5 or 3/4."),
    two_marks: |found| format!("“{found}” has two decimal marks. Type it with one, for example 12.5."),
    ambiguous: |d, t| format!("This may be {d} or {t}. Type {d} with a point, or {t} without a mark."),
    no_unit: "A number alone could be anything. Type its unit too, for example 144 in or 3.66 m.",
    unknown_unit: |found| format!("“{found}” is not a unit for this number. Choose one from the list."),
    parts: "These parts do not go together. Write the larger unit first, for example 12 ft 6 in.",
    zero_below_line: "A fraction cannot have zero below the line.",
    too_large: "This number is too large to work with.",
    other: "This cannot be read as a number.",
    zero: "Zero cannot be right here. Type a number above zero, or leave it empty if it is not known.",
    negative: "A negative number cannot be right here. Type a number above zero.",
    out_of_range: |lo, hi| {
        format!("Outside what is possible here: between {lo} and {hi}. Check the number and its unit.")
    },
    not_whole: "Type a whole number.",
    not_on_list: "Choose one from the list.",
    missing: "Still needed.",
    no_convention: "Say first how the console counts this number (pulses per what, or how much per pulses).",
    iso_number: |found| {
        format!("“{found}” is not a nozzle number of ISO 10625. They look like 01, 015, 02, 03, 04 or 10.")
    },
};
