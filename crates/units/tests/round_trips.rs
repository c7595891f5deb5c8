//! What goes into a unit comes out of it: every unit of every quantity, through SI, through stored codes, through text.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod common;

use proptest::prelude::*;
use units::{Quantity, Typed, Unit, decimals_for_significant, format_decimal, parse};

#[track_caller]
fn same(got: f64, expected: f64, slack: f64) {
    assert!((got - expected).abs() <= slack, "got {got:e}, expected {expected:e}");
}

fn through_si<Q: Quantity>(value: f64) {
    for unit in Q::Unit::ALL {
        let quantity = Q::from_unit(value, *unit);
        // A temperature passes through kelvins: 600 K at the most have an absolute error, not a relative one.
        let offset = (unit.to_si(0.0) / unit.si_per_unit()).abs();
        same(quantity.in_unit(*unit), value, 1e-15 * (value.abs() + offset));
        assert_eq!(Q::from_si(quantity.as_si()), quantity);
        for other in Q::Unit::ALL {
            let there = Q::from_unit(quantity.in_unit(*other), *other);
            same(there.in_unit(*unit), value, 3e-15 * (value.abs() + offset));
        }
    }
}

fn larger_stays_larger<Q: Quantity>(low: f64, high: f64) {
    for unit in Q::Unit::ALL {
        assert!(Q::from_unit(low, *unit) < Q::from_unit(high, *unit));
        assert!(unit.si_per_unit() > 0.0);
    }
}

/// The number as a screen shows it, with its symbol, typed back in: the same number in the same unit.
fn through_text<Q: Quantity>(value: f64) {
    for unit in Q::Unit::ALL {
        let digits = format_decimal(value, decimals_for_significant(value, 7));
        let shown: f64 = digits.parse().unwrap();
        for text in [format!("{digits} {}", unit.symbol()), format!("{digits}{}", unit.symbol())] {
            // "5" and "1000 ft²" run together are not two things any more.
            if unit.symbol().starts_with(|c: char| c.is_ascii_digit()) && !text.contains(" 1000") {
                continue;
            }
            let typed: Typed<Q> = parse(&text, None).unwrap_or_else(|problem| panic!("{text}: {problem:?}"));
            assert_eq!(typed.unit, *unit, "{text}");
            assert_eq!(typed.value, Q::from_unit(shown, *unit), "{text}");
        }
        let typed: Typed<Q> =
            parse(&digits.replace('.', ","), Some(*unit)).or_else(|_| parse(&digits, Some(*unit))).unwrap();
        assert_eq!(typed.value, Q::from_unit(shown, *unit));
    }
}

proptest! {
    #[test]
    fn every_unit_round_trips(value in -1e6..1e6_f64) {
        for_every_quantity!(through_si(value));
    }

    #[test]
    fn small_values_round_trip(exponent in -9..0_i32, lead in 1.0..10.0_f64) {
        for_every_quantity!(through_si(lead * 10_f64.powi(exponent)));
    }

    #[test]
    fn order_is_kept(low in -1e6..1e6_f64, more in 1e-3..1e6_f64) {
        for_every_quantity!(larger_stays_larger(low, low + more));
    }

    #[test]
    fn shown_text_reads_back(value in -1e5..1e5_f64) {
        for_every_quantity!(through_text(value));
    }
}
