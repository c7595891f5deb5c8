//! What the lag sheet says.

use super::number;
use super::plumbing::Shown;
use super::words;
use crate::bridge::plumbing::{LagPlan, Product};
use calc::plumbing::dispersion::BlurredFront;
use calc::plumbing::lag::{LagSheet, NozzleLag};
use units::{Duration, Length, Share, Volume};

pub(crate) struct LagWords {
    pub(crate) title: &'static str,
    pub(crate) lead: fn(distance: &str) -> String,
    pub(crate) lead_why: &'static str,
    pub(crate) first: &'static str,
    pub(crate) last: &'static str,
    pub(crate) half: &'static str,
    pub(crate) most: &'static str,
    pub(crate) after: fn(time: &str) -> String,
    pub(crate) asked: fn(speed: &str, rate: &str) -> String,
    pub(crate) with_product: fn(name: &str, rate: &str) -> String,
    pub(crate) product: fn(pump: u32, name: &str) -> String,
    pub(crate) no_product: &'static str,
    pub(crate) chart: &'static str,
    pub(crate) chart_text: fn(first: &str, half: &str, last: &str) -> String,
    pub(crate) chart_axis: fn(unit: &str) -> String,
    pub(crate) share: &'static str,
    pub(crate) from: &'static str,
    pub(crate) charge: &'static str,
    pub(crate) fill: fn(volume: &str) -> String,
    pub(crate) charging: fn(liquid: &str, time: &str) -> String,
    pub(crate) charging_product: fn(product: &str) -> String,
    pub(crate) standing: fn(product: &str, line: &str) -> String,
    pub(crate) flush: &'static str,
    pub(crate) flushing: fn(time: &str, distance: &str, carrier: &str) -> String,
    pub(crate) left: fn(product: &str) -> String,
    pub(crate) blur: &'static str,
    pub(crate) blurred: fn(early: &str, late: &str) -> String,
    pub(crate) blur_outside: fn(share: &str) -> String,
    pub(crate) blur_range: &'static str,
    pub(crate) blur_loose: &'static str,
    pub(crate) no_blur: &'static str,
    pub(crate) card_title: &'static str,
    pub(crate) card_lead: fn(distance: &str, time: &str) -> String,
    pub(crate) card_flush: fn(carrier: &str, time: &str) -> String,
    pub(crate) by_product: &'static str,
    pub(crate) product_head: &'static str,
    pub(crate) in_lines: &'static str,
    pub(crate) while_charging: &'static str,
    pub(crate) to_plumbing: &'static str,
    pub(crate) print: &'static str,
    pub(crate) foot: &'static str,
    pub(crate) sections_open: fn(open: usize, all: usize) -> String,
    pub(crate) plug_flow: &'static str,
}

/// Seconds as they are read off a watch.
pub(crate) fn time_text(time: Duration, shown_in: Shown) -> String {
    number::quantity(time, shown_in.time, 3)
}

/// A distance on the ground.
pub(crate) fn distance_text(distance: Length, shown_in: Shown) -> String {
    number::quantity(distance, shown_in.length, 3)
}

/// Speed, carrier rate and what the pumps add.
pub(crate) fn asked_text(plan: &LagPlan, shown_in: Shown) -> String {
    let w = &words().lag;
    let speed = number::quantity(plan.speed, shown_in.speed, 3);
    let rate = |rate, unit| number::quantity(rate, unit, 3);
    let mut parts = vec![(w.asked)(&speed, &rate(plan.carrier_rate, shown_in.rate))];
    let unit = super::reach::product_unit(shown_in.rate);
    for product in &plan.products {
        parts.push((w.with_product)(&product_name(product), &rate(product.rate, unit)));
    }
    if plan.products.is_empty() {
        return format!("{}. {}", parts.join(", "), w.no_product.trim_end_matches('.'));
    }
    parts.join(", ")
}

/// What a product is called.
pub(crate) fn product_name(product: &Product) -> String {
    (words().lag.product)(product.pump, product.name.as_deref().unwrap_or_default())
}

/// The chart in words.
pub(crate) fn chart_text(sheet: &LagSheet, shown_in: Shown) -> String {
    let at = |distance: Option<Length>| distance.map(|d| distance_text(d, shown_in)).unwrap_or_default();
    (words().lag.chart_text)(
        &at(sheet.first().map(|n| n.distance)),
        &at(sheet.half.map(|(_, distance)| distance)),
        &at(sheet.last().map(|n| n.distance)),
    )
}

/// Figures at the head of the sheet: label, value, and a line below it.
pub(crate) fn figures(sheet: &LagSheet, shown_in: Shown) -> Vec<(String, String, String)> {
    let w = &words().lag;
    let figure = |label: &str, time: Duration, distance: Length| {
        let after = (w.after)(&time_text(time, shown_in));
        (label.to_owned(), distance_text(distance, shown_in), after)
    };
    let of_nozzle = |label: &str, lag: Option<NozzleLag>| lag.map(|n| figure(label, n.lag, n.distance));
    [
        of_nozzle(w.first, sheet.first()),
        sheet.half.map(|(time, distance)| figure(w.half, time, distance)),
        sheet.most.map(|(time, distance)| figure(w.most, time, distance)),
        of_nozzle(w.last, sheet.last()),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// From where on how much of the boom is at full dose: the chart as rows.
pub(crate) fn share_rows(sheet: &LagSheet, shown_in: Shown) -> Vec<Vec<String>> {
    [10.0, 25.0, 50.0, 75.0, 90.0, 100.0]
        .into_iter()
        .filter_map(|percent| {
            let wanted = Share::from_percent(percent).as_fraction() - 1e-9;
            let step = sheet.dose_from.iter().find(|step| wanted <= step.share.as_fraction())?;
            Some(vec![number::percent(percent / 100.0, 3), distance_text(step.distance, shown_in)])
        })
        .collect()
}

/// What has to go in before every nozzle is at full dose.
pub(crate) fn charge_texts(sheet: &LagSheet, shown_in: Shown) -> Vec<String> {
    let w = &words().lag;
    let line = number::quantity(sheet.behind_injection, shown_in.volume, 3);
    let last = sheet.last().map_or(Duration::from_s(0.0), |n| n.lag);
    let mut lines = vec![
        (w.fill)(&number::quantity(sheet.fill, shown_in.volume, 3)),
        (w.charging)(&number::quantity(sheet.charge.liquid, shown_in.volume, 3), &time_text(last, shown_in)),
    ];
    if 0.0 < sheet.product_in_line.as_m3() {
        lines.push((w.charging_product)(&product_text(sheet.charge.product, shown_in)));
        lines.push((w.standing)(&product_text(sheet.product_in_line, shown_in), &line));
    }
    lines
}

/// What it takes to have clean carrier at every nozzle.
pub(crate) fn flush_texts(sheet: &LagSheet, shown_in: Shown) -> Vec<String> {
    let w = &words().lag;
    let mut lines = vec![(w.flushing)(
        &time_text(sheet.flush_time, shown_in),
        &distance_text(sheet.flush_distance, shown_in),
        &number::quantity(sheet.flush, shown_in.volume, 3),
    )];
    if 0.0 < sheet.product_in_line.as_m3() {
        lines.push((w.left)(&product_text(sheet.product_in_line, shown_in)));
    }
    lines
}

/// What the operator keeps to: lead-in and flush, with the speed and rate that they hold for.
pub(crate) fn card_texts(plan: &LagPlan, sheet: &LagSheet, shown_in: Shown) -> Vec<String> {
    let w = &words().lag;
    let last = sheet.last().map_or(Duration::from_s(0.0), |n| n.lag);
    let carrier = number::quantity(sheet.flush, shown_in.volume, 3);
    vec![
        (w.card_lead)(&distance_text(sheet.lead_in, shown_in), &time_text(last, shown_in)),
        (w.card_flush)(&carrier, &time_text(sheet.flush_time, shown_in)),
        format!("{}.", asked_text(plan, shown_in)),
    ]
}

/// A volume of concentrate.
pub(crate) fn product_text(volume: Volume, shown_in: Shown) -> String {
    number::quantity(volume, shown_in.product, 3)
}

/// How a front spreads on its way to a nozzle, with the range in which that holds.
pub(crate) fn blur_texts(front: &BlurredFront, shown_in: Shown) -> Vec<String> {
    let w = &words().lag;
    let at = |percent| front.time_to(Share::from_percent(percent)).map(|time| time_text(time, shown_in));
    let mut lines = Vec::new();
    if let (Some(early), Some(late)) = (at(5.0), at(95.0)) {
        lines.push((w.blurred)(&early, &late));
    }
    let outside = front.share_outside_range.as_fraction();
    if 0.0 < outside {
        lines.push((w.blur_outside)(&number::percent(outside, 2)));
    }
    // Taylor's form is for fronts that are short against their lag.
    if front.peclet < 20.0 {
        lines.push(w.blur_loose.to_owned());
    }
    lines.push(w.blur_range.to_owned());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bridge::plumbing::work_out;
    use crate::state::sheet::System;
    use records::examples::DRAINAGE_ROAD_CARRIER;
    use records::rig::RigView;
    use std::collections::BTreeMap;

    // By hand, metric example: 201.5 L/ha × 8 km/h × 12 m ÷ 600 = 32.24 L/min. Behind the injection point 6 m of 25 mm and
    // 4 × 6.75 m of 19 mm hold 2.945 + 7.655 = 10.60 L, of which 1.5 ÷ 201.5 is product: 78.9 mL. Open lines: 0.491 L more.
    #[test]
    fn charging_and_flushing_are_those_of_a_hand_calculation() {
        let texts: BTreeMap<String, String> = DRAINAGE_ROAD_CARRIER
            .iter()
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
            .collect();
        let worked = work_out(&RigView::read(&texts), &[]);
        let sheet = worked.sheet.unwrap();
        let shown_in = Shown::of(System::Metric);
        let charge = charge_texts(&sheet, shown_in).join(" ");
        assert!(charge.contains("hold 11.1\u{a0}L"), "{charge}");
        assert!(charge.contains("Then 78.9\u{a0}mL of product stand in the 10.6\u{a0}L"), "{charge}");
        let flush = flush_texts(&sheet, shown_in).join(" ");
        assert!(flush.contains("78.9\u{a0}mL of product are still in the lines"), "{flush}");
        assert_eq!(
            share_rows(&sheet, shown_in).last().map(|row| row[0].clone()),
            Some("100\u{a0}%".to_owned())
        );
    }
}
