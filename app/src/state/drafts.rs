//! Half-typed text, kept with each key so that a reload or a phone call loses nothing. A draft goes when its text has
//! been saved as an entry.

use crate::browser::shelf;

fn key(place: &str, path: &str) -> String {
    format!("draft/{place}/{path}")
}

/// Keeps what stands in a box. `place` is a document's id or a screen's name.
pub(crate) fn keep(place: &str, path: &str, text: &str) {
    // Where local storage is shut or full the box still has the text; the frame says that nothing is kept.
    let _ = shelf::put(&key(place, path), text);
}

/// What was half typed there, if anything.
pub(crate) fn find(place: &str, path: &str) -> Option<String> {
    shelf::get(&key(place, path))
}

/// Forgets a draft.
pub(crate) fn drop(place: &str, path: &str) {
    shelf::remove(&key(place, path));
}

/// Whether anything is half typed in a part of a form, by the start of its paths.
pub(crate) fn any_below(place: &str, path: &str) -> bool {
    shelf::any_below(&key(place, path))
}
