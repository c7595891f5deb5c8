//! The lag sheet: when and where product reaches the nozzles at a speed and rate, what it takes to charge and to flush the
//! lines. Prints on one page. How the lines run is on `pages::plumbing`.

mod chart;

use crate::bridge::plumbing::{LagPlan, Worked};
use crate::browser::print;
use crate::components::live::live;
use crate::components::table::{figures, sentences, table};
use crate::pages::nothing::Nothing;
use crate::pages::plumbing::Bench;
use crate::pages::plumbing::asked::asked;
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::text::plumbing::Shown;
use crate::text::{lag as told, words};
use calc::plumbing::dispersion::{BlurredFront, DispersionCoefficient};
use calc::plumbing::lag::{LagSheet, part_of};
use leptos::prelude::*;

/// Molecular diffusion of a product in water, m²/s: order of size, from memory. It plays no part in turbulent flow.
const MOLECULAR: DispersionCoefficient = DispersionCoefficient::from_m2_per_s(1e-9);

/// The lag sheet of the rig in the address, or of the one last looked at.
#[component]
pub(crate) fn LagPage(
    /// The rig's id, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let w = &words().lag;
    let Some(rig) = rig_at_hand(id.as_deref()) else {
        if id.is_some() {
            return view! { <Nothing /> }.into_any();
        }
        return view! { <RigChoice title=w.title route=|id| Route::Lag(Some(id)) /> }.into_any();
    };
    let bench = Bench::provide(&rig, false);
    view! {
        <h1>{w.title}</h1>
        <p class="keyin__rig">{rig_name(&rig)}</p>
        {asked(bench)}
        {live(move || {
            let shut = bench.shut.get();
            bench.worked.with(|worked| sheet(worked, &shut, bench.shown_in))
        })}
        <p class="keyin__foot">{w.foot}</p>
        <div class="button-row no-print">
            <button type="button" class="button button--main" on:click=move |_| print::print()>{w.print}</button>
            <a class="button" href=Route::Pass(Some(rig.to_string())).to_hash()>{words().pass.link}</a>
            <a class="button" href=Route::Plumbing(Some(rig.to_string())).to_hash()>{w.to_plumbing}</a>
        </div>
    }
    .into_any()
}

fn sheet(worked: &Worked, shut: &[usize], shown_in: Shown) -> AnyView {
    let w = &words().lag;
    let (Some(drawn), Some(plan), Some(sheet)) = (&worked.drawn, &worked.plan, &worked.sheet) else {
        return ().into_any();
    };
    let n_sections = drawn.network.sections.len();
    view! {
        <p class="lag__lead">{(w.lead)(&told::distance_text(sheet.lead_in, shown_in))}</p>
        <p>{w.lead_why}</p>
        <p>{told::asked_text(plan, shown_in)}". "{(w.sections_open)(n_sections - shut.len(), n_sections)}"."</p>
        {figures(told::figures(sheet, shown_in))}
        <p>{w.plug_flow}</p>
        <div class="lag__parts">
            <section>
                <h2>{w.chart}</h2>
                {chart::chart(sheet, shown_in)}
                {table(w.chart, &[w.share, w.from], told::share_rows(sheet, shown_in))}
            </section>
            <section>
                <h2>{w.charge}</h2>
                {sentences(told::charge_texts(sheet, shown_in))}
                <h2>{w.flush}</h2>
                {sentences(told::flush_texts(sheet, shown_in))}
                {products(plan, sheet, shown_in)}
                {blur(worked, sheet, shown_in)}
            </section>
        </div>
    }
    .into_any()
}

/// Lead-in and flush for the operator's card; nothing where the lines are not known or the state cannot be.
pub(super) fn card_part(worked: &Worked, shown_in: Shown) -> AnyView {
    let (Some(plan), Some(sheet)) = (&worked.plan, &worked.sheet) else { return ().into_any() };
    view! {
        <section class="cab__part cab__part--lag">
            <h2>{words().lag.card_title}</h2>
            {sentences(told::card_texts(plan, sheet, shown_in))}
        </section>
    }
    .into_any()
}

/// Each product's part of what stands in the lines and of what charging sprays, where there are several.
fn products(plan: &LagPlan, sheet: &LagSheet, shown_in: Shown) -> AnyView {
    let w = &words().lag;
    if plan.products.len() < 2 {
        return ().into_any();
    }
    let all = plan.product_rate();
    let rows = plan
        .products
        .iter()
        .map(|product| {
            let part = |volume| told::product_text(part_of(volume, product.rate, all), shown_in);
            vec![told::product_name(product), part(sheet.product_in_line), part(sheet.charge.product)]
        })
        .collect();
    table(w.by_product, &[w.product_head, w.in_lines, w.while_charging], rows)
}

/// How the front spreads, for whoever wants to know.
fn blur(worked: &Worked, sheet: &LagSheet, shown_in: Shown) -> AnyView {
    let w = &words().lag;
    let (Some(solver), Some(last)) = (&worked.solver, sheet.last()) else { return ().into_any() };
    let front = BlurredFront::at_nozzle(solver, &sheet.state, last.nozzle, MOLECULAR);
    let texts = front.map_or_else(|| vec![w.no_blur.to_owned()], |front| told::blur_texts(&front, shown_in));
    view! {
        <details class="no-print">
            <summary>{w.blur}</summary>
            {sentences(texts)}
        </details>
    }
    .into_any()
}
