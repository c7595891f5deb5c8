//! A number that moves by − and +, and by a slider under the thumb.

use crate::components::field::next_id;
use crate::text::words;
use leptos::prelude::*;

/// Where a number may go, in the unit that is shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Range {
    /// Least.
    pub(super) least: f64,
    /// Greatest.
    pub(super) greatest: f64,
    /// One press.
    pub(super) step: f64,
}

/// A labelled number with its two buttons and its slider.
#[component]
pub(super) fn Stepper(
    /// What it is.
    label: &'static str,
    /// The number.
    number: Signal<f64>,
    /// Called with the number to take.
    on_set: Callback<f64>,
    /// Where it may go.
    range: Range,
    /// The number with its unit.
    shown: Signal<String>,
) -> impl IntoView {
    let w = &words().reach;
    let id = format!("s{}", next_id());
    let set = move |value: f64| {
        if value.is_finite() {
            on_set.run(value.clamp(range.least, range.greatest.max(range.least)));
        }
    };
    let by = move |steps: f64| set(number.get_untracked() + steps * range.step);
    let slide = move |event| {
        if let Ok(value) = event_target_value(&event).parse::<f64>() {
            set(value);
        }
    };
    view! {
        <div class="stepper" role="group" aria-label=label>
            <div class="stepper__head">
                <label class="stepper__label" for=id.clone()>{label}</label>
                <output class="stepper__value" aria-live="polite">{shown}</output>
            </div>
            <button type="button" class="button" aria-label=(w.less)(label) on:click=move |_| by(-1.0)>"−"</button>
            <input
                class="slider"
                id=id
                type="range"
                min=range.least.to_string()
                max=range.greatest.to_string()
                step=range.step.to_string()
                aria-valuetext=shown
                prop:value=move || number.get().to_string()
                on:input=slide
            />
            <button type="button" class="button" aria-label=(w.more)(label) on:click=move |_| by(1.0)>"+"</button>
        </div>
    }
    .into_any()
}
