//! Counts how often the diagnosis is right, and writes the table.
//!
//! A case can be **told apart** when, on its noise-free readings, every other cause (however far-fetched, its free factor
//! fitted at will) fits worse by at least 16 in chi-squared (four standard uncertainties), or the true cause has at least
//! nine tenths of all shares. "Nothing wrong" and "the hold is in force" always count as told apart.
//!
//! A **confident wrong answer** is the outcome `Found { sure: true }` with a first cause that is not (one of) the true
//! one(s); "the hold is in force" is not wrong where it is.

use std::fmt::Write;

use calc::diagnosis::{Cause, Diagnosis, Outcome, diagnose};
use calc::model::KeyedNumber as Entry;

use super::cases::{Case, Kind, Of, Wrong, case, kinds, misread, two_wrong};
use super::random::Random;

/// Least chi-squared by which every other cause must fit worse on noise-free readings.
pub const APART_CHI2: f64 = 16.0;
pub const APART_SHARE: f64 = 0.9;

/// Counts of one row.
#[derive(Clone, Debug, Default)]
pub struct Row {
    pub n: usize,
    pub apart: usize,
    pub apart_first: usize,
    /// First, among cases that cannot be told apart.
    pub other_first: usize,
    pub alike: usize,
    /// Alike, and the true cause is the first or among those marked alike.
    pub alike_holds: usize,
    pub sure: usize,
    pub sure_wrong: usize,
    pub found: usize,
    pub found_wrong: usize,
    pub nothing_wrong: usize,
    pub nothing_explains: usize,
    /// Among first causes that are right and numbers: the slip itself is named with the right digits.
    pub digits: usize,
    pub digits_right: usize,
    /// Largest misfit of the true cause on noise-free readings.
    pub worst_exact_chi2: f64,
}

impl Row {
    pub fn add(&mut self, other: &Self) {
        self.n += other.n;
        self.apart += other.apart;
        self.apart_first += other.apart_first;
        self.other_first += other.other_first;
        self.alike += other.alike;
        self.alike_holds += other.alike_holds;
        self.sure += other.sure;
        self.sure_wrong += other.sure_wrong;
        self.found += other.found;
        self.found_wrong += other.found_wrong;
        self.nothing_wrong += other.nothing_wrong;
        self.nothing_explains += other.nothing_explains;
        self.digits += other.digits;
        self.digits_right += other.digits_right;
        self.worst_exact_chi2 = self.worst_exact_chi2.max(other.worst_exact_chi2);
    }

    fn count(&mut self, case: &Case, d: &Diagnosis) -> bool {
        self.n += 1;
        let first = d.causes.first().map(|c| c.cause);
        let right = first.is_some_and(|c| case.causes.contains(&c) || (c == Cause::HoldActive && case.held));
        match d.outcome {
            Outcome::Found { sure } => {
                self.found += 1;
                self.found_wrong += usize::from(!right);
                self.sure += usize::from(sure);
                self.sure_wrong += usize::from(sure && !right);
            }
            Outcome::Alike => {
                self.alike += 1;
                let listed = d
                    .top
                    .iter()
                    .enumerate()
                    .any(|(i, e)| (i == 0 || e.alike) && case.causes.contains(&e.cause));
                self.alike_holds += usize::from(listed);
            }
            Outcome::NothingWrong => self.nothing_wrong += 1,
            Outcome::NothingExplains => self.nothing_explains += 1,
            _ => {}
        }
        right
    }
}

/// Everything counted.
pub struct Report {
    pub rows: Vec<(Kind, Row)>,
    pub two_wrong: Row,
    pub misread: Row,
    /// Of cases told apart: true class against class of the first cause.
    pub confusion: Vec<Vec<usize>>,
}

pub const CLASSES: [&str; 14] = [
    "nothing", "meter", "course", "pump", "width", "section", "rates", "nudge", "speeds", "nozzles",
    "product", "slip", "hold", "reading",
];

fn class(cause: Cause) -> usize {
    match cause {
        Cause::NothingWrong => 0,
        Cause::Entry(Entry::Meter) => 1,
        Cause::Entry(Entry::Course) => 2,
        Cause::Entry(Entry::Pump(_)) => 3,
        Cause::Entry(Entry::Width(_) | Entry::TotalWidth) => 4,
        Cause::SectionLeftOut(_) | Cause::SectionTwice(_) | Cause::SectionValveShut(_) => 5,
        Cause::Entry(Entry::CarrierRate | Entry::FirstRate(_) | Entry::SecondRate(_))
        | Cause::OtherRateOn(_) => 6,
        Cause::Entry(Entry::NudgeStep(_)) | Cause::NudgeLeftOn(_) => 7,
        Cause::Entry(Entry::StandingSpeed | Entry::HoldSpeed) => 8,
        Cause::NozzlesBlocked | Cause::WornNozzles => 9,
        Cause::AirInLine(_) | Cause::TankEmpty(_) => 10,
        Cause::WheelSlip => 11,
        Cause::HoldActive => 12,
        Cause::Misread { .. } => 13,
        other => panic!("{other:?}"),
    }
}

/// Runs `n` cases of every kind, and half as many of each sort that is on no list. A kind of which fewer than
/// `least_apart` can be told apart gets up to six times as many, so that its share means something.
pub fn report(seed: u64, n: usize, least_apart: usize) -> Report {
    let mut random = Random::new(seed);
    let mut confusion = vec![vec![0; CLASSES.len()]; CLASSES.len()];
    let mut rows = Vec::new();
    for kind in kinds() {
        let mut row = Row::default();
        let mut tries = 0;
        while row.n < n || (row.apart < least_apart && row.n < 6 * n) {
            tries += 1;
            assert!(tries < 1000 * n, "no rig has {kind:?}");
            let Some(case) = case(kind, &mut random) else { continue };
            one(kind, &case, &mut row, &mut confusion);
        }
        rows.push((kind, row));
    }
    let single: Vec<Kind> =
        kinds().into_iter().filter(|k| !matches!(k, Kind::Nothing | Kind::Hold)).collect();
    let (mut two, mut jug) = (Row::default(), Row::default());
    while two.n < n * single.len() / 2 {
        let pair = [*random.pick(&single), *random.pick(&single)];
        if let Some(case) = two_wrong(pair, &mut random) {
            two.count(&case, &diagnose(&case.setup, &case.noisy, 4).unwrap());
        }
    }
    while jug.n < n * single.len() / 2 {
        if let Some(case) = misread(&mut random) {
            jug.count(&case, &diagnose(&case.setup, &case.noisy, 4).unwrap());
        }
    }
    Report { rows, two_wrong: two, misread: jug, confusion }
}

fn one(kind: Kind, case: &Case, row: &mut Row, confusion: &mut [Vec<usize>]) {
    let cause = case.causes[0];
    let exact = diagnose(&case.setup, &case.exact, 1).unwrap();
    let told_apart = match exact.causes.iter().find(|c| c.cause == cause) {
        // No reading of this case shows it.
        None => matches!(kind, Kind::Nothing | Kind::Hold),
        Some(truth) => {
            row.worst_exact_chi2 = row.worst_exact_chi2.max(truth.chi2);
            let others = exact.causes.iter().filter(|c| c.cause != cause);
            let nearest = others.map(|c| c.chi2 - truth.chi2).fold(f64::INFINITY, f64::min);
            matches!(kind, Kind::Nothing | Kind::Hold) || nearest >= APART_CHI2 || truth.share >= APART_SHARE
        }
    };
    let d = diagnose(&case.setup, &case.noisy, 12).unwrap();
    row.count(case, &d);
    let first = d.causes.first().map(|c| c.cause);
    if told_apart {
        row.apart += 1;
        row.apart_first += usize::from(first == Some(cause));
        confusion[class(cause)][first.map_or(0, class)] += 1;
    } else {
        row.other_first += usize::from(first == Some(cause));
    }
    let named = matches!(
        kind,
        Kind::Number(_, wrong) if !matches!(wrong, Wrong::Drift | Wrong::OtherNumber | Wrong::SheetSwapped | Wrong::SheetOtherUnit)
    );
    if named && first == Some(cause) {
        row.digits += 1;
        let keyed = d.top[0].variants[0].keyed.as_ref().map(|n| n.value);
        let same = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-6;
        row.digits_right += usize::from(keyed.zip(case.keyed).is_some_and(|(a, b)| same(a, b)));
    }
}

impl Report {
    pub fn total(&self) -> Row {
        let mut total = Row::default();
        self.rows.iter().for_each(|(_, row)| total.add(row));
        total
    }

    /// The whole table as Markdown.
    pub fn to_markdown(&self, seed: u64, n: usize, date: &str) -> String {
        let total = self.total();
        let share = |part: usize, of: usize| {
            if of == 0 { "–".to_owned() } else { format!("{:.1} %", 100.0 * part as f64 / of as f64) }
        };
        let mut text = String::new();
        let mut line = |s: String| writeln!(text, "{s}").unwrap();
        line("# How often the diagnosis is right".into());
        line(String::new());
        line(format!(
            "Made by `cargo xtask diagnose-report` on {date}: seed {seed}, {} cases with one thing wrong ({n} or \
             more of each of {} kinds), {} with two, {} with a misread true quantity.",
            total.n,
            self.rows.len(),
            self.two_wrong.n,
            self.misread.n
        ));
        line(String::new());
        line(
            "Rigs are invented at random over all conventions, run in plain numbers (pulses counted and divided), and read \
             with noise; three quarters of the cases have readings missing. What can be *told apart*: on the noise-free \
             readings every other cause, its free factor fitted at will, fits worse by 16 in chi-squared, or the true one \
             has nine tenths of all shares. A *confident wrong answer*: the outcome \"found, sure\" (share 0.99 or more, \
             good fit, two comparisons or more, every other cause three standard uncertainties worse) with a cause that is \
             not the true one."
                .into(),
        );
        line(String::new());
        line("| | |".into());
        line("|---|---|".into());
        line(format!("| can be told apart | {} of {} |", total.apart, total.n));
        line(format!(
            "| of these, right cause first | {} ({}) |",
            total.apart_first,
            share(total.apart_first, total.apart)
        ));
        let worst = self.worst_told_apart();
        line(format!("| lowest such share of a kind with 20 or more cases told apart | {worst:.1} % |"));
        let apart_not = total.n - total.apart;
        line(format!(
            "| cannot be told apart, right cause first all the same | {} of {apart_not} |",
            total.other_first
        ));
        line(format!("| found, sure: wrong | {} of {} |", total.sure_wrong, total.sure));
        line(format!("| found, sure or not: wrong | {} of {} |", total.found_wrong, total.found));
        line(format!(
            "| \"cannot be told apart\": truth among them | {} of {} |",
            total.alike_holds, total.alike
        ));
        line(format!(
            "| right entry first: its slip named with the right digits | {} of {} ({}) |",
            total.digits_right,
            total.digits,
            share(total.digits_right, total.digits)
        ));
        line(format!(
            "| two things wrong: \"nothing explains\" / names one of the two, sure / sure and neither | {} / {} / {} of {} |",
            self.two_wrong.nothing_explains,
            self.two_wrong.sure - self.two_wrong.sure_wrong,
            self.two_wrong.sure_wrong,
            self.two_wrong.n
        ));
        line(format!(
            "| misread true quantity: found, of these wrong / sure, of these wrong / \"cannot be told apart\", truth among \
             them | {}, {} / {}, {} / {}, {} of {} |",
            self.misread.found,
            self.misread.found_wrong,
            self.misread.sure,
            self.misread.sure_wrong,
            self.misread.alike,
            self.misread.alike_holds,
            self.misread.n
        ));
        line(String::new());
        line("## Confusion, cases told apart: true cause (rows) against first cause (columns)".into());
        line(String::new());
        line(format!("| | {} |", CLASSES.join(" | ")));
        line(format!("|---|{}", "---:|".repeat(CLASSES.len())));
        for (name, counts) in CLASSES.iter().zip(&self.confusion) {
            let cells: Vec<String> =
                counts.iter().map(|c| if *c == 0 { "·".to_owned() } else { c.to_string() }).collect();
            line(format!("| {name} | {} |", cells.join(" | ")));
        }
        line(String::new());
        line("## By kind".into());
        line(String::new());
        line("| what is wrong | cases | told apart | right first | | sure | sure, wrong | alike |".into());
        line("|---|---:|---:|---:|---:|---:|---:|---:|".into());
        for (kind, row) in &self.rows {
            line(format!(
                "| {} | {} | {} | {} | {} | {} | {} | {} |",
                name(*kind),
                row.n,
                row.apart,
                row.apart_first,
                share(row.apart_first, row.apart),
                row.sure,
                row.sure_wrong,
                row.alike
            ));
        }
        text
    }

    /// Lowest share of right answers among kinds with at least 20 cases told apart, in per cent.
    pub fn worst_told_apart(&self) -> f64 {
        self.rows
            .iter()
            .filter(|(_, row)| row.apart >= 20)
            .map(|(_, row)| 100.0 * row.apart_first as f64 / row.apart as f64)
            .fold(100.0, f64::min)
    }
}

fn name(kind: Kind) -> String {
    let of = |of: Of| match of {
        Of::Meter => "meter number",
        Of::Course => "course number",
        Of::Pump => "pump number",
        Of::Width => "section width",
        Of::CarrierRate => "carrier rate",
        Of::FirstRate => "product rate",
        Of::SecondRate => "second rate",
        Of::NudgeStep => "nudge step",
        Of::StandingSpeed => "standing speed",
        Of::HoldSpeed => "hold speed",
    };
    let wrong = |wrong: Wrong| match wrong {
        Wrong::OtherUnit => "another unit",
        Wrong::OtherAmount => "per another amount",
        Wrong::OtherForm => "counting against spacing",
        Wrong::Decimal => "decimal place",
        Wrong::Swapped => "digits swapped",
        Wrong::Doubled => "digit doubled",
        Wrong::Dropped => "digit dropped",
        Wrong::OtherEntry => "another one's number",
        Wrong::Stamped => "stamped number still in the console",
        Wrong::PerOtherArea => "per hectare for per acre",
        Wrong::Drift => "drifted or never tried",
        Wrong::OtherNumber => "some other number",
        Wrong::SheetSwapped => "digits swapped on the sheet",
        Wrong::SheetOtherUnit => "another unit on the sheet",
    };
    match kind {
        Kind::Number(o, w) => format!("{}: {}", of(o), wrong(w)),
        Kind::Nothing => "nothing".into(),
        Kind::SectionLeftOut => "section left out".into(),
        Kind::SectionTwice => "section counted twice".into(),
        Kind::SectionShut => "section valve shut".into(),
        Kind::Blocked => "nozzles blocked".into(),
        Kind::Worn => "nozzles worn".into(),
        Kind::Air => "air in a product line".into(),
        Kind::Empty => "product tank empty".into(),
        Kind::Slip => "wheel slip".into(),
        Kind::Hold => "hold in force".into(),
        Kind::OtherRate => "other product rate on".into(),
        Kind::Nudge => "nudge left on".into(),
    }
}
