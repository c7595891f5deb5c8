//! What screens are made of: boxes to type in, drawings, the stopwatch. One component a file; none knows a screen.

pub(crate) mod bars;
pub(crate) mod boom;
pub(crate) mod caution;
pub(crate) mod choice;
pub(crate) mod doc_field;
pub(crate) mod dots;
pub(crate) mod field;
pub(crate) mod icon;
pub(crate) mod live;
pub(crate) mod stopwatch;
pub(crate) mod table;
pub(crate) mod verdict;
