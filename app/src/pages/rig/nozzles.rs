//! The nozzle set: an ISO 10625 number, or a flow at a pressure from the maker's sheet.

use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::state::sheet::sheet;
use crate::text::words;
use leptos::prelude::*;

/// The nozzle set.
#[component]
pub(super) fn Nozzles() -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let stored = sheet.text("nozzle.by");
    let by = Signal::derive(move || stored.get().unwrap_or_else(|| "iso".to_owned()));
    let options = vec![
        ("iso".to_owned(), w.nozzle_by_iso.to_owned()),
        ("flow".to_owned(), w.nozzle_by_flow.to_owned()),
    ];
    view! {
        <Choice legend=w.nozzle_by options=options chosen=by on_choose=move |code| sheet.set_one("nozzle.by", code) />
        <div class="fields">
            <div hidden=move || *by.read() != "iso"><DocField path="nozzle.iso" label=w.nozzle_iso hint=w.nozzle_iso_hint with_source=true /></div>
            <div hidden=move || *by.read() != "flow"><DocField path="nozzle.flow" label=w.nozzle_flow with_source=true /></div>
            <div hidden=move || *by.read() != "flow"><DocField path="nozzle.pressure" label=w.nozzle_pressure with_source=true /></div>
            <DocField path="nozzle.least_pressure" label=w.nozzle_least with_source=true />
            <DocField path="nozzle.greatest_pressure" label=w.nozzle_greatest with_source=true />
            <DocField path="nozzle.spacing" label=w.nozzle_spacing unit_first="in" with_source=true />
        </div>
    }
}
