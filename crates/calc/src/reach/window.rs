//! Between which speeds a plan holds its rates: every limit as a bar on one speed axis, and where they overlap.
//!
//! The axis is the speed that the console shows, since that is what it acts on. Which sections to choose is in
//! [`super::sections`], what lands on the ground in [`super::doses`].

use units::Speed;

use super::flows::{Boom, Flows};
use super::plan::{Limit, Plan, Problem, SectionSet};

/// One end of a limit. Where the limit rests on a proven number, the interval that holds it with about 95 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Best value.
    pub speed: Speed,
    /// Lower end of the interval; equal to `speed` where nothing is known of the uncertainty.
    pub least: Speed,
    /// Upper end of the interval.
    pub greatest: Speed,
}

impl End {
    /// An end without uncertainty.
    #[must_use]
    pub const fn exact(speed: Speed) -> Self {
        Self { speed, least: speed, greatest: speed }
    }
}

/// The speeds that one limit allows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Span {
    /// From `low` to `high`; `None` where the limit sets no end on that side.
    Between {
        /// The slowest speed.
        low: Option<End>,
        /// The fastest speed.
        high: Option<End>,
    },
    /// No speed at all: speed does not change the flow that this limit watches, and the flow is outside it.
    Nowhere,
}

/// A limit drawn as a bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// What limits.
    pub limit: Limit,
    /// The speeds that it allows. Both ends `None`: every speed.
    pub span: Span,
}

/// An end of the window and the limit that binds there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// What binds.
    pub limit: Limit,
    /// Where.
    pub end: End,
}

/// The speeds that all limits together allow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Window {
    /// From `low` to `high`. `None` where no known limit sets that end.
    Open {
        /// The slowest speed, and what binds there.
        low: Option<Bound>,
        /// The fastest speed, and what binds there.
        high: Option<Bound>,
    },
    /// Two limits exclude one another: one needs at least a speed that the other does not allow.
    Empty {
        /// The limit that needs the most speed.
        needs: Bound,
        /// The limit that allows the least.
        allows: Bound,
    },
    /// One limit is met at no speed.
    Nowhere {
        /// Which.
        limit: Limit,
    },
    /// The carrier or the sections are not known, or no limit is.
    Unknown,
}

impl Window {
    /// Whether a speed lies in it, ends included. Never in a window that is not open.
    #[must_use]
    pub fn contains(&self, speed: Speed) -> bool {
        match self {
            Self::Open { low, high } => {
                low.is_none_or(|b| b.end.speed <= speed) && high.is_none_or(|b| speed <= b.end.speed)
            }
            _ => false,
        }
    }

    /// Whether there is a speed in it.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        matches!(self, Self::Open { .. })
    }

    /// The slowest speed of an open window. `None` where it is not open or nothing limits that side.
    #[must_use]
    pub fn low(&self) -> Option<Speed> {
        match self {
            Self::Open { low, .. } => low.map(|b| b.end.speed),
            _ => None,
        }
    }

    /// The fastest speed of an open window. `None` where it is not open or nothing limits that side.
    #[must_use]
    pub fn high(&self) -> Option<Speed> {
        match self {
            Self::Open { high, .. } => high.map(|b| b.end.speed),
            _ => None,
        }
    }
}

/// What a plan can hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// Every limit that is known, as a bar.
    pub bars: Vec<Bar>,
    /// Where they overlap.
    pub window: Window,
    /// Where they overlap whichever value inside its interval each uncertain end has. Not open where that is nowhere.
    pub surely: Window,
    /// The minimum-speed hold. No limit: below it the rig still sprays, but the dose grows.
    pub hold: Option<Speed>,
    /// What is missing or makes no sense; its limit is not among the bars.
    pub problems: Vec<Problem>,
}

impl Reach {
    /// The slowest speed at which the rate is really held: the window's low end, or the hold speed where that is
    /// faster. `None` where the window is not open or the hold lies above it.
    #[must_use]
    pub fn rate_held_from(&self) -> Option<Speed> {
        let from = match (self.window.low(), self.hold) {
            (Some(low), Some(hold)) => Some(if hold > low { hold } else { low }),
            (low, hold) => low.or(hold),
        }?;
        self.window.contains(from).then_some(from)
    }

    /// Every pair of limits of which the first needs more speed than the second allows.
    #[must_use]
    pub fn conflicts(&self) -> Vec<(Bound, Bound)> {
        let mut pairs = Vec::new();
        for needs in &self.bars {
            let Span::Between { low: Some(low), .. } = needs.span else { continue };
            for allows in &self.bars {
                let Span::Between { high: Some(high), .. } = allows.span else { continue };
                if low.speed > high.speed {
                    pairs.push((
                        Bound { limit: needs.limit, end: low },
                        Bound { limit: allows.limit, end: high },
                    ));
                }
            }
        }
        pairs
    }
}

/// The speeds that a plan can hold with the sections that are on.
///
/// | symbol       | meaning                                                    | range                   |
/// |--------------|------------------------------------------------------------|-------------------------|
/// | `R`, `ΣR_p`  | carrier rate, products' rates at the nozzle                | > 0                     |
/// | `w`, `n`     | working width, number of nozzles on                        | > 0                     |
/// | `q_n(P)`     | flow of one nozzle at the window's pressures, at this SG   | [`crate::nozzle`]       |
/// | `q_m`        | the meter's least and greatest flow                        | ≥ 0                     |
/// | `q_s`        | the supply pump's flow · (1 − agitation − reserve)         | > 0                     |
/// | `q_i`        | a pump's least and greatest output                         | ≥ 0                     |
///
/// With the carrier rate held: nozzles `v = q_n·n / ((R + ΣR_p)·w)`, meter `v = q_m / (R·w)`, supply `v = q_s / (R·w)`,
/// pump `v = q_i / (R_p·w)` at every rate (first, second, each nudged up and down). The meter and the supply pump lie
/// before the injection point and see carrier only; the nozzles see carrier and products. Least pressure is judged
/// with the least sum of products, greatest pressure with the greatest.
///
/// With the carrier in manual the nozzles' flow is fixed by the pressure; carrier is what the products leave of it.
///
/// An end that rests on proven numbers becomes the interval of speeds at the flow `q·c·(1 ± t·u)` and `q` itself. `c` is
/// what is left uncorrected in the numbers (1 where the proven ones are keyed in), `u` their relative standard
/// uncertainties in quadrature, `t` Student's factor for 95 % at their effective degrees of freedom: nozzles and supply
/// pump own and meter, pump own, meter own; with the carrier in manual the nozzles take the meter's place. An end that
/// rests on one trial alone is therefore as uncertain as that trial says. The products' share in what the nozzles pass
/// is taken as uncertain as the carrier.
///
/// # Source
/// Definition of the rate; limits as said in extension texts on sprayer plumbing (Virginia Tech Extension 442-452:
/// pump flow for nozzles, agitation and a reserve). Uncertainty: JCGM 100:2008, 5.1.6, G.4.2, F.2.4.5.
///
/// # Example
/// By hand: 20 gal/ac on 20 in nozzles of 0.4 gal/min at 40 psi: 5940 × 0.4 ÷ (20 × 20) = 5.94 mph at 40 psi, so half
/// of that at 10 psi.
/// ```
/// # use calc::reach::{plan::Plan, window::window};
/// # use calc::rig::{Carrier, NozzleSet, Rig, Section};
/// # use units::{FlowRate, Length, Pressure, VolumePerArea};
/// let nozzles = NozzleSet {
///     rated_flow: FlowRate::from_us_gal_per_min(0.4),
///     rated_pressure: Pressure::from_psi(40.0),
///     least_pressure: Some(Pressure::from_psi(10.0)),
///     greatest_pressure: Some(Pressure::from_psi(40.0)),
///     spacing: None,
/// };
/// let rig = Rig {
///     sections: vec![Section { width: Length::from_in(240.0), n_nozzles: 12 }],
///     nozzles: Some(nozzles),
///     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))),
///     ..Rig::blank()
/// };
/// let reach = window(&Plan::new(rig));
/// assert!(reach.window.low().is_some_and(|v| (v.as_mph() - 2.97).abs() < 1e-9));
/// assert!(reach.window.high().is_some_and(|v| (v.as_mph() - 5.94).abs() < 1e-9));
/// ```
/// Proven: the meter in three runs to 0.4 % (2 degrees of freedom, t = 4.3027), so 5.94 mph ± 1.721 %.
/// ```
/// # use calc::reach::{plan::Plan, proven::Proof, window::window};
/// # use calc::rig::{Carrier, NozzleSet, Rig, Section};
/// # use units::{FlowRate, Length, Pressure, Share, VolumePerArea};
/// # let nozzles = NozzleSet {
/// #     rated_flow: FlowRate::from_us_gal_per_min(0.4), rated_pressure: Pressure::from_psi(40.0),
/// #     least_pressure: Some(Pressure::from_psi(10.0)), greatest_pressure: Some(Pressure::from_psi(40.0)), spacing: None,
/// # };
/// # let rig = Rig {
/// #     sections: vec![Section { width: Length::from_in(240.0), n_nozzles: 12 }], nozzles: Some(nozzles),
/// #     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))), ..Rig::blank()
/// # };
/// let mut plan = Plan::new(rig);
/// plan.proven.meter = Some(Proof { dof: 2.0, ..Proof::known(Share::from_percent(0.4)) });
/// let sure = window(&plan).surely.high();
/// assert!(sure.is_some_and(|v| (v.as_mph() - 5.94 * (1.0 - 0.004 * 4.302_652_73)).abs() < 1e-7));
/// ```
#[must_use]
pub fn window(plan: &Plan) -> Reach {
    window_with(plan, plan.sections_on)
}

/// The speeds that a plan can hold with another set of sections. See [`window`].
#[must_use]
pub fn window_with(plan: &Plan, sections_on: SectionSet) -> Reach {
    let flows = Flows::new(plan);
    let boom = flows.boom(sections_on);
    let mut problems = flows.problems.clone();
    flows.set_problems(sections_on, &mut problems);
    let mut bars = Vec::new();
    let (mut best, mut sure) = (Overlap::default(), Overlap::default());
    flows.each_limit(boom.as_ref(), |limit, span| {
        bars.push(Bar { limit, span });
        best.take(limit, span, |end| (end, end));
        sure.take(limit, span, |end| (End::exact(end.greatest), End::exact(end.least)));
    });
    let known = flows.carrier.is_some() && boom.is_some();
    Reach {
        bars,
        window: best.window(known),
        surely: sure.window(known),
        hold: flows.hold_m_s.map(Speed::from_m_per_s),
        problems,
    }
}

/// The window alone, without a list of bars.
pub(super) fn window_of(flows: &Flows, boom: Option<&Boom>) -> Window {
    let mut overlap = Overlap::default();
    flows.each_limit(boom, |limit, span| overlap.take(limit, span, |end| (end, end)));
    overlap.window(flows.carrier.is_some() && boom.is_some())
}

#[derive(Default)]
struct Overlap {
    low: Option<Bound>,
    high: Option<Bound>,
    nowhere: Option<Limit>,
    any: bool,
}

impl Overlap {
    /// `ends` says what of an end counts where it is a low one and where it is a high one.
    fn take(&mut self, limit: Limit, span: Span, ends: impl Fn(End) -> (End, End)) {
        self.any = true;
        let (low, high) = match span {
            Span::Nowhere => {
                self.nowhere = self.nowhere.or(Some(limit));
                return;
            }
            Span::Between { low, high } => (low.map(|end| ends(end).0), high.map(|end| ends(end).1)),
        };
        if let Some(end) = low
            && self.low.is_none_or(|so_far| end.speed > so_far.end.speed)
        {
            self.low = Some(Bound { limit, end });
        }
        if let Some(end) = high
            && self.high.is_none_or(|so_far| end.speed < so_far.end.speed)
        {
            self.high = Some(Bound { limit, end });
        }
    }

    fn window(self, known: bool) -> Window {
        if !known || !self.any {
            return Window::Unknown;
        }
        if let Some(limit) = self.nowhere {
            return Window::Nowhere { limit };
        }
        match (self.low, self.high) {
            (Some(needs), Some(allows)) if needs.end.speed > allows.end.speed => {
                Window::Empty { needs, allows }
            }
            (low, high) => Window::Open { low, high },
        }
    }
}
