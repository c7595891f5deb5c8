//! The book: every entry, and what the entries add up to. Grows by [`Book::apply`] alone; nothing is ever taken out.
//! Where entries are stored and how they get there is in [`crate::Saver`], [`crate::load`] and [`crate::Import`].

use std::collections::BTreeMap;

use crate::doc::Doc;
use crate::entry::{Entry, Order, Record};
use crate::ids::{DocId, EntryId, Kind, Reference};
use crate::seen::Seen;

/// What applying a record did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Applied {
    /// It was new.
    New,
    /// It was there, byte for byte.
    Known,
    /// Another entry has that id. Both are kept, and [`Book::clashes`] tells.
    Clash,
}

/// All entries, folded into documents. Equal sets of records give equal books, in whatever order they came.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Book {
    records: BTreeMap<EntryId, Record>,
    clashes: BTreeMap<EntryId, Vec<Record>>,
    timeline: BTreeMap<Order, Record>,
    docs: BTreeMap<DocId, Doc>,
    seen: Seen,
}

impl Book {
    /// Adds one record. Doing it twice is doing it once.
    pub fn apply(&mut self, record: &Record) -> Applied {
        let id = record.id();
        let Some(there) = self.records.get(&id).cloned() else {
            self.records.insert(id, record.clone());
            self.seen.insert(id);
            self.fold(record);
            return Applied::New;
        };
        if there.text() == record.text() {
            return Applied::Known;
        }
        let others = self.clashes.entry(id).or_default();
        if others.iter().any(|other| other.text() == record.text()) {
            return Applied::Known;
        }
        // The smaller text is the one that counts, so that every device picks the same.
        let (first, other) = if record.text() < there.text() {
            (record.clone(), there.clone())
        } else {
            (there.clone(), record.clone())
        };
        let place = others.partition_point(|o| o.text() < other.text());
        others.insert(place, other);
        if first != there {
            self.records.insert(id, first.clone());
            self.timeline.remove(&there.order());
            self.refold(&there.entry().doc);
            self.fold(&first);
        }
        Applied::Clash
    }

    /// Adds everything of another book.
    pub fn merge(&mut self, other: &Self) {
        for record in other.records() {
            self.apply(record);
        }
    }

    /// Every record, by id, those that clash with another one included.
    pub fn records(&self) -> impl Iterator<Item = &Record> {
        self.records.iter().flat_map(|(id, record)| {
            std::iter::once(record).chain(self.clashes.get(id).into_iter().flatten())
        })
    }

    /// How many entries count.
    #[must_use]
    pub fn len(&self) -> usize {
        self.records.len()
    }

    /// Whether there is no entry.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.records.is_empty()
    }

    /// The entry with this id.
    #[must_use]
    pub fn entry(&self, id: EntryId) -> Option<&Entry> {
        self.records.get(&id).map(Record::entry)
    }

    /// The record with this id, of several the one that counts.
    #[must_use]
    pub fn record(&self, id: EntryId) -> Option<&Record> {
        self.records.get(&id)
    }

    /// Whether exactly this record is in the book.
    #[must_use]
    pub fn contains(&self, record: &Record) -> bool {
        let same = |other: &Record| other.text() == record.text();
        self.records.get(&record.id()).is_some_and(same)
            || self.clashes.get(&record.id()).is_some_and(|others| others.iter().any(same))
    }

    /// Ids that two different entries lay claim to: the one that counts and the others.
    pub fn clashes(&self) -> impl Iterator<Item = (&Record, &[Record])> {
        self.clashes.iter().filter_map(|(id, others)| Some((self.records.get(id)?, others.as_slice())))
    }

    /// What is known here; a new [`crate::Draft`] takes it along.
    #[must_use]
    pub fn seen(&self) -> &Seen {
        &self.seen
    }

    /// Entries, newest first: by who knew what, not by the clock.
    pub fn timeline(&self) -> impl DoubleEndedIterator<Item = &Entry> {
        self.timeline.values().rev().map(Record::entry)
    }

    /// One document, removed ones included.
    #[must_use]
    pub fn doc(&self, id: &DocId) -> Option<&Doc> {
        self.docs.get(id)
    }

    /// Every document of a kind, removed ones included, the one touched last first.
    #[must_use]
    pub fn docs_of(&self, kind: &Kind) -> Vec<&Doc> {
        let mut docs: Vec<&Doc> = self.docs.values().filter(|doc| doc.id().kind == *kind).collect();
        docs.sort_unstable_by_key(|doc| std::cmp::Reverse(doc.last_order()));
        docs
    }

    /// Every document, by id.
    pub fn docs(&self) -> impl Iterator<Item = &Doc> {
        self.docs.values()
    }

    /// The entries of a document and those that give it (or one of its entries) as their reason, newest first.
    #[must_use]
    pub fn touching(&self, id: &DocId) -> Vec<&Entry> {
        self.timeline()
            .filter(|entry| {
                entry.doc == *id
                    || entry.because.as_ref().is_some_and(|because| match because {
                        Reference::Doc(doc) => doc == id,
                        Reference::Entry(of) => self.entry(*of).is_some_and(|e| e.doc == *id),
                    })
            })
            .collect()
    }

    /// The entries that put this one right, newest first.
    #[must_use]
    pub fn corrections_of(&self, id: EntryId) -> Vec<&Entry> {
        self.timeline().filter(|entry| entry.corrects == Some(id)).collect()
    }

    fn fold(&mut self, record: &Record) {
        self.timeline.insert(record.order(), record.clone());
        let doc = &record.entry().doc;
        if let Some(doc) = self.docs.get_mut(doc) {
            doc.apply(record);
        } else {
            let mut new = Doc::new(doc.clone());
            new.apply(record);
            self.docs.insert(doc.clone(), new);
        }
    }

    /// Builds one document anew from the records that count.
    fn refold(&mut self, id: &DocId) {
        self.docs.remove(id);
        let of_doc: Vec<Record> = self.records.values().filter(|r| r.entry().doc == *id).cloned().collect();
        for record in &of_doc {
            self.fold(record);
        }
    }
}
