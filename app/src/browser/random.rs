//! Chance, from the browser.

use js_sys::Math;

/// Forty random bits, for naming a device.
pub(crate) fn bits() -> u64 {
    let twenty = || {
        // Below 2²⁰ by construction.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let part = (Math::random() * f64::from(1_u32 << 20)) as u64;
        part
    };
    twenty() << 20 | twenty()
}
