//! The key-in sheet as rows: what the console wants for each entry, in its unit and step, and what a slip would do.

use crate::bridge::rig::{forms_of, keyed_course, keyed_meter, keyed_pump, rig_of, step_of};
use crate::state::sheet::System;
use crate::text::measure;
use calc::keyin::{KeyIn, KeyInError, key_in};
use calc::model::KeyedNumber;
use calc::sensitivity::{self, Effect};
use records::fields::Measure;
use records::rig::{CarrierMode, RigView};
use records::{FieldValue, ProductRate, Source};
use units::{
    KeyInStep, Length, LengthUnit, Quantity, Share, ShareUnit, Speed, SpeedUnit, Unit, VolumePerArea,
    VolumePerAreaUnit, VolumePerCarrier, VolumePerCarrierUnit,
};

/// Which entry of the console. Sections and pumps count from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Entry {
    /// Meter number.
    Meter,
    /// Course number.
    Course,
    /// Width of a section.
    Width(u32),
    /// Carrier rate.
    CarrierRate,
    /// A pump's number.
    Pump(u32),
    /// A pump's product rate.
    First(u32),
    /// A pump's second rate.
    Second(u32),
    /// A pump's nudge step.
    Nudge(u32),
    /// Standing-test speed.
    Standing,
    /// Minimum-speed hold.
    Hold,
}

/// In what the number is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum In {
    /// A unit, by its symbol.
    Unit(&'static str),
    /// A convention over pulses, by its code.
    Convention(String),
}

/// One row of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    /// Which entry.
    pub(crate) entry: Entry,
    /// What to key in, or why it cannot be; `None` where the rig does not say.
    pub(crate) number: Option<Result<KeyIn, KeyInError>>,
    /// Decimals of the console's step; `None` where no step is known.
    pub(crate) decimals: Option<usize>,
    /// In what it is.
    pub(crate) shown_in: In,
    /// Where it came from.
    pub(crate) source: Option<Source>,
    /// What happens when it is 1 % high; `None` where the rig does not say enough.
    pub(crate) effect: Option<Effect>,
}

/// The whole sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct KeySheet {
    /// In the order of the console's usual set-up.
    pub(crate) rows: Vec<Row>,
    /// Cumulative width as sections go on from the left; empty while one is unknown.
    pub(crate) cumulative: Vec<Length>,
    /// The unit in which widths are keyed in.
    pub(crate) width_unit: LengthUnit,
    /// The carrier is left in manual: no rate is keyed in.
    pub(crate) manual: bool,
}

/// Reads the sheet off a rig.
pub(crate) fn sheet_of(view: &RigView, system: System) -> KeySheet {
    let rig = rig_of(view);
    let effects = sensitivity::sheet(&rig, &forms_of(view), Share::from_percent(1.0)).unwrap_or_default();
    let effect_of = |number: KeyedNumber| effects.iter().find(|effect| effect.number == number).cloned();
    let unit_of = |entry: &str| view.key_in.get(entry).and_then(|e| e.unit.clone());
    let width_unit = unit_of("width")
        .and_then(|code| LengthUnit::from_code(&code))
        .unwrap_or(if system == System::Us { LengthUnit::Foot } else { LengthUnit::Metre });
    let manual = view.carrier.mode.ok() == Some(CarrierMode::Manual);
    let mut rows = Vec::new();

    rows.push(Row {
        entry: Entry::Meter,
        number: keyed_meter(view).map(|keyed| key_in(keyed.number, keyed.step)),
        decimals: decimals(view, "meter"),
        shown_in: In::Convention(
            view.meter.convention.ok().map_or_else(String::new, units::PulseConvention::code),
        ),
        source: source(view.meter.number.value.as_ref()),
        effect: effect_of(KeyedNumber::Meter),
    });
    let wheel_or_number = view.speed.number.value.as_ref().or(view.speed.circumference.value.as_ref());
    rows.push(Row {
        entry: Entry::Course,
        number: keyed_course(view).map(|keyed| key_in(keyed.number, keyed.step)),
        decimals: decimals(view, "course"),
        shown_in: In::Convention(
            view.speed.convention.ok().map_or_else(String::new, units::PulseConvention::code),
        ),
        source: source(wheel_or_number),
        effect: effect_of(KeyedNumber::Course),
    });
    for (idx, section) in view.sections.iter().enumerate() {
        rows.push(Row {
            entry: Entry::Width(section.n),
            number: section.working_width.map(|w| key_in(w.in_unit(width_unit), step_of(view, "width"))),
            decimals: decimals(view, "width"),
            shown_in: In::Unit(width_unit.symbol()),
            source: source(section.width.value.as_ref().or(section.spacing.value.as_ref())),
            effect: effect_of(KeyedNumber::Width(idx)),
        });
    }
    if !manual {
        let unit = quantity_unit::<VolumePerArea>(unit_of("carrier_rate"), Measure::VolumePerArea, system);
        rows.push(Row {
            entry: Entry::CarrierRate,
            number: number_in(view.carrier.rate.ok().map(|t| t.value), unit, step_of(view, "carrier_rate")),
            decimals: decimals(view, "carrier_rate"),
            shown_in: In::Unit(unit.map_or("", VolumePerAreaUnit::symbol)),
            source: source(view.carrier.rate.value.as_ref()),
            effect: effect_of(KeyedNumber::CarrierRate),
        });
    }
    for (idx, pump) in view.pumps.iter().enumerate() {
        let n = pump.n;
        let (number_entry, rate_entry) = (format!("pump.{n}.number"), format!("pump.{n}.rate"));
        rows.push(Row {
            entry: Entry::Pump(n),
            number: keyed_pump(view, n).map(|keyed| key_in(keyed.number, keyed.step)),
            decimals: decimals(view, &number_entry),
            shown_in: In::Convention(
                pump.convention.ok().map_or_else(String::new, units::PulseConvention::code),
            ),
            source: source(pump.number.value.as_ref()),
            effect: effect_of(KeyedNumber::Pump(idx)),
        });
        let wanted = unit_of(&rate_entry);
        for (entry, reading, number) in [
            (Entry::First(n), &pump.first, KeyedNumber::FirstRate(idx)),
            (Entry::Second(n), &pump.second, KeyedNumber::SecondRate(idx)),
        ] {
            if entry == Entry::Second(n) && reading.value.is_none() {
                continue;
            }
            let rate = reading.ok().map(|rate| rate_in(rate, wanted.as_deref()));
            rows.push(Row {
                entry,
                number: rate.map(|(value, _)| key_in(value, step_of(view, &rate_entry))),
                decimals: decimals(view, &rate_entry),
                shown_in: In::Unit(rate.map_or("", |(_, symbol)| symbol)),
                source: source(reading.value.as_ref()),
                effect: effect_of(number),
            });
        }
        if pump.nudge.value.is_some() {
            rows.push(Row {
                entry: Entry::Nudge(n),
                number: number_in(
                    pump.nudge.ok().map(|t| t.value),
                    Some(ShareUnit::Percent),
                    step_of(view, "nudge"),
                ),
                decimals: decimals(view, "nudge"),
                shown_in: In::Unit(ShareUnit::Percent.symbol()),
                source: source(pump.nudge.value.as_ref()),
                effect: effect_of(KeyedNumber::NudgeStep(idx)),
            });
        }
    }
    for (entry, name, reading, number) in [
        (Entry::Standing, "standing_speed", &view.standing_speed, KeyedNumber::StandingSpeed),
        (Entry::Hold, "hold_speed", &view.hold_speed, KeyedNumber::HoldSpeed),
    ] {
        if reading.value.is_none() {
            continue;
        }
        let unit = quantity_unit::<Speed>(unit_of(name), Measure::Speed, system);
        rows.push(Row {
            entry,
            number: number_in(reading.ok().map(|t| t.value), unit, step_of(view, name)),
            decimals: decimals(view, name),
            shown_in: In::Unit(unit.map_or("", SpeedUnit::symbol)),
            source: source(reading.value.as_ref()),
            effect: effect_of(number),
        });
    }
    KeySheet { rows, cumulative: cumulative(view), width_unit, manual }
}

fn number_in<Q: Quantity>(
    value: Option<Q>,
    unit: Option<Q::Unit>,
    step: Option<KeyInStep>,
) -> Option<Result<KeyIn, KeyInError>> {
    Some(key_in(value?.in_unit(unit?), step))
}

/// The console's unit, else the usual one.
fn quantity_unit<Q: Quantity>(code: Option<String>, of: Measure, system: System) -> Option<Q::Unit> {
    code.and_then(|code| Q::Unit::from_code(&code))
        .or_else(|| Q::Unit::from_code(measure::usual_unit(of, system)))
}

/// A product rate in the console's unit if that is of the same kind, else as it was typed.
fn rate_in(rate: ProductRate, wanted: Option<&str>) -> (f64, &'static str) {
    match rate {
        ProductRate::PerArea(typed) => {
            let unit = wanted.and_then(VolumePerAreaUnit::from_code).unwrap_or(typed.unit);
            (typed.value.in_unit(unit), unit.symbol())
        }
        ProductRate::PerCarrier(typed) => {
            let unit = wanted.and_then(VolumePerCarrierUnit::from_code).unwrap_or(typed.unit);
            (VolumePerCarrier::in_unit(typed.value, unit), unit.symbol())
        }
    }
}

fn decimals(view: &RigView, entry: &str) -> Option<usize> {
    step_of(view, entry).map(KeyInStep::decimals)
}

fn source(value: Option<&FieldValue>) -> Option<Source> {
    value.and_then(|value| value.source.clone())
}

/// Widths summed from the left; nothing where one is unknown, because every sum behind it would be wrong.
fn cumulative(view: &RigView) -> Vec<Length> {
    let widths: Option<Vec<Length>> = view.sections.iter().map(|section| section.working_width).collect();
    let mut sum_m = 0.0;
    widths
        .unwrap_or_default()
        .into_iter()
        .map(|width| {
            sum_m += width.as_m();
            Length::from_m(sum_m)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use records::examples::DITCH_BANK_TRUCK;
    use std::collections::BTreeMap;

    fn example() -> KeySheet {
        let texts: BTreeMap<String, String> =
            DITCH_BANK_TRUCK.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
        sheet_of(&RigView::read(&texts), System::Us)
    }

    // By hand, from the comment of the example: 144 in + 96 in + 10 ft + 8 ft + 12 ft.
    #[test]
    fn widths_add_up_from_the_left() {
        let sums: Vec<f64> = example().cumulative.iter().map(|w| w.as_ft()).collect();
        for (sum, expected) in sums.iter().zip([12.0, 20.0, 30.0, 38.0, 50.0]) {
            assert!((sum - expected).abs() < 1e-9, "{sums:?}");
        }
        assert_eq!(sums.len(), 5);
    }

    // Domain: regulated, R = T · c_meter / (c_speed · c_width …): a counting meter number 1 % high puts 1 % more on the
    // ground, a width 1 % wide all over puts 1 % more, product rates move with their own number.
    #[test]
    fn a_meter_number_one_percent_high_puts_one_percent_more_on_the_ground() {
        let sheet = example();
        let meter = sheet.rows.iter().find(|row| row.entry == Entry::Meter).unwrap();
        let carrier = meter.effect.as_ref().unwrap().carrier.unwrap().as_percent();
        assert!((carrier - 1.0).abs() < 1e-9, "{carrier}");
    }

    #[test]
    fn three_pumps_have_their_rows() {
        let sheet = example();
        let pumps = sheet.rows.iter().filter(|row| matches!(row.entry, Entry::Pump(_))).count();
        let first = sheet.rows.iter().filter(|row| matches!(row.entry, Entry::First(_))).count();
        assert_eq!((pumps, first), (3, 3));
    }
}
