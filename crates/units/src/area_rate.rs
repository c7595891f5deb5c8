//! Area rates: how fast ground is covered.

use crate::exact::{M2_PER_ACRE, M2_PER_HECTARE, S_PER_HOUR, S_PER_MINUTE};
use crate::quantity::quantity;

quantity! {
    /// Area covered per time, speed × width. Kept in m²/s.
    AreaRate,
    /// Units of [`AreaRate`].
    AreaRateUnit;
    AcrePerHour("ac_per_h", "ac/h", M2_PER_ACRE / S_PER_HOUR, ["acres/h", "ac/hr", "acres/hour"], from_ac_per_h, as_ac_per_h);
    HectarePerHour("ha_per_h", "ha/h", M2_PER_HECTARE / S_PER_HOUR, ["ha/hr", "hectares/h"], from_ha_per_h, as_ha_per_h);
    AcrePerMinute("ac_per_min", "ac/min", M2_PER_ACRE / S_PER_MINUTE, ["acres/min"], from_ac_per_min, as_ac_per_min);
    SquareMetrePerSecond("m2_per_s", "m²/s", 1.0, ["m2/s"], from_m2_per_s, as_m2_per_s);
}
