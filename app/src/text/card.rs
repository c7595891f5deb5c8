//! What the operator's card says.

use super::reach::{binds_text, rate_text};
use super::{number, words};
use calc::reach::cab_card::{CabCard, Never, SwitchEffect};
use calc::reach::plan::RateInForce;
use calc::reach::window::Window;
use units::{LengthUnit, SpeedUnit, VolumePerAreaUnit};

pub(crate) struct CardWords {
    pub(crate) title: &'static str,
    pub(crate) keep: &'static str,
    pub(crate) between: fn(low: &str, high: &str) -> String,
    pub(crate) at_least: fn(low: &str) -> String,
    pub(crate) at_most: fn(high: &str) -> String,
    pub(crate) no_speed: &'static str,
    pub(crate) none_until_changed: &'static str,
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
    // A speed in large type would be driven, whatever stands above it.
    if !card.refused.is_empty() {
        return w.none_until_changed.to_owned();
    }
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
pub(crate) fn switch_text(switch: &SwitchEffect, carrier_unit: VolumePerAreaUnit) -> String {
    let dose = super::reach::held_text(&switch.law, carrier_unit);
    match switch.against_first {
        Some(share) if switch.rate != RateInForce::FIRST => {
            format!("{dose} ({})", number::signed_percent(share.as_fraction(), 0))
        }
        _ => dose,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bridge::rig::rig_of;
    use calc::reach::cab_card::cab_card;
    use calc::reach::plan::Plan;
    use records::examples::{DITCH_BANK_TRUCK, ExampleField};
    use records::rig::RigView;
    use std::collections::BTreeMap;
    use units::Speed;

    fn card(change: &[ExampleField]) -> CabCard {
        let texts: BTreeMap<String, String> = DITCH_BANK_TRUCK
            .iter()
            .chain(change)
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
            .collect();
        cab_card(&Plan::new(rig_of(&RigView::read(&texts))), Speed::from_mph(1.0))
    }

    #[test]
    fn speeds_to_keep_begin_where_the_rate_is_held() {
        // The example holds at 5 mph, above the 4.77 mph of its nozzles, and its top speed is 11 mph.
        assert_eq!(keep_text(&card(&[]), SpeedUnit::MilePerHour), "5\u{a0}mph to 11\u{a0}mph");
    }

    #[test]
    fn a_refused_plan_gives_no_speed_to_drive() {
        // 96 fl oz/ac on the second rate against a label maximum of 90.
        let card = card(&[("pump.1.label_greatest", "sheet;us_fl_oz_per_ac;90")]);
        assert!(!card.refused.is_empty());
        let text = keep_text(&card, SpeedUnit::MilePerHour);
        assert!(!text.contains("mph"), "{text}");
    }

    #[test]
    fn a_hold_above_the_window_leaves_no_speed_to_keep() {
        let card = card(&[("hold.speed", "guessed;mph;12")]);
        assert!(!keep_text(&card, SpeedUnit::MilePerHour).contains("mph"));
    }

    #[test]
    fn a_switch_says_its_dose_and_the_difference() {
        // By hand: 96 over 64 fl oz/ac is half as much again.
        let texts: Vec<String> = card(&[])
            .switches
            .iter()
            .map(|switch| switch_text(switch, VolumePerAreaUnit::UsGallonPerAcre))
            .collect();
        assert_eq!(texts[0], "64\u{a0}fl oz/ac");
        assert_eq!(texts[1], "96\u{a0}fl oz/ac (+50\u{a0}%)");
    }
}
