//! The screen of a pass, in English.

use crate::bridge::drive::Wrong;
use crate::text::pass::PassWords;
use calc::pass::remedies::Remedy;
use calc::pass::setup::PassError;
use records::drive::StepKind;

pub(super) const WORDS: PassWords = PassWords {
    title: "What the pass will look like",
    link: "What a pass will look like",
    lead: "A drive over the field, worked out before anybody drives it: where the product lands, and how much of it.",
    drives: "Drives of this rig",
    begin_with: "Begin with one of these. Everything in it can be changed afterwards.",
    begin_another: "Begin another drive",
    ready,
    unnamed: "Drive without a name",
    drive: "Drive",
    described: |name| format!("Drive “{name}”: described"),
    steps: |n, length, time| format!("{n} manoeuvres, {length}, {time}"),
    kind,
    unknown_kind: "A manoeuvre that a later version knows",
    field,
    step: |place, what| format!("{place}. {what}"),
    begins: |length, time| format!("begins at {length}, {time}"),
    boom: "Boom while it stands",
    boom_off: "Off",
    boom_on: "On",
    up: |step| format!("{step}: earlier"),
    down: |step| format!("{step}: later"),
    take_out: |step| format!("{step}: take out"),
    up_face: "↑ Earlier",
    down_face: "↓ Later",
    take_out_face: "Take out",
    add: "Add",
    what_next: "Manoeuvre to add",
    start: "Name, start and limits",
    name: "Name of the drive",
    start_speed: "Speed at the start",
    start_speed_hint: "Empty or 0: it stands.",
    lines: "What the lines hold at the start",
    clean: "Clean carrier",
    charged: "Product at its full dose",
    pump: "Product that is looked at",
    pump_n: |n, name| if name.is_empty() { format!("Pump {n}") } else { format!("{n}: {name}") },
    least: "On target from",
    greatest: "On target up to",
    limit_hint: |usual| format!("Of what was wanted. Empty: {usual}, common practice."),
    remove: "Take this drive off the list",
    settle: "How the console settles",
    settle_hint: "After the dead time an output nears its target; in each time constant it does 63\u{a0}% of what is left. Time a step of the rate with a stopwatch, or leave them empty.",
    settle_label: |path| match path {
        "settle.carrier.dead" => "Carrier: dead time",
        "settle.carrier.constant" => "Carrier: time constant",
        "settle.pump.dead" => "Injection pump: dead time",
        "settle.pump.constant" => "Injection pump: time constant",
        _ => "When sections are switched",
    },
    settle_usual: |seconds| format!("Empty: {seconds} (no source, typical order)."),
    at_switch: "When sections are switched",
    keeps_pressure: "Pressure stays (metered return)",
    keeps_flow: "Flow stays until the carrier has settled",
    wrong,
    step_wrong: |step, problem| format!("{step}: {problem}"),
    no_steps: "There is nothing to drive yet. Add a manoeuvre.",
    no_carrier_rate: "The carrier has no target rate, or is left in manual. A pass needs a carrier rate that the console holds: fill it in on the rig.",
    no_pump: |n| {
        format!(
            "The rig has no injection pump {n}. Choose another product above, or add the pump on the rig."
        )
    },
    no_product_rate: |n| format!("Pump {n} has no product rate. Fill it in on the rig."),
    no_plumbing: "How the lines run is not known well enough yet. Fill that in first:",
    to_plumbing: "To the lines",
    to_rig: "To the rig",
    refused,
    refused_at: |seconds, why| format!("At {seconds}: {why}"),
    refused_otherwise: "This pass cannot be worked out.",
    working: "Working out the pass",
    working_help: "Working out what would help",
    stale: "▲ Not up to date: the new pass is being worked out.",
    picture: "Dose on the ground",
    picture_of: "What is shown",
    product: "Product",
    carrier: "Carrier",
    picture_label: |of, length, nozzles| {
        format!(
            "{of} on the ground, {length} along the track and {nozzles} nozzles across the boom. Arrow keys move the place that is read."
        )
    },
    picture_hint: "Touch the picture, or move with the arrow keys; with Shift ten at a time, Home and End along the track.",
    along: "Driven from left to right",
    across: "Left end of the boom at the top, right end at the bottom",
    reading: |place, nozzle, of, section| format!("At {place}, nozzle {nozzle} of {of} (section {section}):"),
    reading_dose: |step, share, dose, carrier, rate| {
        format!("{share} of the product wanted, {dose}; {carrier} of the carrier, {rate}. {step}")
    },
    reading_none: "nothing was to be sprayed here.",
    scale: "Scale, in parts of what was wanted",
    under: |to| format!("under {to}"),
    between: |from, to| format!("{from} – {to}"),
    over: |from| format!("over {from}"),
    on_target: |range| format!("{range}: on target"),
    above_label: "above the label maximum",
    not_sprayed: "not to be sprayed",
    is_under: "▼ Under target.",
    is_on: "✓ On target.",
    is_over: "▲ Over target.",
    is_above_label: "▲▲ Above the label maximum.",
    along_track: "The picture in numbers",
    stretch: "Along the track",
    least_here: "Least",
    mean_here: "Mean",
    greatest_here: "Greatest",
    areas: "Shares of the area",
    areas_under: "▼ Under target",
    areas_on: "✓ On target",
    areas_over: "▲ Over target",
    areas_label: "▲▲ Above the label maximum",
    areas_label_of: |label| format!("Label maximum: {label}."),
    areas_no_label: "The rig gives no label maximum for this product, so none is checked.",
    areas_mean: "Mean over the area",
    summary: |on, under, over| format!("✓ {on} of the area on target, ▼ {under} under, ▲ {over} over."),
    first_product: |length| format!("First product on the ground at {length}."),
    no_product: "No product reaches the ground.",
    extremes: |greatest, greatest_at, least, least_at| {
        format!("Most: {greatest} at {greatest_at}. Least: {least} at {least_at}.")
    },
    balance: "Where the product goes",
    balance_start: "In the lines at the start",
    balance_in: "From the pump",
    balance_ground: "On the ground",
    balance_lines: "Left in the lines",
    balance_error: "Does not close by",
    wanted: |wanted, landed| format!("Wanted where the boom was on: {wanted}. Landed there: {landed}."),
    in_numbers: "The drawings in numbers",
    against_time: "Against time",
    speed: "Speed",
    flow: "Carrier flow",
    pressure: "Pressure",
    pressure_key: "Thick: at the nozzles. Dashed: at the supply.",
    pump_output: "Pump output",
    chart: |what, unit| format!("{what} in {unit}"),
    chart_text: |what, least, greatest, time| format!("{what}: between {least} and {greatest} in {time}"),
    time: "Time",
    at_nozzles: "Nozzles",
    at_supply: "Supply",
    help: "What would help",
    help_lead: |on| {
        format!("As it is, {on} of the area is on target. One change at a time, each driven anew:")
    },
    help_none: "No change that this program knows applies here.",
    remedy,
    brought: |gain, on, under, over| {
        format!("{gain} of the area: {on} on target, {under} under, {over} over.")
    },
    brings_nothing: "Does not help here.",
    brought_label: |share| format!("▲▲ {share} above the label maximum."),
    brought_pressure: |nozzles, supply| format!("Up to {nozzles} at the nozzles, {supply} at the supply."),
    small_lines: |n, worst| match n {
        1 => format!("▲ Makes a line too small: {worst}."),
        n => format!("▲ Makes {n} lines too small; the worst: {worst}."),
    },
    small_section: |section, drop| format!("section {section} loses {drop} of its pressure"),
    small_pipe: |pipe, velocity| format!("{pipe}, at {velocity}"),
    help_failed: "Cannot be worked out on these lines.",
    foot: "Worked out from what was keyed in, taken as right: plug flow through the lines, the console as described. Not a certificate. The label is the law; try it with clean water.",
};

fn ready(code: &str) -> (&'static str, &'static str) {
    match code {
        "ditch" => ("Once along the ditch", "Sets off, sprays a stretch, ends."),
        "culvert" => ("Round the culvert", "Slows for a corner and speeds up again."),
        "gates" => ("Past two gates", "A section shut for a stretch, then a stop."),
        "patch" => ("Over a thick patch", "Second rate for a stretch, then one press up."),
        _ => ("Across soft ground", "Slower than the minimum-speed hold; the lines flushed at the end."),
    }
}

fn kind(kind: StepKind) -> &'static str {
    match kind {
        StepKind::SetOff => "Set off",
        StepKind::Steady => "Steady",
        StepKind::Change => "Change speed",
        StepKind::Corner => "Slow for a corner",
        StepKind::Stop => "Stop and go",
        StepKind::Shut => "Sections shut",
        StepKind::Second => "Second rate",
        StepKind::Nudge => "Nudge",
        StepKind::Crawl => "Below the minimum-speed hold",
        StepKind::Flush => "Injection pump off",
        StepKind::End => "End of the pass",
    }
}

fn field(kind: Option<StepKind>, field: &str) -> (&'static str, &'static str) {
    match (field, kind) {
        ("speed", Some(StepKind::Corner)) => ("Speed in the corner", ""),
        ("speed", Some(StepKind::Crawl)) => ("Speed below the hold", ""),
        ("speed", _) => ("Speed to reach", ""),
        ("takes", Some(StepKind::Corner | StepKind::Crawl)) => {
            ("Time to slow", "And again to speed up to what it was.")
        }
        ("takes", Some(StepKind::Stop)) => ("Time to brake", "And again to speed up to what it was."),
        ("takes", _) => ("Time it takes", ""),
        ("stands", _) => ("Time standing", ""),
        ("sections", _) => ("Sections that are shut", "Numbers from the left, e.g. 1, 3-5"),
        ("presses", _) => ("Presses", "Above 0 up, below 0 down"),
        _ => ("Distance", ""),
    }
}

fn wrong(wrong: &Wrong, hold: &str) -> String {
    match wrong {
        Wrong::Missing => "This is needed.".to_owned(),
        Wrong::Unreadable => "This is no number that can be used; see the box.".to_owned(),
        Wrong::NotSections => "These are no section numbers. Write them like 1, 3-5.".to_owned(),
        Wrong::NoSection(n) => format!("The rig has no section {n}."),
        Wrong::Standing => "The rig stands here. Set off before, or begin with a speed.".to_owned(),
        Wrong::Moving => "The rig moves already. Take “Change speed” instead.".to_owned(),
        Wrong::NoPresses => "No press changes nothing. Above 0 is up, below 0 is down.".to_owned(),
        Wrong::NoSecondRate => {
            "This pump has no second rate. Fill it in on the rig, or take this out.".to_owned()
        }
        Wrong::NoNudge => "This pump has no nudge step. Fill it in on the rig, or take this out.".to_owned(),
        Wrong::NoHold => {
            "The rig has no minimum-speed hold. Fill it in on the rig, or take “Slow for a corner”."
                .to_owned()
        }
        Wrong::NotBelowHold(_) => format!("This is not below the rig’s minimum-speed hold of {hold}."),
        Wrong::Unknown => {
            "This version does not know this manoeuvre. Take it out, or open the drive in a later version."
                .to_owned()
        }
    }
}

fn refused(error: &PassError) -> &'static str {
    match error {
        PassError::WidthCount { .. } | PassError::Width { .. } => {
            "Not every nozzle of the lines belongs to a section with a width. Look at the lines."
        }
        PassError::Rate { .. } => "A rate of the rig is not above zero.",
        PassError::Number { .. } => "A nudge step, hold speed, time or pump limit is below zero.",
        PassError::Cell { .. } => "The drive is too long for this many nozzles. Make it shorter.",
        PassError::NoInjectionPoint => "The lines have no injection point.",
        PassError::Reverses { .. } => {
            "A line would be passed one way and then the other, which cannot be followed."
        }
        PassError::UnknownSection { .. } => "A manoeuvre shuts a section that the lines do not have.",
        PassError::Drive(_) => "The manoeuvres do not follow each other. Look at their speeds and times.",
        _ => WORDS.refused_otherwise,
    }
}

fn remedy(remedy: &Remedy, amount: &str) -> String {
    match remedy {
        Remedy::LeadIn { .. } => format!("Lead-in: start {amount} before the mark, boom and pump on"),
        Remedy::SmallerBore { .. } => {
            format!("Smaller bore: lines behind the injection point at {amount} of their bore")
        }
        Remedy::InjectionNearer { .. } => {
            "Injection nearer the boom: as near as one point can feed all of it".to_owned()
        }
        Remedy::SteadierSpeed { .. } => format!("Steadier speed: slow down {amount} less"),
        Remedy::HigherCarrierRate { .. } => format!("Higher carrier rate: {amount}"),
    }
}
