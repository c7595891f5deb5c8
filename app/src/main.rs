//! Mounts the app, nothing else.

use leptos::prelude::*;

fn main() {
    mount_to_body(|| view! { <h1>"Boomwright"</h1> });
}
