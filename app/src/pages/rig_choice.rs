//! Which rig a screen is about: the one in the address, else the one last looked at, else the user is asked.

use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::prefs::prefs;
use crate::text::words;
use leptos::prelude::*;
use records::{DocId, Kind};

/// The rig in the address or the one last looked at, if it is on the list.
pub(crate) fn rig_at_hand(in_address: Option<&str>) -> Option<DocId> {
    let prefs = prefs();
    let id: DocId = in_address.map(str::to_owned).or_else(|| prefs.rig.get_untracked())?.parse().ok()?;
    let here = ledger().book.with_untracked(|book| book.doc(&id).is_some_and(|doc| !doc.is_removed()));
    if !here || id.kind != Kind::Rig {
        return None;
    }
    prefs.rig.set(Some(id.to_string()));
    Some(id)
}

/// Name of a rig, or what stands for it.
pub(crate) fn rig_name(id: &DocId) -> String {
    let name =
        ledger().book.with_untracked(|book| book.doc(id).and_then(|doc| doc.text("name").map(str::to_owned)));
    name.unwrap_or_else(|| words().rigs.unnamed.to_owned())
}

/// The rigs, each leading to the same screen about it.
#[component]
pub(crate) fn RigChoice(
    /// Heading of the screen.
    title: &'static str,
    /// The screen's route for a rig.
    route: fn(String) -> Route,
) -> impl IntoView {
    let ledger = ledger();
    let list = move || {
        let rigs: Vec<DocId> = ledger.book.with(|book| {
            book.docs_of(&Kind::Rig)
                .into_iter()
                .filter(|doc| !doc.is_removed())
                .map(|doc| doc.id().clone())
                .collect()
        });
        if rigs.is_empty() {
            return view! {
                <p>{words().rigs.none_yet}</p>
                <p><a class="button button--main" href=Route::Rigs.to_hash()>{words().frame.to_rigs}</a></p>
            }
            .into_any();
        }
        rigs.into_iter()
            .map(|id| {
                view! {
                    <li class="list__item">
                        <a class="list__link" href=route(id.to_string()).to_hash()>
                            <span class="list__body"><span class="list__title">{rig_name(&id)}</span></span>
                        </a>
                    </li>
                }
            })
            .collect_view()
            .into_any()
    };
    view! {
        <h1>{title}</h1>
        <p>{words().rigs.choose}</p>
        <ul class="list">{list}</ul>
    }
}
