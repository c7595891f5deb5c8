//! Ground speed and the ounce course against published rows and tables.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::speed::{OUNCE_AREA, SpeedError, course_for_area, rate_over_area, speed_over, time_over};
use proptest::prelude::*;
use units::{Area, Duration, Length, Speed, Volume};

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

fn mph(ft: f64, s: f64) -> f64 {
    speed_over(Length::from_ft(ft), Duration::from_s(s)).unwrap().as_mph()
}

fn seconds(ft: f64, mph: f64) -> f64 {
    time_over(Length::from_ft(ft), Speed::from_mph(mph)).unwrap().as_s()
}

// SPD-01, Univ. of Florida IFAS Extension 2017: D × 60 ÷ (t × 88).
#[test]
fn eighty_eight_feet_a_minute_are_one_mile_an_hour() {
    near(mph(88.0, 60.0), 1.0, 1e-12);
    near(mph(300.0, 25.0), 300.0 * 60.0 / (25.0 * 88.0), 1e-12);
}

// SPD-02, Univ. of Wisconsin 2014: 0.68 × ft/s, exact 0.681818; the shortcut is 0.27 % low and is not copied.
#[test]
fn the_shortcut_of_068_is_low() {
    near(mph(1.0, 1.0), 0.68, 0.005);
    near(0.68 / mph(1.0, 1.0) - 1.0, -0.0027, 0.00005);
}

// SPD-03, Texas A&M AgriLife: 204 ÷ seconds on 300 ft; exact 204.545.
#[test]
fn three_hundred_feet() {
    near(mph(300.0, 1.0), 204.545_454_5, 1e-6);
}

// SPD-04, Univ. of Nebraska-Lincoln: 1 mph is 88 ft/min; 1.46 ft/s printed, 1.4667 exact.
#[test]
fn one_mile_an_hour_in_feet() {
    near(Speed::from_mph(1.0).as_ft_per_min(), 88.0, 1e-12);
    near(Speed::from_mph(1.0).as_ft_per_min() / 60.0, 1.466_666_67, 1e-8);
}

// SPD-05, Kansas State / Illinois (memory): 200 ft in 22 and 24 s, from the mean time: 5.9 mph.
#[test]
fn two_runs_over_two_hundred_feet() {
    near(mph(200.0, 23.0), 5.9, 0.05);
    near(mph(200.0, 23.0), 5.928_853_75, 1e-6);
}

// SPD-06, TRAP: a Cornell page prints 60/80 for 60/88, which is 10 % too fast.
#[test]
fn the_misprint_of_eighty_is_not_copied() {
    let misprint = 200.0 / 23.0 * 60.0 / 80.0;
    near(misprint / mph(200.0, 23.0), 1.1, 1e-12);
}

// SPD-08, standard form (memory): 360 ÷ t on 100 m. TAB-KMH (exact, derived).
#[test]
fn a_hundred_metres() {
    let table = [
        (4.0, 90.0),
        (5.0, 72.0),
        (6.0, 60.0),
        (8.0, 45.0),
        (10.0, 36.0),
        (12.0, 30.0),
        (15.0, 24.0),
        (18.0, 20.0),
        (20.0, 18.0),
        (25.0, 14.4),
    ];
    for (km_per_h, s) in table {
        near(time_over(Length::from_m(100.0), Speed::from_km_per_h(km_per_h)).unwrap().as_s(), s, 1e-9);
        near(speed_over(Length::from_m(100.0), Duration::from_s(s)).unwrap().as_km_per_h(), km_per_h, 1e-9);
    }
}

// TAB-SPD, the standard extension table (memory), to 0.1 s.
#[test]
fn the_standard_table_of_seconds() {
    let table = [
        (2.0, [34.1, 68.2, 102.3]),
        (2.5, [27.3, 54.5, 81.8]),
        (3.0, [22.7, 45.5, 68.2]),
        (3.5, [19.5, 39.0, 58.4]),
        (4.0, [17.0, 34.1, 51.1]),
        (4.5, [15.2, 30.3, 45.5]),
        (5.0, [13.6, 27.3, 40.9]),
        (5.5, [12.4, 24.8, 37.2]),
        (6.0, [11.4, 22.7, 34.1]),
        (6.5, [10.5, 21.0, 31.5]),
        (7.0, [9.7, 19.5, 29.2]),
        (7.5, [9.1, 18.2, 27.3]),
        (8.0, [8.5, 17.0, 25.6]),
        (9.0, [7.6, 15.2, 22.7]),
        (10.0, [6.8, 13.6, 20.5]),
        (12.0, [5.7, 11.4, 17.0]),
        (15.0, [4.5, 9.1, 13.6]),
    ];
    for (speed, row) in table {
        for (ft, s) in [100.0, 200.0, 300.0].into_iter().zip(row) {
            near(seconds(ft, speed), s, 0.050_001);
        }
    }
}

// The same table in whole seconds as Ohio State, Kansas State, Illinois and Virginia Tech print it (memory).
#[test]
fn the_table_in_whole_seconds() {
    let table = [
        (3.0, [23.0, 45.0, 68.0]),
        (4.0, [17.0, 34.0, 51.0]),
        (5.0, [14.0, 27.0, 41.0]),
        (6.0, [11.0, 23.0, 34.0]),
        (7.0, [10.0, 19.0, 29.0]),
        (8.0, [9.0, 17.0, 26.0]),
        (9.0, [8.0, 15.0, 23.0]),
    ];
    for (speed, row) in table {
        for (ft, s) in [100.0, 200.0, 300.0].into_iter().zip(row) {
            near(seconds(ft, speed), s, 0.6); // 45.5 is printed 45, 19.5 as 19
        }
    }
}

fn ounce_course_ft(inches: f64) -> f64 {
    course_for_area(OUNCE_AREA, Length::from_in(inches)).unwrap().as_ft()
}

// OZ-01, Louisiana State Univ. AgCenter: 340 ft²; exact 340.3125.
#[test]
fn an_ounce_course_covers_340_square_feet() {
    near(OUNCE_AREA.as_ft2(), 340.3125, 1e-9);
}

// OZ-02, Mississippi State: 19 in → 214.934 ft.
#[test]
fn nineteen_inches() {
    near(ounce_course_ft(19.0), 214.934, 0.0005);
}

// OZ-03, Mississippi State: 10 oz → 10 GPA.
#[test]
fn ounces_are_gallons_per_acre() {
    for oz in [1.0, 10.0, 15.0, 33.5] {
        let rate = rate_over_area(Volume::from_us_fl_oz(oz), OUNCE_AREA).unwrap();
        near(rate.as_us_gal_per_ac(), oz, 1e-9);
    }
}

// OZ-04, Louisiana State: two nozzles on a 40 in row, 102 ft, 14 oz in all → 14 GPA (14.013 on 102 ft exactly).
#[test]
fn two_nozzles_on_one_row() {
    let area = Area::from_ft2(102.0 * 40.0 / 12.0);
    let rate = rate_over_area(Volume::from_us_fl_oz(14.0), area).unwrap().as_us_gal_per_ac();
    near(rate, 14.0, 0.5);
    near(rate, 14.012_867_6, 1e-6);
}

// OZ-05, Utah State 2014-03: booms of 9, 12, 15 ft → 37.8, 28.4, 22.7 ft.
#[test]
fn whole_booms() {
    for (ft, course) in [(9.0, 37.8), (12.0, 28.4), (15.0, 22.7)] {
        near(ounce_course_ft(12.0 * ft), course, 0.050_001);
    }
}

// OZ-06, Ohio State (Ozkan): 10, 15, 20, 30, 40 in → 408, 272, 204, 136, 102 ft.
#[test]
fn spacings() {
    for (inches, course) in [(10.0, 408.0), (15.0, 272.0), (20.0, 204.0), (30.0, 136.0), (40.0, 102.0)] {
        near(ounce_course_ft(inches), course, 0.5);
    }
}

// OZ-07, Larimer County: 18.5 × 18.5 ft is 0.57 % larger than 1/128 acre and treated as equal there.
#[test]
fn a_square_of_eighteen_and_a_half_feet_is_not_quite_right() {
    near(18.5 * 18.5 / OUNCE_AREA.as_ft2() - 1.0, 0.005_693_3, 1e-7);
}

// OZ-08, Univ. of Kentucky ENTFACT-805: 1/8 acre course of 5445/w ft; a pint on it is a gallon per acre.
#[test]
fn pints_to_gallons() {
    let eighth = Area::from_ac(0.125);
    near(course_for_area(eighth, Length::from_ft(1.0)).unwrap().as_ft(), 5445.0, 1e-6);
    near(rate_over_area(Volume::from_us_pt(7.0), eighth).unwrap().as_us_gal_per_ac(), 7.0, 1e-9);
}

// TAB-OZ, Louisiana State (most entries truncated, some rounded): allow 1 ft. Clemson continues from 34 in.
#[test]
fn the_table_of_ounce_courses() {
    let printed = [
        (10.0, 408.0),
        (12.0, 340.0),
        (14.0, 291.0),
        (16.0, 255.0),
        (18.0, 227.0),
        (20.0, 204.0),
        (22.0, 185.0),
        (24.0, 170.0),
        (26.0, 157.0),
        (28.0, 146.0),
        (30.0, 136.0),
        (32.0, 127.0),
        (34.0, 120.0),
        (36.0, 113.0),
        (38.0, 107.0),
        (40.0, 102.0),
    ];
    for (inches, ft) in printed {
        near(ounce_course_ft(inches), ft, 1.0);
        near(ounce_course_ft(inches), 340.3125 * 12.0 / inches, 1e-9);
    }
}

#[test]
fn bad_input_is_named() {
    let (l, t) = (Length::from_m(100.0), Duration::from_s(10.0));
    assert_eq!(speed_over(l, Duration::from_s(0.0)), Err(SpeedError::Time { got: Duration::from_s(0.0) }));
    assert_eq!(speed_over(Length::from_m(-1.0), t), Err(SpeedError::Distance { got: Length::from_m(-1.0) }));
    assert!(matches!(time_over(l, Speed::from_mph(0.0)), Err(SpeedError::Speed { .. })));
    assert!(matches!(course_for_area(Area::from_ac(0.0), l), Err(SpeedError::Area { .. })));
    assert!(matches!(rate_over_area(Volume::from_l(-1.0), OUNCE_AREA), Err(SpeedError::Volume { .. })));
    assert!(matches!(speed_over(l, Duration::from_s(f64::NAN)), Err(SpeedError::Time { .. })));
}

proptest! {
    #[test]
    fn speed_and_time_are_inverse(ft in 10.0..3000.0, s in 1.0..600.0) {
        let v = speed_over(Length::from_ft(ft), Duration::from_s(s)).unwrap();
        prop_assert!((time_over(Length::from_ft(ft), v).unwrap().as_s() / s - 1.0).abs() < 1e-12);
    }
}
