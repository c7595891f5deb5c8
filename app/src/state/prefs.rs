//! Small settings of this device: who writes, glove size, the rig last looked at, the last copy handed out.

use crate::browser::shelf;
use leptos::prelude::*;

/// The settings, each a signal that is kept as it changes.
#[derive(Clone, Copy)]
pub(crate) struct Prefs {
    /// Who writes in the book.
    pub(crate) name: RwSignal<String>,
    /// Glove size: larger targets and figures.
    pub(crate) glove: RwSignal<bool>,
    /// The rig last looked at.
    pub(crate) rig: RwSignal<Option<String>>,
    /// How many entries the last copy that was handed out held.
    pub(crate) copied: RwSignal<usize>,
}

impl Prefs {
    /// Reads the settings and keeps them from now on. Called once, at the root.
    pub(crate) fn open() -> Self {
        let text = |key: &str| shelf::get(&format!("pref/{key}")).unwrap_or_default();
        let rig = text("rig");
        let prefs = Self {
            name: RwSignal::new(text("name")),
            glove: RwSignal::new(text("glove") == "yes"),
            rig: RwSignal::new((!rig.is_empty()).then_some(rig)),
            copied: RwSignal::new(text("copied").parse().unwrap_or(0)),
        };
        // A setting that cannot be kept is asked for again next time; no record is lost by it.
        let keep = |key: &'static str, text: String| {
            let _ = shelf::put(&format!("pref/{key}"), &text);
        };
        Effect::new(move |_| keep("name", prefs.name.get()));
        Effect::new(move |_| keep("glove", if prefs.glove.get() { "yes".to_owned() } else { String::new() }));
        Effect::new(move |_| keep("rig", prefs.rig.get().unwrap_or_default()));
        Effect::new(move |_| keep("copied", prefs.copied.get().to_string()));
        prefs
    }
}

/// The settings in force.
pub(crate) fn prefs() -> Prefs {
    expect_context()
}
