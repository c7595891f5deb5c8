//! The runs so far: each as it was typed, taken out or put back with one press. Nothing is deleted.

use super::run_form::RunField;
use crate::state::sheet::sheet;
use crate::text::{measure, words};
use leptos::prelude::*;
use records::FieldValue;
use records::fields::{Holds, Measure};
use records::trial::{Status, TrialKind, TrialView};

/// One row.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    key: String,
    number: usize,
    removed: bool,
    cells: Vec<String>,
}

/// The runs, each with its readings and the press that takes it out of the count or puts it back.
#[component]
pub(super) fn Runs(
    /// What is read in a run.
    fields: Signal<Vec<RunField>>,
    /// Which trial.
    kind: TrialKind,
    /// What stands behind a run, by its number: how far it is off.
    #[prop(optional, into)]
    beside: Signal<Vec<(usize, String)>>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    // Boxes that may stay empty get no column while they all are.
    let used = Memo::new(move |_| {
        let fields = fields.get();
        let used = sheet.read(|doc| {
            let view = TrialView::read(doc);
            let has = |field: &RunField| {
                field.needed || view.runs.iter().any(|run| run.value(field.name).is_some())
            };
            fields.iter().copied().filter(has).collect::<Vec<_>>()
        });
        used.unwrap_or_default()
    });
    let rows = Memo::new(move |_| {
        sheet
            .read(|doc| {
                let view = TrialView::read(doc);
                view.runs
                    .iter()
                    .enumerate()
                    .map(|(idx, run)| Row {
                        key: run.key.to_owned(),
                        number: idx + 1,
                        removed: run.removed,
                        cells: used.read().iter().map(|f| cell(f.name, run.value(f.name))).collect(),
                    })
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    let open =
        Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status == Status::Open).unwrap_or(false));
    let heading = if kind == TrialKind::Catch { w.catches } else { w.runs };
    let switch = move |key: String, removed: bool| {
        let text = (!removed).then(|| "yes".to_owned());
        sheet.set([(format!("run.{key}.removed"), text)], || {});
    };
    let row_view = move |row: Row| {
        let Row { key, number, removed, cells } = row;
        let label = if removed { (w.put_back)(number) } else { (w.take_out)(number) };
        let off = beside.read().iter().find(|(n, _)| *n == number).map(|(_, text)| text.clone());
        let read = used.get().into_iter().zip(cells).filter(|(_, text)| !text.is_empty());
        let readings = read.map(|(field, text)| {
            view! { <span class="run__reading">{field.label}" "<b>{text}</b></span> }
        });
        view! {
            <li class="list__item run">
                <span class="run__number">{number}</span>
                <span class="run__readings figure" class:run__readings--out=removed>{readings.collect_view()}</span>
                <b class="run__off figure">{off}</b>
                {open.get().then(|| view! {
                    <button type="button" class="button button--quiet" on:click=move |_| switch(key.clone(), removed)>{label}</button>
                })}
            </li>
        }
    };
    move || {
        let rows = rows.get();
        if rows.is_empty() {
            return ().into_any();
        }
        view! {
            <h2>{heading}</h2>
            <ol class="list">{rows.into_iter().map(row_view).collect_view()}</ol>
        }
        .into_any()
    }
}

/// As typed, with the unit that stood beside it; empty where nothing was read.
fn cell(name: &str, value: Option<FieldValue>) -> String {
    let Some(value) = value else { return String::new() };
    if name == "direction" {
        let w = &words().prove;
        return if value.text == "back" { w.back } else { w.out }.to_owned();
    }
    let spec = records::trial::spec_of(&format!("run.new.{name}"));
    let measure = match spec.map(|spec| spec.holds) {
        Some(Holds::Quantity(measure)) => measure,
        _ => Measure::Number,
    };
    match &value.unit {
        Some(code) if value.text.bytes().all(|b| !b.is_ascii_alphabetic()) => {
            format!("{}\u{a0}{}", value.text, measure::symbol_of(measure, code))
        }
        _ => value.text,
    }
}
