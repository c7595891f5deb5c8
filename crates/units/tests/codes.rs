//! The names of units: codes in stored records never change, symbols and spellings lead back to their unit.
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

mod common;

use std::collections::BTreeSet;
use units::{FlowRateUnit, Quantity, Unit, VolumePerAreaUnit, VolumeUnit};

fn codes<Q: Quantity>() -> Vec<&'static str> {
    Q::Unit::ALL.iter().map(|unit| unit.code()).collect()
}

// A promise, not a check: these codes stand in records on people's phones. Add to the lists, never change them.
#[test]
fn unchanged_codes() {
    fn holds<Q: Quantity>(promised: &[&str]) {
        let codes: BTreeSet<_> = codes::<Q>().into_iter().collect();
        assert_eq!(codes, promised.iter().copied().collect());
    }
    holds::<units::Length>(&["ft", "in", "yd", "mi", "m", "cm", "mm", "km"]);
    holds::<units::Area>(&["ac", "ha", "ft2", "kft2", "m2"]);
    holds::<units::Volume>(&[
        "us_gal",
        "us_qt",
        "us_pt",
        "us_fl_oz",
        "l",
        "ml",
        "m3",
        "imp_gal",
        "imp_qt",
        "imp_pt",
        "imp_fl_oz",
    ]);
    holds::<units::Mass>(&["lb", "oz", "kg", "g"]);
    holds::<units::Duration>(&["s", "min", "h"]);
    holds::<units::Speed>(&["mph", "km_per_h", "m_per_s", "ft_per_min"]);
    holds::<units::FlowRate>(&[
        "us_gal_per_min",
        "l_per_min",
        "us_fl_oz_per_min",
        "ml_per_min",
        "l_per_h",
        "l_per_s",
        "imp_gal_per_min",
        "imp_fl_oz_per_min",
        "m3_per_s",
    ]);
    holds::<units::Pressure>(&["psi", "bar", "kpa", "pa"]);
    holds::<units::Density>(&["kg_per_l", "lb_per_us_gal", "sg", "kg_per_m3"]);
    holds::<units::Temperature>(&["degf", "degc"]);
    holds::<units::VolumePerArea>(&[
        "us_gal_per_ac",
        "l_per_ha",
        "us_fl_oz_per_ac",
        "us_pt_per_ac",
        "us_qt_per_ac",
        "ml_per_ha",
        "us_gal_per_1000_ft2",
        "us_fl_oz_per_1000_ft2",
        "l_per_100_m2",
        "ml_per_100_m2",
        "imp_gal_per_ac",
        "imp_qt_per_ac",
        "imp_pt_per_ac",
        "imp_fl_oz_per_ac",
    ]);
    holds::<units::VolumePerCarrier>(&[
        "pct_v_v",
        "us_fl_oz_per_100_gal",
        "us_pt_per_100_gal",
        "us_qt_per_100_gal",
        "us_gal_per_100_gal",
        "ml_per_100_l",
        "l_per_100_l",
        "ml_per_l",
    ]);
    holds::<units::Share>(&["pct", "fraction"]);
}

#[test]
fn codes_are_unique_and_read_back() {
    fn check<Q: Quantity>() {
        let codes = codes::<Q>();
        assert_eq!(codes.iter().collect::<BTreeSet<_>>().len(), codes.len());
        for unit in Q::Unit::ALL {
            assert_eq!(Q::Unit::from_code(unit.code()), Some(*unit));
            assert!(unit.code().bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_'));
        }
        assert_eq!(Q::Unit::from_code("furlong"), None);
        assert_eq!(Q::Unit::from_code(""), None);
    }
    for_every_quantity!(check());
}

// What stands on the screen means that unit when it is typed where no unit stands beside the box, and beside itself.
#[test]
fn symbols_lead_to_their_own_unit() {
    fn check<Q: Quantity>() {
        for unit in Q::Unit::ALL {
            for text in
                [unit.symbol().to_owned(), unit.symbol().to_uppercase(), format!(" {} ", unit.symbol())]
            {
                assert_eq!(Q::Unit::from_typed(&text, None), Some(*unit), "{text}");
                assert_eq!(Q::Unit::from_typed(&text, Some(*unit)), Some(*unit), "{text}");
            }
        }
    }
    for_every_quantity!(check());
}

// Beside its own unit each spelling means that unit. With nothing beside the box a spelling may mean another unit in one case
// only: an imperial unit gives way to the US one.
#[test]
fn spellings_lead_to_their_own_unit() {
    fn check<Q: Quantity>() {
        for unit in Q::Unit::ALL {
            for spelling in unit.spellings() {
                assert_eq!(Q::Unit::from_typed(spelling, Some(*unit)), Some(*unit), "{spelling}");
                let alone = Q::Unit::from_typed(spelling, None).unwrap();
                let gave_way =
                    unit.code().starts_with("imp_") && alone.code() == unit.code().replacen("imp_", "us_", 1);
                assert!(alone == *unit || gave_way, "{spelling} alone means {alone:?}, not {unit:?}");
            }
        }
    }
    for_every_quantity!(check());
}

// Beside an imperial unit "pt" used to mean a US pint: 20 % too little, and nobody would see it.
#[test]
fn beside_an_imperial_unit_imperial_is_meant() {
    use VolumeUnit as V;
    for (text, unit) in
        [("qt", V::ImperialQuart), ("pints", V::ImperialPint), ("oz", V::ImperialFluidOunce), ("L", V::Litre)]
    {
        assert_eq!(V::from_typed(text, Some(V::ImperialGallon)), Some(unit));
    }
    use VolumePerAreaUnit as R;
    let beside = Some(R::ImperialGallonPerAcre);
    assert_eq!(R::from_typed("oz/ac", beside), Some(R::ImperialFluidOuncePerAcre));
    assert_eq!(R::from_typed("us oz/ac", beside), Some(R::UsFluidOuncePerAcre));
    assert_eq!(R::from_typed("L/ha", beside), Some(R::LitrePerHectare));
    // There is no imperial one to be meant, so nothing is assumed.
    assert_eq!(R::from_typed("oz/1000 ft2", beside), None);
    assert_eq!(
        FlowRateUnit::from_typed("gpm", Some(FlowRateUnit::ImperialFluidOuncePerMinute)),
        Some(FlowRateUnit::ImperialGallonPerMinute)
    );
}

#[test]
fn people_spell_in_many_ways() {
    use VolumePerAreaUnit as R;
    for text in [
        "oz/1000 ft2",
        "fl. oz. per 1,000 sq. ft.",
        "FL OZ / 1000 ft²",
        "oz/1 000 ft2",
        "fl\u{a0}oz/1000\u{202f}ft²",
    ] {
        assert_eq!(R::from_typed(text, None), Some(R::UsFluidOuncePerThousandSquareFeet), "{text}");
    }
    for text in ["gal/ac", "GPA", "Gallons per acre", "US gal / acre", "gal. per ac."] {
        assert_eq!(R::from_typed(text, None), Some(R::UsGallonPerAcre), "{text}");
    }
    assert_eq!(R::from_typed("gal/10.00 sq ft", None), None);
    assert_eq!(R::from_typed("gal/100 sq ft", None), None);
    assert_eq!(units::TemperatureUnit::from_typed("º F", None), Some(units::TemperatureUnit::Fahrenheit));
    assert_eq!(VolumeUnit::from_typed("cm³", None), Some(VolumeUnit::Millilitre));
    assert_eq!(units::LengthUnit::from_typed("″", None), Some(units::LengthUnit::Inch));
    assert_eq!(units::LengthUnit::from_typed("''", None), Some(units::LengthUnit::Inch));
    assert_eq!(units::LengthUnit::from_typed("", None), None);
}
