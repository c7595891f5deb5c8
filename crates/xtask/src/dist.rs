//! What happens to a bundle after Trunk made it and before it becomes `dist/`: wasm-opt, security policy, 404 page,
//! offline list, in this order, because each looks at the bytes the one before left behind.

use crate::{Outcome, content_policy, offline_list, process, setup};
use std::fs;
use std::path::{Path, PathBuf};

/// Where Trunk collects the files until all hooks have run.
const STAGING: &str = "TRUNK_STAGING_DIR";

/// Called by Trunk as its `post_build` hook.
///
/// # Errors
/// When it was not Trunk that called, or one of the steps fails.
pub(crate) fn finish_from_hook() -> Outcome {
    let dir = std::env::var_os(STAGING).map(PathBuf::from).ok_or_else(|| format!("{STAGING} is not set"))?;
    if std::env::var("TRUNK_PROFILE").is_ok_and(|profile| profile == "release") {
        shrink_programs(&dir)?;
    }
    let index = dir.join("index.html");
    let page = fs::read_to_string(&index).map_err(|e| format!("cannot read {}: {e}", index.display()))?;
    let page = content_policy::put_into(&page)?;
    // A static host answers unknown addresses with 404.html; the app then shows its own start.
    for name in ["index.html", "404.html"] {
        fs::write(dir.join(name), &page).map_err(|e| format!("cannot write {name}: {e}"))?;
    }
    offline_list::write_worker(&dir)
}

fn shrink_programs(dir: &Path) -> Outcome {
    for entry in fs::read_dir(dir).map_err(|e| format!("cannot read {}: {e}", dir.display()))? {
        let file = entry.map_err(|e| format!("cannot read {}: {e}", dir.display()))?.path();
        if file.extension().is_none_or(|extension| extension != "wasm") {
            continue;
        }
        let mut wasm_opt = process::command("node");
        wasm_opt.arg(setup::wasm_opt()).arg(&file).arg("-o").arg(&file).args([
            "-Oz",
            "--strip-debug",
            "--strip-producers",
            // What the compiler may use; without them wasm-opt refuses the file.
            "--enable-bulk-memory",
            "--enable-bulk-memory-opt",
            "--enable-nontrapping-float-to-int",
            "--enable-sign-ext",
            "--enable-mutable-globals",
            "--enable-reference-types",
            "--enable-multivalue",
        ]);
        process::run(&mut wasm_opt)?;
    }
    Ok(())
}
