//! What the reach screen says.

use super::{number, words};
use crate::bridge::nozzles::{NamedSet, OwnNozzles};
use crate::bridge::proven::{Number, Proof};
use calc::reach::doses::{Cause, DoseLaw, DoseLine, Passes, Refusal};
use calc::reach::expected::Expected;
use calc::reach::make_it_work::{Change, Suggestion};
use calc::reach::nozzle_choice::{Candidate, Droplets, Fit};
use calc::reach::plan::{Limit, Problem, RateInForce, SectionSet, WhichRate};
use calc::reach::sections::Smallest;
use calc::reach::turns::{CurveDose, TurnRadius};
use calc::reach::window::{Bound, End, Reach, Span, Window};
use calc::rig::{Carrier, ProductRate};
use units::{
    FlowRate, FlowRateUnit, LengthUnit, Pressure, PressureUnit, Speed, SpeedUnit, VolumePerAreaUnit,
};

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
    pub(crate) problem: fn(&Problem, least: &str, greatest: &str) -> String,
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
    pub(crate) water_rate: fn(rate: &str, gravity: &str) -> String,
    pub(crate) as_water: &'static str,
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
    pub(crate) radius_least: &'static str,
    pub(crate) regulated: &'static str,
    pub(crate) manual: &'static str,
    pub(crate) turn_from: fn(radius: &str) -> String,
    pub(crate) turn_any: &'static str,
    pub(crate) turn_none: &'static str,
    pub(crate) no_label_turns: &'static str,
    pub(crate) no_width: &'static str,
    pub(crate) to_card: &'static str,
    pub(crate) interval: fn(speed: &str, least: &str, greatest: &str) -> String,
    pub(crate) surely: fn(low: &str, high: &str) -> String,
    pub(crate) surely_none: &'static str,
    pub(crate) soft: &'static str,
    pub(crate) may_pass: fn(passes: &str) -> String,
    pub(crate) proofs: &'static str,
    /// `off` is empty where the number stands as proven.
    pub(crate) proof: fn(Number, off: &str, percent: &str, on: &str) -> String,
    pub(crate) doubtful: &'static str,
    pub(crate) manual_pressure: &'static str,
    pub(crate) wanted_rate: &'static str,
    /// What to set in manual; `inside`: whether the nozzles' window holds it.
    pub(crate) to_set: fn(rate: &str, speed: &str, pressure: &str, inside: Option<bool>) -> String,
    pub(crate) to_set_unknown: &'static str,
    pub(crate) set_it: fn(pressure: &str) -> String,
    pub(crate) float_plot: fn(pressure: &str, unit: &str) -> String,
    pub(crate) float_key: &'static str,
    pub(crate) switches: &'static str,
    pub(crate) switch: fn(n: usize, width: &str) -> String,
    pub(crate) numbers: fn(numbers: &[String]) -> String,
    pub(crate) smallest: fn(speed: &str, numbers: &str, width: &str) -> String,
    /// Where a boom has too many different sections to be sure.
    pub(crate) smallest_not_all: &'static str,
    pub(crate) smallest_none: fn(speed: &str, limits: &str) -> String,
    pub(crate) take_set: &'static str,
    pub(crate) try_it: &'static str,
    pub(crate) tried: &'static str,
    pub(crate) tried_rate: fn(rate: &str) -> String,
    pub(crate) tried_manual: fn(pressure: &str) -> String,
    pub(crate) tried_sections: fn(numbers: &str) -> String,
    pub(crate) no_product: &'static str,
    pub(crate) set_n: fn(n: u32) -> String,
    pub(crate) droplet_class: &'static str,
    pub(crate) droplet_between: fn(one: &str, other: &str) -> String,
    pub(crate) droplet_outside: &'static str,
    pub(crate) droplets: fn(stretches: &[String]) -> String,
    pub(crate) droplets_from: fn(class: &str, from: &str, to: &str) -> String,
    /// A table that cannot be used; 0 is the set on the rig.
    pub(crate) droplets_odd: fn(set: u32) -> String,
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

/// An end of a limit, with the interval that holds it where it rests on proven numbers.
fn end_text(end: End, unit: SpeedUnit) -> String {
    let best = speed_text(end.speed, unit);
    if end.least == end.greatest {
        return best;
    }
    (words().reach.interval)(&best, &speed_text(end.least, unit), &speed_text(end.greatest, unit))
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
        .filter_map(|(bound, is_low)| bound.map(|b| binds_text(b.limit, &end_text(b.end, unit), is_low)))
        .collect()
}

/// The speeds that hold whichever value each proven number has inside its interval; nothing where that changes nothing.
pub(crate) fn surely_text(reach: &Reach, unit: SpeedUnit) -> Option<String> {
    let w = &words().reach;
    if reach.surely == reach.window || !reach.window.is_open() {
        return None;
    }
    let Window::Open { low, high } = &reach.surely else { return Some(w.surely_none.to_owned()) };
    let end = |bound: &Option<Bound>, without: &str| {
        bound.map_or_else(|| without.to_owned(), |b| speed_text(b.end.speed, unit))
    };
    Some((w.surely)(&end(low, w.from_standing), &end(high, w.without_end)))
}

/// What is proven, how well, and on which day.
pub(crate) fn proof_text(proof: &Proof, on: &str) -> String {
    let off = proof.said.off.as_fraction();
    // What rounding to the console's step left in is no news.
    let off = if off.abs() < 5e-4 { String::new() } else { number::signed_percent(off, 1) };
    (words().reach.proof)(proof.number, &off, &number::percent(proof.expanded.as_fraction(), 2), on)
}

/// What a nozzle set of the user's own is called.
pub(crate) fn set_name(set: &NamedSet) -> String {
    if set.name.trim().is_empty() { (words().reach.set_n)(set.n) } else { set.name.clone() }
}

/// What the user's droplet table says at a pressure.
pub(crate) fn droplet_text(droplets: Droplets<&str>) -> String {
    let w = &words().reach;
    match droplets {
        Droplets::Class(class) => class.to_owned(),
        Droplets::Between(one, other) => (w.droplet_between)(one, other),
        Droplets::Outside => w.droplet_outside.to_owned(),
    }
}

/// Sections by their numbers.
pub(crate) fn set_text(set: SectionSet) -> String {
    let numbers: Vec<String> = set.iter().map(|idx| (idx + 1).to_string()).collect();
    (words().reach.numbers)(&numbers)
}

/// The smallest set at a speed, or why there is none; nothing where too little is known.
pub(crate) fn smallest_text(
    smallest: &Smallest,
    speed: Speed,
    unit: SpeedUnit,
    length: LengthUnit,
) -> String {
    let w = &words().reach;
    let speed = speed_text(speed, unit);
    match smallest {
        Smallest::Set { set, all_tried } => {
            let width = number::quantity(set.width, length, 3);
            let text = (w.smallest)(&speed, &set_text(set.sections_on), &width);
            if *all_tried { text } else { format!("{text} {}", w.smallest_not_all) }
        }
        Smallest::NoSet { broken, all_tried } => {
            let names: Vec<String> = broken.iter().map(|limit| limit_text(*limit)).collect();
            let text = (w.smallest_none)(&speed, &names.join(", "));
            if *all_tried { text } else { format!("{text} {}", w.smallest_not_all) }
        }
        Smallest::Unknown => String::new(),
    }
}

/// What a tried plan has that the rig does not; empty where that is nothing.
pub(crate) fn tried_texts(
    carrier: Option<Carrier>,
    set: Option<SectionSet>,
    rate_unit: VolumePerAreaUnit,
    pressure_unit: PressureUnit,
) -> Vec<String> {
    let w = &words().reach;
    let carrier = carrier.map(|carrier| match carrier {
        Carrier::Regulated(rate) => (w.tried_rate)(&number::quantity(rate, rate_unit, 3)),
        Carrier::Manual(pressure) => (w.tried_manual)(&number::quantity(pressure, pressure_unit, 3)),
    });
    carrier.into_iter().chain(set.map(|set| (w.tried_sections)(&set_text(set)))).collect()
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
            low.map_or_else(|| "0".to_owned(), |e| end_text(e, unit)),
            high.map_or_else(|| "∞".to_owned(), |e| end_text(e, unit))
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

/// Why rates are refused: of each pump those with one cause together, with what the worst of them does.
pub(crate) fn refusal_texts(refusals: &[Refusal], unit: SpeedUnit) -> Vec<String> {
    let mut told: Vec<(&Refusal, Vec<String>)> = Vec::new();
    for refusal in refusals {
        let name = position_text(refusal.rate);
        match told.iter_mut().find(|(one, _)| (one.pump_idx, one.cause) == (refusal.pump_idx, refusal.cause))
        {
            Some((worst, names)) => {
                names.push(name);
                if over(refusal) > over(worst) {
                    *worst = refusal;
                }
            }
            None => told.push((refusal, vec![name])),
        }
    }
    told.iter()
        .map(|(worst, names)| {
            let over = worst.worst.map_or_else(String::new, |w| number::percent(w.over.as_fraction(), 2));
            (words().reach.refusal)(
                &(words().reach.of_pump)(worst.pump_idx + 1, &names.join("; ")),
                worst.cause,
                &over,
                &passes_text(worst.passes, unit),
            )
        })
        .collect()
}

/// How far a refused dose passes its label maximum; a dose without end where it is not said.
fn over(refusal: &Refusal) -> f64 {
    refusal.worst.map_or(f64::INFINITY, |worst| worst.over.as_fraction())
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
    let mut passes = line.passes.map_or_else(|| "–".to_owned(), |p| passes_text(p, unit));
    if let Some(may) = line.may_pass.filter(|may| line.passes != Some(*may)) {
        passes = format!("{passes} ({})", (w.may_pass)(&passes_text(may, unit)));
    }
    (dose, label, passes)
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

/// What is missing or odd, with its figures.
pub(crate) fn problem_text(
    problem: &Problem,
    unit: VolumePerAreaUnit,
    pressure_unit: PressureUnit,
) -> String {
    let flow = |flow: FlowRate| number::quantity(flow, carrier_flow_unit(unit), 3);
    let small = |flow: FlowRate| number::quantity(flow, product_flow_unit(unit), 3);
    let pressure = |pressure: Pressure| number::quantity(pressure, pressure_unit, 3);
    let (least, greatest) = match problem {
        Problem::NozzleWindowReversed { least, greatest } => (pressure(*least), pressure(*greatest)),
        Problem::MeterReversed { least, greatest } => (flow(*least), flow(*greatest)),
        Problem::PumpReversed { least, greatest, .. } => (small(*least), small(*greatest)),
        _ => (String::new(), String::new()),
    };
    (words().reach.problem)(problem, &least, &greatest)
}

/// The unit of carrier flows where the carrier rate is in this one.
const fn carrier_flow_unit(carrier: VolumePerAreaUnit) -> FlowRateUnit {
    match carrier {
        VolumePerAreaUnit::UsGallonPerAcre => FlowRateUnit::UsGallonPerMinute,
        _ => FlowRateUnit::LitrePerMinute,
    }
}

/// The unit of product flows where the carrier rate is in this one.
const fn product_flow_unit(carrier: VolumePerAreaUnit) -> FlowRateUnit {
    match carrier {
        VolumePerAreaUnit::UsGallonPerAcre => FlowRateUnit::UsFluidOuncePerMinute,
        _ => FlowRateUnit::MillilitrePerMinute,
    }
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
    own: &OwnNozzles,
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
        Change::Nozzles { candidate: Candidate::Own(idx), .. } => {
            (String::new(), own.sets.get(*idx).map_or_else(String::new, set_name))
        }
        Change::PumpRange { least, greatest, .. } => {
            let flow = |flow: FlowRate| number::quantity(flow, product_flow_unit(rate_unit), 3);
            (least.map_or_else(String::new, flow), greatest.map_or_else(String::new, flow))
        }
        Change::MeterRange { least, greatest } => {
            let flow = |flow: FlowRate| number::quantity(flow, carrier_flow_unit(rate_unit), 3);
            (least.map_or_else(String::new, flow), greatest.map_or_else(String::new, flow))
        }
        Change::SupplyFlow { greatest } => {
            (String::new(), number::quantity(*greatest, carrier_flow_unit(rate_unit), 3))
        }
        Change::HoldSpeed { from, .. } => (speed_text(*from, unit), String::new()),
        Change::ProductRate { from, to, .. } => {
            (product_rate_text(*from, rate_unit), product_rate_text(*to, rate_unit))
        }
        Change::Sections { from, to } => (from.count().to_string(), to.count().to_string()),
        Change::TopSpeed { from, to } => (speed_text(*from, unit), speed_text(*to, unit)),
        Change::SwapProducts { .. }
        | Change::WithoutSecond { .. }
        | Change::WithoutNudge { .. }
        | Change::Drive { .. } => (String::new(), String::new()),
    };
    let change = (w.change)(&s.change, &|speed| speed_text(speed, unit), &from, &to);
    (w.gives)(&change, &window_short(&s.window, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bridge::rig::rig_of;
    use calc::reach::doses::doses;
    use calc::reach::plan::Plan;
    use calc::reach::proven::Proof as Said;
    use calc::reach::window::window;
    use calc::rig::Rig;
    use records::examples::{DITCH_BANK_TRUCK, ExampleField};
    use records::rig::RigView;
    use std::collections::BTreeMap;
    use units::Share;

    fn plan(change: &[ExampleField]) -> Plan {
        let texts: BTreeMap<String, String> = DITCH_BANK_TRUCK
            .iter()
            .chain(change)
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
            .collect();
        Plan::new(rig_of(&RigView::read(&texts)))
    }

    fn told(change: Change) -> String {
        let suggestion =
            Suggestion { change, plan: Plan::new(Rig::blank()), window: Window::Unknown, size: None };
        let own = OwnNozzles::default();
        let text = change_text(
            &suggestion,
            &own,
            SpeedUnit::MilePerHour,
            VolumePerAreaUnit::UsGallonPerAcre,
            PressureUnit::Psi,
        );
        text.replace('\u{a0}', " ")
    }

    #[test]
    fn a_part_to_be_replaced_is_told_with_what_it_must_give() {
        let oz = |oz| Some(FlowRate::from_us_fl_oz_per_min(oz));
        let gal = |gal| Some(FlowRate::from_us_gal_per_min(gal));
        assert_eq!(
            told(Change::PumpRange { pump_idx: 1, least: oz(2.5), greatest: oz(95.0) }),
            "Another pump in the place of pump 2, that gives 2.5 fl oz/min or less and 95 fl oz/min or more: ?"
        );
        assert_eq!(
            told(Change::MeterRange { least: None, greatest: gal(75.0) }),
            "Another flow meter, that is rated for 75 gal/min or more: ?"
        );
        assert_eq!(
            told(Change::SupplyFlow { greatest: FlowRate::from_us_gal_per_min(88.0) }),
            "A supply pump of 88 gal/min or more: ?"
        );
        assert_eq!(
            told(Change::HoldSpeed { from: Speed::from_mph(5.0), to: None }),
            "No minimum-speed hold instead of 5 mph: ?"
        );
    }

    // The example's second rate of 96 fl oz/ac and both its nudges, 105.6 and 86.4, against a label maximum of 80. Worst
    // where the window begins, at 4.77 mph, below the hold at 5: 105.6 × 5 ÷ 4.77 ÷ 80 is 38 % over.
    #[test]
    fn refused_rates_of_one_pump_are_named_in_one_sentence_with_the_worst() {
        let refused = doses(&plan(&[("pump.1.label_greatest", "sheet;us_fl_oz_per_ac;80")])).refused;
        let texts = refusal_texts(&refused, SpeedUnit::MilePerHour);
        assert_eq!(refused.len(), 3);
        assert_eq!(texts.len(), 1, "{texts:?}");
        for part in ["pump 1", "second rate", "nudged up", "nudged down", "38\u{a0}%"] {
            assert!(texts[0].contains(part), "{part} in {texts:?}");
        }
    }

    // By hand: the nozzles' end at 4.77 mph, the meter known to 1 % with k = 1.96, is open by 0.093 mph either way.
    #[test]
    fn an_end_that_rests_on_a_proven_number_is_told_with_its_interval() {
        let mut plan = plan(&[]);
        assert_eq!(surely_text(&window(&plan), SpeedUnit::MilePerHour), None);
        plan.proven.meter = Some(Said::known(Share::from_percent(1.0)));
        let reach = window(&plan);
        let texts = binding_texts(&reach.window, SpeedUnit::MilePerHour);
        assert!(texts[0].contains("between 4.68\u{a0}mph and 4.87\u{a0}mph"), "{texts:?}");
        assert!(texts[1].contains("11\u{a0}mph") && !texts[1].contains("between"), "{texts:?}");
        let surely = surely_text(&reach, SpeedUnit::MilePerHour).unwrap();
        assert!(surely.contains("from 4.87\u{a0}mph to 11\u{a0}mph"), "{surely}");
    }
}
