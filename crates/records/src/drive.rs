//! A drive as its document describes it: manoeuvres one after another, and how its result is looked at. What they mean in
//! speed, switches and dose is worked out elsewhere.
//!
//! Paths: `rig` (the rig's id), `name`, `start.*`, `pump`, `limit.*`, `step.<key>.*`. A step's key is any one segment; a draft
//! writes `step.+.…` and gets a key that no other device can give. Steps stand in the order of `step.<key>.order`;
//! `step.<key>.removed` takes one out and leaves it in the book.
//!
//! | `do`      | what it is                                | fields of `step.<key>.`          |
//! |-----------|-------------------------------------------|----------------------------------|
//! | `set_off` | from standing to a speed                  | `speed`, `takes`                 |
//! | `steady`  | on at the speed it has                    | `distance`                       |
//! | `change`  | faster or slower                          | `speed`, `takes`                 |
//! | `corner`  | slower, round a corner, back to the speed | `speed`, `takes`, `distance`     |
//! | `stop`    | to a stop, stands, on                     | `takes`, `stands`, `boom`        |
//! | `shut`    | sections shut, then opened                | `sections`, `distance`           |
//! | `second`  | second rate on, then off                  | `distance`                       |
//! | `nudge`   | rate nudged, then back                    | `presses`, `distance`            |
//! | `crawl`   | below the minimum-speed hold              | `speed`, `takes`, `distance`     |
//! | `flush`   | injection pump off, then on               | `distance`                       |
//! | `end`     | boom off, to a stop                       | `takes`                          |

use units::{Length, Quantity, Speed, Typed};

use crate::fields::Holds::{Choice, Count, Doc as DocIdText, Number, Quantity as Typed_, Words};
use crate::fields::{
    FieldProblem, FieldSpec, Measure, Need, Texts, check, count, number, plain, quantity, row,
};
use crate::ids::DocId;
use crate::value::FieldValue;

/// What a driver does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepKind {
    /// From standing to a speed.
    SetOff,
    /// On at the speed it has.
    Steady,
    /// Faster or slower.
    Change,
    /// Slower, round a corner, back to the speed.
    Corner,
    /// To a stop, stands, on.
    Stop,
    /// Sections shut for a stretch.
    Shut,
    /// Second rate for a stretch.
    Second,
    /// Nudged for a stretch.
    Nudge,
    /// Below the minimum-speed hold for a stretch.
    Crawl,
    /// Injection pump off for a stretch.
    Flush,
    /// Boom off, to a stop.
    End,
}

impl StepKind {
    /// Every kind, in the order in which they are offered.
    pub const ALL: &'static [Self] = &[
        Self::SetOff,
        Self::Steady,
        Self::Change,
        Self::Corner,
        Self::Stop,
        Self::Shut,
        Self::Second,
        Self::Nudge,
        Self::Crawl,
        Self::Flush,
        Self::End,
    ];

    /// The word at the path `do`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::SetOff => "set_off",
            Self::Steady => "steady",
            Self::Change => "change",
            Self::Corner => "corner",
            Self::Stop => "stop",
            Self::Shut => "shut",
            Self::Second => "second",
            Self::Nudge => "nudge",
            Self::Crawl => "crawl",
            Self::Flush => "flush",
            Self::End => "end",
        }
    }

    /// Reads [`Self::code`].
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.code() == code)
    }

    /// The fields that it needs, in the order in which they are asked for. `boom` of a stop is a choice and may be left.
    #[must_use]
    pub const fn fields(self) -> &'static [&'static str] {
        match self {
            Self::SetOff | Self::Change => &["speed", "takes"],
            Self::Steady | Self::Second | Self::Flush => &["distance"],
            Self::Corner | Self::Crawl => &["speed", "takes", "distance"],
            Self::Stop => &["takes", "stands"],
            Self::Shut => &["sections", "distance"],
            Self::Nudge => &["presses", "distance"],
            Self::End => &["takes"],
        }
    }
}

const FASTEST: f64 = Speed::from_mph(60.0).as_m_per_s();
const LONGEST: f64 = Length::from_km(10.0).as_m();
const HOUR: f64 = 3600.0;

/// Every path of a drive with the believable range of its value; the ranges keep slips of the finger out and are ours. The
/// first choice of a [`Choice`] holds where nothing was chosen.
pub const FIELDS: &[FieldSpec] = &[
    plain("rig", DocIdText, Need::Yes),
    plain("name", Words, Need::No),
    plain("removed", Words, Need::No),
    row("start.speed", Typed_(Measure::Speed), 0.0, FASTEST),
    plain("start.lines", Choice(&["clean", "charged"]), Need::No),
    row("pump", Count, 1.0, 6.0),
    row("limit.least", Typed_(Measure::Share), 0.01, 1.0),
    row("limit.greatest", Typed_(Measure::Share), 1.0, 5.0),
    plain(
        "step.*.do",
        Choice(&[
            "set_off", "steady", "change", "corner", "stop", "shut", "second", "nudge", "crawl", "flush",
            "end",
        ]),
        Need::No,
    ),
    row("step.*.order", Number, -1e9, 1e9),
    plain("step.*.removed", Words, Need::No),
    row("step.*.speed", Typed_(Measure::Speed), 0.01, FASTEST),
    row("step.*.takes", Typed_(Measure::Duration), 0.1, HOUR),
    row("step.*.stands", Typed_(Measure::Duration), 0.1, HOUR),
    row("step.*.distance", Typed_(Measure::Length), 0.01, LONGEST),
    plain("step.*.sections", Words, Need::No),
    row("step.*.presses", Number, -20.0, 20.0),
    plain("step.*.boom", Choice(&["off", "on"]), Need::No),
];

/// The row that a path belongs to.
#[must_use]
pub fn spec_of(path: &str) -> Option<&'static FieldSpec> {
    FIELDS.iter().find(|spec| spec.fits(path))
}

/// What is wrong with the text at one path. Unknown paths are never wrong.
///
/// # Errors
/// [`FieldProblem`].
pub fn check_field(path: &str, texts: &dyn Texts) -> Result<(), FieldProblem> {
    spec_of(path).map_or(Ok(()), |spec| check(spec, path, texts))
}

/// A drive read from its document, or from a form over it.
#[derive(Clone)]
pub struct DriveView<'a> {
    texts: &'a dyn Texts,
    /// The rig that drives it.
    pub rig: Option<DocId>,
    /// Its name.
    pub name: Option<&'a str>,
    /// The steps that count, in their order.
    pub steps: Vec<StepView<'a>>,
}

/// One step of a drive.
#[derive(Clone)]
pub struct StepView<'a> {
    texts: &'a dyn Texts,
    /// Its key in the paths `step.<key>.…`.
    pub key: &'a str,
    /// What is done; `None` for a manoeuvre that a later program added.
    pub kind: Option<StepKind>,
    /// Its place among the others.
    pub order: f64,
}

impl<'a> DriveView<'a> {
    /// Reads a drive.
    #[must_use]
    pub fn read(texts: &'a dyn Texts) -> Self {
        let mut steps: Vec<StepView<'a>> = Vec::new();
        for path in texts.paths() {
            let Some((key, "do")) = step_key(path) else { continue };
            if texts.text_at(&format!("step.{key}.removed")).is_some() {
                continue;
            }
            let order = read_number(texts, &format!("step.{key}.order"));
            let order = order.and_then(Result::ok).unwrap_or(0.0);
            let kind = texts.text_at(path).and_then(StepKind::from_code);
            // A few dozen: put in place one by one, without a sort of their own.
            let place = steps.partition_point(|other| {
                other.order.total_cmp(&order).then_with(|| other.key.cmp(key)).is_lt()
            });
            steps.insert(place, StepView { texts, key, kind, order });
        }
        Self {
            texts,
            rig: texts.text_at("rig").and_then(|text| text.parse().ok()),
            name: texts.text_at("name"),
            steps,
        }
    }

    /// A quantity of the drive itself, e.g. `start.speed`; `None` where nothing stands.
    #[must_use]
    pub fn quantity<Q: Quantity>(&self, path: &str) -> Option<Result<Typed<Q>, FieldProblem>> {
        read_quantity(self.texts, path)
    }

    /// The injection pump whose product is looked at; the first where nothing is said.
    ///
    /// # Errors
    /// [`FieldProblem`] of the text that stands there.
    pub fn pump(&self) -> Result<u32, FieldProblem> {
        let number = read_number(self.texts, "pump").unwrap_or(Ok(1.0))?;
        // A count from 1 to 6 by its row.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        Ok(number as u32)
    }

    /// Whether the lines hold the running mixture at the start, rather than clean carrier.
    #[must_use]
    pub fn lines_charged(&self) -> bool {
        self.texts.text_at("start.lines") == Some("charged")
    }
}

impl<'a> StepView<'a> {
    /// The path of one of its fields.
    #[must_use]
    pub fn path(&self, field: &str) -> String {
        format!("step.{}.{field}", self.key)
    }

    /// The plain text of one of its fields.
    #[must_use]
    pub fn text(&self, field: &str) -> Option<&'a str> {
        self.texts.text_at(&self.path(field))
    }

    /// One of its fields as a quantity.
    #[must_use]
    pub fn quantity<Q: Quantity>(&self, field: &str) -> Option<Result<Typed<Q>, FieldProblem>> {
        read_quantity(self.texts, &self.path(field))
    }

    /// One of its fields as a number, below zero too.
    #[must_use]
    pub fn number(&self, field: &str) -> Option<Result<f64, FieldProblem>> {
        read_number(self.texts, &self.path(field))
    }
}

fn read_quantity<Q: Quantity>(texts: &dyn Texts, path: &str) -> Option<Result<Typed<Q>, FieldProblem>> {
    let stored = texts.text_at(path)?;
    let spec = spec_of(path)?;
    let Typed_(measure) = spec.holds else { return None };
    Some(quantity(&FieldValue::from_stored(stored), spec, measure))
}

fn read_number(texts: &dyn Texts, path: &str) -> Option<Result<f64, FieldProblem>> {
    let stored = texts.text_at(path)?;
    let spec = spec_of(path)?;
    let value = FieldValue::from_stored(stored);
    Some(match spec.holds {
        Count => count(&value, spec).map(f64::from),
        _ => number(&value, spec),
    })
}

fn step_key(path: &str) -> Option<(&str, &str)> {
    let (key, field) = path.strip_prefix("step.")?.split_once('.')?;
    (!key.is_empty()).then_some((key, field))
}
