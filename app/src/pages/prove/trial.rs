//! One trial: caution, steps, readings, runs, what came out, notes. What came out is told by kind. Where there is room,
//! what is done stands on the left and what comes of it on the right.

use super::run_form::{RunField, RunForm};
use super::runs::Runs;
use super::setup::Setup;
use super::{catch, end, ratio, sections, standing, trial_title};
use crate::bridge::trial::standing::PRODUCTS;
use crate::browser::wake_lock;
use crate::components::caution::Caution;
use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::pages::nothing::Nothing;
use crate::pages::rig_choice::rig_name;
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::prefs::prefs;
use crate::state::sheet::{Sheet, System, sheet};
use crate::text::{prove, words};
use leptos::prelude::*;
use records::trial::{Status, TrialKind, TrialView, spec_of};
use records::{DocId, Kind};

/// A trial by its id.
#[component]
pub(crate) fn TrialPage(
    /// As in the address.
    id: String,
) -> impl IntoView {
    let ledger = ledger();
    let found = id.parse::<DocId>().ok().filter(|id| id.kind == Kind::Trial).and_then(|id| {
        ledger.book.with_untracked(|book| {
            let doc = book.doc(&id).filter(|doc| !doc.is_removed())?;
            let view = TrialView::read(doc);
            let system = view.rig.as_ref().and_then(|rig| book.doc(rig)).and_then(|rig| rig.text("system"));
            Some((id.clone(), view.kind?, view.rig.clone(), System::from_code(system), trial_title(&view)))
        })
    });
    let Some((doc, kind, rig, system, title)) = found else { return view! { <Nothing /> }.into_any() };
    provide_context(Sheet::new(doc, spec_of, system));
    if let Some(rig) = &rig {
        prefs().rig.set(Some(rig.to_string()));
    }
    wake_lock::keep_awake_here();
    let w = &words().prove;
    let sheet = sheet();
    let status = Memo::new(move |_| sheet.read(|doc| TrialView::read(doc).status).unwrap_or(Status::Open));
    let way = sheet.text("setup.way");
    let by_wheel = Memo::new(move |_| way.read().as_deref() == Some("wheel"));
    let fields = Memo::new(move |_| {
        let mut fields = fields_of(kind, way.read().as_deref());
        if kind == TrialKind::Standing {
            let n_pumps = standing::n_pumps(sheet);
            fields.extend(PRODUCTS.into_iter().zip(w.products).take(n_pumps).map(|(name, label)| RunField {
                name,
                label,
                needed: false,
            }));
        }
        fields
    });
    let shown = Signal::derive(move || {
        let mut fields = fields.get();
        if kind == TrialKind::Course && !by_wheel.get() {
            fields.insert(0, RunField { name: "direction", label: w.direction, needed: false });
        }
        fields
    });
    let of_number = matches!(kind, TrialKind::Meter | TrialKind::Course | TrialKind::Pump);
    let judged = of_number.then(|| ratio::judgement(sheet, kind));
    let wanted = Signal::derive(move || judged.is_none_or(|judged| ratio::waits_for_runs(&judged.read())));
    let beside =
        Signal::derive(move || judged.map(|judged| ratio::deviations(&judged.read())).unwrap_or_default());
    let steps = move || {
        let steps = prove::steps(kind, way.read().as_deref().unwrap_or_default());
        steps.iter().map(|step| view! { <li>{*step}</li> }).collect_view()
    };
    let result = match (kind, judged) {
        (TrialKind::Catch, _) => view! { <catch::Outcome /> }.into_any(),
        (TrialKind::Sections, _) => view! { <sections::Outcome /> }.into_any(),
        (TrialKind::Standing, _) => view! { <standing::Outcome /> }.into_any(),
        (_, Some(judged)) => view! { <ratio::Outcome kind=kind judged=judged /> }.into_any(),
        (_, None) => view! { <ratio::GaugeResult /> }.into_any(),
    };
    view! {
        <h1>{title}</h1>
        <p><a href=Route::Prove(rig.as_ref().map(DocId::to_string)).to_hash()>{rig.as_ref().map(rig_name)}</a></p>
        <end::Ended />
        <Caution text=prove::caution(kind) />
        <div class="sides">
            <div class="sides__do">
                <Show when=move || status.get() == Status::Open>
                    <ol class="steps">{steps}</ol>
                    <Way kind=kind />
                    {move || match kind {
                        TrialKind::Sections => view! { <sections::Form /> }.into_any(),
                        _ => view! {
                            {(kind == TrialKind::Standing).then(|| view! { <standing::Plan /> })}
                            {(kind == TrialKind::Course).then_some(move || if by_wheel.get() {
                                ["turns", "pulses_per_turn"].map(|name| view! {
                                    <DocField path=format!("setup.{name}") label=prove::setup_label(name) />
                                }).into_any()
                            } else {
                                view! { <DocField path="setup.course" label=prove::setup_label("course") hint=w.course_hint /> }.into_any()
                            })}
                            {move || view! { <RunForm fields=fields.get() kind=kind wanted=wanted /> }}
                        }
                        .into_any(),
                    }}
                </Show>
            </div>
            <div class="sides__result">{result}</div>
            <div class="sides__more">
                {(kind != TrialKind::Sections).then(|| view! { <Runs fields=shown kind=kind beside=beside /> })}
                <fieldset disabled=move || status.get() != Status::Open><Setup kind=kind /></fieldset>
                <details class="group">
                    <summary><h2 class="group__title">{w.notes}</h2></summary>
                    <div class="group__body fields">
                        <end::Who />
                        <DocField path="setup.liquid" label=w.liquid hint=w.liquid_hint />
                        <DocField path="setup.temperature" label=w.temperature />
                        <DocField path="note" label=words().rig.note />
                    </div>
                </details>
                <end::Ways rig=rig />
            </div>
        </div>
    }
    .into_any()
}

/// Two ways to the same number, where there are two.
#[component]
fn Way(
    /// Which trial.
    kind: TrialKind,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().prove;
    let options: Vec<(&str, &str)> = match kind {
        TrialKind::Meter => vec![("jug", w.way_jug), ("weight", w.way_weight)],
        TrialKind::Course => {
            vec![("distance", w.way_distance), ("stopwatch", w.way_stopwatch), ("wheel", w.way_wheel)]
        }
        _ => return ().into_any(),
    };
    let first = options.first().map(|(code, _)| (*code).to_owned()).unwrap_or_default();
    let stored = sheet.text("setup.way");
    let chosen = Signal::derive(move || stored.get().unwrap_or_else(|| first.clone()));
    let options = options.into_iter().map(|(code, label)| (code.to_owned(), label.to_owned())).collect();
    view! { <Choice legend=w.way options=options chosen=chosen on_choose=move |code| sheet.set_one("setup.way", code) /> }
        .into_any()
}

/// What is read in one run of a trial.
fn fields_of(kind: TrialKind, way: Option<&str>) -> Vec<RunField> {
    let w = &words().prove;
    let need = |name, label| RunField { name, label, needed: true };
    let may = |name, label| RunField { name, label, needed: false };
    match (kind, way) {
        (TrialKind::Meter, Some("weight")) => vec![
            need("indicated", w.console_shows),
            need("gross", w.scale_full),
            need("tare", w.scale_empty),
            need("temperature", w.water_temperature),
            may("seconds", w.watch_says),
        ],
        (TrialKind::Meter, _) => {
            vec![need("indicated", w.console_shows), need("actual", w.jug_says), may("seconds", w.watch_says)]
        }
        (TrialKind::Course, Some("stopwatch")) => {
            vec![need("speed", w.console_shows), need("seconds", w.watch_says)]
        }
        (TrialKind::Course, Some("wheel")) => vec![need("taped", w.tape_says)],
        (TrialKind::Course, _) => vec![need("distance", w.console_shows)],
        (TrialKind::Pump, _) => vec![
            need("indicated", w.console_shows),
            need("actual", w.cylinder_says),
            may("output", w.pump_output),
            may("seconds", w.watch_says),
        ],
        (TrialKind::Gauge, _) => vec![need("gauge", w.gauge_shows), need("reference", w.reference_shows)],
        (TrialKind::Catch, _) => {
            vec![need("nozzle", w.nozzle), need("actual", w.jug_says), need("seconds", w.watch_says)]
        }
        (TrialKind::Sections, _) => vec![need("on", w.sections_on), need("width", w.console_shows)],
        (TrialKind::Standing, _) => vec![
            need("seconds", w.watch_says),
            may("flow", w.shown_flow),
            may("indicated", w.shown_volume),
            may("area", w.shown_area),
            may("actual", w.drawn_volume),
            may("pressure", w.gauge_shows),
        ],
    }
}
