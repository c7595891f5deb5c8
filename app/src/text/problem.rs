//! Sentences for typed text that cannot be used: what is wrong and what is possible.

use super::{measure, words};
use crate::state::sheet::System;
use records::fields::FieldProblem;
use units::ParseProblem;

/// What can be wrong with a box.
pub(crate) struct ProblemWords {
    pub(crate) empty: &'static str,
    pub(crate) not_a_number: fn(found: &str) -> String,
    pub(crate) two_marks: fn(found: &str) -> String,
    pub(crate) ambiguous: fn(as_decimal: &str, as_thousands: &str) -> String,
    pub(crate) no_unit: &'static str,
    pub(crate) unknown_unit: fn(found: &str) -> String,
    pub(crate) parts: &'static str,
    pub(crate) zero_below_line: &'static str,
    pub(crate) too_large: &'static str,
    pub(crate) other: &'static str,
    pub(crate) zero: &'static str,
    pub(crate) negative: &'static str,
    pub(crate) out_of_range: fn(least: &str, greatest: &str) -> String,
    pub(crate) not_whole: &'static str,
    pub(crate) not_on_list: &'static str,
    pub(crate) missing: &'static str,
    pub(crate) no_convention: &'static str,
    pub(crate) iso_number: fn(found: &str) -> String,
}

/// The sentence for a field whose text is no value.
pub(crate) fn field_problem(problem: &FieldProblem, system: System) -> String {
    let w = &words().problem;
    match problem {
        FieldProblem::Missing => w.missing.to_owned(),
        FieldProblem::Parse(problem) => parse_problem(problem),
        FieldProblem::Zero => w.zero.to_owned(),
        FieldProblem::Negative => w.negative.to_owned(),
        FieldProblem::OutOfRange { least, greatest, measure, .. } => {
            let text = |si| measure::si_text(*measure, si, system);
            (w.out_of_range)(&text(*least), &text(*greatest))
        }
        FieldProblem::NotWhole { .. } => w.not_whole.to_owned(),
        FieldProblem::NotAChoice { .. } | FieldProblem::UnitCode { .. } => w.not_on_list.to_owned(),
        FieldProblem::Convention(_) | FieldProblem::NoConvention => w.no_convention.to_owned(),
        FieldProblem::NotAnIsoNumber { found } => (w.iso_number)(found),
        _ => w.other.to_owned(),
    }
}

/// The sentence for text that is not a quantity.
pub(crate) fn parse_problem(problem: &ParseProblem) -> String {
    let w = &words().problem;
    match problem {
        ParseProblem::Empty => w.empty.to_owned(),
        ParseProblem::NotANumber { found } => (w.not_a_number)(found),
        ParseProblem::TwoDecimalMarks { found } => (w.two_marks)(found),
        ParseProblem::Ambiguous { as_decimal, as_thousands } => {
            (w.ambiguous)(&as_decimal.to_string(), &as_thousands.to_string())
        }
        ParseProblem::NoUnit => w.no_unit.to_owned(),
        ParseProblem::UnknownUnit { found } => (w.unknown_unit)(found),
        ParseProblem::Parts => w.parts.to_owned(),
        ParseProblem::ZeroBelowLine => w.zero_below_line.to_owned(),
        ParseProblem::TooLarge => w.too_large.to_owned(),
        _ => w.other.to_owned(),
    }
}
