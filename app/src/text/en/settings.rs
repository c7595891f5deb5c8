//! The settings, in English.

use crate::text::settings::SettingsWords;

pub(super) const WORDS: SettingsWords = SettingsWords {
    title: "Settings and backup",
    name: "Your name",
    name_hint: "Stands beside every entry that you write.",
    size: "Size of buttons and figures",
    hand: "Hand",
    glove: "Glove and cab",
    copies: "Copies",
    entries: |all, only_here| {
        format!("The book has {all} entries; {only_here} of them are only on this device.")
    },
    hand_out: "Hand out a copy of the book",
    share: "Share a copy",
    hand_out_failed: "The browser would not hand out the file. Try again, or another browser.",
    read_in: "Read a copy in",
    choose_file: "A file that was handed out",
    take_in: "Take it in",
    leave: "Leave it",
    taken_in: |n| if n == 1 { "1 entry taken in.".to_owned() } else { format!("{n} entries taken in.") },
    aside_not_kept: "What cannot be read in the file could not be kept, so nothing was taken in. Make room, then choose it again.",
    file_unreadable: "The browser could not read this file. Nothing was read.",
    rig_gains: |name, begins, n| match (begins, n) {
        (true, _) => format!("“{name}” is a new rig."),
        (false, 1) => format!("“{name}” gains 1 entry."),
        (false, n) => format!("“{name}” gains {n} entries."),
    },
    trials_gain: |new, gaining| match (new, gaining) {
        (new, 0) => format!("Trials: {new} new."),
        (new, gaining) => format!("Trials: {new} new, {gaining} with more entries."),
    },
    new_entries: |n| if n == 1 { "1 new entry.".to_owned() } else { format!("{n} new entries.") },
    known_entries: |n| format!("{n} are here already."),
    clashing: |n| format!("{n} have the id of another entry here. Both are kept."),
    unreadable: |n| match n {
        1 => "1 text cannot be read. It is kept as it is.".to_owned(),
        n => format!("{n} texts cannot be read. They are kept as they are."),
    },
    conflicts: |n| match n {
        1 => "1 number will be at odds; the book will ask which one holds.".to_owned(),
        n => format!("{n} numbers will be at odds; the book will ask which one holds."),
    },
    not_whole: "The file was cut short or altered. What can be read in it is still sound.",
    missing: |n| format!("{n} entries that the file speaks of are not in it."),
    newer: "It holds entries of a newer version of this program. Get the newer version first; nothing is read in.",
    not_a_book: "This is not a book that was handed out here. Nothing was read.",
    too_large: "This file is larger than any book. Nothing was read.",
    newer_form: "A newer version of this program wrote this file. Get the newer version first.",
    set_aside: "Set aside",
    set_aside_count: |n| {
        format!("{n} stored texts cannot be read. They stay where they are and are never overwritten.")
    },
    set_aside_out: "Hand them out as a file",
    on_device: "On this device",
    offline_ready: "Ready: works without a signal.",
    offline_preparing: "Being made ready for work without a signal…",
    offline_failed: "Not ready for work without a signal yet; it is tried again when there is one.",
    offline_impossible: "This browser or address does not keep the program (no https, or a private window). It works while it is open.",
    persistent: "The browser has promised not to clear what is stored here.",
    not_persistent: "The browser may clear what is stored here when it runs short of room. Hand out copies.",
    persistence_unknown: "The browser does not say whether it keeps what is stored here. Hand out copies.",
    ask_persist: "Ask it to keep everything",
    version: |version| format!("Boomwright {version}"),
};
