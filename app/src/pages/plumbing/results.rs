//! Pressures and flows of the state that is asked for: gauge against nozzle, spread, lines that are too small, method.

use super::Bench;
use crate::bridge::plumbing::{Worked, gauge_of};
use crate::components::bars::{Bar, BarChart, BarMark, Bars};
use crate::components::doc_field::DocField;
use crate::components::live::live;
use crate::components::table::{figures, sentences, table};
use crate::state::sheet::sheet;
use crate::text::plumbing::{method_text, nozzle_text, remark_text, trouble_text, warning_text};
use crate::text::{number, words};
use calc::plumbing::boom::{BoomSpread, LineLimits, loss_from_gauge, nozzle_pressures, small_lines};
use leptos::prelude::*;
use records::rig::RigView;
use units::{Pressure, Quantity};

/// Everything that the solved state says.
pub(super) fn results(bench: Bench) -> AnyView {
    let w = &words().plumbing;
    let chart = Signal::derive(move || bench.worked.with(|worked| bars(worked, bench)));
    view! {
        {live(move || bench.worked.with(|worked| state(worked, bench)))}
        <Bars chart=chart />
        <details>
            <summary>{w.nozzle_table}</summary>
            {live(move || bench.worked.with(|worked| nozzles(worked, bench)))}
        </details>
        {gauge(bench)}
    }
    .into_any()
}

fn state(worked: &Worked, bench: Bench) -> AnyView {
    let w = &words().plumbing;
    let shown_in = bench.shown_in;
    let (Some(drawn), Some(solver)) = (&worked.drawn, &worked.solver) else { return ().into_any() };
    let remarks: Vec<String> =
        solver.plumbing().remarks().iter().map(|odd| remark_text(odd, drawn)).collect();
    let Some(state) = worked.sheet.as_ref().map(|sheet| &sheet.state) else { return sentences(remarks) };
    let Some(spread) = BoomSpread::of(solver.plumbing(), state) else { return ().into_any() };
    let pressure = |p: Pressure| number::quantity(p, shown_in.pressure, 3);
    let mut list = vec![(w.at_pump.to_owned(), pressure(state.supply_pressure), String::new())];
    if let Some(gauge) = state.nodes.get(drawn.gauge).copied().flatten() {
        let (loss, share) = loss_from_gauge(gauge, &spread);
        list.push((w.at_gauge.to_owned(), pressure(gauge), String::new()));
        let share = (w.loss_more)(&number::percent(share.as_fraction(), 2));
        list.push((w.loss.to_owned(), pressure(loss), share));
    }
    let between =
        (w.least_greatest)(&pressure(spread.pressure.least.0), &pressure(spread.pressure.greatest.0));
    list.push((w.at_nozzles.to_owned(), pressure(spread.pressure.mean), between));
    let flow = |q| number::quantity(q, shown_in.flow, 3);
    let variation = (w.variation)(&number::percent(spread.flow.variation.as_fraction(), 2));
    list.push((
        w.spread.to_owned(),
        flow(spread.flow.mean),
        format!(
            "{}, {variation}",
            (w.least_greatest)(&flow(spread.flow.least.0), &flow(spread.flow.greatest.0))
        ),
    ));
    let limits = LineLimits::usual();
    let mut small: Vec<String> = small_lines(solver.plumbing(), state, Some(drawn.gauge), limits)
        .iter()
        .map(|warning| warning_text(warning, drawn, shown_in))
        .collect();
    if small.is_empty() {
        let drop = number::percent(limits.drop.as_fraction(), 2);
        small.push((w.no_small_line)(&drop, &number::quantity(limits.velocity, shown_in.velocity, 3)));
    }
    view! {
        <h2>{w.state}</h2>
        {figures(list)}
        {sentences(remarks)}
        <h3>{w.small_lines}</h3>
        {sentences(small)}
        <p class="field__hint">{w.criterion}</p>
        <p class="field__hint">{method_text(drawn.law, state)}</p>
        <h2>{w.nozzle_flows}</h2>
    }
    .into_any()
}

fn bars(worked: &Worked, bench: Bench) -> BarChart {
    let w = &words().plumbing;
    let (Some(sheet), Some(solver)) = (&worked.sheet, &worked.solver) else { return BarChart::default() };
    let Some(spread) = BoomSpread::of(solver.plumbing(), &sheet.state) else { return BarChart::default() };
    let unit = bench.shown_in.flow;
    let flow = |q: units::FlowRate| q.in_unit(unit);
    let many = sheet.state.nozzles.len() > 16;
    let bars = sheet
        .state
        .nozzles
        .iter()
        .zip(&sheet.state.nozzle_is_shut)
        .enumerate()
        .filter(|(_, (_, shut))| !**shut)
        .map(|(idx, (q, _))| {
            // Every number has room on a short boom only.
            let label = if many && (idx + 1) % 5 != 0 { String::new() } else { (idx + 1).to_string() };
            Bar { label, value: flow(*q), mark: BarMark::Fine }
        })
        .collect();
    let text = |q| number::quantity(q, unit, 3);
    let summary = format!(
        "{}: {}",
        w.nozzle_flows,
        (w.least_greatest)(&text(spread.flow.least.0), &text(spread.flow.greatest.0))
    );
    BarChart { bars, band: None, mean: Some(flow(spread.flow.mean)), summary }
}

fn nozzles(worked: &Worked, bench: Bench) -> AnyView {
    let w = &words().plumbing;
    let (Some(sheet), Some(solver)) = (&worked.sheet, &worked.solver) else { return ().into_any() };
    let rows = nozzle_pressures(solver.plumbing(), &sheet.state)
        .into_iter()
        .zip(&sheet.state.nozzles)
        .enumerate()
        .map(|(place, (pressure, flow))| {
            let name = nozzle_text(worked.drawn.as_ref(), place);
            match pressure {
                Some(pressure) => vec![
                    name,
                    number::quantity(pressure, bench.shown_in.pressure, 4),
                    number::quantity(*flow, bench.shown_in.flow, 4),
                ],
                None => vec![name, w.shut.to_owned(), w.shut.to_owned()],
            }
        })
        .collect();
    table(w.nozzle_table, &[w.nozzle, w.pressure, w.flow], rows)
}

/// A pressure read at the console, turned into the pressure at the nozzles.
fn gauge(bench: Bench) -> AnyView {
    let sheet = sheet();
    let w = &words().plumbing;
    let said = move || {
        let worked = bench.worked.get();
        let (Some(drawn), Some(solver)) = (&worked.drawn, &worked.solver) else { return String::new() };
        let reading = sheet.read(|doc| RigView::read(doc).plumbing.gauge_reading.ok()).flatten();
        let Some(reading) = reading else { return w.no_reading.to_owned() };
        let shut = bench.shut.get();
        match gauge_of(drawn, solver, worked.plan.as_ref(), reading.value, &shut) {
            Ok(read) => {
                let pressure = |p| number::quantity(p, bench.shown_in.pressure, 3);
                let spread = &read.nozzles.pressure;
                let flow = number::quantity(read.state.carrier, bench.shown_in.flow, 3);
                (w.gauge_says)(
                    &pressure(spread.mean),
                    &pressure(spread.least.0),
                    &pressure(spread.greatest.0),
                    &flow,
                )
            }
            Err(trouble) => trouble_text(&trouble, Some(drawn), bench.shown_in),
        }
    };
    view! {
        <section class="card">
            <DocField path="plumbing.gauge_reading" label=w.gauge_reading hint=w.gauge_reading_hint />
            <output aria-live="polite">{live(move || said().into_any())}</output>
        </section>
    }
    .into_any()
}
