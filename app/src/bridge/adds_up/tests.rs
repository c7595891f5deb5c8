//! From stored texts to what a diagnosis says of them, worked out by hand on the example rig: five sections of 144, 96, 120,
//! 96 and 144 in (600 in = 50 ft), 25 gal/ac, standing at 8 mph. By 495: 25 × 8 × 50 ÷ 495 = 20.202 gal/min, 60.606 gal in
//! three minutes, and 8 × 50 ÷ 495 × 3 = 2.4242 ac.

use super::carry::{blank, from_trial, into_trial};
use super::readings::{Answer, ask, input, run_keys};
use super::remedy::{Correction, Step, correction, entry_from, kept, put_right, step_of};
use super::setup::{Lacking, setup_of};
use crate::bridge::keyin::Entry;
use crate::state::sheet::System;
use calc::diagnosis::{
    Cause, CheckKind, ContradictionKind, Diagnosis, How, Motion, NumberForm, Outcome, Proof, Setup, Side,
    SlipKind, What,
};
use calc::model::KeyedNumber;
use records::examples::{DITCH_BANK_TRUCK, DRAINAGE_ROAD_CARRIER, ExampleField};
use records::fields::FieldProblem;
use records::rig::RigView;
use records::trial::{TrialKind, TrialView};
use records::{Book, DocId, Draft, EntryId, Kind, Target};
use std::collections::BTreeMap;
use units::LengthUnit;

#[derive(Default)]
struct World {
    book: Book,
    seq: u64,
}

type Fields<'a> = &'a [(&'a str, &'a str)];

impl World {
    fn save(&mut self, target: impl Into<Target>, fields: Fields<'_>) -> DocId {
        let draft = Draft::new(target, "2025-05-06T07:08:09Z", "Ada", self.book.seen());
        self.seq += 1;
        let id: EntryId = format!("k3f9a2bc-{}", self.seq).parse().unwrap();
        let record = draft.set_all(fields.iter().copied()).into_record(id);
        self.book.apply(&record);
        record.entry().doc.clone()
    }

    fn rig(&mut self, example: &[ExampleField], change: Fields<'_>) -> DocId {
        let mut all: BTreeMap<&str, &str> = example.iter().copied().collect();
        all.extend(change.iter().copied());
        self.save(Kind::Rig, &all.into_iter().collect::<Vec<_>>())
    }

    fn setup(&self, rig: &DocId) -> Result<Setup, Lacking> {
        setup_of(&self.book, self.book.doc(rig).unwrap(), System::Us)
    }
}

fn us(change: Fields<'_>) -> (World, DocId) {
    let mut world = World::default();
    let rig = world.rig(DITCH_BANK_TRUCK, change);
    (world, rig)
}

fn asked(setup: &Setup, fields: Fields<'_>) -> Answer {
    let texts: BTreeMap<String, String> =
        fields.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
    ask(&texts, &["1".to_owned(), "2".to_owned()], setup, false)
}

fn said(answer: &Answer) -> &Diagnosis {
    answer.said.as_ref().unwrap()
}

fn close(got: f64, expected: f64, within: f64) {
    assert!((got / expected - 1.0).abs() < within, "{got} is not {expected}");
}

#[test]
fn the_set_up_has_the_sheet_s_digits_in_the_console_s_own_units() {
    let (world, rig) = us(&[]);
    let setup = world.setup(&rig).unwrap();
    setup.check().unwrap();
    let text = |entry| setup.number(entry).unwrap().text.clone();
    assert_eq!(text(KeyedNumber::Meter), "302");
    assert_eq!(text(KeyedNumber::Width(2)), "120");
    assert_eq!(text(KeyedNumber::CarrierRate), "25.0");
    assert_eq!(text(KeyedNumber::Pump(1)), "85.0");
    assert_eq!(text(KeyedNumber::FirstRate(2)), "1.00");
    assert_eq!(setup.number(KeyedNumber::Width(0)).unwrap().form, NumberForm::Length(LengthUnit::Inch));
    assert_eq!((setup.n_sections(), setup.n_pumps()), (5, 3));
    assert_eq!(setup.n_nozzles, [6, 4, 5, 4, 6]);
    // Each width is keyed in; their sum is not.
    assert!(setup.number(KeyedNumber::TotalWidth).is_none());
    assert_eq!(setup.number(KeyedNumber::Meter).unwrap().proof, Proof::Stamped);
    assert_eq!(setup.number(KeyedNumber::Course).unwrap().proof, Proof::Untried);
}

// By hand: 60 pulses a turn of 2.38 m are 2521 on 100 m; 6 nozzles of 50 cm are 300 cm.
#[test]
fn a_metric_rig_by_wheel_and_nozzles_has_a_set_up_too() {
    let mut world = World::default();
    let rig = world.rig(DRAINAGE_ROAD_CARRIER, &[]);
    let setup = setup_of(&world.book, world.book.doc(&rig).unwrap(), System::Metric).unwrap();
    setup.check().unwrap();
    assert_eq!(setup.number(KeyedNumber::Course).unwrap().text, "2521");
    assert_eq!(setup.number(KeyedNumber::Width(3)).unwrap().text, "300");
    assert_eq!(setup.speed_source, calc::diagnosis::SpeedSource::Wheel);
}

#[test]
fn a_rig_without_a_width_says_which_one_is_lacking() {
    let (world, rig) = us(&[("section.3.width", "measured;ft;")]);
    assert_eq!(world.setup(&rig), Err(vec![Entry::Width(3)]));
    let mut world = World::default();
    let rig = world.rig(&[("name", "bare")], &[]);
    assert_eq!(world.setup(&rig), Err(vec![Entry::TotalWidth]));
}

// A trial found 0.9 % expanded (95 %): half of it is the standard uncertainty. The stamp that it replaced may come back.
#[test]
fn a_proven_number_carries_its_trial_and_the_stamp_it_replaced() {
    let (mut world, rig) = us(&[]);
    let trial = world.save(Kind::Trial, &[("kind", "meter"), ("outcome.expanded", "0.009")]);
    world.save(&rig, &[("meter.number", &format!("proven=2025-05-06={trial};;290"))]);
    let number = world.setup(&rig).unwrap().number(KeyedNumber::Meter).unwrap().clone();
    assert_eq!((number.text.as_str(), number.stamped), ("290", Some(302.0)));
    assert_eq!(number.proof, Proof::Proven { u_rel: 0.0045 });
    // In another convention the stamp is another number.
    world.save(
        &rig,
        &[("meter.convention", "counting:10:us_gal"), ("meter.number", "proven=2025-05-06;;2900")],
    );
    assert_eq!(world.setup(&rig).unwrap().number(KeyedNumber::Meter).unwrap().stamped, None);
}

// By hand: 2 % of 60.6 gal, halved, is 0.606 gal; steps of 0.1 gal add 0.1 ÷ √12 = 0.0289; together 0.6067 gal.
#[test]
fn a_reading_is_as_uncertain_as_is_usual_or_as_was_said() {
    let (world, rig) = us(&[]);
    let setup = world.setup(&rig).unwrap();
    let u = |fields: Fields<'_>| {
        let answer = asked(&setup, fields);
        let reading = answer.input.situations[0].readings[0];
        reading.u.as_si() / 0.003_785_411_784
    };
    close(u(&[("run.1.shown.volume", ";us_gal;60.6")]), 0.606_69, 1e-4);
    // 1 % said: 0.303 gal and the step.
    close(u(&[("run.1.shown.volume", ";us_gal;60.6"), ("run.1.u.shown.volume", ";pct;1")]), 0.304_37, 1e-4);
    // A nought is off by its step alone.
    close(u(&[("run.1.shown.volume", ";us_gal;0")]), 0.288_675, 1e-4);
}

#[test]
fn how_a_run_was_made_is_read_with_what_holds_where_nobody_said() {
    let (world, rig) = us(&[]);
    let setup = world.setup(&rig).unwrap();
    let fields = [
        ("run.1.motion", "driving"),
        ("run.1.carrier", "manual"),
        ("run.1.sections", "2,3"),
        ("run.1.use.1", "second"),
        ("run.1.presses.1", ";;-2"),
        ("run.1.use.2", "off"),
        ("run.1.shown.speed", ";mph;8"),
        ("run.1.shown.product_volume.2", ";us_fl_oz;5"),
        ("run.2.shown.speed", ";mph;8"),
    ];
    let answer = asked(&setup, &fields);
    let first = &answer.input.situations[0];
    assert_eq!(first.condition.motion, Motion::Driving);
    assert_eq!(first.condition.sections_on, [false, true, true, false, false]);
    let product = first.condition.product(0).unwrap();
    assert!(product.second && product.presses == -2);
    // A pump that is off gives nothing to compare.
    assert_eq!(first.condition.product(1), None);
    assert_eq!(first.readings.len(), 1);
    let second = &answer.input.situations[1].condition;
    assert_eq!((second.motion, second.carrier), (Motion::Standing, calc::diagnosis::CarrierMode::Regulated));
    assert!(second.section_on(4) && second.product(1).is_some());
}

// 241 keyed as 214: the console takes 214 pulses for a gallon, so 60.606 shown gallons are 60.606 × 214 ÷ 241 = 53.816.
#[test]
fn a_meter_number_with_swapped_digits_is_found_and_keyed_in_again() {
    let (world, rig) = us(&[("meter.number", "proven=2025-05-06;;241")]);
    let setup = world.setup(&rig).unwrap();
    let fields = [
        ("run.1.shown.rate", ";us_gal_per_ac;25.0"),
        ("run.1.shown.volume", ";us_gal;60.6"),
        ("run.1.true.time", ";s;180"),
        ("run.1.true.volume", ";us_gal;53.8"),
        ("run.1.u.true.volume", ";pct;1"),
    ];
    let answer = asked(&setup, &fields);
    let first = &said(&answer).top[0];
    assert_eq!(first.cause, Cause::Entry(KeyedNumber::Meter));
    let way = &first.variants[0];
    assert!(
        matches!(way.how, How::Slip { kind: SlipKind::SwappedDigits(_), side: Side::Console }),
        "{way:?}"
    );
    // The sheet is right: nothing is changed on the rig.
    let fix = correction(world.book.doc(&rig).unwrap(), &setup, first.cause, way);
    let expected =
        Correction { entry: Entry::Meter, keyed: "214".to_owned(), wanted: "241".to_owned(), on_rig: None };
    assert_eq!(fix, Some(expected));
    // Predicted under it: 53.8 gal, and the shown side on target.
    let caught = first.fit.iter().find(|fit| fit.seen.what == What::Volume).unwrap();
    close(caught.predicted.as_si() / 0.003_785_411_784, 53.816, 0.01);
}

// The same wrong number with nothing caught: the display is regulated and sits on its target.
#[test]
fn regulated_mode_hides_a_wrong_meter_number() {
    let (world, rig) = us(&[("meter.number", "proven=2025-05-06;;241")]);
    let setup = world.setup(&rig).unwrap();
    let shown = [
        ("run.1.shown.rate", ";us_gal_per_ac;25.0"),
        ("run.1.shown.flow", ";us_gal_per_min;20.2"),
        ("run.1.shown.volume", ";us_gal;60.6"),
        ("run.1.shown.area", ";ac;2.42"),
        ("run.1.true.time", ";s;180"),
    ];
    let answer = asked(&setup, &shown);
    assert_eq!(said(&answer).outcome, Outcome::NothingWrong);
    assert!(answer.input.is_blind_to_meter());
    let mut with_jug = shown.to_vec();
    with_jug.push(("run.1.true.volume", ";us_gal;53.8"));
    assert!(!asked(&setup, &with_jug).input.is_blind_to_meter());
    // Where nothing is said of the carrier there is nothing to be blind to.
    assert!(!asked(&setup, &[("run.1.shown.width", ";in;600")]).input.is_blind_to_meter());
    let mut manual = shown.to_vec();
    manual.push(("run.1.carrier", "manual"));
    assert!(!asked(&setup, &manual).input.is_blind_to_meter());
}

// Common practice, no source: a section width keyed in feet where inches were wanted shows a twelfth of the width. By hand:
// 12 in instead of 144 on section 1 alone; 600 − 132 = 468 in with all on.
#[test]
fn feet_for_inches_show_a_twelfth_of_a_section() {
    let (world, rig) = us(&[]);
    let setup = world.setup(&rig).unwrap();
    let fields = [
        ("run.1.sections", "1"),
        ("run.1.shown.width", ";in;12"),
        ("run.2.shown.width", ";in;468"),
        ("run.2.true.width", ";ft;50"),
    ];
    let answer = asked(&setup, &fields);
    let first = &said(&answer).top[0];
    assert_eq!(first.cause, Cause::Entry(KeyedNumber::Width(0)));
    let way = &first.variants[0];
    assert_eq!((way.keyed.as_ref().unwrap().value, way.wanted.as_ref().unwrap().value), (12.0, 144.0));
    close(way.factor.unwrap().value, 1.0 / 12.0, 1e-9);
    let meant_for = NumberForm::Length(LengthUnit::Foot);
    assert_eq!(way.how, How::Slip { kind: SlipKind::OtherForm { meant_for }, side: Side::Console });
}

// The same slip on the sheet itself: section 1 described as 12 in, so the console shows the 468 in of the sheet while the
// boom is 600 in. The rig gets 144 in its console's unit.
#[test]
fn a_width_that_is_wrong_on_the_sheet_is_put_right_on_the_rig() {
    let (mut world, rig) = us(&[("section.1.width", "measured;in;12")]);
    let setup = world.setup(&rig).unwrap();
    let fields = [
        ("run.1.shown.width", ";in;468"),
        ("run.1.true.width", ";ft;50"),
        ("run.2.sections", "1"),
        ("run.2.true.width", ";ft;12"),
    ];
    let answer = asked(&setup, &fields);
    let first = &said(&answer).top[0];
    assert_eq!(first.cause, Cause::Entry(KeyedNumber::Width(0)));
    let fix = correction(world.book.doc(&rig).unwrap(), &setup, first.cause, &first.variants[0]).unwrap();
    let on_rig = ("section.1.width".to_owned(), "measured;in;144".to_owned());
    assert_eq!(fix.on_rig.as_ref(), Some(&on_rig));
    // What was done stays with the readings.
    let readings = world.save(Kind::Readings, &[("rig", &rig.to_string())]);
    let texts: Vec<(String, String)> =
        kept(&fix).into_iter().map(|(path, text)| (path, text.unwrap())).collect();
    let texts: Vec<(&str, &str)> = texts.iter().map(|(p, t)| (p.as_str(), t.as_str())).collect();
    world.save(&readings, &texts);
    let done = put_right(world.book.doc(&readings).unwrap());
    assert_eq!(done, Some((Entry::Width(1), "12".to_owned(), "144".to_owned())));
}

// A jug that says 4.3 % less: no slip with 302 gives that, so only a trial gives the number.
#[test]
fn a_number_that_was_fitted_is_proven_and_not_keyed_in() {
    let (world, rig) = us(&[]);
    let setup = world.setup(&rig).unwrap();
    let fields = [
        ("run.1.carrier", "manual"),
        ("run.1.shown.volume", ";us_gal;60.6"),
        ("run.1.true.volume", ";us_gal;58.0"),
        ("run.2.carrier", "manual"),
        ("run.2.shown.volume", ";us_gal;60.0"),
        ("run.2.true.volume", ";us_gal;57.4"),
    ];
    let answer = asked(&setup, &fields);
    let first = &said(&answer).top[0];
    assert_eq!((first.cause, first.variants[0].how), (Cause::Entry(KeyedNumber::Meter), How::Drift));
    assert_eq!(correction(world.book.doc(&rig).unwrap(), &setup, first.cause, &first.variants[0]), None);
    let trial = Step::Trial { kind: TrialKind::Meter, pump: 0 };
    assert_eq!(step_of(first.cause.proof().unwrap(), &answer.input), trial);
    // The trial begins with both readings of the first run, half typed.
    let texts: BTreeMap<&str, &str> = fields.into_iter().collect();
    let prefilled =
        into_trial(TrialKind::Meter, 0, &answer.input, |path| texts.get(path).map(|t| (*t).to_owned()));
    let expected = [("run.new.indicated", ";us_gal;60.6"), ("run.new.actual", ";us_gal;58.0")];
    assert_eq!(prefilled, expected.map(|(path, text)| (path.to_owned(), text.to_owned())));
    // A course has no reading here.
    assert!(into_trial(TrialKind::Course, 0, &answer.input, |_| None).is_empty());
}

#[test]
fn a_number_read_back_is_a_reading() {
    let (world, rig) = us(&[("meter.number", "proven=2025-05-06;;241")]);
    let setup = world.setup(&rig).unwrap();
    let fields = [
        ("back.meter", ";;214"),
        ("run.1.shown.volume", ";us_gal;60.6"),
        ("run.1.true.volume", ";us_gal;53.8"),
    ];
    let answer = asked(&setup, &fields);
    assert_eq!(said(&answer).top[0].cause, Cause::Entry(KeyedNumber::Meter));
    assert_eq!(said(&answer).outcome, Outcome::Found { sure: true });
    let step = step_of(CheckKind::ReadBack(KeyedNumber::Meter), &answer.input);
    assert_eq!(step, Step::Reading { run: 1, what: What::ReadBack(KeyedNumber::Meter) });
}

#[test]
fn readings_that_cannot_be_are_named() {
    let (world, rig) = us(&[]);
    let setup = world.setup(&rig).unwrap();
    let kinds = |fields: Fields<'_>| -> (Outcome, Vec<(ContradictionKind, usize)>) {
        let answer = asked(&setup, fields);
        let found = said(&answer).contradictions.iter().map(|c| (c.kind, c.readings.len())).collect();
        (said(&answer).outcome, found)
    };
    // Area without speed and without time.
    let (outcome, found) = kinds(&[
        ("run.1.motion", "driving"),
        ("run.1.shown.area", ";ac;2.42"),
        ("run.1.shown.speed", ";mph;0.0"),
    ]);
    assert_eq!((outcome, found), (Outcome::Contradictory, vec![(ContradictionKind::Impossible, 2)]));
    // Ground covered while standing.
    let (outcome, found) = kinds(&[("run.1.true.distance", ";ft;300"), ("run.1.shown.width", ";in;600")]);
    assert_eq!((outcome, found), (Outcome::Contradictory, vec![(ContradictionKind::Impossible, 1)]));
    // 300 ft in 20 s are 10.2 mph, not 5.
    let (outcome, found) = kinds(&[
        ("run.1.motion", "driving"),
        ("run.1.true.distance", ";ft;300"),
        ("run.1.true.time", ";s;20.0"),
        ("run.1.true.speed", ";mph;5"),
    ]);
    assert_eq!((outcome, found), (Outcome::Contradictory, vec![(ContradictionKind::Truths, 3)]));
    // One reading that nothing is compared with.
    let alone = [("run.1.carrier", "manual"), ("run.1.true.volume", ";us_gal;50")];
    assert_eq!(kinds(&alone).0, Outcome::NothingToCompare);
}

#[test]
fn what_does_not_read_is_left_out_by_name() {
    let (world, rig) = us(&[]);
    let setup = world.setup(&rig).unwrap();
    let fields = [
        ("run.1.shown.volume", ";us_gal;6o"),
        ("run.1.true.volume", ";us_gal;-5"),
        ("run.1.shown.width", ";in;600"),
        ("run.2.sections", ""),
        ("run.2.shown.width", ";in;600"),
    ];
    let answer = asked(&setup, &fields);
    let left_out = &answer.input.left_out;
    assert!(matches!(left_out[0], (1, What::ShownVolume, FieldProblem::Parse(_))), "{left_out:?}");
    assert_eq!(left_out[1], (1, What::Volume, FieldProblem::Negative));
    assert_eq!(answer.input.no_section, [2]);
    assert_eq!(answer.input.n_readings(), 1);
    assert!(answer.said.is_ok());
}

#[test]
fn nothing_typed_is_nothing_to_compare() {
    let (world, rig) = us(&[]);
    let setup = world.setup(&rig).unwrap();
    let answer = asked(&setup, &[]);
    assert_eq!((answer.input.n_readings(), said(&answer).outcome), (0, Outcome::NothingToCompare));
}

fn carried(world: &World, trial: &DocId, rig: &DocId) -> BTreeMap<String, String> {
    let rig = RigView::read(world.book.doc(rig).unwrap());
    from_trial(trial, &TrialView::read(world.book.doc(trial).unwrap()), &rig).into_iter().collect()
}

fn at<'a>(texts: &'a BTreeMap<String, String>, path: &str) -> Option<&'a str> {
    texts.get(path).map(String::as_str)
}

#[test]
fn a_meter_trial_carries_its_runs_over() {
    let (mut world, rig) = us(&[]);
    let rig_text = rig.to_string();
    let trial = world.save(Kind::Trial, &[("kind", "meter"), ("rig", &rig_text)]);
    world.save(
        &trial,
        &[("run.+.indicated", ";us_gal;25"), ("run.+.actual", ";us_gal;24"), ("run.+.seconds", ";s;75")],
    );
    // 20 kg of water at 15 °C are 20 ÷ 0.99910 = 20.018 L (density: CRC Handbook, from memory).
    world.save(
        &trial,
        &[
            ("run.+.indicated", ";l;20.5"),
            ("run.+.gross", ";kg;21.5"),
            ("run.+.tare", ";kg;1.5"),
            ("run.+.temperature", ";degc;15"),
        ],
    );
    let texts = carried(&world, &trial, &rig);
    assert_eq!(at(&texts, "from"), Some(trial.to_string().as_str()));
    assert_eq!(at(&texts, "run.1.shown.volume"), Some(";us_gal;25"));
    assert_eq!(at(&texts, "run.1.true.volume"), Some(";us_gal;24"));
    assert_eq!(at(&texts, "run.1.true.time"), Some(";s;75"));
    assert_eq!(at(&texts, "run.1.carrier"), Some("manual"));
    let litres: f64 = at(&texts, "run.2.true.volume").unwrap().rsplit(';').next().unwrap().parse().unwrap();
    close(litres, 20.018, 1e-4);
    // What was carried over is a document like any other.
    let fields: Vec<(&str, &str)> = texts.iter().map(|(p, t)| (p.as_str(), t.as_str())).collect();
    let readings = world.save(Kind::Readings, &fields);
    let doc = world.book.doc(&readings).unwrap();
    let input = input(doc, &run_keys(doc), &world.setup(&rig).unwrap(), false);
    assert_eq!((input.situations.len(), input.n_readings()), (2, 5));
}

#[test]
fn every_kind_of_trial_carries_over_what_it_knows() {
    let (mut world, rig) = us(&[]);
    let rig_text = rig.to_string();
    let mut carry = |kind: &str, setup: Fields<'_>, run: Fields<'_>| {
        let begun: Vec<(&str, &str)> =
            [("kind", kind), ("rig", rig_text.as_str())].into_iter().chain(setup.iter().copied()).collect();
        let trial = world.save(Kind::Trial, &begun);
        world.save(&trial, run);
        carried(&world, &trial, &rig)
    };
    let course = carry("course", &[("setup.course", ";ft;300")], &[("run.+.distance", ";ft;310")]);
    assert_eq!(at(&course, "run.1.motion"), Some("driving"));
    assert_eq!(at(&course, "run.1.shown.distance"), Some(";ft;310"));
    assert_eq!(at(&course, "run.1.true.distance"), Some(";ft;300"));
    let watch = carry(
        "course",
        &[("setup.course", ";ft;300"), ("setup.way", "stopwatch")],
        &[("run.+.speed", ";mph;5"), ("run.+.seconds", ";s;41")],
    );
    assert_eq!(at(&watch, "run.1.shown.speed"), Some(";mph;5"));
    assert_eq!(at(&watch, "run.1.true.time"), Some(";s;41"));
    let pump = carry(
        "pump",
        &[("setup.pump", ";;2")],
        &[("run.+.indicated", ";us_fl_oz;50"), ("run.+.actual", ";us_fl_oz;47"), ("run.+.seconds", ";s;60")],
    );
    assert_eq!(at(&pump, "run.1.shown.product_volume.2"), Some(";us_fl_oz;50"));
    assert_eq!(at(&pump, "run.1.true.product.2"), Some(";us_fl_oz;47"));
    // A pump trial runs at outputs of its own: its time says nothing about the rate.
    assert_eq!(at(&pump, "run.1.true.time"), None);
    let sections = carry("sections", &[], &[("run.1.width", ";ft;12"), ("run.2.width", ";ft;13")]);
    assert_eq!(at(&sections, "run.2.sections"), Some("1,2"));
    assert_eq!(at(&sections, "run.2.shown.width"), Some(";ft;13"));
    let standing = carry(
        "standing",
        &[("setup.sections", "1,2,3"), ("setup.speed", ";mph;8")],
        &[
            ("run.+.seconds", ";s;60"),
            ("run.+.indicated", ";us_gal;12.1"),
            ("run.+.product.1", ";us_fl_oz;31"),
        ],
    );
    assert_eq!(at(&standing, "run.1.sections"), Some("1,2,3"));
    assert_eq!(at(&standing, "run.1.true.product.1"), Some(";us_fl_oz;31"));
    // The rig says its own standing speed; what a trial planned is no reading then.
    assert_eq!(at(&standing, "run.1.shown.speed"), None);
    // By hand: 0.5 gal in 60 s and 0.7 gal in 60 s are 0.6 gal/min in the mean, 2.27125 L/min.
    let catch = carry(
        "catch",
        &[("setup.pressure", ";psi;40")],
        &[
            ("run.1.actual", ";us_gal;0.5"),
            ("run.1.seconds", ";s;60"),
            ("run.2.actual", ";us_gal;0.7"),
            ("run.2.seconds", ";s;60"),
        ],
    );
    let flow: f64 =
        at(&catch, "run.1.true.nozzle_flow").unwrap().rsplit(';').next().unwrap().parse().unwrap();
    close(flow, 2.271_25, 1e-4);
    assert_eq!(at(&catch, "run.1.true.pressure"), Some(";psi;40"));
    let gauge = carry("gauge", &[], &[("run.+.gauge", ";psi;42"), ("run.+.reference", ";psi;40")]);
    assert_eq!(at(&gauge, "run.1.true.pressure"), Some(";psi;40"));
    assert!(blank(&rig).iter().any(|(path, text)| path == "rig" && *text == rig_text));
}

#[test]
fn an_entry_is_read_as_it_was_kept() {
    for entry in [
        Entry::Meter,
        Entry::Course,
        Entry::Width(12),
        Entry::CarrierRate,
        Entry::Pump(2),
        Entry::First(1),
        Entry::Second(6),
        Entry::Nudge(3),
        Entry::Standing,
        Entry::Hold,
    ] {
        let fix = Correction { entry, keyed: "1".to_owned(), wanted: "2".to_owned(), on_rig: None };
        let code = kept(&fix).into_iter().next().and_then(|(_, text)| text).unwrap();
        assert_eq!(entry_from(&code), Some(entry));
    }
    assert_eq!(entry_from("something.else"), None);
}
