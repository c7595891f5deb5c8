//! What the console shows and what is true, when the keyed-in numbers are off by known factors.
//!
//! The forward model that trials invert. How one number moves the dose is [`crate::sensitivity`]; nothing here takes
//! time to settle (that is [`crate::pass`]).

mod error;

pub use error::{KeyedNumber, ModelError};

use units::{
    Area, AreaRate, Duration, FlowRate, Length, Pressure, Quantity, Share, Speed, Volume, VolumePerArea,
};

use crate::nozzle::{flow_at_pressure, pressure_for_flow};
use crate::rate::{RateError, nudged_rate};
use crate::rig::{Carrier, InjectionPump, ProductRate, Rig};

/// Keyed-in numbers over their true values. 1 is right, 1.02 is keyed in 2 % too high.
///
/// Meter, speed and pumps in the pulses-per-unit sense: for a spacing number (cm per 1000 pulses) the factor is the
/// true spacing over the keyed-in one.
#[derive(Clone, Debug, PartialEq)]
pub struct ErrorFactors {
    /// Meter number over the true pulses per volume, > 0.
    pub meter: f64,
    /// Course number over the true pulses per distance, > 0.
    pub speed: f64,
    /// Width keyed in over true width for each section, > 0.
    pub widths: Vec<f64>,
    /// Pump number over the true pulses per volume for each injection pump, > 0.
    pub pumps: Vec<f64>,
}

impl ErrorFactors {
    /// Every number of this rig right.
    #[must_use]
    pub fn none(rig: &Rig) -> Self {
        Self {
            meter: 1.0,
            speed: 1.0,
            widths: vec![1.0; rig.sections.len()],
            pumps: vec![1.0; rig.pumps.len()],
        }
    }
}

/// What the rig stands or drives on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Motion {
    /// Driving at this true speed, > 0; the console reads its sensor.
    Driving(Speed),
    /// Standing; the console takes this simulated speed, > 0, for real.
    Standing(Speed),
}

/// Which product rate an injection pump gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dose {
    /// The pump is off.
    Off,
    /// The product rate, after presses of the nudge (negative for down).
    First(i32),
    /// The second rate, after presses of the nudge.
    Second(i32),
}

/// One state of the rig.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// Driving or standing.
    pub motion: Motion,
    /// Which sections are on, one for each section of the rig.
    pub sections_on: Vec<bool>,
    /// What each injection pump gives, one for each pump of the rig.
    pub doses: Vec<Dose>,
}

impl Condition {
    /// All sections on, every pump at its product rate without a nudge (off where no rate is known).
    #[must_use]
    pub fn all_on(rig: &Rig, motion: Motion) -> Self {
        let dose = |pump: &InjectionPump| if pump.first.is_some() { Dose::First(0) } else { Dose::Off };
        Self {
            motion,
            sections_on: vec![true; rig.sections.len()],
            doses: rig.pumps.iter().map(dose).collect(),
        }
    }
}

/// One product line, shown or true.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProductReading {
    /// Flow of the pump.
    pub flow: FlowRate,
    /// Product per area of ground; none while standing.
    pub rate: Option<VolumePerArea>,
}

/// One side of the truth: everything shown, or everything that really happens.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Speed; truly zero on a standing run.
    pub speed: Speed,
    /// Width of the sections that are on.
    pub width: Length,
    /// Speed × width; truly zero on a standing run.
    pub area_rate: AreaRate,
    /// Carrier flow; none where the rig does not say how the carrier is run.
    pub flow: Option<FlowRate>,
    /// Carrier per area; none without flow, and none on the ground while standing.
    pub rate: Option<VolumePerArea>,
    /// One for each injection pump; none where the pump is off, or its rate is per carrier and the flow not known.
    pub products: Vec<Option<ProductReading>>,
}

/// Shown and true side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Prediction {
    /// What the console shows.
    pub shown: Reading,
    /// What is true.
    pub actual: Reading,
    /// Whether the minimum-speed hold is in force.
    pub hold_in_force: bool,
    /// Speed that the console steers by: the one shown, or the hold speed.
    pub steering_speed: Speed,
    /// Nozzles on, where every section that is on says how many it carries.
    pub n_nozzles: Option<u32>,
    /// Pressure at the nozzles from what they truly pass, carrier and products together; none where the nozzles are not
    /// known. Products are injected before the nozzles: 2 % of product on top of the carrier raises it by 4 %.
    pub pressure: Option<Pressure>,
}

/// Totals after a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Totals {
    /// Distance.
    pub distance: Length,
    /// Area.
    pub area: Area,
    /// Carrier volume.
    pub volume: Option<Volume>,
    /// Product volume of each pump.
    pub products: Vec<Option<Volume>>,
}

impl Reading {
    /// Totals after a time in this state.
    ///
    /// # Errors
    /// [`ModelError::Duration`] when the time is negative or not finite.
    ///
    /// # Example
    /// By hand: 20 gal/ac at 6 mph on 33 ft is 8 gal/min and 0.4 ac/min; 90 s give 12 gal and 0.6 ac.
    /// ```
    /// # use calc::model::{Condition, ErrorFactors, Motion, predict};
    /// # use calc::rig::{Carrier, Rig, Section};
    /// # use units::{Duration, Length, Speed, VolumePerArea};
    /// let mut rig = Rig::blank();
    /// rig.sections = vec![Section { width: Length::from_ft(33.0), n_nozzles: 0 }];
    /// rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0)));
    /// let condition = Condition::all_on(&rig, Motion::Standing(Speed::from_mph(6.0)));
    /// let totals = predict(&rig, &ErrorFactors::none(&rig), &condition)?.shown.after(Duration::from_s(90.0))?;
    /// assert!((totals.area.as_ac() - 0.6).abs() < 1e-9);
    /// assert!(totals.volume.is_some_and(|v| (v.as_us_gal() - 12.0).abs() < 1e-9));
    /// # Ok::<(), calc::model::ModelError>(())
    /// ```
    pub fn after(&self, duration: Duration) -> Result<Totals, ModelError> {
        let t_s = duration.as_s();
        if !(t_s.is_finite() && t_s >= 0.0) {
            return Err(ModelError::Duration { got: duration });
        }
        let volume = |flow: FlowRate| Volume::from_m3(flow.as_m3_per_s() * t_s);
        Ok(Totals {
            distance: Length::from_m(self.speed.as_m_per_s() * t_s),
            area: Area::from_m2(self.area_rate.as_m2_per_s() * t_s),
            volume: self.flow.map(volume),
            products: self.products.iter().map(|p| p.map(|p| volume(p.flow))).collect(),
        })
    }
}

/// Predicts what the console shows and what is true.
///
/// | symbol  | meaning                                                   | range       |
/// |---------|-----------------------------------------------------------|-------------|
/// | `c`     | keyed-in number over its true value, pulses-per-unit sense | finite, > 0 |
/// | `v`     | true speed; hat: shown                                    | finite, > 0 |
/// | `w`     | true width of the sections on; hat: keyed in              | finite, > 0 |
/// | `T`     | target carrier rate, `T_p` of a product                   | finite, ≥ 0 |
/// | `v_s`   | speed the console steers by: the greater of `v̂` and hold  |             |
///
/// The rig's widths are the ones keyed in; its nozzles are as rated. `v̂ = v / c_speed`, `w = ŵ / c_width`.
/// Regulated: shown flow `T · v_s · ŵ`, true flow `c_meter` times that, so `R = T (v_s/v)(ŵ/w) c_meter`.
/// Manual: the nozzles pass `n · q_n(P)`, products included, since these are injected before them; carrier is what the
/// products leave of it, `q = (n·q_n(P) − Σ c_pump·T_p·v_s·ŵ) / (1 + Σ c_pump·s / c_meter)`, shown flow `q / c_meter`.
/// Product per area: shown flow `T_p · v_s · ŵ`, true flow `c_pump` times that. Product per carrier: shown flow
/// `s · q̂`, since the console knows the carrier flow only from its meter.
/// [`crate::reach`] takes nozzle flow and carrier in manual the same way.
/// On a standing run `v̂` is the simulated speed, and nothing lands on any ground.
///
/// Steady state only; a pump or valve at its limit is not modelled (see [`crate::reach`]).
///
/// # Errors
/// [`ModelError`] names what is missing or makes no sense.
///
/// # Source
/// Definitions: each display divides pulses by the number keyed in, and the console steers what it shows to its target.
///
/// # Example
/// By hand: meter number 2 % high, course number 4 % high: R = 20 × (1/1.04) × 1.02 = 19.6154 gal/ac, 20 shown.
/// ```
/// # use calc::model::{Condition, ErrorFactors, Motion, predict};
/// # use calc::rig::{Carrier, Rig, Section};
/// # use units::{Length, Speed, VolumePerArea};
/// let mut rig = Rig::blank();
/// rig.sections = vec![Section { width: Length::from_ft(33.0), n_nozzles: 20 }];
/// rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0)));
/// let errors = ErrorFactors { meter: 1.02, speed: 1.04, ..ErrorFactors::none(&rig) };
/// let p = predict(&rig, &errors, &Condition::all_on(&rig, Motion::Driving(Speed::from_mph(6.0))))?;
/// assert!(p.actual.rate.is_some_and(|r| (r.as_us_gal_per_ac() - 19.615_384_6).abs() < 1e-6));
/// assert!(p.shown.rate.is_some_and(|r| (r.as_us_gal_per_ac() - 20.0).abs() < 1e-9));
/// # Ok::<(), calc::model::ModelError>(())
/// ```
pub fn predict(rig: &Rig, errors: &ErrorFactors, condition: &Condition) -> Result<Prediction, ModelError> {
    check_counts(rig, errors, condition)?;
    let (true_m_s, shown_m_s) = speeds_m_s(errors, condition.motion)?;
    let (true_m, shown_m) = widths_m(rig, errors, condition)?;
    let steering_m_s = steering_m_s(rig, shown_m_s)?;
    let n_nozzles = nozzles_on(rig, condition);
    let asked = asked_of_pumps(rig, condition, steering_m_s * shown_m)?;
    let true_flow_m3_s = match rig.carrier {
        None => None,
        Some(Carrier::Regulated(target)) => {
            let target_m = target.as_si();
            if !(target_m.is_finite() && target_m >= 0.0) {
                return Err(ModelError::Rate(RateError::Rate { got: target }));
            }
            Some(target_m * steering_m_s * shown_m * errors.meter)
        }
        Some(Carrier::Manual(pressure)) => {
            let nozzles_m3_s = flow_of_nozzles_m3_s(rig, condition, pressure)?;
            Some(carrier_left_m3_s(nozzles_m3_s, &asked, errors)?)
        }
    };
    let shown_flow_m3_s = true_flow_m3_s.map(|q| q / errors.meter);

    let (true_area_m2_s, shown_area_m2_s) = (true_m_s * true_m, shown_m_s * shown_m);
    let mut true_products = Vec::with_capacity(rig.pumps.len());
    let mut shown_products = Vec::with_capacity(rig.pumps.len());
    let mut products_m3_s = 0.0;
    for (asked, c_pump) in asked.iter().zip(&errors.pumps) {
        let shown_m3_s = match *asked {
            Asked::Nothing => None,
            Asked::Flow(q) => Some(q),
            Asked::OfCarrier(s) => shown_flow_m3_s.map(|q| s * q),
        };
        products_m3_s += shown_m3_s.map_or(0.0, |q| q * c_pump);
        shown_products.push(shown_m3_s.map(|q| product_reading(q, shown_area_m2_s)));
        true_products.push(shown_m3_s.map(|q| product_reading(q * c_pump, true_area_m2_s)));
    }
    let pressure = match rig.carrier {
        Some(Carrier::Manual(pressure)) => Some(pressure),
        _ => pressure_at_nozzles(rig, true_flow_m3_s.map(|q| q + products_m3_s), n_nozzles)?,
    };

    let reading = |speed_m_s: f64, width_m: f64, flow_m3_s: Option<f64>, products| {
        let area_m2_s = speed_m_s * width_m;
        Reading {
            speed: Speed::from_m_per_s(speed_m_s),
            width: Length::from_m(width_m),
            area_rate: AreaRate::from_m2_per_s(area_m2_s),
            flow: flow_m3_s.map(FlowRate::from_m3_per_s),
            rate: flow_m3_s.and_then(|q| rate_on(q, area_m2_s)),
            products,
        }
    };
    Ok(Prediction {
        shown: reading(shown_m_s, shown_m, shown_flow_m3_s, shown_products),
        actual: reading(true_m_s, true_m, true_flow_m3_s, true_products),
        hold_in_force: steering_m_s > shown_m_s,
        steering_speed: Speed::from_m_per_s(steering_m_s),
        n_nozzles,
        pressure,
    })
}

/// The product rate behind a dose, nudges included; none when the pump is off.
///
/// # Errors
/// [`ModelError::NoRate`], [`ModelError::NoNudgeStep`], [`ModelError::Rate`].
///
/// # Example
/// By hand: 64 fl oz/ac, one press of 10 % up: 70.4 fl oz/ac.
/// ```
/// # use calc::model::{Dose, dose_rate};
/// # use calc::rig::{InjectionPump, ProductRate};
/// # use units::{Share, VolumePerArea};
/// let pump = InjectionPump {
///     first: Some(ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(64.0))),
///     nudge: Some(Share::from_percent(10.0)),
///     ..InjectionPump::blank()
/// };
/// let rate = dose_rate(0, &pump, Dose::First(1))?;
/// assert!(matches!(rate, Some(ProductRate::PerArea(r)) if (r.as_us_fl_oz_per_ac() - 70.4).abs() < 1e-9));
/// # Ok::<(), calc::model::ModelError>(())
/// ```
pub fn dose_rate(
    pump_idx: usize,
    pump: &InjectionPump,
    dose: Dose,
) -> Result<Option<ProductRate>, ModelError> {
    let (rate, presses) = match dose {
        Dose::Off => return Ok(None),
        Dose::First(presses) => (pump.first, presses),
        Dose::Second(presses) => (pump.second, presses),
    };
    let rate = rate.ok_or(ModelError::NoRate { pump_idx, dose })?;
    // A step is asked for only when it is used; 100 % checks the rate alone.
    let step = match (presses, pump.nudge) {
        (0, _) => Share::from_fraction(1.0),
        (_, Some(step)) => step,
        (_, None) => return Err(ModelError::NoNudgeStep { pump_idx }),
    };
    nudged_rate(rate, step, presses).map(Some).map_err(ModelError::Rate)
}

fn check_counts(rig: &Rig, errors: &ErrorFactors, condition: &Condition) -> Result<(), ModelError> {
    for got in [errors.widths.len(), condition.sections_on.len()] {
        if got != rig.sections.len() {
            return Err(ModelError::SectionCount { got, expected: rig.sections.len() });
        }
    }
    for got in [errors.pumps.len(), condition.doses.len()] {
        if got != rig.pumps.len() {
            return Err(ModelError::PumpCount { got, expected: rig.pumps.len() });
        }
    }
    check_factor(KeyedNumber::Meter, errors.meter)?;
    check_factor(KeyedNumber::Course, errors.speed)?;
    for (idx, c) in errors.widths.iter().enumerate() {
        check_factor(KeyedNumber::Width(idx), *c)?;
    }
    for (idx, c) in errors.pumps.iter().enumerate() {
        check_factor(KeyedNumber::Pump(idx), *c)?;
    }
    Ok(())
}

fn check_factor(number: KeyedNumber, got: f64) -> Result<(), ModelError> {
    if got.is_finite() && got > 0.0 { Ok(()) } else { Err(ModelError::Factor { number, got }) }
}

/// True and shown speed.
fn speeds_m_s(errors: &ErrorFactors, motion: Motion) -> Result<(f64, f64), ModelError> {
    let (Motion::Driving(speed) | Motion::Standing(speed)) = motion;
    let v_m_s = speed.as_m_per_s();
    if !(v_m_s.is_finite() && v_m_s > 0.0) {
        return Err(ModelError::Speed { got: speed });
    }
    Ok(match motion {
        Motion::Driving(_) => (v_m_s, v_m_s / errors.speed),
        Motion::Standing(_) => (0.0, v_m_s),
    })
}

/// True and shown width of the sections that are on.
fn widths_m(rig: &Rig, errors: &ErrorFactors, condition: &Condition) -> Result<(f64, f64), ModelError> {
    let (mut true_m, mut shown_m) = (0.0, 0.0);
    for (section_idx, ((section, on), c)) in
        rig.sections.iter().zip(&condition.sections_on).zip(&errors.widths).enumerate()
    {
        let w_m = section.width.as_m();
        if !(w_m.is_finite() && w_m > 0.0) {
            return Err(ModelError::Width { section_idx, got: section.width });
        }
        if *on {
            shown_m += w_m;
            true_m += w_m / c;
        }
    }
    if shown_m > 0.0 { Ok((true_m, shown_m)) } else { Err(ModelError::NoSectionOn) }
}

fn steering_m_s(rig: &Rig, shown_m_s: f64) -> Result<f64, ModelError> {
    let Some(hold) = rig.hold_speed else { return Ok(shown_m_s) };
    let hold_m_s = hold.as_m_per_s();
    if hold_m_s.is_finite() && hold_m_s >= 0.0 {
        Ok(shown_m_s.max(hold_m_s))
    } else {
        Err(ModelError::HoldSpeed { got: hold })
    }
}

fn nozzles_on(rig: &Rig, condition: &Condition) -> Option<u32> {
    let on =
        || rig.sections.iter().zip(&condition.sections_on).filter(|(_, on)| **on).map(|(s, _)| s.n_nozzles);
    on().all(|n| n > 0).then(|| on().sum())
}

/// What the console asks of an injection pump.
#[derive(Clone, Copy, Debug)]
enum Asked {
    Nothing,
    /// A flow in m³/s.
    Flow(f64),
    /// A share of the carrier flow that it shows.
    OfCarrier(f64),
}

/// One for each pump; `area_m2_s` is the area rate that the console steers by.
fn asked_of_pumps(rig: &Rig, condition: &Condition, area_m2_s: f64) -> Result<Vec<Asked>, ModelError> {
    let asked = |(pump_idx, (pump, dose)): (usize, (&InjectionPump, &Dose))| {
        Ok(match dose_rate(pump_idx, pump, *dose)? {
            None => Asked::Nothing,
            Some(ProductRate::PerArea(rate)) => Asked::Flow(rate.as_si() * area_m2_s),
            Some(ProductRate::PerCarrier(rate)) => Asked::OfCarrier(rate.as_si()),
        })
    };
    rig.pumps.iter().zip(&condition.doses).enumerate().map(asked).collect()
}

/// What all nozzles that are on pass at a pressure.
fn flow_of_nozzles_m3_s(rig: &Rig, condition: &Condition, pressure: Pressure) -> Result<f64, ModelError> {
    let set = rig.nozzles.ok_or(ModelError::NoNozzleSet)?;
    let of_one = flow_at_pressure(set.rated_flow, set.rated_pressure, pressure, rig.specific_gravity)
        .map_err(ModelError::Nozzle)?;
    let mut n_nozzles = 0;
    for (section_idx, (section, on)) in rig.sections.iter().zip(&condition.sections_on).enumerate() {
        if *on && section.n_nozzles == 0 {
            return Err(ModelError::NozzlesUnknown { section_idx });
        }
        n_nozzles += if *on { section.n_nozzles } else { 0 };
    }
    Ok(of_one.as_m3_per_s() * f64::from(n_nozzles))
}

/// What the products leave of the nozzles' flow for the carrier.
fn carrier_left_m3_s(nozzles_m3_s: f64, asked: &[Asked], errors: &ErrorFactors) -> Result<f64, ModelError> {
    let (mut products_m3_s, mut of_carrier) = (0.0, 0.0);
    for (asked, c_pump) in asked.iter().zip(&errors.pumps) {
        match *asked {
            Asked::Nothing => {}
            Asked::Flow(q) => products_m3_s += c_pump * q,
            Asked::OfCarrier(s) => of_carrier += c_pump * s / errors.meter,
        }
    }
    if products_m3_s > nozzles_m3_s {
        let flow = FlowRate::from_m3_per_s;
        return Err(ModelError::NoCarrierLeft { nozzles: flow(nozzles_m3_s), products: flow(products_m3_s) });
    }
    Ok((nozzles_m3_s - products_m3_s) / (1.0 + of_carrier))
}

fn pressure_at_nozzles(
    rig: &Rig,
    flow_m3_s: Option<f64>,
    n_nozzles: Option<u32>,
) -> Result<Option<Pressure>, ModelError> {
    let (Some(set), Some(q_m3_s), Some(n)) = (rig.nozzles, flow_m3_s, n_nozzles) else { return Ok(None) };
    let of_one = FlowRate::from_m3_per_s(q_m3_s / f64::from(n));
    pressure_for_flow(set.rated_flow, set.rated_pressure, of_one, rig.specific_gravity)
        .map(Some)
        .map_err(ModelError::Nozzle)
}

fn product_reading(flow_m3_s: f64, area_m2_s: f64) -> ProductReading {
    ProductReading { flow: FlowRate::from_m3_per_s(flow_m3_s), rate: rate_on(flow_m3_s, area_m2_s) }
}

/// Volume per area; none where no ground is covered.
fn rate_on(flow_m3_s: f64, area_m2_s: f64) -> Option<VolumePerArea> {
    (area_m2_s > 0.0).then(|| VolumePerArea::from_si(flow_m3_s / area_m2_s))
}
