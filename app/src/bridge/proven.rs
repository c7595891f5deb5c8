//! What concluded trials in the book prove about the numbers of a rig, for its reach.
//!
//! A trial counts while the rig still has a number that the trial knew: the one it began with or the one it proposed.

use super::rig::rig_of;
use super::trial::{catch, pump::pump_of};
use calc::reach::proven::{Proof as Said, Proven};
use records::rig::{MOST_PUMPS, RigView};
use records::trial::{Status, TrialKind, TrialView};
use records::{Book, Doc, DocId, Field, Kind};
use units::{LengthUnit, PulseConvention, PulsesPerDistance, PulsesPerVolume, Share, VolumeUnit};

/// A number that trials prove.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Number {
    /// The meter number.
    Meter,
    /// The course number. Of the limits it opens the top speed alone: the axis is the speed that the console shows.
    Course,
    /// The number of an injection pump, from 1.
    Pump(u32),
    /// The mean flow of the nozzles.
    Nozzles,
}

/// One number with its proof.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Proof {
    /// Which number.
    pub(crate) number: Number,
    /// The trial.
    pub(crate) trial: DocId,
    /// When its last entry was made, as written.
    pub(crate) at: String,
    /// True over said, as the number stands in the rig now.
    pub(crate) said: Said,
    /// Expanded uncertainty of that, 95 %.
    pub(crate) expanded: Share,
}

/// How close two numbers count as the same one: a console that rounds stays well inside.
const SAME: f64 = 5e-4;

/// The newest proof of each number, in the order meter, course, pumps, nozzles.
pub(crate) fn proofs(book: &Book, rig: &DocId) -> Vec<Proof> {
    let Some(doc) = book.doc(rig) else { return Vec::new() };
    let view = RigView::read(doc);
    let mut found: Vec<Proof> = Vec::new();
    // The trial touched last comes first.
    for trial in book.docs_of(&Kind::Trial) {
        let trial_view = TrialView::read(trial);
        let of_rig = trial_view.rig.as_ref() == Some(rig) && trial_view.status == Status::Concluded;
        if trial.is_removed() || !of_rig {
            continue;
        }
        let Some((number, off, expanded)) = proof_of(book, &view, doc, &trial_view) else { continue };
        if expanded.is_finite() && off.is_finite() && found.iter().all(|proof| proof.number != number) {
            let at = trial.entries().next().map(|entry| entry.at.clone()).unwrap_or_default();
            let (off, expanded) = (Share::from_fraction(off), Share::from_fraction(expanded));
            let said = Said::from_expanded(off, expanded);
            found.push(Proof { number, trial: trial.id().clone(), at, said, expanded });
        }
    }
    let order = [Number::Meter, Number::Course]
        .into_iter()
        .chain((1..=MOST_PUMPS).map(Number::Pump))
        .chain([Number::Nozzles]);
    order.filter_map(|number| found.iter().find(|proof| proof.number == number).cloned()).collect()
}

/// As the plan takes them.
pub(crate) fn proven(proofs: &[Proof], n_pumps: usize) -> Proven {
    let of = |number: Number| proofs.iter().find(|proof| proof.number == number).map(|proof| proof.said);
    Proven {
        meter: of(Number::Meter),
        course: of(Number::Course),
        nozzle_flow: of(Number::Nozzles),
        supply: None,
        pumps: (1..).take(n_pumps).map(|n| of(Number::Pump(n))).collect(),
    }
}

/// The number, true over said less one, and its expanded uncertainty.
fn proof_of(book: &Book, rig: &RigView, doc: &Doc, trial: &TrialView<'_>) -> Option<(Number, f64, f64)> {
    let of = |number, (off, expanded): (f64, f64)| (number, off, expanded);
    match trial.kind? {
        TrialKind::Meter => {
            let now = rig.meter.number.ok()?.pulses;
            Some(of(Number::Meter, ratio_proof(trial, now.as_per_m3(), volume_pulses)?))
        }
        TrialKind::Pump => {
            let n = pump_of(trial)?;
            let now = rig.pumps.iter().find(|pump| pump.n == n)?.number.ok()?.pulses;
            Some(of(Number::Pump(n), ratio_proof(trial, now.as_per_m3(), volume_pulses)?))
        }
        TrialKind::Course => {
            let now = rig.speed.pulses()?;
            Some(of(Number::Course, ratio_proof(trial, now.as_per_m(), length_pulses)?))
        }
        TrialKind::Catch => {
            // Other nozzles since then, and the catch proves nothing of these.
            let ended = trial.doc().last_order()?;
            let changed = ["nozzle.by", "nozzle.iso", "nozzle.flow", "nozzle.pressure"].iter().any(|path| {
                let last = doc.field(path).and_then(Field::last).map(|setting| setting.entry.id);
                last.and_then(|id| book.record(id)).is_some_and(|record| record.order() > ended)
            });
            rig_of(rig).nozzles.filter(|_| !changed)?;
            let compared = catch::judge(trial, Some(rig)).ok()?.outcome.mean_of_nominal?;
            Some((Number::Nozzles, compared.error.as_fraction(), compared.expanded.as_fraction()))
        }
        _ => None,
    }
}

fn volume_pulses(code: &str, number: f64) -> Option<f64> {
    let pulses: PulsesPerVolume = PulseConvention::<VolumeUnit>::from_code(code).ok()?.meaning(number);
    Some(pulses.as_per_m3())
}

fn length_pulses(code: &str, number: f64) -> Option<f64> {
    let pulses: PulsesPerDistance = PulseConvention::<LengthUnit>::from_code(code).ok()?.meaning(number);
    Some(pulses.as_per_m())
}

/// By what the trial found: true over said with the number on the rig (pulses, SI), less one, and its expanded uncertainty.
fn ratio_proof(
    trial: &TrialView<'_>,
    now: f64,
    pulses: fn(code: &str, number: f64) -> Option<f64>,
) -> Option<(f64, f64)> {
    let convention = trial.outcome("convention")?;
    let number = |field: &str| trial.outcome(field)?.parse::<f64>().ok();
    let means = |field: &str| pulses(convention, number(field)?);
    let known =
        [means("old"), means("new")].into_iter().flatten().any(|said| (now / said - 1.0).abs() <= SAME);
    let off = Said::of_number(now, means("exact")?, Share::from_fraction(0.0), f64::INFINITY).off;
    let expanded = (number("number_expanded")? / number("exact")?).abs();
    known.then_some((off.as_fraction(), expanded))
}

#[cfg(test)]
mod tests {
    use super::*;
    use records::examples::DITCH_BANK_TRUCK;
    use records::{Draft, EntryId};

    struct World {
        book: Book,
        seq: u64,
        rig: Option<DocId>,
    }

    impl World {
        fn new() -> Self {
            let mut world = Self { book: Book::default(), seq: 0, rig: None };
            world.rig = Some(world.save(Kind::Rig, DITCH_BANK_TRUCK));
            world
        }

        fn rig(&self) -> DocId {
            self.rig.clone().unwrap()
        }

        fn save(&mut self, target: impl Into<records::Target>, fields: &[(&str, &str)]) -> DocId {
            self.seq += 1;
            let id: EntryId = format!("k3f9a2bc-{}", self.seq).parse().unwrap();
            let draft = Draft::new(target, "2025-05-06T07:08:09Z", "Ada", self.book.seen());
            let record = draft.set_all(fields.iter().copied()).into_record(id);
            self.book.apply(&record);
            record.entry().doc.clone()
        }

        fn trial(&mut self, kind: &str, fields: &[(&str, &str)]) -> DocId {
            let rig = self.rig().to_string();
            let mut all = vec![("kind", kind), ("rig", rig.as_str()), ("status", "concluded")];
            all.extend(fields);
            self.save(Kind::Trial, &all)
        }

        fn proofs(&self) -> Vec<Proof> {
            proofs(&self.book, &self.rig())
        }
    }

    const METER: &[(&str, &str)] = &[
        ("outcome.convention", "counting:1:us_gal"),
        ("outcome.old", "302"),
        ("outcome.new", "290"),
        ("outcome.exact", "290"),
        ("outcome.number_expanded", "2.9"),
    ];

    fn close(got: f64, expected: f64) {
        assert!((got - expected).abs() < 1e-9, "{got} is not {expected}");
    }

    // By hand: 2.9 in 290 is 1 %, which is 1.959964 standard uncertainties.
    #[test]
    fn a_number_that_was_taken_has_the_uncertainty_of_its_trial() {
        let mut world = World::new();
        world.trial("meter", METER);
        let rig = world.rig();
        world.save(&rig, &[("meter.number", "proven;;290")]);
        let proofs = world.proofs();
        assert_eq!(proofs.len(), 1);
        close(proofs[0].expanded.as_percent(), 1.0);
        let proven = proven(&proofs, 3);
        let meter = proven.meter.unwrap();
        close(meter.standard.as_percent(), 1.0 / 1.959_963_984_5);
        close(meter.off.as_fraction(), 0.0);
        assert_eq!(proven.pumps, [None, None, None]);
    }

    // By hand: 302 kept where 290 is right makes the true flow 302/290 of the one shown, 4.138 % more.
    #[test]
    fn an_error_that_was_left_in_stays_with_the_number() {
        let mut world = World::new();
        world.trial("meter", METER);
        close(world.proofs()[0].said.off.as_fraction(), 12.0 / 290.0);
        close(world.proofs()[0].expanded.as_fraction(), 0.01);
    }

    #[test]
    fn a_number_that_no_trial_knew_is_not_proven() {
        let mut world = World::new();
        world.trial("meter", METER);
        let rig = world.rig();
        world.save(&rig, &[("meter.number", "stamped;;450")]);
        assert!(world.proofs().is_empty());
    }

    #[test]
    fn the_newest_trial_counts_and_a_removed_open_or_endless_one_does_not() {
        let mut world = World::new();
        let mut sharper = METER.to_vec();
        sharper[4] = ("outcome.number_expanded", "1.45");
        let first = world.trial("meter", METER);
        let second = world.trial("meter", &sharper);
        assert_eq!(world.proofs()[0].trial, second);
        world.save(&second, &[("removed", "yes")]);
        assert_eq!(world.proofs()[0].trial, first);
        world.save(&first, &[("status", "open")]);
        assert!(world.proofs().is_empty());
        let mut endless = METER.to_vec();
        endless[4] = ("outcome.number_expanded", "inf");
        world.trial("meter", &endless);
        assert!(world.proofs().is_empty());
    }

    #[test]
    fn a_pump_is_proven_by_its_own_number_and_a_spacing_course_by_its_meaning() {
        let mut world = World::new();
        world.trial(
            "pump",
            &[
                ("setup.pump", ";;2"),
                ("outcome.convention", "counting:1:us_fl_oz"),
                ("outcome.old", "85"),
                ("outcome.new", "85.0"),
                ("outcome.exact", "85"),
                ("outcome.number_expanded", "1.7"),
            ],
        );
        // By hand: 3162 pulses on 400 ft are 400 × 12 ÷ 3162 × 1000 = 1518.03 in for 1000 pulses.
        world.trial(
            "course",
            &[
                ("outcome.convention", "spacing:1000:in"),
                ("outcome.old", "1518.0266"),
                ("outcome.new", "1518"),
                ("outcome.exact", "1518.0266"),
                ("outcome.number_expanded", "15.180266"),
            ],
        );
        let proofs = world.proofs();
        assert_eq!(proofs.iter().map(|p| p.number).collect::<Vec<_>>(), [Number::Course, Number::Pump(2)]);
        close(proven(&proofs, 3).pumps[1].unwrap().standard.as_percent(), 2.0 / 1.959_963_984_5);
        assert!((proofs[0].expanded.as_percent() - 1.0).abs() < 1e-4);
    }

    // Size 08 gives 3.2 L/min at 3 bar. Five catches of 1.6 L in 30 s are right on it, so nothing is left but the reading.
    #[test]
    fn a_catch_proves_the_nozzles_until_others_are_put_on() {
        let mut world = World::new();
        let trial = world.trial(
            "catch",
            &[("setup.pressure", ";bar;3"), ("setup.jug_step", ";ml;10"), ("setup.jug_tolerance", ";pct;1")],
        );
        for _ in 0..5 {
            world.save(&trial, &[("run.+.actual", ";ml;1600"), ("run.+.seconds", ";s;30")]);
        }
        let proofs = world.proofs();
        assert_eq!(proofs.len(), 1);
        assert_eq!(proofs[0].number, Number::Nozzles);
        let percent = proofs[0].expanded.as_percent();
        // The jug alone leaves 1 % half-width; with gauge and watch a few percent at most.
        assert!((0.5..5.0).contains(&percent), "{percent}");
        let rig = world.rig();
        world.save(&rig, &[("nozzle.iso", "stamped;;06")]);
        assert!(world.proofs().is_empty());
    }
}
