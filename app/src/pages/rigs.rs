//! All rigs: choose one, begin one from blank, from a copy or from an example.

use crate::browser::address::go_to;
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::prefs::prefs;
use crate::state::sheet::System;
use crate::text::words;
use leptos::prelude::*;
use records::{DocId, Kind};

/// The list of rigs and the ways to begin one.
#[component]
pub(crate) fn Rigs() -> impl IntoView {
    let w = &words().rigs;
    let (ledger, prefs) = (ledger(), prefs());
    let rigs = Memo::new(move |_| {
        ledger.book.with(|book| {
            book.docs_of(&Kind::Rig)
                .into_iter()
                .filter(|doc| !doc.is_removed())
                .map(|doc| {
                    let text = |path: &str| doc.text(path).unwrap_or_default().to_owned();
                    (doc.id().clone(), text("name"), text("note"))
                })
                .collect::<Vec<(DocId, String, String)>>()
        })
    });
    let begin = move |texts: Vec<(String, String)>| {
        let draft = ledger.draft(Kind::Rig).set_all(texts);
        ledger.save_then(draft, move |record| {
            let id = record.entry().doc.to_string();
            prefs.rig.set(Some(id.clone()));
            go_to(&Route::Rig(id));
        });
    };
    let blank = move |system: System| begin(vec![("system".to_owned(), system.code().to_owned())]);
    let load_examples = move |_| {
        let texts = [records::examples::DITCH_BANK_TRUCK, records::examples::DRAINAGE_ROAD_CARRIER];
        let drafts = texts.map(|fields| ledger.draft(Kind::Rig).set_all(fields.iter().copied())).to_vec();
        ledger.save_all_then(drafts, move |records| {
            if let Some(first) = records.first() {
                prefs.rig.set(Some(first.entry().doc.to_string()));
            }
        });
    };
    let list = move || {
        let rigs = rigs.get();
        if rigs.is_empty() {
            return view! { <p>{w.none_yet}</p> }.into_any();
        }
        view! {
            <ul class="list">
                {rigs
                    .into_iter()
                    .map(|(id, name, note)| {
                        let name = if name.is_empty() { w.unnamed.to_owned() } else { name };
                        view! {
                            <li class="list__item">
                                <a class="list__link" href=Route::Rig(id.to_string()).to_hash()>
                                    <span class="list__body">
                                        <span class="list__title">{name}</span>
                                        <span class="list__more">{note}</span>
                                    </span>
                                </a>
                            </li>
                        }
                    })
                    .collect_view()}
            </ul>
        }
        .into_any()
    };
    view! {
        <h1>{w.title}</h1>
        {list}
        <h2>{w.begin}</h2>
        <div class="button-row">
            <button type="button" class="button button--main" on:click=move |_| blank(System::Us)>{w.blank_us}</button>
            <button type="button" class="button button--main" on:click=move |_| blank(System::Metric)>{w.blank_metric}</button>
            <button type="button" class="button" on:click=load_examples>{w.examples}</button>
        </div>
        <p>{w.copy_hint}</p>
    }
}
