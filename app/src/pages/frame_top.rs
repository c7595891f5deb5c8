//! The top strip: the rig at hand, how saving goes, the way to the settings.

use crate::components::icon::{Icon, NavIcon};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::prefs::prefs;
use crate::text::words;
use leptos::prelude::*;
use records::{DocId, SaveState};

/// The top strip.
#[component]
pub(crate) fn FrameTop() -> impl IntoView {
    let (ledger, prefs) = (ledger(), prefs());
    let w = &words().frame;
    let rig_name = move || {
        let id: Option<DocId> = prefs.rig.get().and_then(|id| id.parse().ok());
        id.and_then(|id| ledger.book.with(|book| book.doc(&id)?.text("name").map(str::to_owned)))
    };
    let state = move || match ledger.state.get() {
        SaveState::Failed { n, .. } if n > 0 => (w.not_saved)(n),
        SaveState::Saving { .. } => w.saving.to_owned(),
        _ if ledger.any_saved.get() => w.saved.to_owned(),
        _ => String::new(),
    };
    let only_here = move || {
        let n = ledger.book.with(records::Book::len).saturating_sub(prefs.copied.get());
        if n == 0 { String::new() } else { (w.only_here)(n) }
    };
    let failed = move || matches!(*ledger.state.read(), SaveState::Failed { .. });
    view! {
        <header class="frame__top">
            <span class="frame__rig">{move || rig_name().unwrap_or_else(|| w.no_rig.to_owned())}</span>
            <span class="frame__kept">
                <span role="status" class:frame__kept--failed=failed>{state}</span>
                <a class="frame__copies" href=Route::Settings.to_hash() hidden=move || only_here().is_empty()>{only_here}</a>
            </span>
            <a class="frame__gear" href=Route::Settings.to_hash() aria-label=w.settings><NavIcon icon=Icon::Settings /></a>
        </header>
    }
}
