//! Where product is and when it arrives: plug flow with slugs through changing states, with its balance.
//!
//! Times and slugs in a network whose states are already solved. Solving them is in [`super::hydraulics`], what
//! plug flow leaves out in [`super::dispersion`], what it means on the ground in [`crate::pass`].

use units::{Duration, Share, Volume};

use super::Plumbing;
use super::hydraulics::Hydraulics;
use super::slugs::{AT_START, Step};
use super::tracker::{Run, Tracker};

/// A stretch of time with standing flows; the last one has no end.
#[derive(Clone, Copy, Debug)]
pub struct State<'a> {
    /// When it begins.
    pub from: Duration,
    /// What flows, solved on the same network; `None` while nothing does.
    pub flows: Option<&'a Hydraulics>,
}

/// What the pipes hold before the first state, as shares of concentrate by volume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contents {
    /// In every pipe. Zero after flushing, the running mixture after charging.
    pub pipes: Share,
    /// In the carrier as it comes from the tank. Zero unless product is mixed there too.
    pub carrier: Share,
}

impl Contents {
    /// Clean pipes, clean carrier.
    #[must_use]
    pub const fn clean() -> Self {
        Self { pipes: Share::from_fraction(0.0), carrier: Share::from_fraction(0.0) }
    }
}

/// From this moment on, this share of concentrate by volume passes a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Front {
    /// When it arrives.
    pub at: Duration,
    /// Share of concentrate behind it.
    pub share: Share,
    /// The state at whose injection point the liquid behind it was mixed; `None` for what was there at the start.
    pub state: Option<usize>,
}

/// One piece of liquid in a pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slug {
    /// How much.
    pub volume: Volume,
    /// Share of concentrate in it.
    pub share: Share,
}

/// Where all the concentrate is at one moment. What came in equals what went out and what is still inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balance {
    /// In the pipes at the start.
    pub at_start: Volume,
    /// With the carrier, since then.
    pub carried_in: Volume,
    /// From the injection pump, since then.
    pub injected: Volume,
    /// Through the nozzles, since then.
    pub sprayed: Volume,
    /// In the pipes now.
    pub in_pipes: Volume,
}

impl Balance {
    /// What is missing (above zero) or too much (below), relative to all that came in. Zero but for rounding.
    #[must_use]
    pub fn error(&self) -> f64 {
        let came = self.at_start.as_m3() + self.carried_in.as_m3() + self.injected.as_m3();
        let is_there = self.sprayed.as_m3() + self.in_pipes.as_m3();
        if came == 0.0 { is_there } else { (came - is_there) / came }
    }
}

/// Why fronts cannot be followed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum TransportError {
    /// No state at all.
    NoState,
    /// A state does not begin after the one before it, or not at a finite time.
    Order {
        /// Place of the state.
        state: usize,
        /// When it is said to begin.
        from: Duration,
    },
    /// A state was solved on another network.
    OtherNetwork {
        /// Place of the state.
        state: usize,
    },
    /// A share of concentrate is below 0, above 1 or not a number.
    Share {
        /// As given.
        got: Share,
    },
    /// A pipe flows one way in one state and the other way in another; plug flow here keeps one direction.
    Reverses {
        /// Place of the pipe.
        pipe: usize,
    },
}

/// Every front in the network, followed for all times.
#[derive(Clone, Debug)]
pub struct Transport<'a> {
    plumbing: &'a Plumbing,
    tracker: Tracker,
    nozzle_m3_s: Vec<f64>,
}

impl<'a> Transport<'a> {
    /// Follows the fronts through a row of states.
    ///
    /// Plug flow: no spreading, no storage at nodes, pressures at once in balance. A shut section carries nothing, and what
    /// it holds stays until it is opened again. At the injection point, and wherever else lines join, product and liquid
    /// add up: `c = Σ c q / Σ q`. Each front moves with the volume, so arrival times carry rounding only, whatever the
    /// states do meanwhile. Cost grows with pipes × (fronts + states).
    ///
    /// # Errors
    /// [`TransportError`]; each variant says when.
    ///
    /// # Source
    /// Definition: in plug flow the liquid that leaves is the liquid that entered one pipe content earlier.
    ///
    /// # Example
    /// 4.08 gal of line at 10.2 gal/min.
    /// ```
    /// # use calc::plumbing::{Plumbing, friction::FrictionLaw, hydraulics::*, network::*, transport::*};
    /// # use units::{Duration, FlowRate, Length, Pressure, Share, Volume};
    /// # let node = |id: &str| Node { id: id.into(), height: Length::from_m(0.0), across: None };
    /// # let bore = Length::from_in(1.0);
    /// # let area_m2 = std::f64::consts::FRAC_PI_4 * bore.as_m() * bore.as_m();
    /// # let length = Length::from_m(Volume::from_us_gal(4.08).as_m3() / area_m2);
    /// # let hose = Pipe {
    /// #     id: "hose".into(), from: "tank".into(), to: "tip".into(), length, bore,
    /// #     roughness: Length::from_mm(0.0), minor_k: 0.0,
    /// # };
    /// # let size = FlowCoefficient::from_rating(FlowRate::from_us_gal_per_min(10.2), Pressure::from_psi(40.0));
    /// # let network = Network {
    /// #     liquid: Liquid::water_20_c(), nodes: vec![node("tank"), node("tip")], pipes: vec![hose],
    /// #     nozzles: vec![Nozzle { node: "tip".into(), size, section: None }], sections: vec![],
    /// #     supply: "tank".into(), injection: Some("tank".into()),
    /// # };
    /// let solver = Solver::new(Plumbing::check(&network).unwrap(), FrictionLaw::SwameeJain);
    /// let carrier = Given::Carrier(FlowRate::from_us_gal_per_min(10.0));
    /// let on = Operating { given: carrier, injected: FlowRate::from_us_gal_per_min(0.2), shut: &[] };
    /// let flows = solver.solve(&on, DryNozzles::Refuse).unwrap();
    /// let states = [State { from: Duration::from_s(0.0), flows: Some(&flows) }];
    /// let transport = Transport::follow(solver.plumbing(), &states, Contents::clean()).unwrap();
    /// let fronts = transport.fronts(0);
    /// // By hand: t = V/q = 4.08/10.2 min = 24 s, and 0.2/10.2 of what then comes is concentrate.
    /// assert!((fronts[1].at.as_s() - 24.0).abs() < 1e-9);
    /// assert!((fronts[1].share.as_fraction() - 0.2 / 10.2).abs() < 1e-12);
    /// assert!(transport.balance(Duration::from_s(60.0)).error().abs() < 1e-12);
    /// ```
    pub fn follow(
        plumbing: &'a Plumbing,
        states: &[State],
        contents: Contents,
    ) -> Result<Self, TransportError> {
        let starts_s = starts(states)?;
        let n_states = states.len();
        let n_pipes = plumbing.network().pipes.len();
        let n_nozzles = plumbing.network().nozzles.len();
        for got in [contents.pipes, contents.carrier] {
            if !(0.0..=1.0).contains(&got.as_fraction()) {
                return Err(TransportError::Share { got });
            }
        }
        let mut pipe_m3_s = vec![0.0; plumbing.node_at.len() * n_states];
        let mut nozzle_m3_s = vec![0.0; n_nozzles * n_states];
        let mut injected_m3_s = vec![0.0; n_states];
        let mut carrier_m3_s = vec![0.0; n_states];
        for (state, flows) in states.iter().enumerate().filter_map(|(idx, s)| Some((idx, s.flows?))) {
            if flows.pipes.len() != n_pipes || flows.nozzles.len() != n_nozzles {
                return Err(TransportError::OtherNetwork { state });
            }
            injected_m3_s[state] = flows.injected.as_m3_per_s();
            carrier_m3_s[state] = flows.carrier.as_m3_per_s();
            for (spot, &pipe) in plumbing.pipe_at.iter().enumerate().skip(1) {
                pipe_m3_s[spot * n_states + state] =
                    plumbing.sense[spot] * flows.pipes[pipe].flow.as_m3_per_s();
            }
            for (nozzle, flow) in flows.nozzles.iter().enumerate() {
                nozzle_m3_s[nozzle * n_states + state] = flow.as_m3_per_s();
            }
        }
        let run = Run {
            starts_s,
            pipe_m3_s,
            injected_m3_s,
            carrier_m3_s,
            carrier_share: contents.carrier.as_fraction(),
            start_share: vec![contents.pipes.as_fraction(); plumbing.node_at.len()],
            until_s: f64::INFINITY,
        };
        let mut tracker = Tracker::new(plumbing, run)
            .map_err(|reverses| TransportError::Reverses { pipe: plumbing.pipe_at[reverses.spot] })?;
        while tracker.advance(plumbing).is_some() {}
        Ok(Self { plumbing, tracker, nozzle_m3_s })
    }

    /// The fronts that reach a nozzle's node, in the order of their arrival; the first tells what stands there at the
    /// start. Empty when there is no such nozzle. A front that no later state lets through does not appear.
    #[must_use]
    pub fn fronts(&self, nozzle: usize) -> Vec<Front> {
        self.plumbing.nozzle_spot.get(nozzle).map_or(Vec::new(), |&spot| self.at_spot(spot))
    }

    /// The same for any node.
    #[must_use]
    pub fn fronts_at_node(&self, node: usize) -> Vec<Front> {
        self.plumbing.spot_of.get(node).map_or(Vec::new(), |&spot| self.at_spot(spot))
    }

    /// Share of concentrate that stands at or passes a nozzle's node at a time; `None` before the start and without nozzle.
    #[must_use]
    pub fn share_at(&self, nozzle: usize, time: Duration) -> Option<Share> {
        let line = self.tracker.line(*self.plumbing.nozzle_spot.get(nozzle)?);
        let n_before = line.partition_point(|step| step.t_s <= time.as_s());
        Some(Share::from_fraction(line.get(n_before.checked_sub(1)?)?.share))
    }

    /// When the last front of all reaches its nozzle, if any does.
    #[must_use]
    pub fn last_arrival(&self) -> Option<Duration> {
        let arrivals = self.plumbing.nozzle_spot.iter().filter_map(|&spot| self.tracker.line(spot).last());
        arrivals
            .filter(|step| step.state != AT_START)
            .map(|step| step.t_s)
            .reduce(f64::max)
            .map(Duration::from_s)
    }

    /// What a pipe holds at a time, from its `from` to its `to`. Empty without such a pipe or before the start.
    #[must_use]
    pub fn slugs(&self, pipe: usize, time: Duration) -> Vec<Slug> {
        let mut slugs = Vec::new();
        let Some(spot) = (1..self.plumbing.pipe_at.len()).find(|&spot| self.plumbing.pipe_at[spot] == pipe)
        else {
            return slugs;
        };
        if time.as_s() < self.tracker.run.starts_s[0] {
            return slugs;
        }
        self.tracker.held(self.plumbing, spot, time.as_s(), |volume_m3, share| {
            slugs.push(Slug { volume: Volume::from_m3(volume_m3), share: Share::from_fraction(share) });
        });
        // From the mouth on is from the supply side on, unless a feed hose runs the other way.
        if self.tracker.is_reversed(spot) != (self.plumbing.sense[spot] < 0.0) {
            slugs.reverse();
        }
        slugs
    }

    /// Where all the concentrate is at a time, each part added up on its own.
    #[must_use]
    pub fn balance(&self, time: Duration) -> Balance {
        let run = &self.tracker.run;
        let starts = &run.starts_s;
        let until_s = time.as_s().max(starts[0]);
        let (mut carried, mut injected) = (0.0, 0.0);
        for (state, &from_s) in starts.iter().enumerate() {
            let to_s = starts.get(state + 1).map_or(until_s, |&next| next.min(until_s));
            let dt_s = (to_s - from_s).max(0.0);
            carried += run.carrier_m3_s[state] * run.carrier_share * dt_s;
            injected += run.injected_m3_s[state] * dt_s;
        }
        let (mut at_start, mut in_pipes) = (0.0, 0.0);
        for spot in 1..self.plumbing.pipe_at.len() {
            at_start += run.start_share[spot] * self.plumbing.content_m3[spot];
            self.tracker.held(self.plumbing, spot, until_s, |volume_m3, share| in_pipes += volume_m3 * share);
        }
        let sprayed: f64 =
            (0..self.plumbing.nozzle_spot.len()).map(|nozzle| self.sprayed_m3(nozzle, until_s)).sum();
        Balance {
            at_start: Volume::from_m3(at_start),
            carried_in: Volume::from_m3(carried),
            injected: Volume::from_m3(injected),
            sprayed: Volume::from_m3(sprayed),
            in_pipes: Volume::from_m3(in_pipes),
        }
    }

    /// Concentrate that has left a nozzle by a time.
    #[must_use]
    pub fn sprayed(&self, nozzle: usize, time: Duration) -> Volume {
        if self.plumbing.nozzle_spot.len() <= nozzle {
            return Volume::from_m3(0.0);
        }
        Volume::from_m3(self.sprayed_m3(nozzle, time.as_s()))
    }

    fn sprayed_m3(&self, nozzle: usize, until_s: f64) -> f64 {
        let starts = &self.tracker.run.starts_s;
        let line = self.tracker.line(self.plumbing.nozzle_spot[nozzle]);
        let flows = &self.nozzle_m3_s[nozzle * starts.len()..(nozzle + 1) * starts.len()];
        pieces(starts, line, until_s)
            .map(|(from_s, to_s, state, share)| flows[state] * share * (to_s - from_s))
            .sum()
    }

    fn at_spot(&self, spot: usize) -> Vec<Front> {
        let front = |step: &Step| Front {
            at: Duration::from_s(step.t_s),
            share: Share::from_fraction(step.share),
            state: (step.state != AT_START).then_some(step.state as usize),
        };
        self.tracker.line(spot).iter().map(front).collect()
    }
}

/// Cuts time at every change of state and at every front: from, to, state, share.
pub(crate) fn pieces<'a>(
    starts_s: &'a [f64],
    line: &'a [Step],
    until_s: f64,
) -> impl Iterator<Item = (f64, f64, usize, f64)> + 'a {
    let (mut state, mut front) = (0, 0);
    let mut from_s = starts_s[0];
    std::iter::from_fn(move || {
        let share = line.get(front)?.share;
        if until_s <= from_s {
            return None;
        }
        let (at, next_state_s) = (state, starts_s.get(state + 1).copied().unwrap_or(f64::INFINITY));
        let next_front_s = line.get(front + 1).map_or(f64::INFINITY, |step| step.t_s);
        let to_s = until_s.min(next_state_s).min(next_front_s);
        state += usize::from(next_state_s <= to_s);
        front += usize::from(next_front_s <= to_s);
        let piece = (from_s, to_s, at, share);
        from_s = to_s;
        Some(piece)
    })
}

fn starts(states: &[State]) -> Result<Vec<f64>, TransportError> {
    if states.is_empty() {
        return Err(TransportError::NoState);
    }
    let mut starts_s: Vec<f64> = Vec::with_capacity(states.len());
    for (state, &State { from, .. }) in states.iter().enumerate() {
        let is_later = starts_s.last().is_none_or(|last| *last < from.as_s());
        if !(from.as_s().is_finite() && is_later) {
            return Err(TransportError::Order { state, from });
        }
        starts_s.push(from.as_s());
    }
    Ok(starts_s)
}
