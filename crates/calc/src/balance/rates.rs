//! What was really applied, job by job, and how that stands to the label. Nothing is estimated here.

use units::{Area, Quantity, Volume, VolumePerArea};

use super::input::{Job, LnJob, LnMeasured, LnUse, Measured};
use super::solve::{K_95, METER, PUMPS, Unknowns, variance_of};
use super::symmetric::dot;

/// How a rate stands to the largest that the label allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LabelVerdict {
    /// The whole 95 % interval lies at or below it.
    Below,
    /// The whole interval lies above it.
    Above,
    /// The interval holds it.
    NotProvenYet,
}

/// A rate as really applied.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateApplied {
    /// Best value.
    pub rate: VolumePerArea,
    /// Its relative standard uncertainty.
    pub u_rel: f64,
    /// 95 % interval.
    pub low: VolumePerArea,
    /// 95 % interval.
    pub high: VolumePerArea,
    /// What the console's own counters make of it.
    pub shown: Option<VolumePerArea>,
    /// Against the label, where it has a largest rate.
    pub label: Option<LabelVerdict>,
}

/// What a job really got.
#[derive(Clone, Debug, PartialEq)]
pub struct JobRates {
    /// Area, known and shown together.
    pub area: Option<Measured<Area>>,
    /// Carrier used, known and shown together.
    pub carrier_used: Option<Measured<Volume>>,
    /// Carrier per area; none where one of the two is neither known nor shown.
    pub carrier: Option<RateApplied>,
    /// Product per area, one for each pump.
    pub products: Vec<Option<RateApplied>>,
}

/// A logarithm that depends on the estimated ratios: its value, its slopes and what is uncertain beside them.
struct Lin {
    ln: f64,
    slopes: Vec<f64>,
    own_variance: f64,
}

impl Lin {
    /// From what is known and what is shown, where shown over true is the sum of ratios `of`.
    fn of(known: Option<LnMeasured>, shown: Option<LnMeasured>, of: &[f64], x: &[f64]) -> Option<Self> {
        let (w_known, w_shown) =
            (known.map_or(0.0, |k| 1.0 / k.variance), shown.map_or(0.0, |s| 1.0 / s.variance));
        let weight = w_known + w_shown;
        if weight == 0.0 {
            return None;
        }
        let from_known = known.map_or(0.0, |k| k.ln * w_known);
        let from_shown = shown.map_or(0.0, |s| (s.ln - dot(of, x)) * w_shown);
        Some(Self {
            ln: (from_known + from_shown) / weight,
            slopes: of.iter().map(|c| -c * w_shown / weight).collect(),
            own_variance: 1.0 / weight,
        })
    }

    /// Several amounts added up.
    fn sum(parts: &[Self]) -> Option<Self> {
        let first = parts.first()?;
        let total: f64 = parts.iter().map(|p| p.ln.exp()).sum();
        let mut slopes = vec![0.0; first.slopes.len()];
        let mut own_variance = 0.0;
        for part in parts {
            let share = part.ln.exp() / total;
            slopes.iter_mut().zip(&part.slopes).for_each(|(s, p)| *s += share * p);
            own_variance += share * share * part.own_variance;
        }
        Some(Self { ln: total.ln(), slopes, own_variance })
    }

    fn over(&self, below: &Self) -> Self {
        Self {
            ln: self.ln - below.ln,
            slopes: self.slopes.iter().zip(&below.slopes).map(|(a, b)| a - b).collect(),
            own_variance: self.own_variance + below.own_variance,
        }
    }

    fn u_rel(&self, covariance: &[Vec<f64>]) -> f64 {
        (self.own_variance + variance_of(&self.slopes, covariance)).sqrt()
    }

    fn measured<Q: Quantity>(&self, covariance: &[Vec<f64>]) -> Measured<Q> {
        Measured::relative(Q::from_si(self.ln.exp()), self.u_rel(covariance))
    }
}

/// What one job really got, given everything estimated.
pub(crate) fn job_rates(
    job: &Job,
    ln: &LnJob,
    idx: usize,
    unknowns: &Unknowns,
    x: &[f64],
    covariance: &[Vec<f64>],
) -> JobRates {
    let area = unknowns.area(idx).map(|slopes| Lin { ln: dot(&slopes, x), slopes, own_variance: 0.0 });
    let used = |uses: &[LnUse], ratio: usize| -> Option<Lin> {
        let of = unknowns.one(ratio);
        // One load that nobody knows anything about makes the sum unknown.
        let parts: Option<Vec<Lin>> = uses.iter().map(|u| Lin::of(u.used, u.shown, &of, x)).collect();
        Lin::sum(&parts?)
    };
    let shown_over_area = |uses: &[LnUse]| -> Option<VolumePerArea> {
        let volumes: Option<Vec<f64>> = uses.iter().map(|u| u.shown.map(|s| s.ln.exp())).collect();
        let total: f64 = volumes?.iter().sum();
        Some(VolumePerArea::from_si(total / ln.shown_area?.ln.exp()))
    };
    let applied = |of: Option<&Lin>, uses: &[LnUse], greatest: Option<VolumePerArea>| {
        let rate = of?.over(area.as_ref()?);
        let u_rel = rate.u_rel(covariance);
        let at = |k: f64| VolumePerArea::from_si((rate.ln + k * u_rel).exp());
        let (low, high) = (at(-K_95), at(K_95));
        let label = greatest.map(|most| {
            if high <= most {
                LabelVerdict::Below
            } else if low > most {
                LabelVerdict::Above
            } else {
                LabelVerdict::NotProvenYet
            }
        });
        Some(RateApplied { rate: at(0.0), u_rel, low, high, shown: shown_over_area(uses), label })
    };
    let carrier = used(&ln.carrier, METER);
    let products = ln
        .products
        .iter()
        .enumerate()
        .map(|(pump, uses)| {
            let greatest = job.label_greatest.get(pump).copied().flatten();
            applied(used(uses, PUMPS + pump).as_ref(), uses, greatest)
        })
        .collect();
    JobRates {
        carrier: applied(carrier.as_ref(), &ln.carrier, None),
        area: area.as_ref().map(|a| a.measured(covariance)),
        carrier_used: carrier.as_ref().map(|c| c.measured(covariance)),
        products,
    }
}
