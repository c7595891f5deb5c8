//! What would help: each change driven anew, the one that brings most first.

use super::Planned;
use crate::state::pass_run::PassRun;
use crate::text::pass::{brought_texts, remedy_text, share_text};
use crate::text::plumbing::Shown;
use crate::text::words;
use leptos::prelude::*;

/// The list of changes, once it is there.
pub(super) fn help(run: PassRun, job: Planned, shown_in: Shown) -> AnyView {
    let w = &words().pass;
    let body = move || {
        let list = run.help.get()?;
        let job = job.read();
        let network = &job.as_ref()?.as_ref().ok()?.network;
        let items = list
            .tried
            .iter()
            .map(|tried| {
                let lines = brought_texts(tried, list.as_is.small_lines.len(), network, shown_in);
                view! {
                    <li class="pass__remedy">
                        <strong>{remedy_text(&tried.remedy, shown_in)}</strong>
                        {lines.into_iter().map(|line| view! { <p>{line}</p> }).collect_view()}
                    </li>
                }
            })
            .collect_view();
        let lead = if list.tried.is_empty() {
            w.help_none.to_owned()
        } else {
            (w.help_lead)(&share_text(list.as_is.shares.on))
        };
        Some(view! { <p>{lead}</p><ol class="pass__remedies">{items}</ol> })
    };
    view! {
        <section class="card" class:pass__old=move || run.is_stale() aria-busy=move || run.help.read().is_none().to_string()>
            <h2>{w.help}</h2>
            {body}
            <p hidden=move || run.help.read().is_some()>{w.working_help}"…"</p>
        </section>
    }
    .into_any()
}
