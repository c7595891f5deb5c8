//! The reach screen, in English.

use crate::text::reach::ReachWords;
use calc::reach::doses::Cause;
use calc::reach::make_it_work::Change;
use calc::reach::nozzle_choice::{Candidate, Fit};
use calc::reach::plan::{Limit, Problem, WhichRate};

pub(super) const WORDS: ReachWords = ReachWords {
    title: "Reach",
    what_if: "What if",
    sections: "Sections on",
    rate: "Carrier rate",
    speed: "Speed",
    reset: "Back to the rig’s own plan",
    less: |what| format!("{what}: less"),
    more: |what| format!("{what}: more"),
    sections_on: |on, all| format!("{on} of {all}"),
    axis: |unit| format!("Speed in {unit}. Shaded: held by all limits. Dashed: the rig’s own plan."),
    refused: "This plan is refused: it would put more on the ground than the label allows.",
    unknown: "What the rig does not say",
    make_it_work: "What would make it work",
    nothing_helps: "No single change gives this plan a speed. Change more than one thing.",
    pressures: "Pressure to expect",
    pressure: "At the nozzles",
    carrier: "Carrier rate",
    window: "Rate",
    held: "✓ held",
    not_held: "▲ not held",
    doses: "Doses against the label",
    hold_hint: "Below the minimum-speed hold the dose grows as hold speed over speed.",
    which: "Rate",
    dose: "On the ground",
    label: "Label maximum",
    passes: "Passes it",
    never: "never",
    always: "always",
    below: |speed| format!("below {speed}"),
    floats: "moves with speed",
    no_label: "not given",
    by_sections: "With fewer sections",
    narrowest: "The narrowest so many",
    widest: "The widest so many",
    open: |low, high| format!("Held from {low} to {high}."),
    from_standing: "standing still",
    without_end: "any speed that these limits know",
    bound: |limit, speed| format!("{speed} ({limit})"),
    empty: |needs, needs_speed, allows, allows_speed| {
        format!(
            "No speed holds this: {needs} needs {needs_speed} or more, and {allows} allows {allows_speed} at most."
        )
    },
    nowhere: |limit| format!("No speed holds this: {limit} cannot do it at any speed."),
    window_unknown: "The rig says too little for a window. Fill in what is named below.",
    no_speed: "none",
    limits: |limit, rate| match limit {
        Limit::NozzlePressure => "nozzle pressure".to_owned(),
        Limit::Meter => "flow meter".to_owned(),
        Limit::Supply => "supply pump".to_owned(),
        Limit::Pump { .. } => rate.to_owned(),
        _ => "top speed".to_owned(),
    },
    first: "product rate",
    second: "second rate",
    nudged: |rate, presses| {
        if presses > 0 {
            format!("{rate}, nudged up {presses}×")
        } else {
            format!("{rate}, nudged down {}×", -presses)
        }
    },
    of_pump: |pump, rate| format!("pump {pump}, {rate}"),
    at: |speed, pressure, held| {
        format!("{speed}: {pressure} at the nozzles, {}", if held { "✓ held" } else { "▲ not held" })
    },
    refusal: |rate, cause, over, where_| {
        let why = match cause {
            Cause::Hold => "the minimum-speed hold lifts it",
            Cause::CarrierInManual => "it follows the carrier, which is left in manual",
            Cause::RateItself => "the rate itself is above the label maximum",
        };
        if over.is_empty() {
            format!("{rate}: {why} ({where_}).")
        } else {
            format!("{rate}: {why}, by up to {over} ({where_}).")
        }
    },
    problem,
    change,
    of_carrier: |percent| format!("{percent}\u{a0}% of the carrier"),
    gives: |change, window| format!("{change}: {window}"),
    binds,
    hold_lifts: |speed| {
        format!(
            "Below {speed} the minimum-speed hold keeps the output up: it sprays, but lays down more than planned."
        )
    },
    grows: "▲ more than planned",
    plot: |pump, unit| format!("Pump {pump}: {unit} on the ground, by speed"),
    plot_key: "Thick: product rate. Dashed: second rate. Thin: nudged. Level line with ticks: label maximum. Dotted: minimum-speed hold. Shaded: the window.",
    nozzles: "Nozzle choice",
    slowest: "Slowest wanted",
    fastest: "Fastest wanted",
    judged: |least, greatest| {
        format!(
            "Sizes are judged by the pressure window of the set on the rig, {least} to {greatest}. Look up each nozzle’s own."
        )
    },
    no_judge: "The rig says no pressure window for its nozzles, so whether a size fits stays open.",
    wrong_way: "The slowest wanted speed lies above the fastest.",
    nozzle: "Nozzle",
    on_rig: "On the rig",
    size: |number| format!("Size {number}"),
    fit: "Fits",
    fits: |fit, from, to| match fit {
        Fit::Whole => "✓ all of it".to_owned(),
        Fit::Part { .. } => format!("◐ {from} to {to}"),
        Fit::TooSmall => "▲ too small".to_owned(),
        Fit::TooLarge => "▼ too large".to_owned(),
        Fit::Unknown => "? not known".to_owned(),
    },
    pressure_at: |speed| format!("At {speed}"),
    water_rate: |rate| {
        format!("In a chart made for water look up {rate}: the liquid’s weight is not that of water.")
    },
    needs_rate: "Needs a carrier rate that the console holds.",
    turns: "On a curve",
    radius: "Radius of the truck’s path",
    way: "The curve goes",
    left: "Left",
    right: "Right",
    inner: |dose| format!("Inner end: {dose}"),
    outer: |dose| format!("Outer end: {dose}"),
    of_middle: |percent| format!("{percent} of the dose at the middle"),
    backward: |percent| format!("{percent} of the dose at the middle, moving backward over sprayed ground"),
    standing: "stands still, a dose without end",
    centre_under: "The centre of the turn lies under the boom: one spot is sprayed without end. Shut the inner sections off.",
    wanted_share: "The outer end should get at least",
    outer_from: |share, radius| format!("The outer end gets {share} from a radius of {radius} on."),
    turn_limits: |speed| format!("Tightest curve at {speed} before the inner end passes the label maximum"),
    turn_from: |radius| format!("radius {radius}"),
    turn_any: "any curve",
    turn_none: "▲ no curve: already at or past it",
    no_label_turns: "No label maximum is given, so nothing is checked against it.",
    no_width: "The widths of the boom are not known.",
    to_card: "Cab card",
};

fn binds(limit: Limit, name: &str, speed: &str, low: bool) -> String {
    match (limit, low) {
        (Limit::NozzlePressure, true) => {
            format!("Below {speed} the nozzles fall under their lowest pressure.")
        }
        (Limit::NozzlePressure, false) => format!("Above {speed} the nozzles pass their highest pressure."),
        (Limit::Meter, true) => format!("Below {speed} the flow meter counts less than its rated flow."),
        (Limit::Meter, false) => format!("Above {speed} the flow meter passes its rated flow."),
        (Limit::Supply, _) => {
            format!("The supply pump runs out at {speed}, agitation and reserve left aside.")
        }
        (Limit::Pump { .. }, true) => {
            format!("{} cannot give so little below {speed}.", capital(name))
        }
        (Limit::Pump { .. }, false) => format!("{} runs out at {speed}.", capital(name)),
        (Limit::TopSpeed, _) => format!("The top speed stated for the rig is {speed}."),
    }
}

/// A name at the start of a sentence.
fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn problem(problem: &Problem) -> String {
    let pump = |idx: &usize, what: &str| format!("Pump {}: {what}", idx + 1);
    match problem {
        Problem::NoSections => "The boom sections are not known.".to_owned(),
        Problem::NoSectionOn => "No section is on.".to_owned(),
        Problem::SectionWidth { section_idx, .. } => {
            format!("Section {}: its width is not known.", section_idx + 1)
        }
        Problem::NoNozzleSet => "The nozzle set is not known.".to_owned(),
        Problem::NozzlesNotCounted => "How many nozzles the sections carry is not known.".to_owned(),
        Problem::NozzleLeastUnknown => "The lowest pressure of the nozzles is not known.".to_owned(),
        Problem::NozzleGreatestUnknown => "The highest pressure of the nozzles is not known.".to_owned(),
        Problem::NozzleWindowReversed { .. } => {
            "The pressure window of the nozzles is the wrong way round.".to_owned()
        }
        Problem::NoMeter => "The flow meter is not known.".to_owned(),
        Problem::MeterLeastUnknown => "The least rated flow of the meter is not known.".to_owned(),
        Problem::MeterGreatestUnknown => "The greatest rated flow of the meter is not known.".to_owned(),
        Problem::MeterReversed { .. } => "The meter’s least flow lies above its greatest.".to_owned(),
        Problem::NoSupply => "The supply pump is not known.".to_owned(),
        Problem::SupplyShares { .. } => {
            "Agitation and reserve together leave nothing of the supply pump.".to_owned()
        }
        Problem::NoCarrier => "The carrier rate is not known.".to_owned(),
        Problem::NoProduct => "No product is planned.".to_owned(),
        Problem::NoFirstRate { pump_idx } => pump(pump_idx, "its product rate is not known."),
        Problem::PerCarrierWithoutCarrier { pump_idx, .. } => {
            pump(pump_idx, "its rate is per carrier, and the carrier rate is not known.")
        }
        Problem::PumpLeastUnknown { pump_idx } => pump(pump_idx, "its least output is not known."),
        Problem::PumpGreatestUnknown { pump_idx } => pump(pump_idx, "its greatest output is not known."),
        Problem::PumpReversed { pump_idx, .. } => pump(pump_idx, "its least output lies above its greatest."),
        Problem::NudgedAway { pump_idx, .. } => {
            pump(pump_idx, "nudged down so far, nothing is left of the rate.")
        }
        Problem::LabelUnknown { pump_idx } => {
            pump(pump_idx, "the label maximum is not given, so nothing is checked against it.")
        }
        _ => "A number on the rig is not possible; see there.".to_owned(),
    }
}

fn change(change: &Change, speed: &dyn Fn(units::Speed) -> String, from: &str, to: &str) -> String {
    let rate = |which: &WhichRate| if *which == WhichRate::First { "product rate" } else { "second rate" };
    match change {
        Change::Nozzles { candidate: Candidate::Nominal(_), .. } => format!("Other nozzles: {to}"),
        Change::Nozzles { .. } => format!("Nozzles of {to} at their rated pressure"),
        Change::CarrierRate { .. } => format!("Carrier rate from {from} to {to}"),
        Change::ManualPressure { .. } => format!("Pressure from {from} to {to}"),
        Change::Sections { .. } => format!("Sections on: {to} instead of {from}"),
        Change::ProductRate { pump_idx, which, .. } => {
            format!("Pump {}: {} from {from} to {to}", pump_idx + 1, rate(which))
        }
        Change::SwapProducts { pump_idx, with_pump_idx } => {
            format!("The product of pump {} in pump {}", pump_idx + 1, with_pump_idx + 1)
        }
        Change::WithoutSecond { pump_idx } => format!("Pump {} without its second rate", pump_idx + 1),
        Change::WithoutNudge { pump_idx } => format!("Pump {} without the nudge", pump_idx + 1),
        Change::HoldSpeed { to: Some(to), .. } => format!("Minimum-speed hold at {}", speed(*to)),
        Change::HoldSpeed { to: None, .. } => "No minimum-speed hold".to_owned(),
        Change::TopSpeed { .. } => format!("Top speed from {from} to {to}"),
        Change::Drive { slowest, fastest } => match (slowest, fastest) {
            (Some(slowest), Some(fastest)) => {
                format!("Drive between {} and {}", speed(*slowest), speed(*fastest))
            }
            (Some(slowest), None) => format!("Drive no slower than {}", speed(*slowest)),
            (None, Some(fastest)) => format!("Drive no faster than {}", speed(*fastest)),
            (None, None) => "Drive as planned".to_owned(),
        },
        Change::PumpRange { pump_idx, .. } => format!("Another pump in the place of pump {}", pump_idx + 1),
        Change::MeterRange { .. } => "A flow meter with another range".to_owned(),
        _ => "A larger supply pump".to_owned(),
    }
}
