//! Plug flow through the whole network: takes the junctions in the order in which liquid passes them.
//!
//! One junction a step, so that whoever drives it can stop in between and can drop what is no longer needed. The
//! arithmetic of one pipe is in [`super::slugs`].

use super::Plumbing;
use super::slugs::{AT_START, Inflow, Passing, Step, held, mixed, through_pipe};

/// What is known before the fronts are followed. Lists by spot run over the states within each spot.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    /// When each state begins; never empty, rising.
    pub(crate) starts_s: Vec<f64>,
    /// Flow in the pipe of each spot, away from the supply: `[spot × states + state]`.
    pub(crate) pipe_m3_s: Vec<f64>,
    /// Flow of the injection pump in each state.
    pub(crate) injected_m3_s: Vec<f64>,
    /// Flow into the supply node in each state.
    pub(crate) carrier_m3_s: Vec<f64>,
    /// Share of concentrate in the carrier as it comes.
    pub(crate) carrier_share: f64,
    /// Share of concentrate in the pipe of each spot at the start.
    pub(crate) start_share: Vec<f64>,
    /// Fronts that arrive later are left out.
    pub(crate) until_s: f64,
}

/// Follows the fronts of a [`Run`].
#[derive(Clone, Debug)]
pub(crate) struct Tracker {
    pub(crate) run: Run,
    /// By spot: the pipe is passed towards the supply (a feed hose of the injection point).
    is_reversed: Vec<bool>,
    any_reversed: bool,
    /// Spots in the order in which liquid passes them.
    order: Vec<usize>,
    n_done: usize,
    /// By spot: what passes the junction.
    lines: Vec<Vec<Step>>,
    passed: Vec<f64>,
}

/// A pipe is passed both ways, at different times.
pub(crate) struct Reverses {
    pub(crate) spot: usize,
}

impl Tracker {
    pub(crate) fn new(plumbing: &Plumbing, mut run: Run) -> Result<Self, Reverses> {
        let n = plumbing.node_at.len();
        let n_states = run.starts_s.len();
        let mut is_reversed = vec![false; n];
        for (spot, q) in run.pipe_m3_s.chunks_exact_mut(n_states).enumerate().skip(1) {
            let (out, back) = (q.iter().any(|q| 0.0 < *q), q.iter().any(|q| *q < 0.0));
            if out && back {
                return Err(Reverses { spot });
            }
            if back {
                is_reversed[spot] = true;
                q.iter_mut().for_each(|q| *q = -*q);
            }
        }
        let mut n_missing = vec![0; n];
        let ends = |spot: usize| match is_reversed[spot] {
            false => (plumbing.feeder[spot], spot),
            true => (spot, plumbing.feeder[spot]),
        };
        for (_, down) in (1..n).map(ends) {
            n_missing[down] += 1;
        }
        let any_reversed = is_reversed.contains(&true);
        let order = if any_reversed {
            let mut order: Vec<usize> = (0..n).filter(|&i| n_missing[i] == 0).collect();
            let mut next = 0;
            while let Some(&at) = order.get(next) {
                for (_, down) in (1..n).map(ends).filter(|&(up, _)| up == at) {
                    n_missing[down] -= 1;
                    if n_missing[down] == 0 {
                        order.push(down);
                    }
                }
                next += 1;
            }
            order
        } else {
            (0..n).collect()
        };
        let lines = vec![Vec::new(); n];
        Ok(Self { run, is_reversed, any_reversed, order, n_done: 0, lines, passed: Vec::new() })
    }

    /// Takes the next junction and tells its spot; `None` at the end.
    pub(crate) fn advance(&mut self, plumbing: &Plumbing) -> Option<usize> {
        let at = *self.order.get(self.n_done)?;
        self.n_done += 1;
        let mut inflows = Vec::new();
        for spot in self.filled_by(plumbing, at) {
            let mouth = if self.is_reversed[spot] { spot } else { plumbing.feeder[spot] };
            inflows.push((spot, self.fill(plumbing, spot, mouth)));
        }
        let is_injection = plumbing.injection_spot == Some(at);
        self.lines[at] = match (&mut inflows[..], is_injection) {
            ([(_, line)], false) if at != 0 => std::mem::take(line),
            (inflows, _) => self.junction(at, inflows, is_injection),
        };
        Some(at)
    }

    /// Spots whose pipes end at a junction that [`Self::advance`] has told.
    pub(crate) fn filled_by(&self, plumbing: &Plumbing, at: usize) -> Vec<usize> {
        let mut spots = Vec::new();
        if at != 0 && !self.is_reversed[at] {
            spots.push(at);
        }
        if self.any_reversed {
            let branch = at + 1..plumbing.branch_end[at];
            spots.extend(branch.filter(|&i| plumbing.feeder[i] == at && self.is_reversed[i]));
        }
        spots
    }

    /// Forgets the lines that feed nothing any more, once they are read. `just_done` is what [`Self::advance`] told.
    pub(crate) fn forget_done(&mut self, plumbing: &Plumbing, just_done: usize) {
        // In a plain tree a branch is done when its last spot is; with feed hoses lines are simply kept.
        let mut spot = just_done;
        while !self.any_reversed && plumbing.branch_end[spot] == just_done + 1 {
            self.lines[spot] = Vec::new();
            if spot == 0 {
                return;
            }
            spot = plumbing.feeder[spot];
        }
    }

    /// What passes the junction, once [`Self::advance`] has told it.
    pub(crate) fn line(&self, spot: usize) -> &[Step] {
        &self.lines[spot]
    }

    /// What the pipe of a spot holds at a time, slug by slug from its mouth on: volume and share.
    pub(crate) fn held(&self, plumbing: &Plumbing, spot: usize, t_s: f64, each_slug: impl FnMut(f64, f64)) {
        let mouth = if self.is_reversed[spot] { spot } else { plumbing.feeder[spot] };
        let content_m3 = plumbing.content_m3[spot];
        let start_share = self.run.start_share[spot];
        held(&self.lines[mouth], self.passing(spot), content_m3, start_share, t_s, each_slug);
    }

    /// Whether the pipe of a spot is passed towards the supply.
    pub(crate) fn is_reversed(&self, spot: usize) -> bool {
        self.is_reversed[spot]
    }

    fn passing(&self, spot: usize) -> Passing<'_> {
        let n = self.run.starts_s.len();
        Passing { starts_s: &self.run.starts_s, q_m3_s: &self.run.pipe_m3_s[spot * n..(spot + 1) * n] }
    }

    fn fill(&mut self, plumbing: &Plumbing, spot: usize, mouth: usize) -> Vec<Step> {
        let mut passed = std::mem::take(&mut self.passed);
        let line = through_pipe(
            &self.lines[mouth],
            self.passing(spot),
            plumbing.content_m3[spot],
            self.run.start_share[spot],
            self.run.until_s,
            &mut passed,
        );
        self.passed = passed;
        line
    }

    fn junction(&self, at: usize, inflows: &[(usize, Vec<Step>)], is_injection: bool) -> Vec<Step> {
        let run = &self.run;
        let supply = [Step { t_s: run.starts_s[0], share: run.carrier_share, state: AT_START }];
        let mut parts: Vec<Inflow> =
            inflows.iter().map(|(spot, line)| Inflow { line, q_m3_s: self.passing(*spot).q_m3_s }).collect();
        if at == 0 {
            parts.push(Inflow { line: &supply, q_m3_s: &run.carrier_m3_s });
        }
        mixed(&run.starts_s, &parts, is_injection.then_some(&run.injected_m3_s[..]))
    }
}
