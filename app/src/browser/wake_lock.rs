//! Keeps the screen lit while a trial is on it: hands are wet and the phone lies in the grass. Where the browser cannot,
//! the screen goes dark as always, and the stopwatch runs on.

use js_sys::{Function, Promise, Reflect};
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};

type Held = Rc<RefCell<Option<JsValue>>>;

/// Keeps the screen lit until the part of the page that asks is gone. The browser lets go whenever the page is hidden, so
/// it is asked again when the page is back.
pub(crate) fn keep_awake_here() {
    let held: Held = Rc::default();
    let gone = Rc::new(RefCell::new(false));
    let ask = {
        let (held, gone) = (Rc::clone(&held), Rc::clone(&gone));
        move || {
            let (held, gone) = (Rc::clone(&held), Rc::clone(&gone));
            spawn_local(async move {
                let lock = request().await;
                if *gone.borrow() {
                    release(lock);
                } else {
                    held.replace(lock);
                }
            });
        }
    };
    ask();
    let back = window_event_listener_untyped("visibilitychange", {
        let ask = send_wrapper::SendWrapper::new(ask);
        move |_| {
            if document().visibility_state() == web_sys::VisibilityState::Visible {
                ask();
            }
        }
    });
    let left = send_wrapper::SendWrapper::new((held, gone));
    on_cleanup(move || {
        back.remove();
        let (held, gone) = left.take();
        gone.replace(true);
        release(held.take());
    });
}

/// Asks for the lock; `None` where there is none to be had (old browser, low battery).
async fn request() -> Option<JsValue> {
    let navigator = JsValue::from(window().navigator());
    let wake_lock = Reflect::get(&navigator, &"wakeLock".into()).ok().filter(|lock| !lock.is_undefined())?;
    let request: Function = Reflect::get(&wake_lock, &"request".into()).ok()?.dyn_into().ok()?;
    let promise: Promise = request.call1(&wake_lock, &"screen".into()).ok()?.dyn_into().ok()?;
    JsFuture::from(promise).await.ok()
}

fn release(lock: Option<JsValue>) {
    let Some(lock) = lock else { return };
    let release = Reflect::get(&lock, &"release".into()).ok().and_then(|f| f.dyn_into::<Function>().ok());
    if let Some(release) = release {
        // A lock that is gone already needs no letting go.
        let _ = release.call0(&lock);
    }
}
