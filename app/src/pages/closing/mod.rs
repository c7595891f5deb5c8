//! The closing balance: the days of a rig that were closed, and one day with its jobs, what they add up to and the record.

mod job;
mod record;
mod result;
mod said;

use crate::bridge::closing::{Closing, begin, work_out};
use crate::browser::address::go_to;
use crate::browser::{clock, print};
use crate::components::caution::Caution;
use crate::components::doc_field::DocField;
use crate::pages::nothing::Nothing;
use crate::pages::prove::end::Who;
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::prefs::prefs;
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::words;
use leptos::prelude::*;
use records::closing::{DayView, spec_of};
use records::rig::RigView;
use records::{Doc, DocId, Kind};

/// What a day says, anew with each reading.
type Said = Memo<Option<Closing>>;

/// A day by its id, or the days of a rig.
#[component]
pub(crate) fn ClosingPage(
    /// As in the address: a day or a rig.
    id: Option<String>,
) -> impl IntoView {
    match id.as_deref().and_then(|id| id.parse::<DocId>().ok()).filter(|id| id.kind == Kind::Job) {
        Some(day) => view! { <Day id=day /> }.into_any(),
        None => match rig_at_hand(id.as_deref()) {
            Some(rig) => view! { <Days rig=rig /> }.into_any(),
            None => view! { <RigChoice title=words().closing.title route=|id| Route::Closing(Some(id)) /> }
                .into_any(),
        },
    }
}

/// The days of a rig, newest first, `leave_out` not among them: id, name, when begun and how many jobs.
fn days_of(rig: &DocId, leave_out: Option<&DocId>) -> Vec<(DocId, String, String)> {
    let is_of_rig = |doc: &&Doc| {
        !doc.is_removed()
            && leave_out != Some(doc.id())
            && doc.text("rig").and_then(|text| text.parse().ok()).as_ref() == Some(rig)
    };
    ledger().book.with(|book| {
        let told = |doc: &Doc| {
            let when = doc.begun().map(|entry| clock::local_minute(&entry.at)).unwrap_or_default();
            let name = doc.text("name").unwrap_or(&when).to_owned();
            let jobs = (words().closing.n_jobs)(DayView::read(doc).jobs.len());
            (doc.id().clone(), name, format!("{when} · {jobs}"))
        };
        book.docs_of(&Kind::Job).into_iter().filter(is_of_rig).map(told).collect()
    })
}

/// The list of days of a rig, and the way to close one.
#[component]
fn Days(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let w = &words().closing;
    let begin = {
        let rig = rig.clone();
        move |_| {
            let set = ledger
                .book
                .with_untracked(|book| book.doc(&rig).map(|doc| begin::day(&rig, &RigView::read(doc))));
            let draft = ledger.draft(Kind::Job).set_all(set.unwrap_or_default());
            ledger.save_then(draft, |record| {
                go_to(&Route::Closing(Some(record.entry().doc.to_string())));
            });
        }
    };
    let name = rig_name(&rig);
    let list = move || {
        let days = days_of(&rig, None);
        if days.is_empty() {
            return view! { <p>{w.none_yet}</p> }.into_any();
        }
        let row = |(id, name, more): (DocId, String, String)| {
            view! {
                <li class="list__item">
                    <a class="list__link" href=Route::Closing(Some(id.to_string())).to_hash()>
                        <span class="list__body"><span class="list__title">{name}</span><span class="list__more">{more}</span></span>
                    </a>
                </li>
            }
        };
        view! { <ul class="list">{days.into_iter().map(row).collect_view()}</ul> }.into_any()
    };
    view! {
        <h1>{w.title}</h1>
        <p>{name}</p>
        <p>{w.more}</p>
        <button type="button" class="button button--main" on:click=begin>{w.begin}</button>
        <h2>{w.past}</h2>
        {list}
    }
}

/// One day.
#[component]
fn Day(
    /// Its document.
    id: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let found = ledger.book.with_untracked(|book| {
        let doc = book.doc(&id).filter(|doc| !doc.is_removed())?;
        let view = DayView::read(doc);
        let system = view.rig.as_ref().and_then(|rig| book.doc(rig)).and_then(|rig| rig.text("system"));
        Some((view.rig.clone()?, view.n_pumps, System::from_code(system)))
    });
    let Some((rig, n_pumps, system)) = found else { return view! { <Nothing /> }.into_any() };
    prefs().rig.set(Some(rig.to_string()));
    provide_context(Sheet::new(id.clone(), spec_of, system));
    let sheet = sheet();
    let w = &words().closing;
    let products: Vec<String> =
        (1..=n_pumps).map(|n| sheet.now(&format!("setup.pump.{n}.name")).unwrap_or_default()).collect();
    let products = StoredValue::new(products);
    let closing: Said =
        Memo::new(move |_| ledger.book.with(|book| book.doc(&sheet.id()).map(|doc| work_out(book, doc))));
    let adds_up = Route::AddsUp(Some(rig.to_string())).to_hash();
    let discard = {
        let rig = rig.clone();
        move |_| {
            let back = Route::Closing(Some(rig.to_string()));
            sheet.set([("removed".to_owned(), Some("yes".to_owned()))], move || go_to(&back));
        }
    };
    view! {
        <h1>{w.title}</h1>
        <p><a href=Route::Closing(Some(rig.to_string())).to_hash()>{rig_name(&rig)}</a></p>
        <Caution text=w.caution />
        <record::Record closing=closing products=products />
        <div class="sides closing">
            <div class="sides__do no-print">
                <DocField path="name" label=w.name hint=w.name_hint />
                <job::Jobs rig=rig.clone() closing=closing products=products />
            </div>
            <div class="sides__result"><result::Outcome rig=rig.clone() closing=closing products=products /></div>
            <div class="sides__more no-print">
                <said::Priors closing=closing products=products />
                <said::With rig=rig />
                <details class="group">
                    <summary><h2 class="group__title">{words().prove.notes}</h2></summary>
                    <div class="group__body fields"><Who /><DocField path="note" label=words().rig.note /></div>
                </details>
                <div class="button-row">
                    <button type="button" class="button button--main" on:click=move |_| print::print()>{w.print}</button>
                    <a class="button" href=adds_up>{words().adds_up.ask}</a>
                    <a class="button button--quiet" href=Route::Book(Some(id.to_string())).to_hash()>{words().book.everything}</a>
                    <button type="button" class="button button--quiet" on:click=discard>{w.discard}</button>
                </div>
            </div>
        </div>
        <p class="keyin__foot">{words().keyin.foot}</p>
    }
    .into_any()
}
