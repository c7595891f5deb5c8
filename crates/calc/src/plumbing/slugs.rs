//! Plug flow through one pipe and through one junction, exact in volume.
//!
//! Flows stand still between changes of state, so the volume that has passed a pipe is a broken line over time. A front
//! enters at one volume and leaves when one pipe content more has passed: two look-ups, no clock step. In which order the
//! pipes of a network are taken, and who asks, is in [`super::tracker`].

/// From here on this share of concentrate. The first of a line tells what stands there at the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Step {
    pub(crate) t_s: f64,
    pub(crate) share: f64,
    /// The state in which it was released; [`AT_START`] for what was there before.
    pub(crate) state: u32,
}

/// Mark of liquid that was there before the first state.
pub(crate) const AT_START: u32 = u32::MAX;

/// Flow through one pipe, state by state; the last state has no end.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Passing<'a> {
    /// When each state begins.
    pub(crate) starts_s: &'a [f64],
    /// Flow in each state, ≥ 0, in the direction in which the pipe is passed.
    pub(crate) q_m3_s: &'a [f64],
}

impl Passing<'_> {
    /// Volume passed when each state begins.
    fn passed(&self, into: &mut Vec<f64>) {
        into.clear();
        let mut v = 0.0;
        for (idx, &q) in self.q_m3_s.iter().enumerate() {
            into.push(v);
            if let [from, to, ..] = self.starts_s[idx..] {
                v += q * (to - from);
            }
        }
    }
}

/// Walks forward through time and tells the volume passed.
struct VolumeAt<'a> {
    passing: Passing<'a>,
    passed: &'a [f64],
    state: usize,
}

impl VolumeAt<'_> {
    fn at(&mut self, t_s: f64) -> f64 {
        let starts = self.passing.starts_s;
        while self.state + 1 < starts.len() && starts[self.state + 1] <= t_s {
            self.state += 1;
        }
        self.passed[self.state] + self.passing.q_m3_s[self.state] * (t_s - starts[self.state])
    }
}

/// Walks forward through volume and tells the time. A volume at which the flow stood still belongs to the moment at which
/// it moves on.
struct TimeAt<'a> {
    passing: Passing<'a>,
    passed: &'a [f64],
    state: usize,
}

impl TimeAt<'_> {
    fn at(&mut self, v_m3: f64) -> Option<f64> {
        while self.state + 1 < self.passed.len() && self.passed[self.state + 1] <= v_m3 {
            self.state += 1;
        }
        let q = self.passing.q_m3_s[self.state];
        (0.0 < q).then(|| self.passing.starts_s[self.state] + (v_m3 - self.passed[self.state]) / q)
    }
}

/// What leaves a pipe, from what enters it. Fronts that arrive after `until_s` are left out.
///
/// A front that waited at the mouth of a standing pipe until the next had caught up takes up no volume and is dropped.
pub(crate) fn through_pipe(
    inlet: &[Step],
    passing: Passing,
    content_m3: f64,
    start_share: f64,
    until_s: f64,
    passed: &mut Vec<f64>,
) -> Vec<Step> {
    passing.passed(passed);
    let mut enters = VolumeAt { passing, passed, state: 0 };
    let mut leaves = TimeAt { passing, passed, state: 0 };
    let mut out = Vec::with_capacity(inlet.len() + 1);
    let start_s = passing.starts_s.first().copied().unwrap_or(0.0);
    out.push(Step { t_s: start_s, share: start_share, state: AT_START });
    let mut next_v = inlet.first().map_or(0.0, |first| enters.at(first.t_s));
    for (idx, front) in inlet.iter().enumerate() {
        let v = next_v;
        if let Some(next) = inlet.get(idx + 1) {
            next_v = enters.at(next.t_s);
            if next_v <= v {
                continue;
            }
        }
        let Some(t_s) = leaves.at(v + content_m3) else { break };
        let t_s = t_s.max(front.t_s);
        if until_s < t_s {
            break;
        }
        push(&mut out, Step { t_s, ..*front });
    }
    out
}

/// Share of concentrate times volume, over what a pipe holds at a time; and, if asked for, each slug from the mouth on.
pub(crate) fn held(
    inlet: &[Step],
    passing: Passing,
    content_m3: f64,
    start_share: f64,
    t_s: f64,
    mut each_slug: impl FnMut(f64, f64),
) {
    let mut passed = Vec::with_capacity(passing.starts_s.len());
    passing.passed(&mut passed);
    let now = VolumeAt { passing, passed: &passed, state: 0 }.at(t_s);
    let mut enters = VolumeAt { passing, passed: &passed, state: 0 };
    let entered: Vec<f64> = inlet.iter().map(|front| enters.at(front.t_s.min(t_s))).collect();
    let oldest = now - content_m3;
    let mut newest = now;
    for (front, &v) in inlet.iter().zip(&entered).rev().filter(|(front, _)| front.t_s <= t_s) {
        let from = v.max(oldest);
        if from < newest {
            each_slug(newest - from, front.share);
            newest = from;
        }
        if v <= oldest {
            break;
        }
    }
    let before = newest.min(0.0) - oldest;
    if 0.0 < before {
        each_slug(before, start_share);
    }
}

/// One of the flows that join at a junction.
pub(crate) struct Inflow<'a> {
    pub(crate) line: &'a [Step],
    pub(crate) q_m3_s: &'a [f64],
}

/// What leaves a junction: product and liquid of all inflows and of the injection pump, put together by volume.
///
/// Every state releases a front at the injection point, even one that changes nothing; elsewhere only a change is one.
/// While nothing flows, what stood there last stands there still.
pub(crate) fn mixed(starts_s: &[f64], inflows: &[Inflow], injected_m3_s: Option<&[f64]>) -> Vec<Step> {
    let mut out: Vec<Step> = Vec::new();
    let mut places = vec![0; inflows.len()];
    let mut state = 0;
    let mut t_s = starts_s.first().copied().unwrap_or(0.0);
    let at_start = inflows.first().and_then(|inflow| inflow.line.first()).map_or(0.0, |step| step.share);
    out.push(Step { t_s, share: at_start, state: AT_START });
    let mut tag = Some(0);
    let mut is_release = injected_m3_s.is_some();
    loop {
        // Everything that happens at this very moment is taken in before the mixture is worked out.
        for (inflow, place) in inflows.iter().zip(&mut places) {
            while let Some(next) = inflow.line.get(*place + 1).filter(|next| next.t_s <= t_s) {
                *place += 1;
                tag = tag.or((next.state != AT_START).then_some(next.state));
            }
        }
        let (mut liquid, mut product) =
            injected_m3_s.map_or((0.0, 0.0), |injected| (injected[state], injected[state]));
        for (inflow, &place) in inflows.iter().zip(&places) {
            liquid += inflow.q_m3_s[state];
            product += inflow.q_m3_s[state] * inflow.line.get(place).map_or(0.0, |step| step.share);
        }
        let share = product / liquid;
        if 0.0 < liquid && (is_release || out.last().is_none_or(|last| last.share != share)) {
            push(&mut out, Step { t_s, share, state: tag.unwrap_or(AT_START) });
        }
        let next_state_s = starts_s.get(state + 1).copied().unwrap_or(f64::INFINITY);
        let next_front_s = inflows
            .iter()
            .zip(&places)
            .filter_map(|(inflow, &place)| inflow.line.get(place + 1))
            .fold(f64::INFINITY, |soonest, step| soonest.min(step.t_s));
        t_s = next_state_s.min(next_front_s);
        if t_s == f64::INFINITY {
            return out;
        }
        tag = None;
        is_release = false;
        if next_state_s <= t_s {
            state += 1;
            is_release = injected_m3_s.is_some();
            tag = u32::try_from(state).ok();
        }
    }
}

/// Of several at one moment only the last is ever seen; liquid that was there before and changes nothing is no front.
fn push(out: &mut Vec<Step>, step: Step) {
    match out.last_mut() {
        Some(last) if step.state == AT_START && last.share == step.share => {}
        Some(last) if last.t_s == step.t_s => *last = step,
        _ => out.push(step),
    }
}
