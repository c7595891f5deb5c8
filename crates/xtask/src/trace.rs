//! `cargo xtask trace`: what frames a slowed-down phone shows while a thumb moves the speed slider of the reach screen. The
//! measuring is in `tests/tools/trace.mjs`; this starts it. It is a measurement and no test: machines differ.

use crate::{Outcome, build, process, say, setup};

/// Builds the app and measures. `--throttle N` slows the processor down by another factor than 4, `--seconds N` drags for
/// longer, `--slider NAME` takes another slider of the screen, `--keep` keeps the trace in `target/trace`.
///
/// # Errors
/// When the build fails or nothing could be measured, never for what was measured.
pub(crate) fn trace(args: &[String]) -> Outcome {
    setup::for_tests()?;
    build::build()?;
    say("moving the speed slider on a slow phone", "half a minute");
    let mut node = process::command("node");
    node.arg("tools/trace.mjs").args(args);
    process::for_browser_scripts(&mut node)?;
    process::run(&mut node)
}
