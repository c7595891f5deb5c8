//! A day to close, as its document describes it: which paths there are, its jobs and their loads. What they add up to is
//! worked out elsewhere.
//!
//! The document's kind is [`crate::Kind::Job`]. Keys of jobs and loads are any one segment; a draft writes `job.+.…` and
//! gets a key that no other device can give. `….removed` takes a job or a load out of the count and leaves it in the book.
//!
//! | path                                | text                                                                    |
//! |-------------------------------------|-------------------------------------------------------------------------|
//! | `rig`, `name`, `note`, `removed`    | as in every document                                                    |
//! | `setup.…`                           | what was keyed in while these jobs were done: numbers with conventions, boom width, tank, labels |
//! | `prior.speed`, `.width`, `.meter`, `.pump.N` | how far the ratio may be off at 95 %, where somebody knows better than the proofs |
//! | `with.<id>`                         | another day of the rig that is taken along                              |
//! | `job.<key>.…`                       | `name`, `by` (area, strip), `area`, `length`, `width`, `shown_area`, `shown_distance`, `planned.…` |
//! | `job.<key>.load.<key>.carrier.…`    | `loaded`, `left`, `shown`                                               |
//! | `job.<key>.load.<key>.product.N.…`  | the same of each injection pump                                         |
//! | `outcome.<what>.…`                  | plain: `old`, `new`, `ratio`, `expanded` of a number that was put on the rig |
//!
//! Beside each reading stand `….by`, how it was read, and `….give`, how far it may be off at 95 %.

use units::{Area, Length, Quantity, Typed, Volume};

use crate::doc::Doc;
use crate::fields::Holds::{Choice, Count, Number, Quantity as Typed_, Words};
use crate::fields::{FieldProblem, FieldSpec, Holds, Measure, Need, Texts, quantity, row};
use crate::ids::DocId;
use crate::rig::MOST_PUMPS;
use crate::value::FieldValue;

const LITRE: f64 = Volume::from_l(1.0).as_m3();
const LITRE_PER_HA: f64 = Volume::from_l(1.0).as_m3() / Area::from_ha(1.0).as_m2();
const LONGEST: f64 = Length::from_km(1000.0).as_m();
const LARGEST: f64 = Area::from_ha(10_000.0).as_m2();
const MOST_CARRIER: f64 = 100_000.0 * LITRE;
const MOST_PRODUCT: f64 = 10_000.0 * LITRE;

const VOLUME: Holds = Typed_(Measure::Volume);
const LENGTH: Holds = Typed_(Measure::Length);
const AREA: Holds = Typed_(Measure::Area);
const SHARE: Holds = Typed_(Measure::Share);

const fn plain(path: &'static str, holds: Holds) -> FieldSpec {
    FieldSpec::plain(path, holds, Need::No)
}

/// Every path of a day to close, with the believable range of its value. What the console counted and what is left may be
/// zero; what was treated, driven or filled in may not.
pub const FIELDS: &[FieldSpec] = &[
    FieldSpec::plain("rig", Holds::Doc, Need::Yes),
    plain("removed", Words),
    plain("name", Words),
    plain("note", Words),
    row("setup.pumps", Count, 0.0, MOST_PUMPS as f64),
    row("setup.meter.number", Number, 1e-9, 1e12),
    plain("setup.meter.convention", Holds::VolumeConvention),
    row("setup.course.number", Number, 1e-9, 1e12),
    plain("setup.course.convention", Holds::DistanceConvention),
    row("setup.pump.N.number", Number, 1e-9, 1e12),
    plain("setup.pump.N.convention", Holds::VolumeConvention),
    plain("setup.pump.N.name", Words),
    row(
        "setup.pump.N.label_greatest",
        Typed_(Measure::VolumePerArea),
        1e-5 * LITRE_PER_HA,
        1000.0 * LITRE_PER_HA,
    ),
    row("setup.width", LENGTH, 0.05, 200.0),
    row("setup.tank", VOLUME, LITRE, 50_000.0 * LITRE),
    row("prior.speed", SHARE, 1e-4, 1.0),
    row("prior.width", SHARE, 1e-4, 1.0),
    row("prior.meter", SHARE, 1e-4, 1.0),
    row("prior.pump.N", SHARE, 1e-4, 1.0),
    plain("with.*", Words),
    plain("job.*.name", Words),
    plain("job.*.removed", Words),
    plain("job.*.by", Choice(&["area", "strip"])),
    row("job.*.area", AREA, 1.0, LARGEST),
    row("job.*.area.give", AREA, 0.01, LARGEST),
    row("job.*.length", LENGTH, 1.0, LONGEST),
    row("job.*.length.give", LENGTH, 1e-4, LONGEST),
    row("job.*.width", LENGTH, 0.05, 200.0),
    row("job.*.width.give", LENGTH, 1e-4, 200.0),
    row("job.*.shown_area", AREA, 0.0, LARGEST),
    row("job.*.shown_area.give", AREA, 0.01, LARGEST),
    row("job.*.shown_distance", LENGTH, 0.0, LONGEST),
    row("job.*.shown_distance.give", LENGTH, 1e-4, LONGEST),
    row("job.*.planned.carrier", Typed_(Measure::VolumePerArea), 0.5 * LITRE_PER_HA, 50_000.0 * LITRE_PER_HA),
    row("job.*.planned.product.N", Typed_(Measure::ProductRate), 1e-5 * LITRE_PER_HA, 1000.0 * LITRE_PER_HA),
    plain("job.*.load.*.removed", Words),
    row("job.*.load.*.carrier.loaded", VOLUME, 0.1 * LITRE, MOST_CARRIER),
    row("job.*.load.*.carrier.left", VOLUME, 0.0, MOST_CARRIER),
    row("job.*.load.*.carrier.shown", VOLUME, 0.0, MOST_CARRIER),
    row("job.*.load.*.carrier.*.give", VOLUME, 1e-6 * LITRE, MOST_CARRIER),
    row("job.*.load.*.product.N.loaded", VOLUME, 1e-4 * LITRE, MOST_PRODUCT),
    row("job.*.load.*.product.N.left", VOLUME, 0.0, MOST_PRODUCT),
    row("job.*.load.*.product.N.shown", VOLUME, 0.0, MOST_PRODUCT),
    row("job.*.load.*.product.N.*.give", VOLUME, 1e-6 * LITRE, MOST_PRODUCT),
    plain("job.*.load.*.carrier.*.by", Words),
    plain("job.*.load.*.product.N.*.by", Words),
    plain("job.*.*.by", Words),
];

/// The row that a path belongs to.
#[must_use]
pub fn spec_of(path: &str) -> Option<&'static FieldSpec> {
    FIELDS.iter().find(|spec| spec.fits(path))
}

/// A quantity at a path; `None` where nothing stands, or where no quantity belongs.
#[must_use]
pub fn read_quantity<Q: Quantity>(texts: &dyn Texts, path: &str) -> Option<Result<Typed<Q>, FieldProblem>> {
    let stored = texts.text_at(path)?;
    let spec = spec_of(path)?;
    let Typed_(measure) = spec.holds else { return None };
    Some(quantity(&FieldValue::from_stored(stored), spec, measure))
}

/// A day read from its document.
#[derive(Clone, Debug)]
pub struct DayView<'a> {
    doc: &'a Doc,
    /// The rig that did the jobs.
    pub rig: Option<DocId>,
    /// How many injection pumps it had.
    pub n_pumps: u32,
    /// Its jobs in the order in which they were begun, without those that were taken out.
    pub jobs: Vec<JobView<'a>>,
}

/// One job of a day.
#[derive(Clone, Debug)]
pub struct JobView<'a> {
    /// Its key in the paths `job.<key>.…`.
    pub key: &'a str,
    /// Keys of its loads in the paths `job.<key>.load.<key>.…`, without those that were taken out.
    pub loads: Vec<&'a str>,
}

impl<'a> DayView<'a> {
    /// Reads a day.
    #[must_use]
    pub fn read(doc: &'a Doc) -> Self {
        let counting = |prefix: &str| {
            let mut keys = doc.keys_below(prefix);
            keys.retain(|key| !doc.is_set_by_any(&format!("{prefix}{key}.removed")));
            keys
        };
        let jobs = counting("job.")
            .into_iter()
            .map(|key| JobView { key, loads: counting(&format!("job.{key}.load.")) })
            .collect();
        let n_pumps = doc.value("setup.pumps").and_then(|value| value.text.parse().ok()).unwrap_or(0);
        Self {
            doc,
            rig: doc.text("rig").and_then(|text| text.parse().ok()),
            n_pumps: MOST_PUMPS.min(n_pumps),
            jobs,
        }
    }

    /// The document.
    #[must_use]
    pub fn doc(&self) -> &'a Doc {
        self.doc
    }

    /// Other days that are taken along.
    pub fn with(&self) -> impl Iterator<Item = DocId> + use<'a> {
        self.doc.texts().filter_map(|(path, _)| path.strip_prefix("with.")?.parse().ok())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Book, Draft, EntryId, Kind};

    fn day(entries: &[&[(&str, &str)]]) -> Book {
        let mut book = Book::default();
        for (idx, fields) in entries.iter().enumerate() {
            let id: EntryId = format!("k3f9a2bc-{}", idx + 1).parse().unwrap();
            let draft = match book.docs_of(&Kind::Job).first() {
                Some(doc) => Draft::new(doc.id(), "2025-05-06T07:08:09Z", "Ada", book.seen()),
                None => Draft::new(Kind::Job, "2025-05-06T07:08:09Z", "Ada", book.seen()),
            };
            book.apply(&draft.set_all(fields.iter().copied()).into_record(id));
        }
        book
    }

    #[test]
    fn jobs_and_loads_stand_in_the_order_in_which_they_were_begun() {
        let book = day(&[
            &[("setup.pumps", ";;2"), ("with.job:k3f9a2bc-9", "yes")],
            &[("job.+.by", "area"), ("job.+.load.+.carrier.loaded.by", "dip")],
            &[("job.+.by", "strip")],
            &[("job.k3f9a2bc-2.load.+.carrier.loaded", "measured;us_gal;400")],
            &[("job.k3f9a2bc-3.removed", "yes")],
        ]);
        let docs = book.docs_of(&Kind::Job);
        let view = DayView::read(docs.first().unwrap());
        assert_eq!(view.n_pumps, 2);
        assert_eq!(view.jobs.len(), 1);
        assert_eq!(view.jobs[0].key, "k3f9a2bc-2");
        assert_eq!(view.jobs[0].loads, ["k3f9a2bc-2", "k3f9a2bc-4"]);
        assert_eq!(view.with().map(|id| id.to_string()).collect::<Vec<_>>(), ["job:k3f9a2bc-9"]);
    }

    #[test]
    fn every_reading_has_its_row() {
        let holds = |path: &str| spec_of(path).map(|spec| spec.holds);
        for of in ["carrier", "product.3"] {
            for reading in ["loaded", "left", "shown"] {
                let path = format!("job.a-1.load.b-2.{of}.{reading}");
                assert_eq!(holds(&path), Some(VOLUME), "{path}");
                assert_eq!(holds(&format!("{path}.give")), Some(VOLUME), "{path}");
                assert_eq!(holds(&format!("{path}.by")), Some(Words), "{path}");
            }
        }
        for reading in ["area", "length", "width", "shown_area", "shown_distance"] {
            assert!(matches!(holds(&format!("job.a-1.{reading}")), Some(Typed_(_))), "{reading}");
            assert!(matches!(holds(&format!("job.a-1.{reading}.give")), Some(Typed_(_))), "{reading}");
            assert_eq!(holds(&format!("job.a-1.{reading}.by")), Some(Words), "{reading}");
        }
    }
}
