//! Consoles' conventions: counting and spacing numbers, their steps, and what practitioners expect of them.
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use proptest::prelude::*;
use units::{
    Form, KeyInStep, Length, LengthUnit, PulseConvention, PulseConventionCodeError, PulsesPer,
    PulsesPerDistance, PulsesPerVolume, Quantity, Unit, Volume, VolumeUnit,
};

#[track_caller]
fn close(got: f64, expected: f64, relative: f64) {
    assert!((got / expected - 1.0).abs() <= relative, "got {got}, expected {expected}");
}

fn conventions<U: Unit>(amount: f64) -> impl Iterator<Item = PulseConvention<U>> {
    U::ALL
        .iter()
        .flat_map(move |u| [PulseConvention::counting(amount, *u), PulseConvention::spacing(amount, *u)])
}

fn round_trips<C: PulsesPer<Over = U::Quantity>, U: Unit>(pulses_per_si: f64, number: f64, amount: f64) {
    let pulses = C::from_pulses_per_si(pulses_per_si);
    for convention in conventions::<U>(amount) {
        let back: C = convention.meaning(convention.key_in(pulses));
        close(back.as_pulses_per_si(), pulses_per_si, 1e-14);
        close(convention.key_in::<C>(convention.meaning(number)), number, 1e-14);
        assert_eq!(PulseConvention::<U>::from_code(&convention.code()), Ok(convention));
    }
}

/// One percent more pulses: a counting number grows by it, a spacing number shrinks by it.
fn forms_move_opposite_ways<C: PulsesPer<Over = U::Quantity>, U: Unit>(pulses_per_si: f64, amount: f64) {
    let [less, more] = [1.0, 1.01].map(|factor| C::from_pulses_per_si(factor * pulses_per_si));
    for convention in conventions::<U>(amount) {
        let ratio = convention.key_in(more) / convention.key_in(less);
        match convention.form {
            Form::Counting => close(ratio, 1.01, 1e-14),
            Form::Spacing => close(ratio, 1.0 / 1.01, 1e-14),
        }
    }
}

proptest! {
    #[test]
    fn every_convention_round_trips(pulses in 1e-3..1e7_f64, number in 1e-3..1e6_f64, amount in 1e-2..1e5_f64) {
        round_trips::<PulsesPerVolume, VolumeUnit>(pulses, number, amount);
        round_trips::<PulsesPerDistance, LengthUnit>(pulses, number, amount);
    }

    #[test]
    fn counting_and_spacing_move_opposite_ways(pulses in 1e-3..1e7_f64, amount in 1e-2..1e5_f64) {
        forms_move_opposite_ways::<PulsesPerVolume, VolumeUnit>(pulses, amount);
        forms_move_opposite_ways::<PulsesPerDistance, LengthUnit>(pulses, amount);
    }

    /// Counting over an amount and spacing over the pulses that it counts is the same statement.
    #[test]
    fn counting_is_spacing_turned_over(pulses in 1e-3..1e6_f64, amount in 1e-2..1e4_f64) {
        let sensor = PulsesPerDistance::from_per_m(pulses);
        for unit in LengthUnit::ALL {
            let count = PulseConvention::counting(amount, *unit).key_in(sensor);
            close(PulseConvention::spacing(count, *unit).key_in(sensor), amount, 1e-14);
        }
    }

    #[test]
    fn any_code_is_read_or_refused(code in "\\PC*", amount in "[-+0-9.einfNa]{0,8}") {
        let _ = PulseConvention::<VolumeUnit>::from_code(&code);
        if let Ok(read) = PulseConvention::<LengthUnit>::from_code(&format!("spacing:{amount}:cm")) {
            prop_assert!(read.amount.is_finite() && read.amount > 0.0);
        }
    }

    #[test]
    fn rounding_moves_half_a_step_at_most(value in 0.01..1e6_f64, step in prop::sample::select(STEPS)) {
        let console = KeyInStep { step, largest: None };
        let rounded = console.round(value);
        // A millionth of a step is what a half may be short of and still count as a half.
        prop_assert!((rounded - value).abs() <= step * (0.5 + 1e-6) + 1e-15 * value);
        // On the grid, and rounding again changes nothing.
        let steps = rounded / step;
        prop_assert!((steps - steps.round()).abs() < 1e-9 * steps.max(1.0));
        prop_assert_eq!(console.round(rounded), rounded);
        // The error has the sign of the move, and the rounded value is the exact one with the error on it.
        let error = console.rounding_error(value);
        prop_assert!((error > 0.0) == (rounded > value) && (error < 0.0) == (rounded < value));
        prop_assert!(((1.0 + error) * value - rounded).abs() <= 1e-14 * value);
        prop_assert_eq!(console.round(-value), -rounded);
    }

    #[test]
    fn decimals_show_every_step(k in 1..100_000_u32, step in prop::sample::select(STEPS)) {
        let console = KeyInStep { step, largest: None };
        let value = f64::from(k) * step;
        let shown: f64 = format!("{value:.*}", console.decimals()).parse().unwrap();
        prop_assert!((shown - value).abs() < 1e-9 * value.max(1.0));
    }
}

const STEPS: &[f64] = &[
    1000.0, 100.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.25, 0.2, 0.125, 0.1, 0.05, 0.02, 0.01, 0.001, 0.0001, 0.3, 1.5,
];

// Common practice, no source.
#[test]
fn practice_a_meter_stamped_299() {
    let per_gal = PulseConvention::counting(1.0, VolumeUnit::UsGallon);
    let meter: PulsesPerVolume = per_gal.meaning(299.0);
    close(meter.pulses_in(Volume::from_us_gal(1.0)), 299.0, 1e-14);
    close(meter.volume_of(299.0 * 50.0).as_us_gal(), 50.0, 1e-14);
    // A jug that holds more than the console says asks for a smaller number: the same pulses over more liquid.
    let pulses_seen = meter.pulses_in(Volume::from_us_gal(5.0));
    let corrected = PulsesPerVolume::from_pulses_over(pulses_seen, Volume::from_us_gal(5.2));
    // By hand: 299 × 5.0 ÷ 5.2 = 287.5.
    close(per_gal.key_in(corrected), 287.5, 1e-14);
}

// Common practice, no source: 130 pulses per metre are 769 in a convention of centimetres per 1000 pulses.
#[test]
fn practice_130_pulses_per_metre() {
    let sensor = PulsesPerDistance::from_per_m(130.0);
    let spacing = PulseConvention::spacing(1000.0, LengthUnit::Centimetre);
    assert_eq!(KeyInStep { step: 1.0, largest: None }.round(spacing.key_in(sensor)), 769.0);
    // By hand: 100 000 ÷ 130 = 769.2308 cm.
    close(spacing.key_in(sensor), 769.230_769_230_769, 1e-14);
    // By hand: 130 × 0.3048 = 39.624 per foot, so 11 887.2 over 300 ft and 0.302846 in per pulse.
    close(PulseConvention::counting(300.0, LengthUnit::Foot).key_in(sensor), 11_887.2, 1e-14);
    close(PulseConvention::spacing(10.0, LengthUnit::Inch).key_in(sensor), 10.0 / (130.0 * 0.0254), 1e-14);
    assert_eq!(sensor.distance_of(260.0), Length::from_m(2.0));
}

#[test]
fn any_convention_can_be_set() {
    // By hand from 231 in³: 76 pulses/gal are 760 per 10 gal, 760 × 4.54609 ÷ 37.85411784 = 91.2723 per imperial gallon.
    let meter: PulsesPerVolume = PulseConvention::counting(10.0, VolumeUnit::UsGallon).meaning(760.0);
    close(PulseConvention::counting(1.0, VolumeUnit::UsGallon).key_in(meter), 76.0, 1e-14);
    close(PulseConvention::counting(1.0, VolumeUnit::ImperialGallon).key_in(meter), 91.272_2, 1e-6);
    // 1000 ÷ 76 gal × 128 = 1684.21 fl oz lie under 1000 pulses.
    close(PulseConvention::spacing(1000.0, VolumeUnit::UsFluidOunce).key_in(meter), 1_684.210_526, 1e-9);
}

#[test]
fn unchanged_convention_codes() {
    assert_eq!(PulseConvention::counting(10.0, VolumeUnit::UsGallon).code(), "counting:10:us_gal");
    assert_eq!(PulseConvention::spacing(1000.0, LengthUnit::Centimetre).code(), "spacing:1000:cm");
    assert_eq!(PulseConvention::counting(0.5, VolumeUnit::Litre).code(), "counting:0.5:l");
}

#[test]
fn codes_that_do_not_fit_are_named() {
    use PulseConventionCodeError as E;
    let read = PulseConvention::<VolumeUnit>::from_code;
    for code in
        ["", "counting", "counting:10", "counting:10:us_gal:x", "both:10:us_gal", "Counting:10:us_gal"]
    {
        assert_eq!(read(code), Err(E::Shape(code.to_owned())));
    }
    for amount in ["", "0", "-1", "inf", "NaN", "1e999", "ten", "1,5"] {
        assert_eq!(read(&format!("counting:{amount}:l")), Err(E::Amount(amount.to_owned())));
    }
    assert_eq!(read("counting:10:ft"), Err(E::Unit("ft".to_owned())));
}

#[test]
fn steps_round_as_by_hand() {
    let round = |step: f64, value: f64| KeyInStep { step, largest: None }.round(value);
    assert_eq!(round(1.0, 748.8), 749.0);
    assert_eq!(round(1.0, 0.5), 1.0);
    assert_eq!(round(1.0, -0.5), -1.0);
    assert_eq!(round(10.0, 7488.0), 7490.0);
    assert_eq!(round(0.1, 12.55), 12.6);
    assert_eq!(round(0.1, 12.61), 12.6);
    assert_eq!(round(0.2, 12.5), 12.6);
    assert_eq!(round(0.25, 3.3), 3.25);
    assert_eq!(round(2.5, 6.0), 5.0);
    assert_eq!(round(1.0, 0.0), 0.0);
    assert!(round(1.0, f64::NAN).is_nan());
    // By hand: 12.55 keyed in as 12.6 is 0.05 ÷ 12.55 = 0.398 % high.
    close(KeyInStep { step: 0.1, largest: None }.rounding_error(12.55), 0.003_984_063_7, 1e-7);
    assert!(KeyInStep { step: 1.0, largest: None }.rounding_error(0.0).is_nan());
}

// A value of 10¹³ steps used to be rounded ten steps away.
#[test]
fn huge_numbers_of_steps_stay_put() {
    for value in [1e13, 1e15, 1e16, 1e18, 9_007_199_254_740_993.0] {
        assert_eq!(KeyInStep { step: 1.0, largest: None }.round(value), value);
    }
}

// A step of a millionth of a millionth used to have no decimals.
#[test]
fn steps_have_their_decimals() {
    for (step, decimals) in [
        (1.0, 0),
        (10.0, 0),
        (0.5, 1),
        (0.1, 1),
        (0.25, 2),
        (0.125, 3),
        (2.5, 1),
        (1e-6, 6),
        (1e-9, 9),
        (1e-12, 9),
    ] {
        assert_eq!(KeyInStep { step, largest: None }.decimals(), decimals, "{step}");
    }
}

#[test]
fn a_console_takes_what_fits() {
    let console = KeyInStep { step: 0.1, largest: Some(99.9) };
    assert!(console.takes(99.9) && console.takes(99.94) && console.takes(0.0));
    assert!(
        !console.takes(99.96)
            && !console.takes(100.0)
            && !console.takes(f64::INFINITY)
            && !console.takes(f64::NAN)
    );
    assert!(KeyInStep { step: 0.1, largest: None }.takes(1e9));
}

#[test]
fn spacing_of_no_pulses_is_infinite() {
    assert_eq!(
        PulseConvention::spacing(10.0, LengthUnit::Inch).key_in(PulsesPerDistance::from_per_m(0.0)),
        f64::INFINITY
    );
    assert_eq!(LengthUnit::Inch.to_si(1.0), Length::from_unit(1.0, LengthUnit::Inch).as_si());
}
