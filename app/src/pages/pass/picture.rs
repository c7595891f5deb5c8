//! The ground under the boom as a picture: along the track and across the boom, a colour and a hatching for each step of the
//! scale, and the number of the place that is touched or reached with the arrow keys.

use super::Planned;
use crate::bridge::drive::digest::{Digest, N_STEPS, Of};
use crate::browser::tiles::{self, Hatch, Tiles};
use crate::components::choice::Choice;
use crate::state::pass_run::PassRun;
use crate::text::pass::{length_text, reading_text, step_text, stretch_cells};
use crate::text::plumbing::Shown;
use crate::text::words;
use leptos::ev::{self, KeyboardEvent, PointerEvent};
use leptos::html::Canvas;
use leptos::prelude::*;
use std::sync::Arc;

/// Denser the further from the target: falling lines below, rising lines above, both ways above the label.
const HATCHES: [Hatch; N_STEPS] = [
    Hatch::Falling(4),
    Hatch::Falling(7),
    Hatch::Falling(13),
    Hatch::Plain,
    Hatch::Rising(13),
    Hatch::Rising(7),
    Hatch::Rising(4),
    Hatch::Crossed(6),
    Hatch::Dotted(8),
];

/// Steps of the scale as they stand in the key, from under to over.
const IN_KEY: [u8; N_STEPS] = [0, 1, 2, 3, 4, 5, 6, 7, 8];

/// The picture with its crosshair, reading and scale.
#[component]
pub(super) fn Picture(
    /// The run that is shown.
    run: PassRun,
    /// What was worked out.
    job: Planned,
    /// Units.
    shown_in: Shown,
) -> impl IntoView {
    let w = &words().pass;
    let of = RwSignal::new(Of::Product);
    // Place of the crosshair: shares of track and boom, so that it stays where it is when the drive changes.
    let place = RwSignal::new((0.5, 0.5));
    let resized = RwSignal::new(());
    let listener = window_event_listener(ev::resize, move |_| resized.set(()));
    on_cleanup(move || listener.remove());
    let node = NodeRef::<Canvas>::new();
    Effect::new(move |_| {
        resized.track();
        if let (Some(canvas), Some(digest)) = (node.get(), run.digest.get()) {
            let kinds = &digest.tiles[of.get() as usize];
            tiles::paint(&canvas, &Tiles { columns: digest.outcome.n_cells(), kinds, hatches: &HATCHES });
        }
    });
    let tile = move |digest: &Digest| {
        let (along, across) = place.get();
        (at(across, digest.outcome.n_nozzles()), at(along, digest.outcome.n_cells()))
    };
    let reading = move || {
        let digest = run.digest.get()?;
        let (nozzle, cell) = tile(&digest);
        let job = job.read();
        let network = &job.as_ref()?.as_ref().ok()?.network;
        Some(reading_text(&digest, network, of.get(), nozzle, cell, shown_in))
    };
    let cross = move || {
        let digest = run.digest.get()?;
        let (nozzle, cell) = tile(&digest);
        let x = middle(cell, digest.outcome.n_cells());
        let y = middle(nozzle, digest.outcome.n_nozzles());
        Some(format!("M{x} 0V1000M0 {y}H1000"))
    };
    let touched = move |event: PointerEvent| {
        if let Some(touched) = tiles::touched_at(&event).filter(|_| tiles::is_pressed(&event)) {
            place.set(touched);
        }
    };
    let key = move |event: KeyboardEvent| {
        let Some(digest) = run.digest.get_untracked() else { return };
        let (n_nozzles, n_cells) = (digest.outcome.n_nozzles(), digest.outcome.n_cells());
        let far = if event.shift_key() { 10.0 } else { 1.0 };
        let (along, across) = place.get_untracked();
        let by = |share: f64, n: usize, tiles: f64| middle_share(at(share, n), n, tiles);
        let next = match event.key().as_str() {
            "ArrowLeft" => (by(along, n_cells, -far), across),
            "ArrowRight" => (by(along, n_cells, far), across),
            "ArrowUp" => (along, by(across, n_nozzles, -far)),
            "ArrowDown" => (along, by(across, n_nozzles, far)),
            "Home" => (0.0, across),
            "End" => (1.0, across),
            _ => return,
        };
        event.prevent_default();
        place.set(next);
    };
    let of_text = move || if of.get() == Of::Product { w.product } else { w.carrier };
    let label = move || {
        run.digest.get().map(|digest| {
            let length = length_text(digest.pass.drive.length(), shown_in);
            (w.picture_label)(of_text(), &length, digest.outcome.n_nozzles())
        })
    };
    let options =
        vec![("product".to_owned(), w.product.to_owned()), ("carrier".to_owned(), w.carrier.to_owned())];
    let chosen =
        Signal::derive(move || if of.get() == Of::Product { "product" } else { "carrier" }.to_owned());
    let choose = move |code: String| of.set(if code == "carrier" { Of::Carrier } else { Of::Product });
    let digest = move || run.digest.get();
    view! {
        <section class="pass__picture" class:pass__old=move || run.is_stale() aria-label=w.picture>
            <h2>{w.picture}</h2>
            <Choice legend=w.picture_of options=options chosen=chosen on_choose=choose />
            <p class="field__hint">{w.across}</p>
            <div class="pass__ground" role="application" tabindex="0" aria-label=label aria-describedby="pass-hint" on:pointerdown=touched on:pointermove=touched on:keydown=key>
                <canvas node_ref=node class="pass__canvas"></canvas>
                <svg class="pass__cross" viewBox="0 0 1000 1000" preserveAspectRatio="none" aria-hidden="true">
                    <path class="pass__halo" d=cross />
                    <path d=cross />
                </svg>
            </div>
            <div class="pass__axis" aria-hidden="true">
                {move || digest().map(|digest| ticks(&digest, shown_in))}
            </div>
            <p class="field__hint">{w.along}</p>
            <p class="pass__reading"><output aria-live="polite">{reading}</output></p>
            <p class="field__hint" id="pass-hint">{w.picture_hint}</p>
            <h3>{w.scale}</h3>
            <ul class="pass__scale">
                {move || digest().map(|digest| {
                    let has_label = digest.pass.label_greatest.is_some();
                    let limits = digest.limits;
                    IN_KEY
                        .into_iter()
                        .filter(|step| has_label || *step != crate::bridge::drive::digest::ABOVE_LABEL)
                        .map(|step| view! { <li><Swatch step=step />{step_text(step, limits)}</li> })
                        .collect_view()
                })}
            </ul>
            <details class="group">
                <summary>{w.along_track}</summary>
                {move || digest().map(|digest| table(&digest, of.get(), shown_in))}
            </details>
        </section>
    }
    .into_any()
}

/// The tile at a share of so many.
fn at(share: f64, n: usize) -> usize {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a share of a small number; the cast floors"
    )]
    let at = (share * n as f64) as usize;
    at.min(n.saturating_sub(1))
}

/// The middle of a tile, some tiles further.
fn middle_share(at: usize, n: usize, further: f64) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "small numbers")]
    let (at, n) = (at as f64, n.max(1) as f64);
    ((at + 0.5 + further) / n).clamp(0.5 / n, 1.0 - 0.5 / n)
}

fn middle(at: usize, n: usize) -> String {
    format!("{:.1}", middle_share(at, n, 0.0) * 1000.0)
}

fn ticks(digest: &Arc<Digest>, shown_in: Shown) -> AnyView {
    let n = digest.outcome.n_cells();
    (0..=4)
        .map(|quarter| {
            view! { <span>{length_text(digest.outcome.cell_from(n * quarter / 4), shown_in)}</span> }
        })
        .collect_view()
        .into_any()
}

/// One step of the scale, painted as it is in the picture.
#[component]
fn Swatch(
    /// The step.
    step: u8,
) -> impl IntoView {
    let node = NodeRef::<Canvas>::new();
    Effect::new(move |_| {
        if let Some(canvas) = node.get() {
            tiles::paint(&canvas, &Tiles { columns: 1, kinds: &[step], hatches: &HATCHES });
        }
    });
    view! { <canvas node_ref=node class="pass__swatch" aria-hidden="true"></canvas> }
}

fn table(digest: &Digest, of: Of, shown_in: Shown) -> AnyView {
    let w = &words().pass;
    let rows = digest.stretches[of as usize]
        .iter()
        .map(|stretch| {
            let [place, least, mean, greatest] = stretch_cells(stretch, shown_in);
            view! { <tr><th scope="row">{place}</th><td>{least}</td><td>{mean}</td><td>{greatest}</td></tr> }
        })
        .collect_view();
    view! {
        <table>
            <thead>
                <tr>
                    <th scope="col">{w.stretch}</th>
                    <th scope="col">{w.least_here}</th>
                    <th scope="col">{w.mean_here}</th>
                    <th scope="col">{w.greatest_here}</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
    }
    .into_any()
}
