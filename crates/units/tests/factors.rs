//! Every factor against definitions and tables from outside: NIST Handbook 44 Appendix C, NIST SP 811 Appendix B, the UK
//! Weights and Measures Act 1985, and conversions made by pint.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use std::collections::BTreeMap;
use units::{
    Area, AreaUnit, Density, DensityUnit, Duration, DurationUnit, FlowRate, FlowRateUnit, Length, LengthUnit,
    Mass, MassUnit, Pressure, PressureUnit, PulsesPerDistance, PulsesPerVolume, Quantity, Share, ShareUnit,
    Speed, SpeedUnit, Temperature, TemperatureUnit, Unit, Volume, VolumePerArea, VolumePerAreaUnit,
    VolumePerCarrier, VolumePerCarrierUnit, VolumeUnit,
};

#[track_caller]
fn close(got: f64, expected: f64, relative: f64) {
    assert!((got / expected - 1.0).abs() <= relative, "got {got:e}, expected {expected:e}");
}

/// The published number holds to half a unit of its last printed digit.
#[track_caller]
fn printed(got: f64, published: &str) {
    let (digits, exponent) = published.split_once('E').unwrap_or((published, "0"));
    let decimals = digits.split_once('.').map_or(0, |(_, d)| d.len());
    let exponent: i32 = exponent.parse().unwrap();
    let half_last = 0.5 * 10_f64.powi(exponent - i32::try_from(decimals).unwrap());
    let value: f64 = published.parse().unwrap();
    assert!((got - value).abs() <= half_last * (1.0 + 1e-9), "got {got:e}, published {published}");
}

// The definitions once more, as fractions of whole numbers and not as the products that the crate uses.
// NIST HB 44 App. C (read in a stored copy): in = 25.4 mm, ft = 12 in, US gal = 231 in³ = 3.785411784 L, fl oz = 1/128 gal,
// lb = 453.59237 g, acre = 43 560 ft² = 4046.8564224 m². UK Act 1985: imp gal = 4.54609 L = 160 imp fl oz.
const GAL: f64 = 3_785_411_784.0 / 1e12;
const IMP_GAL: f64 = 454_609.0 / 1e8;
const ACRE: f64 = 40_468_564_224.0 / 1e7;
const KFT2: f64 = 9_290_304.0 / 1e5;

fn check_all<U: Unit>(expected: &[(U, f64)]) {
    assert_eq!(expected.len(), U::ALL.len(), "a unit has no check");
    for unit in U::ALL {
        let (_, si) = expected.iter().find(|(u, _)| u == unit).unwrap();
        // Three or four roundings of a double on each side.
        close(unit.si_per_unit(), *si, 1e-15);
        close(U::Quantity::from_unit(1.0, *unit).as_si(), *si, 1e-15);
    }
}

#[test]
fn every_length_area_and_volume_by_definition() {
    use LengthUnit as L;
    check_all(&[
        (L::Foot, 0.3048),
        (L::Inch, 0.0254),
        (L::Yard, 0.9144),
        (L::Mile, 1609.344),
        (L::Metre, 1.0),
        (L::Centimetre, 0.01),
        (L::Millimetre, 0.001),
        (L::Kilometre, 1000.0),
    ]);
    use AreaUnit as A;
    check_all(&[
        (A::Acre, ACRE),
        (A::Hectare, 10_000.0),
        (A::SquareFoot, 0.092_903_04),
        (A::ThousandSquareFeet, KFT2),
        (A::SquareMetre, 1.0),
    ]);
    use VolumeUnit as V;
    check_all(&[
        (V::UsGallon, GAL),
        (V::UsQuart, 946.352_946e-6),
        (V::UsPint, 473.176_473e-6),
        (V::UsFluidOunce, 29.573_529_562_5e-6),
        (V::Litre, 1e-3),
        (V::Millilitre, 1e-6),
        (V::CubicMetre, 1.0),
        (V::ImperialGallon, IMP_GAL),
        (V::ImperialQuart, 1136.5225e-6),
        (V::ImperialPint, 568.261_25e-6),
        (V::ImperialFluidOunce, 28.413_062_5e-6),
    ]);
}

#[test]
fn every_mass_time_speed_and_pressure_by_definition() {
    use MassUnit as M;
    check_all(&[
        (M::Pound, 0.453_592_37),
        (M::Ounce, 0.028_349_523_125),
        (M::Kilogram, 1.0),
        (M::Gram, 0.001),
    ]);
    use DurationUnit as D;
    check_all(&[(D::Second, 1.0), (D::Minute, 60.0), (D::Hour, 3600.0)]);
    use SpeedUnit as S;
    check_all(&[
        (S::MilePerHour, 0.447_04),
        (S::KilometrePerHour, 1.0 / 3.6),
        (S::MetrePerSecond, 1.0),
        (S::FootPerMinute, 0.005_08),
    ]);
    use PressureUnit as P;
    // lbf/in²: 0.45359237 kg × 9.80665 m/s² ÷ 645.16 mm² (standard gravity: 3rd CGPM, 1901).
    check_all(&[
        (P::Psi, 45_359_237.0 * 980_665.0 / (64_516.0 * 1e5)),
        (P::Bar, 1e5),
        (P::Kilopascal, 1000.0),
        (P::Pascal, 1.0),
    ]);
    use DensityUnit as R;
    check_all(&[
        (R::KilogramPerLitre, 1000.0),
        (R::PoundPerUsGallon, 0.453_592_37 / GAL),
        (R::SpecificGravity, 1000.0),
        (R::KilogramPerCubicMetre, 1.0),
    ]);
    // A degree Fahrenheit is 5/9 K (NIST SP 811, B.8, from memory).
    check_all_degrees();
}

fn check_all_degrees() {
    assert_eq!(TemperatureUnit::ALL, &[TemperatureUnit::Fahrenheit, TemperatureUnit::Celsius]);
    close(TemperatureUnit::Fahrenheit.si_per_unit(), 5.0 / 9.0, 1e-15);
    close(TemperatureUnit::Celsius.si_per_unit(), 1.0, 0.0);
    // Fixed points by definition: −40 °F = −40 °C, 32 °F = 0 °C = 273.15 K, 212 °F = 100 °C.
    for (f, c) in [(-40.0, -40.0), (32.0, 0.0), (50.0, 10.0), (68.0, 20.0), (212.0, 100.0)] {
        assert!((Temperature::from_f(f).as_c() - c).abs() < 1e-12);
        assert!((Temperature::from_c(c).as_f() - f).abs() < 1e-12);
        assert!(
            (Temperature::from_unit(f, TemperatureUnit::Fahrenheit).as_si() - (c + 273.15)).abs() < 1e-12
        );
    }
}

#[test]
fn every_flow_and_rate_by_definition() {
    use FlowRateUnit as F;
    check_all(&[
        (F::UsGallonPerMinute, GAL / 60.0),
        (F::LitrePerMinute, 1.0 / 60_000.0),
        (F::UsFluidOuncePerMinute, GAL / (128.0 * 60.0)),
        (F::MillilitrePerMinute, 1.0 / 6e7),
        (F::LitrePerHour, 1.0 / 3.6e6),
        (F::LitrePerSecond, 0.001),
        (F::ImperialGallonPerMinute, IMP_GAL / 60.0),
        (F::ImperialFluidOuncePerMinute, IMP_GAL / (160.0 * 60.0)),
        (F::CubicMetrePerSecond, 1.0),
    ]);
    use VolumePerAreaUnit as R;
    check_all(&[
        (R::UsGallonPerAcre, GAL / ACRE),
        (R::LitrePerHectare, 1e-7),
        (R::UsFluidOuncePerAcre, GAL / (128.0 * ACRE)),
        (R::UsPintPerAcre, GAL / (8.0 * ACRE)),
        (R::UsQuartPerAcre, GAL / (4.0 * ACRE)),
        (R::MillilitrePerHectare, 1e-10),
        (R::UsGallonPerThousandSquareFeet, GAL / KFT2),
        (R::UsFluidOuncePerThousandSquareFeet, GAL / (128.0 * KFT2)),
        (R::LitrePerHundredSquareMetres, 1e-5),
        (R::MillilitrePerHundredSquareMetres, 1e-8),
        (R::ImperialGallonPerAcre, IMP_GAL / ACRE),
        (R::ImperialQuartPerAcre, IMP_GAL / (4.0 * ACRE)),
        (R::ImperialPintPerAcre, IMP_GAL / (8.0 * ACRE)),
        (R::ImperialFluidOuncePerAcre, IMP_GAL / (160.0 * ACRE)),
    ]);
    use VolumePerCarrierUnit as C;
    check_all(&[
        (C::PercentByVolume, 0.01),
        (C::UsFluidOuncePer100Gallons, 1.0 / 12_800.0),
        (C::UsPintPer100Gallons, 1.0 / 800.0),
        (C::UsQuartPer100Gallons, 1.0 / 400.0),
        (C::UsGallonPer100Gallons, 0.01),
        (C::MillilitrePer100Litres, 1e-5),
        (C::LitrePer100Litres, 0.01),
        (C::MillilitrePerLitre, 0.001),
    ]);
    use ShareUnit as S;
    check_all(&[(S::Percent, 0.01), (S::Fraction, 1.0)]);
}

// NIST SP 811 (2008) Appendix B.8, the printed seven figures, from memory.
#[test]
fn nist_sp_811_printed_factors() {
    printed(Area::from_ha(1.0).as_m2(), "1.0E+04");
    printed(Length::from_in(1.0).as_m(), "2.54E-02");
    printed(Length::from_ft(1.0).as_m(), "3.048E-01");
    printed(Length::from_yd(1.0).as_m(), "9.144E-01");
    printed(Length::from_mi(1.0).as_m(), "1.609344E+03");
    printed(Area::from_ft2(1.0).as_m2(), "9.290304E-02");
    printed(Volume::from_us_gal(1.0).as_m3(), "3.785412E-03");
    printed(Volume::from_us_qt(1.0).as_m3(), "9.463529E-04");
    printed(Volume::from_us_pt(1.0).as_m3(), "4.731765E-04");
    printed(Volume::from_us_fl_oz(1.0).as_m3(), "2.957353E-05");
    printed(Volume::from_imp_gal(1.0).as_m3(), "4.54609E-03");
    printed(Volume::from_imp_fl_oz(1.0).as_m3(), "2.841306E-05");
    printed(FlowRate::from_us_gal_per_min(1.0).as_m3_per_s(), "6.309020E-05");
    printed(Speed::from_mph(1.0).as_m_per_s(), "4.4704E-01");
    printed(Speed::from_km_per_h(1.0).as_m_per_s(), "2.777778E-01");
    printed(Speed::from_ft_per_min(1.0).as_m_per_s(), "5.08E-03");
    printed(Pressure::from_psi(1.0).as_pa(), "6.894757E+03");
    printed(Mass::from_lb(1.0).as_kg(), "4.535924E-01");
    printed(Mass::from_oz(1.0).as_kg(), "2.834952E-02");
    printed(Density::from_lb_per_us_gal(1.0).as_kg_per_m3(), "1.198264E+02");
}

// Table of units in the published check values: NIST HB 44 App. C and SP 811 App. B; the first block read in stored copies,
// the second from memory. `~` there means "rounded", and here: compared to the last printed digit.
#[test]
fn table_of_units_read_in_handbook_44() {
    let exact = |got: f64, expected: f64| close(got, expected, 1e-14);
    exact(Volume::from_us_gal(1.0).as_l(), 3.785_411_784);
    exact(Volume::from_us_gal(1.0).as_m3() / Length::from_in(1.0).as_m().powi(3), 231.0);
    exact(Volume::from_us_fl_oz(1.0).as_ml(), 29.573_529_562_5);
    exact(Volume::from_us_gal(1.0).as_us_fl_oz(), 128.0);
    exact(Volume::from_us_pt(1.0).as_ml(), 473.176_473);
    exact(Volume::from_imp_gal(1.0).as_l(), 4.546_09);
    exact(Volume::from_imp_gal(1.0).as_imp_fl_oz(), 160.0);
    exact(Volume::from_imp_fl_oz(1.0).as_ml(), 28.413_062_5);
    exact(Length::from_in(1.0).as_mm(), 25.4);
    exact(Volume::from_m3(Length::from_in(1.0).as_m().powi(3)).as_ml(), 16.387_064);
    exact(Mass::from_lb(1.0).as_g(), 453.592_37);
    exact(Area::from_ac(1.0).as_ft2(), 43_560.0);
    exact(Area::from_ac(1.0).as_m2(), 4_046.856_422_4);
    exact(Length::from_mi(1.0).as_ft(), 5280.0);
    exact(Speed::from_mph(1.0).as_ft_per_min(), 88.0);
    // A rod is 16.5 ft; 160 square rods are an acre.
    exact(Area::from_ft2(160.0 * 16.5 * 16.5).as_ac(), 1.0);
}

#[test]
fn table_of_units_from_memory() {
    // The survey acre of pre-2023 practice is 4 ppm larger than ours.
    let survey_over_ours = 4046.873 / Area::from_ac(1.0).as_m2();
    assert!((survey_over_ours - 1.0 - 4e-6).abs() < 0.5e-6);
    printed(Area::from_ha(1.0).as_ac(), "2.4710538");
    printed(Speed::from_mph(1.0).as_m_per_s(), "0.44704");
    printed(Speed::from_mph(1.0).as_km_per_h(), "1.609344");
    printed(Pressure::from_psi(1.0).as_kpa(), "6.894757");
    printed(Pressure::from_bar(1.0).as_kpa(), "100");
    printed(Pressure::from_bar(1.0).as_psi(), "14.503774");
    // The table prints 9.353958, which its own row of 20 gal/ac = 187.0791246 L/ha contradicts. By hand from the definitions:
    // 3.785411784 ÷ 0.40468564224 = 9.3539562.
    printed(VolumePerArea::from_us_gal_per_ac(1.0).as_l_per_ha(), "9.3539562");
    printed(FlowRate::from_us_gal_per_min(1.0).as_l_per_min(), "3.785412");
    printed(FlowRate::from_us_gal_per_min(1.0).as_ml_per_min() / 60.0, "63.0902");
    printed(VolumePerArea::from_us_fl_oz_per_ac(1.0).as_l_per_ha(), "0.0730778");
    printed(Mass::from_lb(1.0).as_kg() / Area::from_ac(1.0).as_ha(), "1.120851");
    printed(Density::from_kg_per_l(1.0).as_lb_per_us_gal(), "8.345404");
}

// Roundings printed by extension services, read in stored copies: 9.35, 2.471, 0.405, 3.785.
#[test]
fn published_roundings() {
    printed(VolumePerArea::from_us_gal_per_ac(1.0).as_l_per_ha(), "9.35");
    printed(Area::from_ha(1.0).as_ac(), "2.471");
    printed(Area::from_ac(1.0).as_ha(), "0.405");
    printed(Volume::from_us_gal(1.0).as_l(), "3.785");
}

type Convert = fn(f64) -> f64;

/// Pint's names for the conversions of the table, and ours.
fn conversions() -> BTreeMap<(&'static str, &'static str), Convert> {
    let rows: &[(&str, &str, Convert)] = &[
        ("us_gal", "liter", |v| Volume::from_us_gal(v).as_l()),
        ("imp_gal", "liter", |v| Volume::from_imp_gal(v).as_l()),
        ("us_floz", "milliliter", |v| Volume::from_us_fl_oz(v).as_ml()),
        ("imp_floz", "milliliter", |v| Volume::from_imp_fl_oz(v).as_ml()),
        ("us_pt", "liter", |v| Volume::from_us_pt(v).as_l()),
        ("us_qt", "liter", |v| Volume::from_us_qt(v).as_l()),
        ("iacre", "hectare", |v| Area::from_ac(v).as_ha()),
        ("us_gal/iacre", "liter/hectare", |v| VolumePerArea::from_us_gal_per_ac(v).as_l_per_ha()),
        ("liter/hectare", "us_gal/iacre", |v| VolumePerArea::from_l_per_ha(v).as_us_gal_per_ac()),
        ("us_floz/iacre", "liter/hectare", |v| VolumePerArea::from_us_fl_oz_per_ac(v).as_l_per_ha()),
        ("us_pt/iacre", "liter/hectare", |v| VolumePerArea::from_us_pt_per_ac(v).as_l_per_ha()),
        ("us_qt/iacre", "liter/hectare", |v| VolumePerArea::from_us_qt_per_ac(v).as_l_per_ha()),
        ("milliliter/hectare", "us_floz/iacre", |v| VolumePerArea::from_ml_per_ha(v).as_us_fl_oz_per_ac()),
        ("us_floz/(1000*foot**2)", "us_floz/iacre", |v| {
            VolumePerArea::from_us_fl_oz_per_1000_ft2(v).as_us_fl_oz_per_ac()
        }),
        ("liter/(100*meter**2)", "liter/hectare", |v| VolumePerArea::from_l_per_100_m2(v).as_l_per_ha()),
        ("mile/hour", "kilometer/hour", |v| Speed::from_mph(v).as_km_per_h()),
        ("kilometer/hour", "mile/hour", |v| Speed::from_km_per_h(v).as_mph()),
        ("mile/hour", "meter/second", |v| Speed::from_mph(v).as_m_per_s()),
        ("psi", "bar", |v| Pressure::from_psi(v).as_bar()),
        ("bar", "psi", |v| Pressure::from_bar(v).as_psi()),
        ("psi", "pascal", |v| Pressure::from_psi(v).as_pa()),
        ("us_gal/minute", "liter/minute", |v| FlowRate::from_us_gal_per_min(v).as_l_per_min()),
        ("liter/minute", "us_gal/minute", |v| FlowRate::from_l_per_min(v).as_us_gal_per_min()),
        ("inch", "meter", |v| Length::from_in(v).as_m()),
        ("foot", "meter", |v| Length::from_ft(v).as_m()),
        ("mile", "meter", |v| Length::from_mi(v).as_m()),
        ("pound/us_gal", "kilogram/meter**3", |v| Density::from_lb_per_us_gal(v).as_kg_per_m3()),
        ("kilogram/liter", "pound/us_gal", |v| Density::from_kg_per_l(v).as_lb_per_us_gal()),
        ("1/us_gal", "1/liter", |v| {
            PulsesPerVolume::from_pulses_over(v, Volume::from_us_gal(1.0)).pulses_in(Volume::from_l(1.0))
        }),
        ("1/meter", "1/foot", |v| {
            PulsesPerDistance::from_pulses_over(v, Length::from_m(1.0)).pulses_in(Length::from_ft(1.0))
        }),
        ("ounce/iacre", "gram/hectare", |v| Mass::from_oz(v).as_g() / Area::from_ac(1.0).as_ha()),
        ("us_floz/us_gal", "milliliter/liter", |v| {
            VolumePerCarrier::from_us_fl_oz_per_100_gal(100.0 * v).as_ml_per_l()
        }),
    ];
    rows.iter().map(|(from, to, f)| ((*from, *to), *f)).collect()
}

#[test]
fn every_row_of_the_pint_table() {
    let table: serde_json::Value = serde_json::from_str(include_str!("data/units.json")).unwrap();
    let rows = table["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 33);
    let conversions = conversions();
    for row in rows {
        let (from, to) = (row["from"].as_str().unwrap(), row["to"].as_str().unwrap());
        let convert = conversions.get(&(from, to)).unwrap_or_else(|| panic!("no conversion {from} to {to}"));
        // The table prints 15 figures.
        close(convert(row["value"].as_f64().unwrap()), row["result"].as_f64().unwrap(), 5e-15);
    }
}

#[test]
fn durations_by_definition() {
    close(Duration::from_h(1.5).as_min(), 90.0, 1e-15);
    close(Duration::from_min(2.0).as_s(), 120.0, 1e-15);
    close(Share::from_percent(5.0).as_fraction(), 0.05, 1e-15);
}

// Common practice, no source.
#[test]
fn practice_lengths_and_nudges() {
    close(Length::from_in(144.0).as_ft(), 12.0, 1e-15);
    let nudge = Share::from_percent(10.0).as_fraction();
    let rate = VolumePerArea::from_us_fl_oz_per_ac(64.0);
    let nudged = |sign: f64| VolumePerArea::from_si(rate.as_si() * (1.0 + sign * nudge)).as_us_fl_oz_per_ac();
    close(nudged(1.0), 70.4, 1e-14);
    close(nudged(-1.0), 57.6, 1e-14);
}
