//! How the rig's console settles: dead times and time constants of carrier and pumps, and what stays at a switch. These are
//! kept with the rig and hold for all its drives.

use crate::bridge::drive::{CARRIER_CONSTANT, CARRIER_DEAD, PUMP_CONSTANT, PUMP_DEAD};
use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::state::drafts;
use crate::state::sheet::Sheet;
use crate::text::pass::time_text;
use crate::text::words;
use leptos::context::Provider;
use leptos::prelude::*;

const SWITCH: &str = "settle.switch";

/// The boxes of the console.
#[component]
pub(super) fn Settle(
    /// The rig's form.
    rig: Sheet,
) -> impl IntoView {
    let w = &words().pass;
    let half_typed = drafts::any_below(&rig.id().to_string(), "settle.");
    let boxes = move || {
        [
            ("settle.carrier.dead", CARRIER_DEAD),
            ("settle.carrier.constant", CARRIER_CONSTANT),
            ("settle.pump.dead", PUMP_DEAD),
            ("settle.pump.constant", PUMP_CONSTANT),
        ]
        .map(|(path, usual)| {
            let hint = (w.settle_usual)(&time_text(usual));
            view! { <DocField path=path label=(w.settle_label)(path) hint=hint with_source=true /> }
                .into_any()
        })
        .collect_view()
    };
    let stored = rig.text(SWITCH);
    let chosen = Signal::derive(move || stored.get().unwrap_or_else(|| "pressure".to_owned()));
    let options = vec![
        ("pressure".to_owned(), w.keeps_pressure.to_owned()),
        ("flow".to_owned(), w.keeps_flow.to_owned()),
    ];
    view! {
        <details class="group" open=half_typed>
            <summary><h2 class="group__title">{w.settle}</h2></summary>
            <div class="group__body">
                <p>{w.settle_hint}</p>
                <Provider value=rig>
                    <div class="fields">{boxes()}</div>
                </Provider>
                <Choice legend=w.at_switch options=options chosen=chosen on_choose=move |code| rig.set_one(SWITCH, code) />
            </div>
        </details>
    }
    .into_any()
}
