//! The address bar: the route that stands behind the `#`, followed as it changes.

use crate::route::Route;
use leptos::ev;
use leptos::prelude::*;
use wasm_bindgen::JsValue;

/// The route in force, followed as the address changes.
pub(crate) fn follow_route() -> ReadSignal<Route> {
    let (route, set_route) = signal(current());
    let handle = window_event_listener(ev::hashchange, move |_| set_route.set(current()));
    on_cleanup(move || handle.remove());
    route
}

/// Goes to a screen; the back button leads here again.
pub(crate) fn go_to(route: &Route) {
    // A hash that the browser refuses to take leaves the user where they are, which is all that can be done.
    let _ = window().location().set_hash(&route.to_hash());
}

/// Puts another address of the same screen in place of the one in force. The screen stays as it is.
pub(crate) fn replace(route: &Route) {
    if let Ok(history) = window().history() {
        // Refused only where the browser takes no more of them; the address then lags behind the screen.
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&route.to_hash()));
    }
}

fn current() -> Route {
    Route::from_hash(&window().location().hash().unwrap_or_default())
}
