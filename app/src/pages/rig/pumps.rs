//! Injection pumps: own number and convention, least and greatest output, rates, nudge, label maximum.

use super::convention::{Convention, Over, PUMP};
use crate::components::doc_field::DocField;
use crate::state::sheet::{System, sheet};
use crate::text::words;
use leptos::prelude::*;
use records::rig::RigView;

/// How many pumps, and each.
#[component]
pub(super) fn Pumps() -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let count = Memo::new(move |_| sheet.read(|doc| RigView::read(doc).pumps.len() as u32).unwrap_or(0));
    view! {
        <DocField path="pump.count" label=w.pump_count />
        <For each=move || 1..=count.get() key=|n| *n let(n)>
            <Pump n=n />
        </For>
    }
}

/// One injection pump.
#[component]
fn Pump(
    /// From 1, in the console's order.
    n: u32,
) -> impl IntoView {
    let w = &words().rig;
    let at = move |name: &str| format!("pump.{n}.{name}");
    let flow_unit = match sheet().system {
        System::Us => "us_fl_oz_per_min",
        System::Metric => "ml_per_min",
    };
    let rate_unit = match sheet().system {
        System::Us => "us_fl_oz_per_ac",
        System::Metric => "ml_per_ha",
    };
    let named = |what: &str| (w.of_pump)(n, what);
    view! {
        <fieldset class="card">
            <legend>{(w.pump_n)(n)}</legend>
            <DocField path=at("name") label=named(w.pump_product) />
            <Convention path=at("convention") label=named(w.pump_convention) over=Over::Volume usual=PUMP />
            <div class="fields">
                <DocField path=at("number") label=named(w.pump_number) with_source=true />
                <DocField path=at("least") label=named(w.pump_least) unit_first=flow_unit with_source=true />
                <DocField path=at("greatest") label=named(w.pump_greatest) unit_first=flow_unit with_source=true />
                <DocField path=at("first") label=named(w.first_rate) />
                <DocField path=at("second") label=named(w.second_rate) hint=w.second_rate_hint />
                <DocField path=at("nudge") label=named(w.nudge) hint=w.nudge_hint />
                <DocField path=at("label_greatest") label=named(w.label_greatest) hint=w.label_greatest_hint unit_first=rate_unit />
            </div>
        </fieldset>
    }
}
