//! Small drawings of our own for the navigation. Lines two units wide on a 24-unit square.

use leptos::prelude::*;

/// Which drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Icon {
    /// A boom from behind.
    Rig,
    /// A sheet with rows of figures.
    KeyIn,
    /// A jug under a nozzle.
    Prove,
    /// Bars between two ends.
    Reach,
    /// A boom whose ends get theirs later.
    Lag,
    /// A bound book.
    Book,
    /// Two sliders.
    Settings,
}

/// A drawing beside a word; says nothing to a screen reader.
#[component]
pub(crate) fn NavIcon(icon: Icon) -> impl IntoView {
    let path = match icon {
        Icon::Rig => {
            "M2 8h20M4 8v4M8 8v4M12 5v7M16 8v4M20 8v4M4 14l-2 6M4 14l2 6M12 14l-2 6M12 14l2 6M20 14l-2 6M20 14l2 6"
        }
        Icon::KeyIn => "M5 3h14v18H5zM8 8h4M15 8h1M8 12h4M15 12h1M8 16h4M15 16h1",
        Icon::Prove => {
            "M10 2h4M12 2v5M12 9v1M12 12v1M6 11v8a2 2 0 0 0 2 2h8a2 2 0 0 0 2-2v-8M6 16h5M18 13h2v4h-2"
        }
        Icon::Reach => "M3 4v16M21 4v16M3 7h12M8 12h13M5 17h12",
        Icon::Lag => "M2 6h20M12 2v4M4 10v3M8 10v6M12 10v11M16 10v6M20 10v3",
        Icon::Book => "M5 3h12a2 2 0 0 1 2 2v16H7a2 2 0 0 1-2-2zM5 18a2 2 0 0 1 2-2h12M9 7h6M9 11h6",
        Icon::Settings => "M4 7h9M17 7h3M15 5v4M4 17h3M11 17h9M9 15v4",
    };
    view! {
        <svg class="nav__icon" viewBox="0 0 24 24" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="2" stroke-linecap="round" stroke-linejoin="round">
            <path d=path />
        </svg>
    }
}
