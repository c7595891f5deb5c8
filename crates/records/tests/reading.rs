//! Stored text: what is sound is read, what is not is handed back whole, what is newer is told apart.

#![allow(clippy::unwrap_used, clippy::panic, reason = "test helpers stand outside test functions")]

mod common;

use common::id;
use proptest::prelude::*;
use records::{Book, Draft, Kind, Reason, Reference, load, read_record};

const SCHEMA_1: &str = include_str!("fixtures/schema-1.json");

/// A text with a checksum that fits, by the same catalogue entry that the crate names.
fn seal(open: &str) -> String {
    let crc = crc::Crc::<u32>::new(&crc::CRC_32_ISO_HDLC);
    format!("{open},\"sum\":\"{:08x}\"}}", crc.checksum(open.as_bytes()))
}

fn reason(text: &str) -> Reason {
    let unreadable = read_record(text).unwrap_err();
    assert_eq!(unreadable.text, text, "not kept byte for byte");
    unreadable.reason
}

#[test]
fn schema_1_is_read_for_good() {
    let records: Vec<_> = SCHEMA_1.lines().map(|line| read_record(line).unwrap()).collect();
    assert_eq!(records.len(), 6);
    let rig = records[0].entry();
    assert_eq!(rig.doc.to_string(), "rig:k3f9a2bc-1");
    assert_eq!(rig.set["section.1.width"].as_deref(), Some("measured;ft;12' 6\""));
    let taken = records[2].entry();
    assert_eq!(taken.because, Some(Reference::Doc(records[1].entry().doc.clone())));
    assert_eq!(taken.set["note"], None);
    assert!(taken.saw("q1w2e3r4-7".parse().unwrap()));
    assert!(!taken.saw("q1w2e3r4-6".parse().unwrap()));
    assert!(taken.saw("k3f9a2bc-2".parse().unwrap()));
    // Its writer had missed entry 4.
    assert!(!records[4].entry().saw("k3f9a2bc-4".parse().unwrap()));
    assert_eq!(records[4].entry().set["text"].as_deref(), Some("Tank rinsed\nthree times"));
    // A kind and a member of a later program are kept in the text.
    assert_eq!(records[5].entry().doc.kind, Kind::Other("orchard".to_owned()));
    assert!(records[5].text().contains("\"later\":{\"kept\":[1,2.5]}"));
}

#[test]
fn what_this_program_writes_is_what_the_fixture_holds() {
    let book = Book::default();
    let draft = Draft::new(Kind::Rig, "2025-05-06T07:08:09Z", "Ada", book.seen())
        .set("name", "Quillmere “ditch” truck")
        .set("meter.number", "stamped;;299")
        .set("meter.convention", "counting:1:us_gal")
        .set("section.1.width", "measured;ft;12' 6\"");
    let record = draft.into_record("k3f9a2bc-1".parse().unwrap());
    assert_eq!(record.text(), SCHEMA_1.lines().next().unwrap());
}

#[test]
fn every_cut_of_every_kind_is_noticed() {
    for line in SCHEMA_1.lines() {
        for (end, _) in line.char_indices() {
            assert_eq!(reason(&line[..end]), Reason::Damaged);
        }
    }
}

#[test]
fn every_flipped_bit_of_every_kind_is_noticed() {
    for line in SCHEMA_1.lines() {
        for idx in 0..line.len() {
            for bit in 0..8 {
                let mut bytes = line.as_bytes().to_vec();
                bytes[idx] ^= 1 << bit;
                if let Ok(text) = String::from_utf8(bytes) {
                    assert_eq!(reason(&text), Reason::Damaged, "byte {idx} bit {bit}");
                }
            }
        }
    }
}

#[test]
fn what_is_no_record_at_all_is_set_aside() {
    for text in ["", "null", "{}", "[]", "0", "\"\"", "\0\0\0\0"] {
        assert_eq!(reason(text), Reason::Damaged);
    }
}

#[test]
fn a_newer_schema_is_told_apart_from_damage() {
    let newer = SCHEMA_1.lines().next().unwrap().replace("\"schema\":1", "\"schema\":2");
    // The digit alone was altered: damage, not a newer program.
    assert_eq!(reason(&newer), Reason::Damaged);
    let open = newer.rsplit_once(",\"sum\"").unwrap().0;
    assert_eq!(reason(&seal(open)), Reason::Newer { schema: 2 });
    // Whatever else a later program does with the rest.
    assert_eq!(reason(&seal("{\"schema\":7,\"entries\":[1,2,3]")), Reason::Newer { schema: 7 });
}

#[test]
fn a_whole_text_of_another_shape_says_so() {
    let shape = |open: &str| matches!(reason(&seal(open)), Reason::Shape { .. });
    assert!(shape("{\"schema\":1"));
    assert!(shape("{\"schema\":\"one\""));
    assert!(shape("{\"at\":\"now\""));
    let good = SCHEMA_1.lines().next().unwrap();
    let open = good.rsplit_once(",\"sum\"").unwrap().0;
    assert!(read_record(&seal(open)).is_ok());
    assert!(shape(&open.replace("\"schema\":1", "\"schema\":0")));
    assert!(shape(&open.replace("k3f9a2bc-1\"", "k3f9a2bc-0\"")));
    assert!(shape(&open.replace("k3f9a2bc-1\"", "k3f9a2bc-01\"")));
    assert!(shape(&open.replace("rig:k3f9a2bc-1", "k3f9a2bc-1")));
    // Nobody knew an entry before it was written.
    assert!(shape(&open.replace("\"seen\":{}", "\"seen\":{\"k3f9a2bc\":\"1\"}")));
    assert!(shape(&open.replace("\"seen\":{}", "\"seen\":{\"k3f9a2bc\":\"5-4\"}")));
    assert_eq!(reason(&seal(&open.replace("{\"schema\"", "{\n\"schema\""))), Reason::NotJson);
    assert_eq!(reason(&seal("{\"schema\":1,,")), Reason::NotJson);
    assert_eq!(reason(&"x".repeat(300 * 1024)), Reason::TooLong);
}

fn pairs(lines: impl IntoIterator<Item = (&'static str, String)>) -> Vec<(String, String)> {
    lines.into_iter().map(|(key, text)| (key.to_owned(), text)).collect()
}

const KEY_1: &str = "boomwright/entry/k3f9a2bc-0000000001";
const KEY_2: &str = "boomwright/entry/k3f9a2bc-0000000002";

#[test]
fn either_store_alone_restores_the_other() {
    let [one, two] = [0, 1].map(|n| SCHEMA_1.lines().nth(n).unwrap().to_owned());
    let shelf = pairs([(KEY_1, one.clone())]);
    let journal = pairs([(KEY_2, two.clone())]);
    let loaded = load(&shelf, &journal);
    assert_eq!(loaded.book.len(), 2);
    assert_eq!(loaded.to_shelf, journal);
    assert_eq!(loaded.to_journal, shelf);
    assert!(loaded.set_aside.is_empty());
    let whole = pairs([(KEY_1, one), (KEY_2, two)]);
    assert_eq!(load(&[], &whole).to_shelf, whole);
    assert_eq!(load(&whole, &[]).to_journal, whole);
    let settled = load(&whole, &whole);
    assert!(settled.to_shelf.is_empty() && settled.to_journal.is_empty());
}

#[test]
fn a_damaged_text_is_never_overwritten_even_where_the_other_store_can_heal_it() {
    let good = SCHEMA_1.lines().next().unwrap().to_owned();
    let torn = good[..50].to_owned();
    let loaded = load(&pairs([(KEY_1, torn.clone())]), &pairs([(KEY_1, good.clone())]));
    assert_eq!(loaded.book.len(), 1);
    assert_eq!(loaded.set_aside.len(), 1);
    assert_eq!(loaded.set_aside[0].text, torn);
    assert!(loaded.is_healed(&loaded.set_aside[0]));
    // It goes beside the damaged one.
    assert_eq!(loaded.to_shelf, [(format!("{KEY_1}~2"), good)]);
}

#[test]
fn two_sound_texts_under_one_id_are_kept_in_both_stores() {
    let one =
        Draft::new(Kind::Rig, "t", "Ada", Book::default().seen()).set("name", "A").into_record(id(0, 1));
    let other =
        Draft::new(Kind::Rig, "t", "Ada", Book::default().seen()).set("name", "B").into_record(id(0, 1));
    let key = records::keys::key_of(id(0, 1));
    let loaded = load(&[(key.clone(), one.text().to_owned())], &[(key.clone(), other.text().to_owned())]);
    assert_eq!(loaded.book.clashes().count(), 1);
    assert_eq!(loaded.to_shelf, [(format!("{key}~2"), other.text().to_owned())]);
    assert_eq!(loaded.to_journal, [(format!("{key}~2"), one.text().to_owned())]);
}

#[test]
fn beside_a_newer_record_nothing_is_written() {
    let good = SCHEMA_1.lines().next().unwrap().to_owned();
    let loaded = load(&pairs([(KEY_1, good)]), &pairs([(KEY_2, seal("{\"schema\":3"))]));
    assert_eq!(loaded.newer, Some(3));
    assert_eq!(loaded.book.len(), 1);
    assert!(loaded.to_shelf.is_empty() && loaded.to_journal.is_empty());
    assert_eq!(loaded.set_aside.len(), 1);
}

proptest! {
    #[test]
    fn any_text_is_read_or_handed_back_whole(text in any::<String>()) {
        if let Err(unreadable) = read_record(&text) {
            prop_assert_eq!(unreadable.text, text);
        }
    }

    #[test]
    fn any_sealed_json_is_read_or_handed_back_whole(open in "\\{\"schema\":[0-3](,\"(id|at|by|doc|set|seen)\":(\"[a-z0-9:-]{0,12}\"|\\{\\}|null|3)){0,6}") {
        let text = seal(&open);
        if let Err(unreadable) = read_record(&text) {
            prop_assert_eq!(unreadable.text, text);
        }
    }

    // Whatever the two stores hold, each text is a record of the book or set aside with its bytes.
    #[test]
    fn loading_loses_no_text(
        cuts in prop::collection::vec((0..6_usize, 0..400_usize, any::<bool>()), 0..12)
    ) {
        let mut shelf = Vec::new();
        let mut journal = Vec::new();
        for (n, cut, in_shelf) in cuts {
            let line = SCHEMA_1.lines().nth(n).unwrap();
            let end = (cut..=line.len()).find(|end| line.is_char_boundary(*end)).unwrap_or(line.len());
            let pair = (format!("boomwright/entry/k3f9a2bc-{:010}", n + 1), line[..end].to_owned());
            if in_shelf { &mut shelf } else { &mut journal }.push(pair);
        }
        let loaded = load(&shelf, &journal);
        for (key, text) in shelf.iter().chain(&journal) {
            let in_book = loaded.book.records().any(|r| r.text() == text);
            let aside = loaded.set_aside.iter().any(|a| a.key == *key && a.text == *text);
            prop_assert!(in_book != aside, "{text}");
        }
    }
}
