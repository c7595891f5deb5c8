//! What can be wrong: the causes, how each came about, and the list of candidates for one rig.
//!
//! Numbers only: what a candidate does to the readings is `forward`, how far-fetched it is `priors`.

use super::forward::Change;
use super::priors;
use super::reading::What;
use super::setup::{Condition, Entry, Setup, SheetNumber, Situation, SpeedSource};
use super::slips::{Side, SlipKind, slips_of};

/// What is wrong. Pumps and sections are counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Cause {
    /// Everything is as the sheet says.
    NothingWrong,
    /// A keyed-in number is wrong.
    Entry(Entry),
    /// The console does not count a section that sprays.
    SectionLeftOut(usize),
    /// The console counts a section twice.
    SectionTwice(usize),
    /// A section that the console counts does not spray.
    SectionValveShut(usize),
    /// Some nozzles do not spray.
    NozzlesBlocked,
    /// Nozzles give more than their nominal flow.
    WornNozzles,
    /// A pump moves air with its product.
    AirInLine(usize),
    /// A pump turns, but nothing comes.
    TankEmpty(usize),
    /// The wheel turns further than the rig moves.
    WheelSlip,
    /// The rig is slower than the minimum-speed hold, so output no longer follows speed.
    HoldActive,
    /// A pump is on its second rate where the first was meant, or the other way round.
    OtherRateOn(usize),
    /// A pump's nudge was left on.
    NudgeLeftOn(usize),
    /// The rig is as the sheet says, and one reading is not: a jug's other scale, a stopwatch started late.
    Misread {
        /// In which situation.
        situation: usize,
        /// Which of its readings.
        reading: usize,
    },
}

/// How it came about.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum How {
    /// As the cause says; there is no more to it.
    Plain,
    /// A slip, and on which side.
    Slip {
        /// Its kind.
        kind: SlipKind,
        /// The console or the sheet.
        side: Side,
    },
    /// The part has drifted or worn, or its number was never tried: a free factor.
    Drift,
    /// Some number of no known kind: a free factor.
    OtherNumber,
    /// A fault that has a size: a free factor.
    Size,
    /// So many nozzles.
    Count(u32),
    /// So many presses more than thought, up positive.
    Presses(i32),
}

/// A free factor of a candidate: its prior in logs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Free {
    pub(crate) mean: f64,
    pub(crate) sd: f64,
    /// 1 where it can only be above zero, −1 only below, 0 either.
    pub(crate) side: f64,
}

/// One thing that might be wrong.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Candidate {
    pub(crate) cause: Cause,
    pub(crate) how: How,
    /// What the console holds, in its form.
    pub(crate) keyed: Option<f64>,
    /// What it should hold.
    pub(crate) wanted: Option<f64>,
    pub(crate) change: Change,
    pub(crate) free: Option<Free>,
    pub(crate) ln_prior: f64,
}

impl Candidate {
    fn fault(cause: Cause, how: How, count: i32, change: Change) -> Self {
        let free = priors::size(cause).map(|(mean, sd)| Free {
            mean,
            sd,
            side: if mean == 0.0 { 0.0 } else { mean.signum() },
        });
        Self {
            cause,
            how,
            keyed: None,
            wanted: None,
            change,
            free,
            ln_prior: priors::fault(cause, count).ln(),
        }
    }
}

/// Everything that might be wrong with this rig in these situations, in no order of rank.
pub(crate) fn candidates(setup: &Setup, situations: &[Situation]) -> Vec<Candidate> {
    let mut all = Vec::with_capacity(2048);
    all.push(Candidate::fault(Cause::NothingWrong, How::Plain, 0, Change::Nothing));
    for number in &setup.numbers {
        of_number(setup, number, &mut all);
    }
    let some_on = |on: &dyn Fn(&Condition) -> bool| situations.iter().any(|s| on(&s.condition));
    for section in 0..setup.n_sections() {
        if some_on(&|c| c.section_on(section)) {
            of_section(section, &mut all);
        }
    }
    of_nozzles(setup, situations, &mut all);
    for pump in 0..setup.n_pumps() {
        if some_on(&|c| c.product(pump).is_some()) {
            of_pump(setup, pump, &mut all);
        }
    }
    if setup.speed_source != SpeedSource::Ground {
        all.push(Candidate::fault(Cause::WheelSlip, How::Size, 0, Change::Slip));
    }
    for (situation, given) in situations.iter().enumerate() {
        for (reading, r) in given.readings.iter().enumerate() {
            // What the set-up page says is read twice or not at all.
            if !matches!(r.what, What::ReadBack(_)) {
                let shown = i32::from(r.what.is_shown());
                let cause = Cause::Misread { situation, reading };
                all.push(Candidate::fault(cause, How::Size, shown, Change::Misread { situation, reading }));
            }
        }
    }
    if setup.number(Entry::HoldSpeed).is_some() {
        all.push(Candidate::fault(Cause::HoldActive, How::Plain, 0, Change::Hold));
    }
    all
}

fn of_number(setup: &Setup, number: &SheetNumber, all: &mut Vec<Candidate>) {
    let cause = Cause::Entry(number.entry);
    let weight = priors::entry(number.entry);
    let slips = slips_of(setup, number);
    let mut in_group = [0_u32; 16];
    for slip in &slips {
        in_group[usize::from(priors::slip_group(slip.kind, slip.side))] += 1;
    }
    for slip in &slips {
        let shared = f64::from(in_group[usize::from(priors::slip_group(slip.kind, slip.side))]);
        let side = if slip.side == Side::Sheet { priors::SHEET_SIDE } else { 1.0 };
        all.push(Candidate {
            cause,
            how: How::Slip { kind: slip.kind, side: slip.side },
            keyed: Some(slip.keyed),
            wanted: Some(slip.wanted),
            change: Change::Number {
                entry: number.entry,
                keyed_si: number.form.meaning_si(slip.keyed),
                wanted_si: number.form.meaning_si(slip.wanted),
            },
            free: None,
            ln_prior: (weight * priors::slip(slip.kind) * side / shared).ln(),
        });
    }
    let free = |how, side, weight: f64, sd| Candidate {
        cause,
        how,
        keyed: None,
        wanted: None,
        change: Change::FreeNumber { entry: number.entry, sheet_si: number.meaning_si(), side },
        free: Some(Free { mean: 0.0, sd, side: 0.0 }),
        ln_prior: weight.ln(),
    };
    let (drift, sd) = priors::drift(number.entry, number.proof);
    if matches!(
        number.entry,
        Entry::Meter | Entry::Course | Entry::Pump(_) | Entry::Width(_) | Entry::TotalWidth
    ) {
        all.push(free(How::Drift, Side::Sheet, weight * drift, sd));
    }
    let (other, other_sd) = (weight * priors::OTHER_NUMBER, priors::OTHER_NUMBER_SD);
    all.push(free(How::OtherNumber, Side::Console, other, other_sd));
    // A width is on the display: there it matters which of the two is wrong.
    if matches!(number.entry, Entry::Width(_) | Entry::TotalWidth) {
        all.push(free(How::OtherNumber, Side::Sheet, other, other_sd));
    }
}

fn of_section(section: usize, all: &mut Vec<Candidate>) {
    all.push(Candidate::fault(
        Cause::SectionLeftOut(section),
        How::Plain,
        1,
        Change::SectionCounted(section, 0.0),
    ));
    all.push(Candidate::fault(
        Cause::SectionTwice(section),
        How::Plain,
        1,
        Change::SectionCounted(section, 2.0),
    ));
    all.push(Candidate::fault(Cause::SectionValveShut(section), How::Plain, 1, Change::SectionShut(section)));
}

fn of_nozzles(setup: &Setup, situations: &[Situation], all: &mut Vec<Candidate>) {
    let fewest_on = situations.iter().map(|s| setup.nozzles_on(&s.condition)).min().unwrap_or(0);
    // More than a third blocked, or more than a dozen, is seen from the cab.
    for count in 1..=(fewest_on / 3).min(12) {
        all.push(Candidate::fault(
            Cause::NozzlesBlocked,
            How::Count(count),
            i32::try_from(count).unwrap_or(i32::MAX),
            Change::Blocked(count),
        ));
    }
    all.push(Candidate::fault(Cause::WornNozzles, How::Size, 0, Change::Worn));
}

fn of_pump(setup: &Setup, pump: usize, all: &mut Vec<Candidate>) {
    all.push(Candidate::fault(Cause::AirInLine(pump), How::Size, 0, Change::ProductLoss(pump)));
    all.push(Candidate::fault(Cause::TankEmpty(pump), How::Plain, 0, Change::NoProduct(pump)));
    let both =
        setup.number(Entry::FirstRate(pump)).is_some() && setup.number(Entry::SecondRate(pump)).is_some();
    if both {
        all.push(Candidate::fault(Cause::OtherRateOn(pump), How::Plain, 0, Change::OtherRate(pump)));
    }
    if setup.number(Entry::NudgeStep(pump)).is_some() {
        for presses in [1, -1, 2, -2, 3, -3] {
            all.push(Candidate::fault(
                Cause::NudgeLeftOn(pump),
                How::Presses(presses),
                presses,
                Change::Nudged(pump, presses),
            ));
        }
    }
}
