//! Durations: what a stopwatch says.

use crate::exact::{S_PER_HOUR, S_PER_MINUTE};
use crate::quantity::quantity;

quantity! {
    /// A length of time. Kept in seconds. Negative values are possible and mean that somebody subtracted the wrong way.
    Duration,
    /// Units of [`Duration`].
    DurationUnit, typed_in_parts;
    Second("s", "s", 1.0, ["sec", "secs", "second", "seconds"], from_s, as_s);
    Minute("min", "min", S_PER_MINUTE, ["minute", "minutes"], from_min, as_min);
    Hour("h", "h", S_PER_HOUR, ["hr", "hour", "hours"], from_h, as_h);
}
