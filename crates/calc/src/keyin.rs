//! Numbers as a console takes them: rounding to its step, the error that causes, its largest value, corrections.
//!
//! The conventions themselves are [`units::PulseConvention`] and [`units::KeyInStep`].

use units::{Form, KeyInStep, PulseConvention, PulsesPer, Share, Unit};

/// Why a number cannot be keyed in.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum KeyInError {
    /// Zero, negative or not finite.
    Number {
        /// What was given.
        got: f64,
    },
    /// The convention's amount is zero, negative or not finite.
    Amount {
        /// What was given.
        got: f64,
    },
    /// The console's step is zero, negative or not finite.
    Step {
        /// What was given.
        got: f64,
    },
    /// Smaller than half a step: the console would take zero.
    RoundsToZero {
        /// The number.
        exact: f64,
        /// The step.
        step: f64,
    },
    /// Beyond the largest value that the console takes.
    TooLarge {
        /// The number after rounding.
        rounded: f64,
        /// The largest value.
        largest: f64,
    },
}

/// A number on the key-in sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeyIn {
    /// Before rounding, in the convention's unit.
    pub exact: f64,
    /// What to key in.
    pub rounded: f64,
    /// `rounded / exact − 1`.
    pub rounding_error: Share,
}

/// Rounds a number to the console's step.
///
/// | symbol  | meaning                     | range                 |
/// |---------|-----------------------------|-----------------------|
/// | `exact` | number, convention's unit   | finite, > 0           |
/// | `step`  | the console's step, if known| step > 0              |
///
/// Without a step the number stays as it is.
///
/// # Errors
/// [`KeyInError`].
///
/// # Example
/// By hand: 748.8 in steps of 1 is 749, 0.2/748.8 = 0.0267 % high.
/// ```
/// # use calc::keyin::key_in;
/// # use units::KeyInStep;
/// let number = key_in(748.8, Some(KeyInStep { step: 1.0, largest: Some(9999.0) }))?;
/// assert_eq!(number.rounded, 749.0);
/// assert!((number.rounding_error.as_percent() - 0.026_71).abs() < 1e-5);
/// # Ok::<(), calc::keyin::KeyInError>(())
/// ```
pub fn key_in(exact: f64, step: Option<KeyInStep>) -> Result<KeyIn, KeyInError> {
    if !(exact.is_finite() && exact > 0.0) {
        return Err(KeyInError::Number { got: exact });
    }
    let Some(step) = step else {
        return Ok(KeyIn { exact, rounded: exact, rounding_error: Share::from_fraction(0.0) });
    };
    if !(step.step.is_finite() && step.step > 0.0) {
        return Err(KeyInError::Step { got: step.step });
    }
    let rounded = step.round(exact);
    if rounded <= 0.0 {
        return Err(KeyInError::RoundsToZero { exact, step: step.step });
    }
    if let Some(largest) = step.largest
        && rounded > largest
    {
        return Err(KeyInError::TooLarge { rounded, largest });
    }
    Ok(KeyIn { exact, rounded, rounding_error: Share::from_fraction(rounded / exact - 1.0) })
}

/// A calibration number as it is keyed in now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeyedPulses<U> {
    /// The number, in the convention's unit. Finite, > 0.
    pub number: f64,
    /// How the console wants it.
    pub convention: PulseConvention<U>,
    /// Its step and largest value, where known.
    pub step: Option<KeyInStep>,
}

/// A corrected calibration number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corrected {
    /// The old number.
    pub old: f64,
    /// The new number before rounding.
    pub exact: f64,
    /// What to key in; the same as `exact` where no step is known.
    pub rounded: f64,
    /// `rounded / exact − 1`.
    pub rounding_error: Share,
    /// Expanded uncertainty of `exact`, 95 %, in the convention's unit; infinite where unknown.
    pub expanded: f64,
    /// Set when `rounded` is more than the console takes; nothing can then be keyed in as it stands.
    pub beyond_largest: Option<f64>,
}

impl<U: Unit> KeyedPulses<U> {
    /// What the keyed-in number means.
    ///
    /// # Errors
    /// [`KeyInError::Number`], [`KeyInError::Amount`].
    ///
    /// # Example
    /// By hand: 7200 per 10 gal are 720 in a gallon.
    /// ```
    /// # use calc::keyin::KeyedPulses;
    /// # use units::{PulseConvention, PulsesPerVolume, Volume, VolumeUnit};
    /// let convention = PulseConvention::counting(10.0, VolumeUnit::UsGallon);
    /// let meter: PulsesPerVolume = KeyedPulses { number: 7200.0, convention, step: None }.meaning()?;
    /// assert!((meter.pulses_in(Volume::from_us_gal(1.0)) - 720.0).abs() < 1e-9);
    /// # Ok::<(), calc::keyin::KeyInError>(())
    /// ```
    pub fn meaning<C: PulsesPer<Over = U::Quantity>>(&self) -> Result<C, KeyInError> {
        self.check()?;
        Ok(self.convention.meaning(self.number))
    }

    /// The number corrected by a trial.
    ///
    /// | symbol | meaning                                     | range                  |
    /// |--------|---------------------------------------------|------------------------|
    /// | `N`    | number keyed in                             | finite, > 0            |
    /// | `r`    | indicated over actual                       | finite, > 0            |
    /// | `U`    | expanded uncertainty of `r`                 | ≥ 0, infinite: unknown |
    ///
    /// Counting: `N' = N · r`. Spacing: `N' = N / r`. Either way `U(N') = N' · U / r`.
    ///
    /// # Errors
    /// [`KeyInError`]; a number past the console's largest is not an error but told in `beyond_largest`.
    ///
    /// # Source
    /// Definition: the pulses were right, the display divided them by the wrong number.
    ///
    /// # Example
    /// By hand: 720 per gal, indicated 52 gal, actual 50: 720 × 1.04 = 748.8. In a spacing convention the same meter
    /// moves the other way: 1000/720 = 1.38889 gal per 1000 pulses becomes 1000/748.8 = 1.33547.
    /// ```
    /// # use calc::keyin::KeyedPulses;
    /// # use units::{PulseConvention, VolumeUnit};
    /// let counting = PulseConvention::counting(1.0, VolumeUnit::UsGallon);
    /// let new = KeyedPulses { number: 720.0, convention: counting, step: None }.corrected(1.04, 0.01)?;
    /// assert!((new.exact - 748.8).abs() < 1e-9 && (new.expanded - 7.2).abs() < 1e-9);
    /// let spacing = PulseConvention::spacing(1000.0, VolumeUnit::UsGallon);
    /// let new = KeyedPulses { number: 1.388_888_9, convention: spacing, step: None }.corrected(1.04, 0.01)?;
    /// assert!((new.exact - 1.335_470).abs() < 1e-6);
    /// # Ok::<(), calc::keyin::KeyInError>(())
    /// ```
    pub fn corrected(&self, ratio: f64, expanded: f64) -> Result<Corrected, KeyInError> {
        self.check()?;
        if !(ratio.is_finite() && ratio > 0.0) {
            return Err(KeyInError::Number { got: ratio });
        }
        let exact = match self.convention.form {
            Form::Counting => self.number * ratio,
            Form::Spacing => self.number / ratio,
        };
        let unlimited = self.step.map(|step| KeyInStep { largest: None, ..step });
        let KeyIn { rounded, rounding_error, .. } = key_in(exact, unlimited)?;
        let largest = self.step.and_then(|step| step.largest);
        Ok(Corrected {
            old: self.number,
            exact,
            rounded,
            rounding_error,
            expanded: exact * expanded / ratio,
            beyond_largest: largest.filter(|largest| rounded > *largest),
        })
    }

    fn check(&self) -> Result<(), KeyInError> {
        if !(self.number.is_finite() && self.number > 0.0) {
            return Err(KeyInError::Number { got: self.number });
        }
        let amount = self.convention.amount;
        if !(amount.is_finite() && amount > 0.0) {
            return Err(KeyInError::Amount { got: amount });
        }
        Ok(())
    }
}

/// Key-in entry for a calibration number that is known as pulses.
///
/// # Errors
/// [`KeyInError`].
///
/// # Example
/// Common practice, no source: 130 pulses per metre need 769 in centimetres per 1000 pulses.
/// ```
/// # use calc::keyin::key_in_pulses;
/// # use units::{KeyInStep, LengthUnit, PulseConvention, PulsesPerDistance};
/// let convention = PulseConvention::spacing(1000.0, LengthUnit::Centimetre);
/// let step = Some(KeyInStep { step: 1.0, largest: None });
/// assert_eq!(key_in_pulses(PulsesPerDistance::from_per_m(130.0), convention, step)?.rounded, 769.0);
/// # Ok::<(), calc::keyin::KeyInError>(())
/// ```
pub fn key_in_pulses<C, U>(
    pulses: C,
    convention: PulseConvention<U>,
    step: Option<KeyInStep>,
) -> Result<KeyIn, KeyInError>
where
    C: PulsesPer<Over = U::Quantity>,
    U: Unit,
{
    if !(convention.amount.is_finite() && convention.amount > 0.0) {
        return Err(KeyInError::Amount { got: convention.amount });
    }
    key_in(convention.key_in(pulses), step)
}
