//! One entry in full: what it set, what stood there before, who, when, why; and a correction, which keeps the original.

use crate::bridge::book::{Correction, Line, corrected, lines, problem_with};
use crate::browser::address::go_to;
use crate::browser::clock;
use crate::pages::nothing::Nothing;
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::sheet::System;
use crate::text::{book, problem, words};
use leptos::prelude::*;
use records::{DocId, Entry, EntryId, Kind, Reference};

/// An entry by its id.
#[component]
pub(crate) fn EntryPage(
    /// The entry.
    id: EntryId,
) -> impl IntoView {
    let ledger = ledger();
    let w = &words().book;
    let found = Memo::new(move |_| {
        ledger.book.with(|book| {
            let entry = book.entry(id)?.clone();
            let corrections: Vec<EntryId> = book.corrections_of(id).iter().map(|entry| entry.id).collect();
            Some((lines(book, &entry), entry, corrections))
        })
    });
    move || {
        let Some((lines, entry, corrections)) = found.get() else { return view! { <Nothing /> }.into_any() };
        let corrected = corrections
            .into_iter()
            .map(|id| view! { <li><a href=Route::Book(Some(id.to_string())).to_hash()>{w.corrected_by}</a></li> })
            .collect_view();
        view! {
            <h1>{w.entry}</h1>
            <p>{(w.written)(&clock::local_minute(&entry.at), &entry.by)}</p>
            <p class="list__more">{entry.id.to_string()}</p>
            {because_view(&entry)}
            <ul>{corrected}</ul>
            {lines.into_iter().map(|line| line_view(&entry, line)).collect_view()}
            <div class="button-row">
                <a class="button" href=Route::Book(None).to_hash()>{w.back}</a>
                <a class="button" href=Route::Book(Some(entry.doc.to_string())).to_hash()>{w.everything}</a>
            </div>
        }
        .into_any()
    }
}

fn because_view(entry: &Entry) -> Option<AnyView> {
    let w = &words().book;
    let (route, label) = match (&entry.because, entry.corrects) {
        (_, Some(corrects)) => (Route::Book(Some(corrects.to_string())), w.corrects),
        (Some(Reference::Doc(doc)), None) if doc.kind == Kind::Trial => {
            (Route::Trial(doc.to_string()), w.by_trial)
        }
        (Some(Reference::Doc(doc)), None) if doc.kind == Kind::Job => {
            (Route::Closing(Some(doc.to_string())), words().closing.by_closing)
        }
        (Some(Reference::Doc(doc)), None) if doc.kind == Kind::Readings => {
            (Route::AddsUp(Some(doc.to_string())), words().adds_up.by_readings)
        }
        (Some(Reference::Entry(other)), None) => (Route::Book(Some(other.to_string())), w.because),
        _ => return None,
    };
    Some(view! { <p><a href=route.to_hash()>{label}</a></p> }.into_any())
}

fn line_view(entry: &Entry, line: Line) -> AnyView {
    let w = &words().book;
    let kind = entry.doc.kind.clone();
    let shown = |text: &Option<String>| {
        text.as_ref().map_or_else(|| w.cleared.to_owned(), |t| book::value_text(&kind, &line.path, t))
    };
    let (title, new) = (book::path_text(&kind, &line.path), shown(&line.new));
    let old = line.old.is_some().then(|| (w.before)(&shown(&line.old)));
    let history = line
        .history
        .iter()
        .map(|(at, by, text)| {
            view! { <tr><td>{clock::local_minute(at)}</td><td>{by.clone()}</td><td>{shown(text)}</td></tr> }
        })
        .collect_view();
    let correction = match &line.correction {
        Correction::Typed => {
            let was = line.new.clone().unwrap_or_default();
            view! { <Correct doc=entry.doc.clone() id=entry.id path=line.path.clone() was=was title=title.clone() /> }
                .into_any()
        }
        Correction::Replaced(later) => {
            view! { <p><a href=Route::Book(Some(later.to_string())).to_hash()>{w.replaced}</a></p> }
                .into_any()
        }
        Correction::AtItsPlace => view! { <p class="list__more">{w.at_its_place}</p> }.into_any(),
    };
    view! {
        <section class="card">
            <h2>{title}</h2>
            <p class="reading__value">{new}</p>
            {old.map(|old| view! { <p>{old}</p> })}
            <details class="group">
                <summary>{w.history}</summary>
                <div class="scroll"><table><tbody>{history}</tbody></table></div>
            </details>
            {correction}
        </section>
    }
    .into_any()
}

/// A box for the right text. It is held against the rules of its field, and saved as an entry of its own.
#[component]
fn Correct(
    /// The document.
    doc: DocId,
    /// The entry that is put right.
    id: EntryId,
    /// What it set.
    path: String,
    /// The stored text that it set.
    was: String,
    /// What the path is called.
    title: String,
) -> impl IntoView {
    let ledger = ledger();
    let w = &words().book;
    let (kind, system) = (doc.kind.clone(), system_of(&doc));
    let text = RwSignal::new(crate::bridge::book::as_typed(&kind, &path, &was).0);
    let found = RwSignal::new(String::new());
    let save = move |_| {
        let typed = text.get_untracked().trim().to_owned();
        if typed.is_empty() {
            found.set(words().problem.empty.to_owned());
            return;
        }
        let stored = corrected(&kind, &path, &was, &typed);
        let wrong = ledger.book.with_untracked(|book| problem_with(book.doc(&doc)?, &path, &stored));
        if let Some(wrong) = wrong {
            found.set(problem::field_problem(&wrong, system));
            return;
        }
        if stored != was {
            let draft = ledger.draft(&doc).set(path.clone(), stored).correcting(id);
            ledger.save_then(draft, |record| go_to(&Route::Book(Some(record.id().to_string()))));
        }
    };
    view! {
        <details class="group">
            <summary>{w.correct}</summary>
            <p>{w.correct_hint}</p>
            <div class="field">
                <input
                    class="field__input field__input--words"
                    type="text"
                    autocomplete="off"
                    aria-label=(w.correct_label)(&title)
                    aria-invalid=move || (!found.read().is_empty()).to_string()
                    prop:value=text
                    on:input=move |event| {
                        text.set(event_target_value(&event));
                        found.set(String::new());
                    }
                />
                <span class="field__problem" role="alert">{found}</span>
            </div>
            <button type="button" class="button" on:click=save>{w.save_correction}</button>
        </details>
    }
}

/// The habit of the rig that a document is, or is about.
fn system_of(doc: &DocId) -> System {
    ledger().book.with_untracked(|book| {
        let about = || book.doc(doc)?.text("rig")?.parse::<DocId>().ok();
        let rig = if doc.kind == Kind::Rig { Some(doc.clone()) } else { about() };
        System::from_code(rig.and_then(|rig| book.doc(&rig)?.text("system")))
    })
}
