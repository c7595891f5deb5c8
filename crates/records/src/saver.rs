//! When something counts as saved. A queue of steps, each stored in one transaction of the journal, and what the screen
//! may say meanwhile. Pure: the app opens the transactions, asks here what to write, and tells how they ended.
//!
//! One step, as the app drives it:
//! 1. [`Saver::begin`] gives an [`Attempt`]. Open a strict transaction on the journal.
//! 2. In it, read the last key of [`Saver::device`] (see [`crate::keys::range_of`]) and the texts of
//!    [`Attempt::in_doubt`]; [`Saver::build`] gives the records to put. Put them under [`crate::keys::key_of`].
//! 3. On `complete`: [`Saver::committed`]. Apply the records to the book, put them into local storage, show "saved".
//!    On `abort` or `error`: [`Saver::failed`]. If nothing comes for long: [`Saver::stalled`].
//! 4. After a failure [`Saver::retry`] when the user asks, then 1 again.

use std::collections::{BTreeMap, VecDeque};

use crate::entry::{Draft, Record};
use crate::ids::{DeviceId, EntryId, MAX_SEQ};
use crate::seen::Seen;

/// Names one step that was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Ticket(u64);

/// Why a step is not stored.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum SaveProblem {
    /// The journal has no room.
    Full,
    /// The browser does not let us at the journal.
    Blocked,
    /// Nothing was heard for long. It may be stored or not; trying again finds out.
    Stalled,
    /// A newer version of the program has opened the data. Reload.
    NewerVersion,
    /// Every sequence number of this device is used up.
    NoMoreNumbers,
    /// Anything else, in the browser's words.
    Other(String),
}

/// What the screen may say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SaveState {
    /// Everything asked for is in the journal.
    Saved,
    /// So many entries are on their way.
    Saving {
        /// How many.
        n: usize,
    },
    /// So many entries are not stored, and nothing goes on until [`Saver::retry`].
    Failed {
        /// How many.
        n: usize,
        /// Why.
        problem: SaveProblem,
    },
}

/// One transaction to open.
#[derive(Clone, Debug, PartialEq)]
pub struct Attempt {
    /// Hand it back with how it ended.
    pub number: u64,
    /// Entries that an earlier attempt may have stored: look whether they are there.
    pub in_doubt: Vec<EntryId>,
}

/// What a transaction has stored.
#[derive(Clone, Debug, PartialEq)]
pub struct Stored {
    /// For which step.
    pub ticket: Ticket,
    /// The records, now acknowledged.
    pub records: Vec<Record>,
}

/// The queue.
#[derive(Clone, Debug)]
pub struct Saver {
    device: DeviceId,
    waiting: VecDeque<Step>,
    attempts: u64,
    in_flight: Option<u64>,
    problem: Option<SaveProblem>,
    /// What this page has stored: later drafts of this page know it, even if they were begun before it had a number.
    stored_here: Seen,
    tickets: u64,
    floor: u64,
}

#[derive(Clone, Debug)]
struct Step {
    ticket: Ticket,
    work: Work,
    /// What the last attempt was to store, or an export has handed out.
    built: Vec<Record>,
}

#[derive(Clone, Debug)]
enum Work {
    Drafts(Vec<Draft>),
    Records(Vec<Record>),
}

impl Step {
    fn len(&self) -> usize {
        match &self.work {
            Work::Drafts(drafts) => drafts.len(),
            Work::Records(records) => records.len(),
        }
    }
}

impl Saver {
    /// An empty queue. `floor` is the largest sequence number of the device that loading found, in whatever store.
    #[must_use]
    pub fn new(device: DeviceId, floor: u64) -> Self {
        Self {
            device,
            waiting: VecDeque::new(),
            attempts: 0,
            in_flight: None,
            problem: None,
            stored_here: Seen::default(),
            tickets: 0,
            floor,
        }
    }

    /// The device that it saves for.
    #[must_use]
    pub fn device(&self) -> DeviceId {
        self.device
    }

    /// Asks for drafts to be stored in one step: all or none.
    pub fn save(&mut self, drafts: Vec<Draft>) -> Ticket {
        self.push(Work::Drafts(drafts))
    }

    /// Asks for finished records to be stored in one step, e.g. those of an import.
    pub fn keep(&mut self, records: Vec<Record>) -> Ticket {
        self.push(Work::Records(records))
    }

    /// The next transaction to open; `None` while one is open, after a failure, or when nothing waits.
    pub fn begin(&mut self) -> Option<Attempt> {
        if self.in_flight.is_some() || self.problem.is_some() {
            return None;
        }
        let step = self.waiting.front()?;
        self.attempts += 1;
        self.in_flight = Some(self.attempts);
        let in_doubt = match step.work {
            Work::Drafts(_) => step.built.iter().map(Record::id).collect(),
            Work::Records(_) => Vec::new(),
        };
        Some(Attempt { number: self.attempts, in_doubt })
    }

    /// The records to put, inside the transaction. `last_seq` is the device's largest number in the journal now, 0 for
    /// none; `found` holds the texts found for [`Attempt::in_doubt`]. Empty where the attempt is not the open one.
    ///
    /// Putting a record that is there byte for byte changes nothing.
    pub fn build(&mut self, number: u64, last_seq: u64, found: &BTreeMap<EntryId, String>) -> Vec<Record> {
        if self.in_flight != Some(number) {
            return Vec::new();
        }
        let last_seq = last_seq.max(self.floor);
        let device = self.device;
        let known = self.stored_here.clone();
        let Some(step) = self.waiting.front_mut() else { return Vec::new() };
        match &step.work {
            Work::Records(records) => step.built.clone_from(records),
            Work::Drafts(drafts) => {
                let stands = |record: &Record| match found.get(&record.id()) {
                    Some(text) => text == record.text(),
                    None => record.id().seq > last_seq,
                };
                if step.built.is_empty() || !step.built.iter().all(stands) {
                    step.built = numbered(drafts, device, last_seq, known);
                }
                if step.built.len() < drafts.len() {
                    step.built.clear();
                    self.in_flight = None;
                    self.problem = Some(SaveProblem::NoMoreNumbers);
                    return Vec::new();
                }
            }
        }
        step.built.clone()
    }

    /// The transaction is complete. Gives what is acknowledged by it; `None` for an attempt that is not the open one
    /// (the step was tried again, and that attempt will tell).
    pub fn committed(&mut self, number: u64) -> Option<Stored> {
        if self.in_flight != Some(number) {
            return None;
        }
        // A transaction that completed before anything was asked for has stored nothing: the step is tried again.
        let nothing_built = self.waiting.front().is_some_and(|step| step.built.len() < step.len());
        self.in_flight = None;
        self.problem = None;
        if nothing_built {
            return None;
        }
        let step = self.waiting.pop_front()?;
        for record in &step.built {
            self.stored_here.insert(record.id());
            if record.id().device == self.device {
                self.floor = self.floor.max(record.id().seq);
            }
        }
        Some(Stored { ticket: step.ticket, records: step.built })
    }

    /// The transaction came to nothing. The step stays first in the queue.
    pub fn failed(&mut self, number: u64, problem: SaveProblem) {
        if self.in_flight == Some(number) {
            self.in_flight = None;
            self.problem = Some(problem);
        }
    }

    /// Nothing was heard of the transaction. If it does complete after all, [`Self::committed`] still counts.
    pub fn stalled(&mut self, number: u64) {
        if self.in_flight == Some(number) {
            self.problem = Some(SaveProblem::Stalled);
        }
    }

    /// Goes on after a failure.
    pub fn retry(&mut self) {
        if self.problem.take().is_some() {
            self.in_flight = None;
        }
    }

    /// What the screen may say.
    #[must_use]
    pub fn state(&self) -> SaveState {
        let n = self.waiting.iter().map(Step::len).sum();
        match &self.problem {
            Some(problem) => SaveState::Failed { n, problem: problem.clone() },
            None if n == 0 => SaveState::Saved,
            None => SaveState::Saving { n },
        }
    }

    /// What waits, as records for an export. Numbers that are handed out here are kept to if they are still free when
    /// the step is stored.
    pub fn unsaved(&mut self, last_seq: u64) -> Vec<Record> {
        let mut last_seq = last_seq.max(self.floor);
        let mut known = self.stored_here.clone();
        let mut unsaved = Vec::new();
        for step in &mut self.waiting {
            if step.built.is_empty() {
                step.built = match &step.work {
                    Work::Records(records) => records.clone(),
                    Work::Drafts(drafts) => numbered(drafts, self.device, last_seq, known.clone()),
                };
            }
            for record in &step.built {
                known.insert(record.id());
                if record.id().device == self.device {
                    last_seq = last_seq.max(record.id().seq);
                }
                unsaved.push(record.clone());
            }
        }
        unsaved
    }

    fn push(&mut self, work: Work) -> Ticket {
        self.tickets += 1;
        let ticket = Ticket(self.tickets);
        self.waiting.push_back(Step { ticket, work, built: Vec::new() });
        ticket
    }
}

/// Drafts with the numbers that follow `last_seq`; each knows those before it.
fn numbered(drafts: &[Draft], device: DeviceId, last_seq: u64, mut known: Seen) -> Vec<Record> {
    let mut records = Vec::new();
    for (seq, draft) in (last_seq + 1..=MAX_SEQ).zip(drafts) {
        let id = EntryId { device, seq };
        let mut draft = draft.clone();
        draft.seen.extend(&known);
        records.push(draft.into_record(id));
        known.insert(id);
    }
    records
}
