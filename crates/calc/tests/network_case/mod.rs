//! Reads boom network cases (`"schema": "boom-network/1"`, all SI) and compares a solver's answers with theirs.
//!
//! How to use it from a test: `mod network_case;`, then [`cases_in`] for a folder or [`Case::load`] for one file, and
//! [`compare::steady`], [`compare::fronts`] for what a solver should give. Where a file does not give an answer (a field is absent or
//! null), it is not compared. What each comparison allows stands in [`Allowed`].
//!
//! | field | read as |
//! |---|---|
//! | `liquid`, `gravity_m_s2`, `nodes[]`, `pipes[]`, `nozzles[]`, `sections[]`, `supply`, `injection` | [`Case::network`] |
//! | `injection.concentrate_kg_m3` | [`Case::concentrate_kg_m3`] |
//! | `states[]` | [`Case::states`] |
//! | `reference[]`, `timeline_reference` | compared with, never computed from |

#![allow(dead_code, reason = "each test file uses its own part of this")]
#![allow(unreachable_pub, reason = "a module that several test files include")]

pub mod compare;

use std::path::{Path, PathBuf};

use calc::plumbing::Plumbing;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::{DryNozzles, Given, Hydraulics, HydraulicsError, Operating, Solver};
use calc::plumbing::network::{FlowCoefficient, Liquid, Network, Node, Nozzle, Pipe, SectionInlet};
use calc::plumbing::transport::State;
use serde_json::Value;
use units::{Density, Duration, FlowRate, Length, Viscosity};

/// The cases that are kept in the project.
pub fn own_cases() -> Vec<Case> {
    cases_in(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/network"))
}

/// Every case of a folder, by file name.
pub fn cases_in(folder: &Path) -> Vec<Case> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap_or_else(|problem| panic!("{}: {problem}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
        .collect();
    files.sort();
    files.iter().map(|file| Case::load(file)).collect()
}

/// One of the project's own cases by its id.
pub fn own_case(id: &str) -> Case {
    Case::load(&Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/data/network/{id}.json")))
}

/// One case: the network, the states it is run through, and the answers of others.
pub struct Case {
    pub id: String,
    pub network: Network,
    /// Mass of product per volume of concentrate.
    pub concentrate_kg_m3: f64,
    pub states: Vec<CaseState>,
    pub json: Value,
}

/// One entry of `states[]`.
pub struct CaseState {
    pub from_s: f64,
    pub carrier_m3_s: f64,
    pub injected_m3_s: f64,
    /// Places of the shut sections.
    pub shut: Vec<usize>,
}

impl CaseState {
    pub fn operating(&self) -> Operating<'_> {
        Operating {
            given: Given::Carrier(FlowRate::from_m3_per_s(self.carrier_m3_s)),
            injected: FlowRate::from_m3_per_s(self.injected_m3_s),
            shut: &self.shut,
        }
    }

    /// Nothing flows at all: no hydraulics to solve.
    pub fn is_still(&self) -> bool {
        self.carrier_m3_s + self.injected_m3_s == 0.0
    }
}

impl Case {
    pub fn load(file: &Path) -> Self {
        let text =
            std::fs::read_to_string(file).unwrap_or_else(|problem| panic!("{}: {problem}", file.display()));
        let json: Value =
            serde_json::from_str(&text).unwrap_or_else(|problem| panic!("{}: {problem}", file.display()));
        Self::read(json)
    }

    pub fn read(json: Value) -> Self {
        let network = read_network(&json);
        let states = list(&json, "states").iter().map(|state| read_state(state, &network)).collect();
        Self {
            id: text(&json, "id"),
            concentrate_kg_m3: json["injection"]["concentrate_kg_m3"].as_f64().unwrap_or(1.0),
            network,
            states,
            json,
        }
    }

    pub fn solver(&self, law: FrictionLaw) -> Solver {
        let plumbing =
            Plumbing::check(&self.network).unwrap_or_else(|problem| panic!("{}: {problem:?}", self.id));
        Solver::new(plumbing, law)
    }

    /// Every state solved on its own; `None` where nothing flows.
    pub fn solve(&self, solver: &Solver) -> Vec<Option<Hydraulics>> {
        let one = |state: &CaseState| {
            let answer = solver.solve(&state.operating(), DryNozzles::Refuse);
            answer.unwrap_or_else(|problem: HydraulicsError| panic!("{}: {problem:?}", self.id))
        };
        self.states.iter().map(|state| (!state.is_still()).then(|| one(state))).collect()
    }

    /// The solved states as a row in time.
    pub fn timeline<'a>(&self, solved: &'a [Option<Hydraulics>]) -> Vec<State<'a>> {
        let one = |(state, flows): (&CaseState, &'a Option<Hydraulics>)| State {
            from: Duration::from_s(state.from_s),
            flows: flows.as_ref(),
        };
        self.states.iter().zip(solved).map(one).collect()
    }
}

fn read_network(json: &Value) -> Network {
    // The solver works at standard gravity. Heights stretched by the case's own over the standard one weigh the same.
    let stretch = json["gravity_m_s2"].as_f64().map_or(1.0, |g| g / 9.806_65);
    let node = |node: &Value| Node {
        id: text(node, "id"),
        height: Length::from_m(stretch * node["elevation_m"].as_f64().unwrap_or(0.0)),
        across: None,
    };
    let pipe = |pipe: &Value| Pipe {
        id: text(pipe, "id"),
        from: text(pipe, "from"),
        to: text(pipe, "to"),
        length: Length::from_m(number(pipe, "length_m")),
        bore: Length::from_m(number(pipe, "bore_m")),
        roughness: Length::from_m(pipe["roughness_m"].as_f64().unwrap_or(0.0)),
        minor_k: pipe["minor_k"].as_f64().unwrap_or(0.0),
    };
    let nozzle = |nozzle: &Value| Nozzle {
        node: text(nozzle, "node"),
        size: FlowCoefficient::from_m3_s_pa05(number(nozzle, "k_m3_s_pa05")),
        section: nozzle["section"].as_str().map(Into::into),
    };
    let section =
        |section: &Value| SectionInlet { id: text(section, "id"), inlet_pipe: text(section, "inlet_pipe") };
    let liquid = &json["liquid"];
    Network {
        liquid: Liquid {
            density: Density::from_kg_per_m3(number(liquid, "density_kg_m3")),
            viscosity: Viscosity::from_pa_s(number(liquid, "viscosity_pa_s")),
        },
        nodes: list(json, "nodes").iter().map(node).collect(),
        pipes: list(json, "pipes").iter().map(pipe).collect(),
        nozzles: list(json, "nozzles").iter().map(nozzle).collect(),
        sections: json["sections"].as_array().map_or(Vec::new(), |all| all.iter().map(section).collect()),
        supply: text(&json["supply"], "node"),
        injection: json["injection"]["node"].as_str().map(Into::into),
    }
}

fn read_state(state: &Value, network: &Network) -> CaseState {
    let place =
        |id: &Value| network.sections.iter().position(|section| Some(section.id.as_str()) == id.as_str());
    CaseState {
        from_s: state["from_s"].as_f64().unwrap_or(0.0),
        carrier_m3_s: number(state, "carrier_flow_m3_s"),
        injected_m3_s: state["injected_flow_m3_s"].as_f64().unwrap_or(0.0),
        shut: state["closed_sections"].as_array().map_or(Vec::new(), |ids| {
            ids.iter().map(|id| place(id).expect("a section of the case")).collect()
        }),
    }
}

fn text(json: &Value, field: &str) -> String {
    json[field].as_str().unwrap_or_else(|| panic!("no text in {field}: {json}")).into()
}

fn number(json: &Value, field: &str) -> f64 {
    json[field].as_f64().unwrap_or_else(|| panic!("no number in {field}: {json}"))
}

fn list<'a>(json: &'a Value, field: &str) -> &'a [Value] {
    json[field].as_array().unwrap_or_else(|| panic!("no list in {field}"))
}
