//! Readings that do not add up, in English.

use crate::text::adds_up::AddsUpWords;
use calc::diagnosis::{Cause, CheckKind, ContradictionKind, How, Outcome, SlipKind, What};

pub(super) const WORDS: AddsUpWords = AddsUpWords {
    title: "Doesn’t add up",
    ask: "Doesn’t add up?",
    lead: "Type what the console shows and what you know to be true, from a jug, a tape, a stopwatch. Leave out what you only believe.",
    caution: "Check with clean water only. Wear gloves and what the label asks for before you touch a nozzle, a filter or a product line, \
              and take the pressure off first. Do not spray product to find out. The product label is the law where it is used.",
    begin: "Type readings",
    past: "Readings of this rig",
    none_yet: "None yet.",
    runs: |n, readings| {
        let runs = if n == 1 { "1 run".to_owned() } else { format!("{n} runs") };
        if readings == 1 { format!("{runs}, 1 reading") } else { format!("{runs}, {readings} readings") }
    },
    from_trial: "The trial that they come from",
    lacking: |names| format!("Before readings can be compared the rig has to say: {names}."),
    describe: "Describe it on the rig",
    run: |n| format!("Run {n}"),
    add_run: "Another run",
    remove_run: |n| format!("Take run {n} out"),
    motion: "The rig was",
    standing: "standing",
    driving: "driving",
    carrier: "The carrier was",
    regulated: "regulated",
    manual: "left in manual",
    sections_and_products: "Sections on, product rates",
    rate_in_force: |pump| format!("Product {pump} was on"),
    first_rate: "its rate",
    second_rate: "its second rate",
    pump_off: "off",
    presses: |pump| format!("Product {pump}: nudge presses"),
    presses_hint: "Up is above zero, down below.",
    shown: "The console shows",
    known: "Known to be true",
    more_readings: "More readings",
    how_well: "How well it was read",
    how_well_hint: "How far a reading may be off, 19 times in 20, besides its last digit. Empty: what is usual.",
    give_or_take: |reading| format!("{reading}, give or take"),
    usual_share: |share| format!("Usual: {share}"),
    read_back: "Read back from the console’s set-up page",
    read_back_hint: "As the console shows it, in its own unit.",
    result: "What would explain it",
    nothing_typed: "What would explain it will stand here, anew with each reading.",
    label: |what| {
        let of = |name: &str, pump: usize, more: &str| format!("{name} {}{more}", pump + 1);
        match what {
            What::ShownFlow => "Console: flow".to_owned(),
            What::ShownVolume => "Console: volume".to_owned(),
            What::ShownSpeed => "Console: speed".to_owned(),
            What::ShownDistance => "Console: distance".to_owned(),
            What::ShownWidth => "Console: width".to_owned(),
            What::ShownArea => "Console: area".to_owned(),
            What::ShownRate => "Console: rate".to_owned(),
            What::ShownProductVolume(pump) => of("Console: product", pump, " volume"),
            What::ShownProductRate(pump) => of("Console: product", pump, " rate"),
            What::Volume => "Caught or dipped".to_owned(),
            What::Flow => "Flow by another meter".to_owned(),
            What::Time => "Stopwatch: time".to_owned(),
            What::Width => "Tape: sprayed width".to_owned(),
            What::Distance => "Tape: distance".to_owned(),
            What::Speed => "Stopwatch: speed".to_owned(),
            What::Area => "Area covered".to_owned(),
            What::ProductVolume(pump) => of("Product", pump, " drawn"),
            What::NozzleFlow => "Flow of one nozzle".to_owned(),
            What::Pressure => "Pressure at the nozzles".to_owned(),
            _ => "Reading".to_owned(),
        }
    },
    back_label: |entry| format!("Read back: {}", lower(entry)),
    in_run: |label, run| format!("{label} (run {run})"),
    left_out: |label, problem| format!("{label} is left out. {problem}"),
    unused: |labels| {
        format!("Left aside, because this rig and this way of running give it no meaning: {labels}.")
    },
    no_section: |run| format!("Run {run} is left out: no section is on. Switch on those that sprayed."),
    outcome: |outcome| match outcome {
        Outcome::NothingToCompare => (
            "Nothing to compare yet",
            "What is typed meets nothing else that is typed and no number of the sheet. Add a reading of the same thing from the other side: a jug \
             to a counted volume, a tape to a distance, a stopwatch to a volume.",
        ),
        Outcome::Contradictory => (
            "The readings contradict each other",
            "Sort that out first. What stands below is only what would follow if it were.",
        ),
        Outcome::NothingWrong => (
            "Nothing is wrong that these readings could show",
            "Everything lies within what a display, a jug and a stopwatch can do.",
        ),
        Outcome::NothingExplains => (
            "No single cause explains these readings",
            "Two things are wrong, or a reading is. Repeat the reading that fits worst, then read the numbers back from the console one by one.",
        ),
        Outcome::Found { sure: true } => {
            ("Found", "It fits every reading, and nothing else on the list does.")
        }
        Outcome::Found { .. } => (
            "Most likely found",
            "It explains the readings better than anything else. Prove it before you change anything.",
        ),
        Outcome::Alike => (
            "These readings cannot tell them apart",
            "Those marked alike predict the same for everything that was read. The check below parts them.",
        ),
        _ => ("Several things would explain it", "None stands out yet. The check below says most."),
    },
    one_comparison: "There is only one comparison: it can point at something, it proves nothing. Never lean on a lone reading.",
    blind: "In regulated mode the display sits on its target whatever the meter number is. Nothing typed here could show a wrong meter number: \
            catch or dip the carrier.",
    held: "The minimum-speed hold was probably in force: below it the output no longer follows the speed.",
    explanations: "What would explain it",
    how_sure: |share, percent| {
        let word = match share {
            s if s >= 0.99 => "As good as certain",
            s if s >= 0.9 => "Very likely",
            s if s >= 0.6 => "Likely",
            s if s >= 0.3 => "Quite possible",
            s if s >= 0.05 => "Possible",
            _ => "Unlikely",
        };
        format!("{word}: {percent} of all that is thinkable")
    },
    alike: "Alike: these readings cannot tell it from the first",
    unlisted: |percent| format!("Something that is on no list: {percent}."),
    keyed_as: |entry, wanted, keyed| format!("{entry}: {wanted} was keyed as {keyed}"),
    sheet_wrong: |entry, sheet, wanted| format!("{entry}: the sheet says {sheet}, right would be {wanted}"),
    drifted: |entry, keyed, wanted| format!("{entry}: {keyed} no longer fits, about {wanted} would"),
    other_number: |entry, wanted, keyed| {
        format!("{entry}: something like {keyed} is keyed in where {wanted} fits")
    },
    drift_more: "drift, wear, or a number that no trial has touched",
    other_more: "by no slip of a known kind",
    slip: |kind| match kind {
        SlipKind::PerHectareForPerAcre => "a rate per hectare keyed in where per acre is wanted",
        SlipKind::PerAcreForPerHectare => "a rate per acre keyed in where per hectare is wanted",
        SlipKind::DecimalPlace(_) => "the decimal mark in the wrong place",
        SlipKind::SwappedDigits(_) => "two neighbouring digits swapped",
        SlipKind::DoubledDigit(_) => "a digit keyed twice",
        SlipKind::DroppedDigit(_) => "a digit left out",
        SlipKind::StampedInConsole => "the number stamped on the part is still in the console",
        _ => "a slip",
    },
    other_form: |meant_for| format!("the number for {meant_for}"),
    other_entry: |entry| format!("the number of another entry: {}", lower(entry)),
    on_sheet: |slip| format!("on the sheet already: {slip}"),
    fault: |cause, how, factor| match cause {
        Cause::NothingWrong => {
            ("Nothing is wrong".to_owned(), "the readings lie within what they can be off by")
        }
        Cause::SectionLeftOut(n) => (
            format!("Section {} sprays and the console does not count it", n + 1),
            "its switch or its wiring",
        ),
        Cause::SectionTwice(n) => {
            (format!("The console counts section {} twice", n + 1), "its switch or its wiring")
        }
        Cause::SectionValveShut(n) => (
            format!("Section {} is counted and does not spray", n + 1),
            "its valve is shut or its filter blocked",
        ),
        Cause::NozzlesBlocked => (
            match how {
                How::Count(1) => "1 nozzle does not spray".to_owned(),
                How::Count(n) => format!("{n} nozzles do not spray"),
                _ => "Nozzles do not spray".to_owned(),
            },
            "blocked tips or check valves",
        ),
        Cause::WornNozzles => {
            (format!("The nozzles give {factor} more than their nominal flow"), "worn tips")
        }
        Cause::AirInLine(n) => (
            format!("The pump of product {} delivers {factor} less than it counts", n + 1),
            "air in its line, a leaking valve, a tank nearly empty",
        ),
        Cause::TankEmpty(n) => {
            (format!("Product {}: the pump turns and nothing comes", n + 1), "an empty tank or a shut tap")
        }
        Cause::WheelSlip => (
            format!("The wheel turns {factor} further than the rig moves"),
            "slip on soft or wet ground, or a tyre with less pressure",
        ),
        Cause::HoldActive => (
            "The minimum-speed hold is in force".to_owned(),
            "slower than the hold the console keeps the output that it would give at the hold",
        ),
        Cause::OtherRateOn(n) => {
            (format!("Product {} is on its other rate", n + 1), "the rate switch was left where it was")
        }
        Cause::NudgeLeftOn(n) => (
            match how {
                How::Presses(1) => format!("Product {}: the nudge is one press up", n + 1),
                How::Presses(-1) => format!("Product {}: the nudge is one press down", n + 1),
                How::Presses(by) if by < 0 => format!("Product {}: the nudge is {} presses down", n + 1, -by),
                How::Presses(by) => format!("Product {}: the nudge is {by} presses up", n + 1),
                _ => format!("Product {}: a nudge was left on", n + 1),
            },
            "more than was thought",
        ),
        _ => ("Something else".to_owned(), ""),
    },
    misread: |label| format!("One reading is not right: {label}"),
    misread_more: "a jug’s other scale, a stopwatch started late, a digit misread. Take it again",
    or_else: |other| format!("or {other}"),
    table: "Predicted against seen",
    reading: "Reading",
    seen: "Seen",
    predicted: "Predicted",
    fits: "Fits",
    fit: |misfit, times| match misfit.abs() {
        by if by <= 1.0 => "yes".to_owned(),
        by if by <= 2.0 => format!("yes, just ({times} u)"),
        _ => format!("no ({times} u)"),
    },
    check: "The one check that tells most",
    check_text: |kind, name| match kind {
        CheckKind::ReadBack(_) => format!("Read back from the console’s set-up page: {}.", lower(name)),
        CheckKind::Reading { .. } => format!("Take one more reading: {name}."),
        CheckKind::Again { .. } => format!("Take this reading again: {name}."),
        CheckKind::MeterTrial => {
            "Run a meter trial: catch or weigh clean water against the counted volume.".to_owned()
        }
        CheckKind::CourseTrial => "Run a course trial on firm, level ground.".to_owned(),
        CheckKind::PumpTrial(_) => format!("Run a trial of pump {name}, its line as it is."),
        CheckKind::BledPumpTrial(_) => format!("Bleed the line of pump {name}, then run its trial."),
        CheckKind::SectionCheck(_) => {
            format!("Switch on section {name} alone and read the width on the console.")
        }
        CheckKind::TapeSection(_) => format!("Tape section {name}: nozzles times spacing."),
        CheckKind::NozzleTrial => "Catch nozzles at a pressure that you measure.".to_owned(),
        CheckKind::LookAtNozzles => {
            "Walk along the boom with clean water on and count what does not spray.".to_owned()
        }
        CheckKind::LookIntoTank(_) => {
            format!(
                "Look into product tank {name} and at its tap, with the gloves and goggles that the label asks for."
            )
        }
        _ => String::new(),
    },
    if_so: |cause, expected| format!("{cause}: expect {expected}"),
    too_much: |percent| format!("the console {percent} against the truth"),
    tank: |empty| if empty { "nothing in it, or nothing coming" } else { "product in it" },
    spray: |percent| format!("{percent} of the nozzles spraying"),
    of_nominal: |percent| format!("{percent} of the nominal flow"),
    open_trial: |title| format!("Open: {}", lower(title)),
    to_box: |label| format!("Type it: {}", lower(label)),
    to_rig: "Change it on the rig",
    prove: |title| format!("Prove it: {}", lower(title)),
    put_on_rig: |entry, wanted| format!("Put {wanted} on the rig as {}", lower(entry)),
    key_again: |entry, wanted| {
        format!(
            "The sheet is right. Key {wanted} into the console as {}, then press below so that the book says it.",
            lower(entry)
        )
    },
    keyed_again: |entry, wanted| format!("{wanted} is keyed in as {}", lower(entry)),
    put_right: "Put right",
    was: "Was",
    now: "Is now",
    done: |entry, keyed, wanted| format!("{entry}: {keyed} put right to {wanted}"),
    contradiction: |found, labels, ratio| match (found.kind, found.readings.len()) {
        (ContradictionKind::Impossible, 1) => {
            format!("{labels}: not while standing. Choose “driving”, or clear it.")
        }
        (ContradictionKind::Impossible, _) => format!(
            "{labels}: the first is above zero and the second is zero. They cannot have happened together; from an area or a volume without speed \
             and time nothing follows."
        ),
        (ContradictionKind::Truths, _) => format!(
            "{labels}: not all of them can be true. The first is {ratio} of what the others say it should be. Measure the doubtful one again."
        ),
        (_, _) => format!(
            "{labels}: the console contradicts itself. The first is {ratio} of what the others say. The counters were not started together, or \
             sections were switched on the way."
        ),
    },
    error: |entry| {
        if entry.is_empty() {
            "The readings cannot be compared with this rig. Check the rig.".to_owned()
        } else {
            format!("{entry} cannot be used as it stands. Check it on the rig.")
        }
    },
    note: "Note",
    item: |done| {
        if done.is_empty() { "Doesn’t add up".to_owned() } else { format!("Doesn’t add up. {done}") }
    },
    by_readings: "by readings that did not add up",
    disagree: "When figures disagree",
    closing_more: "What the tanks lost in a day against what the console counted.",
    disagree_more: "From a jug, a tape and a display that contradict each other to the number that is wrong.",
};

/// As it stands inside a sentence: the first letter small, unless it begins a name with capitals.
fn lower(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) if !letters.clone().next().is_some_and(char::is_uppercase) => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => text.to_owned(),
    }
}
