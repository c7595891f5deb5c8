//! How a rig is plumbed: the quick form's answers, changes of single pieces, and the speed and rate of its lag sheet.
//!
//! The answers make a whole tree of pieces; which those are is worked out by the calculation, so a change of a piece is
//! kept under the piece's name, with its dots as dashes (`plumbing.piece.3-hose.bore`). Nothing here is needed to describe
//! a rig: what a lag sheet lacks is told where that is asked for.

use std::collections::{BTreeMap, BTreeSet};

use units::{Length, Pressure, Share, Speed, Typed, VolumePerArea};

use super::view::{By, Reading};
use crate::fields::Texts;

/// How long the hoses from the manifold to the sections are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HoseBy {
    /// As far as the feed point, and some more.
    Reach,
    /// All the same.
    Same,
    /// Typed one by one.
    Each,
}

/// Where a hose meets the section's pipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeedAt {
    /// In the middle.
    Centre,
    /// At the end nearer to the rig's middle.
    Inner,
    /// At the left end, seen from behind.
    Left,
    /// At the right end.
    Right,
    /// At a share of the section's width from the left.
    Share,
}

/// What the pipes are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WallBy {
    /// Hose, plastic pipe, drawn tube.
    Smooth,
    /// Steel pipe.
    Steel,
    /// Galvanized pipe.
    Galvanized,
    /// A roughness of its own.
    Own,
}

/// Where the gauge sits that the console reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GaugeAt {
    /// Where the hoses begin.
    Manifold,
    /// At the pump.
    Supply,
    /// Where product enters.
    Injection,
}

/// Which formula holds for turbulent flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LawBy {
    /// Swamee and Jain.
    SwameeJain,
    /// Colebrook.
    Colebrook,
}

/// How a rig is plumbed, as described.
#[derive(Clone, Debug, PartialEq)]
pub struct PlumbingView {
    /// Whether anything is said about lines at all.
    pub is_begun: bool,
    /// From the supply to the injection point.
    pub supply_length: Reading<Typed<Length>>,
    /// From the injection point to the manifold.
    pub main_length: Reading<Typed<Length>>,
    /// Bore of both.
    pub main_bore: Reading<Typed<Length>>,
    /// How the lengths of the hoses are known.
    pub hose_by: By<HoseBy>,
    /// The one length of all hoses.
    pub hose_length: Reading<Typed<Length>>,
    /// How much longer a hose is than the way to its feed point.
    pub hose_extra: Reading<Typed<Length>>,
    /// Length of each section's hose, left to right.
    pub hose_lengths: Vec<Reading<Typed<Length>>>,
    /// Bore of the hoses.
    pub hose_bore: Reading<Typed<Length>>,
    /// Where a hose meets the section's pipe.
    pub feed: By<FeedAt>,
    /// Share of the section's width, where the feed point is given by that.
    pub feed_share: Reading<Typed<Share>>,
    /// Bore of the sections' pipes.
    pub section_bore: Reading<Typed<Length>>,
    /// Loss coefficient of a section valve with its fittings.
    pub valve_loss: Reading<f64>,
    /// Height of the boom above supply and manifold.
    pub boom_height: Reading<Typed<Length>>,
    /// What the pipes are made of.
    pub wall: By<WallBy>,
    /// Wall roughness, where it is one of its own.
    pub roughness: Reading<Typed<Length>>,
    /// Viscosity of the carrier in mPa·s.
    pub viscosity_mpa_s: Reading<f64>,
    /// Largest pressure that the supply can hold.
    pub greatest_pressure: Reading<Typed<Pressure>>,
    /// Friction formula.
    pub law: By<LawBy>,
    /// Where the console's gauge sits.
    pub gauge: By<GaugeAt>,
    /// A pressure read there.
    pub gauge_reading: Reading<Typed<Pressure>>,
    /// Changes of single pieces, by the piece's name as the calculation has it (with dots).
    pub pieces: BTreeMap<String, PieceView>,
    /// Speed of the lag sheet.
    pub lag_speed: Reading<Typed<Speed>>,
    /// Carrier rate of the lag sheet.
    pub lag_rate: Reading<Typed<VolumePerArea>>,
}

/// What is different about one pipe and the node that it ends at.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceView {
    /// Length.
    pub length: Reading<Typed<Length>>,
    /// Bore.
    pub bore: Reading<Typed<Length>>,
    /// Wall roughness.
    pub roughness: Reading<Typed<Length>>,
    /// Loss coefficient of its fittings.
    pub loss: Reading<f64>,
    /// Name of the node that it begins at.
    pub from: Option<String>,
    /// Name of the node that it ends at.
    pub to: Option<String>,
    /// Height of the node that it ends at as built.
    pub height: Reading<Typed<Length>>,
    /// Flow of the nozzle there, relative to a new one; zero where it is blocked.
    pub nozzle: Reading<Typed<Share>>,
}

/// Path of a field of a piece, e.g. `plumbing.piece.3-hose.bore`.
///
/// ```
/// # use records::rig::piece_path;
/// assert_eq!(piece_path("3.hose", "bore"), "plumbing.piece.3-hose.bore");
/// ```
#[must_use]
pub fn piece_path(piece: &str, field: &str) -> String {
    format!("{PIECE}{}.{field}", piece.replace('.', "-"))
}

/// The piece that a path belongs to, by the name that the calculation has for it.
///
/// ```
/// # use records::rig::piece_of;
/// assert_eq!(piece_of("plumbing.piece.3-hose.bore").as_deref(), Some("3.hose"));
/// assert_eq!(piece_of("plumbing.main_bore"), None);
/// ```
#[must_use]
pub fn piece_of(path: &str) -> Option<String> {
    let (name, _) = path.strip_prefix(PIECE)?.split_once('.')?;
    Some(name.replace('-', "."))
}

const PIECE: &str = "plumbing.piece.";

/// Names of the pieces for which anything is set.
pub(super) fn pieces_with_texts(texts: &dyn Texts) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    // One by one: a set that is collected carries a sort of its own.
    for name in texts.paths().into_iter().filter_map(piece_of) {
        names.insert(name);
    }
    names
}
