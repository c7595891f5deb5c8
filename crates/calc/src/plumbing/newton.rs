//! The solver's inner loop: Newton's method on a tree, every step solved exactly in two walks over the pipes.
//!
//! Unknown are the flow in each pipe and the head `H = P + ρ g z` at each spot. For a pipe with loss `h(q)` and slope
//! `r = h′(q)` at the flow of the step before, the new flow obeys `H_feeder − H = r q − s` with `s = r q_old − h(q_old)`;
//! for a nozzle likewise against the pressure outside. This is the global gradient step of E. Todini and S. Pilati,
//! *A gradient algorithm for the analysis of pipe networks*, in *Computer Applications in Water Supply*, vol. 1 (1988),
//! as EPANET takes it. On a tree it needs no matrix: what a branch takes in is `a + b H_feeder`, found from the ends
//! towards the supply; heads then follow outwards. Written with `r` and not `1/r`, a pipe without loss does no harm.

use super::friction::Curve;

/// Loss of one pipe against its flow.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PipeLaw {
    /// Reynolds number per flow, s/m³.
    pub(super) re_per_m3_s: f64,
    /// Dynamic pressure per flow squared: `ρ/(2 A²)`.
    pub(super) head_per_q2: f64,
    /// Length over bore.
    pub(super) l_over_d: f64,
    /// Loss coefficient of fittings.
    pub(super) minor_k: f64,
    /// Friction factor against Reynolds number.
    pub(super) curve: Curve,
}

impl PipeLaw {
    /// Loss in pascals and its slope at a flow, odd in the flow.
    fn loss_and_slope(&self, q: f64) -> (f64, f64) {
        let size = q.abs();
        let re = self.re_per_m3_s * size;
        let c = self.head_per_q2;
        if re <= super::friction::RE_LAMINAR_MAX {
            let linear = 64.0 * self.l_over_d * c / self.re_per_m3_s;
            return (q * (linear + self.minor_k * c * size), linear + 2.0 * self.minor_k * c * size);
        }
        let (f, f_slope) = self.curve.at(re);
        let k = f * self.l_over_d + self.minor_k;
        let slope = c * size * (2.0 * k + re * f_slope * self.l_over_d);
        (k * c * size * q, slope)
    }

    /// Loss in pascals at a flow, odd in the flow.
    pub(super) fn loss(&self, q: f64) -> f64 {
        self.loss_and_slope(q).0
    }
}

/// What holds the network to one state.
#[derive(Clone, Copy, Debug)]
pub(super) enum Hold {
    /// Carrier into the root.
    Carrier(f64),
    /// Head at the root.
    RootHead(f64),
    /// Head at another spot.
    HeadAt(usize, f64),
}

/// Numbers of the network that no state changes. Spots in order, each after its feeder.
#[derive(Clone, Debug)]
pub(crate) struct Numbers {
    pub(super) feeder: Vec<usize>,
    pub(super) laws: Vec<PipeLaw>,
    /// Sum of the flow coefficients of the nozzles at a spot.
    pub(super) nozzle_k: Vec<f64>,
    /// `ρ g z`.
    pub(crate) height_pa: Vec<f64>,
    /// Largest size of `ρ g z` at any nozzle.
    pub(super) tallest_nozzle_pa: f64,
}

/// One state: in with a guess of flows, out with the answer. Kept between solves, its flows are the next guess.
#[derive(Clone, Debug, Default)]
pub(crate) struct Flows {
    /// By spot: fed at all, that is not behind a shut inlet.
    pub(crate) is_fed: Vec<bool>,
    /// By spot: flow in the pipe from the feeder, away from the supply.
    pub(crate) pipe: Vec<f64>,
    /// By spot: flow of its nozzles.
    pub(crate) nozzle: Vec<f64>,
    /// By spot: its nozzles stand still because the pressure there is below zero.
    pub(crate) is_dry: Vec<bool>,
    /// By spot: head.
    pub(crate) head: Vec<f64>,
    /// Flow into the root.
    pub(crate) carrier: f64,
    steps: Vec<Step>,
}

/// The straight line that stands for a spot within one step.
#[derive(Clone, Copy, Debug, Default)]
struct Step {
    /// What the branch from here on takes in: `a + b H` in terms of this spot's head, …
    a_here: f64,
    b_here: f64,
    /// … and in terms of its feeder's head.
    a: f64,
    b: f64,
    r: f64,
    s: f64,
    r_nozzle: f64,
    s_nozzle: f64,
}

/// How an iteration ended.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ended {
    pub(super) n_steps: u32,
    /// Largest change of a flow in the last step, relative to that flow.
    pub(super) last_change: f64,
}

/// A flow changes by less than this, relative to itself, in the last step. The error left is of the order of the square.
const ENOUGH: f64 = 1e-8;
/// Below this change the steps converge with the square of it.
pub(super) const NEAR: f64 = 1e-6;
/// Pressure over the largest head below which there is nothing but rounding.
const GRAIN: f64 = 1e-13;
const MOST_STEPS: u32 = 200;

impl Numbers {
    pub(super) fn len(&self) -> usize {
        self.feeder.len()
    }

    /// Guess for a carrier flow: shared out by the nozzles' coefficients.
    pub(super) fn guess_from_flow(&self, flows: &mut Flows, carrier: f64, injection: Option<(usize, f64)>) {
        let injected = injection.map_or(0.0, |(_, q)| q);
        let k_sum: f64 = (0..self.len()).filter(|&i| flows.is_fed[i]).map(|i| self.nozzle_k[i]).sum();
        let root_p = ((carrier + injected) / k_sum).powi(2);
        self.guess_from_pressure(flows, root_p, injection);
    }

    /// Guess for a pressure that is the same at all nozzles.
    pub(super) fn guess_from_pressure(&self, flows: &mut Flows, p: f64, injection: Option<(usize, f64)>) {
        let n = self.len();
        flows.pipe.clear();
        flows.pipe.resize(n, 0.0);
        flows.nozzle.clear();
        flows.nozzle.resize(n, 0.0);
        flows.is_dry.clear();
        flows.is_dry.resize(n, false);
        flows.head.resize(n, 0.0);
        flows.steps.resize(n, Step::default());
        if let Some((spot, q)) = injection {
            flows.pipe[spot] -= q;
        }
        for i in (0..n).rev().filter(|&i| flows.is_fed[i]) {
            flows.nozzle[i] = self.nozzle_k[i] * p.max(1e-6).sqrt();
            flows.pipe[i] += flows.nozzle[i];
            if i != 0 {
                flows.pipe[self.feeder[i]] += flows.pipe[i];
            }
        }
        flows.carrier = flows.pipe[0];
    }

    /// Steps until the flows stand. Whether they stand is for the caller to judge.
    pub(super) fn iterate(&self, flows: &mut Flows, hold: Hold, injection: Option<(usize, f64)>) -> Ended {
        let mut ended = Ended { n_steps: 0, last_change: f64::INFINITY };
        let mut damping = 1.0;
        while ended.n_steps < MOST_STEPS {
            self.fold(flows, injection);
            self.set_root(flows, hold);
            let total = flows.carrier.abs() + injection.map_or(0.0, |(_, q)| q);
            let all_at_once = ended.n_steps < 40;
            let change = self.unfold(flows, damping, 1e-12 * total + f64::MIN_POSITIVE, all_at_once);
            ended.n_steps += 1;
            if change == f64::INFINITY && matches!(hold, Hold::Carrier(_)) {
                self.keep_one_open(flows, total);
            }
            // Losses are convex but for part of the transition range, so full steps do. Where they swing to and fro across that
            // part, every other step goes half the way.
            let is_swinging =
                10 < ended.n_steps && damping == 1.0 && 0.5 * ended.last_change < change && change < 0.9;
            // Small already and no longer getting smaller: what is left is rounding.
            let is_rounding = damping == 1.0 && change < NEAR && ended.last_change < 4.0 * change;
            ended.last_change = change;
            // Half a step leaves the other half of the error, so it is never the last.
            if damping == 1.0 && change <= ENOUGH || is_rounding {
                break;
            }
            damping = if is_swinging { 0.5 } else { 1.0 };
        }
        ended
    }

    /// Adds up the flows from the nozzles inwards, so that what enters a node leaves it to the last digit; a given carrier
    /// flow is met by a change of the nozzles' flows that is itself of the order of rounding.
    pub(super) fn add_up(&self, flows: &mut Flows, hold: Hold, injection: Option<(usize, f64)>) {
        let injected = injection.map_or(0.0, |(_, q)| q);
        let Flows { pipe, nozzle, carrier, .. } = flows;
        let sum: f64 = nozzle.iter().sum();
        if let Hold::Carrier(q) = hold
            && 0.0 < sum
        {
            let ratio = (q + injected) / sum;
            nozzle.iter_mut().for_each(|q| *q *= ratio);
        }
        pipe.copy_from_slice(nozzle);
        if let Some((spot, q)) = injection {
            pipe[spot] -= q;
        }
        for i in (1..self.len()).rev() {
            pipe[self.feeder[i]] += pipe[i];
        }
        // Between supply and injection point flows are differences; where nothing should flow, a grain of rounding is left.
        let mut at = injection.map_or(0, |(spot, _)| spot);
        while at != 0 {
            if pipe[at].abs() < 1e-12 * sum {
                pipe[at] = 0.0;
            }
            at = self.feeder[at];
        }
        *carrier = if let Hold::Carrier(q) = hold { q } else { pipe[0] };
    }

    /// From the ends to the root: what each branch takes in, as a straight line in its feeder's head.
    fn fold(&self, flows: &mut Flows, injection: Option<(usize, f64)>) {
        let Flows { is_fed, pipe, nozzle, is_dry, steps, .. } = flows;
        steps.fill(Step::default());
        if let Some((spot, q)) = injection {
            steps[spot].a_here -= q;
        }
        for i in (0..self.len()).rev() {
            if !is_fed[i] {
                continue;
            }
            let k = self.nozzle_k[i];
            let mut step = steps[i];
            if 0.0 < k && !is_dry[i] {
                let q = nozzle[i].max(f64::MIN_POSITIVE);
                step.r_nozzle = 2.0 * q / (k * k);
                step.s_nozzle = q * q / (k * k) - self.height_pa[i];
                step.a_here += step.s_nozzle / step.r_nozzle;
                step.b_here += 1.0 / step.r_nozzle;
            }
            if i != 0 {
                let (loss, slope) = self.laws[i].loss_and_slope(pipe[i]);
                step.r = slope;
                step.s = slope * pipe[i] - loss;
                let divisor = 1.0 + step.b_here * slope;
                step.a = (step.a_here + step.b_here * step.s) / divisor;
                step.b = step.b_here / divisor;
                let feeder = &mut steps[self.feeder[i]];
                feeder.a_here += step.a;
                feeder.b_here += step.b;
            }
            steps[i] = step;
        }
    }

    fn set_root(&self, flows: &mut Flows, hold: Hold) {
        let Step { a_here, b_here, .. } = flows.steps[0];
        flows.head[0] = match hold {
            Hold::RootHead(head) => head,
            Hold::Carrier(q) => (q - a_here) / b_here,
            Hold::HeadAt(spot, head) => {
                // The head at the spot is c + d × head at the root, put together along the way outwards.
                let (mut c, mut d) = (0.0, 1.0);
                let mut way = Vec::new();
                let mut at = spot;
                while at != 0 {
                    way.push(at);
                    at = self.feeder[at];
                }
                for &at in way.iter().rev() {
                    let Step { a, b, r, s, .. } = flows.steps[at];
                    (c, d) = (c * (1.0 - r * b) + s - r * a, d * (1.0 - r * b));
                }
                (head - c) / d
            }
        };
        flows.carrier = match hold {
            Hold::Carrier(q) => q,
            _ => a_here + b_here * flows.head[0],
        };
    }

    /// From the root to the ends: heads and new flows. Returns the largest relative change of a nozzle's flow (those of the
    /// pipes are sums of these); infinite where a nozzle fell dry or opened. Flows far below `scale` count as none.
    ///
    /// Nozzles that fall dry and open all at once can chase each other for ever; one at a time, the one furthest off,
    /// and only when all other flows nearly stand, they cannot.
    fn unfold(&self, flows: &mut Flows, damping: f64, scale: f64, all_at_once: bool) -> f64 {
        let Flows { is_fed, pipe, nozzle, is_dry, head, steps, .. } = flows;
        let mut change = 0.0_f64;
        let mut furthest = None;
        // Pressures are differences of heads and heights; below this they are rounding, and so is the flow that they make.
        let grain_pa = GRAIN * head[0].abs().max(self.tallest_nozzle_pa);
        for i in 0..self.len() {
            if !is_fed[i] {
                continue;
            }
            let step = steps[i];
            if i != 0 {
                let fed = head[self.feeder[i]];
                let q = step.a + step.b * fed;
                head[i] = fed + step.s - step.r * q;
                pipe[i] += damping * (q - pipe[i]);
            }
            let k = self.nozzle_k[i];
            if k == 0.0 {
                continue;
            }
            let p = head[i] - self.height_pa[i];
            let q = if is_dry[i] { 0.0 } else { (step.s_nozzle + head[i]) / step.r_nozzle };
            let turns = if is_dry[i] { grain_pa < p } else { q <= 0.0 };
            if turns {
                if all_at_once {
                    is_dry[i] = !is_dry[i];
                    nozzle[i] = k * p.max(0.0).sqrt();
                    change = f64::INFINITY;
                } else {
                    nozzle[i] *= 0.1;
                    if furthest.is_none_or(|(most, _)| most < p.abs()) {
                        furthest = Some((p.abs(), i));
                    }
                }
                continue;
            }
            if !is_dry[i] {
                change = change.max((q - nozzle[i]).abs() / (q + scale + k * grain_pa.sqrt()));
                nozzle[i] += damping * (q - nozzle[i]);
            }
        }
        if let Some((p, i)) = furthest
            && change < 0.01
        {
            is_dry[i] = !is_dry[i];
            nozzle[i] = if is_dry[i] { 0.0 } else { self.nozzle_k[i] * p.sqrt() };
        }
        if furthest.is_some() { f64::INFINITY } else { change }
    }

    /// A given flow has to go somewhere: if all nozzles fell dry, the one with the most pressure takes it.
    fn keep_one_open(&self, flows: &mut Flows, total: f64) {
        let nozzles = || (0..self.len()).filter(|&i| flows.is_fed[i] && 0.0 < self.nozzle_k[i]);
        if nozzles().any(|i| !flows.is_dry[i]) {
            return;
        }
        let pressure = |i: &usize| flows.head[*i] - self.height_pa[*i];
        if let Some(i) = nozzles().max_by(|a, b| pressure(a).total_cmp(&pressure(b))) {
            flows.is_dry[i] = false;
            flows.nozzle[i] = total;
        }
    }
}
