//! Typed text: what is understood, what is refused and as what, and that no text at all makes it stumble.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod common;

use proptest::prelude::*;
use units::ParseProblem as P;
use units::{
    Area, AreaUnit, Duration, FlowRate, Length, LengthUnit, Mass, Pressure, Quantity, Speed, Temperature,
    Volume, VolumePerArea, VolumePerAreaUnit, VolumePerCarrier, VolumeUnit, parse, parse_number,
};

#[track_caller]
fn reads<Q: Quantity>(text: &str, beside: Option<Q::Unit>, expected: f64, unit: Q::Unit) {
    let typed = parse::<Q>(text, beside).unwrap_or_else(|problem| panic!("{text:?}: {problem:?}"));
    assert_eq!(typed.unit, unit, "{text:?}");
    let got = typed.value.in_unit(unit);
    assert!(
        (got - expected).abs() <= 1e-12 * expected.abs().max(1.0),
        "{text:?}: got {got}, expected {expected}"
    );
}

#[track_caller]
fn number(text: &str, expected: f64) {
    assert_eq!(parse_number(text), Ok(expected), "{text:?}");
    reads::<Length>(text, Some(LengthUnit::Metre), expected, LengthUnit::Metre);
}

#[track_caller]
fn refused(text: &str, problem: &P) {
    assert_eq!(parse_number(text).as_ref(), Err(problem), "{text:?}");
    assert_eq!(parse::<Volume>(text, Some(VolumeUnit::Litre)).as_ref().err(), Some(problem), "{text:?}");
}

fn not_a_number(found: &str) -> P {
    P::NotANumber { found: found.to_owned() }
}

fn two_marks(found: &str) -> P {
    P::TwoDecimalMarks { found: found.to_owned() }
}

fn unknown(found: &str) -> P {
    P::UnknownUnit { found: found.to_owned() }
}

#[test]
fn plain_numbers() {
    number("1.5", 1.5);
    number("1,5", 1.5);
    number("12,5", 12.5);
    number("0,234", 0.234);
    number("00,234", 0.234);
    number("1234,567", 1234.567);
    number("1,2345", 1.2345);
    number(",234", 0.234);
    number(".5", 0.5);
    number("1.", 1.0);
    number("1,", 1.0);
    number("1.234", 1.234);
    number("0", 0.0);
    number("+7", 7.0);
    number("-2", -2.0);
    number("- 2", -2.0);
    number("−2", -2.0);
    number("\u{a0}3.5\u{202f}", 3.5);
    number("\t42\n", 42.0);
    number("\u{feff}42\u{200b}", 42.0);
}

#[test]
fn fractions() {
    number("3/4", 0.75);
    number("1 3/4", 1.75);
    number("1-3/4", 1.75);
    number("-1 3/4", -1.75);
    number("3 / 4", 0.75);
    number("3⁄4", 0.75);
    number("½", 0.5);
    number("1½", 1.5);
    number("2 ⅜", 2.375);
    number("12¾", 12.75);
    number("0/4", 0.0);
}

#[test]
fn thousands() {
    number("1 234.5", 1234.5);
    number("1 234,567", 1234.567);
    number("1\u{202f}234\u{202f}567", 1_234_567.0);
    number("1,234.5", 1234.5);
    number("1.234,5", 1234.5);
    number("1,234,567", 1_234_567.0);
    number("1.234.567", 1_234_567.0);
    number("1,234,567.8", 1_234_567.8);
    number("1 000", 1000.0);
}

// A comma and three digits: one and a bit here, more than a thousand there.
#[test]
fn a_comma_and_three_digits_is_asked_about() {
    for (text, as_decimal, as_thousands) in [
        ("1,234", 1.234, 1234.0),
        ("12,345", 12.345, 12_345.0),
        ("123,456", 123.456, 123_456.0),
        ("1,000", 1.0, 1000.0),
        ("-1,234", -1.234, -1234.0),
    ] {
        refused(text, &P::Ambiguous { as_decimal, as_thousands });
    }
    assert_eq!(
        parse::<Length>("1,234 mm", None),
        Err(P::Ambiguous { as_decimal: 1.234, as_thousands: 1234.0 })
    );
}

#[test]
fn two_decimal_marks() {
    for text in [
        "12.5.3",
        "1,2,3",
        "12..5",
        "1,,2",
        "1.2,3",
        "1,2.3",
        "1,234.5.6",
        "1.234,5,6",
        "0,234.5",
        "1,23,456",
        "1,234,56",
    ] {
        refused(text, &two_marks(text));
    }
    assert_eq!(parse::<Length>("12.5.3 ft", None), Err(two_marks("12.5.3")));
    assert_eq!(parse::<Length>("12 ft 6.5.1 in", None), Err(two_marks("6.5.1")));
}

#[test]
fn what_is_no_number() {
    for blank in ["", " ", "\u{a0}\t\n", "\u{200b}\u{feff}"] {
        refused(blank, &P::Empty);
    }
    for text in [
        ".", ",", "-", "+", "/", "- .", "abc", "ft 12", "--5", "+-5", "$5", "~3", "inf", "NaN", "-inf", "٣",
        "５", "/2",
    ] {
        refused(text, &not_a_number(text));
    }
    for text in ["3/", "1/2/3", "1.5/2", "1,234/5", "3/x"] {
        let number = text.trim_end_matches('x');
        refused(text, &not_a_number(number));
    }
    // A range and a sum are not a number, and nothing is made of them.
    for text in ["12-6", "10 - 12", "10-12", "12 -6", "5+3", "5 + 3"] {
        refused(text, &not_a_number(text));
        assert_eq!(parse::<Length>(text, Some(LengthUnit::Foot)), Err(not_a_number(text)));
    }
    for text in ["12 6", "5 1000", "1.5 234", "1 234.5 678", "0 500", "1 2 3/4", "1.5 1/2", "1, 2"] {
        refused(text, &P::Parts);
    }
    for text in ["5/0", "1 3/0", "0/0"] {
        refused(text, &P::ZeroBelowLine);
    }
}

// On a phone an e between digits is a slip of the thumb, so a power of ten is refused, not understood.
#[test]
fn powers_of_ten_are_refused() {
    refused("1e3", &unknown("e3"));
    refused("1E3", &unknown("E3"));
    refused("1.5e-3", &unknown("e"));
    refused("1e3 gal", &unknown("e3 gal"));
}

#[test]
fn very_long_digits() {
    let nines = "9".repeat(400);
    for text in [
        nines.clone(),
        format!("{nines}.5"),
        format!("{nines}/2"),
        format!("2/{nines}"),
        format!("{nines}/{nines}"),
    ] {
        refused(&text, &P::TooLarge);
    }
    // As a number it fits, in miles it does not.
    let large = "9".repeat(308);
    assert!(parse_number(&large).is_ok());
    assert_eq!(parse::<Length>(&large, Some(LengthUnit::Mile)), Err(P::TooLarge));
    number(&format!("0.{}", "3".repeat(400)), 1.0 / 3.0);
    number(&format!("{}1", "0".repeat(400)), 1.0);
}

#[test]
fn feet_and_inches() {
    // By hand: 12 ft 6 in = 12.5 ft; 6 1/2 in = 6.5/12 ft.
    for text in [
        " 12 ft 6 in",
        "12' 6\"",
        "12'6\"",
        "12' 6",
        "12'6",
        "12ft 6in",
        "12ft6in",
        "12 feet 6 inches",
        "12 ft. 6 in.",
        "12 ft, 6 in",
        "12′ 6″",
        "12’ 6”",
        "12' 6''",
        "12'-6\"",
        "12' - 6\"",
        "12 ft - 6 in",
        "12ft-6in",
        "12\u{a0}ft\u{a0}6\u{a0}in",
        "12 FT 6 IN",
        "+12 ft 6 in",
        "12 ft 6,0 in",
        "12 ft 6. in",
    ] {
        reads::<Length>(text, None, 12.5, LengthUnit::Foot);
        reads::<Length>(text, Some(LengthUnit::Metre), 12.5, LengthUnit::Foot);
    }
    for text in
        ["12' 6 1/2\"", "12' 6½\"", "12 ft 6.5 in", "12'-6 1/2\"", "12'-6-1/2\"", "12ft6.5in", "12' 6,5"]
    {
        reads::<Length>(text, None, 12.0 + 6.5 / 12.0, LengthUnit::Foot);
    }
    reads::<Length>("12' 1/2\"", None, 12.0 + 0.5 / 12.0, LengthUnit::Foot);
    reads::<Length>("-12 ft 6 in", None, -12.5, LengthUnit::Foot);
    reads::<Length>("-0 ft 6 in", None, -0.5, LengthUnit::Foot);
    reads::<Length>("6\"", None, 6.0, LengthUnit::Inch);
    reads::<Length>("12'", None, 12.0, LengthUnit::Foot);
    reads::<Length>("3/4\"", None, 0.75, LengthUnit::Inch);
}

#[test]
fn other_things_in_parts() {
    reads::<Length>("3 m 66 cm", None, 3.66, LengthUnit::Metre);
    reads::<Length>("1 yd 2 ft 6 in", None, 1.0 + 2.5 / 3.0, LengthUnit::Yard);
    reads::<Mass>("2 lb 8 oz", None, 2.5, units::MassUnit::Pound);
    reads::<Duration>("1 min 30 s", None, 1.5, units::DurationUnit::Minute);
    reads::<Duration>("1 h 15 min 36 s", None, 1.26, units::DurationUnit::Hour);
    reads::<Volume>("2 gal 1 qt", None, 2.25, VolumeUnit::UsGallon);
    // The quart beside an imperial gallon used to be a US one.
    reads::<Volume>("2 gal 1 qt", Some(VolumeUnit::ImperialGallon), 2.25, VolumeUnit::ImperialGallon);
}

#[test]
fn parts_that_do_not_add_up() {
    for text in [
        "6 in 12 ft",
        "12 ft 15 in",
        "12 ft 12 in",
        "12.5 ft 6 in",
        "1/2 ft 3 in",
        "12 ft 6 ft",
        "6\" 12",
        "3 m 66",
        "12 ft 6 in 3 in",
        "10 ft - 12 ft",
        "1'234",
    ] {
        assert_eq!(parse::<Length>(text, Some(LengthUnit::Foot)), Err(P::Parts), "{text:?}");
    }
    // Two temperatures used to be added up; so did two pressures, speeds and rates.
    assert_eq!(parse::<Temperature>("20 °C 5 °F", None), Err(P::Parts));
    assert_eq!(parse::<Pressure>("3 bar 2 psi", None), Err(P::Parts));
    assert_eq!(parse::<Speed>("6 mph 10 ft/min", None), Err(P::Parts));
    assert_eq!(parse::<Speed>("6 mph 2 kph", None), Err(P::Parts));
    assert_eq!(parse::<Area>("3 ac 200 m2", None), Err(P::Parts));
    assert_eq!(parse_number("12 ft 6 in"), Err(unknown("ft")));
}

#[test]
fn units_typed_after_the_number() {
    reads::<Length>("3.66m", None, 3.66, LengthUnit::Metre);
    reads::<Length>("3,66 m", Some(LengthUnit::Foot), 3.66, LengthUnit::Metre);
    reads::<Length>("144in", None, 144.0, LengthUnit::Inch);
    reads::<Length>("1 234.5 mm", None, 1234.5, LengthUnit::Millimetre);
    reads::<VolumePerArea>("20 gpa", None, 20.0, VolumePerAreaUnit::UsGallonPerAcre);
    reads::<VolumePerArea>(
        "1.5 oz/1000 ft2",
        None,
        1.5,
        VolumePerAreaUnit::UsFluidOuncePerThousandSquareFeet,
    );
    reads::<VolumePerArea>(
        "1.5 oz/1000 ft²",
        None,
        1.5,
        VolumePerAreaUnit::UsFluidOuncePerThousandSquareFeet,
    );
    reads::<VolumePerArea>(
        "1 1/2 oz per 1,000 sq. ft.",
        None,
        1.5,
        VolumePerAreaUnit::UsFluidOuncePerThousandSquareFeet,
    );
    reads::<VolumePerArea>("2 gal/1000 sq ft", None, 2.0, VolumePerAreaUnit::UsGallonPerThousandSquareFeet);
    reads::<VolumePerArea>("3gal / 1000 sq ft", None, 3.0, VolumePerAreaUnit::UsGallonPerThousandSquareFeet);
    reads::<VolumePerArea>("5 L/100 m²", None, 5.0, VolumePerAreaUnit::LitrePerHundredSquareMetres);
    reads::<VolumePerArea>(
        "64 oz/ac",
        Some(VolumePerAreaUnit::LitrePerHectare),
        64.0,
        VolumePerAreaUnit::UsFluidOuncePerAcre,
    );
    reads::<VolumePerCarrier>(
        "32 oz/100 gal",
        None,
        32.0,
        units::VolumePerCarrierUnit::UsFluidOuncePer100Gallons,
    );
    reads::<VolumePerCarrier>("0,25 % v/v", None, 0.25, units::VolumePerCarrierUnit::PercentByVolume);
    reads::<FlowRate>("2.5 gal per minute", None, 2.5, units::FlowRateUnit::UsGallonPerMinute);
    reads::<Temperature>("68 °F", None, 68.0, units::TemperatureUnit::Fahrenheit);
    reads::<Temperature>("-5 C", None, -5.0, units::TemperatureUnit::Celsius);
    reads::<Volume>("5 cm3", None, 5.0, VolumeUnit::Millilitre);
    reads::<Volume>("16 fl. oz.", None, 16.0, VolumeUnit::UsFluidOunce);
    reads::<Volume>("5 gal", Some(VolumeUnit::ImperialPint), 5.0, VolumeUnit::ImperialGallon);
    assert_eq!(parse::<Length>("12", None), Err(P::NoUnit));
    assert_eq!(parse::<Length>("12 gal", Some(LengthUnit::Foot)), Err(unknown("gal")));
    assert_eq!(parse::<Length>("12x", Some(LengthUnit::Foot)), Err(unknown("x")));
    assert_eq!(parse::<VolumePerArea>("20 gal", None), Err(unknown("gal")));
    assert_eq!(parse_number("12 ft"), Err(unknown("ft")));
}

#[test]
fn units_that_begin_with_a_number() {
    let kft2 = AreaUnit::ThousandSquareFeet;
    for text in ["5 1000 ft2", "5 1000 ft²", "5 1,000 sq ft", "5 1000 sq. ft."] {
        reads::<Area>(text, None, 5.0, kft2);
    }
    reads::<Area>("1,5 1000 ft2", None, 1.5, kft2);
    reads::<Area>("1 1/2 1000 ft2", None, 1.5, kft2);
    reads::<Area>("12 msf", None, 12.0, kft2);
    // Here the thousand is the number.
    reads::<Area>("1000 ft2", None, 1000.0, AreaUnit::SquareFoot);
    reads::<Area>("1000 ft2", Some(kft2), 1000.0, AreaUnit::SquareFoot);
    reads::<Area>("21 000 ft2", None, 21_000.0, AreaUnit::SquareFoot);
    assert_eq!(parse::<Area>("5 10.00 ft2", None), Err(P::Parts));
    // Here the blank parts thousands, and the full stop is a decimal mark: not 5 of the unit 1000 ft².
    reads::<Area>("5 100.0 ft2", None, 5100.0, AreaUnit::SquareFoot);
}

/// Whatever comes back is a finite number, and a problem is a problem in every quantity's box.
fn survives<Q: Quantity>(text: &str) {
    for beside in [None, Q::Unit::from_typed_first()] {
        if let Ok(typed) = parse::<Q>(text, beside) {
            assert!(typed.value.as_si().is_finite(), "{text:?}");
            assert!(text.contains(|c: char| c.is_ascii_digit() || "½⅓⅔¼¾⅛⅜⅝⅞".contains(c)), "{text:?}");
        }
    }
}

trait First: Sized {
    fn from_typed_first() -> Option<Self>;
}

impl<U: units::Unit> First for U {
    fn from_typed_first() -> Option<Self> {
        U::ALL.first().copied()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn no_text_makes_it_stumble(text in any::<String>()) {
        for_every_quantity!(survives(&text));
        let _ = parse_number(&text);
    }

    /// Text that is nearly right reaches further into the reader than noise does.
    #[test]
    fn no_nearly_right_text_makes_it_stumble(text in "[0-9.,/ '\"½²°′″−⁄ftincmlgaoz1000é漢\u{a0}\u{301}+-]{0,24}") {
        for_every_quantity!(survives(&text));
        if let Ok(value) = parse_number(&text) {
            prop_assert!(value.is_finite());
        }
    }

    /// Second method: Rust's own reader of decimals.
    #[test]
    fn decimals_agree_with_rust(text in "-?[0-9]{1,9}(\\.[0-9]{0,9})?") {
        prop_assert_eq!(parse_number(&text), Ok(text.parse::<f64>().unwrap()));
    }

    /// A comma is a decimal mark or it is asked about; both readings are offered.
    #[test]
    fn comma_is_decimal_or_asked_about(whole in 0..10_000_000_u32, decimals in "[0-9]{0,6}") {
        let as_decimal: f64 = format!("{whole}.{decimals}").parse().unwrap();
        match parse_number(&format!("{whole},{decimals}")) {
            Ok(value) => {
                prop_assert!(decimals.len() != 3 || whole == 0 || whole > 999);
                prop_assert_eq!(value, as_decimal);
            }
            Err(P::Ambiguous { as_decimal: decimal, as_thousands }) => {
                prop_assert!(decimals.len() == 3 && (1..=999).contains(&whole));
                prop_assert_eq!(decimal, as_decimal);
                prop_assert_eq!(as_thousands, format!("{whole}{decimals}").parse::<f64>().unwrap());
            }
            Err(problem) => prop_assert!(false, "{problem:?}"),
        }
    }

    #[test]
    fn feet_inches_and_sixteenths_add_up(feet in 0..1000_u32, inches in 0..12_u32, sixteenths in 0..16_u32) {
        let by_hand = f64::from(feet) * 0.3048 + (f64::from(inches) + f64::from(sixteenths) / 16.0) * 0.0254;
        for text in [
            format!("{feet} ft {inches} {sixteenths}/16 in"),
            format!("{feet}'{inches} {sixteenths}/16\""),
            format!("{feet}'-{inches}-{sixteenths}/16\""),
            format!("{feet}ft {}in", f64::from(inches) + f64::from(sixteenths) / 16.0),
        ] {
            let typed = parse::<Length>(&text, None).unwrap();
            prop_assert!((typed.value.as_m() - by_hand).abs() <= 1e-12 * by_hand.max(1.0), "{}", text);
        }
    }

    #[test]
    fn a_minus_turns_the_value_over(text in "[0-9]{1,4}([.,][0-9]{1,2})?( ft| in|')?") {
        let plus = parse::<Length>(&text, Some(LengthUnit::Metre)).unwrap();
        let minus = parse::<Length>(&format!("-{text}"), Some(LengthUnit::Metre)).unwrap();
        prop_assert_eq!(minus.value.as_si(), -plus.value.as_si());
        prop_assert_eq!(minus.unit, plus.unit);
    }
}
