//! What a pass will look like: a drive made of manoeuvres, simulated on the rig's own lines, and what would help it.
//!
//! The steps, the picture, the courses against time and the figures have files of their own beside this one.

mod charts;
mod figures;
mod help;
mod picture;
mod settle;
mod start;
mod steps;

use crate::bridge::drive::ready::{Pace, READY};
use crate::bridge::drive::{Job, Stop, job_of};
use crate::browser::address::go_to;
use crate::pages::nothing::Nothing;
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::pass_run::{PassRun, Stage};
use crate::state::sheet::{Sheet, System};
use crate::text::pass::{lines_texts, problem_text, refused_text, summary_text};
use crate::text::plumbing::Shown;
use crate::text::words;
use leptos::prelude::*;
use records::drive::DriveView;
use records::rig::RigView;
use records::{Book, DocId, Kind};

/// The drive in the address; else the newest of the rig in the address or of the one last looked at.
#[component]
pub(crate) fn PassPage(
    /// A drive's or a rig's id, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let ledger = ledger();
    let at_hand = ledger.book.with_untracked(|book| {
        let drive = id.as_deref()?.parse::<DocId>().ok().filter(|id| id.kind == Kind::Drive)?;
        let doc = book.doc(&drive).filter(|doc| !doc.is_removed())?;
        Some((drive, doc.text("rig")?.to_owned()))
    });
    let in_address = at_hand.as_ref().map(|(_, rig)| rig.clone()).or(id);
    let Some(rig) = rig_at_hand(in_address.as_deref()) else {
        return if in_address.is_some() {
            view! { <Nothing /> }.into_any()
        } else {
            view! { <RigChoice title=words().pass.title route=|id| Route::Pass(Some(id)) /> }.into_any()
        };
    };
    let newest = || ledger.book.with_untracked(|book| drives_of(book, &rig).into_iter().next());
    match at_hand.map(|(drive, _)| drive).or_else(newest) {
        Some(drive) => view! { <Screen drive=drive rig=rig /> }.into_any(),
        None => view! {
            <Head rig=rig.clone() />
            <p>{words().pass.begin_with}</p>
            {ready_list(rig)}
        }
        .into_any(),
    }
}

/// The rig's drives, the one last written first.
fn drives_of(book: &Book, rig: &DocId) -> Vec<DocId> {
    let rig = rig.to_string();
    book.docs_of(&Kind::Drive)
        .into_iter()
        .filter(|doc| !doc.is_removed() && doc.text("rig") == Some(&rig))
        .map(|doc| doc.id().clone())
        .collect()
}

#[component]
fn Head(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    view! {
        <h1>{words().pass.title}</h1>
        <p class="keyin__rig">{rig_name(&rig)}</p>
        <p>{words().pass.lead}</p>
    }
}

/// The rig's system of units, and what it says about speeds.
fn pace_of(rig: &DocId) -> Pace {
    ledger().book.with_untracked(|book| {
        let doc = book.doc(rig);
        let view = doc.map(|doc| RigView::read(doc));
        let typed = |reading: Option<&records::rig::Reading<units::Typed<units::Speed>>>| {
            reading.and_then(records::rig::Reading::ok).map(|typed| typed.value)
        };
        Pace {
            system: System::from_code(doc.and_then(|doc| doc.text("system"))),
            cruise: typed(view.as_ref().map(|view| &view.standing_speed)),
            hold: typed(view.as_ref().map(|view| &view.hold_speed)),
        }
    })
}

/// Drives to begin with.
fn ready_list(rig: DocId) -> AnyView {
    let pace = pace_of(&rig);
    let items = READY
        .iter()
        .map(|ready| {
            let (name, what) = (words().pass.ready)(ready.code);
            let rig = rig.clone();
            let begin = move |_| {
                let ledger = ledger();
                let texts = pace.drive(ready);
                let draft =
                    ledger.draft(Kind::Drive).set_all(texts).set("name", name).set("rig", rig.to_string());
                ledger.save_then(draft, |record| go_to(&Route::Pass(Some(record.entry().doc.to_string()))));
            };
            view! {
                <li class="pass__ready">
                    <button type="button" class="button button--wide" on:click=begin>{name}</button>
                    <span class="field__hint">{what}</span>
                </li>
            }
        })
        .collect_view();
    view! { <ul class="pass__readies">{items}</ul> }.into_any()
}

/// The other drives of the rig, and those to begin with.
fn drive_list(rig: DocId, here: &DocId) -> AnyView {
    let drives: Vec<(DocId, String)> = ledger().book.with_untracked(|book| {
        let name = |id: &DocId| book.doc(id).and_then(|doc| doc.text("name")).unwrap_or(words().pass.unnamed);
        drives_of(book, &rig).into_iter().map(|id| (id.clone(), name(&id).to_owned())).collect()
    });
    let links = (drives.len() > 1).then(|| {
        let items = drives
            .into_iter()
            .map(|(id, name)| {
                let current = (id == *here).then_some("page");
                view! { <li><a class="button" aria-current=current href=Route::Pass(Some(id.to_string())).to_hash()>{name}</a></li> }
            })
            .collect_view();
        view! { <nav aria-label=words().pass.drives><ul class="button-row">{items}</ul></nav> }
    });
    view! {
        {links}
        <details class="group">
            <summary>{words().pass.begin_another}</summary>
            {ready_list(rig)}
        </details>
    }
    .into_any()
}

#[component]
fn Screen(
    /// The drive.
    drive: DocId,
    /// Its rig.
    rig: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let pace = pace_of(&rig);
    let shown_in = Shown::of(pace.system);
    let sheet = Sheet::new(drive.clone(), records::drive::spec_of, pace.system);
    provide_context(sheet);
    let rig_sheet = Sheet::new(rig.clone(), records::rig::spec_of, pace.system);
    let job = {
        let (rig, drive) = (rig.clone(), drive.clone());
        Memo::new(move |_| {
            ledger.book.with(|book| {
                let (rig, drive) = (book.doc(&rig)?, book.doc(&drive)?);
                Some(job_of(&RigView::read(rig), &DriveView::read(drive)))
            })
        })
    };
    let run = PassRun::new();
    Effect::new(move |_| match &*job.read() {
        Some(Ok(job)) => run.begin(job.clone()),
        _ => run.clear(),
    });
    let has_result = Memo::new(move |_| run.digest.read().is_some());
    view! {
        <Head rig=rig.clone() />
        {drive_list(rig.clone(), &drive)}
        <p class="next"><output aria-live="polite">{move || run.digest.get().map(|digest| summary_text(&digest.areas[0]))}</output></p>
        <div class="pass">
            <div class="pass__drive">
                <steps::Steps pace=pace rig=rig.clone() />
                <start::Start rig=rig.clone() />
                <settle::Settle rig=rig_sheet />
            </div>
            <div class="pass__result">
                {stopped(job, run, rig.to_string(), shown_in)}
                {progress(run)}
                {move || has_result.get().then(|| view! {
                    <picture::Picture run=run job=job shown_in=shown_in />
                    {figures::figures(run, shown_in)}
                    {charts::charts(run, shown_in)}
                    {help::help(run, job, shown_in)}
                })}
            </div>
        </div>
        <p class="keyin__foot">{words().pass.foot}</p>
    }
    .into_any()
}

/// What a page knows of its job.
type Planned = Memo<Option<Result<Job, Stop>>>;

/// Why there is no pass to be seen.
fn stopped(job: Planned, run: PassRun, rig: String, shown_in: Shown) -> impl IntoView {
    let sheet = crate::state::sheet::sheet();
    move || {
        let w = &words().pass;
        let (lines, way) = match &*job.read() {
            Some(Err(Stop::Lines(troubles))) => {
                let way = (Route::Plumbing(Some(rig.clone())), w.to_plumbing);
                (lines_texts(troubles, shown_in), Some(way))
            }
            Some(Err(Stop::Pass(problem))) => {
                let name = |key: &str| steps::title_of(sheet, key).unwrap_or_default();
                let at_rig = matches!(
                    problem,
                    crate::bridge::drive::PassProblem::NoCarrierRate
                        | crate::bridge::drive::PassProblem::NoProductRate(_)
                        | crate::bridge::drive::PassProblem::NoPump(_)
                );
                let way = at_rig.then(|| (Route::Rig(rig.clone()), w.to_rig));
                (vec![problem_text(problem, name, shown_in)], way)
            }
            _ => {
                let refused = run.refused.get();
                let lines = refused.map(|problem| refused_text(&problem, shown_in));
                (lines.into_iter().collect(), None)
            }
        };
        (!lines.is_empty()).then(|| {
            view! {
                <div class="caution" role="alert">
                    {lines.into_iter().map(|line| view! { <p class="pass__line">{line}</p> }).collect_view()}
                    {way.map(|(route, label)| view! { <a class="button" href=route.to_hash()>{label}</a> })}
                </div>
            }
        })
    }
}

/// How far the work is, once it lasts, and that what is shown is of an earlier drive.
fn progress(run: PassRun) -> impl IntoView {
    let w = &words().pass;
    let label = move || if run.stage.get() == Some(Stage::Help) { w.working_help } else { w.working };
    let is_old = move || run.is_stale() && run.digest.read().is_some();
    view! {
        <div class="pass__progress" role="status">
            <p class="pass__stale" hidden=move || !is_old()>{w.stale}</p>
        </div>
        <div class="pass__bar" hidden=move || run.percent.read().is_none()>
            <progress max="100" aria-label=label prop:value=move || run.percent.get().unwrap_or(0)></progress>
            <span aria-hidden="true">{label}</span>
        </div>
    }
}
