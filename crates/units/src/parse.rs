//! From typed text to a quantity: decimal point or comma, fractions, feet and inches, a unit behind the number.
//!
//! Whether a value makes sense (a three-mile section) is not decided here: `records` knows the ranges. How characters
//! and units are spelled is in `spelling.rs`.

use crate::spelling::clean;
use crate::{Quantity, Unit};

/// A quantity as somebody typed it: the value and the unit that it was typed in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Typed<Q: Quantity> {
    /// The quantity itself.
    pub value: Q,
    /// The unit typed (of `12 ft 6 in` the first), or else the one beside the box.
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
        /// If the mark is a decimal mark; with the sign as typed.
        as_decimal: f64,
        /// If the mark parts thousands; with the sign as typed.
        as_thousands: f64,
    },
    /// A number alone where no unit stands beside the box.
    NoUnit,
    /// Text behind the number that is no unit of this quantity.
    UnknownUnit {
        /// The text as typed.
        found: String,
    },
    /// Parts that do not add up to one value: inches before feet, `12.5 ft 6 in`, `12 ft 15 in`, two temperatures,
    /// `1.5 1/2`, blanks that do not part thousands.
    Parts,
    /// A fraction with zero below the line.
    ZeroBelowLine,
    /// Too large for a number.
    TooLarge,
}

/// Reads a quantity.
///
/// `beside` is the unit that stands beside the box; without it the text must carry its own.
///
/// | typed                                             | read as                                              |
/// |---------------------------------------------------|------------------------------------------------------|
/// | `1.5` `1,5` `.5` `1.` `+1.5` `-2`                 | a number in the unit beside the box                  |
/// | `3/4` `1 3/4` `1-3/4` `1¾`                        | a fraction: whole digits above and below the line    |
/// | `1 234.5` `1,234.5` `1.234,5` `1,234,567`         | thousands in groups of three                         |
/// | `3.66m` `20 gal/ac` `5 oz per 1000 sq ft`         | a number with its own unit                           |
/// | `5 1000 ft2`                                      | five of the unit 1000 ft²                            |
/// | `12 ft 6 in` `12' 6"` `12'-6 1/2"` `12' 6` `12ft6in` | whole feet and less than a foot of inches; likewise other lengths, volumes, masses, durations |
///
/// Blanks may be of any kind, dashes, quote marks and fractions may come from a word processor. A power of ten (`1e3`) is
/// refused: on a phone it is a slip of the thumb.
///
/// # Errors
/// [`ParseProblem`]; nothing is guessed. `1,234` is [`ParseProblem::Ambiguous`]; `0,234`, `12,5` and `1234,567` are not.
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
    let named = |text: &str| Q::Unit::from_typed(text, beside);
    let parts = split_parts(text, |text| named(text).is_some())?;
    let Some((first, others)) = parts.split_first() else {
        return Err(ParseProblem::Empty);
    };
    let resolve = |part: &Part, if_bare: Result<Q::Unit, ParseProblem>| {
        if part.unit.is_empty() {
            return if_bare;
        }
        named(&part.unit).ok_or_else(|| ParseProblem::UnknownUnit { found: part.unit.clone() })
    };
    let unit = resolve(first, beside.ok_or(ParseProblem::NoUnit))?;
    let si = if others.is_empty() {
        unit.to_si(first.value())
    } else {
        let (mut larger, mut whole, mut sum_si) = (unit, first, unit.to_si(first.magnitude));
        for part in others {
            let smaller = resolve(part, inches_after(larger).ok_or(ParseProblem::Parts))?;
            let part_si = smaller.to_si(part.magnitude);
            let adds_up = Q::TYPED_IN_PARTS
                && whole.magnitude.fract() == 0.0
                && smaller.si_per_unit() < larger.si_per_unit()
                && part_si < larger.si_per_unit();
            if !adds_up {
                return Err(ParseProblem::Parts);
            }
            (larger, whole, sum_si) = (smaller, part, sum_si + part_si);
        }
        if first.negative { -sum_si } else { sum_si }
    };
    if !si.is_finite() {
        return Err(ParseProblem::TooLarge);
    }
    Ok(Typed { value: Q::from_si(si), unit })
}

/// Reads a bare number with the same habits and no unit.
///
/// # Errors
/// [`ParseProblem`]; text behind the number is [`ParseProblem::UnknownUnit`].
///
/// ```
/// # use units::{ParseProblem, parse_number};
/// assert_eq!(parse_number("3/4"), Ok(0.75));
/// assert_eq!(parse_number("0,25"), Ok(0.25));
/// assert_eq!(parse_number("1,234"), Err(ParseProblem::Ambiguous { as_decimal: 1.234, as_thousands: 1234.0 }));
/// ```
pub fn parse_number(text: &str) -> Result<f64, ParseProblem> {
    let parts = split_parts(text, |_| false)?;
    match parts.first() {
        Some(first) if first.unit.is_empty() => Ok(first.value()),
        Some(first) => Err(ParseProblem::UnknownUnit { found: first.unit.clone() }),
        None => Err(ParseProblem::Empty),
    }
}

/// "12 ft 6": a bare number after feet means inches. No other pair of units has such a habit.
fn inches_after<U: Unit>(unit: U) -> Option<U> {
    (unit.code() == "ft").then(|| U::from_code("in")).flatten()
}

/// One number and the text behind it. The sign stands apart, since `-0 ft 6 in` is negative.
struct Part {
    magnitude: f64,
    negative: bool,
    unit: String,
}

impl Part {
    fn value(&self) -> f64 {
        if self.negative { -self.magnitude } else { self.magnitude }
    }
}

/// Cuts `12 ft 6 1/2 in` into numbers with the text behind each. At least one part comes back.
fn split_parts(text: &str, is_unit: impl Fn(&str) -> bool) -> Result<Vec<Part>, ParseProblem> {
    let text = clean(text);
    let mut rest = text.as_str();
    if rest.is_empty() {
        return Err(ParseProblem::Empty);
    }
    let mut parts = Vec::new();
    while !rest.is_empty() {
        let mut number = &rest[..number_length(rest)];
        let mut unit_end = number.len() + unit_length(&rest[number.len()..]);
        // "5 1000 ft2": the unit itself begins with a number.
        if let Some((count, _)) = number.rsplit_once(' ')
            && is_unit(&rest[count.len()..])
        {
            number = count;
            unit_end = rest.len();
        }
        let not_a_number = || ParseProblem::NotANumber { found: rest.to_owned() };
        if !number.bytes().any(|b| b.is_ascii_digit()) {
            return Err(not_a_number());
        }
        let (magnitude, negative) = read_number(number)?;
        let after = &rest[unit_end..];
        let mut unit = rest[number.len()..unit_end].trim();
        if !after.is_empty() {
            unit = unit.trim_end_matches([' ', '-']);
        }
        // "12-6" and "10 - 12 ft" are not a number.
        if unit.starts_with(['-', '+']) || (unit.is_empty() && !after.is_empty()) {
            return Err(not_a_number());
        }
        parts.push(Part { magnitude, negative, unit: unit.to_owned() });
        rest = after;
    }
    Ok(parts)
}

/// How many bytes at the start belong to a number: one sign, digits, marks, slashes, blanks between them, and the dash of
/// `1-3/4`.
fn number_length(text: &str) -> usize {
    let mut end = 0;
    for (idx, byte) in text.bytes().enumerate() {
        let belongs = match byte {
            b'0'..=b'9' | b'.' | b',' | b'/' => true,
            b'+' => idx == 0,
            b'-' => {
                idx == 0
                    || (end == idx
                        && text[..idx].ends_with(|c: char| c.is_ascii_digit())
                        && starts_with_fraction(&text[idx + 1..]))
            }
            b' ' => continue,
            _ => false,
        };
        if !belongs {
            break;
        }
        end = idx + 1;
    }
    end
}

/// Whether the text begins like `3/4`.
fn starts_with_fraction(text: &str) -> bool {
    let behind = text.trim_start_matches(|c: char| c.is_ascii_digit());
    behind.len() < text.len() && behind.trim_start().starts_with('/')
}

/// How many bytes belong to the unit: up to where the next number starts. A digit starts a number after a blank, a quote
/// mark, a dash as in `12'-6"`, or a letter when letters follow it (`12ft6in`, but not `5ft2`). Behind a slash everything
/// belongs to the unit ("gal/1000 ft2").
fn unit_length(text: &str) -> usize {
    let until = text.find('/').unwrap_or(text.len());
    for (idx, c) in text[..until].char_indices() {
        let tail = &text[idx..];
        let starts_number = c.is_ascii_digit()
            || (matches!(c, '.' | ',') && tail[1..].starts_with(|d: char| d.is_ascii_digit()));
        if !starts_number {
            continue;
        }
        let head = &text[..idx];
        let joined = |head: &str| head.ends_with(|c: char| c == '\'' || c.is_alphabetic());
        let fresh = head.ends_with([' ', '\'', '"'])
            || head.strip_suffix('-').is_some_and(joined)
            || (head.ends_with(char::is_alphabetic)
                && tail
                    .trim_start_matches(|d: char| d.is_ascii_digit() || d == '.' || d == ',')
                    .starts_with(char::is_alphabetic));
        if fresh {
            return idx;
        }
    }
    text.len()
}

/// A number with sign, fraction and marks: its magnitude, and whether it is negative.
fn read_number(text: &str) -> Result<(f64, bool), ParseProblem> {
    let (negative, body) = match text.strip_prefix('-') {
        Some(body) => (true, body),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let body = body.trim();
    let read = match body.split_once('/') {
        None => read_decimal(body),
        Some((above, below)) => read_fraction(above.trim_end(), below.trim_start())
            .unwrap_or_else(|| Err(ParseProblem::NotANumber { found: text.to_owned() })),
    };
    match read {
        Ok(magnitude) => Ok((magnitude, negative)),
        Err(ParseProblem::Ambiguous { as_decimal, as_thousands }) if negative => {
            Err(ParseProblem::Ambiguous { as_decimal: -as_decimal, as_thousands: -as_thousands })
        }
        Err(problem) => Err(problem),
    }
}

/// `3` over `4`, or `1 3` over `4`. Nothing where the two are not whole digits.
fn read_fraction(above: &str, below: &str) -> Option<Result<f64, ParseProblem>> {
    let digits = |text: &str| -> Option<f64> {
        let whole = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        whole.then(|| text.parse().ok()).flatten()
    };
    let (whole, above) = match above.rsplit_once([' ', '-']) {
        // `1.5 1/2` and `1 2 3/4` are two numbers in one box.
        Some((whole, above)) => match digits(whole) {
            Some(whole) => (whole, above),
            None => return Some(Err(ParseProblem::Parts)),
        },
        None => (0.0, above),
    };
    let (above, below) = (digits(above)?, digits(below)?);
    if below == 0.0 {
        return Some(Err(ParseProblem::ZeroBelowLine));
    }
    let value = whole + above / below;
    Some(if value.is_finite() && below.is_finite() { Ok(value) } else { Err(ParseProblem::TooLarge) })
}

/// Digits with a decimal mark and thousands, no sign.
fn read_decimal(text: &str) -> Result<f64, ParseProblem> {
    let not_a_number = || ParseProblem::NotANumber { found: text.to_owned() };
    let number = |plain: &str| plain.parse::<f64>().map_err(|_| not_a_number());
    let joined = join_blank_groups(text).ok_or(ParseProblem::Parts)?;
    let points = joined.matches('.').count();
    let commas = joined.matches(',').count();
    let value = match (points, commas) {
        (0, 0) | (1, 0) => number(&joined)?,
        (0, 1) => {
            let as_decimal = number(&joined.replace(',', "."))?;
            if grouped(&joined, ',') {
                let as_thousands = number(&joined.replace(',', ""))?;
                return Err(ParseProblem::Ambiguous { as_decimal, as_thousands });
            }
            as_decimal
        }
        // Several of one mark part thousands, if they do so properly.
        (0, _) if grouped(&joined, ',') => number(&joined.replace(',', ""))?,
        (_, 0) if grouped(&joined, '.') => number(&joined.replace('.', ""))?,
        // Both marks: the last one, if it is alone, is the decimal mark.
        (1.., 1..) => {
            let mark = if joined.rfind('.') > joined.rfind(',') { '.' } else { ',' };
            let separator = if mark == '.' { ',' } else { '.' };
            match joined.split_once(mark) {
                Some((whole, decimals)) if grouped(whole, separator) && !decimals.contains(['.', ',']) => {
                    number(&format!("{}.{decimals}", whole.replace(separator, "")))?
                }
                _ => return Err(ParseProblem::TwoDecimalMarks { found: text.to_owned() }),
            }
        }
        _ => return Err(ParseProblem::TwoDecimalMarks { found: text.to_owned() }),
    };
    if value.is_finite() { Ok(value) } else { Err(ParseProblem::TooLarge) }
}

/// `1 234.5` without its blanks. Nothing where the blanks do not part groups of three.
fn join_blank_groups(text: &str) -> Option<String> {
    let Some((before, last)) = text.rsplit_once(' ') else {
        return Some(text.to_owned());
    };
    let last_whole = last.split(['.', ',']).next().unwrap_or(last);
    let whole = format!("{before} {last_whole}");
    grouped(&whole, ' ').then(|| text.replace(' ', ""))
}

/// Whether `separator` parts digits into groups of three, as in `1,234,567`.
fn grouped(text: &str, separator: char) -> bool {
    let digits = |group: &str| group.bytes().all(|b| b.is_ascii_digit());
    let mut groups = text.split(separator);
    let first = groups.next().is_some_and(|g| (1..=3).contains(&g.len()) && !g.starts_with('0') && digits(g));
    first && groups.all(|g| g.len() == 3 && digits(g))
}
