//! Ground speed from a course and a stopwatch, and courses sized for an area.
//!
//! Errors of the console's speed are [`crate::course_trial`]'s.

use units::{Area, Duration, Length, Quantity, Speed, Volume, VolumePerArea};

/// Why a speed or course cannot be computed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum SpeedError {
    /// A distance or width that is zero, negative or not finite.
    Distance {
        /// What was given.
        got: Length,
    },
    /// A time that is zero, negative or not finite.
    Time {
        /// What was given.
        got: Duration,
    },
    /// A speed that is zero, negative or not finite.
    Speed {
        /// What was given.
        got: Speed,
    },
    /// An area that is zero, negative or not finite.
    Area {
        /// What was given.
        got: Area,
    },
    /// A volume that is negative or not finite.
    Volume {
        /// What was given.
        got: Volume,
    },
}

/// Mean speed over a course.
///
/// Ranges: distance and time finite, > 0. `v = L / t`. US: mph = 0.681818 · ft / s (60/88 exactly);
/// metric: km/h = 360 / s on 100 m.
///
/// # Errors
/// [`SpeedError::Distance`], [`SpeedError::Time`].
///
/// # Source
/// Univ. of Florida IFAS Extension 2017: mph = D × 60 / (t × 88). A page with 80 for 88 is misprinted.
///
/// # Example
/// By hand: 88 ft/min is 1 mph, so 264 ft in 30 s are 6 mph.
/// ```
/// # use calc::speed::speed_over;
/// # use units::{Duration, Length};
/// let v = speed_over(Length::from_ft(264.0), Duration::from_s(30.0))?;
/// assert!((v.as_mph() - 6.0).abs() < 1e-12);
/// # Ok::<(), calc::speed::SpeedError>(())
/// ```
pub fn speed_over(distance: Length, time: Duration) -> Result<Speed, SpeedError> {
    let (l_m, t_s) = (positive_m(distance)?, time.as_s());
    if !(t_s.is_finite() && t_s > 0.0) {
        return Err(SpeedError::Time { got: time });
    }
    Ok(Speed::from_m_per_s(l_m / t_s))
}

/// Time that a course takes at a speed: `t = L / v`.
///
/// Ranges: distance and speed finite, > 0.
///
/// # Errors
/// [`SpeedError::Distance`], [`SpeedError::Speed`].
///
/// # Source
/// The standard extension table: 200 ft at 4 mph take 34.1 s.
///
/// # Example
/// By hand: 100 m at 10 km/h: 360/10 = 36 s.
/// ```
/// # use calc::speed::time_over;
/// # use units::{Length, Speed};
/// let t = time_over(Length::from_m(100.0), Speed::from_km_per_h(10.0))?;
/// assert!((t.as_s() - 36.0).abs() < 1e-12);
/// # Ok::<(), calc::speed::SpeedError>(())
/// ```
pub fn time_over(distance: Length, speed: Speed) -> Result<Duration, SpeedError> {
    let (l_m, v_m_s) = (positive_m(distance)?, speed.as_m_per_s());
    if !(v_m_s.is_finite() && v_m_s > 0.0) {
        return Err(SpeedError::Speed { got: speed });
    }
    Ok(Duration::from_s(l_m / v_m_s))
}

/// Area on which fluid ounces caught read as gallons per acre: 1/128 acre, 340.3125 ft².
///
/// ```
/// // By hand: 43 560 ÷ 128 = 340.3125 ft².
/// assert!((calc::speed::OUNCE_AREA.as_ft2() - 340.3125).abs() < 1e-9);
/// ```
pub const OUNCE_AREA: Area = Area::from_ac(1.0 / 128.0);

/// Length of a course on which a width covers an area: `L = A / w`.
///
/// Ranges: area and width finite, > 0.
///
/// # Errors
/// [`SpeedError::Area`], [`SpeedError::Distance`].
///
/// # Source
/// Louisiana State Univ. AgCenter, "Ounces Equal Gallons": 204 ft for 20 in (340.3125 × 12 / 20 = 204.2).
///
/// # Example
/// By hand: 340.3125 ft² ÷ (20/12) ft = 204.1875 ft.
/// ```
/// # use calc::speed::{OUNCE_AREA, course_for_area};
/// # use units::Length;
/// let course = course_for_area(OUNCE_AREA, Length::from_in(20.0))?;
/// assert!((course.as_ft() - 204.1875).abs() < 1e-9);
/// # Ok::<(), calc::speed::SpeedError>(())
/// ```
pub fn course_for_area(area: Area, width: Length) -> Result<Length, SpeedError> {
    Ok(Length::from_m(positive_m2(area)? / positive_m(width)?))
}

/// Rate from a volume caught over an area: `R = V / A`.
///
/// Ranges: volume finite, ≥ 0; area finite, > 0.
///
/// # Errors
/// [`SpeedError::Volume`], [`SpeedError::Area`].
///
/// # Source
/// Definition; on [`OUNCE_AREA`] one fluid ounce is one gallon per acre.
///
/// # Example
/// By hand: 15 fl oz on 1/128 acre is 15/128 gal × 128 per acre = 15 gal/ac.
/// ```
/// # use calc::speed::{OUNCE_AREA, rate_over_area};
/// # use units::Volume;
/// let rate = rate_over_area(Volume::from_us_fl_oz(15.0), OUNCE_AREA)?;
/// assert!((rate.as_us_gal_per_ac() - 15.0).abs() < 1e-9);
/// # Ok::<(), calc::speed::SpeedError>(())
/// ```
pub fn rate_over_area(volume: Volume, area: Area) -> Result<VolumePerArea, SpeedError> {
    let v_m3 = volume.as_m3();
    if !(v_m3.is_finite() && v_m3 >= 0.0) {
        return Err(SpeedError::Volume { got: volume });
    }
    Ok(VolumePerArea::from_si(v_m3 / positive_m2(area)?))
}

fn positive_m(length: Length) -> Result<f64, SpeedError> {
    let l_m = length.as_m();
    if l_m.is_finite() && l_m > 0.0 { Ok(l_m) } else { Err(SpeedError::Distance { got: length }) }
}

fn positive_m2(area: Area) -> Result<f64, SpeedError> {
    let a_m2 = area.as_m2();
    if a_m2.is_finite() && a_m2 > 0.0 { Ok(a_m2) } else { Err(SpeedError::Area { got: area }) }
}
