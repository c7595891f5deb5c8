//! Doesn't add up: readings that disagree, what would explain them, and the way from there to the trial that proves it or
//! the entry that is wrong.

mod result;
mod runs;

use crate::bridge::adds_up::carry;
use crate::bridge::adds_up::readings::{Answer, ask, run_keys};
use crate::bridge::adds_up::remedy::put_right;
use crate::bridge::adds_up::setup::{Lacking, setup_of};
use crate::browser::address::go_to;
use crate::browser::{clock, focus};
use crate::components::caution::Caution;
use crate::components::doc_field::DocField;
use crate::pages::nothing::Nothing;
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::{Ledger, ledger};
use crate::state::prefs::prefs;
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::{adds_up, keyin, words};
use calc::diagnosis::{Setup, What};
use leptos::prelude::*;
use records::fields::Overlay;
use records::readings::spec_of;
use records::rig::RigView;
use records::trial::TrialView;
use records::{Doc, DocId, Kind};
use std::collections::BTreeMap;
use std::time::Duration;

/// How long the keys have to rest before the readings are weighed anew.
const REST: Duration = Duration::from_millis(150);

/// The readings of a rig, or one set of them.
#[component]
pub(crate) fn AddsUp(
    /// The id of a rig or of readings, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    match id.as_deref().map(str::parse::<DocId>) {
        Some(Ok(doc)) if doc.kind == Kind::Readings => view! { <Readings doc=doc /> }.into_any(),
        _ => view! { <List id=id /> }.into_any(),
    }
}

/// Begins readings, with what is known already, and goes to them.
pub(crate) fn begin(ledger: Ledger, texts: Vec<(String, String)>) {
    let draft = ledger.draft(Kind::Readings).set_all(texts);
    ledger.save_then(draft, |record| go_to(&Route::AddsUp(Some(record.entry().doc.to_string()))));
}

/// Begins readings with those of a trial.
pub(crate) fn begin_from_trial(ledger: Ledger, trial: &DocId) {
    let texts = ledger.book.with_untracked(|book| {
        let view = TrialView::read(book.doc(trial)?);
        let rig = RigView::read(book.doc(view.rig.as_ref()?)?);
        Some(carry::from_trial(trial, &view, &rig))
    });
    if let Some(texts) = texts {
        begin(ledger, texts);
    }
}

/// The readings of a rig, and the way to begin some.
#[component]
fn List(
    /// The rig's id, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let w = &words().adds_up;
    let Some(rig) = rig_at_hand(id.as_deref()) else {
        return view! { <RigChoice title=w.title route=|id| Route::AddsUp(Some(id)) /> }.into_any();
    };
    let name = rig_name(&rig);
    let blank = carry::blank(&rig);
    let ledger = ledger();
    let past = move || {
        let of_rig = |doc: &&Doc| !doc.is_removed() && doc.text("rig") == Some(rig.to_string().as_str());
        let line = |doc: &Doc| {
            let when = doc.begun().map(|entry| clock::local_minute(&entry.at)).unwrap_or_default();
            let read = doc.texts().filter(|(path, _)| is_reading(path)).count();
            let more = (w.runs)(run_keys(doc).len(), read);
            (doc.id().to_string(), adds_up::item_text(put_right(doc).as_ref()), format!("{more} · {when}"))
        };
        let past: Vec<_> = ledger
            .book
            .with(|book| book.docs_of(&Kind::Readings).into_iter().filter(of_rig).map(line).collect());
        if past.is_empty() {
            return view! { <p>{w.none_yet}</p> }.into_any();
        }
        let lines = past.into_iter().map(|(id, title, more)| {
            view! {
                <li class="list__item">
                    <a class="list__link" href=Route::AddsUp(Some(id)).to_hash()>
                        <span class="list__body"><span class="list__title">{title}</span><span class="list__more">{more}</span></span>
                    </a>
                </li>
            }
        });
        view! { <ul class="list">{lines.collect_view()}</ul> }.into_any()
    };
    view! {
        <h1>{w.title}</h1>
        <p>{name}</p>
        <p>{w.lead}</p>
        <Caution text=w.caution />
        <button type="button" class="button button--main" on:click=move |_| begin(ledger, blank.clone())>{w.begin}</button>
        <h2>{w.past}</h2>
        {past}
    }
    .into_any()
}

/// Whether a path holds something that was read, rather than how it was run or how well it was read.
fn is_reading(path: &str) -> bool {
    let behind =
        path.strip_prefix("run.").and_then(|rest| rest.split_once('.')).map_or(path, |(_, tail)| tail);
    ["shown.", "true.", "back."].iter().any(|side| behind.starts_with(side))
}

/// What the parts of the screen share.
#[derive(Clone, Copy)]
struct Desk {
    /// The rig as keyed in, or what it still has to say.
    setup: Memo<Option<Result<Setup, Lacking>>>,
    /// The carrier is left in manual where nobody says otherwise.
    manual: Memo<bool>,
    /// Keys of the runs that count.
    keys: Memo<Vec<String>>,
    /// Paths whose boxes were asked for though nothing stands in them.
    asked_for: RwSignal<Vec<String>>,
    /// What the readings say, since the keys last rested.
    answer: RwSignal<Option<Answer>>,
}

impl Desk {
    /// Shows a box and puts the keyboard into it.
    fn show(self, path: String) {
        self.asked_for.update(|paths| {
            if !paths.contains(&path) {
                paths.push(path.clone());
            }
        });
        // Once it is drawn.
        set_timeout(move || focus::focus_box(&path), Duration::from_millis(30));
    }
}

fn desk() -> Desk {
    expect_context()
}

/// Shows the box of a reading and puts the keyboard into it; runs count from 1.
fn show_reading(desk: Desk, run: usize, what: What) {
    let key = desk.keys.with_untracked(|keys| keys.get(run.saturating_sub(1)).cloned()).unwrap_or_default();
    desk.show(crate::bridge::adds_up::readings::path(&key, what));
}

/// One set of readings.
#[component]
fn Readings(
    /// The document.
    doc: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let found = ledger.book.with_untracked(|book| {
        let readings = book.doc(&doc).filter(|doc| !doc.is_removed())?;
        let rig: DocId = readings.text("rig")?.parse().ok()?;
        let from: Option<DocId> = readings.text("from").and_then(|from| from.parse().ok());
        let system = System::from_code(book.doc(&rig)?.text("system"));
        Some((rig, from, system))
    });
    let Some((rig, from, system)) = found else { return view! { <Nothing /> }.into_any() };
    provide_context(Sheet::new(doc, spec_of, system));
    prefs().rig.set(Some(rig.to_string()));
    let sheet = sheet();
    let desk = make_desk(sheet, rig.clone());
    provide_context(desk);
    weigh_when_keys_rest(desk, sheet);
    let w = &words().adds_up;
    let lacking = {
        let to_rig = Route::Rig(rig.to_string()).to_hash();
        move || {
            let setup = desk.setup.get()?;
            let names: Vec<String> = setup.err()?.into_iter().map(keyin::entry_text).collect();
            let sentence = (w.lacking)(&names.join(", "));
            let to_rig = to_rig.clone();
            Some(view! { <p class="caution" role="alert">{sentence}" "<a href=to_rig>{w.describe}</a></p> })
        }
    };
    let discard = {
        let back = Route::AddsUp(Some(rig.to_string()));
        move |_| {
            let back = back.clone();
            sheet.set([("removed".to_owned(), Some("yes".to_owned()))], move || go_to(&back));
        }
    };
    let from = from.map(|from| {
        view! { " · "<a href=Route::Trial(from.to_string()).to_hash()>{w.from_trial}</a> }
    });
    view! {
        <h1>{w.title}</h1>
        <p><a href=Route::AddsUp(Some(rig.to_string())).to_hash()>{rig_name(&rig)}</a>{from}</p>
        <p>{w.lead}</p>
        <Caution text=w.caution />
        {lacking}
        <div class="sides">
            <div class="sides__do"><runs::Runs /></div>
            <div class="sides__result"><result::Outcome rig=rig.clone() /></div>
            <div class="sides__more">
                <runs::ReadBack />
                <div class="fields"><DocField path="note" label=w.note /></div>
                <div class="button-row">
                    <a class="button button--quiet" href=Route::Book(Some(sheet.id().to_string())).to_hash()>{words().book.everything}</a>
                    <button type="button" class="button button--quiet" on:click=discard>{words().prove.discard}</button>
                </div>
            </div>
        </div>
    }
    .into_any()
}

fn make_desk(sheet: Sheet, rig: DocId) -> Desk {
    let of_rig = StoredValue::new(rig);
    // The book changes with every box that is left; the rig seldom.
    let rig_changed = Memo::new(move |_| {
        of_rig.with_value(|rig| sheet.ledger.book.with(|book| book.doc(rig).and_then(Doc::last_order)))
    });
    let setup = Memo::new(move |_| {
        rig_changed.track();
        let book = sheet.ledger.book;
        of_rig.with_value(|rig| {
            book.with_untracked(|book| book.doc(rig).map(|doc| setup_of(book, doc, sheet.system)))
        })
    });
    let manual = Memo::new(move |_| {
        of_rig.with_value(|rig| {
            sheet
                .ledger
                .book
                .with(|book| book.doc(rig).and_then(|doc| doc.text("carrier.mode")) == Some("manual"))
        })
    });
    Desk {
        setup,
        manual,
        keys: Memo::new(move |_| sheet.read(run_keys).unwrap_or_default()),
        asked_for: RwSignal::new(Vec::new()),
        answer: RwSignal::new(None),
    }
}

/// Weighs the readings as they stand in the boxes, saved or not, whenever the keys have rested: a key is never kept waiting.
fn weigh_when_keys_rest(desk: Desk, sheet: Sheet) {
    let texts: Memo<BTreeMap<String, String>> = Memo::new(move |_| {
        let all = |doc: &Doc| doc.texts().map(|(path, text)| (path.to_owned(), text.to_owned())).collect();
        sheet.read(all).unwrap_or_default()
    });
    let weigh = move || {
        let answer = texts.try_with_untracked(|texts| {
            let typed = sheet.typed.try_get_untracked()?;
            let setup = desk.setup.try_get_untracked()??.ok()?;
            let keys = desk.keys.try_get_untracked()?;
            Some(ask(&Overlay { base: texts, over: &typed }, &keys, &setup, desk.manual.try_get_untracked()?))
        });
        let answer = answer.flatten();
        // What reads the same is not drawn anew.
        if desk.answer.try_with_untracked(|before| *before != answer) == Some(true) {
            desk.answer.set(answer);
        }
    };
    let due: StoredValue<Option<TimeoutHandle>> = StoredValue::new(None);
    let put_off = move || {
        if let Some(due) = due.try_get_value().flatten() {
            due.clear();
        }
    };
    Effect::new(move |before: Option<()>| {
        texts.track();
        sheet.typed.track();
        desk.setup.track();
        desk.keys.track();
        put_off();
        let rest = if before.is_some() { REST } else { Duration::ZERO };
        due.set_value(set_timeout_with_handle(weigh, rest).ok());
    });
    on_cleanup(put_off);
}
