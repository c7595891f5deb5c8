//! The one check that would best tell two explanations apart. Nothing is ranked here.

use super::cause::Cause;
use super::fit::{Model, Problem};
use super::forward::{Change, Scene, Values};
use super::parts::{Part, Terms};
use super::rank::Weighed;
use super::reading::{Amount, What};
use super::setup::{CarrierMode, Condition, Entry, Motion, Situation};
use units::{Area, Duration, FlowRate, Length, Pressure, Quantity, Speed, Volume, VolumePerArea};

/// Something to look at or to measure next.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum CheckKind {
    /// Read one number back from the console's set-up page and compare it with the sheet.
    ReadBack(Entry),
    /// One more reading in a situation as before.
    Reading {
        /// Which situation.
        situation: usize,
        /// Which reading.
        what: What,
    },
    /// The same reading once more, in a situation as before.
    Again {
        /// Which situation.
        situation: usize,
        /// Which of its readings.
        reading: usize,
    },
    /// Catch or weigh carrier against the counted volume.
    MeterTrial,
    /// Drive a taped course on firm ground against the counted distance.
    CourseTrial,
    /// Catch a pump's product against its counted volume, its line as it is.
    PumpTrial(usize),
    /// The same after bleeding its line.
    BledPumpTrial(usize),
    /// Put this section on alone and read the shown width.
    SectionCheck(usize),
    /// Tape this section.
    TapeSection(usize),
    /// Catch nozzles at a measured pressure.
    NozzleTrial,
    /// Walk along the boom and count what does not spray.
    LookAtNozzles,
    /// Look into a product tank.
    LookIntoTank(usize),
}

impl Cause {
    /// The trial or look that would prove this cause by itself; none where there is nothing to prove.
    #[must_use]
    pub const fn proof(self) -> Option<CheckKind> {
        Some(match self {
            Self::Entry(Entry::Meter) => CheckKind::MeterTrial,
            Self::Entry(Entry::Course) | Self::WheelSlip => CheckKind::CourseTrial,
            Self::Entry(Entry::Pump(pump)) => CheckKind::PumpTrial(pump),
            Self::Entry(Entry::Width(section))
            | Self::SectionLeftOut(section)
            | Self::SectionTwice(section) => CheckKind::SectionCheck(section),
            Self::Entry(entry) => CheckKind::ReadBack(entry),
            Self::SectionValveShut(_) | Self::NozzlesBlocked => CheckKind::LookAtNozzles,
            Self::WornNozzles => CheckKind::NozzleTrial,
            Self::AirInLine(pump) => CheckKind::BledPumpTrial(pump),
            Self::TankEmpty(pump) => CheckKind::LookIntoTank(pump),
            Self::OtherRateOn(pump) => CheckKind::ReadBack(Entry::FirstRate(pump)),
            Self::NudgeLeftOn(pump) => CheckKind::ReadBack(Entry::NudgeStep(pump)),
            Self::HoldActive => CheckKind::ReadBack(Entry::HoldSpeed),
            Self::Misread { situation, reading } => CheckKind::Again { situation, reading },
            Self::NothingWrong => return None,
        })
    }
}

/// What a check costs, from a look to a drive.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effort {
    /// A look at a display or at the boom.
    Look,
    /// A tape, a stopwatch, a gauge.
    Measure,
    /// Something to catch and to weigh.
    Catch,
    /// A course to drive.
    Drive,
}

/// What one explanation expects of a check.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// The reading; for trials [`Amount::Number`]: shown over true, for nozzles flow over nominal or share that sprays.
    pub amount: Amount,
    /// Relative standard uncertainty of what is expected, the check's own not included.
    pub u_rel: f64,
}

/// The best next check.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Check {
    /// What to do.
    pub kind: CheckKind,
    /// What it costs.
    pub effort: Effort,
    /// Relative standard uncertainty that a fair try of it has.
    pub u_rel: f64,
    /// What the first and the second explanation expect.
    pub expected: [Expected; 2],
    /// How far apart these are, in standard uncertainties.
    pub n_u: f64,
}

/// From here on a check decides; below, more of the same is needed.
const DECIDES: f64 = 4.0;

/// Below this a check says nothing.
const SAYS_SOMETHING: f64 = 0.5;

struct Proposal<'a> {
    kind: CheckKind,
    effort: Effort,
    u_rel: f64,
    /// In which scene its terms are summed; held as that situation is, if it is one.
    scene: &'a Scene,
    situation: Option<usize>,
    terms: Terms,
    amount: Amount,
}

/// The cheapest check that decides between two candidates, else the one that says most.
pub(crate) fn best_check(
    problem: &Problem,
    situations: &[Situation],
    models: [&Model; 2],
    pair: [&Weighed; 2],
) -> Option<Check> {
    let mut scratch = Values::new();
    let alone = scenes_alone(problem);
    let whole = Scene::new(problem.setup, 0, problem.scenes.len(), &still(Vec::new()));
    let latents: Vec<Vec<f64>> = models
        .iter()
        .zip(pair)
        .map(|(model, w)| problem.latents_given(model, &w.candidate.change, w.fitted.theta, &mut scratch))
        .collect::<Option<_>>()?;
    let mut best: Option<Check> = None;
    let suspects: Vec<(usize, usize)> = pair
        .iter()
        .filter_map(|w| match w.candidate.change {
            Change::Misread { situation, reading } => Some((situation, reading)),
            _ => None,
        })
        .collect();
    for proposal in proposals(problem, situations, &alone, &whole, &suspects) {
        let Some(check) = weigh(problem, &models, pair, &latents, proposal, &mut scratch) else { continue };
        if check.n_u > SAYS_SOMETHING && best.as_ref().is_none_or(|b| better(&check, b)) {
            best = Some(check);
        }
    }
    best
}

fn better(a: &Check, b: &Check) -> bool {
    match (a.n_u >= DECIDES, b.n_u >= DECIDES) {
        (true, false) => true,
        (false, true) => false,
        (true, true) if a.effort != b.effort => a.effort < b.effort,
        _ => a.n_u > b.n_u,
    }
}

fn weigh(
    problem: &Problem,
    models: &[&Model; 2],
    pair: [&Weighed; 2],
    latents: &[Vec<f64>],
    proposal: Proposal,
    scratch: &mut Values,
) -> Option<Check> {
    let mut said = [(0.0, 0.0); 2];
    for (((said, model), w), z) in said.iter_mut().zip(models).zip(pair).zip(latents) {
        let (change, theta) = (&w.candidate.change, w.fitted.theta);
        let held = proposal.situation.is_some_and(|s| model.held[s]);
        proposal.scene.values(change, theta, held, scratch);
        Scene::read_back(scratch, proposal.terms.read_back, problem.setup, change, theta);
        let row = proposal.scene.row(&proposal.terms, held);
        let ln = scratch.sum(&proposal.terms) + super::fit::dot(&row, z);
        if ln.is_nan() {
            return None;
        }
        // The row of a misread reading is what it should say: its factor is not applied here.
        let of_factor = w.fitted.theta_u.map_or(0.0, |u| {
            proposal.scene.values(change, theta + 1e-4, held, scratch);
            Scene::read_back(scratch, proposal.terms.read_back, problem.setup, change, theta + 1e-4);
            let moved = (scratch.sum(&proposal.terms) + super::fit::dot(&row, z) - ln) / 1e-4;
            if moved.is_finite() { (moved * u).powi(2) } else { 0.0 }
        });
        *said = (ln, (problem.variance_given(model, &row) + of_factor).sqrt());
    }
    // A tank is seen to be empty or not; air in a line is not seen.
    if let CheckKind::LookIntoTank(_) = proposal.kind {
        for (ln, u) in &mut said {
            (*ln, *u) = (if *ln == f64::NEG_INFINITY { *ln } else { 0.0 }, 0.0);
        }
    }
    let [(ln_a, u_a), (ln_b, u_b)] = said;
    let apart = match (ln_a == f64::NEG_INFINITY, ln_b == f64::NEG_INFINITY) {
        (true, true) => 0.0,
        // Something against nothing: as many uncertainties as the something has.
        (true, false) | (false, true) => 1.0 / proposal.u_rel.hypot(u_a.max(u_b)),
        (false, false) => (ln_a - ln_b).abs() / (u_a.powi(2) + u_b.powi(2) + proposal.u_rel.powi(2)).sqrt(),
    };
    let expected = said.map(|(ln, u_rel)| Expected { amount: proposal.amount.with_si(ln.exp()), u_rel });
    Some(Check { kind: proposal.kind, effort: proposal.effort, u_rel: proposal.u_rel, expected, n_u: apart })
}

fn still(sections_on: Vec<bool>) -> Situation {
    Situation {
        condition: Condition {
            motion: Motion::Standing,
            carrier: CarrierMode::Manual,
            sections_on,
            products: Vec::new(),
        },
        readings: Vec::new(),
    }
}

fn scenes_alone(problem: &Problem) -> Vec<Scene> {
    let n = problem.setup.n_sections();
    (0..n)
        .map(|j| {
            let only = still((0..n).map(|k| k == j).collect());
            Scene::new(problem.setup, 0, problem.scenes.len(), &only)
        })
        .collect()
}

/// Everything worth doing. Uncertainties are those of a fair try with hand tools; common practice, no source.
fn proposals<'a>(
    problem: &'a Problem,
    situations: &[Situation],
    alone: &'a [Scene],
    whole: &'a Scene,
    suspects: &[(usize, usize)],
) -> Vec<Proposal<'a>> {
    let setup = problem.setup;
    let mut all = Vec::with_capacity(128);
    for number in &setup.numbers {
        let kind = CheckKind::ReadBack(number.entry);
        let amount = Amount::Number(number.value);
        if let Some(terms) = whole.terms(setup, What::ReadBack(number.entry), amount) {
            all.push(Proposal {
                kind,
                effort: Effort::Look,
                u_rel: 1e-3,
                scene: whole,
                situation: None,
                terms,
                amount,
            });
        }
    }
    for (idx, (scene, given)) in problem.scenes.iter().zip(situations).enumerate() {
        for (what, effort, u_rel, amount) in readings_to_take(setup.n_pumps()) {
            let before = given.readings.iter().position(|r| r.what == what);
            if before.is_some_and(|reading| !suspects.contains(&(idx, reading))) {
                continue;
            }
            if what.pump().is_some_and(|p| given.condition.product(p).is_none()) {
                continue;
            }
            if let Some(terms) = scene.terms(setup, what, amount) {
                let kind = match before {
                    Some(reading) => CheckKind::Again { situation: idx, reading },
                    None => CheckKind::Reading { situation: idx, what },
                };
                all.push(Proposal { kind, effort, u_rel, scene, situation: Some(idx), terms, amount });
            }
        }
    }
    let mut on_whole = |kind, effort, u_rel, parts: &[(Part, f64)]| {
        all.push(Proposal {
            kind,
            effort,
            u_rel,
            scene: whole,
            situation: None,
            terms: Terms::of(parts),
            amount: Amount::Number(1.0),
        });
    };
    if setup.number(Entry::Meter).is_some() {
        on_whole(CheckKind::MeterTrial, Effort::Catch, 0.01, &[(Part::Meter, -1.0)]);
    }
    if setup.number(Entry::Course).is_some() {
        on_whole(CheckKind::CourseTrial, Effort::Drive, 0.005, &[(Part::Course, -1.0)]);
    }
    if setup.nozzles.is_some() {
        on_whole(CheckKind::NozzleTrial, Effort::Catch, 0.02, &[(Part::Wear, 1.0), (Part::Nozzle, 1.0)]);
    }
    on_whole(CheckKind::LookAtNozzles, Effort::Look, 0.001, &[(Part::Open, 1.0)]);
    for pump in 0..setup.n_pumps() {
        let (pump_off, loss) = ((Part::Pump(pump), -1.0), (Part::Loss(pump), -1.0));
        on_whole(CheckKind::LookIntoTank(pump), Effort::Look, 0.01, &[(Part::Loss(pump), 1.0)]);
        on_whole(CheckKind::PumpTrial(pump), Effort::Catch, 0.015, &[pump_off, loss]);
        on_whole(CheckKind::BledPumpTrial(pump), Effort::Catch, 0.015, &[pump_off]);
    }
    for (j, scene) in alone.iter().enumerate() {
        let amount = Amount::Length(Length::from_m(1.0));
        let shown = Terms::of(&[(Part::ShownWidth, 1.0)]);
        let taped = Terms::of(&[(Part::Width, 1.0)]);
        let tape = |kind, effort, terms| Proposal {
            kind,
            effort,
            u_rel: 0.005,
            scene,
            situation: None,
            terms,
            amount,
        };
        all.push(tape(CheckKind::SectionCheck(j), Effort::Look, shown));
        all.push(tape(CheckKind::TapeSection(j), Effort::Measure, taped));
    }
    all
}

/// Readings with the effort they cost and the relative standard uncertainty of a fair try.
fn readings_to_take(n_pumps: usize) -> Vec<(What, Effort, f64, Amount)> {
    let volume = Amount::Volume(Volume::from_si(1.0));
    let flow = Amount::Flow(FlowRate::from_si(1.0));
    let speed = Amount::Speed(Speed::from_si(1.0));
    let length = Amount::Length(Length::from_si(1.0));
    let area = Amount::Area(Area::from_si(1.0));
    let rate = Amount::PerArea(VolumePerArea::from_si(1.0));
    let mut all = vec![
        (What::ShownFlow, Effort::Look, flow),
        (What::ShownVolume, Effort::Look, volume),
        (What::ShownSpeed, Effort::Look, speed),
        (What::ShownDistance, Effort::Look, length),
        (What::ShownWidth, Effort::Look, length),
        (What::ShownArea, Effort::Look, area),
        (What::ShownRate, Effort::Look, rate),
        (What::Time, Effort::Measure, Amount::Time(Duration::from_si(1.0))),
        (What::Width, Effort::Measure, length),
        (What::Pressure, Effort::Measure, Amount::Pressure(Pressure::from_si(1.0))),
        (What::NozzleFlow, Effort::Catch, flow),
        (What::Volume, Effort::Catch, volume),
        (What::Speed, Effort::Drive, speed),
        (What::Distance, Effort::Drive, length),
        (What::Area, Effort::Drive, area),
    ];
    for pump in 0..n_pumps {
        all.push((What::ShownProductRate(pump), Effort::Look, rate));
        all.push((What::ShownProductVolume(pump), Effort::Look, volume));
        all.push((What::ProductVolume(pump), Effort::Catch, volume));
    }
    all.into_iter().map(|(what, effort, amount)| (what, effort, what.usual_share() / 2.0, amount)).collect()
}
