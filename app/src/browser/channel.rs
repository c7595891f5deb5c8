//! Word between tabs of this app: a text said in one is heard in the others.

use leptos::prelude::on_cleanup;
use send_wrapper::SendWrapper;
use wasm_bindgen::prelude::*;
use web_sys::{BroadcastChannel, MessageEvent};

const NAME: &str = "boomwright";

/// Says a text to the other tabs. Where there is no such channel, they learn of it when they are opened again.
pub(crate) fn say(text: &str) {
    if let Ok(channel) = BroadcastChannel::new(NAME) {
        // A channel that cannot post has nobody listening.
        let _ = channel.post_message(&JsValue::from_str(text));
        channel.close();
    }
}

/// Hears what other tabs say, until the owner goes away.
pub(crate) fn listen(mut heard: impl FnMut(String) + 'static) {
    let Ok(channel) = BroadcastChannel::new(NAME) else { return };
    let on_message = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        if let Some(text) = event.data().as_string() {
            heard(text);
        }
    });
    channel.set_onmessage(Some(on_message.as_ref().unchecked_ref()));
    let kept = SendWrapper::new((channel, on_message));
    on_cleanup(move || {
        let (channel, _) = kept.take();
        channel.set_onmessage(None);
        channel.close();
    });
}
