//! Whether the browser promises not to clear our storage when it runs short.

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
