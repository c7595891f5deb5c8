//! The smallest next runs that would decide a trial that has proven nothing yet.
//!
//! The search is shared by all trials; what a run's size means (volume, distance, seconds) is the trial's business.

use crate::student_t::two_sided;
use crate::uncertainty::CONFIDENCE;

/// What to do next. `Q` is the quantity that a run is sized by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Next<Q> {
    /// The verdict stands; no run is needed.
    Nothing,
    /// So many further runs of this size would decide, if error and spread stay what they are.
    Runs {
        /// Further runs.
        runs: u32,
        /// Size of each, what the jug, tape or watch should say at least.
        size: Q,
        /// Whether the spread had to be assumed, since a single run shows none.
        spread_assumed: bool,
    },
    /// No number of runs decides: the vessel, tape or reference itself is not good enough.
    BetterReference {
        /// Relative expanded uncertainty that is left after endless runs.
        reachable: f64,
        /// Relative expanded uncertainty that would decide.
        needed: f64,
    },
    /// It would take more than [`MOST_RUNS`] further runs: the error lies too close to the limit.
    TooClose {
        /// Relative expanded uncertainty that would decide.
        needed: f64,
    },
}

impl<Q> Next<Q> {
    /// The same with the size in another quantity.
    pub fn map<R>(self, f: impl FnOnce(Q) -> R) -> Next<R> {
        match self {
            Self::Nothing => Next::Nothing,
            Self::Runs { runs, size, spread_assumed } => Next::Runs { runs, size: f(size), spread_assumed },
            Self::BetterReference { reachable, needed } => Next::BetterReference { reachable, needed },
            Self::TooClose { needed } => Next::TooClose { needed },
        }
    }
}

/// More further runs than this are never proposed.
pub const MOST_RUNS: u32 = 20;

/// A run is never proposed larger than this many times the mean run so far.
pub const LARGEST_FACTOR: f64 = 10.0;

/// Common practice, no source: a trial has at least three runs.
pub const FEWEST_IN_ALL: usize = 3;

/// What the search must know. All uncertainties are standard and relative to the ratio.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plan {
    /// Runs so far, at least one.
    pub n_runs: usize,
    /// Relative spread of the run ratios; none after a single run.
    pub spread: Option<f64>,
    /// Relative reading uncertainty of one average run, the part that falls as one over the size.
    pub falling: f64,
    /// The part that does not fall with the size.
    pub steady: f64,
    /// Shared by all runs.
    pub shared: f64,
    /// Relative expanded uncertainty that decides.
    pub needed: f64,
    /// Whether a larger run also weighs more in the ratio of sums.
    pub readings_grow: bool,
    /// Mean size so far.
    pub mean_size: f64,
}

impl Plan {
    /// The cheapest way, by total size; of two alike the one with fewer runs.
    pub(crate) fn search(&self) -> Next<f64> {
        let needed = self.needed;
        let normal_k = two_sided(CONFIDENCE, f64::INFINITY).unwrap_or(2.0);
        let reachable = normal_k * self.shared;
        if reachable >= needed {
            return Next::BetterReference { reachable, needed };
        }
        let fewest = FEWEST_IN_ALL.saturating_sub(self.n_runs).max(1) as u32;
        let mut best: Option<(u32, f64)> = None;
        let better = |runs: u32, factor: f64, best: Option<(u32, f64)>| {
            best.is_none_or(|(r, f)| f64::from(runs) * factor < f64::from(r) * f)
        };
        for runs in fewest..=MOST_RUNS {
            if self.expanded(runs, 1.0) <= needed {
                if better(runs, 1.0, best) {
                    best = Some((runs, 1.0));
                }
                break;
            }
            // Larger runs are worth a thought only while there are few of them.
            if runs < fewest + 3 && self.expanded(runs, LARGEST_FACTOR) <= needed {
                let factor = self.least_factor(runs);
                if better(runs, factor, best) {
                    best = Some((runs, factor));
                }
            }
        }
        best.map_or(Next::TooClose { needed }, |(runs, factor)| Next::Runs {
            runs,
            size: factor * self.mean_size,
            spread_assumed: self.spread.is_none(),
        })
    }

    fn least_factor(&self, runs: u32) -> f64 {
        let (mut low, mut high) = (1.0, LARGEST_FACTOR);
        for _ in 0..12 {
            let middle = 0.5 * (low + high);
            if self.expanded(runs, middle) <= self.needed {
                high = middle;
            } else {
                low = middle;
            }
        }
        high
    }

    /// Expanded uncertainty after further runs, each so many times the mean size.
    fn expanded(&self, runs: u32, factor: f64) -> f64 {
        let (before, further) = (self.n_runs as f64, f64::from(runs));
        let n = before + further;
        let spread = self.spread.unwrap_or(self.falling.hypot(self.steady));
        let type_a_2 = spread * spread / n;
        let readings_2 = if self.readings_grow {
            let weight = before + further * factor;
            (self.falling.powi(2) + self.steady.powi(2)) * n / (weight * weight)
        } else {
            let fallen = (before + further / (factor * factor)) * self.falling.powi(2);
            (fallen + n * self.steady.powi(2)) / (n * n)
        };
        let combined_2 = type_a_2 + readings_2 + self.shared * self.shared;
        let dof = if type_a_2 > 0.0 { (n - 1.0) * (combined_2 / type_a_2).powi(2) } else { f64::INFINITY };
        two_sided(CONFIDENCE, dof).map_or(f64::INFINITY, |k| k * combined_2.sqrt())
    }
}
