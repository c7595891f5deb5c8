//! Catches as bars against their band, one for each nozzle.

use leptos::prelude::*;

/// How a bar is marked, by shape as well as by colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BarMark {
    /// Inside every band: filled.
    Fine,
    /// Above: hatched, with an upward mark.
    High,
    /// Below: hollow, with a downward mark.
    Low,
}

/// One bar.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bar {
    /// What stands under it.
    pub(crate) label: String,
    /// Its height in the unit of the axis.
    pub(crate) value: f64,
    /// Its mark.
    pub(crate) mark: BarMark,
}

/// What is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct BarChart {
    /// Left to right.
    pub(crate) bars: Vec<Bar>,
    /// Lower and upper edge of the band.
    pub(crate) band: Option<(f64, f64)>,
    /// Mean line.
    pub(crate) mean: Option<f64>,
    /// The same in words.
    pub(crate) summary: String,
}

const WIDTH: f64 = 480.0;
const TOP: f64 = 24.0;
const BOTTOM: f64 = 190.0;

/// Bars against a band. The axis starts where deviations can be seen, and says so by a broken foot.
#[component]
pub(crate) fn Bars(#[prop(into)] chart: Signal<BarChart>) -> impl IntoView {
    let body = move || {
        let chart = chart.get();
        let values = || chart.bars.iter().map(|b| b.value);
        let edges = chart.band.map_or((f64::INFINITY, 0.0), |(lo, hi)| (lo, hi));
        let hi = values().fold(edges.1, f64::max);
        let lo = values().fold(edges.0, f64::min);
        if !(hi.is_finite() && lo.is_finite() && hi > 0.0) {
            return ().into_any();
        }
        let foot = (lo - (hi - lo).max(hi * 0.02) * 0.6).max(0.0);
        let top = hi + (hi - lo).max(hi * 0.02) * 0.15;
        let y = move |value: f64| BOTTOM - (value - foot) / (top - foot) * (BOTTOM - TOP);
        // At most some hundred nozzles.
        #[allow(clippy::cast_precision_loss)]
        let step = WIDTH / chart.bars.len().max(1) as f64;
        let show_labels = step >= 18.0;
        let bars = chart
            .bars
            .iter()
            .enumerate()
            .map(|(idx, bar)| {
                #[allow(clippy::cast_precision_loss)]
                let x = step * idx as f64;
                let head = y(bar.value);
                let (class, sign) = match bar.mark {
                    BarMark::Fine => ("bars__bar", ""),
                    BarMark::High => ("bars__bar bars__bar--high", "▲"),
                    BarMark::Low => ("bars__bar bars__bar--low", "▼"),
                };
                let middle = x + step / 2.0;
                view! {
                    <rect class=class x=format!("{:.1}", x + step * 0.14) y=format!("{head:.1}") width=format!("{:.1}", step * 0.72) height=format!("{:.1}", (BOTTOM - head).max(0.0)) />
                    <text x=format!("{middle:.1}") y=format!("{:.1}", head - 4.0) text-anchor="middle">{sign}</text>
                    {show_labels.then(|| view! { <text x=format!("{middle:.1}") y=format!("{:.1}", BOTTOM + 18.0) text-anchor="middle">{bar.label.clone()}</text> })}
                }
            })
            .collect_view();
        let band = chart.band.map(|(lo, hi)| {
            view! { <rect class="bars__band" x="0" y=format!("{:.1}", y(hi)) width=WIDTH.to_string() height=format!("{:.1}", y(lo.max(foot)) - y(hi)) /> }
        });
        let mean = chart
            .mean
            .map(|mean| view! { <path class="bars__mean" d=format!("M0 {:.1}H{WIDTH}", y(mean)) /> });
        view! {
            <svg class="drawing bars" viewBox=format!("0 0 {WIDTH} {:.0}", BOTTOM + 26.0) role="img" aria-label=chart.summary>
                {band}
                {bars}
                {mean}
                <path class="bars__foot" d=format!("M0 {BOTTOM}H{WIDTH}") />
            </svg>
        }
        .into_any()
    };
    view! { <div>{body}</div> }
}
