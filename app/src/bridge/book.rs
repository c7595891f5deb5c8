//! The book as items, newest first: trials, changes of keyed-in numbers, what was described, notes.

use records::rig::spec_of;
use records::trial::{Status, TrialKind, TrialView};
use records::{Book, Doc, DocId, Entry, EntryId, FieldValue, Kind, Reference};
use std::collections::BTreeSet;

/// What an item is about.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum What {
    /// A trial, as it stands now.
    Trial {
        /// Which; `None` for a kind that a later program added.
        kind: Option<TrialKind>,
        /// Whether it has an outcome.
        status: Status,
        /// `outcome.verdict`, as stored.
        verdict: Option<String>,
        /// Old and new number, where it gave one.
        numbers: Option<(String, String)>,
        /// Pump that it is about.
        pump: Option<u32>,
    },
    /// A number that is keyed in was changed from one text to another.
    Change {
        /// Its path.
        path: String,
        /// The text before.
        old: String,
        /// The text after; `None` where it was cleared.
        new: Option<String>,
    },
    /// Fields of a rig were filled in for the first time, or changed where nothing is keyed in.
    Described {
        /// How many.
        fields: usize,
        /// Whether the rig began with it.
        begun: bool,
    },
    /// A note.
    Note(String),
    /// Something that a later program wrote.
    Other,
}

/// One item of the book.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Item {
    /// The newest entry of it.
    pub(crate) entry: EntryId,
    /// The document.
    pub(crate) doc: DocId,
    /// The rig that it is about, where there is one.
    pub(crate) rig: Option<DocId>,
    /// When, as written.
    pub(crate) at: String,
    /// Who.
    pub(crate) by: String,
    /// What gave rise to it.
    pub(crate) because: Option<Reference>,
    /// The entry that it puts right.
    pub(crate) corrects: Option<EntryId>,
    /// Liquid and temperature, as typed in a trial.
    pub(crate) water: Vec<String>,
    /// What it is.
    pub(crate) what: What,
}

/// Which items are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Wanted {
    /// Everything.
    All,
    /// Trials.
    Trials,
    /// Changes.
    Changes,
    /// Notes.
    Notes,
}

/// Whether a path holds something that is keyed into the console.
fn is_keyed(path: &str) -> bool {
    let last = path.rsplit('.').next().unwrap_or_default();
    match path.split('.').next().unwrap_or_default() {
        "meter" | "speed" => matches!(last, "number" | "convention"),
        "wheel" => true,
        "section" => matches!(last, "width" | "spacing" | "count"),
        "pump" => matches!(last, "number" | "convention" | "first" | "second" | "nudge"),
        "carrier" => matches!(last, "rate" | "mode"),
        "standing" | "hold" => true,
        _ => false,
    }
}

/// The first `most` items that are wanted, newest first.
pub(crate) fn items(book: &Book, wanted: Wanted, rig: Option<&DocId>, most: usize) -> Vec<Item> {
    let mut found: Vec<Item> = Vec::new();
    let mut trials: BTreeSet<DocId> = BTreeSet::new();
    for entry in book.timeline() {
        let Some(doc) = book.doc(&entry.doc) else { continue };
        if doc.id().kind == Kind::Trial && !trials.insert(doc.id().clone()) {
            continue;
        }
        for item in items_of(entry, doc) {
            if !fits(&item, wanted, rig) {
                continue;
            }
            // Neighbouring strokes of describing one rig are one item.
            if let (Some(last), What::Described { fields, begun }) = (found.last_mut(), &item.what)
                && last.doc == item.doc
                && let What::Described { fields: more, begun: last_begun } = &mut last.what
            {
                *more += fields;
                *last_begun |= begun;
                continue;
            }
            if found.len() == most {
                return found;
            }
            found.push(item);
        }
    }
    found
}

fn fits(item: &Item, wanted: Wanted, rig: Option<&DocId>) -> bool {
    let kind = match wanted {
        Wanted::All => true,
        Wanted::Trials => matches!(item.what, What::Trial { .. }),
        Wanted::Changes => matches!(item.what, What::Change { .. }),
        Wanted::Notes => matches!(item.what, What::Note(_)),
    };
    kind && rig.is_none_or(|rig| item.rig.as_ref() == Some(rig))
}

fn items_of(entry: &Entry, doc: &Doc) -> Vec<Item> {
    let item = |what: What| Item {
        entry: entry.id,
        doc: doc.id().clone(),
        rig: match doc.id().kind {
            Kind::Rig => Some(doc.id().clone()),
            _ => doc.text("rig").and_then(|text| text.parse().ok()),
        },
        at: entry.at.clone(),
        by: entry.by.clone(),
        because: entry.because.clone(),
        corrects: entry.corrects,
        water: Vec::new(),
        what,
    };
    match doc.id().kind {
        Kind::Trial => {
            let view = TrialView::read(doc);
            let number = |field: &str| view.outcome(field).map(str::to_owned);
            let mut trial = item(What::Trial {
                kind: view.kind,
                status: view.status,
                verdict: number("verdict"),
                numbers: number("old").zip(number("new")),
                pump: crate::bridge::trial::pump::pump_of(&view),
            });
            let typed = |path: &str| doc.value(path).map(|value| value.text).filter(|text| !text.is_empty());
            trial.water =
                ["setup.liquid", "setup.temperature", "note"].into_iter().filter_map(typed).collect();
            vec![trial]
        }
        Kind::Note => vec![item(What::Note(text_at(entry, "text").unwrap_or_default()))],
        Kind::Rig => rig_items(entry, doc, item),
        _ => vec![item(What::Other)],
    }
}

fn rig_items(entry: &Entry, doc: &Doc, item: impl Fn(What) -> Item) -> Vec<Item> {
    let mut found = Vec::new();
    let mut described = 0;
    for (path, new) in &entry.set {
        let old = before(doc, path, entry.id);
        match old {
            Some(old) if is_keyed(path) => {
                found.push(item(What::Change { path: path.clone(), old, new: new.clone() }));
            }
            _ => described += 1,
        }
    }
    if described > 0 {
        let begun = doc.id().begun_by == entry.id;
        found.push(item(What::Described { fields: described, begun }));
    }
    found
}

/// The text at a path just before an entry set it.
pub(crate) fn before(doc: &Doc, path: &str, entry: EntryId) -> Option<String> {
    let mut older = doc.field(path)?.history().skip_while(|setting| setting.entry.id != entry);
    older.next()?;
    older.next()?.text.map(str::to_owned)
}

fn text_at(entry: &Entry, path: &str) -> Option<String> {
    entry.set.get(path).cloned().flatten()
}

/// A stored text as a person would write it: typed text, and its unit's code where the text names none.
pub(crate) fn as_typed(path: &str, stored: &str) -> (String, Option<String>) {
    use records::fields::Holds;
    let plain = spec_of(path).is_none_or(|spec| {
        !matches!(
            spec.holds,
            Holds::Count
                | Holds::Number
                | Holds::VolumePulses(_)
                | Holds::DistancePulses(_)
                | Holds::Quantity(_)
                | Holds::IsoNumber
        )
    });
    if plain {
        return (stored.to_owned(), None);
    }
    let value = FieldValue::from_stored(stored);
    (value.text, value.unit)
}
