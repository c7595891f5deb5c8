//! Rigs that the tests share. The crews and rigs of the Quillmere Drainage District are invented.

use calc::rig::{Carrier, FlowMeter, InjectionPump, NozzleSet, ProductRate, Rig, Section, SupplyPump};
use units::{FlowRate, Length, Pressure, PulsesPerVolume, Share, Speed, VolumePerArea};

pub(crate) fn mph(v: f64) -> Speed {
    Speed::from_mph(v)
}

pub(crate) fn gpa(r: f64) -> VolumePerArea {
    VolumePerArea::from_us_gal_per_ac(r)
}

pub(crate) fn oz_per_ac(r: f64) -> VolumePerArea {
    VolumePerArea::from_us_fl_oz_per_ac(r)
}

pub(crate) fn oz_per_min(q: f64) -> FlowRate {
    FlowRate::from_us_fl_oz_per_min(q)
}

pub(crate) fn gpm(q: f64) -> FlowRate {
    FlowRate::from_us_gal_per_min(q)
}

pub(crate) fn per_area(r: f64) -> Option<ProductRate> {
    Some(ProductRate::PerArea(oz_per_ac(r)))
}

pub(crate) fn close(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

/// 0.4 gal/min at 40 psi, 15 to 60 psi.
pub(crate) fn nozzles() -> NozzleSet {
    NozzleSet {
        rated_flow: gpm(0.4),
        rated_pressure: Pressure::from_psi(40.0),
        least_pressure: Some(Pressure::from_psi(15.0)),
        greatest_pressure: Some(Pressure::from_psi(60.0)),
        spacing: Some(Length::from_in(20.0)),
    }
}

/// 33 ft in three sections of 11 ft, nozzles 20 in apart counted as 11 ft × 12 / 20 in = 6.6 (not counted, by spacing).
pub(crate) fn carrier_only() -> Rig {
    let section = Section { width: Length::from_ft(11.0), n_nozzles: 0 };
    Rig {
        sections: vec![section; 3],
        nozzles: Some(nozzles()),
        carrier: Some(Carrier::Regulated(gpa(20.0))),
        ..Rig::blank()
    }
}

/// The drainage district's first rig: 33 ft, 20 gal/ac, meter, supply pump, two pumps with Product A and Product B.
pub(crate) fn quillmere() -> Rig {
    let product_a = InjectionPump {
        least: Some(oz_per_min(2.0)),
        greatest: Some(oz_per_min(24.0)),
        first: per_area(16.0),
        second: per_area(40.0),
        nudge: Some(Share::from_percent(10.0)),
        label_greatest: Some(oz_per_ac(48.0)),
        ..InjectionPump::blank()
    };
    let product_b = InjectionPump {
        least: Some(oz_per_min(1.0)),
        greatest: Some(oz_per_min(16.0)),
        first: per_area(8.0),
        label_greatest: Some(oz_per_ac(12.0)),
        ..InjectionPump::blank()
    };
    Rig {
        meter: Some(FlowMeter {
            number: PulsesPerVolume::from_per_m3(190_000.0),
            least: Some(gpm(2.0)),
            greatest: Some(gpm(50.0)),
        }),
        supply: Some(SupplyPump {
            greatest: gpm(40.0),
            agitation: Share::from_percent(20.0),
            reserve: Share::from_percent(20.0),
        }),
        pumps: vec![product_a, product_b],
        top_speed: Some(mph(15.0)),
        ..carrier_only()
    }
}
