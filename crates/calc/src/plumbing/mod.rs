//! The liquid path from the supply to every nozzle: what it is, how much flows where, and when product arrives.
//!
//! | looking for                                             | module         |
//! |---------------------------------------------------------|----------------|
//! | a network and what can be wrong with it                 | [`network`]    |
//! | friction factors                                        | [`friction`]   |
//! | pressures and flows                                     | [`hydraulics`] |
//! | lag of a steady state                                   | [`arrival`]    |
//! | where product is while states change                    | [`transport`]  |
//!
//! A [`Network`](network::Network) is checked once, which makes a [`Plumbing`]; everything else is computed on that.

pub mod arrival;
pub mod friction;
pub mod hydraulics;
pub mod network;
mod newton;
mod slugs;
mod tracker;
pub mod transport;
mod tree;

pub use tree::{Plumbing, pipe_content};
