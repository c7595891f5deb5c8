//! What the key-in sheet says.

use super::{number, rig, words};
use crate::bridge::keyin::{Entry, NotKeyed};
use calc::keyin::{KeyIn, KeyInError};
use calc::sensitivity::Effect;
use records::Source;

pub(crate) struct KeyInWords {
    pub(crate) title: &'static str,
    pub(crate) entry: &'static str,
    pub(crate) key: &'static str,
    pub(crate) rounding: &'static str,
    pub(crate) source: &'static str,
    pub(crate) source_unsaid: &'static str,
    pub(crate) one_percent: &'static str,
    pub(crate) missing: &'static str,
    pub(crate) still_missing: fn(names: &str) -> String,
    pub(crate) describe: &'static str,
    pub(crate) printed: fn(at: &str) -> String,
    pub(crate) lifted: &'static str,
    pub(crate) at_carrier_rate: &'static str,
    pub(crate) wants_per_area: &'static str,
    pub(crate) wants_per_carrier: &'static str,
    pub(crate) manual: &'static str,
    pub(crate) no_widths: &'static str,
    pub(crate) widths: &'static str,
    pub(crate) widths_hint: &'static str,
    pub(crate) width_now: fn(on: usize, sum: &str) -> String,
    pub(crate) sections_up_to: fn(n: usize) -> String,
    pub(crate) switches: &'static str,
    pub(crate) switch: fn(n: usize) -> String,
    pub(crate) all_widths: &'static str,
    pub(crate) foot: &'static str,
    pub(crate) print: &'static str,
    pub(crate) to_rig: &'static str,
    pub(crate) width: fn(n: u32) -> String,
    pub(crate) too_large: fn(rounded: &str, largest: &str) -> String,
    pub(crate) rounds_to_zero: fn(step: &str) -> String,
    pub(crate) not_possible: &'static str,
    pub(crate) carrier_moves: fn(by: &str) -> String,
    pub(crate) product_moves: fn(pumps: &str, by: &str) -> String,
    pub(crate) nothing_moves: &'static str,
    pub(crate) on_second: fn(moves: &str) -> String,
    pub(crate) after_nudge: fn(moves: &str) -> String,
    pub(crate) below_hold: fn(moves: &str) -> String,
    pub(crate) standing_only: fn(moves: &str) -> String,
}

/// What an entry is called.
pub(crate) fn entry_text(entry: Entry) -> String {
    let (w, r) = (&words().keyin, &words().rig);
    match entry {
        Entry::Meter => r.meter_number.to_owned(),
        Entry::Course => r.speed_number.to_owned(),
        Entry::Width(n) => (w.width)(n),
        Entry::TotalWidth => w.all_widths.to_owned(),
        Entry::CarrierRate => r.carrier_rate.to_owned(),
        Entry::Pump(n) => (r.of_pump)(n, r.pump_number),
        Entry::First(n) => (r.of_pump)(n, r.first_rate),
        Entry::Second(n) => (r.of_pump)(n, r.second_rate),
        Entry::Nudge(n) => (r.of_pump)(n, r.nudge),
        Entry::Standing => r.standing_speed.to_owned(),
        Entry::Hold => r.hold_speed.to_owned(),
    }
}

/// The first so many sections.
pub(crate) fn sections_up_to(n: usize) -> String {
    (words().keyin.sections_up_to)(n)
}

/// Why a number cannot be keyed in.
pub(crate) fn refusal_text(why: &NotKeyed) -> String {
    let w = &words().keyin;
    match why {
        NotKeyed::Console(KeyInError::TooLarge { rounded, largest }) => {
            (w.too_large)(&number::significant(*rounded, 8), &number::significant(*largest, 8))
        }
        NotKeyed::Console(KeyInError::RoundsToZero { step, .. }) => {
            (w.rounds_to_zero)(&number::significant(*step, 6))
        }
        NotKeyed::Console(_) => w.not_possible.to_owned(),
        NotKeyed::WantsPerArea => w.wants_per_area.to_owned(),
        NotKeyed::WantsPerCarrier => w.wants_per_carrier.to_owned(),
    }
}

/// Where a number came from, the places in a row; that nobody said where there is none.
pub(crate) fn sources_text(sources: &[Source]) -> String {
    let texts: Vec<String> = sources.iter().map(rig::source_text).collect();
    if texts.is_empty() { words().keyin.source_unsaid.to_owned() } else { texts.join("; ") }
}

/// A keyed-in number with the decimals of its step.
pub(crate) fn figure(value: f64, decimals: Option<usize>) -> String {
    decimals.map_or_else(|| number::significant(value, 6), |decimals| number::number(value, decimals))
}

/// How far the step is off; nothing where no step is known.
pub(crate) fn rounding_text(number: &KeyIn, decimals: Option<usize>) -> String {
    if decimals.is_none() {
        return String::new();
    }
    number::signed_percent(number.rounding_error.as_fraction(), 2)
}

/// How the rate on the ground moves when this number is 1 % high, and in which state if it is not the usual one.
pub(crate) fn effect_of(entry: Entry, effect: &Effect) -> String {
    let w = &words().keyin;
    let moves = effect_text(effect);
    match entry {
        Entry::Second(_) => (w.on_second)(&moves),
        Entry::Nudge(_) => (w.after_nudge)(&moves),
        Entry::Hold => (w.below_hold)(&moves),
        Entry::Standing => (w.standing_only)(&moves),
        _ => moves,
    }
}

/// Carrier and products, those that move alike said together.
fn effect_text(effect: &Effect) -> String {
    let w = &words().keyin;
    let seen = |share: f64| share.abs() > 5e-5;
    let mut parts = Vec::new();
    if let Some(carrier) = effect.carrier.map(units::Share::as_fraction).filter(|share| seen(*share)) {
        parts.push((w.carrier_moves)(&number::signed_percent(carrier, 2)));
    }
    // Pumps that move alike are said together.
    let mut groups: Vec<(f64, Vec<String>)> = Vec::new();
    for (idx, product) in effect.products.iter().enumerate() {
        let Some(share) = product.map(units::Share::as_fraction).filter(|share| seen(*share)) else {
            continue;
        };
        let name = (idx + 1).to_string();
        match groups.iter_mut().find(|(other, _)| (other - share).abs() < 1e-6) {
            Some((_, names)) => names.push(name),
            None => groups.push((share, vec![name])),
        }
    }
    parts.extend(
        groups
            .iter()
            .map(|(share, names)| (w.product_moves)(&names.join(", "), &number::signed_percent(*share, 2))),
    );
    if parts.is_empty() { w.nothing_moves.to_owned() } else { parts.join("; ") }
}
