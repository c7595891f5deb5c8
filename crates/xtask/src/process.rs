//! Running other programs: with the pinned tools first on PATH, and with an error that says which program failed.
//! What is run, and why, is each command's own business.

use crate::{Outcome, place, setup};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A program that sees the project's own tools before any others.
pub(crate) fn command(program: impl AsRef<Path>) -> Command {
    let mut command = Command::new(program.as_ref());
    command.env("PATH", path_with_tools()).current_dir(place::root());
    command
}

/// The cargo that started this program.
pub(crate) fn cargo() -> Command {
    command(std::env::var_os("CARGO").map_or_else(|| PathBuf::from("cargo"), PathBuf::from))
}

/// Runs to the end, letting the program write to the terminal.
///
/// # Errors
/// When the program cannot be started or says that it failed.
pub(crate) fn run(command: &mut Command) -> Outcome {
    let status = command.status().map_err(|e| cannot_start(command, &e))?;
    if status.success() { Ok(()) } else { Err(format!("`{}` failed: {status}", in_short(command))) }
}

/// Runs to the end and returns what was written to standard output.
///
/// # Errors
/// As [`run`]; the error carries what the program wrote to standard error.
pub(crate) fn output(command: &mut Command) -> Outcome<String> {
    let output = command.stdin(Stdio::null()).output().map_err(|e| cannot_start(command, &e))?;
    if output.status.success() {
        return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
    }
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    Err(format!("`{}` failed: {}\n{said}", in_short(command), output.status))
}

/// For scripts in `tests/`: which browser to start, and which program serves the app.
///
/// # Errors
/// When there is no browser.
pub(crate) fn for_browser_scripts(script: &mut Command) -> Outcome {
    let this = std::env::current_exe().map_err(|e| format!("cannot tell where this program is: {e}"))?;
    script.current_dir(place::root().join("tests"));
    script.env("BOOMWRIGHT_SERVER", this).env("BOOMWRIGHT_CHROMIUM", setup::chromium_path()?);
    Ok(())
}

/// First file of that name in the folders of PATH, the project's own tools left out.
pub(crate) fn on_path(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|dir| dir.join(name)).find(|file| file.is_file())
}

/// The command as a person would type it.
pub(crate) fn in_short(command: &Command) -> String {
    let program = Path::new(command.get_program()).file_name().unwrap_or(command.get_program());
    let words =
        std::iter::once(program).chain(command.get_args()).map(|word| word.to_string_lossy().into_owned());
    words.collect::<Vec<_>>().join(" ")
}

fn path_with_tools() -> OsString {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let dirs = std::iter::once(place::tools_bin()).chain(std::env::split_paths(&path));
    // A folder with a colon in its name cannot be on PATH at all; then the tools are called by their full names only.
    std::env::join_paths(dirs).unwrap_or(path)
}

fn cannot_start(command: &Command, why: &std::io::Error) -> String {
    format!("cannot start `{}`: {why}", in_short(command))
}
