//! Volume flows: carrier, nozzles, injection pumps.

use crate::exact::{
    M3_PER_IMPERIAL_FLUID_OUNCE, M3_PER_IMPERIAL_GALLON, M3_PER_L, M3_PER_ML, M3_PER_US_FLUID_OUNCE,
    M3_PER_US_GALLON, S_PER_HOUR, S_PER_MINUTE,
};
use crate::quantity::quantity;

quantity! {
    /// Volume per time. Kept in m³/s.
    FlowRate,
    /// Units of [`FlowRate`].
    FlowRateUnit;
    UsGallonPerMinute("us_gal_per_min", "gal/min", M3_PER_US_GALLON / S_PER_MINUTE, ["gpm", "us gal/min", "us gpm", "gal/minute", "gallons/min", "gallons/minute"], from_us_gal_per_min, as_us_gal_per_min);
    LitrePerMinute("l_per_min", "L/min", M3_PER_L / S_PER_MINUTE, ["lpm", "l/minute", "litres/min", "liters/min", "litres/minute", "liters/minute"], from_l_per_min, as_l_per_min);
    UsFluidOuncePerMinute("us_fl_oz_per_min", "fl oz/min", M3_PER_US_FLUID_OUNCE / S_PER_MINUTE, ["oz/min", "floz/min", "us fl oz/min", "us oz/min"], from_us_fl_oz_per_min, as_us_fl_oz_per_min);
    MillilitrePerMinute("ml_per_min", "mL/min", M3_PER_ML / S_PER_MINUTE, ["cc/min"], from_ml_per_min, as_ml_per_min);
    LitrePerHour("l_per_h", "L/h", M3_PER_L / S_PER_HOUR, ["l/hr"], from_l_per_h, as_l_per_h);
    LitrePerSecond("l_per_s", "L/s", M3_PER_L, ["l/sec"], from_l_per_s, as_l_per_s);
    ImperialGallonPerMinute("imp_gal_per_min", "imp gal/min", M3_PER_IMPERIAL_GALLON / S_PER_MINUTE, ["gal/min", "gpm", "igpm", "gal/minute", "gallons/min", "gallons/minute"], from_imp_gal_per_min, as_imp_gal_per_min);
    ImperialFluidOuncePerMinute("imp_fl_oz_per_min", "imp fl oz/min", M3_PER_IMPERIAL_FLUID_OUNCE / S_PER_MINUTE, ["fl oz/min", "oz/min", "floz/min"], from_imp_fl_oz_per_min, as_imp_fl_oz_per_min);
    CubicMetrePerSecond("m3_per_s", "m³/s", 1.0, ["m3/s"], from_m3_per_s, as_m3_per_s);
}
