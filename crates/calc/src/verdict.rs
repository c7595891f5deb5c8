//! Verdicts with a guard band, and the tolerances they are given against.
//!
//! How an error and its uncertainty come about is the business of the trials.

use units::Share;

/// What a trial proves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// The error and its uncertainty together stay inside the tolerance.
    Within,
    /// The error stays outside even after its uncertainty is taken off.
    Out,
    /// Neither.
    NotProvenYet,
}

/// Where a tolerance comes from. `app` finds the words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ToleranceSource {
    /// ISO 16122-2, flow meter and speed sensors used for rate control: 5 % of the true value (from memory).
    Iso16122RateControl,
    /// ISO 16122-2, nozzle flow: 10 % of nominal (from memory).
    Iso16122NozzleFlow,
    /// ISO 16122-2, pressure gauge: 0.2 bar up to 2 bar, 10 % above (from memory).
    Iso16122Gauge,
    /// Univ. of Nebraska (R. Klein): 5 % of the boom's average.
    NebraskaBoomMean,
    /// Application rate within 5 % of the intended one (Ohio State Univ. Extension, after USDA and EPA).
    ExtensionRate,
    /// Typed in.
    User,
}

/// How far off is still right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Largest relative error either way, > 0 and finite.
    pub limit: Share,
    /// Who says so.
    pub source: ToleranceSource,
}

impl Tolerance {
    /// Meters, course numbers and, for want of a rule of their own, injection pumps: 5 %, ISO 16122-2 (from memory).
    pub const RATE_CONTROL: Self =
        Self { limit: Share::from_percent(5.0), source: ToleranceSource::Iso16122RateControl };
    /// Nozzle flow against nominal: 10 %, ISO 16122-2 (from memory).
    pub const NOZZLE_NOMINAL: Self =
        Self { limit: Share::from_percent(10.0), source: ToleranceSource::Iso16122NozzleFlow };
    /// Nozzle flow against the boom's own mean: 5 %, Univ. of Nebraska.
    pub const NOZZLE_MEAN: Self =
        Self { limit: Share::from_percent(5.0), source: ToleranceSource::NebraskaBoomMean };
    /// Rate on the ground against the intended one: 5 %, Ohio State Univ. Extension.
    pub const APPLICATION_RATE: Self =
        Self { limit: Share::from_percent(5.0), source: ToleranceSource::ExtensionRate };

    /// A tolerance that somebody typed.
    #[must_use]
    pub const fn user(limit: Share) -> Self {
        Self { limit, source: ToleranceSource::User }
    }

    /// Whether the limit is finite and above zero.
    #[must_use]
    pub fn is_sensible(&self) -> bool {
        let limit = self.limit.as_fraction();
        limit.is_finite() && limit > 0.0
    }
}

/// Judges an error against a limit with a guard band as wide as the expanded uncertainty.
///
/// | symbol | meaning                        | range                            |
/// |--------|--------------------------------|----------------------------------|
/// | `e`    | error, either sign             | finite                           |
/// | `U`    | expanded uncertainty, 95 %     | ≥ 0; infinite means unknown      |
/// | `T`    | limit                          | > 0                              |
///
/// within: `|e| + U ≤ T`; out: `|e| − U > T`; otherwise not proven yet. All three in one unit.
/// A value that is not a number proves nothing.
///
/// # Source
/// JCGM 106:2012, 8.3 (guarded acceptance and guarded rejection, guard band w = U).
///
/// # Example
/// By hand, limit 5 %: 3 ± 1 is inside, 7 ± 1 outside, 4.5 ± 1 could be either.
/// ```
/// # use calc::verdict::{Verdict, judge};
/// assert_eq!(judge(0.03, 0.01, 0.05), Verdict::Within);
/// assert_eq!(judge(-0.07, 0.01, 0.05), Verdict::Out);
/// assert_eq!(judge(0.045, 0.01, 0.05), Verdict::NotProvenYet);
/// ```
#[must_use]
pub fn judge(error: f64, expanded: f64, limit: f64) -> Verdict {
    if error.abs() + expanded <= limit {
        Verdict::Within
    } else if error.abs() - expanded > limit {
        Verdict::Out
    } else {
        Verdict::NotProvenYet
    }
}

/// The verdict on several things at once: out if one is out, within if all are.
///
/// ```
/// # use calc::verdict::{Verdict, worst};
/// assert_eq!(worst([Verdict::Within, Verdict::Out, Verdict::NotProvenYet]), Some(Verdict::Out));
/// assert_eq!(worst([Verdict::Within, Verdict::NotProvenYet]), Some(Verdict::NotProvenYet));
/// assert_eq!(worst([]), None);
/// ```
#[must_use]
pub fn worst(verdicts: impl IntoIterator<Item = Verdict>) -> Option<Verdict> {
    verdicts.into_iter().reduce(|a, b| match (a, b) {
        (Verdict::Out, _) | (_, Verdict::Out) => Verdict::Out,
        (Verdict::NotProvenYet, _) | (_, Verdict::NotProvenYet) => Verdict::NotProvenYet,
        (Verdict::Within, Verdict::Within) => Verdict::Within,
    })
}
