//! One reading of a day and how far it may be off: as typed, else by how it was read. What cannot be used is left out and
//! named with its path; nothing is worked out around it.

use calc::balance::{Measured, ProductUse};
use calc::ratio_trial::ABSURD_RATIO;
use records::closing::read_quantity;
use records::fields::{FieldProblem, Texts};
use units::{Quantity, Typed, Volume};

/// Two-sided 95 % of a normal distribution.
pub(crate) const K_95: f64 = 1.959_963_984_540_054;

/// Beyond this relative standard uncertainty a logarithm is no longer near a normal distribution.
const TOO_ROUGH: f64 = 0.3;

/// A way of reading something, and how far such a reading may be off at 95 %: common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Way {
    /// The stored word.
    pub(crate) code: &'static str,
    /// As a share of what was read.
    pub(crate) of_read: f64,
    /// As a share of the full vessel; the larger of the two holds.
    pub(crate) of_full: f64,
}

const fn way(code: &'static str, of_read: f64, of_full: f64) -> Way {
    Way { code, of_read, of_full }
}

/// A volume filled in or left; the first holds where nothing was chosen.
pub(crate) const OF_VOLUME: &[Way] = &[
    way("dip", 0.0, 0.01),
    way("sight", 0.0, 0.02),
    way("meter", 0.015, 0.002),
    way("scale", 0.005, 0.001),
    way("jug", 0.02, 0.005),
    way("guess", 0.1, 0.05),
];
/// A product filled in or left.
pub(crate) const OF_PRODUCT: &[Way] = &[
    way("jug", 0.02, 0.005),
    way("scale", 0.005, 0.001),
    way("sight", 0.0, 0.02),
    way("dip", 0.0, 0.01),
    way("meter", 0.015, 0.002),
    way("guess", 0.1, 0.05),
];
/// An area treated.
pub(crate) const OF_AREA: &[Way] = &[way("map", 0.01, 0.0), way("gps", 0.02, 0.0), way("guess", 0.1, 0.0)];
/// A length driven.
pub(crate) const OF_LENGTH: &[Way] =
    &[way("tape", 0.002, 0.0), way("wheel", 0.01, 0.0), way("gps", 0.01, 0.0), way("guess", 0.1, 0.0)];
/// A width wetted.
pub(crate) const OF_WIDTH: &[Way] = &[way("tape", 0.01, 0.0), way("guess", 0.1, 0.0)];
/// What the console counted: starts, stops and the last digit.
pub(crate) const OF_CONSOLE: &[Way] = &[way("console", 0.005, 0.0)];

/// The ways in which the reading at a path can be made.
pub(crate) fn ways_of(path: &str) -> &'static [Way] {
    let mut parts = path.rsplit('.');
    match parts.next().unwrap_or_default() {
        "area" => OF_AREA,
        "length" => OF_LENGTH,
        "width" => OF_WIDTH,
        "loaded" | "left" if path.contains(".product.") => OF_PRODUCT,
        "loaded" | "left" => OF_VOLUME,
        _ => OF_CONSOLE,
    }
}

/// The way that was chosen for a reading, else the first.
pub(crate) fn way_of(texts: &dyn Texts, path: &str) -> Way {
    let ways = ways_of(path);
    let chosen = texts.text_at(&format!("{path}.by"));
    let found = ways.iter().find(|way| Some(way.code) == chosen).or_else(|| ways.first());
    found.copied().unwrap_or(way("guess", 0.1, 0.05))
}

/// What is wrong with a reading that reads well by itself.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Wrong {
    /// The text is no value.
    Field(FieldProblem),
    /// At least as much is left as was filled in.
    LeftOverLoaded,
    /// The console counted nothing.
    CountedNothing,
    /// So many times what was known to be used, treated or driven.
    Absurd(f64),
    /// What was used is known to so large a share only (95 %).
    TooRough(f64),
}

/// A reading that is left out, and why.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Complaint {
    /// Its path in the day's document.
    pub(crate) path: String,
    /// Why.
    pub(crate) wrong: Wrong,
}

/// Reads the readings of one day, and collects what is wrong.
pub(crate) struct Reader<'a> {
    pub(crate) texts: &'a dyn Texts,
    pub(crate) complaints: Vec<Complaint>,
}

impl Reader<'_> {
    pub(crate) fn complain(&mut self, path: &str, wrong: Wrong) {
        self.complaints.push(Complaint { path: path.to_owned(), wrong });
    }

    /// The quantity at a path, where a sound one stands.
    pub(crate) fn typed<Q: Quantity>(&mut self, path: &str) -> Option<Typed<Q>> {
        match read_quantity::<Q>(self.texts, path)? {
            Ok(typed) => Some(typed),
            Err(problem) => {
                self.complain(path, Wrong::Field(problem));
                None
            }
        }
    }

    /// A reading with its standard uncertainty; `full` is the vessel that it was read in.
    pub(crate) fn measured<Q: Quantity>(&mut self, path: &str, full: Option<Q>) -> Option<Measured<Q>> {
        let value = self.typed::<Q>(path)?.value;
        let typed_give = self.typed::<Q>(&format!("{path}.give")).map(|typed| typed.value.as_si());
        let give = typed_give.unwrap_or_else(|| usual_give(way_of(self.texts, path), value, full));
        Some(Measured { value, u: Q::from_si(give / K_95) })
    }

    /// What the console counted; nothing where it counted nothing.
    pub(crate) fn shown<Q: Quantity>(&mut self, path: &str) -> Option<Measured<Q>> {
        let shown = self.measured::<Q>(path, None)?;
        if shown.value.as_si() == 0.0 {
            self.complain(path, Wrong::CountedNothing);
            return None;
        }
        Some(shown)
    }

    /// Leaves out a shown value that is far from what is known.
    pub(crate) fn near<Q: Quantity>(
        &mut self,
        path: &str,
        shown: Option<Measured<Q>>,
        known_si: Option<f64>,
    ) -> Option<Measured<Q>> {
        let value = shown?;
        let ratio = known_si.map_or(1.0, |known| value.value.as_si() / known);
        if !(1.0 / ABSURD_RATIO..=ABSURD_RATIO).contains(&ratio) {
            self.complain(path, Wrong::Absurd(ratio));
            return None;
        }
        Some(value)
    }

    /// One liquid of one load. `tank` is what the vessel holds, where that is known.
    pub(crate) fn used(&mut self, path: &str, tank: Option<Volume>) -> ProductUse {
        let at = |what: &str| format!("{path}.{what}");
        let filled = self.typed::<Volume>(&at("loaded")).map(|typed| typed.value);
        let full = tank.or(filled);
        let (mut loaded, mut left) = (self.measured(&at("loaded"), full), self.measured(&at("left"), full));
        let shown = self.shown::<Volume>(&at("shown"));
        let mut used_si = None;
        if let (Some(a), Some(b)) = (loaded, left) {
            let used = a.value.as_si() - b.value.as_si();
            let rough = a.u.as_si().hypot(b.u.as_si()) / used;
            if used <= 0.0 {
                self.complain(&at("left"), Wrong::LeftOverLoaded);
            } else if rough > TOO_ROUGH {
                self.complain(&at("left"), Wrong::TooRough(rough * K_95));
            } else {
                used_si = Some(used);
            }
            if used_si.is_none() {
                (loaded, left) = (None, None);
            }
        }
        let shown = self.near(&at("shown"), shown, used_si);
        ProductUse { loaded, left, shown }
    }
}

/// How far a reading may be off at 95 %, SI, where nobody says: the larger of a share of it and a share of the full vessel.
pub(crate) fn usual_give<Q: Quantity>(way: Way, value: Q, full: Option<Q>) -> f64 {
    let value = value.as_si();
    (way.of_read * value).max(way.of_full * full.map_or(value, Quantity::as_si))
}
