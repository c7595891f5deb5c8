//! How many decimals a number deserves, and the number in digits with a point. Decimal commas, thousands and unit symbols
//! are added by the app, which knows the language.

/// More decimals than this are never shown.
const MOST_DECIMALS: usize = 12;

/// Decimals for a value whose expanded uncertainty is known: the uncertainty gets two significant digits, the value as many
/// decimals as that. Both in the unit in which they are shown.
///
/// An uncertainty that is zero, negative, infinite or not a number says nothing: then the value gets four significant
/// digits. At most 12.
///
/// # Source
/// JCGM 100:2008 (GUM), 7.2.6 (from memory): it usually suffices to quote an uncertainty to at most two significant digits;
/// estimates are rounded to be consistent with it.
///
/// # Example
/// By hand: 748.83 ± 2.6 is shown with one decimal; 0.0998 rounds to 0.10, so two decimals.
/// ```
/// # use units::decimals_for;
/// assert_eq!(decimals_for(748.83, 2.6), 1);
/// assert_eq!(decimals_for(9.5, 0.0998), 2);
/// assert_eq!(decimals_for(748.83, 26.0), 0);
/// ```
#[must_use]
pub fn decimals_for(value_in_unit: f64, uncertainty_in_unit: f64) -> usize {
    if uncertainty_in_unit.is_finite() && uncertainty_in_unit > 0.0 {
        decimals_for_significant(uncertainty_in_unit, 2)
    } else {
        decimals_for_significant(value_in_unit, 4)
    }
}

/// Decimals that show a value with so many significant digits; none where it has as many digits before the point, none for
/// zero and for what is not a finite number. At most 12.
///
/// ```
/// # use units::decimals_for_significant;
/// // By hand: 187.079 to four digits is 187.1; 9.9996 to four digits is 10.00.
/// assert_eq!(decimals_for_significant(187.079, 4), 1);
/// assert_eq!(decimals_for_significant(9.9996, 4), 2);
/// assert_eq!(decimals_for_significant(12_345.0, 3), 0);
/// ```
#[must_use]
pub fn decimals_for_significant(value: f64, digits: usize) -> usize {
    if !value.is_finite() || value == 0.0 {
        return 0;
    }
    let behind_first = digits.clamp(1, 17) - 1;
    // Scientific notation rounds first, so that 9.9996 becomes 1.000e1.
    let scientific = format!("{value:.behind_first$e}");
    let exponent = scientific.rsplit_once('e').and_then(|(_, exponent)| exponent.parse::<i32>().ok());
    let decimals = i32::try_from(behind_first).unwrap_or(0) - exponent.unwrap_or(0);
    usize::try_from(decimals).unwrap_or(0).min(MOST_DECIMALS)
}

/// The value in digits with a point and so many decimals, at most 12. Halves go away from zero, as people round by hand; there is no
/// "-0". What is infinite or not a number comes back as Rust writes it: check before.
///
/// ```
/// # use units::format_decimal;
/// assert_eq!(format_decimal(2.675, 2), "2.68"); // binary would give 2.67
/// assert_eq!(format_decimal(-0.04, 1), "0.0");
/// assert_eq!(format_decimal(748.8, 0), "749");
/// ```
#[must_use]
pub fn format_decimal(value: f64, decimals: usize) -> String {
    let decimals = decimals.min(MOST_DECIMALS);
    let scale = (0..decimals).fold(1.0, |scale, _| scale * 10.0);
    let scaled = value * scale;
    // Beyond this a double has no halves left to round.
    let rounded = if scaled.abs() < 1e15 { round_half_away(scaled) / scale } else { value };
    let text = format!("{rounded:.decimals$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.bytes().all(|b| matches!(b, b'0' | b'.')) => digits.to_owned(),
        _ => text,
    }
}

/// The nearest whole number, halves away from zero, also halves that are a hair short because binary cannot hold them.
pub(crate) fn round_half_away(value: f64) -> f64 {
    let hair = (value.abs() * 1e-12).clamp(1e-12, 1e-6);
    let rounded = (value + hair.copysign(value)).round();
    // Where a double has no decimals any more, the hair must not add up to something.
    if value.abs() < 1e15 { rounded } else { value.round() }
}
