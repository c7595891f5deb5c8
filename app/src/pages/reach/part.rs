//! A part of the screen under a heading that opens and closes it. What stands in it is worked out when it is first opened.

use crate::components::field::next_id;
use leptos::prelude::*;

/// A heading with what stands under it.
#[component]
pub(super) fn Part(
    /// The heading.
    title: &'static str,
    /// Whether it stands open at first.
    open: bool,
    children: ChildrenFn,
) -> impl IntoView {
    let id = format!("p{}", next_id());
    let is_open = RwSignal::new(open);
    let ever = Memo::new(move |before| before.copied().unwrap_or(false) || is_open.get());
    let body = move || ever.get().then(|| children());
    view! {
        <section class="part">
            <h2 class="part__title">
                <button type="button" class="part__button" aria-expanded=move || is_open.get().to_string() aria-controls=id.clone() on:click=move |_| is_open.update(|open| *open = !*open)>
                    {title}
                </button>
            </h2>
            <div id=id.clone() class="part__body" hidden=move || !is_open.get()>{body}</div>
        </section>
    }
    .into_any()
}
