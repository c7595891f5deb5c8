//! Which nozzle sets give a carrier rate over a range of speeds inside their pressure window.
//!
//! Droplets: only what the user keyed in from the nozzle's own table. Nothing is guessed between two of its rows of
//! different class, and nothing outside them. The flow law and the nominal sizes are in [`crate::nozzle`].

use units::{Pressure, Quantity, Speed, VolumePerArea};

use super::expected::expected_at;
use super::flows::Flows;
use super::plan::{Limit, Plan, Problem};
use super::window::Span;
use crate::nozzle::{NozzleSize, RATED_PRESSURE, SIZES};
use crate::rig::{Carrier, NozzleSet};

/// What the nozzles are wanted for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Carrier rate, > 0.
    pub rate: VolumePerArea,
    /// Slowest speed, > 0.
    pub slowest: Speed,
    /// Fastest speed, not below the slowest.
    pub fastest: Speed,
}

/// A nozzle set of the user's own.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnSet {
    /// Flow and pressure window. A spacing that is left open is the rig's.
    pub nozzles: NozzleSet,
    /// Droplet classes from the nozzle's own table.
    pub droplets: Option<DropletTable>,
}

/// Which nozzle set a choice is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Candidate {
    /// A nominal size.
    Nominal(&'static NozzleSize),
    /// A set of the user's own, by its place in the list.
    Own(usize),
}

/// How a set fits the wanted speeds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fit {
    /// Inside its window over all of them.
    Whole,
    /// Inside it over some of them.
    Part {
        /// From this speed.
        from: Speed,
        /// To this one.
        to: Speed,
    },
    /// Too much pressure is needed even at the slowest speed.
    TooSmall,
    /// Too little pressure is left even at the fastest.
    TooLarge,
    /// An end of its pressure window is not known and the other one would do, or a number behind the flow is missing.
    Unknown,
}

/// Pressure and droplets of one set at one speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChoicePoint {
    /// The speed.
    pub speed: Speed,
    /// The pressure that gives the rate, at this carrier's density and with every pump at its first rate.
    pub pressure: Pressure,
    /// Whether the pressure lies inside the set's window, as far as it is known.
    pub inside_window: Option<bool>,
    /// The droplets at that pressure, where a table was keyed in.
    pub droplets: Option<Droplets>,
}

/// One set and how it does.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Which set.
    pub candidate: Candidate,
    /// Its numbers as used.
    pub nozzles: NozzleSet,
    /// The slowest speed inside its window, where it has a least pressure.
    pub slowest: Option<Speed>,
    /// The fastest, where it has a greatest pressure.
    pub fastest: Option<Speed>,
    /// How that fits.
    pub fit: Fit,
    /// Pressure along the wanted speeds.
    pub points: Vec<ChoicePoint>,
}

/// All sets.
#[derive(Clone, Debug, PartialEq)]
pub struct Choices {
    /// One for each nominal size, smallest first, then one for each own set in its order.
    pub choices: Vec<Choice>,
    /// The rate, carrier and first products together, to look up in a chart made for water: `(R + ΣR_p)·√SG`.
    pub water_rate: Option<VolumePerArea>,
    /// What is missing or makes no sense, of the plan and of what is wanted; not what one candidate lacks.
    pub problems: Vec<Problem>,
}

/// How each nominal size and each own set gives a wanted rate over wanted speeds.
///
/// A nominal size has no pressure window of its own: it is judged with the one given here (usually that of the set on
/// the rig). Speeds as in [`super::window::window`]: least pressure with the least sum of products of the plan,
/// greatest pressure with the greatest. `n_points` pressures are spread evenly from the slowest to the fastest speed;
/// with one, at the slowest.
///
/// | symbol   | meaning                                   | range       |
/// |----------|-------------------------------------------|-------------|
/// | `R`      | wanted carrier rate                       | finite, > 0 |
/// | `v`      | speed                                     | finite, > 0 |
/// | `s`      | width per nozzle                          | > 0         |
/// | `SG`     | carrier density over that of water        | finite, > 0 |
///
/// `P = P₀ · SG · ((R + ΣR_p)·s·v / q₀)²`.
///
/// # Source
/// Nominal sizes: ISO 10625, from memory. Density: Univ. of Nebraska CropWatch 2016 (20 gal/ac of 28 % nitrogen look up
/// as 22.6 gal/ac of water).
///
/// # Example
/// By hand: 120 L/ha at 12 km/h on 50 cm is 120 × 12 × 0.5 ÷ 600 = 1.2 L/min, an 03 at 3 bar.
/// ```
/// # use calc::reach::nozzle_choice::{Candidate, Wanted, nozzle_choice};
/// # use calc::reach::plan::Plan;
/// # use calc::rig::{Rig, Section};
/// # use units::{Length, Pressure, Speed, VolumePerArea};
/// let sections = vec![Section { width: Length::from_m(12.0), n_nozzles: 24 }];
/// let plan = Plan::new(Rig { sections, ..Rig::blank() });
/// let speed = Speed::from_km_per_h(12.0);
/// let wanted = Wanted { rate: VolumePerArea::from_l_per_ha(120.0), slowest: speed, fastest: speed };
/// let window = (Some(Pressure::from_bar(1.5)), Some(Pressure::from_bar(5.0)));
/// let choices = nozzle_choice(&plan, wanted, window, &[], 1).choices;
/// let size_03 = choices.iter().find(|c| matches!(c.candidate, Candidate::Nominal(size) if size.number == "03"));
/// assert!(size_03.is_some_and(|c| (c.points[0].pressure.as_bar() - 3.0).abs() < 1e-9));
/// ```
#[must_use]
pub fn nozzle_choice(
    plan: &Plan,
    wanted: Wanted,
    nominal_window: (Option<Pressure>, Option<Pressure>),
    own: &[OwnSet],
    n_points: usize,
) -> Choices {
    let mut plan = plan.clone();
    plan.rig.carrier = Some(Carrier::Regulated(wanted.rate));
    plan.rig.hold_speed = None;
    let flows = Flows::new(&plan);
    let mut problems = flows.problems.clone();
    // The set on the rig is only one candidate among others.
    problems.retain(|problem| !about_present_nozzles(problem));
    flows.set_problems(plan.sections_on, &mut problems);
    let speeds_make_sense = [wanted.slowest, wanted.fastest].into_iter().all(|got| {
        let fine = got.as_m_per_s().is_finite() && got.as_m_per_s() > 0.0;
        if !fine {
            problems.push(Problem::WantedSpeed { got });
        }
        fine
    });
    if speeds_make_sense && wanted.slowest > wanted.fastest {
        problems.push(Problem::WantedSpeed { got: wanted.fastest });
    }
    if !speeds_make_sense || wanted.slowest > wanted.fastest {
        return Choices { choices: Vec::new(), water_rate: None, problems };
    }
    let (area_m, ratio) = flows.first_products();
    let total_m = wanted.rate.as_si() * (1.0 + ratio) + area_m;
    let sg = plan.rig.specific_gravity;
    let water_rate =
        (flows.carrier.is_some() && sg > 0.0).then(|| VolumePerArea::from_si(total_m * sg.sqrt()));
    let spacing = plan.rig.nozzles.and_then(|set| set.spacing);
    let mut choices = Vec::new();
    for size in SIZES {
        let set = nominal_set(size, nominal_window, spacing);
        choices.push(choice(&mut plan, wanted, Candidate::Nominal(size), set, None, n_points));
    }
    for (idx, own_set) in own.iter().enumerate() {
        let set = NozzleSet { spacing: own_set.nozzles.spacing.or(spacing), ..own_set.nozzles };
        let droplets = own_set.droplets.as_ref();
        choices.push(choice(&mut plan, wanted, Candidate::Own(idx), set, droplets, n_points));
    }
    Choices { choices, water_rate, problems }
}

/// A nominal size as a nozzle set with a pressure window that someone stated.
pub(super) fn nominal_set(
    size: &NozzleSize,
    (least_pressure, greatest_pressure): (Option<Pressure>, Option<Pressure>),
    spacing: Option<units::Length>,
) -> NozzleSet {
    NozzleSet {
        rated_flow: size.flow(),
        rated_pressure: RATED_PRESSURE,
        least_pressure,
        greatest_pressure,
        spacing,
    }
}

const fn about_present_nozzles(problem: &Problem) -> bool {
    matches!(
        problem,
        Problem::NoNozzleSet
            | Problem::NozzleRatedFlow { .. }
            | Problem::NozzleRatedPressure { .. }
            | Problem::NozzleLeastUnknown
            | Problem::NozzleGreatestUnknown
            | Problem::NozzleWindowPressure { .. }
            | Problem::NozzleWindowReversed { .. }
    )
}

fn choice(
    plan: &mut Plan,
    wanted: Wanted,
    candidate: Candidate,
    set: NozzleSet,
    droplets: Option<&DropletTable>,
    n_points: usize,
) -> Choice {
    plan.rig.nozzles = Some(set);
    let flows = Flows::new(plan);
    let boom = flows.boom(plan.sections_on);
    let (mut slowest, mut fastest) = (None, None);
    flows.each_limit(boom.as_ref(), |limit, span| {
        if let (Limit::NozzlePressure, Span::Between { low, high }) = (limit, span) {
            (slowest, fastest) = (low.map(|end| end.speed), high.map(|end| end.speed));
        }
    });
    let least_known = flows.nozzle.is_some_and(|nozzle| nozzle.q_least_m3_s.is_some());
    let point = |speed: Speed| {
        let here = expected_at(&flows, boom.as_ref(), speed);
        here.pressure.map(|pressure| ChoicePoint {
            speed,
            pressure,
            inside_window: here.inside_window,
            droplets: droplets.map(|table| table.at(pressure)),
        })
    };
    let points = spread(wanted.slowest, wanted.fastest, n_points).filter_map(point).collect();
    let fit = fit(wanted, slowest, fastest, least_known);
    Choice { candidate, nozzles: set, slowest, fastest, fit, points }
}

fn fit(wanted: Wanted, slowest: Option<Speed>, fastest: Option<Speed>, least_known: bool) -> Fit {
    if fastest.is_some_and(|v| v < wanted.slowest) {
        return Fit::TooSmall;
    }
    if slowest.is_some_and(|v| v > wanted.fastest) {
        return Fit::TooLarge;
    }
    // A least pressure of zero is known and sets no slowest speed.
    let (Some(to), true) = (fastest, least_known) else { return Fit::Unknown };
    let from = slowest.filter(|v| *v > wanted.slowest).unwrap_or(wanted.slowest);
    let to = if to < wanted.fastest { to } else { wanted.fastest };
    if from == wanted.slowest && to == wanted.fastest { Fit::Whole } else { Fit::Part { from, to } }
}

/// `n` speeds from one to another, both included.
fn spread(from: Speed, to: Speed, n: usize) -> impl Iterator<Item = Speed> {
    let (from_m_s, to_m_s) = (from.as_m_per_s(), to.as_m_per_s());
    let last = n.saturating_sub(1).max(1) as f64;
    (0..n).map(move |idx| {
        let part = idx as f64 / last;
        Speed::from_m_per_s(from_m_s * (1.0 - part) + to_m_s * part)
    })
}

/// The droplet classes of ISO 25358, finest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)] // each variant is the class that it names
pub enum DropletClass {
    ExtremelyFine,
    VeryFine,
    Fine,
    Medium,
    Coarse,
    VeryCoarse,
    ExtremelyCoarse,
    UltraCoarse,
}

/// A nozzle's own table of droplet classes by pressure, as the user keyed it in. `C` is the class: that of ISO 25358, or
/// whatever tells the user's own words apart.
#[derive(Clone, Debug, PartialEq)]
pub struct DropletTable<C = DropletClass> {
    /// By rising pressure, no pressure twice.
    rows: Vec<(Pressure, C)>,
}

/// Why rows are no droplet table.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum DropletTableError {
    /// There is no row.
    Empty,
    /// A pressure is zero, negative or not finite.
    Pressure {
        /// What was given.
        got: Pressure,
    },
    /// The same pressure stands there twice.
    Twice {
        /// Which.
        pressure: Pressure,
    },
}

/// What a droplet table says at a pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Droplets<C = DropletClass> {
    /// This class: a row of the table, or between two rows of the same class.
    Class(C),
    /// Between two rows of different class. Where one turns into the other, the table does not say.
    Between(C, C),
    /// Below the table's least pressure or above its greatest: the table does not say.
    Outside,
}

impl<C: Copy + PartialEq> DropletTable<C> {
    /// From rows in any order.
    ///
    /// # Errors
    /// [`DropletTableError`] names what does not fit.
    pub fn new(mut rows: Vec<(Pressure, C)>) -> Result<Self, DropletTableError> {
        if rows.is_empty() {
            return Err(DropletTableError::Empty);
        }
        if let Some((got, _)) = rows.iter().find(|(p, _)| !(p.as_pa().is_finite() && p.as_pa() > 0.0)) {
            return Err(DropletTableError::Pressure { got: *got });
        }
        rows.sort_unstable_by(|a, b| a.0.as_pa().total_cmp(&b.0.as_pa()));
        if let Some(pair) = rows.windows(2).find(|pair| pair[0].0 == pair[1].0) {
            return Err(DropletTableError::Twice { pressure: pair[0].0 });
        }
        Ok(Self { rows })
    }

    /// The rows, by rising pressure.
    #[must_use]
    pub fn rows(&self) -> &[(Pressure, C)] {
        &self.rows
    }

    /// What the table says at a pressure.
    ///
    /// ```
    /// # use calc::reach::nozzle_choice::{DropletClass, DropletTable, Droplets};
    /// # use units::Pressure;
    /// # let bar = Pressure::from_bar;
    /// // A made-up table: what it leaves open stays open.
    /// let table = DropletTable::new(vec![(bar(2.0), DropletClass::Coarse), (bar(3.0), DropletClass::Medium)])?;
    /// assert_eq!(table.at(bar(2.0)), Droplets::Class(DropletClass::Coarse));
    /// assert_eq!(table.at(bar(2.5)), Droplets::Between(DropletClass::Coarse, DropletClass::Medium));
    /// assert_eq!(table.at(bar(3.5)), Droplets::Outside);
    /// # Ok::<(), calc::reach::nozzle_choice::DropletTableError>(())
    /// ```
    #[must_use]
    pub fn at(&self, pressure: Pressure) -> Droplets<C> {
        let n_below = self.rows.partition_point(|(p, _)| *p <= pressure);
        let below = n_below.checked_sub(1).and_then(|idx| self.rows.get(idx));
        let above = self.rows.get(n_below);
        match (below, above) {
            (Some((p, class)), _) if *p == pressure => Droplets::Class(*class),
            (Some((_, a)), Some((_, b))) if a == b => Droplets::Class(*a),
            (Some((_, a)), Some((_, b))) => Droplets::Between(*a, *b),
            _ => Droplets::Outside,
        }
    }
}
