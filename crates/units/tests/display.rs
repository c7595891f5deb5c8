//! How many decimals, and the digits themselves.
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use proptest::prelude::*;
use units::{decimals_for, decimals_for_significant, format_decimal};

// Two significant digits of the expanded uncertainty (JCGM 100:2008, 7.2.6, from memory); each line by hand.
#[test]
fn decimals_follow_the_uncertainty() {
    for (uncertainty, decimals) in [
        (26.0, 0),
        (260.0, 0),
        (10.0, 0),
        (9.96, 0), // rounds to 10
        (9.94, 1), // 9.9
        (2.6, 1),
        (1.0, 1),
        (0.996, 1), // 1.0
        (0.26, 2),
        (0.1, 2),
        (0.0998, 2), // 0.10
        (0.0234, 3),
        (1e-30, 12),
    ] {
        assert_eq!(decimals_for(748.83, uncertainty), decimals, "{uncertainty}");
    }
}

// JCGM 100:2008, 7.2.2 and H.1 (from memory): m = 100.021 47 g with u = 0.35 mg; U = 0.79 mg, so five decimals of a gram.
#[test]
fn gum_mass_standard() {
    let shown = |value: f64, uncertainty: f64| format_decimal(value, decimals_for(value, uncertainty));
    assert_eq!(shown(100.021_474, 0.000_79), "100.02147");
    // H.1: l = 50.000 838 mm with U = 93 nm, which is 0.000 093 mm.
    assert_eq!(shown(50.000_838, 0.000_093), "50.000838");
}

#[test]
fn no_uncertainty_means_four_digits() {
    for nothing in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(decimals_for(18.327, nothing), 2);
    }
}

#[test]
fn significant_digits() {
    for (value, digits, decimals) in [
        (187.079, 4, 1),
        (187.079, 3, 0),
        (187.079, 1, 0),
        (1.0, 3, 2),
        (9.9996, 4, 2),
        (9.9994, 4, 3),
        (0.001_234, 2, 4),
        (-0.001_234, 2, 4),
        (123_456.0, 3, 0),
        (0.0, 3, 0),
        (f64::NAN, 3, 0),
        (f64::INFINITY, 3, 0),
        (5.0, 0, 0),
        (1e-300, 3, 12),
        (f64::MAX, 17, 0),
        (1.5, usize::MAX, 12),
    ] {
        assert_eq!(decimals_for_significant(value, digits), decimals, "{value} to {digits}");
    }
}

#[test]
fn digits_as_by_hand() {
    for (value, decimals, text) in [
        (0.0, 0, "0"),
        (-0.0, 2, "0.00"),
        (-0.004, 2, "0.00"),
        (-0.005, 2, "-0.01"),
        (0.5, 0, "1"),
        (1.5, 0, "2"),
        (2.5, 0, "3"),
        (-2.5, 0, "-3"),
        (0.125, 2, "0.13"),
        (1.005, 2, "1.01"),
        (2.675, 2, "2.68"),
        (2.674, 2, "2.67"),
        (748.8, 0, "749"),
        (1_234_567.891, 1, "1234567.9"),
        (99.999, 2, "100.00"),
        (1e15, 3, "1000000000000000.000"),
        (1e16, 0, "10000000000000000"),
        (-1e-20, 12, "0.000000000000"),
        (0.1 + 0.2, 20, "0.300000000000"),
    ] {
        assert_eq!(format_decimal(value, decimals), text);
    }
    assert_eq!(format_decimal(f64::NAN, 1), "NaN");
    assert_eq!(format_decimal(f64::INFINITY, 1), "inf");
    assert_eq!(format_decimal(1.0, usize::MAX), "1.000000000000");
}

proptest! {
    #[test]
    fn shown_within_half_a_last_digit(value in -1e7..1e7_f64, decimals in 0..7_usize) {
        let text = format_decimal(value, decimals);
        let last = 10_f64.powi(-i32::try_from(decimals).unwrap());
        // Beside half a digit: the millionth of a digit by which a half may be short, and the grain of a double of this size.
        let grain = 2.0 * f64::EPSILON * value.abs();
        prop_assert!((text.parse::<f64>().unwrap() - value).abs() <= last * (0.5 + 1e-6) + grain);
        prop_assert_eq!(text.split_once('.').map_or(0, |(_, d)| d.len()), decimals);
        prop_assert!(text.parse::<f64>().unwrap() != 0.0 || !text.starts_with('-'));
    }

    /// The uncertainty itself, shown with these decimals, has two significant digits (or is a whole number of two or more).
    #[test]
    fn two_digits_of_the_uncertainty(exponent in -8..6_i32, lead in 1.0..9.99_f64) {
        let uncertainty = lead * 10_f64.powi(exponent);
        let text = format_decimal(uncertainty, decimals_for(1.0, uncertainty));
        let digits = text.replace('.', "");
        let significant = digits.trim_start_matches('0');
        prop_assert!(if text.contains('.') { significant.len() == 2 } else { significant.len() >= 2 }, "{}", text);
    }
}
