//! Manoeuvres as typed against lengths and times worked out by hand.

use super::digest::{ABOVE_LABEL, Course, Digest, Digesting, NOT_SPRAYED, ON_TARGET, Of, step_of};
use super::ready::{Pace, READY, in_order, place_for_new};
use super::*;
use crate::bridge::rig::rig_of;
use crate::state::sheet::System;
use calc::pass::drive::Switched;
use calc::pass::simulation::Simulation;
use calc::plumbing::Plumbing;
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::Solver;
use calc::plumbing::lag::{LagJob, lag_sheet};
use calc::plumbing::quick::{FeedPoint, HoseLengths, QuickAnswers, SMOOTH_WALL, quick_network};
use records::examples::{DITCH_BANK_TRUCK, DRAINAGE_ROAD_CARRIER};
use records::rig::RigView;
use std::collections::BTreeMap;
use units::{Viscosity, VolumePerArea};

type Map = BTreeMap<String, String>;

fn map(fields: &[(&str, &str)]) -> Map {
    fields.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect()
}

fn metric() -> RigView {
    RigView::read(&map(DRAINAGE_ROAD_CARRIER))
}

/// Steps one after another, each with its fields.
fn drive(steps: &[(&str, &[(&str, &str)])]) -> Map {
    let mut texts = Map::new();
    for (idx, (kind, fields)) in steps.iter().enumerate() {
        texts.insert(format!("step.{idx}.do"), (*kind).to_owned());
        texts.insert(format!("step.{idx}.order"), format!(";;{idx}"));
        for (field, text) in *fields {
            texts.insert(format!("step.{idx}.{field}"), (*text).to_owned());
        }
    }
    texts
}

fn on_metric(texts: &Map) -> Result<Driven, PassProblem> {
    driven(&DriveView::read(texts), &rig_of(&metric()))
}

fn close(got: f64, expected: f64) {
    assert!((got - expected).abs() < 1e-9 * expected.abs().max(1.0), "{got} is not {expected}");
}

const SET_OFF: (&str, &[(&str, &str)]) = ("set_off", &[("speed", ";km_per_h;7,2"), ("takes", ";s;5")]);

// By hand, at 7.2 km/h = 2 m/s:
//   set off in 5 s                     5 m    5 s
//   steady 40 m                       40 m   20 s
//   corner to 1 m/s, 4 s + 4 s, 6 m   6 + 6 + 6 = 18 m   4 + 6 + 4 = 14 s
//   stop in 4 s, stand 5 s, go in 4 s  4 + 4 = 8 m   13 s
//   section 2 shut for 20 m           20 m   10 s
//   end in 4 s                         4 m    4 s
#[test]
fn manoeuvres_add_up_by_hand() {
    let texts = drive(&[
        SET_OFF,
        ("steady", &[("distance", ";m;40")]),
        ("corner", &[("speed", ";km_per_h;3,6"), ("takes", ";s;4"), ("distance", ";m;6")]),
        ("stop", &[("takes", ";s;4"), ("stands", ";s;5")]),
        ("shut", &[("sections", "2"), ("distance", ";m;20")]),
        ("end", &[("takes", ";s;4")]),
    ]);
    let Driven { drive, begins } = on_metric(&texts).unwrap();
    close(drive.length().as_m(), 5.0 + 40.0 + 18.0 + 8.0 + 20.0 + 4.0);
    close(drive.lasts().as_s(), 5.0 + 20.0 + 14.0 + 13.0 + 10.0 + 4.0);
    let wanted = [(0.0, 0.0), (5.0, 5.0), (45.0, 25.0), (63.0, 39.0), (71.0, 52.0), (91.0, 62.0)];
    for ((length, time), (m, s)) in begins.iter().zip(wanted) {
        close(length.as_m(), m);
        close(time.as_s(), s);
    }
    let switches: Vec<_> = drive.switches.iter().map(|s| (s.at.as_s().round(), s.what.clone())).collect();
    assert_eq!(
        switches,
        [
            // Off once it stands, on when it goes.
            (43.0, Switched::Boom(false)),
            (48.0, Switched::Boom(true)),
            (52.0, Switched::Shut(vec![1])),
            (62.0, Switched::Open(vec![1])),
            (62.0, Switched::Boom(false)),
        ]
    );
}

#[test]
fn each_ready_drive_can_be_driven_by_both_examples() {
    for (fields, system) in [(DITCH_BANK_TRUCK, System::Us), (DRAINAGE_ROAD_CARRIER, System::Metric)] {
        let rig = rig_of(&RigView::read(&map(fields)));
        let pace = Pace { system, cruise: rig.standing_speed, hold: rig.hold_speed };
        for ready in READY {
            let texts = pace.drive(ready);
            for path in texts.keys() {
                assert_eq!(records::drive::check_field(path, &texts), Ok(()), "{path}");
            }
            let driven = driven(&DriveView::read(&texts), &rig).unwrap();
            assert!(driven.drive.length().as_m() > 100.0, "{}", ready.code);
        }
    }
}

#[test]
fn a_ready_drive_has_the_length_worked_out_by_hand() {
    // 8 km/h = 2.2222 m/s: 4 s to set off 4.4444 m, 120 m, 4 s to the end 4.4444 m.
    let pace = Pace { system: System::Metric, cruise: Some(Speed::from_km_per_h(8.0)), hold: None };
    let texts = pace.drive(&READY[0]);
    let drive = on_metric(&texts).unwrap().drive;
    close(drive.length().as_m(), 120.0 + 8.0 / 3.6 * 4.0);
    close(drive.lasts().as_s(), 4.0 + 120.0 / (8.0 / 3.6) + 4.0);
}

#[test]
fn what_is_wrong_is_told_at_its_step_and_box() {
    let wrong = |texts: Map| match on_metric(&texts) {
        Err(PassProblem::Step(problem)) => (problem.key, problem.field, problem.wrong),
        other => panic!("{other:?}"),
    };
    let second = |kind: &'static str, fields: &'static [(&'static str, &'static str)]| {
        let (key, field, wrong) = wrong(drive(&[SET_OFF, (kind, fields)]));
        assert_eq!(key, "1");
        (field, wrong)
    };
    assert_eq!(second("steady", &[]), ("distance", Wrong::Missing));
    assert_eq!(second("steady", &[("distance", ";m;0")]), ("distance", Wrong::Unreadable));
    assert_eq!(second("shut", &[("sections", "5"), ("distance", ";m;9")]), ("sections", Wrong::NoSection(5)));
    assert_eq!(
        second("shut", &[("sections", "all"), ("distance", ";m;9")]),
        ("sections", Wrong::NotSections)
    );
    assert_eq!(second("shut", &[("distance", ";m;9")]), ("sections", Wrong::Missing));
    assert_eq!(second("nudge", &[("presses", ";;0"), ("distance", ";m;9")]), ("presses", Wrong::NoPresses));
    // The example holds from 4 km/h down.
    let crawl = second("crawl", &[("speed", ";km_per_h;4"), ("takes", ";s;2"), ("distance", ";m;9")]);
    assert_eq!(crawl, ("speed", Wrong::NotBelowHold(Speed::from_km_per_h(4.0))));
    assert_eq!(second("set_off", &[("speed", ";km_per_h;4"), ("takes", ";s;2")]), ("", Wrong::Moving));
    assert_eq!(second("fly", &[]), ("", Wrong::Unknown));
    let standing = wrong(drive(&[("steady", &[("distance", ";m;9")])]));
    assert_eq!(standing, ("0".to_owned(), "distance", Wrong::Standing));
    let after_end =
        wrong(drive(&[SET_OFF, ("end", &[("takes", ";s;2")]), ("steady", &[("distance", ";m;9")])]));
    assert_eq!(after_end, ("2".to_owned(), "distance", Wrong::Standing));
    assert_eq!(on_metric(&Map::new()), Err(PassProblem::NoSteps));
}

#[test]
fn a_second_rate_or_nudge_that_the_pump_does_not_have_is_told() {
    let mut rig = rig_of(&metric());
    rig.pumps[0].second = None;
    rig.pumps[0].nudge = None;
    rig.hold_speed = None;
    let wrong = |kind: &str| {
        let texts =
            drive(&[SET_OFF, (kind, &[("distance", ";m;9"), ("presses", ";;1"), ("speed", ";km_per_h;2")])]);
        match driven(&DriveView::read(&texts), &rig) {
            Err(PassProblem::Step(problem)) => problem.wrong,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(wrong("second"), Wrong::NoSecondRate);
    assert_eq!(wrong("nudge"), Wrong::NoNudge);
    assert_eq!(wrong("crawl"), Wrong::NoHold);
}

#[test]
fn section_numbers_may_be_listed_in_any_way() {
    assert_eq!(sections("1, 3-5", 5), Ok(vec![0, 2, 3, 4]));
    assert_eq!(sections("4 2+2", 5), Ok(vec![1, 3]));
    assert_eq!(sections("2-6", 5), Err(Wrong::NoSection(6)));
    assert_eq!(sections("0", 5), Err(Wrong::NoSection(0)));
    assert_eq!(sections("", 5), Err(Wrong::Missing));
}

#[test]
fn a_new_step_goes_before_the_end() {
    let texts = drive(&[SET_OFF, ("end", &[("takes", ";s;2")])]);
    let view = DriveView::read(&texts);
    let moved = vec![("step.1.order".to_owned(), Some(";;3".to_owned()))];
    assert_eq!(place_for_new(&view, StepKind::Steady), (2, moved));
    assert_eq!(place_for_new(&view, StepKind::End), (3, Vec::new()));
    assert_eq!(in_order(["1", "0"])[0], ("step.1.order".to_owned(), Some(";;1".to_owned())));
}

fn answers() -> QuickAnswers {
    QuickAnswers {
        supply_length: Length::from_m(1.0),
        main_length: Length::from_m(6.0),
        main_bore: Length::from_mm(25.0),
        hose_lengths: HoseLengths::Same(Length::from_m(4.0)),
        hose_bore: Length::from_mm(19.0),
        valve_k: 4.0,
        feed: FeedPoint::Centre,
        section_bore: Length::from_mm(19.0),
        boom_height: Length::from_m(0.0),
        roughness: SMOOTH_WALL,
        viscosity: Viscosity::from_mpa_s(1.002),
    }
}

#[test]
fn a_pass_takes_rates_and_limits_from_the_rig() {
    let view = metric();
    let rig = rig_of(&view);
    let network = quick_network(&rig, &answers()).unwrap();
    let texts = drive(&[SET_OFF, ("steady", &[("distance", ";m;40")])]);
    let described = DriveView::read(&texts);
    let drive = driven(&described, &rig).unwrap().drive;
    let pass = pass_of(&described, drive.clone(), &rig, &view.settle, &network).unwrap();
    assert_eq!(pass.widths.len(), 24);
    close(pass.widths[0].as_m(), 0.5);
    close(pass.carrier_rate.as_l_per_ha(), 200.0);
    close(pass.product_rate.as_l_per_ha(), 1.5);
    close(pass.second_rate.unwrap().as_l_per_ha(), 2.5);
    close(pass.label_greatest.unwrap().as_l_per_ha(), 3.0);
    assert_eq!(pass.carrier, Controller { dead_time: CARRIER_DEAD, time_constant: CARRIER_CONSTANT });
    // 45 m in cells of a quarter metre are 180 cells.
    close(pass.cell.as_m(), 0.25);
    let refused = |texts: &[(&str, &str)], change: fn(&mut Rig)| {
        let mut rig = rig.clone();
        change(&mut rig);
        let texts = map(texts);
        pass_of(&DriveView::read(&texts), drive.clone(), &rig, &view.settle, &network).unwrap_err()
    };
    assert_eq!(refused(&[("pump", ";;2")], |_| ()), PassProblem::NoPump(2));
    // What does not read well is told, and nothing usual is put in its place.
    let unreadable = [("settle.pump.dead", ";s;-1")];
    let settle = RigView::read(&map(&unreadable)).settle;
    let told = pass_of(&described, drive.clone(), &rig, &settle, &network).unwrap_err();
    assert_eq!(told, PassProblem::Field("settle.pump.dead".to_owned(), FieldProblem::Negative));
    let limits = map(&[("limit.greatest", ";pct;90")]);
    assert!(matches!(limits_of(&DriveView::read(&limits)), Err(PassProblem::Field(..))));
    assert_eq!(refused(&[], |rig| rig.pumps[0].first = None), PassProblem::NoProductRate(1));
    assert_eq!(refused(&[], |rig| rig.carrier = None), PassProblem::NoCarrierRate);
}

#[test]
fn a_picture_stays_a_picture_however_long_the_drive() {
    // By hand: 900 m fit a thousand cells at 1 m; 1 200 nozzles leave 250 cells, so 900 m need 5 m.
    close(cell_of(Length::from_m(900.0), 120).as_m(), 1.0);
    close(cell_of(Length::from_m(900.0), 1200).as_m(), 5.0);
}

// What is seen on the ground against the lag sheet and against a hand computation: a rig that is moving already at
// 8 km/h = 2.2222 m/s with pump and boom on from the start, lines full of clean carrier.
//
// By hand: carrier 200 + product 1.5 L/ha × 2.2222 m/s × 12 m = 0.53733 L/s in all, a quarter of it in each hose. Main 6 m of
// 25 mm hold 2.9452 L: 5.4812 s. Hose 4 m of 19 mm hold 1.1341 L at 0.134333 L/s: 8.4425 s. Fed at the centre of six nozzles half a
// metre apart, the nearest is 0.25 m away: 0.070882 L at half the hose's flow, 1.0553 s. Together 14.979 s or 33.29 m.
// The pump itself starts after its dead time of 0.3 s, 0.667 m: first product at 33.95 m.
#[test]
fn the_first_product_is_where_lag_times_speed_says() {
    let view = metric();
    let rig = rig_of(&view);
    let network = quick_network(&rig, &answers()).unwrap();
    let mut texts = drive(&[("steady", &[("distance", ";m;100")])]);
    texts.insert("start.speed".to_owned(), ";km_per_h;8".to_owned());
    let described = DriveView::read(&texts);
    let drive = driven(&described, &rig).unwrap().drive;
    let pass = pass_of(&described, drive, &rig, &view.settle, &network).unwrap();
    let solver = Solver::new(Plumbing::check(&network).unwrap(), FrictionLaw::SwameeJain);
    let outcome = Simulation::new(solver.clone(), pass).unwrap().run().unwrap();
    let has_product = |cell: usize| {
        (0..outcome.n_nozzles())
            .any(|nozzle| outcome.cell(nozzle, cell).is_some_and(|dose| dose.dose.as_fraction() > 0.0))
    };
    let first = (0..outcome.n_cells()).find(|cell| has_product(*cell)).unwrap();
    let from_m = outcome.cell_from(first).as_m();
    assert!((from_m..from_m + 0.25).contains(&33.95), "{from_m}");
    let job = LagJob {
        speed: Speed::from_km_per_h(8.0),
        carrier_rate: VolumePerArea::from_l_per_ha(200.0),
        product_rate: VolumePerArea::from_l_per_ha(1.5),
        width: Length::from_m(12.0),
        shut: &[],
    };
    let lag = lag_sheet(&solver, &job).unwrap().first().unwrap();
    // Hose flows are not quite a quarter each: the nozzles' share of pressure differs by less than a thousandth.
    assert!((lag.lag.as_s() - 14.979).abs() < 0.02, "{}", lag.lag.as_s());
}

/// The moving pass of above, digested; the label allows `label` of the product rate.
fn digest(label: f64) -> Digest {
    let view = metric();
    let rig = rig_of(&view);
    let network = quick_network(&rig, &answers()).unwrap();
    let mut texts = drive(&[("steady", &[("distance", ";m;100")])]);
    texts.insert("start.speed".to_owned(), ";km_per_h;8".to_owned());
    let described = DriveView::read(&texts);
    let driven = driven(&described, &rig).unwrap().drive;
    let mut pass = pass_of(&described, driven, &rig, &view.settle, &network).unwrap();
    pass.label_greatest = Some(VolumePerArea::from_l_per_ha(1.5 * label));
    let solver = Solver::new(Plumbing::check(&network).unwrap(), FrictionLaw::SwameeJain);
    let outcome = Simulation::new(solver, pass.clone()).unwrap().run().unwrap();
    let mut digesting = Digesting::new(outcome, pass, limits_of(&described).unwrap());
    loop {
        if let Some(digest) = digesting.step() {
            return digest;
        }
    }
}

// By hand, at 90 to 110 %: thirds of 90 % below, 1.25 and 1.5 times 110 % above.
#[test]
fn steps_of_the_scale_by_hand() {
    let step = |percent| step_of(Share::from_percent(percent), DoseLimits::usual());
    let wanted = [
        (0.0, 0),
        (29.9, 0),
        (30.1, 1),
        (59.9, 1),
        (60.1, 2),
        (89.9, 2),
        (90.0, ON_TARGET),
        (110.0, ON_TARGET),
        (110.1, 4),
        (137.4, 4),
        (137.6, 5),
        (164.9, 5),
        (165.1, 6),
        (900.0, 6),
    ];
    for (percent, expected) in wanted {
        assert_eq!(step(percent), expected, "{percent} %");
    }
}

// A second method: every nozzle covers half a metre and 100 m are whole cells, so shares of area are shares of tiles.
#[test]
fn the_picture_shows_the_areas_that_are_told() {
    let digest = digest(2.0);
    for (of, areas) in digest.areas.iter().enumerate() {
        let tiles = &digest.tiles[of];
        assert_eq!(tiles.len(), 24 * 400);
        let part =
            |is: fn(u8) -> bool| tiles.iter().filter(|step| is(**step)).count() as f64 / tiles.len() as f64;
        assert!((part(|step| step < ON_TARGET) - areas.under.as_fraction()).abs() < 1e-9);
        assert!((part(|step| step == ON_TARGET) - areas.on.as_fraction()).abs() < 1e-9);
        let means = digest.stretches[of].iter().map(|stretch| stretch.shares.unwrap()[1].as_fraction());
        // 12 stretches of 34 cells, the last of 26.
        let lengths = digest.stretches[of].iter().map(|stretch| stretch.to.as_m() - stretch.from.as_m());
        let mean: f64 = means.zip(lengths).map(|(mean, length)| mean * length).sum::<f64>() / 100.0;
        assert!((mean - areas.mean.as_fraction()).abs() < 1e-9);
    }
    assert_eq!(digest.stretches[0].len(), 12);
    assert_eq!(digest.step_at(Of::Product, 0, 0), 0);
    assert_eq!(digest.step_at(Of::Product, 0, 399), ON_TARGET);
    assert_eq!(digest.step_at(Of::Product, 24, 400), NOT_SPRAYED);
    assert!((33.7..33.96).contains(&digest.first_product.unwrap().as_m()));
    let (greatest, least) = digest.extremes.unwrap();
    assert!(greatest.dose.dose.as_fraction() > 0.99 && least.dose.dose.as_fraction() == 0.0);
}

#[test]
fn what_is_above_the_label_stands_out() {
    let digest = digest(0.5);
    assert_eq!(digest.step_at(Of::Product, 0, 399), ABOVE_LABEL);
    assert_eq!(digest.step_at(Of::Carrier, 0, 399), ON_TARGET);
    let part = digest.tiles[0].iter().filter(|step| **step == ABOVE_LABEL).count() as f64 / (24.0 * 400.0);
    assert!((part - digest.areas[0].above_label.as_fraction()).abs() < 1e-9);
}

#[test]
fn a_course_is_read_at_any_time() {
    let course = Course { pieces: vec![(2.0, Some(1.0)), (5.0, None), (6.0, Some(3.0))] };
    assert_eq!(
        [0.0, 1.9, 2.0, 4.0, 5.5, 9.0].map(|t| course.at(t)),
        [Some(1.0), Some(1.0), None, None, Some(3.0), Some(3.0)]
    );
    assert_eq!((course.span(), course.lasts_s()), (Some((1.0, 3.0)), 6.0));
    assert_eq!((Course::default().at(0.0), Course::default().span()), (None, None));
    let speed = Course::of(&digest(1.0).outcome, &|moment| Some(moment.speed.as_km_per_h()));
    let (least, greatest) = speed.span().unwrap();
    assert!((least - 8.0).abs() < 1e-9 && (greatest - 8.0).abs() < 1e-9);
    assert!((speed.lasts_s() - 45.0).abs() < 1e-9);
}
