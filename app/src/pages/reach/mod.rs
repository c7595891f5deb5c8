//! Reach: between which speeds, with which sections, at which rates the rig holds what it is asked for, and what binds.
//!
//! Nozzle choice, curves and drawings of doses have files of their own beside this one; the operator's card is
//! `pages::card`.

mod dose_plot;
mod nozzles;
mod stepper;
mod turns;

use self::nozzles::Nozzles;
use self::stepper::{Range, Stepper};
use self::turns::Turns;
use crate::bridge::rig::rig_of;
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::sheet::System;
use crate::text::{number, reach as told, words};
use calc::reach::doses::{Doses, doses};
use calc::reach::expected::along;
use calc::reach::make_it_work::{Goal, Outcome, Steps, make_it_work};
use calc::reach::plan::{Plan, SectionSet};
use calc::reach::sections::by_count;
use calc::reach::window::{Reach, Span, Window, window};
use calc::rig::{Carrier, Rig};
use leptos::prelude::*;
use records::DocId;
use records::rig::RigView;
use units::{
    LengthUnit, Pressure, PressureUnit, Quantity, Share, Speed, SpeedUnit, VolumePerArea, VolumePerAreaUnit,
};

/// The reach of the rig in the address, or of the one last looked at.
#[component]
pub(crate) fn ReachPage(
    /// The rig's id, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let Some(rig) = rig_at_hand(id.as_deref()) else {
        return view! { <RigChoice title=words().reach.title route=|id| Route::Reach(Some(id)) /> }
            .into_any();
    };
    view! { <Screen rig=rig /> }.into_any()
}

/// The units of a screen.
#[derive(Clone, Copy)]
pub(crate) struct In {
    /// Of speeds.
    pub(crate) speed: SpeedUnit,
    /// Of the carrier rate.
    pub(crate) rate: VolumePerAreaUnit,
    /// Of pressures.
    pub(crate) pressure: PressureUnit,
    /// Of widths and radii.
    pub(crate) length: LengthUnit,
    /// From one row of a table to the next.
    pub(crate) step: Speed,
    /// One press of a speed.
    fine_step: Speed,
    /// One press of the carrier rate.
    rate_step: VolumePerArea,
    /// Radii of curves, in the unit of length.
    radii: Range,
}

/// The units of a rig's system.
pub(crate) fn units_of(system: System) -> In {
    match system {
        System::Us => In {
            speed: SpeedUnit::MilePerHour,
            rate: VolumePerAreaUnit::UsGallonPerAcre,
            pressure: PressureUnit::Psi,
            length: LengthUnit::Foot,
            step: Speed::from_mph(1.0),
            fine_step: Speed::from_mph(0.5),
            radii: Range { least: 5.0, greatest: 400.0, step: 5.0 },
            rate_step: VolumePerArea::from_us_gal_per_ac(1.0),
        },
        System::Metric => In {
            speed: SpeedUnit::KilometrePerHour,
            rate: VolumePerAreaUnit::LitrePerHectare,
            pressure: PressureUnit::Bar,
            length: LengthUnit::Metre,
            step: Speed::from_km_per_h(2.0),
            fine_step: Speed::from_km_per_h(1.0),
            radii: Range { least: 2.0, greatest: 120.0, step: 2.0 },
            rate_step: VolumePerArea::from_l_per_ha(10.0),
        },
    }
}

#[component]
fn Screen(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let w = &words().reach;
    let name = rig_name(&rig);
    let read = ledger.book.with_untracked(|book| {
        book.doc(&rig).map(|doc| (rig_of(&RigView::read(doc)), System::from_code(doc.text("system"))))
    });
    let Some((own, system)) = read else { return view! { <crate::pages::nothing::Nothing /> }.into_any() };
    let shown_in = units_of(system);
    let n_sections = own.sections.len();
    let own_plan = StoredValue::new(Plan::new(own.clone()));
    let ghost = window(&Plan::new(own.clone()));
    let on = RwSignal::new(n_sections);
    let rate = RwSignal::new(match own.carrier {
        Some(Carrier::Regulated(rate)) => Some(rate),
        _ => None,
    });
    let plan = Memo::new(move |_| {
        let mut plan = own_plan.get_value();
        plan.sections_on = SectionSet::all(on.get());
        if let Some(rate) = rate.get() {
            plan.rig.carrier = Some(Carrier::Regulated(rate));
        }
        plan
    });
    let top = axis_top(&own, &ghost, shown_in);
    let fine = shown_in.fine_step.in_unit(shown_in.speed);
    let first_speed = own.standing_speed.filter(|v| ghost.window.contains(*v));
    let first_speed = first_speed.or(ghost.window.high()).unwrap_or(top).in_unit(shown_in.speed);
    let speed = RwSignal::new((first_speed / fine).floor().max(1.0) * fine);
    let slow = ghost.rate_held_from().or(ghost.window.low()).unwrap_or(shown_in.step);
    let wanted = (slow, ghost.window.high().unwrap_or(top));
    let wanted = (to_step(wanted.0, shown_in.fine_step), to_step(wanted.1, shown_in.fine_step));
    let hold = own.hold_speed;
    let reset = move |_| {
        on.set(n_sections);
        rate.set(match own_plan.with_value(|plan| plan.rig.carrier) {
            Some(Carrier::Regulated(rate)) => Some(rate),
            _ => None,
        });
    };
    let rate_text = Signal::derive(move || {
        rate.get().map_or_else(|| "–".to_owned(), |r| number::quantity(r, shown_in.rate, 3))
    });
    let on_text = Signal::derive(move || (w.sections_on)(on.get(), n_sections));
    let speed_text = Signal::derive(move || {
        number::quantity(Speed::from_unit(speed.get(), shown_in.speed), shown_in.speed, 3)
    });
    let rate_number = Signal::derive(move || rate.get().map_or(0.0, |rate| rate.in_unit(shown_in.rate)));
    let rate_range = {
        let step = shown_in.rate_step.in_unit(shown_in.rate);
        let greatest = (rate_number.get_untracked() * 3.0 / step).ceil().max(1.0) * step;
        Range { least: step, greatest, step }
    };
    // A boom has at most some hundred sections.
    #[allow(clippy::cast_precision_loss)]
    let (on_number, on_range) = (
        Signal::derive(move || on.get() as f64),
        Range { least: 1.0, greatest: n_sections.max(1) as f64, step: 1.0 },
    );
    let set_rate =
        Callback::new(move |value: f64| rate.set(Some(VolumePerArea::from_unit(value, shown_in.rate))));
    // Clamped to whole numbers from 1 by the stepper.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let set_on = Callback::new(move |value: f64| on.set((value.round() as usize).min(n_sections)));
    let speed_range =
        Range { least: fine, greatest: (top.in_unit(shown_in.speed) / fine).floor() * fine, step: fine };
    let at_speed = move || {
        let v = Speed::from_unit(speed.get(), shown_in.speed);
        told::at_speed(
            along(&plan.read(), [v]).first(),
            shown_in.speed,
            shown_in.pressure,
            holds(&plan.read(), &window(&plan.read()).window, v),
        )
    };
    let to_card = Route::Card(rig.to_string()).to_hash();
    view! {
        <h1>{w.title}</h1>
        <p class="keyin__rig">{name}</p>
        {move || {
            let plan = plan.get();
            let reach = window(&plan);
            let doses = doses(&plan);
            view! {
                {refusals(&doses, shown_in)}
                <p class="next">{told::window_text(&reach.window, shown_in.speed)}</p>
                {binding(&reach, shown_in)}
                {bars(&reach, &ghost, top, shown_in)}
                {problems(&reach)}
            }
        }}
        <h2>{w.what_if}</h2>
        <div class="steppers">
            <Stepper label=w.speed number=speed.into() on_set=Callback::new(move |v| speed.set(v)) range=speed_range shown=speed_text />
            {rate.get_untracked().is_some().then(|| view! { <Stepper label=w.rate number=rate_number on_set=set_rate range=rate_range shown=rate_text /> })}
            {(n_sections > 0).then(|| view! { <Stepper label=w.sections number=on_number on_set=set_on range=on_range shown=on_text /> })}
        </div>
        <p class="reach__now"><output aria-live="polite">{at_speed}</output></p>
        <div class="button-row">
            <button type="button" class="button" on:click=reset>{w.reset}</button>
            <a class="button button--main" href=to_card>{w.to_card}</a>
        </div>
        {move || {
            let plan = plan.get();
            view! {
                {remedies(&plan, shown_in)}
                {pressures(&plan, top, shown_in)}
                {dose_table(&doses(&plan), shown_in)}
                {dose_plot::dose_plots(&doses(&plan), hold, top, shown_in)}
                {section_table(&plan, shown_in)}
            }
        }}
        <Nozzles plan=plan first=wanted top=top shown_in=shown_in />
        <Turns plan=plan speed=speed shown_in=shown_in />
        <p class="keyin__foot">{words().keyin.foot}</p>
    }
    .into_any()
}

/// Room for the window and some beyond it; limits further out run off the edge, where nobody drives.
fn axis_top(rig: &Rig, reach: &Reach, shown_in: In) -> Speed {
    let ends = [reach.window.high(), rig.top_speed].into_iter().flatten().map(Speed::as_m_per_s);
    let fastest = ends.fold(shown_in.step.as_m_per_s() * 6.0, f64::max);
    Speed::from_m_per_s(fastest * 1.5)
}

/// A speed at the nearest whole step, for a stepper to start from.
fn to_step(speed: Speed, step: Speed) -> Speed {
    let n = (speed.as_m_per_s() / step.as_m_per_s()).round().max(1.0);
    Speed::from_m_per_s(n * step.as_m_per_s())
}

/// Whether the carrier rate is what was planned at a speed: inside the window, not below the hold, not left in manual.
fn holds(plan: &Plan, window: &Window, speed: Speed) -> bool {
    window.contains(speed)
        && plan.rig.hold_speed.is_none_or(|hold| hold <= speed)
        && !matches!(plan.rig.carrier, Some(Carrier::Manual(_)))
}

/// What happens at each end of the window, and below the hold.
fn binding(reach: &Reach, shown_in: In) -> AnyView {
    let mut lines = told::binding_texts(&reach.window, shown_in.speed);
    // Only where the hold reaches into the window is there something to warn of.
    let lifts = reach.hold.filter(|hold| reach.window.low().is_none_or(|low| *hold > low));
    lines.extend(
        lifts
            .filter(|_| reach.window.is_open())
            .map(|hold| (words().reach.hold_lifts)(&number::quantity(hold, shown_in.speed, 3))),
    );
    view! { <ul class="findings">{lines.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul> }
        .into_any()
}

const WIDTH: f64 = 480.0;

/// One bar for each limit on one speed axis, the window across them, the rig's own plan as a ghost.
fn bars(reach: &Reach, ghost: &Reach, top: Speed, shown_in: In) -> AnyView {
    let x = move |speed: Speed| (speed.as_m_per_s() / top.as_m_per_s()).clamp(0.0, 1.0) * WIDTH;
    let row = 40.0;
    let span_of = move |window: &Window| match window {
        Window::Open { low, high } => {
            Some((low.map_or(0.0, |b| x(b.end.speed)), high.map_or(WIDTH, |b| x(b.end.speed))))
        }
        _ => None,
    };
    let mut y = 6.0;
    let rows = reach
        .bars
        .iter()
        .map(|bar| {
            let here = y;
            y += row;
            let label = told::limit_text(bar.limit);
            let (left, right) = match bar.span {
                Span::Between { low, high } => (low.map_or(0.0, |e| x(e.speed)), high.map_or(WIDTH, |e| x(e.speed))),
                Span::Nowhere => (0.0, 0.0),
            };
            view! {
                <text x="2" y=format!("{:.1}", here + 14.0)>{label}</text>
                <rect class="reach__bar" x=format!("{left:.1}") y=format!("{:.1}", here + 19.0) width=format!("{:.1}", (right - left).max(0.0)) height="13" />
            }
        })
        .collect_view();
    let bottom = y + 4.0;
    let across = span_of(&reach.window).map(|(left, right)| {
        view! { <rect class="reach__window" x=format!("{left:.1}") y="2" width=format!("{:.1}", (right - left).max(1.0)) height=format!("{bottom:.1}") /> }
    });
    let own = span_of(&ghost.window).map(|(left, right)| {
        view! { <path class="reach__ghost" d=format!("M{left:.1} 2V{bottom:.1}M{right:.1} 2V{bottom:.1}") /> }
    });
    // Marks at every step, thinned so that at most ten stand on the axis.
    let steps = (top.as_m_per_s() / shown_in.step.as_m_per_s()).floor();
    let thin = (steps / 8.0).ceil().max(1.0);
    let mut marks = Vec::new();
    let mut at = 0.0;
    while at <= steps {
        let speed = Speed::from_m_per_s(at * shown_in.step.as_m_per_s());
        marks.push(view! {
            <path class="reach__mark" d=format!("M{:.1} {bottom:.1}v6", x(speed)) />
            <text x=format!("{:.1}", x(speed).clamp(6.0, WIDTH - 8.0)) y=format!("{:.1}", bottom + 20.0) text-anchor="middle">{number::significant(speed.in_unit(shown_in.speed), 3)}</text>
        });
        at += thin;
    }
    view! {
        <svg class="drawing reach" viewBox=format!("0 0 {WIDTH} {:.0}", bottom + 26.0) role="img" aria-label=told::bars_text(reach, shown_in.speed)>
            {across}
            {rows}
            {own}
            {marks}
        </svg>
        <p class="field__hint">{(words().reach.axis)(units::Unit::symbol(shown_in.speed))}</p>
    }
    .into_any()
}

/// Rates that would pass the label maximum: refused by name.
fn refusals(doses: &Doses, shown_in: In) -> AnyView {
    if doses.refused.is_empty() {
        return ().into_any();
    }
    view! {
        <div class="caution" role="alert">
            <strong>{words().reach.refused}</strong>
            <ul class="findings">
                {doses.refused.iter().map(|refusal| view! { <li>{told::refusal_text(refusal, shown_in.speed)}</li> }).collect_view()}
            </ul>
        </div>
    }
    .into_any()
}

/// What the rig does not say; the rest is drawn all the same.
fn problems(reach: &Reach) -> AnyView {
    if reach.problems.is_empty() {
        return ().into_any();
    }
    view! {
        <details class="group">
            <summary>{words().reach.unknown}</summary>
            <ul class="findings">{reach.problems.iter().map(|p| view! { <li>{told::problem_text(p)}</li> }).collect_view()}</ul>
        </details>
    }
    .into_any()
}

/// The smallest single changes that would give a plan a window.
fn remedies(plan: &Plan, shown_in: In) -> AnyView {
    let w = &words().reach;
    let goal = Goal { speeds: None, breadth: shown_in.step };
    let steps = Steps {
        carrier: shown_in.rate_step,
        pressure: Pressure::from_unit(1.0, shown_in.pressure),
        product: Share::from_percent(1.0),
        speed: Speed::from_m_per_s(shown_in.step.as_m_per_s() / 2.0),
    };
    let Outcome::Changes(suggestions) = make_it_work(plan, goal, steps, &[]) else { return ().into_any() };
    let lines: Vec<String> = suggestions
        .iter()
        .take(6)
        .map(|s| told::change_text(s, shown_in.speed, shown_in.rate, shown_in.pressure))
        .collect();
    view! {
        <section class="card">
            <h2>{w.make_it_work}</h2>
            {if lines.is_empty() {
                view! { <p>{w.nothing_helps}</p> }.into_any()
            } else {
                view! { <ul class="findings">{lines.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul> }.into_any()
            }}
        </section>
    }
    .into_any()
}

/// The pressure to expect at each speed.
fn pressures(plan: &Plan, top: Speed, shown_in: In) -> AnyView {
    let w = &words().reach;
    let window = window(plan).window;
    let steps = (top.as_m_per_s() / shown_in.step.as_m_per_s()).floor();
    let mut speeds = Vec::new();
    let mut at = 1.0;
    while at <= steps {
        speeds.push(Speed::from_m_per_s(at * shown_in.step.as_m_per_s()));
        at += 1.0;
    }
    let rows = along(plan, speeds)
        .into_iter()
        .map(|expected| {
            let inside = window.contains(expected.speed);
            let state = match (inside, holds(plan, &window, expected.speed)) {
                (_, true) => w.held,
                (true, false) if matches!(plan.rig.carrier, Some(Carrier::Manual(_))) => w.floats,
                (true, false) => w.grows,
                (false, false) => w.not_held,
            };
            let pressure = expected
                .pressure
                .map_or_else(|| "–".to_owned(), |p| number::quantity(p, shown_in.pressure, 3));
            let rate = expected
                .carrier_rate
                .map_or_else(|| "–".to_owned(), |r| number::quantity(r, shown_in.rate, 3));
            view! {
                <tr class:reach__outside=!inside>
                    <th scope="row">{number::quantity(expected.speed, shown_in.speed, 3)}</th>
                    <td>{pressure}</td>
                    <td>{rate}</td>
                    <td>{state}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <h2>{w.pressures}</h2>
        <div class="scroll">
            <table>
                <thead><tr>
                    <th scope="col">{w.speed}</th><th scope="col">{w.pressure}</th><th scope="col">{w.carrier}</th><th scope="col">{w.window}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

/// What lands at each rate, against the label.
fn dose_table(doses: &Doses, shown_in: In) -> AnyView {
    let w = &words().reach;
    if doses.lines.is_empty() {
        return ().into_any();
    }
    let rows = doses
        .lines
        .iter()
        .map(|line| {
            let (held, label, passes) = told::dose_cells(line, shown_in.speed, shown_in.rate);
            view! {
                <tr>
                    <th scope="row">{told::rate_text(line.pump_idx, line.rate)}</th>
                    <td>{held}</td>
                    <td>{label}</td>
                    <td>{passes}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <h2>{w.doses}</h2>
        <p>{w.hold_hint}</p>
        <div class="scroll">
            <table>
                <thead><tr>
                    <th scope="col">{w.which}</th><th scope="col">{w.dose}</th><th scope="col">{w.label}</th><th scope="col">{w.passes}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

/// From all sections to the narrowest one alone.
fn section_table(plan: &Plan, shown_in: In) -> AnyView {
    let w = &words().reach;
    let counts = by_count(plan);
    if counts.is_empty() {
        return ().into_any();
    }
    let rows = counts
        .iter()
        .map(|count| {
            view! {
                <tr>
                    <th scope="row">{count.n_on}</th>
                    <td>{told::window_short(&count.narrowest.window, shown_in.speed)}</td>
                    <td>{told::window_short(&count.widest.window, shown_in.speed)}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <h2>{w.by_sections}</h2>
        <div class="scroll">
            <table>
                <thead><tr>
                    <th scope="col">{w.sections}</th><th scope="col">{w.narrowest}</th><th scope="col">{w.widest}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}
