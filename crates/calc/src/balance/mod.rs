//! The closing balance: what was used against what was shown, solved for ratio errors by weighted least squares.
//!
//! At the end of a job or a day something is known (field area, strip, volume loaded and left, product drawn) and
//! something is shown (area, distance, volume, product). [`close`] solves for the ratios shown over true of speed, width,
//! meter and each pump, with priors from the last proofs; it says which of them cannot be told apart, whether a
//! correction is justified, what rate was really applied, and which load does not fit the others.
//!
//! | part                   | where       |
//! |------------------------|-------------|
//! | what goes in           | `input`     |
//! | least squares          | `solve`     |
//! | true rates, label      | `rates`     |
//! | small symmetric algebra, tails | `symmetric`, `tails` (shared with [`crate::diagnosis`]) |

mod input;
mod rates;
mod solve;
pub(crate) mod symmetric;
pub(crate) mod tails;

pub use input::{BalanceError, Job, Load, Measured, Part, Priors, ProductUse, Strip};
pub use rates::{JobRates, LabelVerdict, RateApplied};
pub use solve::{Balance, Confounded, Correction, Estimate, Misfit, Ratio, Separation, close, close_from};
