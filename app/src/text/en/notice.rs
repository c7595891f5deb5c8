//! Notices, in English.

use crate::text::notice::NoticeWords;

pub(super) const WORDS: NoticeWords = NoticeWords {
    storage_blocked: "This browser keeps nothing for this page (private window, or storage is blocked). What you type is here \
                      until the page is closed. Hand it out as a file, or open the page in a normal window.",
    storage_full: "There is no room left on this device, so the last entries are not saved. They are still here: hand out a \
                   copy, make room, then try again.",
    storage_failed: "The last entries could not be saved. They are still here: try again, or hand out a copy.",
    shelf_full: "The quick copy of the book is full. Every entry is still saved in the journal. Hand out a copy soon.",
    newer: "Some records were written by a newer version of this program. They are kept as they are and nothing is written \
            beside them. Reload to get the newer version.",
    set_aside: |n| match n {
        1 => "One stored text cannot be read. It is kept as it is and can be handed out.".to_owned(),
        n => format!("{n} stored texts cannot be read. They are kept as they are and can be handed out."),
    },
    outdated: "A newer version of this program runs in another tab. Reload this one to go on.",
    to_export: "Hand out a copy",
    to_set_aside: "See them",
};
