//! Each limit of a plan as a span on the speed axis. Private to this folder; the intersection is in [`super::window`].
//!
//! Every flow that a limit watches is a straight line over the speed `v` that the console acts on, `q = a + b·v`. With
//! the carrier rate held, `a = 0`. With the carrier left in manual the nozzles' flow is fixed, so the carrier is what
//! the products leave of it and falls with speed. A greatest flow is held against the highest line that the plan's
//! rates and sections allow, a least flow against the lowest.

use units::Speed;

use super::flows::{Boom, CarrierHere, Flows, Product, Range};
use super::plan::Limit;
use super::proven::Factor;
use super::window::{End, Span};

/// A flow over speed, `q = a + b·v`.
#[derive(Clone, Copy, Debug)]
struct Line {
    a_m3_s: f64,
    b_m2: f64,
}

impl Line {
    const fn rising(b_m2: f64) -> Self {
        Self { a_m3_s: 0.0, b_m2 }
    }

    /// Where the line meets a flow. `None` where that is at no speed above zero.
    fn meets(self, q_m3_s: f64) -> Option<f64> {
        let v_m_s = self.at(q_m3_s);
        (v_m_s > 0.0).then_some(v_m_s)
    }

    fn at(self, q_m3_s: f64) -> f64 {
        (q_m3_s - self.a_m3_s) / self.b_m2
    }

    /// Where the line meets a flow, and where it would if the flow were another one inside what is open of it.
    fn end(self, q_m3_s: f64, open: Factor) -> Option<End> {
        let v_m_s = self.meets(q_m3_s)?;
        let speed = |v: f64| Speed::from_m_per_s(v.max(0.0));
        if open == Factor::ONE {
            return Some(End::exact(speed(v_m_s)));
        }
        let (one, other) = (self.at(q_m3_s * open.lo), self.at(q_m3_s * open.hi));
        Some(End { speed: speed(v_m_s), least: speed(one.min(other)), greatest: speed(one.max(other)) })
    }
}

/// The highest and the lowest line of one flow over all rates and sections of the plan. Both rise or both fall (or stand
/// level), so each end of a span comes from one of them alone.
#[derive(Clone, Copy, Debug)]
struct Band {
    upper: Line,
    lower: Line,
}

impl Band {
    const fn rising(b_m2: Range) -> Self {
        Self { upper: Line::rising(b_m2.hi), lower: Line::rising(b_m2.lo) }
    }

    /// Between which speeds the whole band lies between two flows, with `end` to say where a line meets a flow: low end,
    /// high end, each `None` where there is none. `None` where the band lies there at no speed.
    fn between<E>(
        self,
        least_m3_s: Option<f64>,
        greatest_m3_s: Option<f64>,
        end: impl Fn(Line, f64) -> Option<E>,
    ) -> Option<(Option<E>, Option<E>)> {
        let (mut low, mut high) = (None, None);
        if let Some(q) = greatest_m3_s {
            let Line { a_m3_s, b_m2 } = self.upper;
            if b_m2 > 0.0 {
                high = Some(end(self.upper, q)?);
            } else if b_m2 < 0.0 {
                low = end(self.upper, q);
            } else if a_m3_s > q {
                return None;
            }
        }
        if let Some(q) = least_m3_s {
            let Line { a_m3_s, b_m2 } = self.lower;
            if b_m2 > 0.0 {
                low = end(self.lower, q);
            } else if b_m2 < 0.0 {
                high = Some(end(self.lower, q)?);
            } else if a_m3_s < q {
                return None;
            }
        }
        Some((low, high))
    }
}

/// Least and greatest flow.
type Bounds = (Option<f64>, Option<f64>);

/// What one limit watches: a flow, its bounds of which at least one is known, and what is open of them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Watched {
    pub(super) limit: Limit,
    band: Band,
    least_m3_s: Option<f64>,
    greatest_m3_s: Option<f64>,
    open: Factor,
}

impl Watched {
    fn span(&self) -> Span {
        match self.band.between(self.least_m3_s, self.greatest_m3_s, |line, q| line.end(q, self.open)) {
            Some((low, high)) => Span::Between { low, high },
            None => Span::Nowhere,
        }
    }

    /// Bounds of the flow at a speed, and the flow there: `(least, lowest flow, highest flow, greatest)`, each flow as
    /// what does not change with speed and what does.
    pub(super) fn at(&self, v_m_s: f64) -> (f64, [f64; 2], [f64; 2], f64) {
        let flow = |line: Line| [line.a_m3_s, line.b_m2 * v_m_s];
        let (least, greatest) = (self.least_m3_s.unwrap_or(0.0), self.greatest_m3_s.unwrap_or(f64::INFINITY));
        (least, flow(self.band.lower), flow(self.band.upper), greatest)
    }
}

/// The ends of a window, without what binds there: 0 and infinite where nothing does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ends {
    pub(super) low_m_s: f64,
    pub(super) high_m_s: f64,
}

impl Flows {
    /// Hands over every limit that is known, as a span on the speed axis.
    pub(super) fn each_limit(&self, boom: Option<&Boom>, mut see: impl FnMut(Limit, Span)) {
        self.each_flow(boom, |watched| see(watched.limit, watched.span()));
        if let Some(v) = self.top_m_s {
            let high = Line::rising(1.0).end(v, self.top_open);
            see(Limit::TopSpeed, Span::Between { low: None, high });
        }
    }

    /// The ends of the window, low above high where limits exclude one another. `None` where a limit is met at no speed,
    /// or where there is none. The same numbers as those of [`super::window::window_of`], at less cost.
    pub(super) fn ends(&self, boom: Option<&Boom>) -> Option<Ends> {
        self.carrier?;
        let mut ends = Ends { low_m_s: 0.0, high_m_s: self.top_m_s.unwrap_or(f64::INFINITY) };
        let (mut nowhere, mut any) = (false, self.top_m_s.is_some());
        self.each_flow(Some(boom?), |watched| {
            any = true;
            match watched.band.between(watched.least_m3_s, watched.greatest_m3_s, Line::meets) {
                None => nowhere = true,
                Some((low, high)) => {
                    ends.low_m_s = ends.low_m_s.max(low.unwrap_or(0.0));
                    ends.high_m_s = ends.high_m_s.min(high.unwrap_or(f64::INFINITY));
                }
            }
        });
        (any && !nowhere).then_some(ends)
    }

    /// Hands over every limit of a flow.
    pub(super) fn each_flow(&self, boom: Option<&Boom>, mut see: impl FnMut(&Watched)) {
        let Some(boom) = boom else { return };
        let mut known = |limit, band, (least_m3_s, greatest_m3_s): Bounds, open| {
            if least_m3_s.is_some() || greatest_m3_s.is_some() {
                see(&Watched { limit, band, least_m3_s, greatest_m3_s, open });
            }
        };
        self.nozzle_limit(boom, &mut known);
        self.carrier_limits(boom, &mut known);
        self.pump_limits(boom, &mut known);
    }

    fn nozzle_limit(&self, boom: &Boom, see: &mut impl FnMut(Limit, Band, Bounds, Factor)) {
        let (Some(nozzle), Some(carrier)) = (&self.nozzle, self.carrier) else { return };
        let band = match carrier {
            CarrierHere::Regulated { r_m } => {
                let Some(w_per_n_m) = boom.w_per_n_m else { return };
                let products_m = self.products_with_carrier(r_m);
                Band::rising(Range {
                    lo: (r_m + products_m.lo) * w_per_n_m.lo,
                    hi: (r_m + products_m.hi) * w_per_n_m.hi,
                })
            }
            CarrierHere::Manual { q_nozzle_m3_s: Some(q), .. } => {
                let fixed = Line { a_m3_s: q, b_m2: 0.0 };
                Band { upper: fixed, lower: fixed }
            }
            CarrierHere::Manual { q_nozzle_m3_s: None, .. } => return,
        };
        see(Limit::NozzlePressure, band, (nozzle.q_least_m3_s, nozzle.q_greatest_m3_s), self.nozzle_open);
    }

    fn carrier_limits(&self, boom: &Boom, see: &mut impl FnMut(Limit, Band, Bounds, Factor)) {
        let band = match self.carrier {
            None => return,
            Some(CarrierHere::Regulated { r_m }) => {
                Band::rising(Range { lo: r_m * boom.w_m.lo, hi: r_m * boom.w_m.hi })
            }
            Some(CarrierHere::Manual { .. }) => {
                let Some(band) = self.manual_carrier(boom, None, Product::Area(0.0)) else { return };
                band
            }
        };
        see(Limit::Meter, band, (self.meter_least_m3_s, self.meter_greatest_m3_s), self.meter_open);
        see(Limit::Supply, band, (None, self.supply_m3_s), self.supply_open);
    }

    fn pump_limits(&self, boom: &Boom, see: &mut impl FnMut(Limit, Band, Bounds, Factor)) {
        for (pump_idx, pump) in self.pumps.iter().enumerate() {
            for &(rate, product) in &pump.rates {
                let (band, open) = match (product, self.carrier) {
                    (Product::Area(r_m), _) => {
                        (Band::rising(Range { lo: r_m * boom.w_m.lo, hi: r_m * boom.w_m.hi }), pump.area)
                    }
                    (Product::Ratio(_), None) => continue,
                    (Product::Ratio(s), Some(CarrierHere::Regulated { r_m })) => {
                        let r_m = s * r_m;
                        (Band::rising(Range { lo: r_m * boom.w_m.lo, hi: r_m * boom.w_m.hi }), pump.ratio)
                    }
                    (Product::Ratio(s), Some(CarrierHere::Manual { .. })) => {
                        let Some(carrier) = self.manual_carrier(boom, Some(pump_idx), product) else {
                            continue;
                        };
                        let share = |line: Line| Line { a_m3_s: s * line.a_m3_s, b_m2: s * line.b_m2 };
                        let band = Band { upper: share(carrier.upper), lower: share(carrier.lower) };
                        (band, pump.ratio)
                    }
                };
                let limit = Limit::Pump { pump_idx, rate };
                see(limit, band, (pump.least_m3_s, pump.greatest_m3_s), open);
            }
        }
    }

    /// Carrier flow with the valve left alone: what the products leave of the nozzles' flow,
    /// `(n·q − A·w·v) / (1 + ρ)` with `A` the products per area and `ρ` those per carrier. One pump may stand at a
    /// definite rate, the others at whichever of theirs is worst.
    fn manual_carrier(&self, boom: &Boom, pump_idx: Option<usize>, own: Product) -> Option<Band> {
        let Some(CarrierHere::Manual { q_nozzle_m3_s: Some(q_m3_s), .. }) = self.carrier else { return None };
        let n = boom.n?;
        let others = self.products_without(pump_idx);
        let line = |n: f64, w_m: f64, area_m: f64, ratio: f64| {
            let scale = 1.0 / (1.0 + ratio + own.ratio());
            Line { a_m3_s: n * q_m3_s * scale, b_m2: -(area_m + own.area()) * w_m * scale }
        };
        Some(Band {
            upper: line(n.hi, boom.w_m.lo, others.area_m.lo, others.ratio.lo),
            lower: line(n.lo, boom.w_m.hi, others.area_m.hi, others.ratio.hi),
        })
    }

    /// Carrier flow over the speed acted on where one set of sections is on and the valve is left alone, with the
    /// other products at their least: `(a, b)` of `a + b·v`.
    pub(super) fn manual_carrier_line(
        &self,
        boom: &Boom,
        pump_idx: Option<usize>,
        own: Product,
    ) -> Option<(f64, f64)> {
        self.manual_carrier(boom, pump_idx, own).map(|band| (band.upper.a_m3_s, band.upper.b_m2))
    }
}
