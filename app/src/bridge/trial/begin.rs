//! What a new trial starts with: the number that is keyed in now and how well things can usually be read. Readings that
//! nobody stated are marked as guessed (common practice, no source) and can be changed in the trial.

use records::DocId;
use records::rig::{PumpView, RigView, SpeedBy};
use records::trial::TrialKind;
use units::{KeyInStep, format_decimal};

use crate::bridge::rig::step_of;

/// Path and stored text of each field of a new trial.
pub(crate) fn fields(
    kind: TrialKind,
    rig: &DocId,
    view: &RigView,
    metric: bool,
    pump: u32,
) -> Vec<(String, String)> {
    let mut set = vec![
        ("kind".to_owned(), kind.code().to_owned()),
        ("rig".to_owned(), rig.to_string()),
        ("status".to_owned(), "open".to_owned()),
    ];
    let mut put = |field: &str, text: String| set.push((format!("setup.{field}"), text));
    put("liquid", "water".to_owned());
    let guess = |field: &'static str, us: &str, metric_text: &str| {
        (field, format!("guessed;{}", if metric { metric_text } else { us }))
    };
    let guesses: Vec<(&'static str, String)> = match kind {
        TrialKind::Meter => {
            put("way", "jug".to_owned());
            if let Some(number) = view.meter.number.ok() {
                put("number", number_text(number.number, step_of(view, "meter")));
            }
            if let Some(convention) = view.meter.convention.ok() {
                put("convention", convention.code());
            }
            vec![
                guess("readout_step", "us_gal;0.1", "l;0.1"),
                guess("jug_step", "us_gal;0.1", "l;0.2"),
                guess("jug_tolerance", "pct;0.5", "pct;0.5"),
                guess("scale_step", "lb;0.1", "kg;0.05"),
                guess("scale_tolerance", "pct;0.2", "pct;0.2"),
            ]
        }
        TrialKind::Course => {
            put("way", "distance".to_owned());
            let convention = view.speed.convention.ok();
            if let Some(convention) = convention {
                put("convention", convention.code());
                let step = step_of(view, "course");
                if let Some(pulses) = view.speed.pulses() {
                    let exact = convention.key_in(pulses);
                    // From a wheel the console has the number as far as its step goes.
                    let number = match view.speed.by.ok() {
                        Some(SpeedBy::Wheel) => step.map_or(exact, |step| step.round(exact)),
                        _ => exact,
                    };
                    put("number", number_text(number, step));
                }
            }
            // Ten turns are common practice, no source.
            put("turns", ";;10".to_owned());
            if let Some(per_turn) = view.speed.pulses_per_turn.value.as_ref() {
                put("pulses_per_turn", per_turn.to_stored());
            }
            vec![
                guess("tape_step", "in;1", "cm;1"),
                guess("tape_tolerance", "pct;0.1", "pct;0.1"),
                guess("marks", "in;6", "cm;15"),
                guess("length_step", "ft;1", "m;0.1"),
                guess("speed_step", "mph;0.1", "km_per_h;0.1"),
                guess("stopwatch", "s;0.15", "s;0.15"),
            ]
        }
        TrialKind::Pump => {
            put("pump", format!(";;{pump}"));
            if let Some(pump) = view.pumps.iter().find(|p| p.n == pump) {
                pump_number(view, pump).into_iter().for_each(|(field, text)| put(field, text));
            }
            vec![
                guess("readout_step", "us_fl_oz;0.1", "ml;1"),
                guess("jug_step", "us_fl_oz;0.25", "ml;5"),
                guess("jug_tolerance", "pct;0.5", "pct;0.5"),
            ]
        }
        TrialKind::Gauge => vec![
            guess("gauge_step", "psi;2", "bar;0.1"),
            guess("reference_step", "psi;0.5", "bar;0.02"),
            guess("reference_tolerance", "psi;1", "bar;0.06"),
        ],
        TrialKind::Catch => vec![
            guess("jug_step", "us_fl_oz;0.5", "ml;10"),
            guess("jug_tolerance", "pct;1", "pct;1"),
            guess("stopwatch", "s;0.15", "s;0.15"),
        ],
        TrialKind::Sections => {
            vec![guess("length_step", "ft;0.1", "m;0.01")]
        }
        TrialKind::Standing => {
            if let Some(speed) = view.standing_speed.value.as_ref() {
                put("speed", speed.to_stored());
            }
            let all: Vec<String> = view.sections.iter().map(|section| section.n.to_string()).collect();
            put("sections", all.join(","));
            vec![
                guess("readout_step", "us_gal;0.1", "l;0.1"),
                guess("jug_step", "us_gal;0.1", "l;0.2"),
                guess("gauge_step", "psi;2", "bar;0.1"),
                guess("stopwatch", "s;0.15", "s;0.15"),
            ]
        }
    };
    guesses.into_iter().for_each(|(field, text)| put(field, text));
    set
}

/// Number and convention of one pump, as fields of a setup.
pub(crate) fn pump_number(view: &RigView, pump: &PumpView) -> Vec<(&'static str, String)> {
    let mut fields = Vec::new();
    if let Some(number) = pump.number.ok() {
        let step = step_of(view, &format!("pump.{}.number", pump.n));
        fields.push(("number", number_text(number.number, step)));
    }
    if let Some(convention) = pump.convention.ok() {
        fields.push(("convention", convention.code()));
    }
    fields
}

/// A number for a setup: to the console's step where it has one and lies on it, else as it is.
fn number_text(number: f64, step: Option<KeyInStep>) -> String {
    let short = step.map(|step| format_decimal(number, step.decimals()));
    let same =
        |text: &String| text.parse::<f64>().is_ok_and(|read| (read - number).abs() <= 1e-9 * number.abs());
    let text = short.filter(same).unwrap_or_else(|| {
        let long = format_decimal(number, 6);
        if long.contains('.') { long.trim_end_matches('0').trim_end_matches('.').to_owned() } else { long }
    });
    format!(";;{text}")
}
