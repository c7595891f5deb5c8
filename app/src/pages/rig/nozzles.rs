//! The nozzle set on the rig, sets of the user's own beside it, and the droplet table that the user keys in: an ISO 10625
//! number, or a flow at a pressure from the maker's sheet.

use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::state::sheet::sheet;
use crate::text::words;
use leptos::prelude::*;
use records::rig::RigView;

/// The nozzle set on the rig, and what else is known of nozzles.
#[component]
pub(super) fn Nozzles() -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    // The view reads the whole rig; what the lists need of it are two counts.
    let counts = Memo::new(move |_| {
        sheet
            .read(|doc| {
                let view = RigView::read(doc);
                (view.sets.len() as u32, view.droplets.len() as u32)
            })
            .unwrap_or_default()
    });
    view! {
        {numbers("nozzle".to_owned(), "")}
        <h3>{w.own_sets}</h3>
        <DocField path="set.count" label=w.set_count hint=w.set_count_hint />
        <For each=move || 1..=counts.get().0 key=|n| *n let(n)>
            <fieldset class="card">
                <legend>{(w.set_n)(n)}</legend>
                <DocField path=format!("set.{n}.name") label=(w.of_set)(n, w.set_name) />
                {numbers(format!("set.{n}"), &(w.of_set)(n, ""))}
            </fieldset>
        </For>
        <h3>{w.droplets}</h3>
        <DocField path="droplet.count" label=w.droplet_count hint=w.droplet_count_hint />
        <For each=move || 1..=counts.get().1 key=|n| *n let(n)>
            {droplet_row(n, counts)}
        </For>
    }
}

/// How a set is known, its flow and its pressure window; `of` stands before each label.
fn numbers(prefix: String, of: &str) -> AnyView {
    let sheet = sheet();
    let w = &words().rig;
    let by_path = format!("{prefix}.by");
    let stored = sheet.text(by_path.clone());
    let by = Signal::derive(move || stored.get().unwrap_or_else(|| "iso".to_owned()));
    let options = vec![
        ("iso".to_owned(), w.nozzle_by_iso.to_owned()),
        ("flow".to_owned(), w.nozzle_by_flow.to_owned()),
    ];
    let at = |field: &str| format!("{prefix}.{field}");
    let label = |what: &str| format!("{of}{what}");
    let spacing = (prefix == "nozzle").then(|| {
        view! { <DocField path="nozzle.spacing" label=w.nozzle_spacing unit_first="in" with_source=true /> }
    });
    view! {
        <Choice legend=label(w.nozzle_by) options=options chosen=by on_choose=move |code| sheet.set_one(by_path.clone(), code) />
        <div class="fields">
            <div hidden=move || *by.read() != "iso"><DocField path=at("iso") label=label(w.nozzle_iso) hint=w.nozzle_iso_hint with_source=true /></div>
            <div hidden=move || *by.read() != "flow"><DocField path=at("flow") label=label(w.nozzle_flow) with_source=true /></div>
            <div hidden=move || *by.read() != "flow"><DocField path=at("pressure") label=label(w.nozzle_pressure) with_source=true /></div>
            <DocField path=at("least_pressure") label=label(w.nozzle_least) with_source=true />
            <DocField path=at("greatest_pressure") label=label(w.nozzle_greatest) with_source=true />
            {spacing}
        </div>
    }
    .into_any()
}

/// One row of the droplet table: whose, at which pressure, which class.
fn droplet_row(n: u32, counts: Memo<(u32, u32)>) -> AnyView {
    let sheet = sheet();
    let w = &words().rig;
    let path = format!("droplet.{n}.set");
    let stored = sheet.text(path.clone());
    let whose = move || stored.get().unwrap_or_default();
    let on_change = move |event| {
        let code = event_target_value(&event);
        sheet.set([(path.clone(), (!code.is_empty()).then_some(code))], || {});
    };
    // With no set but the one on the rig there is nothing to choose.
    let select = move || {
        let n_sets = counts.get().0;
        (n_sets > 0).then(|| {
            let options = (0..=n_sets)
                .map(|set| {
                    let code = if set == 0 { String::new() } else { set.to_string() };
                    let label = if set == 0 { w.set_on_rig.to_owned() } else { (w.set_n)(set) };
                    let chosen = code.clone();
                    view! { <option value=code selected=move || whose() == chosen>{label}</option> }
                })
                .collect_view();
            view! {
                <select class="field__select" aria-label=(w.of_droplet)(n, w.droplet_set) on:change=on_change.clone() prop:value=whose>{options}</select>
            }
        })
    };
    view! {
        <fieldset class="card">
            <legend>{(w.of_droplet)(n, "")}</legend>
            {select}
            <div class="fields">
                <DocField path=format!("droplet.{n}.pressure") label=(w.of_droplet)(n, w.droplet_pressure) with_source=true />
                <DocField path=format!("droplet.{n}.class") label=(w.of_droplet)(n, w.droplet_class) hint=w.droplet_class_hint />
            </div>
        </fieldset>
    }
    .into_any()
}
