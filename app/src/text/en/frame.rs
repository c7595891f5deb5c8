//! The frame, in English.

use crate::text::frame::FrameWords;

pub(super) const WORDS: FrameWords = FrameWords {
    crashed: "The program has stopped at a fault of its own. Everything marked as saved is kept. Reload the page to go on.",
    skip: "Skip to the content",
    nav: "Main",
    rig: "Rig",
    key_in: "Key-in",
    prove: "Prove",
    book: "Book",
    settings: "Settings and backup",
    no_rig: "No rig chosen",
    saving: "Saving…",
    saved: "Saved",
    not_saved: |n| match n {
        1 => "1 entry is not saved yet".to_owned(),
        n => format!("{n} entries are not saved yet"),
    },
    retry: "Try again",
    only_here: |n| match n {
        1 => "1 entry only on this device".to_owned(),
        n => format!("{n} entries only on this device"),
    },
    update_waiting: "A new version is ready. What you typed stays.",
    update_now: "Use the new version",
    nothing_here: "Nothing here",
    nothing_here_more: "This address leads to no screen or to a record that is not on this device.",
    to_rigs: "To the rigs",
    page_title: |screen| format!("{screen} · Boomwright"),
};
