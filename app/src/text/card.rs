//! What the operator's card says.

use super::reach::{limit_text, rate_text};
use super::{number, words};
use calc::reach::cab_card::{CabCard, Never, SwitchEffect};
use calc::reach::plan::{RateInForce, WhichRate};
use calc::reach::sections::CountWindow;
use calc::reach::window::Window;
use calc::rig::Carrier;
use units::{LengthUnit, PressureUnit, Quantity, Speed, SpeedUnit, VolumePerAreaUnit};

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
    pub(crate) regulated: fn(rate: &str) -> String,
    pub(crate) manual: fn(pressure: &str) -> String,
    pub(crate) on: fn(on: usize, all: usize, width: &str) -> String,
    pub(crate) fewer: &'static str,
    pub(crate) pressures: &'static str,
    pub(crate) no_rows: &'static str,
    pub(crate) pump: fn(pump: usize, product: &str) -> String,
    pub(crate) switch: &'static str,
    pub(crate) never: &'static str,
    pub(crate) slower: fn(speed: &str, limit: &str) -> String,
    pub(crate) faster: fn(speed: &str, limit: &str) -> String,
    pub(crate) do_not_use: fn(rate: &str) -> String,
    pub(crate) past_label_below: fn(rate: &str, speed: &str) -> String,
    pub(crate) stand_hold: fn(speed: &str) -> String,
    pub(crate) stand_manual: &'static str,
    pub(crate) past_label: fn(speed: &str) -> String,
    pub(crate) tighter: fn(radius: &str) -> String,
    pub(crate) against: &'static str,
    pub(crate) step: fn(pressure: &str, rate: &str) -> String,
    pub(crate) count: fn(most: usize, fewest: usize, window: &str) -> String,
    pub(crate) nudge: fn(presses: i32) -> String,
    pub(crate) switches_in: fn(unit: &str) -> String,
    pub(crate) unknown: &'static str,
    pub(crate) print: &'static str,
    pub(crate) to_reach: &'static str,
}

/// The speeds to keep: where the rate is really held, whichever value each proven number has inside its uncertainty.
pub(crate) fn keep_text(card: &CabCard, surely: &Window, unit: SpeedUnit) -> String {
    let w = &words().card;
    let speed = |v| number::quantity(v, unit, 3);
    // A speed in large type would be driven, whatever stands above it.
    if !card.refused.is_empty() {
        return w.none_until_changed.to_owned();
    }
    let held_from = match (card.rate_held_from, surely.low()) {
        (Some(held), Some(low)) if low > held => Some(low),
        (held, low) => held.or(low),
    };
    match (surely, held_from, surely.high()) {
        (Window::Unknown, ..) => w.not_known.to_owned(),
        (Window::Open { .. }, Some(low), Some(high)) if low <= high => {
            (w.between)(&number::significant(low.in_unit(unit), 3), &speed(high))
        }
        (Window::Open { .. }, Some(low), None) => (w.at_least)(&speed(low)),
        // No hold and no slow end: everything up to the fast one.
        (Window::Open { .. }, None, Some(high)) if card.hold.is_none() => (w.at_most)(&speed(high)),
        (Window::Open { .. }, None, None) => w.not_known.to_owned(),
        _ => w.no_speed.to_owned(),
    }
}

/// How the carrier is run.
pub(crate) fn carrier_text(
    carrier: Carrier,
    rate_unit: VolumePerAreaUnit,
    pressure_unit: PressureUnit,
) -> String {
    let w = &words().card;
    match carrier {
        Carrier::Regulated(rate) => (w.regulated)(&number::quantity(rate, rate_unit, 3)),
        Carrier::Manual(pressure) => (w.manual)(&number::quantity(pressure, pressure_unit, 3)),
    }
}

/// What never to do, a sentence each. A dose that passes its label maximum below a speed at which nobody is to spray anyway
/// is told with that speed.
pub(crate) fn never_texts(nevers: &[Never], unit: SpeedUnit, length: LengthUnit) -> Vec<String> {
    let w = &words().card;
    let speed = |v| number::quantity(v, unit, 3);
    let slowest = nevers.iter().find_map(|never| match never {
        Never::SlowerThan { speed, .. } => Some(*speed),
        _ => None,
    });
    let below_that = |v: Speed| slowest.is_some_and(|slowest| v <= slowest);
    let passes = nevers.iter().filter_map(|never| match never {
        Never::PastLabelBelow { speed, .. } if below_that(*speed) => Some(*speed),
        _ => None,
    });
    let passes = passes.reduce(|a, b| if a > b { a } else { b });
    let text = |never: &Never| {
        Some(match *never {
            Never::SlowerThan { speed: v, limit } => {
                let text = (w.slower)(&speed(v), &limit_text(limit));
                passes.map_or(text.clone(), |v| format!("{text} {}", (w.past_label)(&speed(v))))
            }
            Never::FasterThan { speed: v, limit } => (w.faster)(&speed(v), &limit_text(limit)),
            Never::Use { pump_idx, rate } => (w.do_not_use)(&rate_text(pump_idx, rate)),
            Never::PastLabelBelow { speed: v, .. } if below_that(v) => return None,
            Never::PastLabelBelow { pump_idx, rate, speed: v } => {
                (w.past_label_below)(&rate_text(pump_idx, rate), &speed(v))
            }
            Never::StandWithBoomOn { hold: Some(hold) } => (w.stand_hold)(&speed(hold)),
            Never::StandWithBoomOn { hold: None } => w.stand_manual.to_owned(),
            Never::TurnTighterThan { radius, .. } => (w.tighter)(&number::quantity(radius, length, 3)),
        })
    };
    nevers.iter().filter_map(text).collect()
}

/// What the positions of the switches lay down.
pub(crate) struct SwitchTable {
    /// Places of the pumps, a column each.
    pub(crate) pumps: Vec<usize>,
    /// Whether the second column says how a position stands to the first rate, the same for every pump.
    pub(crate) against_first: bool,
    /// Each position, its name first.
    pub(crate) rows: Vec<Vec<String>>,
}

/// Doses by position and pump, without their unit; each rate with its nudges under it.
pub(crate) fn switch_table(switches: &[SwitchEffect], carrier_unit: VolumePerAreaUnit) -> SwitchTable {
    let most = switches.iter().map(|s| s.rate.presses.abs()).max().unwrap_or(0);
    let presses = std::iter::once(0).chain((1..=most).flat_map(|n| [n, -n]));
    let positions = [WhichRate::First, WhichRate::Second]
        .into_iter()
        .flat_map(|which| presses.clone().map(move |presses| RateInForce { which, presses }));
    let n_pumps = switches.iter().map(|s| s.pump_idx + 1).max().unwrap_or(0);
    let pumps: Vec<usize> = (0..n_pumps).filter(|idx| switches.iter().any(|s| s.pump_idx == *idx)).collect();
    let at = |rate: RateInForce, pump_idx: usize| {
        switches.iter().find(|s| s.rate == rate && s.pump_idx == pump_idx)
    };
    let share = |switch: &SwitchEffect| {
        let share = switch.against_first.filter(|_| switch.rate != RateInForce::FIRST);
        share.map_or_else(String::new, |share| number::signed_percent(share.as_fraction(), 0))
    };
    // One column says it for all pumps where it is the same for all of them.
    let against_first = switches
        .iter()
        .all(|one| switches.iter().filter(|s| s.rate == one.rate).all(|s| share(s) == share(one)));
    let dose = |switch: &SwitchEffect| {
        let held = switch
            .law
            .held()
            .map(|dose| number::significant(dose.in_unit(super::reach::product_unit(carrier_unit)), 4));
        let dose = held.unwrap_or_else(|| words().reach.floats.to_owned());
        let share = share(switch);
        if against_first || share.is_empty() { dose } else { format!("{dose} ({share})") }
    };
    let rows = positions
        .filter(|rate| pumps.iter().any(|&idx| at(*rate, idx).is_some()))
        .map(|rate| {
            let name = if rate.presses == 0 {
                super::reach::position_text(rate)
            } else {
                (words().card.nudge)(rate.presses)
            };
            let shared = pumps.iter().find_map(|&idx| at(rate, idx)).map(share);
            let doses = pumps.iter().map(|&idx| at(rate, idx).map_or_else(|| "–".to_owned(), dose));
            std::iter::once(name).chain(shared.filter(|_| against_first)).chain(doses).collect()
        })
        .collect();
    SwitchTable { pumps, against_first, rows }
}

/// Windows by how many sections are on, neighbours with the same window told as one.
pub(crate) fn count_texts(counts: &[CountWindow], unit: SpeedUnit) -> Vec<String> {
    let mut told: Vec<(usize, usize, String)> = Vec::new();
    for count in counts {
        let window = super::reach::window_short(&count.any_set, unit);
        match told.last_mut() {
            Some((_, fewest, same)) if *same == window => *fewest = count.n_on,
            _ => told.push((count.n_on, count.n_on, window)),
        }
    }
    told.iter().map(|(most, fewest, window)| (words().card.count)(*most, *fewest, window)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bridge::rig::rig_of;
    use calc::reach::cab_card::cab_card;
    use calc::reach::plan::Plan;
    use calc::reach::proven::Proof;
    use calc::reach::window::window;
    use records::examples::{DITCH_BANK_TRUCK, ExampleField};
    use records::rig::RigView;
    use std::collections::BTreeMap;
    use units::Speed;

    fn plan(change: &[ExampleField]) -> Plan {
        let texts: BTreeMap<String, String> = DITCH_BANK_TRUCK
            .iter()
            .chain(change)
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
            .collect();
        Plan::new(rig_of(&RigView::read(&texts)))
    }

    fn card(change: &[ExampleField]) -> CabCard {
        cab_card(&plan(change), Speed::from_mph(1.0))
    }

    fn keep(plan: &Plan) -> String {
        keep_text(&cab_card(plan, Speed::from_mph(1.0)), &window(plan).surely, SpeedUnit::MilePerHour)
    }

    #[test]
    fn speeds_to_keep_begin_where_the_rate_is_held() {
        // The example holds at 5 mph, above the 4.77 mph of its nozzles, and its top speed is 11 mph.
        assert_eq!(keep(&plan(&[])), "5 to 11\u{a0}mph");
    }

    #[test]
    fn a_refused_plan_gives_no_speed_to_drive() {
        // 96 fl oz/ac on the second rate against a label maximum of 90.
        let plan = plan(&[("pump.1.label_greatest", "sheet;us_fl_oz_per_ac;90")]);
        let text = keep(&plan);
        assert!(!text.contains("mph"), "{text}");
    }

    #[test]
    fn a_hold_above_the_window_leaves_no_speed_to_keep() {
        assert!(!keep(&plan(&[("hold.speed", "guessed;mph;12")])).contains("mph"));
    }

    // By hand: the course number known to 1 % leaves the top speed of 11 mph open by 1.96 %, to 10.78 mph.
    #[test]
    fn speeds_to_keep_are_sure_ones() {
        let mut plan = plan(&[]);
        plan.proven.course = Some(Proof::known(units::Share::from_percent(1.0)));
        assert_eq!(keep(&plan), "5 to 10.8\u{a0}mph");
    }

    #[test]
    fn a_switch_says_its_dose_and_the_difference() {
        // By hand: 96 over 64 fl oz/ac is half as much again, 48 over 32 too; a nudge is a tenth of the rate it moves:
        // 105.6, 65 % above 64.
        let table = switch_table(&card(&[]).switches, VolumePerAreaUnit::UsGallonPerAcre);
        assert!(table.against_first);
        let row = |n: usize| table.rows[n].join("|");
        assert_eq!(row(0), "product rate||64|32|8");
        assert_eq!(row(1), "↳ nudge up|+10\u{a0}%|70.4|35.2|8.8");
        assert_eq!(row(3), "second rate|+50\u{a0}%|96|48|–");
        assert_eq!(row(4), "↳ nudge up|+65\u{a0}%|105.6|52.8|–");
        // A second pump whose second rate is another share of its first.
        let other = card(&[("pump.2.second", "sheet;us_fl_oz_per_ac;40")]);
        let table = switch_table(&other.switches, VolumePerAreaUnit::UsGallonPerAcre);
        assert!(!table.against_first);
        assert_eq!(table.rows[3].join("|"), "second rate|96 (+50\u{a0}%)|40 (+25\u{a0}%)|–");
    }

    #[test]
    fn a_label_passed_below_the_slowest_speed_is_told_with_it() {
        // The example's doses pass below 4.13 mph, its nozzles end at 4.77 mph.
        let texts = never_texts(&card(&[]).never, SpeedUnit::MilePerHour, LengthUnit::Foot);
        assert!(texts[0].contains("4.77") && texts[0].contains("4.13"), "{texts:?}");
        assert_eq!(texts.iter().filter(|text| text.contains("4.13")).count(), 1);
    }

    // By hand: pump 3 nudged down gives 7.2 fl oz/ac, and its least 1 fl oz/min on one section of 8 ft needs
    // 495 ÷ (7.2 × 8) = 8.59 mph; on two of them half of that, below what the nozzles allow.
    #[test]
    fn section_counts_with_the_same_window_are_one_line() {
        let texts = count_texts(&card(&[]).by_count, SpeedUnit::MilePerHour);
        assert_eq!(texts.len(), 2, "{texts:?}");
        assert!(texts[0].starts_with("2 to 5 sections on: "), "{texts:?}");
        assert!(texts[1].starts_with("1 section on: "), "{texts:?}");
    }
}
