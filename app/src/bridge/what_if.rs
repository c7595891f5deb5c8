//! What a plan is changed to on the reach screen, and the text of that in an address, so that a reload, the back button
//! and the operator's card have the same plan.
//!
//! | part of the text  | meaning                                             |
//! |-------------------|-----------------------------------------------------|
//! | `r:30:us_gal_per_ac` | carrier rate that the console holds              |
//! | `p:40:psi`        | carrier left in manual at this pressure             |
//! | `s:1.3.5`         | sections that are on, from 1                        |
//! | `v:8.5:mph`       | speed looked at                                     |

use calc::reach::plan::{Plan, SectionSet};
use calc::rig::Carrier;
use units::{Pressure, PressureUnit, Quantity, Speed, SpeedUnit, Unit, VolumePerArea, VolumePerAreaUnit};

/// Changes to a plan; what is `None` stays as the rig has it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct WhatIf {
    /// How the carrier is run.
    pub(crate) carrier: Option<Carrier>,
    /// Which sections are on.
    pub(crate) sections_on: Option<SectionSet>,
    /// The speed looked at.
    pub(crate) speed: Option<Speed>,
}

impl WhatIf {
    /// What differs between a plan and the rig's own.
    pub(crate) fn between(own: &Plan, plan: &Plan, speed: Option<Speed>) -> Self {
        Self {
            carrier: plan.rig.carrier.filter(|carrier| own.rig.carrier != Some(*carrier)),
            sections_on: Some(plan.sections_on).filter(|set| own.sections_on != *set),
            speed,
        }
    }

    /// Changes a plan. Sections that the boom does not have are left out.
    pub(crate) fn apply(&self, plan: &mut Plan) {
        if let Some(carrier) = self.carrier {
            plan.rig.carrier = Some(carrier);
        }
        if let Some(set) = self.sections_on {
            let n = plan.rig.sections.len();
            plan.sections_on = set.iter().filter(|idx| *idx < n).collect();
        }
    }

    /// As it stands in an address; empty where nothing is changed.
    pub(crate) fn to_code(self, rate: VolumePerAreaUnit, pressure: PressureUnit, speed: SpeedUnit) -> String {
        let mut parts = Vec::new();
        match self.carrier {
            Some(Carrier::Regulated(value)) => parts.push(part("r", value, rate)),
            Some(Carrier::Manual(value)) => parts.push(part("p", value, pressure)),
            None => {}
        }
        if let Some(set) = self.sections_on {
            let numbers: Vec<String> = set.iter().map(|idx| (idx + 1).to_string()).collect();
            parts.push(format!("s:{}", numbers.join(".")));
        }
        if let Some(value) = self.speed {
            parts.push(part("v", value, speed));
        }
        parts.join(",")
    }

    /// Reads [`Self::to_code`]. A part that makes no sense is left out.
    pub(crate) fn from_code(code: &str) -> Self {
        let mut what_if = Self::default();
        for text in code.split(',') {
            let (key, rest) = text.split_once(':').unwrap_or((text, ""));
            match key {
                "r" => {
                    let rate = quantity::<VolumePerArea>(rest);
                    what_if.carrier = rate.map(Carrier::Regulated).or(what_if.carrier);
                }
                "p" => {
                    let pressure = quantity::<Pressure>(rest);
                    what_if.carrier = pressure.map(Carrier::Manual).or(what_if.carrier);
                }
                "s" => {
                    let numbers = rest.split('.').filter_map(|n| n.parse::<usize>().ok()?.checked_sub(1));
                    what_if.sections_on = Some(numbers.collect());
                }
                "v" => what_if.speed = quantity(rest),
                _ => {}
            }
        }
        what_if
    }
}

fn part<Q: Quantity>(key: &str, value: Q, unit: Q::Unit) -> String {
    // Sliders move in steps far above a millionth; digits beyond it come from converting there and back.
    let number = (value.in_unit(unit) * 1e6).round() / 1e6;
    format!("{key}:{number}:{}", unit.code())
}

fn quantity<Q: Quantity>(text: &str) -> Option<Q> {
    let (number, unit) = text.split_once(':')?;
    let number: f64 = number.parse().ok()?;
    let unit = Q::Unit::from_code(unit)?;
    (number.is_finite() && number > 0.0).then(|| Q::from_unit(number, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bridge::rig::rig_of;
    use records::examples::DITCH_BANK_TRUCK;
    use records::rig::RigView;
    use std::collections::BTreeMap;

    fn own() -> Plan {
        let texts: BTreeMap<String, String> =
            DITCH_BANK_TRUCK.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
        Plan::new(rig_of(&RigView::read(&texts)))
    }

    fn code(what_if: WhatIf) -> String {
        what_if.to_code(VolumePerAreaUnit::UsGallonPerAcre, PressureUnit::Psi, SpeedUnit::MilePerHour)
    }

    #[test]
    fn a_changed_plan_goes_through_an_address_and_back() {
        let own = own();
        let mut plan = own.clone();
        plan.rig.carrier = Some(Carrier::Regulated(VolumePerArea::from_us_gal_per_ac(30.0)));
        plan.sections_on = [0, 2, 4].into_iter().collect();
        let text = code(WhatIf::between(&own, &plan, Some(Speed::from_mph(8.5))));
        assert_eq!(text, "r:30:us_gal_per_ac,s:1.3.5,v:8.5:mph");
        let read = WhatIf::from_code(&text);
        let mut again = own.clone();
        read.apply(&mut again);
        assert_eq!(again.sections_on, plan.sections_on);
        let Some(Carrier::Regulated(rate)) = again.rig.carrier else { panic!("{:?}", again.rig.carrier) };
        assert!((rate.as_us_gal_per_ac() - 30.0).abs() < 1e-9);
        assert!((read.speed.unwrap().as_mph() - 8.5).abs() < 1e-9);
    }

    #[test]
    fn the_rigs_own_plan_needs_no_text() {
        let own = own();
        assert_eq!(code(WhatIf::between(&own, &own.clone(), None)), "");
        assert_eq!(WhatIf::from_code(""), WhatIf::default());
    }

    #[test]
    fn manual_and_no_section_at_all_are_kept() {
        let own = own();
        let mut plan = own.clone();
        plan.rig.carrier = Some(Carrier::Manual(Pressure::from_psi(40.0)));
        plan.sections_on = SectionSet::none();
        let text = code(WhatIf::between(&own, &plan, None));
        assert_eq!(text, "p:40:psi,s:");
        let mut again = own;
        WhatIf::from_code(&text).apply(&mut again);
        assert!(again.sections_on.is_empty());
        assert!(matches!(again.rig.carrier, Some(Carrier::Manual(_))));
    }

    #[test]
    fn an_address_that_someone_bent_changes_nothing_or_what_makes_sense() {
        for text in ["r:-5:us_gal_per_ac", "r:abc:psi", "r:30:psi", "v:NaN:mph", "p:inf:psi", "x", "r", ",,"]
        {
            assert_eq!(WhatIf::from_code(text), WhatIf::default(), "{text}");
        }
        let mut plan = own();
        WhatIf::from_code("s:0.2.99.400.two").apply(&mut plan);
        assert_eq!(plan.sections_on.iter().collect::<Vec<_>>(), [1]);
    }
}
