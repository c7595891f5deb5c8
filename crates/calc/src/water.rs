//! Water: its density at a temperature.
//!
//! Densities of carriers and products are keyed in; no table of them lives here.

use units::{Density, Temperature};

/// The temperature is outside the formula's range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterRange {
    /// What was given.
    pub got: Temperature,
}

/// Density of pure, air-free water at atmospheric pressure.
///
/// | symbol | meaning     | range         |
/// |--------|-------------|---------------|
/// | `t`    | temperature | 0 to 40 °C    |
///
/// `ρ = a₅ · (1 − (t + a₁)² (t + a₂) / (a₃ (t + a₄)))` with a₁ = −3.983035 °C, a₂ = 301.797 °C, a₃ = 522528.9 °C²,
/// a₄ = 69.34881 °C, a₅ = 999.974950 kg/m³. Stated uncertainty below 0.001 kg/m³. Tap water with salts is heavier by
/// some 0.01 to 0.1 %: far below what a jug can show.
///
/// # Errors
/// [`WaterRange`] outside 0 to 40 °C; nothing is extrapolated.
///
/// # Source
/// Tanaka, Girard, Davis, Peuto, Bignell, "Recommended table for the density of water between 0 °C and 40 °C based on
/// recent experimental reports", Metrologia 38 (2001) 301–309. Coefficients from memory, checked against the known
/// values 999.9749 at 4 °C, 998.2067 at 20 °C and 992.2152 at 40 °C kg/m³ (memory).
///
/// # Example
/// Known value (memory): 998.2067 kg/m³ at 20 °C.
/// ```
/// # use calc::water::density;
/// # use units::Temperature;
/// let rho = density(Temperature::from_c(20.0)).map_err(|e| format!("{e:?}"))?;
/// assert!((rho.as_kg_per_m3() - 998.2067).abs() < 1e-4);
/// # Ok::<(), String>(())
/// ```
pub fn density(temperature: Temperature) -> Result<Density, WaterRange> {
    let t_c = temperature.as_c();
    // A hair of slack, so that 32 °F and 104 °F are inside.
    if !(-1e-9..=40.0 + 1e-9).contains(&t_c) {
        return Err(WaterRange { got: temperature });
    }
    Ok(Density::from_kg_per_m3(kg_m3(t_c)))
}

fn kg_m3(t_c: f64) -> f64 {
    let from_peak = t_c - 3.983_035;
    999.974_950 * (1.0 - from_peak * from_peak * (t_c + 301.797) / (522_528.9 * (t_c + 69.348_81)))
}

/// Relative change of the density for each degree Celsius, taken over ±0.5 °C.
pub(crate) fn relative_slope_per_c(t_c: f64) -> f64 {
    (kg_m3(t_c + 0.5) - kg_m3(t_c - 0.5)) / kg_m3(t_c)
}
