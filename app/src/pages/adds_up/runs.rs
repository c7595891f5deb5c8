//! What was read, run by run: how the run was made, boxes for what the console showed and for what is known to be true.

use super::{Desk, desk};
use crate::bridge::adds_up::readings::{condition, path, tail, u_path, whats};
use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::state::drafts;
use crate::state::sheet::{Sheet, sheet};
use crate::text::{adds_up, number, words};
use calc::diagnosis::{CarrierMode, Condition, Motion, NumberForm, Setup, What};
use calc::model::KeyedNumber;
use leptos::prelude::*;
use units::Unit;

/// The runs, and one more.
#[component]
pub(super) fn Runs() -> impl IntoView {
    let (desk, sheet) = (desk(), sheet());
    let w = &words().adds_up;
    let another = move |_| sheet.set_one("run.+.motion", "standing");
    view! {
        <For each=move || desk.keys.get() key=Clone::clone let(key)>
            <Run key=key />
        </For>
        <div class="button-row">
            <button type="button" class="button button--wide" on:click=another>{w.add_run}</button>
        </div>
    }
}

/// Number of sections and pumps; none while the rig does not say enough.
fn shape(desk: Desk) -> (usize, usize) {
    desk.setup.with(|setup| match setup {
        Some(Ok(setup)) => (setup.n_sections(), setup.n_pumps()),
        _ => (0, 0),
    })
}

/// One run.
#[component]
fn Run(
    /// Its key in the paths.
    key: String,
) -> impl IntoView {
    let (desk, sheet) = (desk(), sheet());
    let w = &words().adds_up;
    let key = StoredValue::new(key);
    let at = move |field: &str| key.with_value(|key| format!("run.{key}.{field}"));
    let place = Memo::new(move |_| {
        desk.keys.with(|keys| key.with_value(|key| keys.iter().position(|k| k == key))).unwrap_or(0) + 1
    });
    let made = Memo::new(move |_| {
        let (n_sections, n_pumps) = shape(desk);
        let manual = desk.manual.get();
        let read =
            |doc: &records::Doc| key.with_value(|key| condition(doc, key, n_sections, n_pumps, manual));
        sheet.read(read).map_or_else(Made::default, Made)
    });
    let shapes = Memo::new(move |_| shape(desk));
    let visible = visible(desk, sheet, key, made);
    let motion =
        move || if made.read().0.motion == Motion::Driving { "driving" } else { "standing" }.to_owned();
    let carrier =
        move || if made.read().0.carrier == CarrierMode::Manual { "manual" } else { "regulated" }.to_owned();
    let options =
        |pairs: [(&str, &str); 2]| pairs.map(|(code, label)| (code.to_owned(), label.to_owned())).to_vec();
    let take_out = move |_| sheet.set_one(at("removed"), "yes");
    view! {
        <section class="card" aria-label=move || (w.run)(place.get())>
            <h2>{move || (w.run)(place.get())}</h2>
            <Choice
                legend=w.motion
                options=options([("standing", w.standing), ("driving", w.driving)])
                chosen=Signal::derive(motion)
                on_choose=move |code| sheet.set_one(at("motion"), code)
            />
            <Choice
                legend=w.carrier
                options=options([("regulated", w.regulated), ("manual", w.manual)])
                chosen=Signal::derive(carrier)
                on_choose=move |code| sheet.set_one(at("carrier"), code)
            />
            <details class="group">
                <summary><h3 class="group__title">{w.sections_and_products}</h3></summary>
                <div class="group__body">
                    {move || {
                        let (n_sections, n_pumps) = shapes.get();
                        view! { {sections(sheet, made, at("sections"), n_sections)} {products(desk, sheet, made, key, n_pumps)} }
                    }}
                </div>
            </details>
            <Side key=key made=made visible=visible shown=true />
            <Side key=key made=made visible=visible shown=false />
            <details class="group">
                <summary><h3 class="group__title">{w.how_well}</h3></summary>
                <div class="group__body">
                    <p class="field__hint">{w.how_well_hint}</p>
                    <HowWell key=key visible=visible />
                </div>
            </details>
            <Show when=move || { desk.keys.read().len() > 1 }>
                <button type="button" class="button button--quiet" on:click=take_out>{move || (w.remove_run)(place.get())}</button>
            </Show>
        </section>
    }
}

/// How a run was made.
#[derive(Clone, Debug, PartialEq)]
struct Made(Condition);

impl Default for Made {
    fn default() -> Self {
        Self(Condition::standing())
    }
}

fn sections(sheet: Sheet, made: Memo<Made>, at: String, n_sections: usize) -> AnyView {
    let is_on = move |idx: usize| made.read().0.section_on(idx);
    let at = StoredValue::new(at);
    let press = move |pressed: usize| {
        let on =
            (0..n_sections).filter(|idx| is_on(*idx) != (*idx == pressed)).map(|idx| (idx + 1).to_string());
        let text = untrack(|| on.collect::<Vec<String>>().join(","));
        sheet.set_one(at.get_value(), text);
    };
    let buttons = (0..n_sections)
        .map(|idx| {
            view! {
                <button type="button" class="button" aria-pressed=move || is_on(idx).to_string() on:click=move |_| press(idx)>
                    {move || (words().prove.section_switch)(idx + 1, is_on(idx))}
                </button>
            }
        })
        .collect_view();
    view! { <div class="button-row" role="group" aria-label=words().prove.sections_on>{buttons}</div> }
        .into_any()
}

fn products(desk: Desk, sheet: Sheet, made: Memo<Made>, key: StoredValue<String>, n_pumps: usize) -> AnyView {
    let w = &words().adds_up;
    (0..n_pumps)
        .map(|pump| {
            let at = move |field: &str| key.with_value(|key| format!("run.{key}.{field}.{}", pump + 1));
            let chosen = move || {
                match made.read().0.product(pump) {
                    None => "off",
                    Some(in_use) if in_use.second => "second",
                    Some(_) => "first",
                }
                .to_owned()
            };
            // What the rig has no number for cannot be in force.
            let has = |entry| {
                desk.setup.with_untracked(|setup| match setup {
                    Some(Ok(setup)) => setup.number(entry).is_some(),
                    _ => false,
                })
            };
            let mut options = vec![("first", w.first_rate), ("second", w.second_rate), ("off", w.pump_off)];
            options.retain(|(code, _)| *code != "second" || has(KeyedNumber::SecondRate(pump)));
            let options =
                options.into_iter().map(|(code, label)| (code.to_owned(), label.to_owned())).collect();
            let nudge = has(KeyedNumber::NudgeStep(pump)).then(|| {
                view! { <DocField path=at("presses") label=(w.presses)(pump + 1) hint=w.presses_hint /> }
            });
            view! {
                <Choice
                    legend=(w.rate_in_force)(pump + 1)
                    options=options
                    chosen=Signal::derive(chosen)
                    on_choose=move |code| sheet.set_one(at("use"), code)
                />
                {nudge}
            }
        })
        .collect_view()
        .into_any()
}

/// Readings whose boxes are shown: the usual ones of such a run, those with something in them, those asked for.
fn visible(desk: Desk, sheet: Sheet, key: StoredValue<String>, made: Memo<Made>) -> Memo<Vec<What>> {
    // What was half typed before a reload.
    let (_, n_pumps) = untrack(|| shape(desk));
    let place = sheet.id().to_string();
    let kept: Vec<String> = key.with_value(|key| {
        let paths = whats(n_pumps).into_iter().map(|what| path(key, what));
        paths.filter(|path| drafts::find(&place, path).is_some_and(|text| !text.is_empty())).collect()
    });
    desk.asked_for.update(|paths| paths.extend(kept));
    Memo::new(move |_| {
        let (_, n_pumps) = shape(desk);
        let driving = made.read().0.motion == Motion::Driving;
        let mut all = whats(n_pumps);
        all.retain(|what| what.pump().is_none_or(|pump| made.read().0.product(pump).is_some()));
        key.with_value(|key| {
            all.retain(|what| is_usual(*what, driving) || has_box(desk, sheet, &path(key, *what)));
        });
        all
    })
}

fn has_box(desk: Desk, sheet: Sheet, path: &str) -> bool {
    let asked_for = || desk.asked_for.with(|paths| paths.iter().any(|asked| asked == path));
    let typed = || sheet.typed.with(|typed| typed.contains_key(path));
    let saved = || sheet.read(|doc| doc.text(path).is_some()).unwrap_or(false);
    asked_for() || typed() || saved()
}

/// What is read in nearly every run.
fn is_usual(what: What, driving: bool) -> bool {
    match what {
        What::ShownVolume | What::Volume | What::Time => true,
        What::ShownRate => !driving,
        What::ShownSpeed | What::ShownDistance | What::Distance => driving,
        _ => false,
    }
}

/// The boxes of one side, and buttons for the others.
#[component]
fn Side(
    /// The run.
    key: StoredValue<String>,
    /// How it was made.
    made: Memo<Made>,
    /// Readings whose boxes are shown.
    visible: Memo<Vec<What>>,
    /// What the console shows, or what is known to be true.
    shown: bool,
) -> impl IntoView {
    let desk = desk();
    let w = &words().adds_up;
    let of_side = move |what: &What| what.is_shown() == shown;
    let boxes = move || visible.get().into_iter().filter(of_side).collect::<Vec<_>>();
    let others = move || {
        let visible = visible.get();
        let (_, n_pumps) = shape(desk);
        let others = whats(n_pumps).into_iter().filter(|what| of_side(what) && !visible.contains(what));
        // A pump that is off has no box to offer.
        let on = |what: &What| what.pump().is_none_or(|pump| made.read().0.product(pump).is_some());
        others.filter(on).map(|what| more_button(desk, key, what)).collect_view()
    };
    view! {
        <h3>{if shown { w.shown } else { w.known }}</h3>
        <div class="fields">
            <For each=boxes key=|what| tail(*what) let(what)>
                {reading_box(desk, key.with_value(|key| path(key, what)), what)}
            </For>
        </div>
        <details class="group">
            <summary>{w.more_readings}</summary>
            <div class="button-row">{others}</div>
        </details>
    }
}

/// Asks for one more box.
fn more_button(desk: Desk, key: StoredValue<String>, what: What) -> AnyView {
    let press = move |_| desk.show(key.with_value(|key| path(key, what)));
    view! { <button type="button" class="button" on:click=press>{adds_up::label(what)}</button> }.into_any()
}

fn reading_box(desk: Desk, path: String, what: What) -> AnyView {
    let unit = desk.setup.with_untracked(|setup| match setup {
        Some(Ok(setup)) => unit_first(setup, what, sheet()),
        _ => None,
    });
    let id = path.clone();
    match unit {
        Some(unit) => {
            view! { <div id=id><DocField path=path label=adds_up::label(what) unit_first=unit /></div> }
                .into_any()
        }
        None => view! { <div id=id><DocField path=path label=adds_up::label(what) /></div> }.into_any(),
    }
}

/// The unit in which the console shows a reading, where it is keyed in in one; small ones for products.
fn unit_first(setup: &Setup, what: What, sheet: Sheet) -> Option<&'static str> {
    let form = |entry| setup.number(entry).map(|number| number.form);
    let small = if sheet.system == crate::state::sheet::System::Us { "us_fl_oz" } else { "ml" };
    match what {
        What::ShownProductVolume(_) | What::ProductVolume(_) => Some(small),
        What::ShownRate => form_unit(form(KeyedNumber::CarrierRate)?),
        What::ShownProductRate(pump) => form_unit(form(KeyedNumber::FirstRate(pump))?),
        What::ShownWidth => form_unit(form(KeyedNumber::Width(0))?),
        What::ShownSpeed => form_unit(form(KeyedNumber::StandingSpeed)?),
        _ => None,
    }
}

fn form_unit(form: NumberForm) -> Option<&'static str> {
    match form {
        NumberForm::PerArea(unit) => Some(unit.code()),
        NumberForm::PerCarrier(unit) => Some(unit.code()),
        NumberForm::Speed(unit) => Some(unit.code()),
        NumberForm::Length(unit) => Some(unit.code()),
        _ => None,
    }
}

/// How far each reading may be off.
#[component]
fn HowWell(
    /// The run.
    key: StoredValue<String>,
    /// Readings whose boxes are shown.
    visible: Memo<Vec<What>>,
) -> impl IntoView {
    let w = &words().adds_up;
    view! {
        <div class="fields">
            <For each=move || visible.get() key=|what| tail(*what) let(what)>
                <DocField
                    path=key.with_value(|key| u_path(key, what))
                    label=(w.give_or_take)(&adds_up::label(what))
                    hint=(w.usual_share)(&number::percent(what.usual_share(), 2))
                />
            </For>
        </div>
    }
}

/// Numbers read back from the console, asked for one by one.
#[component]
pub(super) fn ReadBack() -> impl IntoView {
    let (desk, sheet) = (desk(), sheet());
    let w = &words().adds_up;
    let all = move || {
        let entries = desk.setup.with(|setup| match setup {
            Some(Ok(setup)) => setup.numbers.iter().map(|number| number.entry).collect(),
            _ => Vec::new(),
        });
        entries.into_iter().map(What::ReadBack).collect::<Vec<_>>()
    };
    let place = sheet.id().to_string();
    let kept = untrack(all).into_iter().map(tail);
    let kept: Vec<String> =
        kept.filter(|path| drafts::find(&place, path).is_some_and(|text| !text.is_empty())).collect();
    desk.asked_for.update(|paths| paths.extend(kept));
    let visible = Memo::new(move |_| {
        let mut all = all();
        all.retain(|what| has_box(desk, sheet, &tail(*what)));
        all
    });
    let key = StoredValue::new(String::new());
    let others = move || {
        let visible = visible.get();
        let others = all().into_iter().filter(|what| !visible.contains(what));
        others.map(|what| more_button(desk, key, what)).collect_view()
    };
    view! {
        <section class="card" aria-label=w.read_back>
            <h2>{w.read_back}</h2>
            <p class="field__hint">{w.read_back_hint}</p>
            <div class="fields">
                <For each=move || visible.get() key=|what| tail(*what) let(what)>
                    {reading_box(desk, tail(what), what)}
                </For>
            </div>
            <details class="group">
                <summary>{w.more_readings}</summary>
                <div class="button-row">{others}</div>
            </details>
        </section>
    }
}
