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
//! | a number as the console takes it, corrections        | [`keyin`]     |
//! | mean, spread, confidence, budgets                    | [`stats`], [`student_t`], [`uncertainty`] |
//! | verdicts, what to do next                            | [`verdict`], [`next_run`] |
//! | what all ratio trials share                          | [`ratio_trial`] |
//! | trials of meter, course, pump                        | [`meter_trial`], [`course_trial`], [`pump_trial`] |
//! | trials of nozzles, a gauge, the sections, standing   | [`catch_trial`], [`gauge_trial`], [`section_check`], [`standing_run`] |
//! | how a wrong number moves the dose                    | [`sensitivity`] |
//! | speed from a course, courses for an area             | [`speed`]     |
//! | density of water                                     | [`water`]     |
//! | the speeds, sections and rates that a rig can hold   | [`reach`]     |
//! | liquid path, hydraulics, transport, lag              | [`plumbing`]  |
//! | a drive over the field, simulated                    | [`pass`]      |
//! | which number is wrong                                | [`diagnosis`] |
//! | what was used against what was shown                 | [`balance`]   |

pub mod balance;
pub mod catch_trial;
pub mod course_trial;
pub mod diagnosis;
pub mod gauge_trial;
pub mod keyin;
pub mod meter_trial;
pub mod model;
pub mod next_run;
pub mod nozzle;
pub mod pass;
pub mod plumbing;
pub mod pump_trial;
pub mod rate;
pub mod ratio_trial;
pub mod reach;
pub mod rig;
pub mod section_check;
pub mod sensitivity;
pub mod speed;
pub mod standing_run;
pub mod stats;
pub mod student_t;
pub mod uncertainty;
pub mod verdict;
pub mod water;
