//! Mounts the app, nothing else.

#![allow(unreachable_pub, reason = "the component macro makes public builders of private components")]

mod app;
mod bridge;
mod browser;
mod components;
mod pages;
mod route;
mod state;
mod text;

use leptos::prelude::*;

fn main() {
    browser::crash::say_when_failed(text::words().frame.crashed);
    // The reactive runtime starts with the app; reading the stores comes before it and needs none.
    wasm_bindgen_futures::spawn_local(async {
        let found = state::ledger::open().await;
        if let Some(shell) = document().get_element_by_id("shell") {
            shell.remove();
        }
        mount_to_body(move || view! { <app::App found=found /> });
    });
}
