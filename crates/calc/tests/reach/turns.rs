//! Boom ends on a curve.

use calc::reach::plan::{Plan, RateInForce, SectionSet};
use calc::reach::turns::{
    CurveDose, Direction, Reaches, TurnRadius, curve_dose, curve_ends, least_radius_for_fraction,
    least_radius_for_greatest_ratio, turn_limits,
};
use calc::rig::Section;
use proptest::prelude::*;
use units::{Length, Share};

use crate::rigs::{close, mph, quillmere};

fn m(x: f64) -> Length {
    Length::from_m(x)
}

#[test]
fn inside_the_centre_the_end_goes_backward() {
    // Middle 5 m out, end 12 m in: 7 m beyond the centre, moving at 7/5 of the speed.
    assert_eq!(curve_dose(m(5.0), m(-12.0)), Ok(CurveDose::Backward { ratio: 5.0 / 7.0 }));
    assert_eq!(curve_dose(m(5.0), m(-5.0)), Ok(CurveDose::Standing));
    let ends = curve_ends(m(12.0), m(12.0), &[m(5.0), m(12.0), m(12.1)]).unwrap();
    assert!(ends[0].centre_under_boom && ends[1].centre_under_boom && !ends[2].centre_under_boom);
    assert_eq!(ends[1].inner.ratio(), f64::INFINITY);
}

#[test]
fn part_of_a_boom() {
    let section = |w: f64| Section { width: m(w), n_nozzles: 0 };
    let mut rig = quillmere();
    rig.sections = vec![section(6.0), section(4.0), section(6.0)];
    let plan = Plan::new(rig);
    // Only the right section: from 2 m to 8 m right of the middle.
    let right = Reaches::of(&plan, SectionSet::none().with(2)).unwrap();
    assert_eq!((right.left, right.right), (m(-2.0), m(8.0)));
    let (inner, outer) = right.inner_outer(Direction::Left);
    // Turning left, even its inner end lies outside the middle's path: no radius is too small for the label.
    assert_eq!(least_radius_for_greatest_ratio(inner, 1.5), Ok(None));
    // By hand: 10/12 and 10/18.
    let ends = curve_ends(inner, outer, &[m(10.0)]).unwrap();
    close(ends[0].inner.ratio(), 10.0 / 12.0, 1e-12);
    close(ends[0].outer.ratio(), 10.0 / 18.0, 1e-12);
    assert_eq!(Reaches::of(&plan, SectionSet::none()), None);
}

#[test]
fn label_on_a_curve() {
    let mut plan = Plan::new(quillmere());
    let radius = |plan: &Plan, rate: RateInForce, v: f64| {
        let limits = turn_limits(plan, Direction::Right, mph(v));
        limits.iter().find(|l| l.pump_idx == 0 && l.rate == rate).unwrap().radius
    };
    // 48/40 = 1.2 and 16.5 ft inward: 1.2 × 16.5 / 0.2 = 99 ft. The first rate, 48/16 = 3: 3 × 16.5 / 2.
    let ft = |r: TurnRadius| match r {
        TurnRadius::From(r) => r.as_ft(),
        other => panic!("{other:?}"),
    };
    close(ft(radius(&plan, RateInForce::SECOND, 6.0)), 99.0, 1e-9);
    close(ft(radius(&plan, RateInForce::FIRST, 6.0)), 24.75, 1e-9);
    // Held at 6 mph and driven at 5.4, 40 becomes 44.4: 48 × 5.4/6/40 = 1.08; at 5 mph the label is reached straight on.
    plan.rig.hold_speed = Some(mph(6.0));
    close(ft(radius(&plan, RateInForce::SECOND, 5.4)), 1.08 * 16.5 / 0.08, 1e-6);
    assert_eq!(radius(&plan, RateInForce::SECOND, 4.9), TurnRadius::NoCurve);
}

proptest! {
    #[test]
    fn least_radii_are_where_the_ends_meet_them(half in 1.0..40.0_f64, greatest in 1.01..5.0_f64, part in 0.05..0.99_f64) {
        let r = least_radius_for_greatest_ratio(m(half), greatest).unwrap().unwrap();
        close(curve_dose(r, m(-half)).unwrap().ratio(), greatest, 1e-9 * greatest);
        prop_assert!(curve_dose(m(r.as_m() * 1.01), m(-half)).unwrap().ratio() < greatest);
        let r = least_radius_for_fraction(m(half), Share::from_fraction(part)).unwrap().unwrap();
        close(curve_dose(r, m(half)).unwrap().ratio(), part, 1e-12);
        prop_assert!(curve_dose(m(r.as_m() * 0.99), m(half)).unwrap().ratio() < part);
    }

    // What all places get together is what the boom gives: the mean dose over the area covered is the straight one.
    #[test]
    fn the_boom_gives_as_much_on_a_curve(half in 1.0..20.0_f64, radius in 21.0..200.0_f64) {
        let n = 2000;
        let dx = 2.0 * half / f64::from(n);
        let (mut given, mut area) = (0.0, 0.0);
        for k in 0..n {
            let x = -half + (f64::from(k) + 0.5) * dx;
            let ground = (radius + x) / radius * dx;
            given += curve_dose(m(radius), m(x)).unwrap().ratio() * ground;
            area += ground;
        }
        close(given / area, 1.0, 1e-9);
    }
}
