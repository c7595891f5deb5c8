//! Plain tables, lists of sentences and large figures, from texts. One view each for all screens: rows are data.

use leptos::prelude::*;

/// A table; the first cell of a row is its heading.
pub(crate) fn table(caption: &str, heads: &[&str], rows: Vec<Vec<String>>) -> AnyView {
    let heads = heads.iter().map(|head| view! { <th scope="col">{(*head).to_owned()}</th> }).collect_view();
    let rows = rows
        .into_iter()
        .map(|row| {
            let mut cells = row.into_iter();
            let first = cells.next().unwrap_or_default();
            let rest = cells.map(|cell| view! { <td>{cell}</td> }).collect_view();
            view! { <tr><th scope="row">{first}</th>{rest}</tr> }
        })
        .collect_view();
    view! {
        <table>
            <caption class="unseen">{caption.to_owned()}</caption>
            <thead><tr>{heads}</tr></thead>
            <tbody>{rows}</tbody>
        </table>
    }
    .into_any()
}

/// A table that scrolls inside its own frame where it is wider than the screen.
pub(crate) fn wide_table(caption: &str, heads: &[&str], rows: Vec<Vec<String>>) -> AnyView {
    view! {
        <div class="scroll" tabindex="0" role="group" aria-label=caption.to_owned()>{table(caption, heads, rows)}</div>
    }
    .into_any()
}

/// Sentences one below the other; nothing where there are none.
pub(crate) fn sentences(texts: Vec<String>) -> AnyView {
    if texts.is_empty() {
        return ().into_any();
    }
    view! { <ul class="findings">{texts.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul> }
        .into_any()
}

/// Large figures side by side: label, value, and what stands below it.
pub(crate) fn figures(figures: Vec<(String, String, String)>) -> AnyView {
    let figures = figures
        .into_iter()
        .map(|(label, value, more)| {
            view! {
                <div class="reading">
                    <span class="reading__label">{label}</span>
                    <span class="reading__value">{value}</span>
                    <span class="reading__more">{more}</span>
                </div>
            }
        })
        .collect_view();
    view! { <div class="readings">{figures}</div> }.into_any()
}
