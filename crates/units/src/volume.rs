//! Volumes: tanks, jugs, cylinders.

use crate::exact::{
    M3_PER_IMPERIAL_FLUID_OUNCE, M3_PER_IMPERIAL_GALLON, M3_PER_IMPERIAL_PINT, M3_PER_IMPERIAL_QUART,
    M3_PER_L, M3_PER_ML, M3_PER_US_FLUID_OUNCE, M3_PER_US_GALLON, M3_PER_US_PINT, M3_PER_US_QUART,
};
use crate::quantity::quantity;

quantity! {
    /// A volume of liquid. Kept in cubic metres.
    Volume,
    /// Units of [`Volume`]. US units carry no prefix on the screen, imperial ones always do.
    VolumeUnit, typed_in_parts;
    UsGallon("us_gal", "gal", M3_PER_US_GALLON, ["gallon", "gallons", "gals", "us gal", "us gallon", "us gallons"], from_us_gal, as_us_gal);
    UsQuart("us_qt", "qt", M3_PER_US_QUART, ["quart", "quarts", "qts", "us qt", "us quart", "us quarts"], from_us_qt, as_us_qt);
    UsPint("us_pt", "pt", M3_PER_US_PINT, ["pint", "pints", "pts", "us pt", "us pint", "us pints"], from_us_pt, as_us_pt);
    UsFluidOunce("us_fl_oz", "fl oz", M3_PER_US_FLUID_OUNCE, ["oz", "floz", "ounce", "ounces", "fluid ounce", "fluid ounces", "us fl oz", "us oz", "us floz"], from_us_fl_oz, as_us_fl_oz);
    Litre("l", "L", M3_PER_L, ["litre", "litres", "liter", "liters", "lt", "ltr"], from_l, as_l);
    Millilitre("ml", "mL", M3_PER_ML, ["millilitre", "millilitres", "milliliter", "milliliters", "cc", "cm3"], from_ml, as_ml);
    CubicMetre("m3", "m³", 1.0, ["m3", "cubic metre", "cubic metres", "cubic meters"], from_m3, as_m3);
    ImperialGallon("imp_gal", "imp gal", M3_PER_IMPERIAL_GALLON, ["gal", "gallon", "gallons", "gals", "imperial gal", "imperial gallon", "imperial gallons", "uk gal"], from_imp_gal, as_imp_gal);
    ImperialQuart("imp_qt", "imp qt", M3_PER_IMPERIAL_QUART, ["qt", "quart", "quarts", "qts", "imp quart", "imp quarts"], from_imp_qt, as_imp_qt);
    ImperialPint("imp_pt", "imp pt", M3_PER_IMPERIAL_PINT, ["pt", "pint", "pints", "pts", "imp pint", "imp pints"], from_imp_pt, as_imp_pt);
    ImperialFluidOunce("imp_fl_oz", "imp fl oz", M3_PER_IMPERIAL_FLUID_OUNCE, ["fl oz", "oz", "floz", "ounce", "ounces", "fluid ounce", "fluid ounces", "imp oz", "imp floz"], from_imp_fl_oz, as_imp_fl_oz);
}
