//! What a day rests on besides its readings: what was known beforehand, and other days that are taken along.

use super::{Said, days_of};
use crate::bridge::closing::priors::{Basis, path_of};
use crate::components::doc_field::DocField;
use crate::route::Route;
use crate::state::sheet::sheet;
use crate::text::{closing as told, words};
use leptos::prelude::*;
use records::{Doc, DocId};

/// What was known of each ratio, what it rests on, and a box for whoever knows better.
#[component]
pub(super) fn Priors(
    /// What the day says.
    closing: Said,
    /// What each pump carries.
    products: StoredValue<Vec<String>>,
) -> impl IntoView {
    let w = &words().closing;
    let n = Memo::new(move |_| closing.read().as_ref().map_or(0, |closing| closing.priors.len()));
    let lines = Memo::new(move |_| prior_lines(closing));
    let row = move |idx: usize| {
        let prior = closing.read_untracked().as_ref().and_then(|c| c.priors.get(idx).cloned());
        let Some(ratio) = prior.map(|prior| prior.ratio) else { return ().into_any() };
        let what = products.with_value(|products| told::ratio_text(ratio, products));
        let line = move || lines.read().get(idx).map(|(text, _)| text.clone());
        let trial = move || {
            let trial = lines.read().get(idx).and_then(|(_, trial)| trial.clone())?;
            Some(view! { <a href=Route::Trial(trial.to_string()).to_hash()>{w.see_trial}</a> })
        };
        view! {
            <div>
                <p><strong>{what.clone()}</strong>": "{line}" "{trial}</p>
                <DocField path=path_of(ratio) label=(w.prior_box)(&what) />
            </div>
        }
        .into_any()
    };
    view! {
        <details class="group">
            <summary><h2 class="group__title">{w.priors}</h2></summary>
            <div class="group__body">
                <p>{w.priors_hint}</p>
                <div class="fields">{move || (0..n.get()).map(row).collect_view()}</div>
            </div>
        </details>
    }
}

/// What each prior rests on in words, with its trial.
pub(super) fn prior_lines(closing: Said) -> Vec<(String, Option<DocId>)> {
    let sheet = sheet();
    let begun = sheet.read(|doc| doc.begun().map(|entry| entry.at.clone())).flatten().unwrap_or_default();
    let closing = closing.read();
    let Some(closing) = closing.as_ref() else { return Vec::new() };
    let estimates = closing.balance.as_ref().map(|b| b.estimates.as_slice()).unwrap_or_default();
    let u = |idx: usize| estimates.get(idx).map(|e| e.prior_u_rel);
    closing
        .priors
        .iter()
        .enumerate()
        .filter_map(|(idx, prior)| {
            let trial = match &prior.basis {
                Basis::Trial { id, .. } => Some(id.clone()),
                _ => None,
            };
            Some((told::prior_text(prior, prior.u.or_else(|| u(idx))?, &begun), trial))
        })
        .collect()
}

/// Other days of the rig, each with a press that takes it along or leaves it.
#[component]
pub(super) fn With(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().closing;
    let days = Memo::new(move |_| days_of(&rig, Some(&sheet.id())));
    let row = move |(id, name, more): (DocId, String, String)| {
        let path = format!("with.{id}");
        let stored = sheet.text(path.clone());
        let taken = move || stored.read().is_some();
        let switch = move |_| {
            let text = (!stored.read_untracked().is_some()).then(|| "yes".to_owned());
            sheet.set([(path.clone(), text)], || {});
        };
        view! {
            <li><button type="button" class="button widths__switch" aria-pressed=move || taken().to_string() on:click=switch>
                <span>{format!("{name} · {more}")}</span>
            </button></li>
        }
    };
    let any = sheet.peek(|doc: &Doc| doc.texts().any(|(path, _)| path.starts_with("with."))).unwrap_or(false);
    view! {
        <details class="group" open=any>
            <summary><h2 class="group__title">{w.with}</h2></summary>
            <div class="group__body">
                <p>{w.with_hint}</p>
                {move || days.read().is_empty().then_some(w.with_none)}
                <ul class="closing__days">{move || days.get().into_iter().map(row).collect_view()}</ul>
            </div>
        </details>
    }
}
