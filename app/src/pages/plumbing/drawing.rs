//! The boom seen from behind with its lines: places across and heights to scale, lines as wide as their bores.

use super::Bench;
use crate::bridge::plumbing::Drawn;
use crate::components::live::live;
use crate::text::plumbing::drawing_text;
use crate::text::words;
use calc::plumbing::network::Pipe;
use leptos::prelude::*;
use std::fmt::Write;

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 196.0;
/// Room for half a section's end at either side.
const MARGIN: f64 = 10.0;
/// Where the main line runs, and where the hoses begin.
const MAIN_Y: f64 = 26.0;
const MANIFOLD_Y: f64 = 52.0;
/// Where the middle of the boom's heights lies.
const BOOM_Y: f64 = 136.0;
/// Heights beyond this run off towards the edge and are held there.
const MOST_RISE: f64 = 40.0;
/// Pixels for a metre of bore.
const BORE_SCALE: f64 = 200.0;

/// The drawing with its twin in words; nothing while there is nothing to draw.
pub(super) fn drawing(bench: Bench) -> AnyView {
    live(move || {
        let shut = bench.shut.get();
        let piece = bench.piece.get();
        bench.worked.with(|worked| match &worked.drawn {
            Some(drawn) => picture(drawn, &shut, piece.as_deref(), bench),
            None => ().into_any(),
        })
    })
}

/// Everything that is drawn with one class and one width.
struct Stroke {
    class: &'static str,
    width: f64,
    path: String,
}

fn picture(drawn: &Drawn, shut: &[usize], piece: Option<&str>, bench: Bench) -> AnyView {
    let w = &words().plumbing;
    let network = &drawn.network;
    let boom_m = drawn.rig.boom_width().as_m();
    let scale = (WIDTH - 2.0 * MARGIN) / boom_m.max(0.1);
    let on_boom = || network.nodes.iter().filter(|node| node.id.contains('.'));
    let (low, high) = on_boom()
        .map(|node| node.height.as_m())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), m| (low.min(m), high.max(m)));
    let level = if low <= high { (low + high) / 2.0 } else { 0.0 };
    let spot = |id: &str| {
        let node = network.nodes.iter().find(|node| node.id == id)?;
        let x = WIDTH / 2.0 + node.across?.as_m() * scale;
        let rise = ((node.height.as_m() - level) * scale).clamp(-MOST_RISE, MOST_RISE);
        Some((x, BOOM_Y - rise))
    };
    let is_shut = |pipe: &Pipe| {
        let section = pipe.id.split('.').next().and_then(|n| n.parse::<usize>().ok());
        section.is_some_and(|n| shut.contains(&(n - 1)))
    };
    let mut strokes: Vec<Stroke> = Vec::new();
    for pipe in network.pipes.iter().filter(|pipe| pipe.id.contains('.')) {
        let Some((to_x, to_y)) = spot(&pipe.to) else { continue };
        let from = spot(&pipe.from).filter(|_| pipe.from.contains('.'));
        let path = match from {
            Some((x, y)) => format!("M{x:.1} {y:.1}L{to_x:.1} {to_y:.1}"),
            // From the manifold in a bow, so that hoses beside each other stay apart.
            None => format!("M{:.1} {MANIFOLD_Y}Q{to_x:.1} {MANIFOLD_Y} {to_x:.1} {to_y:.1}", WIDTH / 2.0),
        };
        let class = match (piece == Some(pipe.id.as_str()), is_shut(pipe)) {
            (true, _) => "lines__pipe lines__pipe--open",
            (false, true) => "lines__pipe lines__pipe--shut",
            _ => "lines__pipe",
        };
        // Lines of one look are one path: a boom has hundreds of pieces.
        let width = bore_width(pipe);
        match strokes.iter_mut().find(|stroke| stroke.class == class && stroke.width == width) {
            Some(stroke) => stroke.path.push_str(&path),
            None => strokes.push(Stroke { class, width, path }),
        }
    }
    let mut tips = [String::new(), String::new()];
    for nozzle in &network.nozzles {
        let Some((x, y)) = spot(&nozzle.node) else { continue };
        let section =
            nozzle.section.as_ref().and_then(|id| network.sections.iter().position(|s| s.id == *id));
        let off = section.is_some_and(|idx| shut.contains(&idx));
        // Writing to a string cannot fail.
        let _ = write!(tips[usize::from(off)], "M{x:.1} {y:.1}v6l-4 9h8l-4 -9");
    }
    let [open_tips, shut_tips] = tips;
    let mut numbers = Vec::new();
    let mut left = MARGIN;
    for (idx, section) in drawn.rig.sections.iter().enumerate() {
        let width = section.width.as_m() * scale;
        numbers.push((idx + 1, left + width / 2.0));
        left += width;
    }
    let numbers = numbers
        .into_iter()
        .map(|(n, x)| view! { <text x=format!("{x:.1}") y=format!("{:.1}", HEIGHT - 6.0) text-anchor="middle">{n}</text> })
        .collect_view();
    let main = |id: &str| network.pipes.iter().find(|pipe| pipe.id == id).map_or(2.0, bore_width);
    let class_of = |id: &str| if piece == Some(id) { "lines__pipe lines__pipe--open" } else { "lines__pipe" };
    let strokes = strokes
        .into_iter()
        .map(|Stroke { class, width, path }| view! { <path class=class d=path stroke-width=format!("{width:.1}") /> })
        .collect_view();
    let middle = WIDTH / 2.0;
    view! {
        <figure class="reach__plot">
            <figcaption>{w.drawing}</figcaption>
            <svg class="drawing lines" viewBox=format!("0 0 {WIDTH} {HEIGHT}") role="img" aria-label=drawing_text(drawn, shut, bench.shown_in)>
                {strokes}
                <path class=class_of("line") d=format!("M40 {MAIN_Y}H130") stroke-width=format!("{:.1}", main("line")) />
                <path class=class_of("main") d=format!("M130 {MAIN_Y}H{middle}V{MANIFOLD_Y}") stroke-width=format!("{:.1}", main("main")) />
                <circle class="lines__pump" cx="40" cy=MAIN_Y.to_string() r="11" />
                <path class="lines__injection" d=format!("M130 {MAIN_Y}l-9 -17h18z") />
                <circle class="lines__joint" cx=middle.to_string() cy=MANIFOLD_Y.to_string() r="6" />
                <path class="lines__tip" d=open_tips />
                <path class="lines__tip lines__tip--shut" d=shut_tips />
                <text x="40" y="54" text-anchor="middle">{w.pump_mark}</text>
                <text x="130" y="54" text-anchor="middle">{w.injection_mark}</text>
                {numbers}
            </svg>
            <p class="field__hint">{w.drawing_key}</p>
        </figure>
    }
    .into_any()
}

fn bore_width(pipe: &Pipe) -> f64 {
    (pipe.bore.as_m() * BORE_SCALE).clamp(1.0, 14.0)
}
