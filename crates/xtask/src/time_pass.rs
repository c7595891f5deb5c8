//! `cargo xtask time-pass`: how long a simulated pass of five minutes, 120 nozzles and 40 events takes in the browser, and how
//! long a touch might have to wait meanwhile. The measuring is in `tests/tools/time-pass.mjs`.
//!
//! Not part of `cargo xtask test`: speed is shown and never tested. The native side is `cargo bench --bench pass`.

use crate::{Outcome, build, process, say, setup};

/// Builds the release app and prints the times.
///
/// # Errors
/// When the build fails or the screen does not show a pass.
pub(crate) fn time_pass() -> Outcome {
    setup::for_tests()?;
    build::build()?;
    say("timing a pass in the browser, at full speed and at a quarter of it", "about a minute");
    let mut node = process::command("node");
    node.arg("tools/time-pass.mjs");
    process::for_browser_scripts(&mut node)?;
    process::run(&mut node)
}
