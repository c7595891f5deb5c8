//! Windows by number of sections and the smallest set at a speed, also against trying every set.

use calc::reach::plan::{Limit, Plan, RateInForce, SectionSet};
use calc::reach::sections::{Smallest, by_count, smallest_at};
use calc::reach::window::{Window, window_with};
use calc::rig::{Carrier, Section};
use proptest::prelude::*;
use units::{Length, Pressure};

use crate::rigs::{carrier_only, close, mph, oz_per_min, quillmere};

fn plan_of(feet: &[f64]) -> Plan {
    let mut rig = quillmere();
    rig.sections = feet.iter().map(|ft| Section { width: Length::from_ft(*ft), n_nozzles: 0 }).collect();
    Plan::new(rig)
}

fn ft(plan: &Plan, set: SectionSet) -> f64 {
    set.iter().map(|idx| plan.rig.sections[idx].width.as_ft()).sum()
}

fn every_set(n: usize) -> impl Iterator<Item = SectionSet> {
    (1_u32..1 << n).map(move |bits| (0..n).filter(|idx| bits & (1 << idx) != 0).collect())
}

#[test]
fn from_all_sections_to_the_narrowest_alone() {
    let plan = plan_of(&[8.0, 12.0, 6.0, 12.0, 8.0]);
    let counts = by_count(&plan);
    assert_eq!(counts.iter().map(|c| c.n_on).collect::<Vec<_>>(), [5, 4, 3, 2, 1]);
    let widths: Vec<(f64, f64)> =
        counts.iter().map(|c| (c.narrowest.width.as_ft().round(), c.widest.width.as_ft().round())).collect();
    assert_eq!(widths, [(46.0, 46.0), (34.0, 40.0), (22.0, 32.0), (14.0, 24.0), (6.0, 12.0)]);
    let one = counts[4];
    assert_eq!(one.narrowest.sections_on, SectionSet::none().with(2));
    // 14.4 fl oz/ac on 6 ft, 2 fl oz/min at least: 495 × 2 / (14.4 × 6) mph, more than the nozzles allow.
    let Window::Empty { needs, allows } = one.narrowest.window else { panic!() };
    close(needs.end.speed.as_mph(), 990.0 / 86.4, 1e-9);
    assert_eq!(
        needs.limit,
        Limit::Pump { pump_idx: 0, rate: RateInForce { presses: -1, ..RateInForce::FIRST } }
    );
    assert_eq!(allows.limit, Limit::NozzlePressure);
    // 12 ft: 5.73 mph, inside.
    close(one.widest.window.low().unwrap().as_mph(), 990.0 / (14.4 * 12.0), 1e-9);
    // Any one section: the narrowest has no window, so there is none.
    assert_eq!(one.any_set, one.narrowest.window);
}

#[test]
fn the_smallest_set_at_a_speed() {
    let plan = plan_of(&[8.0, 12.0, 6.0, 12.0, 8.0]);
    let smallest = |v: f64| match smallest_at(&plan, mph(v)) {
        Smallest::Set { set, all_tried: true } => set.sections_on.iter().collect::<Vec<_>>(),
        other => panic!("{other:?}"),
    };
    // 990 / (14.4 v) ft: 9.82 ft at 7 mph, so 12; 13.75 at 5 mph, so 6 + 8; 18.1 at 3.8 mph, so 6 + 12 is just too narrow
    // and 8 + 12 is next.
    assert_eq!(smallest(7.0), [1]);
    assert_eq!(smallest(5.0), [0, 2]);
    assert_eq!(smallest(3.8), [0, 1]);
    // Too fast for the nozzles whatever is on; the second pump (30 at 46 ft: 21 mph) is not to blame.
    let Smallest::NoSet { broken, all_tried: true } = smallest_at(&plan, mph(8.0)) else { panic!() };
    assert!(broken.contains(&Limit::NozzlePressure));
    assert!(!broken.iter().any(|limit| matches!(limit, Limit::Pump { pump_idx: 1, .. })));
}

/// So many sections, each wider than the last, with the first pump's least output alone to say how wide a set must be: at
/// least 990 / (14.4 v) ft.
fn one_limit(feet: &[f64]) -> Plan {
    let mut plan = plan_of(feet);
    plan.rig.pumps.truncate(1);
    (plan.rig.pumps[0].greatest, plan.rig.supply, plan.rig.meter) = (None, None, None);
    plan.rig.nozzles = None;
    plan
}

// 5.0, 5.1 … 6.9 ft and at least 13.75 ft: two sections give 13.7 at most, three 5.0 + 5.1 + 5.2 = 15.3 at least.
#[test]
fn twenty_different_sections_are_searched_exactly() {
    let feet: Vec<f64> = (0..20).map(|k| 5.0 + f64::from(k) * 0.1).collect();
    let Smallest::Set { set, all_tried: true } = smallest_at(&one_limit(&feet), mph(5.0)) else { panic!() };
    close(set.width.as_ft(), 15.3, 1e-9);
    assert_eq!(set.sections_on, [0, 1, 2].into_iter().collect());
}

// Thirty sections of 6 ft and six of 4 ft; at least 41.25 ft at 5/3 mph: 42 ft is the next even number.
#[test]
fn thirty_six_sections_of_few_kinds_are_searched_exactly() {
    let feet: Vec<f64> = (0..36).map(|k| if k % 6 == 0 { 4.0 } else { 6.0 }).collect();
    let Smallest::Set { set, all_tried: true } = smallest_at(&one_limit(&feet), mph(5.0 / 3.0)) else {
        panic!()
    };
    close(set.width.as_ft(), 42.0, 1e-9);
    // Seven times 6 ft, and not three times 6 and six times 4.
    assert_eq!(set.sections_on.count(), 7);
}

#[test]
fn very_many_different_sections_are_not_all_tried() {
    let feet: Vec<f64> = (1..=36).map(|k| 3.0 + f64::from(k).sqrt()).collect();
    let plan = one_limit(&feet);
    let Smallest::Set { set, all_tried } = smallest_at(&plan, mph(1.0)) else { panic!() };
    assert!(!all_tried);
    // 68.75 ft at least, and no farther above than the difference of two neighbours.
    assert!((68.75..69.2).contains(&set.width.as_ft()), "{}", set.width.as_ft());
    assert!(window_with(&plan, set.sections_on).window.contains(mph(1.0)));
}

fn carriers() -> impl Strategy<Value = Carrier> {
    prop_oneof![
        (8.0..30.0_f64).prop_map(|r| Carrier::Regulated(crate::rigs::gpa(r))),
        (15.0..60.0_f64).prop_map(|p| Carrier::Manual(Pressure::from_psi(p))),
    ]
}

/// Booms whose sections differ in width, some of them also in nozzles per width.
fn booms() -> impl Strategy<Value = Vec<Section>> {
    prop::collection::vec((4.0..14.0_f64, 0..3_u32), 1..7).prop_map(|sections| {
        let section = |(ft, extra): (f64, u32)| {
            let n_nozzles = (ft * 12.0 / 20.0).round() as u32 + extra;
            Section { width: Length::from_ft(ft), n_nozzles }
        };
        sections.into_iter().map(section).collect()
    })
}

proptest! {
    #[test]
    fn any_set_holds_what_every_set_holds(sections in booms(), carrier in carriers(), part in 0.0..1.0_f64) {
        let mut plan = Plan::new(quillmere());
        plan.rig.sections = sections;
        plan.rig.carrier = Some(carrier);
        plan.sections_on = SectionSet::all(plan.rig.sections.len());
        for count in by_count(&plan) {
            let sets = || every_set(plan.rig.sections.len()).filter(|set| set.count() == count.n_on);
            let windows: Vec<Window> = sets().map(|set| window_with(&plan, set).window).collect();
            if count.any_set.is_open() {
                let (lo, hi) = (count.any_set.low().unwrap_or(mph(0.1)), count.any_set.high().unwrap_or(mph(30.0)));
                let v = mph(lo.as_mph() * (1.0 - part) + hi.as_mph() * part);
                for window in &windows {
                    prop_assert!(window.contains(v), "{v:?} {window:?}");
                }
            }
            // With the rate held it is also no narrower than need be: both ends belong to some set.
            if matches!(carrier, Carrier::Regulated(_)) {
                let most = windows.iter().filter_map(Window::low).fold(mph(0.0), |a, b| if b > a { b } else { a });
                let least = windows.iter().filter_map(Window::high).fold(mph(99.0), |a, b| if b < a { b } else { a });
                if windows.iter().all(Window::is_open) && most < least {
                    close(count.any_set.low().unwrap().as_mph() / most.as_mph(), 1.0, 1e-9);
                    close(count.any_set.high().unwrap().as_mph() / least.as_mph(), 1.0, 1e-9);
                }
            }
        }
    }

    #[test]
    fn no_narrower_set_works(sections in booms(), carrier in carriers(), v in 2.0..9.0_f64, least in 0.5..8.0_f64) {
        let mut plan = Plan::new(quillmere());
        plan.rig.sections = sections;
        plan.rig.carrier = Some(carrier);
        plan.rig.pumps[0].least = Some(oz_per_min(least));
        let v = mph(v);
        let works = |set: &SectionSet| window_with(&plan, *set).window.contains(v);
        let narrowest = every_set(plan.rig.sections.len())
            .filter(works)
            .map(|set| ft(&plan, set))
            .fold(f64::INFINITY, f64::min);
        match smallest_at(&plan, v) {
            Smallest::Set { set, all_tried } => {
                prop_assert!(all_tried && works(&set.sections_on));
                close(set.width.as_ft(), narrowest, 1e-9);
                prop_assert_eq!(set.window, window_with(&plan, set.sections_on).window);
            }
            Smallest::NoSet { all_tried, .. } => prop_assert!(all_tried && narrowest.is_infinite()),
            Smallest::Unknown => prop_assert!(false),
        }
    }
}

#[test]
fn nozzles_that_differ_between_sections() {
    // 10 ft with 6 and with 5 nozzles: the sparser section needs more from each nozzle.
    let mut rig = carrier_only();
    rig.sections = [6, 5].map(|n_nozzles| Section { width: Length::from_ft(10.0), n_nozzles }).to_vec();
    let counts = by_count(&Plan::new(rig));
    let fastest = |n: f64| 5940.0 * 0.4 * 1.5_f64.sqrt() / (20.0 * 120.0 / n);
    // Both on share the pressure: 240 in over 11 nozzles.
    close(counts[0].any_set.high().unwrap().as_mph(), fastest(5.5), 1e-9);
    close(counts[1].any_set.high().unwrap().as_mph(), fastest(5.0), 1e-9);
    close(counts[1].any_set.low().unwrap().as_mph(), fastest(6.0) / 2.0, 1e-9);
}
