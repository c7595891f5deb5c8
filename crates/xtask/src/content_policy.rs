//! The content security policy of the page: everything from its own origin, nothing else, and only the inline scripts that
//! were there when it was built. It is a meta element because static hosts rarely let one set headers.

use crate::Outcome;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// Stands in `app/index.html` where the policy goes.
const PLACE: &str = "content-security-policy-goes-here";

/// The page with its policy.
///
/// # Errors
/// When the page has no place for it, or an inline script does not end.
pub(crate) fn put_into(page: &str) -> Outcome<String> {
    let (start, end) = meta_element(page).ok_or_else(|| format!("index.html has no meta named {PLACE}"))?;
    let policy = policy(&inline_scripts(page)?);
    let meta = format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">");
    Ok([&page[..start], &meta, &page[end..]].concat())
}

fn policy(scripts: &[&str]) -> String {
    let hashes: String =
        scripts.iter().map(|script| format!(" '{}'", integrity(script.as_bytes()))).collect();
    [
        "default-src 'self'",
        &format!("script-src 'self'{hashes} 'wasm-unsafe-eval'"),
        "connect-src 'self'",
        "img-src 'self' data: blob:",
        "style-src 'self'",
        // Drawings place their parts by style attributes; an attribute cannot load anything under this policy.
        "style-src-attr 'unsafe-inline'",
        "object-src 'none'",
        "base-uri 'self'",
        "form-action 'none'",
        "worker-src 'self'",
        "manifest-src 'self'",
    ]
    .join("; ")
}

/// `sha256-…`, as policies and the `integrity` of a request write it.
pub(crate) fn integrity(bytes: &[u8]) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(bytes)))
}

/// Start and end of the meta element that holds the place.
fn meta_element(page: &str) -> Option<(usize, usize)> {
    let inside = page.find(PLACE)?;
    let start = page[..inside].rfind("<meta")?;
    let end = inside + page[inside..].find('>')? + 1;
    Some((start, end))
}

/// The text of every script element without `src`.
fn inline_scripts(page: &str) -> Outcome<Vec<&str>> {
    let mut scripts = Vec::new();
    let mut rest = page;
    while let Some(start) = rest.find("<script") {
        rest = &rest[start..];
        let open = rest.find('>').ok_or("a <script> tag in index.html does not end")?;
        let (tag, body) = rest.split_at(open + 1);
        let close = body.find("</script>").ok_or("a <script> in index.html is not closed")?;
        if !tag.contains(" src=") {
            scripts.push(&body[..close]);
        }
        rest = &body[close..];
    }
    Ok(scripts)
}

#[cfg(test)]
mod tests {
    use super::*;

    // SHA-256 of nothing is e3b0c442 98fc1c14 9afbf4c8 996fb924 27ae41e4 649b934c a495991b 7852b855 (NIST's example values
    // for FIPS 180-4); its base64 was made with coreutils.
    #[test]
    fn digest_of_nothing_is_the_published_one() {
        assert_eq!(integrity(b""), "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=");
    }

    #[test]
    fn only_inline_scripts_are_hashed() {
        let page = "<script src=\"a.js\"></script><script type=module>let a=1</script><script>b</script>";
        assert_eq!(inline_scripts(page), Ok(vec!["let a=1", "b"]));
    }

    #[test]
    fn policy_takes_the_place_of_the_marker() {
        let page = format!("<head><meta charset=utf-8><meta name={PLACE}><title>x</title>");
        let done = put_into(&page).unwrap();
        assert!(done.starts_with("<head><meta charset=utf-8><meta http-equiv=\"Content-Security-Policy\""));
        assert!(done.ends_with("\"><title>x</title>"));
        assert!(!done.contains(PLACE));
    }

    #[test]
    fn a_page_without_a_place_is_refused() {
        assert!(put_into("<head></head>").is_err());
    }
}
