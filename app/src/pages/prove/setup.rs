//! How things are read in a trial: steps, tolerances of jug, tape and watch, the number that was keyed in, what is allowed.

use crate::components::doc_field::DocField;
use crate::pages::rig::convention::{COURSE, Convention, METER, Over, PUMP};
use crate::state::sheet::sheet;
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
    let way = sheet().text("setup.way");
    let names = move || match (kind, way.read().as_deref()) {
        (TrialKind::Meter, Some("weight")) => &["readout_step", "scale_step", "scale_tolerance"][..],
        (TrialKind::Meter | TrialKind::Pump, _) => &["readout_step", "jug_step", "jug_tolerance"],
        (TrialKind::Course, Some("stopwatch")) => {
            &["tape_step", "tape_tolerance", "marks", "speed_step", "stopwatch"]
        }
        (TrialKind::Course, Some("wheel")) => &["tape_step", "tape_tolerance"],
        (TrialKind::Course, _) => &["tape_step", "tape_tolerance", "marks", "length_step"],
        (TrialKind::Catch, _) => &["pressure", "specific_gravity", "jug_step", "stopwatch"],
        (TrialKind::Sections, _) => &["length_step"],
        (TrialKind::Gauge, _) => &["gauge_step", "reference_step", "reference_tolerance"],
        (TrialKind::Standing, _) => &["speed", "readout_step", "jug_step", "stopwatch"],
    };
    let fields = move || {
        names()
            .iter()
            .map(|name| {
                // What the job asks for has no source worth naming; how well something is read has.
                let with_source = !matches!(*name, "pressure" | "specific_gravity" | "speed");
                view! { <DocField path=format!("setup.{name}") label=prove::setup_label(name) with_source=with_source /> }
            })
            .collect_view()
    };
    let number = match kind {
        TrialKind::Meter => Some((Over::Volume, METER)),
        TrialKind::Pump => Some((Over::Volume, PUMP)),
        TrialKind::Course => Some((Over::Distance, COURSE)),
        _ => None,
    };
    let number = number.map(|(over, usual)| {
        view! {
            <DocField path="setup.number" label=prove::setup_label("number") />
            <Convention path="setup.convention" label=prove::setup_label("convention") over=over usual=usual />
        }
    });
    // Without a number nothing can be worked out, and a catch asks for its pressure; the rest is usually right as it stands.
    let lacks_number = sheet().now("setup.number").is_none() || sheet().now("setup.convention").is_none();
    let open = kind == TrialKind::Catch || (number.is_some() && lacks_number);
    view! {
        <details class="group" open=open>
            <summary><h2 class="group__title">{w.setup}</h2></summary>
            <div class="group__body">
                <p>{w.setup_hint}</p>
                <div class="fields">
                    {number}
                    {fields}
                    {(kind != TrialKind::Sections).then(|| view! {
                        <DocField path="setup.tolerance" label=w.tolerance hint=prove::tolerance_hint(kind) />
                    })}
                </div>
            </div>
        </details>
    }
}
