//! `cargo xtask <command>`: reads the command and hands over to the file of that name.
//! No work is done here; what the commands share is in `place.rs` (where things are) and `process.rs` (running programs).

#![allow(clippy::print_stdout, reason = "this program talks to a person at a terminal")]

mod budget;
mod build;
mod compare_epanet;
mod content_policy;
mod diagnose_report;
mod dist;
mod icons;
mod kill_test;
mod layers;
mod offline_list;
mod origins;
mod place;
mod process;
mod run;
mod serve;
mod setup;
mod shots;
mod test;
mod time_pass;
mod trace;

use std::process::ExitCode;
use std::time::Duration;

/// What went wrong, in words for the person at the terminal.
type Outcome<T = ()> = Result<T, String>;

const USAGE: &str = "\
cargo xtask <command>

  run        builds the release app, serves it on this machine and prints the address: [--port 8460]
  test       everything that must hold before a change is shared
  build      builds the release app into dist/
  budget     sizes of every shipped file: raw, gzip, brotli
  kill-test  kills the browser while it saves, and looks for what is gone: [--kills 200] [--seed N]
  shots      pictures of screens into target/shots: [--demo] [--full] [#/route …]
  trace      frames while a thumb moves the reach screen's slider on a slow phone: [--throttle 4] [--seconds 5] [--keep]
  compare-epanet  times EPANET and this project's own plumbing on the same boom, side by side
  time-pass  times a simulated pass in the browser: five minutes, 120 nozzles, 40 events
  diagnose-report  counts how often the diagnosis is right and keeps the table: [--cases 120] [--seed 1]
  icons      draws the PNG icons from their SVG sources
  serve      serves a folder as a plain host does: [--dir dist] [--port 0] [--base /] [--max-age 0]
  setup      installs what the others need; they do it themselves when something is missing

Speed is measured by `cargo bench`.";

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let (command, rest) = match args.split_first() {
        Some((command, rest)) => (command.as_str(), rest),
        None => ("help", &[][..]),
    };
    let outcome = match command {
        "run" => run::run(rest),
        "build" => build::build(),
        "budget" => budget::budget(),
        "compare-epanet" => compare_epanet::compare_epanet(),
        "diagnose-report" => diagnose_report::diagnose_report(rest),
        "icons" => icons::icons(),
        "test" => test::test(),
        "time-pass" => time_pass::time_pass(),
        "kill-test" => kill_test::run(rest),
        "shots" => shots::shots(rest),
        "trace" => trace::trace(rest),
        "setup" => setup::for_tests(),
        "serve" => serve::serve_from_args(rest),
        // Called by Trunk, not by people: see Trunk.toml.
        "finish-dist" => dist::finish_from_hook(),
        "help" | "--help" | "-h" => {
            println!("{USAGE}");
            Ok(())
        }
        unknown => Err(format!("there is no command \"{unknown}\"\n\n{USAGE}")),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("xtask: {problem}");
            ExitCode::FAILURE
        }
    }
}

/// One line about what starts now and how long it may take.
fn say(what: &str, may_take: &str) {
    println!("» {what} ({may_take})");
}

/// Elapsed time as people write it: `4 s`, `2 min 05 s`.
fn human_time(elapsed: Duration) -> String {
    let seconds = elapsed.as_secs();
    if seconds < 60 { format!("{seconds} s") } else { format!("{} min {:02} s", seconds / 60, seconds % 60) }
}
