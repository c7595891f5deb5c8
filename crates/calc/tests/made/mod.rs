//! Networks for tests: a few words to build one, and any number made at random.

#![allow(dead_code, reason = "each test file uses its own part of this")]
#![allow(unreachable_pub, reason = "a module that several test files include")]

use calc::plumbing::network::{FlowCoefficient, Liquid, Network, Node, Nozzle, Pipe, SectionInlet};
use proptest::prelude::*;
use units::{Density, Length};

pub fn node(id: &str, height_m: f64) -> Node {
    Node { id: id.into(), height: Length::from_m(height_m), across: None }
}

pub fn pipe(id: &str, from: &str, to: &str, length_m: f64, bore_mm: f64) -> Pipe {
    Pipe {
        id: id.into(),
        from: from.into(),
        to: to.into(),
        length: Length::from_m(length_m),
        bore: Length::from_mm(bore_mm),
        roughness: Length::from_mm(0.0015),
        minor_k: 0.0,
    }
}

pub fn nozzle(node: &str, k: f64) -> Nozzle {
    Nozzle { node: node.into(), size: FlowCoefficient::from_m3_s_pa05(k), section: None }
}

pub fn network(nodes: Vec<Node>, pipes: Vec<Pipe>, nozzles: Vec<Nozzle>) -> Network {
    let supply = nodes[0].id.clone();
    Network { liquid: Liquid::water_20_c(), nodes, pipes, nozzles, sections: vec![], supply, injection: None }
}

#[derive(Clone, Debug)]
pub struct Made {
    pub network: Network,
    pub shut: Vec<usize>,
    pub carrier_m3_s: f64,
    pub injected_m3_s: f64,
}

/// Any tree: several nozzles at a node, blocked ones, dead ends, pipes without length, nested sections, pipes written
/// either way round, injection anywhere.
pub fn any_network() -> impl Strategy<Value = Made> {
    let piece = (
        any::<prop::sample::Index>(),
        (-2.0..2.0, prop_oneof![Just(0.0), 0.01..30.0_f64], 0.004..0.06_f64),
        (0.0..0.05_f64, prop_oneof![Just(0.0), 0.0..20.0_f64], any::<bool>()),
        (prop_oneof![Just(0.0), 1e-9..3e-7_f64], 0..4_usize, any::<bool>()),
    );
    let pieces = proptest::collection::vec(piece, 1..60);
    let rest = (-14.0..-2.5_f64, 0.0..0.2_f64, any::<prop::sample::Index>(), any::<u64>(), 700.0..1400.0_f64);
    (pieces, rest).prop_map(|(pieces, (flow_exponent, injected, at, shut, density))| {
        let mut made = network(vec![node("0", 0.0)], vec![], vec![]);
        made.liquid.density = Density::from_kg_per_m3(density);
        for (idx, (feeder, (height_m, length_m, bore_m), (rough, minor_k, turned), (k, n, is_section))) in
            pieces.into_iter().enumerate()
        {
            let (id, from) = ((idx + 1).to_string(), feeder.index(idx + 1).to_string());
            made.nodes.push(node(&id, height_m));
            let (from, to) = if turned { (id.clone(), from) } else { (from, id.clone()) };
            let bore = Length::from_m(bore_m);
            let roughness = Length::from_m(rough * bore_m);
            let length = Length::from_m(length_m);
            made.pipes.push(Pipe { id: id.clone(), from, to, length, bore, roughness, minor_k });
            for _ in 0..n {
                made.nozzles.push(nozzle(&id, k));
            }
            if is_section && idx % 3 == 0 {
                made.sections.push(SectionInlet { id: id.clone(), inlet_pipe: id });
            }
        }
        made.nozzles.push(nozzle("1", 2e-8));
        made.injection = Some(at.index(made.nodes.len()).to_string());
        let shut = (0..made.sections.len()).filter(|idx| shut >> (idx % 64) & 7 == 0).collect();
        let carrier_m3_s = 10_f64.powf(flow_exponent);
        Made { network: made, shut, carrier_m3_s, injected_m3_s: injected * carrier_m3_s }
    })
}
