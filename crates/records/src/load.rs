//! From what two stores hold to a book: the union of both, what each lacks, and what could not be read.
//! Nothing is written here.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use crate::book::Book;
use crate::ids::EntryId;
use crate::keys::{base_of, free_key, id_of, key_of};
use crate::read::{Reason, read_record};

/// A key and the text under it.
pub type Pair = (String, String);

/// Where a text lay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// Local storage.
    Shelf,
    /// The journal.
    Journal,
    /// A file that was read in.
    File,
}

/// A text that could not be read. It stays where it lies, is never overwritten, and goes along with every export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    /// Where it lay; in both stores where it was the same.
    pub places: Vec<Place>,
    /// Under which key, without `~2`.
    pub key: String,
    /// The text, byte for byte.
    pub text: String,
    /// Why it could not be read.
    pub reason: Reason,
}

/// What loading found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Loaded {
    /// Everything that could be read.
    pub book: Book,
    /// What local storage lacks, with keys that are free there. Empty where [`Self::newer`] is set.
    pub to_shelf: Vec<Pair>,
    /// What the journal lacks, with keys that are free there. Empty where [`Self::newer`] is set.
    pub to_journal: Vec<Pair>,
    /// What could not be read.
    pub set_aside: Vec<SetAside>,
    /// The highest schema found that is newer than this program's: show, and write nothing.
    pub newer: Option<u32>,
}

/// Reads both stores. Either alone is enough.
#[must_use]
pub fn load(shelf: &[Pair], journal: &[Pair]) -> Loaded {
    let mut loaded = Loaded::default();
    let mut aside = Aside::default();
    // Ids whose record that counts lies under its own key, in the journal and on the shelf.
    let mut in_place = [BTreeSet::new(), BTreeSet::new()];
    for ((place, pairs), in_place) in
        [(Place::Journal, journal), (Place::Shelf, shelf)].iter().zip(&mut in_place)
    {
        for (key, text) in *pairs {
            let at = id_of(key).filter(|_| base_of(key) == key);
            // The second store mostly repeats the first: what is there byte for byte need not be read again.
            if let Some(id) = at.filter(|id| loaded.book.record(*id).is_some_and(|r| r.text() == text)) {
                in_place.insert(id);
                continue;
            }
            match read_record(text) {
                Ok(record) => {
                    loaded.book.apply(&record);
                    in_place.extend(at.filter(|id| *id == record.id()));
                }
                Err(unreadable) => aside.put(*place, base_of(key), text, unreadable.reason),
            }
        }
    }
    loaded.newer = aside.newer();
    loaded.set_aside = aside.into_list();
    if loaded.newer.is_none() {
        let [in_journal, on_shelf] = in_place;
        loaded.to_shelf = lacking(&loaded.book, shelf, &on_shelf);
        loaded.to_journal = lacking(&loaded.book, journal, &in_journal);
    }
    loaded
}

impl Loaded {
    /// Whether a sound record with the id of this text's key was found elsewhere, so that nothing is lost by it.
    #[must_use]
    pub fn is_healed(&self, aside: &SetAside) -> bool {
        id_of(&aside.key).is_some_and(|id| self.book.record(id).is_some())
    }
}

/// Texts set aside while reading, each key and text once.
#[derive(Default)]
pub(crate) struct Aside(BTreeMap<(String, String), (Vec<Place>, Reason)>);

impl Aside {
    pub(crate) fn put(&mut self, place: Place, key: &str, text: &str, reason: Reason) {
        let (places, _) =
            self.0.entry((key.to_owned(), text.to_owned())).or_insert_with(|| (Vec::new(), reason));
        if !places.contains(&place) {
            places.push(place);
        }
    }

    /// The highest newer schema among them.
    pub(crate) fn newer(&self) -> Option<u32> {
        let schemas = self.0.values().filter_map(|(_, reason)| match reason {
            Reason::Newer { schema } => Some(*schema),
            _ => None,
        });
        schemas.max()
    }

    pub(crate) fn into_list(self) -> Vec<SetAside> {
        self.0
            .into_iter()
            .map(|((key, text), (places, reason))| SetAside { places, key, text, reason })
            .collect()
    }
}

/// The records of the book that are not among the pairs, each with a key that is free.
fn lacking(book: &Book, pairs: &[Pair], in_place: &BTreeSet<EntryId>) -> Vec<Pair> {
    // Where two records share an id, its being in place says nothing about which of them.
    let mut clashing = BTreeSet::new();
    clashing.extend(book.clashes().map(|(record, _)| record.id()));
    // In place are only ids that the book has: as many as it has are all of them. The usual start ends here.
    if clashing.is_empty() && in_place.len() == book.len() {
        return Vec::new();
    }
    let unsure =
        book.records().filter(|record| !in_place.contains(&record.id()) || clashing.contains(&record.id()));
    let mut at: BTreeMap<Cow<'_, str>, &str> = BTreeMap::new();
    at.extend(pairs.iter().map(|(key, text)| (Cow::Borrowed(key.as_str()), text.as_str())));
    let mut lacking = Vec::new();
    for record in unsure {
        let key = free_key(&key_of(record.id()), record.text(), |key| at.get(key).copied());
        if let Some(key) = key {
            at.insert(Cow::Owned(key.clone()), record.text());
            lacking.push((key, record.text().to_owned()));
        }
    }
    lacking
}
