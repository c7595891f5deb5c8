//! Every piece in a list, and the boxes of the one that is open.

use super::Bench;
use crate::bridge::plumbing::path_of;
use crate::components::doc_field::boxes;
use crate::components::live::{button, live};
use crate::state::sheet::sheet;
use crate::text::plumbing::{node_text, piece_field, pipe_text, trouble_text};
use crate::text::{number, words};
use calc::plumbing::network::{Network, Pipe};
use leptos::prelude::*;
use records::rig::piece_path;

/// The list, closed until it is wanted.
pub(super) fn pieces(bench: Bench) -> AnyView {
    let w = &words().plumbing;
    view! {
        {live(move || bench.piece.get().map_or_else(|| ().into_any(), |id| piece(id, bench)))}
        <details class="group">
            <summary><h2 class="group__title">{w.pieces}</h2></summary>
            <div class="group__body">
                <p>{w.pieces_hint}</p>
                {live(move || list(bench))}
            </div>
        </details>
    }
    .into_any()
}

fn list(bench: Bench) -> AnyView {
    let w = &words().plumbing;
    let worked = bench.worked.get();
    let Some(drawn) = worked.drawn.as_ref() else { return view! { <p>{w.not_begun}</p> }.into_any() };
    let rows = drawn
        .network
        .pipes
        .iter()
        .map(|pipe| {
            let is_changed = differs(&drawn.built, &drawn.network, pipe);
            let id = pipe.id.clone();
            view! {
                <tr>
                    <th scope="row">
                        {button("button pieces__open", pipe_text(&pipe.id), move || bench.open(&id))}
                        {is_changed.then_some(w.changed)}
                    </th>
                    <td>{number::quantity(pipe.length, bench.shown_in.length, 3)}</td>
                    <td>{number::quantity(pipe.bore, bench.shown_in.bore, 3)}</td>
                    <td>{number::significant(pipe.minor_k, 3)}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <table class="pieces">
            <caption class="unseen">{w.pieces}</caption>
            <thead><tr>
                <th scope="col">{w.piece}</th><th scope="col">{w.length}</th><th scope="col">{w.bore}</th>
                <th scope="col">{w.fittings}</th>
            </tr></thead>
            <tbody>{rows}</tbody>
        </table>
    }
    .into_any()
}

/// Whether a pipe, the node that it leads to or the nozzle there is not as the form has it.
fn differs(built: &Network, network: &Network, pipe: &Pipe) -> bool {
    let Some(was) = built.pipes.iter().find(|was| was.id == pipe.id) else { return true };
    let height =
        |network: &Network| network.nodes.iter().find(|node| node.id == was.to).map(|node| node.height);
    let nozzle = |network: &Network| {
        network.nozzles.iter().find(|nozzle| nozzle.node == was.to).map(|nozzle| nozzle.size)
    };
    was != pipe || height(built) != height(network) || nozzle(built) != nozzle(network)
}

/// The boxes of one piece; what is wrong with it stands beside them.
fn piece(id: String, bench: Bench) -> AnyView {
    let sheet = sheet();
    let w = &words().plumbing;
    let shown_in = bench.shown_in;
    let built = bench.worked.with_untracked(|worked| {
        let drawn = worked.drawn.as_ref()?;
        let pipe = drawn.built.pipes.iter().find(|pipe| pipe.id == id)?.clone();
        let nodes: Vec<String> = drawn.built.nodes.iter().map(|node| node.id.clone()).collect();
        let height = drawn.built.nodes.iter().find(|node| node.id == pipe.to).map(|node| node.height);
        let has_nozzle = drawn.built.nozzles.iter().any(|nozzle| nozzle.node == pipe.to);
        Some((pipe, nodes, height, has_nozzle))
    });
    let Some((pipe, nodes, height, has_nozzle)) = built else { return ().into_any() };
    let title = pipe_text(&id);
    let small_unit = if shown_in.length == units::LengthUnit::Foot { "in" } else { "mm" };
    let as_in_form = |text: String| (w.as_in_form)(&text);
    let length = |length, unit| as_in_form(number::quantity(length, unit, 4));
    let height = height.map(|height| length(height, shown_in.length)).unwrap_or_default();
    let mut rows = vec![
        ("length", length(pipe.length, shown_in.length), None),
        ("bore", length(pipe.bore, shown_in.bore), Some(small_unit)),
        ("loss", format!("{} {}", w.piece_loss_hint, as_in_form(number::significant(pipe.minor_k, 3))), None),
        ("roughness", length(pipe.roughness, units::LengthUnit::Millimetre), Some("mm")),
        ("height", format!("{} {height}", w.piece_height_hint), Some(small_unit)),
    ];
    if has_nozzle {
        rows.push(("nozzle", w.piece_nozzle_hint.to_owned(), None));
    }
    let fields: Vec<AnyView> = rows
        .into_iter()
        .map(|(field, hint, unit)| {
            let label = format!("{title}, {}", piece_field(field));
            view! {
                <div>
                    {boxes(vec![(piece_path(&id, field), label.as_str(), hint, unit)])}
                    {trouble_beside(piece_path(&id, field), bench)}
                </div>
            }
            .into_any()
        })
        .collect();
    let ends: Vec<AnyView> = [("from", pipe.from), ("to", pipe.to)]
        .into_iter()
        .map(|(field, built)| {
            let path = piece_path(&id, field);
            view! {
                <div>
                    {node_choice(path.clone(), piece_field(field), built, &nodes)}
                    {trouble_beside(path, bench)}
                </div>
            }
            .into_any()
        })
        .collect();
    let reset = move || {
        let texts = ["length", "bore", "roughness", "loss", "height", "nozzle", "from", "to"]
            .map(|field| (piece_path(&id, field), None));
        sheet.set(texts, || {});
    };
    view! {
        <section class="card" id="piece" aria-label=title.clone()>
            <h2>{title.clone()}</h2>
            <div class="fields">{ends}{fields}</div>
            <div class="button-row">
                {button("button", w.piece_reset.to_owned(), reset)}
                {button("button", w.piece_close.to_owned(), move || bench.piece.set(None))}
            </div>
        </section>
    }
    .into_any()
}

/// What is wrong with the open piece, beside the box that mends it.
fn trouble_beside(path: String, bench: Bench) -> AnyView {
    live(move || {
        let text = bench.worked.with(|worked| {
            let drawn = worked.drawn.as_ref()?;
            let here = worked.troubles.iter().find(|trouble| path_of(drawn, trouble).as_ref() == Some(&path));
            here.map(|trouble| trouble_text(trouble, Some(drawn), bench.shown_in))
        });
        match text {
            Some(text) => view! { <p class="field__problem">{text}</p> }.into_any(),
            None => ().into_any(),
        }
    })
}

/// At which joint a pipe begins or ends.
fn node_choice(path: String, label: &'static str, built: String, nodes: &[String]) -> AnyView {
    let sheet = sheet();
    let stored = sheet.text(path.clone());
    let as_built = built.clone();
    let chosen = Signal::derive(move || stored.get().unwrap_or_else(|| as_built.clone()));
    let id = format!("node-{path}");
    let on_change = move |event| {
        let value = event_target_value(&event);
        let text = (value != built).then_some(value);
        sheet.set([(path.clone(), text)], || {});
    };
    let options = nodes
        .iter()
        .map(|node| {
            let text = node_text(node);
            let this = node.clone();
            view! { <option value=node.clone() selected=move || *chosen.read() == this>{text}</option> }
        })
        .collect_view();
    view! {
        <div class="field">
            <label class="field__label" for=id.clone()>{label}</label>
            <select class="field__select" id=id on:change=on_change prop:value=chosen>{options}</select>
        </div>
    }
    .into_any()
}
