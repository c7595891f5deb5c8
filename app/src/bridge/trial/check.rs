//! A run before it is added: readings that each read well and do not go together. What is refused here would be refused
//! by the calculation too; beside the box it is told while the jug is still in the hand.

use calc::ratio_trial::{ABSURD_RATIO, TrialError};
use records::fields::Texts;
use records::trial::{TrialKind, read_quantity};
use units::{Duration, Length, Mass, Pressure, Quantity, Speed, Volume};

/// The box that is wrong and why; `at` gives the path of a field of the run, `course` is the taped length of a course
/// trial. Nothing where a reading is missing or all is well.
pub(crate) fn run_refused(
    kind: TrialKind,
    run: &dyn Texts,
    at: fn(&str) -> String,
    course: Option<Length>,
) -> Option<(&'static str, TrialError)> {
    match kind {
        TrialKind::Meter | TrialKind::Pump => {
            let indicated = si::<Volume>(run, at, "indicated")?;
            if let Some(gross_kg) = si::<Mass>(run, at, "gross") {
                let tare_kg = si::<Mass>(run, at, "tare")?;
                if gross_kg <= tare_kg {
                    return Some(("gross", TrialError::Weighing { run_idx: 0, gross_kg, tare_kg }));
                }
                // A litre of water weighs a kilogram, near enough to tell a slip.
                return compared("indicated", indicated, (gross_kg - tare_kg) / 1000.0);
            }
            compared("indicated", indicated, si::<Volume>(run, at, "actual")?)
        }
        TrialKind::Course => {
            let length_m = course?.as_m();
            match si::<Duration>(run, at, "seconds") {
                Some(seconds) => compared("speed", si::<Speed>(run, at, "speed")?, length_m / seconds),
                None => compared("distance", si::<Length>(run, at, "distance")?, length_m),
            }
        }
        TrialKind::Gauge => {
            let (gauge, reference) =
                (si::<Pressure>(run, at, "gauge")?, si::<Pressure>(run, at, "reference")?);
            if reference <= 0.0 {
                return Some(("reference", TrialError::Actual { run_idx: 0, got: reference }));
            }
            // A gauge may stand at its stop while there is pressure; that it shows zero is a finding and no slip.
            if gauge == 0.0 { None } else { compared("gauge", gauge, reference) }
        }
        TrialKind::Catch | TrialKind::Sections | TrialKind::Standing => None,
    }
}

fn si<Q: Quantity>(run: &dyn Texts, at: fn(&str) -> String, field: &str) -> Option<f64> {
    read_quantity::<Q>(run, &at(field))?.ok().map(|typed| typed.value.as_si())
}

fn compared(field: &'static str, indicated: f64, actual: f64) -> Option<(&'static str, TrialError)> {
    let near = (1.0 / ABSURD_RATIO..=ABSURD_RATIO).contains(&(indicated / actual));
    if indicated == 0.0 {
        Some((field, TrialError::IndicatedZero { run_idx: 0, actual }))
    } else if near {
        None
    } else {
        Some((field, TrialError::Absurd { run_idx: 0, indicated, actual }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    fn check(kind: TrialKind, fields: &[(&str, &str)]) -> Option<(&'static str, &'static str)> {
        let at = |field: &str| format!("run.new.{field}");
        let run: BTreeMap<String, String> =
            fields.iter().map(|(field, text)| (at(field), (*text).to_owned())).collect();
        run_refused(kind, &run, at, Some(Length::from_ft(300.0))).map(|(field, error)| {
            let word = match error {
                TrialError::IndicatedZero { .. } => "zero",
                TrialError::Absurd { .. } => "absurd",
                TrialError::Weighing { .. } => "weighing",
                TrialError::Actual { .. } => "actual",
                _ => "other",
            };
            (field, word)
        })
    }

    #[test]
    fn a_meter_that_counted_nothing_is_told_beside_its_box() {
        let run = [("indicated", ";us_gal;0"), ("actual", ";us_gal;5")];
        assert_eq!(check(TrialKind::Meter, &run), Some(("indicated", "zero")));
    }

    // By hand: 5 gal typed as 5 L against 40 gal is 1.32 against 40.
    #[test]
    fn a_mixed_up_unit_is_told_and_a_wrong_number_is_not() {
        let run = [("indicated", ";l;5"), ("actual", ";us_gal;40")];
        assert_eq!(check(TrialKind::Pump, &run), Some(("indicated", "absurd")));
        let run = [("indicated", ";us_gal;5"), ("actual", ";us_gal;10")];
        assert_eq!(check(TrialKind::Pump, &run), None);
    }

    #[test]
    fn full_weighs_more_than_empty() {
        let run =
            [("indicated", ";l;20"), ("gross", ";kg;1.5"), ("tare", ";kg;21.5"), ("temperature", ";degc;15")];
        assert_eq!(check(TrialKind::Meter, &run), Some(("gross", "weighing")));
        let run =
            [("indicated", ";l;20"), ("gross", ";kg;21.5"), ("tare", ";kg;1.5"), ("temperature", ";degc;15")];
        assert_eq!(check(TrialKind::Meter, &run), None);
    }

    // By hand: 300 ft in 25 s are 12 ft/s, 8.18 mph; 300 m are 984 ft, three times the course and thinkable.
    #[test]
    fn a_drive_is_held_against_the_course() {
        assert_eq!(check(TrialKind::Course, &[("distance", ";ft;0")]), Some(("distance", "zero")));
        assert_eq!(check(TrialKind::Course, &[("distance", ";m;300")]), None);
        assert_eq!(check(TrialKind::Course, &[("distance", ";mi;3")]), Some(("distance", "absurd")));
        assert_eq!(check(TrialKind::Course, &[("seconds", ";s;25"), ("speed", ";mph;8.2")]), None);
        assert_eq!(
            check(TrialKind::Course, &[("seconds", ";s;25"), ("speed", ";mph;0")]),
            Some(("speed", "zero"))
        );
    }

    #[test]
    fn a_gauge_may_show_zero_and_a_reference_may_not() {
        assert_eq!(check(TrialKind::Gauge, &[("gauge", ";psi;0"), ("reference", ";psi;20")]), None);
        assert_eq!(
            check(TrialKind::Gauge, &[("gauge", ";psi;20"), ("reference", ";psi;0")]),
            Some(("reference", "actual"))
        );
    }

    #[test]
    fn half_a_run_is_not_judged() {
        assert_eq!(check(TrialKind::Meter, &[("indicated", ";us_gal;0")]), None);
        assert_eq!(check(TrialKind::Meter, &[("indicated", ";us_gal;O"), ("actual", ";us_gal;5")]), None);
    }
}
