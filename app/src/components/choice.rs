//! One of a few, side by side: real radio buttons with a face large enough for a glove.

use crate::components::field::next_id;
use leptos::prelude::*;

/// One of a few.
#[component]
pub(crate) fn Choice(
    /// What is chosen.
    #[prop(into)]
    legend: String,
    /// Stored code and visible words of each.
    options: Vec<(String, String)>,
    /// The code in force.
    #[prop(into)]
    chosen: Signal<String>,
    /// Called with the code of the one that was pressed.
    #[prop(into)]
    on_choose: Callback<String>,
) -> impl IntoView {
    let name = format!("c{}", next_id());
    let items = options
        .into_iter()
        .map(|(code, label)| {
            let (checked_code, pressed_code) = (code.clone(), code.clone());
            view! {
                <label class="choice__item">
                    <input
                        type="radio"
                        name=name.clone()
                        value=code
                        prop:checked=move || *chosen.read() == checked_code
                        on:change=move |_| on_choose.run(pressed_code.clone())
                    />
                    <span class="choice__face">{label}</span>
                </label>
            }
        })
        .collect_view();
    view! {
        <fieldset class="choice">
            <legend>{legend}</legend>
            <div class="choice__list">{items}</div>
        </fieldset>
    }
}
