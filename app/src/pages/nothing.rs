//! An address that leads nowhere, or to a record that is not here.

use crate::route::Route;
use crate::text::words;
use leptos::prelude::*;

/// Says so and leads back.
#[component]
pub(crate) fn Nothing() -> impl IntoView {
    let w = &words().frame;
    view! {
        <h1>{w.nothing_here}</h1>
        <p>{w.nothing_here_more}</p>
        <p><a class="button" href=Route::Rigs.to_hash()>{w.to_rigs}</a></p>
    }
}
