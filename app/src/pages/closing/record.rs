//! The record of a day on paper: what was read, how well, and what was known beforehand. What came of it is printed from
//! the screen.

use super::Said;
use super::said::prior_lines;
use crate::bridge::closing::readings::way_of;
use crate::state::prefs::prefs;
use crate::state::sheet::sheet;
use crate::text::{book, closing as told, words};
use leptos::prelude::*;
use records::closing::DayView;
use records::{Doc, Kind};

/// Everything that was read, as a table for the printer.
#[component]
pub(super) fn Record(
    /// What the day says.
    closing: Said,
    /// What each pump carries.
    products: StoredValue<Vec<String>>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().closing;
    let head = move || {
        let of = |doc: &Doc| {
            let at = doc.begun().map(|entry| told::day_text(&entry.at));
            [
                doc.text("name").map(str::to_owned),
                at,
                Some(prefs().name.get()),
                doc.text("note").map(str::to_owned),
            ]
        };
        let parts = sheet.read(of).into_iter().flatten().flatten().filter(|part| !part.is_empty());
        parts.collect::<Vec<_>>().join(" · ")
    };
    let rows = move || {
        let rows = sheet.read(|doc| products.with_value(|products| rows(doc, products))).unwrap_or_default();
        let cells = |row: [String; 4]| {
            let [first, rest @ ..] = row;
            view! { <tr><th scope="row">{first}</th>{rest.map(|cell| view! { <td>{cell}</td> })}</tr> }
        };
        rows.into_iter().map(cells).collect_view()
    };
    let before = move || {
        let names = closing.read().as_ref().map(|c| c.priors.iter().map(|p| p.ratio).collect::<Vec<_>>());
        let names = products.with_value(|products| {
            names.unwrap_or_default().into_iter().map(|r| told::ratio_text(r, products)).collect::<Vec<_>>()
        });
        let lines = prior_lines(closing).into_iter().zip(names);
        lines.map(|((line, _), name)| view! { <p>{format!("{name}: {line}")}</p> }).collect_view()
    };
    view! {
        <section class="closing__record" aria-label=w.readings>
            <p><strong>{head}</strong></p>
            <table>
                <thead><tr>
                    <th scope="col">{w.of}</th><th scope="col">{w.loaded}</th>
                    <th scope="col">{w.left}</th><th scope="col">{w.console}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
            <h2>{w.priors}</h2>
            {before}
        </section>
    }
}

/// What of, loaded or known, left over, console; each as typed.
fn rows(doc: &Doc, products: &[String]) -> Vec<[String; 4]> {
    let w = &words().closing;
    let text = |path: String| {
        let typed = doc.text(&path).map(|stored| book::value_text(&Kind::Job, &path, stored));
        let give = doc
            .text(&format!("{path}.give"))
            .map(|stored| book::value_text(&Kind::Job, &format!("{path}.give"), stored));
        match (typed, give) {
            (None, _) => String::new(),
            (Some(typed), Some(give)) => format!("{typed} ±\u{a0}{give}"),
            (Some(typed), None) => format!("{typed}, {}", (w.way)(way_of(doc, &path).code)),
        }
    };
    let mut rows = Vec::new();
    for (idx, job) in DayView::read(doc).jobs.iter().enumerate() {
        let at = |field: &str| format!("job.{}.{field}", job.key);
        let name = doc.text(&at("name")).map_or_else(|| (w.job)(idx + 1), str::to_owned);
        let ground = if doc.text(&at("by")) == Some("strip") {
            [text(at("length")), text(at("width"))].join(" × ")
        } else {
            text(at("area"))
        };
        let shown = [text(at("shown_area")), text(at("shown_distance"))];
        let shown = shown.into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join("; ");
        rows.push([name, ground, String::new(), shown]);
        for (number, load) in job.loads.iter().enumerate() {
            let mut row = |path: String, liquid: &str| {
                let of = |field: &str| text(at(&format!("load.{load}.{path}.{field}")));
                let [loaded, left, shown] = ["loaded", "left", "shown"].map(of);
                if ![&loaded, &left, &shown].iter().all(|t| t.is_empty()) {
                    rows.push([format!("{}: {liquid}", (w.load)(number + 1)), loaded, left, shown]);
                }
            };
            row("carrier".to_owned(), w.carrier);
            for (pump, product) in products.iter().enumerate() {
                row(format!("product.{}", pump + 1), &(w.pump)(pump + 1, product));
            }
        }
    }
    rows
}
