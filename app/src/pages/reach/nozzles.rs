//! Which nozzle sizes and which sets of the user's own give the carrier rate over the wanted speeds.

use super::shown::In;
use super::stepper::{Range, Stepper};
use crate::bridge::nozzles::{ClassTable, OwnNozzles};
use crate::components::table::wide_table;
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
    /// Sets and droplet tables of the user's own.
    own: StoredValue<OwnNozzles>,
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
    let shown = move |signal: RwSignal<f64>| Signal::derive(move || shown_in.v(speed(signal)));
    let result = move || {
        let plan = plan.read();
        let Some(Carrier::Regulated(rate)) = plan.rig.carrier else {
            return view! { <p>{w.needs_rate}</p> }.into_any();
        };
        let wanted = Wanted { rate, slowest: speed(slowest), fastest: speed(fastest) };
        if wanted.slowest > wanted.fastest {
            return view! { <p class="field__problem">{w.wrong_way}</p> }.into_any();
        }
        own.with_value(|own| choices(&plan, own, wanted, shown_in))
    };
    view! {
        <div class="steppers">
            <Stepper label=w.slowest number=slowest.into() on_set=Callback::new(move |v| slowest.set(v)) range=range shown=shown(slowest) />
            <Stepper label=w.fastest number=fastest.into() on_set=Callback::new(move |v| fastest.set(v)) range=range shown=shown(fastest) />
        </div>
        {result}
    }
    .into_any()
}

fn choices(plan: &Plan, own: &OwnNozzles, wanted: Wanted, shown_in: In) -> AnyView {
    let w = &words().reach;
    let on_rig = plan.rig.nozzles;
    let window = (on_rig.and_then(|set| set.least_pressure), on_rig.and_then(|set| set.greatest_pressure));
    // The set on the rig first, where there is one; each with what it is called and its droplet table.
    let named = on_rig.map(|nozzles| (nozzles, w.on_rig.to_owned(), own.on_rig.as_ref()));
    let named: Vec<_> = named
        .into_iter()
        .chain(own.sets.iter().map(|set| (set.nozzles, told::set_name(set), set.droplets.as_ref())))
        .collect();
    let sets: Vec<OwnSet> =
        named.iter().map(|(nozzles, ..)| OwnSet { nozzles: *nozzles, droplets: None }).collect();
    let choices = nozzle_choice(plan, wanted, window, &sets, 2);
    let judged = match window {
        (Some(least), Some(greatest)) => (w.judged)(&shown_in.p(Some(least)), &shown_in.p(Some(greatest))),
        _ => w.no_judge.to_owned(),
    };
    let names: Vec<(String, Option<&ClassTable>)> =
        named.into_iter().map(|(_, name, table)| (name, table)).collect();
    view! {
        <p>{judged}</p>
        {density(plan, &choices, shown_in)}
        {by_set(&choices, &names, wanted, shown_in)}
    }
    .into_any()
}

/// What the weight of the liquid does to the pressures, and the rate to look up in a chart made for water.
fn density(plan: &Plan, choices: &Choices, shown_in: In) -> AnyView {
    let w = &words().reach;
    let gravity = plan.rig.specific_gravity;
    let text = if (gravity - 1.0).abs() > 1e-6 {
        choices
            .water_rate
            .map(|rate| (w.water_rate)(&shown_in.r(Some(rate)), &number::significant(gravity, 3)))
    } else {
        Some(w.as_water.to_owned())
    };
    view! { {text.map(|text| view! { <p>{text}</p> })} }.into_any()
}

fn by_set(
    choices: &Choices,
    names: &[(String, Option<&ClassTable>)],
    wanted: Wanted,
    shown_in: In,
) -> AnyView {
    let w = &words().reach;
    // The own sets, then the sizes; far too small and far too large ones only fill the screen.
    let own = choices.choices.iter().filter(|c| matches!(c.candidate, Candidate::Own(_)));
    let sizes = choices.choices.iter().filter(|c| {
        matches!(c.candidate, Candidate::Nominal(_)) && !matches!(c.fit, Fit::TooSmall | Fit::TooLarge)
    });
    let rows = own.chain(sizes).map(|choice| row(choice, names, shown_in)).collect();
    let [slowest, fastest] = [wanted.slowest, wanted.fastest].map(|v| (w.pressure_at)(&shown_in.v(v)));
    wide_table(w.nozzles, &[w.nozzle, w.fit, &slowest, &fastest], rows)
}

fn row(choice: &Choice, names: &[(String, Option<&ClassTable>)], shown_in: In) -> Vec<String> {
    let (name, droplets) = match choice.candidate {
        Candidate::Nominal(size) => ((words().reach.size)(size.number), None),
        Candidate::Own(idx) => names.get(idx).cloned().unwrap_or_default(),
    };
    let cell = |idx: usize| {
        let point = choice.points.get(idx);
        let class = point.zip(droplets).map(|(point, table)| told::droplet_text(table.at(point.pressure)));
        let pressure = shown_in.p(point.map(|point| point.pressure));
        class.map_or(pressure.clone(), |class| format!("{pressure}, {class}"))
    };
    vec![name, told::fit_text(choice.fit, shown_in.speed), cell(0), cell(1)]
}
