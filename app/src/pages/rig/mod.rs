//! One rig, what is bolted on: a form in the order in which one walks round the machine.

mod carrier;
mod console;
pub(crate) mod convention;
mod nozzles;
mod pumps;
mod sections;
mod sensor;

use crate::browser::address::go_to;
use crate::components::doc_field::DocField;
use crate::pages::nothing::Nothing;
use crate::route::Route;
use crate::state::drafts;
use crate::state::ledger::ledger;
use crate::state::prefs::prefs;
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::{rig, words};
use leptos::prelude::*;
use records::rig::{RigView, spec_of};
use records::{DocId, Kind};

/// The form of one rig.
#[component]
pub(crate) fn RigPage(
    /// The rig's id, as in the address.
    id: String,
) -> impl IntoView {
    let ledger = ledger();
    let found = id.parse::<DocId>().ok().filter(|id| {
        id.kind == Kind::Rig
            && ledger.book.with_untracked(|book| book.doc(id).is_some_and(|doc| !doc.is_removed()))
    });
    let Some(doc) = found else { return view! { <Nothing /> }.into_any() };
    prefs().rig.set(Some(id));
    let system =
        ledger.book.with_untracked(|book| System::from_code(book.doc(&doc).and_then(|d| d.text("system"))));
    provide_context(Sheet::new(doc, spec_of, system));
    let w = &words().rig;
    view! {
        <h1>{w.title}</h1>
        <DocField path="name" label=w.name />
        <DocField path="note" label=w.note hint=w.note_hint />
        <Group title=w.carrier_supply path="tank."><carrier::Supply /></Group>
        <Group title=w.meter path="meter."><sensor::Meter /></Group>
        <Group title=w.speed_sensor path="speed."><sensor::SpeedSensor /></Group>
        <Group title=w.sections path="section."><sections::Sections /></Group>
        <Group title=w.nozzles path="nozzle." also=&["set.", "droplet."]><nozzles::Nozzles /></Group>
        <Group title=w.pumps path="pump."><pumps::Pumps /></Group>
        <Group title=w.rates path="carrier."><carrier::Rates /></Group>
        <Group title=w.console path="keyin."><console::Console /></Group>
        <Findings />
        <Ways />
    }
    .into_any()
}

/// One part of the form. It stands open until something is filled in there, and while something is half typed.
#[component]
fn Group(
    /// What is bolted on.
    title: &'static str,
    /// Start of the paths that stand in it.
    path: &'static str,
    /// Starts of further paths that stand in it.
    #[prop(optional)]
    also: &'static [&'static str],
    children: Children,
) -> impl IntoView {
    let sheet = sheet();
    let filled = sheet.peek(|doc| doc.texts().any(|(p, _)| p.starts_with(path))).unwrap_or(false);
    let id = sheet.id().to_string();
    let half_typed = also.iter().chain([&path]).any(|path| drafts::any_below(&id, path));
    view! {
        <details class="group" open=!filled || half_typed>
            <summary><h2 class="group__title">{title}</h2></summary>
            <div class="group__body">{children()}</div>
        </details>
    }
}

/// What is still missing and what does not fit together, across the whole rig.
#[component]
fn Findings() -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let problems = Memo::new(move |_| {
        sheet
            .read(|doc| {
                RigView::read(doc)
                    .problems(doc)
                    .iter()
                    .map(|p| rig::problem_text(p, sheet.system))
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    view! {
        <section class="card" aria-live="polite">
            <h2>{w.findings}</h2>
            {move || {
                let problems = problems.get();
                if problems.is_empty() {
                    view! { <p>{w.nothing_missing}</p> }.into_any()
                } else {
                    view! { <ul class="findings">{problems.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul> }
                        .into_any()
                }
            }}
        </section>
    }
}

/// Where to go from here: the sheet, the trials, a copy, removal.
#[component]
fn Ways() -> impl IntoView {
    let (ledger, prefs, sheet) = (ledger(), prefs(), sheet());
    let w = &words().rig;
    let id = sheet.id().to_string();
    let copy = move |_| {
        let texts = sheet
            .peek(|doc| {
                doc.texts()
                    .map(|(path, text)| {
                        let text = if path == "name" { (w.copy_of)(text) } else { text.to_owned() };
                        (path.to_owned(), text)
                    })
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default();
        ledger.save_then(ledger.draft(Kind::Rig).set_all(texts).because(sheet.id()), move |record| {
            let id = record.entry().doc.to_string();
            prefs.rig.set(Some(id.clone()));
            go_to(&Route::Rig(id));
        });
    };
    let remove = move |_| {
        sheet.set([("removed".to_owned(), Some("yes".to_owned()))], move || {
            prefs.rig.set(None);
            go_to(&Route::Rigs);
        });
    };
    view! {
        <div class="button-row">
            <a class="button button--main" href=Route::KeyIn(Some(id.clone())).to_hash()>{w.to_key_in}</a>
            <a class="button" href=Route::Prove(Some(id.clone())).to_hash()>{w.to_prove}</a>
            <a class="button" href=Route::Closing(Some(id)).to_hash()>{words().closing.to_closing}</a>
            <button type="button" class="button" on:click=copy>{w.copy}</button>
            <button type="button" class="button button--quiet" on:click=remove>{w.remove}</button>
        </div>
        <p>{w.remove_hint}</p>
    }
}
