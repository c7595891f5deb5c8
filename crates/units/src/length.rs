//! Lengths: section widths, nozzle spacings, courses.

use crate::exact::{M_PER_FOOT, M_PER_INCH, M_PER_MILE, M_PER_YARD};
use crate::quantity::quantity;

quantity! {
    /// A length or distance. Kept in metres.
    ///
    /// ```
    /// # use units::Length;
    /// // Common practice, no source: a section of 144 in is 12 ft.
    /// assert!((Length::from_in(144.0).as_ft() - 12.0).abs() < 1e-12);
    /// ```
    Length,
    /// Units of [`Length`].
    LengthUnit, typed_in_parts;
    Foot("ft", "ft", M_PER_FOOT, ["'", "foot", "feet"], from_ft, as_ft);
    Inch("in", "in", M_PER_INCH, ["\"", "inch", "inches"], from_in, as_in);
    Yard("yd", "yd", M_PER_YARD, ["yard", "yards"], from_yd, as_yd);
    Mile("mi", "mi", M_PER_MILE, ["mile", "miles"], from_mi, as_mi);
    Metre("m", "m", 1.0, ["metre", "metres", "meter", "meters"], from_m, as_m);
    Centimetre("cm", "cm", 0.01, ["centimetre", "centimetres", "centimeter", "centimeters"], from_cm, as_cm);
    Millimetre("mm", "mm", 0.001, ["millimetre", "millimetres", "millimeter", "millimeters"], from_mm, as_mm);
    Kilometre("km", "km", 1000.0, ["kilometre", "kilometres", "kilometer", "kilometers"], from_km, as_km);
}
