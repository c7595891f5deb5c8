//! A standing run: the plan (speed, sections, every pump at its product rate), what was seen, line by line.

use super::{Obstacle, numbered, run_field, setup, setup_needed};
use crate::bridge::rig::rig_of;
use calc::course_trial::Stopwatch;
use calc::model::{Condition, Motion};
use calc::rig::Rig;
use calc::standing_run::{Line, Seen, StandingRun, StandingRunError, StandingRunOutcome, compare, expect};
use calc::verdict::Tolerance;
use records::fields::FieldProblem;
use records::rig::RigView;
use records::trial::{RunView, TrialView};
use units::{Area, Duration, FlowRate, Pressure, Quantity, Share, Speed, Volume};

/// Which sections are on, by the numbers in `setup.sections`.
pub(crate) fn sections_on(view: &TrialView<'_>, n_sections: usize) -> Vec<bool> {
    let text = view.doc().text("setup.sections").unwrap_or_default();
    let on: Vec<usize> = text.split(',').filter_map(|n| n.trim().parse().ok()).collect();
    (1..=n_sections).map(|n| on.contains(&n)).collect()
}

/// What the run should give after a time.
pub(crate) fn plan(
    view: &TrialView<'_>,
    rig: &RigView,
    time: Duration,
) -> Result<calc::standing_run::Expected, Obstacle> {
    let rig = rig_of(rig);
    let run = standing_run(view, &rig, time)?;
    expect(&run).map_err(|error| refused_run(&error))
}

/// The last run that counts, judged.
pub(crate) fn judge(view: &TrialView<'_>, rig: &RigView) -> Result<StandingRunOutcome, Obstacle> {
    let rig = rig_of(rig);
    let (number, run) = numbered(view).last().ok_or(Obstacle::NoRuns)?;
    let time = run_field::<Duration>(run, number, "seconds")?.value;
    let plan = standing_run(view, &rig, time)?;
    let stopwatch = match setup::<Duration>(view, "stopwatch")? {
        Some(hand) => Stopwatch { hand: hand.value, ..Stopwatch::BY_HAND },
        None => Stopwatch::BY_HAND,
    };
    let seen = seen(view, run, number, rig.pumps.len())?;
    compare(&plan, &seen, stopwatch).map_err(|error| refused_run(&error))
}

fn standing_run<'a>(view: &TrialView<'_>, rig: &'a Rig, time: Duration) -> Result<StandingRun<'a>, Obstacle> {
    let speed = setup_needed::<Speed>(view, "speed")?;
    let mut condition = Condition::all_on(rig, Motion::Standing(speed));
    condition.sections_on = sections_on(view, rig.sections.len());
    Ok(StandingRun { rig, speed, sections_on: condition.sections_on, doses: condition.doses, time })
}

fn seen(
    view: &TrialView<'_>,
    run: &RunView<'_>,
    number: usize,
    n_pumps: usize,
) -> Result<Vec<Seen>, Obstacle> {
    let tolerance =
        setup::<Share>(view, "tolerance")?.map_or(Tolerance::RATE_CONTROL, |t| Tolerance::user(t.value));
    let step = |field| Ok(setup::<Volume>(view, field)?.map_or(Volume::from_l(0.0), |typed| typed.value));
    let (readout, jug): (Volume, Volume) = (step("readout_step")?, step("jug_step")?);
    let gauge = setup::<Pressure>(view, "gauge_step")?.map_or(Pressure::from_pa(0.0), |typed| typed.value);
    let mut lines = Vec::new();
    if let Some(flow) = read::<FlowRate>(run, number, "flow")? {
        lines.push(Seen::flow(flow, FlowRate::from_si(flow.as_si() * 0.005), tolerance));
    }
    if let Some(volume) = read::<Volume>(run, number, "indicated")? {
        lines.push(Seen::volume(Line::ShownVolume, volume, readout, tolerance));
    }
    if let Some(area) = read::<Area>(run, number, "area")? {
        lines.push(Seen::area(area, Area::from_si(area.as_si() * 0.005), tolerance));
    }
    if let Some(volume) = read::<Volume>(run, number, "actual")? {
        lines.push(Seen::volume(Line::DrawnCarrier, volume, jug, tolerance));
    }
    if let Some(pressure) = read::<Pressure>(run, number, "pressure")? {
        lines.push(Seen::pressure(pressure, gauge, tolerance));
    }
    for (idx, field) in PRODUCTS.iter().enumerate().take(n_pumps) {
        if let Some(volume) = read::<Volume>(run, number, field)? {
            let step = Volume::from_si(volume.as_si() * 0.005);
            lines.push(Seen::volume(Line::DrawnProduct(idx), volume, step, tolerance));
        }
    }
    Ok(lines)
}

/// Fields of the products drawn, one for each pump.
pub(crate) const PRODUCTS: [&str; 6] =
    ["product.1", "product.2", "product.3", "product.4", "product.5", "product.6"];

fn read<Q: Quantity>(run: &RunView<'_>, number: usize, field: &'static str) -> Result<Option<Q>, Obstacle> {
    run.quantity::<Q>(field)
        .transpose()
        .map(|typed| typed.map(|typed| typed.value))
        .map_err(|problem| Obstacle::Run { number, field, problem })
}

/// The rig lacks something that the prediction needs, or a line cannot be predicted.
fn refused_run(error: &StandingRunError) -> Obstacle {
    match error {
        StandingRunError::Trial(error) => Obstacle::Trial { number: None, error: error.clone() },
        StandingRunError::Time { .. } => {
            Obstacle::Run { number: 1, field: "seconds", problem: FieldProblem::Zero }
        }
        _ => Obstacle::Setup { field: "rig", problem: FieldProblem::Missing },
    }
}
