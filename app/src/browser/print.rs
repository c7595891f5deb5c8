//! The printer.

/// Opens the browser's print dialogue.
pub(crate) fn print() {
    // Where printing is not allowed nothing happens, and the browser says so itself.
    let _ = leptos::prelude::window().print();
}
