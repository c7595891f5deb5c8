//! `cargo xtask kill-test`: kills the whole browser at random moments while entries are being saved, and looks whether anything
//! that was shown as saved is gone. The test itself is `tests/tools/kill-test.mjs`; this starts it.

use crate::{Outcome, build, process, say, setup};

/// With the 25 or so entries that are saved between two kills, about 5 000 entries.
const KILLS: u32 = 200;
/// For `cargo xtask test`.
const FEW_KILLS: u32 = 8;

/// Builds the release app and tests it. `--kills N` for another number, `--seed N` to repeat a run.
///
/// # Errors
/// When an entry was lost, doubled or moved, or when local storage alone would have done as well.
pub(crate) fn run(args: &[String]) -> Outcome {
    setup::for_tests()?;
    build::build()?;
    let kills = args.windows(2).find(|pair| pair[0] == "--kills").map(|pair| pair[1].parse::<u32>());
    let kills = kills.unwrap_or(Ok(KILLS)).map_err(|_| "--kills wants a number")?;
    let minutes = kills.div_ceil(10) + 1;
    say(&format!("killing the browser {kills} times while it saves"), &format!("about {minutes} minutes"));
    script(kills, args)
}

/// The short form, on what is in `dist/`.
///
/// # Errors
/// As [`run`].
pub(crate) fn short() -> Outcome {
    script(FEW_KILLS, &[])
}

fn script(kills: u32, args: &[String]) -> Outcome {
    let mut node = process::command("node");
    // A later option wins.
    node.args(["tools/kill-test.mjs", "--kills", &kills.to_string()]).args(args);
    process::for_browser_scripts(&mut node)?;
    process::run(&mut node)
}
