//! Windows from all sections down to the narrowest alone, and the smallest set that still works at a speed.
//!
//! The window of one definite set is [`super::window::window_with`].

use units::{Length, Speed};

use super::flows::{Boom, Flows, Range, SectionHere};
use super::plan::{Limit, Plan, SectionSet};
use super::section_search::narrowest;
use super::window::{Span, Window, window_of};

/// The windows of all sets with so many sections on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CountWindow {
    /// How many sections are on.
    pub n_on: usize,
    /// The set of the least working width.
    pub narrowest: SetWindow,
    /// The set of the greatest working width.
    pub widest: SetWindow,
    /// The speeds that hold whichever sections are on, as long as they are so many.
    pub any_set: Window,
}

/// One set, its width and its window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetWindow {
    /// The sections that are on.
    pub sections_on: SectionSet,
    /// Their working width.
    pub width: Length,
    /// The speeds that they hold.
    pub window: Window,
}

/// Windows by number of sections on, from all of them to one. Sections without a width are left out.
///
/// `any_set` is the window at the extremes over all sets of that count: least flows judged with the least width (and
/// the least width per nozzle), greatest flows with the greatest. With the carrier rate held both extremes belong to
/// real sets, so it is exact; with the carrier in manual two extremes may belong to different sets, and it errs to the
/// narrow side.
///
/// ```
/// # use calc::reach::{plan::Plan, sections::by_count};
/// # use calc::rig::{Carrier, FlowMeter, Rig, Section};
/// # use units::{FlowRate, Length, PulsesPerVolume, Quantity, VolumePerArea};
/// // By hand: 120 L/ha on 6 m needs 600 × 12 ÷ (120 × 6) = 10 km/h for 12 L/min; on 12 m half of that.
/// let section = Section { width: Length::from_m(6.0), n_nozzles: 12 };
/// let meter = FlowMeter {
///     number: PulsesPerVolume::from_per_m3(100_000.0),
///     least: Some(FlowRate::from_l_per_min(12.0)),
///     greatest: None,
/// };
/// let rig = Rig {
///     sections: vec![section, section],
///     meter: Some(meter),
///     carrier: Some(Carrier::Regulated(VolumePerArea::from_l_per_ha(120.0))),
///     ..Rig::blank()
/// };
/// let lows: Vec<f64> = by_count(&Plan::new(rig)).iter().filter_map(|c| c.any_set.low()).map(|v| v.as_km_per_h()).collect();
/// assert!((lows[0] - 5.0).abs() < 1e-9 && (lows[1] - 10.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn by_count(plan: &Plan) -> Vec<CountWindow> {
    let flows = Flows::new(plan);
    let mut order = usable(&flows);
    order.sort_by(|a, b| a.1.w_m.total_cmp(&b.1.w_m));
    let set_window = |places: &[(usize, SectionHere)]| {
        let sections_on = places.iter().map(|(idx, _)| *idx).collect();
        let boom = Boom::of(places.iter().map(|(_, section)| *section));
        let width = Length::from_m(boom.map_or(0.0, |b| b.w_m.lo));
        SetWindow { sections_on, width, window: window_of(&flows, boom.as_ref()) }
    };
    let of_count = |n_on: usize| CountWindow {
        n_on,
        narrowest: set_window(&order[..n_on]),
        widest: set_window(&order[order.len() - n_on..]),
        any_set: window_of(&flows, extremes(&order, n_on).as_ref()),
    };
    (1..=order.len()).rev().map(of_count).collect()
}

/// The narrowest set that works at a speed.
#[derive(Clone, Debug, PartialEq)]
pub enum Smallest {
    /// This one; of equally narrow sets the one with the fewest sections.
    Set {
        /// The set with its window.
        set: SetWindow,
        /// Whether it is certain that no narrower one does. It is not on a boom of very many different sections, see
        /// [`smallest_at`].
        all_tried: bool,
    },
    /// None does. The limits that all sections together break at this speed; empty where they break none.
    NoSet {
        /// Broken limits.
        broken: Vec<Limit>,
        /// Whether that is certain, see [`smallest_at`].
        all_tried: bool,
    },
    /// No section has a width, or the carrier is not known.
    Unknown,
}

/// The narrowest set of sections whose window holds a speed.
///
/// "Smallest" is the least working width; of equally narrow sets one with the fewest sections, of those the leftmost.
///
/// Sections of equal width and nozzles count as the same kind. How many of each kind are on is searched by branch and
/// bound: no choice is followed that is already wider than the best set or than a limit allows, or that all the rest of
/// the boom cannot make wide enough. That is exact on any boom of up to 15 sections, and on larger ones as long as 65 536
/// partial choices are enough, which they are for 36 sections of a few kinds. Where they are not, the best set of those
/// is compared with every run of neighbours and the narrowest and widest set of each count, and `all_tried` is false.
///
/// ```
/// # use calc::reach::{plan::Plan, sections::{Smallest, smallest_at}};
/// # use calc::rig::{Carrier, FlowMeter, Rig, Section};
/// # use units::{FlowRate, Length, PulsesPerVolume, Speed, VolumePerArea};
/// // By hand: 120 L/ha at 10 km/h with at least 12 L/min needs 600 × 12 ÷ (120 × 10) = 6 m.
/// let sections = [3.0, 4.0, 5.0].map(|m| Section { width: Length::from_m(m), n_nozzles: 0 });
/// let meter = FlowMeter {
///     number: PulsesPerVolume::from_per_m3(100_000.0),
///     least: Some(FlowRate::from_l_per_min(12.0)),
///     greatest: None,
/// };
/// let rig = Rig {
///     sections: sections.to_vec(),
///     meter: Some(meter),
///     carrier: Some(Carrier::Regulated(VolumePerArea::from_l_per_ha(120.0))),
///     ..Rig::blank()
/// };
/// let Smallest::Set { set, .. } = smallest_at(&Plan::new(rig), Speed::from_km_per_h(10.0)) else { panic!() };
/// assert_eq!(set.sections_on.iter().collect::<Vec<_>>(), [0, 1]); // 7 m, the narrowest from 6 m on
/// ```
#[must_use]
pub fn smallest_at(plan: &Plan, speed: Speed) -> Smallest {
    let flows = Flows::new(plan);
    let whole = flows.boom(SectionSet::all(flows.sections.len()));
    if whole.is_none() || flows.carrier.is_none() {
        return Smallest::Unknown;
    }
    let (found, all_tried) = narrowest(&flows, speed);
    if let Some(sections_on) = found {
        let boom = flows.boom(sections_on);
        let width = Length::from_m(boom.map_or(0.0, |b| b.w_m.lo));
        let set = SetWindow { sections_on, width, window: window_of(&flows, boom.as_ref()) };
        return Smallest::Set { set, all_tried };
    }
    let mut broken = Vec::new();
    flows.each_limit(whole.as_ref(), |limit, span| {
        if !span_holds(span, speed) {
            broken.push(limit);
        }
    });
    Smallest::NoSet { broken, all_tried }
}

/// Whether a span holds a speed, ends included.
pub(super) fn span_holds(span: Span, speed: Speed) -> bool {
    match span {
        Span::Nowhere => false,
        Span::Between { low, high } => {
            low.is_none_or(|end| end.speed <= speed) && high.is_none_or(|end| speed <= end.speed)
        }
    }
}

fn usable(flows: &Flows) -> Vec<(usize, SectionHere)> {
    let places = flows.sections.iter().take(SectionSet::MOST).enumerate();
    places.filter_map(|(idx, section)| section.map(|s| (idx, s))).collect()
}

/// Least and greatest width, nozzles and width per nozzle over all sets of so many sections.
fn extremes(by_width: &[(usize, SectionHere)], n_on: usize) -> Option<Boom> {
    let width = |places: &[(usize, SectionHere)]| places.iter().map(|(_, s)| s.w_m).sum::<f64>();
    let w_m = Range { lo: width(&by_width[..n_on]), hi: width(&by_width[by_width.len() - n_on..]) };
    let counted: Option<Vec<(f64, f64)>> = by_width.iter().map(|(_, s)| s.n.map(|n| (s.w_m, n))).collect();
    let (n, w_per_n_m) = counted.map_or((None, None), |counted| {
        let mut ns: Vec<f64> = counted.iter().map(|(_, n)| *n).collect();
        ns.sort_unstable_by(f64::total_cmp);
        let n = Range { lo: ns[..n_on].iter().sum(), hi: ns[ns.len() - n_on..].iter().sum() };
        let w_per_n_m =
            Range { lo: extreme_ratio(&counted, n_on, -1.0), hi: extreme_ratio(&counted, n_on, 1.0) };
        (Some(n), Some(w_per_n_m))
    });
    (n_on > 0).then_some(Boom { w_m, n, w_per_n_m })
}

/// Greatest (`sign` 1) or least (−1) Σw/Σn over the sets of `n_on` pairs.
///
/// Source: W. Dinkelbach, Management Science 13 (1967) 492–498: take the `n_on` pairs with the largest `±(w − λn)`,
/// set `λ` to their ratio, until it stands still.
fn extreme_ratio(pairs: &[(f64, f64)], n_on: usize, sign: f64) -> f64 {
    let ratio = |chosen: &[(f64, f64)]| {
        let (w, n) = chosen.iter().fold((0.0, 0.0), |(w, n), pair| (w + pair.0, n + pair.1));
        w / n
    };
    let mut sorted = pairs.to_vec();
    let mut lambda = ratio(&sorted[..n_on]);
    for _ in 0..pairs.len() {
        let worth = |pair: &(f64, f64)| sign * (pair.0 - lambda * pair.1);
        sorted.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
        let next = ratio(&sorted[..n_on]);
        if sign * (next - lambda) <= 0.0 {
            break;
        }
        lambda = next;
    }
    lambda
}
