//! How things are read in a trial: steps, tolerances of jug, tape and watch, the number that was keyed in, what is allowed.

use crate::components::doc_field::DocField;
use crate::text::{prove, words};
use leptos::prelude::*;
use records::trial::TrialKind;

/// Everything that a verdict rests on and can be changed.
#[component]
pub(super) fn Setup(
    /// Which trial.
    kind: TrialKind,
) -> impl IntoView {
    let w = &words().prove;
    let names: &[&'static str] = match kind {
        TrialKind::Meter => {
            &["number", "readout_step", "jug_step", "jug_tolerance", "scale_step", "scale_tolerance"]
        }
        TrialKind::Course => &[
            "number",
            "course",
            "tape_step",
            "tape_tolerance",
            "marks",
            "length_step",
            "speed_step",
            "stopwatch",
        ],
        TrialKind::Pump => &["number", "readout_step", "jug_step", "jug_tolerance"],
        TrialKind::Catch => &["pressure", "specific_gravity", "jug_step", "stopwatch"],
        TrialKind::Sections => &["length_step"],
        TrialKind::Gauge => &["gauge_step", "reference_step", "reference_tolerance"],
        TrialKind::Standing => &["speed", "readout_step", "jug_step", "stopwatch"],
    };
    // Where a course is driven its length is asked for before anything else; the rest is usually right as it stands.
    let open = matches!(kind, TrialKind::Catch | TrialKind::Course);
    view! {
        <details class="group" open=open>
            <summary><h2 class="group__title">{w.setup}</h2></summary>
            <div class="group__body">
                <p>{w.setup_hint}</p>
                <div class="fields">
                    {names
                        .iter()
                        .map(|name| view! { <DocField path=format!("setup.{name}") label=prove::setup_label(name) /> })
                        .collect_view()}
                    {(kind != TrialKind::Sections).then(|| view! {
                        <DocField path="setup.tolerance" label=w.tolerance hint=prove::tolerance_hint(kind) />
                    })}
                </div>
            </div>
        </details>
    }
}
