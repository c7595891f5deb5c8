//! The key-in sheet as rows: what the console wants for each entry, in its unit and step, and what a slip would do.

use crate::bridge::rig::{forms_of, keyed_course, keyed_meter, keyed_pump, product_rate, rig_of, step_of};
use crate::state::sheet::System;
use crate::text::measure;
use calc::keyin::{KeyIn, KeyInError, key_in};
use calc::model::KeyedNumber;
use calc::rate::product_rate_per_area;
use calc::reach::doses::{Cause, Refusal, doses};
use calc::reach::plan::Plan;
use calc::rig::{Carrier, ProductRate, Rig, Section};
use calc::sensitivity::{self, Effect, Forms};
use records::fields::Measure;
use records::rig::{CarrierMode, PumpView, Reading, RigView, SectionBy, SectionView, SpeedBy};
use records::{FieldValue, Source};
use units::{
    KeyInStep, Length, LengthUnit, PulseConvention, Quantity, Share, ShareUnit, Speed, SpeedUnit, Unit,
    VolumePerArea, VolumePerAreaUnit, VolumePerCarrierUnit,
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
    /// All section widths together, as they are keyed in.
    TotalWidth,
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

/// Why a number that is known cannot be keyed in.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum NotKeyed {
    /// The console's step or largest value stands in the way.
    Console(KeyInError),
    /// The console takes this rate per area, the rig states it per carrier, and no carrier rate is held.
    WantsPerArea,
    /// The console takes this rate per carrier, and the rig states it per area.
    WantsPerCarrier,
}

/// What to key in, or why that is not possible.
pub(crate) type Keyed = Result<KeyIn, NotKeyed>;

/// One row of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    /// Which entry.
    pub(crate) entry: Entry,
    /// What to key in, or why it cannot be; `None` where the rig does not say.
    pub(crate) number: Option<Keyed>,
    /// Decimals of the console's step; `None` where no step is known.
    pub(crate) decimals: Option<usize>,
    /// In what it is.
    pub(crate) shown_in: In,
    /// A rate that the rig states per carrier, worked out per area at the target carrier rate.
    pub(crate) at_carrier_rate: bool,
    /// Where it came from, each place once.
    pub(crate) sources: Vec<Source>,
    /// What happens when it is 1 % high; `None` where the rig does not say enough.
    pub(crate) effect: Option<Effect>,
}

/// The whole sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct KeySheet {
    /// In the order of the console's usual set-up.
    pub(crate) rows: Vec<Row>,
    /// True width of each section, left to right; empty while one is unknown.
    pub(crate) widths: Vec<Length>,
    /// What is keyed in for each, in [`Self::width_unit`]; empty while one is unknown or cannot be keyed in.
    pub(crate) keyed_widths: Vec<f64>,
    /// The unit in which widths are keyed in.
    pub(crate) width_unit: LengthUnit,
    /// The carrier is left in manual: no rate is keyed in.
    pub(crate) manual: bool,
    /// Rates that pass the label maximum though they are not themselves above it: the hold or a manual carrier lifts them.
    pub(crate) lifted: Vec<Refusal>,
    /// The unit in which speeds are keyed in.
    pub(crate) speed_unit: SpeedUnit,
}

/// Reads the sheet off a rig.
pub(crate) fn sheet_of(view: &RigView, system: System) -> KeySheet {
    let maker = Maker::new(view, system);
    let mut rows = vec![maker.meter(), maker.course()];
    let widths = maker.width_rows();
    let keyed_widths: Option<Vec<f64>> =
        widths.iter().map(|row| row.number.as_ref()?.as_ref().ok().map(|number| number.rounded)).collect();
    let keyed_widths = keyed_widths.unwrap_or_default();
    rows.extend(widths);
    if view.sections.len() != 1 {
        rows.push(maker.total_width(&keyed_widths));
    }
    let manual = view.carrier.mode.ok() == Some(CarrierMode::Manual);
    if !manual {
        rows.push(maker.carrier_rate());
    }
    for (idx, pump) in view.pumps.iter().enumerate() {
        maker.pump(idx, pump, &mut rows);
    }
    rows.extend(maker.speed(
        Entry::Standing,
        "standing_speed",
        &view.standing_speed,
        KeyedNumber::StandingSpeed,
    ));
    rows.extend(maker.speed(Entry::Hold, "hold_speed", &view.hold_speed, KeyedNumber::HoldSpeed));
    let of_plan = doses(&Plan::new(maker.rig.clone())).refused;
    KeySheet {
        rows,
        widths: maker.rig.sections.iter().map(|section| section.width).collect(),
        keyed_widths,
        width_unit: maker.width_unit,
        manual,
        lifted: of_plan.into_iter().filter(|refusal| refusal.cause != Cause::RateItself).collect(),
        speed_unit: maker.speed_unit("standing_speed").unwrap_or(SpeedUnit::MilePerHour),
    }
}

/// What every row needs.
struct Maker<'a> {
    view: &'a RigView,
    system: System,
    /// The rig as the console runs it: rates in the kind in which they are keyed in.
    rig: Rig,
    effects: Vec<Effect>,
    width_unit: LengthUnit,
}

impl<'a> Maker<'a> {
    fn new(view: &'a RigView, system: System) -> Self {
        let mut rig = rig_of(view);
        let target = target_of(&rig);
        for (pump, described) in rig.pumps.iter_mut().zip(&view.pumps) {
            let takes_area = takes_area(view, described.n, system);
            for rate in [&mut pump.first, &mut pump.second].into_iter().flatten() {
                if let (true, ProductRate::PerCarrier(_), Some(target)) = (takes_area, *rate, target)
                    && let Ok(per_area) = product_rate_per_area(*rate, target)
                {
                    *rate = ProductRate::PerArea(per_area);
                }
            }
        }
        let effects = effects_of(&rig, &forms_of(view));
        let width_unit =
            unit_of::<Length>(view, "width", Measure::Length, system).unwrap_or(LengthUnit::Metre);
        Self { view, system, rig, effects, width_unit }
    }

    fn row(&self, entry: Entry, name: &str, number: KeyedNumber) -> Row {
        Row {
            entry,
            number: None,
            decimals: self.step(name).map(KeyInStep::decimals),
            shown_in: In::Unit(""),
            at_carrier_rate: false,
            sources: Vec::new(),
            effect: self.effects.iter().find(|effect| effect.number == number).cloned(),
        }
    }

    fn step(&self, name: &str) -> Option<KeyInStep> {
        step_of(self.view, name)
    }

    fn keyed(&self, exact: f64, name: &str) -> Keyed {
        key_in(exact, self.step(name)).map_err(NotKeyed::Console)
    }

    fn meter(&self) -> Row {
        let meter = &self.view.meter;
        Row {
            number: keyed_meter(self.view).map(|keyed| self.keyed(keyed.number, "meter")),
            shown_in: convention(&meter.convention),
            sources: sources([meter.number.value.as_ref()]),
            ..self.row(Entry::Meter, "meter", KeyedNumber::Meter)
        }
    }

    fn course(&self) -> Row {
        let speed = &self.view.speed;
        let by_wheel = speed.by.ok() == Some(SpeedBy::Wheel);
        let from = if by_wheel {
            [speed.circumference.value.as_ref(), speed.pulses_per_turn.value.as_ref()]
        } else {
            [speed.number.value.as_ref(), None]
        };
        Row {
            number: keyed_course(self.view).map(|keyed| self.keyed(keyed.number, "course")),
            shown_in: convention(&speed.convention),
            sources: sources(from),
            ..self.row(Entry::Course, "course", KeyedNumber::Course)
        }
    }

    fn width_rows(&self) -> Vec<Row> {
        let row = |(idx, section): (usize, &SectionView)| {
            let by_nozzles = section.by.ok() == Some(SectionBy::Nozzles);
            let spacing = section.spacing.value.as_ref().or(self.view.nozzle.spacing.value.as_ref());
            let from = if by_nozzles {
                [section.nozzles.value.as_ref(), spacing]
            } else {
                [section.width.value.as_ref(), None]
            };
            Row {
                number: section.working_width.map(|w| self.keyed(w.in_unit(self.width_unit), "width")),
                shown_in: In::Unit(self.width_unit.symbol()),
                sources: sources(from),
                ..self.row(Entry::Width(section.n), "width", KeyedNumber::Width(idx))
            }
        };
        self.view.sections.iter().enumerate().map(row).collect()
    }

    /// Not keyed in by itself but added up by the console: its largest value does not apply, its roundings add up.
    fn total_width(&self, keyed: &[f64]) -> Row {
        let exact = self.rig.boom_width().in_unit(self.width_unit);
        let rounded: f64 = keyed.iter().sum();
        let error = Share::from_fraction(rounded / exact - 1.0);
        Row {
            number: (!keyed.is_empty()).then_some(Ok(KeyIn { exact, rounded, rounding_error: error })),
            shown_in: In::Unit(self.width_unit.symbol()),
            ..self.row(Entry::TotalWidth, "width", KeyedNumber::TotalWidth)
        }
    }

    fn carrier_rate(&self) -> Row {
        let reading = &self.view.carrier.rate;
        let unit = unit_of::<VolumePerArea>(self.view, "carrier_rate", Measure::VolumePerArea, self.system);
        let value = reading.ok().zip(unit).map(|(typed, unit)| typed.value.in_unit(unit));
        Row {
            number: value.map(|value| self.keyed(value, "carrier_rate")),
            shown_in: In::Unit(unit.map_or("", VolumePerAreaUnit::symbol)),
            sources: sources([reading.value.as_ref()]),
            ..self.row(Entry::CarrierRate, "carrier_rate", KeyedNumber::CarrierRate)
        }
    }

    fn pump(&self, idx: usize, pump: &PumpView, rows: &mut Vec<Row>) {
        let n = pump.n;
        let (number_entry, rate_entry) = (format!("pump.{n}.number"), format!("pump.{n}.rate"));
        rows.push(Row {
            number: keyed_pump(self.view, n).map(|keyed| self.keyed(keyed.number, &number_entry)),
            shown_in: convention(&pump.convention),
            sources: sources([pump.number.value.as_ref()]),
            ..self.row(Entry::Pump(n), &number_entry, KeyedNumber::Pump(idx))
        });
        for (entry, reading, number) in [
            (Entry::First(n), &pump.first, KeyedNumber::FirstRate(idx)),
            (Entry::Second(n), &pump.second, KeyedNumber::SecondRate(idx)),
        ] {
            if entry == Entry::Second(n) && reading.value.is_none() {
                continue;
            }
            let rate = self.rate(n, reading);
            let row = self.row(entry, &rate_entry, number);
            rows.push(Row {
                number: rate.as_ref().map(|rate| match rate.value {
                    Ok(value) => self.keyed(value, &rate_entry),
                    Err(ref why) => Err(why.clone()),
                }),
                shown_in: In::Unit(rate.as_ref().map_or("", |rate| rate.symbol)),
                at_carrier_rate: rate.is_some_and(|rate| rate.at_carrier_rate),
                sources: sources([reading.value.as_ref()]),
                ..row
            });
        }
        if pump.nudge.value.is_some() {
            let unit = unit_of::<Share>(self.view, "nudge", Measure::Share, self.system)
                .unwrap_or(ShareUnit::Percent);
            rows.push(Row {
                number: pump.nudge.ok().map(|typed| self.keyed(typed.value.in_unit(unit), "nudge")),
                shown_in: In::Unit(unit.symbol()),
                sources: sources([pump.nudge.value.as_ref()]),
                ..self.row(Entry::Nudge(n), "nudge", KeyedNumber::NudgeStep(idx))
            });
        }
    }

    /// A product rate in the console's unit; a rate per carrier becomes one per area where the console takes only that
    /// and holds a carrier rate.
    fn rate(&self, n: u32, reading: &Reading<records::ProductRate>) -> Option<RateIn> {
        let rate = reading.ok()?;
        let code = rate_unit(self.view, n, self.system);
        let per_area = VolumePerAreaUnit::from_code(&code);
        let per_carrier = VolumePerCarrierUnit::from_code(&code);
        let plain = |value, symbol| RateIn { value: Ok(value), symbol, at_carrier_rate: false };
        let not = |why| RateIn { value: Err(why), symbol: "", at_carrier_rate: false };
        Some(match (rate, per_area, per_carrier) {
            (records::ProductRate::PerArea(typed), Some(unit), _) => {
                plain(typed.value.in_unit(unit), unit.symbol())
            }
            (records::ProductRate::PerCarrier(typed), _, Some(unit)) => {
                plain(typed.value.in_unit(unit), unit.symbol())
            }
            (records::ProductRate::PerCarrier(_), Some(unit), _) => {
                let per_area = target_of(&self.rig)
                    .and_then(|target| product_rate_per_area(product_rate(rate), target).ok());
                match per_area {
                    Some(value) => {
                        RateIn { at_carrier_rate: true, ..plain(value.in_unit(unit), unit.symbol()) }
                    }
                    None => not(NotKeyed::WantsPerArea),
                }
            }
            _ => not(NotKeyed::WantsPerCarrier),
        })
    }

    fn speed_unit(&self, name: &str) -> Option<SpeedUnit> {
        unit_of::<Speed>(self.view, name, Measure::Speed, self.system)
    }

    /// A speed that the rig states; a rig without it has no such row.
    fn speed(
        &self,
        entry: Entry,
        name: &str,
        reading: &Reading<units::Typed<Speed>>,
        number: KeyedNumber,
    ) -> Option<Row> {
        reading.value.as_ref()?;
        let unit = self.speed_unit(name);
        let value = reading.ok().zip(unit).map(|(typed, unit)| typed.value.in_unit(unit));
        Some(Row {
            number: value.map(|value| self.keyed(value, name)),
            shown_in: In::Unit(unit.map_or("", SpeedUnit::symbol)),
            sources: sources([reading.value.as_ref()]),
            ..self.row(entry, name, number)
        })
    }
}

/// A product rate as the console takes it.
struct RateIn {
    value: Result<f64, NotKeyed>,
    symbol: &'static str,
    at_carrier_rate: bool,
}

/// Effects of every number. Where the carrier's part cannot be worked out (in manual it needs the nozzles), the products'
/// part still is. Where the boom is not known, any boom does for all but the widths: rates are per area.
fn effects_of(rig: &Rig, forms: &Forms) -> Vec<Effect> {
    let by = Share::from_percent(1.0);
    if rig.sections.is_empty() {
        let any_boom = vec![Section { width: Length::from_m(1.0), n_nozzles: 0 }];
        let mut effects = effects_of(&Rig { sections: any_boom, ..rig.clone() }, forms);
        effects.retain(|effect| !matches!(effect.number, KeyedNumber::Width(_) | KeyedNumber::TotalWidth));
        return effects;
    }
    sensitivity::sheet(rig, forms, by)
        .or_else(|_| sensitivity::sheet(&Rig { carrier: None, ..rig.clone() }, forms, by))
        .unwrap_or_default()
}

/// The carrier rate that the console holds.
fn target_of(rig: &Rig) -> Option<VolumePerArea> {
    match rig.carrier {
        Some(Carrier::Regulated(target)) => Some(target),
        _ => None,
    }
}

/// Code of the unit in which a pump's rates are keyed in: the console's, else the usual one of the rig's habit, as the
/// form shows it; a rate per carrier that was typed while the console's unit is not stated keeps its own.
pub(crate) fn rate_unit(view: &RigView, n: u32, system: System) -> String {
    let stated = view.key_in.get(&format!("pump.{n}.rate")).and_then(|entry| entry.unit.clone());
    let typed = || {
        let first = view.pumps.iter().find(|pump| pump.n == n)?.first.ok()?;
        matches!(first, records::ProductRate::PerCarrier(_)).then(|| first.unit_code().to_owned())
    };
    stated.or_else(typed).unwrap_or_else(|| measure::usual_unit(Measure::ProductRate, system).to_owned())
}

fn takes_area(view: &RigView, n: u32, system: System) -> bool {
    VolumePerAreaUnit::from_code(&rate_unit(view, n, system)).is_some()
}

/// The console's unit for an entry, else the usual one.
pub(crate) fn unit_of<Q: Quantity>(
    view: &RigView,
    name: &str,
    of: Measure,
    system: System,
) -> Option<Q::Unit> {
    let stated = view.key_in.get(name).and_then(|entry| entry.unit.as_deref());
    stated.and_then(Q::Unit::from_code).or_else(|| Q::Unit::from_code(measure::usual_unit(of, system)))
}

fn convention<U: Unit>(reading: &Reading<PulseConvention<U>>) -> In {
    In::Convention(reading.ok().map_or_else(String::new, PulseConvention::code))
}

fn sources<const N: usize>(values: [Option<&FieldValue>; N]) -> Vec<Source> {
    let mut sources: Vec<Source> = Vec::new();
    for source in values.into_iter().flatten().filter_map(|value| value.source.clone()) {
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    sources
}

#[cfg(test)]
mod tests {
    use super::*;
    use records::examples::{DITCH_BANK_TRUCK, DRAINAGE_ROAD_CARRIER, ExampleField};
    use std::collections::BTreeMap;

    /// The sheet of an example with some fields changed; an empty text takes the field out.
    fn sheet(fields: &[ExampleField], system: System, change: &[(&str, &str)]) -> KeySheet {
        let mut texts: BTreeMap<String, String> =
            fields.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
        for (path, text) in change {
            if text.is_empty() {
                texts.remove(*path);
            } else {
                texts.insert((*path).to_owned(), (*text).to_owned());
            }
        }
        sheet_of(&RigView::read(&texts), system)
    }

    fn us(change: &[(&str, &str)]) -> KeySheet {
        sheet(DITCH_BANK_TRUCK, System::Us, change)
    }

    fn row(sheet: &KeySheet, entry: Entry) -> Row {
        sheet.rows.iter().find(|row| row.entry == entry).unwrap().clone()
    }

    fn rounded(sheet: &KeySheet, entry: Entry) -> f64 {
        row(sheet, entry).number.unwrap().unwrap().rounded
    }

    fn close(got: f64, expected: f64) {
        assert!((got - expected).abs() < 1e-9 * expected.abs().max(1.0), "{got} is not {expected}");
    }

    // By hand, from the comment of the example: 144 in + 96 in + 10 ft + 8 ft + 12 ft = 50 ft = 600 in.
    #[test]
    fn widths_are_keyed_in_inches_and_add_up() {
        let sheet = us(&[]);
        assert_eq!(sheet.keyed_widths, [144.0, 96.0, 120.0, 96.0, 144.0]);
        close(rounded(&sheet, Entry::TotalWidth), 600.0);
    }

    // By hand: in steps of 1 ft, 12 ft 6 in goes up to 13 (halves away from zero), 8 ft 4 in down to 8; 10 stays. The
    // console adds up 31 ft where the boom has 30 ft 10 in: 31/30.8333 − 1 = 0.5405 % too much.
    #[test]
    fn a_total_carries_the_roundings_of_its_sections() {
        let sheet = us(&[
            ("section.count", ";;3"),
            ("section.1.width", ";ft;12 ft 6 in"),
            ("section.2.width", ";ft;8 ft 4 in"),
            ("section.3.width", ";ft;10"),
            ("keyin.width.unit", "ft"),
            ("keyin.width.step", ";;1"),
        ]);
        assert_eq!(sheet.keyed_widths, [13.0, 8.0, 10.0]);
        let total = row(&sheet, Entry::TotalWidth).number.unwrap().unwrap();
        close(total.rounded, 31.0);
        assert!((total.rounding_error.as_percent() - 0.540_54).abs() < 1e-4, "{total:?}");
    }

    #[test]
    fn one_unknown_width_leaves_no_total() {
        let sheet = us(&[("section.3.width", "")]);
        assert!(sheet.keyed_widths.is_empty() && sheet.widths.is_empty());
        assert_eq!(row(&sheet, Entry::Width(3)).number, None);
        assert_eq!(row(&sheet, Entry::TotalWidth).number, None);
        // What is known is still on the sheet; only the share of each width in the boom is not.
        close(row(&sheet, Entry::Meter).effect.unwrap().carrier.unwrap().as_percent(), 1.0);
        assert_eq!(row(&sheet, Entry::Width(1)).effect, None);
        close(rounded(&sheet, Entry::Width(1)), 144.0);
    }

    // By hand: 2.38 m and 60 pulses a turn are 2521.008 pulses on 100 m; in steps of 1 that is 2521.
    #[test]
    fn a_course_number_comes_from_the_wheel_with_the_wheels_source() {
        let sheet = sheet(DRAINAGE_ROAD_CARRIER, System::Metric, &[("speed.number", "stamped;;999")]);
        close(rounded(&sheet, Entry::Course), 2521.0);
        // The number that is not in force says nothing about where this one came from.
        assert_eq!(row(&sheet, Entry::Course).sources, [Source::Measured, Source::Sheet]);
    }

    #[test]
    fn a_number_past_the_largest_is_refused_and_not_cut() {
        let sheet = us(&[("keyin.meter.largest", ";;299")]);
        let number = row(&sheet, Entry::Meter).number.unwrap();
        assert_eq!(number, Err(NotKeyed::Console(KeyInError::TooLarge { rounded: 302.0, largest: 299.0 })));
    }

    // By hand: 1 qt in 100 gal is 0.25 %, and 0.25 % of 25 gal/ac is 0.0625 gal/ac = 8 fl oz/ac.
    #[test]
    fn a_rate_per_carrier_is_worked_out_for_a_console_that_takes_rates_per_area() {
        let sheet = us(&[("keyin.pump.3.rate.unit", "us_fl_oz_per_ac"), ("keyin.pump.3.rate.step", ";;0.1")]);
        let first = row(&sheet, Entry::First(3));
        close(first.number.unwrap().unwrap().rounded, 8.0);
        assert_eq!((first.shown_in, first.at_carrier_rate), (In::Unit("fl oz/ac"), true));
        // Keyed in per area it follows the ground: another carrier rate leaves it alone.
        let carrier = row(&sheet, Entry::CarrierRate).effect.unwrap();
        close(carrier.products[2].unwrap().as_percent(), 0.0);
    }

    // Domain: a product per carrier is so much to each volume of carrier, so 1 % more carrier is 1 % more of it.
    #[test]
    fn a_rate_per_carrier_keeps_its_unit_where_the_console_takes_it() {
        let sheet = us(&[]);
        let first = row(&sheet, Entry::First(3));
        close(first.number.unwrap().unwrap().rounded, 1.0);
        assert!(!first.at_carrier_rate);
        let carrier = row(&sheet, Entry::CarrierRate).effect.unwrap();
        close(carrier.products[2].unwrap().as_percent(), 1.0);
    }

    #[test]
    fn a_rate_of_the_other_kind_without_a_carrier_rate_is_refused() {
        let manual = [
            ("carrier.mode", "manual"),
            ("carrier.pressure", ";psi;40"),
            ("keyin.pump.3.rate.unit", "us_fl_oz_per_ac"),
        ];
        assert_eq!(row(&us(&manual), Entry::First(3)).number, Some(Err(NotKeyed::WantsPerArea)));
        let per_carrier = [("keyin.pump.1.rate.unit", "pct_v_v")];
        assert_eq!(row(&us(&per_carrier), Entry::First(1)).number, Some(Err(NotKeyed::WantsPerCarrier)));
    }

    // Domain, regulated: R = T (v̂/v)(ŵ/w) c_meter. A counting meter number 1 % high puts 1 % more carrier on the ground and
    // leaves products per area alone; a pump number 1 % high does the same to its product.
    #[test]
    fn effects_have_the_sign_and_size_of_the_model() {
        let sheet = us(&[]);
        let meter = row(&sheet, Entry::Meter).effect.unwrap();
        close(meter.carrier.unwrap().as_percent(), 1.0);
        close(meter.products[0].unwrap().as_percent(), 0.0);
        let pump = row(&sheet, Entry::Pump(1)).effect.unwrap();
        close(pump.products[0].unwrap().as_percent(), 1.0);
        close(pump.products[1].unwrap().as_percent(), 0.0);
        // A course number 1 % high shows 1 % less speed: by hand 1/1.01 − 1 = −0.990099 %.
        let course = row(&sheet, Entry::Course).effect.unwrap();
        assert!((course.carrier.unwrap().as_percent() + 0.990_099).abs() < 1e-6);
    }

    // In manual without a nozzle set nobody can say what the carrier does; the products still follow the area.
    #[test]
    fn effects_on_products_survive_an_unknown_carrier() {
        let sheet = us(&[("carrier.mode", "manual"), ("carrier.pressure", ";psi;40"), ("nozzle.iso", "")]);
        let pump = row(&sheet, Entry::Pump(1)).effect.unwrap();
        assert_eq!(pump.carrier, None);
        close(pump.products[0].unwrap().as_percent(), 1.0);
    }

    // By hand: 96 fl oz/ac held at 5 mph under a label of 100 is passed below 5 × 96 ÷ 100 = 4.8 mph, and nudged up once
    // (105.6) it is above the label itself. Without a nudge only the hold is to blame.
    #[test]
    fn a_hold_that_lifts_a_rate_above_the_label_is_told() {
        let sheet = us(&[
            ("pump.1.first", ";us_fl_oz_per_ac;96"),
            ("pump.1.second", ""),
            ("pump.1.nudge", ""),
            ("pump.1.label_greatest", ";us_fl_oz_per_ac;100"),
        ]);
        let lifted: Vec<&Refusal> = sheet.lifted.iter().filter(|refusal| refusal.pump_idx == 0).collect();
        assert_eq!(lifted.len(), 1, "{lifted:?}");
        assert_eq!(lifted[0].cause, Cause::Hold);
    }

    #[test]
    fn three_pumps_have_their_rows() {
        let sheet = us(&[]);
        let count = |is: fn(&Entry) -> bool| sheet.rows.iter().filter(|row| is(&row.entry)).count();
        assert_eq!(count(|e| matches!(e, Entry::Pump(_))), 3);
        assert_eq!(count(|e| matches!(e, Entry::First(_))), 3);
        // Product C has no second rate.
        assert_eq!(count(|e| matches!(e, Entry::Second(_))), 2);
    }
}
