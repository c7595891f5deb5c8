//! Files out and in: a download, the share sheet's bytes, a chosen file's text.

use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlInputElement, Url};

/// Hands a text out as a file. False where the browser will not.
pub(crate) fn download(name: &str, text: &str) -> bool {
    try_download(name, text).is_ok()
}

fn try_download(name: &str, text: &str) -> Result<(), JsValue> {
    let document = leptos::prelude::document();
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let options = BlobPropertyBag::new();
    options.set_type("text/plain;charset=utf-8");
    let blob = Blob::new_with_str_sequence_and_options(&parts, &options)?;
    let url = Url::create_object_url_with_blob(&blob)?;
    let link: HtmlAnchorElement = document.create_element("a")?.dyn_into()?;
    link.set_href(&url);
    link.set_download(name);
    link.click();
    Url::revoke_object_url(&url)
}

/// The text of the first file chosen in a file box.
pub(crate) async fn chosen_text(input: &HtmlInputElement) -> Option<String> {
    let file = input.files()?.get(0)?;
    JsFuture::from(file.text()).await.ok()?.as_string()
}
