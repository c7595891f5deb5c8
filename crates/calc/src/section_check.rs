//! The section check: the width that the console should show as sections go on, left to right, against what it shows.

use units::{Length, Share};

/// Why nothing can be checked.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum SectionCheckError {
    /// The rig has no section.
    NoSections,
    /// A section width that is zero, negative or not finite.
    Width {
        /// Index of the section.
        section_idx: usize,
        /// What was given.
        got: Length,
    },
    /// Not one reading (or none) for each section.
    Count {
        /// How many were given.
        got: usize,
        /// How many sections there are.
        expected: usize,
    },
    /// A shown width that is negative or not finite.
    Shown {
        /// Index of the section that was switched on last.
        section_idx: usize,
        /// What was given.
        got: Length,
    },
    /// A step that is negative or not finite.
    Step {
        /// What was given.
        got: Length,
    },
}

/// A section check.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionCheck {
    /// Width of each section, left to right, > 0.
    pub widths: Vec<Length>,
    /// Width shown after each section went on; none where it was not read.
    pub shown: Vec<Option<Length>>,
    /// Smallest step of the shown width.
    pub shown_step: Length,
    /// Step in which section widths are keyed in; zero where they are keyed in exactly.
    pub keyed_step: Length,
}

/// What one section's step says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SectionVerdict {
    /// The shown width agrees.
    Agrees,
    /// This section added too much: its width is keyed in too large, or another section's switch came on with it.
    TooWide,
    /// This section added too little: its width is keyed in too small, or it did not come on for the console.
    TooNarrow,
    /// The console added nothing: the switch does not reach it.
    NotSeen,
    /// Not read.
    NotRead,
}

/// One step of the check.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionStep {
    /// Width that should be shown after this section went on.
    pub expected: Length,
    /// Width that was shown.
    pub shown: Option<Length>,
    /// Shown less expected.
    pub off: Option<Length>,
    /// What this section added less what it should have added; none unless the step before was read too.
    pub own_off: Option<Length>,
    /// How far off rounding alone can bring `off`.
    pub allowed: Length,
    /// Verdict on this section; on the sum so far where the step before was not read.
    pub verdict: SectionVerdict,
}

/// What a section check says.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionCheckOutcome {
    /// One for each section.
    pub steps: Vec<SectionStep>,
    /// Whether every section was read and agrees.
    pub agrees: bool,
    /// Relative error of the whole boom's shown width, and so of the dose; none where the last step was not read.
    pub boom_error: Option<Share>,
}

/// Works out a section check.
///
/// | symbol | meaning                                    | range       |
/// |--------|--------------------------------------------|-------------|
/// | `w_j`  | width of section j, left to right          | finite, > 0 |
/// | `W_j`  | width shown with sections 1 to j on        | finite, ≥ 0 |
/// | `δ`    | steps: shown `δ_s`, keyed in `δ_k`         | finite, ≥ 0 |
///
/// Expected `w_1 + … + w_j`. A section agrees when what it added is off by no more than the rounding can be: `δ_k/2` for
/// its own width and `δ_s/2` for each of the two readings. A sum may be off by `j·δ_k/2 + δ_s/2`.
///
/// # Errors
/// [`SectionCheckError`].
///
/// # Source
/// Definition. Widths are counted, not estimated, so no statistics.
///
/// # Example
/// By hand: 12 + 10 + 12 ft; the console shows 12, 24, 36: the second section is keyed in 2 ft too wide.
/// ```
/// # use calc::section_check::{SectionCheck, SectionVerdict, work_out};
/// # use units::Length;
/// let ft = Length::from_ft;
/// let outcome = work_out(&SectionCheck {
///     widths: vec![ft(12.0), ft(10.0), ft(12.0)],
///     shown: vec![Some(ft(12.0)), Some(ft(24.0)), Some(ft(36.0))],
///     shown_step: ft(0.1),
///     keyed_step: ft(0.0),
/// })?;
/// assert_eq!(outcome.steps[1].verdict, SectionVerdict::TooWide);
/// assert_eq!(outcome.steps[2].verdict, SectionVerdict::Agrees);
/// assert!(outcome.boom_error.is_some_and(|e| (e.as_percent() - 5.882_353).abs() < 1e-6));
/// # Ok::<(), calc::section_check::SectionCheckError>(())
/// ```
pub fn work_out(check: &SectionCheck) -> Result<SectionCheckOutcome, SectionCheckError> {
    validate(check)?;
    let (shown_step_m, keyed_step_m) = (check.shown_step.as_m(), check.keyed_step.as_m());
    let mut expected_m = 0.0;
    // Nothing on shows nothing: the first section can be judged by itself.
    let mut before_m = Some(0.0);
    let mut steps = Vec::with_capacity(check.widths.len());
    for (section_idx, (width, shown)) in check.widths.iter().zip(&check.shown).enumerate() {
        expected_m += width.as_m();
        let allowed_m = 0.5 * (keyed_step_m * (section_idx + 1) as f64 + shown_step_m) + SLACK_M;
        let shown_m = shown.map(Length::as_m);
        let off_m = shown_m.map(|m| m - expected_m);
        let added_m = shown_m.zip(before_m).map(|(now, before)| now - before);
        let own_off_m = added_m.map(|added| added - width.as_m());
        let own_allowed_m =
            0.5 * keyed_step_m + if section_idx == 0 { 0.5 } else { 1.0 } * shown_step_m + SLACK_M;
        let verdict = match (own_off_m, off_m) {
            (Some(own_m), _) => judged(own_m, own_allowed_m, width.as_m()),
            (None, Some(off_m)) => judged(off_m, allowed_m, f64::INFINITY),
            (None, None) => SectionVerdict::NotRead,
        };
        steps.push(SectionStep {
            expected: Length::from_m(expected_m),
            shown: *shown,
            off: off_m.map(Length::from_m),
            own_off: own_off_m.map(Length::from_m),
            allowed: Length::from_m(allowed_m),
            verdict,
        });
        before_m = shown_m;
    }
    let boom_error = before_m.map(|m| Share::from_fraction(m / expected_m - 1.0));
    let agrees = steps.iter().all(|step| step.verdict == SectionVerdict::Agrees);
    Ok(SectionCheckOutcome { steps, agrees, boom_error })
}

/// A micrometre, so that a half step that is not exact in binary still agrees.
const SLACK_M: f64 = 1e-6;

fn judged(off_m: f64, allowed_m: f64, width_m: f64) -> SectionVerdict {
    if off_m.abs() <= allowed_m {
        SectionVerdict::Agrees
    } else if (off_m + width_m).abs() <= allowed_m {
        SectionVerdict::NotSeen
    } else if off_m > 0.0 {
        SectionVerdict::TooWide
    } else {
        SectionVerdict::TooNarrow
    }
}

fn validate(check: &SectionCheck) -> Result<(), SectionCheckError> {
    if check.widths.is_empty() {
        return Err(SectionCheckError::NoSections);
    }
    if check.shown.len() != check.widths.len() {
        return Err(SectionCheckError::Count { got: check.shown.len(), expected: check.widths.len() });
    }
    for got in [check.shown_step, check.keyed_step] {
        if !(got.as_m().is_finite() && got.as_m() >= 0.0) {
            return Err(SectionCheckError::Step { got });
        }
    }
    for (section_idx, (width, shown)) in check.widths.iter().zip(&check.shown).enumerate() {
        if !(width.as_m().is_finite() && width.as_m() > 0.0) {
            return Err(SectionCheckError::Width { section_idx, got: *width });
        }
        if let Some(got) = *shown
            && !(got.as_m().is_finite() && got.as_m() >= 0.0)
        {
            return Err(SectionCheckError::Shown { section_idx, got });
        }
    }
    Ok(())
}
