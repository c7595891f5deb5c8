//! The form that plumbs a rig in two minutes, with what is taken as usual below it.

use super::Bench;
use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::components::table::sentences;
use crate::state::drafts;
use crate::state::sheet::{System, sheet};
use crate::text::{plumbing, words};
use leptos::prelude::*;
use records::rig::RigView;

/// The answers. The form stands open until they are enough, and while something is half typed.
#[component]
pub(super) fn Form() -> impl IntoView {
    let sheet = sheet();
    let bench: Bench = expect_context();
    let w = &words().plumbing;
    let bore = if sheet.system == System::Us { "in" } else { "mm" };
    let enough = bench.worked.with_untracked(|worked| worked.drawn.is_some());
    let half_typed = drafts::any_below(&sheet.id().to_string(), "plumbing.");
    let n_sections = sheet.peek(|doc| RigView::read(doc).sections.len() as u32).unwrap_or(0);
    let (hose_by, hoses) = choice(
        "plumbing.hose_by",
        w.hose_by,
        &[("reach", w.hose_by_reach), ("same", w.hose_by_same), ("each", w.hose_by_each)],
    );
    let (feed_by, feed) = choice(
        "plumbing.feed",
        w.feed,
        &[
            ("centre", w.feed_centre),
            ("inner", w.feed_inner),
            ("left", w.feed_left),
            ("right", w.feed_right),
            ("share", w.feed_at),
        ],
    );
    let each = (1..=n_sections)
        .map(|n| view! { <DocField path=format!("plumbing.section.{n}.hose") label=(w.hose_n)(n) /> })
        .collect_view();
    view! {
        <details class="group" open=!enough || half_typed>
            <summary><h2 class="group__title">{w.form}</h2></summary>
            <div class="group__body">
                <p>{w.form_hint}</p>
                <div class="fields">
                    <DocField path="plumbing.main_length" label=w.main_length hint=w.main_hint with_source=true />
                    <DocField path="plumbing.main_bore" label=w.main_bore unit_first=bore with_source=true />
                </div>
                {hoses}
                <div class="fields">
                    <div hidden=move || *hose_by.read() != "reach">
                        <DocField path="plumbing.hose_extra" label=w.hose_extra hint=w.hose_extra_hint with_source=true />
                    </div>
                    <div hidden=move || *hose_by.read() != "same">
                        <DocField path="plumbing.hose_length" label=w.hose_length with_source=true />
                    </div>
                    <div hidden=move || *hose_by.read() != "each">{each}</div>
                    <DocField path="plumbing.hose_bore" label=w.hose_bore unit_first=bore with_source=true />
                </div>
                {feed}
                <div class="fields">
                    <div hidden=move || *feed_by.read() != "share">
                        <DocField path="plumbing.feed_share" label=w.feed_share />
                    </div>
                    <DocField path="plumbing.section_bore" label=w.section_bore unit_first=bore with_source=true />
                </div>
                <More bore=bore />
            </div>
        </details>
        {move || {
            let worked = bench.worked.get();
            let texts = worked.drawn.as_ref().map(plumbing::assumed_texts).unwrap_or_default();
            (!texts.is_empty()).then(|| view! { <p>{w.assumed}</p>{sentences(texts)} }.into_any())
        }}
    }
}

/// What has usual values: fittings, walls, heights, liquid, pump, gauge.
#[component]
fn More(
    /// Unit beside an empty box for a small length.
    bore: &'static str,
) -> impl IntoView {
    let w = &words().plumbing;
    let (wall_by, wall) = choice(
        "plumbing.wall",
        w.wall,
        &[
            ("smooth", w.wall_smooth),
            ("steel", w.wall_steel),
            ("galvanized", w.wall_galvanized),
            ("own", w.wall_own),
        ],
    );
    let (_, law) =
        choice("plumbing.law", w.law, &[("swamee_jain", w.law_swamee_jain), ("colebrook", w.law_colebrook)]);
    let (_, gauge) = choice(
        "plumbing.gauge",
        w.gauge,
        &[("manifold", w.gauge_manifold), ("supply", w.gauge_supply), ("injection", w.gauge_injection)],
    );
    view! {
        <details>
            <summary>{w.more}</summary>
            <div class="fields">
                <DocField path="plumbing.supply_length" label=w.supply_length hint=w.supply_length_hint with_source=true />
                <DocField path="plumbing.valve_loss" label=w.valve_loss hint=w.valve_loss_hint with_source=true />
                <DocField path="plumbing.boom_height" label=w.boom_height hint=w.boom_height_hint unit_first=bore with_source=true />
                <DocField path="plumbing.viscosity" label=w.viscosity hint=w.viscosity_hint with_source=true />
                <DocField path="plumbing.greatest_pressure" label=w.greatest_pressure hint=w.greatest_pressure_hint with_source=true />
            </div>
            {wall}
            <div hidden=move || *wall_by.read() != "own">
                <DocField path="plumbing.roughness" label=w.roughness unit_first="mm" with_source=true />
            </div>
            {gauge}
            {law}
        </details>
    }
}

/// A choice that is kept at a path; the first option holds where nothing was chosen.
fn choice(
    path: &'static str,
    legend: &'static str,
    options: &[(&'static str, &'static str)],
) -> (Signal<String>, AnyView) {
    let sheet = sheet();
    let stored = sheet.text(path);
    let first = options.first().map_or("", |option| option.0);
    let chosen = Signal::derive(move || stored.get().unwrap_or_else(|| first.to_owned()));
    let options =
        options.iter().map(|(code, label)| ((*code).to_owned(), (*label).to_owned())).collect::<Vec<_>>();
    let view = view! {
        <Choice legend=legend options=options chosen=chosen on_choose=move |code| sheet.set_one(path, code) />
    };
    (chosen, view.into_any())
}
