//! Readings that disagree, and the keyed-in number or fault that explains them best.
//!
//! [`diagnose`] takes the rig as keyed in ([`Setup`]: every number with its digits and its convention), what was read
//! under which condition ([`Situation`]: any subset of shown and true quantities, each with its uncertainty), and ranks
//! everything that one slip, one drifted part or one fault could have done. Results are data: a [`Cause`], [`How`] it came
//! about, what is keyed and what is wanted, shares and the [`Check`] that tells the first two apart. Words are the app's.
//!
//! | part            | where           |
//! |-----------------|-----------------|
//! | readings        | `reading`       |
//! | set-up          | `setup`         |
//! | slips of people | `slips`, `digits` |
//! | candidates      | `cause`         |
//! | how far-fetched | `priors`        |
//! | forward model   | `forward`, `parts`, `latents` |
//! | likelihood      | `fit`           |
//! | ranking         | `rank`          |
//! | what comes out  | `answer`        |
//! | next check      | `checks`        |
//! | contradictions  | `contradiction` |
//!
//! How often it is right: `REPORT.md` beside this file, made by `cargo xtask diagnose-report`.

mod answer;
mod cause;
mod checks;
mod contradiction;
mod digits;
mod fit;
mod forward;
mod latents;
mod parts;
mod priors;
mod rank;
mod reading;
mod setup;
mod slips;

pub use answer::{CauseShare, Diagnosis, Explanation, Factor, Fit, NumberText, Outcome, Variant};
pub use cause::{Cause, How};
pub use checks::{Check, CheckKind, Effort, Expected};
pub use contradiction::{Contradiction, ContradictionKind};
pub use rank::diagnose;
pub use reading::{Amount, Reading, What};
pub use setup::{
    CarrierMode, Condition, DiagnosisError, Motion, NumberForm, ProductInUse, Proof, Setup, SheetNumber,
    Situation, SpeedSource,
};
pub use slips::{Side, SlipKind};
