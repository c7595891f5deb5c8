//! The speed, the rate and the sections that pressures and lags are worked out for, with what keeps that from being done
//! right beside them.

use super::Bench;
use crate::bridge::plumbing::Trouble;
use crate::components::doc_field::DocField;
use crate::components::live::{button, live};
use crate::route::Route;
use crate::state::sheet::sheet;
use crate::text::plumbing::{pipe_text, trouble_text};
use crate::text::{number, words};
use calc::rig::Carrier;
use leptos::prelude::*;
use records::rig::RigView;

/// Boxes, switches and troubles.
pub(crate) fn asked(bench: Bench) -> AnyView {
    let sheet = sheet();
    let w = &words().plumbing;
    let shown_in = bench.shown_in;
    let rig = sheet.peek(|doc| crate::bridge::rig::rig_of(&RigView::read(doc)));
    let standing = rig.as_ref().and_then(|rig| rig.standing_speed);
    let target = rig.as_ref().and_then(|rig| match rig.carrier {
        Some(Carrier::Regulated(rate)) => Some(rate),
        _ => None,
    });
    let speed_hint = standing.map(|v| (w.speed_hint)(&number::quantity(v, shown_in.speed, 3)));
    let rate_hint = target.map(|r| (w.rate_hint)(&number::quantity(r, shown_in.rate, 3)));
    let n_sections = rig.map_or(0, |rig| rig.sections.len());
    let switches = (0..n_sections).map(|idx| switch(bench.shut, idx)).collect_view();
    view! {
        <div class="no-print">
            <div class="fields">
                <DocField path="lag.speed" label=w.speed hint=speed_hint.unwrap_or_default() />
                <DocField path="lag.rate" label=w.rate hint=rate_hint.unwrap_or_default() />
            </div>
            <p class="asked__label">{w.open_sections}</p>
            <div class="button-row" role="group" aria-label=w.open_sections>{switches}</div>
        </div>
        {troubles(bench)}
    }
    .into_any()
}

fn switch(shut: RwSignal<Vec<usize>>, idx: usize) -> AnyView {
    let open = move || !shut.read().contains(&idx);
    let press = move |_| {
        shut.update(|shut| match shut.iter().position(|other| *other == idx) {
            Some(place) => drop(shut.remove(place)),
            None => shut.push(idx),
        });
    };
    view! {
        <button
            type="button"
            class="button widths__switch"
            aria-pressed=move || open().to_string()
            aria-label=(words().keyin.switch)(idx + 1)
            on:click=press
        >
            {idx + 1}
        </button>
    }
    .into_any()
}

/// What has to be mended, each with the way to it.
fn troubles(bench: Bench) -> AnyView {
    let rig = sheet().id().to_string();
    let w = &words().plumbing;
    live(move || {
        let worked = bench.worked.get();
        if worked.troubles.is_empty() {
            return ().into_any();
        }
        let drawn = worked.drawn.as_ref();
        let items = worked
            .troubles
            .iter()
            .map(|trouble| {
                let text = trouble_text(trouble, drawn, bench.shown_in);
                let piece = drawn.and_then(|drawn| drawn.piece_of(trouble));
                view! { <li>{text}" "{way(trouble, piece, &rig, bench)}</li> }
            })
            .collect_view();
        view! {
            <div class="caution" role="alert">
                <strong>{w.troubles}</strong>
                <ul class="findings">{items}</ul>
            </div>
        }
        .into_any()
    })
}

fn way(trouble: &Trouble, piece: Option<String>, rig: &str, bench: Bench) -> AnyView {
    let w = &words().plumbing;
    let link = |route: Route, label: &'static str| view! { <a href=route.to_hash()>{label}</a> }.into_any();
    match (trouble, piece) {
        (_, Some(id)) if bench.has_form => {
            let label = (w.open_piece)(&pipe_text(&id));
            button("button no-print", label, move || bench.open(&id))
        }
        (Trouble::Rig(_), None) => link(Route::Rig(rig.to_owned()), w.to_rig),
        // What is typed on this screen has its box here.
        (Trouble::Field(path, _), _) if path.starts_with("lag.") => ().into_any(),
        (Trouble::NotBegun | Trouble::Field(..), _) | (_, Some(_)) if !bench.has_form => {
            link(Route::Plumbing(Some(rig.to_owned())), words().lag.to_plumbing)
        }
        _ => ().into_any(),
    }
}
