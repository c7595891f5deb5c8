//! The key-in sheet: every number to key into the console of one rig, as it wants it. Prints on one page.

use crate::bridge::keyin::{In, KeySheet, Row, sheet_of};
use crate::browser::print;
use crate::components::boom::{BoomDrawing, DrawnSection};
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::sheet::System;
use crate::text::{keyin, number, rig, words};
use leptos::prelude::*;
use records::DocId;
use records::rig::{RigProblemKind, RigView};
use units::Quantity;

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
    let view = Memo::new({
        let rig = rig.clone();
        move |_| {
            ledger.book.with(|book| {
                book.doc(&rig).map(|doc| (sheet_of(&RigView::read(doc), system), refusals(doc, system)))
            })
        }
    });
    view! {
        <h1>{w.title}</h1>
        <p class="keyin__rig">{name}</p>
        {move || match view.get() {
            None => ().into_any(),
            Some((sheet, refusals)) => view! {
                {(!refusals.is_empty()).then(|| view! {
                    <div class="caution" role="alert">
                        {refusals.into_iter().map(|text| view! { <p>{text}</p> }).collect_view()}
                    </div>
                })}
                {table(&sheet)}
                <Widths sheet=sheet />
            }
            .into_any(),
        }}
        <p class="keyin__foot">{w.foot}</p>
        <div class="button-row no-print">
            <button type="button" class="button button--main" on:click=move |_| print::print()>{w.print}</button>
            <a class="button" href=to_rig>{w.to_rig}</a>
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
        Some(Err(error)) => (
            view! { <span class="field__problem">{keyin::refusal_text(error)}</span> }.into_any(),
            String::new(),
        ),
        Some(Ok(number)) => {
            let figure = match row.decimals {
                Some(decimals) => number::number(number.rounded, decimals),
                None => number::significant(number.rounded, 6),
            };
            let rounding = if row.decimals.is_some() {
                number::signed_percent(number.rounding_error.as_fraction(), 2)
            } else {
                String::new()
            };
            (view! { <span class="keyin__figure">{figure}</span> }.into_any(), rounding)
        }
    };
    let effect = row.effect.as_ref().map(keyin::effect_text).unwrap_or_default();
    let source = row.source.as_ref().map_or_else(|| w.source_unsaid.to_owned(), rig::source_text);
    view! {
        <tr>
            <th scope="row">{keyin::entry_text(row.entry)}</th>
            <td class="keyin__key">{key}" "<span class="keyin__unit">{shown_in}</span></td>
            <td data-label=w.rounding>{rounding}</td>
            <td data-label=w.source>{source}</td>
            <td data-label=w.one_percent>{effect}</td>
        </tr>
    }
    .into_any()
}

/// The boom with its widths, and what the console should add up as sections go on from the left.
#[component]
fn Widths(
    /// The sheet.
    sheet: KeySheet,
) -> impl IntoView {
    let w = &words().keyin;
    if sheet.cumulative.is_empty() {
        return view! { <p>{w.no_widths}</p> }.into_any();
    }
    let unit = sheet.width_unit;
    let n = sheet.cumulative.len();
    let on = RwSignal::new(n);
    let mut last = 0.0;
    let widths: Vec<f64> = sheet
        .cumulative
        .iter()
        .map(|sum| {
            let width = sum.as_m() - last;
            last = sum.as_m();
            width
        })
        .collect();
    let drawn = Signal::derive(move || {
        widths
            .iter()
            .enumerate()
            .map(|(idx, width_m)| DrawnSection {
                width_m: *width_m,
                label: number::quantity(units::Length::from_m(*width_m), unit, 5),
                on: idx < on.get(),
            })
            .collect()
    });
    let sums = StoredValue::new(sheet.cumulative.clone());
    let now = move || {
        let on = on.get();
        let sum = on.checked_sub(1).and_then(|idx| sums.with_value(|sums| sums.get(idx).copied()));
        let text = sum.map_or_else(|| "0".to_owned(), |sum| number::quantity(sum, unit, 5));
        (w.width_now)(on, &text)
    };
    let rows = sheet
        .cumulative
        .iter()
        .enumerate()
        .map(|(idx, sum)| {
            let text =
                format!("{}\u{a0}{}", number::significant(sum.in_unit(unit), 6), units::Unit::symbol(unit));
            view! { <tr><th scope="row">{keyin::sections_up_to(idx + 1)}</th><td>{text}</td></tr> }
        })
        .collect_view();
    let step = move |by: isize| on.update(|on| *on = on.saturating_add_signed(by).min(n));
    view! {
        <section class="widths">
            <h2>{w.widths}</h2>
            <BoomDrawing sections=drawn />
            <div class="button-row no-print">
                <button type="button" class="button" on:click=move |_| step(-1)>{w.one_less}</button>
                <button type="button" class="button" on:click=move |_| step(1)>{w.one_more}</button>
                <output class="widths__now" aria-live="polite">{now}</output>
            </div>
            <table class="widths__table"><tbody>{rows}</tbody></table>
        </section>
    }
    .into_any()
}
