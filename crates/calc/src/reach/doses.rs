//! What lands on the ground at every rate of a plan, against the label maximum.
//!
//! Doses over speed on a straight line; on a curve see [`super::turns`]. What to do about a refusal is in
//! [`super::make_it_work`].

use units::{Quantity, Share, Speed, VolumePerArea};

use super::flows::{Boom, CarrierHere, Flows, Product};
use super::plan::{Plan, Problem, RateInForce, SectionSet};
use super::window::{Window, window_of};

/// A dose on the ground over speed: `d(v) = (a + b·max(v, v_hold)) / v`.
///
/// `b` is the rate that the console holds, `a` what flows whatever the speed (a product per carrier, or the carrier
/// itself, with the carrier in manual).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseLaw {
    a_m2_s: f64,
    b_m: f64,
    hold_m_s: f64,
}

impl DoseLaw {
    /// The dose at a speed. `None` at a speed that is zero, negative or not finite.
    ///
    /// ```
    /// # use calc::reach::{doses::doses, plan::Plan};
    /// # use calc::rig::{Carrier, InjectionPump, ProductRate, Rig, Section};
    /// # use units::{Length, Speed, VolumePerArea};
    /// // By hand: held at 4 mph, 10 fl oz/ac become 10 × 4 ÷ 2 = 20 fl oz/ac at 2 mph.
    /// let first = Some(ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(10.0)));
    /// let rig = Rig {
    ///     sections: vec![Section { width: Length::from_ft(30.0), n_nozzles: 18 }],
    ///     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))),
    ///     pumps: vec![InjectionPump { first, ..InjectionPump::blank() }],
    ///     hold_speed: Some(Speed::from_mph(4.0)),
    ///     ..Rig::blank()
    /// };
    /// let law = doses(&Plan::new(rig)).lines[0].law;
    /// assert!(law.at(Speed::from_mph(2.0)).is_some_and(|d| (d.as_us_fl_oz_per_ac() - 20.0).abs() < 1e-9));
    /// assert!(law.at(Speed::from_mph(8.0)).is_some_and(|d| (d.as_us_fl_oz_per_ac() - 10.0).abs() < 1e-9));
    /// ```
    #[must_use]
    pub fn at(&self, speed: Speed) -> Option<VolumePerArea> {
        let v_m_s = speed.as_m_per_s();
        (v_m_s.is_finite() && v_m_s > 0.0).then(|| {
            // From the hold speed on nothing is multiplied and divided again, so a held rate comes back as it went in.
            let d_m = if v_m_s >= self.hold_m_s {
                self.a_m2_s / v_m_s + self.b_m
            } else {
                (self.a_m2_s + self.b_m * self.hold_m_s) / v_m_s
            };
            VolumePerArea::from_si(d_m.max(0.0))
        })
    }

    /// Where the dose lies above a greatest one.
    ///
    /// With the rate held: nowhere above the hold speed while `b ≤ L`, and below `v = v_hold·b/L`. The dose never rises
    /// with speed, so one speed divides the axis.
    #[must_use]
    pub fn passes(&self, greatest: VolumePerArea) -> Passes {
        // A trace above, so that a rate that is the maximum in other units is not said to pass it.
        const TRACE: f64 = 1e-12;
        let l_m = greatest.as_si() * (1.0 + TRACE);
        if self.b_m > l_m {
            return Passes::Always;
        }
        // Below the hold speed: (a + b·h)/v > L; from it on: a/v + b > L. At the hold speed both say the same.
        let below_hold_m_s = (self.a_m2_s + self.b_m * self.hold_m_s) / l_m;
        if below_hold_m_s <= self.hold_m_s {
            return if below_hold_m_s > 0.0 {
                Passes::Below(Speed::from_m_per_s(below_hold_m_s))
            } else {
                Passes::Never
            };
        }
        // Only reached where something flows whatever the speed; then the rest falls with speed, b ≤ 0 < L.
        Passes::Below(Speed::from_m_per_s(self.a_m2_s / (l_m - self.b_m)))
    }

    /// The same dose, so many times as large.
    const fn times(self, factor: f64) -> Self {
        Self { a_m2_s: self.a_m2_s * factor, b_m: self.b_m * factor, hold_m_s: self.hold_m_s }
    }

    /// The rate that the console holds from the hold speed on, where nothing floats.
    #[must_use]
    pub fn held(&self) -> Option<VolumePerArea> {
        (self.a_m2_s == 0.0).then(|| VolumePerArea::from_si(self.b_m))
    }
}

/// At which speeds a dose lies above a maximum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Passes {
    /// At none.
    Never,
    /// At every speed slower than this one.
    Below(Speed),
    /// At all.
    Always,
}

/// The dose of one pump at one rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseLine {
    /// Place of the pump in the rig's list.
    pub pump_idx: usize,
    /// The rate in force.
    pub rate: RateInForce,
    /// Dose over speed.
    pub law: DoseLaw,
    /// What the dose may be at least and at most, with about 95 %, as far as its numbers are proven; equal to `law` where
    /// none is.
    pub open: (DoseLaw, DoseLaw),
    /// The label maximum, where one was given.
    pub label: Option<VolumePerArea>,
    /// Where the dose passes it.
    pub passes: Option<Passes>,
    /// Where the dose may pass it: where its upper end does. Equal to `passes` where nothing is proven.
    pub may_pass: Option<Passes>,
}

/// Why a dose passes the label maximum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// The rate itself lies above it.
    RateItself,
    /// The minimum-speed hold keeps the output up while the truck is slower.
    Hold,
    /// The carrier is in manual, and product follows it rather than speed.
    CarrierInManual,
}

/// A rate of the plan that passes the label maximum inside the window: the plan is refused until it is changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refusal {
    /// Place of the pump in the rig's list.
    pub pump_idx: usize,
    /// The rate that passes it.
    pub rate: RateInForce,
    /// Why.
    pub cause: Cause,
    /// At which speeds.
    pub passes: Passes,
    /// The label maximum.
    pub label: VolumePerArea,
    /// The worst point of the window. `None` where nothing limits the window's low end, so that the dose grows without
    /// end towards standing still.
    pub worst: Option<Worst>,
}

/// The greatest dose in a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// At which speed. `None` where it is the same at every speed.
    pub speed: Option<Speed>,
    /// The dose.
    pub dose: VolumePerArea,
    /// How far above the label maximum, as a share of it.
    pub over: Share,
}

/// Every dose of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Doses {
    /// The carrier on the ground.
    pub carrier: Option<DoseLaw>,
    /// One line for each pump and rate, pump by pump, the plain rates first.
    pub lines: Vec<DoseLine>,
    /// What passes the label maximum inside the window. Not empty: the plan is refused.
    pub refused: Vec<Refusal>,
    /// What keeps the label maximum by its best value, but may pass it inside the window: its upper end does. The plan is
    /// not refused for it.
    pub doubtful: Vec<Refusal>,
    /// The plan's window, inside which doses are held against the label.
    pub window: Window,
    /// What is missing or makes no sense.
    pub problems: Vec<Problem>,
}

impl Doses {
    /// The slowest speed at which no dose of the plan passes its label maximum. `None` where none passes it at any
    /// speed, or one does at all.
    #[must_use]
    pub fn label_kept_from(&self) -> Option<Speed> {
        let passing = self.lines.iter().filter_map(|line| match line.passes {
            Some(Passes::Below(v)) => Some(v),
            _ => None,
        });
        let always = self.lines.iter().any(|line| line.passes == Some(Passes::Always));
        passing
            .fold(None, |most, v| if most.is_some_and(|m| m >= v) { most } else { Some(v) })
            .filter(|_| !always)
    }
}

/// The doses of a plan with the sections that are on, each held against its label maximum.
///
/// | symbol   | meaning                                            | range       |
/// |----------|----------------------------------------------------|-------------|
/// | `R_p`    | product rate in force: first, second, each nudged  | > 0         |
/// | `v_hold` | minimum-speed hold                                 | > 0 or none |
/// | `L`      | label maximum                                      | > 0 or none |
///
/// Rate held: `d = R_p` from `v_hold` on, `R_p·v_hold/v` below, so the label is passed below `v_hold·R_p/L`. A product per
/// carrier counts as `s·R`. With the carrier in manual a product per carrier follows the carrier's flow, which speed
/// does not change: `d` falls as `1/v`, with the other products at their least.
///
/// A dose on the ground may be `c_p/c_v` times what the law says, with `c` the true over the said value of the pump number
/// and of the course number (with the carrier in manual also of nozzles and meter, for a product per carrier). The upper end
/// of what [`super::proven`] leaves open of it, 95 % with either side, is held against the label too: a rate that keeps
/// the maximum only by its best value is doubtful. Widths count as keyed in right.
///
/// A plan is refused when a dose passes its label maximum at a speed inside the window (or, where the window is not
/// open, at every speed). A low end that no known limit sets counts as standing still.
///
/// # Source
/// Definition of the hold: output no longer falls with speed. Univ. of Missouri Extension G1270A: 10 % slower with
/// constant flow over-applies (exactly 11.1 %).
///
/// # Example
/// By hand: 10 fl oz/ac held at 4 mph, label 12: passed below 4 × 10 ÷ 12 = 3.333 mph.
/// ```
/// # use calc::reach::{doses::{Passes, doses}, plan::Plan};
/// # use calc::rig::{Carrier, InjectionPump, ProductRate, Rig, Section};
/// # use units::{Length, Speed, VolumePerArea};
/// let oz = VolumePerArea::from_us_fl_oz_per_ac;
/// let first = Some(ProductRate::PerArea(oz(10.0)));
/// let rig = Rig {
///     sections: vec![Section { width: Length::from_ft(30.0), n_nozzles: 18 }],
///     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))),
///     pumps: vec![InjectionPump { first, label_greatest: Some(oz(12.0)), ..InjectionPump::blank() }],
///     hold_speed: Some(Speed::from_mph(4.0)),
///     ..Rig::blank()
/// };
/// let Some(Passes::Below(v)) = doses(&Plan::new(rig)).lines[0].passes else { panic!() };
/// assert!((v.as_mph() - 10.0 / 3.0).abs() < 1e-9);
/// ```
/// Proven: with the pump number known to 1 %, k = 1.96, the upper end passes below 4 × 10 × 1.0196 ÷ 12 = 3.39866 mph.
/// ```
/// # use calc::reach::{doses::{Passes, doses}, plan::Plan, proven::Proof};
/// # use calc::rig::{Carrier, InjectionPump, ProductRate, Rig, Section};
/// # use units::{Length, Share, Speed, VolumePerArea};
/// # let oz = VolumePerArea::from_us_fl_oz_per_ac;
/// # let first = Some(ProductRate::PerArea(oz(10.0)));
/// # let rig = Rig {
/// #     sections: vec![Section { width: Length::from_ft(30.0), n_nozzles: 18 }],
/// #     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))),
/// #     pumps: vec![InjectionPump { first, label_greatest: Some(oz(12.0)), ..InjectionPump::blank() }],
/// #     hold_speed: Some(Speed::from_mph(4.0)),
/// #     ..Rig::blank()
/// # };
/// let mut plan = Plan::new(rig);
/// plan.proven.pumps = vec![Some(Proof::known(Share::from_percent(1.0)))];
/// let Some(Passes::Below(v)) = doses(&plan).lines[0].may_pass else { panic!() };
/// assert!((v.as_mph() - 40.0 * 1.019_599_64 / 12.0).abs() < 1e-7);
/// ```
#[must_use]
pub fn doses(plan: &Plan) -> Doses {
    doses_with(plan, plan.sections_on)
}

/// The doses with another set of sections. See [`doses`].
#[must_use]
pub fn doses_with(plan: &Plan, sections_on: SectionSet) -> Doses {
    let flows = Flows::new(plan);
    let boom = flows.boom(sections_on);
    let mut problems = flows.problems.clone();
    flows.set_problems(sections_on, &mut problems);
    let window = window_of(&flows, boom.as_ref());
    let lines: Vec<DoseLine> = dose_lines(&flows, boom.as_ref()).collect();
    let (mut refused, mut doubtful) = (Vec::new(), Vec::new());
    for line in &lines {
        match refusal(line, line.law, line.passes, &window) {
            Some(refusal) => refused.push(refusal),
            None => doubtful.extend(refusal(line, line.open.1, line.may_pass, &window)),
        }
    }
    Doses { carrier: carrier_law(&flows, boom.as_ref()), lines, refused, doubtful, window, problems }
}

/// Whether any dose of the plan passes its label maximum inside the window.
pub(super) fn any_refused(flows: &Flows, boom: Option<&Boom>, window: &Window) -> bool {
    dose_lines(flows, boom).any(|line| refusal(&line, line.law, line.passes, window).is_some())
}

/// Whether any dose of the plan passes its label maximum in an open window with this low end, 0 where nothing limits it.
pub(super) fn refused_from(flows: &Flows, boom: Option<&Boom>, low_m_s: f64) -> bool {
    flows.pumps.iter().enumerate().any(|(pump_idx, pump)| {
        let Some(label) = pump.label_m.map(VolumePerArea::from_si) else { return false };
        pump.rates.iter().any(|&(_, product)| {
            let law = product_law(flows, boom, pump_idx, product);
            match law.map_or(Passes::Never, |law| law.passes(label)) {
                Passes::Never => false,
                Passes::Below(from) => low_m_s < from.as_m_per_s(),
                Passes::Always => true,
            }
        })
    })
}

fn dose_lines<'a>(flows: &'a Flows, boom: Option<&'a Boom>) -> impl Iterator<Item = DoseLine> + 'a {
    flows.pumps.iter().enumerate().flat_map(move |(pump_idx, pump)| {
        pump.rates.iter().filter_map(move |&(rate, product)| {
            let law = product_law(flows, boom, pump_idx, product)?;
            let label = pump.label_m.map(VolumePerArea::from_si);
            let factor = match product {
                Product::Area(_) => pump.dose_area,
                Product::Ratio(_) => pump.dose_ratio,
            };
            let open = (law.times(factor.lo), law.times(factor.hi));
            let passes = |law: DoseLaw| label.map(|label| law.passes(label));
            Some(DoseLine { pump_idx, rate, law, open, label, passes: passes(law), may_pass: passes(open.1) })
        })
    })
}

fn product_law(flows: &Flows, boom: Option<&Boom>, pump_idx: usize, product: Product) -> Option<DoseLaw> {
    let hold_m_s = flows.hold_m_s.unwrap_or(0.0);
    match (product, flows.carrier) {
        (Product::Area(b_m), _) => Some(DoseLaw { a_m2_s: 0.0, b_m, hold_m_s }),
        (Product::Ratio(_), None) => None,
        (Product::Ratio(s), Some(CarrierHere::Regulated { r_m })) => {
            Some(DoseLaw { a_m2_s: 0.0, b_m: s * r_m, hold_m_s })
        }
        (Product::Ratio(s), Some(CarrierHere::Manual { .. })) => {
            let boom = boom?;
            let (a_m3_s, b_m2) = flows.manual_carrier_line(boom, Some(pump_idx), product)?;
            let w_m = boom.w_m.lo;
            Some(DoseLaw { a_m2_s: s * a_m3_s / w_m, b_m: s * b_m2 / w_m, hold_m_s })
        }
    }
}

fn carrier_law(flows: &Flows, boom: Option<&Boom>) -> Option<DoseLaw> {
    let hold_m_s = flows.hold_m_s.unwrap_or(0.0);
    match flows.carrier? {
        CarrierHere::Regulated { r_m } => Some(DoseLaw { a_m2_s: 0.0, b_m: r_m, hold_m_s }),
        CarrierHere::Manual { q_nozzle_m3_s, .. } => {
            let boom = boom?;
            let (area_m, ratio) = flows.first_products();
            let (n, q_m3_s, w_m) = (boom.n?.lo, q_nozzle_m3_s?, boom.w_m.lo);
            let scale = 1.0 / (1.0 + ratio);
            Some(DoseLaw { a_m2_s: n * q_m3_s * scale / w_m, b_m: -area_m * scale, hold_m_s })
        }
    }
}

fn refusal(line: &DoseLine, law: DoseLaw, passes: Option<Passes>, window: &Window) -> Option<Refusal> {
    let (label, passes) = (line.label?, passes?);
    let refused = |cause, worst| {
        Some(Refusal { pump_idx: line.pump_idx, rate: line.rate, cause, passes, label, worst })
    };
    let worst = |speed: Option<Speed>, dose: VolumePerArea| Worst {
        speed,
        dose,
        over: Share::from_fraction(dose.as_si() / label.as_si() - 1.0),
    };
    match passes {
        Passes::Never => None,
        Passes::Always => {
            let low = window.low();
            let held_all_over =
                low.map_or(law.hold_m_s == 0.0 || !window.is_open(), |v| v.as_m_per_s() >= law.hold_m_s);
            let at = if held_all_over {
                law.held().map(|dose| worst(None, dose))
            } else {
                low.and_then(|v| law.at(v).map(|dose| worst(Some(v), dose)))
            };
            refused(Cause::RateItself, at)
        }
        Passes::Below(from) => {
            let Window::Open { low, .. } = window else { return None };
            let low = low.map(|b| b.end.speed);
            if low.is_some_and(|low| low >= from) {
                return None;
            }
            let cause = if law.held().is_none() { Cause::CarrierInManual } else { Cause::Hold };
            refused(cause, low.and_then(|v| law.at(v).map(|dose| worst(Some(v), dose))))
        }
    }
}
