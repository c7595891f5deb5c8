//! The end of a trial: what came of it, who did it, opening it again, taking it off the list.

use super::result::verdict_view;
use crate::bridge::trial::outcome::verdict_from;
use crate::browser::address::go_to;
use crate::browser::clock;
use crate::components::field::{Field, Understood};
use crate::pages::adds_up::begin_from_trial;
use crate::route::Route;
use crate::state::prefs::prefs;
use crate::state::sheet::{Sheet, sheet};
use crate::text::words;
use leptos::prelude::*;
use records::trial::{Status, TrialView};
use records::{DocId, Field as DocPath};

/// Ends a trial with what it says now.
pub(super) fn conclude(sheet: Sheet, outcome: Vec<(String, String)>) {
    sheet.ledger.save_then(sheet.ledger.draft(sheet.id()).set_all(outcome), |_| {});
}

/// What came of the trial, as it was concluded then; nothing while it is open.
#[component]
pub(super) fn Ended() -> impl IntoView {
    let sheet = sheet();
    let kept = Memo::new(move |_| {
        let ended = sheet.read(|doc| {
            let view = TrialView::read(doc);
            let set = doc.field("status").and_then(DocPath::last)?;
            let of = |field: &str| view.outcome(field).unwrap_or_default().to_owned();
            let concluded = view.status == Status::Concluded;
            concluded.then(|| (set.entry.at.clone(), of("verdict"), of("action"), of("old"), of("new")))
        });
        ended.flatten()
    });
    let body = move || {
        let w = &words().prove;
        let (at, verdict, action, old, new) = kept.get()?;
        let on = clock::local_minute(&at);
        let sentence = if action == "taken" { (w.ended_taken)(&on, &old, &new) } else { (w.ended)(&on) };
        Some(match verdict_from(&verdict) {
            Some(verdict) => verdict_view(verdict, sentence),
            None => view! { <p>{sentence}</p> }.into_any(),
        })
    };
    view! { <div>{body}</div> }
}

/// Who writes on this device.
#[component]
pub(crate) fn Who() -> impl IntoView {
    let w = &words().prove;
    let understood = Signal::derive(Understood::default);
    view! { <Field label=w.who text=prefs().name understood=understood hint=w.who_hint words=true /> }
}

/// Open it again, or take it off the list; either is an entry, and nothing is lost by it.
#[component]
pub(super) fn Ways(
    /// The rig, to go back to its trials.
    rig: Option<DocId>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let closed = Memo::new(move |_| {
        sheet.read(|doc| TrialView::read(doc).status == Status::Concluded).unwrap_or(false)
    });
    let reopen = move |_| sheet.set_one("status", "open");
    let discard = move |_| {
        let back = Route::Prove(rig.as_ref().map(DocId::to_string));
        sheet.set([("removed".to_owned(), Some("yes".to_owned()))], move || go_to(&back));
    };
    view! {
        <div class="button-row">
            <button type="button" class="button" hidden=move || !closed.get() on:click=reopen>{w.reopen}</button>
            <button type="button" class="button" on:click=move |_| begin_from_trial(sheet.ledger, &sheet.id())>{words().adds_up.ask}</button>
            <a class="button button--quiet" href=Route::Book(Some(sheet.id().to_string())).to_hash()>{words().book.everything}</a>
            <button type="button" class="button button--quiet" on:click=discard>{w.discard}</button>
        </div>
    }
}
