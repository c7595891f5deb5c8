//! Loads: how far a tank goes and what goes into it.
//!
//! Mixing by weight or by active ingredient does not live here: an injected product is metered by volume.

use units::{Area, Quantity, Volume, VolumePerArea};

use crate::rate::{RateError, product_rate_per_area};
use crate::rig::ProductRate;

/// Why a load cannot be computed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum LoadError {
    /// A volume that is negative or not finite, or zero where it is divided by.
    Volume {
        /// What was given.
        got: Volume,
    },
    /// An area that is negative or not finite.
    Area {
        /// What was given.
        got: Area,
    },
    /// A carrier rate that is zero, negative or not finite.
    CarrierRate {
        /// What was given.
        got: VolumePerArea,
    },
    /// A product rate that makes no sense.
    ProductRate(RateError),
}

/// Area that a volume of carrier covers: `A = V / R`.
///
/// Ranges: volume finite, ≥ 0; rate finite, > 0.
///
/// # Errors
/// [`LoadError::Volume`], [`LoadError::CarrierRate`].
///
/// # Source
/// Definition. Montana State MT 2000-14 prints 16.6 ac for 500 gal at 30 gal/ac (16.67, truncated).
///
/// # Example
/// By hand: 500 gal ÷ 20 gal/ac = 25 ac.
/// ```
/// # use calc::load::area_of_load;
/// # use units::{Volume, VolumePerArea};
/// let area = area_of_load(Volume::from_us_gal(500.0), VolumePerArea::from_us_gal_per_ac(20.0))?;
/// assert!((area.as_ac() - 25.0).abs() < 1e-9);
/// # Ok::<(), calc::load::LoadError>(())
/// ```
pub fn area_of_load(load: Volume, carrier_rate: VolumePerArea) -> Result<Area, LoadError> {
    Ok(Area::from_m2(volume_m3(load)? / carrier_m(carrier_rate)?))
}

/// Carrier that an area takes: `V = R · A`.
///
/// Ranges: area finite, ≥ 0; rate finite, > 0.
///
/// # Errors
/// [`LoadError::Area`], [`LoadError::CarrierRate`].
///
/// # Source
/// Definition. Alberta Agriculture, Agdex 606-1: 30 ac at 40 L/ac take 1200 L.
///
/// # Example
/// By hand: 20 ha at 200 L/ha take 4000 L, four loads of 1000 L.
/// ```
/// # use calc::load::volume_for_area;
/// # use units::{Area, VolumePerArea};
/// let volume = volume_for_area(Area::from_ha(20.0), VolumePerArea::from_l_per_ha(200.0))?;
/// assert!((volume.as_l() - 4000.0).abs() < 1e-9);
/// # Ok::<(), calc::load::LoadError>(())
/// ```
pub fn volume_for_area(area: Area, carrier_rate: VolumePerArea) -> Result<Volume, LoadError> {
    let a_m2 = area.as_m2();
    if !(a_m2.is_finite() && a_m2 >= 0.0) {
        return Err(LoadError::Area { got: area });
    }
    Ok(Volume::from_m3(a_m2 * carrier_m(carrier_rate)?))
}

/// Product that goes with a load of carrier: `V_p = R_p · V / R`, or `s · V` for a rate per carrier.
///
/// Ranges: load finite, ≥ 0; carrier rate finite, > 0; product rate finite, ≥ 0.
///
/// # Errors
/// [`LoadError`].
///
/// # Source
/// Definition. Univ. of Missouri (W. Casady): 500 gal at 20 gal/ac with 3 pt/ac take 75 pt.
///
/// # Example
/// By hand: 25 ac × 3 pt/ac = 75 pt.
/// ```
/// # use calc::load::product_for_load;
/// # use calc::rig::ProductRate;
/// # use units::{Volume, VolumePerArea};
/// let rate = ProductRate::PerArea(VolumePerArea::from_us_pt_per_ac(3.0));
/// let product = product_for_load(rate, Volume::from_us_gal(500.0), VolumePerArea::from_us_gal_per_ac(20.0))?;
/// assert!((product.as_us_pt() - 75.0).abs() < 1e-9);
/// # Ok::<(), calc::load::LoadError>(())
/// ```
pub fn product_for_load(
    rate: ProductRate,
    load: Volume,
    carrier_rate: VolumePerArea,
) -> Result<Volume, LoadError> {
    let area = area_of_load(load, carrier_rate)?;
    let per_area = product_rate_per_area(rate, carrier_rate).map_err(LoadError::ProductRate)?;
    Ok(Volume::from_m3(per_area.as_si() * area.as_m2()))
}

fn volume_m3(volume: Volume) -> Result<f64, LoadError> {
    let v_m3 = volume.as_m3();
    if v_m3.is_finite() && v_m3 >= 0.0 { Ok(v_m3) } else { Err(LoadError::Volume { got: volume }) }
}

fn carrier_m(rate: VolumePerArea) -> Result<f64, LoadError> {
    let r_m = rate.as_si();
    if r_m.is_finite() && r_m > 0.0 { Ok(r_m) } else { Err(LoadError::CarrierRate { got: rate }) }
}
