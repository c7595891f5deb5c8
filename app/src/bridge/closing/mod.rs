//! A day to close as typed becomes jobs as numbers, with priors from the book; and what came out, with the names that
//! jobs and loads have on the screen.

pub(crate) mod begin;
pub(crate) mod correct;
pub(crate) mod priors;
pub(crate) mod readings;
#[cfg(test)]
mod tests;

use calc::balance::{Balance, BalanceError, Job, Load, Measured, Priors, Ratio, Strip, close_from};
use priors::{Prior, priors, pulses};
use readings::{Complaint, Reader};
use records::closing::{DayView, read_quantity};
use records::fields::Texts;
use records::{Book, Doc, DocId, FieldValue, Kind, ProductRate};
use units::{Area, Length, Quantity, Typed, Volume, VolumePerArea};

/// What was keyed in while a day's jobs were done.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Keyed {
    course: Option<f64>,
    meter: Option<f64>,
    pumps: Vec<Option<f64>>,
    width_m: Option<f64>,
}

impl Keyed {
    fn of(day: &DayView<'_>) -> Self {
        let doc = day.doc();
        let number = |ratio: Ratio, at: &str| {
            let number = records::trial::read_number(doc, &format!("{at}.number"))?.ok()?;
            pulses(ratio, doc.text(&format!("{at}.convention"))?, number)
        };
        Self {
            course: number(Ratio::Speed, "setup.course"),
            meter: number(Ratio::Meter, "setup.meter"),
            pumps: (0..day.n_pumps)
                .map(|n| number(Ratio::Pump(n as usize), &format!("setup.pump.{}", n + 1)))
                .collect(),
            width_m: read_quantity::<Length>(doc, "setup.width").and_then(Result::ok).map(|w| w.value.as_m()),
        }
    }

    /// Pulses per SI unit of a counting number.
    pub(crate) fn pulses(&self, ratio: Ratio) -> Option<f64> {
        match ratio {
            Ratio::Speed => self.course,
            Ratio::Meter => self.meter,
            Ratio::Pump(pump) => self.pumps.get(pump).copied().flatten(),
            Ratio::Width => None,
        }
    }

    /// What one of these numbers would have shown over what another did; 1 where either is not known.
    fn as_now(now: &Self, then: &Self, ratio: Ratio) -> f64 {
        then.pulses(ratio).zip(now.pulses(ratio)).map_or(1.0, |(then, now)| then / now)
    }
}

/// A job with what the screen says about it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct JobTold {
    /// The day that it belongs to.
    pub(crate) day: DocId,
    /// Its key there.
    pub(crate) key: String,
    /// Numbers, from 1, and keys of its loads of which anything was read.
    pub(crate) loads: Vec<(usize, String)>,
    /// What it is called, where somebody said.
    pub(crate) name: String,
    /// Its number in its day, from 1.
    pub(crate) number: usize,
    /// When its day was begun, where it is another day.
    pub(crate) other_day: Option<String>,
    /// Carrier rate planned.
    pub(crate) carrier: Option<Typed<VolumePerArea>>,
    /// For each pump.
    pub(crate) products: Vec<ProductTold>,
}

/// What was planned of one product.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ProductTold {
    /// What it is called.
    pub(crate) name: String,
    /// Rate planned.
    pub(crate) planned: Option<ProductRate>,
    /// Largest rate that its label allows.
    pub(crate) label: Option<Typed<VolumePerArea>>,
    /// Anything was read of it in this job.
    pub(crate) any_read: bool,
}

/// What a day says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Closing {
    /// The balance over its jobs and those taken along.
    pub(crate) balance: Result<Balance, BalanceError>,
    /// What was known beforehand, in the order of the estimates.
    pub(crate) priors: Vec<Prior>,
    /// In the order of the balance's rates.
    pub(crate) jobs: Vec<JobTold>,
    /// Readings of this day that were left out.
    pub(crate) complaints: Vec<Complaint>,
    /// Other days with readings that were left out: when each was begun, and how many.
    pub(crate) left_out_elsewhere: Vec<(String, usize)>,
    /// Loads of this day where what was filled in is known and what is left is not: job and load, from 0.
    pub(crate) no_rest: Vec<(usize, usize)>,
}

impl Closing {
    /// Whether a comparison of this ratio does not fit.
    pub(crate) fn is_odd(&self, ratio: Ratio) -> bool {
        let misfits = self.balance.as_ref().map(|b| b.misfits.as_slice()).unwrap_or_default();
        // Area stands for width and speaks of speed as well.
        let speaks = |of: Ratio| of == ratio || (of == Ratio::Width && ratio == Ratio::Speed);
        misfits.iter().any(|m| !m.fits && speaks(m.ratio))
    }

    /// How many comparisons speak of a ratio; area speaks of width, and of speed as well.
    pub(crate) fn n_comparisons(&self, ratio: Ratio) -> usize {
        let misfits = self.balance.as_ref().map(|b| b.misfits.as_slice()).unwrap_or_default();
        misfits.iter().filter(|m| m.ratio == ratio).count()
    }
}

/// Works a day out as far as it goes.
pub(crate) fn work_out(book: &Book, doc: &Doc) -> Closing {
    let day = DayView::read(doc);
    let keyed = Keyed::of(&day);
    let priors = priors(book, &day, &keyed);
    let mut jobs = Vec::new();
    let mut told = Vec::new();
    let mut reader = Reader { texts: doc, complaints: Vec::new() };
    read_jobs(&day, None, &mut reader, &mut jobs, &mut told);
    let no_rest = jobs
        .iter()
        .enumerate()
        .flat_map(|(job_idx, job)| {
            let open = |load: &Load| load.carrier.loaded.is_some() && load.carrier.left.is_none();
            job.loads.iter().enumerate().filter(move |(_, l)| open(l)).map(move |(idx, _)| (job_idx, idx))
        })
        .collect();
    let complaints = reader.complaints;
    let mut left_out_elsewhere = Vec::new();
    for other in day.with().filter_map(|id| book.doc(&id)).filter(|other| other.id() != doc.id()) {
        let other_day = DayView::read(other);
        if other.is_removed() || other_day.rig != day.rig || other.id().kind != Kind::Job {
            continue;
        }
        let scale = (&keyed, &Keyed::of(&other_day));
        let mut reader = Reader { texts: other, complaints: Vec::new() };
        let first = jobs.len();
        read_jobs(&other_day, Some(scale), &mut reader, &mut jobs, &mut told);
        if !reader.complaints.is_empty() {
            let at = other.begun().map(|entry| entry.at.clone()).unwrap_or_default();
            left_out_elsewhere.push((at, reader.complaints.len()));
        }
        // A rig that had more pumps then has nothing to say of those now.
        for load in jobs.iter_mut().skip(first).flat_map(|job| &mut job.loads) {
            load.products.truncate(day.n_pumps as usize);
        }
    }
    let before = Priors {
        speed: priors.first().and_then(|p| p.u),
        width: priors.get(1).and_then(|p| p.u),
        meter: priors.get(2).and_then(|p| p.u),
        pumps: priors.iter().skip(3).map(|p| p.u).collect(),
    };
    let last: Vec<f64> = priors.iter().map(|p| p.last).collect();
    let balance = close_from(&last, &before, &jobs);
    Closing { balance, priors, jobs: told, complaints, left_out_elsewhere, no_rest }
}

fn read_jobs(
    day: &DayView<'_>,
    as_now: Option<(&Keyed, &Keyed)>,
    reader: &mut Reader<'_>,
    jobs: &mut Vec<Job>,
    told: &mut Vec<JobTold>,
) {
    let doc = day.doc();
    let factor = |ratio| as_now.map_or(1.0, |(now, then)| Keyed::as_now(now, then, ratio));
    let wider = as_now.and_then(|(now, then)| Some(now.width_m? / then.width_m?)).unwrap_or(1.0);
    let tank = reader.typed::<Volume>("setup.tank").map(|typed| typed.value);
    let labels: Vec<Option<Typed<VolumePerArea>>> =
        (1..=day.n_pumps).map(|n| reader.typed(&format!("setup.pump.{n}.label_greatest"))).collect();
    for (idx, view) in day.jobs.iter().enumerate() {
        let at = |what: &str| format!("job.{}.{what}", view.key);
        let by_strip = doc.text(&at("by")) == Some("strip");
        let area: Option<Measured<Area>> = if by_strip { None } else { reader.measured(&at("area"), None) };
        let strip = if by_strip {
            let length = reader.measured::<Length>(&at("length"), None);
            let width = reader.measured::<Length>(&at("width"), None);
            length.zip(width).map(|(length, width)| Strip { length, width })
        } else {
            None
        };
        let strip_m2 = strip.map(|s| s.length.value.as_m() * s.width.value.as_m());
        let known_m2 = area.map(|a| a.value.as_m2()).or(strip_m2);
        let shown_area = reader.shown(&at("shown_area"));
        let shown_area =
            scaled(reader.near(&at("shown_area"), shown_area, known_m2), factor(Ratio::Speed) * wider);
        // Only along a strip is the distance known.
        let shown_distance = if by_strip { reader.shown(&at("shown_distance")) } else { None };
        let known_m = strip.map(|s| s.length.value.as_m());
        let shown_distance =
            scaled(reader.near(&at("shown_distance"), shown_distance, known_m), factor(Ratio::Speed));
        // A load that was begun and of which nothing was read says nothing, not even that nothing was used.
        let read = |load: &str| {
            let below = at(&format!("load.{load}."));
            doc.texts().any(|(path, _)| path.starts_with(&below) && is_reading(path))
        };
        let numbered = view.loads.iter().enumerate().map(|(idx, load)| (idx + 1, *load));
        let read_loads: Vec<(usize, &str)> = numbered.filter(|(_, load)| read(load)).collect();
        let loads: Vec<Load> = read_loads
            .iter()
            .map(|(_, load)| {
                let carrier = reader.used(&at(&format!("load.{load}.carrier")), tank);
                let products = (1..=day.n_pumps).map(|n| {
                    let mut used = reader.used(&at(&format!("load.{load}.product.{n}")), None);
                    used.shown = scaled(used.shown, factor(Ratio::Pump(n as usize - 1)));
                    used
                });
                let products = products.collect();
                let shown = scaled(carrier.shown, factor(Ratio::Meter));
                Load { carrier: calc::balance::ProductUse { shown, ..carrier }, products }
            })
            .collect();
        let label_greatest = labels.iter().map(|label| label.map(|typed| typed.value)).collect();
        jobs.push(Job { area, strip, shown_area, shown_distance, loads, label_greatest });
        let any_read = |n: u32| {
            let part = format!(".product.{n}.");
            let below = at("load.");
            doc.texts().any(|(path, _)| path.starts_with(&below) && path.contains(&part) && is_reading(path))
        };
        let products = (1..=day.n_pumps)
            .zip(&labels)
            .map(|(n, label)| ProductTold {
                name: doc.text(&format!("setup.pump.{n}.name")).unwrap_or_default().to_owned(),
                planned: planned(doc, &at(&format!("planned.product.{n}"))),
                label: *label,
                any_read: any_read(n),
            })
            .collect();
        told.push(JobTold {
            day: doc.id().clone(),
            key: view.key.to_owned(),
            loads: read_loads.iter().map(|(number, load)| (*number, (*load).to_owned())).collect(),
            name: doc.text(&at("name")).unwrap_or_default().to_owned(),
            number: idx + 1,
            other_day: as_now.and_then(|_| doc.begun()).map(|entry| entry.at.clone()),
            carrier: reader.typed(&at("planned.carrier")),
            products,
        });
    }
}

/// Whether a path holds what was read of a liquid.
fn is_reading(path: &str) -> bool {
    [".loaded", ".left", ".shown"].iter().any(|field| path.ends_with(field))
}

fn planned(doc: &dyn Texts, path: &str) -> Option<ProductRate> {
    let value = FieldValue::from_stored(doc.text_at(path)?);
    ProductRate::parse(&value.text, value.unit.as_deref()).ok()
}

fn scaled<Q: Quantity>(shown: Option<Measured<Q>>, by: f64) -> Option<Measured<Q>> {
    let times = |q: Q| Q::from_si(q.as_si() * by);
    shown.map(|m| Measured { value: times(m.value), u: times(m.u) })
}
