//! What the operator's card says.

use super::reach::{binds_text, rate_text};
use super::{number, words};
use calc::reach::cab_card::{CabCard, Never, SwitchEffect};
use calc::reach::window::Window;
use units::{LengthUnit, SpeedUnit, VolumePerAreaUnit};

pub(crate) struct CardWords {
    pub(crate) title: &'static str,
    pub(crate) keep: &'static str,
    pub(crate) between: fn(low: &str, high: &str) -> String,
    pub(crate) at_least: fn(low: &str) -> String,
    pub(crate) at_most: fn(high: &str) -> String,
    pub(crate) no_speed: &'static str,
    pub(crate) not_known: &'static str,
    pub(crate) refused: &'static str,
    pub(crate) on: fn(on: usize, all: usize, width: &str) -> String,
    pub(crate) fewer: &'static str,
    pub(crate) fewer_hint: &'static str,
    pub(crate) pressures: &'static str,
    pub(crate) no_rows: &'static str,
    pub(crate) switches: &'static str,
    pub(crate) pump: fn(pump: usize, product: &str) -> String,
    pub(crate) switch: &'static str,
    pub(crate) against: &'static str,
    pub(crate) same: &'static str,
    pub(crate) never: &'static str,
    pub(crate) slower: fn(speed: &str, why: &str) -> String,
    pub(crate) faster: fn(speed: &str, why: &str) -> String,
    pub(crate) do_not_use: fn(rate: &str) -> String,
    pub(crate) past_label_below: fn(rate: &str, speed: &str) -> String,
    pub(crate) stand_hold: fn(speed: &str) -> String,
    pub(crate) stand_manual: &'static str,
    pub(crate) tighter: fn(radius: &str, rate: &str) -> String,
    pub(crate) unknown: &'static str,
    pub(crate) print: &'static str,
    pub(crate) to_reach: &'static str,
}

/// The speeds to keep: where the rate is really held.
pub(crate) fn keep_text(card: &CabCard, unit: SpeedUnit) -> String {
    let w = &words().card;
    let speed = |v| number::quantity(v, unit, 3);
    match (&card.window, card.rate_held_from, card.window.high()) {
        (Window::Unknown, ..) => w.not_known.to_owned(),
        (Window::Open { .. }, Some(low), Some(high)) => (w.between)(&speed(low), &speed(high)),
        (Window::Open { .. }, Some(low), None) => (w.at_least)(&speed(low)),
        // No hold and no slow end: everything up to the fast one.
        (Window::Open { .. }, None, Some(high)) if card.hold.is_none() => (w.at_most)(&speed(high)),
        (Window::Open { .. }, None, None) => w.not_known.to_owned(),
        _ => w.no_speed.to_owned(),
    }
}

/// What never to do, as a sentence.
pub(crate) fn never_text(never: &Never, unit: SpeedUnit, length: LengthUnit) -> String {
    let w = &words().card;
    let speed = |v| number::quantity(v, unit, 3);
    match *never {
        Never::SlowerThan { speed: v, limit } => (w.slower)(&speed(v), &binds_text(limit, &speed(v), true)),
        Never::FasterThan { speed: v, limit } => (w.faster)(&speed(v), &binds_text(limit, &speed(v), false)),
        Never::Use { pump_idx, rate } => (w.do_not_use)(&rate_text(pump_idx, rate)),
        Never::PastLabelBelow { pump_idx, rate, speed: v } => {
            (w.past_label_below)(&rate_text(pump_idx, rate), &speed(v))
        }
        Never::StandWithBoomOn { hold: Some(hold) } => (w.stand_hold)(&speed(hold)),
        Never::StandWithBoomOn { hold: None } => w.stand_manual.to_owned(),
        Never::TurnTighterThan { radius, pump_idx, rate } => {
            (w.tighter)(&number::quantity(radius, length, 3), &rate_text(pump_idx, rate))
        }
    }
}

/// Dose of a switch position and how it stands to the first rate.
pub(crate) fn switch_cells(switch: &SwitchEffect, carrier_unit: VolumePerAreaUnit) -> (String, String) {
    let w = &words().card;
    let dose = super::reach::held_text(&switch.law, carrier_unit);
    let against = match switch.against_first {
        None => String::new(),
        Some(share) if share.as_fraction().abs() < 1e-9 => w.same.to_owned(),
        Some(share) => number::signed_percent(share.as_fraction(), 0),
    };
    (dose, against)
}
