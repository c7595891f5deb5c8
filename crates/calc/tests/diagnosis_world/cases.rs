//! What can go wrong, drawn at random: each kind worked out here from the digits and the units, not by the diagnosis.

use calc::diagnosis::{
    CarrierMode, Cause, Condition, Motion, ProductInUse, Setup, Situation, SpeedSource, What,
};
use calc::model::KeyedNumber as Entry;

use super::random::Random;
use super::rigs::rig;
use super::run::{Drive, World, held_in, read, run};
use super::wrong_numbers::wrong_number;

/// The entry of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    Meter,
    Course,
    Pump,
    Width,
    CarrierRate,
    FirstRate,
    SecondRate,
    NudgeStep,
    StandingSpeed,
    HoldSpeed,
}

/// How a number goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wrong {
    OtherUnit,
    OtherAmount,
    OtherForm,
    Decimal,
    Swapped,
    Doubled,
    Dropped,
    OtherEntry,
    Stamped,
    PerOtherArea,
    Drift,
    OtherNumber,
    SheetSwapped,
    SheetOtherUnit,
}

/// A kind of case: a row of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Nothing,
    Number(Of, Wrong),
    SectionLeftOut,
    SectionTwice,
    SectionShut,
    Blocked,
    Worn,
    Air,
    Empty,
    Slip,
    Hold,
    OtherRate,
    Nudge,
}

/// Every kind there is.
pub fn kinds() -> Vec<Kind> {
    use Kind::{
        Air, Blocked, Empty, Hold, Nothing, Nudge, Number, OtherRate, SectionLeftOut, SectionShut,
        SectionTwice, Slip, Worn,
    };
    use Of::{
        CarrierRate, Course, FirstRate, HoldSpeed, Meter, NudgeStep, Pump, SecondRate, StandingSpeed, Width,
    };
    use Wrong::{
        Decimal, Doubled, Drift, Dropped, OtherAmount, OtherEntry, OtherForm, OtherNumber, OtherUnit,
        PerOtherArea, SheetOtherUnit, SheetSwapped, Stamped, Swapped,
    };
    let digits = [Decimal, Swapped, Doubled, Dropped, OtherNumber];
    let mut all = vec![Nothing];
    for of in [Meter, Pump] {
        all.extend(
            [OtherUnit, OtherAmount, OtherForm, Stamped, Drift, SheetSwapped, SheetOtherUnit]
                .map(|w| Number(of, w)),
        );
    }
    all.extend(
        [OtherUnit, OtherAmount, OtherForm, Drift, SheetSwapped, SheetOtherUnit].map(|w| Number(Course, w)),
    );
    all.extend([OtherUnit, Drift, OtherEntry, SheetSwapped].map(|w| Number(Width, w)));
    all.push(Number(Pump, OtherEntry));
    for of in [CarrierRate, FirstRate, SecondRate] {
        all.extend([OtherUnit, PerOtherArea].map(|w| Number(of, w)));
    }
    all.push(Number(FirstRate, OtherEntry));
    for of in [StandingSpeed, HoldSpeed] {
        all.push(Number(of, OtherUnit));
    }
    for of in [Meter, Course, Pump, Width, CarrierRate, FirstRate, SecondRate, StandingSpeed] {
        all.extend(digits.map(|w| Number(of, w)));
    }
    all.extend([Number(HoldSpeed, Decimal), Number(NudgeStep, Decimal), Number(NudgeStep, OtherNumber)]);
    all.extend([
        SectionLeftOut,
        SectionTwice,
        SectionShut,
        Blocked,
        Worn,
        Air,
        Empty,
        Slip,
        Hold,
        OtherRate,
        Nudge,
    ]);
    all
}

/// One case: a rig, what is wrong with it, and what was read, with and without noise.
pub struct Case {
    pub setup: Setup,
    /// What is wrong: one cause or two.
    pub causes: Vec<Cause>,
    pub keyed: Option<f64>,
    /// Whether the hold is really in force in some situation.
    pub held: bool,
    pub noisy: Vec<Situation>,
    pub exact: Vec<Situation>,
}

/// A case of a kind. `None` where the drawn rig has no such slip (no digit to swap, say): draw again.
pub fn case(kind: Kind, random: &mut Random) -> Option<Case> {
    let mut rig = draw(random);
    let (cause, keyed) = go_wrong(kind, &mut rig, random)?;
    let causes = vec![cause];
    Some(read_out(kind, rig, causes, keyed, random))
}

/// A case with two things wrong at once: no single cause is the whole truth.
pub fn two_wrong(kinds: [Kind; 2], random: &mut Random) -> Option<Case> {
    let mut rig = draw(random);
    let (one, keyed) = go_wrong(kinds[0], &mut rig, random)?;
    let (other, _) = go_wrong(kinds[1], &mut rig, random)?;
    (one != other).then(|| read_out(kinds[1], rig, vec![one, other], keyed, random))
}

/// Nothing wrong with the rig, but one true reading misread: by a jug's other scale, or a run of another length.
pub fn misread(random: &mut Random) -> Option<Case> {
    let rig = draw(random);
    let mut case = read_out(Kind::Nothing, rig, Vec::new(), None, random);
    let by = *random.pick(&[0.5, 0.8, 0.9, 1.12, 1.2, 1.5, 2.0, 29.57, 3.785]);
    let mut truths: Vec<(usize, usize)> = Vec::new();
    for (s, situation) in case.noisy.iter().enumerate() {
        truths.extend(
            (0..situation.readings.len()).filter(|r| !situation.readings[*r].what.is_shown()).map(|r| (s, r)),
        );
    }
    if truths.is_empty() {
        return None;
    }
    let (s, r) = *random.pick(&truths);
    let reading = &mut case.noisy[s].readings[r];
    reading.seen = reading.seen.with_si(reading.seen.as_si() * by);
    reading.u = reading.u.with_si(reading.u.as_si() * by);
    case.causes.push(Cause::Misread { situation: s, reading: r });
    Some(case)
}

/// A rig about to be run.
struct Drawn {
    setup: Setup,
    world: World,
    pump: usize,
    section: usize,
    in_use: Vec<Option<ProductInUse>>,
    speed: f64,
}

fn draw(random: &mut Random) -> Drawn {
    let n_sections = 3 + random.below(5);
    let n_pumps = 1 + random.below(3);
    let setup = rig(random, n_sections, n_pumps);
    let world = World::right(&setup);
    Drawn {
        setup,
        world,
        pump: random.below(n_pumps),
        section: random.below(n_sections),
        in_use: vec![Some(ProductInUse::FIRST); n_pumps],
        speed: random.between(1.6, 4.5),
    }
}

/// Makes one thing wrong.
fn go_wrong(kind: Kind, drawn: &mut Drawn, random: &mut Random) -> Option<(Cause, Option<f64>)> {
    let Drawn { setup, world, pump, section, in_use, speed } = drawn;
    let (pump, section) = (*pump, *section);
    let mut keyed = None;
    let cause = match kind {
        Kind::Nothing => Cause::NothingWrong,
        Kind::Number(of, wrong) => {
            let entry = entry_of(of, pump, section);
            let (console, truth) = wrong_number(setup, entry, wrong, random)?;
            keyed = Some(console);
            let form = setup.number(entry)?.form;
            set_console(world, entry, form.meaning_si(console));
            set_truth(world, entry, form.meaning_si(truth));
            match of {
                // Between the two hold speeds, where the wrong one shows.
                Of::HoldSpeed => *speed = (form.meaning_si(console) * form.meaning_si(truth)).sqrt(),
                Of::SecondRate => in_use[pump] = Some(ProductInUse { second: true, presses: 0 }),
                Of::NudgeStep => in_use[pump] = Some(ProductInUse { second: false, presses: 2 }),
                _ => {}
            }
            Cause::Entry(entry)
        }
        Kind::SectionLeftOut => {
            world.counted[section] = 0.0;
            Cause::SectionLeftOut(section)
        }
        Kind::SectionTwice => {
            world.counted[section] = 2.0;
            Cause::SectionTwice(section)
        }
        Kind::SectionShut => {
            world.shut[section] = true;
            Cause::SectionValveShut(section)
        }
        Kind::Blocked => {
            world.n_blocked = 1 + random.below(5) as u32;
            Cause::NozzlesBlocked
        }
        Kind::Worn => {
            world.wear = random.between(1.08, 1.25);
            Cause::WornNozzles
        }
        Kind::Air => {
            world.delivered[pump] = random.between(0.35, 0.85);
            Cause::AirInLine(pump)
        }
        Kind::Empty => {
            world.delivered[pump] = 0.0;
            Cause::TankEmpty(pump)
        }
        Kind::Slip => {
            setup.speed_source = SpeedSource::Wheel;
            world.slip = random.between(0.04, 0.15);
            Cause::WheelSlip
        }
        Kind::Hold => {
            *speed = world.hold * random.between(0.5, 0.9);
            Cause::HoldActive
        }
        Kind::OtherRate => {
            world.switched[pump] = true;
            Cause::OtherRateOn(pump)
        }
        Kind::Nudge => {
            world.pressed[pump] = *random.pick(&[1, -1, 2, -2]);
            Cause::NudgeLeftOn(pump)
        }
    };
    Some((cause, keyed))
}

/// Runs the rig in one or two situations and reads it with and without noise.
fn read_out(kind: Kind, drawn: Drawn, causes: Vec<Cause>, keyed: Option<f64>, random: &mut Random) -> Case {
    let Drawn { setup, world, in_use, speed, .. } = drawn;
    let n_pumps = setup.n_pumps();
    let mut scattered = world.clone();
    scattered.scatter(&setup, random);
    let mut held = false;
    let (mut noisy, mut exact) = (Vec::new(), Vec::new());
    for condition in conditions(kind, &in_use, random) {
        let drive = Drive { speed, time: random.between(30.0, 300.0), pressure: random.between(1.5e5, 4e5) };
        held = held || held_in(&world, &condition, drive);
        let dropped = dropped_readings(n_pumps, random);
        let chosen = |what: What| !dropped.contains(&what);
        exact.push(read(&setup, &condition, &run(&world, &condition, drive), chosen, None));
        noisy.push(read(&setup, &condition, &run(&scattered, &condition, drive), chosen, Some(random)));
    }
    if matches!(
        kind,
        Kind::Number(Of::Width, _) | Kind::SectionLeftOut | Kind::SectionTwice | Kind::SectionShut
    ) && random.chance(0.6)
    {
        section_by_section(&setup, [&world, &scattered], [&mut exact, &mut noisy], random);
    }
    Case { setup, causes, keyed, held, noisy, exact }
}

/// Each section alone: its shown width, and half of the time its wetted width by tape.
fn section_by_section(
    setup: &Setup,
    worlds: [&World; 2],
    [exact, noisy]: [&mut Vec<Situation>; 2],
    random: &mut Random,
) {
    let taped = random.chance(0.5);
    let n = setup.n_sections();
    for j in 0..n {
        let condition = Condition { sections_on: (0..n).map(|k| k == j).collect(), ..Condition::standing() };
        let drive = Drive { speed: 0.0, time: 60.0, pressure: 2e5 };
        let chosen = |what: What| what == What::ShownWidth || (taped && what == What::Width);
        exact.push(read(setup, &condition, &run(worlds[0], &condition, drive), chosen, None));
        noisy.push(read(setup, &condition, &run(worlds[1], &condition, drive), chosen, Some(random)));
    }
}

/// One or two situations in which the kind can show itself.
fn conditions(kind: Kind, in_use: &[Option<ProductInUse>], random: &mut Random) -> Vec<Condition> {
    let of =
        |motion, carrier| Condition { motion, carrier, sections_on: Vec::new(), products: in_use.to_vec() };
    let standing_only = matches!(kind, Kind::Number(Of::StandingSpeed, _));
    let driving_only = matches!(kind, Kind::Number(Of::Course | Of::HoldSpeed, _) | Kind::Slip | Kind::Hold);
    let motion = if standing_only || (!driving_only && random.chance(0.4)) {
        Motion::Standing
    } else {
        Motion::Driving
    };
    let carrier = if matches!(kind, Kind::Blocked | Kind::Worn) || random.chance(0.3) {
        if random.chance(0.5) { CarrierMode::Manual } else { CarrierMode::Regulated }
    } else {
        CarrierMode::Regulated
    };
    let regulated_needed = matches!(kind, Kind::Number(Of::CarrierRate | Of::HoldSpeed, _) | Kind::Hold);
    let carrier = if regulated_needed { CarrierMode::Regulated } else { carrier };
    let mut all = vec![of(motion, carrier)];
    if random.chance(0.3) {
        let other = if motion == Motion::Standing { Motion::Driving } else { Motion::Standing };
        if !(standing_only && other == Motion::Driving) {
            all.push(of(other, CarrierMode::Regulated));
        }
    }
    all
}

/// From everything read to a few things read.
fn dropped_readings(n_pumps: usize, random: &mut Random) -> Vec<What> {
    let keep = *random.pick(&[0.95, 0.8, 0.6, 0.4]);
    let mut all = vec![
        What::ShownFlow,
        What::ShownVolume,
        What::ShownSpeed,
        What::ShownDistance,
        What::ShownWidth,
        What::ShownArea,
        What::ShownRate,
        What::Volume,
        What::Time,
        What::Width,
        What::Speed,
        What::Distance,
        What::Area,
    ];
    for pump in 0..n_pumps {
        all.extend([What::ShownProductVolume(pump), What::ShownProductRate(pump), What::ProductVolume(pump)]);
    }
    all.retain(|_| !random.chance(keep));
    // Caught and gauged nozzles are rarer.
    for what in [What::NozzleFlow, What::Pressure] {
        if random.chance(0.5) {
            all.push(what);
        }
    }
    all.push(What::Flow);
    all
}

pub fn entry_of(of: Of, pump: usize, section: usize) -> Entry {
    match of {
        Of::Meter => Entry::Meter,
        Of::Course => Entry::Course,
        Of::Pump => Entry::Pump(pump),
        Of::Width => Entry::Width(section),
        Of::CarrierRate => Entry::CarrierRate,
        Of::FirstRate => Entry::FirstRate(pump),
        Of::SecondRate => Entry::SecondRate(pump),
        Of::NudgeStep => Entry::NudgeStep(pump),
        Of::StandingSpeed => Entry::StandingSpeed,
        Of::HoldSpeed => Entry::HoldSpeed,
    }
}

fn set_console(world: &mut World, entry: Entry, si: f64) {
    match entry {
        Entry::Meter => world.console_meter = si,
        Entry::Course => world.console_course = si,
        Entry::Pump(p) => world.console_pumps[p] = si,
        Entry::Width(j) => world.console_widths_m[j] = si,
        Entry::CarrierRate => world.target = si,
        Entry::FirstRate(p) => world.first[p] = si,
        Entry::SecondRate(p) => world.second[p] = si,
        Entry::NudgeStep(p) => world.step[p] = si,
        Entry::StandingSpeed => world.standing = si,
        Entry::HoldSpeed => world.hold = si,
        other => panic!("{other:?}"),
    }
}

fn set_truth(world: &mut World, entry: Entry, si: f64) {
    match entry {
        Entry::Meter => world.true_meter = si,
        Entry::Course => world.true_course = si,
        Entry::Pump(p) => world.true_pumps[p] = si,
        Entry::Width(j) => world.true_widths_m[j] = si,
        _ => {}
    }
}
