//! A network from a handful of answers: the form that a technician fills in within two minutes.
//!
//! What a rig already says (sections, nozzles, carrier) is taken from [`Rig`]; the answers say how it is plumbed. The
//! network that comes out is an ordinary one and can be edited piece by piece. It is not checked here:
//! [`Plumbing::check`](super::Plumbing::check) finds a bore of zero as it does in any network.

use units::{Density, Length, Share, Viscosity};

use super::network::{FlowCoefficient, Liquid, Network, Node, Nozzle, Pipe, SectionInlet};
use crate::rig::{NozzleSet, Rig};

/// Wall roughness of drawn tubing and of plastic and rubber hose: 0.0015 mm.
///
/// Source: L. F. Moody, *Friction factors for pipe flow*, Trans. ASME 66 (1944) 671–684, "drawn tubing" (0.000005 ft).
pub const SMOOTH_WALL: Length = Length::from_mm(0.0015);

/// Where the hose meets the section's pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FeedPoint {
    /// At the section's left end, seen from behind.
    LeftEnd,
    /// In the middle.
    Centre,
    /// At the right end.
    RightEnd,
    /// At this share of the section's width from its left end.
    At(Share),
    /// At the end that is nearer to the rig's middle; in the middle for a section that spans it.
    InnerEnd,
}

/// Lengths of the hoses from the manifold to the sections.
#[derive(Clone, Debug, PartialEq)]
pub enum HoseLengths {
    /// The same for every section.
    Same(Length),
    /// One for each section, left to right.
    Each(Vec<Length>),
    /// As far as from the rig's middle to the feed point, and this much more.
    ReachPlus(Length),
}

/// How a rig is plumbed.
#[derive(Clone, Debug, PartialEq)]
pub struct QuickAnswers {
    /// From the supply (pump, meter, valve) to the injection point.
    pub supply_length: Length,
    /// From the injection point to the manifold.
    pub main_length: Length,
    /// Bore of both.
    pub main_bore: Length,
    /// From the manifold to each section.
    pub hose_lengths: HoseLengths,
    /// Bore of those hoses.
    pub hose_bore: Length,
    /// Loss coefficient of a section valve with its fittings, against the velocity in the hose; ≥ 0.
    pub valve_k: f64,
    /// Where a hose meets the section's pipe.
    pub feed: FeedPoint,
    /// Bore of the section's pipe.
    pub section_bore: Length,
    /// Height of the boom above the supply, injection point and manifold.
    pub boom_height: Length,
    /// Wall roughness of everything; [`SMOOTH_WALL`] for hose and plastic pipe.
    pub roughness: Length,
    /// Viscosity of the carrier.
    pub viscosity: Viscosity,
}

/// What keeps a network from being built.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum QuickError {
    /// The rig has no sections.
    NoSections,
    /// The rig has no nozzle set, or its rated flow or pressure is not above zero.
    NozzleSet,
    /// The carrier's specific gravity is not above zero.
    SpecificGravity {
        /// As given.
        got: f64,
    },
    /// A section's width is not above zero.
    Width {
        /// Place of the section, from the left.
        section: usize,
        /// As given.
        got: Length,
    },
    /// It is not known how many nozzles a section carries, and no spacing tells.
    NozzleCount {
        /// Place of the section, from the left.
        section: usize,
    },
    /// There is not one hose length for each section.
    HoseCount {
        /// How many were given.
        got: usize,
        /// How many sections there are.
        wanted: usize,
    },
    /// The feed point is outside the section.
    Feed {
        /// As given.
        got: Share,
    },
}

/// Id of the node at which the carrier enters.
pub const SUPPLY: &str = "supply";
/// Id of the node at which product enters.
pub const INJECTION: &str = "injection";
/// Id of the node at which the hoses begin; a console's pressure sensor usually sits here.
pub const MANIFOLD: &str = "manifold";

/// Builds the network of a rig from how it is plumbed.
///
/// Sections are named `1`, `2` … from the left, their pieces `3.hose`, `3.feed`, nozzle nodes `3.n1` …, pipes `3.p1` ….
/// Nozzles sit half a spacing from each end of their section and evenly between, the spacing being width over number; each
/// lets through the rated water flow × 1/√SG. Where the number is not known it is width over nozzle spacing, rounded.
///
/// # Errors
/// [`QuickError`]; each variant says when.
///
/// # Source
/// Layout: common practice, no source. Flow of a denser carrier: the nozzle equation, `q = k √P` with `k ∝ 1/√ρ`.
///
/// # Example
/// By hand: three sections of four nozzles make 12 nozzles, and 3 hoses + 2 lines + 3 × 4 pipes (fed at the centre, each side
/// of the feed has two nozzles and two pipes).
/// ```
/// # use calc::plumbing::{Plumbing, quick::*};
/// # use calc::rig::{NozzleSet, Rig, Section};
/// # use units::{FlowRate, Length, Pressure, Viscosity};
/// let section = Section { width: Length::from_m(2.0), n_nozzles: 4 };
/// let nozzles = NozzleSet {
///     rated_flow: FlowRate::from_l_per_min(0.8), rated_pressure: Pressure::from_bar(3.0),
///     least_pressure: None, greatest_pressure: None, spacing: None,
/// };
/// let rig = Rig { sections: vec![section; 3], nozzles: Some(nozzles), ..Rig::blank() };
/// let answers = QuickAnswers {
///     supply_length: Length::from_m(1.0), main_length: Length::from_m(3.0), main_bore: Length::from_mm(25.0),
///     hose_lengths: HoseLengths::Same(Length::from_m(2.0)), hose_bore: Length::from_mm(19.0), valve_k: 4.0,
///     feed: FeedPoint::Centre, section_bore: Length::from_mm(19.0), boom_height: Length::from_m(0.0),
///     roughness: SMOOTH_WALL, viscosity: Viscosity::from_mpa_s(1.002),
/// };
/// let network = quick_network(&rig, &answers)?;
/// assert_eq!((network.nozzles.len(), network.pipes.len()), (12, 3 + 2 + 12));
/// assert!(Plumbing::check(&network).is_ok());
/// # Ok::<(), QuickError>(())
/// ```
pub fn quick_network(rig: &Rig, answers: &QuickAnswers) -> Result<Network, QuickError> {
    let size = nozzle_size(rig)?;
    let n_sections = rig.sections.len();
    if let HoseLengths::Each(lengths) = &answers.hose_lengths
        && lengths.len() != n_sections
    {
        return Err(QuickError::HoseCount { got: lengths.len(), wanted: n_sections });
    }
    let middle = Length::from_m(0.0);
    let low = |id: &str| Node { id: id.into(), height: middle, across: Some(middle) };
    let line = |id: &str, from: &str, to: &str, length| Pipe {
        id: id.into(),
        from: from.into(),
        to: to.into(),
        length,
        bore: answers.main_bore,
        roughness: answers.roughness,
        minor_k: 0.0,
    };
    let mut network = Network {
        liquid: Liquid {
            density: Density::from_specific_gravity(rig.specific_gravity * WATER_SPECIFIC_GRAVITY),
            viscosity: answers.viscosity,
        },
        nodes: vec![low(SUPPLY), low(INJECTION), low(MANIFOLD)],
        pipes: vec![
            line("line", SUPPLY, INJECTION, answers.supply_length),
            line("main", INJECTION, MANIFOLD, answers.main_length),
        ],
        nozzles: Vec::new(),
        sections: Vec::new(),
        supply: SUPPLY.into(),
        injection: Some(INJECTION.into()),
    };
    let boom_m = rig.boom_width().as_m();
    let mut left_m = -boom_m / 2.0;
    for idx in 0..n_sections {
        let outline = Outline::of(rig, answers, idx, left_m)?;
        left_m += outline.width_m;
        add_section(&mut network, answers, idx, &outline, size);
    }
    Ok(network)
}

/// Density of water at 20 °C over 1000 kg/m³, as in [`Liquid::water_20_c`].
const WATER_SPECIFIC_GRAVITY: f64 = 0.9982;

/// Closer than this the feed point and a nozzle are one place.
const SAME_PLACE_M: f64 = 0.001;

/// One section, measured from the rig's middle to the right.
struct Outline {
    left_m: f64,
    width_m: f64,
    n_nozzles: u32,
    feed_m: f64,
}

impl Outline {
    fn of(rig: &Rig, answers: &QuickAnswers, idx: usize, left_m: f64) -> Result<Self, QuickError> {
        let section = rig.sections[idx];
        let width_m = section.width.as_m();
        if !(width_m.is_finite() && 0.0 < width_m) {
            return Err(QuickError::Width { section: idx, got: section.width });
        }
        let spacing_m = rig.nozzles.and_then(|set| set.spacing).map(Length::as_m).filter(|m| 0.0 < *m);
        let n_nozzles = match (section.n_nozzles, spacing_m) {
            (0, Some(spacing_m)) => count(width_m / spacing_m),
            (n, _) => n,
        };
        if n_nozzles == 0 {
            return Err(QuickError::NozzleCount { section: idx });
        }
        let right_m = left_m + width_m;
        let share = match answers.feed {
            FeedPoint::LeftEnd => 0.0,
            FeedPoint::Centre => 0.5,
            FeedPoint::RightEnd => 1.0,
            FeedPoint::At(share) => share.as_fraction(),
            FeedPoint::InnerEnd if right_m <= SAME_PLACE_M => 1.0,
            FeedPoint::InnerEnd if -SAME_PLACE_M <= left_m => 0.0,
            FeedPoint::InnerEnd => 0.5,
        };
        if !(0.0..=1.0).contains(&share) {
            return Err(QuickError::Feed { got: Share::from_fraction(share) });
        }
        Ok(Self { left_m, width_m, n_nozzles, feed_m: left_m + share * width_m })
    }

    fn nozzle_m(&self, nozzle: u32) -> f64 {
        self.left_m + (f64::from(nozzle) + 0.5) * self.width_m / f64::from(self.n_nozzles)
    }
}

fn add_section(
    network: &mut Network,
    answers: &QuickAnswers,
    idx: usize,
    outline: &Outline,
    size: FlowCoefficient,
) {
    let name = (idx + 1).to_string();
    let node = |id: String, across_m: f64| Node {
        id,
        height: answers.boom_height,
        across: Some(Length::from_m(across_m)),
    };
    let at_feed = (0..outline.n_nozzles)
        .find(|&nozzle| (outline.nozzle_m(nozzle) - outline.feed_m).abs() < SAME_PLACE_M);
    let feed_id = match at_feed {
        Some(nozzle) => nozzle_id(&name, nozzle),
        None => format!("{name}.feed"),
    };
    if at_feed.is_none() {
        network.nodes.push(node(feed_id.clone(), outline.feed_m));
    }
    let length = match &answers.hose_lengths {
        HoseLengths::Same(length) => *length,
        HoseLengths::Each(lengths) => lengths[idx],
        HoseLengths::ReachPlus(more) => Length::from_m(outline.feed_m.abs() + more.as_m()),
    };
    let hose_id = format!("{name}.hose");
    network.pipes.push(Pipe {
        id: hose_id.clone(),
        from: MANIFOLD.into(),
        to: feed_id.clone(),
        length,
        bore: answers.hose_bore,
        roughness: answers.roughness,
        minor_k: answers.valve_k,
    });
    for nozzle in 0..outline.n_nozzles {
        network.nodes.push(node(nozzle_id(&name, nozzle), outline.nozzle_m(nozzle)));
        let section = Some(name.clone());
        network.nozzles.push(Nozzle { node: nozzle_id(&name, nozzle), size, section });
    }
    // From the feed point outwards, to the right and to the left of it.
    let is_right = |nozzle: &u32| outline.feed_m + SAME_PLACE_M <= outline.nozzle_m(*nozzle);
    let is_left = |nozzle: &u32| outline.nozzle_m(*nozzle) <= outline.feed_m - SAME_PLACE_M;
    let right: Vec<u32> = (0..outline.n_nozzles).filter(is_right).collect();
    let left: Vec<u32> = (0..outline.n_nozzles).rev().filter(is_left).collect();
    for side in [right, left] {
        let (mut from, mut from_m) = (feed_id.clone(), outline.feed_m);
        for nozzle in side {
            let (to, to_m) = (nozzle_id(&name, nozzle), outline.nozzle_m(nozzle));
            network.pipes.push(Pipe {
                id: format!("{name}.p{}", nozzle + 1),
                from,
                to: to.clone(),
                length: Length::from_m((to_m - from_m).abs()),
                bore: answers.section_bore,
                roughness: answers.roughness,
                minor_k: 0.0,
            });
            (from, from_m) = (to, to_m);
        }
    }
    network.sections.push(SectionInlet { id: name, inlet_pipe: hose_id });
}

fn nozzle_size(rig: &Rig) -> Result<FlowCoefficient, QuickError> {
    if rig.sections.is_empty() {
        return Err(QuickError::NoSections);
    }
    let got = rig.specific_gravity;
    if !(got.is_finite() && 0.0 < got) {
        return Err(QuickError::SpecificGravity { got });
    }
    let NozzleSet { rated_flow, rated_pressure, .. } = rig.nozzles.ok_or(QuickError::NozzleSet)?;
    let is_rated = |si: f64| si.is_finite() && 0.0 < si;
    if !(is_rated(rated_flow.as_m3_per_s()) && is_rated(rated_pressure.as_pa())) {
        return Err(QuickError::NozzleSet);
    }
    Ok(FlowCoefficient::from_rating(rated_flow, rated_pressure).times(1.0 / got.sqrt()))
}

fn nozzle_id(section: &str, nozzle: u32) -> String {
    format!("{section}.n{}", nozzle + 1)
}

/// Nearest whole number of nozzles; none where that is absurd.
fn count(ratio: f64) -> u32 {
    const MOST: f64 = 10_000.0;
    let rounded = ratio.round();
    // In range by the comparison before, so the cast keeps the value.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be 0 to MOST")]
    if (0.0..=MOST).contains(&rounded) { rounded as u32 } else { 0 }
}
