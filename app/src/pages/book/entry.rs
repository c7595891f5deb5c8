//! One entry in full: what it set, what stood there before, who, when, why; and a correction, which keeps the original.

use crate::bridge::book::before;
use crate::browser::address::go_to;
use crate::browser::clock;
use crate::pages::nothing::Nothing;
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::text::{book, words};
use leptos::prelude::*;
use records::{Entry, EntryId, FieldValue, Kind, Reference};

/// One thing that the entry set.
#[derive(Clone, Debug, PartialEq)]
struct Line {
    path: String,
    new: Option<String>,
    old: Option<String>,
    history: Vec<(String, String, Option<String>)>,
}

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
            let doc = book.doc(&entry.doc)?;
            let lines = entry
                .set
                .iter()
                .map(|(path, new)| Line {
                    path: path.clone(),
                    new: new.clone(),
                    old: before(doc, path, id),
                    history: doc
                        .field(path)
                        .map(|field| {
                            field
                                .history()
                                .map(|s| (s.entry.at.clone(), s.entry.by.clone(), s.text.map(str::to_owned)))
                                .collect()
                        })
                        .unwrap_or_default(),
                })
                .collect::<Vec<_>>();
            let corrections: Vec<EntryId> = book.corrections_of(id).iter().map(|entry| entry.id).collect();
            Some((entry, lines, corrections))
        })
    });
    move || {
        let Some((entry, lines, corrections)) = found.get() else { return view! { <Nothing /> }.into_any() };
        let because = because_view(&entry);
        let corrected = corrections
            .into_iter()
            .map(|id| view! { <li><a href=Route::Book(Some(id.to_string())).to_hash()>{w.corrected_by}</a></li> })
            .collect_view();
        view! {
            <h1>{w.entry}</h1>
            <p>{(w.written)(&clock::local_minute(&entry.at), &entry.by)}</p>
            <p class="list__more">{entry.id.to_string()}</p>
            {because}
            <ul>{corrected}</ul>
            {lines.into_iter().map(|line| line_view(&entry, line)).collect_view()}
            <p><a class="button" href=Route::Book(None).to_hash()>{w.back}</a></p>
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
        (Some(Reference::Entry(other)), None) => (Route::Book(Some(other.to_string())), w.because),
        _ => return None,
    };
    Some(view! { <p><a href=route.to_hash()>{label}</a></p> }.into_any())
}

fn line_view(entry: &Entry, line: Line) -> AnyView {
    let ledger = ledger();
    let w = &words().book;
    let shown = |text: &Option<String>| {
        text.as_ref().map_or_else(|| w.cleared.to_owned(), |t| book::value_text(&line.path, t))
    };
    let (title, new, old) =
        (book::path_text(&line.path), shown(&line.new), line.old.is_some().then(|| shown(&line.old)));
    let typed = line.new.clone().unwrap_or_default();
    let is_typed = typed.matches(';').count() >= 2 && !line.path.contains("note") && line.path != "text";
    let text = RwSignal::new(if is_typed { FieldValue::from_stored(&typed).text } else { typed.clone() });
    let (doc, id, path) = (entry.doc.clone(), entry.id, line.path.clone());
    let correct = move |_| {
        let typed_now = text.get_untracked().trim().to_owned();
        let stored = if is_typed {
            FieldValue { text: typed_now, ..FieldValue::from_stored(&typed) }.to_stored()
        } else {
            typed_now
        };
        if stored == typed {
            return;
        }
        let draft = ledger.draft(&doc).set(path.clone(), stored).correcting(id);
        ledger.save_then(draft, |record| go_to(&Route::Book(Some(record.id().to_string()))));
    };
    let history = line
        .history
        .into_iter()
        .map(|(at, by, text)| {
            let text = text.map_or_else(|| w.cleared.to_owned(), |t| book::value_text(&line.path, &t));
            view! { <tr><td>{clock::local_minute(&at)}</td><td>{by}</td><td>{text}</td></tr> }
        })
        .collect_view();
    let label = (w.correct_label)(&title);
    view! {
        <section class="card">
            <h2>{title}</h2>
            <p class="reading__value">{new}</p>
            {old.map(|old| view! { <p>{(w.before)(&old)}</p> })}
            <details class="group">
                <summary>{w.history}</summary>
                <table><tbody>{history}</tbody></table>
            </details>
            <details class="group">
                <summary>{w.correct}</summary>
                <p>{w.correct_hint}</p>
                <div class="field">
                    <input class="field__input field__input--words" type="text" aria-label=label prop:value=text on:input=move |e| text.set(event_target_value(&e)) />
                </div>
                <button type="button" class="button" on:click=correct>{w.save_correction}</button>
            </details>
        </section>
    }
    .into_any()
}
