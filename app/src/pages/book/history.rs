//! Everything that was ever written about one rig, trial or note, entry by entry, newest first. What the book tells in one
//! line stands here one by one.

use super::{Listed, ListedRows, PAGE};
use crate::bridge::book::before;
use crate::browser::clock;
use crate::pages::nothing::Nothing;
use crate::pages::rig_choice::rig_name;
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::text::{book, words};
use leptos::prelude::*;
use records::{Book, DocId, Entry, Kind};

/// An entry of no more fields than this is told field by field; the entry itself has them all.
const NAMED: usize = 4;

/// The history of a document.
#[component]
pub(super) fn History(
    /// The document.
    doc: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let w = &words().book;
    let here = ledger.book.with_untracked(|book| book.doc(&doc).is_some());
    if !here {
        return view! { <Nothing /> }.into_any();
    }
    let title = match doc.kind {
        Kind::Rig => rig_name(&doc),
        Kind::Trial => words().prove.title.to_owned(),
        Kind::Drive => words().pass.drive.to_owned(),
        Kind::Job => words().closing.title.to_owned(),
        Kind::Note => w.note.to_owned(),
        Kind::Readings => words().adds_up.title.to_owned(),
        _ => w.other.to_owned(),
    };
    let there = match doc.kind {
        Kind::Rig => Some((Route::Rig(doc.to_string()), words().frame.rig)),
        Kind::Trial => Some((Route::Trial(doc.to_string()), words().frame.prove)),
        Kind::Drive => Some((Route::Pass(Some(doc.to_string())), words().pass.link)),
        Kind::Job => Some((Route::Closing(Some(doc.to_string())), words().closing.title)),
        Kind::Readings => Some((Route::AddsUp(Some(doc.to_string())), words().adds_up.title)),
        _ => None,
    };
    let removed = ledger.book.with_untracked(|book| book.doc(&doc).is_some_and(records::Doc::is_removed));
    let there = there.filter(|_| !removed);
    let most = RwSignal::new(PAGE);
    let found = Memo::new(move |_| {
        let most = most.get() + 1;
        ledger.book.with(|book| {
            book.touching(&doc).into_iter().take(most).map(|entry| listed(book, entry)).collect::<Vec<_>>()
        })
    });
    view! {
        <h1>{title}</h1>
        <p>{w.everything}</p>
        <ListedRows rows=found most=most />
        <div class="button-row">
            <a class="button" href=Route::Book(None).to_hash()>{w.back}</a>
            {there.map(|(route, label)| view! { <a class="button" href=route.to_hash()>{label}</a> })}
        </div>
    }
    .into_any()
}

fn listed(found: &Book, entry: &Entry) -> Listed {
    let w = &words().book;
    let kind = &entry.doc.kind;
    let doc = found.doc(&entry.doc);
    let told = |path: &str, text: Option<&str>| {
        text.map_or_else(|| w.cleared.to_owned(), |text| book::value_text(kind, path, text))
    };
    let line = |(path, new): (&String, &Option<String>)| {
        let (what, new) = (book::path_text(kind, path), told(path, new.as_deref()));
        match doc.and_then(|doc| before(doc, path, entry.id)) {
            Some(old) => (w.change)(&what, &told(path, Some(&old)), &new),
            None => format!("{what}: {new}"),
        }
    };
    let title = match entry.set.len() {
        n if n <= NAMED => entry.set.iter().map(line).collect::<Vec<_>>().join("; "),
        n if *kind == Kind::Rig => (w.described)(n, entry.doc.begun_by == entry.id),
        n => (w.fields)(n),
    };
    Listed {
        id: entry.id.to_string(),
        title,
        more: (w.written)(&clock::local_minute(&entry.at), &entry.by),
        href: Route::Book(Some(entry.id.to_string())).to_hash(),
    }
}
