//! What the console wants for each entry: its unit, its smallest step, its largest value.

use crate::components::doc_field::DocField;
use crate::state::sheet::{Sheet, sheet};
use crate::text::{measure, words};
use leptos::prelude::*;
use records::fields::Holds;
use records::rig::RigView;

/// Every entry of the console.
#[component]
pub(super) fn Console() -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let pumps = Memo::new(move |_| sheet.read(|doc| RigView::read(doc).pumps.len() as u32).unwrap_or(0));
    view! {
        <p>{w.console_hint}</p>
        <Entry name="meter" title=w.meter_number />
        <Entry name="course" title=w.speed_number />
        <Entry name="width" title=w.entry_width />
        <Entry name="carrier_rate" title=w.carrier_rate />
        <For each=move || 1..=pumps.get() key=|n| *n let(n)>
            <Entry name=format!("pump.{n}.number") title=(w.of_pump)(n, w.pump_number) />
            <Entry name=format!("pump.{n}.rate") title=(w.of_pump)(n, w.entry_rate) />
        </For>
        <Entry name="nudge" title=w.nudge />
        <Entry name="standing_speed" title=w.standing_speed />
        <Entry name="hold_speed" title=w.hold_speed />
    }
}

/// One entry of the console.
#[component]
fn Entry(
    /// As in the paths, e.g. `meter`.
    #[prop(into)]
    name: String,
    /// What the sheet calls it.
    #[prop(into)]
    title: String,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let path = |what: &str| format!("keyin.{name}.{what}");
    let (step, largest) = (path("step"), path("largest"));
    let unit_path = path("unit");
    let named = |what: &str| format!("{title}: {what}");
    view! {
        <fieldset class="card">
            <legend>{title.clone()}</legend>
            <div class="fields">
                <UnitChoice path=unit_path label=named(w.entry_unit) sheet=sheet />
                <DocField path=step label=named(w.entry_step) />
                <DocField path=largest label=named(w.entry_largest) />
            </div>
        </fieldset>
    }
}

/// The unit that the console shows for an entry; nothing where the convention has it already.
#[component]
fn UnitChoice(
    /// Path of the unit's code.
    path: String,
    /// Names the box.
    label: String,
    /// The form.
    sheet: Sheet,
) -> impl IntoView {
    let spec = (sheet.spec_of)(&path);
    let Some(Holds::UnitOf(wanted)) = spec.map(|spec| spec.holds) else { return ().into_any() };
    let stored = sheet.text(path.clone());
    let usual = measure::usual_unit(wanted, sheet.system);
    let chosen = move || stored.get().unwrap_or_else(|| usual.to_owned());
    let id = format!("unit-{path}");
    let on_change = move |event| sheet.set_one(path.clone(), event_target_value(&event));
    view! {
        <div class="field">
            <label class="field__label" for=id.clone()>{label}</label>
            <select class="field__select" id=id on:change=on_change prop:value=chosen>
                {measure::units_of(wanted)
                    .into_iter()
                    .map(|(code, symbol)| view! { <option value=code selected=move || chosen() == code>{symbol}</option> })
                    .collect_view()}
            </select>
        </div>
    }
    .into_any()
}
