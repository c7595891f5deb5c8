//! Weighted least squares in logs for the ratios shown over true. What the true rates were is `rates`.

use super::input::{BalanceError, Job, LnJob, LnUse, Priors, UNTRIED, ln_job};
use super::rates::{JobRates, job_rates};
use super::symmetric::{Cholesky, dot};
use super::tails::chi_squared_tail;

/// Two-sided 95 % of a normal distribution.
pub(crate) const K_95: f64 = 1.959_963_984_540_054;

/// From this correlation on two ratios count as confounded: half of the variance of one is that of the other (0.7² ≈ ½).
const CONFOUNDED: f64 = 0.7;

/// A standardised misfit beyond this does not fit: one in a hundred by chance.
const MISFIT: f64 = 2.576;

/// A ratio of shown over true.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ratio {
    /// Shown speed (and distance) over true.
    Speed,
    /// Shown width over true.
    Width,
    /// Shown carrier volume over true.
    Meter,
    /// Shown product volume over true, of one pump.
    Pump(usize),
}

/// What to do with a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Correction {
    /// The ratio differs from 1 by more than its uncertainty at 95 %, and nothing else could stand for it.
    Justified,
    /// It cannot be told from 1: keep the old number.
    KeepOld,
    /// Together with another ratio it differs from 1, and nothing says which of the two it is: see
    /// [`Balance::confounded`].
    SeparateFirst,
    /// No reading says anything about it.
    NothingKnown,
}

/// One ratio as estimated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Which.
    pub ratio: Ratio,
    /// Shown over true. A counting number is to be multiplied by it, a spacing number divided; the true width is the
    /// keyed-in one divided by it.
    pub shown_over_true: f64,
    /// Its relative standard uncertainty.
    pub u_rel: f64,
    /// The same before the readings.
    pub prior_u_rel: f64,
    /// 95 % interval.
    pub low: f64,
    /// 95 % interval.
    pub high: f64,
    /// What to do.
    pub correction: Correction,
}

/// The single trial that would separate two ratios.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Separation {
    /// Drive a taped course.
    Course,
    /// Tape the width, section by section.
    Tape,
    /// Catch carrier against the counted volume.
    Meter,
    /// Catch one pump's product against its counted volume.
    Pump(usize),
}

/// Two ratios that the readings cannot tell apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Confounded {
    /// The two.
    pub pair: [Ratio; 2],
    /// Their correlation, −1 to 1.
    pub correlation: f64,
    /// Their product, which is known better than either.
    pub product: f64,
    /// Its relative standard uncertainty.
    pub product_u_rel: f64,
    /// The trial that would shrink the less certain of the two most.
    pub separate_by: Separation,
}

/// How one comparison fits the rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Misfit {
    /// In which job.
    pub job: usize,
    /// Of which load; none for area and distance.
    pub load: Option<usize>,
    /// What was compared. Area compares speed and width together and stands here as [`Ratio::Width`].
    pub ratio: Ratio,
    /// Shown over true of this comparison alone.
    pub shown_over_true: f64,
    /// What the others say, subtracted, over its standard deviation.
    pub standardised: f64,
    /// Whether it fits: within the 99 % that chance allows.
    pub fits: bool,
}

/// What the day adds up to.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    /// Speed, width, meter, then each pump.
    pub estimates: Vec<Estimate>,
    /// Correlations of the estimates, in the same order; ones on the diagonal.
    pub correlations: Vec<Vec<f64>>,
    /// Pairs that cannot be told apart.
    pub confounded: Vec<Confounded>,
    /// What was really applied, job by job.
    pub rates: Vec<JobRates>,
    /// Every comparison and how it fits.
    pub misfits: Vec<Misfit>,
    /// Squared standardised misfit, priors included.
    pub chi2: f64,
    /// Number of comparisons.
    pub dof: usize,
    /// Probability of a misfit at least as large by chance.
    pub p: f64,
}

/// One equation of the least-squares problem.
struct Row {
    /// Coefficients of the unknowns.
    of: Vec<f64>,
    ln: f64,
    variance: f64,
    /// What is compared, where it is a comparison that somebody would look at.
    shows: Option<Shows>,
}

/// A comparison of something shown with something known.
struct Shows {
    job: usize,
    load: Option<usize>,
    ratio: Ratio,
    ln: f64,
}

/// Where the unknowns stand: the ratios, then for each job its true area and the error of its strip's taped length, which
/// counted distance and strip area share.
pub(crate) struct Unknowns {
    area: Vec<Option<usize>>,
    length: Vec<Option<usize>>,
    n: usize,
}

impl Unknowns {
    fn of(n_ratios: usize, jobs: &[LnJob]) -> Self {
        let mut all = Self { area: Vec::new(), length: Vec::new(), n: n_ratios };
        for job in jobs {
            let strip = job.length.is_some() && job.width.is_some();
            let area = all.next_if(strip || job.field.is_some() || job.shown_area.is_some());
            let length = all.next_if(job.length.is_some());
            all.area.push(area);
            all.length.push(length);
        }
        all
    }

    fn next_if(&mut self, wanted: bool) -> Option<usize> {
        self.n += usize::from(wanted);
        wanted.then(|| self.n - 1)
    }

    /// Coefficients of one unknown alone.
    pub(crate) fn one(&self, idx: usize) -> Vec<f64> {
        self.sum(&[(Some(idx), 1.0)])
    }

    /// Coefficients of the true area of a job, where anything is known of it.
    pub(crate) fn area(&self, job: usize) -> Option<Vec<f64>> {
        self.area.get(job).copied().flatten().map(|idx| self.one(idx))
    }

    fn sum(&self, parts: &[(Option<usize>, f64)]) -> Vec<f64> {
        let mut of = vec![0.0; self.n];
        for (idx, by) in parts {
            if let Some(idx) = idx {
                of[*idx] += by;
            }
        }
        of
    }
}

/// Solves the closing balance of any number of jobs and loads together.
///
/// | symbol | meaning                                              |
/// |--------|------------------------------------------------------|
/// | `s, w` | log of shown over true, speed and width              |
/// | `m, p` | log of shown over true, carrier volume and product   |
///
/// Each pair of a known and a shown quantity is one equation: `ln(Â/A) = s + w`, `ln(D̂/D) = s`, `ln(V̂/V) = m`,
/// `ln(P̂/P) = p`, weighted by the squares of the relative uncertainties of both sides. Each ratio also has the equation
/// `0 = ratio` with the uncertainty of its last proof (10 % where there was none). A job's true area, and the error of a
/// strip's taped length that its area and its distance share, are unknowns beside the ratios. The normal equations are
/// solved by Cholesky's method; the inverse is the covariance.
///
/// Logs of quantities with more than about 30 % uncertainty are no longer normal: do not use it there.
///
/// # Errors
/// [`BalanceError`] names the job and the part that makes no sense.
///
/// # Source
/// Definition of the ratios; weighted least squares as in JCGM 100:2008, H.3, with priors as further observations.
///
/// # Example
/// By hand: priors 2 % each, and area shown 5.127 % (0.05 in logs) too large, known to 1 %. Normal equations
/// `[[12 500, 10 000], [10 000, 12 500]]·(s, w) = (500, 500)`; s = w = 500 ÷ 22 500 = 0.02222, u = √(12 500 ÷
/// 56 250 000) = 0.014907, correlation −10 000 ÷ 12 500 = −0.8.
/// ```
/// # use calc::balance::{Correction, Job, Measured, Priors, Separation, close};
/// # use units::Area;
/// let priors = Priors { speed: Some(0.02), width: Some(0.02), meter: None, pumps: vec![] };
/// let half = 0.01 / 2_f64.sqrt();
/// let job = Job {
///     area: Some(Measured::relative(Area::from_ac(40.0), half)),
///     shown_area: Some(Measured::relative(Area::from_ac(40.0 * 0.05_f64.exp()), half)),
///     ..Job::default()
/// };
/// let balance = close(&priors, &[job])?;
/// let speed = balance.estimates[0];
/// assert!((speed.shown_over_true.ln() - 0.022_222).abs() < 1e-6);
/// assert!((speed.u_rel - 0.014_907).abs() < 1e-6);
/// assert!((balance.correlations[0][1] + 0.8).abs() < 1e-12);
/// assert_eq!(balance.confounded.len(), 1);
/// // Together: u = √(2 × 2.2222e-4 × (1 − 0.8)) = 0.009428, and 0.04444 is well beyond twice that.
/// assert!((balance.confounded[0].product_u_rel - 0.009_428).abs() < 1e-6);
/// assert_eq!(speed.correction, Correction::SeparateFirst);
/// # Ok::<(), calc::balance::BalanceError>(())
/// ```
pub fn close(priors: &Priors, jobs: &[Job]) -> Result<Balance, BalanceError> {
    close_from(&[], priors, jobs)
}

/// [`close`], where the last proofs left ratios other than 1: numbers that were kept although a trial found them off, or
/// that were changed since.
///
/// `last` is shown over true as the last proofs have it: speed, width, meter, then each pump; 1 where it ends earlier. The
/// equation of a prior becomes `ln(last) = ratio`.
///
/// # Errors
/// [`BalanceError`]; [`BalanceError::Prior`] too for a ratio that is not finite or not above zero.
///
/// # Example
/// By hand: the last proof left the meter at 1.02 ± 1 % (standard), and 100 L were used and 104 L shown, ± 1 % together.
/// The weights are equal, so the best value is √(1.02 × 1.04) = 1.029951.
/// ```
/// # use calc::balance::{Job, Load, Measured, Priors, ProductUse, close_from};
/// # use units::Volume;
/// let priors = Priors { speed: None, width: None, meter: Some(0.01), pumps: vec![] };
/// let l = |value: f64, u: f64| Some(Measured { value: Volume::from_l(value), u: Volume::from_l(u) });
/// let carrier = ProductUse { loaded: l(100.0, 0.6), left: l(0.0, 1e-9), shown: l(104.0, 0.832) };
/// let job = Job { loads: vec![Load { carrier, products: vec![] }], ..Job::default() };
/// let meter = close_from(&[1.0, 1.0, 1.02], &priors, &[job])?.estimates[2];
/// assert!((meter.shown_over_true - (1.02_f64 * 1.04).sqrt()).abs() < 1e-9);
/// assert!((meter.u_rel - 0.01 / 2_f64.sqrt()).abs() < 1e-9);
/// # Ok::<(), calc::balance::BalanceError>(())
/// ```
pub fn close_from(last: &[f64], priors: &Priors, jobs: &[Job]) -> Result<Balance, BalanceError> {
    let prior_u = prior_uncertainties(priors)?;
    let ratios = ratios(priors.pumps.len());
    let mut prior_ln = Vec::with_capacity(ratios.len());
    for idx in 0..ratios.len() {
        let got = last.get(idx).copied().unwrap_or(1.0);
        if !(got.is_finite() && got > 0.0) {
            return Err(BalanceError::Prior { got });
        }
        prior_ln.push(got.ln());
    }
    let n_pumps = priors.pumps.len();
    let ln_jobs: Vec<LnJob> =
        jobs.iter().enumerate().map(|(idx, job)| ln_job(idx, job, n_pumps)).collect::<Result<_, _>>()?;
    let unknowns = Unknowns::of(ratios.len(), &ln_jobs);
    let mut rows: Vec<Row> = Vec::new();
    for (idx, job) in ln_jobs.iter().enumerate() {
        rows_of(idx, job, &unknowns, &mut rows);
    }
    let (all, full) = least_squares(&unknowns, &prior_ln, &prior_u, &rows).ok_or(BalanceError::Unsolvable)?;
    let x = &all[..ratios.len()];
    let covariance = &full[..ratios.len()];
    let u: Vec<f64> = (0..x.len()).map(|i| covariance[i][i].sqrt()).collect();
    let correlations: Vec<Vec<f64>> =
        (0..x.len()).map(|i| (0..x.len()).map(|j| covariance[i][j] / (u[i] * u[j])).collect()).collect();
    let confounded = confounded(&ratios, x, covariance, &correlations);
    let estimates = ratios
        .iter()
        .enumerate()
        .map(|(i, ratio)| {
            let informed = rows.iter().any(|row| row.shows.is_some() && row.of[i] != 0.0);
            let differs = x[i].abs() > K_95 * u[i];
            let pair = confounded.iter().find(|c| c.pair.contains(ratio));
            let correction = match pair {
                _ if !informed => Correction::NothingKnown,
                Some(c) if c.product.ln().abs() > K_95 * c.product_u_rel => Correction::SeparateFirst,
                None if differs => Correction::Justified,
                _ => Correction::KeepOld,
            };
            Estimate {
                ratio: *ratio,
                shown_over_true: x[i].exp(),
                u_rel: u[i],
                prior_u_rel: prior_u[i],
                low: (x[i] - K_95 * u[i]).exp(),
                high: (x[i] + K_95 * u[i]).exp(),
                correction,
            }
        })
        .collect();
    let misfits = misfits(&rows, &all, &full);
    let of_rows: f64 = rows.iter().map(|row| (row.ln - dot(&row.of, &all)).powi(2) / row.variance).sum();
    let of_priors: f64 = (0..x.len()).map(|i| ((x[i] - prior_ln[i]) / prior_u[i]).powi(2)).sum();
    let chi2 = of_rows + of_priors;
    let given =
        |idx: usize| -> JobRates { job_rates(&jobs[idx], &ln_jobs[idx], idx, &unknowns, &all, &full) };
    let rates = (0..jobs.len()).map(given).collect();
    // Every unknown beside the ratios takes one equation for itself.
    let dof = rows.len() + ratios.len() - unknowns.n;
    let p = chi_squared_tail(chi2, dof);
    Ok(Balance { estimates, correlations, confounded, rates, misfits, chi2, dof, p })
}

fn prior_uncertainties(priors: &Priors) -> Result<Vec<f64>, BalanceError> {
    let given = [priors.speed, priors.width, priors.meter].into_iter().chain(priors.pumps.iter().copied());
    given
        .map(|u| match u {
            None => Ok(UNTRIED),
            Some(u) if u.is_finite() && u > 0.0 => Ok(u),
            Some(got) => Err(BalanceError::Prior { got }),
        })
        .collect()
}

fn ratios(n_pumps: usize) -> Vec<Ratio> {
    [Ratio::Speed, Ratio::Width, Ratio::Meter].into_iter().chain((0..n_pumps).map(Ratio::Pump)).collect()
}

const SPEED: usize = 0;
const WIDTH: usize = 1;
pub(crate) const METER: usize = 2;
pub(crate) const PUMPS: usize = 3;

fn rows_of(job: usize, ln: &LnJob, unknowns: &Unknowns, rows: &mut Vec<Row>) {
    let (area, length) = (unknowns.area[job], unknowns.length[job]);
    if let Some(field) = ln.field {
        rows.push(Row {
            of: unknowns.sum(&[(area, 1.0)]),
            ln: field.ln,
            variance: field.variance,
            shows: None,
        });
    }
    if let Some(taped) = ln.length {
        // The error of the taped length is zero within its uncertainty.
        rows.push(Row { of: unknowns.sum(&[(length, 1.0)]), ln: 0.0, variance: taped.variance, shows: None });
        if let Some(width) = ln.width {
            let of = unknowns.sum(&[(area, 1.0), (length, -1.0)]);
            rows.push(Row { of, ln: taped.ln + width.ln, variance: width.variance, shows: None });
        }
        if let Some(shown) = ln.shown_distance {
            let of = unknowns.sum(&[(Some(SPEED), 1.0), (length, 1.0)]);
            let over = shown.ln - taped.ln;
            let shows = Some(Shows { job, load: None, ratio: Ratio::Speed, ln: over });
            rows.push(Row { of, ln: over, variance: shown.variance, shows });
        }
    }
    if let Some(shown) = ln.shown_area {
        let of = unknowns.sum(&[(Some(SPEED), 1.0), (Some(WIDTH), 1.0), (area, 1.0)]);
        let strip = ln.length.zip(ln.width).map(|(l, w)| l.ln + w.ln);
        let known = ln.field.map(|f| f.ln).or(strip);
        let shows = known.map(|known| Shows { job, load: None, ratio: Ratio::Width, ln: shown.ln - known });
        rows.push(Row { of, ln: shown.ln, variance: shown.variance, shows });
    }
    let mut used = |load: usize, idx: usize, ratio: Ratio, uses: &LnUse| {
        if let (Some(shown), Some(used)) = (uses.shown, uses.used) {
            let over = shown.ln - used.ln;
            rows.push(Row {
                of: unknowns.one(idx),
                ln: over,
                variance: shown.variance + used.variance,
                shows: Some(Shows { job, load: Some(load), ratio, ln: over }),
            });
        }
    };
    for (load, uses) in ln.carrier.iter().enumerate() {
        used(load, METER, Ratio::Meter, uses);
    }
    for (pump, loads) in ln.products.iter().enumerate() {
        for (load, uses) in loads.iter().enumerate() {
            used(load, PUMPS + pump, Ratio::Pump(pump), uses);
        }
    }
}

/// Best values and their covariance.
fn least_squares(
    unknowns: &Unknowns,
    prior_ln: &[f64],
    prior_u: &[f64],
    rows: &[Row],
) -> Option<(Vec<f64>, Vec<Vec<f64>>)> {
    let n = unknowns.n;
    let normal = |i: usize, j: usize| -> f64 {
        let prior = if i == j { prior_u.get(i).map_or(0.0, |u| u.powi(-2)) } else { 0.0 };
        prior + rows.iter().map(|row| row.of[i] * row.of[j] / row.variance).sum::<f64>()
    };
    let factor = Cholesky::of(n, normal)?;
    let right = |i: usize| -> f64 {
        let prior = prior_ln.get(i).zip(prior_u.get(i)).map_or(0.0, |(ln, u)| ln / (u * u));
        prior + rows.iter().map(|row| row.of[i] * row.ln / row.variance).sum::<f64>()
    };
    let mut x: Vec<f64> = (0..n).map(right).collect();
    factor.solve(&mut x);
    Some((x, factor.inverse()))
}

/// Variance of a weighted sum of the estimates.
pub(crate) fn variance_of(of: &[f64], covariance: &[Vec<f64>]) -> f64 {
    of.iter().zip(covariance).map(|(a, row)| a * dot(row, of)).sum()
}

fn confounded(
    ratios: &[Ratio],
    x: &[f64],
    covariance: &[Vec<f64>],
    correlations: &[Vec<f64>],
) -> Vec<Confounded> {
    let mut pairs = Vec::new();
    for j in 0..x.len() {
        for i in 0..j {
            let correlation = correlations[i][j];
            if correlation > -CONFOUNDED {
                continue;
            }
            let product_variance = covariance[i][i] + covariance[j][j] + 2.0 * covariance[i][j];
            // One trial of either settles both; the less certain one gains most, and a tape is quicker than a drive.
            let worse =
                if covariance[i][i] > covariance[j][j] * (1.0 + 1e-9) { ratios[i] } else { ratios[j] };
            pairs.push(Confounded {
                pair: [ratios[i], ratios[j]],
                correlation,
                product: (x[i] + x[j]).exp(),
                product_u_rel: product_variance.max(0.0).sqrt(),
                separate_by: match worse {
                    Ratio::Speed => Separation::Course,
                    Ratio::Width => Separation::Tape,
                    Ratio::Meter => Separation::Meter,
                    Ratio::Pump(pump) => Separation::Pump(pump),
                },
            });
        }
    }
    pairs
}

/// Each comparison against all others: its residual over the residual's own standard deviation.
fn misfits(rows: &[Row], x: &[f64], covariance: &[Vec<f64>]) -> Vec<Misfit> {
    let of = |row: &Row| {
        let shows = row.shows.as_ref()?;
        let left = row.ln - dot(&row.of, x);
        let variance = row.variance - variance_of(&row.of, covariance);
        // Nothing else speaks of it: it fits whatever it says.
        let standardised = if variance > 1e-9 * row.variance { left / variance.sqrt() } else { 0.0 };
        Some(Misfit {
            job: shows.job,
            load: shows.load,
            ratio: shows.ratio,
            shown_over_true: shows.ln.exp(),
            standardised,
            fits: standardised.abs() <= MISFIT,
        })
    };
    rows.iter().filter_map(of).collect()
}
