//! A rig as described becomes a rig as numbers. What is not known stays unknown; what does not read well is as good as
//! not known here, and is told beside its box by `records::rig`.

use calc::keyin::KeyedPulses;
use calc::nozzle::{RATED_PRESSURE, size_by_number};
use calc::rig::{Carrier, FlowMeter, InjectionPump, NozzleSet, ProductRate, Rig, Section, SupplyPump};
use calc::sensitivity::Forms;
use records::rig::{CarrierMode, NozzleBy, NozzleView, PumpView, Reading, RigView};
use units::{
    FlowRate, Form, KeyInStep, LengthUnit, Pressure, PulseConvention, Quantity, Share, Typed, VolumeUnit,
};

/// Everything that is known of the rig.
///
/// Sections are all there or none: while the width of one is not known the boom is not known, and leaving one out would
/// give the others the wrong number. Nozzles of a section that nobody counted are 0. Agitation and reserve that nobody
/// stated are none.
pub(crate) fn rig_of(view: &RigView) -> Rig {
    Rig {
        sections: sections(view).unwrap_or_default(),
        nozzles: nozzle_set(&view.nozzle),
        meter: view.meter.number.ok().map(|number| FlowMeter {
            number: number.pulses,
            least: value(&view.meter.least),
            greatest: value(&view.meter.greatest),
        }),
        speed_sensor: view.speed.pulses(),
        supply: value(&view.supply.greatest).map(|greatest| SupplyPump {
            greatest,
            agitation: value(&view.supply.agitation).unwrap_or(NONE),
            reserve: value(&view.supply.reserve).unwrap_or(NONE),
        }),
        pumps: view.pumps.iter().map(pump).collect(),
        carrier: match view.carrier.mode.ok() {
            Some(CarrierMode::Regulated) => value(&view.carrier.rate).map(Carrier::Regulated),
            Some(CarrierMode::Manual) => value(&view.carrier.pressure).map(Carrier::Manual),
            None => None,
        },
        specific_gravity: value(&view.carrier.specific_gravity)
            .map_or(1.0, units::Density::as_specific_gravity),
        standing_speed: value(&view.standing_speed),
        hold_speed: value(&view.hold_speed),
        top_speed: value(&view.top_speed),
    }
}

/// Whether each calibration number counts or spaces; counting where the convention is not known.
pub(crate) fn forms_of(view: &RigView) -> Forms {
    Forms {
        meter: form(&view.meter.convention),
        course: form(&view.speed.convention),
        pumps: view.pumps.iter().map(|pump| form(&pump.convention)).collect(),
    }
}

/// The meter number as it is keyed in now.
pub(crate) fn keyed_meter(view: &RigView) -> Option<KeyedPulses<VolumeUnit>> {
    Some(KeyedPulses {
        number: view.meter.number.ok()?.number,
        convention: view.meter.convention.ok()?,
        step: step_of(view, "meter"),
    })
}

/// The course number as it is keyed in now, from the number or from the wheel.
pub(crate) fn keyed_course(view: &RigView) -> Option<KeyedPulses<LengthUnit>> {
    let convention = view.speed.convention.ok()?;
    let number = convention.key_in(view.speed.pulses()?);
    Some(KeyedPulses { number, convention, step: step_of(view, "course") })
}

/// The number of an injection pump as it is keyed in now; pumps count from 1.
pub(crate) fn keyed_pump(view: &RigView, n: u32) -> Option<KeyedPulses<VolumeUnit>> {
    let pump = view.pumps.iter().find(|pump| pump.n == n)?;
    Some(KeyedPulses {
        number: pump.number.ok()?.number,
        convention: pump.convention.ok()?,
        step: step_of(view, &format!("pump.{n}.number")),
    })
}

/// The console's step for an entry, e.g. `pump.2.rate`, with the largest value where that is known too.
pub(crate) fn step_of(view: &RigView, entry: &str) -> Option<KeyInStep> {
    let entry = view.key_in.get(entry)?;
    Some(KeyInStep { step: entry.step.ok()?, largest: entry.largest.ok() })
}

/// A product rate in the words of the calculation.
pub(crate) fn product_rate(rate: records::ProductRate) -> ProductRate {
    match rate {
        records::ProductRate::PerArea(typed) => ProductRate::PerArea(typed.value),
        records::ProductRate::PerCarrier(typed) => ProductRate::PerCarrier(typed.value),
    }
}

const NONE: Share = Share::from_fraction(0.0);

pub(super) fn value<Q: Quantity>(reading: &Reading<Typed<Q>>) -> Option<Q> {
    reading.ok().map(|typed| typed.value)
}

fn form<U: units::Unit>(convention: &Reading<PulseConvention<U>>) -> Form {
    convention.ok().map_or(Form::Counting, |convention| convention.form)
}

fn sections(view: &RigView) -> Option<Vec<Section>> {
    view.sections
        .iter()
        .map(|section| {
            Some(Section { width: section.working_width?, n_nozzles: section.nozzles.ok().unwrap_or(0) })
        })
        .collect()
}

/// A nozzle set as numbers; `None` while its flow is not known.
pub(super) fn nozzle_set(view: &NozzleView) -> Option<NozzleSet> {
    let (rated_flow, rated_pressure) = rating(view)?;
    Some(NozzleSet {
        rated_flow,
        rated_pressure,
        least_pressure: value(&view.least_pressure),
        greatest_pressure: value(&view.greatest_pressure),
        spacing: value(&view.spacing),
    })
}

fn rating(view: &NozzleView) -> Option<(FlowRate, Pressure)> {
    match view.by.ok()? {
        NozzleBy::Flow => Some((value(&view.flow)?, value(&view.pressure)?)),
        NozzleBy::Iso => {
            let number = view.iso.ok()?;
            let flow = match size_by_number(&number.code) {
                Some(size) => size.flow(),
                // Sizes beside the table: the number is the flow over that of size 01.
                None => FlowRate::from_si(size_by_number("01")?.flow().as_si() * number.size),
            };
            Some((flow, RATED_PRESSURE))
        }
    }
}

fn pump(view: &PumpView) -> InjectionPump {
    InjectionPump {
        number: view.number.ok().map(|number| number.pulses),
        least: value(&view.least),
        greatest: value(&view.greatest),
        first: view.first.ok().map(product_rate),
        second: view.second.ok().map(product_rate),
        nudge: value(&view.nudge),
        label_greatest: value(&view.label_greatest),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use records::examples::{DITCH_BANK_TRUCK, DRAINAGE_ROAD_CARRIER, ExampleField};
    use std::collections::BTreeMap;

    fn view(fields: &[ExampleField], change: &[(&str, &str)]) -> RigView {
        let mut texts: BTreeMap<String, String> =
            fields.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
        for (path, text) in change {
            texts.insert((*path).to_owned(), (*text).to_owned());
        }
        RigView::read(&texts)
    }

    fn close(got: f64, expected: f64) {
        assert!((got - expected).abs() < 1e-9 * expected.abs().max(1.0), "{got} is not {expected}");
    }

    // The expected numbers stand in the comments of the examples, worked out by hand.
    #[test]
    fn an_american_rig_comes_over_whole() {
        let rig = rig_of(&view(DITCH_BANK_TRUCK, &[]));
        close(rig.boom_width().as_ft(), 50.0);
        assert_eq!(rig.n_nozzles(), 25);
        assert!(rig.meter.is_some() && rig.supply.is_some() && rig.speed_sensor.is_some());
        // Size 08 is eight times 0.4 L/min.
        close(rig.nozzles.unwrap().rated_flow.as_l_per_min(), 3.2);
        let Some(Carrier::Regulated(target)) = rig.carrier else { panic!("{:?}", rig.carrier) };
        close(target.as_us_gal_per_ac(), 25.0);
        assert_eq!(rig.pumps.len(), 3);
        let Some(ProductRate::PerArea(rate)) = rig.pumps[0].first else { panic!("{:?}", rig.pumps[0]) };
        close(rate.as_us_fl_oz_per_ac(), 64.0);
        // A quart in 100 gal is 0.25 %.
        let Some(ProductRate::PerCarrier(rate)) = rig.pumps[2].first else { panic!("{:?}", rig.pumps[2]) };
        close(rate.as_percent(), 0.25);
        close(rig.specific_gravity, 1.0);
    }

    #[test]
    fn a_metric_rig_by_wheel_and_nozzles_comes_over_whole() {
        let view = view(DRAINAGE_ROAD_CARRIER, &[]);
        let rig = rig_of(&view);
        close(rig.boom_width().as_m(), 12.0);
        assert_eq!(rig.n_nozzles(), 24);
        close(rig.speed_sensor.unwrap().as_per_m(), 60.0 / 2.38);
        // By hand: 60 ÷ 2.38 × 100 = 2521.008 pulses on 100 m.
        assert!((keyed_course(&view).unwrap().number - 2521.008).abs() < 1e-3);
    }

    // An example that is refused as it stands taught the wrong lesson: the metric one's hold lifted its second rate by a
    // hair above the label where the window begins.
    #[test]
    fn no_example_is_refused_by_its_own_label() {
        for fields in [DITCH_BANK_TRUCK, DRAINAGE_ROAD_CARRIER] {
            let doses = calc::reach::doses::doses(&calc::reach::plan::Plan::new(rig_of(&view(fields, &[]))));
            assert!(doses.refused.is_empty(), "{:?}", doses.refused);
            assert!(doses.lines.iter().any(|line| line.label.is_some()));
        }
    }

    #[test]
    fn a_boom_with_one_unknown_width_is_not_known() {
        let rig = rig_of(&view(DITCH_BANK_TRUCK, &[("section.3.width", "measured;ft;")]));
        assert!(rig.sections.is_empty());
    }

    #[test]
    fn manual_carrier_and_heavy_liquid_come_over() {
        let changes = [
            ("carrier.mode", "manual"),
            ("carrier.pressure", "measured;psi;40"),
            ("carrier.specific_gravity", "measured;sg;1.28"),
        ];
        let rig = rig_of(&view(DITCH_BANK_TRUCK, &changes));
        let Some(Carrier::Manual(pressure)) = rig.carrier else { panic!("{:?}", rig.carrier) };
        close(pressure.as_psi(), 40.0);
        close(rig.specific_gravity, 1.28);
    }

    #[test]
    fn a_size_beside_the_table_follows_its_number() {
        // By hand: size 12 is twelve times 0.4 L/min.
        let rig = rig_of(&view(DITCH_BANK_TRUCK, &[("nozzle.iso", "stamped;;12")]));
        close(rig.nozzles.unwrap().rated_flow.as_l_per_min(), 4.8);
    }

    #[test]
    fn forms_follow_the_conventions() {
        let forms = forms_of(&view(DITCH_BANK_TRUCK, &[("speed.convention", "spacing:1000:cm")]));
        assert_eq!((forms.meter, forms.course), (Form::Counting, Form::Spacing));
    }
}
