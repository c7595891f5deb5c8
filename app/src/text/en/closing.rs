//! The closing balance, in English.

use crate::bridge::closing::readings::Wrong;
use crate::text::closing::ClosingWords;
use crate::text::number;
use calc::balance::{Ratio, Separation};

pub(super) const WORDS: ClosingWords = ClosingWords {
    title: "Closing balance",
    more: "What the tanks lost against what the console counted, at the end of a job or a day.",
    caution: "Read the tanks before anything is rinsed or refilled, on level ground. Wear what the label asks for when measuring product. These are calculations from what was typed, not a certificate.",
    begin: "Close a day",
    past: "Days so far",
    none_yet: "No day of this rig was closed yet.",
    name: "Name of the day",
    name_hint: "Date of the work, place, crew: whatever tells it from the others.",
    job_name: "Name of the job",
    job: |n| format!("Job {n}"),
    load: |n| format!("Load {n}"),
    n_jobs: |n| if n == 1 { "1 job".to_owned() } else { format!("{n} jobs") },
    other_day: |job, on| format!("{job} (day of {on})"),
    ground: "What is known of the ground",
    by_area: "Its area",
    by_strip: "A strip: length × width",
    of_ground: |field| match field {
        "area" => "Area treated",
        "length" => "Length driven with the boom on",
        "width" => "Width wetted",
        "shown_area" => "Console: area",
        "shown_distance" => "Console: distance",
        _ => "Reading",
    },
    planned: |what| format!("Planned rate: {what}"),
    plan: "Rates planned",
    carrier: "carrier",
    pump: |n, product| if product.is_empty() { format!("pump {n}") } else { format!("pump {n}, {product}") },
    of_liquid: |field, liquid| match field {
        "loaded" => format!("Loaded: {liquid}"),
        "left" => format!("Left over: {liquid}"),
        "shown" => format!("Console, volume: {liquid}"),
        _ => liquid.to_owned(),
    },
    how_well: "How well these were read",
    how_read: |label| format!("{label}, how it was read"),
    give: |label| format!("{label}, give or take"),
    give_usual: |give, way| {
        format!("Empty: ±\u{a0}{give} ({way}; common practice, no source). At 95\u{a0}%.")
    },
    give_empty: "How far it may be off, at 95\u{a0}%. Empty: by how it was read.",
    way: |code| match code {
        "dip" => "dip stick",
        "sight" => "sight tube",
        "meter" => "fill meter",
        "scale" => "scale",
        "jug" => "jug or marked container",
        "map" => "map or survey",
        "gps" => "walked or driven with GPS",
        "tape" => "tape",
        "wheel" => "measuring wheel",
        "console" => "console’s counter",
        _ => "guessed",
    },
    add_load: "Add a load",
    add_job: "Add a job",
    take_out: |what| format!("Take out {what}"),
    put_back: "Put back what was taken out",
    wrong: |wrong| {
        match wrong {
        Wrong::Field(_) => "It cannot be read.".to_owned(),
        Wrong::LeftOverLoaded => {
            "As much or more is left than was loaded. Check both readings and their units. Until then this load is left out.".to_owned()
        }
        Wrong::CountedNothing => {
            "The console counted nothing: that is no ratio but a counter that did not run or was cleared. Leave the box empty if it was cleared. It is left out here.".to_owned()
        }
        Wrong::Absurd(ratio) => format!(
            "That is {} times what is known to have been there. Check the units of both. It is left out until then.",
            number::significant(*ratio, 2)
        ),
        Wrong::TooRough(give) => format!(
            "What was used is known to ±\u{a0}{} only: too rough to conclude anything. It is left out. A larger load, or a finer reading, would count.",
            number::percent(*give, 2)
        ),
    }
    },
    left_out: |place, why| format!("{place}: {why}"),
    left_out_elsewhere: |on, n| {
        let readings = if n == 1 { "1 reading is".to_owned() } else { format!("{n} readings are") };
        format!("Of the day of {on} {readings} left out; that day says why.")
    },
    outcome: "What it adds up to",
    waiting: "Nothing to compare yet. For the meter: loaded, left over and the console’s volume. For width and speed: the area treated and the console’s area.",
    refused: "These readings cannot be balanced: how well they are known lies too far apart. Check the boxes “give or take”.",
    speed: "speed and distance",
    width: "width",
    meter: "carrier meter",
    interval: |low, high| format!("{low} to {high} at 95\u{a0}%"),
    justified: |old, new| {
        format!("Off by more than its uncertainty, and nothing else explains it: {old} should be {new}.")
    },
    justified_width: "Off by more than its uncertainty, and nothing else explains it. Tape the sections and correct their widths on the rig.",
    same_in_steps: |old| format!("Off by less than the console’s step: keep {old}."),
    keep: "It cannot be told from right: keep the number.",
    separate_first: "It may be this one; see below what it cannot be told apart from. Do not correct it yet.",
    nothing_known: |ratio| match ratio {
        Ratio::Speed => {
            "These readings say nothing about it. A strip of taped length with the console’s distance would."
        }
        Ratio::Width => "These readings say nothing about it. The area treated and the console’s area would.",
        Ratio::Meter => {
            "These readings say nothing about it. Loaded, left over and the console’s volume of a load would."
        }
        _ => {
            "These readings say nothing about it. Product loaded, left over and the console’s volume of it would."
        }
    },
    put_on_rig: |new| format!("Put {new} on the rig"),
    put_hint: "It goes on the rig and its key-in sheet; the old number stays in the book. Key it into the console yourself.",
    done: |old, new| format!("The rig has {new} instead of {old} because of this day."),
    prove_by: |by| match by {
        Separation::Course => "Prove it: course trial".to_owned(),
        Separation::Tape => "Tape the sections".to_owned(),
        Separation::Meter => "Prove it: meter trial".to_owned(),
        Separation::Pump(pump) => format!("Prove it: pump trial, pump {}", pump + 1),
    },
    confounded: |[a, b], off, interval, by| {
        format!(
            "{a} and {b} cannot be told apart here: the same readings speak of both. Together the console shows {off} ({interval}). {by}"
        )
    },
    separation: |by| match by {
        Separation::Course => "A drive over a taped course would separate them best.".to_owned(),
        Separation::Tape => "A tape along the boom, section by section, would separate them best.".to_owned(),
        Separation::Meter => {
            "Catching carrier against the counted volume would separate them best.".to_owned()
        }
        Separation::Pump(pump) => {
            format!(
                "Catching the product of pump {} against its counted volume would separate them best.",
                pump + 1
            )
        }
    },
    what_to_know: "What to know about it",
    odd_first: "One of its readings does not fit; see below. Settle that first, and do not correct the number yet.",
    misfit_alone: |place, what, alone| {
        format!(
            "{place}: {what}, console {alone} of what was used or treated. That is far from what was known beforehand: look for a slip in the readings and their units before you believe it. Another load would tell."
        )
    },
    misfit: |place, what, alone| {
        format!(
            "{place} does not fit the others: {what}, console {alone} of what was used or treated, by itself. Look for a slip in its readings, a refill that nobody wrote down, a counter that was cleared late."
        )
    },
    all_fit: "Every load fits the others within what chance allows.",
    one_comparison: |what| {
        format!(
            "Only one comparison speaks of: {what}. A slip in it could not be seen. Another load or day would show one."
        )
    },
    no_rest: |place| format!("{place}: what is left over is not known, so it is not known what was used."),
    rates: "What really went on",
    no_rate: "Not known: the area, or the volume of one of the loads, is missing.",
    rate_more: |low, high| format!("{low} to {high} at 95\u{a0}%"),
    rate_planned: |planned, off| match off {
        Some(off) => format!("planned {planned}: {off}"),
        None => format!("planned {planned}"),
    },
    rate_shown: |shown| format!("by the console {shown}"),
    label_below: |most| format!("at or below the label’s {most}"),
    label_above: |place, product, most, low, high| {
        format!("{place}: {product} went on above the largest rate of its label, {most}: {low} to {high}.")
    },
    label_open: |place, product, most, low, high| {
        format!(
            "{place}: {product} may have gone on above the largest rate of its label, {most}: {low} to {high}."
        )
    },
    label_law: "The label is the law where the product is used. Ask whoever holds the licence before going on.",
    priors: "What was known beforehand",
    priors_hint: "From the last concluded trials of this rig. It does not widen with age by itself: type a wider share where the rig was worked hard since.",
    prior_trial: |on, days, off, give| {
        let age = match days {
            Some(1) => ", 1 day before".to_owned(),
            Some(days) if days > 1 => format!(", {days} days before"),
            _ => String::new(),
        };
        format!("Trial of {on}{age}: console {off}, ±\u{a0}{give}.")
    },
    prior_taped: |on, days, give| {
        let age =
            days.filter(|days| *days > 1).map(|days| format!(", {days} days before")).unwrap_or_default();
        format!("Section widths marked as measured, {on}{age}: ±\u{a0}{give} (common practice, no source).")
    },
    prior_typed: |off, give| format!("As typed: console {off}, ±\u{a0}{give}."),
    prior_nothing: |give| {
        format!(
            "Nothing was proven: ±\u{a0}{give}, as wide as published field observations of wrong numbers."
        )
    },
    prior_box: |what| format!("May be off, {what}"),
    see_trial: "See the trial",
    with: "Other days of this rig to take along",
    with_hint: "Several days together sharpen the estimates. What the console counted is put as today’s numbers would have counted it.",
    with_none: "There is no other day of this rig.",
    print: "Print the record",
    discard: "Take off the list",
    readings: "Readings",
    of: "Of",
    loaded: "Loaded or known",
    left: "Left over",
    console: "Console",
    to_closing: "Closing balance",
    by_closing: "Taken over from a closing balance",
    item: |name, jobs| {
        let jobs = if jobs == 1 { "1 job".to_owned() } else { format!("{jobs} jobs") };
        if name.is_empty() {
            format!("Closing balance: {jobs}")
        } else {
            format!("Closing balance: {name}, {jobs}")
        }
    },
    setup: "What was keyed in that day",
    taken: |what| format!("Put on the rig: {what}"),
};
