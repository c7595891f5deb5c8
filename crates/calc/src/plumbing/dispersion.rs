//! How far a front blurs on its way: axial dispersion after Taylor, and the shape of the blurred front.
//!
//! Plug flow ([`super::transport`], [`super::arrival`]) says when half of a front has passed, near enough; this says how
//! long it takes to pass. Each law has a range and refuses what lies outside; laminar flow in short pipes, which no
//! dispersion coefficient describes, has its own curve.

use units::{Duration, Length, Share, Speed};

use super::Plumbing;
use super::erfc::{erfc, erfcx};
use super::friction::{
    FrictionError, FrictionLaw, RE_LAMINAR_MAX, RE_MAX, RE_TURBULENT_MIN, friction_factor,
};
use super::hydraulics::{Hydraulics, Solver};

/// Axial dispersion coefficient. Kept in m²/s.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DispersionCoefficient(f64);

impl DispersionCoefficient {
    /// From m²/s.
    #[must_use]
    pub const fn from_m2_per_s(value: f64) -> Self {
        Self(value)
    }

    /// As m²/s.
    #[must_use]
    pub const fn as_m2_per_s(self) -> f64 {
        self.0
    }
}

/// Why a dispersion coefficient or a blurred front cannot be given.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum DispersionError {
    /// Reynolds number or roughness outside the range of the law.
    Friction(FrictionError),
    /// The pipe is too short for its flow: the liquid leaves before molecular diffusion has evened it out across the bore.
    TooShort {
        /// As given.
        got: Length,
        /// The least length for which the law holds.
        least: Length,
    },
    /// A bore, velocity, distance, time or coefficient is not above zero (a time may be zero), or not a number.
    NotAboveZero {
        /// As given, in SI.
        got: f64,
    },
}

/// Axial dispersion in turbulent flow.
///
/// | symbol | meaning                                   | range          |
/// |--------|-------------------------------------------|----------------|
/// | `a`    | half the bore                             | > 0            |
/// | `u`    | mean velocity                             | > 0            |
/// | `f`    | Darcy friction factor, by Swamee and Jain | from `re`, `e/d` |
/// | `re`   | Reynolds number                           | 4000 to 1e8    |
///
/// `D = 10.1 a u*`, shear velocity `u* = u √(f/8)`. Straight pipe, fully turbulent. Taylor's own runs lie above a Reynolds
/// number of about 1e4; nearer to 4000 measured fronts are longer than this says. Bends and fittings change it either way.
///
/// # Errors
/// [`DispersionError::Friction`] outside the range of the friction factor, [`DispersionError::NotAboveZero`].
///
/// # Source
/// G. I. Taylor, *The dispersion of matter in turbulent flow through a pipe*, Proc. R. Soc. London A 223 (1954) 446–468.
///
/// # Example
/// By hand: 25 mm bore, 1 m/s, smooth, `re` = 25 000: f = 0.02442, u* = √(0.02442/8) = 0.05525 m/s,
/// D = 10.1 × 0.0125 × 0.05525 = 0.006975 m²/s.
/// ```
/// # use calc::plumbing::dispersion::dispersion_turbulent_taylor_1954;
/// # use units::{Length, Speed};
/// let (bore, velocity) = (Length::from_mm(25.0), Speed::from_m_per_s(1.0));
/// let d = dispersion_turbulent_taylor_1954(bore, velocity, 25_000.0, 0.0).unwrap();
/// assert!((d.as_m2_per_s() - 0.006_975).abs() < 2e-6);
/// ```
pub fn dispersion_turbulent_taylor_1954(
    bore: Length,
    velocity: Speed,
    re: f64,
    relative_roughness: f64,
) -> Result<DispersionCoefficient, DispersionError> {
    let a_m = above_zero(bore.as_m())? / 2.0;
    let u_m_s = above_zero(velocity.as_m_per_s())?;
    if !(RE_TURBULENT_MIN..=RE_MAX).contains(&re) {
        let (least, greatest) = (RE_TURBULENT_MIN, RE_MAX);
        return Err(DispersionError::Friction(FrictionError::Reynolds { got: re, least, greatest }));
    }
    let f = friction_factor(re, relative_roughness, FrictionLaw::SwameeJain)
        .map_err(DispersionError::Friction)?;
    Ok(DispersionCoefficient(10.1 * a_m * u_m_s * (f / 8.0).sqrt()))
}

/// Axial dispersion in laminar flow, once molecular diffusion has evened the liquid out across the bore.
///
/// | symbol | meaning                                     | range                |
/// |--------|---------------------------------------------|----------------------|
/// | `a`    | half the bore                               | > 0                  |
/// | `u`    | mean velocity                               | > 0                  |
/// | `D_m`  | molecular diffusion of the product, m²/s    | > 0, often near 1e-9 |
/// | `L`    | length of the pipe                          | ≥ 10 · `a² u/(4 D_m)` |
/// | `re`   | Reynolds number                             | above 0, up to 2000  |
///
/// `D = D_m + a² u²/(48 D_m)`. Taylor asks for `4 L/a ≫ a u/D_m`; "much larger" is taken as ten times. With liquids in
/// hoses that is kilometres: a boom's laminar ends practically always give [`DispersionError::TooShort`], and
/// [`laminar_front_without_diffusion`] is what describes them.
///
/// # Errors
/// [`DispersionError::TooShort`], [`DispersionError::NotAboveZero`], [`DispersionError::Friction`] above 2000.
///
/// # Source
/// G. I. Taylor, *Dispersion of soluble matter in solvent flowing slowly through a tube*, Proc. R. Soc. London A 219 (1953)
/// 186–203 and 225 (1954) 473–477; the term `D_m` by R. Aris, Proc. R. Soc. London A 235 (1956) 67–77.
///
/// # Example
/// By hand: 1 mm bore, 1 mm/s, 1e-9 m²/s: (5e-4)² × (1e-3)²/(48 × 1e-9) = 5.208e-6 m²/s, from 10 × 0.0625 m on.
/// ```
/// # use calc::plumbing::dispersion::{DispersionCoefficient, dispersion_laminar_taylor_aris_1956};
/// # use units::{Length, Speed};
/// let (bore, velocity) = (Length::from_mm(1.0), Speed::from_m_per_s(0.001));
/// let molecular = DispersionCoefficient::from_m2_per_s(1e-9);
/// let d = dispersion_laminar_taylor_aris_1956(bore, velocity, Length::from_m(0.7), 1.0, molecular).unwrap();
/// assert!((d.as_m2_per_s() - 5.209e-6).abs() < 1e-9);
/// assert!(dispersion_laminar_taylor_aris_1956(bore, velocity, Length::from_m(0.6), 1.0, molecular).is_err());
/// ```
pub fn dispersion_laminar_taylor_aris_1956(
    bore: Length,
    velocity: Speed,
    length: Length,
    re: f64,
    molecular: DispersionCoefficient,
) -> Result<DispersionCoefficient, DispersionError> {
    let a_m = above_zero(bore.as_m())? / 2.0;
    let u_m_s = above_zero(velocity.as_m_per_s())?;
    let molecular_m2_s = above_zero(molecular.0)?;
    if !(0.0 < re && re <= RE_LAMINAR_MAX) {
        let (least, greatest) = (f64::MIN_POSITIVE, RE_LAMINAR_MAX);
        return Err(DispersionError::Friction(FrictionError::Reynolds { got: re, least, greatest }));
    }
    let least = Length::from_m(10.0 * a_m * a_m * u_m_s / (4.0 * molecular_m2_s));
    if length.as_m().is_nan() || length < least {
        return Err(DispersionError::TooShort { got: length, least });
    }
    Ok(DispersionCoefficient(molecular_m2_s + (a_m * u_m_s).powi(2) / (48.0 * molecular_m2_s)))
}

/// A step of concentration, held at the inlet of a long line, as it passes a point further on.
///
/// `c/c₀ = ½ [erfc((x − ut)/(2√(Dt))) + exp(ux/D) erfc((x + ut)/(2√(Dt)))]`; `x`, `u`, `D` above zero, `t` ≥ 0. The second
/// term is worked out as `exp(−((x − ut)/(2√(Dt)))²) erfcx(…)`, which does not overflow. Good to about 1e-14.
///
/// # Errors
/// [`DispersionError::NotAboveZero`].
///
/// # Source
/// A. Ogata, R. B. Banks, *A solution of the differential equation of longitudinal dispersion in porous media*, US
/// Geological Survey Professional Paper 411-A (1961).
///
/// # Example
/// At `t = x/u` and `ux/D` = 50, by hand: ½ (1 + erfcx(√50)) = ½ (1 + 0.0790) = 0.5395.
/// ```
/// # use calc::plumbing::dispersion::{DispersionCoefficient, step_front_ogata_banks_1961};
/// # use units::{Duration, Length, Speed};
/// let (x, u) = (Length::from_m(0.5), Speed::from_m_per_s(0.1));
/// let d = DispersionCoefficient::from_m2_per_s(0.001);
/// let share = step_front_ogata_banks_1961(x, Duration::from_s(5.0), u, d).unwrap();
/// assert!((share.as_fraction() - 0.5395).abs() < 1e-4);
/// ```
pub fn step_front_ogata_banks_1961(
    distance: Length,
    time: Duration,
    velocity: Speed,
    dispersion: DispersionCoefficient,
) -> Result<Share, DispersionError> {
    let (x_m, u_m_s) = (above_zero(distance.as_m())?, above_zero(velocity.as_m_per_s())?);
    let d_m2_s = above_zero(dispersion.0)?;
    if !(0.0 <= time.as_s() && time.as_s().is_finite()) {
        return Err(DispersionError::NotAboveZero { got: time.as_s() });
    }
    Ok(Share::from_fraction(ogata_banks(time.as_s() * u_m_s / x_m, u_m_s * x_m / d_m2_s)))
}

/// Share of a step that has come through a short pipe in laminar flow: no diffusion, the middle runs ahead of the wall.
///
/// `0` up to half the plug-flow time `t₀`, then `1 − (t₀/2t)²`, of what flows out. The middle arrives at half the plug-flow
/// time; 95 % takes 2.24 times as long as plug flow. Fully developed laminar flow in one pipe; the share is that of the
/// outflow mixed together, as a nozzle sprays it.
///
/// # Errors
/// [`DispersionError::NotAboveZero`] for either time.
///
/// # Source
/// P. V. Danckwerts, *Continuous flow systems: distribution of residence times*, Chem. Eng. Sci. 2 (1953) 1–13.
///
/// # Example
/// By hand at the plug-flow time: 1 − 1/4 = 0.75.
/// ```
/// # use calc::plumbing::dispersion::laminar_front_without_diffusion;
/// # use units::Duration;
/// let plug = Duration::from_s(8.0);
/// assert_eq!(laminar_front_without_diffusion(plug, plug).unwrap().as_fraction(), 0.75);
/// assert_eq!(laminar_front_without_diffusion(Duration::from_s(3.9), plug).unwrap().as_fraction(), 0.0);
/// ```
pub fn laminar_front_without_diffusion(time: Duration, plug: Duration) -> Result<Share, DispersionError> {
    let ratio = above_zero(plug.as_s())? / (2.0 * above_zero(time.as_s())?);
    Ok(Share::from_fraction((1.0 - ratio * ratio).max(0.0)))
}

/// A front that has come through several pipes, blurred in each.
///
/// The times that the pipes take add up, and so do the variances `2 D L/u³` that they give to the time of arrival. The shape
/// is that of one line with the same time and variance, that is with Péclet number `2 t²/σ²`. Good where the blur is much
/// shorter than the lag (a Péclet number above 20 or so), as in most booms.
#[derive(Clone, Debug, PartialEq)]
pub struct BlurredFront {
    /// Plug-flow time from the injection point.
    pub plug: Duration,
    /// Péclet number of the whole way; infinite where nothing blurs.
    pub peclet: f64,
    /// Places of pipes on the way whose flow is outside the range of both laws. Nothing was added for them: the true front
    /// is longer.
    pub outside_range: Vec<usize>,
    /// Share of the plug-flow time that is spent in those.
    pub share_outside_range: Share,
}

impl BlurredFront {
    /// The front at a nozzle in a steady state. `molecular` is the product's molecular diffusion, near 1e-9 m²/s in water.
    ///
    /// `None` where nothing arrives, or where the injection point feeds the main by a hose of its own.
    #[must_use]
    pub fn at_nozzle(
        solver: &Solver,
        state: &Hydraulics,
        nozzle: usize,
        molecular: DispersionCoefficient,
    ) -> Option<Self> {
        let plumbing: &Plumbing = solver.plumbing();
        let network = plumbing.network();
        let (start, end) = (plumbing.injection_spot?, *plumbing.nozzle_spot.get(nozzle)?);
        let (mut plug_s, mut variance_s2, mut outside_s) = (0.0, 0.0, 0.0);
        let mut outside_range = Vec::new();
        let mut spot = end;
        while spot != start {
            if spot == 0 {
                return None;
            }
            let place = plumbing.pipe_at[spot];
            let (pipe, flow) = (network.pipes.get(place)?, state.pipes.get(place)?);
            let u_m_s = flow.velocity.as_m_per_s();
            if u_m_s <= 0.0 || plumbing.sense[spot] * flow.flow.as_m3_per_s() < 0.0 {
                return None;
            }
            let took_s = pipe.length.as_m() / u_m_s;
            plug_s += took_s;
            let rough = pipe.roughness.as_m() / pipe.bore.as_m();
            let dispersion = if flow.reynolds <= RE_LAMINAR_MAX {
                let (bore, length) = (pipe.bore, pipe.length);
                dispersion_laminar_taylor_aris_1956(bore, flow.velocity, length, flow.reynolds, molecular)
            } else {
                dispersion_turbulent_taylor_1954(pipe.bore, flow.velocity, flow.reynolds, rough)
            };
            match dispersion {
                Ok(d) => variance_s2 += 2.0 * d.0 * took_s / (u_m_s * u_m_s),
                Err(_) => {
                    outside_s += took_s;
                    outside_range.push(place);
                }
            }
            spot = plumbing.feeder[spot];
        }
        outside_range.reverse();
        let share = if 0.0 < plug_s { outside_s / plug_s } else { 0.0 };
        Some(Self {
            plug: Duration::from_s(plug_s),
            peclet: if 0.0 < variance_s2 { 2.0 * plug_s * plug_s / variance_s2 } else { f64::INFINITY },
            outside_range,
            share_outside_range: Share::from_fraction(share),
        })
    }

    /// Share of the step that passes at a time after its release.
    #[must_use]
    pub fn share_at(&self, time: Duration) -> Share {
        let (t_s, plug_s) = (time.as_s(), self.plug.as_s());
        if self.peclet.is_infinite() || plug_s <= 0.0 {
            return Share::from_fraction(if plug_s <= t_s { 1.0 } else { 0.0 });
        }
        Share::from_fraction(ogata_banks(t_s / plug_s, self.peclet))
    }

    /// When a share of the step passes, after its release; `None` unless the share is above 0 and below 1.
    #[must_use]
    pub fn time_to(&self, share: Share) -> Option<Duration> {
        let wanted = share.as_fraction();
        if !(0.0 < wanted && wanted < 1.0) {
            return None;
        }
        if self.peclet.is_infinite() || self.plug.as_s() <= 0.0 {
            return Some(self.plug);
        }
        let mut late = 1.0;
        while ogata_banks(late, self.peclet) < wanted && late < 1e12 {
            late *= 2.0;
        }
        let mut early = 0.0;
        // The share rises with time, so halving finds it; 60 halvings reach rounding.
        for _ in 0..60 {
            let middle = 0.5 * (early + late);
            if ogata_banks(middle, self.peclet) < wanted {
                early = middle;
            } else {
                late = middle;
            }
        }
        Some(Duration::from_s(late * self.plug.as_s()))
    }
}

/// By time over plug-flow time and Péclet number.
fn ogata_banks(t: f64, peclet: f64) -> f64 {
    if t <= 0.0 {
        return 0.0;
    }
    let scale = (peclet / t).sqrt() / 2.0;
    let (a, b) = ((1.0 - t) * scale, (1.0 + t) * scale);
    0.5 * (erfc(a) + (-a * a).exp() * erfcx(b))
}

fn above_zero(got: f64) -> Result<f64, DispersionError> {
    if got.is_finite() && 0.0 < got { Ok(got) } else { Err(DispersionError::NotAboveZero { got }) }
}
