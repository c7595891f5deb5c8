//! The key-in sheet: every number to key into the console of one rig, as it wants it. Prints on one page.

use crate::bridge::keyin::{Entry, In, KeySheet, Row, sheet_of};
use crate::browser::{clock, print};
use crate::components::boom::{BoomDrawing, DrawnSection};
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::sheet::System;
use crate::text::{keyin, number, reach, rig, words};
use leptos::prelude::*;
use records::DocId;
use records::rig::{RigProblemKind, RigView};
use units::{Length, Unit};

/// The sheet of the rig in the address, or of the one last looked at.
#[component]
pub(crate) fn KeyIn(
    /// The rig's id, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let Some(rig) = rig_at_hand(id.as_deref()) else {
        return view! { <RigChoice title=words().keyin.title route=|id| Route::KeyIn(Some(id)) /> }
            .into_any();
    };
    view! { <Sheet rig=rig /> }.into_any()
}

#[component]
fn Sheet(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let ledger = ledger();
    let w = &words().keyin;
    let name = rig_name(&rig);
    let system = ledger
        .book
        .with_untracked(|book| System::from_code(book.doc(&rig).and_then(|doc| doc.text("system"))));
    let to_rig = Route::Rig(rig.to_string()).to_hash();
    let rig_address = to_rig.clone();
    let view = Memo::new({
        let rig = rig.clone();
        move |_| {
            ledger.book.with(|book| {
                book.doc(&rig).map(|doc| (sheet_of(&RigView::read(doc), system), refusals(doc, system)))
            })
        }
    });
    let printed = (w.printed)(&clock::local_minute(&clock::now_iso()));
    view! {
        <h1>{w.title}</h1>
        <p class="keyin__rig">{name}<span class="keyin__printed">{printed}</span></p>
        {move || view.get().map(|(sheet, refusals)| {
            view! {
                {warnings(&sheet, refusals)}
                {missing(&sheet, to_rig.clone())}
                {table(&sheet)}
                <Widths sheet=sheet />
            }
        })}
        <p class="keyin__foot">{w.foot}</p>
        <div class="button-row no-print">
            <button type="button" class="button button--main" on:click=move |_| print::print()>{w.print}</button>
            <a class="button" href=rig_address>{w.to_rig}</a>
            <a class="button" href=Route::Prove(Some(rig.to_string())).to_hash()>{words().rig.to_prove}</a>
        </div>
    }
}

/// What must be changed before anybody sprays: rates above the label, numbers that the console cannot take.
fn refusals(doc: &records::Doc, system: System) -> Vec<String> {
    RigView::read(doc)
        .problems(doc)
        .iter()
        .filter(|p| {
            matches!(p.kind, RigProblemKind::RateAboveLabel { .. } | RigProblemKind::PastConsole { .. })
        })
        .map(|p| rig::problem_text(p, system))
        .collect()
}

/// Refusals, and rates that the hold or a manual carrier lifts above the label.
fn warnings(sheet: &KeySheet, mut texts: Vec<String>) -> Option<AnyView> {
    if !sheet.lifted.is_empty() {
        texts.push(words().keyin.lifted.to_owned());
        texts.extend(reach::refusal_texts(&sheet.lifted, sheet.speed_unit));
    }
    (!texts.is_empty()).then(|| {
        let lines = texts.into_iter().map(|text| view! { <p>{text}</p> }).collect_view();
        view! { <div class="caution caution--lines" role="alert">{lines}</div> }.into_any()
    })
}

/// Numbers that the rig does not say, by name, with the way to say them.
fn missing(sheet: &KeySheet, to_rig: String) -> Option<AnyView> {
    let w = &words().keyin;
    // The sum is missing because a width is; it is named only where there is no section at all.
    let sections = sheet.rows.iter().any(|row| matches!(row.entry, Entry::Width(_)));
    let named = |row: &&Row| row.number.is_none() && !(sections && row.entry == Entry::TotalWidth);
    let names: Vec<String> =
        sheet.rows.iter().filter(named).map(|row| keyin::entry_text(row.entry)).collect();
    (!names.is_empty()).then(|| {
        view! {
            <p class="keyin__missing">{(w.still_missing)(&names.join(", "))}" "<a href=to_rig>{w.describe}</a></p>
        }
        .into_any()
    })
}

/// Rows with the number to key in, large.
fn table(sheet: &KeySheet) -> AnyView {
    let w = &words().keyin;
    let rows = sheet.rows.iter().map(row_view).collect_view();
    view! {
        <table class="keyin">
            <caption class="unseen">{w.title}</caption>
            <thead>
                <tr>
                    <th scope="col">{w.entry}</th>
                    <th scope="col">{w.key}</th>
                    <th scope="col">{w.rounding}</th>
                    <th scope="col">{w.source}</th>
                    <th scope="col">{w.one_percent}</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
        {sheet.manual.then(|| view! { <p>{w.manual}</p> })}
    }
    .into_any()
}

fn row_view(row: &Row) -> AnyView {
    let w = &words().keyin;
    let shown_in = match &row.shown_in {
        In::Unit(symbol) => (*symbol).to_owned(),
        In::Convention(code) => crate::text::prove::convention_text(code),
    };
    let (key, rounding) = match &row.number {
        None => (view! { <span class="keyin__missing">{w.missing}</span> }.into_any(), String::new()),
        Some(Err(why)) => (
            view! { <span class="field__problem">{keyin::refusal_text(why)}</span> }.into_any(),
            String::new(),
        ),
        Some(Ok(number)) => (
            view! { <span class="keyin__figure">{keyin::figure(number.rounded, row.decimals)}</span> }
                .into_any(),
            keyin::rounding_text(number, row.decimals),
        ),
    };
    let note = row.at_carrier_rate.then(|| view! { <span class="keyin__note">{w.at_carrier_rate}</span> });
    let effect = row.effect.as_ref().map(|effect| keyin::effect_of(row.entry, effect)).unwrap_or_default();
    // The sum comes from the widths above it and has no source of its own.
    let source =
        if row.entry == Entry::TotalWidth { String::new() } else { keyin::sources_text(&row.sources) };
    view! {
        <tr>
            <th scope="row">{keyin::entry_text(row.entry)}</th>
            <td class="keyin__key">{key}" "<span class="keyin__unit">{shown_in}</span>{note}</td>
            <td data-label=w.rounding>{rounding}</td>
            <td data-label=w.source>{source}</td>
            <td data-label=w.one_percent>{effect}</td>
        </tr>
    }
    .into_any()
}

/// The boom with its widths, and what the console should add up as sections go on from the left. Any set can be switched
/// on here, as at the console; nothing of it is kept.
#[component]
fn Widths(
    /// The sheet.
    sheet: KeySheet,
) -> impl IntoView {
    let w = &words().keyin;
    let KeySheet { widths, keyed_widths: keyed, width_unit: unit, .. } = sheet;
    if keyed.is_empty() || keyed.len() != widths.len() {
        return view! { <p class="no-print">{w.no_widths}</p> }.into_any();
    }
    let n = keyed.len();
    let on = RwSignal::new(vec![true; n]);
    let told = move |value: f64| format!("{}\u{a0}{}", number::significant(value, 7), unit.symbol());
    let labels: Vec<String> = keyed.iter().map(|value| told(*value)).collect();
    let drawn = Signal::derive({
        let labels = labels.clone();
        move || {
            let on = on.get();
            let section = |((width, label), on): ((&Length, &String), &bool)| DrawnSection {
                width_m: width.as_m(),
                label: label.clone(),
                on: *on,
            };
            widths.iter().zip(&labels).zip(&on).map(section).collect()
        }
    });
    let press = Callback::new(move |idx: usize| {
        on.update(|on| {
            if let Some(on) = on.get_mut(idx) {
                *on = !*on;
            }
        });
    });
    let now = {
        let keyed = keyed.clone();
        move || {
            let on = on.get();
            let sum: f64 = keyed.iter().zip(&on).filter(|(_, on)| **on).map(|(width, _)| width).sum();
            (w.width_now)(on.iter().filter(|on| **on).count(), &told(sum))
        }
    };
    let switches = (0..n)
        .map(|idx| {
            let pressed = move || on.read().get(idx).copied().unwrap_or(false);
            view! {
                <button
                    type="button"
                    class="button widths__switch"
                    aria-pressed=move || pressed().to_string()
                    aria-label=(w.switch)(idx + 1)
                    on:click=move |_| press.run(idx)
                >
                    {idx + 1}
                </button>
            }
        })
        .collect_view();
    let mut sum = 0.0;
    let rows = keyed
        .iter()
        .enumerate()
        .map(|(idx, width)| {
            sum += width;
            view! { <li>{keyin::sections_up_to(idx + 1)}" "<strong>{told(sum)}</strong></li> }
        })
        .collect_view();
    view! {
        <section class="widths">
            <h2>{w.widths}</h2>
            <p class="no-print">{w.widths_hint}</p>
            <BoomDrawing sections=drawn on_press=press />
            <div class="button-row no-print" role="group" aria-label=w.switches>{switches}</div>
            <output class="widths__now no-print" aria-live="polite">{now}</output>
            <ul class="widths__sums">{rows}</ul>
        </section>
    }
    .into_any()
}
