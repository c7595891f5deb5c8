//! What every quantity and every unit can do, and the macro that makes them. No quantity lives here.

use std::fmt::Debug;

/// A measured kind of thing, kept as one SI number.
///
/// There is no `From<f64>` and no `Default`: a bare number has no unit, and an unknown volume is not zero.
pub trait Quantity: Copy + Debug + PartialEq + PartialOrd + Send + Sync + 'static {
    /// The units in which this quantity can be typed and shown.
    type Unit: Unit<Quantity = Self>;

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
    /// is in use beside the box wins if it has that spelling, else the first in [`Unit::ALL`].
    fn from_typed(text: &str, beside: Option<Self>) -> Option<Self> {
        let folded = fold_unit_text(text);
        let has = |unit: &Self| {
            fold_unit_text(unit.symbol()) == folded
                || unit.spellings().iter().any(|s| fold_unit_text(s) == folded)
        };
        beside.filter(|unit| has(unit)).or_else(|| Self::ALL.iter().copied().find(|unit| has(unit)))
    }
}

/// Lower case, without blanks and full stops, with `²` as `2`, `°` dropped: "Gal. / Min" is "gal/min".
fn fold_unit_text(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && *c != '.' && *c != '°')
        .map(|c| match c {
            '²' => '2',
            '′' | '’' | '‘' => '\'',
            '″' | '”' | '“' => '"',
            other => other,
        })
        .flat_map(char::to_lowercase)
        .collect::<String>()
        .replace("''", "\"")
}

/// Declares a quantity and its units. Each unit: variant, code, symbol, exact SI factor, spellings, `from_…`, `as_…`.
macro_rules! quantity {
    (
        $(#[$meta:meta])* $quantity:ident, $(#[$unit_meta:meta])* $unit:ident;
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
