//! Proving the carrier flow meter: console against a known volume, or against a scale.
//!
//! The statistics are [`crate::ratio_trial`]'s, the density of water [`crate::water`]'s.

use units::{Density, Mass, PulsesPerVolume, Share, Temperature, Volume, VolumeUnit};

use crate::keyin::{Corrected, KeyInError, KeyedPulses};
use crate::next_run::Next;
use crate::ratio_trial::{
    RatioOutcome, RatioTrial, Run, RunPart, SharedPart, Side, TrialError, check_width, work_out,
};
use crate::uncertainty::{Shape, Source};
use crate::verdict::Tolerance;
use crate::water;

/// One run against a jug, cylinder or tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VolumeRun {
    /// What the console showed, > 0.
    pub indicated: Volume,
    /// What the vessel held, > 0.
    pub actual: Volume,
}

/// One run against a scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeighedRun {
    /// What the console showed, > 0.
    pub indicated: Volume,
    /// Vessel with water.
    pub gross: Mass,
    /// Vessel empty; below `gross`.
    pub tare: Mass,
    /// Temperature of the water, 0 to 40 °C.
    pub temperature: Temperature,
}

/// How well the readings of a volume trial can be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VolumeReading {
    /// Smallest step of the console's volume.
    pub console_step: Volume,
    /// Smallest graduation of the vessel.
    pub vessel_step: Volume,
    /// What the vessel may be off, either way, as a share of what it holds.
    pub vessel_tolerance: Share,
}

/// How well the readings of a trial by weight can be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeightReading {
    /// Smallest step of the console's volume.
    pub console_step: Volume,
    /// Smallest step of the scale.
    pub scale_step: Mass,
    /// What the scale may be off, either way, as a share of what it shows.
    pub scale_tolerance: Share,
    /// What the thermometer may be off, either way, in °C.
    pub temperature_half_width_c: f64,
}

/// A meter trial by known volume.
#[derive(Clone, Debug, PartialEq)]
pub struct MeterTrial<R, S> {
    /// The meter number keyed in during the runs.
    pub keyed: KeyedPulses<VolumeUnit>,
    /// The runs, at least one.
    pub runs: Vec<R>,
    /// How well they can be read.
    pub reading: S,
    /// How far the console may be off. [`Tolerance::RATE_CONTROL`] unless somebody knows better.
    pub tolerance: Tolerance,
}

/// What a trial of a meter or pump says.
#[derive(Clone, Debug, PartialEq)]
pub struct VolumeOutcome {
    /// Ratio, budget, verdict, flags, the runs for drawing.
    pub ratio: RatioOutcome,
    /// The new number in the console's convention. Worth keying in when [`RatioOutcome::told_apart`].
    pub corrected: Corrected,
    /// The new number as pulses per volume, before rounding.
    pub number: PulsesPerVolume,
    /// What to run next; the size is the volume of one run.
    pub next: Next<Volume>,
    /// What really passed in each run.
    pub actual: Vec<Volume>,
}

/// A meter trial against a known volume.
///
/// | symbol | meaning                         | range       |
/// |--------|---------------------------------|-------------|
/// | `i`    | console's volume of a run       | finite, > 0 |
/// | `a`    | volume in the vessel            | finite, > 0 |
/// | `δ`    | steps of console and vessel     | finite, ≥ 0 |
/// | `h`    | vessel tolerance, share         | finite, ≥ 0 |
///
/// `ratio = Σi / Σa`; counting numbers grow by it, spacing numbers shrink. Steps are drawn afresh in each run, the
/// vessel's tolerance is shared by all. Run at a flow that the work will use: a meter may be right at one flow only.
///
/// # Errors
/// [`TrialError`].
///
/// # Source
/// Definition (new = old × indicated / actual); JCGM 100 and 106 as in [`work_out`].
///
/// # Example
/// Reference table "meter_three_runs" (uncertainties 3.2.3, scipy 1.17.1): 760 becomes 786.0076 ± 5.1886.
/// ```
/// # use calc::keyin::KeyedPulses;
/// # use calc::meter_trial::{MeterTrial, VolumeReading, VolumeRun, by_volume};
/// # use calc::verdict::Tolerance;
/// # use units::{PulseConvention, Share, Volume, VolumeUnit};
/// let gal = Volume::from_us_gal;
/// let run = |indicated, actual| VolumeRun { indicated: gal(indicated), actual: gal(actual) };
/// let outcome = by_volume(&MeterTrial {
///     keyed: KeyedPulses { number: 760.0, convention: PulseConvention::counting(1.0, VolumeUnit::UsGallon), step: None },
///     runs: vec![run(98.4, 95.2), run(101.2, 97.6), run(99.6, 96.5)],
///     reading: VolumeReading { console_step: gal(0.1), vessel_step: gal(0.5), vessel_tolerance: Share::from_percent(0.5) },
///     tolerance: Tolerance::RATE_CONTROL,
/// })?;
/// assert!((outcome.corrected.exact - 786.007_604_56).abs() < 1e-6);
/// assert!((outcome.corrected.expanded - 5.188_637_34).abs() < 1e-6);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn by_volume(trial: &MeterTrial<VolumeRun, VolumeReading>) -> Result<VolumeOutcome, TrialError> {
    volume_trial(trial.keyed, &trial.runs, trial.reading, trial.tolerance)
}

/// Shared with the injection pumps.
pub(crate) fn volume_trial(
    keyed: KeyedPulses<VolumeUnit>,
    runs: &[VolumeRun],
    reading: VolumeReading,
    tolerance: Tolerance,
) -> Result<VolumeOutcome, TrialError> {
    let n = runs.len();
    check_width(Source::ConsoleStep, reading.console_step.as_m3())?;
    check_width(Source::VesselStep, reading.vessel_step.as_m3())?;
    let run_parts = [
        console_part(reading.console_step, n),
        RunPart::same(Source::VesselStep, Side::Actual, Shape::Resolution, reading.vessel_step.as_m3(), n),
    ];
    let shared = [SharedPart {
        source: Source::VesselTolerance,
        shape: Shape::Rectangular,
        relative: reading.vessel_tolerance.as_fraction(),
    }];
    finish(keyed, &bare_runs(runs), &run_parts, &shared, tolerance)
}

/// A meter trial by weight of water.
///
/// | symbol | meaning                              | range          |
/// |--------|--------------------------------------|----------------|
/// | `i`    | console's volume of a run            | finite, > 0    |
/// | `G`, `T` | vessel with water, and empty       | G > T ≥ 0      |
/// | `t`    | temperature of the water             | 0 to 40 °C     |
///
/// `a = (G − T) / ρ(t)`, then as [`by_volume`]. Both weighings carry the scale's step; the scale's tolerance, the
/// thermometer's (through dρ/dt) and the lift of the air (0.105 % at most, not corrected) are shared by all runs.
///
/// # Errors
/// [`TrialError`]; [`TrialError::Weighing`] when full weighs no more than empty, [`TrialError::Temperature`].
///
/// # Source
/// Density: [`water::density`]. Air of 1.2 kg/m³ against weights of 8000 kg/m³ (conventional values, OIML R 111 and D 28,
/// from memory): 1.2/998 − 1.2/8000 = 0.105 %.
///
/// # Example
/// By hand: 99.82067 kg of water at 20 °C are 100 L; the console says 102.
/// ```
/// # use calc::keyin::KeyedPulses;
/// # use calc::meter_trial::{MeterTrial, WeighedRun, WeightReading, by_weight};
/// # use calc::verdict::Tolerance;
/// # use units::{Mass, PulseConvention, Share, Temperature, Volume, VolumeUnit};
/// let run = WeighedRun {
///     indicated: Volume::from_l(102.0),
///     gross: Mass::from_kg(111.82067),
///     tare: Mass::from_kg(12.0),
///     temperature: Temperature::from_c(20.0),
/// };
/// let outcome = by_weight(&MeterTrial {
///     keyed: KeyedPulses { number: 200.0, convention: PulseConvention::counting(1.0, VolumeUnit::Litre), step: None },
///     runs: vec![run; 3],
///     reading: WeightReading {
///         console_step: Volume::from_l(0.1),
///         scale_step: Mass::from_kg(0.05),
///         scale_tolerance: Share::from_percent(0.1),
///         temperature_half_width_c: 1.0,
///     },
///     tolerance: Tolerance::RATE_CONTROL,
/// })?;
/// assert!((outcome.corrected.exact - 204.0).abs() < 1e-4);
/// # Ok::<(), calc::ratio_trial::TrialError>(())
/// ```
pub fn by_weight(trial: &MeterTrial<WeighedRun, WeightReading>) -> Result<VolumeOutcome, TrialError> {
    let reading = trial.reading;
    check_width(Source::ConsoleStep, reading.console_step.as_m3())?;
    check_width(Source::ScaleStep, reading.scale_step.as_kg())?;
    check_width(Source::WaterTemperature, reading.temperature_half_width_c)?;
    let mut runs = Vec::with_capacity(trial.runs.len());
    let mut scale = Vec::with_capacity(trial.runs.len());
    let mut slope_per_c: f64 = 0.0;
    for (run_idx, run) in trial.runs.iter().enumerate() {
        let rho = water::density(run.temperature)
            .map_err(|e| TrialError::Temperature { run_idx, got_c: e.got.as_c() })?;
        let rho_kg_m3 = rho.as_kg_per_m3();
        let actual = volume_of_weight(run.gross, run.tare, rho).ok_or(TrialError::Weighing {
            run_idx,
            gross_kg: run.gross.as_kg(),
            tare_kg: run.tare.as_kg(),
        })?;
        runs.push(Run { indicated: run.indicated.as_m3(), actual: actual.as_m3() });
        // Two weighings, each to a step.
        scale.push(reading.scale_step.as_kg() / 6.0_f64.sqrt() / rho_kg_m3);
        slope_per_c = slope_per_c.max(water::relative_slope_per_c(run.temperature.as_c()).abs());
    }
    let n = runs.len();
    let run_parts = [
        console_part(reading.console_step, n),
        RunPart { source: Source::ScaleStep, side: Side::Actual, standards: scale, falls_with_size: true },
    ];
    let shared = [
        (Source::ScaleTolerance, reading.scale_tolerance.as_fraction()),
        (Source::WaterTemperature, slope_per_c * reading.temperature_half_width_c),
        (Source::AirLift, AIR_LIFT),
    ]
    .map(|(source, relative)| SharedPart { source, shape: Shape::Rectangular, relative });
    finish(trial.keyed, &runs, &run_parts, &shared, trial.tolerance)
}

/// Volume of a weighed liquid: `(G − T) / ρ`. None when full weighs no more than empty, or the density is not above zero.
///
/// # Source
/// Definition. The lift of the air is not corrected; see [`by_weight`].
///
/// # Example
/// Reference table "volume_by_weight": (21.46 − 1.38) kg ÷ 0.9977 kg/L = 20.12629 L.
/// ```
/// # use calc::meter_trial::volume_of_weight;
/// # use units::{Density, Mass};
/// let volume = volume_of_weight(Mass::from_kg(21.46), Mass::from_kg(1.38), Density::from_kg_per_l(0.9977));
/// assert!(volume.is_some_and(|v| (v.as_l() - 20.126_290_47).abs() < 1e-8));
/// ```
#[must_use]
pub fn volume_of_weight(gross: Mass, tare: Mass, density: Density) -> Option<Volume> {
    let (gross_kg, tare_kg, rho_kg_m3) = (gross.as_kg(), tare.as_kg(), density.as_kg_per_m3());
    let sensible = gross_kg.is_finite() && tare_kg >= 0.0 && gross_kg > tare_kg && rho_kg_m3 > 0.0;
    sensible.then(|| Volume::from_m3((gross_kg - tare_kg) / rho_kg_m3))
}

/// Air of 1.2 kg/m³ lifts water more than the scale's own weights.
const AIR_LIFT: f64 = 1.2 / 998.0 - 1.2 / 8000.0;

fn console_part(step: Volume, n_runs: usize) -> RunPart {
    RunPart::same(Source::ConsoleStep, Side::Indicated, Shape::Resolution, step.as_m3(), n_runs)
}

fn bare_runs(runs: &[VolumeRun]) -> Vec<Run> {
    runs.iter().map(|r| Run { indicated: r.indicated.as_m3(), actual: r.actual.as_m3() }).collect()
}

fn finish(
    keyed: KeyedPulses<VolumeUnit>,
    runs: &[Run],
    run_parts: &[RunPart],
    shared_parts: &[SharedPart],
    tolerance: Tolerance,
) -> Result<VolumeOutcome, TrialError> {
    let sizes: Vec<f64> = runs.iter().map(|run| run.actual).collect();
    let ratio = work_out(&RatioTrial {
        runs,
        run_parts,
        shared_parts,
        tolerance,
        sizes: &sizes,
        readings_grow: true,
    })?;
    let corrected = keyed.corrected(ratio.ratio, ratio.expanded).map_err(number_error)?;
    Ok(VolumeOutcome {
        number: keyed.convention.meaning(corrected.exact),
        next: ratio.next.map(Volume::from_m3),
        actual: sizes.into_iter().map(Volume::from_m3).collect(),
        ratio,
        corrected,
    })
}

pub(crate) fn number_error(error: KeyInError) -> TrialError {
    match error {
        KeyInError::Number { got } | KeyInError::Amount { got } | KeyInError::Step { got } => {
            TrialError::Number { got }
        }
        KeyInError::RoundsToZero { exact, .. } => TrialError::Number { got: exact },
        KeyInError::TooLarge { rounded, .. } => TrialError::Number { got: rounded },
    }
}
