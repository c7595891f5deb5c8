//! What the boom ends get on a curve, and how tight a curve the label allows.

use super::shown::In;
use super::stepper::{Range, Stepper};
use crate::components::choice::Choice;
use crate::components::table::wide_table;
use crate::text::{number, reach as told, words};
use calc::reach::plan::Plan;
use calc::reach::turns::{Direction, Reaches, curve_ends, least_radius_for_fraction, turn_limits};
use leptos::prelude::*;
use units::{Length, Quantity, Share, Speed};

const LEFT: &str = "left";
const RIGHT: &str = "right";

/// Radius, way and share wanted at the outer end, with what follows.
#[component]
pub(super) fn Turns(
    /// The plan as it stands.
    plan: Memo<Plan>,
    /// Speed on the curve.
    speed: RwSignal<Speed>,
    /// Units.
    shown_in: In,
) -> impl IntoView {
    let w = &words().reach;
    let range = shown_in.radii;
    let radius = RwSignal::new(range.greatest / 4.0);
    let share = RwSignal::new(80.0);
    let way = RwSignal::new(LEFT.to_owned());
    let radius_text = Signal::derive(move || {
        number::quantity(Length::from_unit(radius.get(), shown_in.length), shown_in.length, 3)
    });
    let share_text = Signal::derive(move || number::percent(share.get() / 100.0, 3));
    let options = vec![(LEFT.to_owned(), w.left.to_owned()), (RIGHT.to_owned(), w.right.to_owned())];
    let result = move || {
        let direction = if *way.read() == RIGHT { Direction::Right } else { Direction::Left };
        let v = speed.get();
        let radius = Length::from_unit(radius.get(), shown_in.length);
        ends(&plan.read(), direction, radius, Share::from_percent(share.get()), v, shown_in)
    };
    view! {
        <Choice legend=w.way options=options chosen=way on_choose=Callback::new(move |code| way.set(code)) />
        <div class="steppers">
            <Stepper label=w.radius number=radius.into() on_set=Callback::new(move |v| radius.set(v)) range=range shown=radius_text />
            <Stepper label=w.wanted_share number=share.into() on_set=Callback::new(move |v| share.set(v)) range=Range { least: 5.0, greatest: 95.0, step: 5.0 } shown=share_text />
        </div>
        {result}
    }
    .into_any()
}

fn ends(
    plan: &Plan,
    direction: Direction,
    radius: Length,
    share: Share,
    speed: Speed,
    shown_in: In,
) -> AnyView {
    let w = &words().reach;
    let Some(reaches) = Reaches::of(plan, plan.sections_on) else {
        return view! { <p>{w.no_width}</p> }.into_any();
    };
    let (inner, outer) = reaches.inner_outer(direction);
    let here = curve_ends(inner, outer, &[radius]).ok().and_then(|ends| ends.into_iter().next());
    let outer_from = least_radius_for_fraction(outer, share).ok().flatten().map(|least| {
        (w.outer_from)(&number::percent(share.as_fraction(), 3), &number::quantity(least, shown_in.length, 3))
    });
    view! {
        {here.map(|ends| view! {
            <div aria-live="polite">
                <p><strong>{(w.inner)(&told::curve_text(ends.inner))}</strong></p>
                <p><strong>{(w.outer)(&told::curve_text(ends.outer))}</strong></p>
                {ends.centre_under_boom.then(|| view! { <div class="caution"><p>{w.centre_under}</p></div> })}
            </div>
        })}
        {outer_from.map(|text| view! { <p>{text}</p> })}
        {limits(plan, direction, speed, shown_in)}
    }
    .into_any()
}

fn limits(plan: &Plan, direction: Direction, speed: Speed, shown_in: In) -> AnyView {
    let w = &words().reach;
    let limits = turn_limits(plan, direction, speed);
    if limits.is_empty() {
        return view! { <p>{w.no_label_turns}</p> }.into_any();
    }
    let rows = limits
        .iter()
        .map(|limit| {
            vec![told::rate_text(limit.pump_idx, limit.rate), told::turn_text(limit.radius, shown_in.length)]
        })
        .collect();
    let title = (w.turn_limits)(&shown_in.v(speed));
    view! {
        <p class="reach__caption">{title.clone()}</p>
        {wide_table(&title, &[w.which, w.radius_least], rows)}
    }
    .into_any()
}
