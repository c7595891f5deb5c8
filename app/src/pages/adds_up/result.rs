//! What the readings say: the outcome, what would explain them, predicted against seen, the check that tells most, and the
//! presses that lead on.

use super::{Desk, desk, show_reading};
use crate::bridge::adds_up::carry::into_trial;
use crate::bridge::adds_up::readings::{Answer, Input};
use crate::bridge::adds_up::remedy::{Correction, Step, correction, kept, put_right, step_of};
use crate::components::verdict::{Tone, Verdict};
use crate::pages::prove::begin_trial;
use crate::route::Route;
use crate::state::sheet::{Sheet, sheet};
use crate::text::{adds_up, keyin, number, problem, prove, words};
use calc::diagnosis::{Cause, Check, CheckKind, Diagnosis, Explanation, Outcome as Said};
use leptos::prelude::*;
use records::DocId;
use records::trial::TrialKind;

/// An explanation with less than this share of the first is not worth a line.
const WORTH_SAYING: f64 = 0.02;

/// What the readings say.
#[component]
pub(super) fn Outcome(
    /// The rig.
    rig: DocId,
) -> impl IntoView {
    let (desk, sheet) = (desk(), sheet());
    let w = &words().adds_up;
    let rig = StoredValue::new(rig);
    let done = Memo::new(move |_| sheet.read(put_right).flatten());
    let body = move || {
        desk.answer.with(|answer| match answer {
            Some(answer) => answer_view(&Page { desk, sheet, rig }, answer),
            None => ().into_any(),
        })
    };
    let done = move || {
        done.get().map(|(entry, keyed, wanted)| {
            let sentence = (w.done)(&keyin::entry_text(entry), &keyed, &wanted);
            view! { <p class="next">{sentence}</p> }
        })
    };
    // What a screen reader says when it changes: the outcome and the first cause, not the whole table.
    let heard = Memo::new(move |_| {
        let sentence = |answer: &Answer| {
            let said = answer.said.as_ref().ok().filter(|_| answer.input.n_readings() > 0)?;
            let first = said.top.first().filter(|_| said.outcome != Said::NothingToCompare);
            let first = first.map(|first| adds_up::cause_text(&answer.input, first).0);
            Some([(w.outcome)(said.outcome).0.to_owned(), first.unwrap_or_default()].join(". "))
        };
        desk.answer.with(|answer| answer.as_ref().and_then(sentence)).unwrap_or_default()
    });
    view! {
        <section class="outcome" aria-label=w.result>
            {done}
            <p class="unseen" aria-live="polite">{heard}</p>
            <div>{body}</div>
        </section>
    }
}

struct Page {
    desk: Desk,
    sheet: Sheet,
    rig: StoredValue<DocId>,
}

fn answer_view(page: &Page, answer: &Answer) -> AnyView {
    let w = &words().adds_up;
    let input = &answer.input;
    let said = match &answer.said {
        Err(error) => {
            return view! { <p class="caution" role="alert">{adds_up::error_text(error)}</p> }.into_any();
        }
        Ok(_) if input.n_readings() == 0 => {
            return view! { {left_out(page, input, &[])} <p>{w.nothing_typed}</p> }.into_any();
        }
        Ok(said) => said,
    };
    let (word, detail) = (w.outcome)(said.outcome);
    let tone = match said.outcome {
        Said::NothingWrong => Tone::Within,
        Said::Found { sure: true } | Said::Contradictory => Tone::Out,
        _ => Tone::Open,
    };
    let contradictions = said
        .contradictions
        .iter()
        .map(|found| view! { <li>{adds_up::contradiction_text(input, found)}</li> })
        .collect_view();
    let mut notes: Vec<&str> = Vec::new();
    if said.n_comparisons == 1 {
        notes.push(w.one_comparison);
    }
    if input.is_blind_to_meter() {
        notes.push(w.blind);
    }
    let first = said.top.first().map(|explanation| explanation.cause);
    if said.held_share > 0.5 && first != Some(Cause::HoldActive) {
        notes.push(w.held);
    }
    let notes =
        notes.into_iter().map(|note| view! { <p class="caution" role="note">{note}</p> }).collect_view();
    let compared = said.outcome != Said::NothingToCompare;
    let main_is_check = said.next_check.is_some_and(|check| step_of(check.kind, input) != Step::Look);
    view! {
        <Verdict tone=tone word=word detail=detail />
        <ul class="findings">{contradictions}</ul>
        {left_out(page, input, &said.unused)}
        {notes}
        {compared.then(|| explanations(page, input, said, main_is_check))}
        {said.next_check.as_ref().map(|check| check_view(page, input, said, check))}
    }
    .into_any()
}

/// What does not count, and why.
fn left_out(page: &Page, input: &Input, unused: &[(usize, usize)]) -> AnyView {
    let w = &words().adds_up;
    let mut lines: Vec<String> = input
        .left_out
        .iter()
        .map(|(_, what, why)| {
            (w.left_out)(&adds_up::label(*what), &problem::field_problem(why, page.sheet.system))
        })
        .collect();
    lines.extend(input.no_section.iter().map(|run| (w.no_section)(*run)));
    let unused: Vec<String> = unused
        .iter()
        .filter_map(|(situation, reading)| input.place(*situation, *reading))
        .map(|place| adds_up::place_text(input, place))
        .collect();
    if !unused.is_empty() {
        lines.push((w.unused)(&unused.join(", ")));
    }
    let lines = lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view();
    view! { <ul class="findings">{lines}</ul> }.into_any()
}

fn explanations(page: &Page, input: &Input, said: &Diagnosis, main_is_check: bool) -> AnyView {
    let w = &words().adds_up;
    let first_share = said.top.first().map_or(0.0, |first| first.share);
    let cards = said
        .top
        .iter()
        .enumerate()
        .filter(|(idx, explanation)| *idx == 0 || explanation.share > WORTH_SAYING * first_share)
        .map(|(idx, explanation)| card(page, input, explanation, idx == 0, idx == 0 && !main_is_check))
        .collect_view();
    let unlisted = (said.unlisted_share > 0.01).then(
        || view! { <p class="list__more">{(w.unlisted)(&adds_up::share_text(said.unlisted_share))}</p> },
    );
    view! {
        <h2>{w.explanations}</h2>
        {cards}
        {unlisted}
    }
    .into_any()
}

/// One explanation: what, how sure, what to do, predicted against seen.
fn card(page: &Page, input: &Input, explanation: &Explanation, first: bool, main: bool) -> AnyView {
    let w = &words().adds_up;
    let (title, more) = adds_up::cause_text(input, explanation);
    let ways = adds_up::other_ways(input, explanation)
        .into_iter()
        .map(|way| view! { <p class="list__more">{way}</p> })
        .collect_view();
    let alike = explanation.alike.then(|| view! { <p>"≈ "{w.alike}</p> });
    let table = table(input, explanation);
    let table = if first {
        view! { <h4>{w.table}</h4> {table} }.into_any()
    } else {
        view! { <details class="group"><summary>{w.table}</summary>{table}</details> }.into_any()
    };
    view! {
        <section class="card" aria-label=title.clone()>
            <h3>{title.clone()}</h3>
            <p>{more}</p>
            {ways}
            <p><strong>{(w.how_sure)(explanation.share, &adds_up::share_text(explanation.share))}</strong></p>
            {alike}
            {deeds(page, input, explanation, main)}
            {table}
        </section>
    }
    .into_any()
}

/// Predicted against seen, reading by reading.
fn table(input: &Input, explanation: &Explanation) -> AnyView {
    let w = &words().adds_up;
    let rows = explanation
        .fit
        .iter()
        .filter_map(|fit| {
            let place = input.place(fit.situation, fit.reading)?;
            let fits = (w.fit)(fit.misfit, &number::significant(fit.misfit.abs(), 2));
            Some(view! {
                <tr>
                    <th scope="row">{adds_up::place_text(input, place)}</th>
                    <td>{adds_up::figure_text(place, fit.seen.seen.as_si(), 6)}</td>
                    <td>{adds_up::figure_text(place, fit.predicted.as_si(), 4)}</td>
                    <td>{fits}</td>
                </tr>
            })
        })
        .collect_view();
    view! {
        <div class="scroll" tabindex="0" role="group" aria-label=w.table>
            <table class="dense">
                <thead><tr>
                    <th scope="col">{w.reading}</th><th scope="col">{w.seen}</th>
                    <th scope="col">{w.predicted}</th><th scope="col">{w.fits}</th>
                </tr></thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

/// What can be done about an explanation: put the entry right, or open the trial that proves it.
fn deeds(page: &Page, input: &Input, explanation: &Explanation, main: bool) -> AnyView {
    let w = &words().adds_up;
    let fix = explanation.variants.first().and_then(|way| {
        let setup = page.desk.setup.get_untracked()?.ok()?;
        let book = page.sheet.ledger.book;
        page.rig.with_value(|rig| {
            book.with_untracked(|book| correction(book.doc(rig)?, &setup, explanation.cause, way))
        })
    });
    let hint = fix.as_ref().filter(|fix| fix.on_rig.is_none()).map(|fix| {
        view! { <p>{(w.key_again)(&keyin::entry_text(fix.entry), &fix.wanted)}</p> }
    });
    let fix = fix.map(|fix| fix_button(page, fix, main));
    let proof =
        explanation.cause.proof().map(|kind| step_button(page, input, kind, w.prove, main && fix.is_none()));
    view! {
        {hint}
        <div class="button-row">{fix}{proof}</div>
    }
    .into_any()
}

/// Puts the entry right where it stands, and keeps with the readings that it was.
fn fix_button(page: &Page, fix: Correction, main: bool) -> AnyView {
    let w = &words().adds_up;
    let sheet = page.sheet;
    let rig = page.rig;
    let entry = keyin::entry_text(fix.entry);
    let label = if fix.on_rig.is_some() {
        (w.put_on_rig)(&entry, &fix.wanted)
    } else {
        (w.keyed_again)(&entry, &fix.wanted)
    };
    let press = move |_| {
        let mut drafts = Vec::new();
        if let Some((path, text)) = &fix.on_rig {
            let draft = sheet.ledger.draft(rig.get_value()).set(path.clone(), text.clone());
            drafts.push(draft.because(sheet.id()));
        }
        let mut with_readings = sheet.ledger.draft(sheet.id());
        with_readings.set.extend(kept(&fix));
        drafts.push(with_readings);
        sheet.ledger.save_all_then(drafts, |_| {});
    };
    view! { <button type="button" class="button" class:button--main=main on:click=press>{label}</button> }
        .into_any()
}

/// Leads to where a check is made.
fn step_button(page: &Page, input: &Input, kind: CheckKind, say: fn(&str) -> String, main: bool) -> AnyView {
    let w = &words().adds_up;
    let (desk, sheet, rig) = (page.desk, page.sheet, page.rig);
    match step_of(kind, input) {
        Step::Trial { kind, pump } => {
            let n = u32::try_from(pump + 1).unwrap_or(1);
            let title = if kind == TrialKind::Pump {
                (words().prove.pump_title)(n)
            } else {
                prove::kind_words(kind).0.to_owned()
            };
            let prefilled = into_trial(kind, pump, input, |path| {
                let typed = sheet.typed.with_untracked(|typed| typed.get(path).cloned());
                typed.unwrap_or_else(|| sheet.now(path))
            });
            let press = move |_| {
                begin_trial(sheet.ledger, &rig.get_value(), kind, n, Some(sheet.id()), prefilled.clone());
            };
            view! { <button type="button" class="button" class:button--main=main on:click=press>{say(&title)}</button> }
                .into_any()
        }
        Step::Reading { run, what } => {
            let press = move |_| show_reading(desk, run, what);
            let label = (w.to_box)(&adds_up::short_label(what));
            view! { <button type="button" class="button" class:button--main=main on:click=press>{label}</button> }
                .into_any()
        }
        Step::Rig => {
            let href = Route::Rig(rig.get_value().to_string()).to_hash();
            view! { <a class="button" class:button--main=main href=href>{w.to_rig}</a> }.into_any()
        }
        Step::Look => ().into_any(),
    }
}

/// The check that tells the first two apart best.
fn check_view(page: &Page, input: &Input, said: &Diagnosis, check: &Check) -> AnyView {
    let w = &words().adds_up;
    let (title, expected) = adds_up::check_text(input, said, check, page.sheet.system);
    let expected = expected.into_iter().map(|line| view! { <li>{line}</li> }).collect_view();
    view! {
        <section class="card" aria-label=w.check>
            <h2>{w.check}</h2>
            <p class="next">{title}</p>
            <ul class="findings">{expected}</ul>
            <div class="button-row">{step_button(page, input, check.kind, w.open_trial, true)}</div>
        </section>
    }
    .into_any()
}
