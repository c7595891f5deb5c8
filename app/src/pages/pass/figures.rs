//! What the pass adds up to: shares of the area, the label maximum, where the product goes.

use crate::bridge::drive::digest::Digest;
use crate::state::pass_run::PassRun;
use crate::text::pass::{area_rows, closing_text, extremes_text, length_text};
use crate::text::plumbing::Shown;
use crate::text::{number, reach, words};
use leptos::prelude::*;

/// The figures of the run.
pub(super) fn figures(run: PassRun, shown_in: Shown) -> AnyView {
    view! {
        <div class="pass__figures" class:pass__old=move || run.is_stale()>
            {move || run.digest.get().map(|digest| view! { {areas(&digest, shown_in)} {balance(&digest, shown_in)} })}
        </div>
    }
    .into_any()
}

fn areas(digest: &Digest, shown_in: Shown) -> AnyView {
    let w = &words().pass;
    let has_label = digest.pass.label_greatest.is_some();
    let [product, carrier] = &digest.areas;
    let carrier_rows = area_rows(carrier, false);
    let rows = area_rows(product, has_label)
        .into_iter()
        .map(|(label, share)| {
            let carrier = carrier_rows.iter().find(|(other, _)| *other == label).map(|(_, share)| share.clone());
            view! { <tr><th scope="row">{label}</th><td>{share}</td><td>{carrier.unwrap_or_else(|| "–".to_owned())}</td></tr> }
        })
        .collect_view();
    let label = digest.pass.label_greatest.map_or_else(
        || w.areas_no_label.to_owned(),
        |label| (w.areas_label_of)(&number::quantity(label, reach::product_unit(shown_in.rate), 4)),
    );
    let first = digest
        .first_product
        .map_or_else(|| w.no_product.to_owned(), |at| (w.first_product)(&length_text(at, shown_in)));
    let has_passed = 0.0 < product.above_label.as_fraction();
    view! {
        <section class="card" class:pass__bad=has_passed>
            <h2>{w.areas}</h2>
            <table>
                <thead><tr><td></td><th scope="col">{w.product}</th><th scope="col">{w.carrier}</th></tr></thead>
                <tbody>{rows}</tbody>
            </table>
            <p>{label}</p>
            <p>{first}</p>
            {extremes_text(digest, shown_in).map(|text| view! { <p>{text}</p> })}
        </section>
    }
    .into_any()
}

fn balance(digest: &Digest, shown_in: Shown) -> AnyView {
    let w = &words().pass;
    let balance = digest.outcome.balance();
    let amount = |volume| number::quantity(volume, shown_in.product, 4);
    let rows = [
        (w.balance_start, amount(balance.at_start)),
        (w.balance_in, amount(balance.injected)),
        (w.balance_ground, amount(balance.sprayed)),
        (w.balance_lines, amount(balance.in_pipes)),
        (w.balance_error, closing_text(balance.error())),
    ]
    .map(|(label, text)| view! { <tr><th scope="row">{label}</th><td>{text}</td></tr> });
    let wanted =
        (w.wanted)(&amount(digest.outcome.product_wanted()), &amount(digest.outcome.product_in_field()));
    view! {
        <section class="card">
            <h2>{w.balance}</h2>
            <table><tbody>{rows.collect_view()}</tbody></table>
            <p>{wanted}</p>
        </section>
    }
    .into_any()
}
