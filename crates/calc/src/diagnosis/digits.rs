//! Slips of the finger on a row of digits. No unit and no rig is known here.

use units::KeyInStep;

/// The digits as keyed in: the typed text if it is plain and says the value, else the value written in its step.
pub(crate) fn plain_digits(text: &str, value: f64, step: Option<KeyInStep>) -> String {
    let text = text.trim();
    let plain = text.bytes().all(|b| b.is_ascii_digit() || b == b'.') && text.matches('.').count() <= 1;
    let says_it = || text.parse::<f64>().is_ok_and(|x| (x - value).abs() <= 1e-9 * value.abs());
    if plain && says_it() { text.to_owned() } else { digits_of(value, step) }
}

/// A value as the console would show it, or with up to six significant digits where the step is not known.
pub(crate) fn digits_of(value: f64, step: Option<KeyInStep>) -> String {
    if let Some(step) = step {
        let digits = format!("{value:.*}", step.decimals());
        // A value between the steps (a truth that the sheet does not hold) keeps what tells it apart.
        if digits.parse::<f64>().is_ok_and(|x| (x - value).abs() <= 5e-4 * value.abs()) {
            return digits;
        }
    }
    let whole_digits = value.abs().log10().floor();
    let decimals = if whole_digits.is_finite() { (5.0 - whole_digits).clamp(0.0, 9.0) } else { 0.0 };
    let decimals = (0..=9_usize).find(|d| decimals <= *d as f64).unwrap_or(9);
    let digits = format!("{value:.decimals$}");
    if digits.contains('.') { digits.trim_end_matches('0').trim_end_matches('.').to_owned() } else { digits }
}

/// Two neighbouring digits swapped. The mark stays where it is; a zero in front is left out, since it would be seen.
pub(crate) fn swapped(text: &str, push: &mut impl FnMut(usize, f64)) {
    let (digits, mark) = split(text);
    for place in 1..digits.len() {
        if digits[place - 1] == digits[place] || (place == 1 && digits[1] == b'0' && mark != 1) {
            continue;
        }
        let mut other = digits.clone();
        other.swap(place - 1, place);
        push_number(&other, mark, place - 1, push);
    }
}

/// One digit typed twice. Before the mark it makes the number about ten times as large.
pub(crate) fn doubled(text: &str, push: &mut impl FnMut(usize, f64)) {
    let (digits, mark) = split(text);
    for place in 0..digits.len() {
        if place > 0 && digits[place - 1] == digits[place] {
            continue;
        }
        let mut other = digits.clone();
        other.insert(place, digits[place]);
        push_number(&other, if place < mark { mark + 1 } else { mark }, place, push);
    }
}

/// One digit left out.
pub(crate) fn dropped(text: &str, push: &mut impl FnMut(usize, f64)) {
    let (digits, mark) = split(text);
    for place in 0..digits.len() {
        if digits.len() < 2 || (place > 0 && digits[place - 1] == digits[place]) {
            continue;
        }
        let mut other = digits.clone();
        other.remove(place);
        push_number(&other, if place < mark { mark - 1 } else { mark }, place, push);
    }
}

/// Two equal neighbours made one: what was meant where a digit was typed twice.
pub(crate) fn undoubled(text: &str, push: &mut impl FnMut(usize, f64)) {
    let (digits, mark) = split(text);
    for place in 1..digits.len() {
        if digits[place - 1] != digits[place] {
            continue;
        }
        let mut other = digits.clone();
        other.remove(place);
        push_number(&other, if place < mark { mark - 1 } else { mark }, place - 1, push);
    }
}

/// Digits without the mark, and how many stand before it.
fn split(text: &str) -> (Vec<u8>, usize) {
    let mark = text.find('.').unwrap_or(text.len());
    (text.bytes().filter(u8::is_ascii_digit).collect(), mark)
}

fn push_number(digits: &[u8], mark: usize, place: usize, push: &mut impl FnMut(usize, f64)) {
    let whole = digits.iter().fold(0.0, |value, digit| value * 10.0 + f64::from(digit - b'0'));
    let decimals = digits.len().saturating_sub(mark);
    // Divided rather than multiplied by a tenth: 124 ÷ 10 is the 12.4 that a parser gives, 124 × 0.1 is not.
    let scale = (0..decimals).fold(1.0, |scale, _| scale * 10.0);
    push(place, whole / scale);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(slip: fn(&str, &mut Vec<f64>), text: &str) -> Vec<f64> {
        let mut found = Vec::new();
        slip(text, &mut found);
        found
    }

    // By hand, digit by digit.
    #[test]
    fn neighbours_swap() {
        let slip = |text: &str, found: &mut Vec<f64>| swapped(text, &mut |_, x| found.push(x));
        assert_eq!(all(slip, "241"), [421.0, 214.0]);
        assert_eq!(all(slip, "105"), [150.0]); // 015 would be seen
        assert_eq!(all(slip, "12.5"), [21.5, 15.2]);
        assert_eq!(all(slip, "299"), [929.0]);
        assert_eq!(all(slip, "7"), [0.0; 0]);
    }

    #[test]
    fn a_digit_is_typed_twice_or_not_at_all() {
        let twice = |text: &str, found: &mut Vec<f64>| doubled(text, &mut |_, x| found.push(x));
        assert_eq!(all(twice, "241"), [2241.0, 2441.0, 2411.0]);
        assert_eq!(all(twice, "12.5"), [112.5, 122.5, 12.55]);
        assert_eq!(all(twice, "299"), [2299.0, 2999.0]); // either nine gives 2999
        let not = |text: &str, found: &mut Vec<f64>| dropped(text, &mut |_, x| found.push(x));
        assert_eq!(all(not, "241"), [41.0, 21.0, 24.0]);
        assert_eq!(all(not, "12.5"), [2.5, 1.5, 12.0]);
        assert_eq!(all(not, "7"), [0.0; 0]);
        let back = |text: &str, found: &mut Vec<f64>| undoubled(text, &mut |_, x| found.push(x));
        assert_eq!(all(back, "2441"), [241.0]);
    }

    #[test]
    fn typed_text_wins_where_it_is_plain() {
        let step = Some(KeyInStep { step: 1.0, largest: None });
        assert_eq!(plain_digits(" 241 ", 241.0, step), "241");
        assert_eq!(plain_digits("12 ft 6 in", 150.0, step), "150");
        assert_eq!(plain_digits("", 12.5, None), "12.5");
        assert_eq!(digits_of(0.888_123_4, step), "0.888123");
    }
}
