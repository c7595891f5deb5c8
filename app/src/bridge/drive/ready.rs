//! Drives to begin with, and what a new step starts with: round numbers in the rig's own units, speeds from the rig.

use crate::state::sheet::System;
use records::drive::StepKind;
use records::{FieldValue, drive};
use std::collections::BTreeMap;
use units::{Quantity, Speed, SpeedUnit, Unit, format_decimal};

/// A drive that is ready: its code, and its steps with their distances in feet and in metres.
pub(crate) struct Ready {
    /// Names it in the words.
    pub(crate) code: &'static str,
    steps: &'static [(StepKind, u16, u16)],
}

use StepKind::{Corner, Crawl, End, Flush, Nudge, Second, SetOff, Shut, Steady, Stop};

/// The drives that are ready. What they pass by is common on ditch banks and drainage roads; the numbers are ours.
pub(crate) const READY: &[Ready] = &[
    Ready { code: "ditch", steps: &[(SetOff, 0, 0), (Steady, 400, 120), (End, 0, 0)] },
    Ready {
        code: "culvert",
        steps: &[(SetOff, 0, 0), (Steady, 300, 90), (Corner, 50, 15), (Steady, 300, 90), (End, 0, 0)],
    },
    Ready {
        code: "gates",
        steps: &[
            (SetOff, 0, 0),
            (Steady, 200, 60),
            (Shut, 100, 30),
            (Steady, 150, 45),
            (Stop, 0, 0),
            (Steady, 200, 60),
            (End, 0, 0),
        ],
    },
    Ready {
        code: "patch",
        steps: &[
            (SetOff, 0, 0),
            (Steady, 200, 60),
            (Second, 150, 45),
            (Steady, 150, 45),
            (Nudge, 100, 30),
            (Steady, 150, 45),
            (End, 0, 0),
        ],
    },
    Ready {
        code: "soft",
        steps: &[
            (SetOff, 0, 0),
            (Steady, 200, 60),
            (Crawl, 100, 30),
            (Steady, 200, 60),
            (Flush, 200, 60),
            (End, 0, 0),
        ],
    },
];

/// What a rig says about speeds.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pace {
    /// The rig's system of units.
    pub(crate) system: System,
    /// Its speed on a standing run, where stated: the speed it is set up for.
    pub(crate) cruise: Option<Speed>,
    /// Its minimum-speed hold, where stated.
    pub(crate) hold: Option<Speed>,
}

/// Slower than the usual speed: in corners, and below the hold.
const SLOWER: f64 = 0.6;

impl Pace {
    /// What a field of a new step starts with, as stored.
    pub(crate) fn first_text(self, kind: StepKind, field: &str) -> String {
        let us = self.system == System::Us;
        let (unit, text) = match field {
            "speed" => {
                let unit = if us { SpeedUnit::MilePerHour } else { SpeedUnit::KilometrePerHour };
                let cruise = self.cruise.unwrap_or(Speed::from_unit(8.0, unit));
                let speed = match kind {
                    Corner => cruise.in_unit(unit) * SLOWER,
                    Crawl => self.hold.unwrap_or(cruise).in_unit(unit) * SLOWER,
                    _ => cruise.in_unit(unit),
                };
                let text = format_decimal(speed, 1);
                (unit.code(), text.strip_suffix(".0").map_or(text.clone(), str::to_owned))
            }
            "distance" => {
                if us {
                    ("ft", "100".to_owned())
                } else {
                    ("m", "30".to_owned())
                }
            }
            "takes" => ("s", "4".to_owned()),
            "stands" => ("s", "5".to_owned()),
            "presses" => ("", "1".to_owned()),
            _ => return "1".to_owned(),
        };
        FieldValue { text, unit: (!unit.is_empty()).then(|| unit.to_owned()), source: None }.to_stored()
    }

    /// Paths and texts of a step under a key, `+` for a new one.
    pub(crate) fn step(self, key: &str, order: usize, kind: StepKind) -> BTreeMap<String, String> {
        let mut texts: BTreeMap<String, String> = kind
            .fields()
            .iter()
            .map(|field| (format!("step.{key}.{field}"), self.first_text(kind, field)))
            .collect();
        texts.insert(format!("step.{key}.do"), kind.code().to_owned());
        texts.insert(format!("step.{key}.order"), order_text(order));
        texts
    }

    /// Paths and texts of a drive that is ready.
    pub(crate) fn drive(self, ready: &Ready) -> BTreeMap<String, String> {
        let mut texts = BTreeMap::new();
        for (idx, (kind, feet, metres)) in ready.steps.iter().enumerate() {
            let key = (idx + 1).to_string();
            texts.extend(self.step(&key, idx + 1, *kind));
            let distance = format!("step.{key}.distance");
            if texts.contains_key(&distance) {
                let (text, unit) = if self.system == System::Us { (feet, "ft") } else { (metres, "m") };
                texts.insert(distance, FieldValue::new(text.to_string()).unit(unit).to_stored());
            }
        }
        texts
    }
}

/// A place among the steps, as stored.
pub(crate) fn order_text(order: usize) -> String {
    FieldValue::new(order.to_string()).to_stored()
}

/// The paths to set so that steps stand in this order.
pub(crate) fn in_order<'a>(keys: impl IntoIterator<Item = &'a str>) -> Vec<(String, Option<String>)> {
    let keys = keys.into_iter().enumerate();
    keys.map(|(idx, key)| (format!("step.{key}.order"), Some(order_text(idx + 1)))).collect()
}

/// Where a new step goes: before the end of the pass, else last. The paths of those that move are in the second part.
pub(crate) fn place_for_new(
    view: &drive::DriveView,
    kind: StepKind,
) -> (usize, Vec<(String, Option<String>)>) {
    let n = view.steps.len();
    match view.steps.last() {
        Some(last) if last.kind == Some(End) && kind != End => {
            (n, vec![(last.path("order"), Some(order_text(n + 1)))])
        }
        _ => (n + 1, Vec::new()),
    }
}
