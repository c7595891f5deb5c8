//! Everything that touches the browser: address, clock, local storage, the journal, files, other tabs. Nothing here
//! knows what is stored or what the words are.

pub(crate) mod address;
pub(crate) mod channel;
pub(crate) mod clock;
pub(crate) mod crash;
pub(crate) mod files;
pub(crate) mod focus;
pub(crate) mod journal;
pub(crate) mod offline;
pub(crate) mod persist;
pub(crate) mod print;
pub(crate) mod random;
pub(crate) mod screen;
pub(crate) mod shelf;
pub(crate) mod slices;
pub(crate) mod tiles;
pub(crate) mod wake_lock;
