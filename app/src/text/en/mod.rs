//! English, one file for each screen.

mod frame;
mod keyin;
mod notice;
mod parts;
mod problem;
mod prove;
mod rig;
mod rigs;

use super::Words;

pub(super) static WORDS: Words = Words {
    boom: parts::BOOM,
    chart: parts::CHART,
    frame: frame::WORDS,
    keyin: keyin::WORDS,
    notice: notice::WORDS,
    problem: problem::WORDS,
    prove: prove::WORDS,
    rig: rig::WORDS,
    rig_problem: rig::PROBLEMS,
    rigs: rigs::WORDS,
    stopwatch: parts::STOPWATCH,
};
