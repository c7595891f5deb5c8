//! Compares answers with those that a case carries. Limits are those that the cases' own notes ask of a solver.

use calc::plumbing::arrival::Lags;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::{Hydraulics, Solver};
use calc::plumbing::transport::{Contents, Front, Transport};
use serde_json::Value;
use units::{Duration, Share};

use super::Case;

/// What is allowed between a solver and a case.
pub struct Allowed;

impl Allowed {
    /// Nozzle flow, pipe flow, supply pressure: relative.
    pub const FLOW: f64 = 1e-6;
    /// Node pressure, Pa.
    pub const NODE_PA: f64 = 1.0;
    /// Friction and fitting loss of a pipe: relative.
    pub const LOSS: f64 = 1e-5;
    /// Lag: relative.
    pub const LAG: f64 = 1e-5;
    /// Arrival of a front, s.
    pub const ARRIVAL_S: f64 = 1e-3;
    /// Concentration: relative. The files give 13 digits; EPANET's samples 7.
    pub const CONCENTRATION: f64 = 1e-9;
    pub const SAMPLE: f64 = 1e-5;
    /// A share of the boom this close to a limit hangs on rounding.
    pub const SHARE: f64 = 0.001;
}

/// The largest differences found, and every one that is not allowed.
#[derive(Debug, Default)]
pub struct Found {
    pub n_compared: usize,
    pub flow: f64,
    pub supply: f64,
    pub node_pa: f64,
    pub loss: f64,
    pub lag: f64,
    pub arrival_s: f64,
    pub concentration: f64,
    pub wrong: Vec<String>,
}

impl Found {
    pub fn add(&mut self, more: Found) {
        self.n_compared += more.n_compared;
        self.flow = self.flow.max(more.flow);
        self.supply = self.supply.max(more.supply);
        self.node_pa = self.node_pa.max(more.node_pa);
        self.loss = self.loss.max(more.loss);
        self.lag = self.lag.max(more.lag);
        self.arrival_s = self.arrival_s.max(more.arrival_s);
        self.concentration = self.concentration.max(more.concentration);
        self.wrong.extend(more.wrong);
    }

    /// Compares and returns the difference, relative unless `is_absolute`.
    fn check(&mut self, what: &str, got: f64, wanted: f64, allowed: f64, is_absolute: bool) -> f64 {
        self.n_compared += 1;
        let difference = (got - wanted).abs();
        let difference = match () {
            () if is_absolute || difference == 0.0 => difference,
            // Solvers leave 1e-14 m³/s where nothing flows, and then no loss either: less than a drop in three years.
            () if difference < 1e-13 => 0.0,
            () => difference / wanted.abs(),
        };
        if difference.is_nan() || allowed < difference {
            self.wrong.push(format!("{what}: got {got}, reference {wanted}, off by {difference:e}"));
        }
        difference
    }
}

/// Steady answers of every state.
pub fn steady(case: &Case, solver: &Solver, solved: &[Option<Hydraulics>]) -> Found {
    let mut found = Found::default();
    let Some(references) = case.json["reference"].as_array() else { return found };
    for (place, reference) in references.iter().enumerate() {
        let state = reference["state"].as_u64().map_or(place, |state| state as usize);
        let Some(Some(answer)) = solved.get(state) else { continue };
        let what = |piece: &str| format!("{} state {state} {piece}", case.id);
        match solver.law() {
            FrictionLaw::SwameeJain => flows(case, reference, answer, &what, &mut found),
            FrictionLaw::Colebrook => flows_colebrook(reference, answer, &what, &mut found),
        }
        if let Some(lags) = Lags::of(solver.plumbing(), answer) {
            lag(reference, &lags, solver.law(), &what, &mut found);
        }
        let total: f64 = answer.nozzles.iter().map(|q| q.as_m3_per_s()).sum();
        let expected = case.states[state].carrier_m3_s + case.states[state].injected_m3_s;
        found.check(&what("all nozzles"), total, expected, 1e-9, false);
    }
    found
}

fn flows(
    case: &Case,
    reference: &Value,
    answer: &Hydraulics,
    what: &dyn Fn(&str) -> String,
    found: &mut Found,
) {
    if let Some(wanted) = best(&reference["supply_pressure_pa"]) {
        let got = answer.supply_pressure.as_pa();
        let off = found.check(&what("supply"), got, wanted, Allowed::FLOW, false);
        found.supply = found.supply.max(off);
    }
    for (idx, nozzle) in entries(reference, "nozzles").enumerate() {
        if let Some(wanted) = best(&nozzle["flow_m3_s"]) {
            let got = answer.nozzles[idx].as_m3_per_s();
            let off = found.check(&what(&format!("nozzle {idx}")), got, wanted, Allowed::FLOW, false);
            found.flow = found.flow.max(off);
        }
    }
    for node in entries(reference, "nodes") {
        let id = node["id"].as_str().unwrap_or_default();
        let idx = case.network.nodes.iter().position(|known| known.id == id).expect("a node of the case");
        match (best(&node["pressure_pa"]), answer.nodes[idx]) {
            (Some(wanted), Some(got)) => {
                let off = found.check(&what(id), got.as_pa(), wanted, Allowed::NODE_PA, true);
                found.node_pa = found.node_pa.max(off);
            }
            (None, None) => found.n_compared += 1,
            (wanted, got) => found.wrong.push(what(&format!("{id}: got {got:?}, reference {wanted:?}"))),
        }
    }
    for pipe in entries(reference, "pipes") {
        let id = pipe["id"].as_str().unwrap_or_default();
        let idx = case.network.pipes.iter().position(|known| known.id == id).expect("a pipe of the case");
        let got = answer.pipes[idx];
        if let Some(wanted) = best(&pipe["flow_m3_s"]) {
            let off = found.check(&what(id), got.flow.as_m3_per_s(), wanted, Allowed::FLOW, false);
            found.flow = found.flow.max(off);
        }
        if let Some(wanted) = pipe["friction_and_minor_loss_pa"].as_f64() {
            let what = what(&format!("{id} loss"));
            let off = found.check(&what, got.loss.as_pa(), wanted, Allowed::LOSS, false);
            found.loss = found.loss.max(off);
        }
        if let Some(wanted) = pipe["reynolds"].as_f64() {
            found.check(&what(&format!("{id} Reynolds")), got.reynolds, wanted, Allowed::FLOW, false);
        }
    }
}

fn flows_colebrook(reference: &Value, answer: &Hydraulics, what: &dyn Fn(&str) -> String, found: &mut Found) {
    if let Some(wanted) = reference["supply_pressure_pa_colebrook"].as_f64() {
        let got = answer.supply_pressure.as_pa();
        let off = found.check(&what("supply"), got, wanted, Allowed::FLOW, false);
        found.supply = found.supply.max(off);
    }
    for (idx, nozzle) in entries(reference, "nozzles").enumerate() {
        if let Some(wanted) = nozzle["flow_m3_s_colebrook"].as_f64() {
            let got = answer.nozzles[idx].as_m3_per_s();
            let off = found.check(&what(&format!("nozzle {idx}")), got, wanted, Allowed::FLOW, false);
            found.flow = found.flow.max(off);
        }
    }
}

fn lag(reference: &Value, lags: &Lags, law: FrictionLaw, what: &dyn Fn(&str) -> String, found: &mut Found) {
    let (field, other_law) = match law {
        FrictionLaw::SwameeJain => ("delay_s", false),
        FrictionLaw::Colebrook => ("delay_s_colebrook", true),
    };
    for (idx, nozzle) in entries(reference, "nozzles").enumerate().filter(|(_, n)| !n[field].is_null()) {
        let wanted = nozzle[field].as_f64().expect("a number of seconds");
        let Some(got) = lags.nozzles[idx] else {
            found.wrong.push(what(&format!("nozzle {idx} is never reached, reference {wanted} s")));
            continue;
        };
        let off = found.check(&what(&format!("nozzle {idx} lag")), got.as_s(), wanted, Allowed::LAG, false);
        found.lag = found.lag.max(off);
        if other_law {
            continue;
        }
        for other in ["t50_s_epanet", "age_s_epanet"] {
            if let Some(wanted) = nozzle[other].as_f64() {
                let what = what(&format!("nozzle {idx} {other}"));
                let off = found.check(&what, got.as_s(), wanted, Allowed::ARRIVAL_S, true);
                found.arrival_s = found.arrival_s.max(off);
            }
        }
    }
    let nulls =
        entries(reference, "nozzles").enumerate().filter(|(_, n)| n.get(field).is_some_and(Value::is_null));
    for (idx, _) in nulls {
        found.n_compared += 1;
        if lags.nozzles[idx].is_some() {
            found.wrong.push(what(&format!("nozzle {idx} is reached, but not in the reference")));
        }
    }
    for (share, time, before_after) in [
        (0.50, "boom_t50_s", "boom_t50_share_before_after"),
        (0.95, "boom_t95_s", "boom_t95_share_before_after"),
    ] {
        let hangs_on_rounding = entries(reference, before_after)
            .filter_map(Value::as_f64)
            .any(|near| (near - share).abs() < Allowed::SHARE);
        if let (Some(wanted), false, false) = (reference[time].as_f64(), hangs_on_rounding, other_law) {
            let got = lags.time_to_share(Share::from_fraction(share)).map_or(f64::NAN, Duration::as_s);
            let off = found.check(&what(time), got, wanted, Allowed::LAG, false);
            found.lag = found.lag.max(off);
        }
    }
}

/// Fronts on their way through changing states, EPANET's samples, and the balance.
pub fn fronts(case: &Case, solver: &Solver, solved: &[Option<Hydraulics>]) -> Found {
    let mut found = Found::default();
    let states = case.timeline(solved);
    let transport =
        Transport::follow(solver.plumbing(), &states, Contents::clean()).expect("states in order");
    final_concentrations(case, &transport, solved, &mut found);
    let timeline = &case.json["timeline_reference"];
    for entry in entries(timeline, "fronts") {
        let node = entry["node"].as_str().unwrap_or_default();
        for (nozzle, _) in case.network.nozzles.iter().enumerate().filter(|(_, nozzle)| nozzle.node == node) {
            for wanted in entries(entry, "fronts") {
                front(case, node, &transport.fronts(nozzle), wanted, &mut found);
            }
        }
    }
    for sample in entries(timeline, "samples_epanet") {
        let t_s = sample["t_s"].as_f64().expect("a time");
        for (node, wanted) in sample["concentration_kg_m3"].as_object().expect("concentrations").iter() {
            let idx =
                case.network.nodes.iter().position(|known| known.id == *node).expect("a node of the case");
            let fronts = transport.fronts_at_node(idx);
            // EPANET smears a front over a few of its steps of 1 ms.
            if fronts.iter().skip(1).any(|front| (front.at.as_s() - t_s).abs() < 0.01) {
                continue;
            }
            let passing = fronts.iter().rev().find(|front| front.at.as_s() <= t_s).expect("the first one");
            let got = passing.share.as_fraction() * case.concentrate_kg_m3;
            let wanted = wanted.as_f64().expect("a concentration");
            found.check(&format!("{} {node} at {t_s} s", case.id), got, wanted, Allowed::SAMPLE, false);
        }
    }
    let last_s = transport.last_arrival().map_or(60.0, |time| time.as_s() + 1.0);
    for part in 0..=40 {
        let time = Duration::from_s(last_s * f64::from(part) / 40.0);
        let error = transport.balance(time).error();
        found.check(&format!("{} balance at {} s", case.id, time.as_s()), error, 0.0, 1e-9, true);
    }
    found
}

fn front(case: &Case, node: &str, fronts: &[Front], wanted: &Value, found: &mut Found) {
    let state = wanted["state"].as_u64().map(|state| state as usize);
    let what = format!("{} {node} front of state {state:?}", case.id);
    let got = fronts.iter().find(|front| front.state.is_some() && front.state == state);
    let is_superseded = wanted["superseded"].as_bool().unwrap_or(false);
    let Some(got) = got else {
        found.n_compared += 1;
        if !is_superseded && wanted["arrival_s"].is_number() {
            found.wrong.push(format!("{what} does not arrive"));
        }
        return;
    };
    if is_superseded {
        found.wrong.push(format!("{what} arrives at {} s, but was superseded", got.at.as_s()));
        return;
    }
    for arrival in ["arrival_s", "t50_s_epanet"] {
        if let Some(wanted) = wanted[arrival].as_f64() {
            let off = found.check(&what, got.at.as_s(), wanted, Allowed::ARRIVAL_S, true);
            found.arrival_s = found.arrival_s.max(off);
        }
    }
    if let Some(wanted) = wanted["concentration_kg_m3"].as_f64() {
        let got = got.share.as_fraction() * case.concentrate_kg_m3;
        let off = found.check(&what, got, wanted, Allowed::CONCENTRATION, false);
        found.concentration = found.concentration.max(off);
    }
}

/// In a case of one state: what every open nozzle gives in the end.
fn final_concentrations(
    case: &Case,
    transport: &Transport,
    solved: &[Option<Hydraulics>],
    found: &mut Found,
) {
    let ([Some(answer)], Some(wanted)) =
        (solved, case.json["reference"][0]["final_concentration_kg_m3"].as_f64())
    else {
        return;
    };
    for nozzle in (0..answer.nozzles.len()).filter(|&nozzle| 0.0 < answer.nozzles[nozzle].as_m3_per_s()) {
        let share = transport.fronts(nozzle).last().map_or(0.0, |front| front.share.as_fraction());
        let what = format!("{} nozzle {nozzle} in the end", case.id);
        let off = found.check(&what, share * case.concentrate_kg_m3, wanted, Allowed::CONCENTRATION, false);
        found.concentration = found.concentration.max(off);
    }
}

fn best(both: &Value) -> Option<f64> {
    both["scipy"].as_f64().or_else(|| both["epanet"].as_f64()).or_else(|| both.as_f64())
}

fn entries<'a>(json: &'a Value, field: &str) -> impl Iterator<Item = &'a Value> {
    json[field].as_array().into_iter().flatten()
}
