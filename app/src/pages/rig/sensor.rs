//! Flow meter and speed sensor: their numbers and how the console counts them.

use super::convention::{COURSE, Convention, METER, Over};
use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::state::sheet::sheet;
use crate::text::words;
use leptos::prelude::*;

/// The carrier flow meter.
#[component]
pub(super) fn Meter() -> impl IntoView {
    let w = &words().rig;
    view! {
        <Convention path="meter.convention" label=w.meter_convention over=Over::Volume usual=METER />
        <div class="fields">
            <DocField path="meter.number" label=w.meter_number hint=w.meter_number_hint with_source=true />
            <DocField path="meter.least" label=w.meter_least with_source=true />
            <DocField path="meter.greatest" label=w.meter_greatest with_source=true />
        </div>
    }
}

/// The speed sensor: a number that is known, or a wheel that is measured.
#[component]
pub(super) fn SpeedSensor() -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let stored = sheet.text("speed.by");
    let by = Signal::derive(move || stored.get().unwrap_or_else(|| "number".to_owned()));
    let options = vec![
        ("number".to_owned(), w.speed_by_number.to_owned()),
        ("wheel".to_owned(), w.speed_by_wheel.to_owned()),
    ];
    view! {
        <Convention path="speed.convention" label=w.speed_convention over=Over::Distance usual=COURSE />
        <Choice legend=w.speed_by options=options chosen=by on_choose=move |code| sheet.set_one("speed.by", code) />
        <div class="fields" hidden=move || *by.read() != "number">
            <DocField path="speed.number" label=w.speed_number hint=w.speed_number_hint with_source=true />
        </div>
        <div class="fields" hidden=move || *by.read() != "wheel">
            <DocField path="wheel.circumference" label=w.circumference hint=w.circumference_hint unit_first="in" with_source=true />
            <DocField path="wheel.pulses_per_turn" label=w.pulses_per_turn with_source=true />
        </div>
    }
}
