//! From typed text to a quantity: decimal point or comma, fractions, feet and inches, a unit behind the number.
//!
//! Whether a value makes sense (a three-mile section) is not decided here: `records` knows the ranges.

use crate::{Quantity, Unit};

/// A quantity as somebody typed it: the value and the unit that it was typed in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Typed<Q: Quantity> {
    /// The quantity itself.
    pub value: Q,
    /// The unit typed last, or the one beside the box.
    pub unit: Q::Unit,
}

/// Why typed text is not a quantity.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum ParseProblem {
    /// Nothing but blanks.
    Empty,
    /// There is no number where one should be.
    NotANumber {
        /// The text that stands there.
        found: String,
    },
    /// Two decimal marks in one number, as in `1.2.3`.
    TwoDecimalMarks {
        /// The number as typed.
        found: String,
    },
    /// `1,234` may be one and a bit or more than a thousand. Ask.
    Ambiguous {
        /// If the mark is a decimal mark.
        as_decimal: f64,
        /// If the mark parts thousands.
        as_thousands: f64,
    },
    /// A number alone where no unit stands beside the box.
    NoUnit,
    /// Text behind the number that is no unit of this quantity.
    UnknownUnit {
        /// The text as typed.
        found: String,
    },
    /// Parts such as feet and inches out of order, or a fraction of nothing.
    Parts,
    /// A fraction with zero below the line.
    ZeroBelowLine,
    /// Too large for a number.
    TooLarge,
}

/// Reads a quantity.
///
/// `beside` is the unit that stands beside the box; without it the text must carry its own.
/// Accepted: `1.5`, `1,5`, `-2`, `3/4`, `1 3/4`, `12 ft 6 in`, `12' 6"`, `12' 6 1/2"`, `3.66m`, `1 234.5`, `1,234.5`, `1.234,5`.
///
/// # Errors
/// [`ParseProblem`]; nothing is guessed.
///
/// # Example
/// By hand: 12 ft 6 in = 150 in = 3.81 m.
/// ```
/// # use units::{parse, Length, LengthUnit};
/// let typed = parse::<Length>(" 12 ft 6 in", None)?;
/// assert!((typed.value.as_m() - 3.81).abs() < 1e-12);
/// assert!((parse::<Length>("12' 6\"", Some(LengthUnit::Metre))?.value.as_m() - 3.81).abs() < 1e-12);
/// assert!((parse::<Length>("1,5", Some(LengthUnit::Metre))?.value.as_m() - 1.5).abs() < 1e-12);
/// # Ok::<(), units::ParseProblem>(())
/// ```
pub fn parse<Q: Quantity>(text: &str, beside: Option<Q::Unit>) -> Result<Typed<Q>, ParseProblem> {
    let parts = split_parts(text)?;
    let mut total_si = 0.0;
    let mut last: Option<(f64, Q::Unit)> = None;
    let count = parts.len();
    for (idx, part) in parts.iter().enumerate() {
        let unit = if part.unit.is_empty() {
            match (last, count) {
                // "12 ft 6": a bare number after feet means inches; nothing else has such a habit.
                (Some((_, previous)), _) => next_smaller(previous).ok_or(ParseProblem::Parts)?,
                (None, 1) => beside.ok_or(ParseProblem::NoUnit)?,
                (None, _) => return Err(ParseProblem::Parts),
            }
        } else {
            Q::Unit::from_typed(&part.unit, beside)
                .ok_or_else(|| ParseProblem::UnknownUnit { found: part.unit.clone() })?
        };
        if idx > 0 {
            let smaller = last.is_some_and(|(_, previous)| unit.si_per_unit() < previous.si_per_unit());
            if !smaller || part.value < 0.0 {
                return Err(ParseProblem::Parts);
            }
        }
        // Only sizes add up; a temperature has one part.
        if count > 1 {
            let sign = if parts.first().is_some_and(|p| p.negative) && idx > 0 { -1.0 } else { 1.0 };
            total_si += sign * part.value * unit.si_per_unit();
        } else {
            total_si = unit.to_si(part.value);
        }
        last = Some((part.value, unit));
    }
    let unit = match (count, last) {
        (1, Some((_, unit))) => unit,
        // A sum such as 12 ft 6 in is shown in the larger unit's neighbourhood: keep the unit of the first part.
        (_, Some(_)) => {
            parts.first().and_then(|p| Q::Unit::from_typed(&p.unit, beside)).ok_or(ParseProblem::Parts)?
        }
        (_, None) => return Err(ParseProblem::Empty),
    };
    if !total_si.is_finite() {
        return Err(ParseProblem::TooLarge);
    }
    Ok(Typed { value: Q::from_si(total_si), unit })
}

/// Reads a bare number with the same habits and no unit.
///
/// # Errors
/// [`ParseProblem`]; text behind the number is [`ParseProblem::UnknownUnit`].
///
/// ```
/// # use units::parse_number;
/// assert_eq!(parse_number("3/4"), Ok(0.75));
/// assert_eq!(parse_number("0,25"), Ok(0.25));
/// ```
pub fn parse_number(text: &str) -> Result<f64, ParseProblem> {
    let parts = split_parts(text)?;
    match parts.as_slice() {
        [only] if only.unit.is_empty() => Ok(only.value),
        [only] => Err(ParseProblem::UnknownUnit { found: only.unit.clone() }),
        _ => Err(ParseProblem::Parts),
    }
}

/// Inches after feet. Found by size, so that it holds for lengths alone: no other unit is a twelfth of its neighbour.
fn next_smaller<U: Unit>(unit: U) -> Option<U> {
    (unit.code() == "ft").then(|| U::from_code("in")).flatten()
}

struct Part {
    value: f64,
    negative: bool,
    unit: String,
}

/// Cuts `12 ft 6 1/2 in` into numbers with the text behind each.
fn split_parts(text: &str) -> Result<Vec<Part>, ParseProblem> {
    let cleaned: String = text
        .chars()
        .map(|c| match c {
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\t' => ' ',
            '−' | '–' => '-',
            '⁄' => '/',
            '½' => '\u{bd}',
            other => other,
        })
        .collect::<String>()
        .replace('\u{bd}', " 1/2")
        .replace('¼', " 1/4")
        .replace('¾', " 3/4");
    let mut rest = cleaned.trim();
    if rest.is_empty() {
        return Err(ParseProblem::Empty);
    }
    let mut parts = Vec::new();
    while !rest.is_empty() {
        let number_len = number_length(rest);
        let (number, behind) = rest.split_at(number_len);
        if number.trim().is_empty() {
            return Err(ParseProblem::NotANumber { found: rest.trim().to_owned() });
        }
        let (value, negative) = read_number(number.trim())?;
        let unit_len = unit_length(behind);
        let (unit, after) = behind.split_at(unit_len);
        parts.push(Part { value, negative, unit: unit.trim().to_owned() });
        rest = after.trim_start();
    }
    Ok(parts)
}

/// How many bytes at the start belong to a number: digits, marks, blanks between digits, one sign, a slash.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut end = 0;
    let mut idx = 0;
    while let Some(&byte) = bytes.get(idx) {
        let sign = matches!(byte, b'-' | b'+') && end == 0 && text[..idx].trim().is_empty();
        let inside = byte.is_ascii_digit() || matches!(byte, b'.' | b',' | b'/');
        if inside || sign {
            idx += 1;
            end = idx;
        } else if byte == b' ' {
            idx += 1;
        } else {
            break;
        }
    }
    // A slash right at the end belongs to the unit or to nothing.
    end
}

/// How many bytes belong to the unit: up to the next number that starts after a blank or a quote mark. Digits inside a
/// unit ("gal/1000 ft2", "1000 sq ft") follow a slash or a letter.
fn unit_length(text: &str) -> usize {
    let mut before: Option<char> = None;
    let mut per = false;
    for (idx, c) in text.char_indices() {
        let starts_number = c.is_ascii_digit()
            || (matches!(c, '.' | ',') && text[idx + 1..].starts_with(|d: char| d.is_ascii_digit()));
        if starts_number && !per {
            let fresh = matches!(before, Some(' ' | '\'' | '"' | '′' | '″' | '’' | '”'));
            if fresh {
                return idx;
            }
        }
        per = per || c == '/';
        before = Some(c);
    }
    text.len()
}

/// A number with fraction, sign and marks; the sign is returned too, since `-0 ft 6 in` is negative.
fn read_number(text: &str) -> Result<(f64, bool), ParseProblem> {
    let negative = text.starts_with('-');
    let body = text.trim_start_matches(['-', '+']).trim();
    let not_a_number = || ParseProblem::NotANumber { found: text.to_owned() };
    let magnitude = match body.split_once('/') {
        None => read_decimal(body)?,
        Some((above, below)) => {
            let (whole, above) = match above.trim().rsplit_once(' ') {
                Some((whole, above)) => (read_decimal(whole.trim())?, above),
                None => (0.0, above.trim()),
            };
            if below.contains('/') {
                return Err(not_a_number());
            }
            let below = read_decimal(below.trim())?;
            if below == 0.0 {
                return Err(ParseProblem::ZeroBelowLine);
            }
            whole + read_decimal(above)? / below
        }
    };
    Ok((if negative { -magnitude } else { magnitude }, negative))
}

/// Digits with decimal mark and thousands, no sign.
fn read_decimal(text: &str) -> Result<f64, ParseProblem> {
    let not_a_number = || ParseProblem::NotANumber { found: text.to_owned() };
    let two_marks = || ParseProblem::TwoDecimalMarks { found: text.to_owned() };
    let blanks = text.contains(' ');
    if blanks {
        let mut groups = text.split(' ');
        let first_ok = groups
            .next()
            .is_some_and(|g| (1..=3).contains(&g.len()) && g.bytes().all(|b| b.is_ascii_digit()));
        let rest_ok = groups.all(|g| g.split(['.', ',']).next().is_some_and(|whole| whole.len() == 3));
        if !first_ok || !rest_ok {
            return Err(ParseProblem::Parts);
        }
    }
    let text: String = text.chars().filter(|c| *c != ' ').collect();
    if !text.bytes().any(|b| b.is_ascii_digit()) {
        return Err(not_a_number());
    }
    let points = text.matches('.').count();
    let commas = text.matches(',').count();
    let plain = match (points, commas) {
        (0, 0) => text.clone(),
        (1, 0) | (0, 1) => {
            let mark = if points == 1 { '.' } else { ',' };
            let (whole, decimals) = text.split_once(mark).ok_or_else(not_a_number)?;
            let could_be_thousands = mark == ','
                && !blanks
                && decimals.len() == 3
                && (1..=3).contains(&whole.len())
                && !whole.starts_with('0');
            if could_be_thousands {
                let digits = |s: &str| s.parse::<f64>().map_err(|_| not_a_number());
                return Err(ParseProblem::Ambiguous {
                    as_decimal: digits(&format!("{whole}.{decimals}"))?,
                    as_thousands: digits(&format!("{whole}{decimals}"))?,
                });
            }
            text.replace(',', ".")
        }
        (1, _) if text.rfind('.') > text.rfind(',') && grouped(&text, ',', '.') => text.replace(',', ""),
        (_, 1) if text.rfind(',') > text.rfind('.') && grouped(&text, '.', ',') => {
            text.replace('.', "").replace(',', ".")
        }
        (0, _) if grouped(&text, ',', '.') => text.replace(',', ""),
        (_, 0) if grouped(&text, '.', ',') => text.replace('.', ""),
        _ => return Err(two_marks()),
    };
    let value: f64 = plain.parse().map_err(|_| not_a_number())?;
    if value.is_finite() { Ok(value) } else { Err(ParseProblem::TooLarge) }
}

/// Whether `separator` parts groups of three in the whole part that ends at `mark`.
fn grouped(text: &str, separator: char, mark: char) -> bool {
    let whole = text.split(mark).next().unwrap_or(text);
    let mut groups = whole.split(separator);
    let first = groups.next().is_some_and(|g| (1..=3).contains(&g.len()) && !g.starts_with('0'));
    first && groups.all(|g| g.len() == 3)
}
