//! The book as items, newest first: trials, changes of keyed-in numbers, what was described, notes.

use crate::bridge::adds_up::remedy::put_right;
use crate::bridge::keyin::Entry as KeyedEntry;
use records::closing::DayView;
use records::fields::{FieldProblem, FieldSpec, Holds, Overlay, check};
use records::trial::{Status, TrialKind, TrialView};
use records::{Book, Doc, DocId, Entry, EntryId, FieldValue, Kind, Reference};
use std::collections::{BTreeMap, BTreeSet};

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
    /// A drive, by its name.
    Drive(String),
    /// A day that was closed, as it stands now.
    Closing {
        /// What it is called.
        name: String,
        /// How many jobs it has.
        jobs: usize,
    },
    /// A note.
    Note(String),
    /// Readings that do not add up, and what was put right because of them: the entry, what stood there, what took its place.
    Readings(Option<(KeyedEntry, String, String)>),
    /// Something that a later program wrote.
    Other,
}

/// One item of the book.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Item {
    /// The newest entry of it.
    pub(crate) entry: EntryId,
    /// How many entries are told in one.
    pub(crate) n_entries: usize,
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
    /// A later entry puts this one right.
    pub(crate) corrected: bool,
    /// The document was taken off the lists.
    pub(crate) removed: bool,
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
        "meter" | "speed" => matches!(last, "number" | "convention" | "by"),
        // The console's own unit and step change what is keyed in; its largest value does not.
        "keyin" => matches!(last, "unit" | "step"),
        "wheel" => true,
        // A width may come from nozzles × spacing.
        "section" => matches!(last, "width" | "spacing" | "nozzles" | "by" | "count"),
        "nozzle" => last == "spacing",
        "pump" => matches!(last, "number" | "convention" | "first" | "second" | "nudge"),
        "carrier" => matches!(last, "rate" | "mode"),
        "standing" | "hold" => true,
        _ => false,
    }
}

/// The first `most` items that are wanted, newest first.
pub(crate) fn items(book: &Book, wanted: Wanted, rig: Option<&DocId>, most: usize) -> Vec<Item> {
    let mut corrected = BTreeSet::new();
    corrected.extend(book.timeline().filter_map(|entry| entry.corrects));
    let mut found: Vec<Item> = Vec::new();
    let mut trials: BTreeSet<&DocId> = BTreeSet::new();
    for entry in book.timeline() {
        let kind = &entry.doc.kind;
        if !may_hold(kind, wanted)
            || (matches!(kind, Kind::Trial | Kind::Job | Kind::Readings) && !trials.insert(&entry.doc))
        {
            continue;
        }
        let Some(doc) = book.doc(&entry.doc) else { continue };
        for mut item in items_of(entry, doc) {
            if !fits(&item, wanted, rig) {
                continue;
            }
            item.corrected = corrected.contains(&item.entry);
            // Neighbouring strokes of describing one rig are one item.
            if let (Some(last), What::Described { fields, begun }) = (found.last_mut(), &item.what)
                && last.doc == item.doc
                && let What::Described { fields: more, begun: last_begun } = &mut last.what
            {
                *more += fields;
                *last_begun |= begun;
                last.n_entries += 1;
                continue;
            }
            if let (Some(last), What::Drive(_)) = (found.last_mut(), &item.what)
                && last.doc == item.doc
            {
                last.n_entries += 1;
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

/// Whether a kind of document can hold what is wanted.
fn may_hold(kind: &Kind, wanted: Wanted) -> bool {
    match wanted {
        Wanted::All => true,
        Wanted::Trials => matches!(kind, Kind::Trial | Kind::Job | Kind::Readings),
        Wanted::Changes => *kind == Kind::Rig,
        Wanted::Notes => *kind == Kind::Note,
    }
}

fn fits(item: &Item, wanted: Wanted, rig: Option<&DocId>) -> bool {
    let kind = match wanted {
        Wanted::All => true,
        Wanted::Trials => {
            matches!(item.what, What::Trial { .. } | What::Closing { .. } | What::Readings(_))
        }
        Wanted::Changes => matches!(item.what, What::Change { .. }),
        Wanted::Notes => matches!(item.what, What::Note(_)),
    };
    kind && rig.is_none_or(|rig| item.rig.as_ref() == Some(rig))
}

fn items_of(entry: &Entry, doc: &Doc) -> Vec<Item> {
    let item = |what: What| Item {
        entry: entry.id,
        n_entries: 1,
        doc: doc.id().clone(),
        rig: match doc.id().kind {
            Kind::Rig => Some(doc.id().clone()),
            _ => doc.text("rig").and_then(|text| text.parse().ok()),
        },
        at: entry.at.clone(),
        by: entry.by.clone(),
        because: entry.because.clone(),
        corrects: entry.corrects,
        corrected: false,
        removed: doc.is_removed(),
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
        Kind::Drive => vec![item(What::Drive(doc.text("name").unwrap_or_default().to_owned()))],
        Kind::Job => {
            let (name, jobs) =
                (doc.text("name").unwrap_or_default().to_owned(), DayView::read(doc).jobs.len());
            vec![item(What::Closing { name, jobs })]
        }
        Kind::Note => vec![item(What::Note(text_at(entry, "text").unwrap_or_default()))],
        Kind::Readings => vec![item(What::Readings(put_right(doc)))],
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

/// The text at a path that the writer of an entry found there: what others set meanwhile without its knowing is not before
/// it.
pub(crate) fn before(doc: &Doc, path: &str, entry: EntryId) -> Option<String> {
    let mut older = doc.field(path)?.history().skip_while(|setting| setting.entry.id != entry);
    let writer = older.next()?.entry;
    older.find(|setting| writer.saw(setting.entry.id))?.text.map(str::to_owned)
}

fn text_at(entry: &Entry, path: &str) -> Option<String> {
    entry.set.get(path).cloned().flatten()
}

/// What stands at a path of a rig, a trial, a drive or a day; nothing is said about the paths of other documents.
pub(crate) fn spec_of(kind: &Kind, path: &str) -> Option<&'static FieldSpec> {
    match kind {
        Kind::Rig => records::rig::spec_of(path),
        Kind::Trial => records::trial::spec_of(path),
        Kind::Drive => records::drive::spec_of(path),
        Kind::Job => records::closing::spec_of(path),
        Kind::Readings => records::readings::spec_of(path),
        _ => None,
    }
}

/// A stored text as a person would write it: typed text, and its unit's code where the text names none.
pub(crate) fn as_typed(kind: &Kind, path: &str, stored: &str) -> (String, Option<String>) {
    if spec_of(kind, path).is_some_and(|spec| spec.holds.is_typed()) {
        let value = FieldValue::from_stored(stored);
        (value.text, value.unit)
    } else {
        (stored.to_owned(), None)
    }
}

/// One thing that an entry set.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    /// Its path.
    pub(crate) path: String,
    /// The text that was set; `None` where it was cleared.
    pub(crate) new: Option<String>,
    /// The text before, where there was one.
    pub(crate) old: Option<String>,
    /// Everything that ever stood there, newest first: when, who, what.
    pub(crate) history: Vec<(String, String, Option<String>)>,
    /// Whether and how it can be put right.
    pub(crate) correction: Correction,
}

/// Whether what an entry set can be put right from the book.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Correction {
    /// By typing the right text.
    Typed,
    /// Not any more: this later entry is in force.
    Replaced(EntryId),
    /// Where it was chosen: on the rig, or in the trial once that is open.
    AtItsPlace,
}

/// Everything that an entry set, with what became of it.
pub(crate) fn lines(book: &Book, entry: &Entry) -> Vec<Line> {
    let Some(doc) = book.doc(&entry.doc) else { return Vec::new() };
    let closed = doc.id().kind == Kind::Trial && TrialView::read(doc).status == Status::Concluded;
    entry
        .set
        .iter()
        .map(|(path, new)| {
            let field = doc.field(path);
            let history = field.map(|field| {
                field.history().map(|s| (s.entry.at.clone(), s.entry.by.clone(), s.text.map(str::to_owned)))
            });
            let in_force = field.is_none_or(|field| field.current().iter().any(|s| s.entry.id == entry.id));
            let later = field.and_then(records::Field::last).map(|setting| setting.entry.id);
            Line {
                path: path.clone(),
                new: new.clone(),
                old: before(doc, path, entry.id),
                history: history.into_iter().flatten().collect(),
                correction: match later {
                    Some(later) if !in_force => Correction::Replaced(later),
                    _ if closed || new.is_none() || !is_written(&doc.id().kind, path) => {
                        Correction::AtItsPlace
                    }
                    _ => Correction::Typed,
                },
            }
        })
        .collect()
}

/// Whether a path holds something that a person writes rather than chooses.
fn is_written(kind: &Kind, path: &str) -> bool {
    match (kind, spec_of(kind, path)) {
        (Kind::Note, _) => path == "text",
        (_, Some(spec)) => {
            let last = path.rsplit('.').next().unwrap_or_default();
            spec.holds.is_typed() || (spec.holds == Holds::Words && !matches!(last, "removed" | "convention"))
        }
        (_, None) => false,
    }
}

/// The stored text of a correction: the text as typed now, with the unit and the source that stood there.
pub(crate) fn corrected(kind: &Kind, path: &str, was: &str, typed: &str) -> String {
    if spec_of(kind, path).is_some_and(|spec| spec.holds.is_typed()) {
        FieldValue { text: typed.to_owned(), ..FieldValue::from_stored(was) }.to_stored()
    } else {
        typed.to_owned()
    }
}

/// What would be wrong with a stored text at a path of a document.
pub(crate) fn problem_with(doc: &Doc, path: &str, stored: &str) -> Option<FieldProblem> {
    let spec = spec_of(&doc.id().kind, path)?;
    let mut over = BTreeMap::new();
    over.insert(path.to_owned(), Some(stored.to_owned()));
    check(spec, path, &Overlay { base: doc, over: &over }).err()
}

/// A field that two devices set without knowing of each other.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct AtOdds {
    /// The document.
    pub(crate) doc: DocId,
    /// The path.
    pub(crate) path: String,
    /// What stands beside each other, the one in force first: when, who, what.
    pub(crate) sides: Vec<(String, String, Option<String>)>,
}

/// Every field at odds.
pub(crate) fn at_odds(book: &Book) -> Vec<AtOdds> {
    let of_doc = |doc: &Doc| {
        let side =
            |s: records::Setting<'_>| (s.entry.at.clone(), s.entry.by.clone(), s.text.map(str::to_owned));
        doc.conflicts()
            .into_iter()
            .map(|field| AtOdds {
                doc: doc.id().clone(),
                path: field.path().to_owned(),
                sides: field.current().into_iter().map(side).collect(),
            })
            .collect::<Vec<_>>()
    };
    book.docs().flat_map(of_doc).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use records::{DeviceId, Draft, Record};

    /// A book that one device, or two that know nothing of each other, write in.
    struct Desk {
        book: Book,
        device: DeviceId,
        seq: u64,
    }

    impl Desk {
        fn new(bits: u64) -> Self {
            Self { book: Book::default(), device: DeviceId::from_random(bits), seq: 0 }
        }

        fn draft(&self, target: impl Into<records::Target>) -> Draft {
            Draft::new(target, "2025-05-06T07:08:09Z", "Ada", self.book.seen())
        }

        fn save(&mut self, draft: Draft) -> Record {
            self.seq += 1;
            let record = draft.into_record(EntryId { device: self.device, seq: self.seq });
            self.book.apply(&record);
            record
        }

        fn rig(&mut self) -> DocId {
            let draft = self
                .draft(Kind::Rig)
                .set("name", "Ditch truck")
                .set("meter.convention", "counting:1:us_gal")
                .set("meter.number", "stamped;;299");
            self.save(draft).entry().doc.clone()
        }
    }

    fn whats(desk: &Desk, wanted: Wanted) -> Vec<What> {
        items(&desk.book, wanted, None, 100).into_iter().map(|item| item.what).collect()
    }

    #[test]
    fn a_drive_is_one_item_however_often_it_is_changed() {
        let mut desk = Desk::new(1);
        let rig = desk.rig();
        let draft = desk.draft(Kind::Drive).set("rig", rig.to_string()).set("name", "Along the ditch");
        let drive = desk.save(draft).entry().doc.clone();
        desk.save(desk.draft(&drive).set("step.1.distance", ";m;30"));
        let found = items(&desk.book, Wanted::All, Some(&rig), 100);
        assert_eq!(found[0].what, What::Drive("Along the ditch".to_owned()));
        assert_eq!((found.len(), found[0].n_entries), (2, 2));
        assert_eq!(whats(&desk, Wanted::Trials), []);
    }

    #[test]
    fn describing_a_rig_is_one_item_and_a_changed_number_another() {
        let mut desk = Desk::new(1);
        let rig = desk.rig();
        for (path, text) in [("note", "red"), ("tank.volume", ";us_gal;1000"), ("section.1.width", ";in;144")]
        {
            desk.save(desk.draft(&rig).set(path, text));
        }
        assert_eq!(whats(&desk, Wanted::All), [What::Described { fields: 6, begun: true }]);
        desk.save(desk.draft(&rig).set("meter.number", "stamped;;302"));
        desk.save(desk.draft(&rig).set("note", "blue"));
        let change = What::Change {
            path: "meter.number".to_owned(),
            old: "stamped;;299".to_owned(),
            new: Some("stamped;;302".to_owned()),
        };
        assert_eq!(
            whats(&desk, Wanted::All),
            [
                What::Described { fields: 1, begun: false },
                change.clone(),
                What::Described { fields: 6, begun: true }
            ]
        );
        assert_eq!(whats(&desk, Wanted::Changes), [change]);
    }

    #[test]
    fn a_trial_is_one_item_at_its_newest_entry() {
        let mut desk = Desk::new(1);
        let rig = desk.rig();
        let draft = desk.draft(Kind::Trial).set("kind", "meter").set("rig", rig.to_string());
        let trial = desk.save(draft).entry().doc.clone();
        desk.save(desk.draft(Kind::Note).set("text", "between"));
        let last = desk.save(desk.draft(&trial).set("run.+.indicated", ";us_gal;50"));
        let found = items(&desk.book, Wanted::All, Some(&rig), 100);
        assert_eq!(found.first().map(|item| item.entry), Some(last.id()));
        assert_eq!(found.iter().filter(|item| matches!(item.what, What::Trial { .. })).count(), 1);
        // The note is about no rig.
        assert!(!found.iter().any(|item| matches!(item.what, What::Note(_))));
    }

    #[test]
    fn notes_come_newest_first_and_no_more_than_wanted() {
        let mut desk = Desk::new(1);
        for n in 1..=5 {
            desk.save(desk.draft(Kind::Note).set("text", format!("note {n}")));
        }
        let found = items(&desk.book, Wanted::Notes, None, 2);
        let texts: Vec<What> = found.into_iter().map(|item| item.what).collect();
        assert_eq!(texts, [What::Note("note 5".to_owned()), What::Note("note 4".to_owned())]);
    }

    #[test]
    fn a_correction_keeps_the_original_and_marks_it() {
        let mut desk = Desk::new(1);
        let note = desk.save(desk.draft(Kind::Note).set("text", "Prodct A"));
        let line = lines(&desk.book, note.entry()).remove(0);
        assert_eq!(line.correction, Correction::Typed);
        let put_right =
            desk.save(desk.draft(&note.entry().doc).set("text", "Product A").correcting(note.id()));
        let found = items(&desk.book, Wanted::Notes, None, 10);
        let told: Vec<(What, bool)> = found.into_iter().map(|item| (item.what, item.corrected)).collect();
        assert_eq!(
            told,
            [(What::Note("Product A".to_owned()), false), (What::Note("Prodct A".to_owned()), true)]
        );
        let line = lines(&desk.book, note.entry()).remove(0);
        assert_eq!(line.correction, Correction::Replaced(put_right.id()));
    }

    // A number that a trial has replaced since must not come back into force because its slip of the pen is put right.
    #[test]
    fn what_was_replaced_since_cannot_be_put_right() {
        let mut desk = Desk::new(1);
        let rig = desk.rig();
        let begun = desk.book.doc(&rig).and_then(|doc| doc.begun()).cloned().unwrap();
        let taken = desk.save(desk.draft(&rig).set("meter.number", "proven=2025-05-06;;302"));
        let line = lines(&desk.book, &begun).into_iter().find(|line| line.path == "meter.number").unwrap();
        assert_eq!(line.correction, Correction::Replaced(taken.id()));
        assert_eq!(line.history.len(), 2);
    }

    #[test]
    fn a_correction_is_held_against_the_range_of_its_field() {
        let mut desk = Desk::new(1);
        let rig = desk.rig();
        let doc = desk.book.doc(&rig).unwrap();
        let stored = |typed: &str| corrected(&Kind::Rig, "meter.number", "stamped;;299", typed);
        assert_eq!(stored("301"), "stamped;;301");
        assert_eq!(problem_with(doc, "meter.number", &stored("301")), None);
        assert_eq!(problem_with(doc, "meter.number", &stored("0")), Some(FieldProblem::Zero));
        assert!(matches!(problem_with(doc, "meter.number", &stored("3o1")), Some(FieldProblem::Parse(_))));
        // A note may hold semicolons; it is no typed number.
        assert_eq!(corrected(&Kind::Note, "text", "a;b;c", "x;y;z"), "x;y;z");
    }

    #[test]
    fn two_devices_that_knew_nothing_of_each_other_are_at_odds() {
        let mut left = Desk::new(1);
        let rig = left.rig();
        let mut right = Desk::new(2);
        right.book.merge(&left.book);
        left.save(left.draft(&rig).set("meter.number", "stamped;;302"));
        right.save(right.draft(&rig).set("meter.number", "stamped;;305"));
        left.book.merge(&right.book);
        let found = at_odds(&left.book);
        assert_eq!(found.len(), 1);
        let mut texts: Vec<&str> = found[0].sides.iter().filter_map(|(_, _, text)| text.as_deref()).collect();
        texts.sort_unstable();
        assert_eq!(texts, ["stamped;;302", "stamped;;305"]);
        // Each replaced what it knew, which is not what the other wrote.
        let olds = items(&left.book, Wanted::Changes, None, 10).into_iter().map(|item| match item.what {
            What::Change { old, .. } => old,
            other => panic!("{other:?}"),
        });
        assert_eq!(olds.collect::<Vec<_>>(), ["stamped;;299", "stamped;;299"]);
        // Either choice settles it.
        left.save(left.draft(&rig).set("meter.number", "stamped;;305"));
        assert!(at_odds(&left.book).is_empty());
    }
}
