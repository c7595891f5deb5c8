//! What would help: each remedy does what its nature says, and the list is in order.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "for tests only")]

mod boom;

use calc::pass::drive::{Drive, Manoeuvre};
use calc::pass::outcome::DoseLimits;
use calc::pass::remedies::{Remedies, Remedy, RemedyError, RemedyList, RemedyOptions};
use calc::pass::setup::{Pass, PassError};
use calc::pass::simulation::Simulation;
use calc::plumbing::boom::LineWarning;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::quick::{MANIFOLD, quick_network};
use units::{Duration, Length, Speed};

fn pass() -> Pass {
    let m = Length::from_m;
    let manoeuvres = [
        Manoeuvre::Steady { distance: m(150.0) },
        Manoeuvre::Corner {
            slow_to: Speed::from_m_per_s(1.2),
            takes: Duration::from_s(4.0),
            distance: m(15.0),
        },
        Manoeuvre::Steady { distance: m(100.0) },
    ];
    let pass = boom::pass(Drive::of(Speed::from_m_per_s(3.0), &manoeuvres).unwrap());
    boom::with_widths(pass, &boom::solver(36))
}

fn list() -> RemedyList {
    let network = quick_network(&boom::rig(36), &boom::answers(36)).unwrap();
    let remedies = Remedies::new(&network, FrictionLaw::SwameeJain, &pass(), RemedyOptions::usual());
    remedies.unwrap().run().unwrap()
}

#[test]
fn every_remedy_is_tried_and_ranked() {
    let list = list();
    assert_eq!(list.tried.len(), 5);
    let gains: Vec<f64> = list.tried.iter().map(|t| t.result.as_ref().unwrap().gain.as_fraction()).collect();
    assert!(gains.windows(2).all(|pair| pair[1] <= pair[0]), "{gains:?}");
    for tried in &list.tried {
        let brought = tried.result.as_ref().unwrap();
        let difference = brought.shares.on.as_fraction() - list.as_is.shares.on.as_fraction();
        assert!((difference - brought.gain.as_fraction()).abs() < 1e-12);
        let sum = brought.shares.on.as_fraction()
            + brought.shares.under.as_fraction()
            + brought.shares.over.as_fraction();
        assert!((sum - 1.0).abs() < 1e-9);
    }
}

/// As it is, simulated on its own, is the same as in the list.
#[test]
fn as_is_is_the_pass_itself() {
    let outcome = Simulation::new(boom::solver(36), pass()).unwrap().run().unwrap();
    assert_eq!(outcome.product_shares(DoseLimits::usual()), list().as_is.shares);
}

/// Each by what it must do: a lead-in takes away the under-dosed start and leaves what the corner does, so it brings most here; less content (narrower, nearer)
/// shortens the start; more carrier too, at 1.25² = 1.56 times the pressure at the nozzles.
#[test]
fn each_remedy_does_what_its_nature_says() {
    let list = list();
    let as_is = &list.as_is;
    assert!(0.05 < as_is.shares.under.as_fraction());
    for tried in &list.tried {
        let brought = tried.result.as_ref().unwrap();
        match tried.remedy {
            Remedy::LeadIn { distance } => {
                assert_eq!(tried, &list.tried[0], "{:?}", list.tried);
                assert!(10.0 < distance.as_m() && brought.shares.under.as_fraction() < 0.05);
                assert!(0.99 < brought.shares.mean.as_fraction());
                assert!((brought.shares.area.as_m2() / as_is.shares.area.as_m2() - 1.0).abs() < 0.01);
            }
            Remedy::SmallerBore { times } => {
                assert_eq!(times, 0.75);
                assert!(0.01 < brought.gain.as_fraction());
                assert!(as_is.greatest_supply_pressure < brought.greatest_supply_pressure);
            }
            Remedy::InjectionNearer { node } => {
                let network = quick_network(&boom::rig(36), &boom::answers(36)).unwrap();
                assert_eq!(network.nodes[node].id, MANIFOLD);
                assert!(0.0 < brought.gain.as_fraction());
            }
            Remedy::SteadierSpeed { .. } => {
                assert!(as_is.shares.over.as_fraction() + 1e-9 >= brought.shares.over.as_fraction());
            }
            Remedy::HigherCarrierRate { rate } => {
                assert!((rate.as_l_per_ha() - 125.0).abs() < 1e-9 && 0.0 < brought.gain.as_fraction());
                let ratio = brought.greatest_nozzle_pressure.unwrap().as_pa()
                    / as_is.greatest_nozzle_pressure.unwrap().as_pa();
                // 126/101 squared, the product's own litre included.
                assert!((ratio - 1.556_3).abs() < 0.01, "{ratio}");
            }
        }
    }
}

/// Lines that become too small are told with the remedy that makes them so.
#[test]
fn lines_that_become_too_small_are_told() {
    let network = quick_network(&boom::rig(36), &boom::answers(36)).unwrap();
    let options = RemedyOptions { bore_times: 0.2, ..RemedyOptions::usual() };
    let list = Remedies::new(&network, FrictionLaw::SwameeJain, &pass(), options).unwrap().run().unwrap();
    let narrow = list.tried.iter().find(|tried| matches!(tried.remedy, Remedy::SmallerBore { .. })).unwrap();
    let warnings = &narrow.result.as_ref().unwrap().small_lines;
    assert!(warnings.iter().any(|warning| matches!(warning, LineWarning::Velocity { .. })), "{warnings:?}");
    assert!(
        warnings.iter().any(|warning| matches!(warning, LineWarning::SectionDrop { .. })),
        "{warnings:?}"
    );
}

#[test]
fn slices_and_early_ends() {
    let network = quick_network(&boom::rig(36), &boom::answers(36)).unwrap();
    let new = || Remedies::new(&network, FrictionLaw::SwameeJain, &pass(), RemedyOptions::usual()).unwrap();
    let mut remedies = new();
    let mut last = 0;
    loop {
        let progress = remedies.step(20_000).unwrap();
        assert!(last <= progress.done && progress.done <= progress.total);
        last = progress.done;
        if progress.is_done() {
            break;
        }
    }
    assert_eq!(remedies.finish().unwrap(), list());
    assert_eq!(new().finish().unwrap_err(), RemedyError::Pass(PassError::NotDone));
    let mut unsound = pass();
    unsound.widths.pop();
    let problem =
        Remedies::new(&network, FrictionLaw::SwameeJain, &unsound, RemedyOptions::usual()).unwrap_err();
    assert_eq!(problem, RemedyError::Pass(PassError::WidthCount { got: 35, wanted: 36 }));
}
