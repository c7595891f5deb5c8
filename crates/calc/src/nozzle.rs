//! One nozzle: flow against pressure, heavier carriers, nominal sizes, wear.
//!
//! Droplets do not live here: their classes need the nozzle's own published table. A catch of many nozzles is
//! [`crate::catch_trial`].

use units::{FlowRate, Pressure, Share};

/// Why a nozzle formula cannot be computed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NozzleError {
    /// The nominal flow is zero, negative or not finite.
    RatedFlow {
        /// What was given.
        got: FlowRate,
    },
    /// The pressure of the nominal flow is zero, negative or not finite.
    RatedPressure {
        /// What was given.
        got: Pressure,
    },
    /// A flow that is negative or not finite.
    Flow {
        /// What was given.
        got: FlowRate,
    },
    /// A pressure that is negative or not finite.
    Pressure {
        /// What was given.
        got: Pressure,
    },
    /// A specific gravity that is zero, negative or not finite.
    SpecificGravity {
        /// What was given.
        got: f64,
    },
}

/// Flow of one nozzle at a pressure.
///
/// | symbol | meaning                                       | range       |
/// |--------|-----------------------------------------------|-------------|
/// | `q₀`   | nominal flow with water at `P₀`               | finite, > 0 |
/// | `P₀`   | pressure of the nominal flow                  | finite, > 0 |
/// | `P`    | pressure at the nozzle                        | finite, ≥ 0 |
/// | `SG`   | carrier density over that of water            | finite, > 0 |
///
/// `q = q₀ · √(P / P₀) / √SG`. For plain hydraulic nozzles: not for flow regulators, and not for thick suspensions.
///
/// # Errors
/// [`NozzleError`] names the value outside its range.
///
/// # Source
/// Orifice law, exponent 0.5; the published table of a 9/64 in sprinkler nozzle from 35 to 55 psi follows it within 1 %.
/// Density: Univ. of Georgia, "Spraying Solutions Other Than Water".
///
/// # Example
/// By hand: 0.4 L/min at 3 bar gives half of it, 0.2 L/min, at a quarter of the pressure.
/// ```
/// # use calc::nozzle::flow_at_pressure;
/// # use units::{FlowRate, Pressure};
/// let q = flow_at_pressure(FlowRate::from_l_per_min(0.4), Pressure::from_bar(3.0), Pressure::from_bar(0.75), 1.0)?;
/// assert!((q.as_l_per_min() - 0.2).abs() < 1e-12);
/// # Ok::<(), calc::nozzle::NozzleError>(())
/// ```
pub fn flow_at_pressure(
    rated_flow: FlowRate,
    rated_pressure: Pressure,
    pressure: Pressure,
    specific_gravity: f64,
) -> Result<FlowRate, NozzleError> {
    check_rating(rated_flow, rated_pressure)?;
    let factor = density_factor(specific_gravity)?;
    let p_pa = pressure.as_pa();
    if !(p_pa.is_finite() && p_pa >= 0.0) {
        return Err(NozzleError::Pressure { got: pressure });
    }
    let q_m3_s = rated_flow.as_m3_per_s() * (p_pa / rated_pressure.as_pa()).sqrt() / factor;
    Ok(FlowRate::from_m3_per_s(q_m3_s))
}

/// Pressure at which one nozzle gives a flow. The inverse of [`flow_at_pressure`].
///
/// | symbol | meaning                            | range       |
/// |--------|------------------------------------|-------------|
/// | `q₀`   | nominal flow with water at `P₀`    | finite, > 0 |
/// | `P₀`   | pressure of the nominal flow       | finite, > 0 |
/// | `q`    | wanted flow of the carrier         | finite, ≥ 0 |
/// | `SG`   | carrier density over that of water | finite, > 0 |
///
/// `P = P₀ · SG · (q / q₀)²`. Limits as in [`flow_at_pressure`].
///
/// # Errors
/// [`NozzleError`] names the value outside its range.
///
/// # Source
/// Orifice law; Iowa State Univ. news item 844 prints 63 psi (exact 62.5) for 25 % more flow than at 40 psi.
///
/// # Example
/// By hand: 40 psi × 1.25² = 62.5 psi.
/// ```
/// # use calc::nozzle::pressure_for_flow;
/// # use units::{FlowRate, Pressure};
/// let p = pressure_for_flow(FlowRate::from_us_gal_per_min(0.4), Pressure::from_psi(40.0), FlowRate::from_us_gal_per_min(0.5), 1.0)?;
/// assert!((p.as_psi() - 62.5).abs() < 1e-9);
/// # Ok::<(), calc::nozzle::NozzleError>(())
/// ```
pub fn pressure_for_flow(
    rated_flow: FlowRate,
    rated_pressure: Pressure,
    flow: FlowRate,
    specific_gravity: f64,
) -> Result<Pressure, NozzleError> {
    check_rating(rated_flow, rated_pressure)?;
    density_factor(specific_gravity)?;
    let q_m3_s = flow.as_m3_per_s();
    if !(q_m3_s.is_finite() && q_m3_s >= 0.0) {
        return Err(NozzleError::Flow { got: flow });
    }
    let of_rated = q_m3_s / rated_flow.as_m3_per_s();
    Ok(Pressure::from_pa(rated_pressure.as_pa() * specific_gravity * of_rated * of_rated))
}

/// Factor between water and a carrier of another density, `√SG`.
///
/// | symbol | meaning                            | range       |
/// |--------|------------------------------------|-------------|
/// | `SG`   | carrier density over that of water | finite, > 0 |
///
/// Direction: [`as_water_flow`] multiplies by it (what to look up in a water chart), [`as_carrier_flow`] divides.
///
/// # Errors
/// [`NozzleError::SpecificGravity`].
///
/// # Source
/// Univ. of Nebraska CropWatch 2016: 28 % nitrogen, 10.65 lb/gal, SG 1.28, factor 1.13.
///
/// # Example
/// By hand: √1.44 = 1.2 (12 lb/gal in the same table).
/// ```
/// # use calc::nozzle::density_factor;
/// assert!((density_factor(1.44)? - 1.2).abs() < 1e-12);
/// # Ok::<(), calc::nozzle::NozzleError>(())
/// ```
pub fn density_factor(specific_gravity: f64) -> Result<f64, NozzleError> {
    if specific_gravity.is_finite() && specific_gravity > 0.0 {
        Ok(specific_gravity.sqrt())
    } else {
        Err(NozzleError::SpecificGravity { got: specific_gravity })
    }
}

/// The water flow to look up in a nozzle chart when this carrier flow is wanted: `q_water = q · √SG`.
///
/// Ranges: flow finite, ≥ 0; specific gravity finite, > 0.
///
/// # Errors
/// [`NozzleError::Flow`], [`NozzleError::SpecificGravity`].
///
/// # Source
/// Univ. of Georgia, "Spraying Solutions Other Than Water": multiply the wanted solution rate by the factor.
///
/// # Example
/// Nebraska: 20 gal/ac of 28 % nitrogen needs nozzles for 20 × 1.13 = 22.6 gal/ac of water; here 1.44 and 0.5 → 0.6.
/// ```
/// # use calc::nozzle::as_water_flow;
/// # use units::FlowRate;
/// let water = as_water_flow(FlowRate::from_us_gal_per_min(0.5), 1.44)?;
/// assert!((water.as_us_gal_per_min() - 0.6).abs() < 1e-12);
/// # Ok::<(), calc::nozzle::NozzleError>(())
/// ```
pub fn as_water_flow(carrier: FlowRate, specific_gravity: f64) -> Result<FlowRate, NozzleError> {
    let factor = density_factor(specific_gravity)?;
    Ok(FlowRate::from_m3_per_s(checked_flow(carrier)? * factor))
}

/// The carrier flow that a nozzle of this water flow gives at the same pressure: `q = q_water / √SG`.
///
/// Ranges: flow finite, ≥ 0; specific gravity finite, > 0.
///
/// # Errors
/// [`NozzleError::Flow`], [`NozzleError::SpecificGravity`].
///
/// # Source
/// Univ. of Georgia, "Spraying Solutions Other Than Water": divide a water chart's flow by the factor.
///
/// # Example
/// By hand: 0.6 ÷ √1.44 = 0.5.
/// ```
/// # use calc::nozzle::as_carrier_flow;
/// # use units::FlowRate;
/// let carrier = as_carrier_flow(FlowRate::from_us_gal_per_min(0.6), 1.44)?;
/// assert!((carrier.as_us_gal_per_min() - 0.5).abs() < 1e-12);
/// # Ok::<(), calc::nozzle::NozzleError>(())
/// ```
pub fn as_carrier_flow(water: FlowRate, specific_gravity: f64) -> Result<FlowRate, NozzleError> {
    let factor = density_factor(specific_gravity)?;
    Ok(FlowRate::from_m3_per_s(checked_flow(water)? / factor))
}

/// Wear: how much more (or, when negative, less) a nozzle gives than its nominal flow at the same pressure.
///
/// | symbol | meaning                                 | range       |
/// |--------|-----------------------------------------|-------------|
/// | `q`    | measured flow                           | finite, ≥ 0 |
/// | `q₀`   | nominal flow at the measured pressure   | finite, > 0 |
///
/// `q / q₀ − 1`.
///
/// # Errors
/// [`NozzleError::Flow`], [`NozzleError::RatedFlow`].
///
/// # Source
/// Definition; ISO 16122-2 (from memory) allows ±10 % of nominal.
///
/// # Example
/// By hand: 0.44 over 0.40 is 10 % more.
/// ```
/// # use calc::nozzle::wear;
/// # use units::FlowRate;
/// let more = wear(FlowRate::from_us_gal_per_min(0.44), FlowRate::from_us_gal_per_min(0.40))?;
/// assert!((more.as_percent() - 10.0).abs() < 1e-9);
/// # Ok::<(), calc::nozzle::NozzleError>(())
/// ```
pub fn wear(measured: FlowRate, nominal: FlowRate) -> Result<Share, NozzleError> {
    let q_m3_s = checked_flow(measured)?;
    let nominal_m3_s = nominal.as_m3_per_s();
    if !(nominal_m3_s.is_finite() && nominal_m3_s > 0.0) {
        return Err(NozzleError::RatedFlow { got: nominal });
    }
    Ok(Share::from_fraction(q_m3_s / nominal_m3_s - 1.0))
}

/// A nominal nozzle size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NozzleSize {
    /// Number on the nozzle, e.g. `"03"`.
    pub number: &'static str,
    /// Colour of the nozzle.
    pub colour: Colour,
    /// Nominal flow with water at 3 bar, in L/min.
    pub l_per_min_at_3_bar: f64,
}

/// The colours of ISO 10625.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs)] // each variant is the colour that it names
pub enum Colour {
    Pink,
    Orange,
    Green,
    Yellow,
    Lilac,
    Blue,
    Red,
    Brown,
    Grey,
    White,
    LightBlue,
    LightGreen,
    Black,
}

impl NozzleSize {
    /// Nominal flow with water at [`RATED_PRESSURE`].
    ///
    /// ```
    /// // ISO 10625 (from memory): 03 is blue, 1.2 L/min at 3 bar.
    /// let size = calc::nozzle::size_by_number("03").ok_or("unknown")?;
    /// assert!((size.flow().as_l_per_min() - 1.2).abs() < 1e-12);
    /// # Ok::<(), &str>(())
    /// ```
    #[must_use]
    pub const fn flow(&self) -> FlowRate {
        FlowRate::from_l_per_min(self.l_per_min_at_3_bar)
    }
}

/// Pressure of the nominal flows in [`SIZES`], 3 bar.
pub const RATED_PRESSURE: Pressure = Pressure::from_bar(3.0);

const fn size(number: &'static str, colour: Colour, l_per_min_at_3_bar: f64) -> NozzleSize {
    NozzleSize { number, colour, l_per_min_at_3_bar }
}

/// Nominal sizes after ISO 10625, smallest first. From memory: check against the standard before relying on a colour.
///
/// Number ÷ 10 is about the flow in US gal/min at 40 psi; the round numbers at 3 bar are nominal (0.3 US gal/min at
/// 40 psi is 1.184 L/min at 3 bar, the table says 1.2).
pub const SIZES: &[NozzleSize] = &[
    size("0075", Colour::Pink, 0.3),
    size("01", Colour::Orange, 0.4),
    size("015", Colour::Green, 0.6),
    size("02", Colour::Yellow, 0.8),
    size("025", Colour::Lilac, 1.0),
    size("03", Colour::Blue, 1.2),
    size("04", Colour::Red, 1.6),
    size("05", Colour::Brown, 2.0),
    size("06", Colour::Grey, 2.4),
    size("08", Colour::White, 3.2),
    size("10", Colour::LightBlue, 4.0),
    size("15", Colour::LightGreen, 6.0),
    size("20", Colour::Black, 8.0),
];

/// The size with this number: `"03"`, also with blanks around it. `None` where the table has no such number.
///
/// ```
/// // ISO 10625 (from memory): there is no size 07.
/// assert!(calc::nozzle::size_by_number("07").is_none());
/// assert_eq!(calc::nozzle::size_by_number(" 015 ").map(|s| s.l_per_min_at_3_bar), Some(0.6));
/// ```
#[must_use]
pub fn size_by_number(number: &str) -> Option<&'static NozzleSize> {
    SIZES.iter().find(|size| size.number == number.trim())
}

fn check_rating(flow: FlowRate, pressure: Pressure) -> Result<(), NozzleError> {
    let (q_m3_s, p_pa) = (flow.as_m3_per_s(), pressure.as_pa());
    if !(q_m3_s.is_finite() && q_m3_s > 0.0) {
        return Err(NozzleError::RatedFlow { got: flow });
    }
    if !(p_pa.is_finite() && p_pa > 0.0) {
        return Err(NozzleError::RatedPressure { got: pressure });
    }
    Ok(())
}

fn checked_flow(flow: FlowRate) -> Result<f64, NozzleError> {
    let q_m3_s = flow.as_m3_per_s();
    if q_m3_s.is_finite() && q_m3_s >= 0.0 { Ok(q_m3_s) } else { Err(NozzleError::Flow { got: flow }) }
}
