//! One labelled box. Keeps what was typed; the caller decides what it means.

use leptos::html;
use leptos::prelude::*;

/// A unit to choose from: its stored code and what stands on the screen.
pub(crate) type UnitOption = (&'static str, &'static str);

/// What the caller makes of the typed text: an echo that says how it was understood, or what is wrong with it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Understood {
    /// How the text was understood, e.g. `= 3.81 m`. Empty where there is nothing to say.
    pub(crate) echo: String,
    /// What is wrong and what is possible. Empty where nothing is.
    pub(crate) problem: String,
}

/// One labelled box with its unit, an echo of what was understood and the problem beside it.
#[component]
pub(crate) fn Field(
    /// Visible label.
    #[prop(into)]
    label: Signal<String>,
    /// The text as typed.
    text: RwSignal<String>,
    /// Code of the unit beside the box; empty where there is none.
    #[prop(optional, into)]
    unit: RwSignal<String>,
    /// Units to choose from. One: it is shown as it is. None: no unit.
    #[prop(optional, into)]
    units: Signal<Vec<UnitOption>>,
    /// What the text was understood as.
    #[prop(into)]
    understood: Signal<Understood>,
    /// A word of help under the label.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Words rather than a number.
    #[prop(optional)]
    words: bool,
    /// Called with each key, to keep the draft.
    #[prop(optional, into)]
    on_typed: Option<Callback<()>>,
    /// Called when the box is left, Enter pressed, or the unit changed.
    #[prop(optional, into)]
    on_commit: Option<Callback<()>>,
    /// What stands under the box, e.g. where the number came from.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    let id = next_id();
    let (box_id, hint_id, echo_id, problem_id) =
        (format!("f{id}"), format!("f{id}h"), format!("f{id}e"), format!("f{id}p"));
    let described_by = format!("{hint_id} {echo_id} {problem_id}");
    let node = NodeRef::<html::Input>::new();
    let commit = move || {
        if let Some(on_commit) = on_commit {
            on_commit.run(());
        }
    };
    let typed = move |event| {
        text.set(event_target_value(&event));
        if let Some(on_typed) = on_typed {
            on_typed.run(());
        }
    };
    let enter = move |event: leptos::ev::KeyboardEvent| {
        if event.key() == "Enter" {
            commit();
        }
    };
    let choose_unit = move |event| {
        unit.set(event_target_value(&event));
        commit();
    };
    let select_all = move |_| {
        if let Some(input) = node.get_untracked() {
            input.select();
        }
    };
    let invalid = move || (!understood.read().problem.is_empty()).to_string();
    let unit_label = move || format!("{}, {}", label.get(), crate::text::words().rig.unit);
    let unit_box = move || {
        let options = units.get();
        match options.as_slice() {
            [] => ().into_any(),
            [(_, symbol)] => view! { <span class="field__unit field__unit--fixed">{*symbol}</span> }.into_any(),
            _ => view! {
                <select class="field__select field__unit" aria-label=unit_label on:change=choose_unit prop:value=move || unit.get()>
                    {options
                        .iter()
                        .map(|(code, symbol)| {
                            let code = *code;
                            view! { <option value=code selected=move || *unit.read() == code>{*symbol}</option> }
                        })
                        .collect_view()}
                </select>
            }
            .into_any(),
        }
    };
    view! {
        <div class="field">
            <label class="field__label" for=box_id.clone()>{label}</label>
            <span class="field__hint" id=hint_id hidden=move || hint.read().is_empty()>{hint}</span>
            <input
                node_ref=node
                class="field__input"
                class:field__input--words=words
                id=box_id
                type="text"
                inputmode=if words { "text" } else { "decimal" }
                enterkeyhint="next"
                autocomplete="off"
                prop:value=text
                aria-invalid=invalid
                aria-describedby=described_by
                on:input=typed
                on:focus=select_all
                on:change=move |_| commit()
                on:keydown=enter
            />
            {unit_box}
            <span class="field__echo figure" id=echo_id>{move || understood.get().echo}</span>
            <span class="field__problem" id=problem_id role="alert">{move || understood.get().problem}</span>
            {children.map(|children| view! { <div class="field__source">{children()}</div> })}
        </div>
    }
}

/// A number that no other box on the page has.
pub(crate) fn next_id() -> u32 {
    use std::sync::atomic::{AtomicU32, Ordering};
    static NEXT: AtomicU32 = AtomicU32::new(1);
    NEXT.fetch_add(1, Ordering::Relaxed)
}
