//! How people and word processors spell: blanks, dashes, quote marks, fractions, and the many ways to write a unit.
//!
//! Which spellings a unit has stands with its quantity; what is a number is decided in `parse.rs`.

/// Typed or pasted text in plain characters: one ordinary blank at a time and none at the ends, `-`, `/`, `'` and `"` in
/// their plain form, `½` as ` 1/2 `, " per " as `/`, invisible characters gone.
pub(crate) fn clean(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars().filter(|c| !invisible(*c)) {
        match plain_char(c) {
            ' ' => plain.push(' '),
            '½' => plain.push_str(" 1/2 "),
            '⅓' => plain.push_str(" 1/3 "),
            '⅔' => plain.push_str(" 2/3 "),
            '¼' => plain.push_str(" 1/4 "),
            '¾' => plain.push_str(" 3/4 "),
            '⅛' => plain.push_str(" 1/8 "),
            '⅜' => plain.push_str(" 3/8 "),
            '⅝' => plain.push_str(" 5/8 "),
            '⅞' => plain.push_str(" 7/8 "),
            other => plain.push(other),
        }
    }
    let words: Vec<&str> = plain.split(' ').filter(|word| !word.is_empty()).collect();
    words.join(" ").replace(" per ", "/").replace("''", "\"")
}

/// A unit's text in a form in which two spellings of one unit are equal: lower case, without blanks, degree signs and the
/// full stops of abbreviations, `²` as `2`: "Gal. / Min" is "gal/min", "fl. oz per 1,000 ft²" is "floz/1000ft2".
pub(crate) fn fold_unit(text: &str) -> String {
    let plain = clean(text).replace("1,000", "1000").replace("1 000", "1000");
    let mut folded = String::with_capacity(plain.len());
    let mut chars = plain.chars().peekable();
    let mut previous = ' ';
    while let Some(c) = chars.next() {
        // Between digits nothing is dropped: "10.00 ft2" is not the unit 1000 ft².
        let parts_digits = previous.is_ascii_digit() && chars.peek().is_some_and(char::is_ascii_digit);
        let dropped = matches!(c, ' ' | '.' | ',' | '°' | 'º') && !parts_digits;
        if !dropped {
            match c {
                '²' => folded.push('2'),
                '³' => folded.push('3'),
                other => folded.extend(other.to_lowercase()),
            }
        }
        previous = c;
    }
    folded
}

/// Zero-width and direction marks, which come along with pasted text.
fn invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn plain_char(c: char) -> char {
    match c {
        blank if blank.is_whitespace() => ' ',
        '−' | '–' | '‐' | '‑' | '‒' => '-',
        '⁄' | '∕' => '/',
        '′' | '’' | '‘' | '‛' | 'ʹ' => '\'',
        '″' | '”' | '“' | '‟' => '"',
        other => other,
    }
}
