//! How sets of sections are searched: the narrowest one that holds a speed, and the nearest one that makes a plan work.
//!
//! Private to this folder. Sections of equal width and nozzles count as the same kind, so a boom of twelve like sections
//! has twelve sets and not four thousand. What is asked for is in [`super::sections`] and [`super::make_it_work`].

use units::Speed;

use super::flows::{Boom, CarrierHere, Flows, Range, SectionHere};
use super::plan::{Limit, SectionSet};
use super::window::window_of;

/// Sections that are alike, by their places from the left.
#[derive(Clone, Debug)]
struct Kind {
    section: SectionHere,
    places: Vec<usize>,
}

/// The sections of a set that make sense, by kind, widest first.
fn kinds_of(flows: &Flows, set: SectionSet) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for idx in set.iter() {
        let Some(section) = flows.sections.get(idx).copied().flatten() else { continue };
        match kinds.iter_mut().find(|kind| kind.section == section) {
            Some(kind) => kind.places.push(idx),
            None => {
                let at = kinds.partition_point(|kind| kind.section.w_m >= section.w_m);
                kinds.insert(at, Kind { section, places: vec![idx] });
            }
        }
    }
    kinds
}

/// Places of a set's sections, the narrowest first.
fn by_width(flows: &Flows, set: SectionSet) -> Vec<usize> {
    let w_m = |idx: usize| flows.sections.get(idx).copied().flatten().map_or(0.0, |section| section.w_m);
    let mut places: Vec<usize> = set.iter().collect();
    places.sort_unstable_by(|&a, &b| w_m(a).total_cmp(&w_m(b)).then(a.cmp(&b)));
    places
}

/// Width and nozzles of a set. Nozzles are no number where one section does not say how many it carries; then what
/// depends on them limits nothing, as in [`Flows::each_flow`].
#[derive(Clone, Copy, Debug)]
struct Sum {
    w_m: f64,
    n: f64,
}

impl Sum {
    const NONE: Self = Self { w_m: 0.0, n: 0.0 };

    fn with(self, count: usize, section: SectionHere) -> Self {
        if count == 0 {
            return self;
        }
        let count = count as f64;
        Self { w_m: self.w_m + count * section.w_m, n: self.n + count * section.n.unwrap_or(f64::NAN) }
    }
}

/// A trace wider than exact, so that rounding never drops a set that would just fit. Every set that is found is judged
/// once more as it is.
const TRACE: f64 = 1e-9;

/// What width and nozzles of a set must be so that a speed is held. At one speed every flow that a limit watches is a sum of
/// something per nozzle and something per width.
struct Needs {
    w_m: Range,
    w_per_n_m: Range,
    /// `least ≤ a·n + b·w` and `a·n + b·w ≤ greatest`.
    between: Vec<(f64, [f64; 2], [f64; 2], f64)>,
    /// A limit that no choice of sections moves is broken.
    never: bool,
}

impl Needs {
    fn new(flows: &Flows, speed: Speed) -> Self {
        let v_m_s = speed.as_m_per_s();
        let any = Range { lo: 0.0, hi: f64::INFINITY };
        let never = !(v_m_s.is_finite() && v_m_s > 0.0) || flows.top_m_s.is_some_and(|top| v_m_s > top);
        let mut needs = Self { w_m: any, w_per_n_m: any, between: Vec::new(), never };
        let manual = matches!(flows.carrier, Some(CarrierHere::Manual { .. }));
        let one = Range::at(1.0);
        let unit = Boom { w_m: one, n: Some(one), w_per_n_m: Some(one) };
        flows.each_flow(Some(&unit), |watched| {
            let (least, lower, upper, greatest) = watched.at(v_m_s);
            let narrow = |range: &mut Range| {
                range.lo = range.lo.max(least / lower[1] * (1.0 - TRACE));
                range.hi = range.hi.min(greatest / upper[1] * (1.0 + TRACE));
            };
            match watched.limit {
                Limit::NozzlePressure if manual => needs.never |= upper[0] > greatest || lower[0] < least,
                Limit::NozzlePressure => narrow(&mut needs.w_per_n_m),
                _ if lower[0] == 0.0 && upper[0] == 0.0 => narrow(&mut needs.w_m),
                _ => needs.between.push((least, lower, upper, greatest)),
            }
        });
        needs
    }

    fn met_by(&self, sum: Sum) -> bool {
        let Sum { w_m, n } = sum;
        let width = self.w_m.lo <= w_m && w_m <= self.w_m.hi;
        // Unknown nozzles compare as neither.
        let spacing_broken = w_m < self.w_per_n_m.lo * n || w_m > self.w_per_n_m.hi * n;
        let broken = |(least, lower, upper, greatest): &(f64, [f64; 2], [f64; 2], f64)| {
            let flow = |[a, b]: [f64; 2]| a * n + b * w_m;
            let trace = |[a, b]: [f64; 2]| TRACE * ((a * n).abs() + (b * w_m).abs());
            flow(*lower) < least - trace(*lower) || flow(*upper) > greatest + trace(*upper)
        };
        width && !spacing_broken && !self.between.iter().any(broken)
    }

    /// Whether no set of these kinds can meet them.
    fn out_of_reach(&self, kinds: &[Kind]) -> bool {
        let per_n = |kind: &Kind| kind.section.n.map(|n| kind.section.w_m / n);
        let all_below = kinds.iter().all(|kind| per_n(kind).is_some_and(|r| r < self.w_per_n_m.lo));
        let all_above = kinds.iter().all(|kind| per_n(kind).is_some_and(|r| r > self.w_per_n_m.hi));
        self.never || self.w_m.lo > self.w_m.hi || all_below || all_above
    }
}

/// So many partial choices are looked at, about as many as a boom of fifteen sections that all differ has. Beyond, the
/// best of what was seen is compared with the runs of neighbours and the narrowest and widest sets of each count.
const MOST_STEPS: u32 = 1 << 16;

/// The narrowest set that holds a speed, of equally narrow ones one with the fewest sections; and whether that is certain.
///
/// Branch and bound over how many sections of each kind are on: no set is followed that is wider than the best one or
/// than a limit allows, or that all the rest of the boom cannot make wide enough.
pub(super) fn narrowest(flows: &Flows, speed: Speed) -> (Option<SectionSet>, bool) {
    let all = SectionSet::all(flows.sections.len());
    let kinds = kinds_of(flows, all);
    let needs = Needs::new(flows, speed);
    if needs.out_of_reach(&kinds) {
        return (None, true);
    }
    let mut rest_m = vec![0.0; kinds.len() + 1];
    for (idx, kind) in kinds.iter().enumerate().rev() {
        rest_m[idx] = rest_m[idx + 1] + kind.section.w_m * kind.places.len() as f64;
    }
    let counts = vec![0; kinds.len()];
    let mut search =
        Search { flows, speed, kinds, needs, rest_m, counts, best: None, steps_left: MOST_STEPS };
    search.follow(0, Sum::NONE, 0);
    let certain = search.steps_left > 0;
    if !certain {
        for set in plain_sets(flows, all) {
            search.consider(set);
        }
    }
    (search.best.map(|best| best.set), certain)
}

struct Best {
    w_m: f64,
    n_on: usize,
    set: SectionSet,
}

struct Search<'a> {
    flows: &'a Flows,
    speed: Speed,
    kinds: Vec<Kind>,
    needs: Needs,
    /// Width of all sections of this kind and the ones after it.
    rest_m: Vec<f64>,
    counts: Vec<usize>,
    best: Option<Best>,
    steps_left: u32,
}

impl Search<'_> {
    fn follow(&mut self, kind_idx: usize, sum: Sum, n_on: usize) {
        if self.steps_left == 0 {
            return;
        }
        self.steps_left -= 1;
        let Some(kind) = self.kinds.get(kind_idx) else {
            if n_on > 0 && self.needs.met_by(sum) && self.betters(sum.w_m, n_on) {
                let set = pick(&self.kinds, &self.counts, true);
                self.take_if_held(set, sum.w_m, n_on);
            }
            return;
        };
        let (section, most) = (kind.section, kind.places.len());
        for count in 0..=most {
            let next = sum.with(count, section);
            if next.w_m > self.needs.w_m.hi || !self.betters(next.w_m, n_on + count) {
                break;
            }
            if next.w_m + self.rest_m[kind_idx + 1] < self.needs.w_m.lo {
                continue;
            }
            self.counts[kind_idx] = count;
            self.follow(kind_idx + 1, next, n_on + count);
        }
        self.counts[kind_idx] = 0;
    }

    /// Whether such a set would be narrower than the best one, or as narrow with fewer sections.
    fn betters(&self, w_m: f64, n_on: usize) -> bool {
        self.best.as_ref().is_none_or(|best| {
            let narrower = w_m < best.w_m * (1.0 - 1e-12);
            narrower || (w_m <= best.w_m * (1.0 + 1e-12) && n_on < best.n_on)
        })
    }

    /// A set that was not reached by following.
    fn consider(&mut self, set: SectionSet) {
        let sum = self.flows.sections_of(set).fold(Sum::NONE, |sum, section| sum.with(1, section));
        if self.needs.met_by(sum) && self.betters(sum.w_m, set.count()) {
            self.take_if_held(set, sum.w_m, set.count());
        }
    }

    fn take_if_held(&mut self, set: SectionSet, w_m: f64, n_on: usize) {
        if window_of(self.flows, self.flows.boom(set).as_ref()).contains(self.speed) {
            self.best = Some(Best { w_m, n_on, set });
        }
    }
}

/// So many sections of each kind: the leftmost ones, or the outermost ones from either end.
fn pick(kinds: &[Kind], counts: &[usize], leftmost: bool) -> SectionSet {
    let places = kinds.iter().zip(counts).flat_map(|(kind, &count)| {
        let n = kind.places.len();
        let place = move |k: usize| match (leftmost, k % 2) {
            (true, _) => kind.places[k],
            (false, 0) => kind.places[k / 2],
            (false, _) => kind.places[n - 1 - k / 2],
        };
        (0..count).map(place)
    });
    places.collect()
}

/// Every run of neighbours, and the narrowest and the widest set of each count.
fn plain_sets(flows: &Flows, all: SectionSet) -> Vec<SectionSet> {
    let places: Vec<usize> =
        all.iter().filter(|&idx| flows.sections.get(idx).copied().flatten().is_some()).collect();
    let n = places.len();
    let by_width = by_width(flows, places.iter().copied().collect());
    let set = |places: &[usize]| places.iter().copied().collect::<SectionSet>();
    let mut sets = Vec::new();
    for from in 0..n {
        sets.extend((from + 1..=n).map(|to| set(&places[from..to])));
    }
    for count in 1..=n {
        sets.extend([set(&by_width[..count]), set(&by_width[n - count..])]);
    }
    sets
}

/// So many choices of how many sections of each kind to switch are compared; see [`nearest`].
const MOST_CHOICES: usize = 1 << 13;

/// Judges booms for [`nearest`].
pub(super) trait JudgeBoom {
    /// Whether the plan works with this boom.
    fn works(&mut self, boom: Option<&Boom>) -> bool;
    /// Whether it may with one of several booms: `best` holds whatever one of them holds, `worst` only what all do.
    fn may(&mut self, best: &Boom, worst: &Boom) -> bool;
}

/// The set with the fewest sections switched off (or on) that works, of those the one whose width changes least.
///
/// Exact where the sections that can be switched make no more than 8192 choices by kind, as twelve different ones do.
/// Beyond, sections are switched one after the other in these orders: from both ends, from the left, from the right, the
/// narrowest first, the widest first.
pub(super) fn nearest(
    flows: &Flows,
    from: SectionSet,
    off: bool,
    judge: &mut impl JudgeBoom,
) -> Option<SectionSet> {
    let all = SectionSet::all(flows.sections.len());
    let pool: SectionSet = all.iter().filter(|&idx| from.contains(idx) == off).collect();
    let switched =
        |set: SectionSet| set.iter().fold(from, |to, idx| if off { to.without(idx) } else { to.with(idx) });
    let kinds = kinds_of(flows, pool);
    let n_choices =
        kinds.iter().try_fold(1_usize, |product, kind| product.checked_mul(kind.places.len() + 1));
    if n_choices.is_none_or(|n| n > MOST_CHOICES) {
        return in_order(flows, pool, |set| {
            let to = switched(set);
            judge.works(flows.boom(to).as_ref()).then_some(to)
        });
    }
    let sign = if off { -1.0 } else { 1.0 };
    let before = flows.sections_of(from).fold(Sum::NONE, |sum, section| sum.with(1, section));
    let after =
        |choice: &Choice| Sum { w_m: before.w_m + sign * choice.sum.w_m, n: before.n + sign * choice.sum.n };
    let mut choices = choices(&kinds);
    choices.sort_unstable_by(|a, b| {
        let n_then_width = a.n_switched.cmp(&b.n_switched).then(a.sum.w_m.total_cmp(&b.sum.w_m));
        n_then_width.then(a.code.cmp(&b.code))
    });
    let set = |choice: &Choice| switched(pick(&kinds, &counts(&kinds, choice.code), false));
    choices.chunk_by(|a, b| a.n_switched == b.n_switched).find_map(|same_count| {
        let mut may = |lo: usize, hi: usize| {
            if lo == hi {
                return judge.works(flows.boom(set(&same_count[lo])).as_ref());
            }
            let sums = same_count[lo..=hi].iter().map(after);
            best_and_worst(sums).is_some_and(|(best, worst)| judge.may(&best, &worst))
        };
        first(0, same_count.len() - 1, &mut may).map(|idx| set(&same_count[idx]))
    })
}

/// How many sections of each kind are switched, as one number, with their sums.
#[derive(Clone, Copy, Debug)]
struct Choice {
    code: usize,
    n_switched: usize,
    sum: Sum,
}

/// Every choice but none at all.
fn choices(kinds: &[Kind]) -> Vec<Choice> {
    let mut choices = vec![Choice { code: 0, n_switched: 0, sum: Sum::NONE }];
    let mut radix = 1;
    for kind in kinds {
        for at in 0..choices.len() {
            let choice = choices[at];
            choices.extend((1..=kind.places.len()).map(|count| Choice {
                code: choice.code + radix * count,
                n_switched: choice.n_switched + count,
                sum: choice.sum.with(count, kind.section),
            }));
        }
        radix *= kind.places.len() + 1;
    }
    choices.swap_remove(0);
    choices
}

fn counts(kinds: &[Kind], code: usize) -> Vec<usize> {
    let mut left = code;
    let count = |kind: &Kind| {
        let wheel = kind.places.len() + 1;
        let count = left % wheel;
        left /= wheel;
        count
    };
    kinds.iter().map(count).collect()
}

/// The least and the greatest of several sets as two booms: one that holds whatever one of them holds (least flows judged
/// with the greatest width, greatest flows with the least), and one that holds only what all do. Nozzles are left out
/// where some set does not say how many it has.
fn best_and_worst(sums: impl Iterator<Item = Sum>) -> Option<(Boom, Boom)> {
    let mut ranges: Option<[Range; 3]> = None;
    for sum in sums.filter(|sum| sum.w_m > 0.0) {
        let own = [sum.w_m, sum.n, sum.w_m / sum.n];
        // What is no number stays none.
        let wider = |range: Range, x: f64| {
            let keep =
                |sofar: f64, other: bool| if x.is_nan() || (!sofar.is_nan() && other) { x } else { sofar };
            Range { lo: keep(range.lo, x < range.lo), hi: keep(range.hi, x > range.hi) }
        };
        ranges = Some(match ranges {
            None => own.map(Range::at),
            Some([w_m, n, per_n_m]) => [wider(w_m, own[0]), wider(n, own[1]), wider(per_n_m, own[2])],
        });
    }
    let [w_m, n, per_n_m] = ranges?;
    let known = |range: Range| (range.lo.is_finite() && range.hi.is_finite()).then_some(range);
    let worst = Boom { w_m, n: known(n), w_per_n_m: known(per_n_m) };
    let swapped = |range: Range| Range { lo: range.hi, hi: range.lo };
    let best = Boom { w_m: swapped(w_m), n: worst.n.map(swapped), w_per_n_m: worst.w_per_n_m.map(swapped) };
    Some((best, worst))
}

/// The first of some numbered values that works. `may` says of a stretch of them whether one of it may work, and of one
/// alone whether it does: a stretch of which none may is left out whole.
pub(super) fn first(lo: usize, hi: usize, may: &mut impl FnMut(usize, usize) -> bool) -> Option<usize> {
    if !may(lo, hi) {
        return None;
    }
    if lo == hi {
        return Some(lo);
    }
    let mid = lo + (hi - lo) / 2;
    first(lo, mid, may).or_else(|| first(mid + 1, hi, may))
}

fn in_order(
    flows: &Flows,
    pool: SectionSet,
    mut attempt: impl FnMut(SectionSet) -> Option<SectionSet>,
) -> Option<SectionSet> {
    let places: Vec<usize> = pool.iter().collect();
    let n = places.len();
    let narrowest = by_width(flows, pool);
    let reversed = |order: &[usize]| order.iter().rev().copied().collect::<Vec<_>>();
    let both_ends = (0..n).map(|k| if k % 2 == 0 { places[k / 2] } else { places[n - 1 - k / 2] });
    let orders =
        [both_ends.collect(), places.clone(), reversed(&places), narrowest.clone(), reversed(&narrowest)];
    (1..=n)
        .find_map(|count| orders.iter().find_map(|order| attempt(order[..count].iter().copied().collect())))
}
