//! A plan in SI numbers: what each part gives, needs and allows.
//!
//! Private to this folder. Checking is in [`super::read`], limits on the speed axis are in [`super::limits`].

use units::{FlowRate, Pressure};

use super::plan::{Plan, Problem, RateInForce, SectionSet};
use super::proven::{Factor, Proof, Proven, sensible};
use super::read::{
    read_carrier, read_meter, read_nozzle, read_pumps, read_sections, read_speed, read_supply,
};
use crate::nozzle;
use crate::rig::NozzleSet;

/// A least and a greatest value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Range {
    pub(super) lo: f64,
    pub(super) hi: f64,
}

impl Range {
    pub(super) const fn at(value: f64) -> Self {
        Self { lo: value, hi: value }
    }

    fn over(values: impl Iterator<Item = f64>) -> Option<Self> {
        values.fold(None, |range, x| {
            Some(range.map_or(Self::at(x), |r: Self| Self { lo: r.lo.min(x), hi: r.hi.max(x) }))
        })
    }

    fn plus(self, other: Self) -> Self {
        Self { lo: self.lo + other.lo, hi: self.hi + other.hi }
    }
}

/// One section: width, and how many nozzles where that is known. Not whole where it comes from width over spacing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SectionHere {
    pub(super) w_m: f64,
    pub(super) n: Option<f64>,
}

/// Sections at work: the sums of one set, or their extremes over several sets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Boom {
    pub(super) w_m: Range,
    pub(super) n: Option<Range>,
    pub(super) w_per_n_m: Option<Range>,
}

impl Boom {
    /// One definite set. `None` where it covers no ground.
    pub(super) fn of(sections: impl Iterator<Item = SectionHere>) -> Option<Self> {
        let (mut w_m, mut n) = (0.0, Some(0.0));
        for section in sections {
            w_m += section.w_m;
            n = n.zip(section.n).map(|(sum, own)| sum + own);
        }
        let n = n.filter(|&n| n > 0.0);
        (w_m > 0.0).then(|| Self {
            w_m: Range::at(w_m),
            n: n.map(Range::at),
            w_per_n_m: n.map(|n| Range::at(w_m / n)),
        })
    }
}

/// The nozzle set with its window as flows of the carrier through one nozzle.
#[derive(Clone, Copy, Debug)]
pub(super) struct NozzleHere {
    pub(super) set: NozzleSet,
    pub(super) specific_gravity: f64,
    pub(super) q_least_m3_s: Option<f64>,
    pub(super) q_greatest_m3_s: Option<f64>,
}

impl NozzleHere {
    pub(super) fn flow_m3_s(&self, pressure: Pressure) -> Option<f64> {
        nozzle::flow_at_pressure(
            self.set.rated_flow,
            self.set.rated_pressure,
            pressure,
            self.specific_gravity,
        )
        .ok()
        .map(FlowRate::as_m3_per_s)
    }

    pub(super) fn pressure(&self, q_m3_s: f64) -> Option<Pressure> {
        let q = FlowRate::from_m3_per_s(q_m3_s);
        nozzle::pressure_for_flow(self.set.rated_flow, self.set.rated_pressure, q, self.specific_gravity).ok()
    }
}

/// How the carrier is run.
#[derive(Clone, Copy, Debug)]
pub(super) enum CarrierHere {
    /// Rate held by the console, in m³/m².
    Regulated { r_m: f64 },
    /// Pressure at the nozzles, and what one nozzle gives at it.
    Manual { pressure: Pressure, q_nozzle_m3_s: Option<f64> },
}

/// A product rate per area in m³/m², or per carrier as a ratio.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Product {
    Area(f64),
    Ratio(f64),
}

impl Product {
    pub(super) fn area(self) -> f64 {
        match self {
            Self::Area(r_m) => r_m,
            Self::Ratio(_) => 0.0,
        }
    }

    pub(super) fn ratio(self) -> f64 {
        match self {
            Self::Area(_) => 0.0,
            Self::Ratio(s) => s,
        }
    }

    pub(super) fn times(self, factor: f64) -> Self {
        match self {
            Self::Area(r_m) => Self::Area(r_m * factor),
            Self::Ratio(s) => Self::Ratio(s * factor),
        }
    }

    /// Per area where the carrier rate is held.
    pub(super) fn with_carrier(self, r_m: f64) -> f64 {
        match self {
            Self::Area(own) => own,
            Self::Ratio(s) => s * r_m,
        }
    }
}

/// One injection pump: its limits, and every rate that the plan may ask of it, the plain ones first.
#[derive(Clone, Debug)]
pub(super) struct PumpHere {
    pub(super) least_m3_s: Option<f64>,
    pub(super) greatest_m3_s: Option<f64>,
    pub(super) rates: Vec<(RateInForce, Product)>,
    pub(super) label_m: Option<f64>,
    /// What its limits' flows may be times, at a rate per area and at one per carrier.
    pub(super) area: Factor,
    pub(super) ratio: Factor,
    /// What its doses on the ground may be times, likewise.
    pub(super) dose_area: Factor,
    pub(super) dose_ratio: Factor,
}

/// A sum of products: per area, and per carrier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Products {
    pub(super) area_m: Range,
    pub(super) ratio: Range,
}

/// A plan in SI numbers. What was missing or made no sense is `None` and stands in `problems`.
#[derive(Clone, Debug)]
pub(super) struct Flows {
    pub(super) sections: Vec<Option<SectionHere>>,
    pub(super) nozzle: Option<NozzleHere>,
    pub(super) carrier: Option<CarrierHere>,
    pub(super) meter_least_m3_s: Option<f64>,
    pub(super) meter_greatest_m3_s: Option<f64>,
    pub(super) supply_m3_s: Option<f64>,
    pub(super) pumps: Vec<PumpHere>,
    pub(super) top_m_s: Option<f64>,
    pub(super) hold_m_s: Option<f64>,
    /// What the flows at the ends of a limit, or the top speed, may be times.
    pub(super) nozzle_open: Factor,
    pub(super) meter_open: Factor,
    pub(super) supply_open: Factor,
    pub(super) top_open: Factor,
    pub(super) problems: Vec<Problem>,
}

impl Flows {
    pub(super) fn new(plan: &Plan) -> Self {
        let rig = &plan.rig;
        let mut problems = Vec::new();
        let sections = read_sections(rig, &mut problems);
        let nozzle = read_nozzle(rig, &sections, &mut problems);
        let carrier = read_carrier(rig, nozzle, &mut problems);
        let (meter_least_m3_s, meter_greatest_m3_s) = read_meter(rig, &mut problems);
        let supply_m3_s = read_supply(rig, &mut problems);
        let pumps = read_pumps(plan, carrier.is_some(), &mut problems);
        let top_m_s = read_speed(rig.top_speed, |got| Problem::TopSpeed { got }, &mut problems);
        let hold_m_s = read_speed(rig.hold_speed, |got| Problem::HoldSpeed { got }, &mut problems);
        let mut flows = Self {
            sections,
            nozzle,
            carrier,
            meter_least_m3_s,
            meter_greatest_m3_s,
            supply_m3_s,
            pumps,
            top_m_s,
            hold_m_s,
            nozzle_open: Factor::ONE,
            meter_open: Factor::ONE,
            supply_open: Factor::ONE,
            top_open: Factor::ONE,
            problems,
        };
        flows.open(&plan.proven);
        flows
    }

    /// Works out what the proofs leave open. Carrier is what the meter says, with the valve left alone what the nozzles
    /// pass; product per area follows the shown area, product per carrier the shown carrier.
    fn open(&mut self, proven: &Proven) {
        if *proven == Proven::default() {
            return;
        }
        let mut read = |proof: Option<Proof>| sensible(proof, &mut self.problems);
        let (meter, course) = (read(proven.meter), read(proven.course));
        let (nozzle, supply) = (read(proven.nozzle_flow), read(proven.supply));
        let manual = matches!(self.carrier, Some(CarrierHere::Manual { .. }));
        let carrier = if manual { nozzle } else { meter };
        self.nozzle_open = Factor::of(&[nozzle], &[meter]);
        self.meter_open = Factor::of(&[], &[carrier]);
        self.supply_open = Factor::of(&[supply], &[carrier]);
        self.top_open = Factor::of(&[], &[course]);
        for (pump_idx, pump) in self.pumps.iter_mut().enumerate() {
            let own = read(proven.pumps.get(pump_idx).copied().flatten());
            pump.area = Factor::of(&[], &[own]);
            pump.dose_area = Factor::of(&[own], &[course]);
            (pump.ratio, pump.dose_ratio) = if manual {
                (Factor::of(&[meter], &[own, nozzle]), Factor::of(&[own, nozzle], &[meter, course]))
            } else {
                (pump.area, pump.dose_area)
            };
        }
    }

    /// Another nozzle set; a carrier left in manual stays at its pressure.
    pub(super) fn set_nozzle(&mut self, nozzle: Option<NozzleHere>) {
        self.nozzle = nozzle;
        if let Some(CarrierHere::Manual { pressure, q_nozzle_m3_s }) = &mut self.carrier {
            *q_nozzle_m3_s = nozzle.and_then(|nozzle| nozzle.flow_m3_s(*pressure));
        }
    }

    /// The products of two pumps change places, their rates and label maxima with them.
    pub(super) fn swap_products(&mut self, pump_idx: usize, with_pump_idx: usize) {
        let (a, b) = (pump_idx.min(with_pump_idx), pump_idx.max(with_pump_idx));
        let (before, from_b) = self.pumps.split_at_mut(b);
        if let (Some(one), Some(other)) = (before.get_mut(a), from_b.first_mut()) {
            std::mem::swap(&mut one.rates, &mut other.rates);
            std::mem::swap(&mut one.label_m, &mut other.label_m);
        }
    }

    /// The sections of a set that make sense.
    pub(super) fn sections_of(&self, set: SectionSet) -> impl Iterator<Item = SectionHere> + '_ {
        set.iter().filter_map(|idx| self.sections.get(idx).copied().flatten())
    }

    pub(super) fn boom(&self, set: SectionSet) -> Option<Boom> {
        Boom::of(self.sections_of(set))
    }

    /// What is wrong with a choice of sections.
    pub(super) fn set_problems(&self, set: SectionSet, problems: &mut Vec<Problem>) {
        if self.sections.is_empty() {
            return;
        }
        if set.is_empty() {
            problems.push(Problem::NoSectionOn);
        }
        problems.extend(
            set.iter()
                .filter(|&idx| idx >= self.sections.len())
                .map(|section_idx| Problem::SectionNotThere { section_idx }),
        );
    }

    /// Least and greatest sum of products over all rates of the plan, leaving out one pump.
    pub(super) fn products_without(&self, left_out: Option<usize>) -> Products {
        let none = Products { area_m: Range::at(0.0), ratio: Range::at(0.0) };
        self.pumps.iter().enumerate().filter(|(idx, _)| Some(*idx) != left_out).fold(
            none,
            |sum, (_, pump)| {
                let kinds = || pump.rates.iter().map(|(_, product)| *product);
                let zero = Range::at(0.0);
                Products {
                    area_m: sum.area_m.plus(Range::over(kinds().map(Product::area)).unwrap_or(zero)),
                    ratio: sum.ratio.plus(Range::over(kinds().map(Product::ratio)).unwrap_or(zero)),
                }
            },
        )
    }

    /// Least and greatest sum of products per area where the carrier rate is held.
    pub(super) fn products_with_carrier(&self, r_m: f64) -> Range {
        self.pumps.iter().fold(Range::at(0.0), |sum, pump| {
            let own = Range::over(pump.rates.iter().map(|(_, product)| product.with_carrier(r_m)));
            sum.plus(own.unwrap_or(Range::at(0.0)))
        })
    }

    /// The products of all first rates: sum per area, sum of ratios.
    pub(super) fn first_products(&self) -> (f64, f64) {
        let firsts = self.pumps.iter().filter_map(|pump| {
            pump.rates.iter().find(|(rate, _)| *rate == RateInForce::FIRST).map(|(_, product)| *product)
        });
        firsts.fold((0.0, 0.0), |(area_m, ratio), p| (area_m + p.area(), ratio + p.ratio()))
    }

    /// The speed that the console acts on.
    pub(super) fn acted_on(&self, v_m_s: f64) -> f64 {
        self.hold_m_s.map_or(v_m_s, |hold| v_m_s.max(hold))
    }
}

pub(super) fn positive(x: f64) -> Option<f64> {
    (x.is_finite() && x > 0.0).then_some(x)
}

pub(super) fn not_negative(x: f64) -> Option<f64> {
    (x.is_finite() && x >= 0.0).then_some(x)
}
