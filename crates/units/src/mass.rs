//! Masses: what a scale says.

use crate::exact::{KG_PER_OUNCE, KG_PER_POUND};
use crate::quantity::quantity;

quantity! {
    /// A mass. Kept in kilograms.
    Mass,
    /// Units of [`Mass`]. The ounce is the avoirdupois one, a weight and never a volume.
    MassUnit, typed_in_parts;
    Pound("lb", "lb", KG_PER_POUND, ["lbs", "pound", "pounds"], from_lb, as_lb);
    Ounce("oz", "oz", KG_PER_OUNCE, ["ounce", "ounces", "oz wt"], from_oz, as_oz);
    Kilogram("kg", "kg", 1.0, ["kilogram", "kilograms", "kilo", "kilos"], from_kg, as_kg);
    Gram("g", "g", 0.001, ["gram", "grams", "gm", "gms"], from_g, as_g);
}
