//! Readings that do not add up: from what is stored to what a diagnosis reasons about, and from what it says to the trial
//! or the entry that it calls for. No formula and no sentence lives here.

pub(crate) mod carry;
pub(crate) mod readings;
pub(crate) mod remedy;
pub(crate) mod setup;
#[cfg(test)]
mod tests;
