//! Areas: what was treated.

use crate::exact::{M2_PER_ACRE, M2_PER_HECTARE, M2_PER_SQUARE_FOOT};
use crate::quantity::quantity;

quantity! {
    /// An area of ground. Kept in square metres.
    Area,
    /// Units of [`Area`]. The acre is the international one.
    AreaUnit;
    Acre("ac", "ac", M2_PER_ACRE, ["acre", "acres"], from_ac, as_ac);
    Hectare("ha", "ha", M2_PER_HECTARE, ["hectare", "hectares"], from_ha, as_ha);
    SquareFoot("ft2", "ft²", M2_PER_SQUARE_FOOT, ["sq ft", "sqft", "square feet"], from_ft2, as_ft2);
    ThousandSquareFeet("kft2", "1000 ft²", 1000.0 * M2_PER_SQUARE_FOOT, ["1000 sq ft", "msf"], from_1000_ft2, as_1000_ft2);
    SquareMetre("m2", "m²", 1.0, ["sq m", "square metres", "square meters"], from_m2, as_m2);
}
