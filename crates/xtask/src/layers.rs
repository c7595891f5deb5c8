//! Which crate may know which, and what the inner ones must never reach for. The rule is short enough to write down; a compiler
//! would not notice it being broken.

use crate::{Outcome, place, process};
use std::fs;

/// Crate, and the crates of this workspace that it may use.
const MAY_USE: [(&str, &[&str]); 5] = [
    ("units", &[]),
    ("calc", &["units"]),
    ("records", &["units"]),
    ("boomwright", &["units", "calc", "records"]),
    ("xtask", &[]),
];

/// Crates that also run where there is no browser. Names of dependencies, or how they begin.
const NO_BROWSER: [&str; 3] = ["units", "calc", "records"];
const BROWSER: [&str; 5] = ["web-sys", "js-sys", "wasm-bindgen", "gloo-", "leptos"];

/// Values in, values out: the same answer for the same question, always.
const PURE: [&str; 2] = ["units", "calc"];
const IMPURE: [&str; 6] = ["std::time", "std::fs", "std::env", "std::net", "std::process", "std::thread"];
const IMPURE_CRATES: [&str; 4] = ["serde", "rand", "getrandom", "jiff"];

/// Looks at the whole tree of dependencies, and at the text of the pure crates.
///
/// # Errors
/// Names every breach.
pub(crate) fn check() -> Outcome {
    let mut breaches = Vec::new();
    for (name, may_use) in MAY_USE {
        // On any target, and in tests as well: a test that needs the other side shows that the cut is in the wrong place.
        let direct = dependencies(name, &["--edges", "normal,build,dev", "--depth", "1"])?;
        let ours = direct.iter().filter(|other| MAY_USE.iter().any(|(known, _)| known == other));
        for other in ours.filter(|other| !may_use.contains(&other.as_str())) {
            breaches.push(format!("{name} must not use {other}"));
        }
        let shipped = dependencies(name, &["--edges", "normal,build"])?;
        if NO_BROWSER.contains(&name) {
            breaches.extend(forbidden(name, &shipped, &BROWSER));
        }
        if PURE.contains(&name) {
            breaches.extend(forbidden(name, &shipped, &IMPURE_CRATES));
            breaches.extend(impure_lines(name)?);
        }
    }
    if breaches.is_empty() { Ok(()) } else { Err(breaches.join("\n")) }
}

/// Names of the crates below `name` in cargo's tree.
fn dependencies(name: &str, options: &[&str]) -> Outcome<Vec<String>> {
    let mut tree = process::cargo();
    tree.args(["tree", "--package", name, "--target", "all", "--prefix", "none", "--format", "{p}"])
        .args(options);
    let text = process::output(&mut tree)?;
    let names = text.lines().filter_map(|line| line.split(' ').next());
    Ok(names.filter(|found| *found != name).map(str::to_owned).collect())
}

fn forbidden(name: &str, found: &[String], list: &[&str]) -> Vec<String> {
    let is_forbidden = |found: &&String| {
        list.iter().any(|bad| found.as_str() == *bad || bad.ends_with('-') && found.starts_with(bad))
    };
    found
        .iter()
        .filter(is_forbidden)
        .map(|bad| format!("{name} must not use {bad}, not even through others"))
        .collect()
}

fn impure_lines(name: &str) -> Outcome<Vec<String>> {
    let folder = place::root().join("crates").join(name).join("src");
    let mut found = Vec::new();
    for file in place::files_below(&folder)? {
        let text = fs::read_to_string(folder.join(&file)).map_err(|e| format!("cannot read {file}: {e}"))?;
        for (number, line) in text.lines().enumerate() {
            if IMPURE.iter().any(|word| line.contains(word)) {
                found.push(format!("crates/{name}/src/{file}:{}: {}", number + 1, line.trim()));
            }
        }
    }
    Ok(found)
}
