//! A trial as its document describes it: which paths there are, the runs, the conclusion. What the readings add up to
//! is worked out elsewhere; the outcome is kept here as the text that was concluded then.
//!
//! Paths of every trial: `kind`, `rig` (the rig's id), `status`, `setup.*`, `run.<key>.*`, `outcome.*`, `note`. A run's
//! key is any one segment; a draft writes `run.+.…` and gets a key that no other device can give. `run.<key>.removed`
//! takes a run out of the count and leaves it in the book. Every path of `outcome` is plain text.
//!
//! | trial      | `setup.`                                          | `run.<key>.`                                   |
//! |------------|---------------------------------------------------|------------------------------------------------|
//! | `meter`    | `way` (jug, weight), `number`, `convention`, `readout_step`, `jug_step`, `jug_tolerance`, `scale_step`, `scale_tolerance` | `indicated`, `actual`, `gross`, `tare`, `temperature`, `seconds` |
//! | `course`   | `way` (distance, stopwatch, wheel), `number`, `convention`, `course`, `turns`, `pulses_per_turn`, `tape_step`, `tape_tolerance`, `marks`, `length_step`, `speed_step`, `stopwatch` | `direction` (out, back), `distance`, `taped`, `seconds`, `speed` |
//! | `pump`     | `pump`, `number`, `convention`, `readout_step`, `jug_step`, `jug_tolerance` | `output`, `indicated`, `actual`, `seconds` |
//! | `catch`    | `sections`, `pressure`, `specific_gravity`, `jug_step`, `stopwatch` | `section`, `nozzle`, `actual`, `seconds` |
//! | `sections` | `length_step`                                     | `on`, `expected`, `width`                      |
//! | `gauge`    | `gauge_step`, `reference_step`, `reference_tolerance` | `gauge`, `reference`                           |
//! | `standing` | `speed`, `sections`                               | `seconds`, `flow`, `indicated`, `actual`, `area`, `pressure`, `product.N` |
//!
//! All share `setup.tolerance`, `setup.liquid`, `setup.temperature`, `setup.specific_gravity` and `run.<key>.note`.

use units::{FlowRate, Length, Pressure, Quantity, Speed, Typed, Volume};

use crate::doc::Doc;
use crate::fields::Holds::{Choice, Count, Number, Quantity as Typed_, Words};
use crate::fields::{FieldProblem, FieldSpec, Holds, Measure, Need, Texts, check, plain, quantity, row};
use crate::ids::DocId;
use crate::value::FieldValue;

/// Which trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TrialKind {
    /// Carrier meter against a known volume or by weight.
    Meter,
    /// Speed or distance against a taped course.
    Course,
    /// Injection pump against a graduated cylinder.
    Pump,
    /// Nozzle catch.
    Catch,
    /// Section by section, the width that the console shows.
    Sections,
    /// Pressure gauge against a reference gauge.
    Gauge,
    /// Standing run.
    Standing,
}

/// How far a trial is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Runs can be added.
    Open,
    /// It has an outcome.
    Concluded,
}

impl TrialKind {
    /// Every kind.
    pub const ALL: &'static [Self] =
        &[Self::Meter, Self::Course, Self::Pump, Self::Catch, Self::Sections, Self::Gauge, Self::Standing];

    /// The word at the path `kind`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Meter => "meter",
            Self::Course => "course",
            Self::Pump => "pump",
            Self::Catch => "catch",
            Self::Sections => "sections",
            Self::Gauge => "gauge",
            Self::Standing => "standing",
        }
    }

    /// Reads [`Self::code`].
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.code() == code)
    }
}

const LITRE: f64 = Volume::from_l(1.0).as_m3();
const LITRE_PER_MIN: f64 = FlowRate::from_l_per_min(1.0).as_m3_per_s();
const BAR: f64 = Pressure::from_bar(1.0).as_pa();
const FASTEST: f64 = Speed::from_mph(60.0).as_m_per_s();
const LONGEST: f64 = Length::from_km(10.0).as_m();

const VOLUME: Holds = Typed_(Measure::Volume);
const LENGTH: Holds = Typed_(Measure::Length);
const PRESSURE: Holds = Typed_(Measure::Pressure);
const MASS: Holds = Typed_(Measure::Mass);
const TIME: Holds = Typed_(Measure::Duration);

/// Every path of a trial with the believable range of its value. What a console showed may be zero; what was poured,
/// driven or timed may not.
pub const FIELDS: &[FieldSpec] = &[
    plain("kind", Choice(&["meter", "course", "pump", "catch", "sections", "gauge", "standing"]), Need::Yes),
    plain("rig", Holds::Doc, Need::Yes),
    plain("status", Choice(&["open", "concluded"]), Need::No),
    plain("removed", Words, Need::No),
    plain("note", Words, Need::No),
    plain("setup.liquid", Words, Need::No),
    row("setup.temperature", Typed_(Measure::Temperature), 253.15, 353.15),
    row("setup.tolerance", Typed_(Measure::Share), 0.0001, 0.5),
    row("setup.specific_gravity", Typed_(Measure::Density), 500.0, 2500.0),
    plain("setup.way", Choice(&["jug", "weight", "distance", "stopwatch", "wheel"]), Need::No),
    row("setup.number", Number, 1e-9, 1e12),
    plain("setup.convention", Words, Need::No),
    row("setup.readout_step", VOLUME, 1e-6 * LITRE, 1000.0 * LITRE),
    row("setup.jug_step", VOLUME, 1e-6 * LITRE, 1000.0 * LITRE),
    row("setup.jug_tolerance", Typed_(Measure::Share), 0.0, 0.2),
    row("setup.scale_step", MASS, 1e-6, 100.0),
    row("setup.scale_tolerance", Typed_(Measure::Share), 0.0, 0.2),
    row("setup.course", LENGTH, 1.0, LONGEST),
    row("setup.turns", Number, 1.0, 1000.0),
    row("setup.pulses_per_turn", Number, 0.1, 100_000.0),
    row("setup.tape_step", LENGTH, 1e-5, 10.0),
    row("setup.tape_tolerance", Typed_(Measure::Share), 0.0, 0.05),
    row("setup.marks", LENGTH, 0.0, 10.0),
    row("setup.length_step", LENGTH, 1e-5, 100.0),
    row("setup.speed_step", Typed_(Measure::Speed), 1e-4, 10.0),
    row("setup.stopwatch", TIME, 0.0, 10.0),
    row("setup.pump", Count, 1.0, 6.0),
    plain("setup.sections", Words, Need::No),
    row("setup.pressure", PRESSURE, 0.01 * BAR, 60.0 * BAR),
    row("setup.gauge_step", PRESSURE, 1e-4 * BAR, 10.0 * BAR),
    row("setup.reference_step", PRESSURE, 1e-4 * BAR, 10.0 * BAR),
    row("setup.reference_tolerance", PRESSURE, 0.0, 10.0 * BAR),
    row("setup.speed", Typed_(Measure::Speed), 0.01, FASTEST),
    plain("run.*.removed", Words, Need::No),
    plain("run.*.note", Words, Need::No),
    row("run.*.indicated", VOLUME, 0.0, 100_000.0 * LITRE),
    row("run.*.actual", VOLUME, 1e-7 * LITRE, 100_000.0 * LITRE),
    row("run.*.gross", MASS, 1e-6, 100_000.0),
    row("run.*.tare", MASS, 0.0, 100_000.0),
    row("run.*.temperature", Typed_(Measure::Temperature), 253.15, 353.15),
    row("run.*.seconds", TIME, 0.1, 86_400.0),
    plain("run.*.direction", Choice(&["out", "back"]), Need::No),
    row("run.*.distance", LENGTH, 0.0, LONGEST),
    row("run.*.taped", LENGTH, 1.0, LONGEST),
    row("run.*.speed", Typed_(Measure::Speed), 0.0, FASTEST),
    row("run.*.output", Typed_(Measure::FlowRate), 1e-6 * LITRE_PER_MIN, 1000.0 * LITRE_PER_MIN),
    row("run.*.section", Count, 1.0, 36.0),
    row("run.*.nozzle", Count, 1.0, 400.0),
    plain("run.*.on", Words, Need::No),
    row("run.*.expected", LENGTH, 0.0, 200.0),
    row("run.*.width", LENGTH, 0.0, 1000.0),
    row("run.*.gauge", PRESSURE, 0.0, 100.0 * BAR),
    row("run.*.reference", PRESSURE, 0.0, 100.0 * BAR),
    row("run.*.pressure", PRESSURE, 0.0, 100.0 * BAR),
    row("run.*.flow", Typed_(Measure::FlowRate), 0.0, 10_000.0 * LITRE_PER_MIN),
    row("run.*.area", Typed_(Measure::Area), 0.0, 1e8),
    row("run.*.product.N", VOLUME, 0.0, 1000.0 * LITRE),
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

/// A quantity at a path; `None` where nothing stands. A path without a row has no range.
#[must_use]
pub fn read_quantity<Q: Quantity>(texts: &dyn Texts, path: &str) -> Option<Result<Typed<Q>, FieldProblem>> {
    let stored = texts.text_at(path)?;
    let free = FieldSpec::new("", Words, f64::MIN, f64::MAX, Need::No);
    let spec = spec_of(path).unwrap_or(&free);
    let measure = match spec.holds {
        Typed_(measure) => measure,
        _ => Measure::Number,
    };
    Some(quantity(&FieldValue::from_stored(stored), spec, measure))
}

/// A bare number or count at a path; `None` where nothing stands.
#[must_use]
pub fn read_number(texts: &dyn Texts, path: &str) -> Option<Result<f64, FieldProblem>> {
    let stored = texts.text_at(path)?;
    let free = FieldSpec::new("", Number, f64::MIN, f64::MAX, Need::No);
    let spec = spec_of(path).unwrap_or(&free);
    let value = FieldValue::from_stored(stored);
    Some(match spec.holds {
        Count => crate::fields::count(&value, spec).map(f64::from),
        _ => crate::fields::number(&value, spec),
    })
}

/// A trial read from its document.
#[derive(Clone, Debug)]
pub struct TrialView<'a> {
    doc: &'a Doc,
    /// Which trial; `None` for a kind that a later program added.
    pub kind: Option<TrialKind>,
    /// The rig that it is about.
    pub rig: Option<DocId>,
    /// How far it is.
    pub status: Status,
    /// The runs in the order in which they were begun, removed ones included.
    pub runs: Vec<RunView<'a>>,
}

/// One run of a trial.
#[derive(Clone, Debug)]
pub struct RunView<'a> {
    doc: &'a Doc,
    /// Its key in the paths `run.<key>.…`.
    pub key: &'a str,
    /// Whether it was taken out of the count.
    pub removed: bool,
}

impl<'a> TrialView<'a> {
    /// Reads a trial.
    #[must_use]
    pub fn read(doc: &'a Doc) -> Self {
        let runs = doc
            .keys_below("run.")
            .into_iter()
            .map(|key| RunView { doc, key, removed: doc.is_set_by_any(&format!("run.{key}.removed")) })
            .collect();
        Self {
            doc,
            kind: doc.text("kind").and_then(TrialKind::from_code),
            rig: doc.text("rig").and_then(|text| text.parse().ok()),
            status: match doc.text("status") {
                Some("concluded") => Status::Concluded,
                _ => Status::Open,
            },
            runs,
        }
    }

    /// The runs that count.
    pub fn counting(&self) -> impl Iterator<Item = &RunView<'a>> {
        self.runs.iter().filter(|run| !run.removed)
    }

    /// The document.
    #[must_use]
    pub fn doc(&self) -> &'a Doc {
        self.doc
    }

    /// The text at `setup.<field>`, as typed.
    #[must_use]
    pub fn setup(&self, field: &str) -> Option<FieldValue> {
        self.doc.value(&format!("setup.{field}"))
    }

    /// The plain text at `outcome.<field>`.
    #[must_use]
    pub fn outcome(&self, field: &str) -> Option<&'a str> {
        self.doc.text(&format!("outcome.{field}"))
    }

    /// Everything concluded, by field.
    pub fn outcomes(&self) -> impl Iterator<Item = (&'a str, &'a str)> + use<'a> {
        self.doc.texts().filter_map(|(path, text)| Some((path.strip_prefix("outcome.")?, text)))
    }
}

impl<'a> RunView<'a> {
    /// The path of one of its fields.
    #[must_use]
    pub fn path(&self, field: &str) -> String {
        format!("run.{}.{field}", self.key)
    }

    /// The plain text of one of its fields.
    #[must_use]
    pub fn text(&self, field: &str) -> Option<&'a str> {
        self.doc.text(&self.path(field))
    }

    /// One of its fields, as typed.
    #[must_use]
    pub fn value(&self, field: &str) -> Option<FieldValue> {
        self.doc.value(&self.path(field))
    }

    /// One of its fields as a quantity.
    #[must_use]
    pub fn quantity<Q: Quantity>(&self, field: &str) -> Option<Result<Typed<Q>, FieldProblem>> {
        read_quantity(self.doc, &self.path(field))
    }

    /// One of its fields as a number or count.
    #[must_use]
    pub fn number(&self, field: &str) -> Option<Result<f64, FieldProblem>> {
        read_number(self.doc, &self.path(field))
    }
}
