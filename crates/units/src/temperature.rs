//! Temperatures. The one quantity whose units do not share a zero, so it is written by hand.

use crate::{Quantity, Unit};

const K_PER_FAHRENHEIT_DEGREE: f64 = 5.0 / 9.0;
const ZERO_CELSIUS_K: f64 = 273.15;
const ZERO_FAHRENHEIT_K: f64 = ZERO_CELSIUS_K - 32.0 * K_PER_FAHRENHEIT_DEGREE;

/// A temperature. Kept in kelvins.
///
/// ```
/// # use units::Temperature;
/// // Definition (NIST SP 811, B.8): 68 °F = (68 − 32) × 5/9 = 20 °C.
/// assert!((Temperature::from_f(68.0).as_c() - 20.0).abs() < 1e-12);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// From degrees Celsius.
    #[must_use]
    pub const fn from_c(value: f64) -> Self {
        Self(value + ZERO_CELSIUS_K)
    }

    /// As degrees Celsius.
    #[must_use]
    pub const fn as_c(self) -> f64 {
        self.0 - ZERO_CELSIUS_K
    }

    /// From degrees Fahrenheit.
    #[must_use]
    pub const fn from_f(value: f64) -> Self {
        Self(value * K_PER_FAHRENHEIT_DEGREE + ZERO_FAHRENHEIT_K)
    }

    /// As degrees Fahrenheit.
    #[must_use]
    pub const fn as_f(self) -> f64 {
        (self.0 - ZERO_FAHRENHEIT_K) / K_PER_FAHRENHEIT_DEGREE
    }
}

impl Quantity for Temperature {
    type Unit = TemperatureUnit;

    fn from_si(si: f64) -> Self {
        Self(si)
    }

    fn as_si(self) -> f64 {
        self.0
    }
}

/// Units of [`Temperature`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TemperatureUnit {
    /// Shown as `°F`, stored as `degf`.
    Fahrenheit,
    /// Shown as `°C`, stored as `degc`.
    Celsius,
}

impl Unit for TemperatureUnit {
    type Quantity = Temperature;
    const ALL: &'static [Self] = &[Self::Fahrenheit, Self::Celsius];

    fn code(self) -> &'static str {
        match self {
            Self::Fahrenheit => "degf",
            Self::Celsius => "degc",
        }
    }

    fn symbol(self) -> &'static str {
        match self {
            Self::Fahrenheit => "°F",
            Self::Celsius => "°C",
        }
    }

    fn spellings(self) -> &'static [&'static str] {
        match self {
            Self::Fahrenheit => &["fahrenheit", "deg f"],
            Self::Celsius => &["celsius", "deg c"],
        }
    }

    fn si_per_unit(self) -> f64 {
        match self {
            Self::Fahrenheit => K_PER_FAHRENHEIT_DEGREE,
            Self::Celsius => 1.0,
        }
    }

    fn to_si(self, value: f64) -> f64 {
        match self {
            Self::Fahrenheit => Temperature::from_f(value).0,
            Self::Celsius => Temperature::from_c(value).0,
        }
    }

    fn of_si(self, si: f64) -> f64 {
        match self {
            Self::Fahrenheit => Temperature(si).as_f(),
            Self::Celsius => Temperature(si).as_c(),
        }
    }
}
