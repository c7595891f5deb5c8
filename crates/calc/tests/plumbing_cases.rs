//! Boom networks solved by EPANET and SciPy, against the solver here: every case of a folder, with both friction laws.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "for tests only"
)]

mod network_case;

use calc::plumbing::friction::FrictionLaw;
use network_case::compare::{self, Found};
use network_case::{Case, cases_in, own_cases};

const LAWS: [FrictionLaw; 2] = [FrictionLaw::SwameeJain, FrictionLaw::Colebrook];

/// Runs a case; the flows of both laws, the fronts under the law by which their reference was made.
fn run(case: &Case) -> Found {
    let mut all = Found::default();
    for law in LAWS {
        let solver = case.solver(law);
        let solved = case.solve(&solver);
        let mut found = compare::steady(case, &solver, &solved);
        if law == FrictionLaw::SwameeJain {
            found.add(compare::fronts(case, &solver, &solved));
        }
        println!(
            "{} {law:?}: {} compared; flow {:.1e}, supply {:.1e}, node {:.1e} Pa, loss {:.1e}, lag {:.1e}, arrival {:.1e} s",
            case.id,
            found.n_compared,
            found.flow,
            found.supply,
            found.node_pa,
            found.loss,
            found.lag,
            found.arrival_s,
        );
        all.add(found);
    }
    all
}

#[track_caller]
fn check(cases: &[Case]) {
    let wrong: Vec<String> = cases.iter().flat_map(|case| run(case).wrong).collect();
    assert!(wrong.is_empty(), "{} disagree:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn own_cases_agree() {
    let cases = own_cases();
    assert_eq!(cases.len(), 8, "P1 to P8");
    check(&cases);
}

/// Cases from a folder of one's own: `BOOM_NETWORK_CASES=/some/folder`. Without it there is nothing more to compare.
#[test]
fn cases_from_elsewhere_agree() {
    if let Some(folder) = std::env::var_os("BOOM_NETWORK_CASES") {
        let cases = cases_in(folder.as_ref());
        assert!(!cases.is_empty(), "no *.json in that folder");
        check(&cases);
    }
}

/// The comparison itself must be able to fail: answers of one law are not those of the other.
#[test]
fn the_wrong_friction_law_is_noticed() {
    let case = network_case::own_case("P2");
    let right = case.solver(FrictionLaw::SwameeJain);
    let wrong = case.solver(FrictionLaw::Colebrook);
    let found = compare::steady(&case, &right, &case.solve(&wrong));
    assert!(found.wrong.iter().any(|line| line.contains("loss")), "{:?}", found.wrong);
}
