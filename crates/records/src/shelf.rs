//! A key-value store that keeps texts, such as local storage, as seen from here. The browser's one is in the app.

use crate::entry::Record;
use crate::keys::{free_key, key_of};
use crate::load::Pair;

/// Why a store does not do as asked.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ShelfError {
    /// No room is left.
    Full,
    /// The browser does not let us at it.
    Blocked,
    /// Anything else, in the browser's words.
    Other(String),
}

/// A key-value store.
pub trait Shelf {
    /// The text under a key.
    ///
    /// # Errors
    /// [`ShelfError`].
    fn get(&self, key: &str) -> Result<Option<String>, ShelfError>;

    /// Puts a text under a key.
    ///
    /// # Errors
    /// [`ShelfError`]; what was there before is then still there.
    fn put(&mut self, key: &str, text: &str) -> Result<(), ShelfError>;

    /// Every key that begins with one of the [`crate::keys`] prefixes, with its text.
    ///
    /// # Errors
    /// [`ShelfError`].
    fn all(&self) -> Result<Vec<Pair>, ShelfError>;
}

/// Puts records on a shelf. What lies there is never overwritten; a record that is there already is left alone.
///
/// # Errors
/// The first [`ShelfError`] with how many records came before it.
pub fn put_records<'a>(
    shelf: &mut dyn Shelf,
    records: impl IntoIterator<Item = &'a Record>,
) -> Result<(), (usize, ShelfError)> {
    let texts = records.into_iter().map(|record| (key_of(record.id()), record.text()));
    put_texts(shelf, texts)
}

/// Puts texts on a shelf under their keys, or beside what lies there already.
///
/// # Errors
/// The first [`ShelfError`] with how many texts came before it.
pub fn put_texts<'a>(
    shelf: &mut dyn Shelf,
    texts: impl IntoIterator<Item = (String, &'a str)>,
) -> Result<(), (usize, ShelfError)> {
    for (n, (key, text)) in texts.into_iter().enumerate() {
        put_beside(shelf, &key, text).map_err(|error| (n, error))?;
    }
    Ok(())
}

fn put_beside(shelf: &mut dyn Shelf, key: &str, text: &str) -> Result<(), ShelfError> {
    let mut there: Vec<Pair> = Vec::new();
    loop {
        let at = |candidate: &str| there.iter().find(|(k, _)| k == candidate).map(|(_, t)| t.as_str());
        let Some(candidate) = free_key(key, text, at) else { return Ok(()) };
        match shelf.get(&candidate)? {
            Some(found) => there.push((candidate, found)),
            None => return shelf.put(&candidate, text),
        }
    }
}
