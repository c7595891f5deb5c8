//! Every piece in a list, and the boxes of the one that is open.

use super::Bench;
use crate::bridge::plumbing::{Trouble, path_of};
use crate::components::doc_field::DocField;
use crate::state::sheet::sheet;
use crate::text::plumbing::{Shown, form_value, node_text, piece_field, pipe_text, trouble_text};
use crate::text::{number, words};
use calc::plumbing::network::{Network, Pipe};
use leptos::prelude::*;
use records::fields::Measure;
use records::rig::piece_path;

/// The list, closed until it is wanted.
#[component]
pub(super) fn Pieces() -> impl IntoView {
    let bench: Bench = expect_context();
    let w = &words().plumbing;
    view! {
        {move || bench.piece.get().map(|id| view! { <Piece id=id /> })}
        <details class="group">
            <summary><h2 class="group__title">{w.pieces}</h2></summary>
            <div class="group__body">
                <p>{w.pieces_hint}</p>
                {move || list(bench)}
            </div>
        </details>
    }
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
            let open = move |_| {
                bench.piece.set(Some(id.clone()));
                request_animation_frame(|| crate::browser::focus::focus_on("#piece"));
            };
            view! {
                <tr>
                    <th scope="row">
                        <button type="button" class="button pieces__open" on:click=open>{pipe_text(&pipe.id)}</button>
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

/// The boxes of one piece; what is wrong with it stands above them.
#[component]
fn Piece(
    /// Its name.
    id: String,
) -> impl IntoView {
    let sheet = sheet();
    let bench: Bench = expect_context();
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
    let place = StoredValue::new(id.clone());
    let path = move |field: &str| place.with_value(|id| piece_path(id, field));
    let bore = if shown_in.length == units::LengthUnit::Foot { "in" } else { "mm" };
    let small = |length: units::Length| (w.as_in_form)(&number::quantity(length, shown_in.bore, 4));
    let wall = (w.as_in_form)(&number::quantity(pipe.roughness, units::LengthUnit::Millimetre, 3));
    let level = height.map(|height| si_hint(Measure::Length, height.as_m(), shown_in)).unwrap_or_default();
    let loss = format!("{} {}", w.piece_loss_hint, (w.as_in_form)(&number::significant(pipe.minor_k, 3)));
    let reset = move |_| {
        let texts = ["length", "bore", "roughness", "loss", "height", "nozzle", "from", "to"]
            .into_iter()
            .map(|field| (path(field), None));
        sheet.set(texts, || {});
    };
    view! {
        <section class="card" id="piece" aria-label=title.clone()>
            <h2>{title.clone()}</h2>
            <PieceTrouble id=id.clone() fields=&["from", "to"] />
            <div class="fields">
                <NodeChoice path=path("from") label=piece_field("from") built=pipe.from.clone() nodes=nodes.clone() />
                <NodeChoice path=path("to") label=piece_field("to") built=pipe.to.clone() nodes=nodes />
                <DocField path=path("length") label=named(&title, "length") hint=si_hint(Measure::Length, pipe.length.as_m(), shown_in) with_source=true />
                <div>
                    <DocField path=path("bore") label=named(&title, "bore") hint=small(pipe.bore) unit_first=bore with_source=true />
                    <PieceTrouble id=id.clone() fields=&["bore"] />
                </div>
                <DocField path=path("loss") label=named(&title, "loss") hint=loss with_source=true />
                <div>
                    <DocField path=path("roughness") label=named(&title, "roughness") hint=wall unit_first="mm" with_source=true />
                    <PieceTrouble id=id.clone() fields=&["roughness"] />
                </div>
                <div>
                    <DocField path=path("height") label=named(&title, "height") hint=format!("{} {level}", w.piece_height_hint) unit_first=bore with_source=true />
                    <PieceTrouble id=id fields=&["height"] />
                </div>
                {has_nozzle.then(|| view! {
                    <DocField path=path("nozzle") label=named(&title, "nozzle") hint=w.piece_nozzle_hint with_source=true />
                })}
            </div>
            <div class="button-row">
                <button type="button" class="button" on:click=reset>{w.piece_reset}</button>
                <button type="button" class="button" on:click=move |_| bench.piece.set(None)>{w.piece_close}</button>
            </div>
        </section>
    }
    .into_any()
}

fn named(piece: &str, field: &str) -> String {
    format!("{piece}, {}", piece_field(field))
}

fn si_hint(measure: Measure, si: f64, shown_in: Shown) -> String {
    form_value(measure, si, shown_in)
}

/// What is wrong with the open piece, beside the box that mends it.
#[component]
fn PieceTrouble(
    /// The piece's name.
    id: String,
    /// Boxes that it stands beside.
    fields: &'static [&'static str],
) -> impl IntoView {
    let bench: Bench = expect_context();
    let text = move || {
        let worked = bench.worked.get();
        let drawn = worked.drawn.as_ref()?;
        let here = |trouble: &&Trouble| {
            path_of(drawn, trouble)
                .is_some_and(|path| fields.iter().any(|field| path == piece_path(&id, field)))
        };
        worked.troubles.iter().find(here).map(|trouble| trouble_text(trouble, Some(drawn), bench.shown_in))
    };
    view! { <p class="field__problem">{text}</p> }
}

/// At which joint a pipe begins or ends.
#[component]
fn NodeChoice(
    /// Path of the joint's name.
    path: String,
    /// Names the box.
    label: &'static str,
    /// The joint as the form has it.
    built: String,
    /// All joints.
    nodes: Vec<String>,
) -> impl IntoView {
    let sheet = sheet();
    let stored = sheet.text(path.clone());
    let (as_built, is_built) = (built.clone(), built);
    let chosen = Signal::derive(move || stored.get().unwrap_or_else(|| as_built.clone()));
    let id = format!("node-{path}");
    let on_change = move |event| {
        let value = event_target_value(&event);
        let text = (value != is_built).then_some(value);
        sheet.set([(path.clone(), text)], || {});
    };
    let options = nodes
        .into_iter()
        .map(|node| {
            let text = node_text(&node);
            let this = node.clone();
            view! { <option value=node selected=move || *chosen.read() == this>{text}</option> }
        })
        .collect_view();
    view! {
        <div class="field">
            <label class="field__label" for=id.clone()>{label}</label>
            <select class="field__select" id=id on:change=on_change prop:value=chosen>{options}</select>
        </div>
    }
}
