//! Files out and in: a download, the share sheet's bytes, a chosen file's text.

use js_sys::Reflect;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, BlobPropertyBag, File, FilePropertyBag, HtmlAnchorElement, HtmlInputElement, ShareData, Url,
};

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

/// A text as a file for the share sheet of the device; `None` where it has none, or none that takes files.
fn shareable(name: &str, text: &str) -> Option<ShareData> {
    let navigator = leptos::prelude::window().navigator();
    // Where a browser has no share sheet the properties themselves are missing.
    let has = |property: &str| Reflect::has(&navigator, &property.into()).unwrap_or(false);
    if !(has("share") && has("canShare")) {
        return None;
    }
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let options = FilePropertyBag::new();
    options.set_type("text/plain");
    let file = File::new_with_str_sequence_and_options(&parts, name, &options).ok()?;
    let data = ShareData::new();
    data.set_files(&js_sys::Array::of1(&file));
    navigator.can_share_with_data(&data).then_some(data)
}

/// Whether this device has a share sheet that takes text files.
pub(crate) fn can_share() -> bool {
    shareable("book.txt", "").is_some()
}

/// How handing something to the share sheet ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shared {
    /// The receiving program has it.
    Done,
    /// The user put the sheet away.
    Cancelled,
    /// The browser would not.
    Failed,
}

/// Hands a text to the share sheet as a file. To be called within the tap, with the text ready.
pub(crate) async fn share(name: &str, text: &str) -> Shared {
    let Some(data) = shareable(name, text) else { return Shared::Failed };
    let sharing = leptos::prelude::window().navigator().share_with_data(&data);
    match JsFuture::from(sharing).await {
        Ok(_) => Shared::Done,
        Err(error) => {
            let name = Reflect::get(&error, &"name".into()).ok().and_then(|name| name.as_string());
            if name.as_deref() == Some("AbortError") { Shared::Cancelled } else { Shared::Failed }
        }
    }
}

/// What was chosen in a file box.
pub(crate) enum Chosen {
    /// Its text.
    Text(String),
    /// More bytes than may be read.
    TooLarge,
    /// The browser could not read it.
    Unreadable,
}

/// The text of the first file chosen in a file box, if it has no more than `most` bytes. The box is then free to take the
/// same file again.
pub(crate) async fn chosen_text(input: &HtmlInputElement, most: usize) -> Option<Chosen> {
    let file = input.files()?.get(0)?;
    // A file's size is a whole number far below 2⁵³.
    #[allow(clippy::cast_precision_loss)]
    let too_large = file.size() > most as f64;
    let text =
        if too_large { None } else { JsFuture::from(file.text()).await.ok().and_then(|t| t.as_string()) };
    input.set_value("");
    Some(match text {
        _ if too_large => Chosen::TooLarge,
        Some(text) => Chosen::Text(text),
        None => Chosen::Unreadable,
    })
}
