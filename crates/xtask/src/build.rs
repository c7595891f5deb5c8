//! `cargo xtask build`: the release app in `dist/`. Trunk compiles and bundles; its hook (`dist.rs`) does the rest.

use crate::{Outcome, human_time, place, process, say, setup};
use std::time::Instant;

/// Trunk's script minifier does not know `export { a as default }`, says so, and ships the script as it is; that is fine.
const LOG: &str = "warn,trunk::processing::minify=error";

/// Sets up what is missing and builds.
///
/// # Errors
/// When a tool cannot be installed or the app does not compile.
pub(crate) fn build() -> Outcome {
    setup::for_build()?;
    say("building the release app into dist/", "1 to 3 minutes");
    let started = Instant::now();
    let mut trunk = process::command(place::tools_bin().join("trunk"));
    // Trunk reads NO_COLOR as a yes or no of its own and stops at the usual value 1.
    trunk.args(["build", "--release", "--log", LOG]).env_remove("NO_COLOR");
    process::run(&mut trunk)?;
    println!("  dist/ is ready after {}", human_time(started.elapsed()));
    Ok(())
}
