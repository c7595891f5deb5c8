//! What a rig does at a speed: pressure, carrier flow and rate; and the pressure to set by hand for a wanted rate.
//!
//! Doses of product are in [`super::doses`].

use units::{FlowRate, Pressure, Quantity, Speed, VolumePerArea};

use super::flows::{Boom, CarrierHere, Flows};
use super::plan::{Plan, Problem, SectionSet};
use crate::rig::Carrier;

/// What to expect at one speed, with every pump at its first rate. `None` where a number behind it is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// The speed.
    pub speed: Speed,
    /// Pressure at the nozzles.
    pub pressure: Option<Pressure>,
    /// Whether the pressure lies inside the nozzles' window, as far as the window is known.
    pub inside_window: Option<bool>,
    /// Flow of one nozzle, carrier and products together.
    pub nozzle_flow: Option<FlowRate>,
    /// Carrier flow of the boom.
    pub carrier_flow: Option<FlowRate>,
    /// Carrier on the ground. Floats where the carrier is in manual; grows below the hold speed.
    pub carrier_rate: Option<VolumePerArea>,
    /// Carrier and products together on the ground.
    pub total_rate: Option<VolumePerArea>,
}

/// What to expect at each of these speeds. Speeds that are zero, negative or not finite are left out.
///
/// | symbol  | meaning                                                              |
/// |---------|----------------------------------------------------------------------|
/// | `u`     | the speed acted on: `v`, or the hold speed where `v` is below it     |
/// | `R, A`  | carrier rate, sum of the first product rates                         |
/// | `s`     | width per nozzle                                                     |
///
/// Carrier held: nozzle flow `(R + A)·s·u`, carrier `R·w·u`, on the ground `R·u/v`. Carrier in manual: the nozzle flow
/// is that of the pressure, carrier is what the products leave of it, on the ground `q/(w·v)`. Products are injected
/// before the nozzles, which therefore pass both, as in [`crate::model`].
///
/// # Source
/// Definition of the rate; nozzle law of [`crate::nozzle`]. Iowa State Univ. news item 844 (40 psi at 12 mph become
/// 62.5 psi at 15 mph).
///
/// # Example
/// By hand: 20 gal/ac at 5.94 mph on 20 in is 0.4 gal/min, 40 psi for an 0.4 at 40 psi; at twice the speed 160 psi.
/// ```
/// # use calc::reach::{expected::along, plan::Plan};
/// # use calc::rig::{Carrier, NozzleSet, Rig, Section};
/// # use units::{FlowRate, Length, Pressure, Speed, VolumePerArea};
/// # let nozzles = NozzleSet {
/// #     rated_flow: FlowRate::from_us_gal_per_min(0.4), rated_pressure: Pressure::from_psi(40.0),
/// #     least_pressure: None, greatest_pressure: None, spacing: None,
/// # };
/// # let rig = Rig {
/// #     sections: vec![Section { width: Length::from_in(240.0), n_nozzles: 12 }], nozzles: Some(nozzles),
/// #     carrier: Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(20.0))), ..Rig::blank()
/// # };
/// let here = along(&Plan::new(rig), [Speed::from_mph(5.94), Speed::from_mph(11.88)]);
/// assert!(here[0].pressure.is_some_and(|p| (p.as_psi() - 40.0).abs() < 1e-9));
/// assert!(here[1].pressure.is_some_and(|p| (p.as_psi() - 160.0).abs() < 1e-9));
/// ```
#[must_use]
pub fn along(plan: &Plan, speeds: impl IntoIterator<Item = Speed>) -> Vec<Expected> {
    along_with(plan, plan.sections_on, speeds)
}

/// What to expect with another set of sections. See [`along`].
#[must_use]
pub fn along_with(
    plan: &Plan,
    sections_on: SectionSet,
    speeds: impl IntoIterator<Item = Speed>,
) -> Vec<Expected> {
    let flows = Flows::new(plan);
    let boom = flows.boom(sections_on);
    speeds
        .into_iter()
        .filter(|v| v.as_m_per_s().is_finite() && v.as_m_per_s() > 0.0)
        .map(|v| expected_at(&flows, boom.as_ref(), v))
        .collect()
}

pub(super) fn expected_at(flows: &Flows, boom: Option<&Boom>, speed: Speed) -> Expected {
    let v_m_s = speed.as_m_per_s();
    let u_m_s = flows.acted_on(v_m_s);
    let (area_m, ratio) = flows.first_products();
    let per_n_m = boom.and_then(|b| b.w_per_n_m).map(|r| r.lo);
    let w_m = boom.map(|b| b.w_m.lo);
    let (nozzle_m3_s, carrier_m3_s, pressure) = match flows.carrier {
        None => (None, None, None),
        Some(CarrierHere::Regulated { r_m }) => {
            let nozzle_m3_s = per_n_m.map(|s_m| (r_m * (1.0 + ratio) + area_m) * s_m * u_m_s);
            let pressure = flows.nozzle.zip(nozzle_m3_s).and_then(|(nozzle, q)| nozzle.pressure(q));
            (nozzle_m3_s, w_m.map(|w_m| r_m * w_m * u_m_s), pressure)
        }
        Some(CarrierHere::Manual { pressure, q_nozzle_m3_s }) => {
            let whole = q_nozzle_m3_s.zip(boom.and_then(|b| b.n)).map(|(q, n)| q * n.lo);
            let carrier_m3_s = whole.zip(w_m).map(|(q, w_m)| (q - area_m * w_m * u_m_s) / (1.0 + ratio));
            // More product than the nozzles pass leaves no carrier at all; nothing is computed from that.
            (q_nozzle_m3_s, carrier_m3_s.filter(|&q| q >= 0.0), Some(pressure))
        }
    };
    Expected {
        speed,
        pressure,
        inside_window: inside_window(flows, nozzle_m3_s),
        nozzle_flow: nozzle_m3_s.map(FlowRate::from_m3_per_s),
        carrier_flow: carrier_m3_s.map(FlowRate::from_m3_per_s),
        carrier_rate: carrier_m3_s.zip(w_m).map(|(q, w_m)| VolumePerArea::from_si(q / (w_m * v_m_s))),
        total_rate: carrier_m3_s
            .zip(w_m)
            .map(|(q, w_m)| VolumePerArea::from_si((q * (1.0 + ratio) / w_m + area_m * u_m_s) / v_m_s)),
    }
}

/// The pressure to set by hand, or why it cannot be said.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The pressure at the nozzles. `None` where a number behind it is missing.
    pub pressure: Option<Pressure>,
    /// Whether it lies inside the nozzles' window, as far as the window is known.
    pub inside_window: Option<bool>,
    /// What is missing or makes no sense.
    pub problems: Vec<Problem>,
}

/// The pressure to set with the carrier in manual, so that a wanted carrier rate lands at a wanted speed while every
/// pump gives its first rate: `P = P₀ · SG · ((R·v + A·u)·s / q₀)²`.
///
/// | symbol | meaning                                                | range       |
/// |--------|--------------------------------------------------------|-------------|
/// | `R`    | wanted carrier rate                                    | finite, > 0 |
/// | `v`    | wanted speed                                           | finite, > 0 |
/// | `u`    | speed that the pumps act on: `v`, or the hold above it | > 0         |
/// | `A`    | sum of the first product rates at that carrier rate    | ≥ 0         |
/// | `s`    | width per nozzle                                       | > 0         |
///
/// # Errors
/// None; a wanted rate or speed out of range stands among the problems as [`Problem::CarrierRate`] or
/// [`Problem::WantedSpeed`], and the pressure is `None`.
///
/// # Source
/// Definition of the rate; nozzle law of [`crate::nozzle`].
///
/// # Example
/// By hand: 20 gal/ac at 11.88 mph on 20 in is 0.8 gal/min, so a nozzle of 0.4 gal/min at 40 psi needs 160 psi.
/// ```
/// # use calc::reach::{expected::pressure_to_set, plan::Plan};
/// # use calc::rig::{NozzleSet, Rig, Section};
/// # use units::{FlowRate, Length, Pressure, Speed, VolumePerArea};
/// # let nozzles = NozzleSet {
/// #     rated_flow: FlowRate::from_us_gal_per_min(0.4), rated_pressure: Pressure::from_psi(40.0),
/// #     least_pressure: None, greatest_pressure: None, spacing: None,
/// # };
/// # let sections = vec![Section { width: Length::from_in(240.0), n_nozzles: 12 }];
/// # let plan = Plan::new(Rig { sections, nozzles: Some(nozzles), ..Rig::blank() });
/// let setting = pressure_to_set(&plan, VolumePerArea::from_us_gal_per_ac(20.0), Speed::from_mph(11.88));
/// assert!(setting.pressure.is_some_and(|p| (p.as_psi() - 160.0).abs() < 1e-9));
/// ```
#[must_use]
pub fn pressure_to_set(plan: &Plan, rate: VolumePerArea, speed: Speed) -> Setting {
    let mut wanted = plan.clone();
    wanted.rig.carrier = Some(Carrier::Regulated(rate));
    let flows = Flows::new(&wanted);
    let mut problems = flows.problems.clone();
    flows.set_problems(plan.sections_on, &mut problems);
    let v_m_s = speed.as_m_per_s();
    if !(v_m_s.is_finite() && v_m_s > 0.0) {
        problems.push(Problem::WantedSpeed { got: speed });
        return Setting { pressure: None, inside_window: None, problems };
    }
    let per_n_m = flows.boom(plan.sections_on).and_then(|boom| boom.w_per_n_m);
    let nozzle_m3_s = match (flows.carrier, per_n_m) {
        (Some(CarrierHere::Regulated { r_m }), Some(s_m)) => {
            let (area_m, ratio) = flows.first_products();
            Some((r_m * (1.0 + ratio) * v_m_s + area_m * flows.acted_on(v_m_s)) * s_m.lo)
        }
        _ => None,
    };
    let pressure = flows.nozzle.zip(nozzle_m3_s).and_then(|(nozzle, q)| nozzle.pressure(q));
    Setting { pressure, inside_window: inside_window(&flows, nozzle_m3_s), problems }
}

/// Whether the flow of one nozzle lies inside its window, as far as the window is known.
fn inside_window(flows: &Flows, nozzle_m3_s: Option<f64>) -> Option<bool> {
    let (nozzle, q) = flows.nozzle.zip(nozzle_m3_s)?;
    let ends = (nozzle.q_least_m3_s, nozzle.q_greatest_m3_s);
    (ends != (None, None)).then(|| ends.0.is_none_or(|lo| lo <= q) && ends.1.is_none_or(|hi| q <= hi))
}
