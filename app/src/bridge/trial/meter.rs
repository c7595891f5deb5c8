//! A meter trial, by jug or by weight.

use super::{
    Judged, More, Obstacle, decimals, keyed, next_in, numbered, refused, run_field, setup_needed, tolerance,
};
use crate::bridge::rig::step_of;
use calc::meter_trial::{
    MeterTrial, VolumeOutcome, VolumeReading, VolumeRun, WeighedRun, WeightReading, by_volume, by_weight,
};
use calc::verdict::Tolerance;
use records::rig::RigView;
use records::trial::TrialView;
use units::{Duration, FlowRate, KeyInStep, Mass, PulseConvention, Temperature, Typed, Volume, VolumeUnit};

/// What a thermometer in a bucket may be off, either way, in °C (common practice, no source). It moves a volume by 0.03 %.
const THERMOMETER_C: f64 = 1.0;

/// Works the trial out as far as it goes.
pub(crate) fn judge(view: &TrialView<'_>, rig: Option<&RigView>) -> Result<Judged, Obstacle> {
    let step = rig.and_then(|rig| step_of(rig, "meter"));
    let keyed = keyed::<VolumeUnit>(view, step)?;
    let tolerance = tolerance(view, Tolerance::RATE_CONTROL)?;
    let console_step = setup_needed(view, "readout_step")?;
    let mut numbers = Vec::new();
    let mut unit = VolumeUnit::UsGallon;
    let outcome = if view.doc().text("setup.way") == Some("weight") {
        let mut runs = Vec::new();
        for (number, run) in numbered(view) {
            let indicated = run_field::<Volume>(run, number, "indicated")?;
            unit = indicated.unit;
            numbers.push(number);
            runs.push(WeighedRun {
                indicated: indicated.value,
                gross: run_field::<Mass>(run, number, "gross")?.value,
                tare: run_field::<Mass>(run, number, "tare")?.value,
                temperature: run_field::<Temperature>(run, number, "temperature")?.value,
            });
        }
        let reading = WeightReading {
            console_step,
            scale_step: setup_needed(view, "scale_step")?,
            scale_tolerance: setup_needed(view, "scale_tolerance")?,
            temperature_half_width_c: THERMOMETER_C,
        };
        by_weight(&MeterTrial { keyed, runs, reading, tolerance })
    } else {
        let runs = volume_runs(view, &mut numbers, &mut unit)?;
        let reading = volume_reading(view)?;
        by_volume(&MeterTrial { keyed, runs, reading, tolerance })
    };
    let outcome = outcome.map_err(|error| refused(error, &numbers))?;
    Ok(judged(outcome, keyed.convention, step, numbers, unit, More::Nothing))
}

/// Indicated and actual of each run that counts; the unit is that in which the last one was measured.
pub(super) fn volume_runs(
    view: &TrialView<'_>,
    numbers: &mut Vec<usize>,
    unit: &mut VolumeUnit,
) -> Result<Vec<VolumeRun>, Obstacle> {
    let mut runs = Vec::new();
    for (number, run) in numbered(view) {
        let indicated = run_field::<Volume>(run, number, "indicated")?.value;
        let actual = run_field::<Volume>(run, number, "actual")?;
        *unit = actual.unit;
        numbers.push(number);
        runs.push(VolumeRun { indicated, actual: actual.value });
    }
    Ok(runs)
}

/// How well console and jug can be read.
pub(super) fn volume_reading(view: &TrialView<'_>) -> Result<VolumeReading, Obstacle> {
    Ok(VolumeReading {
        console_step: setup_needed(view, "readout_step")?,
        vessel_step: setup_needed(view, "jug_step")?,
        vessel_tolerance: setup_needed(view, "jug_tolerance")?,
    })
}

/// As a page shows it.
pub(super) fn judged(
    outcome: VolumeOutcome,
    convention: PulseConvention<VolumeUnit>,
    step: Option<KeyInStep>,
    numbers: Vec<usize>,
    unit: VolumeUnit,
    more: More,
) -> Judged {
    Judged {
        decimals: decimals(&outcome.corrected, step),
        next: next_in(outcome.next, unit),
        number: outcome.corrected,
        ratio: outcome.ratio,
        convention: convention.code(),
        numbers,
        more,
    }
}

/// A run at a flow for which the meter is not rated: the first one, its flow, and the rated range.
pub(crate) fn outside_rated(
    view: &TrialView<'_>,
    rig: Option<&RigView>,
) -> Option<(usize, FlowRate, Typed<FlowRate>, Typed<FlowRate>)> {
    let meter = &rig?.meter;
    let (least, greatest) = (meter.least.ok()?, meter.greatest.ok()?);
    numbered(view).find_map(|(number, run)| {
        let seconds = run.quantity::<Duration>("seconds")?.ok()?.value.as_s();
        // By weight there is no volume typed but the console's, which is near enough for a range.
        let typed = run.quantity::<Volume>("actual").or_else(|| run.quantity::<Volume>("indicated"))?;
        let flow = FlowRate::from_m3_per_s(typed.ok()?.value.as_m3() / seconds);
        (flow < least.value || flow > greatest.value).then_some((number, flow, least, greatest))
    })
}
