//! How well one candidate explains all readings: a Gaussian likelihood in logs, latent variables integrated out.
//!
//! With `y` the logs of the readings, `m` what the candidate says, `L` how latent variables move them, `P` their prior
//! variances and `D` the readings' own: `y − m ~ N(L·z₀, D + L·P·Lᵀ)`. A candidate with a free factor is fitted by
//! Gauss-Newton steps and integrated by Laplace's method, which is exact where the factor moves readings in proportion.
//! Readings within three uncertainties of zero have no logs; they enter with a normal likelihood of their own, given the
//! others. What follows from the likelihoods is `rank`.

use super::cause::{Candidate, Free};
use super::forward::{Change, Scene, Values};
use super::latents::{Latent, latents};
use super::parts::{Part, Terms};
use super::priors;
use super::setup::{Setup, Situation};
use crate::balance::symmetric::Cholesky;
pub(crate) use crate::balance::symmetric::dot;
use crate::balance::tails::ln_normal_below;

/// A reading that the model has a meaning for.
#[derive(Clone, Debug)]
pub(crate) struct Used {
    pub(crate) situation: usize,
    pub(crate) reading: usize,
    pub(crate) terms: Terms,
    pub(crate) si: f64,
    pub(crate) u: f64,
}

impl Used {
    fn ln(&self) -> f64 {
        self.si.ln()
    }

    fn u_rel(&self) -> f64 {
        self.u / self.si
    }

    /// By how much it is misread under a candidate, in logs.
    pub(crate) fn misread(&self, change: &Change, theta: f64) -> f64 {
        match *change {
            Change::Misread { situation, reading }
                if situation == self.situation && reading == self.reading =>
            {
                theta
            }
            _ => 0.0,
        }
    }
}

/// All readings of all situations, ready to be compared with candidates.
pub(crate) struct Problem<'a> {
    pub(crate) setup: &'a Setup,
    pub(crate) scenes: Vec<Scene>,
    pub(crate) latents: Vec<Latent>,
    /// Readings clear of zero.
    pub(crate) used: Vec<Used>,
    /// Readings that cannot be told from zero.
    pub(crate) near_zero: Vec<Used>,
    /// Readings that this rig and condition give no meaning: situation and place.
    pub(crate) unused: Vec<(usize, usize)>,
}

/// The part of the model that candidates share: which situations are held, rows, covariance.
pub(crate) struct Model {
    pub(crate) held: Vec<bool>,
    rows: Vec<Vec<f64>>,
    zero_rows: Vec<Vec<f64>>,
    /// `L·z₀`.
    offset: Vec<f64>,
    chol: Cholesky,
    ln_det: f64,
    /// Misfit if nothing were wrong.
    nothing: Vec<f64>,
    /// The shown speed of each situation given the readings, where the hold depends on it.
    speeds: Vec<SpeedGiven>,
    /// Readings less what nobody knows beforehand: how many comparisons they make.
    pub(crate) n_comparisons: usize,
}

/// The log of a shown speed given the readings: a constant, a weight for each misfit, and what remains unknown.
struct SpeedGiven {
    mean: f64,
    weights: Vec<f64>,
    sd: f64,
}

/// A fitted candidate.
#[derive(Clone, Debug)]
pub(crate) struct Fitted {
    pub(crate) ln_likelihood: f64,
    /// Squared standardised misfit of all readings, and the degrees of freedom it has.
    pub(crate) chi2: f64,
    pub(crate) dof: usize,
    /// Best value of the free factor, in logs, and its standard uncertainty.
    pub(crate) theta: f64,
    pub(crate) theta_u: Option<f64>,
}

/// A reading is clear of zero from this many uncertainties on.
const CLEAR_OF_ZERO: f64 = 3.0;

/// Least squared standardised movement, for a movement of 1, that readings can show. What is lost in something unknown
/// moves them by about 1/25 (the prior spread of 5 in logs, squared); what a reading worth its name shows, by over 9.
const SHOWS: f64 = 0.5;

impl<'a> Problem<'a> {
    pub(crate) fn new(setup: &'a Setup, situations: &'a [Situation]) -> Self {
        let scenes: Vec<Scene> = situations
            .iter()
            .enumerate()
            .map(|(idx, situation)| Scene::new(setup, idx, situations.len(), situation))
            .collect();
        let (mut used, mut near_zero, mut unused) = (Vec::new(), Vec::new(), Vec::new());
        for (situation, (scene, given)) in scenes.iter().zip(situations).enumerate() {
            for (reading, r) in given.readings.iter().enumerate() {
                let Some(terms) = scene.terms(setup, r.what, r.seen) else {
                    unused.push((situation, reading));
                    continue;
                };
                // A number read back from the display has no uncertainty to speak of; the floor keeps the algebra sound.
                let si = r.seen.as_si();
                let u = r.u.as_si().max(1e-5 * si);
                let of = Used { situation, reading, terms, si, u };
                if si >= CLEAR_OF_ZERO * u { used.push(of) } else { near_zero.push(of) }
            }
        }
        Self { setup, scenes, latents: latents(setup, situations), used, near_zero, unused }
    }

    /// In which situations the hold may be in force under a candidate. Where only the readings can say it, all standing
    /// runs go one way and all drives go one way; each pattern comes with its odds before any reading.
    pub(crate) fn patterns(&self, change: &Change, theta: f64) -> Vec<(Vec<bool>, f64)> {
        let known: Vec<Option<bool>> = self.scenes.iter().map(|scene| scene.held(change, theta)).collect();
        let open = |driving: bool| {
            self.scenes.iter().zip(&known).any(|(s, k)| k.is_none() && s.is_driving() == driving)
        };
        let choices = |driving: bool| -> &[bool] { if open(driving) { &[false, true] } else { &[false] } };
        let mut patterns = Vec::with_capacity(4);
        for standing in choices(false) {
            for driving in choices(true) {
                let pattern = self
                    .scenes
                    .iter()
                    .zip(&known)
                    .map(|(s, k)| k.unwrap_or(if s.is_driving() { *driving } else { *standing }))
                    .collect();
                patterns.push((pattern, if *driving { priors::BELOW_HOLD } else { 1.0 }));
            }
        }
        patterns
    }

    /// Log of the probability, given the readings under a fitted candidate, that the shown speed is on the side of the
    /// hold speed which the model takes for granted.
    pub(crate) fn ln_hold_fits(
        &self,
        model: &Model,
        change: &Change,
        theta: f64,
        scratch: &mut Values,
    ) -> Option<f64> {
        let shown_speed = Terms::of(&[(Part::ShownSpeed, 1.0)]);
        let r = self.misfit(model, change, theta, scratch)?;
        let mut ln = 0.0;
        for ((scene, held), speed) in self.scenes.iter().zip(&model.held).zip(&model.speeds) {
            if scene.held(change, theta).is_some() {
                continue;
            }
            let Some(ln_hold) = scene.ln_hold_under(change, theta) else { continue };
            scene.values(change, theta, *held, scratch);
            let above = scratch.sum(&shown_speed) + speed.mean + dot(&speed.weights, &r) - ln_hold;
            ln += ln_normal_below(if *held { -above / speed.sd } else { above / speed.sd });
        }
        Some(ln)
    }

    /// What the readings say of the shown speed of each situation.
    fn speeds_given(&self, held: &[bool], rows: &[Vec<f64>], chol: &Cholesky) -> Vec<SpeedGiven> {
        let shown_speed = Terms::of(&[(Part::ShownSpeed, 1.0)]);
        let of = |(scene, held): (&Scene, &bool)| {
            let row = scene.row(&shown_speed, *held);
            let mut shared = self.covariance_with(rows, &row);
            let before: f64 = row.iter().zip(&self.latents).map(|(l, z)| (l * z.sd).powi(2)).sum();
            let mut weights = shared.clone();
            chol.solve(&mut weights);
            chol.whiten(&mut shared);
            let sd = (before - dot(&shared, &shared)).max(1e-12).sqrt();
            let mean = row.iter().zip(&self.latents).map(|(l, z)| l * z.mean).sum();
            SpeedGiven { mean, weights, sd }
        };
        self.scenes.iter().zip(held).map(of).collect()
    }

    /// Prior covariance of each reading with a sum of latent variables.
    fn covariance_with(&self, rows: &[Vec<f64>], row: &[f64]) -> Vec<f64> {
        let of =
            |r: &Vec<f64>| r.iter().zip(row).zip(&self.latents).map(|((a, b), z)| a * b * z.sd.powi(2)).sum();
        rows.iter().map(of).collect()
    }

    /// The shared part for one pattern of held situations. `extra` is added to each reading's own variance.
    pub(crate) fn model(&self, held: Vec<bool>, extra_variance: f64) -> Option<Model> {
        let row_of = |u: &Used| self.scenes[u.situation].row(&u.terms, held[u.situation]);
        let rows: Vec<Vec<f64>> = self.used.iter().map(row_of).collect();
        let zero_rows = self.near_zero.iter().map(row_of).collect();
        let spread: Vec<Vec<f64>> =
            rows.iter().map(|row| row.iter().zip(&self.latents).map(|(l, z)| l * z.sd).collect()).collect();
        let chol = Cholesky::of(rows.len(), |i, j| {
            let own = if i == j { self.used[i].u_rel().powi(2) + extra_variance } else { 0.0 };
            own + dot(&spread[i], &spread[j])
        })?;
        let means: Vec<f64> = self.latents.iter().map(|z| z.mean).collect();
        let offset = rows.iter().map(|row| dot(row, &means)).collect();
        let ln_det = chol.ln_det();
        let n_comparisons = (rows.len() + self.near_zero.len()).saturating_sub(self.rank_of_unknowns(&rows));
        let speeds = self.speeds_given(&held, &rows, &chol);
        let nothing = Vec::new();
        let mut model = Model { held, rows, zero_rows, offset, chol, ln_det, nothing, speeds, n_comparisons };
        model.nothing = self.misfit(&model, &Change::Nothing, 0.0, &mut Values::new())?;
        Some(model)
    }

    /// Rank of the columns of what nobody knows beforehand, by Gram-Schmidt. Entries are small whole numbers.
    fn rank_of_unknowns(&self, rows: &[Vec<f64>]) -> usize {
        let mut basis: Vec<Vec<f64>> = Vec::new();
        for (idx, _) in self.latents.iter().enumerate().filter(|(_, z)| z.wide) {
            let mut column: Vec<f64> = rows.iter().map(|row| row[idx]).collect();
            for b in &basis {
                let along = dot(&column, b);
                column.iter_mut().zip(b).for_each(|(c, x)| *c -= along * x);
            }
            let length = dot(&column, &column).sqrt();
            if length > 1e-6 {
                column.iter_mut().for_each(|c| *c /= length);
                basis.push(column);
            }
        }
        basis.len()
    }

    /// Whether any reading could show a candidate, against nothing being wrong and the same situations held.
    ///
    /// It cannot where it moves no reading, nor where it moves them as something unknown would (a course number, when no
    /// true speed or distance was read).
    pub(crate) fn shows(&self, model: &Model, candidate: &Candidate, scratch: &mut Values) -> bool {
        let theta = candidate.free.map_or(0.0, |f| f.mean + 0.1);
        let change = &candidate.change;
        let mut say = |used: &Used, change: &Change, theta: f64| {
            self.scenes[used.situation].values(change, theta, model.held[used.situation], scratch);
            scratch.sum(&used.terms) + used.misread(change, theta)
        };
        if self.near_zero.iter().any(|used| say(used, change, theta) != say(used, &Change::Nothing, 0.0)) {
            return true;
        }
        let Some(mut moved) = self.misfit(model, change, theta, scratch) else { return true };
        moved.iter_mut().zip(&model.nothing).for_each(|(m, n)| *m -= n);
        let most = moved.iter().fold(0.0, |most: f64, x| most.max(x.abs()));
        if most < 1e-9 {
            return false;
        }
        model.chol.whiten(&mut moved);
        dot(&moved, &moved) > SHOWS * most * most
    }

    /// What a candidate says each reading's log is, latent variables at zero. `None` where it says zero or nothing.
    fn says(
        &self,
        model: &Model,
        change: &Change,
        theta: f64,
        scratch: &mut Values,
        into: &mut Vec<f64>,
    ) -> Option<()> {
        into.clear();
        let mut current = None;
        for used in &self.used {
            if current != Some(used.situation) {
                self.scenes[used.situation].values(change, theta, model.held[used.situation], scratch);
                current = Some(used.situation);
            }
            if used.terms.read_back.is_some() {
                Scene::read_back(scratch, used.terms.read_back, self.setup, change, theta);
            }
            let ln = scratch.sum(&used.terms) + used.misread(change, theta);
            if !ln.is_finite() {
                return None;
            }
            into.push(ln);
        }
        Some(())
    }

    /// Seen less said.
    fn misfit(&self, model: &Model, change: &Change, theta: f64, scratch: &mut Values) -> Option<Vec<f64>> {
        let mut r = Vec::with_capacity(self.used.len());
        self.says(model, change, theta, scratch, &mut r)?;
        for ((x, used), offset) in r.iter_mut().zip(&self.used).zip(&model.offset) {
            *x = used.ln() - *x - offset;
        }
        Some(r)
    }

    /// Fits one candidate. `None` where it cannot be what happened: it says zero where something was seen.
    pub(crate) fn fit(&self, model: &Model, candidate: &Candidate, scratch: &mut Values) -> Option<Fitted> {
        let change = &candidate.change;
        let mut fitted = match candidate.free {
            None => {
                let mut r = self.misfit(model, change, 0.0, scratch)?;
                model.chol.whiten(&mut r);
                let chi2 = dot(&r, &r);
                let ln_likelihood = -0.5 * (chi2 + model.ln_det);
                Fitted { ln_likelihood, chi2, dof: model.n_comparisons, theta: 0.0, theta_u: None }
            }
            Some(free) => self.fit_free(model, change, free, scratch)?,
        };
        if !self.near_zero.is_empty() {
            self.add_near_zero(model, change, &mut fitted, scratch)?;
        }
        Some(fitted)
    }

    /// Gauss-Newton for one factor, then Laplace.
    fn fit_free(&self, model: &Model, change: &Change, free: Free, scratch: &mut Values) -> Option<Fitted> {
        const STEP: f64 = 1e-5;
        let precision = free.sd.powi(-2);
        let mut theta = free.mean;
        let (mut curvature, mut slope_seen) = (precision, false);
        for _ in 0..8 {
            let mut r = self.misfit(model, change, theta, scratch)?;
            let mut g = self.misfit(model, change, theta + STEP, scratch)?;
            g.iter_mut().zip(&r).for_each(|(g, r)| *g = (r - *g) / STEP);
            slope_seen = g.iter().any(|g| g.abs() > 1e-9);
            model.chol.whiten(&mut r);
            model.chol.whiten(&mut g);
            curvature = dot(&g, &g) + precision;
            let step = (dot(&g, &r) - (theta - free.mean) * precision) / curvature;
            theta += step.clamp(-1.0, 1.0);
            if step.abs() < 1e-7 {
                break;
            }
        }
        let mut r = self.misfit(model, change, theta, scratch)?;
        model.chol.whiten(&mut r);
        let off_prior = (theta - free.mean).powi(2) * precision;
        let mut ln_likelihood =
            -0.5 * (dot(&r, &r) + off_prior + model.ln_det + (curvature / precision).ln());
        let mut best = theta;
        if free.side != 0.0 {
            let inside = |mean: f64, sd: f64| ln_normal_below(free.side * mean / sd);
            ln_likelihood += inside(theta, curvature.powf(-0.5)) - inside(free.mean, free.sd);
            if theta * free.side < 0.0 {
                best = 0.0;
                r = self.misfit(model, change, best, scratch)?;
                model.chol.whiten(&mut r);
            }
        }
        let dof = model.n_comparisons.saturating_sub(usize::from(slope_seen));
        let theta_u = slope_seen.then(|| curvature.powf(-0.5));
        Some(Fitted { ln_likelihood, chi2: dot(&r, &r), dof, theta: best, theta_u })
    }

    /// Readings that cannot be told from zero, each on its own, given the others.
    fn add_near_zero(
        &self,
        model: &Model,
        change: &Change,
        fitted: &mut Fitted,
        scratch: &mut Values,
    ) -> Option<()> {
        let z = self.latents_given(model, change, fitted.theta, scratch)?;
        for (used, row) in self.near_zero.iter().zip(&model.zero_rows) {
            self.scenes[used.situation].values(change, fitted.theta, model.held[used.situation], scratch);
            let ln = scratch.sum(&used.terms);
            if ln.is_nan() {
                return None;
            }
            let (said, said_u) = if ln == f64::NEG_INFINITY {
                (0.0, 0.0)
            } else {
                let said = (ln + dot(row, &z)).exp();
                (said, said * self.variance_given(model, row).sqrt())
            };
            let variance = used.u.powi(2) + said_u.powi(2);
            let z2 = (used.si - said).powi(2) / variance;
            fitted.chi2 += z2;
            fitted.ln_likelihood -= 0.5 * (z2 + variance.ln());
        }
        Some(())
    }

    /// Latent variables given the readings, under a candidate.
    pub(crate) fn latents_given(
        &self,
        model: &Model,
        change: &Change,
        theta: f64,
        scratch: &mut Values,
    ) -> Option<Vec<f64>> {
        let mut r = self.misfit(model, change, theta, scratch)?;
        model.chol.solve(&mut r);
        let z = self.latents.iter().enumerate().map(|(idx, z)| {
            let pull: f64 = model.rows.iter().zip(&r).map(|(row, r)| row[idx] * r).sum();
            z.mean + z.sd.powi(2) * pull
        });
        Some(z.collect())
    }

    /// What a candidate predicts for some terms of one situation, in SI, latent variables as given.
    pub(crate) fn predict(
        &self,
        model: &Model,
        (change, theta): (&Change, f64),
        situation: usize,
        terms: &Terms,
        z: &[f64],
        scratch: &mut Values,
    ) -> f64 {
        let (scene, held) = (&self.scenes[situation], model.held[situation]);
        scene.values(change, theta, held, scratch);
        Scene::read_back(scratch, terms.read_back, self.setup, change, theta);
        (scratch.sum(terms) + dot(&scene.row(terms, held), z)).exp()
    }

    /// Variance of a sum of latent variables given the readings.
    pub(crate) fn variance_given(&self, model: &Model, row: &[f64]) -> f64 {
        let before: f64 = row.iter().zip(&self.latents).map(|(l, z)| (l * z.sd).powi(2)).sum();
        let mut shared = self.covariance_with(&model.rows, row);
        model.chol.whiten(&mut shared);
        (before - dot(&shared, &shared)).max(0.0)
    }

    /// Log likelihood of a cause that is on no list: every reading off by its own unknown factor.
    pub(crate) fn ln_unlisted(&self, held: Vec<bool>, scratch: &mut Values) -> Option<f64> {
        let model = self.model(held, priors::UNLISTED_SD.powi(2))?;
        let mut r = self.misfit(&model, &Change::Nothing, 0.0, scratch)?;
        model.chol.whiten(&mut r);
        // A reading at zero is not expected under anything unknown: as if spread over twenty of its uncertainties.
        let at_zero: f64 =
            self.near_zero.iter().map(|used| -(20.0 * used.u).ln() + 0.5 * std::f64::consts::TAU.ln()).sum();
        Some(-0.5 * (dot(&r, &r) + model.ln_det) + at_zero)
    }
}
