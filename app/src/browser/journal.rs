//! The journal: an IndexedDB store in which a text counts as kept only when a transaction of strict durability has
//! completed. Local storage alone loses writes when the browser is killed; this does not.
//!
//! Keys and texts are opaque here. The last key of a range is read and new texts are put inside one transaction, so two
//! tabs of one device never take the same number.

use js_sys::{Array, Promise, Reflect};
use records::Pair;
use records::keys::free_key;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Event, IdbCursor, IdbCursorDirection, IdbDatabase, IdbKeyRange, IdbObjectStore, IdbOpenDbRequest,
    IdbRequest, IdbTransaction, IdbTransactionDurability, IdbTransactionMode, IdbTransactionOptions,
    IdbVersionChangeEvent,
};

const DATABASE: &str = "boomwright";
const ENTRIES: &str = "entries";
const VERSION: u32 = 1;

/// Why the journal would not open or take a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum JournalError {
    /// The browser gives no IndexedDB here, or it will not open.
    Blocked,
    /// No room is left.
    Full,
    /// The browser's own words.
    Other(String),
}

impl From<JsValue> for JournalError {
    fn from(value: JsValue) -> Self {
        let name = Reflect::get(&value, &"name".into()).ok().and_then(|n| n.as_string()).unwrap_or_default();
        match name.as_str() {
            "QuotaExceededError" => Self::Full,
            "SecurityError" | "InvalidStateError" => Self::Blocked,
            _ => Self::Other(name),
        }
    }
}

/// An open journal.
#[derive(Clone)]
pub(crate) struct Journal {
    database: IdbDatabase,
}

impl Journal {
    /// Opens the journal, makes it where there is none. `outdated` is called when another tab has a newer version and
    /// this one was closed so as not to stand in its way.
    pub(crate) async fn open(outdated: impl FnMut() + 'static) -> Result<Self, JournalError> {
        let factory = leptos::prelude::window().indexed_db().ok().flatten().ok_or(JournalError::Blocked)?;
        let request = factory.open_with_u32(DATABASE, VERSION)?;
        let make = Closure::once_into_js(|event: IdbVersionChangeEvent| {
            let database = event
                .target()
                .and_then(|t| t.dyn_into::<IdbOpenDbRequest>().ok())
                .and_then(|r| r.result().ok())
                .and_then(|r| r.dyn_into::<IdbDatabase>().ok());
            if let Some(database) = database {
                // Fails only where the store is there already, and then there is nothing to make.
                let _ = database.create_object_store(ENTRIES);
            }
        });
        request.set_onupgradeneeded(Some(make.unchecked_ref()));
        let database: IdbDatabase = done(&request).await?.dyn_into().map_err(|_| JournalError::Blocked)?;
        let mut outdated = outdated;
        let closing = database.clone();
        let on_version_change = Closure::<dyn FnMut(Event)>::new(move |_| {
            closing.close();
            outdated();
        });
        database.set_onversionchange(Some(on_version_change.as_ref().unchecked_ref()));
        on_version_change.forget();
        Ok(Self { database })
    }

    /// One strict transaction: reads the last key in `range` and the texts under `asked`, then puts what `build` makes of
    /// them. Returns once the browser has said that all of it is on disk.
    pub(crate) async fn write(
        &self,
        range: (String, String),
        asked: &[String],
        build: impl FnOnce(Option<String>, Vec<Option<String>>) -> Vec<Pair>,
    ) -> Result<(), JournalError> {
        let transaction = self.transaction(IdbTransactionMode::Readwrite)?;
        let completed = completion(&transaction);
        let store = transaction.object_store(ENTRIES)?;
        let last = last_key(&store, &range).await?;
        let mut found = Vec::with_capacity(asked.len());
        for key in asked {
            found.push(done(&store.get(&key.into())?).await?.as_string());
        }
        for (key, text) in build(last, found) {
            put_beside(&store, &key, &text).await?;
        }
        completed.await?;
        Ok(())
    }

    /// Puts texts under their keys, or beside what lies there: nothing is ever overwritten.
    pub(crate) async fn put_beside(&self, texts: &[Pair]) -> Result<(), JournalError> {
        if texts.is_empty() {
            return Ok(());
        }
        let transaction = self.transaction(IdbTransactionMode::Readwrite)?;
        let completed = completion(&transaction);
        let store = transaction.object_store(ENTRIES)?;
        for (key, text) in texts {
            put_beside(&store, key, text).await?;
        }
        completed.await?;
        Ok(())
    }

    /// Everything that is kept.
    pub(crate) async fn all(&self) -> Result<Vec<Pair>, JournalError> {
        let transaction = self.transaction(IdbTransactionMode::Readonly)?;
        let store = transaction.object_store(ENTRIES)?;
        let (texts, keys) = (store.get_all()?, store.get_all_keys()?);
        let texts = Array::from(&done(&texts).await?);
        let keys = Array::from(&done(&keys).await?);
        Ok(keys.iter().map(|key| as_text(&key)).zip(texts.iter().map(|text| as_text(&text))).collect())
    }

    fn transaction(&self, mode: IdbTransactionMode) -> Result<IdbTransaction, JournalError> {
        let options = IdbTransactionOptions::new();
        options.set_durability(IdbTransactionDurability::Strict);
        Ok(self.database.transaction_with_str_and_mode_and_options(ENTRIES, mode, &options)?)
    }
}

/// Puts a text under its key. Where another text lies there it is put under the next free key, and where the same one does
/// there is nothing to do.
async fn put_beside(store: &IdbObjectStore, key: &str, text: &str) -> Result<(), JournalError> {
    let mut there: Vec<Pair> = Vec::new();
    loop {
        let at =
            |candidate: &str| there.iter().find(|(key, _)| key == candidate).map(|(_, text)| text.as_str());
        let Some(candidate) = free_key(key, text, at) else { return Ok(()) };
        let found = done(&store.get(&candidate.as_str().into())?).await?;
        if found.is_undefined() {
            store.add_with_key(&text.into(), &candidate.into())?;
            return Ok(());
        }
        there.push((candidate, as_text(&found)));
    }
}

/// A value that is no text is kept as the browser writes it, so that it can be set aside and seen.
fn as_text(value: &JsValue) -> String {
    value.as_string().unwrap_or_else(|| format!("{value:?}"))
}

/// The last key in a range.
async fn last_key(
    store: &IdbObjectStore,
    (first, last): &(String, String),
) -> Result<Option<String>, JournalError> {
    let range = IdbKeyRange::bound(&first.into(), &last.into())?;
    let request = store.open_key_cursor_with_range_and_direction(&range, IdbCursorDirection::Prev)?;
    match done(&request).await?.dyn_into::<IdbCursor>() {
        Ok(cursor) => Ok(cursor.key()?.as_string()),
        Err(_) => Ok(None),
    }
}

/// Waits for a request.
async fn done(request: &IdbRequest) -> Result<JsValue, JournalError> {
    let promise = Promise::new(&mut |resolve, reject| {
        let asked = request.clone();
        let on_success = Closure::once_into_js(move |_: Event| {
            let _ = resolve.call1(&JsValue::NULL, &asked.result().unwrap_or(JsValue::UNDEFINED));
        });
        let asked = request.clone();
        let on_error = Closure::once_into_js(move |_: Event| {
            let error = asked.error().ok().flatten().map_or(JsValue::UNDEFINED, JsValue::from);
            let _ = reject.call1(&JsValue::NULL, &error);
        });
        request.set_onsuccess(Some(on_success.unchecked_ref()));
        request.set_onerror(Some(on_error.unchecked_ref()));
    });
    JsFuture::from(promise).await.map_err(JournalError::from)
}

/// Resolves when the transaction is complete. Made before the first request, so that no event is missed.
fn completion(transaction: &IdbTransaction) -> impl Future<Output = Result<JsValue, JournalError>> + use<> {
    let promise = Promise::new(&mut |resolve, reject| {
        let on_complete = Closure::once_into_js(move |_: Event| {
            let _ = resolve.call0(&JsValue::NULL);
        });
        let asked = transaction.clone();
        let on_abort = Closure::once_into_js(move |_: Event| {
            let error = asked.error().map_or(JsValue::UNDEFINED, JsValue::from);
            let _ = reject.call1(&JsValue::NULL, &error);
        });
        transaction.set_oncomplete(Some(on_complete.unchecked_ref()));
        transaction.set_onabort(Some(on_abort.unchecked_ref()));
    });
    async move { JsFuture::from(promise).await.map_err(JournalError::from) }
}
