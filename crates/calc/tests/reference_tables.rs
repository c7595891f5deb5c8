//! The whole of `data/uncertainty.json` (made with uncertainties 3.2.3 and scipy 1.17.1, see `data/README.md`):
//! propagation through our own formulas, means of repeats, budgets, whole trials.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::course_trial::Stopwatch;
use calc::keyin::KeyedPulses;
use calc::meter_trial::{MeterTrial, VolumeReading, VolumeRun, by_volume, volume_of_weight};
use calc::model::{Condition, ErrorFactors, Motion, predict};
use calc::nozzle::flow_at_pressure;
use calc::rate::{application_rate, concentration};
use calc::rig::{Carrier, Rig, Section};
use calc::stats::{mean, standard_deviation};
use calc::student_t::two_sided;
use calc::uncertainty::{Part, Propagated, Source, combine, propagate, propagate_correlated};
use calc::verdict::Tolerance;
use serde_json::Value;
use units::{
    Density, FlowRate, Length, LengthUnit, Mass, Pressure, PulseConvention, Share, Speed, Volume,
    VolumePerArea, VolumeUnit,
};

fn table() -> Value {
    serde_json::from_str(include_str!("data/uncertainty.json")).unwrap()
}

#[track_caller]
fn close(what: &str, got: f64, expected: f64, relative: f64) {
    assert!((got - expected).abs() <= relative * expected.abs(), "{what}: got {got}, expected {expected}");
}

fn rows<'a>(table: &'a Value, key: &str) -> &'a Vec<Value> {
    table[key].as_array().unwrap()
}

/// Names of the inputs, in order, and the formula.
type Formula = (&'static [&'static str], fn(&[f64]) -> f64);

/// Each formula of the table, computed by the code that ships; only the lag distance is written out here.
fn formula(id: &str) -> Formula {
    match id {
        "meter_number" | "meter_number_old_uncertain" => (&["old", "indicated", "actual"], |x| {
            KeyedPulses {
                number: x[0],
                convention: PulseConvention::counting(1.0, VolumeUnit::UsGallon),
                step: None,
            }
            .corrected(x[1] / x[2], 0.0)
            .unwrap()
            .exact
        }),
        "course_spacing" => (&["old", "actual", "indicated"], |x| {
            KeyedPulses {
                number: x[0],
                convention: PulseConvention::spacing(10.0, LengthUnit::Inch),
                step: None,
            }
            .corrected(x[2] / x[1], 0.0)
            .unwrap()
            .exact
        }),
        "application_rate" => (&["q", "v", "w"], |x| {
            application_rate(FlowRate::from_l_per_min(x[0]), Speed::from_km_per_h(x[1]), Length::from_m(x[2]))
                .unwrap()
                .as_l_per_ha()
        }),
        "nozzle_flow_other_pressure" => (&["q1", "p1", "p2"], |x| {
            flow_at_pressure(
                FlowRate::from_l_per_min(x[0]),
                Pressure::from_bar(x[1]),
                Pressure::from_bar(x[2]),
                1.0,
            )
            .unwrap()
            .as_l_per_min()
        }),
        "volume_by_weight" | "volume_by_weight_same_scale" => (&["gross", "tare", "rho"], |x| {
            volume_of_weight(Mass::from_kg(x[0]), Mass::from_kg(x[1]), Density::from_kg_per_l(x[2]))
                .unwrap()
                .as_l()
        }),
        "concentration" => (&["rp", "r"], |x| {
            concentration(VolumePerArea::from_l_per_ha(x[0]), VolumePerArea::from_l_per_ha(x[1]))
                .unwrap()
                .as_fraction()
        }),
        "true_rate_from_errors" => (&["T", "cs", "cw", "cm"], |x| {
            // The table's cs and cw are true over shown there: T/(cs·cw)·cm. The model's course factor divides, its
            // width factor multiplies, so the width goes in turned over.
            let mut rig = Rig::blank();
            rig.sections = vec![Section { width: Length::from_m(18.0), n_nozzles: 0 }];
            rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_l_per_ha(x[0])));
            let errors = ErrorFactors { meter: x[3], speed: x[1], widths: vec![1.0 / x[2]], pumps: vec![] };
            let driving = Condition::all_on(&rig, Motion::Driving(Speed::from_km_per_h(9.0)));
            predict(&rig, &errors, &driving).unwrap().actual.rate.unwrap().as_l_per_ha()
        }),
        "catch_flow" => {
            (&["V", "t"], |x| FlowRate::from_l_per_s(Volume::from_l(x[0]).as_l() / x[1]).as_l_per_min())
        }
        "lag_distance" => (&["v", "V", "q"], |x| x[0] * x[1] / x[2]),
        other => panic!("unknown formula {other}"),
    }
}

#[test]
fn propagation() {
    for row in rows(&table(), "propagation") {
        let id = row["id"].as_str().unwrap();
        let (names, f) = formula(id);
        let input = |name: &str, what: &str| row["inputs"][name][what].as_f64().unwrap();
        let values: Vec<f64> = names.iter().map(|name| input(name, "value")).collect();
        let standards: Vec<f64> = names.iter().map(|name| input(name, "u")).collect();
        let p: Propagated = match row["covariance"].as_array() {
            None => propagate(f, &values, &standards).unwrap(),
            Some(matrix) => {
                let line = |r: &Value| r.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
                let matrix: Vec<Vec<f64>> = matrix.iter().map(line).collect();
                propagate_correlated(f, &values, &matrix).unwrap()
            }
        };
        close(id, p.value, row["value"].as_f64().unwrap(), 1e-12);
        close(id, p.standard, row["u"].as_f64().unwrap(), 1e-7);
        close(id, p.standard / p.value, row["rel_u"].as_f64().unwrap(), 1e-7);
        for (name, got) in names.iter().zip(&p.sensitivities) {
            close(&format!("{id}.{name}"), *got, row["sensitivity"][*name].as_f64().unwrap(), 1e-7);
        }
    }
}

#[test]
fn means_of_repeats() {
    for row in rows(&table(), "mean_of_repeats") {
        let id = row["id"].as_str().unwrap();
        let number = |key: &str| row[key].as_f64().unwrap();
        let values: Vec<f64> =
            row["values"].as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
        let (centre, s) = (mean(&values).unwrap(), standard_deviation(&values).unwrap());
        let u = s / (values.len() as f64).sqrt();
        let k = two_sided(number("confidence"), number("dof")).unwrap();
        close(id, centre, number("mean"), 1e-12);
        close(id, s, number("s"), 1e-10);
        close(id, u, number("u_mean"), 1e-10);
        close(id, k, number("k"), 1e-10);
        close(id, k * u, number("U"), 1e-9);
        close(id, centre - k * u, number("low"), 1e-10);
        close(id, centre + k * u, number("high"), 1e-10);
    }
}

#[test]
fn budgets() {
    for row in rows(&table(), "budgets") {
        let id = row["id"].as_str().unwrap();
        let number = |key: &str| row[key].as_f64().unwrap();
        let parts: Vec<Part> = row["parts"]
            .as_array()
            .unwrap()
            .iter()
            .map(|part| {
                let (width, sensitivity) =
                    (part["width"].as_f64().unwrap(), part["sensitivity"].as_f64().unwrap());
                match part["kind"].as_str().unwrap() {
                    "resolution" => Part::resolution(Source::Other, width, sensitivity),
                    "rectangular" => Part::rectangular(Source::Other, width, sensitivity),
                    "triangular" => Part::triangular(Source::Other, width, sensitivity),
                    "normal" => Part::normal(
                        Source::Other,
                        width,
                        sensitivity,
                        part["dof"].as_f64().unwrap_or(f64::INFINITY),
                    ),
                    other => panic!("unknown kind {other}"),
                }
            })
            .collect();
        for (part, expected) in parts.iter().zip(row["parts"].as_array().unwrap()) {
            close(id, part.standard(), expected["u"].as_f64().unwrap(), 1e-9);
            close(id, part.contribution(), expected["contribution"].as_f64().unwrap(), 1e-9);
        }
        let budget = combine(&parts, number("confidence")).unwrap();
        // The table prints sensitivities to ten digits, so the sums agree to about nine.
        close(id, budget.combined, number("u_c"), 1e-9);
        close(id, budget.dof, number("dof_eff"), 1e-8);
        close(id, budget.k, number("k"), 1e-9);
        close(id, budget.expanded, number("U"), 1e-9);
        let floored = two_sided(number("confidence"), budget.dof.floor()).unwrap();
        close(id, floored, number("k_floored"), 1e-9);
        close(id, floored * budget.combined, number("U_floored"), 1e-9);
    }
}

#[test]
fn whole_trials() {
    for row in rows(&table(), "trials") {
        let id = row["id"].as_str().unwrap();
        let number = |key: &str| row[key].as_f64().unwrap();
        // Any unit will do: the trial is one of ratios.
        let litres = Volume::from_l;
        let runs: Vec<VolumeRun> = row["runs"]
            .as_array()
            .unwrap()
            .iter()
            .map(|run| VolumeRun {
                indicated: litres(run[0].as_f64().unwrap()),
                actual: litres(run[1].as_f64().unwrap()),
            })
            .collect();
        let n = runs.len() as f64;
        let outcome = by_volume(&MeterTrial {
            keyed: KeyedPulses {
                number: number("old_number"),
                convention: PulseConvention::counting(1.0, VolumeUnit::Litre),
                step: None,
            },
            runs,
            reading: VolumeReading {
                console_step: litres(number("indicated_step")),
                vessel_step: litres(number("actual_step")),
                vessel_tolerance: Share::from_fraction(number("vessel_rel_half_width")),
            },
            tolerance: Tolerance::RATE_CONTROL,
        })
        .unwrap();
        let ratio = &outcome.ratio;
        let relative = |source: Source| {
            let part = ratio.budget.parts.iter().find(|p| p.source == source).unwrap();
            part.contribution() / ratio.ratio
        };
        close(id, ratio.ratio, number("ratio"), 1e-12);
        close(id, outcome.corrected.exact, number("new_number"), 1e-12);
        close(id, ratio.spread.unwrap(), number("run_ratios_s"), 1e-9);
        close(id, ratio.spread.unwrap() / n.sqrt(), number("u_A"), 1e-9);
        close(id, relative(Source::ConsoleStep), number("rel_u_indicated_reading"), 1e-10);
        close(id, relative(Source::VesselStep), number("rel_u_actual_reading"), 1e-10);
        close(id, relative(Source::VesselTolerance), number("rel_u_vessel"), 1e-10);
        close(id, ratio.budget.combined, number("u_c_ratio"), 1e-10);
        close(id, ratio.budget.dof, number("dof_eff"), 1e-9);
        close(id, ratio.budget.k, number("k"), 1e-10);
        close(id, ratio.expanded, number("U_ratio"), 1e-10);
        close(id, outcome.corrected.expanded, number("U_new_number"), 1e-10);
    }
}

#[test]
fn the_watch_of_the_budget_is_the_default_one() {
    // The budget "jug_catch" takes 0.15 s for a stopwatch by hand.
    let table = table();
    let parts = table["budgets"][0]["parts"].as_array().unwrap();
    let by_hand = parts.iter().find(|p| p["label"] == "stopwatch by hand").unwrap();
    close("watch", Stopwatch::BY_HAND.hand.as_s(), by_hand["width"].as_f64().unwrap(), 1e-12);
}
