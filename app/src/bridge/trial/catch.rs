//! A nozzle catch: each run is one nozzle's catch; nominal needs the rig's nozzles and the pressure that was read.

use super::{Obstacle, numbered, refused, run_field, setup, setup_needed};
use crate::bridge::rig::rig_of;
use calc::catch_trial::{Catch, CatchOutcome, CatchReading, CatchTrial, Nominal, work_out};
use calc::course_trial::Stopwatch;
use calc::verdict::Tolerance;
use records::rig::RigView;
use records::trial::TrialView;
use units::{Density, Duration, FlowRateUnit, Pressure, Share, Volume, VolumeUnit};

/// What a catch says, with what a page needs to show it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CatchJudged {
    /// Each nozzle, the mean, the spread.
    pub(crate) outcome: CatchOutcome,
    /// What each catch was called: the nozzle's number as typed, or its place.
    pub(crate) labels: Vec<String>,
    /// How far off nominal is still right.
    pub(crate) nominal_tolerance: Tolerance,
    /// How far off the boom's mean is still right.
    pub(crate) mean_tolerance: Tolerance,
    /// The unit in which flows are shown.
    pub(crate) unit: FlowRateUnit,
}

/// Works the catch out as far as it goes.
pub(crate) fn judge(view: &TrialView<'_>, rig: Option<&RigView>) -> Result<CatchJudged, Obstacle> {
    let (mut catches, mut labels, mut numbers) = (Vec::new(), Vec::new(), Vec::new());
    let mut unit = FlowRateUnit::UsFluidOuncePerMinute;
    for (number, run) in numbered(view) {
        let volume = run_field::<Volume>(run, number, "actual")?;
        if matches!(volume.unit, VolumeUnit::Litre | VolumeUnit::Millilitre) {
            unit = FlowRateUnit::LitrePerMinute;
        }
        let time = run_field::<Duration>(run, number, "seconds")?;
        catches.push(Catch { volume: volume.value, time: time.value });
        let nozzle = run.value("nozzle").map(|value| value.text).filter(|text| !text.is_empty());
        labels.push(nozzle.unwrap_or_else(|| number.to_string()));
        numbers.push(number);
    }
    let stopwatch = match setup::<Duration>(view, "stopwatch")? {
        Some(hand) => Stopwatch { hand: hand.value, ..Stopwatch::BY_HAND },
        None => Stopwatch::BY_HAND,
    };
    let nominal_tolerance = Tolerance::NOZZLE_NOMINAL;
    let mean_tolerance =
        setup::<Share>(view, "tolerance")?.map_or(Tolerance::NOZZLE_MEAN, |t| Tolerance::user(t.value));
    let reading = CatchReading {
        jug_step: setup_needed(view, "jug_step")?,
        jug_tolerance: setup::<Share>(view, "jug_tolerance")?.map_or(Share::from_fraction(0.0), |t| t.value),
        stopwatch,
    };
    let nominal = nominal(view, rig)?;
    let trial = CatchTrial { nominal, catches, reading, nominal_tolerance, mean_tolerance };
    let outcome = work_out(&trial).map_err(|error| refused(error, &numbers))?;
    Ok(CatchJudged { outcome, labels, nominal_tolerance, mean_tolerance, unit })
}

/// Nominal flow needs nozzles and a pressure; without them only the boom's own mean is there to compare with.
fn nominal(view: &TrialView<'_>, rig: Option<&RigView>) -> Result<Option<Nominal>, Obstacle> {
    let Some(pressure) = setup::<Pressure>(view, "pressure")? else { return Ok(None) };
    let Some(nozzles) = rig.and_then(|rig| rig_of(rig).nozzles) else { return Ok(None) };
    let gravity = setup::<Density>(view, "specific_gravity")?.map_or(1.0, |d| d.value.as_specific_gravity());
    Ok(Some(Nominal {
        nozzles,
        pressure: pressure.value,
        // The gauge itself is proven elsewhere; half a usual graduation is taken for its reading.
        pressure_half_width: Pressure::from_bar(0.05),
        specific_gravity: gravity,
    }))
}
