//! `cargo xtask test`: everything that must hold before a change is shared, cheapest first. What each check looks for is in
//! its own file or in the tests themselves; here is their order, and the count at the end.

use crate::{Outcome, budget, build, human_time, kill_test, layers, origins, place, process, setup};
use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};
use std::time::Instant;

const WASM: &str = "wasm32-unknown-unknown";

/// Runs all checks, also after one has failed, unless what they need is missing.
///
/// # Errors
/// When the tools cannot be had, or at least one check failed.
pub(crate) fn test() -> Outcome {
    let mut report = Report::start();
    setup::for_tests()?;
    report
        .check("formatting", "seconds", || process::run(process::cargo().args(["fmt", "--all", "--check"])));
    report.check("which crate knows which", "seconds", layers::check);
    report.check("lints", "1 to 3 minutes", || clippy(&["--workspace"]));
    report.check("lints of the app for the browser", "1 to 2 minutes", || {
        clippy(&["-p", "boomwright", "--target", WASM])
    });
    report.check("documentation", "under a minute", documentation);
    report.tests("native and documentation tests", "1 to 4 minutes", native_tests);
    report.tests("tests inside the browser", "1 to 3 minutes", browser_tests);
    if report.check("release build", "1 to 3 minutes", build::build) {
        report.check("nothing from elsewhere", "seconds", origins::check);
        report.check("budget", "seconds", budget::budget);
        report.tests("end to end", "1 to 5 minutes", end_to_end);
        report.check("killing the browser while it saves", "about a minute", kill_test::short);
    }
    report.finish()
}

fn clippy(what: &[&str]) -> Outcome {
    process::run(
        process::cargo()
            .args(["clippy", "--quiet", "--all-targets"])
            .args(what)
            .args(["--", "-D", "warnings"]),
    )
}

fn documentation() -> Outcome {
    let mut doc = process::cargo();
    doc.args(["doc", "--quiet", "--no-deps", "-p", "units", "-p", "calc", "-p", "records"]);
    process::run(doc.env("RUSTDOCFLAGS", "-D warnings"))
}

fn native_tests() -> Outcome<Command> {
    let mut tests = process::cargo();
    tests.args(["test", "--workspace", "--no-fail-fast", "--quiet"]);
    Ok(tests)
}

/// The driver starts the browser as `app/webdriver.json` says.
fn browser_tests() -> Outcome<Command> {
    let mut tests = process::cargo();
    // Not --quiet: cargo would hand it to the runner, which does not know it.
    tests.args(["test", "-p", "boomwright", "--target", WASM]);
    tests.env(
        "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER",
        place::tools_bin().join("wasm-bindgen-test-runner"),
    );
    tests.env("CHROMEDRIVER", setup::chromedriver_path()?).env("WASM_BINDGEN_TEST_TIMEOUT", "180");
    Ok(tests)
}

fn end_to_end() -> Outcome<Command> {
    let mut tests = process::command("node");
    tests.args(["node_modules/@playwright/test/cli.js", "test"]);
    process::for_browser_scripts(&mut tests)?;
    Ok(tests)
}

/// What was checked so far, and how it went.
struct Report {
    started: Instant,
    step: Instant,
    passed: u32,
    failed: u32,
    failures: Vec<String>,
}

impl Report {
    fn start() -> Self {
        println!("» everything that must hold (under 15 minutes; the first time on a machine up to 45)");
        let now = Instant::now();
        Self { started: now, step: now, passed: 0, failed: 0, failures: Vec::new() }
    }

    /// A check that holds or does not; counts as one.
    fn check(&mut self, name: &str, may_take: &str, check: impl FnOnce() -> Outcome) -> bool {
        self.announce(name, may_take);
        let outcome = check();
        let counts = Counts { passed: u32::from(outcome.is_ok()), failed: u32::from(outcome.is_err()) };
        self.close(name, counts, outcome.err())
    }

    /// A program that runs many tests; counts as many as it reports.
    fn tests(&mut self, name: &str, may_take: &str, command: impl FnOnce() -> Outcome<Command>) {
        self.announce(name, may_take);
        match command().and_then(|mut command| counted(&mut command)) {
            Ok((counts, problem)) => self.close(name, counts, problem),
            Err(problem) => self.close(name, Counts { passed: 0, failed: 1 }, Some(problem)),
        };
    }

    fn announce(&mut self, name: &str, may_take: &str) {
        self.step = Instant::now();
        println!("\n» {name} ({may_take})");
    }

    fn close(&mut self, name: &str, counts: Counts, problem: Option<String>) -> bool {
        self.passed += counts.passed;
        self.failed += counts.failed;
        let times =
            format!("{}, {} in all", human_time(self.step.elapsed()), human_time(self.started.elapsed()));
        let Some(problem) = problem else {
            println!("  holds: {name} ({times})");
            return true;
        };
        println!("{problem}\n  DOES NOT HOLD: {name} ({times})");
        self.failures.push(name.into());
        false
    }

    fn finish(self) -> Outcome {
        println!();
        for name in &self.failures {
            println!("does not hold: {name}");
        }
        println!("took {}", human_time(self.started.elapsed()));
        println!("{} passed, {} failed", self.passed, self.failed);
        // The line above is the last word; the exit code says the rest.
        if self.failures.is_empty() { Ok(()) } else { std::process::exit(1) }
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Counts {
    passed: u32,
    failed: u32,
}

/// Runs a program, shows its lines and adds up what they say about tests. A program that fails without naming a test, or
/// succeeds without having run one, has failed: a test that was not run is no test.
fn counted(command: &mut Command) -> Outcome<(Counts, Option<String>)> {
    let name = process::in_short(command);
    let mut child =
        command.stdout(Stdio::piped()).spawn().map_err(|e| format!("cannot start `{name}`: {e}"))?;
    let mut counts = Counts::default();
    for line in child.stdout.take().into_iter().flat_map(|out| BufReader::new(out).split(b'\n')) {
        let line = line.map_err(|e| format!("cannot read what `{name}` says: {e}"))?;
        let line = String::from_utf8_lossy(&line);
        println!("{line}");
        let more = counts_in(&line);
        counts.passed += more.passed;
        counts.failed += more.failed;
    }
    let status = child.wait().map_err(|e| format!("lost sight of `{name}`: {e}"))?;
    if !status.success() {
        counts.failed = counts.failed.max(1);
    }
    let problem = if counts.failed != 0 {
        Some(format!("`{name}`: {} failed", counts.failed))
    } else if counts.passed == 0 {
        counts.failed = 1;
        Some(format!("`{name}` ran no test"))
    } else {
        None
    };
    Ok((counts, problem))
}

/// Reads `test result: ok. 3 passed; 0 failed; 0 ignored; …` (cargo, and the runner in the browser) and `  3 passed (2.0s)`,
/// `  1 failed`, `  2 flaky`, `  1 skipped`, `  4 did not run`, `  1 interrupted` (Playwright). What was left out counts as
/// failed: nothing here is allowed to be.
fn counts_in(line: &str) -> Counts {
    let mut counts = Counts::default();
    if let Some(result) = line.strip_prefix("test result: ") {
        for part in result.split(['.', ';']) {
            match number_and_word(part) {
                Some((number, "passed")) => counts.passed += number,
                Some((number, "failed" | "ignored")) => counts.failed += number,
                _ => {}
            }
        }
    } else if let Some((number, word)) =
        line.strip_prefix("  ").filter(|rest| !rest.starts_with(' ')).and_then(number_and_word)
    {
        match word {
            "passed" => counts.passed += number,
            "failed" | "flaky" | "skipped" | "did" | "interrupted" => counts.failed += number,
            _ => {}
        }
    }
    counts
}

fn number_and_word(text: &str) -> Option<(u32, &str)> {
    let mut words = text.split_whitespace();
    Some((words.next()?.parse().ok()?, words.next()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(line: &str, passed: u32, failed: u32) {
        assert_eq!(counts_in(line), Counts { passed, failed }, "{line}");
    }

    // The lines were copied from what the programs print.
    #[test]
    fn cargo_and_the_browser_runner_are_understood() {
        check(
            "test result: ok. 10 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.00s",
            10,
            0,
        );
        check(
            "test result: FAILED. 3 passed; 2 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.1s",
            3,
            3,
        );
        check("test result: ok. 4 passed; 0 failed; 0 ignored; 0 filtered out; finished in 0.02s", 4, 0);
    }

    #[test]
    fn playwright_is_understood() {
        check("  24 passed (28.4s)", 24, 0);
        check("  1 failed", 0, 1);
        check("  2 flaky", 0, 2);
        check("  3 skipped", 0, 3);
        check("  4 did not run", 0, 4);
    }

    #[test]
    fn other_lines_count_nothing() {
        check("running 10 tests", 0, 0);
        check("    3 passed somewhere in a message", 0, 0);
        check("", 0, 0);
    }
}
