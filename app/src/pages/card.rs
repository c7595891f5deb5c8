//! The operator's card of a rig: speeds, sections, pressures, switches and what never to do, on one screen and one page.

use crate::bridge::plumbing::work_out;
use crate::bridge::what_if::WhatIf;
use crate::browser::print;
use crate::components::table::wide_table;
use crate::pages::lag;
use crate::pages::reach::{In, Known, known};
use crate::pages::rig_choice::{rig_at_hand, rig_name};
use crate::route::Route;
use crate::text::plumbing::Shown;
use crate::text::{card as told, number, reach, words};
use calc::reach::cab_card::{CabCard, cab_card};
use calc::reach::expected::Expected;
use calc::reach::window::window;
use leptos::prelude::*;
use units::Unit;

/// The card of the rig in the address.
#[component]
pub(crate) fn Card(
    /// The rig's id.
    id: String,
    /// What is tried beside the rig's own plan, as in the address.
    tried: String,
) -> impl IntoView {
    let nothing = || view! { <crate::pages::nothing::Nothing /> }.into_any();
    let Some(rig) = rig_at_hand(Some(&id)) else { return nothing() };
    let Some(Known { mut plan, products, view, system, shown_in, .. }) = known(&rig) else {
        return nothing();
    };
    let what_if = WhatIf::from_code(&tried);
    what_if.apply(&mut plan);
    let changes = reach::tried_texts(what_if.carrier, what_if.sections_on, shown_in.rate, shown_in.pressure);
    // Lines are worked out for what the rig has; for another rate or other sections they hold another time.
    let lines = (changes.is_empty()).then(|| work_out(&view, &[]));
    let n_sections = plan.rig.sections.len();
    let card = cab_card(&plan, shown_in.step);
    let surely = window(&plan).surely;
    let carrier =
        plan.rig.carrier.map(|carrier| told::carrier_text(carrier, shown_in.rate, shown_in.pressure));
    let w = &words().card;
    view! {
        <h1>{w.title}</h1>
        <p class="cab__rig">{rig_name(&rig)}</p>
        {(!changes.is_empty()).then(|| view! { <p class="cab__tried">{words().reach.tried}" "{changes.join("; ")}"."</p> })}
        {refused(&card, shown_in)}
        <div class="cab">
            <section class="cab__part cab__part--keep">
                <h2>{w.keep}</h2>
                <p class="cab__figure">{told::keep_text(&card, &surely, shown_in.speed)}</p>
                <p><strong>{carrier}</strong></p>
                {card.width.map(|width| {
                    let width = number::quantity(width, shown_in.length, 3);
                    view! { <p><strong>{(w.on)(card.sections_on.count(), n_sections, &width)}</strong></p> }
                })}
            </section>
            {never(&card, shown_in)}
            {pressures(&card, shown_in)}
            {sections(&card, shown_in)}
            {switches(&card, &products, shown_in)}
            {lines.filter(|_| card.refused.is_empty()).map(|lines| lag::card_part(&lines, Shown::of(system)))}
        </div>
        {unknown(&card, shown_in)}
        <p class="keyin__foot">{words().keyin.foot}</p>
        <div class="button-row no-print">
            <button type="button" class="button button--main" on:click=move |_| print::print()>{w.print}</button>
            <a class="button" href=Route::Reach(Some(rig.to_string()), tried).to_hash()>{w.to_reach}</a>
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
    let cautions = [(words().card.refused, &card.refused), (words().reach.doubtful, &card.doubtful)];
    cautions
        .into_iter()
        .filter(|(_, refusals)| !refusals.is_empty())
        .map(|(title, refusals)| {
            let texts = reach::refusal_texts(refusals, shown_in.speed);
            view! {
                <div class="caution" role="alert">
                    <strong>{title}</strong>
                    {items(texts)}
                </div>
            }
            .into_any()
        })
        .collect_view()
        .into_any()
}

fn never(card: &CabCard, shown_in: In) -> AnyView {
    if card.never.is_empty() {
        return ().into_any();
    }
    let texts = told::never_texts(&card.never, shown_in.speed, shown_in.length);
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
    // An end of the window that is a whole step stands in the list once.
    // Slower than the rate is held nobody is to drive.
    let kept = |row: &&Expected| card.rate_held_from.is_none_or(|held| held <= row.speed);
    let apart = |end: &&Expected| kept(end) && card.rows.iter().all(|row| !same_figure(row, end, shown_in));
    let first = card.at_slowest.as_ref().filter(apart);
    let last = card.at_fastest.as_ref().filter(apart);
    let rows: Vec<&Expected> = first.into_iter().chain(card.rows.iter().filter(kept)).chain(last).collect();
    if rows.is_empty() {
        return view! { <section class="cab__part cab__part--pressures"><h2>{w.pressures}</h2><p>{w.no_rows}</p></section> }
            .into_any();
    }
    // A rate that is the same all over is said in one place, above.
    let rates: Vec<String> = rows.iter().map(|row| shown_in.r(row.carrier_rate)).collect();
    let floats = rates.iter().any(|rate| Some(rate) != rates.first());
    let items = rows
        .iter()
        .zip(rates)
        .map(|(row, rate)| {
            let rate = if floats { rate } else { String::new() };
            view! { <li><strong>{shown_in.v(row.speed)}</strong><span>{(w.step)(&shown_in.p(row.pressure), &rate)}</span></li> }
        })
        .collect_view();
    view! {
        <section class="cab__part cab__part--pressures">
            <h2>{w.pressures}</h2>
            <ul class="cab__steps" class:cab__steps--three=floats>{items}</ul>
        </section>
    }
    .into_any()
}

fn same_figure(a: &Expected, b: &Expected, shown_in: In) -> bool {
    shown_in.v(a.speed) == shown_in.v(b.speed)
}

fn sections(card: &CabCard, shown_in: In) -> AnyView {
    // One section has no fewer.
    if card.by_count.len() < 2 {
        return ().into_any();
    }
    let lines = told::count_texts(&card.by_count, shown_in.speed)
        .into_iter()
        .map(|text| view! { <li>{text}</li> })
        .collect_view();
    view! {
        <section class="cab__part cab__part--sections">
            <h2>{words().card.fewer}</h2>
            <ul>{lines}</ul>
        </section>
    }
    .into_any()
}

fn switches(card: &CabCard, products: &[String], shown_in: In) -> AnyView {
    if card.switches.is_empty() {
        return ().into_any();
    }
    let w = &words().card;
    let switches = told::switch_table(&card.switches, shown_in.rate);
    let pumps = switches.pumps.iter().map(|&idx| {
        let product = products.get(idx).map_or("", String::as_str);
        (w.pump)(idx + 1, product)
    });
    let heads: Vec<String> = [w.switch.to_owned()]
        .into_iter()
        .chain(switches.against_first.then(|| w.against.to_owned()))
        .chain(pumps)
        .collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let title = (w.switches_in)(reach::product_unit(shown_in.rate).symbol());
    view! {
        <section class="cab__part cab__part--switches">
            <h2>{title.clone()}</h2>
            {wide_table(&title, &heads, switches.rows)}
        </section>
    }
    .into_any()
}

fn unknown(card: &CabCard, shown_in: In) -> AnyView {
    if card.problems.is_empty() {
        return ().into_any();
    }
    let texts =
        card.problems.iter().map(|p| reach::problem_text(p, shown_in.rate, shown_in.pressure)).collect();
    view! { <section class="cab__unknown"><h2>{words().card.unknown}</h2>{items(texts)}</section> }.into_any()
}
