//! Laws of the book: order of arrival does not matter, twice is once, nothing is dropped, what is removed stays removed.

#![allow(clippy::unwrap_used, clippy::panic, reason = "test helpers stand outside test functions")]

mod common;

use common::{AT, act, book_of, device, id, play};
use proptest::prelude::*;
use records::{Applied, Book, Draft, Kind, Record, read_record};

/// Three devices and a backup of the first that was restored on another phone and writes on under the same name.
const NAMES: [u64; 4] = [0, 1, 2, 0];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_order_gives_the_same_book(
        (records, shuffled) in prop::collection::vec(act(4), 0..60)
            .prop_map(|acts| play(&acts, &NAMES))
            .prop_flat_map(|records| (Just(records.clone()), Just(records).prop_shuffle()))
    ) {
        prop_assert_eq!(book_of(&records), book_of(&shuffled));
    }

    #[test]
    fn merging_is_commutative_associative_and_idempotent(
        acts in prop::collection::vec(act(4), 0..60), parts in prop::collection::vec(0..3_usize, 60)
    ) {
        let records = play(&acts, &NAMES);
        let part = |n: usize| book_of(records.iter().zip(&parts).filter(|(_, p)| **p == n).map(|(r, _)| r));
        let (a, b, c) = (part(0), part(1), part(2));
        let merged = |left: &Book, right: &Book| { let mut both = left.clone(); both.merge(right); both };
        prop_assert_eq!(merged(&a, &b), merged(&b, &a));
        prop_assert_eq!(merged(&merged(&a, &b), &c), merged(&a, &merged(&b, &c)));
        prop_assert_eq!(merged(&a, &a), a.clone());
        prop_assert_eq!(merged(&merged(&a, &b), &b), merged(&a, &b));
        // An empty side deletes nothing.
        prop_assert_eq!(merged(&Book::default(), &a), a);
    }

    #[test]
    fn every_record_is_kept_with_its_text(acts in prop::collection::vec(act(4), 0..60)) {
        let records = play(&acts, &NAMES);
        let book = book_of(&records);
        for record in &records {
            prop_assert!(book.contains(record));
            // What was written can be read again, and says the same.
            prop_assert_eq!(&read_record(record.text()).unwrap(), record);
        }
        let mut texts: Vec<&str> = records.iter().map(Record::text).collect();
        texts.sort_unstable();
        texts.dedup();
        prop_assert_eq!(book.records().count(), texts.len());
        for record in book.records() {
            for path in record.entry().set.keys() {
                // Unknown paths and kinds are in the fold too, unless another entry of that id counts.
                if book.entry(record.id()) == Some(record.entry()) {
                    prop_assert!(book.doc(&record.entry().doc).unwrap().field(path).is_some());
                }
            }
        }
    }

    #[test]
    fn what_is_removed_stays_removed(acts in prop::collection::vec(act(3), 0..60)) {
        let records = play(&acts, &[0, 1, 2]);
        let book = book_of(&records);
        for record in &records {
            if record.entry().set.contains_key("removed") {
                prop_assert!(book.doc(&record.entry().doc).unwrap().is_removed());
            }
        }
    }

    #[test]
    fn nobody_stands_before_an_entry_that_he_knew(acts in prop::collection::vec(act(3), 0..60)) {
        let records = play(&acts, &[0, 1, 2]);
        for later in &records {
            for earlier in &records {
                if later.entry().saw(earlier.id()) {
                    prop_assert!(later.entry().order() > earlier.entry().order());
                }
            }
        }
        let timeline: Vec<_> = book_of(&records).timeline().map(|e| e.id).collect();
        prop_assert_eq!(timeline.len(), records.len());
    }

    // Second method: the definition, by comparing every pair of settings.
    #[test]
    fn a_setting_holds_until_somebody_who_knew_it_sets_anew(acts in prop::collection::vec(act(3), 0..60)) {
        let records = play(&acts, &[0, 1, 2]);
        let book = book_of(&records);
        for doc in book.docs() {
            for field in doc.fields() {
                let setters: Vec<&Record> = records
                    .iter()
                    .filter(|r| r.entry().doc == *doc.id() && r.entry().set.contains_key(field.path()))
                    .collect();
                let mut open: Vec<&Record> =
                    setters.iter().copied().filter(|r| !setters.iter().any(|s| s.entry().saw(r.id()))).collect();
                open.sort_by_key(|r| std::cmp::Reverse(r.entry().order()));
                let ids: Vec<_> = field.current().iter().map(|s| s.entry.id).collect();
                prop_assert_eq!(ids, open.iter().map(|r| r.id()).collect::<Vec<_>>());
                let texts: std::collections::BTreeSet<_> = open.iter().map(|r| &r.entry().set[field.path()]).collect();
                prop_assert_eq!(field.is_conflict(), texts.len() > 1);
                prop_assert_eq!(field.history().count(), setters.len());
            }
        }
    }
}

fn two_phones() -> (Book, Book, records::DocId) {
    let mut one = Book::default();
    let begun = Draft::new(Kind::Rig, AT, "Ada", one.seen())
        .set("meter.number", "stamped;;299")
        .into_record(id(0, 1));
    one.apply(&begun);
    (one.clone(), one, begun.entry().doc.clone())
}

#[test]
fn two_changes_that_do_not_know_each_other_are_both_kept_until_someone_settles_them() {
    let (mut ada, mut ben, rig) = two_phones();
    ada.apply(
        &Draft::new(&rig, AT, "Ada", ada.seen()).set("meter.number", "measured;;301").into_record(id(0, 2)),
    );
    // A clock that was set back decides nothing.
    ben.apply(
        &Draft::new(&rig, "1999-01-01T00:00:00Z", "Ben", ben.seen())
            .set("meter.number", "measured;;303")
            .into_record(id(1, 1)),
    );
    ada.merge(&ben);
    let field = ada.doc(&rig).unwrap().field("meter.number").unwrap();
    assert!(field.is_conflict());
    let held: Vec<_> = field.current().iter().map(|s| s.text.unwrap().to_owned()).collect();
    // Both knew one entry; device 1 has the number 1, device 0 the number 2.
    assert_eq!(held, ["measured;;301", "measured;;303"]);
    assert_eq!(field.text(), Some("measured;;301"));
    ada.apply(
        &Draft::new(&rig, AT, "Ada", ada.seen()).set("meter.number", "measured;;303").into_record(id(0, 3)),
    );
    let field = ada.doc(&rig).unwrap().field("meter.number").unwrap();
    assert!(!field.is_conflict());
    assert_eq!(field.text(), Some("measured;;303"));
    assert_eq!(field.history().count(), 4);
}

#[test]
fn the_same_change_on_two_phones_is_no_conflict() {
    let (mut ada, mut ben, rig) = two_phones();
    ada.apply(
        &Draft::new(&rig, AT, "Ada", ada.seen()).set("meter.number", "measured;;301").into_record(id(0, 2)),
    );
    ben.apply(
        &Draft::new(&rig, AT, "Ben", ben.seen()).set("meter.number", "measured;;301").into_record(id(1, 1)),
    );
    ada.merge(&ben);
    assert!(ada.doc(&rig).unwrap().conflicts().is_empty());
}

// Two tabs share a device. A number that only the other tab has written is not "seen".
#[test]
fn a_tab_that_missed_the_other_tabs_entry_does_not_override_it_silently() {
    let (mut book, stale, rig) = two_phones();
    book.apply(&Draft::new(&rig, AT, "Ada", book.seen()).set("meter.number", ";;301").into_record(id(0, 2)));
    book.apply(&Draft::new(&rig, AT, "Ada", stale.seen()).set("meter.number", ";;303").into_record(id(0, 3)));
    assert!(book.doc(&rig).unwrap().field("meter.number").unwrap().is_conflict());
}

#[test]
fn two_entries_with_one_id_are_both_kept_and_reported() {
    let (mut book, _, rig) = two_phones();
    let one = Draft::new(&rig, AT, "Ada", book.seen()).set("name", "A").into_record(id(0, 2));
    let other = Draft::new(&rig, AT, "Ada", book.seen()).set("name", "B").into_record(id(0, 2));
    assert_eq!(book.apply(&other), Applied::New);
    assert_eq!(book.apply(&one), Applied::Clash);
    assert_eq!(book.apply(&one), Applied::Known);
    assert_eq!(book.apply(&other), Applied::Known);
    let clashes: Vec<_> = book.clashes().collect();
    assert_eq!(clashes.len(), 1);
    // The smaller text counts on every device.
    assert_eq!(book.doc(&rig).unwrap().text("name"), Some("A"));
    assert_eq!(book.records().count(), 3);
    assert_eq!(book.len(), 2);
}

// A forged file in which two entries claim to know each other must not make a value vanish, nor depend on the order.
#[test]
fn entries_that_claim_to_know_each_other_still_show_a_value() {
    let (book, _, rig) = two_phones();
    let mut seen = book.seen().clone();
    seen.insert(id(1, 1));
    seen.insert(id(2, 1));
    let mut forged = Vec::new();
    for n in [1, 2] {
        let draft = Draft::new(&rig, AT, "X", &seen).set("name", format!("{n}"));
        // Each lists the other one, and its own device is cut off below its own number.
        let record = draft.into_record(id(n, 1));
        assert!(record.entry().saw(id(3 - n, 1)));
        forged.push(record);
    }
    for order in [[0, 1], [1, 0]] {
        let mut book = book.clone();
        for n in order {
            book.apply(&forged[n]);
        }
        assert_eq!(book.doc(&rig).unwrap().text("name"), Some("2"));
    }
}

#[test]
fn correcting_an_entry_keeps_the_original() {
    let (mut book, _, rig) = two_phones();
    let correction = Draft::new(&rig, AT, "Ada", book.seen())
        .set("meter.number", "stamped;;298")
        .correcting(id(0, 1))
        .into_record(id(0, 2));
    book.apply(&correction);
    assert_eq!(book.corrections_of(id(0, 1)).len(), 1);
    assert_eq!(book.entry(id(0, 1)).unwrap().set["meter.number"].as_deref(), Some("stamped;;299"));
    assert_eq!(book.doc(&rig).unwrap().text("meter.number"), Some("stamped;;298"));
}

#[test]
fn what_touches_a_rig_includes_the_reasons_given() {
    let (mut book, _, rig) = two_phones();
    let trial =
        Draft::new(Kind::Trial, AT, "Ada", book.seen()).set("rig", rig.to_string()).into_record(id(0, 2));
    book.apply(&trial);
    let taken = Draft::new(&rig, AT, "Ada", book.seen())
        .set("meter.number", "proven=2025-05-06;;301")
        .because(trial.entry().doc.clone())
        .into_record(id(0, 3));
    book.apply(&taken);
    let touching: Vec<_> = book.touching(&trial.entry().doc).iter().map(|e| e.id.seq).collect();
    assert_eq!(touching, [3, 2]);
    let newest: Vec<_> = book.timeline().map(|e| e.id.seq).collect();
    assert_eq!(newest, [3, 2, 1]);
    assert_eq!(book.docs_of(&Kind::Rig).len(), 1);
    assert_eq!(book.seen().of(device(0)).unwrap().to_string(), "1-3");
}
