//! What small parts say that stand on many screens: the stopwatch, the boom drawing, charts.

pub(crate) struct StopwatchWords {
    pub(crate) title: &'static str,
    pub(crate) start: &'static str,
    pub(crate) stop: &'static str,
}

pub(crate) struct BoomWords {
    pub(crate) section: fn(number: usize, label: &str, on: bool) -> String,
    pub(crate) summary: fn(sections: &str) -> String,
}

pub(crate) struct ChartWords {
    pub(crate) dots: fn(runs: usize, best: &str, tolerance: &str) -> String,
}
