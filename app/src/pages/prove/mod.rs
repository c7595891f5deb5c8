//! Prove: the trials that a rig can be put through, and those it has been through.

mod catch;
pub(crate) mod end;
mod ratio;
mod result;
mod run_form;
mod runs;
mod sections;
mod setup;
mod standing;
pub(crate) mod trial;

use crate::bridge::trial::{begin, outcome, pump};
use crate::browser::address::go_to;
use crate::browser::clock;
use crate::components::caution::Caution;
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::drafts;
use crate::state::ledger::{Ledger, ledger};
use crate::state::sheet::System;
use crate::text::{prove, words};
use leptos::prelude::*;
use records::rig::RigView;
use records::trial::{Status, TrialKind, TrialView};
use records::{Book, DocId, Field, Kind, Reference};

/// The list of trials of a rig, and the ways to begin one.
#[component]
pub(crate) fn Prove(
    /// The rig's id, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let Some(rig) = rig_at_hand(id.as_deref()) else {
        return view! { <RigChoice title=words().prove.title route=|id| Route::Prove(Some(id)) /> }
            .into_any();
    };
    let w = &words().prove;
    view! {
        <h1>{w.title}</h1>
        <p>{rig_name(&rig)}</p>
        <Caution text=w.caution />
        <div class="sides">
            <div class="sides__do"><Begin rig=rig.clone() /></div>
            <div class="sides__result"><Disagree rig=rig.clone() /><Past rig=rig /></div>
        </div>
    }
    .into_any()
}

/// The ways to begin.
#[component]
fn Begin(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let w = &words().prove;
    let (pumps, lasts) = ledger.book.with_untracked(|book| {
        let pumps = book.doc(&rig).map(|doc| RigView::read(doc).pumps).unwrap_or_default();
        (pumps, last_verdicts(book, &rig))
    });
    let rig = StoredValue::new(rig);
    let begin = move |kind: TrialKind, pump: u32| {
        rig.with_value(|rig| begin_trial(ledger, rig, kind, pump, None, Vec::new()));
    };
    let last = |kind: TrialKind, pump: u32| {
        lasts.iter().find(|(k, p, _)| *k == kind && *p == pump).map(|(_, _, text)| text.clone())
    };
    let mut items: Vec<(TrialKind, u32, String, String)> = Vec::new();
    for kind in TrialKind::ALL {
        let (title, more) = prove::kind_words(*kind);
        if *kind == TrialKind::Pump {
            for pump in &pumps {
                let product = pump.name.as_deref().unwrap_or_default();
                let more = [product, more].join(if product.is_empty() { "" } else { ". " });
                items.push((*kind, pump.n, (w.pump_title)(pump.n), more));
            }
        } else {
            items.push((*kind, 0, title.to_owned(), more.to_owned()));
        }
    }
    let items: Vec<_> = items
        .into_iter()
        .map(|(kind, pump, title, more)| (kind, pump, title, more, last(kind, pump)))
        .collect();
    view! {
        <h2>{w.begin}</h2>
        <ul class="list">
            {items
                .into_iter()
                .map(|(kind, pump, title, more, last)| {
                    view! {
                        <li class="list__item">
                            <button type="button" class="list__link list__press" on:click=move |_| begin(kind, pump)>
                                <span class="list__body">
                                    <span class="list__title">{title}</span>
                                    <span class="list__more">{more}</span>
                                    <span class="list__more">{last}</span>
                                </span>
                            </button>
                        </li>
                    }
                })
                .collect_view()}
        </ul>
    }
}

/// Begins a trial and goes to it. What is prefilled, by path and stored text, stands in its boxes as if it were half typed:
/// it counts once somebody has looked at it there.
pub(crate) fn begin_trial(
    ledger: Ledger,
    rig: &DocId,
    kind: TrialKind,
    pump: u32,
    because: Option<DocId>,
    prefilled: Vec<(String, String)>,
) {
    let texts = ledger.book.with_untracked(|book| {
        book.doc(rig).map(|doc| {
            let metric = System::from_code(doc.text("system")) == System::Metric;
            begin::fields(kind, rig, &RigView::read(doc), metric, pump)
        })
    });
    // Without its rig on this device there is nothing to try.
    let Some(texts) = texts else { return };
    let mut draft = ledger.draft(Kind::Trial).set_all(texts);
    draft.because = because.map(Reference::Doc);
    ledger.save_then(draft, move |record| {
        let trial = record.entry().doc.to_string();
        for (path, text) in prefilled {
            drafts::keep(&trial, &path, &text);
        }
        go_to(&Route::Trial(trial));
    });
}

/// The last verdict of each kind of trial, and of each pump: kind, pump (0: none), sentence.
fn last_verdicts(book: &Book, rig: &DocId) -> Vec<(TrialKind, u32, String)> {
    let mut found: Vec<(TrialKind, u32, String)> = Vec::new();
    for doc in book.docs_of(&Kind::Trial).into_iter().filter(|doc| !doc.is_removed()) {
        let view = TrialView::read(doc);
        let (Some(kind), true) = (view.kind, view.rig.as_ref() == Some(rig)) else { continue };
        let pump = if kind == TrialKind::Pump { pump::pump_of(&view).unwrap_or(0) } else { 0 };
        let verdict = view.outcome("verdict").and_then(outcome::verdict_from);
        let ended = doc.field("status").and_then(Field::last);
        let known = found.iter().any(|(k, p, _)| *k == kind && *p == pump);
        if let (Some(verdict), Some(ended), Status::Concluded, false) = (verdict, ended, view.status, known) {
            let on = clock::local_minute(&ended.entry.at);
            found.push((kind, pump, (words().prove.last)(prove::verdict_word(verdict), &on)));
        }
    }
    found
}

/// Where to go when figures contradict each other.
#[component]
fn Disagree(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let w = &words().adds_up;
    let rig = rig.to_string();
    let ways = [
        (Route::AddsUp(Some(rig.clone())), w.title, w.disagree_more),
        (Route::Closing(Some(rig)), words().closing.to_closing, w.closing_more),
    ];
    let line = |(route, title, more): (Route, &'static str, &'static str)| {
        view! {
            <li class="list__item">
                <a class="list__link" href=route.to_hash()>
                    <span class="list__body"><span class="list__title">{title}</span><span class="list__more">{more}</span></span>
                </a>
            </li>
        }
    };
    view! {
        <h2>{w.disagree}</h2>
        <ul class="list">{ways.map(line).into_iter().collect_view()}</ul>
    }
}

/// Trials of this rig, newest first.
#[component]
fn Past(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let w = &words().prove;
    let trials = move || {
        ledger.book.with(|book| {
            let trials: Vec<_> = book
                .docs_of(&Kind::Trial)
                .into_iter()
                .filter(|doc| {
                    !doc.is_removed()
                        && doc.text("rig").and_then(|text| text.parse().ok()).as_ref() == Some(&rig)
                })
                .collect();
            trials
                .into_iter()
                .map(|doc| {
                    let view = TrialView::read(doc);
                    let title = trial_title(&view);
                    let state = match view.status {
                        Status::Open => w.open_still.to_owned(),
                        Status::Concluded => view
                            .outcome("verdict")
                            .and_then(outcome::verdict_from)
                            .map_or_else(|| w.concluded.to_owned(), |v| prove::verdict_word(v).to_owned()),
                    };
                    let when = doc.begun().map(|entry| clock::local_minute(&entry.at)).unwrap_or_default();
                    (doc.id().to_string(), title, format!("{state} · {when}"))
                })
                .collect::<Vec<_>>()
        })
    };
    view! {
        <h2>{w.past}</h2>
        {move || {
            let trials = trials();
            if trials.is_empty() {
                return view! { <p>{w.none_yet}</p> }.into_any();
            }
            view! {
                <ul class="list">
                    {trials
                        .into_iter()
                        .map(|(id, title, more)| {
                            view! {
                                <li class="list__item">
                                    <a class="list__link" href=Route::Trial(id).to_hash()>
                                        <span class="list__body"><span class="list__title">{title}</span><span class="list__more">{more}</span></span>
                                    </a>
                                </li>
                            }
                        })
                        .collect_view()}
                </ul>
            }
            .into_any()
        }}
    }
}

/// What a trial is called, with its pump where it is about one.
pub(crate) fn trial_title(view: &TrialView<'_>) -> String {
    match view.kind {
        Some(TrialKind::Pump) => {
            let n = pump::pump_of(view).unwrap_or(1);
            (words().prove.pump_title)(n)
        }
        Some(kind) => prove::kind_words(kind).0.to_owned(),
        None => words().prove.title.to_owned(),
    }
}
