//! A section check: what the console should show as sections go on from the left, and what it shows.

use super::{Obstacle, setup};
use crate::bridge::rig::step_of;
use calc::section_check::{SectionCheck, SectionCheckError, SectionCheckOutcome, work_out};
use records::fields::FieldProblem;
use records::rig::RigView;
use records::trial::{TrialView, read_quantity};
use units::{Length, LengthUnit, Quantity, Unit};

/// What a section check says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SectionsJudged {
    /// Step by step.
    pub(crate) outcome: SectionCheckOutcome,
    /// The unit in which the console shows widths.
    pub(crate) unit: LengthUnit,
}

/// The unit in which the console takes widths; feet where nothing is said of a rig in US units.
pub(crate) fn width_unit(rig: &RigView, metric: bool) -> LengthUnit {
    rig.key_in
        .get("width")
        .and_then(|entry| entry.unit.as_deref())
        .and_then(LengthUnit::from_code)
        .unwrap_or(if metric { LengthUnit::Metre } else { LengthUnit::Foot })
}

/// Works the check out as far as it goes.
pub(crate) fn judge(view: &TrialView<'_>, rig: &RigView, metric: bool) -> Result<SectionsJudged, Obstacle> {
    let unit = width_unit(rig, metric);
    let widths: Option<Vec<Length>> = rig.sections.iter().map(|section| section.working_width).collect();
    let missing = Obstacle::Setup { field: "sections", problem: FieldProblem::Missing };
    let widths = widths.filter(|widths| !widths.is_empty()).ok_or(missing)?;
    let shown = (1..=widths.len())
        .map(|n| {
            read_quantity::<Length>(view.doc(), &format!("run.{n}.width"))
                .transpose()
                .map(|typed| typed.map(|typed| typed.value))
                .map_err(|problem| Obstacle::Run { number: n, field: "width", problem })
        })
        .collect::<Result<Vec<_>, _>>()?;
    let shown_step = setup::<Length>(view, "length_step")?.map_or(Length::from_m(0.0), |typed| typed.value);
    let keyed_step =
        step_of(rig, "width").map_or(Length::from_m(0.0), |step| Length::from_unit(step.step, unit));
    let outcome =
        work_out(&SectionCheck { widths, shown, shown_step, keyed_step }).map_err(|error| match error {
            SectionCheckError::Shown { section_idx, .. } => {
                Obstacle::Run { number: section_idx + 1, field: "width", problem: FieldProblem::Negative }
            }
            _ => Obstacle::Setup { field: "sections", problem: FieldProblem::Missing },
        })?;
    Ok(SectionsJudged { outcome, unit })
}
