//! Where the keyboard is: the heading of a new screen takes it.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// Puts the keyboard on the first heading of the screen.
pub(crate) fn focus_heading() {
    focus_on("main h1");
}

/// Puts the keyboard on the first element that fits, and brings it into view.
pub(crate) fn focus_on(selector: &str) {
    let heading = leptos::prelude::document().query_selector(selector).ok().flatten();
    if let Some(heading) = heading.and_then(|h| h.dyn_into::<HtmlElement>().ok()) {
        heading.set_tab_index(-1);
        // An element that cannot take the focus leaves it where it was.
        let _ = heading.focus();
    }
}

/// Names the page in the tab and for a screen reader.
pub(crate) fn set_title(title: &str) {
    leptos::prelude::document().set_title(title);
}
