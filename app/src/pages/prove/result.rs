//! Pieces of an outcome that several trials share: the verdict, what to run next, the budget, who says the tolerance.

use crate::bridge::trial::{Obstacle, Size};
use crate::components::verdict::{Tone, Verdict as VerdictMark};
use crate::state::sheet::System;
use crate::text::{number, prove, words};
use calc::next_run::Next;
use calc::uncertainty::Budget;
use calc::verdict::Verdict;
use leptos::prelude::*;

/// The verdict with the numbers under it.
pub(super) fn verdict_view(verdict: Verdict, detail: String) -> AnyView {
    let tone = match verdict {
        Verdict::Within => Tone::Within,
        Verdict::Out => Tone::Out,
        Verdict::NotProvenYet => Tone::Open,
    };
    view! { <VerdictMark tone=tone word=prove::verdict_word(verdict) detail=detail /> }.into_any()
}

/// What to run next, as a sentence; nothing where the verdict stands.
pub(super) fn next_view(next: &Next<Size>) -> AnyView {
    match prove::next_text(next) {
        Some(text) => view! { <p class="next">{text}</p> }.into_any(),
        None => ().into_any(),
    }
}

/// Where the uncertainty comes from, largest part first.
pub(super) fn budget_view(budget: &Budget, scale: f64) -> AnyView {
    let w = &words().prove;
    let mut rows: Vec<(&'static str, f64)> = budget
        .parts
        .iter()
        .map(|part| (prove::source_label(part.source), part.contribution() / scale))
        .collect();
    rows.sort_unstable_by(|a, b| b.1.total_cmp(&a.1));
    view! {
        <details class="group">
            <summary><h2 class="group__title">{w.budget}</h2></summary>
            <div class="group__body">
                <p>{w.budget_hint}</p>
                <table>
                    <thead><tr><th scope="col">{w.part}</th><th scope="col">{w.standard}</th></tr></thead>
                    <tbody>
                        {rows
                            .into_iter()
                            .map(|(label, share)| view! { <tr><th scope="row">{label}</th><td>{number::percent(share, 2)}</td></tr> })
                            .collect_view()}
                    </tbody>
                </table>
                <p>{(w.coverage)(&number::significant(budget.k, 3))}</p>
            </div>
        </details>
    }
    .into_any()
}

/// Why nothing can be worked out yet.
pub(super) fn obstacle_view(obstacle: &Obstacle, system: System) -> AnyView {
    match prove::obstacle_text(obstacle, system) {
        None => view! { <p class="field__hint">{words().prove.waiting}</p> }.into_any(),
        Some(text) => view! { <p class="field__problem" role="alert">{text}</p> }.into_any(),
    }
}

/// `+3.42 % ± 0.66 %` against the tolerance, with who says so.
pub(super) fn error_detail(
    error: f64,
    expanded: f64,
    tolerance: f64,
    source: calc::verdict::ToleranceSource,
) -> String {
    let w = &words().prove;
    let expanded = if expanded.is_finite() { number::percent(expanded, 2) } else { w.unknown.to_owned() };
    (w.error_detail)(
        &number::signed_percent(error, 2),
        &expanded,
        &number::percent(tolerance, 2),
        prove::tolerance_source(source),
    )
}
