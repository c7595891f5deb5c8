//! Whether the browser promises not to clear our storage when it runs short.

use leptos::task::spawn_local;
use std::cell::Cell;
use wasm_bindgen_futures::JsFuture;

/// Whether it has promised; `None` where it does not tell.
pub(crate) async fn is_persistent() -> Option<bool> {
    let manager = leptos::prelude::window().navigator().storage();
    JsFuture::from(manager.persisted().ok()?).await.ok()?.as_bool()
}

/// Asks for the promise.
pub(crate) async fn ask() -> Option<bool> {
    let manager = leptos::prelude::window().navigator().storage();
    JsFuture::from(manager.persist().ok()?).await.ok()?.as_bool()
}

/// Asks for the promise, the first time that this is called on a page. Whether it was given is told by
/// [`is_persistent`].
pub(crate) fn ask_once() {
    thread_local! {
        static ASKED: Cell<bool> = const { Cell::new(false) };
    }
    if !ASKED.replace(true) {
        spawn_local(async {
            ask().await;
        });
    }
}
