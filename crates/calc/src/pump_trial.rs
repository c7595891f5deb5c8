//! Proving an injection pump: console against a graduated cylinder, at one or several outputs; slip at one end.
//!
//! The statistics of the whole are [`crate::ratio_trial`]'s, as for the meter.

use units::{FlowRate, Share, VolumeUnit};

use crate::keyin::KeyedPulses;
use crate::meter_trial::{VolumeOutcome, VolumeReading, VolumeRun, volume_trial};
use crate::ratio_trial::{RatioOutcome, TrialError};
use crate::student_t::two_sided;
use crate::uncertainty::CONFIDENCE;
use crate::verdict::Tolerance;

/// The runs at one output.
#[derive(Clone, Debug, PartialEq)]
pub struct OutputRuns {
    /// What the pump gave, roughly; only the order of the outputs is used.
    pub output: FlowRate,
    /// The runs, at least one.
    pub runs: Vec<VolumeRun>,
}

/// A pump trial.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpTrial {
    /// The pump number keyed in during the runs.
    pub keyed: KeyedPulses<VolumeUnit>,
    /// One or several outputs, in any order, no two alike.
    pub outputs: Vec<OutputRuns>,
    /// How well console and cylinder can be read.
    pub reading: VolumeReading,
    /// How far the console may be off. [`Tolerance::RATE_CONTROL`] unless somebody knows better.
    pub tolerance: Tolerance,
}

/// One output on its own.
#[derive(Clone, Debug, PartialEq)]
pub struct OutputOutcome {
    /// The output.
    pub output: FlowRate,
    /// Its runs worked out as if there were no others; the verdict is for this output.
    pub ratio: RatioOutcome,
}

/// One end of the range against the other outputs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndTest {
    /// The output at this end.
    pub output: FlowRate,
    /// Ratio at this end over the ratio at the other outputs, less one. Above zero: the pump gives less here than its
    /// pulses say, compared with elsewhere. It slips, or sucks air.
    pub gap: Share,
    /// Expanded uncertainty of the gap, 95 %; the cylinder's tolerance cancels. Infinite where no spread is known.
    pub expanded: Share,
    /// Whether the gap can be told from zero.
    pub told_apart: bool,
}

/// Which end slips.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slip {
    /// A single output says nothing about the others.
    OneOutput,
    /// Several outputs, and no run was repeated: no spread is known, so no difference can be proven.
    SpreadUnknown,
    /// No end can be told from the rest.
    NotSeen,
    /// At the least output the pump gives less than its pulses say.
    AtLeast,
    /// At the greatest output the pump gives less than its pulses say.
    AtGreatest,
    /// Outputs differ, but neither end gives less: no slip that one number could hide.
    Uneven,
}

/// What a pump trial says.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpOutcome {
    /// All runs together: ratio, corrected number, verdict, next run.
    pub all: VolumeOutcome,
    /// Each output on its own, least first.
    pub outputs: Vec<OutputOutcome>,
    /// The least output against the others; none with one output.
    pub least: Option<EndTest>,
    /// The greatest output against the others; none with one output.
    pub greatest: Option<EndTest>,
    /// What these say. When an end slips, one number cannot be right at every output.
    pub slip: Slip,
}

/// Works out a pump trial.
///
/// | symbol | meaning                              | range       |
/// |--------|--------------------------------------|-------------|
/// | `i`    | console's volume of a run            | finite, > 0 |
/// | `a`    | volume in the cylinder               | finite, > 0 |
/// | `Q`    | output, for the order                | finite, > 0, no two alike |
///
/// The whole as [`crate::meter_trial::by_volume`]. Each end against the rest: `gap = r_end / r_rest − 1` with ratios of
/// sums, standard uncertainty from the spread within outputs (pooled, Σ(n − 1) degrees) and the readings; Student t.
///
/// # Errors
/// [`TrialError`]; an output that is not above zero or given twice is [`TrialError::Input`].
///
/// # Source
/// JCGM 100:2008 (comparison of two means with pooled spread); the trial as in [`crate::ratio_trial::work_out`].
///
/// # Example
/// By hand: (1000/960) / (1000/1001) − 1 = 4.27 %: slip at the least output.
/// ```
/// # use calc::keyin::KeyedPulses;
/// # use calc::meter_trial::{VolumeReading, VolumeRun};
/// # use calc::pump_trial::{OutputRuns, PumpTrial, Slip, work_out};
/// # use calc::verdict::Tolerance;
/// # use units::{FlowRate, PulseConvention, Share, Volume, VolumeUnit};
/// let ml = Volume::from_ml;
/// let run = |indicated, actual| VolumeRun { indicated: ml(indicated), actual: ml(actual) };
/// let trial = PumpTrial {
///     keyed: KeyedPulses { number: 84.0, convention: PulseConvention::counting(1.0, VolumeUnit::UsFluidOunce), step: None },
///     outputs: vec![
///         OutputRuns { output: FlowRate::from_us_fl_oz_per_min(10.0), runs: vec![run(500.0, 479.0), run(500.0, 481.0)] },
///         OutputRuns { output: FlowRate::from_us_fl_oz_per_min(40.0), runs: vec![run(500.0, 500.0), run(500.0, 501.0)] },
///     ],
///     reading: VolumeReading { console_step: ml(1.0), vessel_step: ml(2.0), vessel_tolerance: Share::from_percent(1.0) },
///     tolerance: Tolerance::RATE_CONTROL,
/// };
/// let outcome = work_out(&trial)?;
/// assert_eq!(outcome.slip, Slip::AtLeast);
/// assert!(outcome.least.is_some_and(|end| (end.gap.as_percent() - 4.270_833).abs() < 1e-6));
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn work_out(trial: &PumpTrial) -> Result<PumpOutcome, TrialError> {
    let mut sorted: Vec<&OutputRuns> = trial.outputs.iter().collect();
    for (idx, output) in trial.outputs.iter().enumerate() {
        let got = output.output.as_m3_per_s();
        let twice = trial.outputs[..idx].iter().any(|earlier| earlier.output == output.output);
        if !(got.is_finite() && got > 0.0) || twice {
            return Err(TrialError::Input { idx, got });
        }
    }
    sorted.sort_unstable_by(|a, b| a.output.as_m3_per_s().total_cmp(&b.output.as_m3_per_s()));
    let of = |runs: &[VolumeRun]| volume_trial(trial.keyed, runs, trial.reading, trial.tolerance);
    let every_run: Vec<VolumeRun> = trial.outputs.iter().flat_map(|o| o.runs.iter().copied()).collect();
    let all = of(&every_run)?;
    let outputs = sorted
        .iter()
        .map(|o| Ok(OutputOutcome { output: o.output, ratio: of(&o.runs)?.ratio }))
        .collect::<Result<Vec<_>, TrialError>>()?;
    let (least, greatest) = match outputs.as_slice() {
        [] | [_] => (None, None),
        [.., last] => (end_test(trial, &sorted, &outputs, 0, outputs[0].output), {
            end_test(trial, &sorted, &outputs, outputs.len() - 1, last.output)
        }),
    };
    Ok(PumpOutcome { slip: slip(least, greatest), all, outputs, least, greatest })
}

fn end_test(
    trial: &PumpTrial,
    sorted: &[&OutputRuns],
    outcomes: &[OutputOutcome],
    end_idx: usize,
    output: FlowRate,
) -> Option<EndTest> {
    let dof: f64 = sorted.iter().map(|o| (o.runs.len() - 1) as f64).sum();
    let squares: f64 = outcomes
        .iter()
        .map(|o| {
            o.ratio.spread.map_or(0.0, |s| (s / o.ratio.ratio).powi(2)) * (o.ratio.runs.len() - 1) as f64
        })
        .sum();
    let spread_2 = if dof > 0.0 { squares / dof } else { f64::NAN };
    let end: Vec<VolumeRun> = sorted[end_idx].runs.clone();
    let rest: Vec<VolumeRun> = sorted
        .iter()
        .enumerate()
        .filter(|(idx, _)| *idx != end_idx)
        .flat_map(|(_, o)| o.runs.iter().copied())
        .collect();
    let side = |runs: &[VolumeRun]| {
        let indicated: f64 = runs.iter().map(|r| r.indicated.as_m3()).sum();
        let actual: f64 = runs.iter().map(|r| r.actual.as_m3()).sum();
        let n = runs.len() as f64;
        let console = trial.reading.console_step.as_m3() / indicated;
        let vessel = trial.reading.vessel_step.as_m3() / actual;
        // A step of δ on each of n runs: δ/√12 · √n over the sum.
        let reading_2 = (console * console + vessel * vessel) * n / 12.0;
        (indicated / actual, n, reading_2)
    };
    let (end_ratio, n_end, end_reading_2) = side(&end);
    let (rest_ratio, n_rest, rest_reading_2) = side(&rest);
    let type_a_2 = spread_2 * (1.0 / n_end + 1.0 / n_rest);
    let u_2 = type_a_2 + end_reading_2 + rest_reading_2;
    let gap = end_ratio / rest_ratio - 1.0;
    let expanded = if dof > 0.0 {
        let dof_eff = if type_a_2 > 0.0 { dof * (u_2 / type_a_2).powi(2) } else { f64::INFINITY };
        two_sided(CONFIDENCE, dof_eff).ok()? * u_2.sqrt() * end_ratio / rest_ratio
    } else {
        f64::INFINITY
    };
    Some(EndTest {
        output,
        gap: Share::from_fraction(gap),
        expanded: Share::from_fraction(expanded),
        told_apart: gap.abs() > expanded,
    })
}

fn slip(least: Option<EndTest>, greatest: Option<EndTest>) -> Slip {
    let (Some(least), Some(greatest)) = (least, greatest) else { return Slip::OneOutput };
    if least.expanded.as_fraction().is_infinite() {
        return Slip::SpreadUnknown;
    }
    let seen = |end: EndTest| end.told_apart && end.gap.as_fraction() > 0.0;
    match (seen(least), seen(greatest)) {
        (true, true) if greatest.gap > least.gap => Slip::AtGreatest,
        (true, _) => Slip::AtLeast,
        (false, true) => Slip::AtGreatest,
        (false, false) if least.told_apart || greatest.told_apart => Slip::Uneven,
        (false, false) => Slip::NotSeen,
    }
}
