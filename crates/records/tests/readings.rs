//! Readings that do not add up, as stored and as read.

#![allow(clippy::unwrap_used, clippy::panic, reason = "test helpers stand outside test functions")]

use records::fields::FieldProblem;
use records::readings::{Figure, figure, last_place, spec_of};
use std::collections::BTreeMap;

fn at(path: &str, stored: &str) -> Option<Result<Figure, FieldProblem>> {
    figure(path, &BTreeMap::from([(path.to_owned(), stored.to_owned())]))
}

fn ok(path: &str, stored: &str) -> Figure {
    at(path, stored).unwrap().unwrap()
}

// By hand: 20.6 US gal of 3.785411784 L are 77.97948 L, and the last digit stands for 0.1 gal.
#[test]
fn a_volume_is_read_with_its_unit_and_its_last_digit() {
    let read = ok("run.1.shown.volume", ";us_gal;20.6");
    assert!((read.si - 0.077_979_48).abs() < 1e-8, "{read:?}");
    assert_eq!(read.symbol, "gal");
    assert!((read.last_place.unwrap() - 0.000_378_541_178_4).abs() < 1e-12);
}

#[test]
fn a_product_rate_knows_what_it_is_per() {
    assert!(!ok("run.1.shown.product_rate.2", ";us_fl_oz_per_ac;64").per_carrier);
    let per_carrier = ok("run.1.shown.product_rate.2", ";pct_v_v;0.25");
    assert!(per_carrier.per_carrier && (per_carrier.si - 0.0025).abs() < 1e-12);
}

#[test]
fn numbers_read_back_are_bare() {
    let read = ok("back.width.3", ";;144");
    assert_eq!((read.si, read.symbol, read.si_per_unit), (144.0, "", 1.0));
}

// A console may well show nothing; nobody reads less.
#[test]
fn zero_is_a_reading_and_less_is_not() {
    assert_eq!(ok("run.1.shown.speed", ";mph;0").si, 0.0);
    assert_eq!(at("run.1.shown.speed", ";mph;-1"), Some(Err(FieldProblem::Negative)));
    assert!(matches!(at("run.1.shown.volume", ";us_gal;2o"), Some(Err(FieldProblem::Parse(_)))));
    assert!(matches!(at("run.1.true.width", ";mi;3"), Some(Err(FieldProblem::OutOfRange { .. }))));
    assert_eq!(at("run.1.motion", "driving"), None);
}

#[test]
fn every_reading_may_have_its_own_uncertainty() {
    for path in ["run.k3f9a2bc-17.u.shown.flow", "run.1.u.true.product.2"] {
        assert!(spec_of(path).is_some(), "{path}");
    }
}

#[test]
fn parts_and_fractions_have_no_last_digit() {
    for text in ["12 ft 6 in", "1/2", "1/2 gal", "3 1/2", "12-1/2", "1e3", "gal"] {
        assert_eq!(last_place(text), None, "{text}");
    }
    for (text, place) in [("50", 1.0), ("50 m", 1.0), ("0,25", 0.01), ("7.", 1.0), ("3 m²", 1.0)] {
        assert_eq!(last_place(text), Some(place), "{text}");
    }
}
