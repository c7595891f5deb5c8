//! The window in words, what binds, what is refused or missing, and every limit as a bar on one speed axis with the rig's
//! own plan as a ghost.

use super::shown::In;
use crate::components::table::sentences;
use crate::text::{number, reach as told, words};
use calc::reach::doses::{Doses, Refusal};
use calc::reach::plan::Problem;
use calc::reach::window::{End, Reach, Span, Window};
use leptos::prelude::*;
use units::{Quantity, Speed, Unit};

const WIDTH: f64 = 480.0;
const ROW: f64 = 38.0;

/// What binds at the ends of the window, and what is sure of it.
pub(super) fn window_view(reach: &Reach, shown_in: In) -> AnyView {
    let mut lines = told::binding_texts(&reach.window, shown_in.speed);
    lines.extend(told::surely_text(reach, shown_in.speed));
    // Only where the hold reaches into the window is there something to warn of.
    let lifts = reach.hold.filter(|hold| reach.window.low().is_none_or(|low| *hold > low));
    lines.extend(
        lifts.filter(|_| reach.window.is_open()).map(|hold| (words().reach.hold_lifts)(&shown_in.v(hold))),
    );
    sentences(lines)
}

/// Rates that would pass the label maximum, refused by name, and those that may as far as the numbers are proven.
pub(super) fn refusals(doses: &Doses, shown_in: In) -> AnyView {
    let w = &words().reach;
    let told = |refusals: &[Refusal]| told::refusal_texts(refusals, shown_in.speed);
    let caution = |title: &'static str, texts: Vec<String>| {
        (!texts.is_empty()).then(|| {
            view! { <div class="caution" role="alert"><strong>{title}</strong>{sentences(texts)}</div> }
                .into_any()
        })
    };
    view! {
        {caution(w.refused, told(&doses.refused))}
        {caution(w.doubtful, told(&doses.doubtful))}
    }
    .into_any()
}

/// What the rig does not say; the rest is drawn all the same.
pub(super) fn problems(reach: &Reach, shown_in: In) -> AnyView {
    if reach.problems.is_empty() {
        return ().into_any();
    }
    let texts =
        reach.problems.iter().map(|p| told::problem_text(p, shown_in.rate, shown_in.pressure)).collect();
    // A label maximum that nobody gave bars no drawing; anything else is part of the answer and stands open.
    let open = reach.problems.iter().any(|problem| !matches!(problem, Problem::LabelUnknown { .. }));
    view! {
        <details class="group" open=open>
            <summary>{words().reach.unknown}</summary>
            {sentences(texts)}
        </details>
    }
    .into_any()
}

/// Where things stand on the speed axis.
#[derive(Clone, Copy)]
pub(super) struct Axis {
    /// The speed at its right end.
    pub(super) top: Speed,
}

impl Axis {
    /// Place of a speed.
    pub(super) fn x(self, speed: Speed) -> f64 {
        (speed.as_m_per_s() / self.top.as_m_per_s()).clamp(0.0, 1.0) * WIDTH
    }

    /// Left and right end of an open window.
    pub(super) fn span(self, window: &Window) -> Option<(f64, f64)> {
        match window {
            Window::Open { low, high } => {
                Some((low.map_or(0.0, |b| self.x(b.end.speed)), high.map_or(WIDTH, |b| self.x(b.end.speed))))
            }
            _ => None,
        }
    }
}

/// One bar for each limit on one speed axis, the window across them, the rig's own plan as a ghost, the speed looked at.
#[component]
pub(super) fn Bars(
    /// What the plan can hold.
    reach: Memo<Reach>,
    /// What the rig's own plan can hold.
    ghost: StoredValue<Reach>,
    /// The speed looked at.
    speed: RwSignal<Speed>,
    /// The axis.
    axis: Axis,
    /// Units.
    shown_in: In,
) -> impl IntoView {
    let n = Memo::new(move |_| reach.read().bars.len());
    #[allow(clippy::cast_precision_loss)] // some dozens of bars
    let bottom = move || n.get() as f64 * ROW + 10.0;
    let across = move || {
        reach.with(|reach| axis.span(&reach.window)).map(|(left, right)| across(left, right, bottom()))
    };
    let rows = move || {
        reach.with(|reach| reach.bars.iter().zip(0_u8..).map(|(bar, n)| row(bar, n, axis)).collect_view())
    };
    let labels = move || {
        let label = |(bar, n): (&calc::reach::window::Bar, u8)| {
            let y = format!("{:.1}", top_of(n) + 14.0);
            view! { <text class="reach__name" x="2" y=y>{told::limit_text(bar.limit)}</text> }
        };
        reach.with(|reach| reach.bars.iter().zip(0_u8..).map(label).collect_view())
    };
    let own = move || {
        let span = ghost.with_value(|ghost| axis.span(&ghost.window));
        let bottom = bottom();
        span.map(|(left, right)| format!("M{left:.1} 2V{bottom:.1}M{right:.1} 2V{bottom:.1}"))
            .unwrap_or_default()
    };
    let now = move || {
        let x = axis.x(speed.get());
        format!("M{x:.1} 2V{:.1}M{:.1} 2h10l-5 8z", bottom(), x - 5.0)
    };
    let soft = move || reach.with(|reach| reach.bars.iter().any(|bar| soft_ends(bar.span).next().is_some()));
    view! {
        <svg class="drawing reach__bars" viewBox=move || format!("0 0 {WIDTH} {:.0}", bottom() + 26.0) role="img" aria-label=move || told::bars_text(&reach.read(), shown_in.speed)>
            {across}
            {rows}
            <path class="reach__ghost" d=own />
            <path class="reach__speed" d=now />
            {labels}
            {move || marks(axis, bottom(), shown_in)}
        </svg>
        <p class="field__hint">{(words().reach.axis)(shown_in.speed.symbol())}" "{move || soft().then_some(words().reach.soft)}</p>
    }
    .into_any()
}

fn across(left: f64, right: f64, bottom: f64) -> AnyView {
    view! { <rect class="reach__window" x=format!("{left:.1}") y="2" width=format!("{:.1}", (right - left).max(1.0)) height=format!("{bottom:.1}") /> }
        .into_any()
}

/// Ends that are uncertain.
fn soft_ends(span: Span) -> impl Iterator<Item = End> {
    let (low, high) = match span {
        Span::Between { low, high } => (low, high),
        Span::Nowhere => (None, None),
    };
    low.into_iter().chain(high).filter(|end| end.least != end.greatest)
}

/// Where a row of the drawing begins.
fn top_of(n: u8) -> f64 {
    6.0 + f64::from(n) * ROW
}

fn row(bar: &calc::reach::window::Bar, n: u8, axis: Axis) -> AnyView {
    let y = top_of(n);
    let (left, right) = match bar.span {
        Span::Between { low, high } => {
            (low.map_or(0.0, |end| axis.x(end.greatest)), high.map_or(WIDTH, |end| axis.x(end.least)))
        }
        Span::Nowhere => (0.0, 0.0),
    };
    // The whole bar up to where an end may lie, pale, and the sure part of it on top.
    let pale: String = soft_ends(bar.span)
        .map(|end| {
            let (from, to) = (axis.x(end.least), axis.x(end.greatest));
            format!("M{from:.1} {:.1}H{to:.1}v10H{from:.1}z", y + 19.5)
        })
        .collect();
    view! {
        <rect class="reach__bar" x=format!("{left:.1}") y=format!("{:.1}", y + 18.0) width=format!("{:.1}", (right - left).max(0.0)) height="13" />
        <path class="reach__soft" d=pale />
    }
    .into_any()
}

/// Marks at every step, thinned so that at most ten stand on the axis.
fn marks(axis: Axis, bottom: f64, shown_in: In) -> AnyView {
    let steps = (axis.top.as_m_per_s() / shown_in.step.as_m_per_s()).floor();
    let thin = (steps / 8.0).ceil().max(1.0);
    let mut marks = Vec::new();
    let mut at = 0.0;
    while at <= steps {
        let speed = Speed::from_m_per_s(at * shown_in.step.as_m_per_s());
        let x = axis.x(speed);
        marks.push(view! {
            <path class="reach__mark" d=format!("M{x:.1} {bottom:.1}v6") />
            <text x=format!("{:.1}", x.clamp(6.0, WIDTH - 8.0)) y=format!("{:.1}", bottom + 20.0) text-anchor="middle">{number::significant(speed.in_unit(shown_in.speed), 3)}</text>
        });
        at += thin;
    }
    marks.collect_view().into_any()
}

/// The window on a strip of its own, for beside the sliders: the rig's own plan dashed, the speed looked at as a mark.
#[component]
pub(super) fn Strip(
    /// What the plan can hold.
    reach: Memo<Reach>,
    /// What the rig's own plan can hold.
    ghost: StoredValue<Reach>,
    /// The speed looked at.
    speed: RwSignal<Speed>,
    /// The axis.
    axis: Axis,
    /// Units.
    shown_in: In,
) -> impl IntoView {
    let bar = move || {
        let span = reach.with(|reach| axis.span(&reach.window));
        span.map(|(left, right)| format!("M{left:.1} 8H{right:.1}v20H{left:.1}z")).unwrap_or_default()
    };
    let own = ghost.with_value(|ghost| axis.span(&ghost.window));
    let own = own.map(|(left, right)| format!("M{left:.1} 2V34M{right:.1} 2V34")).unwrap_or_default();
    let now = move || {
        let x = axis.x(speed.get());
        format!("M{x:.1} 0V36M{:.1} 0h10l-5 8z", x - 5.0)
    };
    view! {
        <div class="reach__strip">
            <p class="next reach__headline">{move || told::window_text(&reach.read().window, shown_in.speed)}</p>
            <svg class="drawing" viewBox=format!("0 0 {WIDTH} 36") aria-hidden="true">
                <path class="reach__mark" d=format!("M0 28H{WIDTH}") />
                <path class="reach__window" d=bar />
                <path class="reach__ghost" d=own />
                <path class="reach__speed" d=now />
            </svg>
        </div>
    }
    .into_any()
}
