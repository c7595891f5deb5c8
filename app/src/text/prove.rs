//! What the trials say: titles, steps, cautions, labels of readings, verdicts, reasons.

use super::{number, problem, rig, words};
use crate::bridge::trial::{Obstacle, Size};
use crate::state::sheet::System;
use calc::catch_trial::NozzleState;
use calc::course_trial::{DirectionGap, WheelOutcome};
use calc::next_run::Next;
use calc::pump_trial::{PumpOutcome, Slip};
use calc::ratio_trial::{Flag, TrialError};
use calc::section_check::SectionVerdict;
use calc::standing_run::Line;
use calc::uncertainty::Source;
use calc::verdict::{ToleranceSource, Verdict};
use records::trial::TrialKind;
use units::{LengthUnit, PulseConvention, Quantity, Unit, VolumeUnit};

pub(crate) struct ProveWords {
    pub(crate) title: &'static str,
    pub(crate) caution: &'static str,
    pub(crate) begin: &'static str,
    pub(crate) past: &'static str,
    pub(crate) none_yet: &'static str,
    pub(crate) open_still: &'static str,
    pub(crate) concluded: &'static str,
    pub(crate) way: &'static str,
    pub(crate) way_jug: &'static str,
    pub(crate) way_weight: &'static str,
    pub(crate) way_distance: &'static str,
    pub(crate) way_stopwatch: &'static str,
    pub(crate) way_wheel: &'static str,
    pub(crate) tape_says: &'static str,
    pub(crate) wheel_turn: fn(turn: &str, per_metre: &str) -> String,
    pub(crate) console_shows: &'static str,
    pub(crate) jug_says: &'static str,
    pub(crate) scale_full: &'static str,
    pub(crate) scale_empty: &'static str,
    pub(crate) water_temperature: &'static str,
    pub(crate) watch_says: &'static str,
    pub(crate) cylinder_says: &'static str,
    pub(crate) pump_output: &'static str,
    pub(crate) gauge_shows: &'static str,
    pub(crate) reference_shows: &'static str,
    pub(crate) nozzle: &'static str,
    pub(crate) sections_on: &'static str,
    pub(crate) shown_flow: &'static str,
    pub(crate) shown_volume: &'static str,
    pub(crate) shown_area: &'static str,
    pub(crate) drawn_volume: &'static str,
    pub(crate) run: &'static str,
    pub(crate) runs: &'static str,
    pub(crate) catches: &'static str,
    pub(crate) add_run: &'static str,
    pub(crate) out: &'static str,
    pub(crate) back: &'static str,
    pub(crate) direction: &'static str,
    pub(crate) setup: &'static str,
    pub(crate) setup_hint: &'static str,
    pub(crate) tolerance: &'static str,
    pub(crate) notes: &'static str,
    pub(crate) liquid: &'static str,
    pub(crate) liquid_hint: &'static str,
    pub(crate) temperature: &'static str,
    pub(crate) outcome: &'static str,
    pub(crate) budget: &'static str,
    pub(crate) budget_hint: &'static str,
    pub(crate) part: &'static str,
    pub(crate) standard: &'static str,
    pub(crate) unknown: &'static str,
    pub(crate) keyed_now: &'static str,
    pub(crate) to_key: &'static str,
    pub(crate) uncertainty: &'static str,
    pub(crate) course_hint: &'static str,
    pub(crate) waiting: &'static str,
    pub(crate) runs_spread: fn(runs: usize, spread: &str) -> String,
    pub(crate) last: fn(verdict: &str, on: &str) -> String,
    pub(crate) one_way: &'static str,
    pub(crate) one_more_run: &'static str,
    pub(crate) take_hint: &'static str,
    pub(crate) gauge_plot: &'static str,
    pub(crate) reopen: &'static str,
    pub(crate) discard: &'static str,
    pub(crate) who: &'static str,
    pub(crate) who_hint: &'static str,
    pub(crate) advise_keep: fn(old: &str) -> String,
    pub(crate) advise_take: fn(old: &str, new: &str) -> String,
    pub(crate) same_in_steps: fn(old: &str) -> String,
    pub(crate) rig_moved_on: fn(now: &str, then: &str) -> String,
    pub(crate) outside_meter: fn(number: usize, flow: &str, least: &str, greatest: &str) -> String,
    pub(crate) ended: fn(on: &str) -> String,
    pub(crate) ended_taken: fn(on: &str, old: &str, new: &str) -> String,
    pub(crate) take: &'static str,
    pub(crate) keep: &'static str,
    pub(crate) conclude: &'static str,
    pub(crate) off_by: &'static str,
    pub(crate) allowed: &'static str,
    pub(crate) verdict: &'static str,
    pub(crate) mean_flow: &'static str,
    pub(crate) cv: &'static str,
    pub(crate) total_flow: &'static str,
    pub(crate) flow: &'static str,
    pub(crate) of_nominal: &'static str,
    pub(crate) of_mean: &'static str,
    pub(crate) state: &'static str,
    pub(crate) expected: &'static str,
    pub(crate) after_a_minute: &'static str,
    pub(crate) nozzle_pressure: &'static str,
    pub(crate) each_nozzle: &'static str,
    pub(crate) prediction: &'static str,
    pub(crate) pump_title: fn(n: u32) -> String,
    pub(crate) take_out: fn(number: usize) -> String,
    pub(crate) put_back: fn(number: usize) -> String,
    pub(crate) coverage: fn(k: &str) -> String,
    pub(crate) error_detail: fn(error: &str, expanded: &str, tolerance: &str, source: &str) -> String,
    pub(crate) exactly: fn(exact: &str, convention: &str) -> String,
    pub(crate) beyond_largest: fn(largest: &str) -> String,
    pub(crate) gauge_detail: fn(expanded: &str, source: &str) -> String,
    pub(crate) catch_summary: fn(nozzles: usize, fine: usize, worn: usize, blocked: usize) -> String,
    pub(crate) mean_of_nominal: fn(error: &str, verdict: &str) -> String,
    pub(crate) catch_limits: fn(nominal: &str, nominal_source: &str, mean: &str, mean_source: &str) -> String,
    pub(crate) sections_to: fn(n: usize) -> String,
    pub(crate) should_show: fn(width: &str) -> String,
    pub(crate) boom_error: fn(error: &str) -> String,
    pub(crate) section_switch: fn(n: usize, on: bool) -> String,
    pub(crate) pump_after_a_minute: fn(n: usize) -> String,
    pub(crate) line_detail: fn(line: &str, expected: &str, seen: &str) -> String,
    pub(crate) next_runs: fn(runs: u32, size: &str) -> String,
    pub(crate) next_assumed: fn(runs: u32, size: &str) -> String,
    pub(crate) next_reference: fn(reachable: &str, needed: &str) -> String,
    pub(crate) next_close: fn(needed: &str) -> String,
    pub(crate) products: [&'static str; 6],
    pub(crate) kinds: fn(TrialKind) -> (&'static str, &'static str),
    pub(crate) cautions: fn(TrialKind) -> &'static str,
    pub(crate) steps: fn(TrialKind, way: &str) -> &'static [&'static str],
    pub(crate) setup_labels: fn(&str) -> &'static str,
    pub(crate) verdicts: fn(Verdict) -> &'static str,
    pub(crate) sources: fn(Source) -> &'static str,
    pub(crate) tolerance_sources: fn(ToleranceSource) -> &'static str,
    pub(crate) tolerance_hints: fn(TrialKind) -> &'static str,
    pub(crate) nozzle_states: fn(NozzleState) -> &'static str,
    pub(crate) section_verdicts: fn(SectionVerdict) -> &'static str,
    pub(crate) section_hints: fn(ratio: f64) -> Option<&'static str>,
    pub(crate) lines: fn(Line) -> String,
    pub(crate) flags: fn(flag: &Flag, number: usize) -> String,
    pub(crate) refusals: fn(number: Option<usize>, error: &TrialError) -> String,
    pub(crate) setup_problem: fn(label: &str, problem: &str) -> String,
    pub(crate) run_problem: fn(number: usize, problem: &str) -> String,
    pub(crate) direction_gap: fn(gap: &str, told_apart: bool) -> String,
    pub(crate) slips: fn(Slip, least: &str, greatest: &str) -> String,
    pub(crate) rig_lacks: &'static str,
}

/// Title and one line of a kind of trial.
pub(crate) fn kind_words(kind: TrialKind) -> (&'static str, &'static str) {
    (words().prove.kinds)(kind)
}

/// The caution above a trial.
pub(crate) fn caution(kind: TrialKind) -> &'static str {
    (words().prove.cautions)(kind)
}

/// The steps of a trial, by the way in which the truth is measured.
pub(crate) fn steps(kind: TrialKind, way: &str) -> &'static [&'static str] {
    (words().prove.steps)(kind, way)
}

/// Label of a field of the setup.
pub(crate) fn setup_label(field: &str) -> &'static str {
    (words().prove.setup_labels)(field)
}

/// The word of a verdict.
pub(crate) fn verdict_word(verdict: Verdict) -> &'static str {
    (words().prove.verdicts)(verdict)
}

/// What a part of the uncertainty is called.
pub(crate) fn source_label(source: Source) -> &'static str {
    (words().prove.sources)(source)
}

/// Who says how far off is still right.
pub(crate) fn tolerance_source(source: ToleranceSource) -> &'static str {
    (words().prove.tolerance_sources)(source)
}

/// What holds where nobody typed a tolerance.
pub(crate) fn tolerance_hint(kind: TrialKind) -> &'static str {
    (words().prove.tolerance_hints)(kind)
}

/// What a nozzle is.
pub(crate) fn nozzle_state(state: NozzleState) -> &'static str {
    (words().prove.nozzle_states)(state)
}

/// Whether a section's width agrees.
pub(crate) fn section_verdict(verdict: SectionVerdict) -> &'static str {
    (words().prove.section_verdicts)(verdict)
}

/// A likely slip behind a section's difference, by what it shows over what it should.
pub(crate) fn section_hint(verdict: SectionVerdict, off_and_expected: Option<(f64, f64)>) -> &'static str {
    let odd = matches!(verdict, SectionVerdict::TooWide | SectionVerdict::TooNarrow);
    let ratio = off_and_expected.map_or(1.0, |(off, expected)| 1.0 + off / expected);
    if odd { (words().prove.section_hints)(ratio).unwrap_or_default() } else { "" }
}

/// What a line of a standing run is called.
pub(crate) fn line_label(line: Line) -> String {
    (words().prove.lines)(line)
}

/// Why a run cannot be used, without its number.
pub(crate) fn refusal_text(error: &TrialError) -> String {
    (words().prove.refusals)(None, error)
}

/// What stands out in the runs.
pub(crate) fn flag_text(flag: &Flag, numbers: &[usize]) -> String {
    let number = match flag {
        Flag::Outlier { run_idx, .. } => numbers.get(*run_idx).copied().unwrap_or(run_idx + 1),
        _ => 0,
    };
    (words().prove.flags)(flag, number)
}

/// Out against back.
pub(crate) fn direction_text(gap: &DirectionGap) -> String {
    (words().prove.direction_gap)(&number::signed_percent(gap.gap.as_fraction(), 2), gap.told_apart)
}

/// What a wheel rolls in a turn.
pub(crate) fn wheel_text(wheel: &WheelOutcome, unit: LengthUnit) -> String {
    let expanded = wheel.expanded.as_fraction() * wheel.circumference.in_unit(unit);
    let turn = number::with_uncertainty(wheel.circumference.in_unit(unit), expanded, unit.symbol());
    (words().prove.wheel_turn)(&turn, &number::significant(wheel.number.as_per_m(), 5))
}

/// Whether the pump slips at one end.
pub(crate) fn slip_text(outcome: &PumpOutcome) -> String {
    let gap = |end: &Option<calc::pump_trial::EndTest>| {
        end.as_ref().map_or_else(String::new, |end| number::signed_percent(end.gap.as_fraction(), 1))
    };
    (words().prove.slips)(outcome.slip, &gap(&outcome.least), &gap(&outcome.greatest))
}

/// What to run next.
pub(crate) fn next_text(next: &Next<Size>) -> Option<String> {
    let w = &words().prove;
    let percent = |share: f64| number::percent(share, 2);
    match next {
        Next::Nothing => None,
        Next::Runs { runs, size, spread_assumed } => {
            let size = format!("{}\u{a0}{}", number::significant(rounded_up(size.value), 3), size.symbol);
            Some(if *spread_assumed { (w.next_assumed)(*runs, &size) } else { (w.next_runs)(*runs, &size) })
        }
        Next::BetterReference { reachable, needed } => {
            Some((w.next_reference)(&percent(*reachable), &percent(*needed)))
        }
        Next::TooClose { needed } => Some((w.next_close)(&percent(*needed))),
    }
}

/// The next round number at or above, to two digits: a run that is proposed is never too small.
fn rounded_up(value: f64) -> f64 {
    if !(value.is_finite() && value > 0.0) {
        return value;
    }
    let step = 10_f64.powf(value.log10().floor() - 1.0);
    // A hair of slack, so that 20 stays 20.
    (value / step - 1e-6).ceil() * step
}

/// Why nothing can be worked out; nothing where there is simply no run yet.
pub(crate) fn obstacle_text(obstacle: &Obstacle, system: System) -> Option<String> {
    let w = &words().prove;
    match obstacle {
        Obstacle::NoRuns => None,
        Obstacle::Setup { field: "rig", .. } => Some(w.rig_lacks.to_owned()),
        Obstacle::Setup { field, problem } => {
            Some((w.setup_problem)(setup_label(field), &problem::field_problem(problem, system)))
        }
        Obstacle::Run { number, problem, .. } => {
            Some((w.run_problem)(*number, &problem::field_problem(problem, system)))
        }
        Obstacle::Trial { error: TrialError::NoRuns, .. } => None,
        Obstacle::Trial { number, error } => Some((w.refusals)(*number, error)),
    }
}

/// A stored convention code in words.
pub(crate) fn convention_text(code: &str) -> String {
    PulseConvention::<VolumeUnit>::from_code(code)
        .map(rig::convention_text)
        .or_else(|_| PulseConvention::<LengthUnit>::from_code(code).map(rig::convention_text))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::rounded_up;

    // By hand.
    #[test]
    fn a_proposed_run_is_round_and_never_too_small() {
        for (exact, round) in [(20.0, 20.0), (20.1, 21.0), (0.0312, 0.032), (148.2, 150.0), (9.91, 10.0)] {
            assert!((rounded_up(exact) - round).abs() < 1e-9, "{exact}");
        }
    }
}
