//! A pump trial: which pump, at which outputs.

use super::meter::{judged, volume_reading, volume_runs};
use super::{Judged, More, Obstacle, keyed, numbered, refused, tolerance};
use crate::bridge::rig::step_of;
use calc::pump_trial::{OutputRuns, PumpTrial, work_out};
use calc::verdict::Tolerance;
use records::fields::FieldProblem;
use records::rig::RigView;
use records::trial::{RunView, TrialView, read_number};
use units::{Duration, FlowRate, Volume, VolumeUnit};

/// Runs whose outputs lie closer together than this are one output (ours: pumps are set by hand to a rate).
const SAME_OUTPUT: f64 = 1.15;

/// The pump that the trial is about, from 1.
pub(crate) fn pump_of(view: &TrialView<'_>) -> Option<u32> {
    let number = read_number(view.doc(), "setup.pump")?.ok()?;
    // A count from 1 to 6: the field's own range.
    Some(number as u32)
}

/// Works the trial out as far as it goes.
pub(crate) fn judge(view: &TrialView<'_>, rig: Option<&RigView>) -> Result<Judged, Obstacle> {
    let n = pump_of(view).ok_or(Obstacle::Setup { field: "pump", problem: FieldProblem::Missing })?;
    let step = rig.and_then(|rig| step_of(rig, &format!("pump.{n}.number")));
    let keyed = keyed::<VolumeUnit>(view, step)?;
    let tolerance = tolerance(view, Tolerance::RATE_CONTROL)?;
    let reading = volume_reading(view)?;
    let (mut numbers, mut unit) = (Vec::new(), VolumeUnit::Millilitre);
    let runs = volume_runs(view, &mut numbers, &mut unit)?;
    let mut with_output = Vec::with_capacity(runs.len());
    for ((number, run), volumes) in numbered(view).zip(runs) {
        with_output.push((output(run, number, volumes.actual)?, volumes));
    }
    let any_known = with_output.iter().any(|(output, _)| output.is_some());
    let unknown = with_output.iter().position(|(output, _)| output.is_none());
    if let (true, Some(idx)) = (any_known, unknown) {
        let number = numbers.get(idx).copied().unwrap_or(0);
        return Err(Obstacle::Run { number, field: "output", problem: FieldProblem::Missing });
    }
    // Of outputs that nobody stated there is one, and its size means nothing.
    let mut with_output: Vec<_> = with_output
        .into_iter()
        .zip(&numbers)
        .map(|((output, run), number)| (output.unwrap_or(FlowRate::from_ml_per_min(1.0)), run, *number))
        .collect();
    with_output.sort_by(|a, b| a.0.as_m3_per_s().total_cmp(&b.0.as_m3_per_s()));
    let mut outputs: Vec<OutputRuns> = Vec::new();
    let mut sorted_numbers = Vec::with_capacity(numbers.len());
    for (output, run, number) in with_output {
        sorted_numbers.push(number);
        match outputs.last_mut() {
            Some(last) if output.as_m3_per_s() <= last.output.as_m3_per_s() * SAME_OUTPUT => {
                last.runs.push(run);
            }
            _ => outputs.push(OutputRuns { output, runs: vec![run] }),
        }
    }
    let outcome = work_out(&PumpTrial { keyed, outputs, reading, tolerance })
        .map_err(|error| refused(error, &sorted_numbers))?;
    let all = outcome.all.clone();
    let more = if any_known { More::Outputs(Box::new(outcome)) } else { More::Nothing };
    Ok(judged(all, keyed.convention, step, sorted_numbers, unit, more))
}

/// The pump's output in a run: as typed, else from the time that the cylinder took to fill.
fn output(run: &RunView<'_>, number: usize, actual: Volume) -> Result<Option<FlowRate>, Obstacle> {
    let at = |field| move |problem| Obstacle::Run { number, field, problem };
    if let Some(typed) = run.quantity::<FlowRate>("output") {
        return typed.map(|typed| Some(typed.value)).map_err(at("output"));
    }
    let seconds = run.quantity::<Duration>("seconds").transpose().map_err(at("seconds"))?;
    Ok(seconds.map(|typed| FlowRate::from_m3_per_s(actual.as_m3() / typed.value.as_s())))
}

/// The unit in which the trial shows outputs: that of the last run that has one.
pub(crate) fn output_unit(view: &TrialView<'_>) -> Option<units::FlowRateUnit> {
    view.counting().filter_map(|run| run.quantity::<FlowRate>("output")?.ok()).last().map(|typed| typed.unit)
}
