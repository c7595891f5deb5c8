//! The copy of the app that stays on the device: registers the worker, says how the copy stands, and lets a new version in
//! when the user says so. What the worker does is in `crates/xtask/src/worker/sw.js`; the words for these states are not here.

use js_sys::{Date, Reflect};
use leptos::prelude::*;
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    RegistrationOptions, ServiceWorker, ServiceWorkerContainer, ServiceWorkerRegistration,
    ServiceWorkerState, ServiceWorkerUpdateViaCache, VisibilityState,
};

/// Relative, so that it is found under any sub-path; its folder is the scope.
const WORKER: &str = "sw.js";
/// What the worker listens for.
const APPLY: &str = "apply";
/// An installed app may stay open for days; the browser itself looks for updates only when a page is opened.
const BETWEEN_CHECKS_MS: f64 = 3_600_000.0;

/// How the copy on this device stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum OfflineCopy {
    /// Not complete yet; needs the connection.
    Preparing,
    /// Complete: the app starts without signal.
    Ready,
    /// Could not be completed; tried again when the connection returns and at the next start.
    Failed,
    /// This browser or this address does not allow one (no `https`, private window, switched off).
    Impossible,
}

/// The copy as signals. Made once by [`register`] and handed around; copying it is free.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Offline {
    /// How the copy stands.
    pub(crate) copy: ReadSignal<OfflineCopy>,
    /// A new version is complete and waits for [`Offline::apply_update`].
    pub(crate) update_waiting: ReadSignal<bool>,
    set_copy: WriteSignal<OfflineCopy>,
    set_waiting: WriteSignal<bool>,
    registration: StoredValue<Option<ServiceWorkerRegistration>, LocalStorage>,
}

impl Offline {
    /// Lets the waiting version take over; every open tab of the app then reloads by itself. Save drafts before calling.
    /// Does nothing when no version waits.
    pub(crate) fn apply_update(self) {
        let waiting =
            self.registration.with_value(|known| known.as_ref().and_then(ServiceWorkerRegistration::waiting));
        match waiting {
            // A worker that cannot be reached is gone, and with it the version.
            Some(worker) => drop(worker.post_message(&APPLY.into())),
            None => self.set_waiting.set(false),
        }
    }

    fn look_again(self) {
        let Some(Some(registration)) = self.registration.try_get_value() else { return };
        self.set_waiting.set(registration.waiting().is_some() && registration.active().is_some());
        if registration.active().is_some() {
            self.set_copy.set(OfflineCopy::Ready);
        }
    }
}

/// Registers the worker. Call once, when the app has been mounted. The first copy takes effect without a reload.
pub(crate) fn register() -> Offline {
    let (copy, set_copy) = signal(OfflineCopy::Preparing);
    let (update_waiting, set_waiting) = signal(false);
    let offline =
        Offline { copy, update_waiting, set_copy, set_waiting, registration: StoredValue::new_local(None) };
    let Some(container) = container() else {
        set_copy.set(OfflineCopy::Impossible);
        return offline;
    };
    reload_when_replaced(&container);
    start(offline, container.clone());
    retry_when_online(offline, container);
    check_when_shown(offline);
    offline
}

/// None where the browser has no workers: then the property itself is missing.
fn container() -> Option<ServiceWorkerContainer> {
    let navigator = window().navigator();
    Reflect::has(&navigator, &"serviceWorker".into()).is_ok_and(|has| has).then(|| navigator.service_worker())
}

fn start(offline: Offline, container: ServiceWorkerContainer) {
    spawn_local(async move {
        let options = RegistrationOptions::new();
        options.set_update_via_cache(ServiceWorkerUpdateViaCache::None);
        let promise = container.register_with_options(WORKER, &options);
        let Ok(registration) = JsFuture::from(promise).await else {
            offline.set_copy.set(OfflineCopy::Failed);
            return;
        };
        let registration: ServiceWorkerRegistration = registration.unchecked_into();
        if let Some(worker) = registration.installing() {
            follow(offline, worker);
        }
        let found = registration.clone();
        let on_update = Closure::<dyn FnMut()>::new(move || {
            if let Some(worker) = found.installing() {
                follow(offline, worker);
            }
        });
        registration.set_onupdatefound(Some(on_update.into_js_value().unchecked_ref()));
        offline.registration.set_value(Some(registration));
        offline.look_again();
    });
}

/// From being fetched to being in charge, or to having failed.
fn follow(offline: Offline, worker: ServiceWorker) {
    let followed = worker.clone();
    let on_change = Closure::<dyn FnMut()>::new(move || {
        offline.look_again();
        let gone = followed.state() == ServiceWorkerState::Redundant;
        if gone && offline.copy.get_untracked() == OfflineCopy::Preparing {
            offline.set_copy.set(OfflineCopy::Failed);
        }
    });
    worker.set_onstatechange(Some(on_change.into_js_value().unchecked_ref()));
}

/// The first worker takes charge of a page that is already right; any later one has other files than the page was made of.
fn reload_when_replaced(container: &ServiceWorkerContainer) {
    let in_charge = Cell::new(container.controller().is_some());
    let on_change = Closure::<dyn FnMut()>::new(move || {
        if in_charge.replace(true) {
            // Refused only for a page that is going away.
            window().location().reload().ok();
        }
    });
    container.set_oncontrollerchange(Some(on_change.into_js_value().unchecked_ref()));
}

fn retry_when_online(offline: Offline, container: ServiceWorkerContainer) {
    let on_online = Closure::<dyn FnMut()>::new(move || {
        if offline.copy.get_untracked() == OfflineCopy::Failed {
            offline.set_copy.set(OfflineCopy::Preparing);
            start(offline, container.clone());
        }
    });
    window().add_event_listener_with_callback("online", on_online.into_js_value().unchecked_ref()).ok();
}

fn check_when_shown(offline: Offline) {
    let last = Rc::new(Cell::new(Date::now()));
    let on_shown = Closure::<dyn FnMut()>::new(move || {
        let due = last.get() + BETWEEN_CHECKS_MS < Date::now();
        if !due || document().visibility_state() != VisibilityState::Visible {
            return;
        }
        last.set(Date::now());
        if let Some(registration) = offline.registration.get_value() {
            spawn_local(async move {
                // Without signal there is nothing to find; the next time will do.
                if let Ok(promise) = registration.update() {
                    JsFuture::from(promise).await.ok();
                }
            });
        }
    });
    document()
        .add_event_listener_with_callback("visibilitychange", on_shown.into_js_value().unchecked_ref())
        .ok();
}

#[cfg(test)]
mod tests {
    use super::*;
    use js_sys::Promise;
    use std::time::Duration;
    use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

    wasm_bindgen_test_configure!(run_in_browser);

    async fn a_moment() {
        let promise = Promise::new(&mut |resolve, _| {
            set_timeout(move || drop(resolve.call0(&JsValue::NULL)), Duration::from_millis(50));
        });
        JsFuture::from(promise).await.unwrap();
    }

    // The page of these tests has no worker beside it, like a host that was given half of a build.
    #[wasm_bindgen_test]
    async fn a_worker_that_is_not_there_is_reported() {
        let owner = Owner::new();
        owner.set();
        let offline = register();
        assert_eq!(offline.copy.get_untracked(), OfflineCopy::Preparing);
        for _ in 0..100 {
            if offline.copy.get_untracked() != OfflineCopy::Preparing {
                break;
            }
            a_moment().await;
        }
        assert_eq!(offline.copy.get_untracked(), OfflineCopy::Failed);
        assert!(!offline.update_waiting.get_untracked());
        offline.apply_update();
        assert!(!offline.update_waiting.get_untracked());
    }
}
