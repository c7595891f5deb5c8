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
    on: |on, all, width| format!("{on} of {all} sections on, {width}"),
    fewer: "Sections on",
    fewer_hint: "The speeds hold whichever sections are on, as long as they are so many.",
    pressures: "Pressure to expect",
    no_rows: "No speed to give a pressure for.",
    switches: "What the switches do",
    pump: |pump, product| {
        if product.is_empty() { format!("Pump {pump}") } else { format!("Pump {pump} · {product}") }
    },
    switch: "Switch",
    never: "Never",
    slower: |speed, why| format!("Never spray slower than {speed}. {why}"),
    faster: |speed, why| format!("Never spray faster than {speed}. {why}"),
    do_not_use: |rate| format!("Never use {rate}: it passes the label maximum."),
    past_label_below: |rate, speed| {
        format!("Never spray below {speed} on {rate}: the dose then passes the label maximum.")
    },
    stand_hold: |speed| format!("Never stand still with the boom on: it keeps spraying as at {speed}."),
    stand_manual: "Never stand still with the boom on: with the carrier in manual it keeps spraying.",
    tighter: |radius, rate| {
        format!(
            "Never turn tighter than a radius of {radius} with the boom on, {rate}: the inner end passes the label maximum."
        )
    },
    unknown: "Not on this card, because the rig does not say it",
    print: "Print the card",
    to_reach: "To Reach",
};
