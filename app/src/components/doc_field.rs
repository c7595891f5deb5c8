//! A box bound to one path of the document that the form is about: it keeps a draft with each key, says what is wrong by
//! the same rules that read the stored text, and saves an entry when the box is left.

use crate::components::field::{Field, Understood, UnitOption};
use crate::state::drafts;
use crate::state::sheet::{Sheet, sheet};
use crate::text::{measure, problem, words};
use leptos::prelude::*;
use records::fields::{Holds, Overlay, check};
use records::{FieldValue, Source};
use std::collections::BTreeMap;

/// A box for the text at one path.
#[component]
pub(crate) fn DocField(
    /// Path in the document of the form.
    #[prop(into)]
    path: String,
    /// Visible label.
    #[prop(into)]
    label: Signal<String>,
    /// A word of help.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Unit that stands beside an empty box, where it is not the usual one.
    #[prop(optional)]
    unit_first: Option<&'static str>,
    /// Whether to ask where the number came from.
    #[prop(optional)]
    with_source: bool,
    /// What is wrong with it beside other boxes; it is saved all the same.
    #[prop(optional, into)]
    beside: Signal<String>,
) -> impl IntoView {
    let sheet = sheet();
    let place = sheet.id().to_string();
    let spec = (sheet.spec_of)(&path);
    let holds = spec.map_or(Holds::Words, |spec| spec.holds);
    let plain = is_plain(holds);
    let units: Vec<UnitOption> = match holds {
        Holds::Quantity(measure) => measure::units_of(measure),
        _ => Vec::new(),
    };
    let usual = match holds {
        Holds::Quantity(measure) => unit_first.unwrap_or_else(|| measure::usual_unit(measure, sheet.system)),
        _ => "",
    };

    let stored = sheet.text(path.clone());
    let kept_draft = drafts::find(&place, &path);
    let as_value = move |text: Option<String>| match text {
        Some(text) if plain => FieldValue::new(text),
        Some(text) => FieldValue::from_stored(&text),
        None => FieldValue::new(""),
    };
    let first = as_value(kept_draft.clone().or_else(|| stored.get_untracked()));
    let text = RwSignal::new(first.text.clone());
    let unit = RwSignal::new(first.unit.clone().unwrap_or_else(|| usual.to_owned()));
    let source = RwSignal::new(first.source.as_ref().map(Source::code).unwrap_or_default());

    let typed = move || {
        let mut value = FieldValue::new(text.get().trim());
        if !usual.is_empty() {
            value.unit = Some(unit.get());
        }
        let code = source.get();
        value.source = (!code.is_empty()).then(|| Source::from_code(&code));
        value
    };
    let to_store = move |value: &FieldValue| {
        if value.text.is_empty() {
            None
        } else if plain {
            Some(value.text.clone())
        } else {
            Some(value.to_stored())
        }
    };

    // Another device, a trial or another tab set it: show that, unless something else is being typed here.
    Effect::new({
        let (place, path) = (place.clone(), path.clone());
        move |before: Option<Option<String>>| {
            let now = stored.get();
            let changed = before.is_some_and(|before| before != now);
            if changed && drafts::find(&place, &path).is_none() {
                let value = as_value(now.clone());
                text.set(value.text);
                unit.set(value.unit.unwrap_or_else(|| usual.to_owned()));
                source.set(value.source.as_ref().map(Source::code).unwrap_or_default());
            }
            now
        }
    });

    let understood = {
        let path = path.clone();
        Memo::new(move |_| {
            let value = typed();
            let Some(spec) = spec else { return Understood::default() };
            if value.text.is_empty() {
                return Understood::default();
            }
            let mut over = BTreeMap::new();
            over.insert(path.clone(), to_store(&value));
            let problem = sheet
                .read(|doc| check(spec, &path, &Overlay { base: doc, over: &over }).err())
                .flatten()
                .map(|p| problem::field_problem(&p, sheet.system))
                .unwrap_or_default();
            let echo = if problem.is_empty() { measure::echo(spec, &value) } else { String::new() };
            Understood { echo, problem }
        })
    };

    let told = Signal::derive(move || {
        let mut told = understood.get();
        if told.problem.is_empty() {
            told.problem = beside.get();
        }
        told
    });
    let keep = {
        let (place, path) = (place.clone(), path.clone());
        move || {
            let text = to_store(&typed());
            drafts::keep(&place, &path, text.as_deref().unwrap_or_default());
            sheet.typed.update(|typed| {
                typed.insert(path.clone(), text);
            });
        }
    };
    let commit = {
        let (place, path) = (place.clone(), path.clone());
        move || {
            if understood.read_untracked().problem.is_empty() {
                let value = to_store(&typed());
                let (place, path) = (place.clone(), path.clone());
                save(sheet, path.clone(), value, move || {
                    drafts::drop(&place, &path);
                    sheet.typed.try_update(|typed| typed.remove(&path));
                });
            }
        }
    };
    if let Some(text) = &kept_draft {
        let text = (!text.is_empty()).then(|| text.clone());
        sheet.typed.update(|typed| {
            typed.insert(path.clone(), text);
        });
    }
    // A draft that was never saved is saved as soon as the screen is there again, if it reads well.
    if kept_draft.is_some() {
        commit();
    }
    let commit = Callback::new(move |()| commit());
    let keep = Callback::new(move |()| keep());
    let words_box = matches!(holds, Holds::Words);
    let source_label = move || (words().rig.source_of)(&label.get());
    let on_source = move |event| {
        source.set(event_target_value(&event));
        if !text.read_untracked().trim().is_empty() {
            commit.run(());
        }
    };
    if with_source {
        view! {
            <Field label=label text=text unit=unit units=units understood=told hint=hint words=words_box on_typed=keep on_commit=commit>
                <SourceSelect label=Signal::derive(source_label) source=source on_change=on_source />
            </Field>
        }
        .into_any()
    } else {
        view! { <Field label=label text=text unit=unit units=units understood=told hint=hint words=words_box on_typed=keep on_commit=commit /> }
            .into_any()
    }
}

/// The same for a list of boxes that is driven by data.
pub(crate) fn doc_box(
    path: String,
    label: String,
    hint: Signal<String>,
    beside: Signal<String>,
    unit_first: Option<&'static str>,
) -> AnyView {
    let label = Signal::stored(label);
    DocField(DocFieldProps { path, label, hint, unit_first, with_source: false, beside }).into_any()
}

/// A box of a list of boxes: path, label, hint, and the unit beside an empty one where it is not the usual.
pub(crate) type BoxRow<'a> = (String, &'a str, String, Option<&'static str>);

/// Boxes one after the other that ask where their numbers came from; one copy of the code, however many there are.
pub(crate) fn boxes(rows: Vec<BoxRow<'_>>) -> AnyView {
    rows.into_iter()
        .map(|(path, label, hint, unit_first)| {
            let (label, hint) = (Signal::stored(label.to_owned()), Signal::stored(hint));
            let beside = Signal::stored(String::new());
            DocField(DocFieldProps { path, label, hint, unit_first, with_source: true, beside }).into_any()
        })
        .collect_view()
        .into_any()
}

fn save(sheet: Sheet, path: String, value: Option<String>, then: impl FnOnce() + 'static) {
    sheet.set([(path, value)], then);
}

/// Whether the stored text is the value itself.
fn is_plain(holds: Holds) -> bool {
    matches!(
        holds,
        Holds::Words
            | Holds::Choice(_)
            | Holds::UnitOf(_)
            | Holds::VolumeConvention
            | Holds::DistanceConvention
            | Holds::Doc
    )
}

/// Where a number came from.
#[component]
fn SourceSelect(
    /// Names the box for a screen reader.
    label: Signal<String>,
    /// The stored code.
    source: RwSignal<String>,
    /// Called with the change event.
    on_change: impl FnMut(leptos::ev::Event) + 'static,
) -> impl IntoView {
    let w = &words().rig;
    let proven = move || source.get().starts_with("proven").then(|| source.get());
    let options = [
        ("", w.source_unsaid),
        ("stamped", w.source_stamped),
        ("sheet", w.source_sheet),
        ("measured", w.source_measured),
        ("guessed", w.source_guessed),
    ];
    view! {
        <select aria-label=label on:change=on_change prop:value=move || source.get()>
            {options
                .into_iter()
                .map(|(code, label)| view! { <option value=code selected=move || *source.read() == code>{label}</option> })
                .collect_view()}
            {move || proven().map(|code| {
                let label = crate::text::rig::source_text(&Source::from_code(&code));
                view! { <option value=code selected=true>{label}</option> }
            })}
        </select>
    }
}
