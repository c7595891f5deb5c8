//! The operator's card of a rig: speeds, sections, pressures, switches and what never to do, on one screen and one page.

use crate::bridge::plumbing::work_out;
use crate::bridge::rig::rig_of;
use crate::browser::print;
use crate::pages::lag;
use crate::pages::reach::{In, units_of};
use crate::pages::rig_choice::{rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::sheet::System;
use crate::text::plumbing::Shown;
use crate::text::{card as told, number, reach, words};
use calc::reach::cab_card::{CabCard, cab_card};
use calc::reach::expected::Expected;
use calc::reach::plan::{Plan, RateInForce};
use leptos::prelude::*;
use records::rig::RigView;

/// The card of the rig in the address.
#[component]
pub(crate) fn Card(
    /// The rig's id.
    id: String,
) -> impl IntoView {
    let nothing = || view! { <crate::pages::nothing::Nothing /> }.into_any();
    let Some(rig) = rig_at_hand(Some(&id)) else { return nothing() };
    let read = ledger().book.with_untracked(|book| {
        book.doc(&rig).map(|doc| {
            let view = RigView::read(doc);
            let products: Vec<String> =
                view.pumps.iter().map(|pump| pump.name.clone().unwrap_or_default()).collect();
            (rig_of(&view), products, System::from_code(doc.text("system")), work_out(&view, &[]))
        })
    });
    let Some((described, products, system, lines)) = read else { return nothing() };
    let n_sections = described.sections.len();
    let shown_in = units_of(system);
    let card = cab_card(&Plan::new(described), shown_in.step);
    let w = &words().card;
    view! {
        <h1>{w.title}</h1>
        <p class="keyin__rig">{rig_name(&rig)}</p>
        {refused(&card, shown_in)}
        <div class="cab">
            <section class="cab__part cab__part--keep">
                <h2>{w.keep}</h2>
                <p class="cab__figure">{told::keep_text(&card, shown_in.speed)}</p>
                {card.width.map(|width| {
                    let width = number::quantity(width, shown_in.length, 3);
                    view! { <p><strong>{(w.on)(card.sections_on.count(), n_sections, &width)}</strong></p> }
                })}
            </section>
            {never(&card, shown_in)}
            {pressures(&card, shown_in)}
            {sections(&card, shown_in)}
            {switches(&card, &products, shown_in)}
            {card.refused.is_empty().then(|| lag::card_part(&lines, Shown::of(system)))}
        </div>
        {unknown(&card)}
        <p class="keyin__foot">{words().keyin.foot}</p>
        <div class="button-row no-print">
            <button type="button" class="button button--main" on:click=move |_| print::print()>{w.print}</button>
            <a class="button" href=Route::Reach(Some(rig.to_string())).to_hash()>{w.to_reach}</a>
        </div>
    }
    .into_any()
}

fn items(texts: Vec<String>) -> AnyView {
    view! { <ul class="findings">{texts.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul> }
        .into_any()
}

/// The caution stays on paper too.
fn refused(card: &CabCard, shown_in: In) -> AnyView {
    if card.refused.is_empty() {
        return ().into_any();
    }
    let texts = card.refused.iter().map(|refusal| reach::refusal_text(refusal, shown_in.speed)).collect();
    view! {
        <div class="caution" role="alert">
            <strong>{words().card.refused}</strong>
            {items(texts)}
        </div>
    }
    .into_any()
}

fn never(card: &CabCard, shown_in: In) -> AnyView {
    if card.never.is_empty() {
        return ().into_any();
    }
    let texts =
        card.never.iter().map(|never| told::never_text(never, shown_in.speed, shown_in.length)).collect();
    view! {
        <section class="cab__part cab__part--never">
            <h2>{words().card.never}</h2>
            {items(texts)}
        </section>
    }
    .into_any()
}

fn pressures(card: &CabCard, shown_in: In) -> AnyView {
    let w = &words().card;
    let own = &words().reach;
    // An end of the window that is a whole step stands in the table once.
    let apart = |end: &&Expected| card.rows.iter().all(|row| !same_figure(row, end, shown_in));
    let first = card.at_slowest.as_ref().filter(apart);
    let last = card.at_fastest.as_ref().filter(apart);
    let rows: Vec<AnyView> =
        first.into_iter().chain(&card.rows).chain(last).map(|row| pressure_row(row, shown_in)).collect();
    let body = if rows.is_empty() {
        view! { <p>{w.no_rows}</p> }.into_any()
    } else {
        view! {
            <table>
                <thead><tr>
                    <th scope="col">{own.speed}</th>
                    <th scope="col">{own.pressure}</th>
                    <th scope="col">{own.carrier}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        }
        .into_any()
    };
    view! { <section class="cab__part cab__part--pressures"><h2>{w.pressures}</h2>{body}</section> }
        .into_any()
}

fn same_figure(a: &Expected, b: &Expected, shown_in: In) -> bool {
    number::quantity(a.speed, shown_in.speed, 3) == number::quantity(b.speed, shown_in.speed, 3)
}

fn pressure_row(row: &Expected, shown_in: In) -> AnyView {
    let none = || "–".to_owned();
    view! {
        <tr>
            <th scope="row">{number::quantity(row.speed, shown_in.speed, 3)}</th>
            <td>{row.pressure.map_or_else(none, |p| number::quantity(p, shown_in.pressure, 3))}</td>
            <td>{row.carrier_rate.map_or_else(none, |r| number::quantity(r, shown_in.rate, 3))}</td>
        </tr>
    }
    .into_any()
}

fn sections(card: &CabCard, shown_in: In) -> AnyView {
    // One section has no fewer.
    if card.by_count.len() < 2 {
        return ().into_any();
    }
    let w = &words().card;
    let rows = card
        .by_count
        .iter()
        .map(|count| {
            view! {
                <tr>
                    <th scope="row">{count.n_on}</th>
                    <td>{reach::window_short(&count.any_set, shown_in.speed)}</td>
                </tr>
            }
        })
        .collect_view();
    view! {
        <section class="cab__part cab__part--sections">
            <h2>{words().reach.by_sections}</h2>
            <p>{w.fewer_hint}</p>
            <table>
                <thead><tr><th scope="col">{w.fewer}</th><th scope="col">{words().reach.speed}</th></tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </section>
    }
    .into_any()
}

fn switches(card: &CabCard, products: &[String], shown_in: In) -> AnyView {
    if card.switches.is_empty() {
        return ().into_any();
    }
    let w = &words().card;
    // Positions in the order in which the pumps have them: plain rates first.
    let mut positions: Vec<RateInForce> = Vec::new();
    for switch in &card.switches {
        if !positions.contains(&switch.rate) {
            positions.push(switch.rate);
        }
    }
    let pumps: Vec<usize> = (0..products.len())
        .filter(|idx| card.switches.iter().any(|switch| switch.pump_idx == *idx))
        .collect();
    let cell = |rate: RateInForce, pump_idx: usize| {
        let switch = card.switches.iter().find(|switch| switch.rate == rate && switch.pump_idx == pump_idx);
        switch.map_or_else(|| "–".to_owned(), |switch| told::switch_text(switch, shown_in.rate))
    };
    let heads = pumps
        .iter()
        .map(|&idx| {
            let product = products.get(idx).map_or("", String::as_str);
            view! { <th scope="col">{(w.pump)(idx + 1, product)}</th> }
        })
        .collect_view();
    let rows = positions
        .iter()
        .map(|&rate| {
            let cells = pumps.iter().map(|&idx| view! { <td>{cell(rate, idx)}</td> }).collect_view();
            view! { <tr><th scope="row">{reach::position_text(rate)}</th>{cells}</tr> }
        })
        .collect_view();
    view! {
        <section class="cab__part cab__part--switches">
            <h2>{w.switches}</h2>
            <div class="scroll" tabindex="0" role="group" aria-label=w.switches>
                <table>
                    <thead><tr><th scope="col">{w.switch}</th>{heads}</tr></thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
        </section>
    }
    .into_any()
}

fn unknown(card: &CabCard) -> AnyView {
    if card.problems.is_empty() {
        return ().into_any();
    }
    let texts = card.problems.iter().map(reach::problem_text).collect();
    view! { <section class="cab__unknown"><h2>{words().card.unknown}</h2>{items(texts)}</section> }.into_any()
}
