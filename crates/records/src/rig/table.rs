//! The paths of a rig, one row each. The limits keep slips of the finger out and are ours: no rig is near them.

use units::{Area, Density, FlowRate, Length, Pressure, Speed, Volume};

use crate::fields::Holds::{
    Choice, Count, DistanceConvention, DistancePulses, IsoNumber, Number, Quantity, UnitOf, VolumeConvention,
    VolumePulses, Words,
};
use crate::fields::{FieldSpec, Measure, Need, plain};

/// Most sections a rig can have.
pub const MOST_SECTIONS: u32 = 36;

/// Most injection pumps a rig can have.
pub const MOST_PUMPS: u32 = 6;

/// Most nozzle sets of the user's own, besides the one on the rig.
pub const MOST_SETS: u32 = 8;

/// Most rows of the user's own droplet table.
pub const MOST_DROPLET_ROWS: u32 = 36;

/// Entries of a console, as in `keyin.meter.step`. `N` stands for the number of a pump.
pub const KEY_IN_ENTRIES: &[&str] = &[
    "meter",
    "course",
    "width",
    "carrier_rate",
    "pump.N.number",
    "pump.N.rate",
    "nudge",
    "standing_speed",
    "hold_speed",
];

const LITRE: f64 = Volume::from_l(1.0).as_m3();
const LITRE_PER_MIN: f64 = FlowRate::from_l_per_min(1.0).as_m3_per_s();
const LITRE_PER_HA: f64 = Volume::from_l(1.0).as_m3() / Area::from_ha(1.0).as_m2();
const BAR: f64 = Pressure::from_bar(1.0).as_pa();
const FASTEST: f64 = Speed::from_mph(60.0).as_m_per_s();
const SLOWEST: f64 = Speed::from_km_per_h(0.1).as_m_per_s();
const WIDEST: f64 = Length::from_m(40.0).as_m();
const LONGEST: f64 = Length::from_m(500.0).as_m();
const NARROWEST: f64 = Length::from_mm(0.5).as_m();
const THICKEST: f64 = Length::from_mm(500.0).as_m();
const LIGHTEST: f64 = Density::from_specific_gravity(0.5).as_kg_per_m3();
const HEAVIEST: f64 = Density::from_specific_gravity(2.5).as_kg_per_m3();

const YES: Need = Need::Yes;
const NO: Need = Need::No;

pub(super) const HOSE_BY: &[&str] = &["reach", "same", "each"];
pub(super) const FEED: &[&str] = &["centre", "inner", "left", "right", "share"];
pub(super) const WALL: &[&str] = &["smooth", "steel", "galvanized", "own"];
pub(super) const LAW: &[&str] = &["swamee_jain", "colebrook"];
pub(super) const GAUGE: &[&str] = &["manifold", "supply", "injection"];

/// A shorthand that keeps the table readable.
const fn row(
    path: &'static str,
    holds: crate::fields::Holds,
    least: f64,
    greatest: f64,
    need: Need,
) -> FieldSpec {
    FieldSpec::new(path, holds, least, greatest, need)
}

/// Every path of a rig. The first choice of a [`Choice`] holds where nothing was chosen.
pub const FIELDS: &[FieldSpec] = &[
    plain("name", Words, YES),
    plain("note", Words, NO),
    plain("removed", Words, NO),
    plain("system", Choice(&["us", "metric"]), NO),
    row("tank.volume", Quantity(Measure::Volume), LITRE, 50_000.0 * LITRE, NO),
    row("supply.greatest", Quantity(Measure::FlowRate), 0.1 * LITRE_PER_MIN, 10_000.0 * LITRE_PER_MIN, NO),
    row("supply.agitation", Quantity(Measure::Share), 0.0, 0.95, NO),
    row("supply.reserve", Quantity(Measure::Share), 0.0, 0.95, NO),
    // Pulses per cubic metre: one pulse per 100 L to a million per litre.
    row("meter.number", VolumePulses("meter.convention"), 10.0, 1e9, YES),
    plain("meter.convention", VolumeConvention, YES),
    row("meter.least", Quantity(Measure::FlowRate), 0.001 * LITRE_PER_MIN, 10_000.0 * LITRE_PER_MIN, NO),
    row("meter.greatest", Quantity(Measure::FlowRate), 0.001 * LITRE_PER_MIN, 10_000.0 * LITRE_PER_MIN, NO),
    plain("speed.by", Choice(&["number", "wheel"]), NO),
    // Pulses per metre: one pulse per 100 m to a hundred thousand per metre.
    row("speed.number", DistancePulses("speed.convention"), 0.01, 1e5, Need::If("speed.by", "number")),
    plain("speed.convention", DistanceConvention, YES),
    row("wheel.circumference", Quantity(Measure::Length), 0.1, 15.0, Need::If("speed.by", "wheel")),
    row("wheel.pulses_per_turn", Number, 0.1, 100_000.0, Need::If("speed.by", "wheel")),
    row("section.count", Count, 1.0, MOST_SECTIONS as f64, YES),
    plain("section.N.by", Choice(&["width", "nozzles"]), NO),
    row("section.N.width", Quantity(Measure::Length), 0.05, WIDEST, Need::If("section.N.by", "width")),
    row("section.N.nozzles", Count, 1.0, 400.0, Need::If("section.N.by", "nozzles")),
    row("section.N.spacing", Quantity(Measure::Length), 0.02, 5.0, NO),
    plain("nozzle.by", Choice(&["iso", "flow"]), NO),
    row("nozzle.iso", IsoNumber, 0.0, 0.0, NO),
    row(
        "nozzle.flow",
        Quantity(Measure::FlowRate),
        0.01 * LITRE_PER_MIN,
        200.0 * LITRE_PER_MIN,
        Need::If("nozzle.by", "flow"),
    ),
    row(
        "nozzle.pressure",
        Quantity(Measure::Pressure),
        0.05 * BAR,
        60.0 * BAR,
        Need::If("nozzle.by", "flow"),
    ),
    row("nozzle.least_pressure", Quantity(Measure::Pressure), 0.05 * BAR, 60.0 * BAR, NO),
    row("nozzle.greatest_pressure", Quantity(Measure::Pressure), 0.05 * BAR, 60.0 * BAR, NO),
    row("nozzle.spacing", Quantity(Measure::Length), 0.02, 5.0, NO),
    row("set.count", Count, 0.0, MOST_SETS as f64, NO),
    plain("set.N.name", Words, NO),
    plain("set.N.by", Choice(&["iso", "flow"]), NO),
    row("set.N.iso", IsoNumber, 0.0, 0.0, NO),
    row(
        "set.N.flow",
        Quantity(Measure::FlowRate),
        0.01 * LITRE_PER_MIN,
        200.0 * LITRE_PER_MIN,
        Need::If("set.N.by", "flow"),
    ),
    row("set.N.pressure", Quantity(Measure::Pressure), 0.05 * BAR, 60.0 * BAR, Need::If("set.N.by", "flow")),
    row("set.N.least_pressure", Quantity(Measure::Pressure), 0.05 * BAR, 60.0 * BAR, NO),
    row("set.N.greatest_pressure", Quantity(Measure::Pressure), 0.05 * BAR, 60.0 * BAR, NO),
    // Rows of a nozzle maker's table as the user keyed it in; classes are the user's words.
    row("droplet.count", Count, 0.0, MOST_DROPLET_ROWS as f64, NO),
    // Empty: the set on the rig; else the number of an own set.
    plain("droplet.N.set", Words, NO),
    row("droplet.N.pressure", Quantity(Measure::Pressure), 0.05 * BAR, 60.0 * BAR, NO),
    plain("droplet.N.class", Words, NO),
    row("pump.count", Count, 0.0, MOST_PUMPS as f64, NO),
    plain("pump.N.name", Words, NO),
    // Pulses per cubic metre: one pulse per 10 L to ten million per litre.
    row("pump.N.number", VolumePulses("pump.N.convention"), 100.0, 1e10, YES),
    plain("pump.N.convention", VolumeConvention, YES),
    row("pump.N.least", Quantity(Measure::FlowRate), 1e-5 * LITRE_PER_MIN, 500.0 * LITRE_PER_MIN, NO),
    row("pump.N.greatest", Quantity(Measure::FlowRate), 1e-4 * LITRE_PER_MIN, 500.0 * LITRE_PER_MIN, NO),
    row("pump.N.first", Quantity(Measure::ProductRate), 1e-5 * LITRE_PER_HA, 1000.0 * LITRE_PER_HA, NO),
    row("pump.N.second", Quantity(Measure::ProductRate), 1e-5 * LITRE_PER_HA, 1000.0 * LITRE_PER_HA, NO),
    row("pump.N.nudge", Quantity(Measure::Share), 0.001, 0.5, NO),
    row(
        "pump.N.label_greatest",
        Quantity(Measure::VolumePerArea),
        1e-5 * LITRE_PER_HA,
        1000.0 * LITRE_PER_HA,
        NO,
    ),
    plain("carrier.mode", Choice(&["regulated", "manual"]), NO),
    row(
        "carrier.rate",
        Quantity(Measure::VolumePerArea),
        0.5 * LITRE_PER_HA,
        50_000.0 * LITRE_PER_HA,
        Need::If("carrier.mode", "regulated"),
    ),
    row(
        "carrier.pressure",
        Quantity(Measure::Pressure),
        0.05 * BAR,
        60.0 * BAR,
        Need::If("carrier.mode", "manual"),
    ),
    row("carrier.specific_gravity", Quantity(Measure::Density), LIGHTEST, HEAVIEST, NO),
    row("standing.speed", Quantity(Measure::Speed), SLOWEST, FASTEST, NO),
    row("hold.speed", Quantity(Measure::Speed), SLOWEST, FASTEST, NO),
    row("top.speed", Quantity(Measure::Speed), SLOWEST, FASTEST, NO),
    row("settle.carrier.dead", Quantity(Measure::Duration), 0.0, 60.0, NO),
    row("settle.carrier.constant", Quantity(Measure::Duration), 0.0, 60.0, NO),
    row("settle.pump.dead", Quantity(Measure::Duration), 0.0, 60.0, NO),
    row("settle.pump.constant", Quantity(Measure::Duration), 0.0, 60.0, NO),
    plain("settle.switch", Choice(&["pressure", "flow"]), NO),
    // How liquid gets from the supply to the nozzles; a rig is whole without any of it.
    row("plumbing.supply_length", Quantity(Measure::Length), 0.0, LONGEST, NO),
    row("plumbing.main_length", Quantity(Measure::Length), 0.0, LONGEST, NO),
    row("plumbing.main_bore", Quantity(Measure::Length), NARROWEST, THICKEST, NO),
    plain("plumbing.hose_by", Choice(HOSE_BY), NO),
    row("plumbing.hose_length", Quantity(Measure::Length), 0.0, LONGEST, NO),
    row("plumbing.hose_extra", Quantity(Measure::Length), 0.0, LONGEST, NO),
    row("plumbing.section.N.hose", Quantity(Measure::Length), 0.0, LONGEST, NO),
    row("plumbing.hose_bore", Quantity(Measure::Length), NARROWEST, THICKEST, NO),
    plain("plumbing.feed", Choice(FEED), NO),
    row("plumbing.feed_share", Quantity(Measure::Share), 0.0, 1.0, Need::If("plumbing.feed", "share")),
    row("plumbing.section_bore", Quantity(Measure::Length), NARROWEST, THICKEST, NO),
    row("plumbing.valve_loss", Number, 0.0, 10_000.0, NO),
    row("plumbing.boom_height", Quantity(Measure::Length), -20.0, 20.0, NO),
    plain("plumbing.wall", Choice(WALL), NO),
    row("plumbing.roughness", Quantity(Measure::Length), 0.0, 0.01, Need::If("plumbing.wall", "own")),
    // Millipascal seconds: from liquids thinner than any water to syrup.
    row("plumbing.viscosity", Number, 0.1, 10_000.0, NO),
    row("plumbing.greatest_pressure", Quantity(Measure::Pressure), 0.05 * BAR, 100.0 * BAR, NO),
    plain("plumbing.law", Choice(LAW), NO),
    plain("plumbing.gauge", Choice(GAUGE), NO),
    row("plumbing.gauge_reading", Quantity(Measure::Pressure), 0.05 * BAR, 100.0 * BAR, NO),
    row("plumbing.piece.*.length", Quantity(Measure::Length), 0.0, LONGEST, NO),
    row("plumbing.piece.*.bore", Quantity(Measure::Length), NARROWEST, THICKEST, NO),
    row("plumbing.piece.*.roughness", Quantity(Measure::Length), 0.0, 0.01, NO),
    row("plumbing.piece.*.loss", Number, 0.0, 10_000.0, NO),
    plain("plumbing.piece.*.from", Words, NO),
    plain("plumbing.piece.*.to", Words, NO),
    row("plumbing.piece.*.height", Quantity(Measure::Length), -20.0, 20.0, NO),
    row("plumbing.piece.*.nozzle", Quantity(Measure::Share), 0.0, 5.0, NO),
    row("lag.speed", Quantity(Measure::Speed), SLOWEST, FASTEST, NO),
    row("lag.rate", Quantity(Measure::VolumePerArea), 0.5 * LITRE_PER_HA, 50_000.0 * LITRE_PER_HA, NO),
    row("keyin.meter.step", Number, 1e-6, 1e6, NO),
    row("keyin.meter.largest", Number, 1e-6, 1e12, NO),
    row("keyin.course.step", Number, 1e-6, 1e6, NO),
    row("keyin.course.largest", Number, 1e-6, 1e12, NO),
    plain("keyin.width.unit", UnitOf(Measure::Length), NO),
    row("keyin.width.step", Number, 1e-6, 1e6, NO),
    row("keyin.width.largest", Number, 1e-6, 1e12, NO),
    plain("keyin.carrier_rate.unit", UnitOf(Measure::VolumePerArea), NO),
    row("keyin.carrier_rate.step", Number, 1e-6, 1e6, NO),
    row("keyin.carrier_rate.largest", Number, 1e-6, 1e12, NO),
    row("keyin.pump.N.number.step", Number, 1e-6, 1e6, NO),
    row("keyin.pump.N.number.largest", Number, 1e-6, 1e12, NO),
    plain("keyin.pump.N.rate.unit", UnitOf(Measure::ProductRate), NO),
    row("keyin.pump.N.rate.step", Number, 1e-6, 1e6, NO),
    row("keyin.pump.N.rate.largest", Number, 1e-6, 1e12, NO),
    plain("keyin.nudge.unit", UnitOf(Measure::Share), NO),
    row("keyin.nudge.step", Number, 1e-6, 1e6, NO),
    row("keyin.nudge.largest", Number, 1e-6, 1e12, NO),
    plain("keyin.standing_speed.unit", UnitOf(Measure::Speed), NO),
    row("keyin.standing_speed.step", Number, 1e-6, 1e6, NO),
    row("keyin.standing_speed.largest", Number, 1e-6, 1e12, NO),
    plain("keyin.hold_speed.unit", UnitOf(Measure::Speed), NO),
    row("keyin.hold_speed.step", Number, 1e-6, 1e6, NO),
    row("keyin.hold_speed.largest", Number, 1e-6, 1e12, NO),
];

/// The row that a path belongs to.
#[must_use]
pub fn spec_of(path: &str) -> Option<&'static FieldSpec> {
    FIELDS.iter().find(|spec| spec.fits(path))
}
