//! Gauge pressures.

use crate::exact::PA_PER_PSI;
use crate::quantity::quantity;

quantity! {
    /// Pressure above the air outside. Kept in pascals.
    Pressure,
    /// Units of [`Pressure`].
    PressureUnit;
    Psi("psi", "psi", PA_PER_PSI, ["lb/in2", "pounds"], from_psi, as_psi);
    Bar("bar", "bar", 100_000.0, ["bars"], from_bar, as_bar);
    Kilopascal("kpa", "kPa", 1000.0, [], from_kpa, as_kpa);
    Pascal("pa", "Pa", 1.0, [], from_pa, as_pa);
}
