//! How a drive starts, which product is looked at, and from where to where a dose counts as on target.

use crate::bridge::rig::rig_of;
use crate::browser::address::go_to;
use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::route::Route;
use crate::state::drafts;
use crate::state::sheet::sheet;
use crate::text::pass::share_text;
use crate::text::words;
use calc::pass::outcome::DoseLimits;
use leptos::prelude::*;
use records::DocId;
use records::rig::RigView;

/// Name, start, product, limits, removal.
#[component]
pub(super) fn Start(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().pass;
    let chosen = move |path: &'static str, first: &'static str| {
        let stored = sheet.text(path);
        Signal::derive(move || stored.get().unwrap_or_else(|| first.to_owned()))
    };
    let lines = chosen("start.lines", "clean");
    let lines_options =
        vec![("clean".to_owned(), w.clean.to_owned()), ("charged".to_owned(), w.charged.to_owned())];
    let pumps: Vec<(String, String)> = sheet.ledger.book.with_untracked(|book| {
        let view = book.doc(&rig).map(|doc| RigView::read(doc));
        let pumps = view.as_ref().map(|view| (view.pumps.as_slice(), rig_of(view).pumps.len()));
        let pumps = pumps.map_or(&[] as &[_], |(pumps, _)| pumps);
        let name = |name: &Option<String>| name.clone().unwrap_or_default();
        // Stored as a typed number; the text of a choice is that form.
        pumps.iter().map(|pump| (format!(";;{}", pump.n), (w.pump_n)(pump.n, &name(&pump.name)))).collect()
    });
    let pump = chosen("pump", ";;1");
    let usual = DoseLimits::usual();
    let hint = |share| (w.limit_hint)(&share_text(share));
    let half_typed =
        ["name", "start.", "limit."].iter().any(|path| drafts::any_below(&sheet.id().to_string(), path));
    let to_rig = Route::Pass(Some(rig.to_string()));
    let remove = move |_| {
        let to_rig = to_rig.clone();
        sheet.set([("removed".to_owned(), Some("yes".to_owned()))], move || go_to(&to_rig));
    };
    view! {
        <details class="group" open=half_typed>
            <summary><h2 class="group__title">{w.start}</h2></summary>
            <div class="group__body">
                <DocField path="name" label=w.name />
                <div class="fields">
                    <DocField path="start.speed" label=w.start_speed hint=w.start_speed_hint />
                    <DocField path="limit.least" label=w.least hint=hint(usual.least) />
                    <DocField path="limit.greatest" label=w.greatest hint=hint(usual.greatest) />
                </div>
                <Choice legend=w.lines options=lines_options chosen=lines on_choose=move |code| sheet.set_one("start.lines", code) />
                {(pumps.len() > 1).then(|| view! {
                    <Choice legend=w.pump options=pumps chosen=pump on_choose=move |code| sheet.set_one("pump", code) />
                })}
                <button type="button" class="button button--quiet" on:click=remove>{w.remove}</button>
            </div>
        </details>
    }
    .into_any()
}
