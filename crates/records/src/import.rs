//! Reading a file that was handed over. It may be anything: nothing here panics, and sizes are limited. What would change
//! is shown first; applying is then one step.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::Book;
use crate::doc::Field;
use crate::entry::Record;
use crate::export::{FORMAT, NAME, sum_of};
use crate::ids::DocId;
use crate::keys::{ASIDE_PREFIX, base_of};
use crate::load::{Aside, Place, SetAside};
use crate::read::{Reason, read_record};
use crate::seen::{Seen, SeqRanges};

/// How much is read at most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Bytes of the file.
    pub bytes: usize,
    /// Lines of the file.
    pub lines: usize,
}

impl Default for Limits {
    /// 64 MB and 200 000 lines: some ten times the largest book that is planned for.
    fn default() -> Self {
        Self { bytes: 64_000_000, lines: 200_000 }
    }
}

/// Why nothing of a file is read.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ImportProblem {
    /// Larger than [`Limits::bytes`].
    TooLarge {
        /// Its bytes.
        bytes: usize,
        /// The most that is read.
        most: usize,
    },
    /// More lines than [`Limits::lines`].
    TooManyLines {
        /// The most that is read.
        most: usize,
    },
    /// It does not begin as a book does.
    NotABook,
    /// A later program wrote it in another form.
    NewerForm {
        /// Its version.
        version: u32,
    },
}

/// What a file holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Import {
    /// The entries that could be read.
    pub records: Vec<Record>,
    /// What could not be read, and what the file itself carries as set aside.
    pub set_aside: Vec<SetAside>,
    /// Whether the checksum fits. If not, the file was cut short or altered; what could be read is still sound, since
    /// each entry has a checksum of its own.
    pub whole: bool,
    /// How many entries the file says it has and does not hold.
    pub missing: u64,
    /// The highest schema found that is newer than this program's.
    pub newer: Option<u32>,
}

/// What reading in would change.
#[derive(Clone, Debug, PartialEq)]
pub struct ImportPreview {
    /// Entries that are not here yet.
    pub new: Vec<Record>,
    /// How many are here already.
    pub known: usize,
    /// Entries whose id another entry here has. Both would be kept. They are not in [`Self::new`].
    pub clashing: Vec<Record>,
    /// Texts that cannot be read and are not here yet.
    pub unreadable: Vec<SetAside>,
    /// What would become of the documents touched, by id.
    pub docs: Vec<DocChange>,
    /// See [`Import::whole`].
    pub whole: bool,
    /// See [`Import::missing`].
    pub missing: u64,
    /// See [`Import::newer`]. Where set, do not apply: the data would be closed to this program.
    pub newer: Option<u32>,
}

/// What reading in would do to one document.
#[derive(Clone, Debug, PartialEq)]
pub struct DocChange {
    /// Which.
    pub doc: DocId,
    /// Whether it is not here yet.
    pub begins: bool,
    /// How many entries it would gain.
    pub n_entries: usize,
    /// Paths that would be at odds and are not now.
    pub conflicts: Vec<String>,
}

impl Import {
    /// Reads a file.
    ///
    /// # Errors
    /// [`ImportProblem`] where nothing can be made of it; single bad lines are in [`Import::set_aside`].
    pub fn read(bytes: &[u8], limits: Limits) -> Result<Self, ImportProblem> {
        if bytes.len() > limits.bytes {
            return Err(ImportProblem::TooLarge { bytes: bytes.len(), most: limits.bytes });
        }
        let text = String::from_utf8_lossy(bytes);
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
        let mut lines = text.lines();
        let mut head = lines.next().unwrap_or_default().split(' ');
        let version = match (head.next(), head.next().map(str::parse::<u32>), head.next()) {
            (Some(NAME), Some(Ok(version)), None) => version,
            _ => return Err(ImportProblem::NotABook),
        };
        if version != FORMAT {
            return Err(ImportProblem::NewerForm { version });
        }
        let mut reader = Reader { above: format!("{NAME} {FORMAT}\n"), ..Reader::default() };
        for (n, line) in lines.enumerate() {
            if n >= limits.lines {
                return Err(ImportProblem::TooManyLines { most: limits.lines });
            }
            reader.line(line);
        }
        Ok(reader.finish())
    }

    /// What reading in would change. Nothing is changed yet.
    #[must_use]
    pub fn preview(&self, book: &Book, set_aside: &[SetAside]) -> ImportPreview {
        let mut after = book.clone();
        let mut new = Vec::new();
        let mut clashing = Vec::new();
        let mut known = 0;
        let mut touched: BTreeMap<&DocId, usize> = BTreeMap::new();
        for record in &self.records {
            if after.contains(record) {
                known += 1;
                continue;
            }
            let clash = after.record(record.id()).is_some();
            after.apply(record);
            if clash { &mut clashing } else { &mut new }.push(record.clone());
            *touched.entry(&record.entry().doc).or_default() += 1;
        }
        let docs = touched
            .into_iter()
            .map(|(doc, n_entries)| DocChange {
                doc: doc.clone(),
                begins: book.doc(doc).is_none(),
                n_entries,
                conflicts: new_conflicts(book, &after, doc),
            })
            .collect();
        let mut here = BTreeSet::new();
        here.extend(set_aside.iter().map(|aside| (aside.key.as_str(), aside.text.as_str())));
        let unreadable = self
            .set_aside
            .iter()
            .filter(|aside| !here.contains(&(aside.key.as_str(), aside.text.as_str())))
            .cloned()
            .collect();
        ImportPreview {
            new,
            known,
            clashing,
            unreadable,
            docs,
            whole: self.whole,
            missing: self.missing,
            newer: self.newer,
        }
    }
}

impl ImportPreview {
    /// Whether it may be applied: nothing in it is from a later program.
    #[must_use]
    pub fn may_apply(&self) -> bool {
        self.newer.is_none()
    }

    /// Everything to store and to apply, in one step: new entries and clashing ones.
    pub fn records(&self) -> impl Iterator<Item = &Record> {
        self.new.iter().chain(&self.clashing)
    }
}

fn new_conflicts(before: &Book, after: &Book, doc: &DocId) -> Vec<String> {
    let was = |path: &str| before.doc(doc).and_then(|doc| doc.field(path)).is_some_and(Field::is_conflict);
    let conflicts = after.doc(doc).map(|doc| doc.conflicts()).unwrap_or_default();
    conflicts.into_iter().map(|field| field.path().to_owned()).filter(|path| !was(path)).collect()
}

#[derive(Default)]
struct Reader {
    above: String,
    records: Vec<Record>,
    aside: Aside,
    promised: Seen,
    found: Seen,
    /// The checksum line with how much stood above it; gone again if anything follows.
    sum: Option<(usize, String)>,
}

impl Reader {
    fn line(&mut self, line: &str) {
        // Anything behind the checksum means that the file was altered.
        self.sum = None;
        let known = match line.split_once(' ') {
            Some(("has", rest)) => self.has(rest),
            Some(("aside", rest)) => self.set_aside(rest),
            Some(("sha256", sum)) => {
                self.sum = Some((self.above.len(), sum.to_owned()));
                true
            }
            _ => self.record("", line),
        };
        if !known {
            self.keep_aside(line, Reason::NotJson);
        }
        self.above.push_str(line);
        self.above.push('\n');
    }

    fn has(&mut self, rest: &str) -> bool {
        let Some((device, ranges)) = rest.split_once(' ') else { return false };
        let (Ok(device), Some(ranges)) = (device.parse(), SeqRanges::from_text(ranges)) else { return false };
        self.promised.0.insert(device, ranges);
        true
    }

    fn set_aside(&mut self, rest: &str) -> bool {
        let mut strings = serde_json::Deserializer::from_str(rest).into_iter::<String>();
        match (strings.next(), strings.next(), strings.next()) {
            (Some(Ok(key)), Some(Ok(text)), None) => self.record(&key, &text),
            _ => false,
        }
    }

    /// A record, or a text to set aside under `key` (under a key of its own where that is empty).
    fn record(&mut self, key: &str, text: &str) -> bool {
        match read_record(text) {
            Ok(record) => {
                self.found.insert(record.id());
                self.records.push(record);
            }
            Err(unreadable) if key.is_empty() => self.keep_aside(text, unreadable.reason),
            Err(unreadable) => self.aside.put(Place::File, base_of(key), text, unreadable.reason),
        }
        true
    }

    fn keep_aside(&mut self, text: &str, reason: Reason) {
        if !text.is_empty() {
            let key = format!("{ASIDE_PREFIX}{}", sum_of(text).get(..16).unwrap_or_default());
            self.aside.put(Place::File, &key, text, reason);
        }
    }

    fn finish(self) -> Import {
        let missing = self.promised.iter().map(|(device, ranges)| {
            let here = self.found.of(device).map_or(0, |found| ranges.overlap(found));
            ranges.count() - here
        });
        Import {
            whole: self.sum.is_some_and(|(len, sum)| self.above.get(..len).map(sum_of) == Some(sum)),
            missing: missing.fold(0, u64::saturating_add),
            newer: self.aside.newer(),
            set_aside: self.aside.into_list(),
            records: self.records,
        }
    }
}
