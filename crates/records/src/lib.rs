//! What is stored, and what it adds up to.
//!
//! | question                                   | answer                                                         |
//! |--------------------------------------------|----------------------------------------------------------------|
//! | what is one stored thing                   | [`Entry`], written by a [`Draft`], kept as a [`Record`]         |
//! | what do they add up to                     | [`Book`], [`Doc`], [`Field`]                                    |
//! | what may stand at a path of a rig, a trial | [`rig::FIELDS`], [`trial::FIELDS`], rules in [`fields`]         |
//! | what does a rig, a trial, a day to close say | [`rig::RigView`], [`trial::TrialView`], [`closing::DayView`]   |
//! | … of readings that do not add up           | [`readings::FIELDS`]                                            |
//! | which manoeuvres make a drive              | [`drive::FIELDS`], [`drive::DriveView`]                         |
//! | when is it saved                           | [`Saver`]                                                       |
//! | how is it loaded                           | [`load()`] from two stores, keys in [`keys`]                    |
//! | how is it handed over                      | [`export()`], [`Import`]                                        |
//!
//! Invariants: an entry is never changed and never deleted; the stored text of a record is handed on byte for byte;
//! what cannot be read is set aside and never overwritten; no clock decides anything; equal sets of records give equal
//! books.
//!
//! ```
//! use records::{Book, DeviceId, Draft, EntryId, FieldValue, Kind, Source, export, rig::RigView};
//!
//! let device = DeviceId::from_random(7);
//! let mut book = Book::default();
//! let number = FieldValue::new("299").source(Source::Stamped).to_stored();
//! let draft = Draft::new(Kind::Rig, "2025-05-06T07:08:09Z", "Ada", book.seen())
//!     .set("meter.convention", "counting:1:us_gal")
//!     .set("meter.number", number);
//! let record = draft.into_record(EntryId { device, seq: 1 });
//! book.apply(&record);
//! let doc = book.docs_of(&Kind::Rig)[0];
//! assert_eq!(RigView::read(doc).meter.number.ok().map(|n| n.number), Some(299.0));
//! assert!(export(&book, &[]).contains(record.text()));
//! ```
//!
//! What does not live here: the browser's stores and randomness (`app`), formulas (crate `calc`), sentences (`app`).

mod book;
pub mod closing;
mod doc;
pub mod drive;
mod entry;
pub mod examples;
mod export;
pub mod fields;
mod ids;
mod import;
pub mod keys;
mod load;
mod product_rate;
mod read;
pub mod readings;
pub mod rig;
mod saver;
mod seen;
mod shelf;
pub mod trial;
mod value;

pub use book::{Applied, Book};
pub use doc::{Doc, Field, Setting};
pub use entry::{Draft, Entry, Order, Record, Target};
pub use export::export;
pub use ids::{DeviceId, DocId, EntryId, IdError, Kind, MAX_SEQ, Reference};
pub use import::{DocChange, Import, ImportPreview, ImportProblem, Limits};
pub use load::{Loaded, Pair, Place, SetAside, load};
pub use product_rate::ProductRate;
pub use read::{CURRENT, MAX_RECORD_BYTES, Reason, Unreadable, read_record};
pub use saver::{Attempt, SaveProblem, SaveState, Saver, Stored, Ticket};
pub use seen::{Seen, SeqRanges};
pub use shelf::{Shelf, ShelfError, put_records, put_texts};
pub use value::{FieldValue, Source};
