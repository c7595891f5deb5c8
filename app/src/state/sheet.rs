//! The document that a form is about: its texts as they change, and the way to set them.

use crate::state::ledger::{Ledger, ledger};
use leptos::prelude::*;
use records::fields::FieldSpec;
use records::{Doc, DocId};
use std::collections::BTreeMap;

/// Which units a form offers first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum System {
    /// Gallons, feet, miles.
    Us,
    /// Litres, metres, kilometres.
    Metric,
}

impl System {
    /// The stored word.
    pub(crate) fn code(self) -> &'static str {
        match self {
            Self::Us => "us",
            Self::Metric => "metric",
        }
    }

    /// From the stored word; US where nothing is said.
    pub(crate) fn from_code(code: Option<&str>) -> Self {
        if code == Some("metric") { Self::Metric } else { Self::Us }
    }
}

/// A document as a form sees it.
#[derive(Clone, Copy)]
pub(crate) struct Sheet {
    /// Where entries go.
    pub(crate) ledger: Ledger,
    /// What each path may hold.
    pub(crate) spec_of: fn(&str) -> Option<&'static FieldSpec>,
    /// Which units come first.
    pub(crate) system: System,
    /// What stands in boxes and is not saved yet, by path; `None` where a box was emptied. Lies over the document for
    /// whoever works out with each key what follows.
    pub(crate) typed: RwSignal<BTreeMap<String, Option<String>>>,
    doc: StoredValue<DocId>,
}

impl Sheet {
    /// A form over a document.
    pub(crate) fn new(doc: DocId, spec_of: fn(&str) -> Option<&'static FieldSpec>, system: System) -> Self {
        let typed = RwSignal::new(BTreeMap::new());
        Self { ledger: ledger(), spec_of, system, typed, doc: StoredValue::new(doc) }
    }

    /// The document's id.
    pub(crate) fn id(&self) -> DocId {
        self.doc.get_value()
    }

    /// Reads the document as it changes; `None` while it is not there.
    pub(crate) fn read<T>(&self, read: impl FnOnce(&Doc) -> T) -> Option<T> {
        self.doc.with_value(|id| self.ledger.book.with(|book| book.doc(id).map(read)))
    }

    /// Reads the document once, without following it.
    pub(crate) fn peek<T>(&self, read: impl FnOnce(&Doc) -> T) -> Option<T> {
        self.doc.with_value(|id| self.ledger.book.with_untracked(|book| book.doc(id).map(read)))
    }

    /// The text at a path now, without following it.
    pub(crate) fn now(&self, path: &str) -> Option<String> {
        self.peek(|doc| doc.text(path).map(str::to_owned)).flatten()
    }

    /// The text at a path, followed as it changes.
    pub(crate) fn text(self, path: impl Into<String>) -> Memo<Option<String>> {
        let path = path.into();
        Memo::new(move |_| self.read(|doc| doc.text(&path).map(str::to_owned)).flatten())
    }

    /// Sets paths in one entry and calls `then` when that is on disk. Texts that are there already are left out.
    pub(crate) fn set(
        self,
        texts: impl IntoIterator<Item = (String, Option<String>)>,
        then: impl FnOnce() + 'static,
    ) {
        self.set_texts(texts.into_iter().collect(), Box::new(then));
    }

    /// [`Sheet::set`], once for every form instead of once for each kind of list.
    fn set_texts(self, texts: Vec<(String, Option<String>)>, then: Box<dyn FnOnce()>) {
        let mut draft = self.ledger.draft(self.id());
        draft.set.clear();
        draft.set.extend(texts.into_iter().filter(|(path, text)| self.now(path) != *text));
        if draft.set.is_empty() {
            then();
            return;
        }
        self.ledger.save_then(draft, move |_| then());
    }

    /// Sets one path.
    pub(crate) fn set_one(self, path: impl Into<String>, text: impl Into<String>) {
        self.set([(path.into(), Some(text.into()))], || {});
    }
}

/// The form that a field stands in.
pub(crate) fn sheet() -> Sheet {
    expect_context()
}
