//! Windows from all sections down to the narrowest alone, and the smallest set that still works at a speed.
//!
//! The window of one definite set is [`super::window::window_with`].

use units::{Length, Speed};

use super::flows::{Boom, CarrierHere, Flows, Range, SectionHere};
use super::plan::{Limit, Plan, SectionSet};
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
        /// Whether every set was tried. On a boom of very many different sections only single runs of neighbours and
        /// the narrowest and widest of each count are.
        all_tried: bool,
    },
    /// None does. The limits that all sections together break at this speed; empty where they break none.
    NoSet {
        /// Broken limits.
        broken: Vec<Limit>,
    },
    /// No section has a width, or the carrier is not known.
    Unknown,
}

/// The narrowest set of sections whose window holds a speed.
///
/// Found by trying sets in the order of their width, sections of equal width and nozzles counting as the same.
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
    let sections = usable(&flows);
    let whole = Boom::of(sections.iter().map(|(_, section)| *section));
    let (Some(whole), Some(carrier)) = (whole, flows.carrier) else { return Smallest::Unknown };
    let (mut sets, all_tried) = sets_to_try(&sections);
    sets.sort_by(|a, b| a.w_m.total_cmp(&b.w_m).then(a.n_on.cmp(&b.n_on)));
    let fits_width = needed_width(&flows, &whole, carrier, speed);
    for set in &sets {
        if !(fits_width.lo <= set.w_m && set.w_m <= fits_width.hi) {
            continue;
        }
        if window_of(&flows, set.boom().as_ref()).contains(speed) {
            let sections_on = set.sections(&sections);
            let window = window_of(&flows, flows.boom(sections_on).as_ref());
            // Sums in another order may differ in the last digit; at an end that decides.
            if window.contains(speed) {
                let set = SetWindow { sections_on, width: Length::from_m(set.w_m), window };
                return Smallest::Set { set, all_tried };
            }
        }
    }
    let mut broken = Vec::new();
    flows.each_limit(Some(&whole), |limit, span| {
        if !span_holds(span, speed) {
            broken.push(limit);
        }
    });
    Smallest::NoSet { broken }
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

/// One choice out of equal sections: how many of each kind, or which ones.
#[derive(Clone, Debug)]
struct Candidate {
    w_m: f64,
    n: Option<f64>,
    n_on: usize,
    pick: Pick,
}

#[derive(Clone, Debug)]
enum Pick {
    /// So many of each kind, kinds numbered as in [`kinds`].
    OfEachKind(Vec<u8>),
    /// These places in the list of usable sections.
    Places(Vec<usize>),
}

impl Candidate {
    fn of(pick: Pick, parts: impl Iterator<Item = (usize, SectionHere)>) -> Self {
        let (mut w_m, mut n, mut n_on) = (0.0, Some(0.0), 0);
        for (count, section) in parts.filter(|(count, _)| *count > 0) {
            w_m += count as f64 * section.w_m;
            n = n.zip(section.n).map(|(sum, own)| sum + count as f64 * own);
            n_on += count;
        }
        Self { w_m, n, n_on, pick }
    }

    fn boom(&self) -> Option<Boom> {
        Boom::of(std::iter::once(SectionHere { w_m: self.w_m, n: self.n }))
    }

    fn sections(&self, sections: &[(usize, SectionHere)]) -> SectionSet {
        match &self.pick {
            Pick::Places(places) => places.iter().map(|&place| sections[place].0).collect(),
            Pick::OfEachKind(wanted) => {
                let kinds = kinds(sections);
                let mut left = wanted.clone();
                let takes = |(place, &(idx, _)): (usize, &(usize, SectionHere))| {
                    let kind = kinds[place];
                    (left[kind] > 0).then(|| {
                        left[kind] -= 1;
                        idx
                    })
                };
                sections.iter().enumerate().filter_map(takes).collect()
            }
        }
    }
}

/// The kind of each section: equal width and nozzles, equal number.
fn kinds(sections: &[(usize, SectionHere)]) -> Vec<usize> {
    let mut seen: Vec<SectionHere> = Vec::new();
    let kind_of = |(_, section): &(usize, SectionHere)| {
        seen.iter().position(|s| s == section).unwrap_or_else(|| {
            seen.push(*section);
            seen.len() - 1
        })
    };
    sections.iter().map(kind_of).collect()
}

/// So many sets are tried one by one; on a boom with more, see [`Smallest::Set`].
const MOST_SETS: usize = 8192;

fn sets_to_try(sections: &[(usize, SectionHere)]) -> (Vec<Candidate>, bool) {
    let kinds = kinds(sections);
    let n_kinds = kinds.iter().max().map_or(0, |k| k + 1);
    let mut of_kind: Vec<(usize, SectionHere)> = vec![(0, SectionHere { w_m: 0.0, n: None }); n_kinds];
    for (kind, (_, section)) in kinds.iter().zip(sections) {
        of_kind[*kind] = (of_kind[*kind].0 + 1, *section);
    }
    let n_sets = of_kind.iter().try_fold(1_usize, |product, (count, _)| product.checked_mul(count + 1));
    if n_sets.is_some_and(|n| n <= MOST_SETS) {
        (every_set(&of_kind), true)
    } else {
        (plain_sets(sections), false)
    }
}

fn every_set(of_kind: &[(usize, SectionHere)]) -> Vec<Candidate> {
    let mut sets = Vec::new();
    // No more than 128 sections in all, see [`usable`].
    let mut counts = vec![0_u8; of_kind.len()];
    loop {
        // One step of an odometer: the first wheel that can still turn does, those before it go back to none.
        let Some(turned) = (0..counts.len()).find(|&kind| usize::from(counts[kind]) < of_kind[kind].0) else {
            return sets;
        };
        counts[turned] += 1;
        counts[..turned].fill(0);
        let parts = counts.iter().zip(of_kind).map(|(&count, (_, section))| (usize::from(count), *section));
        sets.push(Candidate::of(Pick::OfEachKind(counts.clone()), parts));
    }
}

/// Every run of neighbours, and the narrowest and the widest of each count.
fn plain_sets(sections: &[(usize, SectionHere)]) -> Vec<Candidate> {
    let n = sections.len();
    let candidate = |places: Vec<usize>| {
        let parts: Vec<(usize, SectionHere)> = places.iter().map(|&place| (1, sections[place].1)).collect();
        Candidate::of(Pick::Places(places), parts.into_iter())
    };
    let mut by_width: Vec<usize> = (0..n).collect();
    by_width.sort_by(|&a, &b| sections[a].1.w_m.total_cmp(&sections[b].1.w_m));
    let runs = (0..n).flat_map(|from| (from..n).map(move |to| (from..=to).collect::<Vec<_>>()));
    let counts = (1..=n).flat_map(|count| [by_width[..count].to_vec(), by_width[n - count..].to_vec()]);
    runs.chain(counts).map(candidate).collect()
}

/// Widths outside this range cannot hold the speed. With the carrier rate held every limit but the nozzles' turns on
/// flow ∝ width, so the width at which a limit just binds follows from the whole boom's.
fn needed_width(flows: &Flows, whole: &Boom, carrier: CarrierHere, speed: Speed) -> Range {
    let mut fits = Range { lo: 0.0, hi: f64::INFINITY };
    if matches!(carrier, CarrierHere::Manual { .. }) {
        return fits;
    }
    // A trace wider than exact, so that rounding never drops a set that would just fit.
    const TRACE: f64 = 1e-9;
    let v_m_s = speed.as_m_per_s();
    flows.each_limit(Some(whole), |limit, span| {
        let Span::Between { low, high } = span else { return };
        if matches!(limit, Limit::NozzlePressure | Limit::TopSpeed) {
            return;
        }
        let width_at = |v: Speed| whole.w_m.lo * v.as_m_per_s() / v_m_s;
        if let Some(end) = low {
            fits.lo = fits.lo.max(width_at(end.speed) * (1.0 - TRACE));
        }
        if let Some(end) = high {
            fits.hi = fits.hi.min(width_at(end.speed) * (1.0 + TRACE));
        }
    });
    fits
}
