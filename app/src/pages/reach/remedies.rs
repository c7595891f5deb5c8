//! For a plan that has no window: the smallest single changes that would give it one, worked out when the thumb rests.

use super::shown::In;
use super::tried::Tried;
use crate::bridge::nozzles::OwnNozzles;
use crate::text::{reach as told, words};
use calc::reach::make_it_work::{Change, Goal, Outcome, Steps, Suggestion, make_it_work};
use calc::reach::plan::Plan;
use leptos::prelude::*;
use units::{Share, Speed};

/// The changes; nothing while the plan works.
#[component]
pub(super) fn Remedies(
    /// What is tried.
    tried: Tried,
    /// Nozzle sets of the user's own.
    own: StoredValue<OwnNozzles>,
    /// Units.
    shown_in: In,
) -> impl IntoView {
    let outcome = Memo::new(move |_| {
        let plan = tried.calm.read().as_ref().map(|(plan, _)| plan.clone())?;
        let goal = Goal { speeds: None, breadth: shown_in.step };
        let steps = Steps {
            carrier: shown_in.rate_step,
            pressure: shown_in.pressure_step,
            product: Share::from_percent(1.0),
            speed: Speed::from_m_per_s(shown_in.step.as_m_per_s() / 2.0),
        };
        let outcome = own.with_value(|own| make_it_work(&plan, goal, steps, &own.candidates()));
        match outcome {
            Outcome::Changes(suggestions) => Some((plan, suggestions)),
            _ => None,
        }
    });
    // What was worked out for another plan than the one on the screen must not be read.
    let stale =
        move || outcome.with(|outcome| outcome.as_ref().is_none_or(|(plan, _)| *plan != *tried.plan.read()));
    let body = move || {
        outcome.with(|outcome| {
            outcome.as_ref().map(|(_, all)| own.with_value(|own| list(all, own, tried, shown_in)))
        })
    };
    view! { <div class:reach__stale=stale aria-live="polite">{body}</div> }.into_any()
}

fn list(suggestions: &[Suggestion], own: &OwnNozzles, tried: Tried, shown_in: In) -> AnyView {
    let w = &words().reach;
    let items = suggestions
        .iter()
        .map(|suggestion| {
            let text = told::change_text(suggestion, own, shown_in.speed, shown_in.rate, shown_in.pressure);
            // Carrier and sections stand under the thumb; what is bolted on or keyed in is changed on the rig.
            let can_try = matches!(
                suggestion.change,
                Change::CarrierRate { .. } | Change::ManualPressure { .. } | Change::Sections { .. }
            );
            let plan: Option<Plan> = can_try.then(|| suggestion.plan.clone());
            let button = plan.map(|plan| {
                let label = format!("{}: {text}", w.try_it);
                view! { <button type="button" class="button" aria-label=label on:click=move |_| tried.take(&plan)>{w.try_it}</button> }
            });
            view! { <li>{text}{button}</li> }
        })
        .collect_view();
    view! {
        <section class="card">
            <h2>{w.make_it_work}</h2>
            {suggestions.is_empty().then(|| view! { <p>{w.nothing_helps}</p> })}
            <ul class="findings reach__remedies">{items}</ul>
        </section>
    }
    .into_any()
}
