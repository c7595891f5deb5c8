//! One run at a time: the boxes of a run, and one press that saves all of them as one entry. What is half typed is kept.

use crate::bridge::trial::check::run_refused;
use crate::bridge::trial::standing::PRODUCTS;
use crate::components::choice::Choice;
use crate::components::field::{Field, Understood};
use crate::components::stopwatch::Stopwatch;
use crate::state::drafts;
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::{measure, problem, prove, words};
use leptos::prelude::*;
use records::FieldValue;
use records::fields::{FieldProblem, Holds, Measure, check};
use records::trial::{TrialKind, TrialView, read_quantity};
use std::collections::BTreeMap;

/// One box of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct RunField {
    /// Field behind `run.<key>.`.
    pub(super) name: &'static str,
    /// Visible label.
    pub(super) label: &'static str,
    /// Whether a run is no run without it.
    pub(super) needed: bool,
}

#[derive(Clone, Copy)]
struct Box1 {
    field: RunField,
    text: RwSignal<String>,
    unit: RwSignal<String>,
    /// Set once "Add run" found it empty.
    wanted: RwSignal<bool>,
}

impl Box1 {
    fn path(self) -> String {
        path_of(self.field.name)
    }

    fn value(self) -> FieldValue {
        let unit = self.unit.get();
        FieldValue {
            text: self.text.get().trim().to_owned(),
            unit: (!unit.is_empty()).then_some(unit),
            source: None,
        }
    }

    /// Keeps what stands in the box until its run is saved.
    fn keep(self, place: &str) {
        let value = untrack(|| self.value());
        let text = if value.text.is_empty() { String::new() } else { value.to_stored() };
        drafts::keep(place, &self.path(), &text);
    }

    fn problem(self, sheet: Sheet) -> Option<FieldProblem> {
        let value = self.value();
        if value.text.is_empty() {
            return None;
        }
        let path = self.path();
        let mut texts = BTreeMap::new();
        texts.insert(path.clone(), value.to_stored());
        (sheet.spec_of)(&path).and_then(|spec| check(spec, &path, &texts).err())
    }

    fn understood(self, sheet: Sheet, between: &Between) -> Understood {
        let value = self.value();
        let spec = (sheet.spec_of)(&self.path());
        if let Some((_, sentence)) = between.as_ref().filter(|(name, _)| *name == self.field.name) {
            return Understood { echo: String::new(), problem: sentence.clone() };
        }
        match (value.text.is_empty(), self.problem(sheet)) {
            (true, _) if self.wanted.get() && self.field.needed => {
                Understood { echo: String::new(), problem: words().problem.empty.to_owned() }
            }
            (true, _) => Understood::default(),
            (false, Some(p)) => {
                Understood { echo: String::new(), problem: problem::field_problem(&p, sheet.system) }
            }
            (false, None) => Understood {
                echo: spec.map(|spec| measure::echo(spec, &value)).unwrap_or_default(),
                problem: String::new(),
            },
        }
    }
}

/// What is wrong between boxes that each read well: the field it is told beside, and the sentence.
type Between = Option<(&'static str, String)>;

fn path_of(name: &str) -> String {
    format!("run.new.{name}")
}

/// What is wrong between the boxes.
fn between(boxes: &[Box1], kind: TrialKind, sheet: Sheet) -> Between {
    let filled = boxes.iter().map(|b| (b.path(), b.value())).filter(|(_, value)| !value.text.is_empty());
    let mut texts = BTreeMap::new();
    texts.extend(filled.map(|(path, value)| (path, value.to_stored())));
    let course = sheet.read(|doc| read_quantity(doc, "setup.course")?.ok()).flatten();
    let (field, error) = run_refused(kind, &texts, path_of, course.map(|typed| typed.value))?;
    Some((field, prove::refusal_text(&error)))
}

/// The boxes of one run and "Add run".
#[component]
pub(super) fn RunForm(
    /// What is read in a run.
    fields: Vec<RunField>,
    /// Which trial.
    kind: TrialKind,
    /// Whether the trial still waits for runs: then "Add run" is the main action of the screen.
    #[prop(into)]
    wanted: Signal<bool>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let place = sheet.id().to_string();
    // A wheel rolls alike out and back.
    let two_ways = kind == TrialKind::Course && fields.iter().all(|field| field.name != "taped");
    let boxes: Vec<Box1> = fields.into_iter().map(|field| open_box(field, kind, sheet, &place)).collect();
    let kept_direction = drafts::find(&place, &path_of("direction")).filter(|text| !text.is_empty());
    let direction = RwSignal::new(kept_direction.unwrap_or_else(|| next_direction(sheet)));
    let busy = RwSignal::new(false);
    let wrong_between = {
        let boxes = boxes.clone();
        Memo::new(move |_| between(&boxes, kind, sheet))
    };
    let add = {
        let boxes = boxes.clone();
        let place = place.clone();
        move |_| {
            let missing = untrack(|| boxes.iter().any(|b| b.field.needed && b.text.read().trim().is_empty()));
            let wrong = untrack(|| boxes.iter().any(|b| b.problem(sheet).is_some()));
            if busy.get_untracked() || wrong_between.read_untracked().is_some() {
                return;
            }
            if missing || wrong {
                boxes.iter().for_each(|b| b.wanted.set(true));
                return;
            }
            let mut draft = sheet.ledger.draft(sheet.id());
            let typed: Vec<FieldValue> = untrack(|| boxes.iter().map(|b| b.value()).collect());
            for (b, value) in boxes.iter().zip(&typed) {
                if !value.text.is_empty() {
                    draft.set.insert(format!("run.+.{}", b.field.name), Some(value.to_stored()));
                }
            }
            if two_ways {
                draft.set.insert("run.+.direction".to_owned(), Some(direction.get_untracked()));
            }
            let (boxes, place) = (boxes.clone(), place.clone());
            busy.set(true);
            sheet.ledger.save_then(draft, move |_| {
                for (b, saved) in boxes.iter().zip(typed) {
                    let now = b.text.try_get_untracked();
                    // Whoever types fast has begun the next run already: that stays. Without a page there is no text,
                    // and the draft goes all the same.
                    if now.is_none_or(|now| now.trim() == saved.text) {
                        drafts::drop(&place, &b.path());
                        b.wanted.try_set(false);
                        b.text.try_set(after_run(*b, kind));
                    }
                }
                drafts::drop(&place, &path_of("direction"));
                direction.try_set(next_direction(sheet));
                busy.try_set(false);
            });
        }
    };
    let views = boxes
        .iter()
        .map(|b| {
            let b = *b;
            let holds = (sheet.spec_of)(&b.path()).map(|spec| spec.holds);
            let units = match holds {
                Some(Holds::Quantity(of)) => measure::units_of(of),
                _ => Vec::new(),
            };
            let place = place.clone();
            let keep = Callback::new(move |()| b.keep(&place));
            view! {
                <Field
                    label=b.field.label
                    text=b.text
                    unit=b.unit
                    units=units
                    understood=Signal::derive(move || b.understood(sheet, &wrong_between.read()))
                    on_typed=keep
                    on_commit=keep
                />
            }
        })
        .collect_view();
    let stopwatch = boxes.iter().copied().find(|b| b.field.name == "seconds").map(|b| {
        let place = place.clone();
        let on_stop = move |seconds: f64| {
            b.text.set(seconds.to_string());
            b.unit.set("s".to_owned());
            b.keep(&place);
        };
        view! { <Stopwatch key=sheet.id().to_string() on_stop=on_stop /> }
    });
    let choose_direction = move |code: String| {
        drafts::keep(&place, &path_of("direction"), &code);
        direction.set(code);
    };
    let directions = vec![("out".to_owned(), w.out.to_owned()), ("back".to_owned(), w.back.to_owned())];
    view! {
        <section class="card run-form" aria-label=w.run>
            {stopwatch}
            <div class="fields">{views}</div>
            {two_ways.then(|| view! {
                <Choice legend=w.direction options=directions chosen=direction on_choose=choose_direction.clone() />
            })}
            <button type="button" class="button button--wide" class:button--main=wanted disabled=busy on:click=add>{w.add_run}</button>
        </section>
    }
}

fn open_box(field: RunField, kind: TrialKind, sheet: Sheet, place: &str) -> Box1 {
    let path = format!("run.new.{}", field.name);
    let kept =
        drafts::find(place, &path).filter(|text| !text.is_empty()).map(|text| FieldValue::from_stored(&text));
    let last = last_value(sheet, field.name);
    let usual = match (sheet.spec_of)(&path).map(|spec| spec.holds) {
        Some(Holds::Quantity(of)) => usual_unit(kind, field.name, of, sheet),
        _ => String::new(),
    };
    let unit = kept.as_ref().or(last.as_ref()).and_then(|value| value.unit.clone()).unwrap_or(usual);
    let b = Box1 {
        field,
        text: RwSignal::new(kept.map(|value| value.text).unwrap_or_default()),
        unit: RwSignal::new(unit),
        wanted: RwSignal::new(false),
    };
    if b.text.read_untracked().is_empty() {
        b.text.set(first_text(b, kind, sheet));
    }
    b
}

/// Small outputs want small units.
fn usual_unit(kind: TrialKind, name: &str, of: Measure, sheet: Sheet) -> String {
    let us = sheet.system == System::Us;
    let small = match (kind, name) {
        (TrialKind::Pump | TrialKind::Catch, "indicated" | "actual") => {
            Some(if us { "us_fl_oz" } else { "ml" })
        }
        (TrialKind::Standing, product) if PRODUCTS.contains(&product) => {
            Some(if us { "us_fl_oz" } else { "ml" })
        }
        (TrialKind::Pump, "output") => Some(if us { "us_fl_oz_per_min" } else { "ml_per_min" }),
        _ => None,
    };
    small.unwrap_or_else(|| measure::usual_unit(of, sheet.system)).to_owned()
}

/// The same field of the last run.
fn last_value(sheet: Sheet, name: &str) -> Option<FieldValue> {
    sheet.peek(|doc| TrialView::read(doc).runs.last().and_then(|run| run.value(name))).flatten()
}

/// What an empty box starts with: the next nozzle, and what the last run leaves.
fn first_text(b: Box1, kind: TrialKind, sheet: Sheet) -> String {
    match (kind, b.field.name) {
        (TrialKind::Catch, "nozzle") => {
            let n = sheet.peek(|doc| TrialView::read(doc).counting().count()).unwrap_or(0);
            (n + 1).to_string()
        }
        (kind, name) if stays(kind, name) => {
            last_value(sheet, name).map(|value| value.text).unwrap_or_default()
        }
        _ => String::new(),
    }
}

/// What stands in a box once its run is saved.
fn after_run(b: Box1, kind: TrialKind) -> String {
    let text = b.text.try_get_untracked().unwrap_or_default();
    match (kind, b.field.name) {
        (TrialKind::Catch, "nozzle") => {
            let n: u32 = text.trim().parse().unwrap_or(0);
            (n + 1).to_string()
        }
        (kind, name) if stays(kind, name) => text,
        _ => String::new(),
    }
}

/// What is usually the same in the next run.
fn stays(kind: TrialKind, name: &str) -> bool {
    matches!(
        (kind, name),
        (TrialKind::Catch, "seconds")
            | (TrialKind::Meter, "tare" | "temperature")
            | (TrialKind::Pump, "output")
    )
}

/// Out and back in turn.
fn next_direction(sheet: Sheet) -> String {
    let last = sheet.peek(|doc| {
        TrialView::read(doc).counting().last().and_then(|run| run.text("direction").map(str::to_owned))
    });
    if last.flatten().as_deref() == Some("out") { "back".to_owned() } else { "out".to_owned() }
}
