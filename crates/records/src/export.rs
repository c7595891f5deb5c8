//! The book as one text file, to hand out and to read in again. Line by line:
//!
//! ```text
//! boomwright-book 1
//! has k3f9a2bc 1-40,42                     entries of each device
//! {"schema":1,"id":"k3f9a2bc-1", …}        one entry a line, as stored
//! aside "<key>" "<text>"                   texts that could not be read, as JSON strings
//! sha256 <64 hex digits>                   of everything above
//! ```
//! The same entries give the same bytes, in whatever order they came.

use std::collections::BTreeSet;
use std::fmt::Write;

use sha2::{Digest, Sha256};

use crate::book::Book;
use crate::load::SetAside;

/// First word of the file.
pub(crate) const NAME: &str = "boomwright-book";

/// Version of the file's form. Entries carry their own schema.
pub(crate) const FORMAT: u32 = 1;

/// Writes a book and what was set aside. To hand out entries that are not stored yet, apply
/// [`crate::Saver::unsaved`] to a copy of the book.
#[must_use]
pub fn export(book: &Book, set_aside: &[SetAside]) -> String {
    let mut text = format!("{NAME} {FORMAT}\n");
    for (device, ranges) in book.seen().iter() {
        line(&mut text, &format!("has {device} {ranges}"));
    }
    for record in book.records() {
        line(&mut text, record.text());
    }
    let mut aside = BTreeSet::new();
    aside.extend(set_aside.iter().map(|aside| (aside.key.as_str(), aside.text.as_str())));
    for (key, aside) in aside {
        line(&mut text, &format!("aside {} {}", json_string(key), json_string(aside)));
    }
    let sum = sum_of(&text);
    line(&mut text, &format!("sha256 {sum}"));
    text
}

/// SHA-256 in hex.
pub(crate) fn sum_of(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().fold(String::with_capacity(64), |mut hex, byte| {
        // Writing to a string cannot fail.
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

fn line(text: &mut String, line: &str) {
    text.push_str(line);
    text.push('\n');
}

fn json_string(text: &str) -> String {
    // A string cannot fail to become JSON.
    serde_json::to_string(text).unwrap_or_default()
}
