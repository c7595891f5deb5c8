//! A trial from its entries: runs in the order in which they were begun, removed ones kept, the outcome as concluded.

#![allow(clippy::unwrap_used, clippy::panic, reason = "test helpers stand outside test functions")]

mod common;

use common::{AT, book_of, id};
use records::fields::FieldProblem;
use records::trial::{FIELDS, Status, TrialKind, TrialView, check_field, spec_of};
use records::{Book, DocId, Draft, Kind};
use units::{Length, ParseProblem, Volume};

fn begin(book: &mut Book) -> DocId {
    let record = Draft::new(Kind::Trial, AT, "Ada", book.seen())
        .set("kind", "meter")
        .set("rig", "rig:k3f9a2bc-1")
        .set("setup.jug_step", "sheet;ml;50")
        .into_record(id(0, 1));
    book.apply(&record);
    record.entry().doc.clone()
}

fn run(book: &mut Book, trial: &DocId, device: u64, indicated: &str) {
    let seq = book.seen().last_of(common::device(device)) + 1;
    let draft = Draft::new(trial, AT, "Ada", book.seen()).set("run.+.indicated", indicated);
    book.apply(&draft.set("run.+.actual", ";us_gal;5").into_record(id(device, seq)));
}

#[test]
fn runs_come_in_the_order_in_which_they_were_begun() {
    let mut book = Book::default();
    let trial = begin(&mut book);
    for indicated in [";us_gal;5.2", ";us_gal;5.1", ";us_gal;5,3"] {
        run(&mut book, &trial, 0, indicated);
    }
    let doc = book.doc(&trial).unwrap();
    let view = TrialView::read(doc);
    assert_eq!(view.kind, Some(TrialKind::Meter));
    assert_eq!(view.status, Status::Open);
    assert_eq!(view.rig.as_ref().unwrap().to_string(), "rig:k3f9a2bc-1");
    assert_eq!(view.setup("jug_step").unwrap().text, "50");
    let gallons: Vec<f64> = view
        .counting()
        .map(|run| run.quantity::<Volume>("indicated").unwrap().unwrap().value.as_us_gal())
        .collect();
    assert_eq!(gallons.len(), 3);
    for (got, want) in gallons.iter().zip([5.2, 5.1, 5.3]) {
        assert!((got - want).abs() < 1e-12);
    }
    assert_eq!(view.runs[2].value("indicated").unwrap().text, "5,3");
}

// Two people add a run to one trial at the same time: two runs, not one with two readings.
#[test]
fn runs_begun_on_two_phones_stay_two() {
    let mut ada = Book::default();
    let trial = begin(&mut ada);
    let mut ben = ada.clone();
    run(&mut ada, &trial, 0, ";us_gal;5.2");
    run(&mut ben, &trial, 1, ";us_gal;5.4");
    ada.merge(&ben);
    let doc = ada.doc(&trial).unwrap();
    assert_eq!(TrialView::read(doc).runs.len(), 2);
    assert!(doc.conflicts().is_empty());
}

#[test]
fn a_removed_run_is_out_of_the_count_and_in_the_book() {
    let mut book = Book::default();
    let trial = begin(&mut book);
    run(&mut book, &trial, 0, ";us_gal;5.2");
    run(&mut book, &trial, 0, ";us_gal;9.9");
    let path = TrialView::read(book.doc(&trial).unwrap()).runs[1].path("removed");
    book.apply(&Draft::new(&trial, AT, "Ada", book.seen()).set(path.clone(), "yes").into_record(id(0, 4)));
    let view = TrialView::read(book.doc(&trial).unwrap());
    assert_eq!((view.counting().count(), view.runs.len()), (1, 2));
    assert_eq!(view.runs[1].value("indicated").unwrap().text, "9.9");
    book.apply(&Draft::new(&trial, AT, "Ada", book.seen()).clear(path).into_record(id(0, 5)));
    assert_eq!(TrialView::read(book.doc(&trial).unwrap()).counting().count(), 2);
}

#[test]
fn the_outcome_is_what_was_concluded_then() {
    let mut book = Book::default();
    let trial = begin(&mut book);
    let draft = Draft::new(&trial, AT, "Ada", book.seen());
    let concluded =
        draft.set("status", "concluded").set("outcome.number", "311").set("outcome.verdict", "out");
    book.apply(&concluded.into_record(id(0, 2)));
    let view = TrialView::read(book.doc(&trial).unwrap());
    assert_eq!(view.status, Status::Concluded);
    assert_eq!(view.outcome("number"), Some("311"));
    assert_eq!(view.outcomes().collect::<Vec<_>>(), [("number", "311"), ("verdict", "out")]);
    // Reading changes nothing: the same records give the same view after a restart.
    assert_eq!(book_of(book.records()), book);
}

#[test]
fn readings_are_checked_like_a_rigs_fields() {
    let check = |path: &str, text: &str| {
        let texts = std::collections::BTreeMap::from([(path.to_owned(), text.to_owned())]);
        check_field(path, &texts)
    };
    assert_eq!(check("run.1.indicated", ";us_gal;0"), Ok(()), "a console that shows nothing is a reading");
    assert_eq!(check("run.1.actual", ";us_gal;0"), Err(FieldProblem::Zero));
    assert_eq!(check("run.k3f9a2bc-9.actual", ";us_gal;-1"), Err(FieldProblem::Negative));
    assert_eq!(check("run.1.actual", ";;5"), Err(FieldProblem::Parse(ParseProblem::NoUnit)));
    assert_eq!(check("setup.temperature", ";degc;-4"), Ok(()));
    assert!(matches!(check("setup.temperature", ";degf;200"), Err(FieldProblem::OutOfRange { .. })));
    assert!(matches!(check("run.1.direction", "sideways"), Err(FieldProblem::NotAChoice { .. })));
    assert_eq!(check("run.1.of_a_later_program", "x"), Ok(()));
    assert_eq!(check("run.1.product.2", ";ml;240"), Ok(()));
    assert_eq!(
        records::trial::read_quantity::<Length>(&std::collections::BTreeMap::new(), "run.1.taped"),
        None
    );
}

#[test]
fn every_path_of_the_table_has_one_row() {
    for row in FIELDS {
        let path = row.path.replace('*', "k3f9a2bc-9").replace(".N", ".2");
        assert_eq!(spec_of(&path).unwrap().path, row.path);
    }
    for kind in TrialKind::ALL {
        assert_eq!(TrialKind::from_code(kind.code()), Some(*kind));
    }
}
