//! What the reach screen says.

use super::{number, words};
use calc::reach::doses::{Cause, DoseLaw, DoseLine, Passes, Refusal};
use calc::reach::expected::Expected;
use calc::reach::make_it_work::{Change, Suggestion};
use calc::reach::nozzle_choice::{Candidate, Fit};
use calc::reach::plan::{Limit, Problem, RateInForce, WhichRate};
use calc::reach::turns::{CurveDose, TurnRadius};
use calc::reach::window::{Bound, Reach, Span, Window};
use calc::rig::ProductRate;
use units::{FlowRateUnit, LengthUnit, PressureUnit, Speed, SpeedUnit, VolumePerAreaUnit};

pub(crate) struct ReachWords {
    pub(crate) title: &'static str,
    pub(crate) what_if: &'static str,
    pub(crate) sections: &'static str,
    pub(crate) rate: &'static str,
    pub(crate) speed: &'static str,
    pub(crate) reset: &'static str,
    pub(crate) less: fn(what: &str) -> String,
    pub(crate) more: fn(what: &str) -> String,
    pub(crate) sections_on: fn(on: usize, all: usize) -> String,
    pub(crate) axis: fn(unit: &str) -> String,
    pub(crate) refused: &'static str,
    pub(crate) unknown: &'static str,
    pub(crate) make_it_work: &'static str,
    pub(crate) nothing_helps: &'static str,
    pub(crate) pressures: &'static str,
    pub(crate) pressure: &'static str,
    pub(crate) carrier: &'static str,
    pub(crate) window: &'static str,
    pub(crate) held: &'static str,
    pub(crate) not_held: &'static str,
    pub(crate) doses: &'static str,
    pub(crate) hold_hint: &'static str,
    pub(crate) which: &'static str,
    pub(crate) dose: &'static str,
    pub(crate) label: &'static str,
    pub(crate) passes: &'static str,
    pub(crate) never: &'static str,
    pub(crate) always: &'static str,
    pub(crate) below: fn(speed: &str) -> String,
    pub(crate) floats: &'static str,
    pub(crate) no_label: &'static str,
    pub(crate) by_sections: &'static str,
    pub(crate) narrowest: &'static str,
    pub(crate) widest: &'static str,
    pub(crate) open: fn(low: &str, high: &str) -> String,
    pub(crate) from_standing: &'static str,
    pub(crate) without_end: &'static str,
    pub(crate) bound: fn(limit: &str, speed: &str) -> String,
    pub(crate) empty: fn(needs: &str, needs_speed: &str, allows: &str, allows_speed: &str) -> String,
    pub(crate) nowhere: fn(limit: &str) -> String,
    pub(crate) window_unknown: &'static str,
    pub(crate) no_speed: &'static str,
    pub(crate) limits: fn(Limit, rate: &str) -> String,
    pub(crate) first: &'static str,
    pub(crate) second: &'static str,
    pub(crate) nudged: fn(rate: &str, presses: i32) -> String,
    pub(crate) of_pump: fn(pump: usize, rate: &str) -> String,
    pub(crate) at: fn(speed: &str, pressure: &str, held: bool) -> String,
    pub(crate) refusal: fn(rate: &str, cause: Cause, over: &str, where_: &str) -> String,
    pub(crate) problem: fn(&Problem) -> String,
    pub(crate) change: fn(&Change, speed: &dyn Fn(Speed) -> String, from: &str, to: &str) -> String,
    pub(crate) of_carrier: fn(percent: &str) -> String,
    pub(crate) gives: fn(change: &str, window: &str) -> String,
    /// What happens at an end of the window; `rate` is empty but for a pump, `low` at the slow end.
    pub(crate) binds: fn(limit: Limit, rate: &str, speed: &str, low: bool) -> String,
    pub(crate) hold_lifts: fn(speed: &str) -> String,
    pub(crate) grows: &'static str,
    pub(crate) plot: fn(pump: usize, unit: &str) -> String,
    pub(crate) plot_key: &'static str,
    pub(crate) nozzles: &'static str,
    pub(crate) slowest: &'static str,
    pub(crate) fastest: &'static str,
    pub(crate) judged: fn(least: &str, greatest: &str) -> String,
    pub(crate) no_judge: &'static str,
    pub(crate) wrong_way: &'static str,
    pub(crate) nozzle: &'static str,
    pub(crate) on_rig: &'static str,
    pub(crate) size: fn(number: &str) -> String,
    pub(crate) fit: &'static str,
    pub(crate) fits: fn(Fit, from: &str, to: &str) -> String,
    pub(crate) pressure_at: fn(speed: &str) -> String,
    pub(crate) water_rate: fn(rate: &str) -> String,
    pub(crate) needs_rate: &'static str,
    pub(crate) turns: &'static str,
    pub(crate) radius: &'static str,
    pub(crate) way: &'static str,
    pub(crate) left: &'static str,
    pub(crate) right: &'static str,
    pub(crate) inner: fn(dose: &str) -> String,
    pub(crate) outer: fn(dose: &str) -> String,
    pub(crate) of_middle: fn(percent: &str) -> String,
    pub(crate) backward: fn(percent: &str) -> String,
    pub(crate) standing: &'static str,
    pub(crate) centre_under: &'static str,
    pub(crate) wanted_share: &'static str,
    pub(crate) outer_from: fn(share: &str, radius: &str) -> String,
    pub(crate) turn_limits: fn(speed: &str) -> String,
    pub(crate) turn_from: fn(radius: &str) -> String,
    pub(crate) turn_any: &'static str,
    pub(crate) turn_none: &'static str,
    pub(crate) no_label_turns: &'static str,
    pub(crate) no_width: &'static str,
    pub(crate) to_card: &'static str,
}

fn speed_text(speed: Speed, unit: SpeedUnit) -> String {
    number::quantity(speed, unit, 3)
}

/// A limit by its name.
pub(crate) fn limit_text(limit: Limit) -> String {
    let rate = match limit {
        Limit::Pump { pump_idx, rate } => rate_text(pump_idx, rate),
        _ => String::new(),
    };
    (words().reach.limits)(limit, &rate)
}

/// A rate of a pump by its name.
pub(crate) fn rate_text(pump_idx: usize, rate: RateInForce) -> String {
    (words().reach.of_pump)(pump_idx + 1, &position_text(rate))
}

/// A rate by the position of its switch and nudge.
pub(crate) fn position_text(rate: RateInForce) -> String {
    let w = &words().reach;
    let plain = match rate.which {
        WhichRate::First => w.first,
        WhichRate::Second => w.second,
    };
    if rate.presses == 0 { plain.to_owned() } else { (w.nudged)(plain, rate.presses) }
}

fn bound_text(bound: Option<Bound>, unit: SpeedUnit, without: &str) -> String {
    bound.map_or_else(
        || without.to_owned(),
        |b| (words().reach.bound)(&limit_text(b.limit), &speed_text(b.end.speed, unit)),
    )
}

/// The window as a sentence, with what binds at each end.
pub(crate) fn window_text(window: &Window, unit: SpeedUnit) -> String {
    let w = &words().reach;
    match window {
        Window::Open { low, high } => {
            (w.open)(&bound_text(*low, unit, w.from_standing), &bound_text(*high, unit, w.without_end))
        }
        Window::Empty { needs, allows } => (w.empty)(
            &limit_text(needs.limit),
            &speed_text(needs.end.speed, unit),
            &limit_text(allows.limit),
            &speed_text(allows.end.speed, unit),
        ),
        Window::Nowhere { limit } => (w.nowhere)(&limit_text(*limit)),
        _ => w.window_unknown.to_owned(),
    }
}

/// What happens at each end of an open window, slow end first.
pub(crate) fn binding_texts(window: &Window, unit: SpeedUnit) -> Vec<String> {
    let Window::Open { low, high } = window else { return Vec::new() };
    let ends = [(low, true), (high, false)];
    ends.into_iter()
        .filter_map(|(bound, is_low)| {
            bound.map(|b| binds_text(b.limit, &speed_text(b.end.speed, unit), is_low))
        })
        .collect()
}

/// What a limit does at a speed.
pub(crate) fn binds_text(limit: Limit, speed: &str, is_low: bool) -> String {
    (words().reach.binds)(limit, &limit_text(limit), speed, is_low)
}

/// The unit that products are spoken of in where the carrier is in this one.
pub(crate) const fn product_unit(carrier: VolumePerAreaUnit) -> VolumePerAreaUnit {
    match carrier {
        VolumePerAreaUnit::UsGallonPerAcre => VolumePerAreaUnit::UsFluidOuncePerAcre,
        _ => VolumePerAreaUnit::MillilitrePerHectare,
    }
}

/// How a nozzle set fits the wanted speeds.
pub(crate) fn fit_text(fit: Fit, unit: SpeedUnit) -> String {
    let (from, to) = match fit {
        Fit::Part { from, to } => (speed_text(from, unit), speed_text(to, unit)),
        _ => (String::new(), String::new()),
    };
    (words().reach.fits)(fit, &from, &to)
}

/// What one place of the boom gets on a curve.
pub(crate) fn curve_text(dose: CurveDose) -> String {
    let w = &words().reach;
    match dose {
        CurveDose::Forward { ratio } => (w.of_middle)(&number::percent(ratio, 3)),
        CurveDose::Backward { ratio } => (w.backward)(&number::percent(ratio, 3)),
        CurveDose::Standing => w.standing.to_owned(),
    }
}

/// The tightest curve of a rate.
pub(crate) fn turn_text(radius: TurnRadius, unit: LengthUnit) -> String {
    let w = &words().reach;
    match radius {
        TurnRadius::From(radius) => (w.turn_from)(&number::quantity(radius, unit, 3)),
        TurnRadius::Any => w.turn_any.to_owned(),
        TurnRadius::NoCurve => w.turn_none.to_owned(),
    }
}

/// The window in few figures.
pub(crate) fn window_short(window: &Window, unit: SpeedUnit) -> String {
    let w = &words().reach;
    match window {
        Window::Open { low, high } => {
            let end = |b: &Option<Bound>, without: &str| {
                b.map_or_else(|| without.to_owned(), |b| speed_text(b.end.speed, unit))
            };
            format!("{} – {}", end(low, "0"), end(high, "∞"))
        }
        Window::Unknown => "?".to_owned(),
        _ => w.no_speed.to_owned(),
    }
}

/// The bars in words.
pub(crate) fn bars_text(reach: &Reach, unit: SpeedUnit) -> String {
    let bar = |span: &Span| match span {
        Span::Between { low, high } => format!(
            "{} – {}",
            low.map_or_else(|| "0".to_owned(), |e| speed_text(e.speed, unit)),
            high.map_or_else(|| "∞".to_owned(), |e| speed_text(e.speed, unit))
        ),
        Span::Nowhere => words().reach.no_speed.to_owned(),
    };
    let bars: Vec<String> =
        reach.bars.iter().map(|b| format!("{}: {}", limit_text(b.limit), bar(&b.span))).collect();
    bars.join("; ")
}

/// What happens at one speed.
pub(crate) fn at_speed(
    expected: Option<&Expected>,
    unit: SpeedUnit,
    pressure_unit: PressureUnit,
    held: bool,
) -> String {
    let Some(expected) = expected else { return String::new() };
    let pressure =
        expected.pressure.map_or_else(|| "–".to_owned(), |p| number::quantity(p, pressure_unit, 3));
    (words().reach.at)(&speed_text(expected.speed, unit), &pressure, held)
}

/// Why a rate is refused.
pub(crate) fn refusal_text(refusal: &Refusal, unit: SpeedUnit) -> String {
    let over = refusal.worst.map_or_else(String::new, |worst| number::percent(worst.over.as_fraction(), 2));
    (words().reach.refusal)(
        &rate_text(refusal.pump_idx, refusal.rate),
        refusal.cause,
        &over,
        &passes_text(refusal.passes, unit),
    )
}

fn passes_text(passes: Passes, unit: SpeedUnit) -> String {
    let w = &words().reach;
    match passes {
        Passes::Never => w.never.to_owned(),
        Passes::Always => w.always.to_owned(),
        Passes::Below(speed) => (w.below)(&speed_text(speed, unit)),
    }
}

/// The dose that is held from the hold speed on, or that it moves with speed.
pub(crate) fn held_text(law: &DoseLaw, carrier_unit: VolumePerAreaUnit) -> String {
    law.held().map_or_else(
        || words().reach.floats.to_owned(),
        |dose| number::quantity(dose, product_unit(carrier_unit), 4),
    )
}

/// Dose, label maximum and where it is passed.
pub(crate) fn dose_cells(
    line: &DoseLine,
    unit: SpeedUnit,
    carrier_unit: VolumePerAreaUnit,
) -> (String, String, String) {
    let w = &words().reach;
    let small = product_unit(carrier_unit);
    let dose = held_text(&line.law, carrier_unit);
    let label = line.label.map_or_else(|| w.no_label.to_owned(), |label| number::quantity(label, small, 4));
    (dose, label, line.passes.map_or_else(|| "–".to_owned(), |p| passes_text(p, unit)))
}

/// The doses of a drawing in words.
pub(crate) fn doses_text(lines: &[&DoseLine], unit: SpeedUnit, carrier_unit: VolumePerAreaUnit) -> String {
    let w = &words().reach;
    let texts: Vec<String> = lines
        .iter()
        .map(|line| {
            let (dose, label, passes) = dose_cells(line, unit, carrier_unit);
            format!(
                "{}: {dose}; {} {label}; {} {passes}",
                rate_text(line.pump_idx, line.rate),
                w.label,
                w.passes
            )
        })
        .collect();
    texts.join(". ")
}

/// What is missing or odd.
pub(crate) fn problem_text(problem: &Problem) -> String {
    (words().reach.problem)(problem)
}

/// A product rate, per area or per carrier.
fn product_rate_text(rate: ProductRate, carrier_unit: VolumePerAreaUnit) -> String {
    match rate {
        ProductRate::PerArea(rate) => number::quantity(rate, product_unit(carrier_unit), 4),
        ProductRate::PerCarrier(share) => {
            (words().reach.of_carrier)(&number::significant(share.as_percent(), 3))
        }
    }
}

/// One change that would help, and the window that it gives.
pub(crate) fn change_text(
    s: &Suggestion,
    unit: SpeedUnit,
    rate_unit: VolumePerAreaUnit,
    pressure_unit: PressureUnit,
) -> String {
    let w = &words().reach;
    let (from, to) = match &s.change {
        Change::CarrierRate { from, to } => {
            (number::quantity(*from, rate_unit, 3), number::quantity(*to, rate_unit, 3))
        }
        Change::ManualPressure { from, to } => {
            (number::quantity(*from, pressure_unit, 3), number::quantity(*to, pressure_unit, 3))
        }
        Change::Nozzles { candidate: Candidate::Nominal(size), .. } => (String::new(), (w.size)(size.number)),
        Change::Nozzles { nozzles, .. } => {
            let unit = match rate_unit {
                VolumePerAreaUnit::UsGallonPerAcre => FlowRateUnit::UsGallonPerMinute,
                _ => FlowRateUnit::LitrePerMinute,
            };
            (String::new(), number::quantity(nozzles.rated_flow, unit, 3))
        }
        Change::ProductRate { from, to, .. } => {
            (product_rate_text(*from, rate_unit), product_rate_text(*to, rate_unit))
        }
        Change::Sections { from, to } => (from.count().to_string(), to.count().to_string()),
        Change::TopSpeed { from, to } => (speed_text(*from, unit), speed_text(*to, unit)),
        _ => (String::new(), String::new()),
    };
    let change = (w.change)(&s.change, &|speed| speed_text(speed, unit), &from, &to);
    (w.gives)(&change, &window_short(&s.window, unit))
}
