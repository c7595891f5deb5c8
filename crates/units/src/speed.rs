//! Speeds over ground.

use crate::exact::{M_PER_FOOT, M_PER_MILE, S_PER_HOUR, S_PER_MINUTE};
use crate::quantity::quantity;

quantity! {
    /// Speed over ground. Kept in m/s.
    Speed,
    /// Units of [`Speed`].
    SpeedUnit;
    MilePerHour("mph", "mph", M_PER_MILE / S_PER_HOUR, ["mi/h", "mi/hr", "miles/h", "miles/hr", "miles/hour"], from_mph, as_mph);
    KilometrePerHour("km_per_h", "km/h", 1000.0 / S_PER_HOUR, ["kmh", "kph", "kmph", "km/hr", "km/hour"], from_km_per_h, as_km_per_h);
    MetrePerSecond("m_per_s", "m/s", 1.0, ["mps", "m/sec"], from_m_per_s, as_m_per_s);
    FootPerMinute("ft_per_min", "ft/min", M_PER_FOOT / S_PER_MINUTE, ["fpm", "feet/min"], from_ft_per_min, as_ft_per_min);
}
