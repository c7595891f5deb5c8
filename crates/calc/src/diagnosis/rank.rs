//! From likelihoods and priors to a ranked list and an honest outcome. The likelihoods are `fit`, the priors `priors`.

use super::answer::{CauseShare, Diagnosis, Explanation, Factor, Fit, NumberText, Outcome, Variant};
use super::cause::{Candidate, Cause, candidates};
use super::checks::best_check;
use super::contradiction::{Contradiction, contradictions};
use super::digits;
use super::fit::{Fitted, Model, Problem};
use super::forward::{Change, Values};
use super::priors;
use super::setup::{DiagnosisError, Entry, Setup, Situation};
use super::slips::Side;
use crate::balance::tails::chi_squared_tail;

/// From this share on a cause that stands alone is sure, provided that it fits and that at least two comparisons were
/// made. 99 of 100 such answers would be right if the priors were exact; the confusion table counts what really happens.
const SURE_SHARE: f64 = 0.99;

/// From this share on a cause is found, though not sure.
const FOUND_SHARE: f64 = 0.8;

/// The readings themselves must speak against every other cause, even one that is far-fetched and fitted at will: three
/// standard uncertainties.
const SURE_CHI2: f64 = 9.0;

/// A sure cause must not fit worse than one right cause in fifty does.
const SURE_P: f64 = 0.02;

/// Below this probability of so large a misfit nothing is said to explain the readings.
const NO_FIT_P: f64 = 0.001;

/// Two causes are alike when their misfits differ by less than this and the second has some weight.
const ALIKE_CHI2: f64 = 2.0;
const ALIKE_SHARE: f64 = 0.05;

/// A cause below this share is not worth a check.
const WORTH_A_CHECK: f64 = 1e-4;

/// A candidate that can have happened.
pub(crate) struct Weighed {
    pub(crate) candidate: Candidate,
    pub(crate) fitted: Fitted,
    /// Which of the shared models it was fitted with.
    pub(crate) model: usize,
    share: f64,
}

/// Ranks everything that might be wrong by the readings.
///
/// Each candidate is weighed by its prior (one table, in the source of this module) times the likelihood of all readings
/// under it, with everything unknown (true speed, time, unregulated flow) and everything only nearly right (proven
/// numbers) integrated out. Candidates are grouped by cause; the shares of all causes and of "something that is on no
/// list" add up to 1.
///
/// One thing at a time: two things wrong at once end as [`Outcome::NothingExplains`] unless one of them would do.
/// In regulated mode a wrong meter number is invisible on the display; only a true volume or flow shows it.
///
/// `n_top` is how many explanations are worked out in full.
///
/// # Errors
/// [`DiagnosisError`] for a set-up or a reading that makes no sense. Readings that make sense but cannot have happened
/// together are [`Outcome::Contradictory`].
///
/// # Example
/// Common practice, no source: a section width keyed in feet where inches were wanted shows a twelfth of the width. By
/// hand: 12 in instead of 144 in leaves 12 + 120 + 144 = 276 in of 408 in.
/// ```
/// # use calc::diagnosis::*;
/// # use calc::model::KeyedNumber;
/// # use units::{Length, LengthUnit};
/// let width = |section: usize, inches: f64| SheetNumber {
///     entry: KeyedNumber::Width(section),
///     form: NumberForm::Length(LengthUnit::Inch),
///     text: inches.to_string(),
///     value: inches,
///     step: None,
///     proof: Proof::Untried,
///     stamped: None,
/// };
/// let setup = Setup { numbers: vec![width(0, 144.0), width(1, 120.0), width(2, 144.0)], ..Setup::blank() };
/// let shown = Reading::relative(What::ShownWidth, Amount::Length(Length::from_in(276.0)), 0.005);
/// let taped = Reading::relative(What::Width, Amount::Length(Length::from_in(408.0)), 0.003);
/// let situation = Situation { condition: Condition::standing(), readings: vec![shown, taped] };
/// let diagnosis = diagnose(&setup, &[situation], 3)?;
/// // The two sections of 144 in cannot be told apart; a look at the set-up page would do.
/// assert_eq!(diagnosis.outcome, Outcome::Alike);
/// let best = &diagnosis.top[0].variants[0];
/// assert_eq!(best.keyed.as_ref().map(|n| n.text.as_str()), Some("12"));
/// assert_eq!(best.wanted.as_ref().map(|n| n.text.as_str()), Some("144"));
/// assert!(matches!(diagnosis.next_check, Some(Check { kind: CheckKind::ReadBack(KeyedNumber::Width(_)), .. })));
/// # Ok::<(), DiagnosisError>(())
/// ```
pub fn diagnose(setup: &Setup, situations: &[Situation], n_top: usize) -> Result<Diagnosis, DiagnosisError> {
    setup.check()?;
    check_readings(setup, situations)?;
    let problem = Problem::new(setup, situations);
    let contradictions = contradictions(setup, situations);
    let all = candidates(setup, situations);
    let n_candidates = all.len();
    let mut scratch = Values::new();
    let (models, mut weighed) = weigh(&problem, all, &mut scratch);
    let nothing_held = problem.patterns(&Change::Nothing, 0.0).swap_remove(0).0;
    let ln_unlisted = problem
        .ln_unlisted(nothing_held, &mut scratch)
        .map_or(f64::NEG_INFINITY, |l| l + priors::UNLISTED.ln());
    let unlisted_share = share_out(&mut weighed, ln_unlisted);
    let n_comparisons = models.iter().map(|m| m.n_comparisons).max().unwrap_or(0);

    let groups = by_cause(&weighed);
    let causes: Vec<CauseShare> = groups.iter().map(|g| g.summary(&weighed)).collect();
    let first_chi2 = causes.first().map_or(0.0, |c| c.chi2);
    let first_share = causes.first().map_or(0.0, |c| c.share);
    let alike =
        |c: &CauseShare| (c.chi2 - first_chi2).abs() < ALIKE_CHI2 && c.share > ALIKE_SHARE * first_share;
    let top: Vec<Explanation> = groups
        .iter()
        .zip(&causes)
        .take(n_top)
        .enumerate()
        .filter_map(|(idx, (group, cause))| {
            explain(&problem, situations, &models, &weighed, group, idx > 0 && alike(cause), &mut scratch)
        })
        .collect();
    let next_check = match (groups.first(), groups.get(1)) {
        (Some(a), Some(b)) if n_comparisons > 0 && causes[1].share > WORTH_A_CHECK => {
            let pair = [&weighed[a.members[0]], &weighed[b.members[0]]];
            best_check(&problem, situations, [&models[pair[0].model], &models[pair[1].model]], pair)
        }
        _ => None,
    };
    let any_alike = causes.iter().skip(1).any(alike);
    let by_readings = causes.iter().skip(1).all(|c| c.chi2 - first_chi2 >= SURE_CHI2);
    let mut held_shows = || {
        let off = problem.model(vec![false; situations.len()], 0.0)?;
        let nothing = weighed.iter().find(|w| w.candidate.cause == Cause::HoldActive)?.candidate;
        let chi2 = problem.fit(&off, &Candidate { change: Change::Nothing, ..nothing }, &mut scratch)?.chi2;
        Some(chi2 - first_chi2 >= SURE_CHI2)
    };
    let held_shows = held_shows().unwrap_or(false);
    let carry = Carry {
        first: groups.first().map(|g| &weighed[g.members[0]]),
        first_share,
        second_share: causes.get(1).map_or(0.0, |c| c.share),
        held_share: weighed.iter().filter(|w| models[w.model].held.contains(&true)).map(|w| w.share).sum(),
        held_shows,
        unlisted_share,
        any_alike,
        by_readings,
        n_comparisons,
        contradictory: contradictions.iter().any(Contradiction::is_fatal),
    };
    let (outcome, held_share) = (carry.outcome(), carry.held_share);
    let unused = problem.unused.clone();
    Ok(Diagnosis {
        outcome,
        top,
        causes,
        unlisted_share,
        next_check,
        held_share,
        contradictions,
        n_comparisons,
        unused,
        n_candidates,
    })
}

/// Fits every candidate, with one shared model for each pattern of held situations.
fn weigh(problem: &Problem, all: Vec<Candidate>, scratch: &mut Values) -> (Vec<Model>, Vec<Weighed>) {
    let mut models: Vec<Model> = Vec::new();
    let mut weighed = Vec::with_capacity(all.len());
    for candidate in all {
        let theta = candidate.free.map_or(0.0, |f| f.mean);
        let patterns = problem.patterns(&candidate.change, theta);
        let open = patterns.len() > 1;
        let mut best: Option<Weighed> = None;
        for (held, odds) in patterns {
            // "Nothing wrong" and "the hold is active" part the patterns between them.
            let wanted = match candidate.cause {
                Cause::NothingWrong => !held.contains(&true),
                Cause::HoldActive => held.contains(&true),
                _ => true,
            };
            if !wanted {
                continue;
            }
            let Some(model) = shared(problem, &mut models, held) else { continue };
            // What no reading could show is no suspect.
            let innocent = !matches!(candidate.cause, Cause::NothingWrong | Cause::HoldActive)
                && !problem.shows(&models[model], &candidate, scratch);
            if innocent {
                continue;
            }
            let Some(mut fitted) = problem.fit(&models[model], &candidate, scratch) else { continue };
            if open {
                fitted.ln_likelihood += odds.ln();
                fitted.ln_likelihood += problem
                    .ln_hold_fits(&models[model], &candidate.change, fitted.theta, scratch)
                    .unwrap_or(f64::NEG_INFINITY);
            }
            if fitted.ln_likelihood.is_finite() {
                best = Some(either(best, Weighed { candidate, fitted, model, share: 0.0 }));
            }
        }
        weighed.extend(best);
    }
    (models, weighed)
}

/// The model of a pattern, made when it is first asked for.
fn shared(problem: &Problem, models: &mut Vec<Model>, held: Vec<bool>) -> Option<usize> {
    if let Some(known) = models.iter().position(|m| m.held == held) {
        return Some(known);
    }
    models.push(problem.model(held, 0.0)?);
    Some(models.len() - 1)
}

/// Two patterns of one candidate: the likelier one, with the likelihood of both.
fn either(one: Option<Weighed>, other: Weighed) -> Weighed {
    let Some(one) = one else { return other };
    let (mut more, less) =
        if other.fitted.ln_likelihood > one.fitted.ln_likelihood { (other, one) } else { (one, other) };
    more.fitted.ln_likelihood += (less.fitted.ln_likelihood - more.fitted.ln_likelihood).exp().ln_1p();
    more
}

/// Posterior shares; returns that of the unlisted.
fn share_out(weighed: &mut [Weighed], ln_unlisted: f64) -> f64 {
    let ln_weight = |w: &Weighed| w.candidate.ln_prior + w.fitted.ln_likelihood;
    let largest = weighed.iter().map(ln_weight).fold(ln_unlisted, f64::max);
    let total: f64 =
        weighed.iter().map(|w| (ln_weight(w) - largest).exp()).sum::<f64>() + (ln_unlisted - largest).exp();
    for w in weighed.iter_mut() {
        w.share = (ln_weight(w) - largest).exp() / total;
    }
    (ln_unlisted - largest).exp() / total
}

/// The candidates of one cause, best first.
struct Group {
    cause: Cause,
    members: Vec<usize>,
    share: f64,
}

impl Group {
    fn summary(&self, weighed: &[Weighed]) -> CauseShare {
        let chi2 = self.members.iter().map(|m| weighed[*m].fitted.chi2).fold(f64::INFINITY, f64::min);
        CauseShare { cause: self.cause, share: self.share, chi2 }
    }
}

fn by_cause(weighed: &[Weighed]) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for (idx, w) in weighed.iter().enumerate() {
        // Candidates of one cause stand together in the list.
        match groups.iter_mut().rev().find(|g| g.cause == w.candidate.cause) {
            Some(group) => {
                group.members.push(idx);
                group.share += w.share;
            }
            None => {
                groups.push(Group { cause: w.candidate.cause, members: vec![idx], share: w.share });
            }
        }
    }
    for group in &mut groups {
        group.members.sort_unstable_by(|a, b| weighed[*b].share.total_cmp(&weighed[*a].share).then(a.cmp(b)));
    }
    // Members are in no order by place any more, but no two groups share one.
    groups.sort_unstable_by(|a, b| b.share.total_cmp(&a.share).then(a.members.cmp(&b.members)));
    groups
}

fn explain(
    problem: &Problem,
    situations: &[Situation],
    models: &[Model],
    weighed: &[Weighed],
    group: &Group,
    alike: bool,
    scratch: &mut Values,
) -> Option<Explanation> {
    let best = &weighed[*group.members.first()?];
    let model = &models[best.model];
    let (change, theta) = (&best.candidate.change, best.fitted.theta);
    let z = problem.latents_given(model, change, theta, scratch)?;
    let mut fit = Vec::with_capacity(problem.used.len() + problem.near_zero.len());
    for used in problem.used.iter().chain(&problem.near_zero) {
        let said = problem.predict(model, (change, theta), used.situation, &used.terms, &z, scratch);
        let said = said * used.misread(change, theta).exp();
        let seen = situations[used.situation].readings[used.reading];
        fit.push(Fit {
            situation: used.situation,
            reading: used.reading,
            seen,
            predicted: seen.seen.with_si(said),
            misfit: (used.si - said) / used.u,
        });
    }
    fit.sort_unstable_by_key(|f| (f.situation, f.reading));
    let variants = group
        .members
        .iter()
        .take(4)
        .enumerate()
        .filter(|(idx, m)| *idx == 0 || weighed[**m].share > 0.01 * best.share)
        .map(|(_, m)| variant(problem.setup, &weighed[*m]))
        .collect();
    let Fitted { chi2, dof, .. } = best.fitted;
    Some(Explanation {
        cause: group.cause,
        variants,
        share: group.share,
        alike,
        chi2,
        dof,
        p: chi_squared_tail(chi2, dof),
        fit,
    })
}

fn variant(setup: &Setup, weighed: &Weighed) -> Variant {
    let Candidate { cause, how, keyed, wanted, change, .. } = weighed.candidate;
    let theta = weighed.fitted.theta;
    let of_entry = |entry: Entry| setup.number(entry);
    let u_rel = weighed.fitted.theta_u;
    let mut out = Variant { how, keyed: None, wanted: None, factor: None, share: weighed.share };
    let (number, pair) = match (cause, change) {
        (Cause::Entry(entry), Change::FreeNumber { side, .. }) => {
            let Some(number) = of_entry(entry) else { return out };
            let moved = |by: f64| number.form.number_of_si(number.meaning_si() * by);
            match side {
                Side::Console => (number, [moved(theta.exp()), number.value]),
                Side::Sheet => (number, [number.value, moved((-theta).exp())]),
            }
        }
        (Cause::Entry(entry), _) => match (of_entry(entry), keyed, wanted) {
            (Some(number), Some(keyed), Some(wanted)) => (number, [keyed, wanted]),
            _ => return out,
        },
        (_, Change::Slip | Change::Worn | Change::ProductLoss(_) | Change::Misread { .. }) => {
            out.factor = Some(Factor { value: theta.exp(), u_rel });
            return out;
        }
        _ => return out,
    };
    let [keyed, wanted] = pair.map(|value| NumberText {
        text: if value == number.value {
            digits::plain_digits(&number.text, value, number.step)
        } else {
            digits::digits_of(value, number.step)
        },
        value,
    });
    out.factor = Some(Factor { value: keyed.value / wanted.value, u_rel });
    out.keyed = Some(keyed);
    out.wanted = Some(wanted);
    out
}

/// What decides how far the readings carry.
struct Carry<'a> {
    first: Option<&'a Weighed>,
    first_share: f64,
    second_share: f64,
    /// Share of everything under which the hold is in force.
    held_share: f64,
    /// Whether the readings themselves speak against the hold being off.
    held_shows: bool,
    unlisted_share: f64,
    any_alike: bool,
    by_readings: bool,
    n_comparisons: usize,
    contradictory: bool,
}

impl Carry<'_> {
    fn outcome(&self) -> Outcome {
        if self.contradictory {
            return Outcome::Contradictory;
        }
        if self.n_comparisons == 0 {
            return Outcome::NothingToCompare;
        }
        let Some(first) = self.first else { return Outcome::NothingExplains };
        let p = chi_squared_tail(first.fitted.chi2, first.fitted.dof.max(1));
        if p < NO_FIT_P || self.first_share < self.unlisted_share {
            return Outcome::NothingExplains;
        }
        let clear = self.first_share >= 0.5 || self.second_share < 0.5 * self.first_share;
        let fits = p >= SURE_P && self.n_comparisons >= 2;
        match first.candidate.cause {
            Cause::NothingWrong if clear => Outcome::NothingWrong,
            // Whatever else might be a little off: the hold itself is in force.
            Cause::HoldActive if clear => {
                Outcome::Found { sure: self.held_share >= SURE_SHARE && self.held_shows && fits }
            }
            Cause::NothingWrong | Cause::HoldActive => Outcome::Open,
            _ if self.any_alike => Outcome::Alike,
            _ if self.first_share < FOUND_SHARE => Outcome::Open,
            // A reading that stands against all others may be the one that is right: repeat it.
            Cause::Misread { .. } => Outcome::Found { sure: false },
            _ => Outcome::Found { sure: self.first_share >= SURE_SHARE && self.by_readings && fits },
        }
    }
}

fn check_readings(setup: &Setup, situations: &[Situation]) -> Result<(), DiagnosisError> {
    for (situation, given) in situations.iter().enumerate() {
        let n_sections = setup.n_sections().max(1);
        if !(0..n_sections).any(|j| given.condition.section_on(j)) {
            return Err(DiagnosisError::NoSectionOn { situation });
        }
        for (reading, r) in given.readings.iter().enumerate() {
            if !(r.seen.fits(r.what) && r.u.fits(r.what)) {
                return Err(DiagnosisError::ReadingKind { situation, reading });
            }
            let (seen, u) = (r.seen.as_si(), r.u.as_si());
            if !(seen.is_finite() && seen >= 0.0) {
                return Err(DiagnosisError::Reading { situation, reading, got: seen });
            }
            if !(u.is_finite() && u > 0.0) {
                return Err(DiagnosisError::ReadingUncertainty { situation, reading, got: u });
            }
            let of_nothing = match r.what {
                super::What::ReadBack(entry) => setup.number(entry).is_none(),
                what => {
                    what.pump().is_some_and(|p| given.condition.product(p).is_none() || p >= setup.n_pumps())
                }
            };
            if of_nothing {
                return Err(DiagnosisError::ReadingOfNothing { situation, reading });
            }
        }
    }
    Ok(())
}
