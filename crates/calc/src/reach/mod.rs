//! What the speeds, sections and rates are that a rig can hold, and which limit binds at each end.
//!
//! | question                                                       | module            |
//! |----------------------------------------------------------------|-------------------|
//! | what is planned, and what is missing or wrong in it            | [`plan`]          |
//! | how well its numbers are proven                               | [`proven`]        |
//! | between which speeds is the rate held, and what binds          | [`window`]        |
//! | with which sections, down to the narrowest alone               | [`sections`]      |
//! | which pressure, flow and rate at each speed                    | [`expected`]      |
//! | which nozzle sizes give the rate over the wanted speeds        | [`nozzle_choice`] |
//! | what lands at each rate, against the label                     | [`doses`]         |
//! | what the boom ends get on a curve                              | [`turns`]         |
//! | what single change gives a plan a window                       | [`make_it_work`]  |
//! | what the operator's card says                                  | [`cab_card`]      |
//!
//! Everything here is steady driving. Delays and controllers are in [`crate::plumbing`] and [`crate::pass`]; the flow
//! law of a nozzle is in [`crate::nozzle`], rate algebra in [`crate::rate`].

pub mod cab_card;
pub mod doses;
pub mod expected;
mod flows;
mod limits;
pub mod make_it_work;
pub mod nozzle_choice;
pub mod plan;
pub mod proven;
mod read;
mod search;
mod section_search;
pub mod sections;
pub mod turns;
pub mod window;
