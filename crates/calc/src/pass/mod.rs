//! A drive over the field, simulated: controllers, nozzles that follow pressure, plug flow, dose on the ground.
//!
//! | looking for                                       | module         |
//! |---------------------------------------------------|----------------|
//! | manoeuvres, speed and switches against time       | [`drive`]      |
//! | what a pass needs to know, and its errors         | [`setup`]      |
//! | running it, in slices                             | [`simulation`] |
//! | dose field, shares of area, time series, balance  | [`outcome`]    |
//! | what would help                                   | [`remedies`]   |
//!
//! One product at a time: several pumps are several simulations. The numbers keyed into the console are taken as right;
//! what wrong ones do to the dose is in [`crate::reach`] and [`crate::sensitivity`].

mod controller;
pub mod drive;
pub mod outcome;
mod pieces;
pub mod remedies;
pub mod setup;
pub mod simulation;
