//! What every quantity and every unit can do, and the macro that makes them. No quantity lives here.

use crate::spelling::fold_unit;
use std::fmt::Debug;

/// A measured kind of thing, kept as one SI number.
///
/// There is no `From<f64>` and no `Default`: a bare number has no unit, and an unknown volume is not zero.
pub trait Quantity: Copy + Debug + PartialEq + PartialOrd + Send + Sync + 'static {
    /// The units in which this quantity can be typed and shown.
    type Unit: Unit<Quantity = Self>;

    /// Whether people type it in two units in a row, as in `12 ft 6 in` or `1 min 30 s`. Never so for rates, pressures and
    /// temperatures.
    const TYPED_IN_PARTS: bool = false;

    /// From the SI number.
    fn from_si(si: f64) -> Self;

    /// The SI number.
    fn as_si(self) -> f64;

    /// From a number in a unit.
    ///
    /// ```
    /// # use units::{Length, LengthUnit, Quantity};
    /// // By hand: 144 in × 0.0254 m = 3.6576 m.
    /// assert!((Length::from_unit(144.0, LengthUnit::Inch).as_m() - 3.6576).abs() < 1e-12);
    /// ```
    fn from_unit(value: f64, unit: Self::Unit) -> Self {
        Self::from_si(unit.to_si(value))
    }

    /// The number in a unit.
    fn in_unit(self, unit: Self::Unit) -> f64 {
        unit.of_si(self.as_si())
    }
}

/// One unit of a quantity.
pub trait Unit: Copy + Debug + Eq + Send + Sync + 'static {
    /// What it measures.
    type Quantity: Quantity<Unit = Self>;

    /// Every unit of the quantity, in the order in which a list shows them.
    const ALL: &'static [Self];

    /// Stable name in stored records, e.g. `us_gal_per_ac`. Never changes once shipped.
    fn code(self) -> &'static str;

    /// What stands behind a number on the screen, e.g. `gal/ac`.
    fn symbol(self) -> &'static str;

    /// What people may type behind a number, lower case, the symbol aside.
    fn spellings(self) -> &'static [&'static str];

    /// How many SI units make one of these (for temperature: the size of a degree).
    fn si_per_unit(self) -> f64;

    /// From a number in this unit to SI.
    fn to_si(self, value: f64) -> f64 {
        value * self.si_per_unit()
    }

    /// From SI to a number in this unit.
    fn of_si(self, si: f64) -> f64 {
        si / self.si_per_unit()
    }

    /// The unit with this stored code.
    fn from_code(code: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|unit| unit.code() == code)
    }

    /// The unit that people mean by this text. Where two units share a spelling ("gal", US and imperial), the one that
    /// is in use beside the box wins if it has that spelling. Beside any other imperial unit an imperial one is meant, and
    /// a US one must be named as such ("us gal/ac"). Else it is the first in [`Unit::ALL`].
    ///
    /// ```
    /// # use units::{Unit, VolumeUnit};
    /// assert_eq!(VolumeUnit::from_typed("Gal.", None), Some(VolumeUnit::UsGallon));
    /// assert_eq!(VolumeUnit::from_typed("pt", Some(VolumeUnit::ImperialGallon)), Some(VolumeUnit::ImperialPint));
    /// assert_eq!(VolumeUnit::from_typed("us pt", Some(VolumeUnit::ImperialGallon)), Some(VolumeUnit::UsPint));
    /// assert_eq!(VolumeUnit::from_typed("acres", None), None);
    /// ```
    fn from_typed(text: &str, beside: Option<Self>) -> Option<Self> {
        let folded = fold_unit(text);
        let has = |unit: &Self| {
            fold_unit(unit.symbol()) == folded || unit.spellings().iter().any(|s| fold_unit(s) == folded)
        };
        let imperial = beside.is_some_and(|unit| unit.code().starts_with("imp_"));
        let meant = |unit: &Self| !(imperial && unit.code().starts_with("us_")) || folded.starts_with("us");
        beside
            .filter(|unit| has(unit))
            .or_else(|| Self::ALL.iter().copied().find(|unit| meant(unit) && has(unit)))
    }
}

/// Declares a quantity and its units. Each unit: variant, code, symbol, exact SI factor, spellings, `from_…`, `as_…`.
/// `typed_in_parts` behind the unit's name: people type two units in a row, as in `12 ft 6 in`.
macro_rules! quantity {
    (@typed_in_parts) => { const TYPED_IN_PARTS: bool = true; };
    (
        $(#[$meta:meta])* $quantity:ident, $(#[$unit_meta:meta])* $unit:ident $(, $parts:ident)?;
        $( $(#[$variant_meta:meta])* $variant:ident($code:literal, $symbol:literal, $factor:expr, [$($spelling:literal),*],
            $from:ident, $as:ident); )+
    ) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $quantity(f64);

        impl $quantity {
            $(
                #[doc = concat!("From a number of ", $symbol, ".")]
                #[must_use]
                pub const fn $from(value: f64) -> Self { Self(value * ($factor)) }

                #[doc = concat!("As a number of ", $symbol, ".")]
                #[must_use]
                pub const fn $as(self) -> f64 { self.0 / ($factor) }
            )+
        }

        impl $crate::Quantity for $quantity {
            type Unit = $unit;
            $( quantity!(@$parts); )?
            fn from_si(si: f64) -> Self { Self(si) }
            fn as_si(self) -> f64 { self.0 }
        }

        $(#[$unit_meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum $unit {
            $(
                $(#[$variant_meta])*
                #[doc = concat!("Shown as `", $symbol, "`, stored as `", $code, "`.")]
                $variant,
            )+
        }

        impl $crate::Unit for $unit {
            type Quantity = $quantity;
            const ALL: &'static [Self] = &[$(Self::$variant),+];
            fn code(self) -> &'static str { match self { $(Self::$variant => $code),+ } }
            fn symbol(self) -> &'static str { match self { $(Self::$variant => $symbol),+ } }
            fn spellings(self) -> &'static [&'static str] { match self { $(Self::$variant => &[$($spelling),*]),+ } }
            fn si_per_unit(self) -> f64 { match self { $(Self::$variant => $factor),+ } }
        }
    };
}
pub(crate) use quantity;
