//! Small parts, in English.

use crate::text::parts::{BoomWords, ChartWords, StopwatchWords};

pub(super) const STOPWATCH: StopwatchWords =
    StopwatchWords { title: "Stopwatch", start: "Start", stop: "Stop" };

pub(super) const BOOM: BoomWords = BoomWords {
    section: |number, label, on| format!("section {number}, {label}, {}", if on { "on" } else { "off" }),
    summary: |sections| format!("The boom seen from behind, left to right: {sections}."),
};

pub(super) const CHART: ChartWords = ChartWords {
    dots: |runs, best, tolerance| {
        format!(
            "{runs} runs as dots; best estimate of the error {best}; tolerance {tolerance} either side of zero."
        )
    },
};
