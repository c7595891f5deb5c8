//! Work that lasts, done a few milliseconds at a time so that no touch waits for it.

use leptos::prelude::{set_timeout, window};
use std::cell::Cell;
use std::rc::Rc;
use std::time::Duration;

/// Less than half of what a screen has for a frame.
const SLICE_MS: f64 = 6.0;

/// What a piece of work says when it returns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turn {
    /// There is more to do.
    More,
    /// There is more to do, and something to show before that.
    Pause,
    /// Nothing is left.
    Done,
}

/// Work under way. It ends with the handle.
pub(crate) struct Slices(Rc<Cell<bool>>);

impl Drop for Slices {
    fn drop(&mut self) {
        self.0.set(false);
    }
}

/// Calls `work` again and again, with a pause after every few milliseconds, until it says that nothing is left. The first
/// call comes when the present one has returned.
pub(crate) fn in_slices(work: impl FnMut() -> Turn + 'static) -> Slices {
    let wanted = Rc::new(Cell::new(true));
    later(Rc::clone(&wanted), Box::new(work));
    Slices(wanted)
}

fn later(wanted: Rc<Cell<bool>>, mut work: Box<dyn FnMut() -> Turn>) {
    let turn = move || {
        let began = now_ms();
        loop {
            if !wanted.get() {
                return;
            }
            match work() {
                Turn::Done => return,
                Turn::More if now_ms() - began < SLICE_MS => {}
                Turn::More | Turn::Pause => break,
            }
        }
        later(wanted, work);
    };
    set_timeout(turn, Duration::ZERO);
}

/// Milliseconds on the steady clock.
pub(crate) fn now_ms() -> f64 {
    // Without a clock every call is a slice of its own.
    window().performance().map_or(f64::INFINITY, |clock| clock.now())
}

#[cfg(test)]
mod tests {
    use super::*;
    use js_sys::Promise;
    use wasm_bindgen_futures::JsFuture;
    use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

    wasm_bindgen_test_configure!(run_in_browser);

    async fn wait(ms: i32) {
        let later = Promise::new(&mut |done, _| {
            window().set_timeout_with_callback_and_timeout_and_arguments_0(&done, ms).unwrap();
        });
        JsFuture::from(later).await.unwrap();
    }

    /// However slow the machine is, within ten seconds.
    async fn until_called(calls: &Rc<Cell<u32>>, times: u32) {
        for _ in 0..1000 {
            if times <= calls.get() {
                return;
            }
            wait(10).await;
        }
    }

    /// Counts its calls, each so many milliseconds long.
    fn counting(
        calls: &Rc<Cell<u32>>,
        lasts_ms: f64,
        most: u32,
        then: Turn,
    ) -> impl FnMut() -> Turn + 'static {
        let calls = Rc::clone(calls);
        move || {
            let began = now_ms();
            while now_ms() - began < lasts_ms {}
            calls.set(calls.get() + 1);
            if calls.get() < most { then } else { Turn::Done }
        }
    }

    // By hand: ten calls of a millisecond are two slices. Timeouts of no delay come in the order in which they were asked for: this
    // one between the two, as a touch would.
    #[wasm_bindgen_test]
    async fn work_is_done_to_the_end_and_lets_others_come_between() {
        let calls = Rc::new(Cell::new(0));
        let _slices = in_slices(counting(&calls, 1.0, 10, Turn::More));
        assert_eq!(calls.get(), 0, "the first call waits until the present one has returned");
        wait(0).await;
        let in_between = calls.get();
        assert!((1..10).contains(&in_between), "{in_between}");
        until_called(&calls, 10).await;
        assert_eq!(calls.get(), 10);
    }

    #[wasm_bindgen_test]
    async fn work_ends_with_its_handle() {
        let calls = Rc::new(Cell::new(0));
        let slices = in_slices(counting(&calls, 1.0, 1000, Turn::More));
        until_called(&calls, 1).await;
        drop(slices);
        let then = calls.get();
        wait(50).await;
        assert!(0 < then && calls.get() == then, "{then} {}", calls.get());
    }

    #[wasm_bindgen_test]
    async fn a_pause_lets_others_come_at_once() {
        let calls = Rc::new(Cell::new(0));
        let _slices = in_slices(counting(&calls, 0.0, 3, Turn::Pause));
        wait(0).await;
        assert!(calls.get() < 3, "{}", calls.get());
        until_called(&calls, 3).await;
        assert_eq!(calls.get(), 3);
    }
}
