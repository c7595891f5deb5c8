//! `cargo xtask icons`: draws the PNG icons from their SVG sources in `public/icons/`. Run it after changing a source; the
//! PNG files are kept with the sources, because a browser asks for them before anything is installed.

use crate::{Outcome, place, process, say, setup};
use std::fs;

/// Source, side in pixels, file. A mask cuts into the last one, so its drawing keeps to the middle.
const ICONS: [(&str, u32, &str); 3] = [
    ("icon.svg", 192, "icon-192.png"),
    ("icon.svg", 512, "icon-512.png"),
    ("icon-maskable.svg", 512, "icon-maskable-512.png"),
];

/// Draws all of them.
///
/// # Errors
/// When there is no browser or a file cannot be written.
pub(crate) fn icons() -> Outcome {
    say("drawing the icons", "a few seconds");
    let folder = place::root().join("public/icons");
    let page = place::root().join("target/icon.html");
    for (source, side, file) in ICONS {
        let html = format!(
            "<style>body {{ margin: 0; background: transparent }} img {{ display: block; width: {side}px }}</style>\
             <img src=\"{}\">",
            folder.join(source).display()
        );
        fs::write(&page, html).map_err(|e| format!("cannot write {}: {e}", page.display()))?;
        let mut chromium = process::command(setup::chromium_path()?);
        chromium.args(["--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"]);
        chromium.args(["--default-background-color=00000000", &format!("--window-size={side},{side}")]);
        chromium.arg(format!("--screenshot={}", folder.join(file).display())).arg(&page);
        process::output(&mut chromium)?;
    }
    Ok(())
}
