//! What lands at each rate of each pump, against its label maximum: a drawing over speed, and a table that says the same.

use super::dose_plot::plot;
use super::limits::Axis;
use super::shown::In;
use crate::components::table::wide_table;
use crate::text::{reach as told, words};
use calc::reach::doses::{DoseLine, Doses};
use leptos::prelude::*;
use units::Speed;

/// One block for each pump that has a rate.
pub(super) fn by_pump(
    doses: &Doses,
    products: &[String],
    hold: Option<Speed>,
    axis: Axis,
    shown_in: In,
) -> AnyView {
    let w = &words().reach;
    let n_pumps = doses.lines.iter().map(|line| line.pump_idx + 1).max().unwrap_or(0);
    if n_pumps == 0 {
        return view! { <p>{w.no_product}</p> }.into_any();
    }
    let blocks = (0..n_pumps)
        .filter_map(|pump_idx| {
            let lines: Vec<&DoseLine> = doses.lines.iter().filter(|line| line.pump_idx == pump_idx).collect();
            if lines.is_empty() {
                return None;
            }
            let product = products.get(pump_idx).map_or("", String::as_str);
            let title = (words().card.pump)(pump_idx + 1, product);
            Some(
                view! {
                    <div class="reach__pump">
                        <h3>{title.clone()}</h3>
                        {plot(pump_idx, &lines, doses, hold, axis.top, shown_in)}
                        {of_pump(title.clone(), &lines, shown_in)}
                    </div>
                }
                .into_any(),
            )
        })
        .collect_view();
    view! {
        <p>{hold.map(|_| w.hold_hint)}</p>
        <div class="reach__plots">{blocks}</div>
        <p class="field__hint">{w.plot_key}</p>
    }
    .into_any()
}

fn of_pump(label: String, lines: &[&DoseLine], shown_in: In) -> AnyView {
    let w = &words().reach;
    let rows = lines
        .iter()
        .map(|line| {
            let (held, label, passes) = told::dose_cells(line, shown_in.speed, shown_in.rate);
            vec![told::position_text(line.rate), held, label, passes]
        })
        .collect();
    wide_table(&label, &[w.which, w.dose, w.label, w.passes], rows)
}
