//! English, one file for each screen.

mod adds_up;
mod book;
mod card;
mod closing;
mod frame;
mod keyin;
mod lag;
mod notice;
mod parts;
mod pass;
mod plumbing;
mod problem;
mod prove;
mod reach;
mod rig;
mod rigs;
mod settings;

use super::Words;

pub(super) static WORDS: Words = Words {
    adds_up: adds_up::WORDS,
    book: book::WORDS,
    boom: parts::BOOM,
    card: card::WORDS,
    closing: closing::WORDS,
    chart: parts::CHART,
    frame: frame::WORDS,
    keyin: keyin::WORDS,
    lag: lag::WORDS,
    notice: notice::WORDS,
    plumbing: plumbing::WORDS,
    pass: pass::WORDS,
    problem: problem::WORDS,
    prove: prove::WORDS,
    reach: reach::WORDS,
    rig: rig::WORDS,
    rig_problem: rig::PROBLEMS,
    rigs: rigs::WORDS,
    settings: settings::WORDS,
    stopwatch: parts::STOPWATCH,
};
