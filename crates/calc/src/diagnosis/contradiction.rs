//! Readings that cannot all be right, whatever is keyed in. No candidate is weighed here.
//!
//! Truths obey `distance = speed × time`, `volume = flow × time`, `area = distance × width`. The console's own displays
//! obey the same with whatever numbers it holds, so where they do not, counters were not started together or sections
//! were switched on the way.

use super::reading::{Amount, What};
use super::setup::{Motion, Setup, Situation};

/// Beyond this many standard uncertainties two readings contradict each other: one in a thousand by chance.
const CONTRADICTS: f64 = 3.29;

/// Which readings disagree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ContradictionKind {
    /// What is said to be true contradicts itself.
    Truths,
    /// What the console shows contradicts itself: counters not started together, or sections switched on the way.
    Shown,
    /// The readings cannot have happened together at all: area without speed, volume without time, ground covered while
    /// standing.
    Impossible,
}

/// Readings that disagree.
#[derive(Clone, Debug, PartialEq)]
pub struct Contradiction {
    /// How.
    pub kind: ContradictionKind,
    /// In which situation.
    pub situation: usize,
    /// Which of its readings.
    pub readings: Vec<usize>,
    /// The first reading over what the others say it should be; infinite where they say zero.
    pub ratio: f64,
    /// How far off, in standard uncertainties.
    pub n_u: f64,
}

impl Contradiction {
    /// Whether nothing can be concluded before it is sorted out.
    pub(crate) fn is_fatal(&self) -> bool {
        self.kind != ContradictionKind::Shown
    }
}

/// `whole = product of parts^power`; a `None` in an identity is read from whatever is given.
type Identity = (What, &'static [(What, f64)]);

const TRUTHS: [Identity; 4] = [
    (What::Distance, &[(What::Speed, 1.0), (What::Time, 1.0)]),
    (What::Volume, &[(What::Flow, 1.0), (What::Time, 1.0)]),
    (What::Area, &[(What::Distance, 1.0), (What::Width, 1.0)]),
    (What::Area, &[(What::Speed, 1.0), (What::Time, 1.0), (What::Width, 1.0)]),
];

const SHOWN: [Identity; 7] = [
    (What::ShownDistance, &[(What::ShownSpeed, 1.0), (What::Time, 1.0)]),
    (What::ShownVolume, &[(What::ShownFlow, 1.0), (What::Time, 1.0)]),
    (What::ShownArea, &[(What::ShownDistance, 1.0), (What::ShownWidth, 1.0)]),
    (What::ShownArea, &[(What::ShownSpeed, 1.0), (What::Time, 1.0), (What::ShownWidth, 1.0)]),
    (What::ShownRate, &[(What::ShownFlow, 1.0), (What::ShownSpeed, -1.0), (What::ShownWidth, -1.0)]),
    (What::ShownRate, &[(What::ShownVolume, 1.0), (What::ShownArea, -1.0)]),
    (What::ShownVolume, &[(What::ShownRate, 1.0), (What::ShownArea, 1.0)]),
];

/// Where the first is above zero, the second cannot be zero.
const NOT_WITHOUT: [(What, What); 12] = [
    (What::ShownArea, What::ShownSpeed),
    (What::ShownArea, What::ShownDistance),
    (What::ShownArea, What::ShownWidth),
    (What::ShownArea, What::Time),
    (What::ShownDistance, What::ShownSpeed),
    (What::ShownDistance, What::Time),
    (What::ShownVolume, What::ShownFlow),
    (What::ShownVolume, What::Time),
    (What::Volume, What::Time),
    (What::Distance, What::Time),
    (What::Distance, What::Speed),
    (What::Area, What::Distance),
];

/// Every contradiction among the readings.
pub(crate) fn contradictions(setup: &Setup, situations: &[Situation]) -> Vec<Contradiction> {
    let mut found = Vec::new();
    for (idx, situation) in situations.iter().enumerate() {
        repeats(idx, situation, &mut found);
        for identity in &TRUTHS {
            identity_holds(idx, situation, ContradictionKind::Truths, identity.0, identity.1, &mut found);
        }
        for identity in &SHOWN {
            identity_holds(idx, situation, ContradictionKind::Shown, identity.0, identity.1, &mut found);
        }
        for pump in 0..setup.n_pumps() {
            let per_area = situation
                .readings
                .iter()
                .any(|r| r.what == What::ShownProductRate(pump) && matches!(r.seen, Amount::PerArea(_)));
            if per_area {
                let parts = [(What::ShownProductRate(pump), 1.0), (What::ShownArea, 1.0)];
                let whole = What::ShownProductVolume(pump);
                identity_holds(idx, situation, ContradictionKind::Shown, whole, &parts, &mut found);
            }
        }
        impossible(idx, situation, &mut found);
    }
    found
}

struct Found {
    place: usize,
    si: f64,
    u: f64,
}

impl Found {
    fn clear_of_zero(&self) -> bool {
        self.si > 3.0 * self.u
    }
}

fn find(situation: &Situation, what: What) -> Option<Found> {
    let place = situation.readings.iter().position(|r| r.what == what)?;
    let r = &situation.readings[place];
    Some(Found { place, si: r.seen.as_si(), u: r.u.as_si() })
}

fn identity_holds(
    idx: usize,
    situation: &Situation,
    kind: ContradictionKind,
    whole: What,
    parts: &[(What, f64)],
    found: &mut Vec<Contradiction>,
) {
    let Some(whole) = find(situation, whole) else { return };
    let mut readings = vec![whole.place];
    let (mut ln_ratio, mut variance) = (whole.si.ln(), (whole.u / whole.si).powi(2));
    let mut clear = whole.clear_of_zero();
    for (what, power) in parts {
        let Some(part) = find(situation, *what) else { return };
        readings.push(part.place);
        ln_ratio -= power * part.si.ln();
        variance += (power * part.u / part.si).powi(2);
        clear = clear && part.clear_of_zero();
    }
    let n_u = ln_ratio.abs() / variance.sqrt();
    if clear && n_u > CONTRADICTS {
        found.push(Contradiction { kind, situation: idx, readings, ratio: ln_ratio.exp(), n_u });
    }
}

/// The same quantity read twice, with different results.
fn repeats(idx: usize, situation: &Situation, found: &mut Vec<Contradiction>) {
    for (second, r) in situation.readings.iter().enumerate() {
        for (first, before) in situation.readings[..second].iter().enumerate() {
            if before.what != r.what
                || std::mem::discriminant(&before.seen) != std::mem::discriminant(&r.seen)
            {
                continue;
            }
            let (a, b) = (before.seen.as_si(), r.seen.as_si());
            let n_u = (a - b).abs() / before.u.as_si().hypot(r.u.as_si());
            if n_u > CONTRADICTS {
                let kind =
                    if r.what.is_shown() { ContradictionKind::Shown } else { ContradictionKind::Truths };
                found.push(Contradiction {
                    kind,
                    situation: idx,
                    readings: vec![first, second],
                    ratio: a / b,
                    n_u,
                });
            }
        }
    }
}

fn impossible(idx: usize, situation: &Situation, found: &mut Vec<Contradiction>) {
    let mut push = |readings: Vec<usize>, n_u: f64| {
        found.push(Contradiction {
            kind: ContradictionKind::Impossible,
            situation: idx,
            readings,
            ratio: f64::INFINITY,
            n_u,
        });
    };
    for (some, none) in NOT_WITHOUT {
        if let (Some(some), Some(none)) = (find(situation, some), find(situation, none))
            && some.clear_of_zero()
            && !none.clear_of_zero()
        {
            push(vec![some.place, none.place], some.si / some.u);
        }
    }
    if situation.condition.motion == Motion::Standing {
        for what in [What::Speed, What::Distance, What::Area] {
            if let Some(some) = find(situation, what)
                && some.clear_of_zero()
            {
                push(vec![some.place], some.si / some.u);
            }
        }
    }
}
