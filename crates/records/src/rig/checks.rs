//! What does not fit together on a rig: problems of single fields gathered, and those across fields.
//! What needs the trade's formulas (can the pump deliver that?) is not here.

use units::{Quantity, Typed, Unit, VolumePerAreaUnit, VolumePerCarrierUnit};

use super::table::{FIELDS, spec_of};
use super::view::{CarrierMode, NozzleBy, PumpView, Reading, RigView, SectionBy};
use crate::fields::{FieldProblem, Texts, check, missing};
use crate::product_rate::ProductRate;

/// Something that is wrong with a rig, and the paths it is about, the one to mend first.
#[derive(Clone, Debug, PartialEq)]
pub struct RigProblem {
    /// The paths.
    pub paths: Vec<String>,
    /// What is wrong.
    pub kind: RigProblemKind,
}

/// Which rate of a pump.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RateOf {
    /// The product rate.
    First,
    /// The second product rate.
    Second,
    /// The product rate, nudged up once.
    FirstNudged,
    /// The second product rate, nudged up once.
    SecondNudged,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum RigProblemKind {
    /// One field by itself.
    Field(FieldProblem),
    /// A lower limit lies above its upper limit. Paths: lower, upper.
    LeastAboveGreatest,
    /// A rate exceeds the label's maximum. Paths: the rate, the maximum.
    RateAboveLabel {
        /// Number of the pump.
        pump: u32,
        /// Which rate.
        rate: RateOf,
        /// By how much, over the maximum: 1.1 is 10 % too much.
        ratio: f64,
    },
    /// A number is larger than the console takes. Paths: the number, the console's largest value.
    PastConsole {
        /// The number in the console's unit.
        value: f64,
        /// The largest value, in the same unit.
        largest: f64,
    },
    /// Fields of a section or pump beyond the stated count. Paths: the first such field, the count.
    BeyondCount {
        /// Its number.
        n: u32,
        /// The stated count.
        count: u32,
    },
    /// A section's width is to come from its nozzles, and no spacing is known. Paths: its spacing, the boom's.
    NoSpacing {
        /// Number of the section.
        section: u32,
    },
    /// An ISO number and a flow are both there; one is in force. Paths: the one that is not.
    NotInForce,
    /// The standing-test speed lies below the minimum-speed hold: the test would prove the hold. Paths: test, hold.
    StandingBelowHold,
    /// A speed lies above the stated top speed. Paths: the speed, the top speed.
    AboveTopSpeed,
}

impl RigView {
    /// Everything that is wrong, fields first, in the order of the table.
    #[must_use]
    pub fn problems(&self, texts: &dyn Texts) -> Vec<RigProblem> {
        let mut found = Vec::new();
        self.single_fields(texts, &mut found);
        self.counts(texts, &mut found);
        self.limits(&mut found);
        self.nozzles(&mut found);
        for pump in &self.pumps {
            self.label(pump, &mut found);
        }
        self.console(&mut found);
        self.speeds(&mut found);
        found
    }

    fn single_fields(&self, texts: &dyn Texts, found: &mut Vec<RigProblem>) {
        let n_sections = self.sections.len();
        for spec in FIELDS {
            let paths: Vec<String> = if spec.path.contains(".*") {
                texts.paths().into_iter().filter(|path| spec.fits(path)).map(str::to_owned).collect()
            } else {
                let last =
                    match spec.path.split('.').find(|s| matches!(*s, "section" | "pump" | "set" | "droplet"))
                    {
                        Some("section") if spec.path.contains(".N") => n_sections,
                        Some("pump") if spec.path.contains(".N") => self.pumps.len(),
                        Some("set") if spec.path.contains(".N") => self.sets.len(),
                        Some("droplet") if spec.path.contains(".N") => self.droplets.len(),
                        _ => 1,
                    };
                (1..=last).map(|n| spec.path.replace(".N", &format!(".{n}"))).collect()
            };
            for path in paths {
                let problem = if missing(spec, &path, texts, FIELDS) {
                    Some(FieldProblem::Missing)
                } else {
                    check(spec, &path, texts).err()
                };
                if let Some(problem) = problem {
                    found.push(RigProblem { paths: vec![path], kind: RigProblemKind::Field(problem) });
                }
            }
        }
    }

    fn counts(&self, texts: &dyn Texts, found: &mut Vec<RigProblem>) {
        let counts = [
            ("section", &self.section_count),
            ("pump", &self.pump_count),
            ("set", &self.set_count),
            ("droplet", &self.droplet_count),
        ];
        for (prefix, count) in counts {
            let Some(stated) = count.ok() else { continue };
            let beyond = texts.paths().into_iter().filter_map(|path| {
                let n: u32 = path.strip_prefix(prefix)?.strip_prefix('.')?.split('.').next()?.parse().ok()?;
                (n > stated && spec_of(path).is_some()).then_some((n, path))
            });
            if let Some((n, path)) = beyond.min() {
                found.push(RigProblem {
                    paths: vec![path.to_owned(), count.path.clone()],
                    kind: RigProblemKind::BeyondCount { n, count: stated },
                });
            }
        }
    }

    fn limits(&self, found: &mut Vec<RigProblem>) {
        fn ordered<Q: Quantity>(
            least: &Reading<Typed<Q>>,
            greatest: &Reading<Typed<Q>>,
            found: &mut Vec<RigProblem>,
        ) {
            if let (Some(low), Some(high)) = (least.ok(), greatest.ok())
                && low.value > high.value
            {
                found.push(about(&[&least.path, &greatest.path], RigProblemKind::LeastAboveGreatest));
            }
        }
        ordered(&self.meter.least, &self.meter.greatest, found);
        ordered(&self.nozzle.least_pressure, &self.nozzle.greatest_pressure, found);
        for set in &self.sets {
            ordered(&set.nozzle.least_pressure, &set.nozzle.greatest_pressure, found);
        }
        for pump in &self.pumps {
            ordered(&pump.least, &pump.greatest, found);
        }
    }

    fn nozzles(&self, found: &mut Vec<RigProblem>) {
        for section in &self.sections {
            let by_nozzles = section.by.ok() == Some(SectionBy::Nozzles);
            if by_nozzles && section.spacing.read.is_none() && self.nozzle.spacing.read.is_none() {
                found.push(about(
                    &[&section.spacing.path, &self.nozzle.spacing.path],
                    RigProblemKind::NoSpacing { section: section.n },
                ));
            }
        }
        let idle = match self.nozzle.by.ok() {
            Some(NozzleBy::Iso) if self.nozzle.iso.value.is_none() => {
                self.nozzle.flow.value.as_ref().map(|_| &self.nozzle.flow.path)
            }
            Some(NozzleBy::Flow) if self.nozzle.flow.value.is_none() => {
                self.nozzle.iso.value.as_ref().map(|_| &self.nozzle.iso.path)
            }
            _ => None,
        };
        if let Some(path) = idle {
            found.push(about(&[path], RigProblemKind::NotInForce));
        }
    }

    fn label(&self, pump: &PumpView, found: &mut Vec<RigProblem>) {
        let Some(greatest) = pump.label_greatest.ok() else { return };
        let nudged = pump.nudge.ok().map_or(1.0, |step| 1.0 + step.value.as_fraction());
        for (reading, plain, nudged_rate) in [
            (&pump.first, RateOf::First, RateOf::FirstNudged),
            (&pump.second, RateOf::Second, RateOf::SecondNudged),
        ] {
            let Some(per_area) = reading.ok().and_then(|rate| self.per_area_si(rate)) else { continue };
            let ratio = per_area / greatest.value.as_si();
            // A rate that sits on the maximum is allowed, whatever the unit it was typed in.
            let above = |ratio: f64| ratio > 1.0 + 1e-9;
            let (rate, ratio) = if above(ratio) { (plain, ratio) } else { (nudged_rate, ratio * nudged) };
            if above(ratio) {
                found.push(about(
                    &[&reading.path, &pump.label_greatest.path],
                    RigProblemKind::RateAboveLabel { pump: pump.n, rate, ratio },
                ));
            }
        }
    }

    /// Rate per area; a rate per carrier needs the carrier's target rate.
    fn per_area_si(&self, rate: ProductRate) -> Option<f64> {
        match rate {
            ProductRate::PerArea(typed) => Some(typed.value.as_si()),
            ProductRate::PerCarrier(typed) => {
                let regulated = self.carrier.mode.ok() == Some(CarrierMode::Regulated);
                let carrier = self.carrier.rate.ok().filter(|_| regulated)?;
                Some(typed.value.as_si() * carrier.value.as_si())
            }
        }
    }

    fn console(&self, found: &mut Vec<RigProblem>) {
        if let Some(meter) = self.meter.number.ok() {
            self.past_console("meter", &self.meter.number.path, meter.number, found);
        }
        let course = match (self.speed.pulses(), self.speed.convention.ok()) {
            (Some(pulses), Some(convention)) => Some(convention.key_in(pulses)),
            _ => None,
        };
        if let Some(number) = course {
            let path = if self.speed.number.value.is_some() {
                &self.speed.number.path
            } else {
                &self.speed.circumference.path
            };
            self.past_console("course", path, number, found);
        }
        for section in &self.sections {
            let path = match section.by.ok() {
                Some(SectionBy::Nozzles) => &section.nozzles.path,
                _ => &section.width.path,
            };
            self.quantity_past_console("width", path, section.working_width, found);
        }
        if self.carrier.mode.ok() == Some(CarrierMode::Regulated) {
            let rate = self.carrier.rate.ok().map(|typed| typed.value);
            self.quantity_past_console("carrier_rate", &self.carrier.rate.path, rate, found);
        }
        for pump in &self.pumps {
            if let Some(number) = pump.number.ok() {
                let entry = format!("pump.{}.number", pump.n);
                self.past_console(&entry, &pump.number.path, number.number, found);
            }
            for reading in [&pump.first, &pump.second] {
                let entry = format!("pump.{}.rate", pump.n);
                let unit = self.key_in.get(&entry).and_then(|view| view.unit.as_deref());
                let value = reading.ok().zip(unit).and_then(|(rate, unit)| rate_in(rate, unit));
                if let Some(value) = value {
                    self.past_console(&entry, &reading.path, value, found);
                }
            }
            self.quantity_past_console("nudge", &pump.nudge.path, pump.nudge.ok().map(|t| t.value), found);
        }
        for (entry, reading) in [("standing_speed", &self.standing_speed), ("hold_speed", &self.hold_speed)] {
            self.quantity_past_console(entry, &reading.path, reading.ok().map(|t| t.value), found);
        }
    }

    fn quantity_past_console<Q: Quantity>(
        &self,
        entry: &str,
        path: &str,
        value: Option<Q>,
        found: &mut Vec<RigProblem>,
    ) {
        let unit = self.key_in.get(entry).and_then(|view| view.unit.as_deref()).and_then(Q::Unit::from_code);
        if let (Some(value), Some(unit)) = (value, unit) {
            self.past_console(entry, path, value.in_unit(unit), found);
        }
    }

    fn past_console(&self, entry: &str, path: &str, value: f64, found: &mut Vec<RigProblem>) {
        let Some(reading) = self.key_in.get(entry).map(|view| &view.largest) else { return };
        let Some(largest) = reading.ok() else { return };
        if value > largest * (1.0 + 1e-9) {
            found.push(about(&[path, &reading.path], RigProblemKind::PastConsole { value, largest }));
        }
    }

    fn speeds(&self, found: &mut Vec<RigProblem>) {
        let standing = self.standing_speed.ok().map(|typed| typed.value);
        let hold = self.hold_speed.ok().map(|typed| typed.value);
        let top = self.top_speed.ok().map(|typed| typed.value);
        if let (Some(standing), Some(hold)) = (standing, hold)
            && standing < hold
        {
            found.push(about(
                &[&self.standing_speed.path, &self.hold_speed.path],
                RigProblemKind::StandingBelowHold,
            ));
        }
        for (speed, path) in [(standing, &self.standing_speed.path), (hold, &self.hold_speed.path)] {
            if let (Some(speed), Some(top)) = (speed, top)
                && speed > top
            {
                found.push(about(&[path, &self.top_speed.path], RigProblemKind::AboveTopSpeed));
            }
        }
    }
}

fn about(paths: &[&str], kind: RigProblemKind) -> RigProblem {
    RigProblem { paths: paths.iter().map(|path| (*path).to_owned()).collect(), kind }
}

/// A rate in the unit with this code, where the code is of the rate's own kind.
fn rate_in(rate: ProductRate, unit: &str) -> Option<f64> {
    match rate {
        ProductRate::PerArea(typed) => {
            VolumePerAreaUnit::from_code(unit).map(|unit| typed.value.in_unit(unit))
        }
        ProductRate::PerCarrier(typed) => {
            VolumePerCarrierUnit::from_code(unit).map(|unit| typed.value.in_unit(unit))
        }
    }
}
