//! What the liquid path is made of: nodes, pipes, nozzles, sections; and the errors that point to a wrong piece.
//!
//! A model as somebody drew it. Checking it gives a [`Plumbing`](super::Plumbing), on which everything else is computed.
//! No hydraulics here, and no shortcuts for building a network: those are in [`super::quick`].

use std::collections::HashMap;

use units::{Density, FlowRate, Length, Pressure, Viscosity};

use super::friction::RELATIVE_ROUGHNESS_MAX;

/// The liquid path from the supply to every nozzle: a tree of pipes.
///
/// Pieces name each other by id. A pipe may be written either way round; a flow from its `from` to its `to` counts as
/// positive in every answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Network {
    /// What flows. One liquid: product changes neither its density nor its viscosity.
    pub liquid: Liquid,
    /// Where pipes meet, and where nozzles sit.
    pub nodes: Vec<Node>,
    /// What joins the nodes.
    pub pipes: Vec<Pipe>,
    /// What lets liquid out.
    pub nozzles: Vec<Nozzle>,
    /// What can be shut.
    pub sections: Vec<SectionInlet>,
    /// Id of the node at which the carrier enters.
    pub supply: String,
    /// Id of the node at which product enters; `None` without an injection point.
    pub injection: Option<String>,
}

/// The liquid in the pipes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Liquid {
    /// Mass per volume, > 0.
    pub density: Density,
    /// Dynamic viscosity, > 0.
    pub viscosity: Viscosity,
}

impl Liquid {
    /// Water at 20 °C: 998.2 kg/m³ and 1.002 mPa·s.
    ///
    /// Source: *CRC Handbook of Chemistry and Physics*, properties of water at 100 kPa (from memory; the same two numbers
    /// as in the reference cases of this crate's tests).
    #[must_use]
    pub const fn water_20_c() -> Self {
        Self { density: Density::from_kg_per_m3(998.2), viscosity: Viscosity::from_pa_s(0.001_002) }
    }
}

/// A point at which pipes meet or a nozzle sits.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Its name, unique among nodes.
    pub id: String,
    /// Height above any level that is the same for the whole network.
    pub height: Length,
    /// Distance to the right of the rig's middle, seen from behind. For drawing and for lag sheets; hydraulics need none.
    pub across: Option<Length>,
}

/// A straight run of pipe or hose with its fittings.
#[derive(Clone, Debug, PartialEq)]
pub struct Pipe {
    /// Its name, unique among pipes.
    pub id: String,
    /// Id of the node at one end.
    pub from: String,
    /// Id of the node at the other end.
    pub to: String,
    /// Length, ≥ 0. Zero stands for a fitting without content.
    pub length: Length,
    /// Inner diameter, > 0.
    pub bore: Length,
    /// Height of the wall's roughness, from 0 to 5 % of the bore.
    pub roughness: Length,
    /// Sum of the loss coefficients of bends, tees and valves, against the velocity in this bore; ≥ 0.
    pub minor_k: f64,
}

/// One nozzle.
#[derive(Clone, Debug, PartialEq)]
pub struct Nozzle {
    /// Id of the node at which it sits. Several nozzles may share one.
    pub node: String,
    /// How much it lets through; zero when blocked.
    pub size: FlowCoefficient,
    /// Id of the section it belongs to, if any.
    pub section: Option<String>,
}

/// One section: everything behind its inlet pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionInlet {
    /// Its name, unique among sections.
    pub id: String,
    /// Id of the pipe that carries nothing while the section is shut.
    pub inlet_pipe: String,
}

/// How much a nozzle lets through: `k` in `q = k √P`, in m³/s per √Pa.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct FlowCoefficient(f64);

impl FlowCoefficient {
    /// From m³/s per √Pa; ≥ 0.
    #[must_use]
    pub const fn from_m3_s_pa05(k: f64) -> Self {
        Self(k)
    }

    /// As m³/s per √Pa.
    #[must_use]
    pub const fn as_m3_s_pa05(self) -> f64 {
        self.0
    }

    /// From a flow at a pressure, with the liquid that is in the pipes (for a denser one, the water flow × 1/√SG).
    ///
    /// ```
    /// # use calc::plumbing::network::FlowCoefficient;
    /// # use units::{FlowRate, Pressure};
    /// // By hand: 0.8 L/min = 1.3333e-5 m³/s; √300 000 Pa = 547.72; k = 2.43432e-8.
    /// let k = FlowCoefficient::from_rating(FlowRate::from_l_per_min(0.8), Pressure::from_bar(3.0));
    /// assert!((k.as_m3_s_pa05() - 2.434_32e-8).abs() < 1e-13);
    /// ```
    #[must_use]
    pub fn from_rating(flow: FlowRate, pressure: Pressure) -> Self {
        Self(flow.as_m3_per_s() / pressure.as_pa().sqrt())
    }

    /// The same nozzle letting through `factor` times as much: 1.1 when worn by 10 %, 0 when blocked.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }

    /// Flow at a pressure; zero at or below zero pressure, where a nozzle neither gives nor takes.
    ///
    /// ```
    /// # use calc::plumbing::network::FlowCoefficient;
    /// # use units::{FlowRate, Pressure};
    /// // By hand: a quarter of the pressure gives half the flow.
    /// let k = FlowCoefficient::from_rating(FlowRate::from_l_per_min(0.8), Pressure::from_bar(4.0));
    /// assert!((k.flow_at(Pressure::from_bar(1.0)).as_l_per_min() - 0.4).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn flow_at(self, pressure: Pressure) -> FlowRate {
        FlowRate::from_m3_per_s(self.0 * pressure.as_pa().max(0.0).sqrt())
    }
}

/// A piece of the network, as an error points to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// The node with this id.
    Node(String),
    /// The pipe with this id.
    Pipe(String),
    /// The nozzle at this place in [`Network::nozzles`].
    Nozzle(usize),
    /// The section with this id.
    Section(String),
    /// The supply.
    Supply,
    /// The injection point.
    Injection,
}

/// What is wrong with a network as drawn.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NetworkError {
    /// No nozzle at all.
    NoNozzles,
    /// Two pieces of one kind share an id; this is the second.
    SameId(Piece),
    /// A piece names a node that is not there.
    UnknownNode {
        /// Which piece.
        piece: Piece,
        /// The id it names.
        node: String,
    },
    /// A section names an inlet pipe that is not there.
    UnknownPipe {
        /// Id of the section.
        section: String,
        /// The id it names.
        pipe: String,
    },
    /// A nozzle names a section that is not there.
    UnknownSection {
        /// Place in [`Network::nozzles`].
        nozzle: usize,
        /// The id it names.
        section: String,
    },
    /// A bore is zero, negative or not a number.
    Bore {
        /// Id of the pipe.
        pipe: String,
        /// As given.
        got: Length,
    },
    /// A length is negative or not a number.
    Length {
        /// Id of the pipe.
        pipe: String,
        /// As given.
        got: Length,
    },
    /// A roughness is negative, above 5 % of the bore, or not a number.
    Roughness {
        /// Id of the pipe.
        pipe: String,
        /// As given.
        got: Length,
        /// The largest that this bore allows.
        greatest: Length,
    },
    /// A loss coefficient is negative or not a number.
    MinorLoss {
        /// Id of the pipe.
        pipe: String,
        /// As given.
        got: f64,
    },
    /// A height is not a number.
    Height {
        /// Id of the node.
        node: String,
        /// As given.
        got: Length,
    },
    /// A nozzle's flow coefficient is negative or not a number.
    Coefficient {
        /// Place in [`Network::nozzles`].
        nozzle: usize,
        /// As given.
        got: FlowCoefficient,
    },
    /// The density is not above zero.
    Density {
        /// As given.
        got: Density,
    },
    /// The viscosity is not above zero.
    Viscosity {
        /// As given.
        got: Viscosity,
    },
    /// This pipe closes a loop: both its ends are already fed.
    Loop {
        /// Id of the pipe.
        pipe: String,
    },
    /// No way leads from the supply to this piece.
    FedFromNowhere(Piece),
}

/// What is odd about a network without keeping it from being computed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NetworkRemark {
    /// Shutting its section does not shut this nozzle: it is not behind that section's inlet pipe.
    NozzleOutsideItsSection {
        /// Place in [`Network::nozzles`].
        nozzle: usize,
        /// Id of the section.
        section: String,
    },
    /// No nozzle is behind this section's inlet pipe.
    SectionWithoutNozzles {
        /// Id of the section.
        section: String,
    },
    /// The pipe leads to no nozzle; what it holds never moves.
    DeadEnd {
        /// Id of the pipe.
        pipe: String,
    },
}

impl Network {
    /// Everything that is wrong with the pieces one by one: ids, names, numbers. Empty when nothing is.
    ///
    /// Whether they form a tree is found out by [`Plumbing::check`](super::Plumbing::check), which begins with these.
    #[must_use]
    pub fn problems(&self) -> Vec<NetworkError> {
        let ids = Ids::of(self);
        let mut found = Vec::new();
        self.liquid_problems(&mut found);
        self.node_problems(&ids, &mut found);
        self.pipe_problems(&ids, &mut found);
        self.section_problems(&ids, &mut found);
        self.nozzle_problems(&ids, &mut found);
        let ends = [(Piece::Supply, Some(&self.supply)), (Piece::Injection, self.injection.as_ref())];
        for (piece, id) in ends {
            if let Some(node) = id.filter(|id| !ids.nodes.contains_key(id.as_str())) {
                found.push(NetworkError::UnknownNode { piece, node: node.clone() });
            }
        }
        found
    }

    fn liquid_problems(&self, found: &mut Vec<NetworkError>) {
        let Liquid { density, viscosity } = self.liquid;
        if !is_above_zero(density.as_kg_per_m3()) {
            found.push(NetworkError::Density { got: density });
        }
        if !is_above_zero(viscosity.as_pa_s()) {
            found.push(NetworkError::Viscosity { got: viscosity });
        }
    }

    fn node_problems(&self, ids: &Ids, found: &mut Vec<NetworkError>) {
        for (idx, node) in self.nodes.iter().enumerate() {
            if ids.nodes[node.id.as_str()] != idx {
                found.push(NetworkError::SameId(Piece::Node(node.id.clone())));
            }
            if !node.height.as_m().is_finite() {
                found.push(NetworkError::Height { node: node.id.clone(), got: node.height });
            }
        }
    }

    fn pipe_problems(&self, ids: &Ids, found: &mut Vec<NetworkError>) {
        for (idx, pipe) in self.pipes.iter().enumerate() {
            let id = || pipe.id.clone();
            if ids.pipes[pipe.id.as_str()] != idx {
                found.push(NetworkError::SameId(Piece::Pipe(id())));
            }
            for node in [&pipe.from, &pipe.to] {
                if !ids.nodes.contains_key(node.as_str()) {
                    found.push(NetworkError::UnknownNode { piece: Piece::Pipe(id()), node: node.clone() });
                }
            }
            if !is_zero_or_above(pipe.length.as_m()) {
                found.push(NetworkError::Length { pipe: id(), got: pipe.length });
            }
            if !is_zero_or_above(pipe.minor_k) {
                found.push(NetworkError::MinorLoss { pipe: id(), got: pipe.minor_k });
            }
            if !is_above_zero(pipe.bore.as_m()) {
                found.push(NetworkError::Bore { pipe: id(), got: pipe.bore });
                continue;
            }
            let greatest_m = RELATIVE_ROUGHNESS_MAX * pipe.bore.as_m();
            if !(0.0..=greatest_m).contains(&pipe.roughness.as_m()) {
                let greatest = Length::from_m(greatest_m);
                found.push(NetworkError::Roughness { pipe: id(), got: pipe.roughness, greatest });
            }
        }
    }

    fn section_problems(&self, ids: &Ids, found: &mut Vec<NetworkError>) {
        for (idx, section) in self.sections.iter().enumerate() {
            if ids.sections[section.id.as_str()] != idx {
                found.push(NetworkError::SameId(Piece::Section(section.id.clone())));
            }
            if !ids.pipes.contains_key(section.inlet_pipe.as_str()) {
                let (section, pipe) = (section.id.clone(), section.inlet_pipe.clone());
                found.push(NetworkError::UnknownPipe { section, pipe });
            }
        }
    }

    fn nozzle_problems(&self, ids: &Ids, found: &mut Vec<NetworkError>) {
        if self.nozzles.is_empty() {
            found.push(NetworkError::NoNozzles);
        }
        for (idx, nozzle) in self.nozzles.iter().enumerate() {
            if !ids.nodes.contains_key(nozzle.node.as_str()) {
                let node = nozzle.node.clone();
                found.push(NetworkError::UnknownNode { piece: Piece::Nozzle(idx), node });
            }
            if !is_zero_or_above(nozzle.size.as_m3_s_pa05()) {
                found.push(NetworkError::Coefficient { nozzle: idx, got: nozzle.size });
            }
            if let Some(section) =
                nozzle.section.as_ref().filter(|id| !ids.sections.contains_key(id.as_str()))
            {
                found.push(NetworkError::UnknownSection { nozzle: idx, section: section.clone() });
            }
        }
    }
}

/// Places of the pieces by id; where two share one, the first.
pub(super) struct Ids<'a> {
    pub(super) nodes: HashMap<&'a str, usize>,
    pub(super) pipes: HashMap<&'a str, usize>,
    pub(super) sections: HashMap<&'a str, usize>,
}

impl<'a> Ids<'a> {
    pub(super) fn of(network: &'a Network) -> Self {
        Self {
            nodes: first_places(network.nodes.iter().map(|node| node.id.as_str())),
            pipes: first_places(network.pipes.iter().map(|pipe| pipe.id.as_str())),
            sections: first_places(network.sections.iter().map(|section| section.id.as_str())),
        }
    }
}

fn first_places<'a>(ids: impl Iterator<Item = &'a str>) -> HashMap<&'a str, usize> {
    let mut places = HashMap::new();
    for (idx, id) in ids.enumerate() {
        places.entry(id).or_insert(idx);
    }
    places
}

fn is_above_zero(value: f64) -> bool {
    value.is_finite() && 0.0 < value
}

fn is_zero_or_above(value: f64) -> bool {
    value.is_finite() && 0.0 <= value
}
