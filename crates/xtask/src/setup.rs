//! Brings the machine to where the other commands can work. Build tools are installed into `target/tools` with pinned
//! versions and are never taken from PATH; Node and the browser come from Debian when there are none.
//! Each step looks first and does nothing when all is there, so this is called at the start of every command.

use crate::{Outcome, place, process, say};
use std::fs;
use std::path::{Path, PathBuf};

/// The newest Trunk that the compiler named in Cargo.toml can build.
const TRUNK: &str = "0.21.14";
/// Playwright 1.61 is the last that runs on the Node of Debian 12.
const OLDEST_NODE: u32 = 18;

/// What `build` and `run` need.
pub(crate) fn for_build() -> Outcome {
    wasm_target()?;
    trunk()?;
    wasm_bindgen()?;
    node()?;
    npm_packages(&place::root().join("crates/xtask/npm"), &npm_tools())
}

/// What `test` needs on top: the browser with its driver, and the packages of the end-to-end tests.
pub(crate) fn for_tests() -> Outcome {
    for_build()?;
    chromium()?;
    let tests = place::root().join("tests");
    npm_packages(&tests, &tests)
}

/// `wasm-opt` of the pinned binaryen, a script for Node.
pub(crate) fn wasm_opt() -> PathBuf {
    npm_tools().join("node_modules/binaryen/bin/wasm-opt")
}

/// The browser of the tests.
///
/// # Errors
/// When there is none.
pub(crate) fn chromium_path() -> Outcome<PathBuf> {
    process::on_path("chromium").ok_or_else(|| "no `chromium` on PATH: run `cargo xtask setup`".into())
}

/// Drives the browser for the tests that run inside it.
///
/// # Errors
/// When there is none.
pub(crate) fn chromedriver_path() -> Outcome<PathBuf> {
    process::on_path("chromedriver")
        .ok_or_else(|| "no `chromedriver` on PATH: run `cargo xtask setup`".into())
}

/// The version of a package in Cargo.lock.
///
/// # Errors
/// When Cargo.lock cannot be read or does not name the package.
pub(crate) fn locked_version(package: &str) -> Outcome<String> {
    let file = place::root().join("Cargo.lock");
    let text = fs::read_to_string(&file).map_err(|e| format!("cannot read {}: {e}", file.display()))?;
    let mut lines = text.lines();
    let named = format!("name = \"{package}\"");
    lines.find(|line| *line == named);
    let version = lines.next().and_then(|line| line.strip_prefix("version = \""));
    version
        .and_then(|rest| rest.strip_suffix('"'))
        .map(str::to_owned)
        .ok_or_else(|| format!("Cargo.lock does not name {package}"))
}

fn npm_tools() -> PathBuf {
    place::tools().join("npm")
}

fn wasm_target() -> Outcome {
    let sysroot = process::output(process::command("rustc").args(["--print", "sysroot"]))?;
    if Path::new(sysroot.trim()).join("lib/rustlib/wasm32-unknown-unknown/lib").is_dir() {
        return Ok(());
    }
    say("adding the wasm32-unknown-unknown target", "under a minute");
    process::run(process::command("rustup").args(["target", "add", "wasm32-unknown-unknown"]))
}

fn trunk() -> Outcome {
    if reports_version("trunk", TRUNK) {
        return Ok(());
    }
    say(&format!("installing trunk {TRUNK} into target/tools"), "about 5 minutes, once");
    cargo_install(&format!("trunk@{TRUNK}"), &["--locked"])
}

/// The program and the library must be of exactly the same version, or the bundle does not load.
fn wasm_bindgen() -> Outcome {
    let version = locked_version("wasm-bindgen")?;
    if reports_version("wasm-bindgen", &version) && reports_version("wasm-bindgen-test-runner", &version) {
        return Ok(());
    }
    say(&format!("installing wasm-bindgen-cli {version} into target/tools"), "about 2 minutes, once");
    // Not --locked: some releases carry a lock file that names withdrawn packages.
    cargo_install(&format!("wasm-bindgen-cli@{version}"), &[])
}

/// Whether the tool in `target/tools/bin` says that it is of this version; a tool elsewhere is not asked.
fn reports_version(tool: &str, version: &str) -> bool {
    let program = place::tools_bin().join(tool);
    program.is_file()
        && process::output(process::command(program).arg("--version"))
            .is_ok_and(|said| said.split_whitespace().any(|word| word == version))
}

fn cargo_install(package: &str, more: &[&str]) -> Outcome {
    // Its own folder, kept until it worked: an installation that was interrupted goes on where it stopped.
    let workshop = place::tools().join("workshop");
    let mut install = process::cargo();
    install.args(["install", "--quiet", "--force", package, "--root"]).arg(place::tools());
    install.args(more).env("CARGO_TARGET_DIR", &workshop);
    process::run(&mut install)?;
    fs::remove_dir_all(&workshop).map_err(|e| format!("cannot remove {}: {e}", workshop.display()))
}

fn node() -> Outcome {
    if process::on_path("node").is_none() || process::on_path("npm").is_none() {
        debian_packages(&["nodejs", "npm"], "1 to 3 minutes")?;
    }
    let said = process::output(process::command("node").arg("--version"))?;
    let major =
        said.trim().trim_start_matches('v').split('.').next().and_then(|text| text.parse::<u32>().ok());
    match major {
        Some(major) if OLDEST_NODE <= major => Ok(()),
        _ => Err(format!("Node {OLDEST_NODE} or newer is needed, this one is {}", said.trim())),
    }
}

fn chromium() -> Outcome {
    if chromium_path().is_ok() && chromedriver_path().is_ok() {
        return Ok(());
    }
    debian_packages(&["chromium", "chromium-driver"], "2 to 4 minutes")
}

fn debian_packages(names: &[&str], may_take: &str) -> Outcome {
    let list = names.join(" ");
    if process::on_path("apt-get").is_none() {
        return Err(format!("please install {list}: this machine has no apt-get to do it with"));
    }
    say(&format!("installing {list} from Debian"), may_take);
    let is_root = process::output(process::command("id").arg("-u"))?.trim() == "0";
    let apt = |args: &[&str]| {
        let mut command = process::command(if is_root { "apt-get" } else { "sudo" });
        if !is_root {
            command.args(["--preserve-env=DEBIAN_FRONTEND", "apt-get"]);
        }
        // Another apt may be at work; wait for it rather than fail.
        command
            .args(["-qq", "-o", "DPkg::Lock::Timeout=600"])
            .args(args)
            .env("DEBIAN_FRONTEND", "noninteractive");
        process::run(&mut command)
    };
    apt(&["update"])?;
    apt(&[&["install", "--yes", "--no-install-recommends"], names].concat())
}

/// Installs what the lock file in `from` names into `into`, unless that very lock file was installed there before.
fn npm_packages(from: &Path, into: &Path) -> Outcome {
    let lock = from.join("package-lock.json");
    let wanted = fs::read(&lock).map_err(|e| format!("cannot read {}: {e}", lock.display()))?;
    let receipt = into.join("node_modules/.installed-lock.json");
    if fs::read(&receipt).is_ok_and(|installed| installed == wanted) {
        return Ok(());
    }
    let shown = into.strip_prefix(place::root()).unwrap_or(into).display();
    say(&format!("installing npm packages into {shown}/node_modules"), "under a minute");
    fs::create_dir_all(into).map_err(|e| format!("cannot create {}: {e}", into.display()))?;
    if from != into {
        for name in ["package.json", "package-lock.json", ".npmrc"] {
            fs::copy(from.join(name), into.join(name)).map_err(|e| format!("cannot copy {name}: {e}"))?;
        }
    }
    let mut install = process::command("npm");
    install.args(["ci", "--loglevel=error"]).current_dir(into).env("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1");
    process::run(&mut install)?;
    fs::write(&receipt, wanted).map_err(|e| format!("cannot write {}: {e}", receipt.display()))
}
