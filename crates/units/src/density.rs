//! Densities of carriers and products.

use crate::exact::{KG_PER_POUND, M3_PER_L, M3_PER_US_GALLON};
use crate::quantity::quantity;

quantity! {
    /// Mass per volume. Kept in kg/m³.
    Density,
    /// Units of [`Density`]. Specific gravity is against water of 1000 kg/m³.
    DensityUnit;
    KilogramPerLitre("kg_per_l", "kg/L", 1.0 / M3_PER_L, ["g/ml", "g/cm3"], from_kg_per_l, as_kg_per_l);
    PoundPerUsGallon("lb_per_us_gal", "lb/gal", KG_PER_POUND / M3_PER_US_GALLON, ["lbs/gal", "lb/us gal"], from_lb_per_us_gal, as_lb_per_us_gal);
    SpecificGravity("sg", "SG", 1000.0, ["specific gravity"], from_specific_gravity, as_specific_gravity);
    KilogramPerCubicMetre("kg_per_m3", "kg/m³", 1.0, ["kg/m3"], from_kg_per_m3, as_kg_per_m3);
}
