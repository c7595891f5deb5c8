//! `cargo xtask compare-epanet`: times EPANET and this project's own hydraulics and transport on the same boom, side by side in
//! one run. The numbers are worked out by `tests/tools/compare_epanet.py`; this gets it what it needs and cleans up.
//!
//! Not part of `cargo xtask test`: it installs a Python package, into a folder that is gone afterwards.

use crate::{Outcome, place, process, say};
use std::path::Path;

/// The release that the case's answers were made with.
const PACKAGE: &str = "owa-epanet==2.3.5";

/// Runs the benchmark, installs EPANET, prints both.
///
/// # Errors
/// When there is no Python with `venv`, EPANET cannot be installed, or either run fails.
pub(crate) fn compare_epanet() -> Outcome {
    let folder = std::env::temp_dir().join(format!("boomwright-epanet-{}", std::process::id()));
    let outcome = in_folder(&folder);
    let removed = std::fs::remove_dir_all(&folder);
    outcome.and(removed.map_err(|e| format!("cannot remove {}: {e}", folder.display())))
}

fn in_folder(folder: &Path) -> Outcome {
    std::fs::create_dir_all(folder).map_err(|e| format!("cannot make {}: {e}", folder.display()))?;
    let environment = folder.join("python");
    say("installing EPANET where it can be thrown away", "about 15 s");
    process::run(process::command("python3").args(["-m", "venv"]).arg(&environment))?;
    let program = |name: &str| environment.join("bin").join(name);
    let pip = ["install", "--quiet", "--disable-pip-version-check", PACKAGE];
    process::run(process::command(program("pip")).args(pip))?;
    say("timing this project", "about 1 minute, more where it must be built first");
    let timings = folder.join("criterion");
    let bench = ["bench", "--quiet", "--package", "calc", "--bench", "plumbing", "--", "--quiet", "p7/"];
    process::output(process::cargo().args(bench).env("CRITERION_HOME", &timings))?;
    say("timing EPANET", "a few seconds");
    let root = place::root();
    let case = root.join("crates/calc/tests/data/network/P7.json");
    let script = root.join("tests/tools/compare_epanet.py");
    process::run(process::command(program("python")).arg(script).arg(case).arg(&timings))
}
