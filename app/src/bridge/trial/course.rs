//! A course trial, by the console's distance or by its speed against a stopwatch.

use super::{
    Judged, More, Obstacle, decimals, keyed, next_in, numbered, refused, run_field, setup, setup_needed,
    setup_number, tolerance,
};
use crate::bridge::rig::step_of;
use calc::course_trial::{
    Course, CourseTrial, Direction, DistanceReading, DistanceRun, SpeedReading, Stopwatch, TimedRun, Wheel,
    WheelTrial, by_distance, by_stopwatch, by_wheel,
};
use calc::keyin::KeyedPulses;
use calc::verdict::Tolerance;
use records::fields::FieldProblem;
use records::rig::RigView;
use records::trial::{RunView, TrialView};
use units::{Duration, KeyInStep, Length, LengthUnit, Speed};

/// Works the trial out as far as it goes.
pub(crate) fn judge(view: &TrialView<'_>, rig: Option<&RigView>) -> Result<Judged, Obstacle> {
    let step = rig.and_then(|rig| step_of(rig, "course"));
    let keyed = keyed::<LengthUnit>(view, step)?;
    let tolerance = tolerance(view, Tolerance::RATE_CONTROL)?;
    if view.doc().text("setup.way") == Some("wheel") {
        return by_turns(view, keyed, step, tolerance);
    }
    let length = setup::<Length>(view, "course")?
        .ok_or(Obstacle::Setup { field: "course", problem: FieldProblem::Missing })?;
    let course = Course {
        length: length.value,
        tape_step: setup_needed(view, "tape_step")?,
        tape_tolerance: setup_needed(view, "tape_tolerance")?,
        marks: setup_needed(view, "marks")?,
    };
    let numbers: Vec<usize> = numbered(view).map(|(number, _)| number).collect();
    let outcome = if view.doc().text("setup.way") == Some("stopwatch") {
        let mut runs = Vec::new();
        for (number, run) in numbered(view) {
            runs.push(TimedRun {
                indicated: run_field::<Speed>(run, number, "speed")?.value,
                time: run_field::<Duration>(run, number, "seconds")?.value,
                direction: direction(run),
            });
        }
        let stopwatch = match setup::<Duration>(view, "stopwatch")? {
            Some(hand) => Stopwatch { hand: hand.value, ..Stopwatch::BY_HAND },
            None => Stopwatch::BY_HAND,
        };
        let reading = SpeedReading { console_step: setup_needed(view, "speed_step")?, stopwatch };
        by_stopwatch(&CourseTrial { keyed, course, runs, reading, tolerance })
    } else {
        let mut runs = Vec::new();
        for (number, run) in numbered(view) {
            let indicated = run_field::<Length>(run, number, "distance")?.value;
            runs.push(DistanceRun { indicated, direction: direction(run) });
        }
        let reading = DistanceReading { console_step: setup_needed(view, "length_step")? };
        by_distance(&CourseTrial { keyed, course, runs, reading, tolerance })
    };
    let outcome = outcome.map_err(|error| refused(error, &numbers))?;
    Ok(Judged {
        decimals: decimals(&outcome.corrected, step),
        next: next_in(outcome.next, length.unit),
        number: outcome.corrected,
        convention: keyed.convention.code(),
        numbers,
        more: outcome.directions.map_or(More::Nothing, More::Directions),
        ratio: outcome.ratio,
    })
}

/// The wheel rolled beside a tape.
fn by_turns(
    view: &TrialView<'_>,
    keyed: KeyedPulses<LengthUnit>,
    step: Option<KeyInStep>,
    tolerance: Tolerance,
) -> Result<Judged, Obstacle> {
    let mut unit = LengthUnit::Metre;
    let (mut rolled, mut numbers) = (Vec::new(), Vec::new());
    for (number, run) in numbered(view) {
        let taped = run_field::<Length>(run, number, "taped")?;
        unit = taped.unit;
        rolled.push(taped.value);
        numbers.push(number);
    }
    if rolled.is_empty() {
        return Err(Obstacle::NoRuns);
    }
    let wheel = Wheel {
        rolled,
        turns: setup_number(view, "turns")?,
        pulses_per_turn: setup_number(view, "pulses_per_turn")?,
        tape_step: setup_needed(view, "tape_step")?,
        tape_tolerance: setup_needed(view, "tape_tolerance")?,
    };
    let outcome =
        by_wheel(&WheelTrial { keyed, wheel, tolerance }).map_err(|error| refused(error, &numbers))?;
    let course = outcome.course;
    Ok(Judged {
        decimals: decimals(&course.corrected, step),
        next: next_in(course.next, unit),
        number: course.corrected,
        convention: keyed.convention.code(),
        numbers,
        more: More::Wheel(Box::new(outcome.wheel), unit),
        ratio: course.ratio,
    })
}

fn direction(run: &RunView<'_>) -> Direction {
    if run.text("direction") == Some("back") { Direction::Back } else { Direction::Out }
}
