//! The next run that is proposed does decide, and a smaller one would not.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

use calc::next_run::{LARGEST_FACTOR, MOST_RUNS, Next};
use calc::ratio_trial::{RatioOutcome, RatioTrial, Run, RunPart, SharedPart, Side, work_out};
use calc::uncertainty::{Shape, Source};
use calc::verdict::{Tolerance, Verdict};
use proptest::prelude::*;
use units::Share;

/// `n` runs of one size whose ratios have exactly this mean and this standard deviation.
fn runs(n: usize, size: f64, ratio: f64, s: f64) -> Vec<Run> {
    // Odd: s up, s down, one in the middle. Even: s·√((n−1)/n) up and down.
    let swing = if n % 2 == 1 { s } else { s * ((n - 1) as f64 / n as f64).sqrt() };
    let mut ratios: Vec<f64> = (0..n / 2).flat_map(|_| [ratio - swing, ratio + swing]).collect();
    if n % 2 == 1 {
        ratios.push(ratio);
    }
    ratios.into_iter().map(|r| Run { indicated: r * size, actual: size }).collect()
}

struct Setting {
    step: f64,
    shared: f64,
    limit: f64,
}

fn outcome(runs: &[Run], setting: &Setting) -> RatioOutcome {
    let sizes: Vec<f64> = runs.iter().map(|r| r.actual).collect();
    work_out(&RatioTrial {
        runs,
        run_parts: &[RunPart::same(
            Source::VesselStep,
            Side::Actual,
            Shape::Resolution,
            setting.step,
            runs.len(),
        )],
        shared_parts: &[SharedPart {
            source: Source::VesselTolerance,
            shape: Shape::Rectangular,
            relative: setting.shared,
        }],
        tolerance: Tolerance::user(Share::from_fraction(setting.limit)),
        sizes: &sizes,
        readings_grow: true,
    })
    .unwrap()
}

#[test]
fn nothing_is_proposed_when_the_verdict_stands() {
    let sure = Setting { step: 0.01, shared: 0.001, limit: 0.05 };
    assert_eq!(outcome(&runs(3, 50.0, 1.01, 0.002), &sure).next, Next::Nothing);
    assert_eq!(outcome(&runs(3, 50.0, 1.20, 0.002), &sure).next, Next::Nothing);
}

#[test]
fn a_bad_vessel_cannot_be_averaged_away() {
    // By hand: 3 % half-width leaves 1.96 × 3/√3 = 3.39 %; 1.02 within 5 % asks for 3 %.
    let coarse = Setting { step: 0.01, shared: 0.03, limit: 0.05 };
    let next = outcome(&runs(5, 50.0, 1.02, 0.001), &coarse).next;
    let Next::BetterReference { reachable, needed } = next else { panic!("{next:?}") };
    assert!((reachable - 1.959_964 * 0.03 / 3.0_f64.sqrt()).abs() < 1e-6);
    assert!((needed - 0.03 / 1.02).abs() < 1e-9);
}

#[test]
fn an_error_on_the_limit_is_too_close() {
    let good = Setting { step: 0.01, shared: 0.0, limit: 0.05 };
    assert!(matches!(outcome(&runs(4, 50.0, 1.0500001, 0.01), &good).next, Next::TooClose { .. }));
}

#[test]
fn one_larger_run_replaces_many_small_ones_where_only_the_jug_is_coarse() {
    // No spread at all: U = 1.96 · δ/√12 · √n / Σ. Three runs of 5 with δ = 0.5 have 1.96 · 0.1443 · √3 / 15 = 3.27 %.
    // Asked for 2 %: with m further runs of size 5·f, 0.2829 √(3 + m) / (15 + 5 m f) ≤ 0.02 / 1.03.
    let setting = Setting { step: 0.5, shared: 0.0, limit: 0.05 };
    let next = outcome(&runs(3, 5.0, 1.03, 0.0), &setting).next;
    let Next::Runs { runs: further, size, spread_assumed } = next else { panic!("{next:?}") };
    assert!(!spread_assumed);
    assert_eq!(further, 1);
    // By hand for m = 1: 15 + 5 f ≥ 0.28289 · 2 · 1.03/0.02 = 29.138, so a run of 14.138.
    assert!((size - 14.138).abs() < 0.02, "{size}");
}

proptest! {
    /// Same size: after the proposed runs, with mean and spread as they are, the verdict stands; with one fewer it
    /// does not.
    #[test]
    fn the_proposal_decides_and_is_the_smallest(
        n in 2_usize..6, error in 0.0..0.09, s in 0.001..0.02, step in 0.0..0.1, shared in 0.0..0.01,
    ) {
        let setting = Setting { step, shared, limit: 0.05 };
        let before = outcome(&runs(n, 50.0, 1.0 + error, s), &setting);
        if let Next::Runs { runs: further, size, .. } = before.next {
            prop_assert!((1..=MOST_RUNS).contains(&further));
            prop_assert!((50.0 - 1e-9..=50.0 * LARGEST_FACTOR + 1e-9).contains(&size));
            if size <= 50.0 + 1e-9 {
                let then = n + further as usize;
                let after = outcome(&runs(then, 50.0, 1.0 + error, s), &setting);
                prop_assert_ne!(after.verdict, Verdict::NotProvenYet);
                if further > 1 && then > 3 {
                    let fewer = outcome(&runs(then - 1, 50.0, 1.0 + error, s), &setting);
                    prop_assert_eq!(fewer.verdict, Verdict::NotProvenYet);
                }
            }
        } else {
            prop_assert!((before.next == Next::Nothing) == (before.verdict != Verdict::NotProvenYet));
        }
    }
}

#[test]
fn a_longer_drive_shrinks_the_watch_but_weighs_no_more() {
    // Speeds do not grow with the course. By hand: 2 % a drive, ÷ √3 = 1.155 % now; 1.03 within 5 % asks for
    // 0.02/1.03/1.96 = 0.99071 %. One more drive F times as long: 2 % · √(3 + 1/F²)/4, so F = 1.0392.
    let runs = [Run { indicated: 5.15, actual: 5.0 }; 3];
    let part = RunPart {
        source: Source::StopwatchHand,
        side: Side::Actual,
        standards: vec![0.1; 3],
        falls_with_size: true,
    };
    let next = work_out(&RatioTrial {
        runs: &runs,
        run_parts: &[part],
        shared_parts: &[],
        tolerance: Tolerance::user(Share::from_percent(5.0)),
        sizes: &[100.0; 3],
        readings_grow: false,
    })
    .unwrap()
    .next;
    let Next::Runs { runs, size, .. } = next else { panic!("{next:?}") };
    assert_eq!(runs, 1);
    assert!((size - 103.92).abs() < 0.25, "{size}");
}
