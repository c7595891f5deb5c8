//! The trade's formulas, trials and predictions: values in, values out.
//!
//! No clock, no randomness, no storage and no sentences for people live here. Quantities of crate `units` stand on the
//! outside of every function, SI numbers with unit suffixes inside. A request that makes no sense is an error that
//! carries the value; `app` finds the words for it.
//!
//! | looking for                                        | module                   |
//! |----------------------------------------------------|--------------------------|
//! | what a rig is, as numbers                          | [`rig`]                  |
//! | flow, speed, width, rate, product flow, nudge      | [`rate`]                 |
//! | one nozzle: flow, pressure, density, sizes, wear   | [`nozzle`]               |
//! | speed from a course, courses for an area           | [`speed`]                |
//! | how far a tank goes and what goes into it          | [`load`]                 |
//! | density of water                                   | [`water`]                |
//! | what is shown and what is true                     | [`model`]                |
//! | how a wrong number moves the dose                  | [`sensitivity`]          |
//! | a number as the console takes it, corrections      | [`keyin`]                |
//! | trial of the flow meter, by volume or weight       | [`meter_trial`]          |
//! | trial of the course number, by tape or stopwatch   | [`course_trial`]         |
//! | trial of an injection pump                         | [`pump_trial`]           |
//! | what these three share, and why a trial fails      | [`ratio_trial`]          |
//! | trial of nozzles                                   | [`catch_trial`]          |
//! | trial of a pressure gauge                          | [`gauge_trial`]          |
//! | widths as sections go on                           | [`section_check`]        |
//! | truck still, console on a simulated speed          | [`standing_run`]         |
//! | verdicts, tolerances and their sources             | [`verdict`]              |
//! | the smallest next run that decides                 | [`next_run`]             |
//! | uncertainty budgets, propagation                   | [`uncertainty`]          |
//! | mean, spread; Student's t                          | [`stats`], [`student_t`] |
//! | the speeds, sections and rates that a rig can hold | [`reach`]                |
//! | liquid path, hydraulics, transport, lag            | [`plumbing`]             |
//! | a drive over the field, simulated                  | [`pass`]                 |
//! | which number is wrong                              | [`diagnosis`]            |
//! | what was used against what was shown               | [`balance`]              |

pub mod balance;
pub mod catch_trial;
pub mod course_trial;
pub mod diagnosis;
pub mod gauge_trial;
pub mod keyin;
pub mod load;
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
