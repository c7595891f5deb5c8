//! The form that plumbs a rig in two minutes, with what is taken as usual below it.

use super::Bench;
use crate::browser::screen;
use crate::components::choice::Choice;
use crate::components::doc_field::boxes;
use crate::components::live::{live, only_when};
use crate::components::table::sentences;
use crate::state::drafts;
use crate::state::sheet::{System, sheet};
use crate::text::{plumbing, words};
use leptos::prelude::*;
use records::rig::RigView;

/// The answers. The form stands open until they are enough, while something is half typed, and where there is room.
pub(super) fn form(bench: Bench) -> AnyView {
    let sheet = sheet();
    let w = &words().plumbing;
    let bore = Some(if sheet.system == System::Us { "in" } else { "mm" });
    let enough = bench.worked.with_untracked(|worked| worked.drawn.is_some());
    let half_typed = drafts::any_below(&sheet.id().to_string(), "plumbing.");
    let n_sections = sheet.peek(|doc| RigView::read(doc).sections.len() as u32).unwrap_or(0);
    let hoses = [("reach", w.hose_by_reach), ("same", w.hose_by_same), ("each", w.hose_by_each)];
    let (hose_by, hoses) = choice("plumbing.hose_by", w.hose_by, &hoses);
    let feeds = [
        ("centre", w.feed_centre),
        ("inner", w.feed_inner),
        ("left", w.feed_left),
        ("right", w.feed_right),
        ("share", w.feed_at),
    ];
    let (feed_by, feeds) = choice("plumbing.feed", w.feed, &feeds);
    let one =
        |path: &str, label, hint: &str, unit| boxes(vec![(path.to_owned(), label, hint.to_owned(), unit)]);
    let names: Vec<String> = (1..=n_sections).map(|n| (w.hose_n)(n)).collect();
    let each = (1..=n_sections)
        .zip(&names)
        .map(|(n, name)| (format!("plumbing.section.{n}.hose"), name.as_str(), String::new(), None))
        .collect();
    view! {
        <details class="group" open=!enough || half_typed || screen::is_wide()>
            <summary><h2 class="group__title">{w.form}</h2></summary>
            <div class="group__body">
                <p>{w.form_hint}</p>
                <div class="fields">
                    {one("plumbing.main_length", w.main_length, w.main_hint, None)}
                    {one("plumbing.main_bore", w.main_bore, "", bore)}
                </div>
                {hoses}
                <div class="fields">
                    {only_when(hose_by, "reach", one("plumbing.hose_extra", w.hose_extra, w.hose_extra_hint, None))}
                    {only_when(hose_by, "same", one("plumbing.hose_length", w.hose_length, "", None))}
                    {only_when(hose_by, "each", boxes(each))}
                    {one("plumbing.hose_bore", w.hose_bore, "", bore)}
                </div>
                {feeds}
                <div class="fields">
                    {only_when(feed_by, "share", one("plumbing.feed_share", w.feed_share, "", None))}
                    {one("plumbing.section_bore", w.section_bore, "", bore)}
                </div>
                {more(bore)}
            </div>
        </details>
        {live(move || {
            let texts = bench
                .worked
                .with(|worked| worked.drawn.as_ref().map(plumbing::assumed_texts).unwrap_or_default());
            if texts.is_empty() {
                return ().into_any();
            }
            view! { <p>{words().plumbing.assumed}</p>{sentences(texts)} }.into_any()
        })}
    }
    .into_any()
}

/// What has usual values: fittings, walls, heights, liquid, pump, gauge.
fn more(bore: Option<&'static str>) -> AnyView {
    let w = &words().plumbing;
    let walls = [
        ("smooth", w.wall_smooth),
        ("steel", w.wall_steel),
        ("galvanized", w.wall_galvanized),
        ("own", w.wall_own),
    ];
    let (wall_by, walls) = choice("plumbing.wall", w.wall, &walls);
    let laws = [("swamee_jain", w.law_swamee_jain), ("colebrook", w.law_colebrook)];
    let (_, laws) = choice("plumbing.law", w.law, &laws);
    let gauges =
        [("manifold", w.gauge_manifold), ("supply", w.gauge_supply), ("injection", w.gauge_injection)];
    let (_, gauges) = choice("plumbing.gauge", w.gauge, &gauges);
    let rows = [
        ("supply_length", w.supply_length, w.supply_length_hint, None),
        ("valve_loss", w.valve_loss, w.valve_loss_hint, None),
        ("boom_height", w.boom_height, w.boom_height_hint, bore),
        ("viscosity", w.viscosity, w.viscosity_hint, None),
        ("greatest_pressure", w.greatest_pressure, w.greatest_pressure_hint, None),
    ];
    let rows = rows
        .into_iter()
        .map(|(field, label, hint, unit)| (format!("plumbing.{field}"), label, hint.to_owned(), unit))
        .collect();
    let rough = boxes(vec![("plumbing.roughness".to_owned(), w.roughness, String::new(), Some("mm"))]);
    view! {
        <details>
            <summary>{w.more}</summary>
            <div class="fields">{boxes(rows)}</div>
            {walls}
            {only_when(wall_by, "own", rough)}
            {gauges}
            {laws}
        </details>
    }
    .into_any()
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
