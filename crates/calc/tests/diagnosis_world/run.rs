//! The rig at work: pulses counted, numbers divided, valve steered. Plain numbers in SI.

use calc::diagnosis::{
    Amount, CarrierMode, Condition, Motion, NumberForm, Proof, Reading, Setup, Situation, What,
};
use calc::model::KeyedNumber as Entry;
use units::{
    Area, Duration, FlowRate, Length, Pressure, Quantity, Speed, Volume, VolumePerArea, VolumePerCarrier,
};

use super::random::Random;

/// A rig as it really is, and what its console holds.
#[derive(Clone, Debug)]
pub struct World {
    pub true_meter: f64,
    pub true_course: f64,
    pub true_pumps: Vec<f64>,
    pub true_widths_m: Vec<f64>,
    pub console_meter: f64,
    pub console_course: f64,
    pub console_pumps: Vec<f64>,
    pub console_widths_m: Vec<f64>,
    /// How often the console counts each section.
    pub counted: Vec<f64>,
    pub target: f64,
    pub first: Vec<f64>,
    pub second: Vec<f64>,
    pub per_carrier: Vec<bool>,
    pub step: Vec<f64>,
    pub standing: f64,
    pub hold: f64,
    pub shut: Vec<bool>,
    pub n_nozzles: Vec<u32>,
    pub n_blocked: u32,
    /// Flow of each nozzle over nominal.
    pub wear: f64,
    pub slip: f64,
    /// Product delivered over product that the pump's turns move.
    pub delivered: Vec<f64>,
    /// Switch and nudge as they really are: other rate on, presses more.
    pub switched: Vec<bool>,
    pub pressed: Vec<i32>,
    /// Shown rate over target while regulating.
    pub regulation: f64,
    pub rated_flow: f64,
    pub rated_pressure: f64,
}

impl World {
    /// Everything right.
    pub fn right(setup: &Setup) -> Self {
        let si = |entry| setup.number(entry).unwrap().meaning_si();
        let pumps = 0..setup.n_pumps();
        let n = setup.n_sections();
        let all = |of: fn(usize) -> Entry| -> Vec<f64> { (0..setup.n_pumps()).map(|p| si(of(p))).collect() };
        let widths: Vec<f64> = (0..n).map(|j| si(Entry::Width(j))).collect();
        let nozzles = setup.nozzles.unwrap();
        Self {
            true_meter: si(Entry::Meter),
            true_course: si(Entry::Course),
            true_pumps: all(Entry::Pump),
            true_widths_m: widths.clone(),
            console_meter: si(Entry::Meter),
            console_course: si(Entry::Course),
            console_pumps: all(Entry::Pump),
            console_widths_m: widths,
            counted: vec![1.0; n],
            target: si(Entry::CarrierRate),
            first: all(Entry::FirstRate),
            second: all(Entry::SecondRate),
            per_carrier: pumps
                .clone()
                .map(|p| matches!(setup.number(Entry::FirstRate(p)).unwrap().form, NumberForm::PerCarrier(_)))
                .collect(),
            step: all(Entry::NudgeStep),
            standing: si(Entry::StandingSpeed),
            hold: si(Entry::HoldSpeed),
            shut: vec![false; n],
            n_nozzles: setup.n_nozzles.clone(),
            n_blocked: 0,
            wear: 1.0,
            slip: 0.0,
            delivered: vec![1.0; setup.n_pumps()],
            switched: vec![false; setup.n_pumps()],
            pressed: vec![0; setup.n_pumps()],
            regulation: 1.0,
            rated_flow: nozzles.rated_flow.as_m3_per_s(),
            rated_pressure: nozzles.rated_pressure.as_pa(),
        }
    }

    /// Numbers that are right are right within what a trial proves.
    pub fn scatter(&mut self, setup: &Setup, random: &mut Random) {
        let mut about = |entry: Entry, usual: f64| {
            let u = match setup.number(entry).unwrap().proof {
                Proof::Proven { u_rel } => u_rel,
                _ => usual,
            };
            (u * random.normal()).exp()
        };
        self.true_meter *= about(Entry::Meter, 0.01);
        self.true_course *= about(Entry::Course, 0.01);
        for (pump, pulses) in self.true_pumps.iter_mut().enumerate() {
            *pulses *= about(Entry::Pump(pump), 0.01);
        }
        let width = about(Entry::Width(0), 0.005);
        self.true_widths_m.iter_mut().for_each(|w| *w *= width);
        self.regulation = (0.007 * random.normal()).exp();
        self.wear *= (0.03 * random.normal()).exp();
    }

    /// Whether a section sprays.
    fn sprays(&self, condition: &Condition, j: usize) -> bool {
        condition.section_on(j) && !self.shut[j]
    }
}

/// What nobody keys in: true speed, time, pressure of a manual carrier.
#[derive(Clone, Copy, Debug)]
pub struct Drive {
    pub speed: f64,
    pub time: f64,
    pub pressure: f64,
}

/// Everything shown and true at the end.
#[derive(Clone, Debug, Default)]
pub struct Outturn {
    pub all: Vec<(What, f64)>,
}

/// Whether the minimum-speed hold is in force.
pub fn held_in(world: &World, condition: &Condition, drive: Drive) -> bool {
    let shown = match condition.motion {
        Motion::Driving => drive.speed * (1.0 + world.slip) * world.true_course / world.console_course,
        Motion::Standing => world.standing,
    };
    shown < world.hold
}

/// Runs the rig and reads everything there is.
pub fn run(world: &World, condition: &Condition, drive: Drive) -> Outturn {
    let n = world.true_widths_m.len();
    let driving = condition.motion == Motion::Driving;
    let sum = |w: &dyn Fn(usize) -> f64| (0..n).map(w).sum::<f64>();
    let true_w = sum(&|j| if condition.section_on(j) { world.true_widths_m[j] } else { 0.0 });
    let wet_w = sum(&|j| if world.sprays(condition, j) { world.true_widths_m[j] } else { 0.0 });
    let shown_w = sum(&|j| {
        if condition.section_on(j) { world.counted[j] * world.console_widths_m[j] } else { 0.0 }
    });
    // Wheel pulses per second over pulses per metre.
    let wheel_pulses = drive.speed * (1.0 + world.slip) * world.true_course;
    let shown_v = if driving { wheel_pulses / world.console_course } else { world.standing };
    let steer_v = shown_v.max(world.hold);
    let n_spraying: u32 =
        (0..n).filter(|j| world.sprays(condition, *j)).map(|j| world.n_nozzles[j]).sum::<u32>()
            - world.n_blocked;
    // What each pump is told and gives: a flow, or a share of the carrier flow that the console shows.
    let pumps: Vec<Option<(f64, f64)>> = (0..world.first.len())
        .map(|pump| {
            let in_use = condition.product(pump)?;
            let second = in_use.second != world.switched[pump];
            let rate = if second { world.second[pump] } else { world.first[pump] };
            let presses = in_use.presses + world.pressed[pump];
            let rate = rate * (1.0 + f64::from(presses) * world.step[pump]);
            Some((rate, world.console_pumps[pump] / world.true_pumps[pump] * world.delivered[pump]))
        })
        .collect();
    let (mut products, mut of_shown) = (0.0, 0.0);
    for (pump, given) in pumps.iter().enumerate() {
        match *given {
            Some((rate, times)) if world.per_carrier[pump] => of_shown += rate * times,
            Some((rate, times)) => products += rate * steer_v * shown_w * times,
            None => {}
        }
    }
    let shown_of_true = world.true_meter / world.console_meter;
    // Products come in before the nozzles.
    let full = world.rated_flow * world.wear * f64::from(n_spraying);
    let through = |q: f64| q * (1.0 + of_shown * shown_of_true) + products;
    let (q, pressure) = match condition.carrier {
        CarrierMode::Regulated => {
            // The valve moves until pulses over the keyed-in number are the flow that the console wants.
            let meter_pulses = world.target * world.regulation * steer_v * shown_w * world.console_meter;
            let q = meter_pulses / world.true_meter;
            (q, world.rated_pressure * (through(q) / full).powi(2))
        }
        CarrierMode::Manual => {
            // A pump that gives far too much lifts the pressure before it stops the carrier.
            let all = (full * (drive.pressure / world.rated_pressure).sqrt()).max(products / 0.95);
            let pressure = world.rated_pressure * (all / full).powi(2);
            ((all - products) / (1.0 + of_shown * shown_of_true), pressure)
        }
    };
    let shown_q = q * shown_of_true;
    let t = drive.time;
    let mut all = vec![
        (What::ShownFlow, shown_q),
        (What::ShownVolume, shown_q * t),
        (What::ShownSpeed, shown_v),
        (What::ShownDistance, shown_v * t),
        (What::ShownWidth, shown_w),
        (What::ShownArea, shown_v * t * shown_w),
        (What::ShownRate, shown_q / (shown_v * shown_w)),
        (What::Volume, q * t),
        (What::Flow, q),
        (What::Time, t),
        (What::Width, wet_w),
        (What::NozzleFlow, through(q) / f64::from(n_spraying)),
        (What::Pressure, pressure),
    ];
    if driving {
        all.extend([
            (What::Speed, drive.speed),
            (What::Distance, drive.speed * t),
            (What::Area, drive.speed * t * true_w),
        ]);
    }
    for (pump, given) in pumps.iter().enumerate() {
        let Some((rate, times)) = *given else { continue };
        let wanted = if world.per_carrier[pump] { rate * shown_q } else { rate * steer_v * shown_w };
        let delivered = wanted * times;
        let shown_rate = if world.per_carrier[pump] { rate } else { wanted / (shown_v * shown_w) };
        all.extend([
            (What::ShownProductVolume(pump), wanted * t),
            (What::ShownProductRate(pump), shown_rate),
            (What::ProductVolume(pump), delivered * t),
        ]);
    }
    Outturn { all }
}

/// The kind of quantity of a reading.
pub fn amount(setup: &Setup, what: What, si: f64) -> Amount {
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
        What::ShownRate => Amount::PerArea(VolumePerArea::from_si(si)),
        What::ShownProductRate(pump) => match setup.number(Entry::FirstRate(pump)).unwrap().form {
            NumberForm::PerCarrier(_) => Amount::PerCarrier(VolumePerCarrier::from_si(si)),
            _ => Amount::PerArea(VolumePerArea::from_si(si)),
        },
        What::Time => Amount::Time(Duration::from_si(si)),
        What::Pressure => Amount::Pressure(Pressure::from_si(si)),
        What::ReadBack(_) => Amount::Number(si),
        other => panic!("{other:?}"),
    }
}

/// Relative standard uncertainty of a fair reading; common practice, no source.
pub fn fair_u(what: What) -> f64 {
    match what {
        What::ShownWidth | What::ShownDistance | What::Time | What::Width | What::Distance => 0.004,
        What::ShownSpeed | What::ShownRate | What::ShownFlow | What::ShownProductRate(_) => 0.008,
        What::ShownVolume | What::ShownArea | What::ShownProductVolume(_) | What::Area => 0.006,
        What::Volume => 0.01,
        What::ProductVolume(_) | What::Flow => 0.015,
        What::Speed | What::NozzleFlow => 0.02,
        What::Pressure => 0.03,
        _ => 0.001,
    }
}

/// A situation with the chosen readings, with noise if there is a generator.
pub fn read(
    setup: &Setup,
    condition: &Condition,
    outturn: &Outturn,
    chosen: impl Fn(What) -> bool,
    mut noise: Option<&mut Random>,
) -> Situation {
    let mut readings = Vec::new();
    for (what, si) in outturn.all.iter().filter(|(what, _)| chosen(*what)) {
        let u = fair_u(*what);
        let by = noise.as_deref_mut().map_or(1.0, |random| (u * random.normal()).exp());
        let seen = amount(setup, *what, si * by);
        // A jug that got nothing is read to a few drops.
        let least = 2e-6;
        let u = seen.with_si(if *si > 0.0 { u * si * by } else { least });
        readings.push(Reading { what: *what, seen, u });
    }
    Situation { condition: condition.clone(), readings }
}
