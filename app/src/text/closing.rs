//! What the closing balance says: labels, how things are read, what came out, what to do.

use super::{number, problem, words};
use crate::bridge::closing::priors::{Basis, Prior, days_between};
use crate::bridge::closing::readings::{K_95, Wrong};
use crate::bridge::closing::{Closing, JobTold};
use crate::browser::clock;
use crate::state::sheet::System;
use calc::balance::{
    BalanceError, Confounded, Correction, Estimate, LabelVerdict, Misfit, Ratio, Separation,
};
use units::Quantity;

pub(crate) struct ClosingWords {
    pub(crate) title: &'static str,
    pub(crate) more: &'static str,
    pub(crate) caution: &'static str,
    pub(crate) begin: &'static str,
    pub(crate) past: &'static str,
    pub(crate) none_yet: &'static str,
    pub(crate) name: &'static str,
    pub(crate) name_hint: &'static str,
    pub(crate) job_name: &'static str,
    pub(crate) job: fn(n: usize) -> String,
    pub(crate) load: fn(n: usize) -> String,
    pub(crate) n_jobs: fn(n: usize) -> String,
    pub(crate) other_day: fn(job: &str, on: &str) -> String,
    pub(crate) ground: &'static str,
    pub(crate) by_area: &'static str,
    pub(crate) by_strip: &'static str,
    /// Label of a reading of the ground.
    pub(crate) of_ground: fn(field: &str) -> &'static str,
    pub(crate) planned: fn(what: &str) -> String,
    pub(crate) plan: &'static str,
    pub(crate) carrier: &'static str,
    pub(crate) pump: fn(n: usize, product: &str) -> String,
    /// Label of a reading of a liquid.
    pub(crate) of_liquid: fn(field: &str, liquid: &str) -> String,
    pub(crate) how_well: &'static str,
    pub(crate) how_read: fn(label: &str) -> String,
    pub(crate) give: fn(label: &str) -> String,
    pub(crate) give_usual: fn(give: &str, way: &str) -> String,
    pub(crate) give_empty: &'static str,
    pub(crate) way: fn(code: &str) -> &'static str,
    pub(crate) add_load: &'static str,
    pub(crate) add_job: &'static str,
    pub(crate) take_out: fn(what: &str) -> String,
    pub(crate) put_back: &'static str,
    pub(crate) wrong: fn(&Wrong) -> String,
    pub(crate) left_out: fn(place: &str, why: &str) -> String,
    pub(crate) left_out_elsewhere: fn(on: &str, n: usize) -> String,
    pub(crate) outcome: &'static str,
    pub(crate) waiting: &'static str,
    pub(crate) refused: &'static str,
    pub(crate) speed: &'static str,
    pub(crate) width: &'static str,
    pub(crate) meter: &'static str,
    pub(crate) interval: fn(low: &str, high: &str) -> String,
    pub(crate) justified: fn(old: &str, new: &str) -> String,
    pub(crate) justified_width: &'static str,
    pub(crate) same_in_steps: fn(old: &str) -> String,
    pub(crate) keep: &'static str,
    pub(crate) separate_first: &'static str,
    pub(crate) nothing_known: fn(Ratio) -> &'static str,
    pub(crate) put_on_rig: fn(new: &str) -> String,
    pub(crate) put_hint: &'static str,
    pub(crate) done: fn(old: &str, new: &str) -> String,
    pub(crate) prove_by: fn(Separation) -> String,
    pub(crate) confounded: fn(pair: [&str; 2], off: &str, interval: &str, by: &str) -> String,
    pub(crate) separation: fn(Separation) -> String,
    pub(crate) what_to_know: &'static str,
    pub(crate) odd_first: &'static str,
    pub(crate) misfit_alone: fn(place: &str, what: &str, alone: &str) -> String,
    pub(crate) misfit: fn(place: &str, what: &str, alone: &str) -> String,
    pub(crate) all_fit: &'static str,
    pub(crate) one_comparison: fn(what: &str) -> String,
    pub(crate) no_rest: fn(place: &str) -> String,
    pub(crate) rates: &'static str,
    pub(crate) no_rate: &'static str,
    pub(crate) rate_more: fn(low: &str, high: &str) -> String,
    pub(crate) rate_planned: fn(planned: &str, off: Option<&str>) -> String,
    pub(crate) rate_shown: fn(shown: &str) -> String,
    pub(crate) label_below: fn(most: &str) -> String,
    pub(crate) label_above: fn(place: &str, product: &str, most: &str, low: &str, high: &str) -> String,
    pub(crate) label_open: fn(place: &str, product: &str, most: &str, low: &str, high: &str) -> String,
    pub(crate) label_law: &'static str,
    pub(crate) priors: &'static str,
    pub(crate) priors_hint: &'static str,
    pub(crate) prior_trial: fn(on: &str, days: Option<i64>, off: &str, give: &str) -> String,
    pub(crate) prior_taped: fn(on: &str, days: Option<i64>, give: &str) -> String,
    pub(crate) prior_typed: fn(off: &str, give: &str) -> String,
    pub(crate) prior_nothing: fn(give: &str) -> String,
    pub(crate) prior_box: fn(what: &str) -> String,
    pub(crate) see_trial: &'static str,
    pub(crate) with: &'static str,
    pub(crate) with_hint: &'static str,
    pub(crate) with_none: &'static str,
    pub(crate) print: &'static str,
    pub(crate) discard: &'static str,
    pub(crate) readings: &'static str,
    pub(crate) of: &'static str,
    pub(crate) loaded: &'static str,
    pub(crate) left: &'static str,
    pub(crate) console: &'static str,
    pub(crate) to_closing: &'static str,
    pub(crate) by_closing: &'static str,
    pub(crate) item: fn(name: &str, jobs: usize) -> String,
    pub(crate) setup: &'static str,
    pub(crate) taken: fn(what: &str) -> String,
}

/// What a ratio is of.
pub(crate) fn ratio_text(ratio: Ratio, products: &[String]) -> String {
    let w = &words().closing;
    match ratio {
        Ratio::Speed => w.speed.to_owned(),
        Ratio::Width => w.width.to_owned(),
        Ratio::Meter => w.meter.to_owned(),
        Ratio::Pump(pump) => (w.pump)(pump + 1, products.get(pump).map(String::as_str).unwrap_or_default()),
    }
}

/// A job's name, or its number; another day's with its date.
pub(crate) fn job_text(job: &JobTold) -> String {
    let w = &words().closing;
    let name = if job.name.is_empty() { (w.job)(job.number) } else { job.name.clone() };
    match &job.other_day {
        Some(at) => (w.other_day)(&name, &day_text(at)),
        None => name,
    }
}

/// The day of a stored time.
pub(crate) fn day_text(at: &str) -> String {
    clock::local_minute(at).split(' ').next().unwrap_or_default().to_owned()
}

/// Job, and load by its number where it is about one.
pub(crate) fn place_text(job: &JobTold, load: Option<usize>) -> String {
    let job = job_text(job);
    match load {
        Some(load) => format!("{job}, {}", (words().closing.load)(load)),
        None => job,
    }
}

/// How far shown is from true, e.g. `+3.1 %`.
pub(crate) fn off_text(shown_over_true: f64) -> String {
    number::signed_percent(shown_over_true - 1.0, 1)
}

/// The interval of an estimate.
pub(crate) fn interval_text(low: f64, high: f64) -> String {
    (words().closing.interval)(&off_text(low), &off_text(high))
}

/// What to do about an estimate, and why. `fix` is the number, old and new, where there is one.
pub(crate) fn advice_text(estimate: &Estimate, fix: Option<(&str, &str)>) -> String {
    let w = &words().closing;
    match (estimate.correction, fix) {
        (Correction::Justified, Some((old, new))) if old == new => (w.same_in_steps)(old),
        (Correction::Justified, Some((old, new))) => (w.justified)(old, new),
        (Correction::Justified, None) => w.justified_width.to_owned(),
        (Correction::KeepOld, _) => w.keep.to_owned(),
        (Correction::SeparateFirst, _) => w.separate_first.to_owned(),
        (Correction::NothingKnown, _) => (w.nothing_known)(estimate.ratio).to_owned(),
    }
}

/// Two ratios that cannot be told apart.
pub(crate) fn confounded_text(pair: &Confounded, products: &[String]) -> String {
    let w = &words().closing;
    let [a, b] = pair.pair.map(|ratio| ratio_text(ratio, products));
    let spread = (K_95 * pair.product_u_rel).exp();
    let interval = interval_text(pair.product / spread, pair.product * spread);
    (w.confounded)([&a, &b], &off_text(pair.product), &interval, &(w.separation)(pair.separate_by))
}

/// A comparison that does not fit.
pub(crate) fn misfit_text(misfit: &Misfit, closing: &Closing, products: &[String]) -> String {
    let w = &words().closing;
    let place = closing.jobs.get(misfit.job).map(|job| {
        let load = misfit.load.and_then(|load| job.loads.get(load));
        place_text(job, load.map(|(number, _)| *number))
    });
    let text = if closing.n_comparisons(misfit.ratio) == 1 { w.misfit_alone } else { w.misfit };
    text(&place.unwrap_or_default(), &ratio_text(misfit.ratio, products), &off_text(misfit.shown_over_true))
}

/// What was known of a ratio beforehand; `on` is when the day was begun, `u_rel` what was reckoned with.
pub(crate) fn prior_text(prior: &Prior, u_rel: f64, on: &str) -> String {
    let w = &words().closing;
    let give = number::percent(K_95 * u_rel, 2);
    let off = off_text(prior.last);
    match &prior.basis {
        Basis::Trial { at, .. } => (w.prior_trial)(&day_text(at), days_between(at, on), &off, &give),
        Basis::Taped { at } => (w.prior_taped)(&day_text(at), days_between(at, on), &give),
        Basis::Typed => (w.prior_typed)(&off, &give),
        Basis::Nothing => (w.prior_nothing)(&give),
    }
}

/// Why a reading is left out.
pub(crate) fn wrong_text(wrong: &Wrong, system: System) -> String {
    match wrong {
        Wrong::Field(field) => problem::field_problem(field, system),
        other => (words().closing.wrong)(other),
    }
}

/// Why nothing can be balanced at all.
pub(crate) fn refused_text(_error: &BalanceError) -> &'static str {
    words().closing.refused
}

/// How a product's rate stands to its label, where that is a caution.
pub(crate) fn label_caution(
    verdict: LabelVerdict,
    place: &str,
    product: &str,
    [most, low, high]: [&str; 3],
) -> Option<String> {
    let w = &words().closing;
    match verdict {
        LabelVerdict::Below => None,
        LabelVerdict::Above => Some((w.label_above)(place, product, most, low, high)),
        LabelVerdict::NotProvenYet => Some((w.label_open)(place, product, most, low, high)),
    }
}

/// Where a reading that was left out stands: its job and its box.
pub(crate) fn complaint_place(closing: &Closing, path: &str) -> String {
    let key = path.split('.').nth(1).unwrap_or_default();
    let job = closing.jobs.iter().find(|job| job.other_day.is_none() && job.key == key);
    let of_load = |(job, key): (&JobTold, &str)| job.loads.iter().find(|(_, load)| load == key).map(|l| l.0);
    let load = job.zip(path.split('.').nth(3)).and_then(of_load);
    let box_name = path_text(path);
    job.map_or_else(|| box_name.clone(), |job| format!("{}, {box_name}", place_text(job, load)))
}

/// A share or amount that a reading may be off by, in the unit in which the reading was typed.
pub(crate) fn give_text<Q: Quantity>(give_si: f64, unit: Q::Unit) -> String {
    number::quantity(Q::from_si(give_si), unit, 2)
}

/// What few entries do not allow to conclude.
pub(crate) fn limits_text(closing: &Closing, products: &[String]) -> Vec<String> {
    let w = &words().closing;
    let estimates = closing.balance.as_ref().map(|b| b.estimates.as_slice()).unwrap_or_default();
    let rests = closing.no_rest.iter().filter_map(|(job, load)| {
        let job = closing.jobs.get(*job)?;
        Some((w.no_rest)(&place_text(job, job.loads.get(*load).map(|(number, _)| *number))))
    });
    let single = estimates.iter().map(|e| e.ratio).filter(|r| closing.n_comparisons(*r) == 1);
    let single: Vec<String> = single.map(|ratio| ratio_text(ratio, products)).collect();
    let single = (!single.is_empty()).then(|| (w.one_comparison)(&single.join("; ")));
    rests.chain(single).collect()
}

/// What a path of a day is called in the book.
pub(crate) fn path_text(path: &str) -> String {
    let w = &words().closing;
    let parts: Vec<&str> = path.split('.').collect();
    let of_load = |liquid: String, rest: &[&str]| match rest {
        [field] => (w.of_liquid)(field, &liquid),
        [field, "by"] => (w.how_read)(&(w.of_liquid)(field, &liquid)),
        [field, ..] => (w.give)(&(w.of_liquid)(field, &liquid)),
        [] => liquid,
    };
    let pump = |n: &str| (w.pump)(n.parse().unwrap_or(0), "");
    match parts.as_slice() {
        ["name"] => w.name.to_owned(),
        ["note"] => words().rig.note.to_owned(),
        ["rig"] => words().rig.title.to_owned(),
        ["setup", ..] => w.setup.to_owned(),
        ["with", _] => w.with.to_owned(),
        ["prior", "pump", n] => (w.prior_box)(&pump(n)),
        ["prior", "speed"] => (w.prior_box)(w.speed),
        ["prior", "width"] => (w.prior_box)(w.width),
        ["prior", _] => (w.prior_box)(w.meter),
        ["outcome", "pump", n, _] => (w.taken)(&pump(n)),
        ["outcome", "meter", _] => (w.taken)(w.meter),
        ["outcome", _, _] => (w.taken)(w.speed),
        [.., "removed"] => (words().book.trial_field)("removed").to_owned(),
        ["job", _, "name"] => w.job_name.to_owned(),
        ["job", _, "by"] => w.ground.to_owned(),
        ["job", _, "planned", "carrier"] => (w.planned)(w.carrier),
        ["job", _, "planned", "product", n] => (w.planned)(&pump(n)),
        ["job", _, "load", _, "carrier", rest @ ..] => of_load(w.carrier.to_owned(), rest),
        ["job", _, "load", _, "product", n, rest @ ..] => of_load(pump(n), rest),
        ["job", _, field] => (w.of_ground)(field).to_owned(),
        ["job", _, field, "by"] => (w.how_read)((w.of_ground)(field)),
        ["job", _, field, _] => (w.give)((w.of_ground)(field)),
        _ => path.to_owned(),
    }
}
