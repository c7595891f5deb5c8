//! A pass being simulated, then what would help it: in slices, begun anew when what goes in changes, ended with the page.

use crate::bridge::drive::Job;
use crate::bridge::drive::digest::{Digest, Digesting};
use crate::browser::slices::{self, Slices, Turn};
use calc::pass::remedies::{Remedies, RemedyError, RemedyList, RemedyOptions};
use calc::pass::simulation::{Progress, Simulation};
use calc::plumbing::Plumbing;
use calc::plumbing::hydraulics::Solver;
use leptos::prelude::*;
use std::sync::Arc;

/// Units of work between two looks at the clock: a millisecond or so on a slow phone.
const BUDGET: usize = 1500;
/// Progress is not shown before.
const LASTS_MS: f64 = 200.0;

/// What is being worked on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stage {
    /// The pass.
    Pass,
    /// What would help.
    Help,
}

/// The run of a page. What was worked out last stays until the next is there.
#[derive(Clone, Copy)]
pub(crate) struct PassRun {
    /// The pass worked out last.
    pub(crate) digest: RwSignal<Option<Arc<Digest>>>,
    /// The same, a moment later, for what is drawn beside the picture.
    pub(crate) courses: RwSignal<Option<Arc<Digest>>>,
    /// What would help it; of the pass that is shown, or nothing yet.
    pub(crate) help: RwSignal<Option<Arc<RemedyList>>>,
    /// What is being worked on.
    pub(crate) stage: RwSignal<Option<Stage>>,
    /// How far that is in percent, once it lasts.
    pub(crate) percent: RwSignal<Option<u32>>,
    /// What the simulation refused, by the pass worked out last.
    pub(crate) refused: RwSignal<Option<RemedyError>>,
    work: StoredValue<Option<Slices>, LocalStorage>,
}

enum Work {
    Begin(Box<Job>),
    Pass(Box<(Simulation, Job)>),
    Digest(Box<(Digesting, Job)>),
    Show(Box<(Arc<Digest>, Job)>),
    BeginHelp(Box<Job>),
    Help(Box<Remedies>),
}

impl PassRun {
    /// At rest, with nothing to show.
    pub(crate) fn new() -> Self {
        Self {
            digest: RwSignal::new(None),
            courses: RwSignal::new(None),
            help: RwSignal::new(None),
            stage: RwSignal::new(None),
            percent: RwSignal::new(None),
            refused: RwSignal::new(None),
            work: StoredValue::new_local(None),
        }
    }

    /// Ends what is under way and begins a job.
    pub(crate) fn begin(self, job: Job) {
        self.stage.set(Some(Stage::Pass));
        self.percent.set(None);
        let began = slices::now_ms();
        let mut work = Some(Work::Begin(Box::new(job)));
        self.work.set_value(Some(slices::in_slices(move || {
            let Some(now) = work.take() else { return Turn::Done };
            match self.work_on(now, began) {
                Ok(next) => {
                    work = next;
                    if work.is_none() {
                        self.rest();
                    }
                }
                Err(problem) => {
                    self.show_nothing();
                    self.refused.set(Some(problem));
                    self.rest();
                }
            }
            match &work {
                None => Turn::Done,
                Some(Work::Show(_) | Work::BeginHelp(_)) => Turn::Pause,
                Some(_) => Turn::More,
            }
        })));
    }

    /// Ends what is under way and shows nothing.
    pub(crate) fn clear(self) {
        self.work.set_value(None);
        self.show_nothing();
        self.refused.set(None);
        self.rest();
    }

    fn show_nothing(self) {
        self.digest.set(None);
        self.courses.set(None);
        self.help.set(None);
    }

    /// Whether what is shown is of an earlier drive.
    pub(crate) fn is_stale(self) -> bool {
        self.stage.get() == Some(Stage::Pass)
    }

    fn rest(self) {
        self.stage.set(None);
        self.percent.set(None);
    }

    fn work_on(self, work: Work, began: f64) -> Result<Option<Work>, RemedyError> {
        Ok(Some(match work {
            Work::Begin(job) => {
                let plumbing = Plumbing::check(&job.network).map_err(RemedyError::Network)?;
                let solver = Solver::new(plumbing, job.law);
                let simulation = Simulation::new(solver, job.pass.clone()).map_err(RemedyError::Pass)?;
                Work::Pass(Box::new((simulation, *job)))
            }
            Work::Pass(mut both) => {
                let progress = both.0.step(BUDGET).map_err(RemedyError::Pass)?;
                self.show(progress, began);
                if progress.is_done() {
                    let (simulation, job) = *both;
                    let outcome = simulation.finish().map_err(RemedyError::Pass)?;
                    Work::Digest(Box::new((Digesting::new(outcome, job.pass.clone(), job.limits), job)))
                } else {
                    Work::Pass(both)
                }
            }
            Work::Digest(mut both) => match both.0.step() {
                None => Work::Digest(both),
                Some(digest) => {
                    self.help.set(None);
                    self.refused.set(None);
                    let digest = Arc::new(digest);
                    self.digest.set(Some(Arc::clone(&digest)));
                    self.stage.set(Some(Stage::Help));
                    self.percent.set(None);
                    Work::Show(Box::new((digest, both.1)))
                }
            },
            Work::Show(both) => {
                let (digest, job) = *both;
                self.courses.set(Some(digest));
                Work::BeginHelp(Box::new(job))
            }
            Work::BeginHelp(job) => {
                let options = RemedyOptions { limits: job.limits, ..RemedyOptions::usual() };
                Work::Help(Box::new(Remedies::new(&job.network, job.law, &job.pass, options)?))
            }
            Work::Help(mut remedies) => {
                let progress = remedies.step(BUDGET)?;
                self.show(progress, began);
                if !progress.is_done() {
                    return Ok(Some(Work::Help(remedies)));
                }
                self.help.set(Some(Arc::new(remedies.finish()?)));
                return Ok(None);
            }
        }))
    }

    fn show(self, progress: Progress, began: f64) {
        if slices::now_ms() - began < LASTS_MS {
            return;
        }
        #[allow(clippy::cast_possible_truncation, reason = "at most 100")]
        let percent = (progress.done * 100).checked_div(progress.total).unwrap_or(100) as u32;
        if self.percent.get_untracked() != Some(percent) {
            self.percent.set(Some(percent));
        }
    }
}
