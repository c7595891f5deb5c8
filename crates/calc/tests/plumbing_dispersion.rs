//! Blurred fronts against tabulated ones (mpmath, 60 digits), and against limits known by other means.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "for tests only")]

mod network_case;

use calc::plumbing::arrival::Lags;
use calc::plumbing::dispersion::{
    BlurredFront, DispersionCoefficient, DispersionError, dispersion_laminar_taylor_aris_1956,
    dispersion_turbulent_taylor_1954, laminar_front_without_diffusion, step_front_ogata_banks_1961,
};
use calc::plumbing::friction::{FrictionLaw, Regime};
use serde_json::Value;
use units::{Duration, Length, Share, Speed};

const MOLECULAR: DispersionCoefficient = DispersionCoefficient::from_m2_per_s(1e-9);

fn table() -> Value {
    serde_json::from_str(include_str!("data/dispersion_step.json")).unwrap()
}

fn number(row: &Value, field: &str) -> f64 {
    row[field].as_f64().unwrap()
}

fn share(x_m: f64, t_s: f64, u_m_s: f64, d_m2_s: f64) -> f64 {
    let (x, t, u) = (Length::from_m(x_m), Duration::from_s(t_s), Speed::from_m_per_s(u_m_s));
    step_front_ogata_banks_1961(x, t, u, DispersionCoefficient::from_m2_per_s(d_m2_s)).unwrap().as_fraction()
}

#[test]
fn step_as_tabulated() {
    let table = table();
    let rows = table["points"].as_array().unwrap();
    assert_eq!(rows.len(), 152);
    for row in rows {
        let got = share(number(row, "x_m"), number(row, "t_s"), number(row, "u_m_s"), number(row, "D_m2_s"));
        let wanted = number(row, "c_over_c0");
        // The table carries 12 digits; far down the tail exp(−a²) itself magnifies rounding by a².
        let digits = if wanted < 1e-20 { 1e-10 } else { 5e-12 };
        assert!((got - wanted).abs() <= digits * wanted, "{row}: {got}");
    }
}

#[test]
fn times_as_tabulated() {
    let table = table();
    for row in table["times"].as_array().unwrap() {
        let front = BlurredFront {
            plug: Duration::from_s(number(row, "x_m") / number(row, "u_m_s")),
            peclet: number(row, "peclet"),
            outside_range: vec![],
            share_outside_range: Share::from_percent(0.0),
        };
        for (percent, field) in [(5.0, "t05_s"), (50.0, "t50_s"), (95.0, "t95_s")] {
            let got = front.time_to(Share::from_percent(percent)).unwrap().as_s();
            assert!((got / number(row, field) - 1.0).abs() < 1e-8, "{row} {field}: {got}");
        }
    }
}

/// Péclet numbers at which `exp(ux/D)` alone would overflow, and a front so sharp that it is plug flow.
#[test]
fn no_overflow_however_sharp() {
    for d in [1e-4, 1e-6, 1e-9, 1e-12] {
        assert!(share(5.0, 4.5, 1.0, d) < 1e-10 && 1.0 - share(5.0, 5.5, 1.0, d) < 1e-10, "{d}");
        assert!((share(5.0, 5.0, 1.0, d) - 0.5).abs() < 0.01);
    }
    assert_eq!(share(5.0, 0.0, 1.0, 1e-3), 0.0);
    let mut last = 0.0;
    for step in 1..2000 {
        let now = share(0.5, f64::from(step) * 0.02, 0.1, 0.01);
        assert!(last <= now && now <= 1.0);
        last = now;
    }
}

/// Mean and variance of the time of arrival, by adding up the curve: `x/u + D/u²` more or less at the start, `2 x D/u³`.
#[test]
fn variance_of_the_front_is_that_of_the_sum_rule() {
    let (x, u, d) = (10.0, 0.5, 0.001);
    let (mut mean, mut square) = (0.0, 0.0);
    let dt = 0.002;
    for step in 0..20_000 {
        let t = (f64::from(step) + 0.5) * dt;
        let density = share(x, t + dt / 2.0, u, d) - share(x, (t - dt / 2.0).max(0.0), u, d);
        mean += t * density;
        square += t * t * density;
    }
    let variance = square - mean * mean;
    assert!((mean / (x / u) - 1.0).abs() < 1e-3, "{mean}");
    assert!((variance / (2.0 * x * d / (u * u * u)) - 1.0).abs() < 0.01, "{variance}");
}

/// Laminar without diffusion: the outflow deficit adds up to one plug-flow time, as it must for any residence curve.
#[test]
fn laminar_front_holds_the_whole_pipe() {
    let plug = Duration::from_s(1.0);
    let (mut missing, dt) = (0.0, 0.001);
    for step in 0..2_000_000 {
        let time = Duration::from_s((f64::from(step) + 0.5) * dt);
        missing += (1.0 - laminar_front_without_diffusion(time, plug).unwrap().as_fraction()) * dt;
    }
    // ∫ from T of (1/2t)² dt is left out: 1/(4T).
    assert!((missing + 1.0 / 8000.0 - 1.0).abs() < 1e-6, "{missing}");
}

#[test]
fn a_boom_blurs_less_than_it_lags() {
    let case = network_case::own_case("P7");
    let solver = case.solver(FrictionLaw::SwameeJain);
    let solved = case.solve(&solver);
    let state = solved[0].as_ref().unwrap();
    let lags = Lags::of(solver.plumbing(), state).unwrap();
    let mut n_outside = 0;
    for nozzle in 0..case.network.nozzles.len() {
        let front = BlurredFront::at_nozzle(&solver, state, nozzle, MOLECULAR).unwrap();
        assert!((front.plug.as_s() / lags.nozzles[nozzle].unwrap().as_s() - 1.0).abs() < 1e-12);
        let time = |percent| front.time_to(Share::from_percent(percent)).unwrap().as_s();
        assert!(time(5.0) < time(50.0) && time(50.0) < time(95.0));
        assert!((time(50.0) / front.plug.as_s() - 1.0).abs() < 0.05);
        assert!((front.share_at(Duration::from_s(time(95.0))).as_fraction() - 0.95).abs() < 1e-9);
        // What is outside the range is named: the laminar and transition pipes of the way, no others.
        for &pipe in &front.outside_range {
            assert!(matches!(state.pipes[pipe].regime, Regime::Laminar | Regime::Transition));
        }
        n_outside += usize::from(0.0 < front.share_outside_range.as_fraction());
    }
    assert!(0 < n_outside);
    assert!(BlurredFront::at_nozzle(&solver, state, 9999, MOLECULAR).is_none());
}

#[test]
fn outside_the_range_is_an_error() {
    let (bore, velocity) = (Length::from_mm(19.0), Speed::from_m_per_s(0.1));
    for re in [3999.0, 1.1e8, f64::NAN] {
        assert!(matches!(
            dispersion_turbulent_taylor_1954(bore, velocity, re, 0.0),
            Err(DispersionError::Friction(_))
        ));
    }
    let laminar = |length_m, re| {
        dispersion_laminar_taylor_aris_1956(bore, velocity, Length::from_m(length_m), re, MOLECULAR)
    };
    // By hand: 10 × 0.0095² × 0.1/(4e-9) = 22.6 km of hose.
    assert!(matches!(laminar(20_000.0, 1900.0), Err(DispersionError::TooShort { least, .. })
        if (least.as_km() - 22.56).abs() < 0.01));
    assert!(laminar(23_000.0, 1900.0).is_ok());
    assert!(matches!(laminar(23_000.0, 2001.0), Err(DispersionError::Friction(_))));
    let zero = Length::from_m(0.0);
    assert!(dispersion_turbulent_taylor_1954(zero, velocity, 1e4, 0.0).is_err());
    let d = DispersionCoefficient::from_m2_per_s(0.0);
    assert!(matches!(
        step_front_ogata_banks_1961(bore, Duration::from_s(1.0), velocity, d),
        Err(DispersionError::NotAboveZero { got: 0.0 })
    ));
    assert!(laminar_front_without_diffusion(Duration::from_s(0.0), Duration::from_s(1.0)).is_err());
}
