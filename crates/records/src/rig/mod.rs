//! A rig as its document describes it: the paths, what each may hold, the typed view, and the checks across fields.
//! No formula lives here; the app turns a [`RigView`] into the numbers that the calculation wants.

mod checks;
mod plumbing;
mod table;
mod view;

pub use checks::{RateOf, RigProblem, RigProblemKind};
pub use plumbing::{FeedAt, GaugeAt, HoseBy, LawBy, PieceView, PlumbingView, WallBy, piece_of, piece_path};
pub use table::{FIELDS, KEY_IN_ENTRIES, MOST_DROPLET_ROWS, MOST_PUMPS, MOST_SECTIONS, MOST_SETS, spec_of};
pub use view::{
    By, CarrierMode, CarrierView, DropletView, KeyInView, MeterView, NozzleBy, NozzleView, OwnSetView,
    PumpView, Reading, RigView, SectionBy, SectionView, SettleView, SpeedBy, SpeedView, SupplyView,
    SwitchKeeps,
};

use crate::fields::{FieldProblem, Texts, check};

/// What is wrong with the text at one path, for the box that is being typed in. Unknown paths are never wrong.
///
/// # Errors
/// [`FieldProblem`].
pub fn check_field(path: &str, texts: &dyn Texts) -> Result<(), FieldProblem> {
    match spec_of(path) {
        Some(spec) => check(spec, path, texts),
        None => Ok(()),
    }
}
