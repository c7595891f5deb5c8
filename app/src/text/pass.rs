//! What the screen of a pass says.

use super::plumbing::{Shown, pipe_text, trouble_text};
use super::{number, reach, words};
use crate::bridge::drive::digest::{ABOVE_LABEL, Digest, NOT_SPRAYED, ON_TARGET, Of, Stretch, edges};
use crate::bridge::drive::{PassProblem, StepProblem, Wrong};
use crate::bridge::plumbing::Trouble;
use crate::state::sheet::System;
use calc::pass::outcome::{AreaShares, DoseLimits};
use calc::pass::remedies::{Brought, Remedy, RemedyError, Tried};
use calc::pass::setup::PassError;
use calc::plumbing::boom::LineWarning;
use calc::plumbing::network::Network;
use records::drive::StepKind;
use units::{Duration, DurationUnit, FlowRateUnit, Length, Quantity, Share, Unit};

pub(crate) struct PassWords {
    pub(crate) title: &'static str,
    pub(crate) link: &'static str,
    pub(crate) lead: &'static str,
    pub(crate) drives: &'static str,
    pub(crate) begin_with: &'static str,
    pub(crate) begin_another: &'static str,
    pub(crate) ready: fn(code: &str) -> (&'static str, &'static str),
    pub(crate) unnamed: &'static str,
    pub(crate) drive: &'static str,
    pub(crate) described: fn(name: &str) -> String,
    pub(crate) steps: fn(n: usize, length: &str, time: &str) -> String,
    pub(crate) kind: fn(StepKind) -> &'static str,
    pub(crate) unknown_kind: &'static str,
    pub(crate) field: fn(kind: Option<StepKind>, field: &str) -> (&'static str, &'static str),
    pub(crate) step: fn(place: usize, what: &str) -> String,
    pub(crate) begins: fn(length: &str, time: &str) -> String,
    pub(crate) boom: &'static str,
    pub(crate) boom_off: &'static str,
    pub(crate) boom_on: &'static str,
    pub(crate) up: fn(step: &str) -> String,
    pub(crate) down: fn(step: &str) -> String,
    pub(crate) take_out: fn(step: &str) -> String,
    pub(crate) up_face: &'static str,
    pub(crate) down_face: &'static str,
    pub(crate) take_out_face: &'static str,
    pub(crate) add: &'static str,
    pub(crate) what_next: &'static str,
    pub(crate) start: &'static str,
    pub(crate) name: &'static str,
    pub(crate) start_speed: &'static str,
    pub(crate) start_speed_hint: &'static str,
    pub(crate) lines: &'static str,
    pub(crate) clean: &'static str,
    pub(crate) charged: &'static str,
    pub(crate) pump: &'static str,
    pub(crate) pump_n: fn(n: u32, name: &str) -> String,
    pub(crate) least: &'static str,
    pub(crate) greatest: &'static str,
    pub(crate) limit_hint: fn(usual: &str) -> String,
    pub(crate) remove: &'static str,
    pub(crate) settle: &'static str,
    pub(crate) settle_hint: &'static str,
    pub(crate) settle_label: fn(path: &str) -> &'static str,
    pub(crate) settle_usual: fn(seconds: &str) -> String,
    pub(crate) at_switch: &'static str,
    pub(crate) keeps_pressure: &'static str,
    pub(crate) keeps_flow: &'static str,
    pub(crate) wrong: fn(&Wrong, speed: &str) -> String,
    pub(crate) step_wrong: fn(step: &str, problem: &str) -> String,
    pub(crate) no_steps: &'static str,
    pub(crate) no_carrier_rate: &'static str,
    pub(crate) no_pump: fn(n: u32) -> String,
    pub(crate) no_product_rate: fn(n: u32) -> String,
    pub(crate) no_plumbing: &'static str,
    pub(crate) to_plumbing: &'static str,
    pub(crate) to_rig: &'static str,
    pub(crate) refused: fn(&PassError) -> &'static str,
    pub(crate) refused_at: fn(seconds: &str, why: &str) -> String,
    pub(crate) refused_otherwise: &'static str,
    pub(crate) working: &'static str,
    pub(crate) working_help: &'static str,
    pub(crate) stale: &'static str,
    pub(crate) picture: &'static str,
    pub(crate) picture_of: &'static str,
    pub(crate) product: &'static str,
    pub(crate) carrier: &'static str,
    pub(crate) picture_label: fn(of: &str, length: &str, nozzles: usize) -> String,
    pub(crate) picture_hint: &'static str,
    pub(crate) along: &'static str,
    pub(crate) across: &'static str,
    pub(crate) reading: fn(place: &str, nozzle: usize, of: usize, section: &str) -> String,
    pub(crate) reading_dose: fn(step: &str, share: &str, dose: &str, carrier: &str, rate: &str) -> String,
    pub(crate) reading_none: &'static str,
    pub(crate) scale: &'static str,
    pub(crate) under: fn(to: &str) -> String,
    pub(crate) between: fn(from: &str, to: &str) -> String,
    pub(crate) over: fn(from: &str) -> String,
    pub(crate) on_target: fn(range: &str) -> String,
    pub(crate) above_label: &'static str,
    pub(crate) not_sprayed: &'static str,
    pub(crate) is_under: &'static str,
    pub(crate) is_on: &'static str,
    pub(crate) is_over: &'static str,
    pub(crate) is_above_label: &'static str,
    pub(crate) along_track: &'static str,
    pub(crate) stretch: &'static str,
    pub(crate) least_here: &'static str,
    pub(crate) mean_here: &'static str,
    pub(crate) greatest_here: &'static str,
    pub(crate) areas: &'static str,
    pub(crate) areas_under: &'static str,
    pub(crate) areas_on: &'static str,
    pub(crate) areas_over: &'static str,
    pub(crate) areas_label: &'static str,
    pub(crate) areas_label_of: fn(label: &str) -> String,
    pub(crate) areas_no_label: &'static str,
    pub(crate) areas_mean: &'static str,
    pub(crate) summary: fn(on: &str, under: &str, over: &str) -> String,
    pub(crate) first_product: fn(length: &str) -> String,
    pub(crate) no_product: &'static str,
    pub(crate) extremes: fn(greatest: &str, greatest_at: &str, least: &str, least_at: &str) -> String,
    pub(crate) balance: &'static str,
    pub(crate) balance_start: &'static str,
    pub(crate) balance_in: &'static str,
    pub(crate) balance_ground: &'static str,
    pub(crate) balance_lines: &'static str,
    pub(crate) balance_error: &'static str,
    pub(crate) wanted: fn(wanted: &str, landed: &str) -> String,
    pub(crate) in_numbers: &'static str,
    pub(crate) against_time: &'static str,
    pub(crate) speed: &'static str,
    pub(crate) flow: &'static str,
    pub(crate) pressure: &'static str,
    pub(crate) pressure_key: &'static str,
    pub(crate) pump_output: &'static str,
    pub(crate) chart: fn(what: &str, unit: &str) -> String,
    pub(crate) chart_text: fn(what: &str, least: &str, greatest: &str, time: &str) -> String,
    pub(crate) time: &'static str,
    pub(crate) at_nozzles: &'static str,
    pub(crate) at_supply: &'static str,
    pub(crate) help: &'static str,
    pub(crate) help_lead: fn(on: &str) -> String,
    pub(crate) help_none: &'static str,
    pub(crate) remedy: fn(&Remedy, amount: &str) -> String,
    pub(crate) brought: fn(gain: &str, on: &str, under: &str, over: &str) -> String,
    pub(crate) brings_nothing: &'static str,
    pub(crate) brought_label: fn(share: &str) -> String,
    pub(crate) brought_pressure: fn(nozzles: &str, supply: &str) -> String,
    pub(crate) small_lines: fn(n: usize, worst: &str) -> String,
    pub(crate) small_section: fn(section: usize, drop: &str) -> String,
    pub(crate) small_pipe: fn(pipe: &str, velocity: &str) -> String,
    pub(crate) help_failed: &'static str,
    pub(crate) foot: &'static str,
}

fn w() -> &'static PassWords {
    &words().pass
}

/// A distance along the track.
pub(crate) fn length_text(length: Length, shown_in: Shown) -> String {
    let decimals = usize::from(length.in_unit(shown_in.length) < 100.0);
    format!("{}\u{a0}{}", number::number(length.in_unit(shown_in.length), decimals), shown_in.length.symbol())
}

/// A time since the start.
pub(crate) fn time_text(time: Duration) -> String {
    format!(
        "{}\u{a0}{}",
        number::number(time.as_s(), usize::from(time.as_s() < 100.0)),
        DurationUnit::Second.symbol()
    )
}

/// Unit of a pump's output.
pub(crate) const fn output_unit(shown_in: Shown) -> FlowRateUnit {
    match shown_in.system {
        System::Us => FlowRateUnit::UsFluidOuncePerMinute,
        System::Metric => FlowRateUnit::MillilitrePerMinute,
    }
}

/// What is wrong with a step.
pub(crate) fn step_problem(problem: &StepProblem, shown_in: Shown) -> String {
    let hold = match problem.wrong {
        Wrong::NotBelowHold(hold) => number::quantity(hold, shown_in.speed, 3),
        _ => String::new(),
    };
    (w().wrong)(&problem.wrong, &hold)
}

/// What keeps a pass from being worked out. `step` names a step by its key.
pub(crate) fn problem_text(problem: &PassProblem, step: impl Fn(&str) -> String, shown_in: Shown) -> String {
    match problem {
        PassProblem::NoSteps => w().no_steps.to_owned(),
        PassProblem::Step(problem) => (w().step_wrong)(&step(&problem.key), &step_problem(problem, shown_in)),
        PassProblem::Field(path, problem) => {
            let label = path_text(path);
            (w().step_wrong)(&label, &super::problem::field_problem(problem, shown_in.system))
        }
        PassProblem::NoCarrierRate => w().no_carrier_rate.to_owned(),
        PassProblem::NoPump(n) => (w().no_pump)(*n),
        PassProblem::NoProductRate(n) => (w().no_product_rate)(*n),
        PassProblem::Refused(error) => (w().refused)(error).to_owned(),
    }
}

/// What the simulation refused.
pub(crate) fn refused_text(problem: &RemedyError, shown_in: Shown) -> String {
    let trouble = |trouble| trouble_text(&trouble, None, shown_in);
    match problem {
        RemedyError::Pass(PassError::Hydraulics { at, problem }) => {
            (w().refused_at)(&time_text(*at), &trouble(Trouble::State(problem.clone())))
        }
        RemedyError::Pass(error) => (w().refused)(error).to_owned(),
        RemedyError::Network(error) => trouble(Trouble::Network(error.clone())),
        _ => w().refused_otherwise.to_owned(),
    }
}

/// Why the lines are not known, in a few sentences.
pub(crate) fn lines_texts(troubles: &[Trouble], shown_in: Shown) -> Vec<String> {
    const MOST: usize = 4;
    let lead = std::iter::once(w().no_plumbing.to_owned());
    lead.chain(troubles.iter().take(MOST).map(|trouble| trouble_text(trouble, None, shown_in))).collect()
}

/// What a path of a drive is called.
pub(crate) fn path_text(path: &str) -> String {
    let w = w();
    let label = match path {
        "name" => w.name,
        "start.speed" => w.start_speed,
        "start.lines" => w.lines,
        "pump" => w.pump,
        "limit.least" => w.least,
        "limit.greatest" => w.greatest,
        path if path.starts_with("settle.") => (w.settle_label)(path),
        _ => {
            let parts: Vec<&str> = path.split('.').collect();
            return match parts.as_slice() {
                ["step", key, "do" | "order" | "removed"] => (w.step)(key.parse().unwrap_or(0), w.drive),
                ["step", _, "boom"] => w.boom.to_owned(),
                ["step", _, field] => (w.field)(None, field).0.to_owned(),
                _ => path.to_owned(),
            };
        }
    };
    label.to_owned()
}

/// A choice of a drive, by its stored word.
pub(crate) fn choice_text(stored: &str) -> String {
    let w = w();
    let text = match stored {
        "clean" => w.clean,
        "charged" => w.charged,
        "off" => w.boom_off,
        "on" => w.boom_on,
        code => StepKind::from_code(code).map_or(w.unknown_kind, w.kind),
    };
    text.to_owned()
}

/// A step of the scale with its shares.
pub(crate) fn step_text(step: u8, limits: DoseLimits) -> String {
    let w = w();
    let edges = edges(limits).map(|share| number::percent(share.as_fraction(), 3));
    let edge = |idx: usize| edges.get(idx).map_or("", String::as_str);
    match step {
        0 => (w.under)(edge(0)),
        ON_TARGET => (w.on_target)(&(w.between)(edge(2), edge(3))),
        6 => (w.over)(edge(5)),
        ABOVE_LABEL => w.above_label.to_owned(),
        NOT_SPRAYED => w.not_sprayed.to_owned(),
        _ => (w.between)(edge(usize::from(step) - 1), edge(usize::from(step))),
    }
}

/// A step of the scale in a word.
fn step_word(step: u8) -> &'static str {
    let w = w();
    match step {
        ON_TARGET => w.is_on,
        ABOVE_LABEL => w.is_above_label,
        0..ON_TARGET => w.is_under,
        _ => w.is_over,
    }
}

/// What a tile of the picture got.
pub(crate) fn reading_text(
    digest: &Digest,
    network: &Network,
    of: Of,
    nozzle: usize,
    cell: usize,
    shown_in: Shown,
) -> String {
    let w = w();
    let outcome = &digest.outcome;
    let section = network.nozzles.get(nozzle).and_then(|nozzle| nozzle.section.as_deref()).unwrap_or("–");
    let place = (w.reading)(
        &length_text(outcome.cell_from(cell), shown_in),
        nozzle + 1,
        outcome.n_nozzles(),
        section,
    );
    let Some(dose) = digest.at(nozzle, cell) else { return format!("{place} {}", w.reading_none) };
    let told = (w.reading_dose)(
        step_word(digest.step_at(of, nozzle, cell)),
        &share_text(dose.dose),
        &number::quantity(dose.product, reach::product_unit(shown_in.rate), 3),
        &share_text(dose.carrier_share),
        &number::quantity(dose.carrier, shown_in.rate, 3),
    );
    format!("{place} {told}")
}

/// A share to whole percent, finer where it is small.
pub(crate) fn share_text(share: Share) -> String {
    number::percent(share.as_fraction(), 3)
}

/// Cells of a line of the table along the track.
pub(crate) fn stretch_cells(stretch: &Stretch, shown_in: Shown) -> [String; 4] {
    let place = (w().between)(&length_text(stretch.from, shown_in), &length_text(stretch.to, shown_in));
    let [least, mean, greatest] =
        stretch.shares.map_or_else(|| [(); 3].map(|()| "–".to_owned()), |shares| shares.map(share_text));
    [place, least, mean, greatest]
}

/// The greatest and the least dose, and where they lie.
pub(crate) fn extremes_text(digest: &Digest, shown_in: Shown) -> Option<String> {
    let (greatest, least) = digest.extremes?;
    let place = |cell: usize| length_text(digest.outcome.cell_from(cell), shown_in);
    Some((w().extremes)(
        &share_text(greatest.dose.dose),
        &place(greatest.cell),
        &share_text(least.dose.dose),
        &place(least.cell),
    ))
}

/// Shares of area as lines of a table.
pub(crate) fn area_rows(areas: &AreaShares, has_label: bool) -> Vec<(&'static str, String)> {
    let w = w();
    let mut rows = vec![
        (w.areas_under, share_text(areas.under)),
        (w.areas_on, share_text(areas.on)),
        (w.areas_over, share_text(areas.over)),
    ];
    if has_label {
        rows.push((w.areas_label, share_text(areas.above_label)));
    }
    rows.push((w.areas_mean, share_text(areas.mean)));
    rows
}

/// How far a balance is from closing; less than a billionth is rounding.
pub(crate) fn closing_text(error: f64) -> String {
    const ROUNDING: f64 = 1e-9;
    if error.abs() < ROUNDING {
        format!("< {}", number::percent(ROUNDING, 1))
    } else {
        number::signed_percent(error, 6)
    }
}

/// Shares of area in a line.
pub(crate) fn summary_text(areas: &AreaShares) -> String {
    (w().summary)(&share_text(areas.on), &share_text(areas.under), &share_text(areas.over))
}

/// A remedy by its name.
pub(crate) fn remedy_text(remedy: &Remedy, shown_in: Shown) -> String {
    let amount = match remedy {
        Remedy::LeadIn { distance } => length_text(*distance, shown_in),
        Remedy::SmallerBore { times } => number::percent(*times, 3),
        Remedy::SteadierSpeed { share } => share_text(*share),
        Remedy::HigherCarrierRate { rate } => number::quantity(*rate, shown_in.rate, 3),
        Remedy::InjectionNearer { .. } => String::new(),
    };
    (w().remedy)(remedy, &amount)
}

/// What a remedy brings, line by line. Lines that are too small already, so many, are not its fault.
pub(crate) fn brought_texts(
    tried: &Tried,
    n_small_already: usize,
    network: &Network,
    shown_in: Shown,
) -> Vec<String> {
    let w = w();
    let Ok(brought) = &tried.result else { return vec![w.help_failed.to_owned()] };
    let Brought { shares, gain, .. } = brought;
    let mut lines = vec![(w.brought)(
        &number::signed_percent(gain.as_fraction(), 1),
        &share_text(shares.on),
        &share_text(shares.under),
        &share_text(shares.over),
    )];
    // What rounds to nothing in the line above brings nothing.
    const NOTHING: f64 = 0.0005;
    if gain.as_fraction() < NOTHING {
        lines.push(w.brings_nothing.to_owned());
    }
    if 0.0 < shares.above_label.as_fraction() {
        lines.push((w.brought_label)(&share_text(shares.above_label)));
    }
    if let (Some(nozzles), Some(supply)) =
        (brought.greatest_nozzle_pressure, brought.greatest_supply_pressure)
    {
        let text = |pressure| number::quantity(pressure, shown_in.pressure, 3);
        lines.push((w.brought_pressure)(&text(nozzles), &text(supply)));
    }
    if n_small_already < brought.small_lines.len()
        && let Some(worst) = worst_line(&brought.small_lines, network, shown_in)
    {
        lines.push((w.small_lines)(brought.small_lines.len(), &worst));
    }
    lines
}

/// The line that is too small by most, fast ones first.
fn worst_line(warnings: &[LineWarning], network: &Network, shown_in: Shown) -> Option<String> {
    let velocity = |warning: &LineWarning| match warning {
        LineWarning::Velocity { velocity, .. } => velocity.as_m_per_s(),
        _ => 0.0,
    };
    let worst = warnings.iter().reduce(|a, b| if velocity(a) < velocity(b) { b } else { a })?;
    Some(match worst {
        LineWarning::SectionDrop { section, drop, .. } => {
            (w().small_section)(section + 1, &share_text(*drop))
        }
        LineWarning::Velocity { pipe, velocity, .. } => {
            let name = network.pipes.get(*pipe).map_or_else(String::new, |pipe| pipe_text(&pipe.id));
            (w().small_pipe)(&name, &number::quantity(*velocity, shown_in.velocity, 3))
        }
        _ => return None,
    })
}
