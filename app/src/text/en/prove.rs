//! The trials, in English.

use crate::text::number::percent;
use crate::text::prove::ProveWords;
use calc::catch_trial::NozzleState;
use calc::pump_trial::Slip;
use calc::ratio_trial::{Flag, TrialError};
use calc::section_check::SectionVerdict;
use calc::standing_run::Line;
use calc::uncertainty::Source;
use calc::verdict::{ToleranceSource, Verdict};
use records::trial::TrialKind;

pub(super) const WORDS: ProveWords = ProveWords {
    title: "Prove",
    caution: "Calibrate with clean water, never with product in the tank. Wear the label’s protective equipment: rinsed sprayers still hold residue. Look for leaks before you pressurise.",
    begin: "Begin a trial",
    past: "Trials of this rig",
    none_yet: "None yet.",
    open_still: "not finished",
    concluded: "finished",
    way: "How the truth is measured",
    way_jug: "By volume in a jug or tank",
    way_weight: "By weight on a scale",
    way_distance: "By the console’s distance",
    way_stopwatch: "By speed and stopwatch",
    way_wheel: "By the wheel and a tape",
    tape_says: "Tape says, over all turns",
    wheel_turn: |turn, per_metre| format!("The wheel rolls {turn} in a turn: {per_metre} pulses in a metre."),
    console_shows: "Console shows",
    jug_says: "Jug says",
    scale_full: "Scale, full",
    scale_empty: "Scale, empty",
    water_temperature: "Water temperature",
    watch_says: "Stopwatch says",
    cylinder_says: "Cylinder says",
    pump_output: "Output of the pump",
    gauge_shows: "Gauge shows",
    reference_shows: "Reference shows",
    nozzle: "Nozzle",
    sections_on: "Sections on",
    shown_flow: "Console: flow",
    shown_volume: "Console: volume",
    shown_area: "Console: area",
    drawn_volume: "Drawn or caught carrier",
    run: "Run",
    runs: "Runs",
    catches: "Catches",
    add_run: "Add run",
    out: "Out",
    back: "Back",
    direction: "Direction",
    setup: "How it is read",
    setup_hint: "Readings that nobody stated are guesses of what is usual. Change what you know better: the verdict rests on them.",
    tolerance: "Tolerance",
    notes: "Who, with what, notes",
    liquid: "Liquid",
    liquid_hint: "Water, or which product.",
    temperature: "Temperature of the liquid",
    outcome: "What came out",
    budget: "Where the uncertainty comes from",
    budget_hint: "Standard uncertainties as shares of the result (JCGM 100).",
    part: "Part",
    standard: "Standard uncertainty",
    unknown: "unknown",
    keyed_now: "Keyed in now",
    to_key: "Key in instead",
    uncertainty: "Uncertainty",
    course_hint: "By tape, from mark to mark.",
    waiting: "What comes out will stand here, anew with each run.",
    runs_spread: |runs, spread| match runs {
        1 => "1 run, spread unknown.".to_owned(),
        _ => format!("{runs} runs, spread {spread}."),
    },
    last: |verdict, on| format!("Last: {verdict}, {on}."),
    one_way: "Driven one way only. Drive back too: slope and wind then cancel.",
    one_more_run: "One run shows no spread, so no number can be taken from it.",
    take_hint: "It goes on the rig and its key-in sheet and ends the trial; the old number stays in the book. Key it into the console yourself.",
    gauge_plot: "Each reading’s error as a share of what is allowed there.",
    reopen: "Open it again",
    discard: "Take off the list",
    who: "Who is doing it",
    who_hint: "Stands beside every entry that is saved on this device.",
    advise_keep: |old| {
        format!(
            "The new number cannot be told from the old one: the difference is smaller than the uncertainty. Keep {old}, unless more runs say otherwise."
        )
    },
    advise_take: |old, new| format!("{old} is off by more than the uncertainty. Key in {new}."),
    same_in_steps: |old| format!("In the console’s steps the new number is the old one. Keep {old}."),
    rig_moved_on: |now, then| {
        format!(
            "The rig has {now} by now; these runs were made with {then}. The new number is worked out from {then}."
        )
    },
    outside_meter: |number, flow, least, greatest| {
        format!(
            "Run {number} was at {flow}, outside the meter’s rated {least} to {greatest}: it says little about the work."
        )
    },
    ended: |on| format!("Finished {on}. Nothing was changed on the rig."),
    ended_taken: |on, old, new| format!("Finished {on}. The rig has {new} instead of {old}."),
    take: "Put the new number on the rig",
    keep: "Keep the old number",
    conclude: "Finish this trial",
    off_by: "Off by",
    allowed: "Allowed",
    verdict: "Verdict",
    mean_flow: "Mean of the nozzles",
    cv: "Coefficient of variation",
    total_flow: "All together",
    flow: "Flow",
    of_nominal: "Of nominal",
    of_mean: "Of the mean",
    state: "State",
    expected: "Should show",
    after_a_minute: "Volume after one minute",
    nozzle_pressure: "Pressure at the nozzles",
    each_nozzle: "Each nozzle in a minute",
    prediction: "What should come out",
    pump_title: |n| format!("Pump trial: pump {n}"),
    take_out: |number| format!("Take out run {number}"),
    put_back: |number| format!("Put back run {number}"),
    coverage: |k| format!("Coverage factor {k} for 95 %."),
    error_detail: |error, expanded, tolerance, source| {
        format!(
            "Error {error}, uncertainty ±\u{a0}{expanded} (95\u{a0}%), allowed ±\u{a0}{tolerance}: {source}."
        )
    },
    exactly: |exact, convention| format!("{exact} before rounding; {convention}"),
    beyond_largest: |largest| {
        format!(
            "The console takes {largest} at most, so this cannot be keyed in. Choose another convention for it on the rig."
        )
    },
    gauge_detail: |expanded, source| format!("Uncertainty ±\u{a0}{expanded} (95\u{a0}%); {source}."),
    catch_summary: |nozzles, fine, worn, blocked| {
        format!("{nozzles} nozzles: {fine} fine, {worn} worn, {blocked} blocked.")
    },
    mean_of_nominal: |error, verdict| format!("{error} of nominal: {verdict}"),
    catch_limits: |nominal, nominal_source, mean, mean_source| {
        format!("Limits: ± {nominal} of nominal ({nominal_source}), ± {mean} of the mean ({mean_source}).")
    },
    sections_to: |n| {
        if n == 1 {
            "Section 1 on: console shows".to_owned()
        } else {
            format!("Sections 1 to {n} on: console shows")
        }
    },
    should_show: |width| format!("Should show {width}."),
    boom_error: |error| {
        format!("The whole boom shows {error}; area and rate on the ground are off by as much.")
    },
    section_switch: |n, on| format!("{n} {}", if on { "on" } else { "off" }),
    pump_after_a_minute: |n| format!("Pump {n} in a minute"),
    line_detail: |line, expected, seen| format!("{line}: expected {expected}, seen {seen}"),
    next_runs: |runs, size| {
        format!(
            "Not decided yet. Next: {runs} more {} of at least {size}.",
            if runs == 1 { "run" } else { "runs" }
        )
    },
    next_assumed: |runs, size| {
        format!(
            "One run shows no spread. Next: {runs} more {} of at least {size}.",
            if runs == 1 { "run" } else { "runs" }
        )
    },
    next_reference: |reachable, needed| {
        format!(
            "More runs will not decide it: the jug, tape or reference itself leaves ± {reachable}, and ± {needed} is needed. Take a better one."
        )
    },
    next_close: |needed| {
        format!(
            "What is left to the limit is so little (±\u{a0}{needed}) that very many runs would be needed. Make the runs larger and more alike; where the new number is sure, key it in and prove that one."
        )
    },
    products: [
        "Pump 1: cylinder says",
        "Pump 2: cylinder says",
        "Pump 3: cylinder says",
        "Pump 4: cylinder says",
        "Pump 5: cylinder says",
        "Pump 6: cylinder says",
    ],
    kinds,
    cautions,
    steps,
    setup_labels,
    verdicts: |verdict| match verdict {
        Verdict::Within => "Within",
        Verdict::Out => "Out",
        Verdict::NotProvenYet => "Not proven yet",
    },
    sources,
    tolerance_sources: |source| match source {
        ToleranceSource::Iso16122RateControl => "ISO 16122-2, sensors for rate control (from memory)",
        ToleranceSource::Iso16122NozzleFlow => "ISO 16122-2, nozzle flow (from memory)",
        ToleranceSource::Iso16122Gauge => "ISO 16122-2, pressure gauges (from memory)",
        ToleranceSource::NebraskaBoomMean => "University of Nebraska extension",
        ToleranceSource::ExtensionRate => "extension practice for application rates",
        _ => "as typed here",
    },
    tolerance_hints: |kind| match kind {
        TrialKind::Catch => {
            "Of the boom’s own mean. Empty: 5 %, University of Nebraska extension. Nominal is judged by 10 %, ISO 16122-2."
        }
        TrialKind::Gauge => "Empty: 0.2 bar up to 2 bar, 10 % above, ISO 16122-2 (from memory).",
        _ => "Empty: 5 %, ISO 16122-2 for meters and speed sensors (from memory).",
    },
    nozzle_states: |state| match state {
        NozzleState::Fine => "✓ Fine",
        NozzleState::Worn => "▲ Worn: replace",
        NozzleState::Blocked => "▼ Blocked: clean with a soft brush, catch again",
        NozzleState::Contradictory => "? High one way, low the other: check pressure and nozzle size",
        _ => "? Not proven yet: catch longer",
    },
    section_verdicts: |verdict| match verdict {
        SectionVerdict::Agrees => "agrees",
        SectionVerdict::TooWide => "too wide",
        SectionVerdict::TooNarrow => "too narrow",
        SectionVerdict::NotSeen => "not seen by the console: switch, wiring or a width of zero",
        _ => "not read yet",
    },
    // Common practice, no source: a width keyed in feet where inches were wanted shows a twelfth.
    section_hints: |ratio| {
        let near = |expected: f64| (ratio / expected - 1.0).abs() < 0.02;
        if near(1.0 / 12.0) {
            Some("A twelfth: it looks as if feet were keyed where inches are wanted.")
        } else if near(12.0) {
            Some("Twelve times: it looks as if inches were keyed where feet are wanted.")
        } else if near(2.54) || near(1.0 / 2.54) {
            Some("By 2.54: it looks as if inches and centimetres were mixed up.")
        } else if near(3.2808) || near(0.3048) {
            Some("By 3.28: it looks as if feet and metres were mixed up.")
        } else if near(10.0) || near(0.1) {
            Some("Ten times off: look at the decimal point.")
        } else {
            None
        }
    },
    lines: |line| match line {
        Line::ShownFlow => "Flow on the console".to_owned(),
        Line::ShownVolume => "Volume on the console".to_owned(),
        Line::ShownArea => "Area on the console".to_owned(),
        Line::ShownProduct(idx) => format!("Product of pump {} on the console", idx + 1),
        Line::DrawnCarrier => "Carrier drawn or caught".to_owned(),
        Line::DrawnProduct(idx) => format!("Product drawn by pump {}", idx + 1),
        Line::CaughtAtNozzle => "Caught at one nozzle".to_owned(),
        _ => "Pressure at the nozzles".to_owned(),
    },
    flags: |flag, number| match flag {
        Flag::SingleRun => {
            "A single run shows no spread, so nothing is proven by it. Add at least one more, better two."
                .to_owned()
        }
        Flag::Outlier { deviation, .. } => format!(
            "Run {number} lies {} away from the others, further than chance explains. Look at what was read; take it out only if you know why.",
            percent(deviation.as_fraction(), 2)
        ),
        Flag::Scatter { spread, limit } => format!(
            "The runs disagree wildly: they spread by {}, more than the {} that is allowed. Look for air, a leak or a reading slip before trusting any of them.",
            percent(spread.as_fraction(), 2),
            percent(limit.as_fraction(), 2)
        ),
        Flag::FarFromOne { ratio } => format!(
            "The console shows {} times the truth. That is no drift: look for a wrong unit or a wrong digit in the number.",
            crate::text::number::significant(*ratio, 3)
        ),
        Flag::CoarseReadings { expanded, .. } => format!(
            "One run can be read to ± {} only. Make the runs larger, or read finer.",
            percent(expanded.as_fraction(), 2)
        ),
        _ => String::new(),
    },
    refusals,
    setup_problem: |label, problem| format!("{label}: {problem}"),
    run_problem: |number, problem| format!("Run {number}: {problem}"),
    direction_gap: |gap, told_apart| {
        if told_apart {
            format!(
                "Out reads {gap} against back. They differ: slope, wind, slip or the marks. Use both directions in equal numbers."
            )
        } else {
            format!("Out reads {gap} against back: no difference that these runs could show.")
        }
    },
    slips: |slip, least, greatest| match slip {
        Slip::OneOutput => {
            "All runs are at one output. A pump that slips at one end shows only at several.".to_owned()
        }
        Slip::SpreadUnknown => {
            "Two runs at each output are needed before the ends can be compared.".to_owned()
        }
        Slip::NotSeen => "No difference between the outputs that these runs could show.".to_owned(),
        Slip::AtLeast => format!(
            "At the least output the pump reads {least} against the rest: it slips or leaks there. Keep above it, or have it mended."
        ),
        Slip::AtGreatest => format!(
            "At the greatest output the pump reads {greatest} against the rest: it cannot follow there. Keep below it."
        ),
        _ => "The pump reads differently at different outputs without an order. Look for air in the line."
            .to_owned(),
    },
    rig_lacks: "The rig does not say enough for a prediction: section widths, the carrier rate or pressure, and the nozzles are needed.",
};

fn kinds(kind: TrialKind) -> (&'static str, &'static str) {
    match kind {
        TrialKind::Meter => ("Meter trial", "The carrier meter against a jug, a tank or a scale."),
        TrialKind::Course => ("Course trial", "Distance or speed against a taped course, both ways."),
        TrialKind::Pump => ("Pump trial", "An injection pump against a graduated cylinder."),
        TrialKind::Catch => ("Nozzle catch", "Every nozzle into a jug: worn, blocked, fine."),
        TrialKind::Sections => {
            ("Section check", "The width that the console should show, section by section.")
        }
        TrialKind::Gauge => ("Gauge trial", "The pressure gauge against a reference."),
        TrialKind::Standing => {
            ("Standing run", "The whole rig with the truck still: predicted against seen.")
        }
    }
}

fn cautions(kind: TrialKind) -> &'static str {
    match kind {
        TrialKind::Course => {
            "Drive the course only where it is safe to. Clean water, boom off. Somebody else reads the console."
        }
        TrialKind::Pump => {
            "Draw clean water, not product, through the pump for this. Concentrate is the most dangerous liquid on the rig: wear the \
             label’s protective equipment all the same, the lines still hold some."
        }
        TrialKind::Catch => {
            "Clean water. Park, brake and chock before you walk along a running boom; keep clear of shafts. Wear gloves and eye \
             protection. Clean a nozzle with a soft brush, never with metal or the mouth."
        }
        TrialKind::Sections => "Clean water or boom dry. Park, brake and chock.",
        TrialKind::Gauge => "Let the pressure off before you unscrew anything. Clean water.",
        _ => {
            "Clean water. Park, brake and chock before you catch output. Wear the label’s protective equipment: rinsed sprayers \
             still hold residue."
        }
    }
}

fn steps(kind: TrialKind, way: &str) -> &'static [&'static str] {
    match (kind, way) {
        (TrialKind::Meter, "weight") => &[
            "Clean water in the tank, no air in the line. Weigh the vessel empty.",
            "Set the console’s volume to zero. Run the water through the meter into the vessel, at a flow that the work will use.",
            "Weigh it full, take the water’s temperature, type what the console shows, then add the run. Three runs at least.",
        ],
        (TrialKind::Meter, _) => &[
            "Clean water in the tank, no air in the line. Set the console’s volume to zero.",
            "Run the water through the meter into the jug or tank, at a flow that the work will use.",
            "Type what the console shows and what the jug says, then add the run. Three runs at least; large ones prove more than many small ones.",
        ],
        (TrialKind::Course, "stopwatch") => &[
            "Tape a straight, level course, 100 ft (30 m) at least, and mark both ends. Tyres as in work, tank half full.",
            "Take a run-up, so that the speed is steady at the first mark. Start the watch there, stop it at the second.",
            "Type the speed that the console held. Drive out and back, equally often.",
        ],
        (TrialKind::Course, "wheel") => &[
            "Tyre pressure and load as in work, tank half full, on the ground that is worked. Chalk the wheel where it stands, and the ground under the mark.",
            "Roll forward, slowly and straight, until the mark has come round ten times. Chalk the ground again.",
            "Tape from mark to mark, type it, then add the run. Roll three times at least. Pulses in a turn stand on the sensor’s sheet, or count its targets.",
        ],
        (TrialKind::Course, _) => &[
            "Tape a straight, level course, 100 ft (30 m) at least, and mark both ends. Tyres as in work, tank half full.",
            "Stop with one wheel on the first mark and set the console’s distance to zero; stop with it on the second and read.",
            "Drive it out and back, equally often. A longer course proves more.",
        ],
        (TrialKind::Pump, _) => &[
            "Clean water in place of the product, suction line full, no air. Fill a graduated cylinder and let the pump draw from it, or catch what it gives.",
            "Run at one output, better at two or three: near the least, in the middle, near the greatest.",
            "Type what the console counted and what the cylinder says, with the output or the seconds.",
        ],
        (TrialKind::Catch, _) => &[
            "Bring the boom to working pressure and read the gauge.",
            "Catch each nozzle for the same time, 20 to 60 seconds.",
            "Type the catches one after the other.",
        ],
        (TrialKind::Sections, _) => &[
            "Switch the sections on one by one from the left.",
            "After each, type the width that the console shows.",
        ],
        (TrialKind::Gauge, _) => &[
            "Put a checked gauge beside the rig’s own, at the same height and as near to the nozzles as the work allows.",
            "Let both needles rest, then read both, at three or more pressures across the working range, up and down again.",
        ],
        (TrialKind::Standing, _) => &[
            "Set the console to the standing-test speed and switch on the sections below.",
            "Start the stopwatch with the boom; stop both together.",
            "Type what was seen and caught. What was not read stays empty.",
        ],
    }
}

fn setup_labels(field: &str) -> &'static str {
    match field {
        "number" => "Number keyed in during the runs",
        "readout_step" => "Smallest step of the console’s readout",
        "jug_step" => "Smallest graduation of the jug",
        "jug_tolerance" => "Jug may be off by",
        "scale_step" => "Smallest step of the scale",
        "scale_tolerance" => "Scale may be off by",
        "course" => "Length of the course",
        "turns" => "Turns of the wheel",
        "pulses_per_turn" => "Pulses in a turn",
        "tape_step" => "Smallest graduation of the tape",
        "tape_tolerance" => "Tape may be off by",
        "marks" => "Marks hit to within",
        "length_step" => "Smallest step of the length shown",
        "speed_step" => "Smallest step of the speed shown",
        "stopwatch" => "Stopwatch by hand is good to",
        "pressure" => "Pressure at the nozzles",
        "specific_gravity" => "Density of the liquid",
        "gauge_step" => "Smallest graduation of the gauge",
        "reference_step" => "Smallest graduation of the reference",
        "reference_tolerance" => "Reference may be off by",
        "speed" => "Speed that the console pretends",
        "sections" => "Section widths on the rig",
        "convention" => "How the console counts",
        "tolerance" => "Tolerance",
        "pump" => "Which pump",
        _ => "Setup",
    }
}

fn sources(source: Source) -> &'static str {
    match source {
        Source::Spread => "Spread of the runs",
        Source::ConsoleStep => "Step of the console’s readout",
        Source::VesselStep => "Graduation of the jug",
        Source::VesselTolerance => "What the jug may be off",
        Source::ScaleStep => "Step of the scale",
        Source::ScaleTolerance => "What the scale may be off",
        Source::WaterTemperature => "Temperature of the water",
        Source::AirLift => "Lift of the air",
        Source::StopwatchStep => "Step of the stopwatch",
        Source::StopwatchHand => "Starting and stopping by hand",
        Source::TapeStep => "Graduation of the tape",
        Source::TapeTolerance => "What the tape may be off",
        Source::CourseMarks => "Hitting the marks",
        Source::GaugeStep => "Graduation of the gauge",
        Source::ReferenceStep => "Graduation of the reference",
        Source::ReferenceTolerance => "What the reference may be off",
        Source::Pressure => "Pressure that was read",
        _ => "Other",
    }
}

fn refusals(number: Option<usize>, error: &TrialError) -> String {
    let run = number.map_or_else(String::new, |n| format!("Run {n}: "));
    let what = match error {
        TrialError::IndicatedZero { .. } => {
            "the console showed nothing although liquid flowed or distance was driven. Look at the sensor, its plug and whether counting was on; this run cannot be used."
        }
        TrialError::Indicated { .. } => "what the console showed must be a number above zero.",
        TrialError::Actual { .. } => "what was measured must be a number above zero.",
        TrialError::Absurd { .. } => {
            "the two readings are so far apart that one of them has a wrong unit or digit."
        }
        TrialError::Weighing { .. } => "the full weight must be more than the empty one.",
        TrialError::Temperature { .. } => {
            "the temperature of the water must lie between 0 and 40 °C (32 and 104 °F)."
        }
        TrialError::Width { .. } => "a step or tolerance cannot be negative.",
        TrialError::Tolerance { .. } => "the tolerance must be above zero.",
        TrialError::Number { .. } => "the number keyed in must be above zero.",
        _ => "a reading is not possible: check its number and unit.",
    };
    match number {
        Some(_) => format!("{run}{what}"),
        // Alone it is a sentence and begins like one.
        None => {
            let mut chars = what.chars();
            chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
        }
    }
}
