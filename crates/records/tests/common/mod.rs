//! Shared by the tests: devices that write, hand over, and what they wrote.
#![allow(
    dead_code,
    missing_docs,
    unreachable_pub,
    clippy::unwrap_used,
    reason = "shared by several test programs"
)]

use proptest::prelude::*;
use records::{Book, DeviceId, DocId, Draft, EntryId, Kind, Record};

pub const AT: &str = "2025-05-06T07:08:09Z";

pub fn device(n: u64) -> DeviceId {
    DeviceId::from_random(n + 1)
}

pub fn id(device_n: u64, seq: u64) -> EntryId {
    EntryId { device: device(device_n), seq }
}

/// Something that somebody does.
#[derive(Clone, Debug)]
pub enum Act {
    /// Begins a document.
    Begin { who: usize, kind: Kind },
    /// Sets a path of the `doc`-th document that the writer knows; `None` clears.
    Set { who: usize, doc: usize, path: &'static str, text: Option<u8> },
    /// Hands everything over.
    Hand { from: usize, to: usize },
}

pub fn act(devices: usize) -> impl Strategy<Value = Act> {
    let kinds = prop_oneof![
        Just(Kind::Rig),
        Just(Kind::Trial),
        Just(Kind::Note),
        Just(Kind::Other("orchard".to_owned()))
    ];
    let paths =
        prop::sample::select(vec!["name", "meter.number", "removed", "run.+.indicated", "a.path.of.later"]);
    prop_oneof![
        1 => (0..devices, kinds).prop_map(|(who, kind)| Act::Begin { who, kind }),
        4 => (0..devices, 0..4_usize, paths, prop::option::weighted(0.8, 0..3_u8)).prop_map(|(who, doc, path, text)| {
            // What was removed is not taken back here: a test leans on it.
            let text = if path == "removed" { Some(1) } else { text };
            Act::Set { who, doc, path, text }
        }),
        2 => (0..devices, 0..devices).prop_map(|(from, to)| Act::Hand { from, to }),
    ]
}

/// Plays acts on devices; `names[who]` is the device's name, so that two can share one (a restored backup).
pub fn play(acts: &[Act], names: &[u64]) -> Vec<Record> {
    let mut books: Vec<Book> = names.iter().map(|_| Book::default()).collect();
    let mut all = Vec::new();
    for act in acts {
        match act {
            Act::Begin { who, kind } => {
                let draft = Draft::new(kind.clone(), AT, "Ada", books[*who].seen()).set("name", "begun");
                write(draft, &mut books[*who], names[*who], &mut all);
            }
            Act::Set { who, doc, path, text } => {
                let docs: Vec<DocId> = books[*who].docs().map(|doc| doc.id().clone()).collect();
                if docs.is_empty() {
                    continue;
                }
                let draft = Draft::new(&docs[doc % docs.len()], AT, "Ben", books[*who].seen());
                let draft = match text {
                    Some(text) => draft.set(*path, text.to_string()),
                    None => draft.clear(*path),
                };
                write(draft, &mut books[*who], names[*who], &mut all);
            }
            Act::Hand { from, to } => {
                let handed = books[*from].clone();
                books[*to].merge(&handed);
            }
        }
    }
    all
}

fn write(draft: Draft, book: &mut Book, name: u64, all: &mut Vec<Record>) {
    let seq = book.seen().last_of(device(name)) + 1;
    let record = draft.into_record(id(name, seq));
    book.apply(&record);
    all.push(record);
}

pub fn book_of<'a>(records: impl IntoIterator<Item = &'a Record>) -> Book {
    let mut book = Book::default();
    for record in records {
        book.apply(record);
    }
    book
}
