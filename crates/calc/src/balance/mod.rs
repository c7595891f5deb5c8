//! The closing balance: what was used against what was shown, solved for ratio errors by weighted least squares.

pub(crate) mod symmetric;
pub(crate) mod tails;
