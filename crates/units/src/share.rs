//! Shares: nudge steps, tolerances, agitation.

use crate::quantity::quantity;

quantity! {
    /// A part of a whole or a relative change. Kept as a fraction: 5 % is 0.05.
    Share,
    /// Units of [`Share`].
    ShareUnit;
    Percent("pct", "%", 0.01, ["percent", "pct"], from_percent, as_percent);
    Fraction("fraction", "×", 1.0, ["x", "of 1"], from_fraction, as_fraction);
}
