//! `cargo xtask budget`: how much a technician downloads. The limits live here; whoever moves one says why beside it.

use crate::{Outcome, offline_list, place, process};

/// All files of a first visit, brotli, in bytes.
///
/// 775 kB: a page that loads in about 15 s at 400 kbit/s, the edge of a signal; 250 kB and 5 s is where it should get.
// Moved from 250 000: the screens with their trials, the card and the corrections came to 487 000, the largest part of it
// views and the reactive runtime.
// Moved from 500 000: lines, their solver, the lag sheet and the list of pieces came to 540 000 with the rest.
// Moved from 545 000: a simulated pass, its picture and what would help it came to 608 000 with the rest.
// Moved from 612 000: the closing balance with its record, and the wheel beside a tape, came to 660 000 with the rest.
// Moved from 670 000: readings that do not add up, half of it the reasoning itself, came to 735 000 with the rest.
// Moved from 740 000: any sections, manual, proven ends, own nozzles and the card of a tried plan add 32 000.
// What would help next: fewer closures in views, one shared table view, sorting without a copy for each type.
const FIRST_VISIT_BROTLI: u64 = 775_000;

/// Sizes of one file: raw, gzip level 9, brotli quality 11.
struct Sizes {
    name: String,
    raw: u64,
    gzip: u64,
    brotli: u64,
}

/// Prints the sizes of what is in `dist/` and compares them with the limits.
///
/// # Errors
/// When nothing was built yet or a limit is passed.
pub(crate) fn budget() -> Outcome {
    let (kept, extra): (Vec<_>, Vec<_>) =
        sizes()?.into_iter().partition(|file| offline_list::is_kept(&file.name));
    println!("{:<48} {:>9} {:>9} {:>9}", "first visit", "raw", "gzip", "brotli");
    let total = print_all(kept);
    println!("\nfetched only when asked for");
    print_all(extra);
    println!("\nbudget: {total} of {FIRST_VISIT_BROTLI} bytes (first visit, brotli)");
    if FIRST_VISIT_BROTLI < total {
        return Err(format!("a first visit is {} bytes over its budget", total - FIRST_VISIT_BROTLI));
    }
    Ok(())
}

fn print_all(files: Vec<Sizes>) -> u64 {
    let mut total = Sizes { name: "together".into(), raw: 0, gzip: 0, brotli: 0 };
    for file in files {
        print_line(&file);
        total.raw += file.raw;
        total.gzip += file.gzip;
        total.brotli += file.brotli;
    }
    print_line(&total);
    total.brotli
}

fn print_line(Sizes { name, raw, gzip, brotli }: &Sizes) {
    println!("{name:<48} {raw:>9} {gzip:>9} {brotli:>9}");
}

/// Node is there anyway and has both compressors; two crates less to compile on every cold start.
fn sizes() -> Outcome<Vec<Sizes>> {
    const SCRIPT: &str = "
        const { readFileSync } = require('fs'), { gzipSync, brotliCompressSync } = require('zlib');
        for (const name of process.argv.slice(1)) {
            const bytes = readFileSync(name);
            console.log([bytes.length, gzipSync(bytes, { level: 9 }).length, brotliCompressSync(bytes).length, name].join(' '));
        }";
    let dist = place::dist();
    if !dist.join("sw.js").is_file() {
        return Err("dist/ is not there: run `cargo xtask build` first".into());
    }
    let names = place::files_below(&dist)?;
    let mut node = process::command("node");
    node.args(["-e", SCRIPT, "--"]).args(&names).current_dir(&dist);
    process::output(&mut node)?.lines().map(sizes_from_line).collect()
}

fn sizes_from_line(line: &str) -> Outcome<Sizes> {
    let mut words = line.splitn(4, ' ');
    let mut number = || words.next().and_then(|word| word.parse().ok());
    let (Some(raw), Some(gzip), Some(brotli)) = (number(), number(), number()) else {
        return Err(format!("odd line about sizes: {line}"));
    };
    Ok(Sizes { name: words.next().unwrap_or_default().into(), raw, gzip, brotli })
}
