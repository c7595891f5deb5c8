//! A verdict: word, shape and colour, so that none of them has to be seen alone.

use leptos::prelude::*;

/// Which shape and colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tone {
    /// Within: a ring with a tick.
    Within,
    /// Out: a triangle.
    Out,
    /// Not proven yet: an open square with a question mark.
    Open,
}

/// A verdict with one line under it.
#[component]
pub(crate) fn Verdict(
    /// Shape and colour.
    tone: Tone,
    /// The word.
    #[prop(into)]
    word: String,
    /// What it rests on.
    #[prop(optional, into)]
    detail: String,
) -> impl IntoView {
    let (class, shape) = match tone {
        Tone::Within => ("verdict verdict--within", view! { <circle cx="20" cy="20" r="16" /><path d="M12 21l6 6 11-13" /> }.into_any()),
        Tone::Out => ("verdict verdict--out", view! { <path d="M20 4l17 31H3z" /><path d="M20 15v10M20 30v.5" /> }.into_any()),
        Tone::Open => ("verdict verdict--open", view! { <path d="M5 5h30v30H5z" stroke-dasharray="6 4" /><path d="M15 16a5 5 0 1 1 5 6v3M20 29v.5" /> }.into_any()),
    };
    view! {
        <div class=class>
            <svg class="verdict__mark" viewBox="0 0 40 40" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="4" stroke-linecap="round" stroke-linejoin="round">{shape}</svg>
            <div>
                <span class="verdict__word">{word}</span>
                <span>{detail}</span>
            </div>
        </div>
    }
}
