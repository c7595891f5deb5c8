//! How often the diagnosis is right, on simulated rigs: `diagnose_report [cases of each kind] [seed] [date]`.
//!
//! Prints the table as Markdown. `cargo xtask diagnose-report` keeps it in the repository.
#![allow(clippy::print_stdout, reason = "this program's output is its purpose")]

#[path = "../tests/diagnosis_world/mod.rs"]
mod diagnosis_world;

use diagnosis_world::report::report;

fn main() {
    let mut args = std::env::args().skip(1);
    let n: usize = args.next().and_then(|a| a.parse().ok()).unwrap_or(20);
    let seed: u64 = args.next().and_then(|a| a.parse().ok()).unwrap_or(1);
    let date = args.next().unwrap_or_default();
    print!("{}", report(seed, n, n / 2).to_markdown(seed, n, &date));
}
