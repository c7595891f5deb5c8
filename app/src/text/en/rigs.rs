//! The list of rigs, in English.

use crate::text::rigs::RigsWords;

pub(super) const WORDS: RigsWords = RigsWords {
    title: "Rigs",
    none_yet: "No rig is described yet. Begin with a blank one, or look at the examples first.",
    unnamed: "Rig without a name",
    begin: "Begin a rig",
    blank_us: "Blank rig, US units",
    blank_metric: "Blank rig, metric units",
    examples: "Load the example rigs",
    choose: "Which rig?",
    copy_hint: "To begin from a copy, open a rig and press “Copy this rig”.",
};
