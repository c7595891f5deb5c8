//! Parts of a screen that follow what they read, and buttons, without code of their own for each place: the browser loads one
//! copy of what redraws, however many there are.

use leptos::prelude::*;

/// Redraws a part whenever what it read changes.
pub(crate) fn live(part: impl Fn() -> AnyView + Send + 'static) -> AnyView {
    redrawn(Box::new(part))
}

fn redrawn(part: Box<dyn Fn() -> AnyView + Send>) -> AnyView {
    (move || part()).into_any()
}

/// A part that is hidden unless this code is chosen.
pub(crate) fn only_when(chosen: Signal<String>, code: &'static str, part: AnyView) -> AnyView {
    view! { <div hidden=move || *chosen.read() != code>{part}</div> }.into_any()
}

/// A plain button.
pub(crate) fn button(
    class: &'static str,
    face: String,
    on_press: impl Fn() + Send + Sync + 'static,
) -> AnyView {
    pressed(class, face, Callback::new(move |()| on_press()))
}

fn pressed(class: &'static str, face: String, on_press: Callback<()>) -> AnyView {
    view! { <button type="button" class=class on:click=move |_| on_press.run(())>{face}</button> }.into_any()
}
