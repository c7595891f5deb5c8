//! One document as its entries leave it: for each path the value in force, the values at odds, and all earlier ones.
//! What the paths mean is in [`crate::rig`] and [`crate::trial`].

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::entry::{Entry, Order, Record};
use crate::ids::DocId;
use crate::value::FieldValue;

/// A document: a rig, a trial, a job, a note.
#[derive(Clone, Debug, PartialEq)]
pub struct Doc {
    id: DocId,
    entries: Vec<Record>,
    fields: BTreeMap<Arc<str>, Field>,
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
    path: Arc<str>,
    history: Vec<Record>,
    heads: Vec<Record>,
}

/// Puts a record into its place by order, unless it is there. New ones mostly come last.
fn put_in_order(records: &mut Vec<Record>, new: &Record) {
    let place = records.partition_point(|there| there.order() < new.order());
    if records.get(place).is_none_or(|there| there.order() != new.order()) {
        records.insert(place, new.clone());
    }
}

impl Doc {
    pub(crate) fn new(id: DocId) -> Self {
        Self { id, entries: Vec::new(), fields: BTreeMap::new() }
    }

    pub(crate) fn apply(&mut self, record: &Record) {
        put_in_order(&mut self.entries, record);
        for path in record.entry().set.keys() {
            if let Some(field) = self.fields.get_mut(path.as_str()) {
                field.apply(record);
            } else {
                let path: Arc<str> = path.as_str().into();
                let one = vec![record.clone()];
                let field = Field { path: path.clone(), history: one.clone(), heads: one };
                self.fields.insert(path, field);
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

    /// Keys that stand right behind a prefix, as `17` in `run.17.width` behind `run.`, in the order in which they were begun.
    #[must_use]
    pub fn keys_below(&self, prefix: &str) -> Vec<&str> {
        let mut keys: Vec<&str> = Vec::new();
        for entry in self.entries.iter().map(Record::entry) {
            let mut new: Vec<&str> = entry
                .set
                .keys()
                .filter_map(|path| {
                    let (key, _field) = path.strip_prefix(prefix)?.split_once('.')?;
                    (!key.is_empty()).then_some(key)
                })
                .collect();
            new.sort_unstable_by_key(|key| (key.parse::<u64>().unwrap_or(u64::MAX), *key));
            for key in new {
                if !keys.contains(&key) {
                    keys.push(key);
                }
            }
        }
        keys
    }

    /// Its entries, newest first.
    pub fn entries(&self) -> impl DoubleEndedIterator<Item = &Entry> {
        self.entries.iter().rev().map(Record::entry)
    }

    /// The entry that began it, where it is here.
    #[must_use]
    pub fn begun(&self) -> Option<&Entry> {
        self.entries.iter().map(Record::entry).find(|entry| entry.id == self.id.begun_by)
    }

    /// The place of its newest entry.
    #[must_use]
    pub fn last_order(&self) -> Option<Order> {
        self.entries.last().map(Record::order)
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
        self.heads.last().map(|r| self.setting(r))
    }

    /// Settings that nobody has knowingly replaced, the one in force first. Usually one.
    #[must_use]
    pub fn current(&self) -> Vec<Setting<'_>> {
        self.heads.iter().rev().map(|r| self.setting(r)).collect()
    }

    /// Whether settings with different texts stand beside each other.
    #[must_use]
    pub fn is_conflict(&self) -> bool {
        let mut heads = self.heads.iter().map(|r| self.setting(r).text);
        let first = heads.next();
        heads.any(|text| Some(text) != first)
    }

    /// Everything that was ever set here, newest first.
    pub fn history(&self) -> impl DoubleEndedIterator<Item = Setting<'_>> {
        self.history.iter().rev().map(|r| self.setting(r))
    }

    fn setting<'a>(&self, record: &'a Record) -> Setting<'a> {
        let entry = record.entry();
        Setting { entry, text: entry.set.get(&*self.path).and_then(Option::as_deref) }
    }

    /// A setting is in force while no later setting of the path knew it. Who knew an entry stands after it, so the order
    /// adds nothing to that, except where two forged entries claim to have known each other.
    fn apply(&mut self, new: &Record) {
        let later = self.history.partition_point(|there| there.order() <= new.order());
        let replaced =
            self.history.get(later..).unwrap_or_default().iter().any(|there| there.entry().saw(new.id()));
        self.heads.retain(|head| head.order() > new.order() || !new.entry().saw(head.id()));
        if !replaced {
            put_in_order(&mut self.heads, new);
        }
        put_in_order(&mut self.history, new);
    }
}
