//! Which nozzle sizes give the carrier rate over the wanted speeds.

use super::In;
use super::stepper::{Range, Stepper};
use crate::text::{number, reach as told, words};
use calc::reach::nozzle_choice::{Candidate, Choice, Choices, Fit, OwnSet, Wanted, nozzle_choice};
use calc::reach::plan::Plan;
use calc::rig::Carrier;
use leptos::prelude::*;
use units::{Quantity, Speed};

/// The wanted speeds and the table of sizes.
#[component]
pub(super) fn Nozzles(
    /// The plan as it stands.
    plan: Memo<Plan>,
    /// Speeds wanted at first, slowest and fastest.
    first: (Speed, Speed),
    /// The fastest speed that can be asked for.
    top: Speed,
    /// Units.
    shown_in: In,
) -> impl IntoView {
    let w = &words().reach;
    let slowest = RwSignal::new(first.0.in_unit(shown_in.speed));
    let fastest = RwSignal::new(first.1.in_unit(shown_in.speed));
    let range = Range {
        least: shown_in.fine_step.in_unit(shown_in.speed),
        greatest: top.in_unit(shown_in.speed).round(),
        step: shown_in.fine_step.in_unit(shown_in.speed),
    };
    let speed = move |signal: RwSignal<f64>| Speed::from_unit(signal.get(), shown_in.speed);
    let shown = move |signal: RwSignal<f64>| {
        Signal::derive(move || number::quantity(speed(signal), shown_in.speed, 3))
    };
    let result = move || {
        let plan = plan.read();
        let Some(Carrier::Regulated(rate)) = plan.rig.carrier else {
            return view! { <p>{w.needs_rate}</p> }.into_any();
        };
        let wanted = Wanted { rate, slowest: speed(slowest), fastest: speed(fastest) };
        if wanted.slowest > wanted.fastest {
            return view! { <p class="field__problem">{w.wrong_way}</p> }.into_any();
        }
        let on_rig = plan.rig.nozzles;
        let window =
            (on_rig.and_then(|set| set.least_pressure), on_rig.and_then(|set| set.greatest_pressure));
        let own: Vec<OwnSet> = on_rig.into_iter().map(|nozzles| OwnSet { nozzles, droplets: None }).collect();
        let choices = nozzle_choice(&plan, wanted, window, &own, 2);
        let judged = match window {
            (Some(least), Some(greatest)) => (w.judged)(
                &number::quantity(least, shown_in.pressure, 3),
                &number::quantity(greatest, shown_in.pressure, 3),
            ),
            _ => w.no_judge.to_owned(),
        };
        view! {
            <p>{judged}</p>
            {heavy(&plan, &choices, shown_in)}
            {table(&choices, wanted, shown_in)}
        }
        .into_any()
    };
    view! {
        <h2>{w.nozzles}</h2>
        <div class="steppers">
            <Stepper label=w.slowest number=slowest.into() on_set=Callback::new(move |v| slowest.set(v)) range=range shown=shown(slowest) />
            <Stepper label=w.fastest number=fastest.into() on_set=Callback::new(move |v| fastest.set(v)) range=range shown=shown(fastest) />
        </div>
        {result}
    }
    .into_any()
}

/// The rate to look up where the liquid does not weigh what water does.
fn heavy(plan: &Plan, choices: &Choices, shown_in: In) -> AnyView {
    let told = choices
        .water_rate
        .filter(|_| (plan.rig.specific_gravity - 1.0).abs() > 1e-6)
        .map(|rate| (words().reach.water_rate)(&number::quantity(rate, shown_in.rate, 3)));
    view! { {told.map(|text| view! { <p>{text}</p> })} }.into_any()
}

fn table(choices: &Choices, wanted: Wanted, shown_in: In) -> AnyView {
    let w = &words().reach;
    let speeds = [wanted.slowest, wanted.fastest];
    // The set on the rig, then the sizes; far too small and far too large ones only fill the screen.
    let own = choices.choices.iter().filter(|c| matches!(c.candidate, Candidate::Own(_)));
    let sizes = choices.choices.iter().filter(|c| {
        matches!(c.candidate, Candidate::Nominal(_)) && !matches!(c.fit, Fit::TooSmall | Fit::TooLarge)
    });
    let rows = own.chain(sizes).map(|choice| row(choice, shown_in)).collect_view();
    view! {
        <div class="scroll" tabindex="0" role="group" aria-label=w.nozzles>
            <table>
                <thead><tr>
                    <th scope="col">{w.nozzle}</th>
                    <th scope="col">{w.fit}</th>
                    {speeds.map(|v| view! { <th scope="col">{(w.pressure_at)(&number::quantity(v, shown_in.speed, 3))}</th> }).collect_view()}
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

fn row(choice: &Choice, shown_in: In) -> AnyView {
    let w = &words().reach;
    let name = match choice.candidate {
        Candidate::Nominal(size) => (w.size)(size.number),
        Candidate::Own(_) => w.on_rig.to_owned(),
    };
    let pressure = |idx: usize| {
        choice
            .points
            .get(idx)
            .map_or_else(|| "–".to_owned(), |point| number::quantity(point.pressure, shown_in.pressure, 3))
    };
    view! {
        <tr>
            <th scope="row">{name}</th>
            <td>{told::fit_text(choice.fit, shown_in.speed)}</td>
            <td>{pressure(0)}</td>
            <td>{pressure(1)}</td>
        </tr>
    }
    .into_any()
}
