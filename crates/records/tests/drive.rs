//! A drive from its entries: steps in their order, those taken out kept in the book, each field with its rule.

#![allow(clippy::unwrap_used, clippy::panic, reason = "test helpers stand outside test functions")]

mod common;

use common::{AT, book_of, id};
use records::drive::{DriveView, FIELDS, StepKind, check_field, spec_of};
use records::fields::{FieldProblem, Holds};
use records::{Book, DocId, Draft, Kind, Record, export};
use std::collections::BTreeMap;
use units::{Duration, Length, Speed};

fn texts(fields: &[(&str, &str)]) -> BTreeMap<String, String> {
    fields.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect()
}

fn begin(book: &mut Book) -> (DocId, Record) {
    let record = Draft::new(Kind::Drive, AT, "Ada", book.seen())
        .set("rig", "rig:k3f9a2bc-1")
        .set("name", "Once along the ditch")
        .set("step.1.do", "set_off")
        .set("step.1.order", ";;1")
        .set("step.1.speed", ";km_per_h;8")
        .set("step.1.takes", ";s;5")
        .set("step.2.do", "steady")
        .set("step.2.order", ";;2")
        .set("step.2.distance", ";m;120")
        .into_record(id(0, 1));
    book.apply(&record);
    (record.entry().doc.clone(), record)
}

#[test]
fn a_drive_reads_as_it_was_written() {
    let mut book = Book::default();
    let (drive, _) = begin(&mut book);
    let view = DriveView::read(book.doc(&drive).unwrap());
    assert_eq!((view.name, view.pump(), view.lines_charged()), (Some("Once along the ditch"), Ok(1), false));
    assert_eq!(view.rig.as_ref().unwrap().to_string(), "rig:k3f9a2bc-1");
    let kinds: Vec<_> = view.steps.iter().map(|step| step.kind.unwrap()).collect();
    assert_eq!(kinds, [StepKind::SetOff, StepKind::Steady]);
    assert!(
        (view.steps[0].quantity::<Speed>("speed").unwrap().unwrap().value.as_km_per_h() - 8.0).abs() < 1e-12
    );
    assert_eq!(view.steps[0].quantity::<Duration>("takes").unwrap().unwrap().value.as_s(), 5.0);
    assert_eq!(view.steps[1].quantity::<Length>("distance").unwrap().unwrap().value.as_m(), 120.0);
    assert!(view.steps[1].quantity::<Speed>("speed").is_none());
}

#[test]
fn steps_stand_in_their_order_and_one_taken_out_stays_in_the_book() {
    let mut book = Book::default();
    let (drive, _) = begin(&mut book);
    let draft = Draft::new(&drive, AT, "Ben", book.seen());
    let draft = draft.set("step.+.do", "corner").set("step.+.order", ";;2").set("step.2.order", ";;3");
    book.apply(&draft.into_record(id(1, 1)));
    let kinds = |book: &Book| {
        let doc = book.doc(&drive).unwrap();
        DriveView::read(doc).steps.iter().map(|step| step.kind.unwrap()).collect::<Vec<_>>()
    };
    assert_eq!(kinds(&book), [StepKind::SetOff, StepKind::Corner, StepKind::Steady]);
    book.apply(
        &Draft::new(&drive, AT, "Ada", book.seen()).set("step.2.removed", "yes").into_record(id(0, 2)),
    );
    assert_eq!(kinds(&book), [StepKind::SetOff, StepKind::Corner]);
    assert_eq!(book.doc(&drive).unwrap().text("step.2.distance"), Some(";m;120"));
}

#[test]
fn a_drive_is_in_the_copy_that_is_handed_out() {
    let mut book = Book::default();
    let (drive, record) = begin(&mut book);
    assert!(export(&book, &[]).contains(record.text()));
    assert_eq!(drive.to_string().parse::<DocId>().unwrap().kind, Kind::Drive);
    assert_eq!(book_of([&record]).docs_of(&Kind::Drive).len(), 1);
}

#[test]
fn every_kind_has_its_word_and_its_fields_a_row() {
    let Holds::Choice(options) = spec_of("step.1.do").unwrap().holds else { panic!("no choice") };
    assert_eq!(options.len(), StepKind::ALL.len());
    for (kind, option) in StepKind::ALL.iter().zip(options) {
        assert_eq!(kind.code(), *option);
        assert_eq!(StepKind::from_code(option), Some(*kind));
        for field in kind.fields() {
            assert!(spec_of(&format!("step.1.{field}")).is_some(), "{field}");
        }
    }
    assert_eq!(StepKind::from_code("fly"), None);
    for (idx, spec) in FIELDS.iter().enumerate() {
        assert!(FIELDS[idx + 1..].iter().all(|other| other.path != spec.path), "{} twice", spec.path);
    }
}

#[test]
fn each_field_says_what_is_wrong() {
    let problem = |path: &str, text: &str| check_field(path, &texts(&[(path, text)])).unwrap_err();
    assert_eq!(problem("step.1.distance", ";m;0"), FieldProblem::Zero);
    assert_eq!(problem("step.1.distance", ";m;-3"), FieldProblem::Negative);
    assert!(matches!(problem("step.1.speed", ";km_per_h;800"), FieldProblem::OutOfRange { .. }));
    assert!(matches!(problem("step.1.takes", ";s;soon"), FieldProblem::Parse(_)));
    assert!(matches!(problem("pump", ";;1.5"), FieldProblem::NotWhole { .. }));
    assert!(matches!(problem("limit.least", ";pct;120"), FieldProblem::OutOfRange { .. }));
    assert!(matches!(problem("step.1.boom", "half"), FieldProblem::NotAChoice { .. }));
    let presses = texts(&[("step.1.presses", ";;-2"), ("step.1.do", "nudge")]);
    assert_eq!(DriveView::read(&presses).steps[0].number("presses"), Some(Ok(-2.0)));
}

#[test]
fn a_manoeuvre_of_a_later_program_is_kept_and_not_known() {
    let later = texts(&[("step.9.do", "reverse"), ("step.9.order", ";;1")]);
    let view = DriveView::read(&later);
    assert_eq!((view.steps.len(), view.steps[0].kind), (1, None));
}
