//! Facts of the trade from a practitioner. Common practice, no source.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::keyin::{KeyedPulses, key_in_pulses};
use calc::rate::nudged_rate;
use calc::rig::ProductRate;
use units::{
    KeyInStep, Length, LengthUnit, PulseConvention, PulsesPerDistance, PulsesPerVolume, Share, Volume,
    VolumePerArea, VolumeUnit, parse,
};

#[test]
fn a_section_of_144_inches_is_12_feet() {
    assert!((Length::from_in(144.0).as_ft() - 12.0).abs() < 1e-12);
    let typed = parse::<Length>("144 in", None).unwrap().value;
    assert!((typed.as_ft() - 12.0).abs() < 1e-12);
}

#[test]
fn a_meter_stamped_299_counts_299_pulses_a_gallon_and_a_fuller_jug_asks_for_less() {
    let convention = PulseConvention::counting(1.0, VolumeUnit::UsGallon);
    let keyed = KeyedPulses { number: 299.0, convention, step: Some(KeyInStep { step: 1.0, largest: None }) };
    let meter: PulsesPerVolume = keyed.meaning().unwrap();
    assert!((meter.pulses_in(Volume::from_us_gal(1.0)) - 299.0).abs() < 1e-9);
    // The jug holds 10.5, the console says 10: by hand 299 × 10/10.5 = 284.76.
    let corrected = keyed.corrected(10.0 / 10.5, 0.0).unwrap();
    assert!(corrected.exact < 299.0);
    assert_eq!(corrected.rounded, 285.0);
}

#[test]
fn sixty_four_ounces_nudged_once_by_a_tenth() {
    let rate = ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(64.0));
    for (presses, expected) in [(1, 70.4), (-1, 57.6)] {
        let ProductRate::PerArea(nudged) = nudged_rate(rate, Share::from_percent(10.0), presses).unwrap()
        else {
            panic!("the kind of rate changed");
        };
        assert!((nudged.as_us_fl_oz_per_ac() - expected).abs() < 1e-9);
    }
}

#[test]
fn a_satellite_sensor_of_130_pulses_a_metre_needs_769() {
    let convention = PulseConvention::spacing(1000.0, LengthUnit::Centimetre);
    let step = Some(KeyInStep { step: 1.0, largest: None });
    let number = key_in_pulses(PulsesPerDistance::from_per_m(130.0), convention, step).unwrap();
    assert_eq!(number.rounded, 769.0);
    // By hand: 100 000/130 = 769.23, so rounding shows 0.03 % too little distance per pulse.
    assert!((number.rounding_error.as_percent() + 0.03).abs() < 1e-9);
}
