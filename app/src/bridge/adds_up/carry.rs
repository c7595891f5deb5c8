//! Readings of a trial carried over as runs of readings that do not add up, and readings carried into a new trial.

use super::readings::Input;
use crate::bridge::trial::pump::pump_of;
use calc::diagnosis::What;
use calc::water::density as water_density;
use records::rig::RigView;
use records::trial::{RunView, TrialKind, TrialView};
use records::{DocId, FieldValue};
use units::{
    Duration, FlowRate, FlowRateUnit, Mass, Quantity, Temperature, Unit, Volume, VolumeUnit, format_decimal,
};

/// Most runs of a trial that are carried over: the last ones.
const MOST: usize = 6;

type Fields = Vec<(String, String)>;

/// Paths and stored texts that begin readings about a rig.
pub(crate) fn blank(rig: &DocId) -> Fields {
    vec![("rig".to_owned(), rig.to_string()), ("run.1.motion".to_owned(), "standing".to_owned())]
}

/// Paths and stored texts that begin readings with those of a trial. What a trial does not say stays open: readings of a
/// meter, a pump or a speed hold whatever the carrier did meanwhile, so it counts as left in manual there.
pub(crate) fn from_trial(id: &DocId, view: &TrialView<'_>, rig: &RigView) -> Fields {
    let mut set: Fields = Vec::new();
    if let Some(rig) = &view.rig {
        set.push(("rig".to_owned(), rig.to_string()));
    }
    set.push(("from".to_owned(), id.to_string()));
    let Some(kind) = view.kind else { return set };
    let mut runs: Vec<Fields> = match kind {
        TrialKind::Catch => catch(view).into_iter().collect(),
        TrialKind::Sections => (1..=rig.sections.len())
            .filter_map(|n| {
                let width = view.doc().text(&format!("run.{n}.width"))?;
                let on: Vec<String> = (1..=n).map(|n| n.to_string()).collect();
                Some(vec![field("sections", on.join(",")), field("shown.width", width)])
            })
            .collect(),
        _ => view.counting().filter_map(|run| of_run(kind, view, rig, run)).collect(),
    };
    runs.drain(..runs.len().saturating_sub(MOST));
    if runs.is_empty() {
        runs.push(Vec::new());
    }
    for (idx, run) in runs.into_iter().enumerate() {
        let at = |name: &str| format!("run.{}.{name}", idx + 1);
        let driving = kind == TrialKind::Course;
        set.push((at("motion"), if driving { "driving" } else { "standing" }.to_owned()));
        if !matches!(kind, TrialKind::Standing | TrialKind::Sections) {
            set.push((at("carrier"), "manual".to_owned()));
        }
        set.extend(run.into_iter().map(|(name, text)| (at(&name), text)));
    }
    set
}

fn field(name: &str, text: impl Into<String>) -> (String, String) {
    (name.to_owned(), text.into())
}

/// The readings of one run; none where it says nothing about the console.
fn of_run(kind: TrialKind, view: &TrialView<'_>, rig: &RigView, run: &RunView<'_>) -> Option<Fields> {
    let copy = |pairs: &[(&str, &str)]| -> Fields {
        pairs.iter().filter_map(|(from, to)| Some(field(to, run.text(from)?))).collect()
    };
    let found = match kind {
        TrialKind::Meter => {
            let mut found = copy(&[("indicated", "shown.volume"), ("seconds", "true.time")]);
            match run.text("actual") {
                Some(actual) => found.push(field("true.volume", actual)),
                None => found.extend(weighed(run)),
            }
            found
        }
        TrialKind::Course if view.doc().text("setup.way") == Some("stopwatch") => {
            let mut found = copy(&[("speed", "shown.speed"), ("seconds", "true.time")]);
            found.extend(view.doc().text("setup.course").map(|text| field("true.distance", text)));
            found
        }
        TrialKind::Course => {
            let mut found = copy(&[("distance", "shown.distance")]);
            found.extend(view.doc().text("setup.course").map(|text| field("true.distance", text)));
            found
        }
        TrialKind::Pump => {
            let n = pump_of(view)?;
            let (shown, drawn) = (format!("shown.product_volume.{n}"), format!("true.product.{n}"));
            copy(&[("indicated", &shown), ("actual", &drawn)])
        }
        TrialKind::Standing => {
            let mut found = copy(&[
                ("flow", "shown.flow"),
                ("indicated", "shown.volume"),
                ("area", "shown.area"),
                ("actual", "true.volume"),
                ("seconds", "true.time"),
                ("pressure", "true.pressure"),
            ]);
            for n in 1..=rig.pumps.len() {
                let name = format!("product.{n}");
                found.extend(copy(&[(&name, &format!("true.{name}"))]));
            }
            // What the console was to pretend is a reading only where the rig does not say it.
            if rig.standing_speed.value.is_none() {
                found.extend(view.doc().text("setup.speed").map(|text| field("shown.speed", text)));
            }
            found.extend(view.doc().text("setup.sections").map(|text| field("sections", text)));
            found
        }
        TrialKind::Gauge => copy(&[("reference", "true.pressure")]),
        TrialKind::Catch | TrialKind::Sections => return None,
    };
    (!found.is_empty()).then_some(found)
}

/// A weighed run as a volume in litres.
fn weighed(run: &RunView<'_>) -> Option<(String, String)> {
    let mass = |name| Some(run.quantity::<Mass>(name)?.ok()?.value.as_si());
    let temperature = run.quantity::<Temperature>("temperature")?.ok()?.value;
    let density = water_density(temperature).ok()?;
    let litres =
        Volume::from_si((mass("gross")? - mass("tare")?) / density.as_si()).in_unit(VolumeUnit::Litre);
    (litres > 0.0).then(|| field("true.volume", stored(litres, VolumeUnit::Litre.code())))
}

/// The mean flow of the nozzles that were caught, at the pressure of the catch.
fn catch(view: &TrialView<'_>) -> Option<Fields> {
    let flows: Vec<f64> = view
        .counting()
        .filter_map(|run| {
            let volume = run.quantity::<Volume>("actual")?.ok()?.value.as_si();
            let seconds = run.quantity::<Duration>("seconds")?.ok()?.value.as_si();
            (seconds > 0.0).then(|| volume / seconds)
        })
        .collect();
    if flows.is_empty() {
        return None;
    }
    let mean = FlowRate::from_si(flows.iter().sum::<f64>() / flows.len() as f64);
    let unit = FlowRateUnit::LitrePerMinute;
    let mut found = vec![field("true.nozzle_flow", stored(mean.in_unit(unit), unit.code()))];
    found.extend(view.doc().text("setup.pressure").map(|text| field("true.pressure", text)));
    Some(found)
}

/// A worked-out number to four decimals, as it would be typed.
fn stored(value: f64, unit: &str) -> String {
    FieldValue::new(format_decimal(value, 4)).unit(unit).to_stored()
}

/// What a trial that is begun from readings starts with in its run form, as drafts: path and stored text. They are seen
/// and changed there before they count. `text_at` gives what stands at a path of the readings.
pub(crate) fn into_trial(
    kind: TrialKind,
    pump: usize,
    input: &Input,
    text_at: impl Fn(&str) -> Option<String>,
) -> Fields {
    let wanted: Vec<(What, &str)> = match kind {
        TrialKind::Meter => vec![(What::ShownVolume, "run.new.indicated"), (What::Volume, "run.new.actual")],
        TrialKind::Course => {
            vec![(What::ShownDistance, "run.new.distance"), (What::Distance, "setup.course")]
        }
        TrialKind::Pump => vec![
            (What::ShownProductVolume(pump), "run.new.indicated"),
            (What::ProductVolume(pump), "run.new.actual"),
        ],
        _ => Vec::new(),
    };
    // Both from one run, else they do not belong together.
    let both = |places: &&Vec<super::readings::Place>| {
        wanted.iter().all(|(what, _)| places.iter().any(|place| place.what == *what && place.figure.si > 0.0))
    };
    let Some(places) = input.places.iter().find(both) else { return Vec::new() };
    let found = wanted.iter().filter_map(|(what, to)| {
        let place = places.iter().find(|place| place.what == *what)?;
        Some(((*to).to_owned(), text_at(&place.path)?))
    });
    found.collect()
}
