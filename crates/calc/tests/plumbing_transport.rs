//! Plug flow: published lags, hand calculations, a second method (following one drop backwards), and the balance.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "for tests only")]

mod made;

use calc::plumbing::arrival::Lags;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::{DryNozzles, Given, Hydraulics, Operating, Solver};
use calc::plumbing::network::Network;
use calc::plumbing::transport::{Contents, State, Transport, TransportError};
use calc::plumbing::{Plumbing, pipe_content};
use made::{any_network, network, node, nozzle, pipe};
use proptest::prelude::*;
use units::{Duration, FlowRate, Length, Share, Speed, Volume};

fn solver(network: &Network) -> Solver {
    Solver::new(Plumbing::check(network).unwrap(), FrictionLaw::SwameeJain)
}

fn solve(solver: &Solver, carrier_m3_s: f64, injected_m3_s: f64, shut: &[usize]) -> Hydraulics {
    let given = Given::Carrier(FlowRate::from_m3_per_s(carrier_m3_s));
    let operating = Operating { given, injected: FlowRate::from_m3_per_s(injected_m3_s), shut };
    solver.solve(&operating, DryNozzles::Close).unwrap()
}

fn at(from_s: f64, flows: &Hydraulics) -> State<'_> {
    State { from: Duration::from_s(from_s), flows: Some(flows) }
}

const fn still(from_s: f64) -> State<'static> {
    State { from: Duration::from_s(from_s), flows: None }
}

/// Arrival times and shares at a nozzle, the start left out.
fn arrivals(transport: &Transport, nozzle: usize) -> Vec<(f64, f64)> {
    transport.fronts(nozzle).iter().skip(1).map(|f| (f.at.as_s(), f.share.as_fraction())).collect()
}

#[track_caller]
fn check(got: &[(f64, f64)], wanted: &[(f64, f64)]) {
    assert_eq!(got.len(), wanted.len(), "{got:?} {wanted:?}");
    for (g, w) in got.iter().zip(wanted) {
        assert!((g.0 - w.0).abs() < 1e-9 && (g.1 - w.1).abs() < 1e-12, "{got:?} {wanted:?}");
    }
}

/// A line of 10 L in two pipes, one nozzle, injection at the supply.
fn line() -> Network {
    let length_m = 0.005 / pipe_content(Length::from_m(1.0), Length::from_mm(25.0)).as_m3();
    let mut network = network(
        vec![node("s", 0.0), node("m", 0.0), node("n", 0.0)],
        vec![pipe("1", "s", "m", length_m, 25.0), pipe("2", "m", "n", length_m, 25.0)],
        vec![nozzle("n", 1e-7)],
    );
    network.injection = Some("s".into());
    network
}

/// Line volumes of 9.2 and 4.1 US gal for 100 ft of 1 1/2 and 1 in (NWCG, firefighter math, table 3.1), and with the second
/// at 10.2 gal/min 24 s: 352 ft at 10 mph. Then: 7.5 s at 8 km/h are 16.7 m (Univ. of Bonn, Poljoprivredna tehnika 2005).
#[test]
fn published_lags() {
    let volume = |bore_in| pipe_content(Length::from_ft(100.0), Length::from_in(bore_in)).as_us_gal();
    assert!((volume(1.5) - 9.2).abs() < 0.05 && (volume(1.0) - 4.1).abs() < 0.05);
    let mut network = line();
    network.pipes[0].length = Length::from_m(0.0);
    (network.pipes[1].length, network.pipes[1].bore) = (Length::from_ft(100.0), Length::from_in(1.0));
    let solver = solver(&network);
    let flows = solve(&solver, FlowRate::from_us_gal_per_min(10.2).as_m3_per_s(), 0.0, &[]);
    let lag = Lags::of(solver.plumbing(), &flows).unwrap().last().unwrap();
    assert!((lag.as_s() - 24.0).abs() < 0.05, "{lag:?}");
    let distance = |speed: Speed, time_s: f64| Length::from_m(speed.as_m_per_s() * time_s);
    assert!((distance(Speed::from_mph(10.0), lag.as_s()).as_ft() - 352.0).abs() < 1.0);
    assert!((distance(Speed::from_km_per_h(8.0), 7.5).as_m() - 16.7).abs() < 0.05);
}

/// By hand. 10 L of line. 0.1 L/s for 40 s moves 4 L, a stop of 20 s none, then 0.2 L/s: the front of t = 0 still has 6 L
/// to go and arrives at 60 + 30 = 90 s. The second one (released at 60 s) needs 10 L: 60 + 50 = 110 s.
#[test]
fn a_stop_on_the_way_by_hand() {
    let solver = solver(&line());
    let slow = solve(&solver, 0.000_099, 0.000_001, &[]);
    let fast = solve(&solver, 0.000_19, 0.000_01, &[]);
    let states = [at(0.0, &slow), still(40.0), at(60.0, &fast)];
    let transport = Transport::follow(solver.plumbing(), &states, Contents::clean()).unwrap();
    check(&arrivals(&transport, 0), &[(90.0, 0.01), (110.0, 0.05)]);
    // At 60 s: 4 L of 1 % at the mouth, 6 L of water before it; the first pipe holds 4 L and 1 L.
    let slugs = transport.slugs(0, Duration::from_s(60.0));
    let litres: Vec<_> = slugs.iter().map(|s| (s.volume.as_l(), s.share.as_fraction())).collect();
    assert!((litres[0].0 - 4.0).abs() < 1e-9 && (litres[1].0 - 1.0).abs() < 1e-9, "{litres:?}");
    assert!((litres[0].1 - 0.01).abs() < 1e-15 && litres[1].1 == 0.0);
    // 0.01 × 4 L = 0.04 L of concentrate came in, and all of it is in the pipes.
    let balance = transport.balance(Duration::from_s(50.0));
    assert!((balance.injected.as_ml() - 40.0).abs() < 1e-9 && (balance.in_pipes.as_ml() - 40.0).abs() < 1e-9);
    // At 130 s the nozzle has given 4 L of 1 % and 0.2 L/s × 20 s of 5 %: 40 + 200 mL.
    assert!((transport.sprayed(0, Duration::from_s(130.0)).as_ml() - 240.0).abs() < 1e-9);
    assert!((transport.last_arrival().unwrap().as_s() - 110.0).abs() < 1e-9);
    assert!((transport.share_at(0, Duration::from_s(100.0)).unwrap().as_fraction() - 0.01).abs() < 1e-15);
    assert_eq!(transport.share_at(0, Duration::from_s(-1.0)), None);
    assert_eq!(transport.share_at(7, Duration::from_s(1.0)), None);
}

/// Injection starts late, doubles, stops; the front of no product is a front like any other. Flow is 0.1 L/s throughout,
/// so everything comes 100 s later.
#[test]
fn injection_that_starts_later_and_stops() {
    let solver = solver(&line());
    let states: Vec<Hydraulics> = [0.0, 1e-6, 2e-6, 0.0]
        .iter()
        .map(|&injected| solve(&solver, 1e-4 - injected, injected, &[]))
        .collect();
    let states = [at(0.0, &states[0]), at(5.0, &states[1]), at(9.0, &states[2]), at(20.0, &states[3])];
    let transport = Transport::follow(solver.plumbing(), &states, Contents::clean()).unwrap();
    check(&arrivals(&transport, 0), &[(100.0, 0.0), (105.0, 0.01), (109.0, 0.02), (120.0, 0.0)]);
}

/// Flushing: pipes full of the running mixture, clean carrier behind it.
#[test]
fn flushing_by_hand() {
    let solver = solver(&line());
    let flows = solve(&solver, 2e-4, 0.0, &[]);
    let contents = Contents { pipes: Share::from_fraction(0.03), carrier: Share::from_fraction(0.0) };
    let states = [at(0.0, &flows)];
    let transport = Transport::follow(solver.plumbing(), &states, contents).unwrap();
    // 10 L at 0.2 L/s: 50 s. 3 % of 10 L is 0.3 L, all of it gone by then.
    assert!((arrivals(&transport, 0).last().unwrap().0 - 50.0).abs() < 1e-9);
    let balance = transport.balance(Duration::from_s(25.0));
    assert!((balance.at_start.as_l() - 0.3).abs() < 1e-12);
    assert!((balance.in_pipes.as_l() - 0.15).abs() < 1e-12 && (balance.sprayed.as_l() - 0.15).abs() < 1e-12);
    let carried = Contents { pipes: Share::from_fraction(0.0), carrier: Share::from_fraction(0.02) };
    let transport = Transport::follow(solver.plumbing(), &states, carried).unwrap();
    check(&arrivals(&transport, 0), &[(50.0, 0.02)]);
    assert!((transport.balance(Duration::from_s(80.0)).carried_in.as_l() - 0.32).abs() < 1e-12);
}

/// The pump feeds the main through a hose of its own, 50 mL of it: concentrate first fills the hose, then mixes where the
/// lines join. By hand: 50 mL at 1 mL/s are 50 s; from the tee 5 L at 0.1 L/s are 50 s more.
#[test]
fn a_feed_hose_joins_the_main() {
    let mut network = line();
    let length_m = 0.000_05 / pipe_content(Length::from_m(1.0), Length::from_mm(6.0)).as_m3();
    network.nodes.push(node("pump", 0.0));
    network.pipes.push(pipe("feed", "pump", "m", length_m, 6.0));
    network.injection = Some("pump".into());
    let solver = solver(&network);
    let on = solve(&solver, 99e-6, 1e-6, &[]);
    assert!((on.pipes[2].flow.as_m3_per_s() - 1e-6).abs() < 1e-18, "from the pump to the tee");
    let lags = Lags::of(solver.plumbing(), &on).unwrap();
    assert!((lags.last().unwrap().as_s() - 100.0).abs() < 1e-9);
    let more = solve(&solver, 98e-6, 2e-6, &[]);
    let states = [at(0.0, &on), at(200.0, &more)];
    let transport = Transport::follow(solver.plumbing(), &states, Contents::clean()).unwrap();
    // The rate of the pump acts at the tee at once, since the hose is full by then: 200 + 50 s.
    check(&arrivals(&transport, 0), &[(100.0, 0.01), (250.0, 0.02)]);
    for t_s in [10.0, 60.0, 120.0, 210.0, 400.0] {
        assert!(transport.balance(Duration::from_s(t_s)).error().abs() < 1e-12);
    }
}

/// Product put in beside the manifold reaches only what lies behind it.
#[test]
fn injection_in_one_branch() {
    let mut network = line();
    network.nodes.push(node("other", 0.0));
    network.pipes.push(pipe("3", "s", "other", 3.0, 25.0));
    network.nozzles.push(nozzle("other", 1e-7));
    network.injection = Some("m".into());
    let solver = solver(&network);
    let flows = solve(&solver, 2e-4, 2e-6, &[]);
    let states = [at(0.0, &flows)];
    let transport = Transport::follow(solver.plumbing(), &states, Contents::clean()).unwrap();
    let q = flows.nozzles[0].as_m3_per_s();
    check(&arrivals(&transport, 0), &[(0.005 / q, 2e-6 / q)]);
    check(&arrivals(&transport, 1), &[]);
    let lags = Lags::of(solver.plumbing(), &flows).unwrap();
    assert!(lags.nozzles[0].is_some() && lags.nozzles[1].is_none());
    assert_eq!(lags.time_to_share(Share::from_fraction(0.95)), None);
    assert!(lags.time_to_share(Share::from_fraction(0.4)).is_some());
}

#[test]
fn rows_of_states_that_make_no_sense_are_named() {
    let solver = solver(&line());
    let flows = solve(&solver, 1e-4, 1e-6, &[]);
    let follow =
        |states: &[State]| Transport::follow(solver.plumbing(), states, Contents::clean()).unwrap_err();
    assert_eq!(follow(&[]), TransportError::NoState);
    for second_s in [0.0, -1.0, f64::INFINITY] {
        let from = Duration::from_s(second_s);
        assert_eq!(
            follow(&[at(0.0, &flows), at(second_s, &flows)]),
            TransportError::Order { state: 1, from }
        );
    }
    let mut other = flows.clone();
    other.pipes.pop();
    assert_eq!(follow(&[at(0.0, &other)]), TransportError::OtherNetwork { state: 0 });
    for bad in [-0.1, 1.1, f64::NAN] {
        let contents = Contents { pipes: Share::from_fraction(bad), ..Contents::clean() };
        let problem = Transport::follow(solver.plumbing(), &[at(0.0, &flows)], contents).unwrap_err();
        assert!(matches!(problem, TransportError::Share { .. }), "{problem:?}");
    }
    let mut back = flows.clone();
    back.pipes[1].flow = FlowRate::from_m3_per_s(-1e-5);
    assert_eq!(follow(&[at(0.0, &flows), at(9.0, &back)]), TransportError::Reverses { pipe: 1 });
}

/// A row of states on a network made at random.
#[derive(Clone, Debug)]
struct Row {
    made: made::Made,
    /// Duration, flow against the first, share injected, bits of shut sections, nothing flows.
    states: Vec<(f64, f64, f64, u64, bool)>,
}

fn any_row() -> impl Strategy<Value = Row> {
    let state =
        (0.05..40.0_f64, 0.3..3.0_f64, prop_oneof![Just(0.0), 0.001..0.2_f64], any::<u64>(), any::<bool>());
    let states = proptest::collection::vec(state, 1..12);
    (any_network(), states).prop_map(|(mut made, states)| {
        made.carrier_m3_s = made.carrier_m3_s.clamp(1e-5, 1e-3);
        Row { made, states }
    })
}

impl Row {
    /// Solved states; a state that cannot be (all shut, injection shut off) stands still.
    fn solve(&self, solver: &Solver) -> Vec<(f64, Option<Hydraulics>)> {
        let mut from_s = 0.0;
        let n_sections = self.made.network.sections.len();
        let mut solved = Vec::new();
        for &(lasts_s, ratio, injected, shut, is_still) in &self.states {
            let shut: Vec<usize> = (0..n_sections).filter(|idx| shut >> (idx % 64) & 3 == 0).collect();
            let carrier = self.made.carrier_m3_s * ratio;
            let operating = Operating {
                given: Given::Carrier(FlowRate::from_m3_per_s(carrier)),
                injected: FlowRate::from_m3_per_s(carrier * injected),
                shut: &shut,
            };
            let flows = (!is_still).then(|| solver.solve(&operating, DryNozzles::Close).ok()).flatten();
            solved.push((from_s, flows));
            from_s += lasts_s;
        }
        solved
    }
}

/// One drop, backwards: when did the liquid that passes this pipe's end at `t` enter it? By halving, on volumes added up
/// anew each time; nothing of the forward method is used.
fn entered(states: &[(f64, f64)], content_m3: f64, t_s: f64) -> Option<f64> {
    let passed = |until_s: f64| -> f64 {
        let mut sum = 0.0;
        for (idx, &(from_s, q)) in states.iter().enumerate() {
            let to_s = states.get(idx + 1).map_or(f64::INFINITY, |next| next.0).min(until_s);
            sum += q * (to_s - from_s).max(0.0);
        }
        sum
    };
    let wanted = passed(t_s) - content_m3;
    if wanted < 0.0 {
        return None;
    }
    let (mut early, mut late) = (0.0, t_s);
    for _ in 0..70 {
        let middle = 0.5 * (early + late);
        if passed(middle) <= wanted { early = middle } else { late = middle }
    }
    Some(early)
}

/// Share at a node at a time, by following the drop back to the injection point.
fn share_backwards(
    network: &Network,
    solved: &[(f64, Option<Hydraulics>)],
    node: usize,
    t_s: f64,
) -> Option<f64> {
    let plumbing = Plumbing::check(network).unwrap();
    let injection = network.nodes.iter().position(|n| Some(&n.id) == network.injection.as_ref()).unwrap();
    let mut way = plumbing.way_to(node).unwrap();
    let head = plumbing.way_to(injection).unwrap();
    // Nothing gets there, unless by a feed hose that is passed towards the supply; this method does not follow those.
    if !way.starts_with(&head) {
        return None;
    }
    way.drain(..head.len());
    let mut t_s = t_s;
    for &pipe in way.iter().rev() {
        let states: Vec<(f64, f64)> = solved
            .iter()
            .map(|(from_s, flows)| {
                (*from_s, flows.as_ref().map_or(0.0, |f| f.pipes[pipe].flow.as_m3_per_s().abs()))
            })
            .collect();
        // While nothing moves, what stands there came with the last flow.
        let q_now = states.iter().rev().find(|state| state.0 <= t_s)?.1;
        if q_now == 0.0 {
            return None;
        }
        match entered(&states, plumbing.pipe_content(pipe)?.as_m3(), t_s) {
            Some(earlier_s) => t_s = earlier_s,
            None => return Some(0.0),
        }
    }
    let state = solved.iter().rev().find(|state| state.0 <= t_s)?;
    let flows = state.1.as_ref()?;
    // Towards the injection point; where the pump drives the liquid the other way, nothing comes.
    let comes: f64 = match head.last() {
        Some(&pipe) if Some(&network.pipes[pipe].to) == network.injection.as_ref() => {
            flows.pipes[pipe].flow.as_m3_per_s().max(0.0)
        }
        Some(&pipe) => (-flows.pipes[pipe].flow.as_m3_per_s()).max(0.0),
        None => flows.carrier.as_m3_per_s(),
    };
    let injected = flows.injected.as_m3_per_s();
    (0.0 < comes + injected).then(|| injected / (injected + comes))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(100) })]

    /// What came in went out or is inside, whatever is shut, opened, stopped or changed meanwhile.
    #[test]
    fn product_balances_in_any_network(row in any_row()) {
        let solver = solver(&row.made.network);
        let solved = row.solve(&solver);
        let states: Vec<State> = solved.iter()
            .map(|(from_s, flows)| State { from: Duration::from_s(*from_s), flows: flows.as_ref() }).collect();
        let contents = Contents { pipes: Share::from_fraction(0.02), carrier: Share::from_fraction(0.001) };
        for contents in [Contents::clean(), contents] {
            match Transport::follow(solver.plumbing(), &states, contents) {
                Ok(transport) => for part in 0..12 {
                    let balance = transport.balance(Duration::from_s(f64::from(part) * 11.3));
                    let is_nothing = balance.injected == Volume::from_m3(0.0) && balance.at_start == balance.injected;
                    prop_assert!(balance.error().abs() < 1e-9 || is_nothing && balance.carried_in == balance.injected,
                        "{balance:?}: {}", balance.error());
                },
                // A feed hose as a branch: where its pump stops, sections behind it may draw the other way.
                Err(TransportError::Reverses { .. }) => {}
                Err(problem) => prop_assert!(false, "{problem:?}"),
            }
        }
    }

    /// Forwards and backwards agree on what passes a nozzle.
    #[test]
    fn a_drop_followed_backwards_agrees(row in any_row(), times in proptest::collection::vec(0.0..200.0_f64, 6)) {
        let network = &row.made.network;
        let solver = solver(network);
        let solved = row.solve(&solver);
        let states: Vec<State> = solved.iter()
            .map(|(from_s, flows)| State { from: Duration::from_s(*from_s), flows: flows.as_ref() }).collect();
        let Ok(transport) = Transport::follow(solver.plumbing(), &states, Contents::clean()) else { return Ok(()) };
        for nozzle in 0..network.nozzles.len() {
            let node = network.nodes.iter().position(|n| n.id == network.nozzles[nozzle].node).unwrap();
            for &t_s in &times {
                let is_near_front = transport.fronts(nozzle).iter().any(|f| (f.at.as_s() - t_s).abs() < 1e-6);
                let Some(wanted) = share_backwards(network, &solved, node, t_s) else { continue };
                let got = transport.share_at(nozzle, Duration::from_s(t_s)).unwrap().as_fraction();
                prop_assert!(is_near_front || (got - wanted).abs() < 1e-9, "nozzle {nozzle} at {t_s}: {got} {wanted}");
            }
        }
    }
}
