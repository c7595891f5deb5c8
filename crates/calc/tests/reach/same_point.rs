//! The forward model of the standing run and the reach at the same operating point: one pressure, one carrier flow.

use calc::model::{Condition, ErrorFactors, ModelError, Motion, predict};
use calc::reach::expected::along;
use calc::reach::plan::{Plan, SectionSet};
use calc::rig::{Carrier, ProductRate, Rig, Section};
use calc::standing_run::{StandingRun, expect};
use proptest::prelude::*;
use units::{Duration, FlowRate, Length, Pressure, Quantity, Speed, VolumePerCarrier};

use crate::rigs::{gpa, mph, per_area, quillmere};

/// 1e-12 of the larger number, or of the sum that a difference was taken from.
fn same_of(sum: f64, a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * a.abs().max(b.abs()).max(sum)
}

fn same(a: f64, b: f64) -> bool {
    same_of(0.0, a, b)
}

proptest! {
    // The nozzles used to pass carrier alone in the one and products too in the other, 4 % of pressure apart at 2 % of product.
    #[test]
    fn one_rig_has_one_pressure(
        sections in prop::collection::vec((4.0..14.0_f64, 3..9_u32), 1..6),
        on in 1..32_u64,
        manual in any::<bool>(),
        rate in 5.0..60.0_f64,
        psi in 10.0..90.0_f64,
        sg in 0.8..1.4_f64,
        products in (1.0..200.0_f64, 0.05..4.0_f64),
        hold in prop::option::of(1.0..9.0_f64),
        v in 0.5..12.0_f64,
    ) {
        let section = |(ft, n_nozzles): (f64, u32)| Section { width: Length::from_ft(ft), n_nozzles };
        let mut rig = Rig {
            sections: sections.into_iter().map(section).collect(),
            carrier: Some(if manual { Carrier::Manual(Pressure::from_psi(psi)) } else { Carrier::Regulated(gpa(rate)) }),
            specific_gravity: sg,
            hold_speed: hold.map(mph),
            ..quillmere()
        };
        rig.pumps[0].first = per_area(products.0);
        rig.pumps[1].first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(products.1)));
        let n = rig.sections.len();
        let sections_on: SectionSet = (0..n).filter(|idx| on & (1 << idx) != 0).collect();
        prop_assume!(!sections_on.is_empty());
        let plan = Plan { sections_on, ..Plan::new(rig.clone()) };
        let here = along(&plan, [mph(v)])[0];
        for motion in [Motion::Standing, Motion::Driving] as [fn(Speed) -> Motion; 2] {
            let mut condition = Condition::all_on(&rig, motion(mph(v)));
            condition.sections_on = (0..n).map(|idx| sections_on.contains(idx)).collect();
            let said = predict(&rig, &ErrorFactors::none(&rig), &condition);
            // Where the products alone are more than the nozzles pass, neither says a carrier flow.
            if let Err(ModelError::NoCarrierLeft { .. }) = said {
                prop_assert!(manual && here.carrier_flow.is_none());
                continue;
            }
            let said = said.unwrap();
            prop_assert!(same(said.pressure.unwrap().as_si(), here.pressure.unwrap().as_si()));
            let products: f64 = said.actual.products.iter().flatten().map(|p| p.flow.as_si()).sum();
            let all = said.actual.flow.unwrap().as_si() + products;
            prop_assert!(same_of(all, said.actual.flow.unwrap().as_si(), here.carrier_flow.unwrap().as_si()));
            let of_one = all / f64::from(said.n_nozzles.unwrap());
            prop_assert!(same(of_one, here.nozzle_flow.unwrap().as_si()));
            if let Some(rate) = said.actual.rate {
                let all = here.total_rate.unwrap().as_si();
                prop_assert!(same_of(all, rate.as_si(), here.carrier_rate.unwrap().as_si()));
            }
            let run = StandingRun {
                rig: &rig,
                speed: mph(v),
                sections_on: condition.sections_on,
                doses: condition.doses,
                time: Duration::from_min(1.0),
            };
            let caught = expect(&run).unwrap().per_nozzle.unwrap();
            prop_assert!(same(FlowRate::from_l_per_min(caught.as_l()).as_si(), of_one));
        }
    }
}
