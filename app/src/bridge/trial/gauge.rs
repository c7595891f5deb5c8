//! A gauge trial: the rig's gauge against a reference.

use super::{Obstacle, numbered, refused, run_field, setup, setup_needed};
use calc::gauge_trial::{GaugeLimit, GaugeOutcome, GaugePoint, GaugeTrial, work_out};
use calc::verdict::ToleranceSource;
use records::trial::TrialView;
use units::{Pressure, PressureUnit, Share};

/// What a gauge trial says, with what a page needs to show it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct GaugeJudged {
    /// The points and the verdict.
    pub(crate) outcome: GaugeOutcome,
    /// How far off the gauge may be.
    pub(crate) limit: GaugeLimit,
    /// Numbers in the list of the runs that count.
    pub(crate) numbers: Vec<usize>,
    /// The unit of the last reading.
    pub(crate) unit: PressureUnit,
}

/// Works the trial out as far as it goes.
///
/// A tolerance that was typed holds at every pressure; the fixed amount at low pressure is the default's alone.
pub(crate) fn judge(view: &TrialView<'_>) -> Result<GaugeJudged, Obstacle> {
    let limit = match setup::<Share>(view, "tolerance")? {
        None => GaugeLimit::ISO_16122,
        Some(typed) => GaugeLimit {
            // Nothing lies below this: a reference reads above zero.
            fixed_up_to: Pressure::from_pa(f64::MIN_POSITIVE),
            fixed: Pressure::from_pa(f64::MIN_POSITIVE),
            share_above: typed.value,
            source: ToleranceSource::User,
        },
    };
    let mut unit = PressureUnit::Psi;
    let (mut numbers, mut points) = (Vec::new(), Vec::new());
    for (number, run) in numbered(view) {
        let gauge = run_field::<Pressure>(run, number, "gauge")?;
        unit = gauge.unit;
        numbers.push(number);
        points.push(GaugePoint {
            gauge: gauge.value,
            reference: run_field::<Pressure>(run, number, "reference")?.value,
        });
    }
    let outcome = work_out(&GaugeTrial {
        points,
        gauge_step: setup_needed(view, "gauge_step")?,
        reference_step: setup_needed(view, "reference_step")?,
        reference_tolerance: setup_needed(view, "reference_tolerance")?,
        limit,
    })
    .map_err(|error| refused(error, &numbers))?;
    Ok(GaugeJudged { outcome, limit, numbers, unit })
}
