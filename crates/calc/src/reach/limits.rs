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

    /// Where the line meets a flow, and where it would if the flow were another one inside what is open of it.
    fn end(self, q_m3_s: f64, open: Factor) -> Option<End> {
        let at = |q: f64| (q - self.a_m3_s) / self.b_m2;
        let speed = |v: f64| Speed::from_m_per_s(v.max(0.0));
        let v_m_s = at(q_m3_s);
        let (one, other) = (at(q_m3_s * open.lo), at(q_m3_s * open.hi));
        (v_m_s > 0.0).then(|| End {
            speed: speed(v_m_s),
            least: speed(one.min(other)),
            greatest: speed(one.max(other)),
        })
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

    /// The speeds at which the whole band lies between two flows. `None` where neither is known.
    fn between(self, least_m3_s: Option<f64>, greatest_m3_s: Option<f64>, open: Factor) -> Option<Span> {
        if least_m3_s.is_none() && greatest_m3_s.is_none() {
            return None;
        }
        let (mut low, mut high) = (None, None);
        if let Some(q) = greatest_m3_s {
            let Line { a_m3_s, b_m2 } = self.upper;
            if b_m2 > 0.0 {
                match self.upper.end(q, open) {
                    Some(end) => high = Some(end),
                    None => return Some(Span::Nowhere),
                }
            } else if b_m2 < 0.0 {
                low = self.upper.end(q, open);
            } else if a_m3_s > q {
                return Some(Span::Nowhere);
            }
        }
        if let Some(q) = least_m3_s {
            let Line { a_m3_s, b_m2 } = self.lower;
            if b_m2 > 0.0 {
                low = self.lower.end(q, open);
            } else if b_m2 < 0.0 {
                match self.lower.end(q, open) {
                    Some(end) => high = Some(end),
                    None => return Some(Span::Nowhere),
                }
            } else if a_m3_s < q {
                return Some(Span::Nowhere);
            }
        }
        Some(Span::Between { low, high })
    }
}

impl Flows {
    /// Hands over every limit that is known, as a span on the speed axis.
    pub(super) fn each_limit(&self, boom: Option<&Boom>, mut see: impl FnMut(Limit, Span)) {
        if let Some(boom) = boom {
            self.nozzle_limit(boom, &mut see);
            self.carrier_limits(boom, &mut see);
            self.pump_limits(boom, &mut see);
        }
        if let Some(v) = self.top_m_s {
            let high = Line::rising(1.0).end(v, self.top_open);
            see(Limit::TopSpeed, Span::Between { low: None, high });
        }
    }

    fn nozzle_limit(&self, boom: &Boom, see: &mut impl FnMut(Limit, Span)) {
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
        if let Some(span) = band.between(nozzle.q_least_m3_s, nozzle.q_greatest_m3_s, self.nozzle_open) {
            see(Limit::NozzlePressure, span);
        }
    }

    fn carrier_limits(&self, boom: &Boom, see: &mut impl FnMut(Limit, Span)) {
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
        if let Some(span) = band.between(self.meter_least_m3_s, self.meter_greatest_m3_s, self.meter_open) {
            see(Limit::Meter, span);
        }
        if let Some(span) = band.between(None, self.supply_m3_s, self.supply_open) {
            see(Limit::Supply, span);
        }
    }

    fn pump_limits(&self, boom: &Boom, see: &mut impl FnMut(Limit, Span)) {
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
                if let Some(span) = band.between(pump.least_m3_s, pump.greatest_m3_s, open) {
                    see(Limit::Pump { pump_idx, rate }, span);
                }
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
