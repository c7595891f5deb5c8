//! A plan's numbers, read and checked once: what is missing or makes no sense is named, the rest goes on.
//!
//! Private to this folder. What the numbers mean together is in [`super::flows`].

use units::{FlowRate, Pressure, Quantity, Speed};

use super::flows::{CarrierHere, NozzleHere, Product, PumpHere, SectionHere, not_negative, positive};
use super::plan::{Plan, Problem, RateInForce, SectionSet, WhichRate};
use super::proven::Factor;
use crate::rate::{RateError, nudge_factor};
use crate::rig::{Carrier, InjectionPump, NozzleSet, ProductRate, Rig, Section};

pub(super) fn read_sections(rig: &Rig, problems: &mut Vec<Problem>) -> Vec<Option<SectionHere>> {
    if rig.sections.is_empty() {
        problems.push(Problem::NoSections);
    }
    if rig.sections.len() > SectionSet::MOST {
        problems.push(Problem::TooManySections { got: rig.sections.len() });
    }
    let spacing_m = rig.nozzles.and_then(|set| set.spacing).and_then(|s| positive(s.as_m()));
    let read = |(section_idx, section): (usize, &Section)| {
        let Some(w_m) = positive(section.width.as_m()) else {
            problems.push(Problem::SectionWidth { section_idx, got: section.width });
            return None;
        };
        let n = match section.n_nozzles {
            0 => spacing_m.map(|s| w_m / s),
            n => Some(f64::from(n)),
        };
        Some(SectionHere { w_m, n })
    };
    rig.sections.iter().enumerate().map(read).collect()
}

pub(super) fn read_nozzle(
    rig: &Rig,
    sections: &[Option<SectionHere>],
    problems: &mut Vec<Problem>,
) -> Option<NozzleHere> {
    let specific_gravity = positive(rig.specific_gravity);
    if specific_gravity.is_none() {
        problems.push(Problem::SpecificGravity { got: rig.specific_gravity });
    }
    let Some(set) = rig.nozzles else {
        problems.push(Problem::NoNozzleSet);
        return None;
    };
    if sections.iter().flatten().any(|section| section.n.is_none()) {
        problems.push(Problem::NozzlesNotCounted);
    }
    nozzle_here(set, specific_gravity?, problems)
}

/// A nozzle set with its window, as far as that makes sense.
pub(super) fn nozzle_here(
    set: NozzleSet,
    specific_gravity: f64,
    problems: &mut Vec<Problem>,
) -> Option<NozzleHere> {
    let before = problems.len();
    if positive(set.rated_flow.as_m3_per_s()).is_none() {
        problems.push(Problem::NozzleRatedFlow { got: set.rated_flow });
    }
    if positive(set.rated_pressure.as_pa()).is_none() {
        problems.push(Problem::NozzleRatedPressure { got: set.rated_pressure });
    }
    if problems.len() > before {
        return None;
    }
    let mut end = |pressure: Option<Pressure>, unknown: Problem| {
        let Some(pressure) = pressure else {
            problems.push(unknown);
            return None;
        };
        if not_negative(pressure.as_pa()).is_none() {
            problems.push(Problem::NozzleWindowPressure { got: pressure });
            return None;
        }
        Some(pressure)
    };
    let mut least = end(set.least_pressure, Problem::NozzleLeastUnknown);
    let mut greatest = end(set.greatest_pressure, Problem::NozzleGreatestUnknown);
    if let (Some(lo), Some(hi)) = (least, greatest)
        && lo > hi
    {
        problems.push(Problem::NozzleWindowReversed { least: lo, greatest: hi });
        (least, greatest) = (None, None);
    }
    let bare = NozzleHere { set, specific_gravity, q_least_m3_s: None, q_greatest_m3_s: None };
    Some(NozzleHere {
        q_least_m3_s: least.and_then(|p| bare.flow_m3_s(p)),
        q_greatest_m3_s: greatest.and_then(|p| bare.flow_m3_s(p)),
        ..bare
    })
}

pub(super) fn read_carrier(
    rig: &Rig,
    nozzle: Option<NozzleHere>,
    problems: &mut Vec<Problem>,
) -> Option<CarrierHere> {
    match rig.carrier {
        None => {
            problems.push(Problem::NoCarrier);
            None
        }
        Some(Carrier::Regulated(rate)) => {
            let r_m = positive(rate.as_si());
            if r_m.is_none() {
                problems.push(Problem::CarrierRate { got: rate });
            }
            r_m.map(|r_m| CarrierHere::Regulated { r_m })
        }
        Some(Carrier::Manual(pressure)) => {
            if positive(pressure.as_pa()).is_none() {
                problems.push(Problem::ManualPressure { got: pressure });
                return None;
            }
            let q_nozzle_m3_s = nozzle.and_then(|nozzle| nozzle.flow_m3_s(pressure));
            Some(CarrierHere::Manual { pressure, q_nozzle_m3_s })
        }
    }
}

pub(super) fn read_meter(rig: &Rig, problems: &mut Vec<Problem>) -> (Option<f64>, Option<f64>) {
    let Some(meter) = rig.meter else {
        problems.push(Problem::NoMeter);
        return (None, None);
    };
    let mut end = |flow: Option<FlowRate>, unknown: Problem| match flow {
        None => {
            problems.push(unknown);
            None
        }
        Some(got) => {
            let q = not_negative(got.as_m3_per_s());
            if q.is_none() {
                problems.push(Problem::MeterFlow { got });
            }
            q
        }
    };
    let least = end(meter.least, Problem::MeterLeastUnknown);
    let greatest = end(meter.greatest, Problem::MeterGreatestUnknown);
    match (least, greatest) {
        (Some(lo), Some(hi)) if lo > hi => {
            let (least, greatest) = (FlowRate::from_m3_per_s(lo), FlowRate::from_m3_per_s(hi));
            problems.push(Problem::MeterReversed { least, greatest });
            (None, None)
        }
        ends => ends,
    }
}

/// What the supply pump leaves for the boom: `q · (1 − agitation − reserve)`, both shares being of its largest flow.
pub(super) fn read_supply(rig: &Rig, problems: &mut Vec<Problem>) -> Option<f64> {
    let Some(supply) = rig.supply else {
        problems.push(Problem::NoSupply);
        return None;
    };
    let Some(q_m3_s) = positive(supply.greatest.as_m3_per_s()) else {
        problems.push(Problem::SupplyFlow { got: supply.greatest });
        return None;
    };
    let (agitation, reserve) = (supply.agitation.as_fraction(), supply.reserve.as_fraction());
    let left = 1.0 - agitation - reserve;
    if not_negative(agitation).is_none() || not_negative(reserve).is_none() || left <= 0.0 {
        problems.push(Problem::SupplyShares { agitation: supply.agitation, reserve: supply.reserve });
        return None;
    }
    Some(q_m3_s * left)
}

pub(super) fn read_pumps(plan: &Plan, carrier_known: bool, problems: &mut Vec<Problem>) -> Vec<PumpHere> {
    let pumps = &plan.rig.pumps;
    if pumps.iter().all(|pump| pump.first.is_none() && pump.second.is_none()) {
        problems.push(Problem::NoProduct);
    }
    let read = |(pump_idx, pump): (usize, &InjectionPump)| {
        PumpReader { pump_idx, pump, presses: plan.nudge_presses, carrier_known, problems }.read()
    };
    pumps.iter().enumerate().map(read).collect()
}

struct PumpReader<'a> {
    pump_idx: usize,
    pump: &'a InjectionPump,
    presses: u8,
    carrier_known: bool,
    problems: &'a mut Vec<Problem>,
}

impl PumpReader<'_> {
    fn read(mut self) -> PumpHere {
        let (pump_idx, pump) = (self.pump_idx, self.pump);
        let asked_without_first =
            pump.second.is_some() || pump.nudge.is_some() || pump.label_greatest.is_some();
        if pump.first.is_none() && asked_without_first {
            self.problems.push(Problem::NoFirstRate { pump_idx });
        }
        let mut rates = Vec::new();
        for which in [WhichRate::First, WhichRate::Second] {
            self.read_rate(which, &mut rates);
        }
        // Plain rates first: where two rates end a bar alike, the plainer one is named.
        rates.sort_by_key(|(rate, _)| (rate.presses.unsigned_abs(), rate.which == WhichRate::Second));
        let in_use = !rates.is_empty();
        let (least_m3_s, greatest_m3_s) = self.read_range(in_use);
        let label_m = match pump.label_greatest {
            None => {
                if in_use {
                    self.problems.push(Problem::LabelUnknown { pump_idx });
                }
                None
            }
            Some(got) => {
                let label_m = positive(got.as_si());
                if label_m.is_none() {
                    self.problems.push(Problem::Label { pump_idx, got });
                }
                label_m
            }
        };
        let open = Factor::ONE;
        PumpHere {
            least_m3_s,
            greatest_m3_s,
            rates,
            label_m,
            area: open,
            ratio: open,
            dose_area: open,
            dose_ratio: open,
        }
    }

    fn read_rate(&mut self, which: WhichRate, rates: &mut Vec<(RateInForce, Product)>) {
        let pump_idx = self.pump_idx;
        let Some(got) = (match which {
            WhichRate::First => self.pump.first,
            WhichRate::Second => self.pump.second,
        }) else {
            return;
        };
        let plain = match got {
            ProductRate::PerArea(rate) => positive(rate.as_si()).map(Product::Area),
            ProductRate::PerCarrier(rate) => positive(rate.as_si()).map(Product::Ratio),
        };
        let Some(plain) = plain else {
            self.problems.push(Problem::ProductRate { pump_idx, which, got });
            return;
        };
        if matches!(plain, Product::Ratio(_)) && !self.carrier_known {
            self.problems.push(Problem::PerCarrierWithoutCarrier { pump_idx, which });
        }
        rates.push((RateInForce { which, presses: 0 }, plain));
        let Some(step) = self.pump.nudge else { return };
        for presses in (1..=i32::from(self.presses)).flat_map(|k| [k, -k]) {
            match nudge_factor(step, presses) {
                Ok(factor) => {
                    rates.push((RateInForce { which, presses }, plain.times(factor)));
                }
                Err(RateError::NudgedAway { .. }) => {
                    self.report_once(Problem::NudgedAway { pump_idx, step, presses });
                }
                Err(_) => {
                    self.report_once(Problem::NudgeStep { pump_idx, got: step });
                    return;
                }
            }
        }
    }

    /// One line for each pump, however many presses and rates it stands for.
    fn report_once(&mut self, problem: Problem) {
        let same = |known: &Problem| match (known, &problem) {
            (Problem::NudgedAway { pump_idx: a, .. }, Problem::NudgedAway { pump_idx: b, .. }) => a == b,
            (Problem::NudgeStep { pump_idx: a, .. }, Problem::NudgeStep { pump_idx: b, .. }) => a == b,
            _ => false,
        };
        if !self.problems.iter().any(same) {
            self.problems.push(problem);
        }
    }

    fn read_range(&mut self, in_use: bool) -> (Option<f64>, Option<f64>) {
        let (pump_idx, pump) = (self.pump_idx, self.pump);
        let mut end = |flow: Option<FlowRate>, unknown: Problem| {
            let Some(got) = flow else {
                if in_use {
                    self.problems.push(unknown);
                }
                return None;
            };
            let q = not_negative(got.as_m3_per_s());
            if q.is_none() {
                self.problems.push(Problem::PumpFlow { pump_idx, got });
            }
            q
        };
        let least = end(pump.least, Problem::PumpLeastUnknown { pump_idx });
        let greatest = end(pump.greatest, Problem::PumpGreatestUnknown { pump_idx });
        match (least, greatest) {
            (Some(lo), Some(hi)) if lo > hi => {
                let (least, greatest) = (FlowRate::from_m3_per_s(lo), FlowRate::from_m3_per_s(hi));
                self.problems.push(Problem::PumpReversed { pump_idx, least, greatest });
                (None, None)
            }
            ends => ends,
        }
    }
}

pub(super) fn read_speed(
    speed: Option<Speed>,
    problem: fn(Speed) -> Problem,
    problems: &mut Vec<Problem>,
) -> Option<f64> {
    let got = speed?;
    let v_m_s = positive(got.as_m_per_s());
    if v_m_s.is_none() {
        problems.push(problem(got));
    }
    v_m_s
}
