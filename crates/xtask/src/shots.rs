//! `cargo xtask shots`: pictures of screens of the release app at the three sizes, into `target/shots`. What is pictured and how
//! is in `tests/tools/shots.mjs`.

use crate::{Outcome, build, process, say, setup};

/// Builds the app and takes the pictures. Arguments are routes such as `#/book`; `--demo` loads the example rigs first,
/// `--full` takes the whole page rather than what fits the screen.
///
/// # Errors
/// When the build fails or a screen does not open.
pub(crate) fn shots(args: &[String]) -> Outcome {
    setup::for_tests()?;
    build::build()?;
    say("taking pictures into target/shots", "a few seconds for each screen");
    let mut node = process::command("node");
    node.arg("tools/shots.mjs").args(args);
    process::for_browser_scripts(&mut node)?;
    process::run(&mut node)
}
