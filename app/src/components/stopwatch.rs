//! A stopwatch that runs from stored start times and never from ticks: it survives a reload and a locked screen.

use crate::browser::{clock, shelf};
use crate::text::{number, words};
use leptos::prelude::*;
use std::time::Duration;

/// A stopwatch. Its start is kept under `key`, so that a reload finds it running.
#[component]
pub(crate) fn Stopwatch(
    /// Names it among the kept ones, e.g. the trial's id.
    #[prop(into)]
    key: String,
    /// Called with the seconds when it is stopped.
    #[prop(into)]
    on_stop: Callback<f64>,
) -> impl IntoView {
    let key = StoredValue::new(format!("stopwatch/{key}"));
    let started = RwSignal::new(shelf::get(&key.get_value()).and_then(|text| text.parse::<f64>().ok()));
    let shown = RwSignal::new(0.0_f64);
    let elapsed = move || started.get_untracked().map(|start| (clock::wall_ms() - start) / 1000.0);
    if let Ok(ticker) = set_interval_with_handle(
        move || {
            if let Some(seconds) = elapsed() {
                shown.set(seconds);
            }
        },
        Duration::from_millis(100),
    ) {
        on_cleanup(move || ticker.clear());
    }
    let press = move |_| match elapsed() {
        None => {
            let now = clock::wall_ms();
            // Without a kept start a reload would lose it; the watch still runs.
            let _ = shelf::put(&key.get_value(), &now.to_string());
            shown.set(0.0);
            started.set(Some(now));
        }
        Some(seconds) => {
            shelf::remove(&key.get_value());
            started.set(None);
            shown.set(seconds);
            on_stop.run((seconds * 10.0).round() / 10.0);
        }
    };
    let w = &words().stopwatch;
    let label = move || if started.get().is_some() { w.stop } else { w.start };
    view! {
        <div class="stopwatch" role="group" aria-label=w.title>
            <output class="stopwatch__time figure" aria-live="off">{move || number::stopwatch(shown.get())}</output>
            <button type="button" class="button stopwatch__press" class:stopwatch__press--running=move || started.get().is_some() on:click=press>
                {label}
            </button>
        </div>
    }
}
