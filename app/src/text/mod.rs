//! Every word that a person reads, behind one interface, and how numbers and units are written.
//!
//! [`Words`] lists what can be said, screen by screen; `en` says it in English. A second language is one more module
//! with one more `Words`: the compiler then asks for every sentence. Numbers and units are written in [`number`];
//! problems of typed text become sentences in [`problem`]. No markup and no logic live here.

pub(crate) mod adds_up;
pub(crate) mod book;
pub(crate) mod card;
pub(crate) mod closing;
mod en;
pub(crate) mod frame;
pub(crate) mod keyin;
pub(crate) mod lag;
pub(crate) mod measure;
pub(crate) mod notice;
pub(crate) mod number;
pub(crate) mod parts;
pub(crate) mod pass;
pub(crate) mod plumbing;
pub(crate) mod problem;
pub(crate) mod prove;
pub(crate) mod reach;
pub(crate) mod rig;
pub(crate) mod rigs;
pub(crate) mod settings;

/// Everything that can be said, one part for each screen.
pub(crate) struct Words {
    pub(crate) adds_up: adds_up::AddsUpWords,
    pub(crate) book: book::BookWords,
    pub(crate) boom: parts::BoomWords,
    pub(crate) card: card::CardWords,
    pub(crate) closing: closing::ClosingWords,
    pub(crate) chart: parts::ChartWords,
    pub(crate) frame: frame::FrameWords,
    pub(crate) keyin: keyin::KeyInWords,
    pub(crate) lag: lag::LagWords,
    pub(crate) notice: notice::NoticeWords,
    pub(crate) plumbing: plumbing::PlumbingWords,
    pub(crate) pass: pass::PassWords,
    pub(crate) problem: problem::ProblemWords,
    pub(crate) prove: prove::ProveWords,
    pub(crate) reach: reach::ReachWords,
    pub(crate) rig: rig::RigWords,
    pub(crate) rig_problem: rig::RigProblemWords,
    pub(crate) rigs: rigs::RigsWords,
    pub(crate) settings: settings::SettingsWords,
    pub(crate) stopwatch: parts::StopwatchWords,
}

/// The words in the language in use.
pub(crate) fn words() -> &'static Words {
    &en::WORDS
}
