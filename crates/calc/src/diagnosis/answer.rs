//! What a diagnosis says, as data. How it comes about is `rank`; the words are the app's.

use super::cause::{Cause, How};
use super::checks::Check;
use super::contradiction::Contradiction;
use super::reading::{Amount, Reading};

/// How far the readings carry.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Outcome {
    /// Nothing given can be compared with anything else given or with the sheet: one reading of an unknown quantity, say.
    NothingToCompare,
    /// What is said to be true contradicts itself, or the readings cannot have happened together; see
    /// [`Diagnosis::contradictions`]. The ranking is only what would be if it were sorted out.
    Contradictory,
    /// Nothing is wrong that these readings could show.
    NothingWrong,
    /// No single cause explains the readings: two things are wrong, or a reading is.
    NothingExplains,
    /// One cause stands alone.
    Found {
        /// Share at least 0.99, a good fit, more than one comparison, and no other cause, however far-fetched, within
        /// three standard uncertainties of fitting as well. Never of a misread reading: that is to be repeated.
        sure: bool,
    },
    /// The first cause and those marked [`Explanation::alike`] predict the same readings; only their priors differ.
    Alike,
    /// Several causes remain possible.
    Open,
}

/// Keyed in against wanted, or a fault's size: the ratio and its standard uncertainty where it was fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// The ratio, > 0.
    pub value: f64,
    /// Relative standard uncertainty of a fitted ratio; none where the ratio follows from the digits.
    pub u_rel: Option<f64>,
}

/// A number as it would stand on the console.
#[derive(Clone, Debug, PartialEq)]
pub struct NumberText {
    /// The digits.
    pub text: String,
    /// The number, in the console's form.
    pub value: f64,
}

/// One way in which a cause came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Variant {
    /// How.
    pub how: How,
    /// What the console holds.
    pub keyed: Option<NumberText>,
    /// What it should hold.
    pub wanted: Option<NumberText>,
    /// Keyed over wanted, as numbers in the console's form; for a fault its size (flow over nominal, delivered over
    /// counted, wheel travel over ground travel, read over right).
    pub factor: Option<Factor>,
    /// Posterior share among everything thinkable, 0 to 1.
    pub share: f64,
}

/// One reading under one explanation.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Its situation.
    pub situation: usize,
    /// Its place among the situation's readings.
    pub reading: usize,
    /// What was seen.
    pub seen: Reading,
    /// What the explanation predicts for it.
    pub predicted: Amount,
    /// Seen less predicted, in units of the reading's own uncertainty.
    pub misfit: f64,
}

/// One cause, with how well it explains what was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// What is wrong.
    pub cause: Cause,
    /// The ways it may have come about, best first; never empty. At most four.
    pub variants: Vec<Variant>,
    /// Posterior share of the cause, all its ways together, 0 to 1.
    pub share: f64,
    /// Whether the readings cannot tell it from the first.
    pub alike: bool,
    /// Squared standardised misfit of the best way.
    pub chi2: f64,
    /// Its degrees of freedom.
    pub dof: usize,
    /// Probability of a misfit at least as large if this is what happened.
    pub p: f64,
    /// Every reading, predicted against seen, under the best way.
    pub fit: Vec<Fit>,
}

/// Share of one cause in the whole list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CauseShare {
    /// What is wrong.
    pub cause: Cause,
    /// Posterior share, 0 to 1.
    pub share: f64,
    /// Squared standardised misfit of the way that fits best, however far-fetched.
    pub chi2: f64,
}

/// What the readings say.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// How far they carry.
    pub outcome: Outcome,
    /// The top few, best first.
    pub top: Vec<Explanation>,
    /// Every cause that was weighed and can have happened, best first.
    pub causes: Vec<CauseShare>,
    /// Share of "something that is on no list".
    pub unlisted_share: f64,
    /// The check that best tells the first two causes apart; none where the second has no weight or nothing would.
    pub next_check: Option<Check>,
    /// Share of everything under which the minimum-speed hold is in force in some situation, 0 to 1.
    pub held_share: f64,
    /// What contradicts itself.
    pub contradictions: Vec<Contradiction>,
    /// How many independent comparisons the readings make with each other and with the sheet. 1 is a lone reading: never
    /// sure.
    pub n_comparisons: usize,
    /// Readings that this rig and condition give no meaning, and that were left aside: situation and place.
    pub unused: Vec<(usize, usize)>,
    /// How many candidates were weighed.
    pub n_candidates: usize,
}
