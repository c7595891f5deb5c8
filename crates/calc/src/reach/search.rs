//! How the changes of [`super::make_it_work`] are searched, one function for each family.
//!
//! Every change is judged by computing the changed plan; nothing here knows which limit a change moves.

use units::{FlowRate, Pressure, Quantity, Speed, VolumePerArea, VolumePerCarrier};

use super::doses::doses;
use super::doses::refused_from;
use super::expected::along;
use super::flows::{Boom, CarrierHere, Flows};
use super::limits::Ends;
use super::make_it_work::{Change, Goal, Judged, Suggestion, Task, holds_goal, judge, works_at_all};
use super::nozzle_choice::{Candidate, nominal_set};
use super::plan::{Plan, RateInForce, WhichRate};
use super::read::nozzle_here;
use super::section_search::{JudgeBoom, first, nearest};
use crate::nozzle::{SIZES, flow_at_pressure};
use crate::rig::{Carrier, NozzleSet, ProductRate};

/// No further than this many times the present value, either way.
const FURTHEST: f64 = 4.0;
/// No more steps than this, either way.
const MOST_STEPS: u32 = 400;

pub(super) fn every_family(task: &Task<'_>, judged: &Judged) -> Vec<Suggestion> {
    let mut found = Vec::new();
    nozzles(task, &mut found);
    carrier(task, &mut found);
    sections(task, &mut found);
    product_rates(task, &mut found);
    other_pumps(task, &mut found);
    without_a_rate(task, &mut found);
    hold(task, judged, &mut found);
    speeds(task, judged, &mut found);
    ranges(task, &mut found);
    found
}

fn size(from: f64, to: f64) -> Option<f64> {
    Some((to / from).ln().abs())
}

fn nozzles(task: &Task<'_>, found: &mut Vec<Suggestion>) {
    let Some(present) = task.plan.rig.nozzles else { return };
    let window = (present.least_pressure, present.greatest_pressure);
    let nominal =
        SIZES.iter().map(|size| (Candidate::Nominal(size), nominal_set(size, window, present.spacing)));
    let own = task.own.iter().enumerate().map(|(idx, own)| {
        let spacing = own.nozzles.spacing.or(present.spacing);
        (Candidate::Own(idx), NozzleSet { spacing, ..own.nozzles })
    });
    // Flows at one pressure, so that sets rated at different pressures can be put in order.
    let flow = |set: &NozzleSet| {
        flow_at_pressure(set.rated_flow, set.rated_pressure, present.rated_pressure, 1.0)
            .ok()
            .map(FlowRate::as_m3_per_s)
    };
    let Some(now) = flow(&present) else { return };
    let mut others: Vec<(Candidate, NozzleSet, f64)> = nominal
        .chain(own)
        .filter_map(|(candidate, set)| flow(&set).map(|q| (candidate, set, (q / now).ln())))
        // An own set with the same flow may still have a wider pressure window; the same nominal size cannot.
        .filter(|(candidate, _, far)| matches!(candidate, Candidate::Own(_)) || far.abs() > 1e-3)
        .collect();
    others.sort_by(|a, b| a.2.abs().total_cmp(&b.2.abs()));
    let mut quick = Quick::new(task);
    let specific_gravity = task.plan.rig.specific_gravity;
    for smaller in [true, false] {
        let side = others.iter().filter(|(_, _, far)| (*far < 0.0) == smaller);
        found.extend(
            side.filter_map(|&(candidate, nozzles, far)| {
                quick.flows.set_nozzle(nozzle_here(nozzles, specific_gravity, &mut Vec::new()));
                if !quick.works_now() {
                    return None;
                }
                let plan = task.with(|plan| {
                    plan.rig.nozzles = Some(nozzles);
                    plan.proven.nozzle_flow = None;
                });
                task.works(Change::Nozzles { candidate, nozzles }, plan, Some(far.abs()))
            })
            .next(),
        );
    }
}

/// Whole multiples of a step below and above a value, nearest first, no further than [`FURTHEST`] times.
fn multiples(from: f64, step: f64) -> [Vec<f64>; 2] {
    if !(step.is_finite() && step > 0.0 && from.is_finite() && from > 0.0) {
        return [Vec::new(), Vec::new()];
    }
    let steps = from / step;
    // A value that is a whole multiple in all but rounding is not its own neighbour.
    let trace = 1e-9 * steps.max(1.0);
    let (below, above) = ((steps - trace).ceil() - 1.0, (steps + trace).floor() + 1.0);
    let side = |first: f64, sign: f64| {
        (0..MOST_STEPS)
            .map(|k| (first + sign * f64::from(k)) * step)
            .take_while(|x| *x > 0.0 && from / FURTHEST <= *x && *x <= from * FURTHEST)
            .collect()
    };
    [side(below, -1.0), side(above, 1.0)]
}

fn carrier(task: &Task<'_>, found: &mut Vec<Suggestion>) {
    let mut quick = Quick::new(task);
    match task.plan.rig.carrier {
        None => {}
        Some(Carrier::Regulated(from)) => {
            let now = from.as_si();
            for side in multiples(now, task.steps.carrier.as_si()) {
                let set = |flows: &mut Flows, r_m| flows.carrier = Some(CarrierHere::Regulated { r_m });
                found.extend(quick.nearest_rate(&side, set).and_then(|r_m| {
                    let to = VolumePerArea::from_si(r_m);
                    let plan = task.with(|plan| plan.rig.carrier = Some(Carrier::Regulated(to)));
                    task.works(Change::CarrierRate { from, to }, plan, size(now, r_m))
                }));
            }
        }
        Some(Carrier::Manual(from)) => {
            let now = from.as_pa();
            for side in multiples(now, task.steps.pressure.as_pa()) {
                found.extend(side.into_iter().find_map(|p_pa| {
                    let to = Pressure::from_pa(p_pa);
                    let q_nozzle_m3_s = quick.flows.nozzle.and_then(|nozzle| nozzle.flow_m3_s(to));
                    quick.flows.carrier = Some(CarrierHere::Manual { pressure: to, q_nozzle_m3_s });
                    if !quick.works_now() {
                        return None;
                    }
                    let plan = task.with(|plan| plan.rig.carrier = Some(Carrier::Manual(to)));
                    task.works(Change::ManualPressure { from, to }, plan, size(now, p_pa))
                }));
            }
        }
    }
}

/// A plan's numbers to try values on without reading the whole plan each time. What works here is then put into the
/// plan and judged in full.
struct Quick<'a> {
    task: &'a Task<'a>,
    flows: Flows,
    boom: Option<Boom>,
}

impl<'a> Quick<'a> {
    fn new(task: &'a Task<'a>) -> Self {
        let flows = Flows::new(task.plan);
        let boom = flows.boom(task.plan.sections_on);
        Self { task, flows, boom }
    }

    fn works_now(&self) -> bool {
        works_at_all(&self.flows, self.boom.as_ref(), self.task.goal)
    }

    /// The first of some rates, in rising or falling order, with which the plan works; `set` puts one into the numbers.
    ///
    /// With the carrier rate held, every end of every limit falls as a rate rises, low ends and high ends alike, and a dose
    /// that passes its label maximum with a smaller rate does so with a larger one. So a stretch of rates is left out whole
    /// where its largest one's low end and its smallest one's high end do not meet the goal, or the smallest one is refused.
    /// With the carrier in manual that is not so, and every rate is tried.
    fn nearest_rate(&mut self, rates: &[f64], set: impl Fn(&mut Flows, f64)) -> Option<f64> {
        let goal = self.task.goal;
        let mut may = |lo: usize, hi: usize| {
            let (smaller, larger) = (rates[lo].min(rates[hi]), rates[lo].max(rates[hi]));
            set(&mut self.flows, smaller);
            if lo == hi {
                return self.works_now();
            }
            if matches!(self.flows.carrier, Some(CarrierHere::Manual { .. })) {
                return true;
            }
            let Some(at_smaller) = self.flows.ends(self.boom.as_ref()) else { return false };
            if refused_from(&self.flows, self.boom.as_ref(), at_smaller.low_m_s) {
                return false;
            }
            set(&mut self.flows, larger);
            let Some(at_larger) = self.flows.ends(self.boom.as_ref()) else { return false };
            holds_goal(Ends { low_m_s: at_larger.low_m_s, high_m_s: at_smaller.high_m_s }, goal)
        };
        let last = rates.len().checked_sub(1)?;
        first(0, last, &mut may).map(|idx| rates[idx])
    }
}

impl JudgeBoom for Quick<'_> {
    fn works(&mut self, boom: Option<&Boom>) -> bool {
        works_at_all(&self.flows, boom, self.task.goal)
    }

    fn may(&mut self, best: &Boom, worst: &Boom) -> bool {
        if !self.flows.ends(Some(best)).is_some_and(|ends| holds_goal(ends, self.task.goal)) {
            return false;
        }
        // With the rate held a dose does not depend on which sections are on, and of all the low ends none is above this.
        let manual = matches!(self.flows.carrier, Some(CarrierHere::Manual { .. }));
        let highest_low = self.flows.ends(Some(worst)).map(|ends| ends.low_m_s);
        manual || highest_low.is_none_or(|low_m_s| !refused_from(&self.flows, None, low_m_s))
    }
}

fn sections(task: &Task<'_>, found: &mut Vec<Suggestion>) {
    let from = task.plan.sections_on;
    let mut quick = Quick::new(task);
    let width = |boom: Option<Boom>| boom.map(|boom| boom.w_m.lo);
    let Some(now) = width(quick.boom) else { return };
    for off in [true, false] {
        let flows = quick.flows.clone();
        let Some(to) = nearest(&flows, from, off, &mut quick) else { continue };
        let plan = task.with(|plan| plan.sections_on = to);
        let size = width(flows.boom(to)).and_then(|then| size(now, then));
        found.extend(task.works(Change::Sections { from, to }, plan, size));
    }
}

fn product_rates(task: &Task<'_>, found: &mut Vec<Suggestion>) {
    let mut quick = Quick::new(task);
    for (pump_idx, pump) in task.plan.rig.pumps.iter().enumerate() {
        for which in [WhichRate::First, WhichRate::Second] {
            let Some(from) = task.plan.product_rate(pump_idx, which) else { continue };
            let as_is = quick.flows.pumps[pump_idx].rates.clone();
            let [lower, higher] = multiples(1.0, task.steps.product.as_fraction());
            // Above the label maximum every step would be refused; without one nothing says how much is too much.
            let most = match (pump.label_greatest, from) {
                (None, _) => 0.0,
                (Some(label), ProductRate::PerArea(r)) => label.as_si() / r.as_si(),
                (Some(_), ProductRate::PerCarrier(_)) => f64::INFINITY,
            };
            let higher = higher.into_iter().filter(|factor| *factor <= most).collect();
            let set = |flows: &mut Flows, factor| {
                let rates = &mut flows.pumps[pump_idx].rates;
                for (rate, as_is) in rates.iter_mut().zip(&as_is).filter(|(_, (r, _))| r.which == which) {
                    rate.1 = as_is.1.times(factor);
                }
            };
            for side in [lower, higher] {
                found.extend(quick.nearest_rate(&side, set).and_then(|factor| {
                    let to = times(from, factor);
                    let plan = task.with(|plan| {
                        let pump = &mut plan.rig.pumps[pump_idx];
                        match which {
                            WhichRate::First => pump.first = Some(to),
                            WhichRate::Second => pump.second = Some(to),
                        }
                    });
                    task.works(Change::ProductRate { pump_idx, which, from, to }, plan, size(1.0, factor))
                }));
            }
            quick.flows.pumps[pump_idx].rates = as_is;
        }
    }
}

fn times(rate: ProductRate, factor: f64) -> ProductRate {
    match rate {
        ProductRate::PerArea(r) => ProductRate::PerArea(VolumePerArea::from_si(r.as_si() * factor)),
        ProductRate::PerCarrier(r) => ProductRate::PerCarrier(VolumePerCarrier::from_si(r.as_si() * factor)),
    }
}

fn other_pumps(task: &Task<'_>, found: &mut Vec<Suggestion>) {
    let pumps = &task.plan.rig.pumps;
    let mut quick = Quick::new(task);
    for pump_idx in 0..pumps.len() {
        for with_pump_idx in pump_idx + 1..pumps.len() {
            let idle = |idx: usize| pumps[idx].first.is_none() && pumps[idx].second.is_none();
            if idle(pump_idx) && idle(with_pump_idx) {
                continue;
            }
            quick.flows.swap_products(pump_idx, with_pump_idx);
            let works = quick.works_now();
            quick.flows.swap_products(pump_idx, with_pump_idx);
            if !works {
                continue;
            }
            let plan = task.with(|plan| {
                let pumps = &mut plan.rig.pumps;
                let (a, b) = (pumps[pump_idx], pumps[with_pump_idx]);
                for (at, product_of) in [(pump_idx, b), (with_pump_idx, a)] {
                    let pump = &mut pumps[at];
                    pump.first = product_of.first;
                    pump.second = product_of.second;
                    pump.nudge = product_of.nudge;
                    pump.label_greatest = product_of.label_greatest;
                }
            });
            found.extend(task.works(Change::SwapProducts { pump_idx, with_pump_idx }, plan, None));
        }
    }
}

fn without_a_rate(task: &Task<'_>, found: &mut Vec<Suggestion>) {
    let mut quick = Quick::new(task);
    let mut works_with = |pump_idx: usize, keep: fn(&RateInForce) -> bool| {
        let fewer =
            quick.flows.pumps[pump_idx].rates.iter().filter(|(rate, _)| keep(rate)).copied().collect();
        let all = std::mem::replace(&mut quick.flows.pumps[pump_idx].rates, fewer);
        let works = quick.works_now();
        quick.flows.pumps[pump_idx].rates = all;
        works
    };
    for (pump_idx, pump) in task.plan.rig.pumps.iter().enumerate() {
        let both = pump.first.is_some() && pump.second.is_some();
        if both && works_with(pump_idx, |rate| rate.which == WhichRate::First) {
            let plan = task.with(|plan| plan.rig.pumps[pump_idx].second = None);
            found.extend(task.works(Change::WithoutSecond { pump_idx }, plan, None));
        }
        if pump.nudge.is_some() && works_with(pump_idx, |rate| rate.presses == 0) {
            let plan = task.with(|plan| plan.rig.pumps[pump_idx].nudge = None);
            found.extend(task.works(Change::WithoutNudge { pump_idx }, plan, None));
        }
    }
}

fn hold(task: &Task<'_>, judged: &Judged, found: &mut Vec<Suggestion>) {
    let Some(from) = task.plan.rig.hold_speed else { return };
    if !judged.refused {
        return;
    }
    let now = from.as_m_per_s();
    let [lower, _] = multiples(now, task.steps.speed.as_m_per_s());
    let mut quick = Quick::new(task);
    let attempt = |to: Option<Speed>| {
        quick.flows.hold_m_s = to.map(Speed::as_m_per_s);
        if !quick.works_now() {
            return None;
        }
        let plan = task.with(|plan| plan.rig.hold_speed = to);
        task.works(Change::HoldSpeed { from, to }, plan, to.and_then(|v| size(now, v.as_m_per_s())))
    };
    found.extend(lower.into_iter().map(|v| Some(Speed::from_m_per_s(v))).chain([None]).find_map(attempt));
}

fn speeds(task: &Task<'_>, judged: &Judged, found: &mut Vec<Suggestion>) {
    if let Some(from) = task.plan.rig.top_speed {
        let now = from.as_m_per_s();
        let [_, higher] = multiples(now, task.steps.speed.as_m_per_s());
        let mut quick = Quick::new(task);
        found.extend(higher.into_iter().find_map(|v| {
            quick.flows.top_m_s = Some(v);
            if !quick.works_now() {
                return None;
            }
            let to = Speed::from_m_per_s(v);
            let plan = task.with(|plan| plan.rig.top_speed = Some(to));
            task.works(Change::TopSpeed { from, to }, plan, size(now, v))
        }));
    }
    if task.goal.speeds.is_some() && !judged.refused && judged.window.is_open() {
        let any_speeds = Goal { speeds: None, ..task.goal };
        if judge(task.plan, any_speeds).works {
            let (slowest, fastest) = (judged.window.low(), judged.window.high());
            found.push(Suggestion {
                change: Change::Drive { slowest, fastest },
                plan: task.plan.clone(),
                window: judged.window,
                size: None,
            });
        }
    }
}

/// For each part with a range: leave its range out, see what the rest can hold, and ask what the part would have to
/// give for that. The answer is put into the plan and judged like any other change.
fn ranges(task: &Task<'_>, found: &mut Vec<Suggestion>) {
    let rig = &task.plan.rig;
    for pump_idx in 0..rig.pumps.len() {
        let free = task.with(|plan| {
            let pump = &mut plan.rig.pumps[pump_idx];
            (pump.least, pump.greatest) = (None, None);
        });
        let Some((low, high)) = driven(task, &free) else { continue };
        let (at_low, at_high) = (pump_flows(&free, pump_idx, low), pump_flows(&free, pump_idx, high));
        let both = || at_low.iter().chain(&at_high).copied();
        let least = low.and(both().reduce(f64::min)).map(FlowRate::from_m3_per_s);
        let greatest = high.and(both().reduce(f64::max)).map(FlowRate::from_m3_per_s);
        let plan = task.with(|plan| {
            let pump = &mut plan.rig.pumps[pump_idx];
            (pump.least, pump.greatest) = (least, greatest);
        });
        found.extend(task.works(Change::PumpRange { pump_idx, least, greatest }, plan, None));
    }
    if rig.meter.is_some() {
        let free = task.with(|plan| {
            if let Some(meter) = &mut plan.rig.meter {
                (meter.least, meter.greatest) = (None, None);
            }
        });
        if let Some((low, high)) = driven(task, &free) {
            let (least, greatest) = (carrier_flow(&free, low), carrier_flow(&free, high));
            let plan = task.with(|plan| {
                if let Some(meter) = &mut plan.rig.meter {
                    (meter.least, meter.greatest) = (least, greatest);
                }
            });
            found.extend(task.works(Change::MeterRange { least, greatest }, plan, None));
        }
    }
    if let Some(supply) = rig.supply {
        let free = task.with(|plan| plan.rig.supply = None);
        let left = 1.0 - supply.agitation.as_fraction() - supply.reserve.as_fraction();
        let needed =
            driven(task, &free).and_then(|(_, high)| carrier_flow(&free, high)).filter(|_| left > 0.0);
        found.extend(needed.and_then(|needed| {
            let greatest = FlowRate::from_m3_per_s(needed.as_m3_per_s() / left);
            let plan = task.with(|plan| {
                if let Some(supply) = &mut plan.rig.supply {
                    supply.greatest = greatest;
                }
            });
            let size = size(supply.greatest.as_m3_per_s(), greatest.as_m3_per_s());
            task.works(Change::SupplyFlow { greatest }, plan, size)
        }));
    }
}

/// The speeds that a part must serve: the wanted ones, else all that the rest can hold. `None` where the rest does not
/// meet the goal either. Without a hold, since limits are judged at the speed itself.
fn driven(task: &Task<'_>, free: &Plan) -> Option<(Option<Speed>, Option<Speed>)> {
    let rest = judge(free, task.goal);
    rest.works.then(|| match task.goal.speeds {
        Some((slowest, fastest)) => (Some(slowest), Some(fastest)),
        None => (rest.window.low(), rest.window.high()),
    })
}

fn pump_flows(plan: &Plan, pump_idx: usize, speed: Option<Speed>) -> Vec<f64> {
    let Some(v) = speed else { return Vec::new() };
    let mut plan = plan.clone();
    plan.rig.hold_speed = None;
    let sections = plan.sections_on.iter().filter_map(|idx| plan.rig.sections.get(idx));
    let area_m2_s = sections.map(|s| s.width.as_m()).sum::<f64>() * v.as_m_per_s();
    let lines = doses(&plan).lines.into_iter().filter(|line| line.pump_idx == pump_idx);
    lines.filter_map(|line| line.law.at(v).map(|dose| dose.as_si() * area_m2_s)).collect()
}

fn carrier_flow(plan: &Plan, speed: Option<Speed>) -> Option<FlowRate> {
    let mut plan = plan.clone();
    plan.rig.hold_speed = None;
    along(&plan, speed).first().and_then(|here| here.carrier_flow)
}
