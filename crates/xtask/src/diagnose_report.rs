//! `cargo xtask diagnose-report`: how often the diagnosis is right, counted anew and kept beside its source.
//! What is simulated, and what counts as right, is in `crates/calc/tests/diagnosis_world/`.

use crate::{Outcome, place, process, say};

/// Cases of each kind, and the seed, when none are given.
const CASES: &str = "120";
const SEED: &str = "1";

/// Runs the simulation and writes the table.
///
/// # Errors
/// When an option is unknown, the example does not build or run, or the table cannot be written.
pub(crate) fn diagnose_report(args: &[String]) -> Outcome {
    let (mut cases, mut seed) = (CASES.to_owned(), SEED.to_owned());
    let mut rest = args.iter();
    while let Some(option) = rest.next() {
        let value = || format!("{option} wants a number");
        match option.as_str() {
            "--cases" => cases.clone_from(rest.next().ok_or_else(value)?),
            "--seed" => seed.clone_from(rest.next().ok_or_else(value)?),
            unknown => return Err(format!("there is no option \"{unknown}\"")),
        }
    }
    say("simulating rigs with one thing wrong, or two, or a misread jug", "a few minutes");
    let today = process::output(process::command("date").args(["-u", "+%F"]))?;
    let mut example = process::cargo();
    // The release profile is for the browser: small first.
    example.args([
        "run",
        "--quiet",
        "--profile",
        "bench",
        "--package",
        "calc",
        "--example",
        "diagnose_report",
        "--",
    ]);
    example.args([cases.as_str(), seed.as_str(), today.trim()]);
    let table = process::output(&mut example)?;
    print!("{table}");
    let path = place::root().join("crates/calc/src/diagnosis/REPORT.md");
    std::fs::write(&path, table).map_err(|e| format!("cannot write {}: {e}", path.display()))
}
