//! What is known of each ratio before a day is closed: from the last concluded proofs of the rig, from what somebody typed,
//! or nothing.

use super::Keyed;
use super::readings::K_95;
use calc::balance::Ratio;
use records::closing::{DayView, read_quantity};
use records::rig::{RigView, SectionBy};
use records::trial::{Status, TrialKind, TrialView};
use records::{Book, Doc, DocId, Field, Source};
use units::{LengthUnit, PulseConvention, PulsesPerDistance, PulsesPerVolume, Share, Unit, VolumeUnit};

/// How far a width that was measured with a tape may be off, standard: common practice, no source.
const TAPED: f64 = 0.01;

/// What a prior rests on.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Basis {
    /// A concluded trial.
    Trial {
        /// The trial.
        id: DocId,
        /// When it was concluded, as written.
        at: String,
    },
    /// Section widths that are marked as measured; the newest of them was written then.
    Taped {
        /// As written.
        at: String,
    },
    /// Somebody typed it.
    Typed,
    /// Nothing was proven.
    Nothing,
}

/// What is known of a ratio beforehand.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Prior {
    /// Of what.
    pub(crate) ratio: Ratio,
    /// Shown over true, as the last proof left it for the number that was keyed in during the jobs; 1 where nothing was
    /// proven.
    pub(crate) last: f64,
    /// Relative standard uncertainty; none where nothing was proven.
    pub(crate) u: Option<f64>,
    /// What it rests on.
    pub(crate) basis: Basis,
}

/// The part of a path behind `prior.`.
pub(crate) fn path_of(ratio: Ratio) -> String {
    match ratio {
        Ratio::Speed => "prior.speed".to_owned(),
        Ratio::Width => "prior.width".to_owned(),
        Ratio::Meter => "prior.meter".to_owned(),
        Ratio::Pump(pump) => format!("prior.pump.{}", pump + 1),
    }
}

/// Priors of a day: speed, width, meter, then each pump.
pub(crate) fn priors(book: &Book, day: &DayView<'_>, keyed: &Keyed) -> Vec<Prior> {
    let trials: Vec<&Doc> = book
        .docs_of(&records::Kind::Trial)
        .into_iter()
        .filter(|doc| {
            !doc.is_removed()
                && doc.text("rig").and_then(|text| text.parse().ok()).as_ref() == day.rig.as_ref()
        })
        .collect();
    let pumps = (0..day.n_pumps as usize).map(Ratio::Pump);
    [Ratio::Speed, Ratio::Width, Ratio::Meter]
        .into_iter()
        .chain(pumps)
        .map(|ratio| {
            let mut prior = proven(&trials, ratio, keyed)
                .or_else(|| taped(book, day, ratio))
                .unwrap_or(Prior { ratio, last: 1.0, u: None, basis: Basis::Nothing });
            if let Some(Ok(typed)) = read_quantity::<Share>(day.doc(), &path_of(ratio)) {
                prior.u = Some(typed.value.as_fraction() / K_95);
                prior.basis = Basis::Typed;
            }
            prior
        })
        .collect()
}

/// From the newest concluded trial of the kind that says how sure it is.
fn proven(trials: &[&Doc], ratio: Ratio, keyed: &Keyed) -> Option<Prior> {
    trials.iter().find_map(|doc| {
        let view = TrialView::read(doc);
        let fits = match (ratio, view.kind?) {
            (Ratio::Speed, TrialKind::Course) | (Ratio::Meter, TrialKind::Meter) => true,
            (Ratio::Pump(pump), TrialKind::Pump) => {
                crate::bridge::trial::pump::pump_of(&view) == u32::try_from(pump + 1).ok()
            }
            _ => false,
        };
        if !fits || view.status != Status::Concluded {
            return None;
        }
        let number = |field: &str| view.outcome(field)?.parse::<f64>().ok().filter(|n| n.is_finite());
        let (exact, expanded) = (number("exact")?, number("number_expanded")?);
        if exact <= 0.0 || expanded <= 0.0 {
            return None;
        }
        let proven = pulses(ratio, view.outcome("convention")?, exact)?;
        // A meter counts too much where its number is too small: shown over true is proven over keyed in.
        let last = keyed.pulses(ratio).map_or(1.0, |now| proven / now);
        let at = doc.field("status").and_then(Field::last)?.entry.at.clone();
        let basis = Basis::Trial { id: doc.id().clone(), at };
        Some(Prior { ratio, last, u: Some(expanded / exact / K_95), basis })
    })
}

/// Pulses per SI unit that a number means.
pub(crate) fn pulses(ratio: Ratio, convention: &str, number: f64) -> Option<f64> {
    fn meant<U: Unit>(convention: &str) -> Option<PulseConvention<U>> {
        PulseConvention::from_code(convention).ok()
    }
    let pulses = match ratio {
        Ratio::Speed => meant::<LengthUnit>(convention)?.meaning::<PulsesPerDistance>(number).as_per_m(),
        Ratio::Meter | Ratio::Pump(_) => {
            meant::<VolumeUnit>(convention)?.meaning::<PulsesPerVolume>(number).as_per_m3()
        }
        Ratio::Width => return None,
    };
    (pulses.is_finite() && pulses > 0.0).then_some(pulses)
}

/// A boom of which every section's width is marked as measured.
fn taped(book: &Book, day: &DayView<'_>, ratio: Ratio) -> Option<Prior> {
    if ratio != Ratio::Width {
        return None;
    }
    let doc = book.doc(day.rig.as_ref()?)?;
    let rig = RigView::read(doc);
    let mut newest: Option<&str> = None;
    for section in &rig.sections {
        let path = match section.by.ok()? {
            SectionBy::Width => section.width.path.as_str(),
            SectionBy::Nozzles if section.spacing.value.is_some() => section.spacing.path.as_str(),
            SectionBy::Nozzles => "nozzle.spacing",
        };
        if doc.value(path)?.source != Some(Source::Measured) {
            return None;
        }
        let at = doc.field(path).and_then(Field::last)?.entry.at.as_str();
        newest = newest.max(Some(at));
    }
    let basis = Basis::Taped { at: newest?.to_owned() };
    Some(Prior { ratio, last: 1.0, u: Some(TAPED), basis })
}

/// Whole days from one ISO time to another; none where one of them does not begin with a date.
pub(crate) fn days_between(from: &str, to: &str) -> Option<i64> {
    Some(day_number(to)? - day_number(from)?)
}

/// Days of the proleptic Gregorian calendar, counted from an arbitrary day: years begin with March, so that the leap day
/// comes last.
fn day_number(iso: &str) -> Option<i64> {
    let mut parts = iso.get(..10)?.split('-').map(|part| part.parse::<i64>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    Some(
        365 * year + year.div_euclid(4) - year.div_euclid(100)
            + year.div_euclid(400)
            + (153 * month + 2) / 5
            + day,
    )
}

#[cfg(test)]
mod tests {
    use super::days_between;

    // By hand: 2024 was a leap year, 2025 is not.
    #[test]
    fn days_are_counted_over_months_and_leap_days() {
        let days = |from, to| days_between(from, to).unwrap();
        assert_eq!(days("2025-05-06T23:59:00Z", "2025-05-07T00:01:00Z"), 1);
        assert_eq!(days("2024-02-28", "2024-03-01"), 2);
        assert_eq!(days("2025-02-28", "2025-03-01"), 1);
        assert_eq!(days("2024-01-01", "2025-01-01"), 366);
        assert_eq!(days("2025-12-31", "2026-01-01"), 1);
        assert_eq!(days_between("yesterday", "2026-01-01"), None);
    }
}
