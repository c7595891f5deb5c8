//! The one thing that is stored: an entry, which sets fields of a document and is never changed afterwards.
//! Reading stored text is in [`crate::read`]; what entries add up to is in [`crate::Book`].

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::ids::{DeviceId, DocId, EntryId, Kind, Reference};
use crate::read::{CURRENT, sealed};
use crate::seen::{Seen, SeqRanges};

/// What an entry says. Everything is a `set`: a new rig, a changed number, a run, a verdict, a correction, a removal.
///
/// Stored as one line of JSON, members in this order, absent ones left out, a checksum at the end:
/// `{"schema":1,"id":"k3f9a2bc-17","at":"2025-05-06T07:08:09Z","by":"Ada","doc":"rig:k3f9a2bc-3",
/// "set":{"meter.number":"stamped;;299"},"seen":{"q1w2e3r4":"1-5"},"sum":"cbf43926"}`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Entry {
    /// Schema in which it was written.
    pub schema: u32,
    /// Its name.
    pub id: EntryId,
    /// When, by the writer's clock: ISO 8601, UTC. For people to read; nothing is ordered by it.
    pub at: String,
    /// Who wrote it, as they call themselves.
    pub by: String,
    /// The document that it belongs to.
    pub doc: DocId,
    /// Path to text; `None` clears the field. Unknown paths are kept.
    pub set: BTreeMap<String, Option<String>>,
    /// What gave rise to it, e.g. the trial whose number it takes over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub because: Option<Reference>,
    /// The entry that it puts right. That one stays in the book.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<EntryId>,
    /// What the writer knew. Its own device is left out where it knew everything before.
    #[serde(default)]
    pub seen: Seen,
}

impl Entry {
    /// Whether the writer of this entry knew the other one.
    #[must_use]
    pub fn saw(&self, other: EntryId) -> bool {
        match self.seen.of(other.device) {
            Some(ranges) => ranges.contains(other.seq),
            None => other.device == self.id.device && other.seq < self.id.seq,
        }
    }

    /// Its place among all entries: never before one that its writer knew.
    #[must_use]
    pub fn order(&self) -> Order {
        let listed = self.seen.iter().fold(0, |sum: u64, (_, r)| sum.saturating_add(r.count()));
        let own = if self.seen.of(self.id.device).is_none() { self.id.seq - 1 } else { 0 };
        Order { known: listed.saturating_add(own), id_seq: self.id.seq, device: self.id.device }
    }
}

/// A total order of entries that agrees with who knew what, the same on every device, without clocks.
///
/// First by how many entries the writer knew (who knew an entry also knew what its writer knew, so knew more), then by
/// sequence number and device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Order {
    known: u64,
    id_seq: u64,
    device: DeviceId,
}

impl Order {
    /// The entry at this place.
    #[must_use]
    pub fn id(self) -> EntryId {
        EntryId { device: self.device, seq: self.id_seq }
    }
}

/// An entry together with its stored text, byte for byte. The text is what is handed on, so that members a later program
/// added are not lost.
#[derive(Clone, Debug, PartialEq)]
pub struct Record(Arc<Inner>);

#[derive(Debug, PartialEq)]
struct Inner {
    entry: Entry,
    order: Order,
    text: Box<str>,
}

impl Record {
    pub(crate) fn new(entry: Entry, text: &str) -> Self {
        Self(Arc::new(Inner { order: entry.order(), entry, text: text.into() }))
    }

    /// What it says.
    #[must_use]
    pub fn entry(&self) -> &Entry {
        &self.0.entry
    }

    /// Its place among all entries.
    #[must_use]
    pub fn order(&self) -> Order {
        self.0.order
    }

    /// The stored text: one line.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.0.text
    }

    /// Its name.
    #[must_use]
    pub fn id(&self) -> EntryId {
        self.0.entry.id
    }
}

/// Which document a draft belongs to.
#[derive(Clone, Debug, PartialEq)]
pub enum Target {
    /// One that this entry begins.
    New(Kind),
    /// One that exists.
    Doc(DocId),
}

impl From<Kind> for Target {
    fn from(kind: Kind) -> Self {
        Self::New(kind)
    }
}

impl From<DocId> for Target {
    fn from(doc: DocId) -> Self {
        Self::Doc(doc)
    }
}

impl From<&DocId> for Target {
    fn from(doc: &DocId) -> Self {
        Self::Doc(doc.clone())
    }
}

/// An entry that has no sequence number yet: that is given inside the transaction that stores it.
///
/// ```
/// # use records::{Book, Draft, EntryId, Kind};
/// let book = Book::default();
/// let draft = Draft::new(Kind::Rig, "2025-05-06T07:08:09Z", "Ada", book.seen()).set("name", "Ditch truck");
/// let id: EntryId = "k3f9a2bc-1".parse()?;
/// assert_eq!(draft.into_record(id).entry().doc.to_string(), "rig:k3f9a2bc-1");
/// # Ok::<(), records::IdError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// The document.
    pub target: Target,
    /// When: ISO 8601, UTC.
    pub at: String,
    /// Who.
    pub by: String,
    /// Path to text; `None` clears. A path segment `+` becomes the entry's id: `run.+.indicated` begins a run that no
    /// other device can begin too.
    pub set: BTreeMap<String, Option<String>>,
    /// What gave rise to it.
    pub because: Option<Reference>,
    /// The entry that it puts right.
    pub corrects: Option<EntryId>,
    /// What the writer knows.
    pub seen: Seen,
}

impl Draft {
    /// An empty draft.
    #[must_use]
    pub fn new(target: impl Into<Target>, at: impl Into<String>, by: impl Into<String>, seen: &Seen) -> Self {
        Self {
            target: target.into(),
            at: at.into(),
            by: by.into(),
            set: BTreeMap::new(),
            because: None,
            corrects: None,
            seen: seen.clone(),
        }
    }

    /// Sets a field.
    #[must_use]
    pub fn set(mut self, path: impl Into<String>, text: impl Into<String>) -> Self {
        self.set.insert(path.into(), Some(text.into()));
        self
    }

    /// Sets many fields.
    #[must_use]
    pub fn set_all<P: Into<String>, T: Into<String>>(
        mut self,
        fields: impl IntoIterator<Item = (P, T)>,
    ) -> Self {
        self.set.extend(fields.into_iter().map(|(path, text)| (path.into(), Some(text.into()))));
        self
    }

    /// Clears a field.
    #[must_use]
    pub fn clear(mut self, path: impl Into<String>) -> Self {
        self.set.insert(path.into(), None);
        self
    }

    /// Says what gave rise to it.
    #[must_use]
    pub fn because(mut self, reference: impl Into<Reference>) -> Self {
        self.because = Some(reference.into());
        self
    }

    /// Says which entry it puts right.
    #[must_use]
    pub fn correcting(mut self, entry: EntryId) -> Self {
        self.corrects = Some(entry);
        self
    }

    /// The finished record, once the transaction has given it a sequence number.
    #[must_use]
    pub fn into_record(mut self, id: EntryId) -> Record {
        let doc = match self.target {
            Target::New(kind) => DocId { kind, begun_by: id },
            Target::Doc(doc) => doc,
        };
        let set = if self.set.keys().any(|path| path.split('.').any(|s| s == "+")) {
            let mut set = BTreeMap::new();
            set.extend(self.set.into_iter().map(|(path, text)| (with_id(&path, id), text)));
            set
        } else {
            self.set
        };
        // The writer's own entries go without saying, unless it had missed some (another tab wrote them).
        let before = SeqRanges::up_to(id.seq - 1);
        let known = self.seen.0.remove(&id.device).unwrap_or_default().up_to_below(id.seq);
        if known != before {
            self.seen.0.insert(id.device, known);
        }
        let entry = Entry {
            schema: CURRENT,
            id,
            at: self.at,
            by: self.by,
            doc,
            set,
            because: self.because,
            corrects: self.corrects,
            seen: self.seen,
        };
        let text = sealed(&entry);
        Record::new(entry, &text)
    }
}

/// `run.+.indicated` with the id in the place of `+`.
fn with_id(path: &str, id: EntryId) -> String {
    let segments: Vec<String> =
        path.split('.').map(|s| if s == "+" { id.to_string() } else { s.to_owned() }).collect();
    segments.join(".")
}
