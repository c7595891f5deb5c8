//! From what is stored to what is calculated: views of `records` become inputs of `calc`. The one place where the two meet;
//! no formula, no sentence and no browser type lives here.

pub(crate) mod adds_up;
pub(crate) mod book;
pub(crate) mod closing;
pub(crate) mod drive;
pub(crate) mod keyin;
pub(crate) mod nozzles;
pub(crate) mod plumbing;
pub(crate) mod proven;
pub(crate) mod rig;
pub(crate) mod trial;
pub(crate) mod what_if;
