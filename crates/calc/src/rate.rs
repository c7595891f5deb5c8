//! Rate algebra: flow, speed, width and rate per area; product flows; nudges.
//!
//! Errors of keyed-in numbers do not live here, see [`crate::model`]; nor does the flow of one nozzle, [`crate::nozzle`].

use units::{
    Area, AreaRate, Duration, FlowRate, Length, Quantity, Share, Speed, Volume, VolumePerArea,
    VolumePerCarrier,
};

use crate::rig::ProductRate;

/// Why a rate cannot be computed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum RateError {
    /// A flow that is negative or not finite.
    Flow {
        /// What was given.
        got: FlowRate,
    },
    /// Standing still, going backwards or not finite.
    Speed {
        /// What was given.
        got: Speed,
    },
    /// A width that is zero, negative or not finite.
    Width {
        /// What was given.
        got: Length,
    },
    /// A rate per area that is negative, not finite, or zero where it is divided by.
    Rate {
        /// What was given.
        got: VolumePerArea,
    },
    /// A rate per carrier that is negative or not finite.
    PerCarrier {
        /// What was given.
        got: VolumePerCarrier,
    },
    /// A time that is negative or not finite.
    Duration {
        /// What was given.
        got: Duration,
    },
    /// A nudge step that is zero, negative, not finite or above 100 %.
    Step {
        /// What was given.
        got: Share,
    },
    /// So many presses down that nothing is left.
    NudgedAway {
        /// Presses, negative for down.
        presses: i32,
        /// Step of one press.
        step: Share,
    },
}

/// Volume applied per area of ground.
///
/// | symbol | meaning                                                | range       |
/// |--------|--------------------------------------------------------|-------------|
/// | `q`    | flow onto the width                                    | finite, ≥ 0 |
/// | `v`    | ground speed                                           | finite, > 0 |
/// | `w`    | width that the flow covers: boom, section or spacing   | finite, > 0 |
///
/// `R = q / (v · w)`. US: gal/ac = 495 · gal/min ÷ (mph · ft); metric: L/ha = 600 · L/min ÷ (km/h · m).
/// Steady driving on a straight line only.
///
/// # Errors
/// [`RateError::Flow`], [`RateError::Speed`], [`RateError::Width`].
///
/// # Source
/// Definition: volume is flow × time, ground is width × distance. No fitted constants.
///
/// # Example
/// By hand: 600 × 40 L/min ÷ (10 km/h × 20 m) = 120 L/ha.
/// ```
/// # use calc::rate::application_rate;
/// # use units::{FlowRate, Length, Speed};
/// let rate = application_rate(FlowRate::from_l_per_min(40.0), Speed::from_km_per_h(10.0), Length::from_m(20.0))?;
/// assert!((rate.as_l_per_ha() - 120.0).abs() < 1e-9);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn application_rate(flow: FlowRate, speed: Speed, width: Length) -> Result<VolumePerArea, RateError> {
    let q_m3_s = flow_m3_s(flow)?;
    let area_m2_s = moving_m_s(speed)? * width_m(width)?;
    Ok(VolumePerArea::from_si(q_m3_s / area_m2_s))
}

/// Flow that puts a rate on the ground: `q = R · v · w`.
///
/// | symbol | meaning                 | range       |
/// |--------|-------------------------|-------------|
/// | `R`    | rate per area           | finite, ≥ 0 |
/// | `v`    | speed; 0 gives no flow  | finite, ≥ 0 |
/// | `w`    | width                   | finite, > 0 |
///
/// US: gal/min = gal/ac · mph · ft ÷ 495; metric: L/min = L/ha · km/h · m ÷ 600.
///
/// # Errors
/// [`RateError::Rate`], [`RateError::Speed`], [`RateError::Width`].
///
/// # Source
/// Definition, as for [`application_rate`].
///
/// # Example
/// By hand: 20 gal/ac × 6 mph × 33 ft ÷ 495 = 8 gal/min.
/// ```
/// # use calc::rate::flow_for_rate;
/// # use units::{Length, Speed, VolumePerArea};
/// let q = flow_for_rate(VolumePerArea::from_us_gal_per_ac(20.0), Speed::from_mph(6.0), Length::from_ft(33.0))?;
/// assert!((q.as_us_gal_per_min() - 8.0).abs() < 1e-9);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn flow_for_rate(rate: VolumePerArea, speed: Speed, width: Length) -> Result<FlowRate, RateError> {
    Ok(FlowRate::from_m3_per_s(rate_m(rate)? * speed_m_s(speed)? * width_m(width)?))
}

/// Speed at which a flow gives a rate: `v = q / (R · w)`.
///
/// | symbol | meaning       | range       |
/// |--------|---------------|-------------|
/// | `q`    | flow          | finite, ≥ 0 |
/// | `R`    | rate per area | finite, > 0 |
/// | `w`    | width         | finite, > 0 |
///
/// # Errors
/// [`RateError::Flow`], [`RateError::Rate`], [`RateError::Width`].
///
/// # Source
/// Definition, as for [`application_rate`].
///
/// # Example
/// By hand: 600 × 40 L/min ÷ (120 L/ha × 20 m) = 10 km/h.
/// ```
/// # use calc::rate::speed_for_rate;
/// # use units::{FlowRate, Length, VolumePerArea};
/// let v = speed_for_rate(FlowRate::from_l_per_min(40.0), VolumePerArea::from_l_per_ha(120.0), Length::from_m(20.0))?;
/// assert!((v.as_km_per_h() - 10.0).abs() < 1e-9);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn speed_for_rate(flow: FlowRate, rate: VolumePerArea, width: Length) -> Result<Speed, RateError> {
    let r_m = rate_m(rate)?;
    if r_m == 0.0 {
        return Err(RateError::Rate { got: rate });
    }
    Ok(Speed::from_m_per_s(flow_m3_s(flow)? / (r_m * width_m(width)?)))
}

/// Ground covered per time: `v · w`.
///
/// | symbol | meaning | range       |
/// |--------|---------|-------------|
/// | `v`    | speed   | finite, ≥ 0 |
/// | `w`    | width   | finite, > 0 |
///
/// # Errors
/// [`RateError::Speed`], [`RateError::Width`].
///
/// # Source
/// Univ. of Florida IFAS (Langeland), Aquatic Pest Control Applicator Training Manual: ac/min = mph × ft ÷ 495.
///
/// # Example
/// By hand: 10 km/h × 20 m ÷ 10 = 20 ha/h.
/// ```
/// # use calc::rate::area_rate;
/// # use units::{Length, Speed};
/// let a = area_rate(Speed::from_km_per_h(10.0), Length::from_m(20.0))?;
/// assert!((a.as_ha_per_h() - 20.0).abs() < 1e-9);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn area_rate(speed: Speed, width: Length) -> Result<AreaRate, RateError> {
    Ok(AreaRate::from_m2_per_s(speed_m_s(speed)? * width_m(width)?))
}

/// Ground covered in a time at a steady area rate.
///
/// Range: time finite, ≥ 0. `A = (v · w) · t`.
///
/// # Errors
/// [`RateError::Duration`].
///
/// # Example
/// By hand: 20 ha/h for half an hour is 10 ha.
/// ```
/// # use calc::rate::area_covered;
/// # use units::{AreaRate, Duration};
/// let a = area_covered(AreaRate::from_ha_per_h(20.0), Duration::from_min(30.0))?;
/// assert!((a.as_ha() - 10.0).abs() < 1e-12);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn area_covered(area_rate: AreaRate, duration: Duration) -> Result<Area, RateError> {
    Ok(Area::from_m2(area_rate.as_m2_per_s() * duration_s(duration)?))
}

/// Volume that a steady flow gives in a time.
///
/// Ranges: flow finite, ≥ 0; time finite, ≥ 0. `V = q · t`.
///
/// # Errors
/// [`RateError::Flow`], [`RateError::Duration`].
///
/// # Example
/// By hand: 8 gal/min for 90 s is 12 gal.
/// ```
/// # use calc::rate::volume_passed;
/// # use units::{Duration, FlowRate};
/// let v = volume_passed(FlowRate::from_us_gal_per_min(8.0), Duration::from_s(90.0))?;
/// assert!((v.as_us_gal() - 12.0).abs() < 1e-12);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn volume_passed(flow: FlowRate, duration: Duration) -> Result<Volume, RateError> {
    Ok(Volume::from_m3(flow_m3_s(flow)? * duration_s(duration)?))
}

/// Flow that an injection pump must give.
///
/// | symbol | meaning                                             | range       |
/// |--------|-----------------------------------------------------|-------------|
/// | `R_p`  | product rate per area                               | finite, ≥ 0 |
/// | `s`    | or product rate per carrier, added **to** it        | finite, ≥ 0 |
/// | `q`    | carrier flow; asked only for a rate per carrier     | finite, ≥ 0 |
/// | `v`    | speed; asked only for a rate per area               | finite, ≥ 0 |
/// | `w`    | width; asked only for a rate per area               | finite, > 0 |
///
/// `q_p = R_p · v · w`, or `q_p = s · q`.
///
/// # Errors
/// [`RateError`] names the value outside its range.
///
/// # Source
/// Univ. of Florida IFAS (Langeland): the same form as for the carrier; oz/min = oz/ac × mph × ft ÷ 495.
///
/// # Example
/// By hand: 32 fl oz/ac × 8 mph × 24 ft ÷ 495 = 12.4121 fl oz/min.
/// ```
/// # use calc::rate::product_flow;
/// # use calc::rig::ProductRate;
/// # use units::{FlowRate, Length, Speed, VolumePerArea};
/// let rate = ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(32.0));
/// let q = product_flow(rate, FlowRate::from_l_per_min(0.0), Speed::from_mph(8.0), Length::from_ft(24.0))?;
/// assert!((q.as_us_fl_oz_per_min() - 12.412_121).abs() < 1e-6);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn product_flow(
    rate: ProductRate,
    carrier_flow: FlowRate,
    speed: Speed,
    width: Length,
) -> Result<FlowRate, RateError> {
    match rate {
        ProductRate::PerArea(per_area) => flow_for_rate(per_area, speed, width),
        ProductRate::PerCarrier(per_carrier) => {
            let q_m3_s = flow_m3_s(carrier_flow)?;
            Ok(FlowRate::from_m3_per_s(per_carrier_ratio(per_carrier)? * q_m3_s))
        }
    }
}

/// A product rate as volume per area, given the carrier rate it goes with.
///
/// Ranges: all rates finite, ≥ 0. Per area: unchanged. Per carrier: `R_p = s · R`.
///
/// # Errors
/// [`RateError::Rate`], [`RateError::PerCarrier`].
///
/// # Source
/// Definition of a rate per carrier as parts added to the carrier.
///
/// # Example
/// By hand: 0.5 % v/v of 20 gal/ac is 0.1 gal/ac = 12.8 fl oz/ac.
/// ```
/// # use calc::rate::product_rate_per_area;
/// # use calc::rig::ProductRate;
/// # use units::{VolumePerArea, VolumePerCarrier};
/// let rate = ProductRate::PerCarrier(VolumePerCarrier::from_percent(0.5));
/// let per_area = product_rate_per_area(rate, VolumePerArea::from_us_gal_per_ac(20.0))?;
/// assert!((per_area.as_us_fl_oz_per_ac() - 12.8).abs() < 1e-9);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn product_rate_per_area(
    rate: ProductRate,
    carrier_rate: VolumePerArea,
) -> Result<VolumePerArea, RateError> {
    match rate {
        ProductRate::PerArea(per_area) => rate_m(per_area).map(|_| per_area),
        ProductRate::PerCarrier(per_carrier) => {
            let r_m = rate_m(carrier_rate)?;
            Ok(VolumePerArea::from_si(per_carrier_ratio(per_carrier)? * r_m))
        }
    }
}

/// Share of product in what leaves the nozzles: `R_p / (R + R_p)`.
///
/// Ranges: both rates finite, ≥ 0, not both zero.
///
/// # Errors
/// [`RateError::Rate`].
///
/// # Source
/// Definition. Univ. of Maryland FS-1121 reads "1:50" as one part in 50 in all, which is this share, not parts added.
///
/// # Example
/// By hand: 1 part to 49 parts of carrier is 1/50 = 2 %.
/// ```
/// # use calc::rate::concentration;
/// # use units::VolumePerArea;
/// let share = concentration(VolumePerArea::from_l_per_ha(1.0), VolumePerArea::from_l_per_ha(49.0))?;
/// assert!((share.as_percent() - 2.0).abs() < 1e-12);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn concentration(product: VolumePerArea, carrier: VolumePerArea) -> Result<Share, RateError> {
    let (p_m, c_m) = (rate_m(product)?, rate_m(carrier)?);
    if p_m + c_m == 0.0 {
        return Err(RateError::Rate { got: carrier });
    }
    Ok(Share::from_fraction(p_m / (p_m + c_m)))
}

/// Factor on a product rate after presses of the nudge: `1 + k · step`.
///
/// | symbol | meaning                        | range                        |
/// |--------|--------------------------------|------------------------------|
/// | `k`    | presses, negative for down     | so that the factor stays > 0 |
/// | `step` | step of one press              | above 0, up to 1             |
///
/// Every press counts from the rate as set, so two presses of 10 % are 20 %, not 21 %.
///
/// # Errors
/// [`RateError::Step`], [`RateError::NudgedAway`].
///
/// # Source
/// Common practice, no source: 64 oz/ac nudged once by 10 % is 70.4 up and 57.6 down.
///
/// # Example
/// By hand: 64 × (1 + 0.1) = 70.4.
/// ```
/// # use calc::rate::nudge_factor;
/// # use units::Share;
/// assert!((64.0 * nudge_factor(Share::from_percent(10.0), 1)? - 70.4).abs() < 1e-9);
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn nudge_factor(step: Share, presses: i32) -> Result<f64, RateError> {
    let part = step.as_fraction();
    if !(part.is_finite() && 0.0 < part && part <= 1.0) {
        return Err(RateError::Step { got: step });
    }
    let factor = 1.0 + f64::from(presses) * part;
    if factor > 0.0 { Ok(factor) } else { Err(RateError::NudgedAway { presses, step }) }
}

/// A product rate after presses of the nudge. See [`nudge_factor`].
///
/// # Errors
/// [`RateError::Step`], [`RateError::NudgedAway`], and the rate's own errors.
///
/// # Example
/// Common practice, no source: 64 oz/ac one press of 10 % down is 57.6.
/// ```
/// # use calc::rate::nudged_rate;
/// # use calc::rig::ProductRate;
/// # use units::{Share, VolumePerArea};
/// let rate = ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(64.0));
/// let down = nudged_rate(rate, Share::from_percent(10.0), -1)?;
/// assert!(matches!(down, ProductRate::PerArea(r) if (r.as_us_fl_oz_per_ac() - 57.6).abs() < 1e-9));
/// # Ok::<(), calc::rate::RateError>(())
/// ```
pub fn nudged_rate(rate: ProductRate, step: Share, presses: i32) -> Result<ProductRate, RateError> {
    let factor = nudge_factor(step, presses)?;
    match rate {
        ProductRate::PerArea(per_area) => {
            let r_m = rate_m(per_area)?;
            Ok(ProductRate::PerArea(VolumePerArea::from_si(factor * r_m)))
        }
        ProductRate::PerCarrier(per_carrier) => {
            let ratio = per_carrier_ratio(per_carrier)?;
            Ok(ProductRate::PerCarrier(VolumePerCarrier::from_si(factor * ratio)))
        }
    }
}

fn flow_m3_s(flow: FlowRate) -> Result<f64, RateError> {
    let q_m3_s = flow.as_m3_per_s();
    if q_m3_s.is_finite() && q_m3_s >= 0.0 { Ok(q_m3_s) } else { Err(RateError::Flow { got: flow }) }
}

fn speed_m_s(speed: Speed) -> Result<f64, RateError> {
    let v_m_s = speed.as_m_per_s();
    if v_m_s.is_finite() && v_m_s >= 0.0 { Ok(v_m_s) } else { Err(RateError::Speed { got: speed }) }
}

fn moving_m_s(speed: Speed) -> Result<f64, RateError> {
    let v_m_s = speed_m_s(speed)?;
    if v_m_s > 0.0 { Ok(v_m_s) } else { Err(RateError::Speed { got: speed }) }
}

fn width_m(width: Length) -> Result<f64, RateError> {
    let w_m = width.as_m();
    if w_m.is_finite() && w_m > 0.0 { Ok(w_m) } else { Err(RateError::Width { got: width }) }
}

fn rate_m(rate: VolumePerArea) -> Result<f64, RateError> {
    let r_m = rate.as_si();
    if r_m.is_finite() && r_m >= 0.0 { Ok(r_m) } else { Err(RateError::Rate { got: rate }) }
}

fn per_carrier_ratio(rate: VolumePerCarrier) -> Result<f64, RateError> {
    let ratio = rate.as_si();
    if ratio.is_finite() && ratio >= 0.0 { Ok(ratio) } else { Err(RateError::PerCarrier { got: rate }) }
}

fn duration_s(duration: Duration) -> Result<f64, RateError> {
    let t_s = duration.as_s();
    if t_s.is_finite() && t_s >= 0.0 { Ok(t_s) } else { Err(RateError::Duration { got: duration }) }
}
