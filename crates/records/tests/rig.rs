//! A rig from its texts: the two examples, each kind of bad input, and what does not fit together.

#![allow(clippy::unwrap_used, clippy::panic, reason = "test helpers stand outside test functions")]

mod common;

use std::collections::BTreeMap;

use proptest::prelude::*;
use records::examples::{DITCH_BANK_TRUCK, DRAINAGE_ROAD_CARRIER, ExampleField};
use records::fields::{FieldProblem, Measure, Overlay, Texts};
use records::rig::{FIELDS, FeedAt, HoseBy, RateOf, RigProblemKind, RigView, check_field, spec_of};
use records::{Book, Draft, FieldValue, Kind, ProductRate, Source};
use units::{ParseProblem, PulseConvention, VolumeUnit};

type Map = BTreeMap<String, String>;

fn map(fields: &[ExampleField]) -> Map {
    fields.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect()
}

fn with(fields: &[ExampleField], changes: &[ExampleField]) -> Map {
    let mut texts = map(fields);
    texts.extend(map(changes));
    texts
}

/// The example with changes, and the problems that it then has.
fn problems(changes: &[ExampleField]) -> Vec<(String, RigProblemKind)> {
    let texts = with(DITCH_BANK_TRUCK, changes);
    let found = RigView::read(&texts).problems(&texts);
    found.into_iter().map(|problem| (problem.paths[0].clone(), problem.kind)).collect()
}

fn only(changes: &[ExampleField]) -> (String, RigProblemKind) {
    let found = problems(changes);
    assert_eq!(found.len(), 1, "{found:?}");
    found.into_iter().next().unwrap()
}

fn field(path: &str, text: &str) -> FieldProblem {
    let texts = with(DITCH_BANK_TRUCK, &[(path, text)].map(|(p, t)| (leak(p), leak(t))));
    check_field(path, &texts).unwrap_err()
}

fn leak(text: &str) -> &'static str {
    Box::leak(text.to_owned().into_boxed_str())
}

#[test]
fn the_examples_are_whole_and_sound() {
    for example in [DITCH_BANK_TRUCK, DRAINAGE_ROAD_CARRIER] {
        let texts = map(example);
        assert_eq!(texts.len(), example.len(), "a path twice");
        assert_eq!(RigView::read(&texts).problems(&texts), []);
        for (path, _) in example {
            assert!(spec_of(path).is_some(), "{path} is in no row");
        }
    }
}

#[test]
fn the_ditch_bank_truck_reads_as_its_comment_says() {
    let rig = RigView::read(&map(DITCH_BANK_TRUCK));
    assert_eq!((rig.sections.len(), rig.pumps.len()), (5, 3));
    // By hand: 12 + 8 + 10 + 8 + 12 = 50 ft; 6 + 4 + 5 + 4 + 6 = 25 nozzles.
    assert!((rig.boom_width().unwrap().as_ft() - 50.0).abs() < 1e-9);
    assert_eq!(rig.sections.iter().map(|s| s.nozzles.ok().unwrap()).sum::<u32>(), 25);
    let meter = rig.meter.number.ok().unwrap();
    let per_gal = PulseConvention::counting(1.0, VolumeUnit::UsGallon);
    assert!((per_gal.key_in(meter.pulses) - 302.0).abs() < 1e-9);
    assert_eq!(meter.number, 302.0);
    assert_eq!(rig.meter.number.value.unwrap().source, Some(Source::Stamped));
    // By hand: 3162 pulses in 400 ft = 121.92 m are 25.935 per metre.
    assert!((rig.speed.pulses().unwrap().as_per_m() - 25.935_039_37).abs() < 1e-8);
    assert_eq!(rig.nozzle.iso.ok().unwrap().size, 8.0);
    let Some(ProductRate::PerCarrier(adjuvant)) = rig.pumps[2].first.ok() else { panic!("not per carrier") };
    assert!((adjuvant.value.as_percent() - 0.25).abs() < 1e-12);
}

#[test]
fn the_drainage_road_carrier_reads_as_its_comment_says() {
    let rig = RigView::read(&map(DRAINAGE_ROAD_CARRIER));
    assert_eq!((rig.sections.len(), rig.pumps.len()), (4, 1));
    // By hand: 24 nozzles × 0.5 m.
    assert!((rig.boom_width().unwrap().as_m() - 12.0).abs() < 1e-12);
    // By hand: 60 ÷ 2.38 = 25.210084 pulses per metre.
    assert!((rig.speed.pulses().unwrap().as_per_m() - 25.210_084_034).abs() < 1e-8);
    assert_eq!(rig.nozzle.iso.ok().unwrap().size, 3.0);
}

#[test]
fn a_blank_rig_says_what_is_needed_and_nothing_else() {
    let texts = Map::new();
    let missing: Vec<String> = RigView::read(&texts)
        .problems(&texts)
        .into_iter()
        .map(|p| {
            assert_eq!(p.kind, RigProblemKind::Field(FieldProblem::Missing));
            p.paths[0].clone()
        })
        .collect();
    assert_eq!(
        missing,
        [
            "name",
            "meter.number",
            "meter.convention",
            "speed.number",
            "speed.convention",
            "section.count",
            "carrier.rate"
        ]
    );
}

#[test]
fn a_rig_in_the_book_and_a_form_over_it_read_alike() {
    let draft = Draft::new(Kind::Rig, common::AT, "Ada", Book::default().seen())
        .set_all(DITCH_BANK_TRUCK.iter().copied());
    let record = draft.into_record(common::id(0, 1));
    let book = common::book_of([&record]);
    let doc = book.doc(&record.entry().doc).unwrap();
    assert_eq!(RigView::read(doc), RigView::read(&map(DITCH_BANK_TRUCK)));
    let over = BTreeMap::from([
        ("meter.number".to_owned(), Some("measured;;311".to_owned())),
        ("pump.3.first".to_owned(), None),
    ]);
    let form = Overlay { base: doc, over: &over };
    let rig = RigView::read(&form);
    assert_eq!(rig.meter.number.ok().unwrap().number, 311.0);
    assert_eq!(rig.pumps[2].first.read, None);
    assert_eq!(form.paths().len(), DITCH_BANK_TRUCK.len() - 1);
}

#[test]
fn each_kind_of_bad_input_has_its_own_answer() {
    let parse = FieldProblem::Parse;
    assert_eq!(field("section.1.width", "measured;ft;"), parse(ParseProblem::Empty));
    assert_eq!(field("section.1.width", "measured;ft;0"), FieldProblem::Zero);
    assert_eq!(field("section.1.width", "measured;ft;-3"), FieldProblem::Negative);
    assert_eq!(field("section.1.width", "measured;;12"), parse(ParseProblem::NoUnit));
    assert_eq!(
        field("section.1.width", "measured;ft;wide"),
        parse(ParseProblem::NotANumber { found: "wide".to_owned() })
    );
    assert_eq!(
        field("section.1.width", "measured;ft;1.2.3"),
        parse(ParseProblem::TwoDecimalMarks { found: "1.2.3".to_owned() })
    );
    assert_eq!(
        field("section.1.width", "measured;ft;12 gal"),
        parse(ParseProblem::UnknownUnit { found: "gal".to_owned() })
    );
    assert_eq!(
        field("section.1.width", "measured;furlong;1"),
        FieldProblem::UnitCode { found: "furlong".to_owned() }
    );
    // A three-mile section: 3 × 1609.344 m.
    let FieldProblem::OutOfRange { got, greatest, measure, .. } = field("section.1.width", "measured;mi;3")
    else {
        panic!("in range")
    };
    assert!((got - 4828.032).abs() < 1e-9);
    assert_eq!((greatest, measure), (40.0, Measure::Length));
    // A 900 mph test; 60 mph is the most, by hand 26.8224 m/s.
    let FieldProblem::OutOfRange { greatest, .. } = field("standing.speed", "guessed;mph;900") else {
        panic!("in range")
    };
    assert!((greatest - 26.8224).abs() < 1e-12);
    assert_eq!(field("section.count", ";;2.5"), FieldProblem::NotWhole { got: 2.5 });
    assert!(matches!(field("section.count", ";;400"), FieldProblem::OutOfRange { .. }));
    assert!(matches!(field("pump.count", ";;7"), FieldProblem::OutOfRange { .. }));
    assert!(matches!(field("carrier.mode", "sometimes"), FieldProblem::NotAChoice { .. }));
    assert!(matches!(field("meter.convention", "counting:0:us_gal"), FieldProblem::Convention(_)));
    assert!(matches!(field("keyin.width.unit", "us_gal"), FieldProblem::UnitCode { .. }));
    assert_eq!(field("meter.number", ";;0"), FieldProblem::Zero);
    assert_eq!(field("meter.number", ";;-299"), FieldProblem::Negative);
    assert!(matches!(field("nozzle.iso", ";;blue"), FieldProblem::NotAnIsoNumber { .. }));
    assert!(matches!(
        field("pump.1.first", ";us_fl_oz_per_ac;64 psi"),
        FieldProblem::Parse(ParseProblem::UnknownUnit { .. })
    ));
}

#[test]
fn limits_themselves_are_allowed_in_every_unit() {
    for (path, text) in [
        ("standing.speed", ";mph;60"),
        ("top.speed", ";km_per_h;96.56064"),
        ("section.1.width", ";m;40"),
        ("section.1.width", ";ft;131.233595800525"),
        ("supply.agitation", ";pct;0"),
    ] {
        assert_eq!(check_field(path, &with(DITCH_BANK_TRUCK, &[(path, text)])), Ok(()), "{path} {text}");
    }
}

#[test]
fn iso_numbers_read_as_the_standard_writes_them() {
    // From memory of ISO 10625: 03 is 3, 015 one and a half, 0075 three quarters, 10 ten times the size 01.
    for (code, size) in [("03", 3.0), ("015", 1.5), ("0075", 0.75), ("005", 0.5), ("10", 10.0), (" 08 ", 8.0)]
    {
        let texts = with(DITCH_BANK_TRUCK, &[("nozzle.iso", leak(&format!(";;{code}")))]);
        assert_eq!(RigView::read(&texts).nozzle.iso.ok().unwrap().size, size, "{code}");
    }
    for code in ["0", "00", "1.5", "-3", "03456", "99"] {
        let texts = with(DITCH_BANK_TRUCK, &[("nozzle.iso", leak(&format!(";;{code}")))]);
        assert!(RigView::read(&texts).nozzle.iso.problem().is_some(), "{code}");
    }
}

#[test]
fn a_number_without_its_convention_is_not_interpreted() {
    let mut texts = map(DITCH_BANK_TRUCK);
    texts.remove("meter.convention");
    let rig = RigView::read(&texts);
    assert_eq!(rig.meter.number.problem(), Some(&FieldProblem::NoConvention));
    assert_eq!(rig.meter.convention.problem(), Some(&FieldProblem::Missing));
}

// A spacing number falls as pulses rise, so its believable range is turned round.
#[test]
fn a_spacing_number_has_its_own_range() {
    let spacing = |number| [("speed.convention", "spacing:1000:cm"), ("speed.number", number)];
    // Common practice, no source: 130 pulses per metre are 769 cm per 1000 pulses.
    let texts = with(DITCH_BANK_TRUCK, &spacing(";;769"));
    assert!((RigView::read(&texts).speed.pulses().unwrap().as_per_m() - 130.039).abs() < 1e-3);
    let texts = with(DITCH_BANK_TRUCK, &spacing(";;0.00001"));
    let FieldProblem::OutOfRange { least, greatest, .. } = check_field("speed.number", &texts).unwrap_err()
    else {
        panic!("in range")
    };
    // By hand: 1000 pulses at 100 000/m are 1 cm, at 0.01/m 100 km.
    assert!((least - 1.0).abs() < 1e-9 && (greatest - 1e7).abs() < 1e-3, "{least} {greatest}");
}

#[test]
fn limits_out_of_order_are_named() {
    let least_above = [
        ("meter.least", ";us_gal_per_min;61"),
        ("nozzle.least_pressure", ";psi;91"),
        ("pump.2.least", ";us_fl_oz_per_min;81"),
    ];
    for change in least_above {
        assert_eq!(only(&[change]), (change.0.to_owned(), RigProblemKind::LeastAboveGreatest));
    }
}

#[test]
fn a_rate_above_the_label_is_named() {
    let rate_of = |changes: &[ExampleField]| match only(changes) {
        (path, RigProblemKind::RateAboveLabel { pump, rate, ratio }) => (path, pump, rate, ratio),
        other => panic!("{other:?}"),
    };
    let near = |got: f64, want: f64| assert!((got - want).abs() < 1e-9, "{got} {want}");
    // By hand: 130 ÷ 128.
    let (path, pump, rate, ratio) = rate_of(&[("pump.1.first", ";us_fl_oz_per_ac;130")]);
    assert_eq!((path.as_str(), pump, rate), ("pump.1.first", 1, RateOf::First));
    near(ratio, 130.0 / 128.0);
    // By hand: 128 is allowed, nudged once by 10 % it is 140.8.
    let (path, _, rate, ratio) = rate_of(&[("pump.1.second", ";us_fl_oz_per_ac;128")]);
    assert_eq!((path.as_str(), rate), ("pump.1.second", RateOf::SecondNudged));
    near(ratio, 1.1);
    // By hand: 1 gal is 128 fl oz, 1 qt 32: the maximum in another unit is the same maximum.
    let (_, _, rate, ratio) = rate_of(&[("pump.2.label_greatest", ";us_qt_per_ac;1.5")]);
    assert_eq!(rate, RateOf::SecondNudged);
    near(ratio, 1.1);
    // A rate per carrier: 0.25 % of 25 gal/ac is 8 fl oz/ac.
    let (path, pump, rate, ratio) = rate_of(&[("pump.3.label_greatest", ";us_fl_oz_per_ac;4")]);
    assert_eq!((path.as_str(), pump, rate), ("pump.3.first", 3, RateOf::First));
    near(ratio, 2.0);
    assert_eq!(problems(&[("pump.3.label_greatest", ";us_fl_oz_per_ac;9")]), []);
}

#[test]
fn a_number_past_the_console_is_named() {
    let past = |changes: &[ExampleField]| match problems(changes).as_slice() {
        [(path, RigProblemKind::PastConsole { value, largest })] => (path.clone(), *value, *largest),
        other => panic!("{other:?}"),
    };
    let near = |got: (String, f64, f64), path: &str, value: f64, largest: f64| {
        assert_eq!(got.0, path);
        assert!((got.1 - value).abs() < 1e-6 && got.2 == largest, "{got:?}");
    };
    near(past(&[("meter.number", ";;10000")]), "meter.number", 10_000.0, 9999.0);
    // By hand: 84 ft are 1008 in.
    near(past(&[("section.3.width", ";ft;84")]), "section.3.width", 1008.0, 999.0);
    near(past(&[("keyin.carrier_rate.largest", ";;20")]), "carrier.rate", 25.0, 20.0);
    near(
        past(&[("keyin.nudge.largest", ";;9"), ("pump.2.nudge", ";pct;8"), ("pump.3.nudge", ";pct;8")]),
        "pump.1.nudge",
        10.0,
        9.0,
    );
    near(past(&[("keyin.standing_speed.largest", ";;7")]), "standing.speed", 8.0, 7.0);
    near(past(&[("keyin.pump.2.rate.largest", ";;40")]), "pump.2.second", 48.0, 40.0);
    near(past(&[("keyin.course.largest", ";;3000")]), "speed.number", 3162.0, 3000.0);
}

#[test]
fn counts_and_data_that_disagree_are_named() {
    assert_eq!(
        only(&[("section.count", ";;4")]),
        ("section.5.nozzles".to_owned(), RigProblemKind::BeyondCount { n: 5, count: 4 })
    );
    let missing = ("section.6.width".to_owned(), RigProblemKind::Field(FieldProblem::Missing));
    assert_eq!(only(&[("section.count", ";;6")]), missing);
    let mut found = problems(&[("pump.count", ";;4")]);
    found.sort_by(|a, b| a.0.cmp(&b.0));
    assert_eq!(
        found.iter().map(|p| p.0.as_str()).collect::<Vec<_>>(),
        ["pump.4.convention", "pump.4.number"]
    );
}

#[test]
fn a_section_by_nozzles_needs_a_spacing() {
    let mut texts = with(DRAINAGE_ROAD_CARRIER, &[]);
    texts.remove("nozzle.spacing");
    let rig = RigView::read(&texts);
    assert_eq!(rig.boom_width(), None);
    let found = rig.problems(&texts);
    assert_eq!(found.len(), 4);
    assert_eq!(found[0].kind, RigProblemKind::NoSpacing { section: 1 });
    // Its own spacing wins over the boom's; one that cannot be read is not replaced by it.
    let own = with(DRAINAGE_ROAD_CARRIER, &[("section.1.spacing", ";cm;25")]);
    assert!((RigView::read(&own).boom_width().unwrap().as_m() - 10.5).abs() < 1e-12);
    let bad = with(DRAINAGE_ROAD_CARRIER, &[("section.1.spacing", ";cm;?")]);
    assert_eq!(RigView::read(&bad).boom_width(), None);
}

#[test]
fn speeds_out_of_order_are_named() {
    assert_eq!(
        only(&[("standing.speed", ";mph;4")]),
        ("standing.speed".to_owned(), RigProblemKind::StandingBelowHold)
    );
    assert_eq!(
        only(&[("standing.speed", ";mph;12")]),
        ("standing.speed".to_owned(), RigProblemKind::AboveTopSpeed)
    );
}

#[test]
fn an_entry_that_is_not_in_force_is_named() {
    let mut texts = map(DITCH_BANK_TRUCK);
    texts.remove("nozzle.iso");
    texts.insert("nozzle.flow".to_owned(), ";us_gal_per_min;0.8".to_owned());
    let kinds: Vec<_> = RigView::read(&texts).problems(&texts).into_iter().map(|p| p.kind).collect();
    assert_eq!(kinds, [RigProblemKind::NotInForce]);
}

proptest! {
    // Whatever was typed anywhere, reading a rig answers and keeps the text.
    #[test]
    fn any_text_at_any_path_is_read_without_a_panic(
        row in prop::sample::select(FIELDS), text in "([0-9.,/' \"a-z%-]{0,12}|\\PC{0,12})", unit in "(ft|us_gal|pct||[a-z]{1,4})"
    ) {
        let path = row.path.replace(".N", ".2");
        let mut texts = map(DITCH_BANK_TRUCK);
        let stored = FieldValue::new(text.clone()).unit(unit).source(Source::Guessed).to_stored();
        texts.insert(path.clone(), stored.clone());
        let rig = RigView::read(&texts);
        let listed = rig
            .problems(&texts)
            .iter()
            .any(|problem| problem.paths[0] == path && matches!(problem.kind, RigProblemKind::Field(_)));
        prop_assert_eq!(listed, check_field(&path, &texts).is_err());
        prop_assert_eq!(FieldValue::from_stored(&stored).text, text);
    }

    #[test]
    fn a_value_is_kept_as_typed(
        text in any::<String>(), unit in prop::option::of("[a-z0-9_]{1,20}"),
        source in prop::option::of(prop_oneof![
            Just(Source::Stamped), Just(Source::Sheet), Just(Source::Measured), Just(Source::Guessed),
            "[0-9-]{0,10}".prop_map(|on| Source::Proven { on, trial: None }),
            "[0-9]{4}".prop_map(|on| Source::Proven { on, trial: Some("trial:k3f9a2bc-9".parse().unwrap()) }),
            Just(Source::Other("weighed".to_owned())),
        ])
    ) {
        let value = FieldValue { text, unit, source };
        prop_assert_eq!(FieldValue::from_stored(&value.to_stored()), value);
    }
}

#[test]
fn the_examples_say_how_they_are_plumbed() {
    let truck = RigView::read(&map(DITCH_BANK_TRUCK)).plumbing;
    assert!(truck.is_begun);
    // By hand: 1 1/2 in are 38.1 mm; the boom hangs 18 in below the manifold.
    assert!((truck.main_bore.ok().unwrap().value.as_mm() - 38.1).abs() < 1e-9);
    assert!((truck.boom_height.ok().unwrap().value.as_m() + 0.4572).abs() < 1e-12);
    assert_eq!((truck.hose_by.ok(), truck.feed.ok()), (Some(HoseBy::Reach), Some(FeedAt::Centre)));
    let carrier = RigView::read(&map(DRAINAGE_ROAD_CARRIER)).plumbing;
    assert_eq!((carrier.hose_by.ok(), carrier.feed.ok()), (Some(HoseBy::Same), Some(FeedAt::Inner)));
    assert!((carrier.hose_length.ok().unwrap().value.as_m() - 4.0).abs() < 1e-12);
    assert!(!RigView::read(&Map::new()).plumbing.is_begun);
}

#[test]
fn a_changed_piece_is_found_under_its_own_name() {
    let changes =
        [("plumbing.piece.3-p2.bore", "measured;mm;12"), ("plumbing.piece.3-p2.nozzle", "measured;pct;110")];
    let plumbing = RigView::read(&with(DITCH_BANK_TRUCK, &changes)).plumbing;
    let piece = &plumbing.pieces["3.p2"];
    assert_eq!(plumbing.pieces.len(), 1);
    assert!((piece.bore.ok().unwrap().value.as_mm() - 12.0).abs() < 1e-12);
    assert!((piece.nozzle.ok().unwrap().value.as_percent() - 110.0).abs() < 1e-9);
    assert_eq!((piece.length.value.clone(), piece.from.clone()), (None, None));
}

#[test]
fn a_pipe_without_a_bore_is_named() {
    for path in ["plumbing.main_bore", "plumbing.section_bore", "plumbing.piece.1-hose.bore"] {
        assert_eq!(field(path, "measured;mm;0"), FieldProblem::Zero, "{path}");
        assert_eq!(field(path, "measured;mm;-3"), FieldProblem::Negative, "{path}");
        let found = only(&[(leak(path), "measured;mm;0")]);
        assert_eq!(found, (path.to_owned(), RigProblemKind::Field(FieldProblem::Zero)));
    }
    assert_eq!(
        only(&[("plumbing.wall", "own")]),
        ("plumbing.roughness".to_owned(), RigProblemKind::Field(FieldProblem::Missing))
    );
}

/// Lines came to the rig after others had shipped: whoever does not know them keeps them, and hands them on.
#[test]
fn a_line_that_is_unknown_elsewhere_is_no_problem() {
    assert_eq!(spec_of("plumbing.from_a_later_version"), None);
    assert_eq!(problems(&[("plumbing.from_a_later_version", "measured;mm;0")]), []);
}
