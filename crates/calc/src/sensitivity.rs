//! How what really lands moves when one keyed-in number is off.
//!
//! Worked out by running [`crate::model`] twice; no table of signs lives here.

use units::{FlowRate, Form, Quantity, Share, Speed, VolumePerArea, VolumePerCarrier};

use crate::model::{Condition, Dose, ErrorFactors, KeyedNumber, ModelError, Motion, Prediction, predict};
use crate::rig::{Carrier, ProductRate, Rig};

/// The convention of each calibration number; a spacing number moves the other way than a counting one.
#[derive(Clone, Debug, PartialEq)]
pub struct Forms {
    /// Of the meter number.
    pub meter: Form,
    /// Of the course number.
    pub course: Form,
    /// Of the number of each injection pump.
    pub pumps: Vec<Form>,
}

impl Forms {
    /// All counting.
    #[must_use]
    pub fn counting(rig: &Rig) -> Self {
        Self { meter: Form::Counting, course: Form::Counting, pumps: vec![Form::Counting; rig.pumps.len()] }
    }
}

/// What one number moves.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// The number that is off.
    pub number: KeyedNumber,
    /// Relative change of the true carrier rate on the ground, or, standing, of the true carrier flow. None where the
    /// rig does not say how the carrier is run.
    pub carrier: Option<Share>,
    /// The same for the product of each injection pump. None where the pump is off.
    pub products: Vec<Option<Share>>,
    /// Relative change of the shown area; what the closing of the day sees.
    pub shown_area: Share,
}

/// Effect of one number that is keyed in too high by `by` (too low when negative).
///
/// | symbol | meaning                                   | range          |
/// |--------|-------------------------------------------|----------------|
/// | `by`   | keyed in over right, less one             | > −1, finite   |
///
/// The rig is taken as right; then the number is changed and the rig, in truth the same, is predicted again. The effect
/// is exact for this `by`, not a slope. [`KeyedNumber::StandingSpeed`] moves a standing run and nothing else.
///
/// # Errors
/// [`ModelError`]; [`ModelError::NoSuchNumber`] where the rig lacks the number.
///
/// # Source
/// The forward model, [`predict`].
///
/// # Example
/// By hand, regulated: a counting meter number 1 % high lets 1 % more out; a spacing one 1/1.01 − 1 = 0.99 % less.
/// ```
/// # use calc::model::{Condition, KeyedNumber, Motion};
/// # use calc::rig::{Carrier, Rig, Section};
/// # use calc::sensitivity::{Forms, effect};
/// # use units::{Form, Length, Share, Speed, VolumePerArea};
/// let mut rig = Rig::blank();
/// rig.sections = vec![Section { width: Length::from_ft(33.0), n_nozzles: 0 }];
/// rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0)));
/// let driving = Condition::all_on(&rig, Motion::Driving(Speed::from_mph(6.0)));
/// let by = Share::from_percent(1.0);
/// let counting = effect(&rig, &driving, &Forms::counting(&rig), KeyedNumber::Meter, by)?;
/// assert!(counting.carrier.is_some_and(|c| (c.as_percent() - 1.0).abs() < 1e-9));
/// let spacing = Forms { meter: Form::Spacing, ..Forms::counting(&rig) };
/// let spacing = effect(&rig, &driving, &spacing, KeyedNumber::Meter, by)?;
/// assert!(spacing.carrier.is_some_and(|c| (c.as_percent() + 0.990_099).abs() < 1e-6));
/// # Ok::<(), calc::model::ModelError>(())
/// ```
pub fn effect(
    rig: &Rig,
    condition: &Condition,
    forms: &Forms,
    number: KeyedNumber,
    by: Share,
) -> Result<Effect, ModelError> {
    let right = predict(rig, &ErrorFactors::none(rig), condition)?;
    effect_against(&right, rig, condition, forms, number, by)
}

/// Effects of every number that the rig has, in the order of the key-in sheet.
///
/// Rates and nudge steps are listed only for pumps that have them, a total width only for more than one section.
///
/// # Errors
/// As [`effect`].
///
/// # Example
/// By hand: two sections of one width share the boom, so 1 % on one of them is 0.5 % on the dose.
/// ```
/// # use calc::model::{Condition, KeyedNumber, Motion};
/// # use calc::rig::{Carrier, Rig, Section};
/// # use calc::sensitivity::{Forms, effects};
/// # use units::{Length, Share, Speed, VolumePerArea};
/// let mut rig = Rig::blank();
/// rig.sections = vec![Section { width: Length::from_ft(12.0), n_nozzles: 0 }; 2];
/// rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0)));
/// let driving = Condition::all_on(&rig, Motion::Driving(Speed::from_mph(6.0)));
/// let all = effects(&rig, &driving, &Forms::counting(&rig), Share::from_percent(1.0))?;
/// let of_first = all.iter().find(|e| e.number == KeyedNumber::Width(0)).and_then(|e| e.carrier);
/// assert!(of_first.is_some_and(|c| (c.as_percent() - 0.5).abs() < 1e-9));
/// # Ok::<(), calc::model::ModelError>(())
/// ```
pub fn effects(
    rig: &Rig,
    condition: &Condition,
    forms: &Forms,
    by: Share,
) -> Result<Vec<Effect>, ModelError> {
    let right = predict(rig, &ErrorFactors::none(rig), condition)?;
    numbers(rig).into_iter().map(|number| effect_against(&right, rig, condition, forms, number, by)).collect()
}

/// The column of the key-in sheet: every number of the rig, each in the state in which it is used.
///
/// All sections on, driving above the minimum-speed hold, product rates without a nudge; but a second rate with its pump
/// switched to it, a nudge step after one press up, the hold at half its speed, the standing-test speed standing.
///
/// # Errors
/// As [`effect`].
///
/// # Example
/// By hand: one press of 10 % gives 1.100; a step keyed in 1 % high, 10.1 %, gives 1.101, which is 0.0909 % more.
/// ```
/// # use calc::model::KeyedNumber;
/// # use calc::rig::{InjectionPump, ProductRate, Rig, Section};
/// # use calc::sensitivity::{Forms, sheet};
/// # use units::{Length, Share, VolumePerArea};
/// let mut rig = Rig::blank();
/// rig.sections = vec![Section { width: Length::from_ft(12.0), n_nozzles: 0 }];
/// rig.pumps = vec![InjectionPump {
///     first: Some(ProductRate::PerArea(VolumePerArea::from_us_fl_oz_per_ac(64.0))),
///     nudge: Some(Share::from_percent(10.0)),
///     ..InjectionPump::blank()
/// }];
/// let sheet = sheet(&rig, &Forms::counting(&rig), Share::from_percent(1.0))?;
/// let of_step = sheet.iter().find(|e| e.number == KeyedNumber::NudgeStep(0)).and_then(|e| e.products[0]);
/// assert!(of_step.is_some_and(|p| (p.as_percent() - 0.090_909).abs() < 1e-6));
/// # Ok::<(), calc::model::ModelError>(())
/// ```
pub fn sheet(rig: &Rig, forms: &Forms, by: Share) -> Result<Vec<Effect>, ModelError> {
    let hold_m_s = rig.hold_speed.map_or(0.0, Speed::as_m_per_s);
    let driving = Motion::Driving(Speed::from_m_per_s(2.0 * hold_m_s.max(1.0)));
    let usual = Condition::all_on(rig, driving);
    numbers(rig)
        .into_iter()
        .map(|number| {
            let mut state = usual.clone();
            match number {
                KeyedNumber::SecondRate(idx) => set_dose(&mut state, idx, Dose::Second(0)),
                KeyedNumber::NudgeStep(idx) => {
                    let has_first = rig.pumps.get(idx).is_some_and(|pump| pump.first.is_some());
                    set_dose(&mut state, idx, if has_first { Dose::First(1) } else { Dose::Off });
                }
                KeyedNumber::HoldSpeed if hold_m_s > 0.0 => {
                    state.motion = Motion::Driving(Speed::from_m_per_s(0.5 * hold_m_s));
                }
                KeyedNumber::StandingSpeed => {
                    state.motion = rig.standing_speed.map_or(driving, Motion::Standing);
                }
                _ => {}
            }
            effect(rig, &state, forms, number, by)
        })
        .collect()
}

/// Every number that this rig has, in the order of the key-in sheet.
#[must_use]
pub fn numbers(rig: &Rig) -> Vec<KeyedNumber> {
    let mut numbers = vec![KeyedNumber::Meter, KeyedNumber::Course];
    numbers.extend((0..rig.sections.len()).map(KeyedNumber::Width));
    if rig.sections.len() > 1 {
        numbers.push(KeyedNumber::TotalWidth);
    }
    if matches!(rig.carrier, Some(Carrier::Regulated(_))) {
        numbers.push(KeyedNumber::CarrierRate);
    }
    for (idx, pump) in rig.pumps.iter().enumerate() {
        numbers.push(KeyedNumber::Pump(idx));
        let present = [
            (pump.first.is_some(), KeyedNumber::FirstRate(idx)),
            (pump.second.is_some(), KeyedNumber::SecondRate(idx)),
            (pump.nudge.is_some(), KeyedNumber::NudgeStep(idx)),
        ];
        numbers.extend(present.into_iter().filter(|(has, _)| *has).map(|(_, number)| number));
    }
    if rig.hold_speed.is_some() {
        numbers.push(KeyedNumber::HoldSpeed);
    }
    if rig.standing_speed.is_some() {
        numbers.push(KeyedNumber::StandingSpeed);
    }
    numbers
}

fn effect_against(
    right: &Prediction,
    rig: &Rig,
    condition: &Condition,
    forms: &Forms,
    number: KeyedNumber,
    by: Share,
) -> Result<Effect, ModelError> {
    let times = 1.0 + by.as_fraction();
    if !(times.is_finite() && times > 0.0) {
        return Err(ModelError::Factor { number, got: times });
    }
    let missing = ModelError::NoSuchNumber { number };
    let mut rig = rig.clone();
    let mut errors = ErrorFactors::none(&rig);
    let mut condition = condition.clone();
    let pulses = |form: Form| match form {
        Form::Counting => times,
        Form::Spacing => 1.0 / times,
    };
    match number {
        KeyedNumber::Meter => errors.meter = pulses(forms.meter),
        KeyedNumber::Course => errors.speed = pulses(forms.course),
        KeyedNumber::Width(idx) => widen(&mut rig, &mut errors, idx, times).ok_or(missing)?,
        KeyedNumber::TotalWidth => {
            for idx in 0..rig.sections.len() {
                widen(&mut rig, &mut errors, idx, times).ok_or(ModelError::NoSuchNumber { number })?;
            }
        }
        KeyedNumber::Pump(idx) => {
            let form = forms.pumps.get(idx).ok_or(ModelError::NoSuchNumber { number })?;
            *errors.pumps.get_mut(idx).ok_or(missing)? = pulses(*form);
        }
        KeyedNumber::CarrierRate => match &mut rig.carrier {
            Some(Carrier::Regulated(target)) => *target = VolumePerArea::from_si(target.as_si() * times),
            Some(Carrier::Manual(_)) | None => return Err(missing),
        },
        KeyedNumber::FirstRate(idx) => {
            let rate = rig.pumps.get_mut(idx).and_then(|pump| pump.first.as_mut()).ok_or(missing)?;
            *rate = scaled(*rate, times);
        }
        KeyedNumber::SecondRate(idx) => {
            let rate = rig.pumps.get_mut(idx).and_then(|pump| pump.second.as_mut()).ok_or(missing)?;
            *rate = scaled(*rate, times);
        }
        KeyedNumber::NudgeStep(idx) => {
            let step = rig.pumps.get_mut(idx).and_then(|pump| pump.nudge.as_mut()).ok_or(missing)?;
            *step = Share::from_fraction(step.as_fraction() * times);
        }
        KeyedNumber::HoldSpeed => {
            let hold = rig.hold_speed.as_mut().ok_or(missing)?;
            *hold = Speed::from_m_per_s(hold.as_m_per_s() * times);
        }
        KeyedNumber::StandingSpeed => {
            if let Motion::Standing(speed) = condition.motion {
                condition.motion = Motion::Standing(Speed::from_m_per_s(speed.as_m_per_s() * times));
            }
        }
    }
    let wrong = predict(&rig, &errors, &condition)?;
    Ok(compare(number, right, &wrong))
}

fn compare(number: KeyedNumber, right: &Prediction, wrong: &Prediction) -> Effect {
    let moved = |rate: (Option<VolumePerArea>, Option<VolumePerArea>),
                 flow: (Option<FlowRate>, Option<FlowRate>)| {
        let ratio = match (rate, flow) {
            ((Some(before), Some(after)), _) => change(before.as_si(), after.as_si()),
            (_, (Some(before), Some(after))) => change(before.as_si(), after.as_si()),
            _ => None,
        };
        ratio.map(Share::from_fraction)
    };
    let products = right.actual.products.iter().zip(&wrong.actual.products).map(|(before, after)| {
        let (before, after) = ((*before)?, (*after)?);
        moved((before.rate, after.rate), (Some(before.flow), Some(after.flow)))
    });
    let area = change(right.shown.area_rate.as_si(), wrong.shown.area_rate.as_si());
    Effect {
        number,
        carrier: moved((right.actual.rate, wrong.actual.rate), (right.actual.flow, wrong.actual.flow)),
        products: products.collect(),
        shown_area: Share::from_fraction(area.unwrap_or(0.0)),
    }
}

/// Relative change; none from zero.
fn change(before: f64, after: f64) -> Option<f64> {
    (before > 0.0).then(|| after / before - 1.0)
}

/// Keys in a section wider than it is.
fn widen(rig: &mut Rig, errors: &mut ErrorFactors, idx: usize, times: f64) -> Option<()> {
    let section = rig.sections.get_mut(idx)?;
    section.width = units::Length::from_m(section.width.as_m() * times);
    *errors.widths.get_mut(idx)? = times;
    Some(())
}

fn scaled(rate: ProductRate, times: f64) -> ProductRate {
    match rate {
        ProductRate::PerArea(r) => ProductRate::PerArea(VolumePerArea::from_si(r.as_si() * times)),
        ProductRate::PerCarrier(r) => ProductRate::PerCarrier(VolumePerCarrier::from_si(r.as_si() * times)),
    }
}

fn set_dose(state: &mut Condition, pump_idx: usize, dose: Dose) {
    if let Some(slot) = state.doses.get_mut(pump_idx) {
        *slot = dose;
    }
}
