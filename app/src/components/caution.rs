//! A caution: word, shape and colour.

use leptos::prelude::*;

/// A caution that stays in view.
#[component]
pub(crate) fn Caution(
    /// What to mind.
    #[prop(into)]
    text: String,
) -> impl IntoView {
    view! { <aside class="caution" role="note"><p>{text}</p></aside> }
}
