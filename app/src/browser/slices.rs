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
