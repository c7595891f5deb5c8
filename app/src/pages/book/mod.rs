//! The book: every trial and every change of a keyed-in number, newest first; notes; what is at odds.

mod entry;
mod history;

use crate::bridge::book::{AtOdds as AtOddsField, Item, Wanted, What, at_odds, items};
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

/// The book, one entry of it, or everything about one rig, trial or note.
#[component]
pub(crate) fn Book(
    /// The id of an entry or a document, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let Some(id) = id else { return view! { <List /> }.into_any() };
    match (id.parse::<EntryId>(), id.parse::<DocId>()) {
        (Ok(id), _) => view! { <entry::EntryPage id=id /> }.into_any(),
        (_, Ok(doc)) => view! { <history::History doc=doc /> }.into_any(),
        _ => view! { <crate::pages::nothing::Nothing /> }.into_any(),
    }
}

/// One line of a list, ready to be shown.
#[derive(Clone, Debug, PartialEq)]
struct Listed {
    /// The newest entry that it tells of.
    id: String,
    /// What was written.
    title: String,
    /// When, by whom, about which rig, why.
    more: String,
    /// Where it stands in full.
    href: String,
}

/// Lines as links, and a button for more of them. Only lines that are new are drawn anew.
#[component]
fn ListedRows(
    /// One more than are shown tells that there are more.
    #[prop(into)]
    rows: Signal<Vec<Listed>>,
    /// How many are shown.
    most: RwSignal<usize>,
) -> impl IntoView {
    let w = &words().book;
    let key = |row: &Listed| format!("{}|{}|{}", row.id, row.title, row.more);
    let row_view = |row: Listed| {
        view! {
            <li class="list__item" data-entry-id=row.id>
                <a class="list__link" href=row.href>
                    <span class="list__body">
                        <span class="list__title">{row.title}</span>
                        <span class="list__more">{row.more}</span>
                    </span>
                </a>
            </li>
        }
    };
    view! {
        <p hidden=move || !rows.read().is_empty()>{w.none_yet}</p>
        <ul class="list" hidden=move || rows.read().is_empty()>
            <For each=move || rows.get().into_iter().take(most.get()) key=key children=row_view />
        </ul>
        <Show when=move || { rows.read().len() > most.get() }>
            <button type="button" class="button button--wide" on:click=move |_| most.update(|n| *n += PAGE)>{w.more}</button>
        </Show>
    }
}

#[component]
fn List() -> impl IntoView {
    let ledger = ledger();
    let w = &words().book;
    let wanted = RwSignal::new("all".to_owned());
    let whose = RwSignal::new(String::new());
    let most = RwSignal::new(PAGE);
    let found = Memo::new(move |_| {
        let kind = match wanted.get().as_str() {
            "trials" => Wanted::Trials,
            "changes" => Wanted::Changes,
            "notes" => Wanted::Notes,
            _ => Wanted::All,
        };
        let rig: Option<DocId> = whose.get().parse().ok();
        let most = most.get() + 1;
        let items = ledger.book.with(|book| items(book, kind, rig.as_ref(), most));
        items.into_iter().map(listed).collect::<Vec<_>>()
    });
    let kinds = [("all", w.all), ("trials", w.trials), ("changes", w.changes), ("notes", w.notes)]
        .map(|(code, label)| (code.to_owned(), label.to_owned()))
        .to_vec();
    // Rigs that were taken off the list stay in the book.
    let rigs = Memo::new(move |_| {
        ledger.book.with(|book| {
            book.docs_of(&Kind::Rig)
                .into_iter()
                .map(|doc| {
                    (doc.id().to_string(), doc.text("name").unwrap_or(words().rigs.unnamed).to_owned())
                })
                .collect::<Vec<_>>()
        })
    });
    let options = move || {
        let option = |(id, name): (String, String)| view! { <option value=id>{name}</option> };
        rigs.get().into_iter().map(option).collect_view()
    };
    view! {
        <h1>{w.title}</h1>
        <div class="button-row">
            <a class="button" href=Route::AddsUp(None).to_hash()>{words().adds_up.ask}</a>
            <a class="button" href=Route::Closing(None).to_hash()>{words().closing.to_closing}</a>
        </div>
        <NoteForm />
        <AtOdds />
        <div class="filters">
            <Choice legend=w.show options=kinds chosen=wanted on_choose=move |code| wanted.set(code) />
            <div class="field">
                <label class="field__label" for="book-rig">{w.of}</label>
                <select class="field__select" id="book-rig" on:change=move |event| whose.set(event_target_value(&event))>
                    <option value="">{w.all_rigs}</option>
                    {options}
                </select>
            </div>
        </div>
        <ListedRows rows=found most=most />
    }
}

fn listed(item: Item) -> Listed {
    let w = &words().book;
    let because = match &item.because {
        Some(Reference::Doc(doc)) if doc.kind == Kind::Trial => Some(w.by_trial.to_owned()),
        Some(Reference::Doc(doc)) if doc.kind == Kind::Job => Some(words().closing.by_closing.to_owned()),
        Some(Reference::Doc(doc)) if doc.kind == Kind::Readings => {
            Some(words().adds_up.by_readings.to_owned())
        }
        _ if item.corrects.is_some() => Some(w.correction.to_owned()),
        _ if matches!(item.what, What::Change { .. }) => Some(w.typed.to_owned()),
        _ => None,
    };
    let by = (!item.by.is_empty()).then(|| item.by.clone());
    let since = item.corrected.then(|| w.corrected_since.to_owned());
    let removed = item.removed.then(|| w.removed.to_owned());
    let parts: Vec<String> =
        [Some(clock::local_minute(&item.at)), by, item.rig.as_ref().map(rig_name), because, since, removed]
            .into_iter()
            .flatten()
            .chain(item.water)
            .collect();
    let route = match item.what {
        What::Trial { .. } if !item.removed => Route::Trial(item.doc.to_string()),
        What::Closing { .. } if !item.removed => Route::Closing(Some(item.doc.to_string())),
        What::Readings(_) if !item.removed => Route::AddsUp(Some(item.doc.to_string())),
        What::Trial { .. } | What::Closing { .. } | What::Readings(_) => {
            Route::Book(Some(item.doc.to_string()))
        }
        What::Described { .. } | What::Drive(_) if item.n_entries > 1 => {
            Route::Book(Some(item.doc.to_string()))
        }
        _ => Route::Book(Some(item.entry.to_string())),
    };
    Listed {
        id: item.entry.to_string(),
        title: book::item_text(&item.what),
        more: parts.join(" · "),
        href: route.to_hash(),
    }
}

/// A note, about the rig at hand.
#[component]
fn NoteForm() -> impl IntoView {
    let (ledger, prefs) = (ledger(), prefs());
    let w = &words().book;
    let text = RwSignal::new(drafts::find(PLACE, "note").unwrap_or_default());
    let empty = RwSignal::new(false);
    let typed = move |event| {
        text.set(event_target_value(&event));
        empty.set(false);
        drafts::keep(PLACE, "note", &text.read_untracked());
    };
    let save = move |_| {
        let note = text.get_untracked();
        if note.trim().is_empty() {
            empty.set(true);
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
                <span class="field__problem" role="alert">{move || empty.get().then_some(words().problem.empty)}</span>
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
    let conflicts = Memo::new(move |_| ledger.book.with(at_odds));
    move || {
        conflicts
            .get()
            .into_iter()
            .map(|AtOddsField { doc, path, sides }| {
                let rig = if doc.kind == Kind::Rig { rig_name(&doc) } else { String::new() };
                let question = (w.at_odds)(&book::path_text(&doc.kind, &path), &rig);
                let buttons = sides
                    .into_iter()
                    .map(|(at, by, text)| {
                        let value = text.as_ref().map_or_else(
                            || w.cleared.to_owned(),
                            |text| book::value_text(&doc.kind, &path, text),
                        );
                        let label = (w.side)(&value, &clock::local_minute(&at), &by);
                        let (doc, path) = (doc.clone(), path.clone());
                        let choose = move |_| {
                            let mut draft = ledger.draft(&doc);
                            draft.set.insert(path.clone(), text.clone());
                            ledger.save_then(draft, |_| {});
                        };
                        view! { <button type="button" class="button" on:click=choose>{label}</button> }
                    })
                    .collect_view();
                view! {
                    <div class="caution">
                        <p>{question}</p>
                        <div class="button-row">{buttons}</div>
                    </div>
                }
            })
            .collect_view()
    }
}
