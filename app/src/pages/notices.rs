//! Notices above a screen: what is not saved, what cannot be read, another tab's newer version, an update that waits.

use crate::browser::offline::Offline;
use crate::route::Route;
use crate::state::ledger::{Closed, ledger};
use crate::text::words;
use leptos::prelude::*;
use records::{Reason, SaveProblem, SaveState};

/// Everything that has to be said whatever the screen is.
#[component]
pub(crate) fn Notices() -> impl IntoView {
    let ledger = ledger();
    let w = &words().notice;
    let bad = |text: String, more: AnyView| {
        view! { <div class="frame__notice frame__notice--bad" role="alert"><p>{text}</p>{more}</div> }
    };
    let to_copies =
        || view! { <a class="button" href=Route::Settings.to_hash()>{w.to_export}</a> }.into_any();
    let closed = move || {
        ledger.closed.get().map(|closed| match closed {
            Closed::NewerRecords => bad(w.newer.to_owned(), ().into_any()),
            Closed::NewerTab => bad(w.outdated.to_owned(), ().into_any()),
            Closed::NoJournal => bad(w.storage_blocked.to_owned(), to_copies()),
        })
    };
    let failing = move || match ledger.state.get() {
        SaveState::Failed { problem, .. } if ledger.closed.get().is_none() => {
            let text = if problem == SaveProblem::Full { w.storage_full } else { w.storage_failed };
            let retry = move |_| ledger.retry();
            let more = view! {
                <button type="button" class="button" on:click=retry>{words().frame.retry}</button>
                {to_copies()}
            };
            Some(bad(text.to_owned(), more.into_any()))
        }
        _ => None,
    };
    let shelf_full = move || ledger.shelf_full.get().then(|| bad(w.shelf_full.to_owned(), to_copies()));
    let damaged = move || {
        let count = ledger
            .set_aside
            .read()
            .iter()
            .filter(|aside| !matches!(aside.reason, Reason::Newer { .. }))
            .count();
        let more =
            || view! { <a class="button" href=Route::Settings.to_hash()>{w.to_set_aside}</a> }.into_any();
        (count > 0).then(|| bad((w.set_aside)(count), more()))
    };
    let offline: Offline = expect_context();
    let update = move || {
        offline.update_waiting.get().then(|| {
            view! {
                <div class="frame__notice" role="status">
                    <p>{words().frame.update_waiting}</p>
                    <button type="button" class="button" on:click=move |_| offline.apply_update()>{words().frame.update_now}</button>
                </div>
            }
        })
    };
    view! {
        {update}
        {closed}
        {failing}
        {shelf_full}
        {damaged}
    }
}
