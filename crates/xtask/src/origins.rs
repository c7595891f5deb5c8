//! No file of the release asks for anything from another origin. The page's policy would refuse it while it runs; this finds
//! it before. The compiled program is not searched: messages of libraries inside it may name addresses that nobody opens.

use crate::{Outcome, place};
use std::fs;

/// Names that look like addresses and are never fetched.
const NAMESPACES: [&str; 1] = ["http://www.w3.org/"];
const TEXT: [&str; 7] = ["html", "js", "css", "svg", "json", "webmanifest", "txt"];

/// Searches `dist/`.
///
/// # Errors
/// Names every address found.
pub(crate) fn check() -> Outcome {
    let dist = place::dist();
    let mut found = Vec::new();
    for name in place::files_below(&dist)? {
        if name.rsplit('.').next().is_none_or(|extension| !TEXT.contains(&extension)) {
            continue;
        }
        let text = fs::read_to_string(dist.join(&name)).map_err(|e| format!("cannot read {name}: {e}"))?;
        found.extend(addresses(&text).into_iter().map(|address| format!("{name} names {address}")));
    }
    if found.is_empty() { Ok(()) } else { Err(found.join("\n")) }
}

/// Every address in the text that is not a namespace, up to the quote, bracket or space that ends it. Lines that are nothing
/// but a comment of a script are passed over: the generated loader explains itself in some.
fn addresses(text: &str) -> Vec<&str> {
    let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
    lines.flat_map(addresses_in_line).collect()
}

fn addresses_in_line(text: &str) -> Vec<&str> {
    let starts = text.match_indices("//").filter_map(|(at, _)| {
        let before = &text[..at];
        let scheme =
            ["https:", "http:", "wss:", "ws:"].into_iter().find(|scheme| before.ends_with(scheme))?;
        Some(at - scheme.len())
    });
    let whole = starts.map(|start| {
        let rest = &text[start..];
        let ends = |letter: char| letter.is_whitespace() || "\"'`<>()\\".contains(letter);
        &rest[..rest.find(ends).unwrap_or(rest.len())]
    });
    whole.filter(|address| !NAMESPACES.iter().any(|namespace| address.starts_with(namespace))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_are_found_and_namespaces_are_not() {
        let text =
            r#"<svg xmlns="http://www.w3.org/2000/svg"><a href="https://example.org/x">wss://example.org"#;
        assert_eq!(addresses(text), ["https://example.org/x", "wss://example.org"]);
    }

    #[test]
    fn comments_and_plain_slashes_are_no_addresses() {
        assert!(addresses("  // see https://example.org/why\nlet half = a //b\n").is_empty());
    }
}
