//! The trade's formulas, trials and predictions: values in, values out.
//!
//! No clock, no randomness, no storage and no sentences for people live here. Quantities of crate `units` stand on the
//! outside of every function, SI numbers with unit suffixes inside. A request that makes no sense is an error that
//! carries the value; `app` finds the words for it.
//!
//! | looking for                                          | module        |
//! |------------------------------------------------------|---------------|
//! | what a rig is, as numbers                            | [`rig`]       |
//! | flow, speed, width, rate, product flow, nudge          | [`rate`]      |
//! | one nozzle: flow, pressure, density, sizes, wear     | [`nozzle`]    |
//! | what is shown and what is true                       | [`model`]     |
//! | the speeds, sections and rates that a rig can hold   | [`reach`]     |
//! | liquid path, hydraulics, transport, lag              | [`plumbing`]  |
//! | a drive over the field, simulated                    | [`pass`]      |
//! | which number is wrong                                | [`diagnosis`] |
//! | what was used against what was shown                 | [`balance`]   |

pub mod balance;
pub mod diagnosis;
pub mod model;
pub mod nozzle;
pub mod pass;
pub mod plumbing;
pub mod rate;
pub mod reach;
pub mod rig;
