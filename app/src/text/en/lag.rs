//! The lag sheet, in English.

use crate::text::lag::LagWords;

pub(super) const WORDS: LagWords = LagWords {
    title: "Lag sheet",
    lead: |distance| format!("Start {distance} before the mark."),
    lead_why: "From there on every nozzle is at full dose at the mark.",
    first: "First nozzle",
    last: "Last nozzle",
    half: "Half the boom",
    most: "95 % of the boom",
    after: |time| format!("after {time}"),
    asked: |speed, rate| format!("At {speed} and {rate} of carrier"),
    with_product: |name, rate| format!("{name} at {rate}"),
    product: |pump, name| {
        if name.is_empty() { format!("Pump {pump}") } else { format!("{name} (pump {pump})") }
    },
    no_product: "No pump has a product rate: the lag is that of anything released at the injection point.",
    chart: "Boom at full dose",
    chart_text: |first, half, last| {
        format!(
            "Share of the boom at full dose against the distance driven since the pump started: nothing up to {first}, half from {half} on, all from {last} on."
        )
    },
    chart_axis: |unit| format!("Distance since the pump started, in {unit}"),
    share: "Share of the boom’s flow",
    from: "From",
    charge: "Charge the lines",
    fill: |volume| {
        format!(
            "The open lines hold {volume} from pump to nozzles: so much clean water fills them from empty."
        )
    },
    charging: |liquid, time| {
        format!("Until the last nozzle is at full dose {liquid} go through the boom, in {time}.")
    },
    charging_product: |product| format!("Of that, {product} are product."),
    standing: |product, line| {
        format!("Then {product} of product stand in the {line} between injection point and nozzles.")
    },
    flush: "Flush the lines",
    flushing: |time, distance, carrier| {
        format!(
            "With the pumps off the last nozzle sprays clean carrier after {time}, {distance} on, and {carrier} of carrier."
        )
    },
    left: |product| {
        format!(
            "When the pumps stop {product} of product are still in the lines, and come out on that stretch."
        )
    },
    blur: "How the front spreads on its way",
    blurred: |early, late| {
        format!("At the last nozzle 5 % of the dose arrives after {early}, 95 % after {late}.")
    },
    blur_outside: |share| {
        format!(
            "{share} of the way’s time is spent in slow or transitional flow, where no law holds and nothing was added: the true front is longer."
        )
    },
    blur_range: "Axial dispersion after Taylor 1954: straight pipe, turbulent, Reynolds number from 4000 on (his own runs lay above 10 000). Bends, valves and strainers change it.",
    blur_loose: "The front is not short against its lag, which this form asks for: take it as a rough guide.",
    no_blur: "No front reaches the last nozzle along one way.",
    card_title: "Lag of the product",
    card_lead: |distance, time| {
        format!("Start {distance} before the mark: the last nozzle gets its dose after {time}.")
    },
    card_flush: |carrier, time| {
        format!("Flush the lines with {carrier} of carrier, {time} with the pumps off.")
    },
    by_product: "Product by product",
    product_head: "Product",
    in_lines: "In the lines",
    while_charging: "Sprayed while charging",
    to_plumbing: "To the plumbing",
    print: "Print the sheet",
    foot: "Worked out from the lines as they were typed, in plug flow, at steady speed and rate. Prove it once with a dye or with clean water. Relieve the pressure before you open a line; flush where the label and local codes allow it, and wear the label’s protective equipment.",
    sections_open: |open, all| format!("{open} of {all} sections open"),
    plug_flow: "At a held rate the distances stay nearly the same at any speed; only the times change.",
};
