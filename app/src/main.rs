//! Mounts the app, nothing else.

#[path = "browser/offline.rs"]
mod offline;

use leptos::prelude::*;

fn main() {
    if let Some(shell) = document().get_element_by_id("shell") {
        shell.remove();
    }
    mount_to_body(|| {
        let offline = offline::register();
        let copy = move || match offline.copy.get() {
            offline::OfflineCopy::Ready => "Ready without signal",
            _ => "Not kept on this device yet",
        };
        view! {
            <main>
                <h1>"Boomwright"</h1>
                <p role="status">{copy}</p>
                <Show when=move || offline.update_waiting.get()>
                    <button on:click=move |_| offline.apply_update()>"Use the new version"</button>
                </Show>
            </main>
        }
    });
}
