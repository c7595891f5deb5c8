//! A rig that runs in plain numbers: pulses are counted, divided by what the console holds, and read with noise.
//!
//! Nothing of the diagnosis is used but its input types, so that the two can only agree by being right. Nothing here is
//! in logs. Shared by the tests, the benchmark and the report.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used, clippy::panic, clippy::missing_panics_doc)]

pub mod cases;
pub mod random;
pub mod report;
pub mod rigs;
pub mod run;
pub mod wrong_numbers;
