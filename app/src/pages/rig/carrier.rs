//! The carrier's way into the rig, and the rates and speeds that are wanted.

use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::state::sheet::sheet;
use crate::text::words;
use leptos::prelude::*;

/// Tank and supply pump.
#[component]
pub(super) fn Supply() -> impl IntoView {
    let w = &words().rig;
    view! {
        <div class="fields">
            <DocField path="tank.volume" label=w.tank with_source=true />
            <DocField path="supply.greatest" label=w.supply_greatest with_source=true />
            <DocField path="supply.agitation" label=w.supply_agitation hint=w.supply_agitation_hint with_source=true />
            <DocField path="supply.reserve" label=w.supply_reserve hint=w.supply_reserve_hint />
        </div>
    }
}

/// Target rate or manual, standing-test speed, minimum-speed hold, top speed.
#[component]
pub(super) fn Rates() -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let stored = sheet.text("carrier.mode");
    let mode = Signal::derive(move || stored.get().unwrap_or_else(|| "regulated".to_owned()));
    let options =
        vec![("regulated".to_owned(), w.regulated.to_owned()), ("manual".to_owned(), w.manual.to_owned())];
    view! {
        <Choice legend=w.carrier_mode options=options chosen=mode on_choose=move |code| sheet.set_one("carrier.mode", code) />
        <div class="fields">
            <div hidden=move || *mode.read() != "regulated"><DocField path="carrier.rate" label=w.carrier_rate /></div>
            <div hidden=move || *mode.read() != "manual">
                <DocField path="carrier.pressure" label=w.carrier_pressure hint=w.carrier_pressure_hint />
            </div>
            <DocField path="carrier.specific_gravity" label=w.density hint=w.density_hint unit_first="sg" with_source=true />
            <DocField path="standing.speed" label=w.standing_speed hint=w.standing_speed_hint />
            <DocField path="hold.speed" label=w.hold_speed hint=w.hold_speed_hint />
            <DocField path="top.speed" label=w.top_speed />
        </div>
    }
}
