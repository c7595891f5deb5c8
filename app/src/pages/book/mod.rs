//! The book: every trial and every change of a keyed-in number, newest first; notes; what is at odds.

pub(crate) mod entry;

use crate::bridge::book::{Item, Wanted, What, items};
use crate::browser::clock;
use crate::components::choice::Choice;
use crate::pages::rig_choice::rig_name;
use crate::route::Route;
use crate::state::drafts;
use crate::state::ledger::ledger;
use crate::state::prefs::prefs;
use crate::text::{book, words};
use leptos::prelude::*;
use records::{DocId, EntryId, Kind, Reference};

const PLACE: &str = "book";
const PAGE: usize = 40;

/// The book, or one entry of it.
#[component]
pub(crate) fn Book(
    /// An entry's id, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let opened = id.as_deref().and_then(|id| id.parse::<EntryId>().ok());
    match (opened, id) {
        (Some(id), _) => view! { <entry::EntryPage id=id /> }.into_any(),
        (None, Some(_)) => view! { <crate::pages::nothing::Nothing /> }.into_any(),
        (None, None) => view! { <List /> }.into_any(),
    }
}

#[component]
fn List() -> impl IntoView {
    let (ledger, prefs) = (ledger(), prefs());
    let w = &words().book;
    let wanted = RwSignal::new("all".to_owned());
    let whose = RwSignal::new("all".to_owned());
    let most = RwSignal::new(PAGE);
    let found = Memo::new(move |_| {
        let kind = match wanted.get().as_str() {
            "trials" => Wanted::Trials,
            "changes" => Wanted::Changes,
            "notes" => Wanted::Notes,
            _ => Wanted::All,
        };
        let rig: Option<DocId> = match whose.get().as_str() {
            "this" => prefs.rig.get().and_then(|id| id.parse().ok()),
            _ => None,
        };
        // One more than is shown tells whether there are more.
        ledger.book.with(|book| items(book, kind, rig.as_ref(), most.get() + 1))
    });
    let kinds = [("all", w.all), ("trials", w.trials), ("changes", w.changes), ("notes", w.notes)]
        .map(|(code, label)| (code.to_owned(), label.to_owned()))
        .to_vec();
    let rigs = [("all", w.all_rigs), ("this", w.this_rig)]
        .map(|(code, label)| (code.to_owned(), label.to_owned()))
        .to_vec();
    let list = move || {
        let shown = found.get();
        if shown.is_empty() {
            return view! { <p>{w.none_yet}</p> }.into_any();
        }
        view! { <ul class="list">{shown.into_iter().take(most.get()).map(item_view).collect_view()}</ul> }
            .into_any()
    };
    view! {
        <h1>{w.title}</h1>
        <NoteForm />
        <AtOdds />
        <Choice legend=w.show options=kinds chosen=wanted on_choose=move |code| wanted.set(code) />
        <Choice legend=w.of options=rigs chosen=whose on_choose=move |code| whose.set(code) />
        {list}
        <Show when=move || { found.read().len() > most.get() }>
            <button type="button" class="button button--wide" on:click=move |_| most.update(|n| *n += PAGE)>{w.more}</button>
        </Show>
    }
}

fn item_view(item: Item) -> AnyView {
    let w = &words().book;
    let title = book::item_text(&item.what);
    let rig = item.rig.as_ref().map(rig_name);
    let because = match &item.because {
        Some(Reference::Doc(doc)) if doc.kind == Kind::Trial => Some(w.by_trial.to_owned()),
        _ if item.corrects.is_some() => Some(w.correction.to_owned()),
        _ => None,
    };
    let by = (!item.by.is_empty()).then(|| item.by.clone());
    let parts: Vec<String> = [Some(clock::local_minute(&item.at)), by, rig, because]
        .into_iter()
        .flatten()
        .chain(item.water)
        .collect();
    let href = match item.what {
        What::Trial { .. } => Route::Trial(item.doc.to_string()),
        _ => Route::Book(Some(item.entry.to_string())),
    };
    view! {
        <li class="list__item" data-entry-id=item.entry.to_string()>
            <a class="list__link" href=href.to_hash()>
                <span class="list__body">
                    <span class="list__title">{title}</span>
                    <span class="list__more">{parts.join(" · ")}</span>
                </span>
            </a>
        </li>
    }
    .into_any()
}

/// A note, about the rig at hand.
#[component]
fn NoteForm() -> impl IntoView {
    let (ledger, prefs) = (ledger(), prefs());
    let w = &words().book;
    let text = RwSignal::new(drafts::find(PLACE, "note").unwrap_or_default());
    let typed = move |event| {
        text.set(event_target_value(&event));
        drafts::keep(PLACE, "note", &text.read_untracked());
    };
    let save = move |_| {
        let note = text.get_untracked();
        if note.trim().is_empty() {
            return;
        }
        let mut draft = ledger.draft(Kind::Note).set("text", note.trim());
        if let Some(rig) = prefs.rig.get_untracked() {
            draft = draft.set("rig", rig);
        }
        // The box is free for the next note at once; the draft stays until this one is on disk.
        text.set(String::new());
        ledger.save_then(draft, move |_| {
            if text.read_untracked().is_empty() {
                drafts::drop(PLACE, "note");
            }
        });
    };
    view! {
        <div class="card">
            <div class="field">
                <label class="field__label" for="note">{w.note}</label>
                <textarea class="field__area" id="note" rows="2" prop:value=text on:input=typed></textarea>
            </div>
            <button type="button" class="button button--main" on:click=save>{w.save_note}</button>
        </div>
    }
}

/// Fields that two devices set without knowing of each other: both are kept, and somebody has to choose.
#[component]
fn AtOdds() -> impl IntoView {
    let ledger = ledger();
    let w = &words().book;
    let conflicts = Memo::new(move |_| {
        ledger.book.with(|book| {
            book.docs()
                .flat_map(|doc| {
                    doc.conflicts().into_iter().map(|field| {
                        let texts: Vec<Option<String>> =
                            field.current().iter().map(|setting| setting.text.map(str::to_owned)).collect();
                        (doc.id().clone(), field.path().to_owned(), texts)
                    })
                })
                .collect::<Vec<_>>()
        })
    });
    move || {
        conflicts
            .get()
            .into_iter()
            .map(|(doc, path, texts)| {
                let buttons = texts
                    .into_iter()
                    .map(|text| {
                        let (doc, at, chosen) = (doc.clone(), path.clone(), text.clone());
                        let choose = move |_| {
                            let mut draft = ledger.draft(&doc);
                            draft.set.insert(at.clone(), chosen.clone());
                            ledger.save_then(draft, |_| {});
                        };
                        let label =
                            text.map_or_else(|| w.cleared.to_owned(), |text| book::value_text(&path, &text));
                        view! { <button type="button" class="button" on:click=choose>{label}</button> }
                    })
                    .collect_view();
                view! {
                    <div class="caution">
                        <p>{(w.at_odds)(&book::path_text(&path))}</p>
                        <div class="button-row">{buttons}</div>
                    </div>
                }
            })
            .collect_view()
    }
}
