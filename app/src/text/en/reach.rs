//! The reach screen, in English.

use crate::bridge::proven::Number;
use crate::text::reach::ReachWords;
use calc::reach::doses::Cause;
use calc::reach::make_it_work::Change;
use calc::reach::nozzle_choice::Fit;
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
    water_rate: |rate, gravity| {
        format!(
            "The liquid weighs {gravity} times what water does; the pressures here are for it. In a chart made for water look up {rate}."
        )
    },
    as_water: "The liquid weighs what water does: pressures are as in a chart made for water.",
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
    radius_least: "Not tighter than",
    regulated: "Regulated",
    manual: "In manual",
    turn_from: |radius| format!("radius {radius}"),
    turn_any: "any curve",
    turn_none: "▲ no curve: already at or past it",
    no_label_turns: "No label maximum is given, so nothing is checked against it.",
    no_width: "The widths of the boom are not known.",
    to_card: "Cab card",
    interval: |speed, least, greatest| format!("{speed} (with 95\u{a0}% between {least} and {greatest})"),
    surely: |low, high| {
        format!(
            "Surely held from {low} to {high}, whichever value the proven numbers have inside their uncertainty."
        )
    },
    surely_none: "No speed is held for sure: the uncertainty of the proven numbers is wider than the window.",
    soft: "Pale ends: where an end may lie, with 95 %, because a proven number has an uncertainty.",
    proofs: "Numbers that trials proved",
    proof: |number, off, percent, on| {
        let what = match number {
            Number::Meter => "Meter number".to_owned(),
            Number::Course => "Course number".to_owned(),
            Number::Pump(n) => format!("Number of pump {n}"),
            Number::Nozzles => "Mean flow of the nozzles".to_owned(),
        };
        if off.is_empty() {
            format!("{what}: right to {percent} by the trial of {on}.")
        } else {
            format!("{what}: what comes is {off} off what is said, known to {percent} by the trial of {on}.")
        }
    },
    doubtful: "May pass the label maximum, as far as the numbers are proven:",
    may_pass: |passes| format!("perhaps {passes}"),
    manual_pressure: "Pressure left standing",
    wanted_rate: "Carrier rate wanted",
    to_set: |rate, speed, pressure, inside| {
        let more =
            if inside == Some(false) { " The nozzles’ pressure window does not hold that." } else { "" };
        format!("For {rate} at {speed} set {pressure} at the nozzles.{more}")
    },
    to_set_unknown: "The rig says too little to work out the pressure.",
    set_it: |pressure| format!("Set {pressure}"),
    float_plot: |pressure, unit| format!("Carrier on the ground at {pressure}: {unit}, by speed"),
    float_key: "Thick: what lands. Dashed: the carrier rate wanted. Shaded: the window.",
    switches: "Which sections",
    switch: |n, width| format!("Section {n}, {width}"),
    numbers,
    smallest: |speed, numbers, width| {
        format!("The smallest set of sections that still works at {speed}: {numbers}, {width}.")
    },
    smallest_not_all: "The boom has so many different sections that not every set was tried.",
    smallest_none: |speed, limits| {
        if limits.is_empty() {
            format!("No set of sections works at {speed}.")
        } else {
            format!("No set of sections works at {speed}. With all of them on it breaks: {limits}.")
        }
    },
    take_set: "Take this set",
    try_it: "Try it",
    tried: "This is a plan that was tried on the Reach screen, not what the rig has:",
    tried_rate: |rate| format!("carrier rate {rate}"),
    tried_manual: |pressure| format!("carrier left in manual at {pressure}"),
    tried_sections: |numbers| format!("sections on: {numbers}"),
    no_product: "No product is planned, so nothing is laid down but carrier.",
    set_n: |n| format!("Own set {n}"),
    droplet_class: "Droplets",
    droplet_between: |one, other| format!("{one} to {other}"),
    droplet_outside: "not in the table",
    droplets: |stretches| {
        if stretches.is_empty() {
            "The droplet table on the rig says nothing at these pressures.".to_owned()
        } else {
            format!("Droplets by the table on the rig: {}.", stretches.join("; "))
        }
    },
    droplets_from: |class, from, to| format!("{class} from {from} to {to}"),
    droplets_odd: |set| {
        let whose = if set == 0 { "the set on the rig".to_owned() } else { format!("own set {set}") };
        format!("The droplet table of {whose} has one pressure twice. It is left out.")
    },
};

fn numbers(numbers: &[String]) -> String {
    match numbers {
        [] => "none".to_owned(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

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

fn problem(problem: &Problem, least: &str, greatest: &str) -> String {
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
            format!(
                "The pressure window of the nozzles is the wrong way round: lowest {least}, highest {greatest}. It is left out."
            )
        }
        Problem::NoMeter => "The flow meter is not known.".to_owned(),
        Problem::MeterLeastUnknown => "The least rated flow of the meter is not known.".to_owned(),
        Problem::MeterGreatestUnknown => "The greatest rated flow of the meter is not known.".to_owned(),
        Problem::MeterReversed { .. } => format!("The meter’s least flow ({least}) lies above its greatest ({greatest}). Both are left out."),
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
        Problem::PumpReversed { pump_idx, .. } => pump(
            pump_idx,
            &format!("its least output ({least}) lies above its greatest ({greatest}). Both are left out."),
        ),
        Problem::NudgedAway { pump_idx, .. } => {
            pump(pump_idx, "nudged down so far, nothing is left of the rate.")
        }
        Problem::LabelUnknown { pump_idx } => {
            pump(pump_idx, "the label maximum is not given, so nothing is checked against it.")
        }
        Problem::Uncertainty { .. } => {
            "The trial of a number leaves it so uncertain that its limit cannot be said. Prove it with more runs.".to_owned()
        }
        _ => "A number on the rig is not possible; see there.".to_owned(),
    }
}

fn change(change: &Change, speed: &dyn Fn(units::Speed) -> String, from: &str, to: &str) -> String {
    let rate = |which: &WhichRate| if *which == WhichRate::First { "product rate" } else { "second rate" };
    match change {
        Change::Nozzles { .. } => format!("Other nozzles: {to}"),
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
        Change::HoldSpeed { to: Some(to), .. } => {
            format!("Minimum-speed hold at {} instead of {from}", speed(*to))
        }
        Change::HoldSpeed { to: None, .. } => format!("No minimum-speed hold instead of {from}"),
        Change::TopSpeed { .. } => format!("Top speed from {from} to {to}"),
        Change::Drive { slowest, fastest } => match (slowest, fastest) {
            (Some(slowest), Some(fastest)) => {
                format!("Drive between {} and {}", speed(*slowest), speed(*fastest))
            }
            (Some(slowest), None) => format!("Drive no slower than {}", speed(*slowest)),
            (None, Some(fastest)) => format!("Drive no faster than {}", speed(*fastest)),
            (None, None) => "Drive as planned".to_owned(),
        },
        Change::PumpRange { pump_idx, .. } => {
            format!("Another pump in the place of pump {}, {}", pump_idx + 1, range("gives", from, to))
        }
        Change::MeterRange { .. } => format!("Another flow meter, {}", range("is rated for", from, to)),
        Change::SupplyFlow { .. } => format!("A supply pump of {to} or more"),
    }
}

/// What a part must be able to do; an empty end asks for nothing.
fn range(does: &str, least: &str, greatest: &str) -> String {
    match (least.is_empty(), greatest.is_empty()) {
        (false, false) => format!("that {does} {least} or less and {greatest} or more"),
        (false, true) => format!("that {does} {least} or less"),
        (true, false) => format!("that {does} {greatest} or more"),
        (true, true) => format!("that {does} more"),
    }
}
