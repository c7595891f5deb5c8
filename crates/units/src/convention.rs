//! How a console wants a calibration number: counting or spacing, per which amount, in which steps up to which value.

use crate::Unit;
use crate::display::round_half_away;
use crate::pulses::PulsesPer;

/// The two ways to write down what a pulse is worth. A counting number and a spacing number move opposite ways.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Form {
    /// Pulses per stated amount: more pulses, larger number.
    Counting,
    /// Amount per stated number of pulses: more pulses, smaller number.
    Spacing,
}

/// A console's convention for a meter, pump or course number.
///
/// | form     | meaning of the number                         | example                                   |
/// |----------|-----------------------------------------------|-------------------------------------------|
/// | counting | pulses over `amount` of `unit`                | per 10 gal, per 300 ft, per 1 L           |
/// | spacing  | how many of `unit` lie under `amount` pulses  | cm per 1000 pulses, in per 10 pulses      |
///
/// ```
/// # use units::{Form, LengthUnit, PulseConvention, PulsesPerDistance};
/// // Common practice, no source: a satellite speed sensor at 130 pulses per metre needs 769 in cm per 1000 pulses.
/// let convention = PulseConvention { form: Form::Spacing, amount: 1000.0, unit: LengthUnit::Centimetre };
/// assert_eq!(convention.key_in(PulsesPerDistance::from_per_m(130.0)).round(), 769.0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PulseConvention<U> {
    /// Counting or spacing.
    pub form: Form,
    /// How much of `unit` (counting) or how many pulses (spacing). Finite, > 0.
    pub amount: f64,
    /// The unit of volume or length.
    pub unit: U,
}

/// Why a stored convention code cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PulseConventionCodeError {
    /// Not of the form `counting:10:us_gal`.
    Shape(String),
    /// No unit of this quantity has that code.
    Unit(String),
    /// The amount is not a finite number above zero.
    Amount(String),
}

impl<U: Unit> PulseConvention<U> {
    /// Pulses per `amount` of `unit`.
    #[must_use]
    pub const fn counting(amount: f64, unit: U) -> Self {
        Self { form: Form::Counting, amount, unit }
    }

    /// `unit` per `amount` pulses.
    #[must_use]
    pub const fn spacing(amount: f64, unit: U) -> Self {
        Self { form: Form::Spacing, amount, unit }
    }

    /// The number to key in, before rounding to the console's step.
    ///
    /// Counting: `N = c · amount · unit`. Spacing: `N = amount / (c · unit)`, with `c` in pulses per SI unit.
    #[must_use]
    pub fn key_in<C: PulsesPer<Over = U::Quantity>>(self, pulses: C) -> f64 {
        let c = pulses.as_pulses_per_si();
        match self.form {
            Form::Counting => c * self.unit.to_si(self.amount),
            Form::Spacing => self.unit.of_si(self.amount / c),
        }
    }

    /// What a keyed-in number means. The inverse of [`Self::key_in`].
    ///
    /// ```
    /// # use units::{PulseConvention, PulsesPerVolume, VolumeUnit};
    /// // By hand: 7200 pulses per 10 gal is 720 pulses per gallon.
    /// let meter: PulsesPerVolume = PulseConvention::counting(10.0, VolumeUnit::UsGallon).meaning(7200.0);
    /// assert!((PulseConvention::counting(1.0, VolumeUnit::UsGallon).key_in(meter) - 720.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn meaning<C: PulsesPer<Over = U::Quantity>>(self, number: f64) -> C {
        C::from_pulses_per_si(match self.form {
            Form::Counting => number / self.unit.to_si(self.amount),
            Form::Spacing => self.amount / self.unit.to_si(number),
        })
    }

    /// Stable text for storage, e.g. `counting:10:us_gal`.
    #[must_use]
    pub fn code(self) -> String {
        let form = match self.form {
            Form::Counting => "counting",
            Form::Spacing => "spacing",
        };
        format!("{form}:{}:{}", self.amount, self.unit.code())
    }

    /// Reads [`Self::code`].
    ///
    /// # Errors
    /// [`PulseConventionCodeError`] names the part that does not fit.
    pub fn from_code(code: &str) -> Result<Self, PulseConventionCodeError> {
        let shape = || PulseConventionCodeError::Shape(code.to_owned());
        let mut parts = code.split(':');
        let (Some(form), Some(amount), Some(unit), None) =
            (parts.next(), parts.next(), parts.next(), parts.next())
        else {
            return Err(shape());
        };
        let form = match form {
            "counting" => Form::Counting,
            "spacing" => Form::Spacing,
            _ => return Err(shape()),
        };
        let amount = match amount.parse::<f64>() {
            Ok(a) if a.is_finite() && a > 0.0 => a,
            _ => return Err(PulseConventionCodeError::Amount(amount.to_owned())),
        };
        let unit = U::from_code(unit).ok_or_else(|| PulseConventionCodeError::Unit(unit.to_owned()))?;
        Ok(Self { form, amount, unit })
    }
}

/// The steps in which a console takes a number, and the largest one it takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeyInStep {
    /// Smallest step, in the convention's unit. Finite, > 0.
    pub step: f64,
    /// Largest value that can be keyed in, where it is known.
    pub largest: Option<f64>,
}

impl KeyInStep {
    /// The nearest value that the console takes; halves go away from zero.
    ///
    /// ```
    /// # use units::KeyInStep;
    /// // By hand: 748.8 in steps of 1 is 749; 12.5 in steps of 0.2 lies nearer to 12.6 or 12.4 alike, and goes up.
    /// assert_eq!(KeyInStep { step: 1.0, largest: None }.round(748.8), 749.0);
    /// assert!((KeyInStep { step: 0.2, largest: None }.round(12.5) - 12.6).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn round(self, value: f64) -> f64 {
        let steps = round_half_away(value / self.step);
        // 126 tenths are 12.6; 126 × 0.1 would be 12.600000000000001.
        let per_unit = (1.0 / self.step).round();
        if per_unit >= 1.0 && per_unit * self.step == 1.0 { steps / per_unit } else { steps * self.step }
    }

    /// Whether the console takes this value once it is rounded: no larger than the largest, and neither infinite nor "not
    /// a number".
    ///
    /// ```
    /// # use units::KeyInStep;
    /// let three_digits = KeyInStep { step: 1.0, largest: Some(999.0) };
    /// assert!(three_digits.takes(999.4) && !three_digits.takes(999.5));
    /// ```
    #[must_use]
    pub fn takes(self, value: f64) -> bool {
        let rounded = self.round(value);
        rounded.is_finite() && self.largest.is_none_or(|largest| rounded <= largest)
    }

    /// Relative error that the rounding causes: rounded over exact, less one. Not a number for zero.
    #[must_use]
    pub fn rounding_error(self, value: f64) -> f64 {
        self.round(value) / value - 1.0
    }

    /// How many decimals a value in this step has, at most nine.
    ///
    /// ```
    /// # use units::KeyInStep;
    /// assert_eq!(KeyInStep { step: 0.25, largest: None }.decimals(), 2);
    /// assert_eq!(KeyInStep { step: 10.0, largest: None }.decimals(), 0);
    /// ```
    #[must_use]
    pub fn decimals(self) -> usize {
        (0..9_u8)
            .find(|d| {
                let scaled = self.step * 10_f64.powi(i32::from(*d));
                scaled.round() >= 1.0 && (scaled - scaled.round()).abs() < 1e-9 * scaled
            })
            .map_or(9, usize::from)
    }
}
