//! What a concluded trial leaves behind: plain texts in its `outcome`, and the new number on its rig.
//!
//! | `outcome.`          | text                                                                       |
//! |---------------------|----------------------------------------------------------------------------|
//! | `verdict`           | `within`, `out`, `open`                                                    |
//! | `error`, `expanded` | relative error and its expanded uncertainty, 95 %; `expanded` may be `inf`   |
//! | `tolerance`         | relative, as judged against                                                |
//! | `runs`              | how many counted                                                           |
//! | `old`, `new`        | numbers in `convention`, as keyed in and as the console takes the new one  |
//! | `exact`, `number_expanded` | the new number before rounding, and its expanded uncertainty        |
//! | `convention`        | code of the convention                                                     |
//! | `action`            | `taken` or `kept`                                                          |

use super::gauge::GaugeJudged;
use super::pump::pump_of;
use super::{Judged, More};
use calc::verdict::Verdict;
use records::fields::Texts;
use records::rig::{RigView, SpeedBy};
use records::trial::{TrialKind, TrialView};
use records::{DocId, FieldValue, Source};
use std::collections::BTreeMap;
use units::{
    Length, LengthUnit, PulseConvention, PulsesPerDistance, Quantity, decimals_for_significant,
    format_decimal,
};

/// What was done with the new number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Action {
    /// It stands on the rig.
    Taken,
    /// The old one stays.
    Kept,
}

/// The word of a verdict in an outcome.
pub(crate) const fn verdict_code(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::Out => "out",
        Verdict::NotProvenYet => "open",
    }
}

/// Reads [`verdict_code`].
pub(crate) fn verdict_from(code: &str) -> Option<Verdict> {
    [Verdict::Within, Verdict::Out, Verdict::NotProvenYet].into_iter().find(|v| verdict_code(*v) == code)
}

/// The number as the console takes it, as text.
pub(crate) fn new_text(judged: &Judged) -> String {
    format_decimal(judged.number.rounded, judged.decimals)
}

/// Everything that a ratio trial leaves in `outcome`, and that it is concluded.
pub(crate) fn concluded(judged: &Judged, action: Action) -> Vec<(String, String)> {
    let ratio = &judged.ratio;
    let number = &judged.number;
    with_status(vec![
        ("verdict", verdict_code(ratio.verdict).to_owned()),
        ("error", ratio.error.as_fraction().to_string()),
        ("expanded", ratio.expanded.to_string()),
        ("tolerance", ratio.tolerance.limit.as_fraction().to_string()),
        ("runs", ratio.runs.len().to_string()),
        ("old", number.old.to_string()),
        ("new", new_text(judged)),
        ("exact", number.exact.to_string()),
        ("number_expanded", number.expanded.to_string()),
        ("convention", judged.convention.clone()),
        ("action", if action == Action::Taken { "taken" } else { "kept" }.to_owned()),
    ])
}

/// Everything that a gauge trial leaves in `outcome`: of all points the error that uses up most of what is allowed.
pub(crate) fn gauge_concluded(judged: &GaugeJudged) -> Vec<(String, String)> {
    let outcome = &judged.outcome;
    let used =
        |idx: &usize| outcome.points.get(*idx).map_or(0.0, |p| p.error.as_pa().abs() / p.limit.as_pa());
    let worst = (0..outcome.points.len()).max_by(|a, b| used(a).total_cmp(&used(b)));
    let mut fields = vec![
        ("verdict", verdict_code(outcome.verdict).to_owned()),
        ("runs", outcome.points.len().to_string()),
    ];
    if let Some(point) = worst.and_then(|idx| outcome.points.get(idx)) {
        let share = |pa: f64| (pa / point.reference.as_pa()).to_string();
        fields.push(("error", share(point.error.as_pa())));
        fields.push(("expanded", share(outcome.expanded.as_pa())));
        fields.push(("tolerance", share(point.limit.as_pa())));
    }
    with_status(fields)
}

/// Puts `outcome.` before each field and adds that the trial is concluded.
pub(crate) fn with_status(fields: Vec<(&'static str, String)>) -> Vec<(String, String)> {
    fields
        .into_iter()
        .map(|(field, text)| (format!("outcome.{field}"), text))
        .chain([("status".to_owned(), "concluded".to_owned())])
        .collect()
}

/// Paths and stored texts that put the new number on the rig; none where the trial has no number to give.
///
/// A wheel keeps being a wheel: its circumference becomes the one that gives the new number.
pub(crate) fn take(
    view: &TrialView<'_>,
    rig: &dyn Texts,
    judged: &Judged,
    trial: &DocId,
    on: &str,
) -> Option<Vec<(String, String)>> {
    let number = match view.kind? {
        TrialKind::Meter => Number::Meter,
        TrialKind::Pump => Number::Pump(pump_of(view)?),
        TrialKind::Course => Number::Course,
        _ => return None,
    };
    let put = |rig: &dyn Texts| {
        put_number(rig, number, &judged.convention, judged.number.rounded, &new_text(judged), trial, on)
    };
    let by_wheel =
        matches!(judged.more, More::Wheel(..)) && RigView::read(rig).speed.by.ok() == Some(SpeedBy::Wheel);
    let per_turn =
        view.doc().text("setup.pulses_per_turn").filter(|text| rig.text_at(PER_TURN) != Some(text));
    match per_turn.filter(|_| by_wheel) {
        // The pulses of a turn that were counted go along: with the old ones the circumference would not be that of the tape.
        Some(per_turn) => {
            let text_of = |path: &str| Some((path.to_owned(), rig.text_at(path)?.to_owned()));
            let mut texts: BTreeMap<String, String> = rig.paths().into_iter().filter_map(text_of).collect();
            texts.insert(PER_TURN.to_owned(), per_turn.to_owned());
            let mut set = put(&texts)?;
            set.push((PER_TURN.to_owned(), per_turn.to_owned()));
            Some(set)
        }
        None => put(rig),
    }
}

const PER_TURN: &str = "wheel.pulses_per_turn";

/// A number that can be put on a rig.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Number {
    /// Of the flow meter.
    Meter,
    /// Of the speed sensor.
    Course,
    /// Of an injection pump, from 1.
    Pump(u32),
}

/// Paths and stored texts that put a number in a convention on the rig, proven by a document.
pub(crate) fn put_number(
    rig: &dyn Texts,
    number: Number,
    convention: &str,
    rounded: f64,
    text: &str,
    proof: &DocId,
    on: &str,
) -> Option<Vec<(String, String)>> {
    let proven = |text: String| {
        FieldValue::new(text).source(Source::Proven { on: on.to_owned(), trial: Some(proof.clone()) })
    };
    let rig_view = RigView::read(rig);
    let (number_path, convention_path) = match number {
        Number::Meter => ("meter.number".to_owned(), "meter.convention".to_owned()),
        Number::Pump(n) => (format!("pump.{n}.number"), format!("pump.{n}.convention")),
        Number::Course => ("speed.number".to_owned(), "speed.convention".to_owned()),
    };
    let mut set = Vec::new();
    if rig.text_at(&convention_path) != Some(convention) {
        set.push((convention_path, convention.to_owned()));
    }
    if number == Number::Course && rig_view.speed.by.ok() == Some(SpeedBy::Wheel) {
        let convention = PulseConvention::<LengthUnit>::from_code(convention).ok()?;
        let pulses: PulsesPerDistance = convention.meaning(rounded);
        let per_turn = rig_view.speed.pulses_per_turn.ok()?;
        let circumference: Length = pulses.distance_of(per_turn);
        let unit = rig_view.speed.circumference.ok().map_or(LengthUnit::Metre, |typed| typed.unit);
        let value = circumference.in_unit(unit);
        let mut field = proven(format_decimal(value, decimals_for_significant(value, 6)));
        field.unit = Some(units::Unit::code(unit).to_owned());
        set.push(("wheel.circumference".to_owned(), field.to_stored()));
    } else {
        set.push((number_path, proven(text.to_owned()).to_stored()));
    }
    Some(set)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bridge::trial::{begin, course, meter, pump};
    use calc::pump_trial::Slip;
    use records::{Book, Draft, EntryId, Kind};

    struct World {
        book: Book,
        seq: u64,
    }

    impl World {
        fn new() -> Self {
            Self { book: Book::default(), seq: 0 }
        }

        fn save(&mut self, draft: impl FnOnce(&Book) -> Draft) -> DocId {
            self.seq += 1;
            let id: EntryId = format!("k3f9a2bc-{}", self.seq).parse().unwrap();
            let record = draft(&self.book).into_record(id);
            self.book.apply(&record);
            record.entry().doc.clone()
        }

        fn begin(
            &mut self,
            fields: &[(&str, &str)],
            kind: TrialKind,
            more: &[(&str, &str)],
        ) -> (DocId, DocId) {
            let new = |kind, book: &Book| Draft::new(kind, "2025-05-06T07:08:09Z", "Ada", book.seen());
            let rig = self.save(|book| new(Kind::Rig, book).set_all(fields.iter().copied()));
            let view = RigView::read(self.book.doc(&rig).unwrap());
            let texts = begin::fields(kind, &rig, &view, true, 1);
            let more = more.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned()));
            let trial = self.save(|book| new(Kind::Trial, book).set_all(texts.into_iter().chain(more)));
            (rig, trial)
        }

        fn run(&mut self, trial: &DocId, fields: &[(&str, &str)]) {
            let fields = fields.iter().map(|(field, text)| (format!("run.+.{field}"), (*text).to_owned()));
            self.save(|book| {
                Draft::new(trial, "2025-05-06T07:09:09Z", "Ada", book.seen())
                    .set_all(fields.collect::<Vec<_>>())
            });
        }

        fn judge(&self, rig: &DocId, trial: &DocId) -> Judged {
            let view = TrialView::read(self.book.doc(trial).unwrap());
            let rig = RigView::read(self.book.doc(rig).unwrap());
            match view.kind.unwrap() {
                TrialKind::Course => course::judge(&view, Some(&rig)),
                TrialKind::Pump => pump::judge(&view, Some(&rig)),
                _ => meter::judge(&view, Some(&rig)),
            }
            .unwrap()
        }

        fn taken(&self, rig: &DocId, trial: &DocId) -> Vec<(String, String)> {
            let judged = self.judge(rig, trial);
            let view = TrialView::read(self.book.doc(trial).unwrap());
            take(&view, self.book.doc(rig).unwrap(), &judged, trial, "2025-05-06").unwrap()
        }
    }

    fn pairs(set: &[(String, String)]) -> Vec<(&str, &str)> {
        set.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect()
    }

    const METER: &[(&str, &str)] = &[
        ("meter.number", "stamped;;302"),
        ("meter.convention", "counting:1:us_gal"),
        ("keyin.meter.step", ";;1"),
    ];

    // Common practice, no source: a jug that holds more than the console says asks for a smaller number.
    // By hand: 302 × 24 / 25 = 289.9.
    #[test]
    fn the_new_meter_number_goes_on_the_rig_with_its_proof() {
        let mut world = World::new();
        let (rig, trial) = world.begin(METER, TrialKind::Meter, &[]);
        for _ in 0..3 {
            world.run(&trial, &[("indicated", ";us_gal;24"), ("actual", ";us_gal;25")]);
        }
        let set = world.taken(&rig, &trial);
        assert_eq!(pairs(&set), [("meter.number", "proven=2025-05-06=trial:k3f9a2bc-2;;290")]);
        assert_eq!(world.judge(&rig, &trial).number.old, 302.0);
    }

    #[test]
    fn a_convention_that_was_changed_in_the_trial_goes_along() {
        let mut world = World::new();
        let more = [("setup.number", ";;3020"), ("setup.convention", "counting:10:us_gal")];
        let (rig, trial) = world.begin(METER, TrialKind::Meter, &more);
        for _ in 0..3 {
            world.run(&trial, &[("indicated", ";us_gal;24"), ("actual", ";us_gal;25")]);
        }
        let set = world.taken(&rig, &trial);
        assert_eq!(
            pairs(&set),
            [
                ("meter.convention", "counting:10:us_gal"),
                ("meter.number", "proven=2025-05-06=trial:k3f9a2bc-2;;2899")
            ]
        );
    }

    // By hand: 60 pulses a turn over 2.38 m are 2521.0 on 100 m. The console shows 102 m of 100: 2521 × 1.02 = 2571.4, and
    // 2571 on 100 m with 60 a turn is a turn of 6000 / 2571 = 2.33372 m.
    #[test]
    fn a_wheel_stays_a_wheel_and_gets_the_circumference_that_was_proven() {
        let mut world = World::new();
        let fields = [
            ("speed.by", "wheel"),
            ("speed.convention", "counting:100:m"),
            ("wheel.circumference", "measured;m;2,38"),
            ("wheel.pulses_per_turn", "sheet;;60"),
            ("keyin.course.step", ";;1"),
        ];
        let (rig, trial) = world.begin(&fields, TrialKind::Course, &[("setup.course", ";m;100")]);
        for direction in ["out", "back", "out", "back"] {
            world.run(&trial, &[("distance", ";m;102"), ("direction", direction)]);
        }
        assert_eq!(world.judge(&rig, &trial).number.old, 2521.0);
        let set = world.taken(&rig, &trial);
        assert_eq!(pairs(&set), [("wheel.circumference", "proven=2025-05-06=trial:k3f9a2bc-2;m;2.33372")]);
    }

    // By hand: ten turns on 24 m are 2.4 m a turn; 60 pulses a turn are 25 in a metre, 2500 on 100 m instead of 2521.
    #[test]
    fn a_wheel_rolled_beside_a_tape_gives_the_number() {
        let mut world = World::new();
        let fields = [
            ("speed.number", "sheet;;2521"),
            ("speed.convention", "counting:100:m"),
            ("keyin.course.step", ";;1"),
        ];
        let more = [("setup.way", "wheel"), ("setup.pulses_per_turn", ";;60")];
        let (rig, trial) = world.begin(&fields, TrialKind::Course, &more);
        for taped in [";m;24.01", ";m;23.99", ";m;24.00"] {
            world.run(&trial, &[("taped", taped)]);
        }
        let judged = world.judge(&rig, &trial);
        let More::Wheel(wheel, _) = &judged.more else { panic!("no wheel") };
        assert!((wheel.circumference.as_m() - 2.4).abs() < 1e-9);
        let set = world.taken(&rig, &trial);
        assert_eq!(pairs(&set), [("speed.number", "proven=2025-05-06=trial:k3f9a2bc-2;;2500")]);
    }

    // By hand: 2.4 m a turn with 30 pulses are 12.5 in a metre, 1250 on 100 m.
    #[test]
    fn pulses_of_a_turn_that_were_counted_anew_go_on_the_rig_with_the_circumference() {
        let mut world = World::new();
        let fields = [
            ("speed.by", "wheel"),
            ("speed.convention", "counting:100:m"),
            ("wheel.circumference", "measured;m;2,38"),
            ("wheel.pulses_per_turn", "sheet;;60"),
            ("keyin.course.step", ";;1"),
        ];
        let more = [("setup.way", "wheel"), ("setup.pulses_per_turn", "measured;;30")];
        let (rig, trial) = world.begin(&fields, TrialKind::Course, &more);
        for taped in [";m;24.01", ";m;23.99", ";m;24.00"] {
            world.run(&trial, &[("taped", taped)]);
        }
        let set = world.taken(&rig, &trial);
        assert_eq!(
            pairs(&set),
            [
                ("wheel.circumference", "proven=2025-05-06=trial:k3f9a2bc-2;m;2.40000"),
                ("wheel.pulses_per_turn", "measured;;30")
            ]
        );
    }

    // By hand: a spacing number moves the other way, 769 / 1.02 = 753.9.
    #[test]
    fn a_spacing_number_shrinks_where_the_console_shows_too_much() {
        let mut world = World::new();
        let fields = [
            ("speed.number", "sheet;;769"),
            ("speed.convention", "spacing:1000:cm"),
            ("keyin.course.step", ";;1"),
        ];
        let (rig, trial) = world.begin(&fields, TrialKind::Course, &[("setup.course", ";m;100")]);
        for direction in ["out", "back", "out", "back"] {
            world.run(&trial, &[("distance", ";m;102"), ("direction", direction)]);
        }
        let set = world.taken(&rig, &trial);
        assert_eq!(pairs(&set), [("speed.number", "proven=2025-05-06=trial:k3f9a2bc-2;;754")]);
    }

    // The seconds stand in for an output that nobody typed: 480 mL in 120 s and 240 mL in 60 s are both 240 mL/min, 500 mL
    // in 30 s are 1000. At the lower one 20 mL in 500 are missing.
    #[test]
    fn outputs_that_are_alike_are_one_and_slip_shows_at_the_end_where_it_is() {
        let mut world = World::new();
        let fields = [
            ("pump.count", "measured;;1"),
            ("pump.1.number", "sheet;;3.2"),
            ("pump.1.convention", "counting:1:ml"),
        ];
        let (rig, trial) = world.begin(&fields, TrialKind::Pump, &[]);
        let run = |world: &mut World, indicated, actual, seconds| {
            world.run(&trial, &[("indicated", indicated), ("actual", actual), ("seconds", seconds)]);
        };
        run(&mut world, ";ml;500", ";ml;500", ";s;30");
        run(&mut world, ";ml;500", ";ml;480", ";s;120");
        run(&mut world, ";ml;250", ";ml;240", ";s;60");
        run(&mut world, ";ml;500", ";ml;500", ";s;30");
        let judged = world.judge(&rig, &trial);
        let More::Outputs(outcome) = &judged.more else { panic!("no outputs") };
        assert_eq!(outcome.outputs.len(), 2);
        assert_eq!(outcome.slip, Slip::AtLeast);
        // Least first, and each deviation beside the run that it belongs to.
        assert_eq!(judged.numbers, [2, 3, 1, 4]);
    }
}
