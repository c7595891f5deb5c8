//! `cargo xtask run`: the release app on this machine, as a static host would serve it.

use crate::serve::{Site, address, answer_all, listen};
use crate::{Outcome, build, place};

/// Always the same port where possible: records belong to an address, and the port is part of it.
const PORT: u16 = 8460;

/// Builds, serves, prints the address. `--port N` asks for another port.
///
/// # Errors
/// When the build fails or no port can be had.
pub(crate) fn run(args: &[String]) -> Outcome {
    let wanted = match args {
        [] => None,
        [option, port] if option == "--port" => {
            Some(port.parse::<u16>().map_err(|_| format!("--port wants a number, not \"{port}\""))?)
        }
        _ => return Err("run takes no option but --port N".into()),
    };
    build::build()?;
    let listener = match wanted {
        Some(port) => listen(port)?,
        None => listen(PORT).or_else(|busy| {
            println!("  {busy}; taking another one. What is saved there is not seen at the usual address.");
            listen(0)
        })?,
    };
    let site = Site { dir: place::dist(), base: "/".into(), max_age_s: 0 };
    println!("\nBoomwright is at {} until you press Ctrl+C.", address(&listener, &site)?);
    answer_all(&listener, &site)
}
