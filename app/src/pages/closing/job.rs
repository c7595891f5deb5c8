//! The readings of a day: its jobs, the ground of each, its loads, and how well everything was read.

use super::Said;
use crate::bridge::closing::begin;
use crate::bridge::closing::readings::{usual_give, way_of, ways_of};
use crate::components::choice::Choice;
use crate::components::doc_field::{DocField, doc_box};
use crate::components::field::next_id;
use crate::state::drafts;
use crate::state::ledger::ledger;
use crate::state::sheet::{Sheet, sheet};
use crate::text::{closing as told, measure, words};
use leptos::prelude::*;
use records::closing::{DayView, read_quantity, spec_of};
use records::fields::{Holds, Measure};
use records::rig::RigView;
use records::{Doc, DocId};
use units::{Area, Length, Volume};

/// Every job, and the presses that add one or put one back.
#[component]
pub(super) fn Jobs(
    /// The rig.
    rig: DocId,
    /// What the day says.
    closing: Said,
    /// What each pump carries.
    products: StoredValue<Vec<String>>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().closing;
    let keys = Memo::new(move |_| {
        sheet
            .read(|doc| DayView::read(doc).jobs.iter().map(|job| job.key.to_owned()).collect::<Vec<_>>())
            .unwrap_or_default()
    });
    let add = move |_| {
        let set = sheet
            .ledger
            .book
            .with_untracked(|book| begin::job(book.doc(&rig).map(|d| RigView::read(d)).as_ref()));
        sheet.ledger.save_then(ledger().draft(sheet.id()).set_all(set), |_| {});
    };
    let removed = Memo::new(move |_| sheet.read(removed_paths).unwrap_or_default());
    let put_back = move |_| sheet.set(removed.get_untracked().into_iter().map(|path| (path, None)), || {});
    view! {
        <For each=move || keys.get().into_iter().enumerate() key=|(idx, key)| (*idx, key.clone()) let((idx, key))>
            <Job number=idx + 1 key=key closing=closing products=products />
        </For>
        <div class="button-row">
            <button type="button" class="button" on:click=add>{w.add_job}</button>
            <button type="button" class="button button--quiet" hidden=move || removed.read().is_empty() on:click=put_back>{w.put_back}</button>
        </div>
    }
}

fn removed_paths(doc: &Doc) -> Vec<String> {
    let taken_out = doc.texts().filter(|(path, _)| path.starts_with("job.") && path.ends_with(".removed"));
    taken_out.map(|(path, _)| path.to_owned()).collect()
}

/// One job.
#[component]
fn Job(
    /// Its number, from 1.
    number: usize,
    /// Its key.
    key: String,
    /// What the day says.
    closing: Said,
    /// What each pump carries.
    products: StoredValue<Vec<String>>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().closing;
    let key = StoredValue::new(key);
    let at = move |what: &str| key.with_value(|key| format!("job.{key}.{what}"));
    let title = (w.job)(number);
    let by = sheet.text(at("by"));
    let by_strip = Memo::new(move |_| by.read().as_deref() == Some("strip"));
    let chosen = Signal::derive(move || if by_strip.get() { "strip" } else { "area" }.to_owned());
    let ways =
        [("area", w.by_area), ("strip", w.by_strip)].map(|(code, label)| (code.to_owned(), label.to_owned()));
    let ground = move || {
        let fields: &[&str] = if by_strip.get() {
            &["length", "width", "shown_area", "shown_distance"]
        } else {
            &["area", "shown_area"]
        };
        let boxes = fields.iter().map(|field| (at(field), (w.of_ground)(field).to_owned())).collect();
        readings(sheet, closing, boxes)
    };
    let loads = Memo::new(move |_| {
        let keys = |doc: &Doc| {
            let day = DayView::read(doc);
            let job =
                key.with_value(|key| day.jobs.iter().find(|job| job.key == key).map(|j| j.loads.clone()));
            job.unwrap_or_default().into_iter().map(str::to_owned).collect::<Vec<_>>()
        };
        sheet.read(keys).unwrap_or_default()
    });
    let add_load = move |_| {
        let set = sheet.peek(|doc| key.with_value(|key| begin::load(doc, key))).unwrap_or_default();
        sheet.ledger.save_then(sheet.ledger.draft(sheet.id()).set_all(set), |_| {});
    };
    let plan = move || {
        let carrier = (at("planned.carrier"), (w.planned)(w.carrier));
        let products = products.with_value(|products| {
            let of = |(idx, name): (usize, &String)| {
                (at(&format!("planned.product.{}", idx + 1)), (w.planned)(&(w.pump)(idx + 1, name)))
            };
            products.iter().enumerate().map(of).collect::<Vec<_>>()
        });
        std::iter::once(carrier)
            .chain(products)
            .map(|(path, label)| doc_box(path, label, Signal::default(), Signal::default(), None))
            .collect_view()
    };
    let take_out = move |_| sheet.set_one(at("removed"), "yes");
    view! {
        <section class="card" aria-label=title.clone()>
            <h2>{title.clone()}</h2>
            <DocField path=at("name") label=w.job_name />
            <Choice legend=w.ground options=ways.to_vec() chosen=chosen on_choose=move |code| sheet.set_one(at("by"), code) />
            {ground}
            <For each=move || loads.get().into_iter().enumerate() key=|(idx, load)| (*idx, load.clone()) let((idx, load))>
                <Load number=idx + 1 at=at(&format!("load.{load}")) closing=closing products=products />
            </For>
            <details class="group">
                <summary>{w.plan}</summary>
                <div class="fields">{plan}</div>
            </details>
            <div class="button-row">
                <button type="button" class="button" on:click=add_load>{w.add_load}</button>
                <button type="button" class="button button--quiet" on:click=take_out>{(w.take_out)(&title)}</button>
            </div>
        </section>
    }
}

/// One load of a job: the carrier open, each product behind its name until something stands there.
#[component]
fn Load(
    /// Its number, from 1.
    number: usize,
    /// Its path.
    at: String,
    /// What the day says.
    closing: Said,
    /// What each pump carries.
    products: StoredValue<Vec<String>>,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().closing;
    let title = (w.load)(number);
    let liquid = |path: &str, name: &str| {
        let boxes = ["loaded", "left", "shown"]
            .map(|field| (format!("{path}.{field}"), (w.of_liquid)(field, name)))
            .to_vec();
        readings(sheet, closing, boxes)
    };
    let injected = products.with_value(|products| {
        let group = |(idx, name): (usize, &String)| {
            let (path, name) = (format!("{at}.product.{}", idx + 1), (w.pump)(idx + 1, name));
            let filled =
                ["loaded", "left", "shown"].iter().any(|f| sheet.now(&format!("{path}.{f}")).is_some());
            let open = filled || drafts::any_below(&sheet.id().to_string(), &path);
            view! {
                <details class="group" open=open>
                    <summary>{name.clone()}</summary>
                    {liquid(&path, &name)}
                </details>
            }
        };
        products.iter().enumerate().map(group).collect_view()
    });
    let removed = format!("{at}.removed");
    let take_out = move |_| sheet.set_one(removed.clone(), "yes");
    view! {
        <section aria-label=title.clone()>
            <h3>{title.clone()}</h3>
            {liquid(&format!("{at}.carrier"), w.carrier)}
            {injected}
            <button type="button" class="button button--quiet" on:click=take_out>{(w.take_out)(&title)}</button>
        </section>
    }
}

/// Boxes for readings, and behind one line how well each was read.
fn readings(sheet: Sheet, closing: Said, boxes: Vec<(String, String)>) -> AnyView {
    let w = &words().closing;
    let fields = boxes
        .iter()
        .map(|(path, label)| {
            let path_of_box = path.clone();
            let wrong = move || {
                let closing = closing.read();
                let found = closing.as_ref()?.complaints.iter().find(|c| c.path == path_of_box)?;
                Some(told::wrong_text(&found.wrong, sheet.system))
            };
            let beside = Signal::derive(move || wrong().unwrap_or_default());
            doc_box(path.clone(), label.clone(), Signal::default(), beside, unit_of_last(sheet, path))
        })
        .collect_view();
    let place = sheet.id().to_string();
    let filled = |path: &String| {
        let give = format!("{path}.give");
        sheet.now(&give).is_some() || drafts::find(&place, &give).is_some()
    };
    let open = boxes.iter().any(|(path, _)| filled(path));
    let wells = boxes.into_iter().map(|(path, label)| well(sheet, path, &label)).collect_view();
    view! {
        <div class="fields">{fields}</div>
        <details open=open>
            <summary>{w.how_well}</summary>
            <div class="fields">{wells}</div>
        </details>
    }
    .into_any()
}

/// How one reading was made and how far it may be off.
fn well(sheet: Sheet, path: String, label: &str) -> AnyView {
    let w = &words().closing;
    let ways = ways_of(&path);
    let by = format!("{path}.by");
    let id = format!("f{}", next_id());
    let stored = sheet.text(by.clone());
    let first = ways.first().map(|way| way.code).unwrap_or_default();
    let chosen = move || stored.get().unwrap_or_else(|| first.to_owned());
    let choose = move |event| sheet.set_one(by.clone(), event_target_value(&event));
    let option = |way: &crate::bridge::closing::readings::Way| {
        let code = way.code;
        view! { <option value=code selected=move || chosen() == code>{(w.way)(code)}</option> }
    };
    let select = (ways.len() > 1).then(|| {
        view! {
            <div class="field">
                <label class="field__label" for=id.clone()>{(w.how_read)(label)}</label>
                <select class="field__select" id=id.clone() prop:value=chosen on:change=choose>
                    {ways.iter().map(option).collect_view()}
                </select>
            </div>
        }
    });
    let hint = {
        let path = path.clone();
        Memo::new(move |_| usual(sheet, &path))
    };
    let unit = unit_of_reading(sheet, &path);
    let field = doc_box(format!("{path}.give"), (w.give)(label), hint.into(), Signal::default(), unit);
    view! { <div>{select}{field}</div> }.into_any()
}

/// What holds where nobody says how far a reading may be off.
fn usual(sheet: Sheet, path: &str) -> String {
    let w = &words().closing;
    let said = sheet.read(|doc| {
        let way = way_of(doc, path);
        let full = full_of(doc, path);
        let give = match spec_of(path).map(|spec| spec.holds)? {
            Holds::Quantity(Measure::Area) => {
                let typed = read_quantity::<Area>(doc, path)?.ok()?;
                told::give_text::<Area>(usual_give(way, typed.value, None), typed.unit)
            }
            Holds::Quantity(Measure::Length) => {
                let typed = read_quantity::<Length>(doc, path)?.ok()?;
                told::give_text::<Length>(usual_give(way, typed.value, None), typed.unit)
            }
            _ => {
                let typed = read_quantity::<Volume>(doc, path)?.ok()?;
                told::give_text::<Volume>(usual_give(way, typed.value, full), typed.unit)
            }
        };
        Some((w.give_usual)(&give, (w.way)(way.code)))
    });
    said.flatten().unwrap_or_else(|| w.give_empty.to_owned())
}

/// The vessel that a volume was read in; what the console counted was in none.
fn full_of(doc: &Doc, path: &str) -> Option<Volume> {
    let (liquid, field) = path.rsplit_once('.')?;
    if field == "shown" {
        return None;
    }
    let of = |path: &str| read_quantity::<Volume>(doc, path)?.ok().map(|typed| typed.value);
    let tank = if path.contains(".product.") { None } else { of("setup.tank") };
    tank.or_else(|| of(&format!("{liquid}.loaded")))
}

/// The unit in which a reading was typed.
fn unit_of_reading(sheet: Sheet, path: &str) -> Option<&'static str> {
    let code = sheet.peek(|doc| doc.value(path)?.unit).flatten();
    let Holds::Quantity(measure) = spec_of(path)?.holds else { return None };
    code.and_then(|code| static_code(measure, &code))
}

/// The unit of the same reading in the load before, so that a second load asks in the unit of the first.
fn unit_of_last(sheet: Sheet, path: &str) -> Option<&'static str> {
    let Holds::Quantity(measure) = spec_of(path)?.holds else { return None };
    let rest = match path.split('.').collect::<Vec<_>>().as_slice() {
        ["job", _, "load", _, rest @ ..] => rest.join("."),
        _ => return None,
    };
    let code = sheet.peek(|doc| {
        let day = DayView::read(doc);
        let of_load = |job: &str, load: &str| doc.value(&format!("job.{job}.load.{load}.{rest}"))?.unit;
        let mut found = None;
        for job in &day.jobs {
            for load in &job.loads {
                found = of_load(job.key, load).or(found);
            }
        }
        found
    });
    code.flatten().and_then(|code| static_code(measure, &code))
}

fn static_code(measure: Measure, code: &str) -> Option<&'static str> {
    measure::units_of(measure).into_iter().map(|(known, _)| known).find(|known| *known == code)
}
