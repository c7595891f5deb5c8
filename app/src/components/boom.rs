//! The boom seen from behind: sections to scale, with their widths, on or off.

use crate::text::words;
use leptos::prelude::*;

/// One section as drawn.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DrawnSection {
    /// Width in metres, to scale.
    pub(crate) width_m: f64,
    /// What stands under it, e.g. `12 ft`.
    pub(crate) label: String,
    /// Whether it is spraying.
    pub(crate) on: bool,
}

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 136.0;

/// The boom seen from behind. A drawing cannot be reached with the keyboard: where sections can be pressed, buttons for
/// the same stand beside it.
#[component]
pub(crate) fn BoomDrawing(
    /// Left to right as seen from behind.
    #[prop(into)]
    sections: Signal<Vec<DrawnSection>>,
    /// Called with the index of a section that is pressed.
    #[prop(optional, into)]
    on_press: Option<Callback<usize>>,
) -> impl IntoView {
    let summary = move || {
        let sections = sections.get();
        let labels: Vec<String> = sections
            .iter()
            .enumerate()
            .map(|(idx, s)| (words().boom.section)(idx + 1, &s.label, s.on))
            .collect();
        (words().boom.summary)(&labels.join("; "))
    };
    let parts = move || {
        let sections = sections.get();
        let total: f64 = sections.iter().map(|s| s.width_m.max(0.0)).sum();
        let scale = if total > 0.0 { (WIDTH - 20.0) / total } else { 0.0 };
        let mut left = 10.0;
        sections
            .into_iter()
            .enumerate()
            .map(|(idx, section)| {
                let width = section.width_m.max(0.0) * scale;
                let x = left;
                left += width;
                section_view(idx, x, width, &section, on_press)
            })
            .collect_view()
    };
    view! {
        <svg class="drawing boom" viewBox=format!("0 0 {WIDTH} {HEIGHT}") role="img" aria-label=summary>
            <path class="boom__truck" d="M210 4h60v22h-60zM218 26v12M262 26v12" />
            {parts}
        </svg>
    }
}

fn section_view(
    idx: usize,
    x: f64,
    width: f64,
    section: &DrawnSection,
    on_press: Option<Callback<usize>>,
) -> impl IntoView + use<> {
    let press = move |_| {
        if let Some(on_press) = on_press {
            on_press.run(idx);
        }
    };
    let middle = x + width / 2.0;
    let fans = if section.on {
        // Three fans say "spraying" without pretending to count nozzles.
        let fan = width / 3.0;
        (0..3_u8)
            .map(|n| {
                let top = x + fan * (f64::from(n) + 0.5);
                format!("M{top:.1} 62L{:.1} 100H{:.1}z", top - fan * 0.46, top + fan * 0.46)
            })
            .collect::<String>()
    } else {
        String::new()
    };
    let class = if section.on { "boom__section boom__section--on" } else { "boom__section" };
    view! {
        <g class=class class:boom__section--switch=on_press.is_some() on:click=press>
            <rect class="boom__area" x=format!("{x:.1}") y="36" width=format!("{width:.1}") height="98" />
            <rect class="boom__bar" x=format!("{:.1}", x + 1.5) y="40" width=format!("{:.1}", (width - 3.0).max(0.0)) height="18" rx="3" />
            <path class="boom__fan" d=fans />
            <text x=format!("{middle:.1}") y="54" text-anchor="middle" class="boom__number">{idx + 1}</text>
            <text x=format!("{middle:.1}") y="128" text-anchor="middle">{section.label.clone()}</text>
        </g>
    }
}
