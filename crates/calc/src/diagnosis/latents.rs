//! What nobody knows (true speed, time, flow) and what is only nearly right (every proven number): the latent variables of
//! the model, their places in the vector and their priors. What they do to readings is `forward`.

use super::priors;
use super::setup::{Entry, Proof, Setup, Situation};

/// Latent variables: where each stands in the vector.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Layout {
    pub(crate) n_pumps: usize,
    pub(crate) n_situations: usize,
}

pub(crate) const METER: usize = 0;
pub(crate) const COURSE: usize = 1;
pub(crate) const WIDTH: usize = 2;
pub(crate) const NOZZLE: usize = 3;
pub(crate) const PUMPS: usize = 4;

impl Layout {
    pub(crate) fn len(self) -> usize {
        PUMPS + self.n_pumps + self.n_situations * self.per_situation()
    }

    const fn per_situation(self) -> usize {
        4 + self.n_pumps
    }

    fn own(self, situation: usize, idx: usize) -> usize {
        PUMPS + self.n_pumps + situation * self.per_situation() + idx
    }

    pub(crate) fn speed(self, situation: usize) -> usize {
        self.own(situation, 0)
    }

    pub(crate) fn time(self, situation: usize) -> usize {
        self.own(situation, 1)
    }

    pub(crate) fn flow(self, situation: usize) -> usize {
        self.own(situation, 2)
    }

    pub(crate) fn regulation(self, situation: usize) -> usize {
        self.own(situation, 3)
    }

    pub(crate) fn product_regulation(self, situation: usize, pump: usize) -> usize {
        self.own(situation, 4 + pump)
    }
}

/// Prior of one latent variable, in logs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Latent {
    pub(crate) mean: f64,
    pub(crate) sd: f64,
    /// Whether nothing is known of it beforehand.
    pub(crate) wide: bool,
}

/// Priors of all latent variables.
pub(crate) fn latents(setup: &Setup, situations: &[Situation]) -> Vec<Latent> {
    let layout = Layout { n_pumps: setup.n_pumps(), n_situations: situations.len() };
    let nearly = |sd: f64| Latent { mean: 0.0, sd, wide: false };
    let of = |entry: Entry| {
        let proof = setup.number(entry).map_or(Proof::Untried, |n| n.proof);
        nearly(priors::tolerance(entry, proof))
    };
    let mut all =
        vec![of(Entry::Meter), of(Entry::Course), of(Entry::Width(0)), nearly(priors::NOZZLE_TOLERANCE)];
    all.extend((0..layout.n_pumps).map(|pump| of(Entry::Pump(pump))));
    for _ in situations {
        // Around 9 km/h, a minute, 20 L/min, give or take a factor of a hundred and more.
        let wide = |typical: f64| Latent { mean: typical.ln(), sd: 5.0, wide: true };
        all.extend([wide(2.5), wide(60.0), wide(20.0 / 60_000.0), nearly(priors::REGULATION)]);
        all.extend((0..layout.n_pumps).map(|_| nearly(priors::REGULATION)));
    }
    all
}
