//! How a console counts: a list of usual conventions, and any other by form, amount and unit.

use crate::components::choice::Choice;
use crate::components::field::{Field, Understood};
use crate::state::sheet::sheet;
use crate::text::{measure, problem, rig, words};
use leptos::prelude::*;
use records::fields::Measure;
use units::{LengthUnit, PulseConvention, Unit, VolumeUnit, parse_number};

/// Conventions offered for a meter number.
pub(crate) const METER: &[&str] =
    &["counting:1:us_gal", "counting:10:us_gal", "counting:1:l", "counting:10:l", "counting:1:imp_gal"];
/// Conventions offered for a pump number.
pub(crate) const PUMP: &[&str] =
    &["counting:1:us_fl_oz", "counting:1:ml", "counting:1:l", "counting:1:us_gal", "spacing:1000:ml"];
/// Conventions offered for a course number.
pub(crate) const COURSE: &[&str] = &[
    "counting:300:ft",
    "counting:400:ft",
    "counting:100:m",
    "counting:1:km",
    "counting:1:mi",
    "spacing:1000:cm",
    "spacing:10:in",
    "spacing:100:in",
];

/// What the pulses are counted over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Over {
    /// Volumes.
    Volume,
    /// Distances.
    Distance,
}

impl Over {
    fn measure(self) -> Measure {
        match self {
            Self::Volume => Measure::Volume,
            Self::Distance => Measure::Length,
        }
    }

    fn text(self, code: &str) -> Option<String> {
        match self {
            Self::Volume => PulseConvention::<VolumeUnit>::from_code(code).ok().map(rig::convention_text),
            Self::Distance => PulseConvention::<LengthUnit>::from_code(code).ok().map(rig::convention_text),
        }
    }
}

/// Chooses the convention at a path.
#[component]
pub(crate) fn Convention(
    /// Path of the convention's code.
    #[prop(into)]
    path: String,
    /// Names the box.
    #[prop(into)]
    label: String,
    /// Volumes or distances.
    over: Over,
    /// Usual ones.
    usual: &'static [&'static str],
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let stored = sheet.text(path.clone());
    let path = StoredValue::new(path);
    let own = RwSignal::new(stored.get_untracked().is_some_and(|code| !usual.contains(&code.as_str())));
    let chosen = move || {
        if own.get() { "own".to_owned() } else { stored.get().unwrap_or_default() }
    };
    let on_choose = move |event| {
        let code = event_target_value(&event);
        own.set(code == "own");
        if code != "own" && !code.is_empty() {
            sheet.set_one(path.get_value(), code);
        }
    };
    let id = format!("convention-{}", path.get_value());
    view! {
        <div class="field">
            <label class="field__label" for=id.clone()>{label}</label>
            <select class="field__select" id=id on:change=on_choose prop:value=chosen>
                <option value="" selected=move || chosen().is_empty()>{w.choose}</option>
                {usual
                    .iter()
                    .map(|code| view! { <option value=*code selected=move || chosen() == *code>{over.text(code)}</option> })
                    .collect_view()}
                <option value="own" selected=move || own.get()>{w.own_convention}</option>
            </select>
            {move || own.get().then(|| view! { <Own path=path.get_value() over=over /> })}
        </div>
    }
}

/// Any convention: form, amount and unit.
#[component]
fn Own(
    /// Path of the convention's code.
    path: String,
    /// Volumes or distances.
    over: Over,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let code = sheet.now(&path).unwrap_or_default();
    let mut parts = code.split(':').map(str::to_owned);
    let first_unit = match over {
        Over::Volume => VolumeUnit::UsGallon.code(),
        Over::Distance => LengthUnit::Foot.code(),
    };
    let form =
        RwSignal::new(parts.next().filter(|f| f == "spacing").unwrap_or_else(|| "counting".to_owned()));
    let amount = RwSignal::new(parts.next().unwrap_or_default());
    let unit = RwSignal::new(parts.next().unwrap_or_else(|| first_unit.to_owned()));
    let read = Memo::new(move |_| match parse_number(&amount.get()) {
        Ok(value) if value > 0.0 => Ok(value),
        Ok(value) if value < 0.0 => Err(words().problem.negative.to_owned()),
        Ok(_) => Err(words().problem.zero.to_owned()),
        Err(p) => Err(problem::parse_problem(&p)),
    });
    let code_now = move || Some(format!("{}:{}:{}", form.get(), read.get().ok()?, unit.get()));
    let understood = Memo::new(move |_| Understood {
        echo: code_now().and_then(|code| over.text(&code)).unwrap_or_default(),
        problem: if amount.read().is_empty() { String::new() } else { read.get().err().unwrap_or_default() },
    });
    let commit = Callback::new(move |()| {
        if let Some(code) = untrack(code_now) {
            sheet.set_one(path.clone(), code);
        }
    });
    let options =
        vec![("counting".to_owned(), w.counting.to_owned()), ("spacing".to_owned(), w.spacing.to_owned())];
    let on_form = move |code| {
        form.set(code);
        commit.run(());
    };
    let amount_label =
        move || if *form.read() == "counting" { w.amount_counting } else { w.amount_spacing }.to_owned();
    view! {
        <div class="field__own">
            <Choice legend=w.form options=options chosen=form on_choose=on_form />
            <Field
                label=Signal::derive(amount_label)
                text=amount
                unit=unit
                units=measure::units_of(over.measure())
                understood=understood
                on_commit=commit
            />
        </div>
    }
}
