//! Readings as typed become situations as the diagnosis wants them, each reading with its place on the screen.

use calc::diagnosis::{
    Amount, CarrierMode, Condition, Diagnosis, DiagnosisError, Motion, ProductInUse, Reading, Setup,
    Situation, What, diagnose,
};
use calc::model::KeyedNumber;
use records::Doc;
use records::fields::{FieldProblem, Texts};
use records::readings::{Figure, figure};
use records::trial::TrialView;
use units::{
    Area, Duration, FlowRate, Length, Pressure, Quantity, Speed, Volume, VolumePerArea, VolumePerCarrier,
};

/// How many explanations are worked out in full.
const N_TOP: usize = 4;

/// A reading's place on the screen and how it was typed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Place {
    /// Number of its run, from 1.
    pub(crate) run: usize,
    /// Its path.
    pub(crate) path: String,
    /// What it is about.
    pub(crate) what: What,
    /// The number as typed, with its unit.
    pub(crate) figure: Figure,
}

/// Everything that was typed, as the diagnosis wants it.
#[derive(Clone, Debug, PartialEq, Default)]
pub(crate) struct Input {
    /// Runs that have readings.
    pub(crate) situations: Vec<Situation>,
    /// For each situation its readings' places.
    pub(crate) places: Vec<Vec<Place>>,
    /// What does not read: number of the run, what it is about, why. It is left out.
    pub(crate) left_out: Vec<(usize, What, FieldProblem)>,
    /// Numbers of the runs in which every section is off.
    pub(crate) no_section: Vec<usize>,
}

impl Input {
    /// How many readings count.
    pub(crate) fn n_readings(&self) -> usize {
        self.places.iter().map(Vec::len).sum()
    }

    /// The place of a reading.
    pub(crate) fn place(&self, situation: usize, reading: usize) -> Option<&Place> {
        self.places.get(situation)?.get(reading)
    }

    /// Whether the console shows carrier and a wrong meter number could not show: it steers the carrier in every run, and
    /// nobody measured any.
    pub(crate) fn is_blind_to_meter(&self) -> bool {
        let truly = |r: &Reading| matches!(r.what, What::Volume | What::Flow | What::NozzleFlow);
        let read_back = |r: &Reading| r.what == What::ReadBack(KeyedNumber::Meter);
        let blind = |s: &Situation| {
            s.condition.carrier == CarrierMode::Regulated
                && !s.readings.iter().any(|r| truly(r) || read_back(r))
        };
        let shown = |what: What| matches!(what, What::ShownFlow | What::ShownVolume | What::ShownRate);
        self.places.iter().flatten().any(|place| shown(place.what)) && self.situations.iter().all(blind)
    }
}

/// What a diagnosis says about what was typed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Answer {
    /// What it was asked.
    pub(crate) input: Input,
    /// What it says.
    pub(crate) said: Result<Diagnosis, DiagnosisError>,
}

/// Asks.
pub(crate) fn ask(texts: &dyn Texts, keys: &[String], setup: &Setup, manual: bool) -> Answer {
    let input = input(texts, keys, setup, manual);
    let said = diagnose(setup, &input.situations, N_TOP);
    Answer { input, said }
}

/// Keys of the runs that count, in the order in which they were begun.
pub(crate) fn run_keys(doc: &Doc) -> Vec<String> {
    TrialView::read(doc).counting().map(|run| run.key.to_owned()).collect()
}

/// What stands behind `run.<key>.` for a reading; `back.…` for a number read back.
pub(crate) fn tail(what: What) -> String {
    let of_pump = |name: &str, pump: usize| format!("{name}.{}", pump + 1);
    match what {
        What::ShownProductVolume(pump) => of_pump("shown.product_volume", pump),
        What::ShownProductRate(pump) => of_pump("shown.product_rate", pump),
        What::ProductVolume(pump) => of_pump("true.product", pump),
        What::ReadBack(number) => match number {
            KeyedNumber::Width(idx) => of_pump("back.width", idx),
            KeyedNumber::Pump(idx) => of_pump("back.pump", idx),
            KeyedNumber::FirstRate(idx) => of_pump("back.first", idx),
            KeyedNumber::SecondRate(idx) => of_pump("back.second", idx),
            KeyedNumber::NudgeStep(idx) => of_pump("back.nudge", idx),
            KeyedNumber::Meter => "back.meter".to_owned(),
            KeyedNumber::Course => "back.course".to_owned(),
            KeyedNumber::CarrierRate => "back.carrier_rate".to_owned(),
            KeyedNumber::StandingSpeed => "back.standing".to_owned(),
            KeyedNumber::HoldSpeed => "back.hold".to_owned(),
            // Widths are read back one by one.
            _ => "back.total_width".to_owned(),
        },
        _ => PLAIN.iter().find(|(one, _)| *one == what).map_or("", |(_, name)| name).to_owned(),
    }
}

/// Readings that are about no pump and no entry, with their paths.
const PLAIN: &[(What, &str)] = &[
    (What::ShownFlow, "shown.flow"),
    (What::ShownVolume, "shown.volume"),
    (What::ShownSpeed, "shown.speed"),
    (What::ShownDistance, "shown.distance"),
    (What::ShownWidth, "shown.width"),
    (What::ShownArea, "shown.area"),
    (What::ShownRate, "shown.rate"),
    (What::Volume, "true.volume"),
    (What::Flow, "true.flow"),
    (What::Time, "true.time"),
    (What::Width, "true.width"),
    (What::Distance, "true.distance"),
    (What::Speed, "true.speed"),
    (What::Area, "true.area"),
    (What::NozzleFlow, "true.nozzle_flow"),
    (What::Pressure, "true.pressure"),
];

/// Where a reading of a run stands.
pub(crate) fn path(key: &str, what: What) -> String {
    match what {
        What::ReadBack(_) => tail(what),
        _ => format!("run.{key}.{}", tail(what)),
    }
}

/// Where its uncertainty stands.
pub(crate) fn u_path(key: &str, what: What) -> String {
    format!("run.{key}.u.{}", tail(what))
}

/// What can be read in a run of a rig with so many pumps: what the console shows, then what is known to be true.
pub(crate) fn whats(n_pumps: usize) -> Vec<What> {
    let mut all: Vec<What> = PLAIN.iter().map(|(what, _)| *what).collect();
    all.extend((0..n_pumps).flat_map(|pump| {
        [What::ShownProductVolume(pump), What::ShownProductRate(pump), What::ProductVolume(pump)]
    }));
    all
}

/// How a run was made, with what holds where nobody said.
pub(crate) fn condition(
    texts: &dyn Texts,
    key: &str,
    n_sections: usize,
    n_pumps: usize,
    manual: bool,
) -> Condition {
    let at = |field: &str| texts.text_at(&format!("run.{key}.{field}"));
    let carrier = match at("carrier") {
        Some("manual") => CarrierMode::Manual,
        Some("regulated") => CarrierMode::Regulated,
        _ if manual => CarrierMode::Manual,
        _ => CarrierMode::Regulated,
    };
    let sections_on = match at("sections") {
        None => vec![true; n_sections],
        Some(text) => {
            let on: Vec<usize> = text.split(',').filter_map(|n| n.trim().parse().ok()).collect();
            (1..=n_sections).map(|n| on.contains(&n)).collect()
        }
    };
    let product = |pump: usize| {
        let use_of = at(&format!("use.{}", pump + 1));
        let presses = figure(&format!("run.{key}.presses.{}", pump + 1), texts).and_then(Result::ok);
        // In range by now: at most 20 either way.
        let presses = presses.map_or(0, |figure| figure.si.round() as i32);
        (use_of != Some("off")).then_some(ProductInUse { second: use_of == Some("second"), presses })
    };
    Condition {
        motion: if at("motion") == Some("driving") { Motion::Driving } else { Motion::Standing },
        carrier,
        sections_on,
        products: (0..n_pumps).map(product).collect(),
    }
}

/// Everything that was typed.
pub(crate) fn input(texts: &dyn Texts, keys: &[String], setup: &Setup, manual: bool) -> Input {
    let (n_sections, n_pumps) = (setup.n_sections(), setup.n_pumps());
    let mut found = Input::default();
    for (idx, key) in keys.iter().enumerate() {
        let run = idx + 1;
        let condition = condition(texts, key, n_sections, n_pumps, manual);
        let mut wanted: Vec<What> = whats(n_pumps);
        // A pump that is off shows and gives nothing that could be compared.
        wanted.retain(|what| what.pump().is_none_or(|pump| condition.product(pump).is_some()));
        if idx == 0 {
            wanted.extend(setup.numbers.iter().map(|number| What::ReadBack(number.entry)));
        }
        let (mut readings, mut places) = (Vec::new(), Vec::new());
        for what in wanted {
            let path = path(key, what);
            let share = figure(&u_path(key, what), texts).and_then(Result::ok).map(|share| share.si);
            match figure(&path, texts) {
                None => {}
                Some(Err(problem)) => found.left_out.push((run, what, problem)),
                Some(Ok(figure)) => {
                    readings.push(reading(what, &figure, share));
                    places.push(Place { run, path, what, figure });
                }
            }
        }
        if readings.is_empty() {
            continue;
        }
        if !condition.sections_on.contains(&true) {
            found.no_section.push(run);
            continue;
        }
        found.situations.push(Situation { condition, readings });
        found.places.push(places);
    }
    found
}

fn reading(what: What, figure: &Figure, share: Option<f64>) -> Reading {
    // A text without a last place was worked out to a part of its unit; a nought has to be off by something.
    let least = if figure.si == 0.0 { figure.si_per_unit } else { 0.0 };
    let last_place = figure.last_place.unwrap_or(least);
    Reading::read_off(what, amount(what, figure), share.unwrap_or_else(|| what.usual_share()), last_place)
}

fn amount(what: What, figure: &Figure) -> Amount {
    let si = figure.si;
    match what {
        What::ShownFlow | What::Flow | What::NozzleFlow => Amount::Flow(FlowRate::from_si(si)),
        What::ShownVolume | What::Volume | What::ShownProductVolume(_) | What::ProductVolume(_) => {
            Amount::Volume(Volume::from_si(si))
        }
        What::ShownSpeed | What::Speed => Amount::Speed(Speed::from_si(si)),
        What::ShownDistance | What::Distance | What::ShownWidth | What::Width => {
            Amount::Length(Length::from_si(si))
        }
        What::ShownArea | What::Area => Amount::Area(Area::from_si(si)),
        What::ShownProductRate(_) if figure.per_carrier => Amount::PerCarrier(VolumePerCarrier::from_si(si)),
        What::ShownRate | What::ShownProductRate(_) => Amount::PerArea(VolumePerArea::from_si(si)),
        What::Time => Amount::Time(Duration::from_si(si)),
        What::Pressure => Amount::Pressure(Pressure::from_si(si)),
        _ => Amount::Number(si),
    }
}
