//! Runs as dots with the interval of their mean, against a tolerance band.

use crate::text::{number, words};
use leptos::prelude::*;

/// What is drawn: relative deviations, 0 is no error.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct DotPlot {
    /// Each run's deviation.
    pub(crate) runs: Vec<f64>,
    /// Best estimate.
    pub(crate) best: Option<f64>,
    /// Expanded uncertainty of the best estimate; not drawn where it is not finite.
    pub(crate) expanded: f64,
    /// Tolerance either side of zero.
    pub(crate) tolerance: f64,
}

const WIDTH: f64 = 420.0;
const LEFT: f64 = 30.0;
const RIGHT: f64 = 400.0;
/// Labels of the band's edges need so much room on either side of the zero.
const LABEL_ROOM: f64 = 48.0;

/// Runs as dots, the mean with its interval, the tolerance as a band.
#[component]
pub(crate) fn Dots(#[prop(into)] plot: Signal<DotPlot>) -> impl IntoView {
    let body = move || {
        let plot = plot.get();
        let reach = plot
            .runs
            .iter()
            .map(|r| r.abs())
            .chain(plot.best.map(|b| b.abs() + if plot.expanded.is_finite() { plot.expanded } else { 0.0 }))
            .fold(plot.tolerance * 1.4, f64::max)
            .min(1.0_f64.max(plot.tolerance * 3.0));
        let x = move |share: f64| {
            ((LEFT + RIGHT) / 2.0 + share / reach * (RIGHT - LEFT) / 2.0).clamp(LEFT, RIGHT)
        };
        let n = plot.runs.len().max(1);
        let row = 22.0;
        let top = 16.0;
        // At most some hundred runs.
        #[allow(clippy::cast_precision_loss)]
        let bottom = top + row * (n as f64) + 26.0;
        let dots = plot
            .runs
            .iter()
            .enumerate()
            .map(|(idx, run)| {
                #[allow(clippy::cast_precision_loss)]
                let y = top + row * (idx as f64 + 0.5);
                view! {
                    <circle class="dots__run" cx=format!("{:.1}", x(*run)) cy=format!("{y:.1}") r="7" />
                    <text x="2" y=format!("{:.1}", y + 5.0)>{idx + 1}</text>
                }
            })
            .collect_view();
        let mean = plot.best.map(|best| {
            let y = bottom - 12.0;
            let half = if plot.expanded.is_finite() { plot.expanded } else { reach };
            view! {
                <path class="dots__interval" d=format!("M{:.1} {y}H{:.1}M{:.1} {}v14M{:.1} {}v14", x(best - half), x(best + half), x(best - half), y - 7.0, x(best + half), y - 7.0) />
                <path class="dots__mean" d=format!("M{:.1} {}l8 8l-8 8l-8 -8z", x(best), y - 8.0) />
            }
        });
        let summary = (words().chart.dots)(
            plot.runs.len(),
            &plot.best.map_or_else(|| "–".to_owned(), |b| number::signed_percent(b, 2)),
            &number::percent(plot.tolerance, 2),
        );
        let (band_left, band_right) = (x(-plot.tolerance), x(plot.tolerance));
        // Where the band is narrow its labels stand outside, and the zero between them goes without saying.
        let roomy = band_right - band_left > 2.0 * LABEL_ROOM;
        let (left_anchor, right_anchor) = if roomy { ("middle", "middle") } else { ("end", "start") };
        let zero = if roomy { "0" } else { "" };
        let decimals = usize::from(plot.tolerance < 0.5);
        view! {
            <svg class="drawing dots" viewBox=format!("0 0 {WIDTH} {:.0}", bottom + 28.0) role="img" aria-label=summary>
                <rect class="dots__band" x=format!("{band_left:.1}") y="4" width=format!("{:.1}", band_right - band_left) height=format!("{:.1}", bottom) />
                <path class="dots__zero" d=format!("M{:.1} 4V{:.1}", x(0.0), bottom + 4.0) />
                {dots}
                {mean}
                <text x=format!("{band_left:.1}") y=format!("{:.1}", bottom + 22.0) text-anchor=left_anchor>{number::signed_percent(-plot.tolerance, decimals)}</text>
                <text x=format!("{:.1}", x(0.0)) y=format!("{:.1}", bottom + 22.0) text-anchor="middle">{zero}</text>
                <text x=format!("{band_right:.1}") y=format!("{:.1}", bottom + 22.0) text-anchor=right_anchor>{number::signed_percent(plot.tolerance, decimals)}</text>
            </svg>
        }
    };
    view! { <div>{body}</div> }
}
