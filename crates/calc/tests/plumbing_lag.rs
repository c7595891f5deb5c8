//! The lag sheet and what a state means for the boom, by hand and against cases that others solved.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "for tests only")]

mod made;
mod network_case;

use calc::plumbing::arrival::Lags;
use calc::plumbing::boom::{BoomSpread, LineLimits, LineWarning, nozzle_pressures, read_gauge, small_lines};
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::{DryNozzles, Given, HydraulicsError, Operating, Solver};
use calc::plumbing::lag::{LagError, LagJob, lag_sheet};
use calc::plumbing::network::{Network, SectionInlet};
use calc::plumbing::transport::{Contents, State, Transport};
use calc::plumbing::{Plumbing, pipe_content};
use calc::rate::RateError;
use made::{network, node, nozzle, pipe};
use units::{Duration, FlowRate, Length, Pressure, Share, Speed, VolumePerArea};

fn solver(network: &Network) -> Solver {
    Solver::new(Plumbing::check(network).unwrap(), FrictionLaw::SwameeJain)
}

/// 3 L before the injection point, 4 L behind it, then two nozzles of one size: one right there, one 6 L further.
fn network_by_hand() -> Network {
    let litre_m = 0.001 / pipe_content(Length::from_m(1.0), Length::from_mm(50.0)).as_m3();
    let mut network = network(
        vec![node("s", 0.0), node("i", 0.0), node("a", 0.0), node("b", 0.0), node("x", 0.0)],
        vec![
            pipe("1", "s", "i", 3.0 * litre_m, 50.0),
            pipe("2", "i", "a", 4.0 * litre_m, 50.0),
            pipe("3", "a", "b", 6.0 * litre_m, 50.0),
            pipe("4", "a", "x", litre_m, 50.0),
        ],
        vec![nozzle("a", 5e-8), nozzle("b", 5e-8), nozzle("x", 5e-8)],
    );
    network.sections = vec![SectionInlet { id: "X".into(), inlet_pipe: "4".into() }];
    network.injection = Some("i".into());
    network
}

const fn job() -> LagJob<'static> {
    LagJob {
        speed: Speed::from_m_per_s(2.0),
        carrier_rate: VolumePerArea::from_l_per_ha(99.0),
        product_rate: VolumePerArea::from_l_per_ha(1.0),
        width: Length::from_m(5.0),
        shut: &[0],
    }
}

/// By hand. 100 L/ha × 2 m/s × 5 m = 0.1 L/s, of which 1 % is product; each open nozzle 0.05 L/s (the pipes take some pascals
/// of 10 bar). Lags 4/0.1 = 40 s and 40 + 6/0.05 = 160 s: 80 m and 320 m. Until then 16 L are sprayed; the near nozzle gives
/// product for 120 s: 0.05 × 120 × 1 % = 60 mL. The line holds 10 L behind the injection point: 100 mL of product.
/// With carrier alone everything is 1/0.99 slower: 161.6 s, and again 0.099 × 161.6 = 16 L.
#[test]
fn lag_sheet_by_hand() {
    let sheet = lag_sheet(&solver(&network_by_hand()), &job()).unwrap();
    let near =
        |got: f64, wanted: f64| assert!((got / wanted - 1.0).abs() < 1e-4, "got {got}, wanted {wanted}");
    let (first, last) = (sheet.first().unwrap(), sheet.last().unwrap());
    near(first.lag.as_s(), 40.0);
    near(first.distance.as_m(), 80.0);
    near(last.lag.as_s(), 160.0);
    near(sheet.lead_in.as_m(), 320.0);
    near(sheet.fill.as_l(), 13.0);
    near(sheet.behind_injection.as_l(), 10.0);
    near(sheet.charge.liquid.as_l(), 16.0);
    near(sheet.charge.product.as_ml(), 60.0);
    near(sheet.product_in_line.as_ml(), 100.0);
    near(sheet.flush_time.as_s(), 160.0 / 0.99);
    near(sheet.flush_distance.as_m(), 320.0 / 0.99);
    near(sheet.flush.as_l(), 16.0);
    assert_eq!(sheet.dose_from.len(), 2);
    near(sheet.dose_from[0].share.as_fraction(), 0.5);
    near(sheet.dose_from[1].share.as_fraction(), 1.0);
    near(sheet.most.unwrap().1.as_m(), 320.0);
}

/// What is charged balances with what the transport sprays by then.
#[test]
fn charge_agrees_with_the_transport() {
    let case = network_case::own_case("P7");
    let solver = case.solver(FrictionLaw::Colebrook);
    let job = LagJob {
        speed: Speed::from_km_per_h(8.0),
        carrier_rate: VolumePerArea::from_l_per_ha(150.0),
        product_rate: VolumePerArea::from_l_per_ha(1.5),
        width: Length::from_m(60.0),
        shut: &[],
    };
    let sheet = lag_sheet(&solver, &job).unwrap();
    let states = [State { from: Duration::from_s(0.0), flows: Some(&sheet.state) }];
    let transport = Transport::follow(solver.plumbing(), &states, Contents::clean()).unwrap();
    let balance = transport.balance(sheet.last().unwrap().lag);
    assert!((balance.sprayed.as_m3() / sheet.charge.product.as_m3() - 1.0).abs() < 1e-9);
    assert!((balance.in_pipes.as_m3() / sheet.product_in_line.as_m3() - 1.0).abs() < 1e-9);
    // Half and most of the boom, found from nozzles in order and by asking how much is reached by each time.
    let lags = Lags::of(solver.plumbing(), &sheet.state).unwrap();
    for (percent, found) in [(50.0, sheet.half), (95.0, sheet.most)] {
        assert_eq!(found.map(|(time, _)| time), lags.time_to_share(Share::from_percent(percent)));
    }
    assert!(sheet.nozzles.windows(2).all(|pair| pair[0].lag <= pair[1].lag));
    assert_eq!(sheet.nozzles.len(), 120);
    // The case itself runs at another flow; its own lag is found again at that one.
    let solved = case.solve(&solver);
    let lags = Lags::of(solver.plumbing(), solved[0].as_ref().unwrap()).unwrap();
    assert!((lags.last().unwrap().as_s() - 78.88).abs() < 0.01);
}

#[test]
fn lag_requests_that_make_no_sense_are_named() {
    let ready = solver(&network_by_hand());
    let problem = |job: LagJob| lag_sheet(&ready, &job).unwrap_err();
    let speed = Speed::from_m_per_s(0.0);
    assert_eq!(problem(LagJob { speed, ..job() }), LagError::Rate(RateError::Speed { got: speed }));
    let width = Length::from_m(-1.0);
    assert_eq!(problem(LagJob { width, ..job() }), LagError::Rate(RateError::Width { got: width }));
    let zero = VolumePerArea::from_l_per_ha(0.0);
    assert_eq!(
        problem(LagJob { carrier_rate: zero, ..job() }),
        LagError::Rate(RateError::Rate { got: zero })
    );
    let less = VolumePerArea::from_l_per_ha(-1.0);
    assert_eq!(
        problem(LagJob { product_rate: less, ..job() }),
        LagError::Rate(RateError::Rate { got: less })
    );
    let unknown = HydraulicsError::UnknownSection { section: 7 };
    assert_eq!(problem(LagJob { shut: &[7], ..job() }), LagError::Hydraulics(unknown));
    let mut without = network_by_hand();
    without.injection = None;
    assert_eq!(
        lag_sheet(&solver(&without), &job()).unwrap_err(),
        LagError::Hydraulics(HydraulicsError::NoInjectionPoint)
    );
    let none = LagJob { product_rate: zero, ..job() };
    assert_eq!(lag_sheet(&solver(&without), &none).unwrap_err(), LagError::NoInjectionPoint);
    let mut last = network_by_hand();
    last.injection = Some("x".into());
    let x_open = LagJob { product_rate: zero, ..job() };
    assert_eq!(lag_sheet(&solver(&last), &x_open).unwrap_err(), LagError::NothingArrives);
}

/// EPANET's node pressures in P2: a gauge at the manifold reads 2.3… bar, the nozzles get less. Read backwards from the
/// gauge's pressure, the nozzles come out as EPANET has them.
#[test]
fn a_gauge_tells_the_nozzle_pressure_as_epanet_has_it() {
    let case = network_case::own_case("P2");
    let solver = case.solver(FrictionLaw::SwameeJain);
    let reference = &case.json["reference"][0];
    let pressure_pa = |id: &str| {
        let nodes = reference["nodes"].as_array().unwrap();
        nodes.iter().find(|n| n["id"] == id).unwrap()["pressure_pa"]["scipy"].as_f64().unwrap()
    };
    let gauge = case.network.nodes.iter().position(|n| n.id == "M").unwrap();
    let injected = FlowRate::from_m3_per_s(case.states[0].injected_m3_s);
    let reading = read_gauge(&solver, gauge, Pressure::from_pa(pressure_pa("M")), injected, &[]).unwrap();
    let carrier = reading.state.carrier.as_m3_per_s();
    assert!((carrier / case.states[0].carrier_m3_s - 1.0).abs() < 1e-9, "{carrier}");
    let mut sum_pa = 0.0;
    for (nozzle, p) in nozzle_pressures(solver.plumbing(), &reading.state).iter().enumerate() {
        let wanted = pressure_pa(&case.network.nozzles[nozzle].node);
        assert!((p.unwrap().as_pa() - wanted).abs() < 0.01);
        sum_pa += wanted / 12.0;
    }
    assert!((reading.nozzles.pressure.mean.as_pa() - sum_pa).abs() < 0.01);
    assert!((reading.loss.as_pa() - (pressure_pa("M") - sum_pa)).abs() < 0.01);
    // One nozzle worn by 10 %, one blocked by 15 %: the extremes of flow.
    assert!((reading.nozzles.flow.greatest.0.as_l_per_min() - 1.831_6).abs() < 1e-4);
    assert!((reading.nozzles.flow.least.0.as_l_per_min() - 1.430_6).abs() < 1e-4);
}

/// A line of 4.5 mm for a section of two nozzles at about 1 L/min each, behind a hose of 4 mm. By hand, hose: 3.333e-5 m³/s
/// in 1.2566e-5 m² is 2.6526 m/s, over 6 ft/s (1.8288 m/s); in the line half the flow makes 1.05 m/s.
#[test]
fn small_lines_are_named_with_their_numbers() {
    let mut network = network(
        vec![node("s", 0.0), node("m", 0.0), node("a", 0.0), node("b", 0.0)],
        vec![
            pipe("main", "s", "m", 1.0, 25.0),
            pipe("hose", "m", "a", 0.2, 4.0),
            pipe("line", "a", "b", 12.0, 4.5),
        ],
        vec![nozzle("a", 3e-8), nozzle("b", 3e-8)],
    );
    network.sections = vec![SectionInlet { id: "A".into(), inlet_pipe: "hose".into() }];
    let solver = solver(&network);
    let given = Given::Carrier(FlowRate::from_l_per_min(2.0));
    let none = FlowRate::from_m3_per_s(0.0);
    let state = solver.solve(&Operating { given, injected: none, shut: &[] }, DryNozzles::Refuse).unwrap();
    let warnings = small_lines(solver.plumbing(), &state, Some(1), LineLimits::usual());
    let spread = BoomSpread::of(solver.plumbing(), &state).unwrap();
    let by_hand = 1.0 - spread.pressure.least.0.as_pa() / spread.pressure.greatest.0.as_pa();
    assert!(0.1 < by_hand, "{by_hand}");
    let [
        LineWarning::SectionDrop { section: 0, drop, .. },
        LineWarning::GaugeDrop { nozzle: 1, .. },
        LineWarning::Velocity { pipe: 1, velocity, greatest },
    ] = warnings[..]
    else {
        panic!("{warnings:?}")
    };
    assert!((drop.as_fraction() - by_hand).abs() < 1e-12);
    assert!((velocity.as_m_per_s() - 2.652_6).abs() < 1e-3, "{velocity:?}");
    assert!((greatest.as_m_per_s() - 1.828_8).abs() < 1e-9);
    let wide = LineLimits { drop: Share::from_percent(90.0), velocity: Speed::from_m_per_s(3.0) };
    assert!(small_lines(solver.plumbing(), &state, Some(1), wide).is_empty());
}
