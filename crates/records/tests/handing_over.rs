//! The export file: same entries, same bytes; reading in shows what it would do and never panics or drops a record.

#![allow(clippy::unwrap_used, clippy::panic, reason = "test helpers stand outside test functions")]

mod common;

use common::{AT, act, book_of, id, play};
use proptest::prelude::*;
use records::{
    Book, Draft, Import, ImportProblem, Kind, Limits, Pair, Place, Reason, SetAside, export, load,
};

fn read(text: &str) -> Import {
    Import::read(text.as_bytes(), Limits::default()).unwrap()
}

fn aside(key: &str, text: &str) -> SetAside {
    SetAside {
        places: vec![Place::Shelf],
        key: key.to_owned(),
        text: text.to_owned(),
        reason: Reason::Damaged,
    }
}

/// What a fresh device holds after reading a file in.
fn read_in(text: &str) -> (Book, Vec<SetAside>) {
    let import = read(text);
    let preview = import.preview(&Book::default(), &[]);
    let mut book = Book::default();
    for record in preview.records() {
        book.apply(record);
    }
    // Texts set aside are put under their keys, and come back at the next start.
    let pairs: Vec<Pair> = preview
        .unreadable
        .iter()
        .enumerate()
        .map(|(n, a)| (format!("{}~{}", a.key, n + 2), a.text.clone()))
        .collect();
    (book, load(&pairs, &[]).set_aside)
}

proptest! {
    #[test]
    fn export_wipe_import_export_gives_the_same_bytes(
        acts in prop::collection::vec(act(4), 0..40),
        texts in prop::collection::vec((0..3_usize, any::<String>()), 0..4)
    ) {
        let book = book_of(&play(&acts, &[0, 1, 2, 0]));
        let set_aside: Vec<SetAside> = texts
            .iter()
            .map(|(n, text)| aside(&format!("boomwright/entry/0000000a-000000000{}", n + 1), text))
            .collect();
        let first = export(&book, &set_aside);
        let import = read(&first);
        prop_assert!(import.whole);
        prop_assert_eq!(import.missing, 0);
        let (again, set_aside) = read_in(&first);
        prop_assert_eq!(&again, &book);
        prop_assert_eq!(export(&again, &set_aside), first.clone());
        // Read in twice is read in once.
        let second = read(&first).preview(&again, &set_aside);
        prop_assert!(second.new.is_empty() && second.clashing.is_empty() && second.unreadable.is_empty());
        prop_assert!(second.docs.is_empty());
    }

    #[test]
    fn reading_in_two_files_in_either_order_gives_the_same_book(
        acts in prop::collection::vec(act(3), 0..40), parts in prop::collection::vec(any::<bool>(), 40)
    ) {
        let records = play(&acts, &[0, 1, 2]);
        let part = |want: bool| book_of(records.iter().zip(&parts).filter(|(_, p)| **p == want).map(|(r, _)| r));
        let files = [export(&part(true), &[]), export(&part(false), &[])];
        let take = |order: [usize; 2]| {
            let mut book = Book::default();
            for n in order {
                for record in read(&files[n]).preview(&book.clone(), &[]).records() {
                    book.apply(record);
                }
            }
            book
        };
        prop_assert_eq!(take([0, 1]), take([1, 0]));
        prop_assert_eq!(take([0, 1]), book_of(records.iter().take(parts.len())));
    }

    #[test]
    fn any_bytes_are_refused_or_read(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = Import::read(&bytes, Limits::default());
        let mut file = b"boomwright-book 1\n".to_vec();
        file.extend(&bytes);
        let import = Import::read(&file, Limits::default()).unwrap();
        let _ = import.preview(&Book::default(), &[]);
        prop_assert!(!import.whole);
    }

    #[test]
    fn any_lines_that_look_right_are_read(
        lines in prop::collection::vec("(has [0-9a-z]{8} [0-9,-]{0,12}|aside (\"[a-z/~0-9]{0,6}\" ?){0,3}|sha256 [0-9a-f]{0,8}|\\{\"schema\":[0-9]\\}| ?)", 0..20)
    ) {
        let file = format!("boomwright-book 1\n{}", lines.join("\n"));
        let import = Import::read(file.as_bytes(), Limits::default()).unwrap();
        let _ = import.preview(&Book::default(), &[]);
    }

    // One altered place: it is noticed, and every entry in an untouched line is still read.
    #[test]
    fn an_altered_file_still_gives_its_sound_entries(
        acts in prop::collection::vec(act(3), 1..30), at in any::<prop::sample::Index>(), byte in any::<u8>(), cut in any::<bool>()
    ) {
        let book = book_of(&play(&acts, &[0, 1, 2]));
        let whole = export(&book, &[]);
        let at = at.index(whole.len() - 1);
        let mut bytes = whole.clone().into_bytes();
        if cut { bytes.truncate(at) } else { bytes[at] = byte }
        let altered = bytes != whole.as_bytes();
        let line = whole[..at].matches('\n').count();
        match Import::read(&bytes, Limits::default()) {
            Err(problem) => {
                prop_assert_eq!(line, 0);
                let refused = matches!(problem, ImportProblem::NotABook | ImportProblem::NewerForm { .. });
                prop_assert!(refused);
            }
            Ok(import) => {
                // Some line ends may become carriage returns before a line feed; those are no change of content.
                let same_content = String::from_utf8_lossy(&bytes).replace("\r\n", "\n") == whole;
                prop_assert_eq!(import.whole, !altered || same_content);
                for (n, text) in whole.lines().enumerate() {
                    let untouched = n < line || (!cut && n > line + 1);
                    if text.starts_with('{') && untouched {
                        prop_assert!(import.records.iter().any(|r| r.text() == text));
                    }
                }
            }
        }
    }
}

fn small_book() -> Book {
    let mut book = Book::default();
    for seq in [1, 2, 4] {
        book.apply(&Draft::new(Kind::Note, AT, "Ada", book.seen()).set("text", "x").into_record(id(0, seq)));
    }
    book
}

#[test]
fn the_file_reads_as_its_description_says() {
    let text = export(&small_book(), &[aside("boomwright/entry/x", "to\nrn")]);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[0], "boomwright-book 1");
    assert_eq!(lines[1], "has 00000001 1-2,4");
    assert!(lines[2].starts_with("{\"schema\":1,\"id\":\"00000001-1\","));
    assert_eq!(lines[5], "aside \"boomwright/entry/x\" \"to\\nrn\"");
    assert_eq!(lines[6].len(), "sha256 ".len() + 64);
    assert_eq!(lines.len(), 7);
}

#[test]
fn an_empty_book_has_the_published_kind_of_checksum() {
    // By `printf 'boomwright-book 1\n' | sha256sum`.
    let sum = "504c6e8e74c5d41f9a0815bbd4d275a6afc718785924b441073609b9694dc541";
    assert_eq!(export(&Book::default(), &[]), format!("boomwright-book 1\nsha256 {sum}\n"));
}

#[test]
fn mail_that_changes_line_ends_does_no_harm() {
    let text = export(&small_book(), &[]);
    assert!(read(&text.replace('\n', "\r\n")).whole);
    assert!(read(&format!("\u{feff}{text}")).whole);
}

#[test]
fn a_file_that_was_cut_short_says_how_much_is_missing() {
    let text = export(&small_book(), &[]);
    let cut: String = text.lines().take(3).map(|line| format!("{line}\n")).collect();
    let import = read(&cut);
    assert!(!import.whole);
    assert_eq!(import.records.len(), 1);
    assert_eq!(import.missing, 2);
    // Something behind the checksum is an alteration too.
    assert!(!read(&format!("{text}{{}}\n")).whole);
}

#[test]
fn other_files_and_oversized_ones_are_refused() {
    let refuse = |text: &str, limits| Import::read(text.as_bytes(), limits).unwrap_err();
    assert_eq!(refuse("", Limits::default()), ImportProblem::NotABook);
    assert_eq!(refuse("%PDF-1.7", Limits::default()), ImportProblem::NotABook);
    assert_eq!(refuse("boomwright-book 2\n", Limits::default()), ImportProblem::NewerForm { version: 2 });
    let tight = Limits { bytes: 30, lines: 2 };
    assert_eq!(
        refuse(&"boomwright-book 1\n".repeat(2), tight),
        ImportProblem::TooLarge { bytes: 36, most: 30 }
    );
    assert_eq!(refuse("boomwright-book 1\na\nb\nc\n", tight), ImportProblem::TooManyLines { most: 2 });
}

#[test]
fn the_preview_says_what_would_become_of_each_document() {
    let mut here = Book::default();
    let begun = Draft::new(Kind::Rig, AT, "Ada", here.seen()).set("name", "A").into_record(id(0, 1));
    here.apply(&begun);
    let rig = begun.entry().doc.clone();
    let mut there = here.clone();
    here.apply(&Draft::new(&rig, AT, "Ada", here.seen()).set("name", "B").into_record(id(0, 2)));
    there.apply(&Draft::new(&rig, AT, "Ben", there.seen()).set("name", "C").into_record(id(1, 1)));
    there.apply(&Draft::new(Kind::Note, AT, "Ben", there.seen()).set("text", "x").into_record(id(1, 2)));
    let preview = read(&export(&there, &[])).preview(&here, &[]);
    assert_eq!((preview.new.len(), preview.known, preview.clashing.len()), (2, 1, 0));
    assert!(preview.may_apply());
    let change = |doc: &records::DocId| preview.docs.iter().find(|c| c.doc == *doc).unwrap();
    assert_eq!(change(&rig).conflicts, ["name"]);
    assert!(!change(&rig).begins);
    assert!(preview.docs.iter().any(|c| c.begins && c.n_entries == 1 && c.doc.kind == Kind::Note));
    // Looking changes nothing.
    assert!(here.doc(&rig).unwrap().conflicts().is_empty());
}

#[test]
fn a_file_with_newer_entries_is_not_applied() {
    let open = "{\"schema\":9,\"what\":1";
    let sum = crc::Crc::<u32>::new(&crc::CRC_32_ISO_HDLC).checksum(open.as_bytes());
    let import = read(&format!("boomwright-book 1\n{open},\"sum\":\"{sum:08x}\"}}\n"));
    let preview = import.preview(&Book::default(), &[]);
    assert_eq!(preview.newer, Some(9));
    assert!(!preview.may_apply());
}

#[test]
fn what_was_set_aside_travels_and_is_read_once_a_program_can() {
    let record = Draft::new(Kind::Note, AT, "Ada", Book::default().seen()).into_record(id(0, 1));
    let text = export(&Book::default(), &[aside("boomwright/entry/y", record.text())]);
    assert_eq!(read(&text).records, [record]);
}
