//! Product per carrier: volume of concentrate per volume of carrier.

use crate::exact::{M3_PER_US_FLUID_OUNCE, M3_PER_US_GALLON, M3_PER_US_PINT, M3_PER_US_QUART};
use crate::quantity::quantity;

quantity! {
    /// Volume of product for each volume of carrier, as parts **added to** the carrier (1 in 100 means 1 L to 100 L).
    /// Kept as a bare ratio.
    ///
    /// ```
    /// # use units::VolumePerCarrier;
    /// // By hand: 1 % v/v is 128 fl oz per 100 gal of carrier.
    /// assert!((VolumePerCarrier::from_percent(1.0).as_us_fl_oz_per_100_gal() - 128.0).abs() < 1e-9);
    /// ```
    VolumePerCarrier,
    /// Units of [`VolumePerCarrier`].
    VolumePerCarrierUnit;
    PercentByVolume("pct_v_v", "% v/v", 0.01, ["%", "percent", "%vv"], from_percent, as_percent);
    UsFluidOuncePer100Gallons("us_fl_oz_per_100_gal", "fl oz/100 gal", M3_PER_US_FLUID_OUNCE / (100.0 * M3_PER_US_GALLON), ["oz/100 gal"], from_us_fl_oz_per_100_gal, as_us_fl_oz_per_100_gal);
    UsPintPer100Gallons("us_pt_per_100_gal", "pt/100 gal", M3_PER_US_PINT / (100.0 * M3_PER_US_GALLON), ["pints/100 gal"], from_us_pt_per_100_gal, as_us_pt_per_100_gal);
    UsQuartPer100Gallons("us_qt_per_100_gal", "qt/100 gal", M3_PER_US_QUART / (100.0 * M3_PER_US_GALLON), ["quarts/100 gal"], from_us_qt_per_100_gal, as_us_qt_per_100_gal);
    UsGallonPer100Gallons("us_gal_per_100_gal", "gal/100 gal", 0.01, [], from_us_gal_per_100_gal, as_us_gal_per_100_gal);
    MillilitrePer100Litres("ml_per_100_l", "mL/100 L", 0.000_01, ["ml/100l"], from_ml_per_100_l, as_ml_per_100_l);
    LitrePer100Litres("l_per_100_l", "L/100 L", 0.01, [], from_l_per_100_l, as_l_per_100_l);
    MillilitrePerLitre("ml_per_l", "mL/L", 0.001, [], from_ml_per_l, as_ml_per_l);
}
