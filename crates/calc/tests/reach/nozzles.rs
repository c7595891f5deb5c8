//! Nozzle choice and droplet tables.

use calc::nozzle::flow_at_pressure;
use calc::reach::nozzle_choice::DropletClass::{Coarse, Fine, Medium};
use calc::reach::nozzle_choice::{
    Candidate, Choice, DropletTable, Droplets, Fit, OwnSet, Wanted, nozzle_choice,
};
use calc::reach::plan::Plan;
use calc::reach::proven::{Proof, Proven};
use calc::reach::window::window;
use calc::rig::{Carrier, NozzleSet, Rig, Section};
use units::{FlowRate, Length, Pressure, Share, Speed, VolumePerArea};

use crate::rigs::{carrier_only, close, gpa, mph, nozzles, quillmere};

fn metric() -> Plan {
    let section = Section { width: Length::from_m(12.0), n_nozzles: 24 };
    Plan::new(Rig { sections: vec![section; 2], ..Rig::blank() })
}

fn wanted(l_per_ha: f64, from: f64, to: f64) -> Wanted {
    Wanted {
        rate: VolumePerArea::from_l_per_ha(l_per_ha),
        slowest: Speed::from_km_per_h(from),
        fastest: Speed::from_km_per_h(to),
    }
}

fn bar(lo: f64, hi: f64) -> (Option<Pressure>, Option<Pressure>) {
    (Some(Pressure::from_bar(lo)), Some(Pressure::from_bar(hi)))
}

fn fits(
    plan: &Plan,
    wanted: Wanted,
    window: (Option<Pressure>, Option<Pressure>),
) -> Vec<(&'static str, Fit)> {
    let name = |choice: &Choice| match choice.candidate {
        Candidate::Nominal(size) => Some((size.number, choice.fit)),
        _ => None,
    };
    nozzle_choice(plan, wanted, window, &[], 2).choices.iter().filter_map(name).collect()
}

// 120 L/ha on 50 cm: 0.8 L/min at 8 km/h, 1.2 at 12, 1.6 at 16. A window from 1 to 4 bar carries 0.577 to 1.155 times the
// flow at 3 bar (ISO 10625, from memory).
#[test]
fn sizes_for_a_range_of_speeds() {
    let fits = fits(&metric(), wanted(120.0, 8.0, 16.0), bar(1.0, 4.0));
    let of = |number: &str| fits.iter().find(|(n, _)| *n == number).map(|(_, fit)| *fit).unwrap();
    // 015: 0.693 at most, less than 0.8. 15: 3.46 at least, more than 1.6.
    assert_eq!(of("015"), Fit::TooSmall);
    assert_eq!(of("15"), Fit::TooLarge);
    // 02: 0.46 to 0.924 L/min. 04: 0.924 to 1.848, so from 9.24 km/h on.
    let Fit::Part { from, to } = of("02") else { panic!() };
    close(from.as_km_per_h(), 8.0, 1e-9);
    close(to.as_km_per_h(), 8.0 * (4.0_f64 / 3.0).sqrt(), 1e-9);
    let Fit::Part { from, to } = of("04") else { panic!() };
    close(from.as_km_per_h(), 16.0 / 3.0_f64.sqrt(), 1e-9);
    close(to.as_km_per_h(), 16.0, 1e-9);
    // A wider window, 1 to 6 bar, and only up to 12 km/h: 03 from 0.693 to 1.697.
    let fits = self::fits(&metric(), wanted(120.0, 8.0, 12.0), bar(1.0, 6.0));
    let whole: Vec<&str> = fits.iter().filter(|(_, fit)| *fit == Fit::Whole).map(|(n, _)| *n).collect();
    assert_eq!(whole, ["025", "03"]);
}

#[test]
fn an_unknown_end_is_not_taken_for_a_fit() {
    let wanted = wanted(120.0, 8.0, 12.0);
    let of = |window| fits(&metric(), wanted, window).iter().find(|(n, _)| *n == "03").map(|(_, fit)| *fit);
    let (lo, hi) = bar(1.0, 6.0);
    assert_eq!(of((None, None)), Some(Fit::Unknown));
    assert_eq!(of((lo, None)), Some(Fit::Unknown));
    assert_eq!(of((None, hi)), Some(Fit::Unknown));
    assert_eq!(of((lo, hi)), Some(Fit::Whole));
    // What the known end forbids is forbidden all the same. 1.2 L/min at 0.5 bar are 0.49.
    assert_eq!(of((None, Some(Pressure::from_bar(0.5)))), Some(Fit::TooSmall));
    // A window from no pressure at all is a known one.
    assert_eq!(of((Some(Pressure::from_bar(0.0)), hi)), Some(Fit::Whole));
}

#[test]
fn pressures_give_the_rate_back() {
    let mut plan = Plan::new(quillmere());
    plan.rig.specific_gravity = 1.28;
    let own = OwnSet { nozzles: NozzleSet { spacing: None, ..nozzles() }, droplets: None };
    let wanted = Wanted { rate: gpa(15.0), slowest: mph(4.0), fastest: mph(9.0) };
    let choices = nozzle_choice(&plan, wanted, bar(1.0, 5.0), &[own], 6).choices;
    assert_eq!(choices.len(), 14);
    for choice in &choices {
        assert_eq!(choice.points.len(), 6);
        for (k, point) in choice.points.iter().enumerate() {
            close(point.speed.as_mph(), 4.0 + k as f64, 1e-9);
            let set = choice.nozzles;
            let q = flow_at_pressure(set.rated_flow, set.rated_pressure, point.pressure, 1.28).unwrap();
            // 15 gal/ac of carrier and 16 + 8 fl oz/ac of product, 20 in: gal/min = gal/ac × mph × 20 / 5940.
            let rate = q.as_us_gal_per_min() * 5940.0 / (point.speed.as_mph() * 20.0);
            close(rate, 15.0 + 24.0 / 128.0, 1e-9);
        }
    }
}

#[test]
fn own_sets_have_their_own_windows_and_droplets() {
    // A made-up table.
    let psi = Pressure::from_psi;
    let rows = vec![(psi(60.0), Fine), (psi(20.0), Coarse), (psi(30.0), Medium), (psi(40.0), Medium)];
    let own = OwnSet { nozzles: nozzles(), droplets: DropletTable::new(rows).ok() };
    let row = |p: f64| own.droplets.as_ref().map(|table| table.at(psi(p)));
    assert_eq!(row(20.0), Some(Droplets::Class(Coarse)));
    assert_eq!(row(60.0), Some(Droplets::Class(Fine)));
    let plan = Plan::new(carrier_only());
    // 20 gal/ac: 40 psi at 5.94 mph, so 5.94·√(P/40): 10, 20, 25, 35, 50 and 70 psi.
    let at = |p: f64| {
        let v = mph(5.94 * (p / 40.0_f64).sqrt());
        let wanted = Wanted { rate: gpa(20.0), slowest: v, fastest: v };
        let choices = nozzle_choice(&plan, wanted, (None, None), std::slice::from_ref(&own), 1).choices;
        let choice = choices.last().unwrap().clone();
        assert_eq!(choice.candidate, Candidate::Own(0));
        close(choice.points[0].pressure.as_psi(), p, 1e-9);
        (choice.fit, choice.points[0].inside_window, choice.points[0].droplets)
    };
    assert_eq!(at(10.0), (Fit::TooLarge, Some(false), Some(Droplets::Outside)));
    assert_eq!(at(25.0), (Fit::Whole, Some(true), Some(Droplets::Between(Coarse, Medium))));
    assert_eq!(at(35.0), (Fit::Whole, Some(true), Some(Droplets::Class(Medium))));
    assert_eq!(at(50.0), (Fit::Whole, Some(true), Some(Droplets::Between(Medium, Fine))));
    assert_eq!(at(70.0), (Fit::TooSmall, Some(false), Some(Droplets::Outside)));
}

#[test]
fn the_set_on_the_rig_agrees_with_the_window() {
    let plan = Plan {
        proven: Proven { nozzle_flow: Some(Proof::known(Share::from_percent(1.0))), ..Proven::default() },
        ..Plan::new(carrier_only())
    };
    let own = OwnSet { nozzles: nozzles(), droplets: None };
    let wanted = Wanted { rate: gpa(20.0), slowest: mph(4.0), fastest: mph(7.0) };
    let choices = nozzle_choice(&plan, wanted, (None, None), &[own], 2).choices;
    let own = choices.last().unwrap();
    let reach = window(&plan);
    assert_eq!((own.slowest, own.fastest), (reach.window.low(), reach.window.high()));
}

#[test]
fn a_size_may_be_chosen_before_any_nozzle_or_carrier_is_described() {
    let mut plan = metric();
    plan.rig.carrier = Some(Carrier::Manual(Pressure::from_bar(3.0)));
    let choices = nozzle_choice(&plan, wanted(120.0, 8.0, 12.0), bar(1.0, 6.0), &[], 1);
    assert!(choices.choices.iter().any(|c| c.fit == Fit::Whole));
    assert!(!choices.problems.contains(&calc::reach::plan::Problem::NoNozzleSet));
    close(choices.water_rate.unwrap().as_l_per_ha(), 120.0, 1e-9);
    // The window of each size is a flow window: 1.2 L/min × √2 at 6 bar for an 03.
    let size_03 =
        choices.choices.iter().find(|c| c.nozzles.rated_flow == FlowRate::from_l_per_min(1.2)).unwrap();
    close(size_03.fastest.unwrap().as_km_per_h(), 12.0 * 2.0_f64.sqrt(), 1e-9);
}
