//! The window that the page is seen through.

use leptos::prelude::*;

/// Whether there is room for parts side by side.
pub(crate) fn is_wide() -> bool {
    window().inner_width().ok().and_then(|width| width.as_f64()).is_some_and(|width| width >= 900.0)
}
