//! What is stored, and what it adds up to.

mod book;
mod doc;
mod entry;
pub mod fields;
mod ids;
mod product_rate;
mod read;
pub mod rig;
mod seen;
pub mod trial;
mod value;

pub use book::{Applied, Book};
pub use doc::{Doc, Field, Setting};
pub use entry::{Draft, Entry, Order, Record, Target};
pub use ids::{DeviceId, DocId, EntryId, IdError, Kind, MAX_SEQ, Reference};
pub use product_rate::ProductRate;
pub use read::{CURRENT, MAX_RECORD_BYTES, Reason, Unreadable, read_record};
pub use seen::{Seen, SeqRanges};
pub use value::{FieldValue, Source};
