//! The window in words, what binds, what is refused or missing, and every limit as a bar on one speed axis with the rig's
//! own plan as a ghost.

use super::shown::In;
use crate::components::table::sentences;
use crate::text::{number, reach as told, words};
use calc::reach::doses::Refusal;
use calc::reach::plan::{Limit, Plan, Problem};
use calc::reach::window::{End, Reach, Span, Window, window};
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
pub(super) fn refusals(refused: &[Refusal], doubtful: &[Refusal], shown_in: In) -> AnyView {
    let w = &words().reach;
    let told = |refusals: &[Refusal]| told::refusal_texts(refusals, shown_in.speed);
    let caution = |title: &'static str, texts: Vec<String>| {
        (!texts.is_empty()).then(|| {
            view! { <div class="caution" role="alert"><strong>{title}</strong>{sentences(texts)}</div> }
                .into_any()
        })
    };
    view! {
        {caution(w.refused, told(refused))}
        {caution(w.doubtful, told(doubtful))}
    }
    .into_any()
}

/// What the rig does not say; the rest is drawn all the same.
pub(super) fn problems(problems: &[Problem], shown_in: In) -> AnyView {
    if problems.is_empty() {
        return ().into_any();
    }
    let texts = problems.iter().map(|p| told::problem_text(p, shown_in.rate, shown_in.pressure)).collect();
    // A label maximum that nobody gave bars no drawing; anything else is part of the answer and stands open.
    let open = problems.iter().any(|problem| !matches!(problem, Problem::LabelUnknown { .. }));
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
    /// The plan when the thumb rests: the drawing in words.
    rested: Memo<Plan>,
    /// What the rig's own plan can hold.
    ghost: StoredValue<Reach>,
    /// The speed looked at.
    speed: RwSignal<Speed>,
    /// The axis.
    axis: Axis,
    /// Units.
    shown_in: In,
) -> impl IntoView {
    // The drawing is a few paths of which only the shapes change while a thumb moves; names come anew with other limits only.
    let limits =
        Memo::new(move |_| reach.with(|reach| reach.bars.iter().map(|bar| bar.limit).collect::<Vec<_>>()));
    #[allow(clippy::cast_precision_loss)] // some dozens of bars
    let bottom = move || limits.with(Vec::len) as f64 * ROW + 10.0;
    let across = move || {
        let span = reach.with(|reach| axis.span(&reach.window));
        span.map(|(left, right)| block(left, right.max(left + 1.0), 2.0, bottom())).unwrap_or_default()
    };
    let sure = move || reach.with(|reach| shapes(reach, axis, sure_part));
    let pale = move || reach.with(|reach| shapes(reach, axis, pale_parts));
    let names = move || {
        let name = |(limit, n): (&Limit, u8)| {
            let y = format!("{:.1}", top_of(n) + 14.0);
            view! { <text class="reach__name" x="2" y=y>{told::limit_text(*limit)}</text> }
        };
        limits.with(|limits| limits.iter().zip(0_u8..).map(name).collect_view())
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
        <svg class="drawing reach__bars" viewBox=move || format!("0 0 {WIDTH} {:.0}", bottom() + 26.0) role="img" aria-label=move || told::bars_text(&window(&rested.read()), shown_in.speed)>
            <path class="reach__window" d=across />
            <path class="reach__bar" d=sure />
            <path class="reach__soft" d=pale />
            <path class="reach__ghost" d=own />
            <path class="reach__speed" d=now />
            {names}
            {move || marks(axis, bottom(), shown_in)}
        </svg>
        <p class="field__hint">{(words().reach.axis)(shown_in.speed.symbol())}" "{move || soft().then_some(words().reach.soft)}</p>
    }
    .into_any()
}

/// A block of a path.
fn block(left: f64, right: f64, y: f64, height: f64) -> String {
    format!("M{left:.1} {y:.1}H{right:.1}v{height:.1}H{left:.1}z")
}

/// The shapes of all bars in one path.
fn shapes(reach: &Reach, axis: Axis, of: fn(Span, f64, Axis) -> String) -> String {
    reach.bars.iter().zip(0_u8..).map(|(bar, n)| of(bar.span, top_of(n), axis)).collect()
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

/// The part of a bar that is sure.
fn sure_part(span: Span, y: f64, axis: Axis) -> String {
    let (left, right) = match span {
        Span::Between { low, high } => {
            (low.map_or(0.0, |end| axis.x(end.greatest)), high.map_or(WIDTH, |end| axis.x(end.least)))
        }
        Span::Nowhere => (0.0, 0.0),
    };
    if left < right { block(left, right, y + 18.0, 13.0) } else { String::new() }
}

/// Where the ends of a bar may lie.
fn pale_parts(span: Span, y: f64, axis: Axis) -> String {
    soft_ends(span).map(|end| block(axis.x(end.least), axis.x(end.greatest), y + 19.5, 10.0)).collect()
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
