//! Single changes that make a plan work.

use calc::reach::doses::doses;
use calc::reach::make_it_work::{Change, Goal, Outcome, Steps, Suggestion, make_it_work};
use calc::reach::nozzle_choice::{Candidate, OwnSet};
use calc::reach::plan::{Plan, RateInForce, SectionSet, WhichRate};
use calc::reach::window::{Window, window};
use calc::rig::{Carrier, InjectionPump, NozzleSet, ProductRate, Section};
use proptest::prelude::*;
use units::{Length, Pressure, Quantity, Share, Speed, VolumePerArea, VolumePerCarrier};

use crate::rigs::{carrier_only, close, gpa, gpm, mph, nozzles, oz_per_ac, oz_per_min, per_area, quillmere};

fn any(breadth: f64) -> Goal {
    Goal { speeds: None, breadth: mph(breadth) }
}

fn between(slowest: f64, fastest: f64) -> Goal {
    Goal { speeds: Some((mph(slowest), mph(fastest))), breadth: mph(0.0) }
}

fn steps() -> Steps {
    Steps {
        carrier: gpa(0.5),
        pressure: Pressure::from_psi(5.0),
        product: Share::from_percent(1.0),
        speed: mph(0.5),
    }
}

/// Every suggestion must do what it says, whoever computes it.
fn changes(plan: &Plan, goal: Goal, own: &[OwnSet]) -> Vec<Suggestion> {
    let Outcome::Changes(changes) = make_it_work(plan, goal, steps(), own) else { panic!() };
    for suggestion in &changes {
        check_works(suggestion, goal);
    }
    changes
}

fn check_works(suggestion: &Suggestion, goal: Goal) {
    let reach = window(&suggestion.plan);
    assert_eq!(reach.window, suggestion.window);
    let Window::Open { .. } = reach.window else { panic!("{:?}", suggestion.change) };
    let (low, high) = (
        reach.window.low().map_or(0.0, Speed::as_mph),
        reach.window.high().map_or(f64::INFINITY, Speed::as_mph),
    );
    assert!(high - low >= goal.breadth.as_mph() * (1.0 - 1e-8), "{:?}", suggestion.change);
    if let (Some((slowest, fastest)), false) =
        (goal.speeds, matches!(suggestion.change, Change::Drive { .. }))
    {
        assert!(low <= slowest.as_mph() * (1.0 + 1e-8), "{:?}", suggestion.change);
        assert!(fastest.as_mph() <= high * (1.0 + 1e-8), "{:?}", suggestion.change);
    }
    assert!(doses(&suggestion.plan).refused.is_empty(), "{:?}", suggestion.change);
}

fn carrier_rates(changes: &[Suggestion]) -> Vec<f64> {
    let rate = |s: &Suggestion| match s.change {
        Change::CarrierRate { to, .. } => Some((to.as_us_gal_per_ac() * 1e6).round() / 1e6),
        _ => None,
    };
    changes.iter().filter_map(rate).collect()
}

fn sizes(changes: &[Suggestion]) -> Vec<&'static str> {
    let size = |s: &Suggestion| match s.change {
        Change::Nozzles { candidate: Candidate::Nominal(size), .. } => Some(size.number),
        _ => None,
    };
    changes.iter().filter_map(size).collect()
}

#[test]
fn a_plan_that_works_needs_nothing() {
    assert_eq!(make_it_work(&Plan::new(quillmere()), any(1.0), steps(), &[]), Outcome::Works);
}

// Carrier alone, 20 gal/ac on 20 in from 0.4 gal/min at 40 psi, 15 to 60 psi: 3.64 to 7.27 mph.
#[test]
fn too_fast_for_the_nozzles() {
    let plan = Plan::new(carrier_only());
    let changes = changes(&plan, between(8.0, 12.0), &[]);
    // At most 0.4·√1.5 = 0.4899 gal/min: 5940 × 0.4899 / (12 × 20) = 12.12 gal/ac; at 8 mph not below 15 psi: 9.09.
    assert_eq!(carrier_rates(&changes), [12.0]);
    // 0.8081 gal/min at 12 mph; 0.5387 at 8 mph. The window carries 0.6124 to 1.2247 of the flow at 40 psi. An 06 (2.4 L/min
    // at 3 bar, 0.6081 gal/min at 40 psi) stops at 0.745, an 08 (0.8108) goes from 0.4965 to 0.993. Sizes from memory.
    assert_eq!(sizes(&changes), ["08"]);
    // Or slower than wanted.
    let drive = changes.iter().find_map(|s| match s.change {
        Change::Drive { slowest, fastest } => slowest.zip(fastest),
        _ => None,
    });
    let (slowest, fastest) = drive.unwrap();
    close(slowest.as_mph(), 5.94 * (15.0_f64 / 40.0).sqrt(), 1e-9);
    close(fastest.as_mph(), 5.94 * 1.5_f64.sqrt(), 1e-9);
}

#[test]
fn a_rate_between_the_steps_goes_to_the_nearest_step() {
    let mut rig = carrier_only();
    rig.carrier = Some(Carrier::Regulated(gpa(12.3)));
    // At most 12.12 gal/ac at 12 mph, as above.
    assert_eq!(carrier_rates(&changes(&Plan::new(rig.clone()), between(8.0, 12.0), &[])), [12.0]);
    // At least 9.09 at 8 mph.
    rig.carrier = Some(Carrier::Regulated(gpa(9.05)));
    assert_eq!(carrier_rates(&changes(&Plan::new(rig), between(8.0, 12.0), &[])), [9.5]);
}

#[test]
fn an_own_set_counts_like_a_nominal_size() {
    let own =
        OwnSet { nozzles: NozzleSet { rated_flow: gpm(0.8), spacing: None, ..nozzles() }, droplets: None };
    let changes = changes(&Plan::new(carrier_only()), between(8.0, 12.0), &[own]);
    let set = changes.iter().find_map(|s| match s.change {
        Change::Nozzles { candidate, .. } => Some(candidate),
        _ => None,
    });
    // 0.8 lies nearer to 0.4 than the 0.8108 of an 08.
    assert_eq!(set, Some(Candidate::Own(0)));
}

// Only the middle section of three: the first pump cannot go below 2 fl oz/min.
#[test]
fn too_few_sections() {
    let mut plan = Plan::new(quillmere());
    plan.rig.pumps.truncate(1);
    plan.sections_on = SectionSet::none().with(1);
    // 3 × 30 / 14.4 = 6.25 mph at least, 5.0 wanted; two sections do from 3.125 on, below the nozzles' 3.57.
    let changes = changes(&plan, between(5.0, 7.0), &[]);
    let sections = changes.iter().find_map(|s| match s.change {
        Change::Sections { to, .. } => Some(to),
        _ => None,
    });
    assert_eq!(sections.map(SectionSet::count), Some(2));
    assert!(sections.unwrap().contains(1));
    // Without the nudge down 3 × 30 / 16 = 5.625 is still too fast.
    assert!(!changes.iter().any(|s| matches!(s.change, Change::WithoutNudge { pump_idx: 0 })));
    // A pump that goes down to 14.4 × 5 × 11 / 495 fl oz/min would do: 1.6; above, 44 × 7 × 11/495 = 6.844.
    let range = changes.iter().find_map(|s| match s.change {
        Change::PumpRange { pump_idx: 0, least, greatest } => least.zip(greatest),
        _ => None,
    });
    let (least, greatest) = range.unwrap();
    close(least.as_us_fl_oz_per_min(), 1.6, 1e-9);
    close(greatest.as_us_fl_oz_per_min(), 44.0 * 7.0 * 11.0 / 495.0, 1e-9);
}

// The second rate runs out: 15 × 12 / 44 = 4.09 mph, 5 to 7 wanted.
#[test]
fn a_pump_that_runs_out() {
    let mut plan = Plan::new(quillmere());
    plan.rig.pumps[0].greatest = Some(oz_per_min(12.0));
    plan.rig.pumps.push(InjectionPump {
        least: Some(oz_per_min(2.0)),
        greatest: Some(oz_per_min(30.0)),
        ..InjectionPump::blank()
    });
    let changes = changes(&plan, between(5.0, 7.0), &[]);
    assert!(changes.iter().any(|s| s.change == Change::SwapProducts { pump_idx: 0, with_pump_idx: 2 }));
    // The first rate needs 17.6 × 7 / 15 = 8.2, so without the second rate the pump is large enough.
    assert!(changes.iter().any(|s| s.change == Change::WithoutSecond { pump_idx: 0 }));
    // 12 × 15 / 7 / 1.1 = 23.377 fl oz/ac is the most for a second rate with its nudge: 58 % of 40 is 23.2.
    let to = changes.iter().find_map(|s| match s.change {
        Change::ProductRate {
            pump_idx: 0, which: WhichRate::Second, to: ProductRate::PerArea(to), ..
        } => Some(to),
        _ => None,
    });
    close(to.unwrap().as_us_fl_oz_per_ac(), 23.2, 1e-9);
    // Two of three sections: 18 × 15 / 44 = 6.14 is too little, one: 12.3 would do, but 6.25 is then its least speed.
    assert!(!changes.iter().any(|s| matches!(s.change, Change::Sections { .. })));
}

#[test]
fn a_refused_plan_is_mended_below_the_label() {
    // Held at 6 mph the second rate passes 48 below 5 (5.5 nudged) mph, inside the window.
    let mut plan = Plan::new(quillmere());
    plan.rig.hold_speed = Some(mph(6.0));
    plan.rig.pumps.truncate(1);
    let changes = changes(&plan, any(1.0), &[]);
    // The window begins at 3.57: hold ≤ 3.57 × 48/44 = 3.90, 3.5 on steps of a half.
    let hold = changes.iter().find_map(|s| match s.change {
        Change::HoldSpeed { to, .. } => to,
        _ => None,
    });
    close(hold.unwrap().as_mph(), 3.5, 1e-9);
    // Or a second rate of at most 48 × 3.57 / 6 / 1.1.
    let low = window(&plan).window.low().unwrap().as_mph();
    let to = changes.iter().find_map(|s| match s.change {
        Change::ProductRate { which: WhichRate::Second, to: ProductRate::PerArea(to), .. } => Some(to),
        _ => None,
    });
    let to = to.unwrap().as_us_fl_oz_per_ac();
    assert!(to * 1.1 * 6.0 / low <= 48.0 * 1.01 && (to + 0.8) * 1.1 * 6.0 / low > 48.0);
}

#[test]
fn raising_a_rate_stops_at_the_label() {
    // The pump gives at least 6 fl oz/min: 15 × 6 / 14.4 = 6.25 mph on the first rate nudged down, 4 wanted. A higher first
    // rate would help, 6 × 15 / 4 / 0.9 = 25; the label allows 20.
    let mut plan = Plan::new(quillmere());
    plan.rig.pumps.truncate(1);
    let pump = &mut plan.rig.pumps[0];
    (pump.least, pump.second, pump.label_greatest) = (Some(oz_per_min(6.0)), None, Some(oz_per_ac(20.0)));
    let raised = |plan: &Plan| {
        changes(plan, between(4.0, 6.0), &[]).iter().any(|s| matches!(s.change, Change::ProductRate { .. }))
    };
    assert!(!raised(&plan));
    plan.rig.pumps[0].label_greatest = Some(oz_per_ac(28.0));
    assert!(raised(&plan));
    // Without a label nothing is raised.
    plan.rig.pumps[0].label_greatest = None;
    assert!(!raised(&plan));
}

#[test]
fn supply_meter_and_top_speed() {
    let mut plan = Plan::new(quillmere());
    if let Some(supply) = &mut plan.rig.supply {
        supply.greatest = gpm(14.0);
    }
    // 60 % of 14 is 8.4 gal/min, 15 × 8.4 / 20 = 6.3 mph. At 7 mph 9.333 are needed, a pump of 15.556.
    let supply = changes(&plan, between(4.0, 7.0), &[]).iter().find_map(|s| match s.change {
        Change::SupplyFlow { greatest } => Some(greatest),
        _ => None,
    });
    close(supply.unwrap().as_us_gal_per_min(), 20.0 * 7.0 / 15.0 / 0.6, 1e-9);

    let mut plan = Plan::new(quillmere());
    if let Some(meter) = &mut plan.rig.meter {
        meter.greatest = Some(gpm(9.0));
    }
    let meter = changes(&plan, between(4.0, 7.0), &[]).iter().find_map(|s| match s.change {
        Change::MeterRange { least, greatest } => least.zip(greatest),
        _ => None,
    });
    close(meter.unwrap().0.as_us_gal_per_min(), 20.0 * 4.0 / 15.0, 1e-9);
    close(meter.unwrap().1.as_us_gal_per_min(), 20.0 * 7.0 / 15.0, 1e-9);

    let mut plan = Plan::new(quillmere());
    plan.rig.top_speed = Some(mph(5.0));
    let top = changes(&plan, between(4.0, 6.7), &[]).iter().find_map(|s| match s.change {
        Change::TopSpeed { to, .. } => Some(to),
        _ => None,
    });
    close(top.unwrap().as_mph(), 7.0, 1e-9);
}

#[test]
fn a_carrier_in_manual_gets_another_pressure() {
    let mut rig = carrier_only();
    rig.carrier = Some(Carrier::Manual(Pressure::from_psi(72.0)));
    let changes = changes(&Plan::new(rig), any(0.0), &[]);
    let psi = changes.iter().find_map(|s| match s.change {
        Change::ManualPressure { to, .. } => Some(to.as_psi()),
        _ => None,
    });
    close(psi.unwrap(), 60.0, 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    // No carrier rate on the same steps lies nearer and works as well.
    #[test]
    fn the_nearest_rate_that_works(
        rate in 5.0..60.0_f64,
        slowest in 3.0..9.0_f64,
        wider in 0.0..2.0_f64,
        least in 1.0..6.0_f64,
        hold in prop::option::of(1.0..8.0_f64),
    ) {
        let mut plan = Plan::new(quillmere());
        plan.rig.carrier = Some(Carrier::Regulated(gpa(rate)));
        plan.rig.pumps[0].least = Some(oz_per_min(least));
        plan.rig.hold_speed = hold.map(mph);
        let goal = between(slowest, slowest + wider);
        let Outcome::Changes(found) = make_it_work(&plan, goal, steps(), &[]) else { return Ok(()) };
        for suggestion in &found {
            check_works(suggestion, goal);
        }
        let works = |half_gallons: i32| {
            let mut plan = plan.clone();
            plan.rig.carrier = Some(Carrier::Regulated(gpa(f64::from(half_gallons) / 2.0)));
            let reach = window(&plan).window;
            reach.contains(mph(slowest)) && reach.contains(mph(slowest + wider)) && doses(&plan).refused.is_empty()
        };
        let halves = rate * 2.0;
        let lower = (1..).map(|k| halves.ceil() as i32 - k).take_while(|h| f64::from(*h) >= halves / 4.0).find(|h| works(*h));
        let higher = (1..).map(|k| halves.floor() as i32 + k).take_while(|h| f64::from(*h) <= halves * 4.0).find(|h| works(*h));
        let expected: Vec<f64> = [lower, higher].into_iter().flatten().map(|h| f64::from(h) / 2.0).collect();
        prop_assert_eq!(carrier_rates(&found), expected);
    }
}

/// Whether a plan meets a goal, by its window and doses alone.
fn works(plan: &Plan, goal: Goal) -> bool {
    let window = window(plan).window;
    let Window::Open { .. } = window else { return false };
    let (low, high) =
        (window.low().map_or(0.0, Speed::as_mph), window.high().map_or(f64::INFINITY, Speed::as_mph));
    let wanted = goal.speeds.is_none_or(|(slowest, fastest)| {
        low <= slowest.as_mph() * (1.0 + 1e-9) && fastest.as_mph() <= high * (1.0 + 1e-9)
    });
    wanted && high - low >= goal.breadth.as_mph() * (1.0 - 1e-9) && doses(plan).refused.is_empty()
}

fn goals() -> impl Strategy<Value = Goal> {
    let speeds = prop::option::weighted(0.7, (2.5..9.0_f64, 0.0..2.0_f64));
    (speeds, 0.0..2.0_f64).prop_map(|(speeds, breadth)| Goal {
        speeds: speeds.map(|(slowest, wider)| (mph(slowest), mph(slowest + wider))),
        breadth: mph(breadth),
    })
}

fn carriers() -> impl Strategy<Value = Carrier> {
    prop_oneof![
        3 => (8.0..40.0_f64).prop_map(|r| Carrier::Regulated(gpa(r))),
        1 => (15.0..60.0_f64).prop_map(|p| Carrier::Manual(Pressure::from_psi(p))),
    ]
}

/// The first pump's product per carrier in some plans, so that not every line passes through nought.
fn per_carrier(plan: &mut Plan, percent: Option<f64>) {
    if let Some(percent) = percent {
        plan.rig.pumps[0].first = Some(ProductRate::PerCarrier(VolumePerCarrier::from_percent(percent)));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    // Of all sets that leave some out (or add some) none switches fewer sections, or as many and less width, and works.
    #[test]
    fn the_nearest_set_that_works(
        sections in prop::collection::vec((4.0..14.0_f64, 0..3_u32, 1..4_usize), 1..4),
        on in 1..128_u64,
        carrier in carriers(),
        least in 0.5..8.0_f64,
        percent in prop::option::of(0.1..2.0_f64),
        hold in prop::option::of(1.0..8.0_f64),
        goal in goals(),
    ) {
        let mut plan = Plan::new(quillmere());
        let sections = sections.into_iter().flat_map(|(ft, extra, n)| {
            let n_nozzles = (ft * 12.0 / 20.0).round() as u32 + extra;
            std::iter::repeat_n(Section { width: Length::from_ft(ft), n_nozzles }, n)
        });
        plan.rig.sections = sections.take(7).collect();
        plan.rig.carrier = Some(carrier);
        plan.rig.pumps[0].least = Some(oz_per_min(least));
        plan.rig.hold_speed = hold.map(mph);
        per_carrier(&mut plan, percent);
        let n = plan.rig.sections.len();
        plan.sections_on = (0..n).filter(|idx| on & (1 << idx) != 0).collect();
        let from = plan.sections_on;
        let Outcome::Changes(found) = make_it_work(&plan, goal, steps(), &[]) else { return Ok(()) };
        // Sections switched and width moved, to seven digits: sums in another order differ in the last one.
        let far = |to: SectionSet| {
            let moved = (0..n).filter(|idx| to.contains(*idx) != from.contains(*idx));
            let ft: f64 = moved.clone().map(|idx| plan.rig.sections[idx].width.as_ft()).sum();
            (moved.count(), (ft * 1e7).round())
        };
        let nearest = |fewer: bool| {
            let sets = (1..1_u64 << n).map(|bits| (0..n).filter(|idx| bits & (1 << idx) != 0).collect());
            let inside = |small: SectionSet, large: SectionSet| small != large && small.iter().all(|idx| large.contains(idx));
            let side = |to: &SectionSet| if fewer { inside(*to, from) } else { inside(from, *to) };
            let works = |to: &SectionSet| works(&Plan { sections_on: *to, ..plan.clone() }, goal);
            sets.filter(side).filter(works).map(far).min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)))
        };
        let said: Vec<(usize, f64)> = found.iter().filter_map(|s| match s.change {
            Change::Sections { to, .. } => Some(far(to)),
            _ => None,
        }).collect();
        let expected: Vec<(usize, f64)> = [nearest(true), nearest(false)].into_iter().flatten().collect();
        prop_assert_eq!(said, expected);
    }

    // No product rate on the same steps lies nearer and works as well, whether it flows per area or per carrier.
    #[test]
    fn the_nearest_product_rate_that_works(
        carrier in carriers(),
        least in 1.0..10.0_f64,
        times in 2.0..8.0_f64,
        label in 17.0..70.0_f64,
        percent in prop::option::of(0.1..2.0_f64),
        hold in prop::option::of(1.0..8.0_f64),
        goal in goals(),
    ) {
        let mut plan = Plan::new(quillmere());
        plan.rig.carrier = Some(carrier);
        plan.rig.hold_speed = hold.map(mph);
        let pump = &mut plan.rig.pumps[0];
        (pump.least, pump.greatest) = (Some(oz_per_min(least)), Some(oz_per_min(least * times)));
        pump.label_greatest = Some(oz_per_ac(label));
        per_carrier(&mut plan, percent);
        let Outcome::Changes(found) = make_it_work(&plan, goal, steps(), &[]) else { return Ok(()) };
        for which in [WhichRate::First, WhichRate::Second] {
            let from = plan.product_rate(0, which).unwrap();
            let with = |factor: f64| {
                let mut plan = plan.clone();
                let to = match from {
                    ProductRate::PerArea(r) => ProductRate::PerArea(VolumePerArea::from_si(r.as_si() * factor)),
                    ProductRate::PerCarrier(r) => ProductRate::PerCarrier(VolumePerCarrier::from_si(r.as_si() * factor)),
                };
                match which {
                    WhichRate::First => plan.rig.pumps[0].first = Some(to),
                    WhichRate::Second => plan.rig.pumps[0].second = Some(to),
                }
                plan
            };
            let at_most = |factor: f64| match from {
                ProductRate::PerArea(r) => r.as_us_fl_oz_per_ac() * factor <= label,
                ProductRate::PerCarrier(_) => true,
            };
            let works = |percent: &i32| works(&with(f64::from(*percent) / 100.0), goal);
            let lower = (25..100).rev().find(works);
            let higher = (101..=400).filter(|p| at_most(f64::from(*p) / 100.0)).find(works);
            let expected: Vec<f64> = [lower, higher].into_iter().flatten().map(f64::from).collect();
            let said: Vec<f64> = found.iter().filter_map(|s| match s.change {
                Change::ProductRate { pump_idx: 0, which: w, from, to } if w == which => Some(ratio(from, to)),
                _ => None,
            }).collect();
            prop_assert_eq!(said, expected);
        }
    }
}

/// In whole percent.
fn ratio(from: ProductRate, to: ProductRate) -> f64 {
    let ratio = match (from, to) {
        (ProductRate::PerArea(from), ProductRate::PerArea(to)) => to.as_si() / from.as_si(),
        (ProductRate::PerCarrier(from), ProductRate::PerCarrier(to)) => to.as_si() / from.as_si(),
        _ => panic!(),
    };
    (100.0 * ratio).round()
}

#[test]
fn per_area_rates_are_scaled_exactly() {
    let first = per_area(16.0);
    let plan = Plan::new(quillmere());
    assert_eq!(plan.product_rate(0, WhichRate::First), first);
    assert_eq!(plan.product_rate(7, WhichRate::First), None);
    // A change of rate is a change of every dose that stems from it.
    let mut plan = plan;
    plan.rig.pumps[0].least = Some(oz_per_min(9.0));
    let Outcome::Changes(found) = make_it_work(&plan, any(0.5), steps(), &[]) else { panic!() };
    for s in &found {
        let Change::ProductRate { pump_idx, which: WhichRate::First, to: ProductRate::PerArea(to), .. } =
            s.change
        else {
            continue;
        };
        let lines = doses(&s.plan).lines;
        let line = lines.iter().find(|l| l.pump_idx == pump_idx && l.rate == RateInForce::FIRST).unwrap();
        let dose: VolumePerArea = line.law.held().unwrap();
        close(dose.as_si() / to.as_si(), 1.0, 1e-12);
    }
}
