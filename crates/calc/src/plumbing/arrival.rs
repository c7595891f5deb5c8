//! When a steady state reaches each nozzle: plug-flow lag, and the share of the boom that is reached.
//!
//! One state only. States that change while a front is on its way are in [`super::transport`].

use units::{Duration, FlowRate, Share};

use super::Plumbing;
use super::hydraulics::Hydraulics;

/// Plug-flow lags from the injection point, in one steady state.
#[derive(Clone, Debug, PartialEq)]
pub struct Lags {
    /// By nozzle: time from the injection point. `None` where nothing arrives: shut, not behind the injection point, or
    /// behind a pipe in which nothing flows.
    pub nozzles: Vec<Option<Duration>>,
    flows: Vec<FlowRate>,
}

impl Lags {
    /// Lags of a solved state: `Σ content/flow` over the pipes from the injection point to the nozzle.
    ///
    /// `None` when the network has no injection point or the state was solved on another network. What the injection pump
    /// does plays no part: the lag is that of anything released there.
    ///
    /// # Source
    /// Definition of plug flow. Where INJ-09 of the trade's literature says that lag depends on carrier plus chemical flow,
    /// this is the same sum.
    #[must_use]
    pub fn of(plumbing: &Plumbing, state: &Hydraulics) -> Option<Self> {
        let injection = plumbing.injection_spot?;
        if state.pipes.len() != plumbing.network().pipes.len()
            || state.nozzles.len() != plumbing.nozzle_spot.len()
        {
            return None;
        }
        let n = plumbing.node_at.len();
        let mut lag_s = vec![f64::INFINITY; n];
        lag_s[injection] = 0.0;
        let q_m3_s =
            |spot: usize| plumbing.sense[spot] * state.pipes[plumbing.pipe_at[spot]].flow.as_m3_per_s();
        // Towards the supply as far as the pump itself drives the liquid (a feed hose), then outwards everywhere.
        let mut at = injection;
        while at != 0 && q_m3_s(at) < 0.0 {
            let feeder = plumbing.feeder[at];
            lag_s[feeder] = lag_s[at] - plumbing.content_m3[at] / q_m3_s(at);
            at = feeder;
        }
        for spot in 1..n {
            let q = q_m3_s(spot);
            if 0.0 < q && lag_s[spot] == f64::INFINITY {
                lag_s[spot] = lag_s[plumbing.feeder[spot]] + plumbing.content_m3[spot] / q;
            }
        }
        let is_open = |nozzle: usize| !state.nozzle_is_shut[nozzle];
        let nozzles = plumbing.nozzle_spot.iter().enumerate().map(|(nozzle, &spot)| {
            (is_open(nozzle) && lag_s[spot].is_finite()).then(|| Duration::from_s(lag_s[spot]))
        });
        Some(Self { nozzles: nozzles.collect(), flows: state.nozzles.clone() })
    }

    /// Lag of the nozzle that is reached first.
    #[must_use]
    pub fn first(&self) -> Option<Duration> {
        self.nozzles.iter().flatten().copied().reduce(|a, b| if b < a { b } else { a })
    }

    /// Lag of the nozzle that is reached last, among those that are reached at all.
    #[must_use]
    pub fn last(&self) -> Option<Duration> {
        self.nozzles.iter().flatten().copied().reduce(|a, b| if a < b { b } else { a })
    }

    /// How much of the boom's flow comes from nozzles that are reached by a time.
    #[must_use]
    pub fn share_reached(&self, time: Duration) -> Share {
        let total: f64 = self.flows.iter().map(|q| q.as_m3_per_s()).sum();
        let reached =
            self.nozzles.iter().zip(&self.flows).filter(|(lag, _)| lag.is_some_and(|lag| lag <= time));
        Share::from_fraction(reached.map(|(_, q)| q.as_m3_per_s()).sum::<f64>() / total)
    }

    /// First time by which nozzles with this share of the boom's flow are reached. `None` if they never are.
    ///
    /// Shares within 1e-9 of each other count as equal.
    #[must_use]
    pub fn time_to_share(&self, share: Share) -> Option<Duration> {
        let wanted = share.as_fraction() - 1e-9;
        let mut lags: Vec<Duration> = self.nozzles.iter().flatten().copied().collect();
        lags.sort_unstable_by(|a, b| a.as_s().total_cmp(&b.as_s()));
        let n_before = lags.partition_point(|&lag| self.share_reached(lag).as_fraction() < wanted);
        lags.get(n_before).copied()
    }
}
