//! What the boom ends get on a curve.
//!
//! The path is a circle driven at a steady speed, with the boom square to it; yaw and the way into the curve do not
//! live here. Doses on a straight line are in [`super::doses`].

use units::{Length, Quantity, Share, Speed, VolumePerArea};

use super::flows::Flows;
use super::plan::{Plan, SectionSet};

/// How far the sections that are on reach to either side of the middle of the whole boom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reaches {
    /// To the left. Negative where the leftmost section that is on begins right of the middle.
    pub left: Length,
    /// To the right, likewise.
    pub right: Length,
}

/// Which way the curve goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// The left end is the inner one.
    Left,
    /// The right end is the inner one.
    Right,
}

impl Reaches {
    /// Of the sections that are on. `None` where none is, or where a section has no width, since then places are not known.
    ///
    /// ```
    /// # use calc::reach::{plan::{Plan, SectionSet}, turns::Reaches};
    /// # use calc::rig::{Rig, Section};
    /// # use units::Length;
    /// // By hand: 4 + 2 + 4 m; the two left ones lie from 5 m left to 1 m right of the middle.
    /// let sections = [4.0, 2.0, 4.0].map(|m| Section { width: Length::from_m(m), n_nozzles: 0 });
    /// let plan = Plan::new(Rig { sections: sections.to_vec(), ..Rig::blank() });
    /// let reaches = Reaches::of(&plan, SectionSet::all(2)).ok_or("no width")?;
    /// assert_eq!((reaches.left.as_m(), reaches.right.as_m()), (5.0, 1.0));
    /// # Ok::<(), &str>(())
    /// ```
    #[must_use]
    pub fn of(plan: &Plan, sections_on: SectionSet) -> Option<Self> {
        let flows = Flows::new(plan);
        let widths: Option<Vec<f64>> = flows.sections.iter().map(|s| s.map(|s| s.w_m)).collect();
        let widths = widths?;
        let half_m = widths.iter().sum::<f64>() / 2.0;
        let on = || sections_on.iter().filter(|&idx| idx < widths.len());
        let (first, last) = (on().next()?, on().last()?);
        let before_m: f64 = widths[..first].iter().sum();
        let up_to_m: f64 = widths[..=last].iter().sum();
        Some(Self { left: Length::from_m(half_m - before_m), right: Length::from_m(up_to_m - half_m) })
    }

    /// The inner and the outer one on a curve.
    #[must_use]
    pub const fn inner_outer(self, direction: Direction) -> (Length, Length) {
        match direction {
            Direction::Left => (self.left, self.right),
            Direction::Right => (self.right, self.left),
        }
    }
}

/// What one place of the boom gets on a curve, against a straight line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CurveDose {
    /// It moves forward.
    Forward {
        /// Dose over that of the boom's middle.
        ratio: f64,
    },
    /// It stands on the turn's centre: dose without end on one spot.
    Standing,
    /// It lies inside the turn's centre and sweeps backward.
    Backward {
        /// Dose over that of the boom's middle, from the speed's size alone.
        ratio: f64,
    },
}

impl CurveDose {
    /// Dose over that of the middle, whichever way the place moves. Infinite where it stands.
    #[must_use]
    pub const fn ratio(self) -> f64 {
        match self {
            Self::Forward { ratio } | Self::Backward { ratio } => ratio,
            Self::Standing => f64::INFINITY,
        }
    }
}

/// Why a curve cannot be computed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum TurnError {
    /// The radius of the middle's path is zero, negative or not finite.
    Radius {
        /// What was given.
        got: Length,
    },
    /// The offset is not finite.
    Offset {
        /// What was given.
        got: Length,
    },
    /// The greatest ratio is not above 1, so that no curve keeps below it.
    GreatestRatio {
        /// What was given.
        got: f64,
    },
    /// The wanted fraction is not between 0 and 1.
    Fraction {
        /// What was given.
        got: Share,
    },
}

/// Dose at one place of the boom on a curve, over the dose at the boom's middle.
///
/// | symbol | meaning                                              | range       |
/// |--------|------------------------------------------------------|-------------|
/// | `r`    | radius of the path of the boom's middle              | finite, > 0 |
/// | `x`    | offset from the middle, outward positive             | finite      |
///
/// `r / (r + x)`: each place has the same flow, but its speed is that of the middle times `(r + x)/r`. Where
/// `r + x < 0` the place lies inside the turn's centre and moves backward, over ground that the boom has just sprayed.
///
/// # Errors
/// [`TurnError::Radius`], [`TurnError::Offset`].
///
/// # Source
/// Geometry. Iowa State Univ. Extension, "Turn Compensation" (2021): 120 ft boom, centre 80 ft out, inner end at a
/// quarter of the speed and nearly 40 of 10 gal/ac.
///
/// # Example
/// By hand: 80 ÷ (80 − 60) = 4.
/// ```
/// # use calc::reach::turns::{CurveDose, curve_dose};
/// # use units::Length;
/// let CurveDose::Forward { ratio } = curve_dose(Length::from_ft(80.0), Length::from_ft(-60.0))? else { panic!() };
/// assert!((ratio - 4.0).abs() < 1e-12);
/// # Ok::<(), calc::reach::turns::TurnError>(())
/// ```
pub fn curve_dose(radius: Length, offset: Length) -> Result<CurveDose, TurnError> {
    let (r_m, x_m) = (radius.as_m(), offset.as_m());
    if !(r_m.is_finite() && r_m > 0.0) {
        return Err(TurnError::Radius { got: radius });
    }
    if !x_m.is_finite() {
        return Err(TurnError::Offset { got: offset });
    }
    let path_m = r_m + x_m;
    Ok(if path_m > 0.0 {
        CurveDose::Forward { ratio: r_m / path_m }
    } else if path_m < 0.0 {
        CurveDose::Backward { ratio: r_m / -path_m }
    } else {
        CurveDose::Standing
    })
}

/// Both ends of the boom at one radius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurveEnds {
    /// Radius of the path of the boom's middle.
    pub radius: Length,
    /// The inner end.
    pub inner: CurveDose,
    /// The outer end.
    pub outer: CurveDose,
    /// Whether some place of the boom stands on the turn's centre, so that a spot gets a dose without end.
    pub centre_under_boom: bool,
}

/// Both ends of the boom at each radius. See [`curve_dose`].
///
/// # Errors
/// Those of [`curve_dose`], at the first radius that makes no sense.
pub fn curve_ends(inner: Length, outer: Length, radii: &[Length]) -> Result<Vec<CurveEnds>, TurnError> {
    let inward = Length::from_m(-inner.as_m());
    let ends = |&radius: &Length| {
        Ok(CurveEnds {
            radius,
            inner: curve_dose(radius, inward)?,
            outer: curve_dose(radius, outer)?,
            centre_under_boom: radius <= inner && radius.as_m() + outer.as_m() >= 0.0,
        })
    };
    radii.iter().map(ends).collect()
}

/// The radius below which the inner end gets more than a greatest ratio: `r = m·b / (m − 1)`.
///
/// | symbol | meaning                                     | range       |
/// |--------|---------------------------------------------|-------------|
/// | `b`    | how far the boom reaches inward             | finite      |
/// | `m`    | greatest ratio, e.g. label maximum over dose | finite, > 1 |
///
/// `None` where the boom does not reach inward at all, so that no radius does.
///
/// # Errors
/// [`TurnError::GreatestRatio`], [`TurnError::Offset`].
///
/// # Source
/// [`curve_dose`] solved for the radius.
///
/// # Example
/// By hand: 4 × 60 ÷ 3 = 80 ft.
/// ```
/// # use calc::reach::turns::least_radius_for_greatest_ratio;
/// # use units::Length;
/// let r = least_radius_for_greatest_ratio(Length::from_ft(60.0), 4.0)?;
/// assert!(r.is_some_and(|r| (r.as_ft() - 80.0).abs() < 1e-9));
/// # Ok::<(), calc::reach::turns::TurnError>(())
/// ```
pub fn least_radius_for_greatest_ratio(inner: Length, greatest: f64) -> Result<Option<Length>, TurnError> {
    if !(greatest.is_finite() && greatest > 1.0) {
        return Err(TurnError::GreatestRatio { got: greatest });
    }
    let b_m = finite_offset(inner)?;
    Ok((b_m > 0.0).then(|| Length::from_m(greatest * b_m / (greatest - 1.0))))
}

/// The radius below which the outer end gets less than a wanted fraction: `r = f·b / (1 − f)`.
///
/// | symbol | meaning                          | range             |
/// |--------|----------------------------------|-------------------|
/// | `b`    | how far the boom reaches outward | finite            |
/// | `f`    | wanted fraction of the dose      | above 0, below 1  |
///
/// `None` where the boom does not reach outward at all.
///
/// # Errors
/// [`TurnError::Fraction`], [`TurnError::Offset`].
///
/// # Source
/// [`curve_dose`] solved for the radius.
///
/// # Example
/// By hand: half the dose at 0.5 × 60 ÷ 0.5 = 60 ft.
/// ```
/// # use calc::reach::turns::least_radius_for_fraction;
/// # use units::{Length, Share};
/// let r = least_radius_for_fraction(Length::from_ft(60.0), Share::from_percent(50.0))?;
/// assert!(r.is_some_and(|r| (r.as_ft() - 60.0).abs() < 1e-9));
/// # Ok::<(), calc::reach::turns::TurnError>(())
/// ```
pub fn least_radius_for_fraction(outer: Length, fraction: Share) -> Result<Option<Length>, TurnError> {
    let f = fraction.as_fraction();
    if !(0.0 < f && f < 1.0) {
        return Err(TurnError::Fraction { got: fraction });
    }
    let b_m = finite_offset(outer)?;
    Ok((b_m > 0.0).then(|| Length::from_m(f * b_m / (1.0 - f))))
}

/// The tightest curve of one pump and rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnLimit {
    /// Place of the pump in the rig's list.
    pub pump_idx: usize,
    /// The rate in force.
    pub rate: super::plan::RateInForce,
    /// Below this radius the inner end passes the label maximum.
    pub radius: TurnRadius,
}

/// A least radius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TurnRadius {
    /// This one.
    From(Length),
    /// Any: the boom does not reach inward.
    Any,
    /// No radius: the dose is at or above the maximum on a straight line already.
    NoCurve,
}

/// The tightest curve of every pump and rate that has a label maximum, driven at a speed.
///
/// The dose at the boom's middle is that of [`super::doses`] at this speed, hold included.
///
/// ```
/// # use calc::reach::{plan::Plan, turns::{Direction, TurnRadius, turn_limits}};
/// # use calc::rig::{Carrier, InjectionPump, ProductRate, Rig, Section};
/// # use units::{Length, Speed, VolumePerArea};
/// // By hand: label at twice the dose, boom 60 ft inward: 2 × 60 ÷ 1 = 120 ft.
/// let oz = VolumePerArea::from_us_fl_oz_per_ac;
/// let pump = InjectionPump {
///     first: Some(ProductRate::PerArea(oz(10.0))),
///     label_greatest: Some(oz(20.0)),
///     ..InjectionPump::blank()
/// };
/// let rig = Rig {
///     sections: vec![Section { width: Length::from_ft(120.0), n_nozzles: 72 }],
///     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))),
///     pumps: vec![pump],
///     ..Rig::blank()
/// };
/// let limits = turn_limits(&Plan::new(rig), Direction::Left, Speed::from_mph(8.0));
/// let TurnRadius::From(r) = limits[0].radius else { panic!() };
/// assert!((r.as_ft() - 120.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn turn_limits(plan: &Plan, direction: Direction, speed: Speed) -> Vec<TurnLimit> {
    let Some(reaches) = Reaches::of(plan, plan.sections_on) else { return Vec::new() };
    let (inner, _) = reaches.inner_outer(direction);
    let lines = super::doses::doses(plan).lines;
    let limit = |line: super::doses::DoseLine| {
        let (label, dose): (VolumePerArea, VolumePerArea) = (line.label?, line.law.at(speed)?);
        let greatest = label.as_si() / dose.as_si();
        let radius = match least_radius_for_greatest_ratio(inner, greatest) {
            Ok(Some(radius)) => TurnRadius::From(radius),
            Ok(None) => TurnRadius::Any,
            Err(TurnError::GreatestRatio { got }) if got.is_finite() => TurnRadius::NoCurve,
            // No dose at all has no greatest ratio.
            Err(_) => TurnRadius::Any,
        };
        Some(TurnLimit { pump_idx: line.pump_idx, rate: line.rate, radius })
    };
    lines.into_iter().filter_map(limit).collect()
}

fn finite_offset(offset: Length) -> Result<f64, TurnError> {
    let b_m = offset.as_m();
    if b_m.is_finite() { Ok(b_m) } else { Err(TurnError::Offset { got: offset }) }
}
