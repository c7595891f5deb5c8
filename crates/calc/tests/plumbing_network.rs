//! What a network can have wrong with it: each error points to the piece.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "for tests only")]

mod made;

use calc::plumbing::Plumbing;
use calc::plumbing::network::{
    FlowCoefficient, Network, NetworkError, NetworkRemark, Nozzle, Piece, SectionInlet,
};
use made::{network, node, nozzle, pipe};
use units::{Density, Length, Viscosity};

/// s — m — a (nozzle), m — b (nozzle); section A is pipe "a".
fn sound() -> Network {
    let mut network = network(
        vec![node("s", 0.0), node("m", 0.0), node("a", 0.0), node("b", 0.0)],
        vec![
            pipe("main", "s", "m", 2.0, 25.0),
            pipe("a", "m", "a", 1.0, 19.0),
            pipe("b", "b", "m", 1.0, 19.0),
        ],
        vec![nozzle("a", 2e-8), nozzle("b", 2e-8)],
    );
    network.sections = vec![SectionInlet { id: "A".into(), inlet_pipe: "a".into() }];
    network.nozzles[0].section = Some("A".into());
    network.injection = Some("m".into());
    network
}

#[track_caller]
fn check(spoil: impl FnOnce(&mut Network), wanted: NetworkError) {
    let mut network = sound();
    spoil(&mut network);
    assert_eq!(Plumbing::check(&network).unwrap_err(), wanted);
}

#[test]
fn a_sound_network_passes() {
    let plumbing = Plumbing::check(&sound()).unwrap();
    assert!(plumbing.remarks().is_empty());
    assert!(sound().problems().is_empty());
    // By hand: π/4 × (0.025² × 2 + 2 × 0.019² × 1) m³ = 1.5488 L.
    assert!((plumbing.content().as_l() - 1.548_8).abs() < 1e-4);
    assert_eq!(plumbing.way_to(3), Some(vec![0, 2]));
    assert_eq!(plumbing.way_to(0), Some(vec![]));
    assert_eq!(plumbing.way_to(9), None);
}

#[test]
fn numbers_that_cannot_be() {
    use NetworkError as E;
    for mm in [0.0, -1.0] {
        let got = Length::from_mm(mm);
        check(|n| n.pipes[1].bore = got, E::Bore { pipe: "a".into(), got });
    }
    let got = Length::from_m(-0.1);
    check(|n| n.pipes[0].length = got, E::Length { pipe: "main".into(), got });
    let (got, greatest) = (Length::from_mm(2.0), Length::from_m(0.05 * 0.019));
    check(|n| n.pipes[2].roughness = got, E::Roughness { pipe: "b".into(), got, greatest });
    check(|n| n.pipes[2].minor_k = -1.0, E::MinorLoss { pipe: "b".into(), got: -1.0 });
    let got = FlowCoefficient::from_m3_s_pa05(-1e-9);
    check(|n| n.nozzles[1].size = got, E::Coefficient { nozzle: 1, got });
    let got = Density::from_kg_per_m3(0.0);
    check(|n| n.liquid.density = got, E::Density { got });
    let got = Viscosity::from_pa_s(0.0);
    check(|n| n.liquid.viscosity = got, E::Viscosity { got });
    let mut network = sound();
    network.pipes[0].bore = Length::from_m(f64::NAN);
    network.nodes[1].height = Length::from_m(f64::INFINITY);
    network.pipes[1].length = Length::from_m(f64::NAN);
    network.nozzles[0].size = FlowCoefficient::from_m3_s_pa05(f64::NAN);
    assert_eq!(network.problems().len(), 4, "all of them are told at once");
}

#[test]
fn names_that_lead_nowhere() {
    use NetworkError as E;
    check(
        |n| n.pipes[1].to = "x".into(),
        E::UnknownNode { piece: Piece::Pipe("a".into()), node: "x".into() },
    );
    check(|n| n.nozzles[1].node = "x".into(), E::UnknownNode { piece: Piece::Nozzle(1), node: "x".into() });
    check(|n| n.supply = "x".into(), E::UnknownNode { piece: Piece::Supply, node: "x".into() });
    check(|n| n.injection = Some("x".into()), E::UnknownNode { piece: Piece::Injection, node: "x".into() });
    check(
        |n| n.sections[0].inlet_pipe = "x".into(),
        E::UnknownPipe { section: "A".into(), pipe: "x".into() },
    );
    check(|n| n.nozzles[1].section = Some("x".into()), E::UnknownSection { nozzle: 1, section: "x".into() });
    check(|n| n.nodes.push(node("a", 0.0)), E::SameId(Piece::Node("a".into())));
    check(|n| n.pipes.push(pipe("a", "s", "b", 1.0, 9.0)), E::SameId(Piece::Pipe("a".into())));
    check(|n| n.sections.push(n.sections[0].clone()), E::SameId(Piece::Section("A".into())));
    check(|n| n.nozzles.clear(), E::NoNozzles);
}

#[test]
fn shapes_that_are_no_tree() {
    use NetworkError as E;
    let mut network = sound();
    network.pipes.push(pipe("ring", "a", "b", 1.0, 19.0));
    let Err(E::Loop { pipe: in_the_loop }) = Plumbing::check(&network) else { panic!() };
    assert!(["a", "b", "ring"].contains(&in_the_loop.as_str()), "{in_the_loop}");
    check(|n| n.pipes.push(pipe("self", "b", "b", 1.0, 19.0)), E::Loop { pipe: "self".into() });
    let mut network = sound();
    network.pipes.push(pipe("twin", "s", "m", 2.0, 25.0));
    let Err(E::Loop { pipe: twin }) = Plumbing::check(&network) else { panic!() };
    assert!(["main", "twin"].contains(&twin.as_str()), "{twin}");
    check(
        |n| {
            n.pipes.remove(2);
        },
        E::FedFromNowhere(Piece::Nozzle(1)),
    );
    check(
        |n| {
            n.nodes.push(node("far", 0.0));
            n.injection = Some("far".into());
        },
        E::FedFromNowhere(Piece::Injection),
    );
    check(
        |n| {
            n.nodes.extend([node("c", 0.0), node("d", 0.0)]);
            n.pipes.push(pipe("island", "c", "d", 1.0, 9.0));
        },
        E::FedFromNowhere(Piece::Pipe("island".into())),
    );
    check(|n| n.nodes.push(node("alone", 0.0)), E::FedFromNowhere(Piece::Node("alone".into())));
}

#[test]
fn what_is_odd_is_told_without_refusing() {
    let mut network = sound();
    network.nozzles[1].section = Some("A".into());
    network.nodes.push(node("end", 0.0));
    network.pipes.push(pipe("stub", "b", "end", 0.3, 19.0));
    network.sections.push(SectionInlet { id: "E".into(), inlet_pipe: "stub".into() });
    let remarks = Plumbing::check(&network).unwrap().remarks();
    assert_eq!(
        remarks,
        vec![
            NetworkRemark::NozzleOutsideItsSection { nozzle: 1, section: "A".into() },
            NetworkRemark::SectionWithoutNozzles { section: "E".into() },
            NetworkRemark::DeadEnd { pipe: "stub".into() },
        ]
    );
}

/// The order in which pieces are listed and the way round in which pipes are written change no answer.
#[test]
fn a_long_chain_can_be_listed_in_any_order() {
    let n = 3000;
    let nodes = (0..=n).map(|i| node(&i.to_string(), 0.0)).collect();
    let mut pipes: Vec<_> =
        (0..n).map(|i| pipe(&i.to_string(), &i.to_string(), &(i + 1).to_string(), 0.1, 19.0)).collect();
    pipes.reverse();
    let nozzles: Vec<Nozzle> = vec![nozzle(&n.to_string(), 1e-8)];
    let plumbing = Plumbing::check(&network(nodes, pipes, nozzles)).unwrap();
    assert_eq!(plumbing.way_to(n).unwrap(), (0..n).rev().collect::<Vec<_>>());
}
