//! How far-fetched each cause is before any reading: one table, with its reasoning. Nothing else lives here.
//!
//! The weights are odds, not probabilities; only their ratios count. They are common practice, no source, but for one
//! thing: a survey of 152 applicators found wrong calibration to be the main cause of wrong rates (Transactions of the
//! ASAE 25(2):258-260, 1982), so a number that no trial has ever touched is the heaviest single suspect, and every
//! number of a part weighs more than any fault that a look at the boom would show.
//!
//! | kind                       | weight | why                                                                        |
//! |----------------------------|--------|----------------------------------------------------------------------------|
//! | nothing wrong              | 8      | most readings that look odd are within what a jug and a stopwatch can do    |
//! | number never tried         | 2      | wear, temperature, installation: parts differ from their paper by percents  |
//! | number stamped on the part | 3      | the same, and the stamp is a batch mean                                     |
//! | number proven in a trial   | 0.6    | it was right once                                                           |
//! | other unit or amount       | 1      | two units stand side by side on labels, parts and tapes                     |
//! | stamped number in console  | 1.5    | a console reset or a copied sheet brings it back                            |
//! | decimal place              | 0.5    | the console shows it, but nobody knows the right size by heart              |
//! | digits swapped             | 0.5    | the commonest slip of the finger that leaves the size alone                 |
//! | digit doubled, dropped     | 0.25   | changes the size tenfold in most places, so it is seen more often           |
//! | number of another entry    | 0.3    | pumps look alike and so do their pages                                      |
//! | per hectare for per acre   | 0.1    | the volume unit would have to be right by chance                            |
//! | some other number          | 0.05   | a slip of no known kind                                                     |
//!
//! Entries differ in how often they are touched and how visible they are; a section width is checked at a glance on the
//! display, and there are many of them, so each weighs little. The kinds of an entry share its weight among the
//! different numbers that they give, so that a long number is not more suspect than a short one.

use super::cause::Cause;
use super::setup::{Entry, Proof};
use super::slips::{Side, SlipKind};

/// Nothing wrong at all.
pub(crate) const NOTHING_WRONG: f64 = 8.0;

/// Odds that a rig whose speed nobody read was driven below its minimum-speed hold.
pub(crate) const BELOW_HOLD: f64 = 1.0 / NOTHING_WRONG;

/// Something that is on no list: two things wrong at once, a misread jug, a stuck valve.
pub(crate) const UNLISTED: f64 = 0.3;

/// Standard deviation, in logs, of each reading by itself under a cause that is on no list.
pub(crate) const UNLISTED_SD: f64 = 0.35;

/// A sheet that is itself wrong by a slip, against the console: the sheet is written once and read often.
pub(crate) const SHEET_SIDE: f64 = 0.3;

/// Standard deviation, in logs, of "some other number": about a factor of three either way.
pub(crate) const OTHER_NUMBER_SD: f64 = 1.2;

/// Weight of "some other number" at an entry.
pub(crate) const OTHER_NUMBER: f64 = 0.05;

/// How much an entry weighs against the meter number.
pub(crate) const fn entry(entry: Entry) -> f64 {
    match entry {
        Entry::Meter | Entry::Course => 1.0,
        Entry::Pump(_) | Entry::TotalWidth => 0.7,
        Entry::CarrierRate | Entry::FirstRate(_) | Entry::StandingSpeed => 0.5,
        Entry::SecondRate(_) | Entry::NudgeStep(_) | Entry::HoldSpeed => 0.3,
        Entry::Width(_) => 0.25,
    }
}

/// How much a kind of slip weighs at one entry, all its numbers together.
pub(crate) const fn slip(kind: SlipKind) -> f64 {
    match kind {
        SlipKind::OtherForm { .. } => 1.0,
        SlipKind::StampedInConsole => 1.5,
        SlipKind::DecimalPlace(_) | SlipKind::SwappedDigits(_) => 0.5,
        SlipKind::DoubledDigit(_) | SlipKind::DroppedDigit(_) => 0.25,
        SlipKind::OtherEntry(_) => 0.3,
        SlipKind::PerHectareForPerAcre | SlipKind::PerAcreForPerHectare => 0.1,
    }
}

/// Slips that share one weight: the same kind on the same side.
pub(crate) const fn slip_group(kind: SlipKind, side: Side) -> u8 {
    let kind = match kind {
        SlipKind::OtherForm { .. } => 0,
        SlipKind::StampedInConsole => 1,
        SlipKind::DecimalPlace(_) => 2,
        SlipKind::SwappedDigits(_) => 3,
        SlipKind::DoubledDigit(_) => 4,
        SlipKind::DroppedDigit(_) => 5,
        SlipKind::OtherEntry(_) => 6,
        SlipKind::PerHectareForPerAcre | SlipKind::PerAcreForPerHectare => 7,
    };
    match side {
        Side::Console => kind,
        Side::Sheet => kind + 8,
    }
}

/// Weight of drift, wear or a number never corrected, and its standard deviation in logs.
///
/// 5 % is what a season does to a proven number, 10 % what published field observations found for wrong meter numbers
/// ("more than 10 percent rate error", No-Till Farmer 1418). A measured width is off by a nozzle, a tenth or
/// less of a section.
pub(crate) const fn drift(entry: Entry, proof: Proof) -> (f64, f64) {
    let width = matches!(entry, Entry::Width(_) | Entry::TotalWidth);
    match proof {
        Proof::Proven { .. } => (0.6, 0.05),
        Proof::Untried => (2.0, if width { 0.07 } else { 0.10 }),
        Proof::Stamped => (3.0, 0.10),
    }
}

/// Relative standard uncertainty that a number has when it is right, where no trial says better.
///
/// Half a percent for a taped width, one for everything that pulses: what a console's step and a fair trial leave.
pub(crate) const fn tolerance(entry: Entry, proof: Proof) -> f64 {
    match (entry, proof) {
        (_, Proof::Proven { u_rel }) => u_rel,
        (Entry::Width(_) | Entry::TotalWidth, _) => 0.005,
        _ => 0.01,
    }
}

/// How closely a console keeps the shown rate on its target, as a relative standard deviation of the mean over a run.
pub(crate) const REGULATION: f64 = 0.01;

/// Relative standard uncertainty of a good nozzle's flow at a pressure: a third of the ±10 % of ISO 16122-2, rounded up.
pub(crate) const NOZZLE_TOLERANCE: f64 = 0.04;

/// Faults and forgotten switches.
///
/// Blocked nozzles come one or two at a time: each further one is half as likely as the one before.
pub(crate) fn fault(cause: Cause, count: i32) -> f64 {
    match cause {
        // The hold is no fault: below it nothing else need be wrong.
        Cause::NothingWrong | Cause::HoldActive => NOTHING_WRONG,
        Cause::NozzlesBlocked => 1.5 * 0.5_f64.powi(count),
        Cause::WornNozzles => 1.5,
        Cause::WheelSlip => 1.0,
        // One press is half of all, two a third of the rest.
        Cause::NudgeLeftOn(_) => match count.abs() {
            1 => 0.25,
            2 => 0.1,
            _ => 0.05,
        },
        Cause::OtherRateOn(_) => 0.7,
        Cause::AirInLine(_) => 0.6,
        Cause::TankEmpty(_) => 0.5,
        Cause::SectionValveShut(_) => 0.4,
        Cause::SectionLeftOut(_) => 0.3,
        Cause::SectionTwice(_) => 0.1,
        // A jug or a stopwatch more often than a display; `count` is 1 for what the console shows.
        Cause::Misread { .. } => 0.15 * 0.3_f64.powi(count),
        Cause::Entry(_) => 0.0,
    }
}

/// Mean and standard deviation, in logs, of faults that have a size.
///
/// Worn nozzles give 5 to 20 % more. A wheel slips 2 to 15 %. Air in a line costs a tenth to two thirds. A
/// misread jug is off by anything up to a factor of two or three.
pub(crate) const fn size(cause: Cause) -> Option<(f64, f64)> {
    match cause {
        Cause::WornNozzles => Some((0.10, 0.06)),
        Cause::WheelSlip => Some((0.07, 0.05)),
        Cause::AirInLine(_) => Some((-0.40, 0.30)),
        Cause::Misread { .. } => Some((0.0, 0.5)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Share of a normal distribution within `x` standard deviations, by Simpson's rule: a second method beside the
    /// incomplete gamma function of `balance`.
    fn within(x: f64) -> f64 {
        let n = 200;
        let h = x / f64::from(n);
        let density = |z: f64| (-0.5 * z * z).exp() * (2.0 / std::f64::consts::PI).sqrt();
        let weight = |i: i32| {
            if i == 0 || i == n {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            }
        };
        (0..=n).map(|i| weight(i) * density(f64::from(i) * h)).sum::<f64>() * h / 3.0
    }

    // Plausibility against published surveys of applicators: within 5 % of the intended rate were 1 in 4 (Transactions of
    // the ASAE 25(2):258-260, 1982) and 1 in 3 (Applied Engineering in Agriculture 4(4):310-315, 1988); off by more than
    // 10 % about 1 in 4 (Univ. of Illinois, 60 Ways, no. 55).
    #[test]
    fn untried_numbers_are_about_as_wrong_as_surveys_found() {
        let (_, sd) = drift(Entry::Meter, Proof::Untried);
        let within_5 = within(0.05 / sd);
        assert!((0.25..=0.42).contains(&within_5), "{within_5}");
        let beyond_10 = 1.0 - within(0.10 / sd);
        assert!((0.20..=0.35).contains(&beyond_10), "{beyond_10}");
    }

    // A fault that a look shows, and a slip of a known kind, are both likelier than something that is on no list.
    #[test]
    fn everything_listed_is_likelier_than_the_unlisted() {
        assert!(fault(Cause::NozzlesBlocked, 1) > UNLISTED);
        assert!(slip(SlipKind::DecimalPlace(1)) > UNLISTED);
        assert!(NOTHING_WRONG > fault(Cause::WornNozzles, 0));
    }
}
