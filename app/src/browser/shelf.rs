//! Local storage: texts under keys. Every key of ours begins alike, because other pages may share the origin; the app
//! never clears what it did not write.

use gloo_storage::{LocalStorage, Storage};
use records::keys::{ASIDE_PREFIX, ENTRY_PREFIX};
use records::{Pair, Shelf, ShelfError};

/// Starts the keys of drafts and settings; those of records are `records::keys`.
const PREFIX: &str = "boomwright/";

/// The browser's local storage as a shelf for records.
pub(crate) struct LocalShelf;

/// Local storage, where the browser gives one; gloo panics where it is blocked, so that is asked first.
fn storage() -> Result<web_sys::Storage, ShelfError> {
    let open = web_sys::window().is_some_and(|w| matches!(w.local_storage(), Ok(Some(_))));
    if open { Ok(LocalStorage::raw()) } else { Err(ShelfError::Blocked) }
}

impl Shelf for LocalShelf {
    fn get(&self, key: &str) -> Result<Option<String>, ShelfError> {
        storage()?.get_item(key).map_err(|_| ShelfError::Blocked)
    }

    fn put(&mut self, key: &str, text: &str) -> Result<(), ShelfError> {
        // The one thing that a browser refuses here is a text for which there is no room.
        storage()?.set_item(key, text).map_err(|_| ShelfError::Full)
    }

    fn all(&self) -> Result<Vec<Pair>, ShelfError> {
        let storage = storage()?;
        let keys = (0..storage.length().unwrap_or(0)).filter_map(|idx| storage.key(idx).ok().flatten());
        Ok(keys
            .filter(|key| key.starts_with(ENTRY_PREFIX) || key.starts_with(ASIDE_PREFIX))
            .filter_map(|key| {
                let text = storage.get_item(&key).ok().flatten()?;
                Some((key, text))
            })
            .collect())
    }
}

/// Keeps a draft or a setting. `name` has no prefix.
pub(crate) fn put(name: &str, text: &str) -> Result<(), ShelfError> {
    LocalShelf.put(&format!("{PREFIX}{name}"), text)
}

/// The draft or setting of that name.
pub(crate) fn get(name: &str) -> Option<String> {
    LocalShelf.get(&format!("{PREFIX}{name}")).ok().flatten()
}

/// Whether anything is kept under a name that begins so.
pub(crate) fn any_below(name: &str) -> bool {
    let prefix = format!("{PREFIX}{name}");
    storage().is_ok_and(|storage| {
        (0..storage.length().unwrap_or(0))
            .filter_map(|idx| storage.key(idx).ok().flatten())
            .any(|key| key.starts_with(&prefix))
    })
}

/// Forgets a draft or setting.
pub(crate) fn remove(name: &str) {
    if let Ok(storage) = storage() {
        // Removing what is not there is no error; nothing else can go wrong.
        let _ = storage.remove_item(&format!("{PREFIX}{name}"));
    }
}
