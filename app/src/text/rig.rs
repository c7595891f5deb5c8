//! What the form of a rig says.

use super::{problem, words};
use crate::state::sheet::System;
use records::Source;
use records::rig::{RigProblem, RigProblemKind};
use units::{Form, PulseConvention, Unit};

pub(crate) struct RigWords {
    pub(crate) title: &'static str,
    pub(crate) unit: &'static str,
    pub(crate) choose: &'static str,
    pub(crate) name: &'static str,
    pub(crate) note: &'static str,
    pub(crate) note_hint: &'static str,
    pub(crate) source_of: fn(label: &str) -> String,
    pub(crate) source_unsaid: &'static str,
    pub(crate) source_stamped: &'static str,
    pub(crate) source_sheet: &'static str,
    pub(crate) source_measured: &'static str,
    pub(crate) source_guessed: &'static str,
    pub(crate) source_proven: fn(on: &str) -> String,
    pub(crate) carrier_supply: &'static str,
    pub(crate) tank: &'static str,
    pub(crate) supply_greatest: &'static str,
    pub(crate) supply_agitation: &'static str,
    pub(crate) supply_agitation_hint: &'static str,
    pub(crate) supply_reserve: &'static str,
    pub(crate) supply_reserve_hint: &'static str,
    pub(crate) meter: &'static str,
    pub(crate) meter_convention: &'static str,
    pub(crate) meter_number: &'static str,
    pub(crate) meter_number_hint: &'static str,
    pub(crate) meter_least: &'static str,
    pub(crate) meter_greatest: &'static str,
    pub(crate) own_convention: &'static str,
    pub(crate) form: &'static str,
    pub(crate) counting: &'static str,
    pub(crate) spacing: &'static str,
    pub(crate) amount_counting: &'static str,
    pub(crate) amount_spacing: &'static str,
    pub(crate) counting_text: fn(amount: &str, unit: &str) -> String,
    pub(crate) spacing_text: fn(amount: &str, unit: &str) -> String,
    pub(crate) speed_sensor: &'static str,
    pub(crate) speed_convention: &'static str,
    pub(crate) speed_by: &'static str,
    pub(crate) speed_by_number: &'static str,
    pub(crate) speed_by_wheel: &'static str,
    pub(crate) speed_number: &'static str,
    pub(crate) speed_number_hint: &'static str,
    pub(crate) circumference: &'static str,
    pub(crate) circumference_hint: &'static str,
    pub(crate) pulses_per_turn: &'static str,
    pub(crate) sections: &'static str,
    pub(crate) section_count: &'static str,
    pub(crate) section_n: fn(n: u32) -> String,
    pub(crate) section_width: fn(n: u32) -> String,
    pub(crate) width_hint: &'static str,
    pub(crate) section_nozzles: fn(n: u32) -> String,
    pub(crate) section_nozzles_hint: &'static str,
    pub(crate) section_spacing: fn(n: u32) -> String,
    pub(crate) section_spacing_hint: &'static str,
    pub(crate) by_width: &'static str,
    pub(crate) by_nozzles: &'static str,
    pub(crate) nozzles: &'static str,
    pub(crate) nozzle_by: &'static str,
    pub(crate) nozzle_by_iso: &'static str,
    pub(crate) nozzle_by_flow: &'static str,
    pub(crate) nozzle_iso: &'static str,
    pub(crate) nozzle_iso_hint: &'static str,
    pub(crate) nozzle_flow: &'static str,
    pub(crate) nozzle_pressure: &'static str,
    pub(crate) nozzle_least: &'static str,
    pub(crate) nozzle_greatest: &'static str,
    pub(crate) nozzle_spacing: &'static str,
    pub(crate) own_sets: &'static str,
    pub(crate) set_count: &'static str,
    pub(crate) set_count_hint: &'static str,
    pub(crate) set_n: fn(n: u32) -> String,
    pub(crate) of_set: fn(n: u32, what: &str) -> String,
    pub(crate) set_name: &'static str,
    pub(crate) set_on_rig: &'static str,
    pub(crate) droplets: &'static str,
    pub(crate) droplet_count: &'static str,
    pub(crate) droplet_count_hint: &'static str,
    pub(crate) of_droplet: fn(n: u32, what: &str) -> String,
    pub(crate) droplet_set: &'static str,
    pub(crate) droplet_pressure: &'static str,
    pub(crate) droplet_class: &'static str,
    pub(crate) droplet_class_hint: &'static str,
    pub(crate) pumps: &'static str,
    pub(crate) pump_count: &'static str,
    pub(crate) pump_n: fn(n: u32) -> String,
    pub(crate) of_pump: fn(n: u32, what: &str) -> String,
    pub(crate) pump_product: &'static str,
    pub(crate) pump_convention: &'static str,
    pub(crate) pump_number: &'static str,
    pub(crate) pump_least: &'static str,
    pub(crate) pump_greatest: &'static str,
    pub(crate) first_rate: &'static str,
    pub(crate) second_rate: &'static str,
    pub(crate) second_rate_hint: &'static str,
    pub(crate) nudge: &'static str,
    pub(crate) nudge_hint: &'static str,
    pub(crate) label_greatest: &'static str,
    pub(crate) label_greatest_hint: &'static str,
    pub(crate) rates: &'static str,
    pub(crate) carrier_mode: &'static str,
    pub(crate) regulated: &'static str,
    pub(crate) manual: &'static str,
    pub(crate) carrier_rate: &'static str,
    pub(crate) carrier_pressure: &'static str,
    pub(crate) carrier_pressure_hint: &'static str,
    pub(crate) density: &'static str,
    pub(crate) density_hint: &'static str,
    pub(crate) standing_speed: &'static str,
    pub(crate) standing_speed_hint: &'static str,
    pub(crate) hold_speed: &'static str,
    pub(crate) hold_speed_hint: &'static str,
    pub(crate) top_speed: &'static str,
    pub(crate) console: &'static str,
    pub(crate) console_hint: &'static str,
    pub(crate) entry_width: &'static str,
    pub(crate) entry_rate: &'static str,
    pub(crate) entry_unit: &'static str,
    pub(crate) entry_step: &'static str,
    pub(crate) entry_largest: &'static str,
    pub(crate) findings: &'static str,
    pub(crate) nothing_missing: &'static str,
    pub(crate) to_key_in: &'static str,
    pub(crate) to_prove: &'static str,
    pub(crate) copy: &'static str,
    pub(crate) copy_of: fn(name: &str) -> String,
    pub(crate) remove: &'static str,
    pub(crate) remove_hint: &'static str,
}

/// A convention in words: `pulses per 10 gal`, `cm per 1000 pulses`.
pub(crate) fn convention_text<U: Unit>(convention: PulseConvention<U>) -> String {
    let w = &words().rig;
    let amount = convention.amount.to_string();
    match convention.form {
        Form::Counting => (w.counting_text)(&amount, convention.unit.symbol()),
        Form::Spacing => (w.spacing_text)(&amount, convention.unit.symbol()),
    }
}

/// Where a number came from, in words.
pub(crate) fn source_text(source: &Source) -> String {
    let w = &words().rig;
    match source {
        Source::Stamped => w.source_stamped.to_owned(),
        Source::Sheet => w.source_sheet.to_owned(),
        Source::Measured => w.source_measured.to_owned(),
        Source::Guessed => w.source_guessed.to_owned(),
        Source::Proven { on, .. } => (w.source_proven)(on),
        Source::Other(code) => code.clone(),
    }
}

/// What is wrong with a rig, as one sentence that begins with the place.
pub(crate) fn problem_text(found: &RigProblem, system: System) -> String {
    let w = &words().rig_problem;
    let place = found.paths.first().map(|path| place_text(path)).unwrap_or_default();
    let sentence = match &found.kind {
        RigProblemKind::Field(field) => problem::field_problem(field, system),
        RigProblemKind::LeastAboveGreatest => w.least_above_greatest.to_owned(),
        RigProblemKind::RateAboveLabel { ratio, .. } => {
            (w.above_label)(&super::number::percent(ratio - 1.0, 2))
        }
        RigProblemKind::PastConsole { value, largest } => {
            (w.past_console)(&super::number::significant(*value, 6), &super::number::significant(*largest, 6))
        }
        RigProblemKind::BeyondCount { n, count } => (w.beyond_count)(*n, *count),
        RigProblemKind::NoSpacing { .. } => w.no_spacing.to_owned(),
        RigProblemKind::NotInForce => w.not_in_force.to_owned(),
        RigProblemKind::StandingBelowHold => w.standing_below_hold.to_owned(),
        RigProblemKind::AboveTopSpeed => w.above_top_speed.to_owned(),
        _ => words().problem.other.to_owned(),
    };
    format!("{place}: {sentence}")
}

/// The label of the box that a path stands in.
pub(crate) fn place_text(path: &str) -> String {
    let w = &words().rig;
    let parts: Vec<&str> = path.split('.').collect();
    let number = |n: &str| n.parse::<u32>().unwrap_or(0);
    match parts.as_slice() {
        ["section", n, "width"] => (w.section_width)(number(n)),
        ["section", n, "nozzles"] => (w.section_nozzles)(number(n)),
        ["section", n, "by"] => (w.section_n)(number(n)),
        ["section", n, _] => (w.section_spacing)(number(n)),
        ["pump", n, what] => (w.of_pump)(number(n), pump_field(what)),
        ["set", n, "name"] => (w.of_set)(number(n), w.set_name),
        ["set", n, what] => (w.of_set)(number(n), field_label(&format!("nozzle.{what}"))),
        ["droplet", n, "pressure"] => (w.of_droplet)(number(n), w.droplet_pressure),
        ["droplet", n, "class"] => (w.of_droplet)(number(n), w.droplet_class),
        ["droplet", n, _] => (w.of_droplet)(number(n), w.droplet_set),
        ["keyin", "pump", n, what, kind] => {
            let entry = if *what == "number" { w.pump_number } else { w.entry_rate };
            format!("{}: {}", (w.of_pump)(number(n), entry), entry_field(kind))
        }
        ["keyin", entry, kind] => format!("{}: {}", entry_title(entry), entry_field(kind)),
        ["plumbing" | "lag", ..] => super::plumbing::place_text(path),
        ["settle", ..] => (words().pass.settle_label)(path).to_owned(),
        _ => field_label(path).to_owned(),
    }
}

/// What a console's entry is called.
pub(crate) fn entry_title(entry: &str) -> &'static str {
    let w = &words().rig;
    match entry {
        "meter" => w.meter_number,
        "course" => w.speed_number,
        "width" => w.entry_width,
        "carrier_rate" => w.carrier_rate,
        "nudge" => w.nudge,
        "standing_speed" => w.standing_speed,
        "hold_speed" => w.hold_speed,
        _ => w.console,
    }
}

fn entry_field(kind: &str) -> &'static str {
    let w = &words().rig;
    match kind {
        "step" => w.entry_step,
        "largest" => w.entry_largest,
        _ => w.entry_unit,
    }
}

fn pump_field(what: &str) -> &'static str {
    let w = &words().rig;
    match what {
        "name" => w.pump_product,
        "convention" => w.pump_convention,
        "number" => w.pump_number,
        "least" => w.pump_least,
        "greatest" => w.pump_greatest,
        "first" => w.first_rate,
        "second" => w.second_rate,
        "nudge" => w.nudge,
        _ => w.label_greatest,
    }
}

fn field_label(path: &str) -> &'static str {
    let w = &words().rig;
    match path {
        "name" => w.name,
        "note" => w.note,
        "tank.volume" => w.tank,
        "supply.greatest" => w.supply_greatest,
        "supply.agitation" => w.supply_agitation,
        "supply.reserve" => w.supply_reserve,
        "meter.convention" => w.meter_convention,
        "meter.number" => w.meter_number,
        "meter.least" => w.meter_least,
        "meter.greatest" => w.meter_greatest,
        "speed.convention" => w.speed_convention,
        "speed.by" => w.speed_by,
        "nozzle.by" => w.nozzle_by,
        "carrier.mode" => w.carrier_mode,
        "speed.number" => w.speed_number,
        "wheel.circumference" => w.circumference,
        "wheel.pulses_per_turn" => w.pulses_per_turn,
        "section.count" => w.section_count,
        "nozzle.iso" => w.nozzle_iso,
        "nozzle.flow" => w.nozzle_flow,
        "nozzle.pressure" => w.nozzle_pressure,
        "nozzle.least_pressure" => w.nozzle_least,
        "nozzle.greatest_pressure" => w.nozzle_greatest,
        "nozzle.spacing" => w.nozzle_spacing,
        "set.count" => w.set_count,
        "droplet.count" => w.droplet_count,
        "pump.count" => w.pump_count,
        "carrier.rate" => w.carrier_rate,
        "carrier.pressure" => w.carrier_pressure,
        "carrier.specific_gravity" => w.density,
        "standing.speed" => w.standing_speed,
        "hold.speed" => w.hold_speed,
        "top.speed" => w.top_speed,
        _ => w.title,
    }
}

/// Problems across the fields of a rig.
pub(crate) struct RigProblemWords {
    pub(crate) least_above_greatest: &'static str,
    pub(crate) above_label: fn(by: &str) -> String,
    pub(crate) past_console: fn(value: &str, largest: &str) -> String,
    pub(crate) beyond_count: fn(n: u32, count: u32) -> String,
    pub(crate) no_spacing: &'static str,
    pub(crate) not_in_force: &'static str,
    pub(crate) standing_below_hold: &'static str,
    pub(crate) above_top_speed: &'static str,
}
