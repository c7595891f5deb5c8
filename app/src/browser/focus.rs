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

/// Puts the keyboard into the box that stands in the element of that id.
pub(crate) fn focus_box(id: &str) {
    let element = leptos::prelude::document().get_element_by_id(id);
    let input = element.and_then(|element| element.query_selector("input").ok().flatten());
    if let Some(input) = input.and_then(|input| input.dyn_into::<HtmlElement>().ok()) {
        // A box that cannot take the focus leaves it where it was.
        let _ = input.focus();
    }
}
