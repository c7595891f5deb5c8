//! Windows from all sections to the narrowest one alone.

use super::shown::In;
use crate::components::table::wide_table;
use crate::text::{reach as told, words};
use calc::reach::sections::CountWindow;
use leptos::prelude::*;

/// One row for each number of sections.
pub(super) fn by_count(counts: &[CountWindow], shown_in: In) -> AnyView {
    let w = &words().reach;
    if counts.is_empty() {
        return view! { <p>{w.no_width}</p> }.into_any();
    }
    let window = |window| told::window_short(window, shown_in.speed);
    let rows = counts
        .iter()
        .map(|count| {
            vec![count.n_on.to_string(), window(&count.narrowest.window), window(&count.widest.window)]
        })
        .collect();
    wide_table(w.by_sections, &[w.sections, w.narrowest, w.widest], rows)
}
