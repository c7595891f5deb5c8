//! The ledger: the book in memory, and the way of every new entry into the journal, local storage and other tabs.
//!
//! An entry counts as saved when the journal's transaction has completed, and not before. Local storage gets the same
//! text right after; loading takes the union of both, so that either alone is enough. What is queued and what may be
//! said meanwhile is `records::Saver`; here it is driven by the browser's events.

use crate::browser::journal::{Journal, JournalError};
use crate::browser::shelf::{self, LocalShelf};
use crate::browser::{channel, clock, persist, random};
use crate::state::prefs::prefs;
use leptos::prelude::*;
use leptos::task::spawn_local;
use records::keys::{id_of, key_of, range_of};
use records::{
    Attempt, Book, DeviceId, Draft, Pair, Record, SaveProblem, SaveState, Saver, SetAside, Shelf, Target,
    Ticket, load, put_records, put_texts, read_record,
};
use std::cell::Cell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::time::Duration;

const DEVICE: &str = "device";
/// Longer than any sound disk takes; past it the user is told and the attempt may still complete.
const STALLED_AFTER: Duration = Duration::from_secs(10);

type Then = Box<dyn FnOnce(Vec<Record>)>;

/// The ledger. Created once above everything that reads it.
#[derive(Clone, Copy)]
pub(crate) struct Ledger {
    /// Everything that is known.
    pub(crate) book: RwSignal<Book>,
    /// How saving goes.
    pub(crate) state: RwSignal<SaveState>,
    /// At least one entry was saved since the app was opened.
    pub(crate) any_saved: RwSignal<bool>,
    /// Local storage would not take a copy; the journal has it.
    pub(crate) shelf_full: RwSignal<bool>,
    /// Stored texts that cannot be read. They stay where they are, byte for byte.
    pub(crate) set_aside: RwSignal<Vec<SetAside>>,
    /// Records of a newer program lie here, or one runs in another tab: this one must not write.
    pub(crate) closed: RwSignal<Option<Closed>>,
    saver: StoredValue<Saver>,
    waiting: StoredValue<BTreeMap<Ticket, Then>, LocalStorage>,
    journal: StoredValue<Option<Journal>, LocalStorage>,
}

/// Why nothing can be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Closed {
    /// Records of a newer schema lie here.
    NewerRecords,
    /// A newer version runs in another tab.
    NewerTab,
    /// The browser gives no journal.
    NoJournal,
}

/// What was found when the app was opened.
pub(crate) struct Found {
    loaded: records::Loaded,
    journal: Option<Journal>,
    device: DeviceId,
    shelf_full: bool,
    newer_tab: Rc<Cell<Option<RwSignal<Option<Closed>>>>>,
}

/// Opens the journal and reads everything that is stored. Nothing is written before this has ended, and then only what
/// one of the two places lacks.
pub(crate) async fn open() -> Found {
    // The signal is made by the app, which does not run yet.
    let newer_tab: Rc<Cell<Option<RwSignal<Option<Closed>>>>> = Rc::default();
    let tell = Rc::clone(&newer_tab);
    let journal = Journal::open(move || {
        if let Some(closed) = tell.get() {
            closed.set(Some(Closed::NewerTab));
        }
    })
    .await
    .ok();
    let on_shelf = LocalShelf.all().unwrap_or_default();
    let in_journal = match &journal {
        Some(journal) => journal.all().await.unwrap_or_default(),
        None => Vec::new(),
    };
    let loaded = load(&on_shelf, &in_journal);
    let texts = loaded.to_shelf.iter().map(|(key, text)| (key.clone(), text.as_str()));
    let shelf_full = put_texts(&mut LocalShelf, texts).is_err();
    if let Some(journal) = &journal {
        // What cannot be put back now is still on the shelf and is tried again next time.
        let _ = journal.put_beside(&loaded.to_journal).await;
    }
    Found { loaded, journal, device: device(), shelf_full, newer_tab }
}

/// This device's name, drawn once.
fn device() -> DeviceId {
    if let Some(known) = shelf::get(DEVICE).and_then(|text| text.parse().ok()) {
        return known;
    }
    let drawn = DeviceId::from_random(random::bits());
    // Where it cannot be kept, the next visit draws another: ids stay unique all the same.
    let _ = shelf::put(DEVICE, &drawn.to_string());
    drawn
}

impl Ledger {
    /// From what was found. Called once, at the root.
    pub(crate) fn new(found: Found) -> Self {
        let closed = match (found.loaded.newer, &found.journal) {
            (Some(_), _) => Some(Closed::NewerRecords),
            (None, None) => Some(Closed::NoJournal),
            (None, Some(_)) => None,
        };
        let floor = found.loaded.book.seen().last_of(found.device);
        let ledger = Self {
            book: RwSignal::new(found.loaded.book),
            state: RwSignal::new(SaveState::Saved),
            any_saved: RwSignal::new(false),
            shelf_full: RwSignal::new(found.shelf_full),
            set_aside: RwSignal::new(found.loaded.set_aside),
            closed: RwSignal::new(closed),
            saver: StoredValue::new(Saver::new(found.device, floor)),
            waiting: StoredValue::new_local(BTreeMap::new()),
            journal: StoredValue::new_local(found.journal),
        };
        found.newer_tab.set(Some(ledger.closed));
        channel::listen(move |text| {
            if let Ok(record) = read_record(&text) {
                ledger.book.update(|book| {
                    book.apply(&record);
                });
            }
        });
        ledger
    }

    /// An entry to fill in: by whom, when, and knowing what this device knows.
    pub(crate) fn draft(&self, target: impl Into<Target>) -> Draft {
        let name = prefs().name.get_untracked();
        self.book.with_untracked(|book| Draft::new(target, clock::now_iso(), name, book.seen()))
    }

    /// Saves an entry; `then` gets the record when it is on disk, and never before.
    pub(crate) fn save_then(self, draft: Draft, then: impl FnOnce(Record) + 'static) {
        self.save_all_then(vec![draft], move |records| {
            if let Some(record) = records.into_iter().next() {
                then(record);
            }
        });
    }

    /// Saves entries in one step, all or none.
    pub(crate) fn save_all_then(self, drafts: Vec<Draft>, then: impl FnOnce(Vec<Record>) + 'static) {
        self.queue(Box::new(then), |saver| saver.save(drafts));
    }

    /// Takes finished records from elsewhere in one step.
    pub(crate) fn take_in_then(self, records: Vec<Record>, then: impl FnOnce(Vec<Record>) + 'static) {
        self.queue(Box::new(then), |saver| saver.keep(records));
    }

    /// Keeps texts of a file that cannot be read, beside everything else and byte for byte; `then` hears whether the
    /// journal has them. They are shown as set aside once it has.
    pub(crate) fn set_aside_then(self, texts: Vec<SetAside>, then: impl FnOnce(bool) + 'static) {
        spawn_local(async move {
            let pairs: Vec<Pair> =
                texts.iter().map(|aside| (aside.key.clone(), aside.text.clone())).collect();
            let kept = match self.journal.get_value() {
                Some(journal) if self.closed.get_untracked().is_none() => {
                    journal.put_beside(&pairs).await.is_ok()
                }
                _ => false,
            };
            if kept {
                let texts_only = pairs.iter().map(|(key, text)| (key.clone(), text.as_str()));
                self.shelf_full.set(put_texts(&mut LocalShelf, texts_only).is_err());
                self.set_aside.update(|aside| aside.extend(texts));
            }
            then(kept);
        });
    }

    /// Tries again after a failure.
    pub(crate) fn retry(self) {
        self.saver.update_value(Saver::retry);
        self.drive();
    }

    /// The book with what waits to be saved, for a copy that is handed out.
    pub(crate) fn book_with_unsaved(&self) -> Book {
        let mut book = self.book.get_untracked();
        let unsaved = self.saver.try_update_value(|saver| {
            let last = book.seen().last_of(saver.device());
            saver.unsaved(last)
        });
        for record in unsaved.unwrap_or_default() {
            book.apply(&record);
        }
        book
    }

    fn queue(self, then: Then, ask: impl FnOnce(&mut Saver) -> Ticket) {
        // In the tap of the first save, since some browsers ask the user, and only then.
        if !self.any_saved.get_untracked() {
            persist::ask_once();
        }
        if let Some(ticket) = self.saver.try_update_value(ask) {
            self.waiting.update_value(|waiting| {
                waiting.insert(ticket, then);
            });
        }
        self.drive();
    }

    /// Opens the next transaction, if one is due, and says how things stand.
    fn drive(self) {
        let attempt = self.saver.try_update_value(Saver::begin).flatten();
        self.say();
        let Some(attempt) = attempt else { return };
        let number = attempt.number;
        set_timeout(
            move || {
                self.saver.update_value(|saver| saver.stalled(number));
                self.say();
            },
            STALLED_AFTER,
        );
        spawn_local(async move {
            let outcome = self.write(&attempt).await;
            match outcome {
                Ok(()) => self.committed(number),
                Err(problem) => self.saver.update_value(|saver| saver.failed(number, problem)),
            }
            self.drive();
        });
    }

    async fn write(self, attempt: &Attempt) -> Result<(), SaveProblem> {
        match self.closed.get_untracked() {
            Some(Closed::NewerRecords | Closed::NewerTab) => return Err(SaveProblem::NewerVersion),
            Some(Closed::NoJournal) => return Err(SaveProblem::Blocked),
            None => {}
        }
        let journal = self.journal.get_value().ok_or(SaveProblem::Blocked)?;
        let device = self.saver.with_value(Saver::device);
        let asked: Vec<String> = attempt.in_doubt.iter().map(|id| key_of(*id)).collect();
        let build = |last_key: Option<String>, texts: Vec<Option<String>>| -> Vec<Pair> {
            let last_seq = last_key.as_deref().and_then(id_of).map_or(0, |id| id.seq);
            let read = attempt.in_doubt.iter().copied().zip(texts);
            let mut found = BTreeMap::new();
            found.extend(read.filter_map(|(id, text)| Some((id, text?))));
            let records = self.saver.try_update_value(|saver| saver.build(attempt.number, last_seq, &found));
            let as_pair = |record: Record| (key_of(record.id()), record.text().to_owned());
            records.unwrap_or_default().into_iter().map(as_pair).collect()
        };
        journal.write(range_of(device), &asked, build).await.map_err(|error| match error {
            JournalError::Full => SaveProblem::Full,
            JournalError::Blocked => SaveProblem::Blocked,
            JournalError::Other(words) => SaveProblem::Other(words),
        })
    }

    fn committed(self, number: u64) {
        let Some(stored) = self.saver.try_update_value(|saver| saver.committed(number)).flatten() else {
            return;
        };
        let full = put_records(&mut LocalShelf, &stored.records).is_err();
        self.shelf_full.set(full);
        self.book.update(|book| {
            for record in &stored.records {
                book.apply(record);
            }
        });
        self.any_saved.set(true);
        for record in &stored.records {
            channel::say(record.text());
        }
        let then = self.waiting.try_update_value(|waiting| waiting.remove(&stored.ticket)).flatten();
        if let Some(then) = then {
            then(stored.records);
        }
    }

    fn say(self) {
        let state = self.saver.with_value(Saver::state);
        if self.state.get_untracked() != state {
            self.state.set(state);
        }
    }
}

/// The ledger in force.
pub(crate) fn ledger() -> Ledger {
    expect_context()
}
