//! Writes `sw.js`: the worker in `worker/sw.js` together with the list of files it keeps and their digests.
//! How the worker behaves is in that file; what belongs on the list is decided here.

use crate::content_policy::integrity;
use crate::{Outcome, place};
use sha2::{Digest, Sha256};
use std::fs;
use std::path::Path;

const WORKER: &str = include_str!("worker/sw.js");

/// The worker goes beside the files it keeps; it is the last file of a build.
///
/// # Errors
/// When a file cannot be read or the worker not be written.
pub(crate) fn write_worker(dir: &Path) -> Outcome {
    let mut files = Vec::new();
    for name in place::files_below(dir)?.into_iter().filter(|name| is_kept(name)) {
        let bytes = fs::read(dir.join(&name)).map_err(|e| format!("cannot read {name}: {e}"))?;
        files.push((name, integrity(&bytes)));
    }
    fs::write(dir.join("sw.js"), worker(&files)).map_err(|e| format!("cannot write sw.js: {e}"))
}

/// What a first visit brings along, so that the app works with the server gone. The worker itself is kept by the browser,
/// the 404 page is for people without it, and pictures for the installation dialog are shown only while online.
pub(crate) fn is_kept(name: &str) -> bool {
    !matches!(name, "sw.js" | "404.html") && !name.starts_with("screenshots/")
}

/// The version depends on the worker's own text as well: two builds with the same files but different workers must not
/// share a cache, or a failed installation of one would empty the other's.
fn worker(files: &[(String, String)]) -> String {
    let list = serde_json::json!(files).to_string();
    let digest = Sha256::new().chain_update(WORKER).chain_update(&list).finalize();
    let version: String = digest.iter().take(8).map(|byte| format!("{byte:02x}")).collect();
    WORKER.replace("\"__VERSION__\"", &format!("\"{version}\"")).replace("\"__FILES__\"", &list)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(name: &str, integrity: &str) -> (String, String) {
        (name.into(), integrity.into())
    }

    fn cache_line(worker: &str) -> &str {
        worker.lines().find(|line| line.starts_with("const VERSION")).unwrap()
    }

    #[test]
    fn every_place_is_filled() {
        let text = worker(&[file("index.html", "sha256-x")]);
        assert!(!text.contains("__"));
        assert!(text.contains(r#"[["index.html","sha256-x"]]"#));
    }

    #[test]
    fn other_bytes_under_the_same_name_are_another_version() {
        let one = worker(&[file("a.wasm", "sha256-x")]);
        let other = worker(&[file("a.wasm", "sha256-y")]);
        assert_ne!(cache_line(&one), cache_line(&other));
    }

    #[test]
    fn the_same_files_are_the_same_version() {
        let files = [file("a.wasm", "sha256-x")];
        assert_eq!(worker(&files), worker(&files));
    }

    #[test]
    fn worker_and_error_page_are_not_on_the_list() {
        assert!(!is_kept("sw.js") && !is_kept("404.html") && !is_kept("screenshots/prove.png"));
        assert!(is_kept("index.html") && is_kept("icons/icon.svg"));
    }
}
