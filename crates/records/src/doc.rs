//! One document as its entries leave it: for each path the value in force, the values at odds, and all earlier ones.
//! What the paths mean is in [`crate::rig`] and [`crate::trial`].

use std::collections::BTreeMap;

use crate::entry::{Entry, Order, Record};
use crate::ids::DocId;
use crate::value::FieldValue;

/// A document: a rig, a trial, a job, a note.
#[derive(Clone, Debug, PartialEq)]
pub struct Doc {
    id: DocId,
    entries: BTreeMap<Order, Record>,
    fields: BTreeMap<String, Field>,
}

/// One setting of one field.
#[derive(Clone, Copy, Debug)]
pub struct Setting<'a> {
    /// The entry that set it: who, when, why.
    pub entry: &'a Entry,
    /// The text, `None` where the field was cleared.
    pub text: Option<&'a str>,
}

/// One field of a document with everything that was ever set.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    path: String,
    history: BTreeMap<Order, Record>,
    heads: BTreeMap<Order, Record>,
}

impl Doc {
    pub(crate) fn new(id: DocId) -> Self {
        Self { id, entries: BTreeMap::new(), fields: BTreeMap::new() }
    }

    pub(crate) fn apply(&mut self, record: &Record) {
        self.entries.insert(record.entry().order(), record.clone());
        for path in record.entry().set.keys() {
            if let Some(field) = self.fields.get_mut(path) {
                field.apply(record);
            } else {
                let mut field =
                    Field { path: path.clone(), history: BTreeMap::new(), heads: BTreeMap::new() };
                field.apply(record);
                self.fields.insert(path.clone(), field);
            }
        }
    }

    /// Its id.
    #[must_use]
    pub fn id(&self) -> &DocId {
        &self.id
    }

    /// The text in force at a path; `None` where it was never set or was cleared.
    #[must_use]
    pub fn text(&self, path: &str) -> Option<&str> {
        self.fields.get(path).and_then(Field::text)
    }

    /// The text in force, read as typed text with unit and source.
    #[must_use]
    pub fn value(&self, path: &str) -> Option<FieldValue> {
        self.text(path).map(FieldValue::from_stored)
    }

    /// Everything about one path.
    #[must_use]
    pub fn field(&self, path: &str) -> Option<&Field> {
        self.fields.get(path)
    }

    /// Every path that was ever set.
    pub fn fields(&self) -> impl Iterator<Item = &Field> {
        self.fields.values()
    }

    /// Every path with a text in force, e.g. for a copy of a rig.
    pub fn texts(&self) -> impl Iterator<Item = (&str, &str)> {
        self.fields.values().filter_map(|field| Some((field.path(), field.text()?)))
    }

    /// Paths where two people set different texts without knowing of each other. Ask which one holds; setting the path
    /// anew settles it.
    #[must_use]
    pub fn conflicts(&self) -> Vec<&Field> {
        self.fields.values().filter(|field| field.is_conflict()).collect()
    }

    /// Whether it was removed. One `removed` that nobody took back knowingly is enough: what is removed stays so.
    #[must_use]
    pub fn is_removed(&self) -> bool {
        self.is_set_by_any("removed")
    }

    /// Whether any setting in force at the path is a text.
    #[must_use]
    pub fn is_set_by_any(&self, path: &str) -> bool {
        self.fields.get(path).is_some_and(|field| field.current().iter().any(|s| s.text.is_some()))
    }

    /// Its entries, newest first.
    pub fn entries(&self) -> impl DoubleEndedIterator<Item = &Entry> {
        self.entries.values().rev().map(Record::entry)
    }

    /// The entry that began it, where it is here.
    #[must_use]
    pub fn begun(&self) -> Option<&Entry> {
        self.entries.values().map(Record::entry).find(|entry| entry.id == self.id.begun_by)
    }

    /// The place of its newest entry.
    #[must_use]
    pub fn last_order(&self) -> Option<Order> {
        self.entries.keys().next_back().copied()
    }
}

impl Field {
    /// Its path.
    #[must_use]
    pub fn path(&self) -> &str {
        &self.path
    }

    /// The text in force; of several at odds the one that every device picks alike.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        self.last().and_then(|setting| setting.text)
    }

    /// The setting in force.
    #[must_use]
    pub fn last(&self) -> Option<Setting<'_>> {
        // Without heads two entries claim to have known each other; only a forged record does. Then the order decides.
        self.heads.values().next_back().or_else(|| self.history.values().next_back()).map(|r| self.setting(r))
    }

    /// Settings that nobody has knowingly replaced, the one in force first. Usually one.
    #[must_use]
    pub fn current(&self) -> Vec<Setting<'_>> {
        let heads = if self.heads.is_empty() { &self.history } else { &self.heads };
        heads.values().rev().map(|r| self.setting(r)).collect()
    }

    /// Whether settings with different texts stand beside each other.
    #[must_use]
    pub fn is_conflict(&self) -> bool {
        let mut heads = self.heads.values().map(|r| self.setting(r).text);
        let first = heads.next();
        heads.any(|text| Some(text) != first)
    }

    /// Everything that was ever set here, newest first.
    pub fn history(&self) -> impl DoubleEndedIterator<Item = Setting<'_>> {
        self.history.values().rev().map(|r| self.setting(r))
    }

    fn setting<'a>(&self, record: &'a Record) -> Setting<'a> {
        let entry = record.entry();
        Setting { entry, text: entry.set.get(&self.path).and_then(Option::as_deref) }
    }

    /// A setting is in force while no other setting of the path knew it.
    fn apply(&mut self, record: &Record) {
        let new = record.entry();
        let known = self.history.values().any(|other| other.entry().saw(new.id));
        self.heads.retain(|_, head| !new.saw(head.id()));
        if !known {
            self.heads.insert(new.order(), record.clone());
        }
        self.history.insert(new.order(), record.clone());
    }
}
