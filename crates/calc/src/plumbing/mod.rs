//! The liquid path from the supply to every nozzle: what it is, how much flows where, and when product arrives.
//!
//! | looking for                                             | module         |
//! |---------------------------------------------------------|----------------|
//! | a network from a handful of answers                     | [`quick`]      |
//! | a network and what can be wrong with it                 | [`network`]    |
//! | friction factors                                        | [`friction`]   |
//! | pressures and flows                                     | [`hydraulics`] |
//! | spread over the boom, gauge against nozzle, small lines | [`boom`]       |
//! | lag of a steady state                                   | [`arrival`]    |
//! | lag on the ground, in the line, in the tank             | [`lag`]        |
//! | where product is while states change                    | [`transport`]  |
//! | how a front blurs on its way                            | [`dispersion`] |
//!
//! A [`Network`](network::Network) is checked once, which makes a [`Plumbing`]; everything else is computed on that.

pub mod arrival;
pub mod boom;
pub mod dispersion;
mod erfc;
pub mod friction;
pub mod hydraulics;
pub mod lag;
pub mod network;
pub(crate) mod newton;
pub mod quick;
pub(crate) mod slugs;
mod state;
pub(crate) mod tracker;
pub mod transport;
mod tree;

pub use tree::{Plumbing, pipe_content};
