//! Hydraulics against hand calculations, against its own equations on networks made at random, and one way of stating
//! a state against another.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "for tests only")]

mod made;

use calc::plumbing::Plumbing;
use calc::plumbing::friction::{FrictionLaw, Regime, friction_factor};
use calc::plumbing::hydraulics::{DryNozzles, Given, Hydraulics, HydraulicsError, Operating, Solver};
use calc::plumbing::network::{FlowCoefficient, Liquid, Network, SectionInlet};
use made::{any_network, network, node, nozzle, pipe};
use proptest::prelude::*;
use units::{Density, FlowRate, Length, Pressure, Viscosity};

const G: f64 = 9.806_65;

fn solver(network: &Network) -> Solver {
    Solver::new(Plumbing::check(network).unwrap(), FrictionLaw::SwameeJain)
}

fn carrier(q_m3_s: f64) -> Operating<'static> {
    Operating {
        given: Given::Carrier(FlowRate::from_m3_per_s(q_m3_s)),
        injected: FlowRate::from_m3_per_s(0.0),
        shut: &[],
    }
}

/// Laminar pipe by hand, Hagen–Poiseuille: 1.002 mPa·s, 10 m of 19 mm, 2e-5 m³/s.
/// v = 2e-5/2.83529e-4 = 0.070540 m/s; Re = 998.2 × 0.07054 × 0.019/1.002e-3 = 1335;
/// Δp = 128 μ L q/(π d⁴) = 128 × 1.002e-3 × 10 × 2e-5/(π × 1.30321e-7) = 62.654 Pa.
#[test]
fn laminar_pipe_by_hand() {
    let network = network(
        vec![node("s", 0.0), node("n", 0.0)],
        vec![pipe("p", "s", "n", 10.0, 19.0)],
        vec![nozzle("n", 1e-7)],
    );
    let answer = solver(&network).solve(&carrier(2e-5), DryNozzles::Refuse).unwrap();
    assert!((answer.pipes[0].loss.as_pa() - 62.654).abs() < 0.005, "{:?}", answer.pipes[0]);
    assert!((answer.pipes[0].reynolds - 1335.0).abs() < 1.0);
    assert_eq!(answer.pipes[0].regime, Regime::Laminar);
    // (2e-5/1e-7)² = 40 000 Pa at the nozzle.
    assert!((answer.supply_pressure.as_pa() - 40_062.654).abs() < 0.005);
}

/// Two cast-iron pipes in series, 0.5 m³/s of water at 10 °C (1.31e-6 m²/s), 0.26 mm rough: 300 m of 0.6 m, then 300 m
/// of 0.4 m; entrance 0.5 on the first, contraction 0.24 and exit 1 on the second. Wolaita Sodo University, tutorial on
/// pipe flow, problem 1: Colebrook gives f = 0.01686 and 0.01808 and 13.363 m in all, with g = 9.81 m/s².
#[test]
fn two_pipes_in_series_as_in_a_textbook() {
    let (mut first, mut second) = (pipe("1", "s", "m", 300.0, 600.0), pipe("2", "m", "e", 300.0, 400.0));
    (first.roughness, first.minor_k) = (Length::from_mm(0.26), 0.5);
    (second.roughness, second.minor_k) = (Length::from_mm(0.26), 1.24);
    let nodes = vec![node("s", 0.0), node("m", 0.0), node("e", 0.0)];
    let mut network = network(nodes, vec![first, second], vec![nozzle("e", 1e-3)]);
    network.liquid =
        Liquid { density: Density::from_kg_per_m3(999.7), viscosity: Viscosity::from_pa_s(1.31e-6 * 999.7) };
    let solver = Solver::new(Plumbing::check(&network).unwrap(), FrictionLaw::Colebrook);
    let answer = solver.solve(&carrier(0.5), DryNozzles::Refuse).unwrap();
    let head_m: f64 = answer.pipes.iter().map(|pipe| pipe.loss.as_pa() / (999.7 * 9.81)).sum();
    assert!((head_m - 13.363).abs() < 0.001, "{head_m}");
}

/// 1 ft of water is 0.434 psi (NWCG, firefighter math, section 3.4; 0.43354 with water of 1000 kg/m³ less 0.2 %).
#[test]
fn a_foot_of_height_weighs_what_the_book_says() {
    let mut network = network(
        vec![node("s", 0.0), node("n", 0.304_8)],
        vec![pipe("p", "s", "n", 0.0, 50.0)],
        vec![nozzle("n", 1e-8)],
    );
    network.liquid.density = Density::from_kg_per_m3(1000.0);
    let answer = solver(&network).solve(&carrier(4e-6), DryNozzles::Refuse).unwrap();
    let at_nozzle = answer.nodes[1].unwrap();
    let height_psi = answer.supply_pressure.as_psi() - at_nozzle.as_psi();
    assert!((height_psi - 0.433_5).abs() < 1e-4, "{height_psi}");
    // 10 % less pressure is about 5 % less flow (GRDC, Spray Application Manual, module 6.6: 5.13 %).
    let k = FlowCoefficient::from_m3_s_pa05(1e-8);
    let less =
        k.flow_at(Pressure::from_bar(2.7)).as_l_per_min() / k.flow_at(Pressure::from_bar(3.0)).as_l_per_min();
    assert!((1.0 - less - 0.051_317).abs() < 1e-6);
}

/// Puts an answer back into the equations, written out here once more and with the public friction factor.
fn check_equations(network: &Network, operating: &Operating, answer: &Hydraulics) {
    let rho = network.liquid.density.as_kg_per_m3();
    let idx = |id: &str| network.nodes.iter().position(|node| node.id == id).unwrap();
    let total = answer.carrier.as_m3_per_s() + answer.injected.as_m3_per_s();
    let mut excess = vec![0.0; network.nodes.len()];
    excess[idx(&network.supply)] += answer.carrier.as_m3_per_s();
    if let Some(injection) = &network.injection {
        excess[idx(injection)] += answer.injected.as_m3_per_s();
    }
    let greatest_pa = answer.nodes.iter().flatten().fold(0.0_f64, |most, p| most.max(p.as_pa().abs()));
    for (pipe, flow) in network.pipes.iter().zip(&answer.pipes) {
        let (from, to) = (idx(&pipe.from), idx(&pipe.to));
        let q = flow.flow.as_m3_per_s();
        excess[from] -= q;
        excess[to] += q;
        let (Some(p_from), Some(p_to)) = (answer.nodes[from], answer.nodes[to]) else {
            assert_eq!(q, 0.0);
            continue;
        };
        let d = pipe.bore.as_m();
        let v = q.abs() / (std::f64::consts::FRAC_PI_4 * d * d);
        let loss_pa = if q == 0.0 {
            0.0
        } else {
            let re = rho * v * d / network.liquid.viscosity.as_pa_s();
            let f = friction_factor(re, pipe.roughness.as_m() / d, FrictionLaw::SwameeJain).unwrap();
            (f * pipe.length.as_m() / d + pipe.minor_k) * rho * v * v / 2.0
        };
        assert!((flow.loss.as_pa() - loss_pa).abs() <= 1e-9 * loss_pa);
        let height_pa = rho * G * (network.nodes[from].height.as_m() - network.nodes[to].height.as_m());
        let off_pa = p_from.as_pa() + height_pa - p_to.as_pa() - q.signum() * loss_pa;
        assert!(off_pa.abs() <= 1e-9 * greatest_pa.max(loss_pa).max(1e4), "{}: {off_pa} Pa", pipe.id);
    }
    for (place, nozzle) in network.nozzles.iter().enumerate() {
        let q = answer.nozzles[place].as_m3_per_s();
        excess[idx(&nozzle.node)] -= q;
        let Some(p) = answer.nodes[idx(&nozzle.node)] else {
            assert!(answer.nozzle_is_shut[place] && q == 0.0);
            continue;
        };
        let by_formula = nozzle.size.flow_at(p).as_m3_per_s();
        // q = k √P, looked at from the side of the pressure: near zero pressure the flow itself is ill to compare.
        let k = nozzle.size.as_m3_s_pa05();
        let off_pa = if k == 0.0 { 0.0 } else { (q / k).powi(2) - (by_formula / k).powi(2) };
        assert!(off_pa.abs() <= 1e-8 * greatest_pa.max(1e4), "nozzle {place}: {q} {by_formula} {off_pa} Pa");
    }
    for (node, off) in network.nodes.iter().zip(excess) {
        assert!(off.abs() <= 1e-11 * total, "{}: {off} of {total}", node.id);
    }
    assert_eq!(answer.injected, operating.injected);
}

fn is_allowed(problem: &HydraulicsError) -> bool {
    use HydraulicsError as E;
    matches!(
        problem,
        E::AllShut | E::AllBlocked | E::InjectionShutOff | E::NozzleDry { .. } | E::Reynolds { .. }
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn any_tree_fulfils_its_equations(made in any_network(), closes in any::<bool>()) {
        let solver = solver(&made.network);
        let operating = Operating {
            given: Given::Carrier(FlowRate::from_m3_per_s(made.carrier_m3_s)),
            injected: FlowRate::from_m3_per_s(made.injected_m3_s),
            shut: &made.shut,
        };
        let dry = if closes { DryNozzles::Close } else { DryNozzles::Refuse };
        match solver.solve(&operating, dry) {
            Ok(answer) => {
                check_equations(&made.network, &operating, &answer);
                let c = answer.convergence;
                prop_assert!(c.pressure_residual < 1e-9 && c.flow_residual < 1e-11, "{c:?}");
            }
            Err(problem) => {
                prop_assert!(is_allowed(&problem), "{problem:?}");
                let is_dry = matches!(problem, HydraulicsError::NozzleDry { .. });
                prop_assert!(!closes || !is_dry);
            }
        }
    }

    /// The same state, stated by its flow, by its supply pressure and by a gauge anywhere.
    #[test]
    fn flow_pressure_and_gauge_tell_the_same_state(made in any_network(), gauge in any::<prop::sample::Index>()) {
        let solver = solver(&made.network);
        let injected = FlowRate::from_m3_per_s(made.injected_m3_s);
        let by_flow = Given::Carrier(FlowRate::from_m3_per_s(made.carrier_m3_s));
        let Ok(answer) = solver.solve(&Operating { given: by_flow, injected, shut: &made.shut }, DryNozzles::Refuse)
        else { return Ok(()) };
        let node = gauge.index(made.network.nodes.len());
        let mut others = vec![Given::SupplyPressure(answer.supply_pressure)];
        if let Some(pressure) = answer.nodes[node] {
            others.push(Given::PressureAt { node, pressure });
        }
        for given in others {
            let other = solver.solve(&Operating { given, injected, shut: &made.shut }, DryNozzles::Refuse);
            // A state right at the edge, where a nozzle has next to no pressure, may fall over it by rounding.
            let edge = |p: &Option<Pressure>| p.is_some_and(|p| p.as_pa().abs() < 1.0);
            if answer.nodes.iter().any(edge) { return Ok(()); }
            let other = other.unwrap();
            let ratio = other.carrier.as_m3_per_s() / answer.carrier.as_m3_per_s();
            // Flow follows pressure at half the rate, but large pressures elsewhere leave few digits for the smallest one.
            let all = || answer.nodes.iter().flatten().map(|p| p.as_pa().abs());
            let digits = all().fold(2e4, f64::max) / all().fold(f64::INFINITY, f64::min);
            prop_assert!((ratio - 1.0).abs() < 1e-9 * (1.0 + digits), "{given:?}: {ratio}");
        }
    }
}

// A small flow through a long boom that slopes: the lower half gets it all.
fn sloping() -> Network {
    network(
        vec![node("s", 0.0), node("low", -0.5), node("high", 2.0)],
        vec![pipe("a", "s", "low", 1.0, 20.0), pipe("b", "s", "high", 1.0, 20.0)],
        vec![nozzle("low", 3e-8), nozzle("high", 3e-8)],
    )
}

#[test]
fn a_dry_nozzle_is_named_or_closes() {
    let solver = solver(&sloping());
    // (3e-6/3e-8)² = 10 000 Pa at the low one is 4895 Pa at the supply, less than 2 m of water.
    let problem = solver.solve(&carrier(3e-6), DryNozzles::Refuse).unwrap_err();
    assert!(
        matches!(problem, HydraulicsError::NozzleDry { nozzle: 1, pressure } if pressure.as_pa() < 0.0),
        "{problem:?}"
    );
    let answer = solver.solve(&carrier(3e-6), DryNozzles::Close).unwrap();
    assert_eq!(answer.nozzles[1].as_m3_per_s(), 0.0);
    assert!((answer.nozzles[0].as_m3_per_s() - 3e-6).abs() < 1e-18);
    assert!((answer.nodes[1].unwrap().as_pa() - 10_000.0).abs() < 1e-6);
    let both = solver.solve(&carrier(2e-5), DryNozzles::Refuse).unwrap();
    assert!(both.nozzles[1].as_m3_per_s() < both.nozzles[0].as_m3_per_s());
}

#[test]
fn a_supply_that_is_too_weak_is_an_error_with_all_three_numbers() {
    let solver = solver(&sloping());
    let greatest = Pressure::from_bar(1.0);
    let flow = FlowRate::from_m3_per_s(5e-5);
    let given = Given::CarrierUpTo { flow, greatest };
    let problem = solver.solve(&Operating { given, ..carrier(0.0) }, DryNozzles::Refuse).unwrap_err();
    let HydraulicsError::BeyondPressure { flow: f, needs, greatest: g } = problem else {
        panic!("{problem:?}")
    };
    assert_eq!((f, g), (flow, greatest));
    // By hand: two nozzles of 3e-8 share 5e-5 m³/s, (2.5e-5/3e-8)² = 6.944 bar, and the supply is on
    // average 0.75 m of water lower: 7.018 bar.
    assert!((needs.as_bar() - 7.018).abs() < 0.002, "{needs:?}");
    let enough = Given::CarrierUpTo { flow, greatest: Pressure::from_bar(7.5) };
    assert!(solver.solve(&Operating { given: enough, ..carrier(0.0) }, DryNozzles::Refuse).is_ok());
}

#[test]
fn requests_that_make_no_sense_are_named() {
    use HydraulicsError as E;
    let mut network = sloping();
    network.sections = vec![
        SectionInlet { id: "A".into(), inlet_pipe: "a".into() },
        SectionInlet { id: "B".into(), inlet_pipe: "b".into() },
    ];
    let ready = solver(&network);
    let solve = |operating: &Operating| ready.solve(operating, DryNozzles::Refuse).unwrap_err();
    assert_eq!(solve(&Operating { shut: &[0, 1], ..carrier(1e-4) }), E::AllShut);
    assert_eq!(solve(&Operating { shut: &[2], ..carrier(1e-4) }), E::UnknownSection { section: 2 });
    for q in [-1e-9, 0.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(solve(&carrier(q)), E::Carrier { .. }), "{q}");
    }
    for q in [-1e-9, f64::NAN, f64::INFINITY] {
        let injected = FlowRate::from_m3_per_s(q);
        assert!(matches!(solve(&Operating { injected, ..carrier(1e-4) }), E::Injected { .. }), "{q}");
    }
    let injected = FlowRate::from_m3_per_s(1e-6);
    assert_eq!(solve(&Operating { injected, ..carrier(1e-4) }), E::NoInjectionPoint);
    let nan = Pressure::from_pa(f64::NAN);
    assert!(matches!(
        solve(&Operating { given: Given::SupplyPressure(nan), ..carrier(0.0) }),
        E::Pressure { .. }
    ));
    let gauge = |node| Given::PressureAt { node, pressure: Pressure::from_bar(2.0) };
    assert_eq!(solve(&Operating { given: gauge(9), ..carrier(0.0) }), E::UnknownNode { node: 9 });
    assert_eq!(
        solve(&Operating { given: gauge(1), shut: &[0], ..carrier(0.0) }),
        E::GaugeShutOff { node: 1 }
    );
    // No pressure at all, or less than the height needs.
    let weak = Given::SupplyPressure(Pressure::from_pa(-100_000.0));
    assert!(matches!(solve(&Operating { given: weak, ..carrier(0.0) }), E::NozzleDry { nozzle: 0, .. }));
    network.injection = Some("low".into());
    let with_injection = solver(&network);
    assert_eq!(
        with_injection
            .solve(&Operating { injected, shut: &[0], ..carrier(1e-4) }, DryNozzles::Refuse)
            .unwrap_err(),
        E::InjectionShutOff
    );
    // A pump that gives more than the nozzles take at the pressure that is held.
    let much = FlowRate::from_m3_per_s(1e-3);
    let held = Given::SupplyPressure(Pressure::from_bar(1.0));
    let problem = with_injection
        .solve(&Operating { given: held, injected: much, shut: &[] }, DryNozzles::Refuse)
        .unwrap_err();
    assert!(matches!(problem, E::CarrierBackwards { carrier } if carrier.as_m3_per_s() < 0.0), "{problem:?}");
    network.nozzles.iter_mut().for_each(|nozzle| nozzle.size = nozzle.size.times(0.0));
    assert_eq!(solver(&network).solve(&carrier(1e-4), DryNozzles::Refuse).unwrap_err(), E::AllBlocked);
    // 1e8 and more: 10 m³/s of thin liquid through 20 mm.
    let mut thin = sloping();
    thin.liquid.viscosity = Viscosity::from_pa_s(1e-5);
    thin.nozzles.iter_mut().for_each(|nozzle| nozzle.size = FlowCoefficient::from_m3_s_pa05(1e-4));
    let problem = solver(&thin).solve(&carrier(1.0), DryNozzles::Refuse).unwrap_err();
    assert!(matches!(problem, E::Reynolds { got, .. } if 1e8 < got), "{problem:?}");
}
