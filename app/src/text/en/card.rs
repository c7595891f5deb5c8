//! The operator's card, in English.

use crate::text::card::CardWords;

pub(super) const WORDS: CardWords = CardWords {
    title: "Cab card",
    keep: "Speeds to keep",
    between: |low, high| format!("{low} to {high}"),
    at_least: |low| format!("{low} or faster"),
    at_most: |high| format!("up to {high}"),
    no_speed: "No speed holds this plan",
    none_until_changed: "None until the plan is changed",
    not_known: "Not known",
    refused: "Do not spray with this plan. It would put more on the ground than the label allows:",
    regulated: |rate| format!("Carrier {rate}"),
    manual: |pressure| format!("Carrier in manual at {pressure}: its rate moves with speed"),
    on: |on, all, width| format!("{on} of {all} sections on, {width}"),
    fewer: "With fewer sections on, whichever",
    pressures: "Pressure to expect",
    no_rows: "No speed to give a pressure for.",
    pump: |pump, product| {
        if product.is_empty() { format!("Pump {pump}") } else { format!("Pump {pump} · {product}") }
    },
    switch: "Switch",
    never: "Never",
    slower: |speed, limit| format!("spray slower than {speed} ({limit})."),
    faster: |speed, limit| format!("spray faster than {speed} ({limit})."),
    do_not_use: |rate| format!("use {rate}: it passes the label maximum."),
    past_label_below: |rate, speed| {
        format!("spray below {speed} on {rate}: the dose then passes the label maximum.")
    },
    past_label: |speed| format!("Below {speed} a dose passes its label maximum."),
    stand_hold: |speed| format!("stand still with the boom on: it sprays on as at {speed}."),
    stand_manual: "stand still with the boom on: in manual it sprays on.",
    tighter: |radius| format!("turn tighter than {radius} radius with the boom on: past a label maximum."),
    against: "±",
    step: |pressure, rate| if rate.is_empty() { pressure.to_owned() } else { format!("{pressure}, {rate}") },
    count: |most, fewest, window| match (most, fewest) {
        (1, 1) => format!("1 section on: {window}"),
        (most, fewest) if most == fewest => format!("{most} sections on: {window}"),
        (most, fewest) => format!("{fewest} to {most} sections on: {window}"),
    },
    nudge: |presses| match presses {
        1 => "↳ nudge up".to_owned(),
        -1 => "↳ nudge down".to_owned(),
        n if n > 0 => format!("↳ nudge up {n}×"),
        n => format!("↳ nudge down {}×", -n),
    },
    switches_in: |unit| format!("What the switches lay down, {unit}"),
    unknown: "Not on this card, because the rig does not say it",
    print: "Print the card",
    to_reach: "To Reach",
};
