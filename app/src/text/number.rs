//! How numbers and units are written: decimals by uncertainty or by step, a thin space between thousands, a real minus.

use units::{Quantity, Unit, decimals_for, decimals_for_significant, format_decimal};

/// A number with so many decimals. Thousands are parted by a narrow space from five digits on; the decimal mark is the
/// language's (English: a point).
pub(crate) fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let plain = format_decimal(value.abs(), decimals);
    let (whole, rest) = plain.split_once('.').map_or((plain.as_str(), ""), |(w, r)| (w, r));
    let mut grouped = String::with_capacity(plain.len() + 4);
    for (idx, digit) in whole.chars().enumerate() {
        if idx > 0 && whole.len() > 4 && (whole.len() - idx) % 3 == 0 {
            grouped.push('\u{202f}');
        }
        grouped.push(digit);
    }
    if !rest.is_empty() {
        grouped.push('.');
        grouped.push_str(rest);
    }
    let zero = plain.bytes().all(|b| b == b'0' || b == b'.');
    if value < 0.0 && !zero { format!("−{grouped}") } else { grouped }
}

/// A number to so many significant digits, without an exponent, trailing zeros after the mark dropped.
pub(crate) fn significant(value: f64, digits: u8) -> String {
    let text = number(value, decimals_for_significant(value, digits.into()));
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A quantity in a unit to so many significant digits, e.g. `187.1 L/ha`.
pub(crate) fn quantity<Q: Quantity>(value: Q, unit: Q::Unit, digits: u8) -> String {
    format!("{}\u{a0}{}", significant(value.in_unit(unit), digits), unit.symbol())
}

/// A quantity with its expanded uncertainty, both to the decimals of two digits of the uncertainty (JCGM 100, 7.2.6).
pub(crate) fn with_uncertainty(value: f64, expanded: f64, symbol: &str) -> String {
    if !expanded.is_finite() {
        return format!("{}\u{a0}{symbol}", significant(value, 4)).trim_end().to_owned();
    }
    let decimals = decimals_for(value, expanded);
    format!("{} ± {}\u{a0}{symbol}", number(value, decimals), number(expanded, decimals))
        .trim_end()
        .to_owned()
}

/// A difference with its sign, to the decimals of its expanded uncertainty, e.g. `+1.5 psi`.
pub(crate) fn signed_quantity<Q: Quantity>(value: Q, unit: Q::Unit, expanded: Q) -> String {
    let (value, expanded) = (value.in_unit(unit), expanded.in_unit(unit));
    let text = number(value, decimals_for(value, expanded));
    let zero = text.bytes().all(|b| matches!(b, b'0' | b'.'));
    let sign = if value > 0.0 && !zero { "+" } else { "" };
    format!("{sign}{text}\u{a0}{}", unit.symbol())
}

/// A relative change in percent with its sign, e.g. `+0.6 %`.
pub(crate) fn signed_percent(share: f64, decimals: usize) -> String {
    let percent = share * 100.0;
    let text = number(percent, decimals);
    let zero = text.bytes().all(|b| matches!(b, b'0' | b'.'));
    let sign = if percent > 0.0 && !zero { "+" } else { "" };
    format!("{sign}{text}\u{a0}%")
}

/// A share in percent, e.g. `5 %`.
pub(crate) fn percent(share: f64, digits: u8) -> String {
    format!("{}\u{a0}%", significant(share * 100.0, digits))
}

/// Minutes and seconds with tenths, as on a stopwatch: `1:02.3`.
pub(crate) fn stopwatch(seconds: f64) -> String {
    let tenths = (seconds.max(0.0) * 10.0).floor();
    let minutes = (tenths / 600.0).floor();
    let rest = (tenths - minutes * 600.0) / 10.0;
    format!("{minutes:.0}:{rest:04.1}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_follow_the_uncertainty() {
        // JCGM 100, 7.2.6: two digits of the uncertainty are enough. By hand.
        assert_eq!(with_uncertainty(786.0076, 5.18863, "pulses/gal"), "786.0 ± 5.2\u{a0}pulses/gal");
        assert_eq!(with_uncertainty(1.03422, 0.006_827, ""), "1.0342 ± 0.0068");
    }

    #[test]
    fn numbers_read_as_people_write_them() {
        assert_eq!(number(-0.04, 1), "0.0");
        // Halves go away from zero.
        assert_eq!(number(-1.25, 1), "−1.3");
        assert_eq!(number(12_345.6, 0), "12\u{202f}346");
        assert_eq!(significant(0.352_4, 3), "0.352");
        assert_eq!(significant(40.0, 3), "40");
        assert_eq!(signed_percent(0.0062, 1), "+0.6\u{a0}%");
        assert_eq!(stopwatch(62.38), "1:02.3");
    }
}
