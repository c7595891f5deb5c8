//! Where things are: the repository, its tools and what it builds. Nothing here touches the disk except to look.

use std::path::{Path, PathBuf};

/// Top folder of the repository. Cargo says where the manifest is when it starts this program; a program started by hand
/// falls back to where it was compiled.
pub(crate) fn root() -> PathBuf {
    let manifest = std::env::var_os("CARGO_MANIFEST_DIR")
        .map_or_else(|| env!("CARGO_MANIFEST_DIR").into(), PathBuf::from);
    manifest
        .ancestors()
        .find(|dir| dir.join("Cargo.lock").is_file())
        .map_or(manifest.clone(), Path::to_path_buf)
}

/// Pinned tools live with the project, whatever `CARGO_TARGET_DIR` says, so that nothing else on the machine changes.
pub(crate) fn tools() -> PathBuf {
    root().join("target/tools")
}

/// Programs installed by cargo.
pub(crate) fn tools_bin() -> PathBuf {
    tools().join("bin")
}

/// The release app as any static host serves it.
pub(crate) fn dist() -> PathBuf {
    root().join("dist")
}

/// Every file below `dir`, as paths relative to it with forward slashes, sorted.
///
/// # Errors
/// When a folder cannot be read or a name is not Unicode.
pub(crate) fn files_below(dir: &Path) -> Result<Vec<String>, String> {
    let mut found = Vec::new();
    let mut waiting = vec![dir.to_path_buf()];
    while let Some(folder) = waiting.pop() {
        let entries =
            std::fs::read_dir(&folder).map_err(|e| format!("cannot read {}: {e}", folder.display()))?;
        for entry in entries {
            let path = entry.map_err(|e| format!("cannot read {}: {e}", folder.display()))?.path();
            if path.is_dir() {
                waiting.push(path);
                continue;
            }
            let name = path.strip_prefix(dir).ok().and_then(Path::to_str);
            found.push(name.ok_or_else(|| format!("odd file name {}", path.display()))?.replace('\\', "/"));
        }
    }
    found.sort();
    Ok(found)
}
