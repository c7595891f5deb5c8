//! Application rates: volume per area. The dimension is that of a length; only the name tells them apart.

use crate::exact::{
    M2_PER_ACRE, M2_PER_HECTARE, M2_PER_SQUARE_FOOT, M3_PER_IMPERIAL_FLUID_OUNCE, M3_PER_IMPERIAL_GALLON,
    M3_PER_IMPERIAL_PINT, M3_PER_IMPERIAL_QUART, M3_PER_L, M3_PER_ML, M3_PER_US_FLUID_OUNCE,
    M3_PER_US_GALLON, M3_PER_US_PINT, M3_PER_US_QUART,
};
use crate::quantity::quantity;

quantity! {
    /// Volume applied per area of ground. Kept in m³/m².
    ///
    /// ```
    /// # use units::VolumePerArea;
    /// // NIST definitions, by hand: 20 × 3.785411784 ÷ 0.40468564224 = 187.0791 L/ha.
    /// assert!((VolumePerArea::from_us_gal_per_ac(20.0).as_l_per_ha() - 187.079_124_579).abs() < 1e-8);
    /// ```
    VolumePerArea,
    /// Units of [`VolumePerArea`].
    VolumePerAreaUnit;
    UsGallonPerAcre("us_gal_per_ac", "gal/ac", M3_PER_US_GALLON / M2_PER_ACRE, ["gpa", "gal/acre", "us gal/ac", "us gal/acre", "us gpa", "gallons/ac", "gallons/acre"], from_us_gal_per_ac, as_us_gal_per_ac);
    LitrePerHectare("l_per_ha", "L/ha", M3_PER_L / M2_PER_HECTARE, ["l/hectare", "litres/ha", "liters/ha", "litres/hectare", "liters/hectare"], from_l_per_ha, as_l_per_ha);
    UsFluidOuncePerAcre("us_fl_oz_per_ac", "fl oz/ac", M3_PER_US_FLUID_OUNCE / M2_PER_ACRE, ["oz/ac", "oz/acre", "fl oz/acre", "floz/ac", "ounces/ac", "ounces/acre", "us fl oz/ac", "us oz/ac"], from_us_fl_oz_per_ac, as_us_fl_oz_per_ac);
    UsPintPerAcre("us_pt_per_ac", "pt/ac", M3_PER_US_PINT / M2_PER_ACRE, ["pt/acre", "pints/ac", "pints/acre", "us pt/ac"], from_us_pt_per_ac, as_us_pt_per_ac);
    UsQuartPerAcre("us_qt_per_ac", "qt/ac", M3_PER_US_QUART / M2_PER_ACRE, ["qt/acre", "quarts/ac", "quarts/acre", "us qt/ac"], from_us_qt_per_ac, as_us_qt_per_ac);
    MillilitrePerHectare("ml_per_ha", "mL/ha", M3_PER_ML / M2_PER_HECTARE, ["cc/ha"], from_ml_per_ha, as_ml_per_ha);
    UsGallonPerThousandSquareFeet("us_gal_per_1000_ft2", "gal/1000 ft²", M3_PER_US_GALLON / (1000.0 * M2_PER_SQUARE_FOOT), ["gal/1000 sq ft", "us gal/1000 ft2", "us gal/1000 sq ft"], from_us_gal_per_1000_ft2, as_us_gal_per_1000_ft2);
    UsFluidOuncePerThousandSquareFeet("us_fl_oz_per_1000_ft2", "fl oz/1000 ft²", M3_PER_US_FLUID_OUNCE / (1000.0 * M2_PER_SQUARE_FOOT), ["oz/1000 ft2", "oz/1000 sq ft", "fl oz/1000 sq ft", "us fl oz/1000 ft2", "us oz/1000 ft2"], from_us_fl_oz_per_1000_ft2, as_us_fl_oz_per_1000_ft2);
    LitrePerHundredSquareMetres("l_per_100_m2", "L/100 m²", M3_PER_L / 100.0, ["l/100 sq m"], from_l_per_100_m2, as_l_per_100_m2);
    MillilitrePerHundredSquareMetres("ml_per_100_m2", "mL/100 m²", M3_PER_ML / 100.0, ["ml/100 sq m"], from_ml_per_100_m2, as_ml_per_100_m2);
    ImperialGallonPerAcre("imp_gal_per_ac", "imp gal/ac", M3_PER_IMPERIAL_GALLON / M2_PER_ACRE, ["gal/ac", "gal/acre", "gpa", "gallons/ac", "gallons/acre"], from_imp_gal_per_ac, as_imp_gal_per_ac);
    ImperialQuartPerAcre("imp_qt_per_ac", "imp qt/ac", M3_PER_IMPERIAL_QUART / M2_PER_ACRE, ["qt/ac", "qt/acre", "quarts/ac", "quarts/acre"], from_imp_qt_per_ac, as_imp_qt_per_ac);
    ImperialPintPerAcre("imp_pt_per_ac", "imp pt/ac", M3_PER_IMPERIAL_PINT / M2_PER_ACRE, ["pt/ac", "pt/acre", "pints/ac", "pints/acre"], from_imp_pt_per_ac, as_imp_pt_per_ac);
    ImperialFluidOuncePerAcre("imp_fl_oz_per_ac", "imp fl oz/ac", M3_PER_IMPERIAL_FLUID_OUNCE / M2_PER_ACRE, ["fl oz/ac", "oz/ac", "oz/acre", "fl oz/acre", "floz/ac", "ounces/ac", "ounces/acre"], from_imp_fl_oz_per_ac, as_imp_fl_oz_per_ac);
}
