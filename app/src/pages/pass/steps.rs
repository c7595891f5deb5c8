//! The manoeuvres of a drive: added, filled in, put earlier or later, taken out.

use crate::bridge::drive::ready::{Pace, in_order, place_for_new};
use crate::bridge::drive::{PassProblem, StepProblem, driven};
use crate::bridge::rig::rig_of;
use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::state::drafts;
use crate::state::sheet::{Sheet, sheet};
use crate::text::pass::{length_text, step_problem, time_text};
use crate::text::plumbing::Shown;
use crate::text::{book, words};
use leptos::prelude::*;
use records::drive::{DriveView, StepKind, StepView};
use records::rig::RigView;
use records::{Doc, DocId, Kind};
use units::{Duration, Length};

/// One step as it stands in the list.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    key: String,
    kind: Option<StepKind>,
    title: String,
    begins: String,
}

/// What stands in a step's line.
fn title(place: usize, step: &StepView) -> String {
    let w = &words().pass;
    let name = step.kind.map_or(w.unknown_kind, w.kind);
    let typed = step.kind.map_or(&[] as &[&str], StepKind::fields);
    let told: Vec<String> = typed
        .iter()
        .filter_map(|field| {
            let text = book::value_text(&Kind::Drive, &step.path(field), step.text(field)?);
            Some(if *field == "presses" { format!("{text}×") } else { text })
        })
        .collect();
    let what = if told.is_empty() { name.to_owned() } else { format!("{name}: {}", told.join(", ")) };
    (w.step)(place + 1, &what)
}

/// The title of a step of the drive on the sheet, by its key.
pub(super) fn title_of(sheet: Sheet, key: &str) -> Option<String> {
    let find = |doc: &Doc| {
        let view = DriveView::read(doc);
        view.steps.iter().position(|step| step.key == key).map(|place| title(place, &view.steps[place]))
    };
    sheet.read(find).flatten()
}

/// What the list shows: its rows, what it adds up to, what is wrong.
#[derive(Clone, Debug, Default, PartialEq)]
struct Listed {
    rows: Vec<Row>,
    total: String,
    problem: Option<StepProblem>,
}

/// The steps, and a way to add one.
#[component]
pub(super) fn Steps(
    /// What the rig says about speeds and units.
    pace: Pace,
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().pass;
    let shown_in = Shown::of(pace.system);
    let listed = Memo::new(move |_| {
        sheet.ledger.book.with(|book| {
            let (rig, drive) = (book.doc(&rig)?, book.doc(&sheet.id())?);
            Some(list(&DriveView::read(drive), &RigView::read(rig), shown_in))
        })
    });
    let rows =
        Memo::new(move |_| listed.read().as_ref().map(|listed| listed.rows.clone()).unwrap_or_default());
    let problem = Memo::new(move |_| listed.read().as_ref().and_then(|listed| listed.problem.clone()));
    let total = move || listed.read().as_ref().map(|listed| listed.total.clone()).unwrap_or_default();
    let opened = RwSignal::new(None::<String>);
    view! {
        <h2>{w.drive}</h2>
        <p class="field__hint">{total}</p>
        <ol class="pass__steps">
            <For each=move || rows.get() key=|row| row.key.clone() let(row)>
                <Step key=row.key kind=row.kind rows=rows problem=problem opened=opened shown_in=shown_in />
            </For>
        </ol>
        <Add pace=pace opened=opened />
    }
    .into_any()
}

fn list(view: &DriveView, rig: &RigView, shown_in: Shown) -> Listed {
    let driven = driven(view, &rig_of(rig));
    let begins = |place: usize| {
        let found = driven.as_ref().ok().and_then(|driven| driven.begins.get(place));
        found.map(|(length, time): &(Length, Duration)| {
            (words().pass.begins)(&length_text(*length, shown_in), &time_text(*time))
        })
    };
    let rows = view.steps.iter().enumerate().map(|(place, step)| Row {
        key: step.key.to_owned(),
        kind: step.kind,
        title: title(place, step),
        begins: begins(place).unwrap_or_default(),
    });
    Listed {
        rows: rows.collect(),
        total: driven.as_ref().map_or_else(
            |_| String::new(),
            |driven| {
                let (length, time) = (driven.drive.length(), driven.drive.lasts());
                (words().pass.steps)(view.steps.len(), &length_text(length, shown_in), &time_text(time))
            },
        ),
        problem: match driven {
            Err(PassProblem::Step(problem)) => Some(problem),
            _ => None,
        },
    }
}

/// One step: a line that opens to its boxes.
#[component]
fn Step(
    /// Its key.
    key: String,
    /// What is done.
    kind: Option<StepKind>,
    /// All steps.
    rows: Memo<Vec<Row>>,
    /// What is wrong with one of them.
    problem: Memo<Option<StepProblem>>,
    /// The step that was added last.
    opened: RwSignal<Option<String>>,
    /// Units.
    shown_in: Shown,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().pass;
    let place = drafts_place(sheet);
    let half_typed = drafts::any_below(&place, &format!("step.{key}."));
    let open = half_typed || opened.read_untracked().as_deref() == Some(&key);
    let was_opened = RwSignal::new(open);
    let key = StoredValue::new(key);
    let row = move || key.with_value(|key| rows.read().iter().find(|row| row.key == *key).cloned());
    let title = Signal::derive(move || row().map(|row| row.title).unwrap_or_default());
    let here = move || problem.get().filter(|problem| key.with_value(|key| problem.key == *key));
    let told = move |field: &'static str| {
        move || {
            let found = here().filter(|problem| problem.field == field);
            found.map(|problem| step_problem(&problem, shown_in)).unwrap_or_default()
        }
    };
    let move_by = move |earlier: bool| {
        let mut keys: Vec<String> = rows.read_untracked().iter().map(|row| row.key.clone()).collect();
        let at = key.with_value(|key| keys.iter().position(|other| other == key));
        let Some(at) = at else { return };
        let to = if earlier { at.checked_sub(1) } else { (at + 1 < keys.len()).then_some(at + 1) };
        if let Some(to) = to {
            keys.swap(at, to);
            sheet.set(in_order(keys.iter().map(String::as_str)), || {});
        }
    };
    let at = move |name: &str| key.with_value(|key| format!("step.{key}.{name}"));
    let take_out = move |_| sheet.set_one(at("removed"), "yes");
    let is_first = move || rows.read().first().is_some_and(|row| key.with_value(|key| row.key == *key));
    let is_last = move || rows.read().last().is_some_and(|row| key.with_value(|key| row.key == *key));
    let fields = move || {
        let boxes = kind.map_or(&[] as &[&'static str], StepKind::fields);
        boxes
            .iter()
            .map(|field| {
                let (label, hint) = (w.field)(kind, field);
                view! {
                    <div>
                        <DocField path=at(field) label=label hint=hint />
                        <p class="field__problem" role="alert">{told(field)}</p>
                    </div>
                }
                .into_any()
            })
            .collect_view()
    };
    let body = move || {
        was_opened.get().then(|| {
            view! {
                <p class="field__hint">{move || row().map(|row| row.begins)}</p>
                <p class="field__problem" role="alert">{told("")}</p>
                <div class="fields">{fields()}</div>
                {(kind == Some(StepKind::Stop)).then(|| boom_choice(sheet, at("boom")))}
                <div class="button-row">
                    <button type="button" class="button" disabled=is_first aria-label=move || (w.up)(&title.read()) on:click=move |_| move_by(true)>{w.up_face}</button>
                    <button type="button" class="button" disabled=is_last aria-label=move || (w.down)(&title.read()) on:click=move |_| move_by(false)>{w.down_face}</button>
                    <button type="button" class="button button--quiet" aria-label=move || (w.take_out)(&title.read()) on:click=take_out>{w.take_out_face}</button>
                </div>
            }
        })
    };
    view! {
        <li>
            <details class="pass__step" class:pass__step--wrong=move || here().is_some() open=open on:toggle=move |_| was_opened.set(true)>
                <summary>{title}</summary>
                {body}
            </details>
        </li>
    }
    .into_any()
}

fn drafts_place(sheet: Sheet) -> String {
    sheet.id().to_string()
}

/// Whether the boom is off while the rig stands.
fn boom_choice(sheet: Sheet, path: String) -> AnyView {
    let w = &words().pass;
    let stored = sheet.text(path.clone());
    let chosen = Signal::derive(move || stored.get().unwrap_or_else(|| "off".to_owned()));
    let options = vec![("off".to_owned(), w.boom_off.to_owned()), ("on".to_owned(), w.boom_on.to_owned())];
    view! { <Choice legend=w.boom options=options chosen=chosen on_choose=move |code| sheet.set_one(path.clone(), code) /> }
        .into_any()
}

/// Which manoeuvre to add.
#[component]
fn Add(
    /// What the rig says about speeds and units.
    pace: Pace,
    /// Told the key of the step that was added.
    opened: RwSignal<Option<String>>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().pass;
    let chosen = RwSignal::new(StepKind::Steady.code().to_owned());
    let add = move |_| {
        let Some(kind) = StepKind::from_code(&chosen.read_untracked()) else { return };
        let found = sheet.peek(|doc| place_for_new(&DriveView::read(doc), kind));
        let Some((order, moved)) = found else { return };
        let mut draft = sheet.ledger.draft(sheet.id()).set_all(pace.step("+", order, kind));
        draft.set.extend(moved);
        sheet.ledger.save_then(draft, move |record| {
            // The page may be gone by then.
            opened.try_set(Some(record.id().to_string()));
        });
    };
    let options = StepKind::ALL
        .iter()
        .map(|kind| {
            let code = kind.code();
            view! { <option value=code selected=move || *chosen.read() == code>{(w.kind)(*kind)}</option> }
        })
        .collect_view();
    view! {
        <div class="pass__add">
            <label class="field__label" for="pass-add">{w.what_next}</label>
            <select id="pass-add" class="field__select" on:change=move |event| chosen.set(event_target_value(&event)) prop:value=chosen>
                {options}
            </select>
            <button type="button" class="button button--main" on:click=add>{w.add}</button>
        </div>
    }
    .into_any()
}
