//! A network from a handful of answers: lengths and places by hand, and the same lag as a network drawn by others.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "for tests only")]

use calc::plumbing::Plumbing;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::{DryNozzles, Given, Operating, Solver};
use calc::plumbing::network::Network;
use calc::plumbing::quick::{
    FeedPoint, HoseLengths, INJECTION, MANIFOLD, QuickAnswers, QuickError, SMOOTH_WALL, SUPPLY, quick_network,
};
use calc::rig::{NozzleSet, Rig, Section};
use units::{FlowRate, Length, Pressure, Share, Viscosity};

/// Three sections of 2 m, 3 m, 2 m with 4, 6, 4 nozzles of 0.8 L/min at 3 bar.
fn rig() -> Rig {
    let section = |width_m, n_nozzles| Section { width: Length::from_m(width_m), n_nozzles };
    let nozzles = NozzleSet {
        rated_flow: FlowRate::from_l_per_min(0.8),
        rated_pressure: Pressure::from_bar(3.0),
        least_pressure: None,
        greatest_pressure: None,
        spacing: Some(Length::from_m(0.5)),
    };
    let sections = vec![section(2.0, 4), section(3.0, 6), section(2.0, 4)];
    Rig { sections, nozzles: Some(nozzles), ..Rig::blank() }
}

fn answers(feed: FeedPoint) -> QuickAnswers {
    QuickAnswers {
        supply_length: Length::from_m(2.0),
        main_length: Length::from_m(3.0),
        main_bore: Length::from_mm(25.0),
        hose_lengths: HoseLengths::Same(Length::from_m(1.5)),
        hose_bore: Length::from_mm(19.0),
        valve_k: 0.0,
        feed,
        section_bore: Length::from_mm(19.0),
        boom_height: Length::from_m(0.0),
        roughness: SMOOTH_WALL,
        viscosity: Viscosity::from_mpa_s(1.002),
    }
}

fn pipe_m(network: &Network, id: &str) -> f64 {
    let pipe = network.pipes.iter().find(|pipe| pipe.id == id);
    pipe.unwrap_or_else(|| panic!("no pipe {id}")).length.as_m()
}

fn across_m(network: &Network, id: &str) -> f64 {
    let node = network.nodes.iter().find(|node| node.id == id);
    node.unwrap_or_else(|| panic!("no node {id}")).across.unwrap().as_m()
}

/// By hand: the boom is 7 m, so section 1 runs from −3.5 to −1.5 m and its nozzles sit at −3.25, −2.75, −2.25, −1.75.
#[test]
fn places_and_lengths_by_hand() {
    let network = quick_network(&rig(), &answers(FeedPoint::LeftEnd)).unwrap();
    assert_eq!(network.nozzles.len(), 14);
    for (id, wanted) in [("1.n1", -3.25), ("1.n4", -1.75), ("2.n1", -1.25), ("3.n4", 3.25), ("1.feed", -3.5)]
    {
        assert!((across_m(&network, id) - wanted).abs() < 1e-12, "{id}");
    }
    for (id, wanted) in [("line", 2.0), ("main", 3.0), ("2.hose", 1.5), ("1.p1", 0.25), ("1.p2", 0.5)] {
        assert!((pipe_m(&network, id) - wanted).abs() < 1e-12, "{id}");
    }
    assert_eq!((network.supply.as_str(), network.injection.as_deref()), (SUPPLY, Some(INJECTION)));
    assert!(network.pipes.iter().any(|pipe| pipe.from == MANIFOLD && pipe.id == "3.hose"));
    let plumbing = Plumbing::check(&network).unwrap();
    assert!(plumbing.remarks().is_empty(), "{:?}", plumbing.remarks());
}

#[test]
fn every_feed_point_feeds_every_nozzle() {
    let shares = [0.0, 0.1, 0.25, 0.3, 0.5, 0.625, 0.99, 1.0];
    let ends = [FeedPoint::LeftEnd, FeedPoint::Centre, FeedPoint::RightEnd, FeedPoint::InnerEnd];
    for feed in shares.map(|s| FeedPoint::At(Share::from_fraction(s))).into_iter().chain(ends) {
        let network = quick_network(&rig(), &answers(feed)).unwrap();
        let plumbing = Plumbing::check(&network).unwrap();
        assert!(plumbing.remarks().is_empty());
        // However it is fed, the pipes of a section span it: from the feed or the outermost nozzle to the other one.
        let span = |id: &str| {
            let inside = |node: &&calc::plumbing::network::Node| node.id.starts_with(id);
            let places: Vec<f64> =
                network.nodes.iter().filter(inside).map(|n| n.across.unwrap().as_m()).collect();
            places.iter().fold(f64::MIN, |a, b| a.max(*b)) - places.iter().fold(f64::MAX, |a, b| a.min(*b))
        };
        let total: f64 =
            network.pipes.iter().filter(|p| p.id.starts_with("2.p")).map(|p| p.length.as_m()).sum();
        assert!((total - span("2.")).abs() < 1e-12, "{feed:?}");
    }
    // A feed point on a nozzle (0.625 of 2 m is 1.25 m, the third of four) makes no node of its own.
    let on_nozzle = quick_network(&rig(), &answers(FeedPoint::At(Share::from_fraction(0.625)))).unwrap();
    assert!(on_nozzle.pipes.iter().any(|p| p.id == "1.hose" && p.to == "1.n3"));
    let inner = quick_network(&rig(), &answers(FeedPoint::InnerEnd)).unwrap();
    for (id, wanted) in [("1.feed", -1.5), ("2.feed", 0.0), ("3.feed", 1.5)] {
        assert!((across_m(&inner, id) - wanted).abs() < 1e-12, "{id}");
    }
}

/// One section of six nozzles fed at one end is case P1, which EPANET solved: 3.00284 bar at the supply for 4.8 L/min.
#[test]
fn the_form_gives_a_case_that_others_solved() {
    let section = Section { width: Length::from_m(3.0), n_nozzles: 0 };
    let rig = Rig { sections: vec![section], ..rig() };
    let network = quick_network(&rig, &answers(FeedPoint::LeftEnd)).unwrap();
    assert_eq!(network.nozzles.len(), 6, "3 m at a spacing of 0.5 m");
    let solver = Solver::new(Plumbing::check(&network).unwrap(), FrictionLaw::SwameeJain);
    let carrier = Given::Carrier(FlowRate::from_m3_per_s(7.92e-5));
    let operating = Operating { given: carrier, injected: FlowRate::from_m3_per_s(8e-7), shut: &[] };
    let answer = solver.solve(&operating, DryNozzles::Refuse).unwrap();
    assert!((answer.supply_pressure.as_pa() / 300_284.244_579_3 - 1.0).abs() < 1e-6, "{answer:?}");
}

/// A carrier of 1.28 gives 1/√1.28 = 0.8839 of the water flow at the same pressure.
#[test]
fn a_denser_carrier_flows_less() {
    let heavy = Rig { specific_gravity: 1.28, ..rig() };
    let network = quick_network(&heavy, &answers(FeedPoint::Centre)).unwrap();
    let flow = network.nozzles[0].size.flow_at(Pressure::from_bar(3.0)).as_l_per_min();
    assert!((flow - 0.8 * 0.883_883).abs() < 1e-6, "{flow}");
    assert!((network.liquid.density.as_kg_per_m3() - 1.28 * 998.2).abs() < 1e-9);
}

#[test]
fn hose_lengths_three_ways() {
    let lengths = |hose_lengths| {
        let network =
            quick_network(&rig(), &QuickAnswers { hose_lengths, ..answers(FeedPoint::Centre) }).unwrap();
        ["1.hose", "2.hose", "3.hose"].map(|id| pipe_m(&network, id))
    };
    assert_eq!(lengths(HoseLengths::Same(Length::from_m(4.0))), [4.0, 4.0, 4.0]);
    let each = [5.0, 1.0, 6.0].map(Length::from_m).to_vec();
    assert_eq!(lengths(HoseLengths::Each(each)), [5.0, 1.0, 6.0]);
    // Feed points at −2.5, 0 and 2.5 m, and half a metre more.
    assert_eq!(lengths(HoseLengths::ReachPlus(Length::from_m(0.5))), [3.0, 0.5, 3.0]);
}

#[test]
fn what_cannot_be_built_is_named() {
    let sound = answers(FeedPoint::Centre);
    let problem = |rig: &Rig, answers: &QuickAnswers| quick_network(rig, answers).unwrap_err();
    assert_eq!(problem(&Rig::blank(), &sound), QuickError::NoSections);
    assert_eq!(problem(&Rig { nozzles: None, ..rig() }, &sound), QuickError::NozzleSet);
    let mut without_flow = rig();
    without_flow.nozzles.as_mut().unwrap().rated_flow = FlowRate::from_l_per_min(0.0);
    assert_eq!(problem(&without_flow, &sound), QuickError::NozzleSet);
    let weightless = Rig { specific_gravity: 0.0, ..rig() };
    assert_eq!(problem(&weightless, &sound), QuickError::SpecificGravity { got: 0.0 });
    let mut narrow = rig();
    narrow.sections[1].width = Length::from_m(0.0);
    assert_eq!(problem(&narrow, &sound), QuickError::Width { section: 1, got: Length::from_m(0.0) });
    let mut uncounted = rig();
    uncounted.sections[2].n_nozzles = 0;
    uncounted.nozzles.as_mut().unwrap().spacing = None;
    assert_eq!(problem(&uncounted, &sound), QuickError::NozzleCount { section: 2 });
    let two = HoseLengths::Each(vec![Length::from_m(1.0); 2]);
    let two = QuickAnswers { hose_lengths: two, ..sound.clone() };
    assert_eq!(problem(&rig(), &two), QuickError::HoseCount { got: 2, wanted: 3 });
    let beside = Share::from_fraction(1.2);
    assert_eq!(problem(&rig(), &answers(FeedPoint::At(beside))), QuickError::Feed { got: beside });
}
