//! What a user sees when the program itself has failed: a sentence instead of a dead screen. Saved entries are on disk.

use leptos::prelude::document;
use wasm_bindgen::JsValue;

/// From now on a failure is written to the console and `text` stands at the top of the page.
pub(crate) fn say_when_failed(text: &'static str) {
    std::panic::set_hook(Box::new(move |info| {
        web_sys::console::error_1(&JsValue::from_str(&info.to_string()));
        let Some(body) = document().body() else { return };
        if let Ok(notice) = document().create_element("p") {
            notice.set_text_content(Some(text));
            notice.set_class_name("crash");
            // Where even this fails there is nobody left to tell.
            let _ = notice.set_attribute("role", "alert");
            let _ = body.prepend_with_node_1(&notice);
        }
    }));
}
