//! What a concluded trial leaves behind: plain texts in its `outcome`, and the new number on its rig.
//!
//! | `outcome.`          | text                                                                       |
//! |---------------------|----------------------------------------------------------------------------|
//! | `verdict`           | `within`, `out`, `open`                                                    |
//! | `error`, `expanded` | relative error and its expanded uncertainty, 95 %; `expanded` may be `inf`   |
//! | `tolerance`         | relative, as judged against                                                |
//! | `runs`              | how many counted                                                           |
//! | `old`, `new`        | numbers in `convention`, as keyed in and as the console takes the new one  |
//! | `exact`, `number_expanded` | the new number before rounding, and its expanded uncertainty        |
//! | `convention`        | code of the convention                                                     |
//! | `action`            | `taken` or `kept`                                                          |

use super::Judged;
use super::gauge::GaugeJudged;
use super::pump::pump_of;
use calc::verdict::Verdict;
use records::fields::Texts;
use records::rig::{RigView, SpeedBy};
use records::trial::{TrialKind, TrialView};
use records::{DocId, FieldValue, Source};
use units::{
    Length, LengthUnit, PulseConvention, PulsesPerDistance, Quantity, decimals_for_significant,
    format_decimal,
};

/// What was done with the new number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Action {
    /// It stands on the rig.
    Taken,
    /// The old one stays.
    Kept,
}

/// The word of a verdict in an outcome.
pub(crate) const fn verdict_code(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::Out => "out",
        Verdict::NotProvenYet => "open",
    }
}

/// Reads [`verdict_code`].
pub(crate) fn verdict_from(code: &str) -> Option<Verdict> {
    [Verdict::Within, Verdict::Out, Verdict::NotProvenYet].into_iter().find(|v| verdict_code(*v) == code)
}

/// The number as the console takes it, as text.
pub(crate) fn new_text(judged: &Judged) -> String {
    format_decimal(judged.number.rounded, judged.decimals)
}

/// Everything that a ratio trial leaves in `outcome`, and that it is concluded.
pub(crate) fn concluded(judged: &Judged, action: Action) -> Vec<(String, String)> {
    let ratio = &judged.ratio;
    let number = &judged.number;
    with_status(vec![
        ("verdict", verdict_code(ratio.verdict).to_owned()),
        ("error", ratio.error.as_fraction().to_string()),
        ("expanded", ratio.expanded.to_string()),
        ("tolerance", ratio.tolerance.limit.as_fraction().to_string()),
        ("runs", ratio.runs.len().to_string()),
        ("old", number.old.to_string()),
        ("new", new_text(judged)),
        ("exact", number.exact.to_string()),
        ("number_expanded", number.expanded.to_string()),
        ("convention", judged.convention.clone()),
        ("action", if action == Action::Taken { "taken" } else { "kept" }.to_owned()),
    ])
}

/// Everything that a gauge trial leaves in `outcome`: of all points the error that uses up most of what is allowed.
pub(crate) fn gauge_concluded(judged: &GaugeJudged) -> Vec<(String, String)> {
    let outcome = &judged.outcome;
    let used =
        |idx: &usize| outcome.points.get(*idx).map_or(0.0, |p| p.error.as_pa().abs() / p.limit.as_pa());
    let worst = (0..outcome.points.len()).max_by(|a, b| used(a).total_cmp(&used(b)));
    let mut fields = vec![
        ("verdict", verdict_code(outcome.verdict).to_owned()),
        ("runs", outcome.points.len().to_string()),
    ];
    if let Some(point) = worst.and_then(|idx| outcome.points.get(idx)) {
        let share = |pa: f64| (pa / point.reference.as_pa()).to_string();
        fields.push(("error", share(point.error.as_pa())));
        fields.push(("expanded", share(outcome.expanded.as_pa())));
        fields.push(("tolerance", share(point.limit.as_pa())));
    }
    with_status(fields)
}

/// Puts `outcome.` before each field and adds that the trial is concluded.
pub(crate) fn with_status(fields: Vec<(&'static str, String)>) -> Vec<(String, String)> {
    fields
        .into_iter()
        .map(|(field, text)| (format!("outcome.{field}"), text))
        .chain([("status".to_owned(), "concluded".to_owned())])
        .collect()
}

/// Paths and stored texts that put the new number on the rig; none where the trial has no number to give.
///
/// A wheel keeps being a wheel: its circumference becomes the one that gives the new number.
pub(crate) fn take(
    view: &TrialView<'_>,
    rig: &dyn Texts,
    judged: &Judged,
    trial: &DocId,
    on: &str,
) -> Option<Vec<(String, String)>> {
    let proven = |text: String| {
        FieldValue::new(text).source(Source::Proven { on: on.to_owned(), trial: Some(trial.clone()) })
    };
    let rig_view = RigView::read(rig);
    let (number_path, convention_path) = match view.kind? {
        TrialKind::Meter => ("meter.number".to_owned(), "meter.convention".to_owned()),
        TrialKind::Pump => {
            let n = pump_of(view)?;
            (format!("pump.{n}.number"), format!("pump.{n}.convention"))
        }
        TrialKind::Course => ("speed.number".to_owned(), "speed.convention".to_owned()),
        _ => return None,
    };
    let mut set = Vec::new();
    if rig.text_at(&convention_path) != Some(&judged.convention) {
        set.push((convention_path, judged.convention.clone()));
    }
    let wheel = view.kind == Some(TrialKind::Course) && rig_view.speed.by.ok() == Some(SpeedBy::Wheel);
    if wheel {
        let convention = PulseConvention::<LengthUnit>::from_code(&judged.convention).ok()?;
        let pulses: PulsesPerDistance = convention.meaning(judged.number.rounded);
        let per_turn = rig_view.speed.pulses_per_turn.ok()?;
        let circumference: Length = pulses.distance_of(per_turn);
        let unit = rig_view.speed.circumference.ok().map_or(LengthUnit::Metre, |typed| typed.unit);
        let value = circumference.in_unit(unit);
        let mut field = proven(format_decimal(value, decimals_for_significant(value, 6)));
        field.unit = Some(units::Unit::code(unit).to_owned());
        set.push(("wheel.circumference".to_owned(), field.to_stored()));
    } else {
        set.push((number_path, proven(new_text(judged)).to_stored()));
    }
    Some(set)
}
