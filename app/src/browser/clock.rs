//! Wall time and the steady clock.

use js_sys::Date;
use wasm_bindgen::JsValue;

/// Now, as ISO 8601 in UTC, e.g. `2026-05-04T07:12:33.120Z`.
pub(crate) fn now_iso() -> String {
    Date::new_0().to_iso_string().into()
}

/// Milliseconds of wall time since 1970.
pub(crate) fn wall_ms() -> f64 {
    Date::now()
}

/// A stored ISO time in the reader's own zone, as `2026-05-04 09:12`. Text that is no date comes back as it is.
pub(crate) fn local_minute(iso: &str) -> String {
    let date = Date::new(&JsValue::from_str(iso));
    if date.get_time().is_nan() {
        return iso.to_owned();
    }
    format!(
        "{:04}-{:02}-{:02} {:02}:{:02}",
        date.get_full_year(),
        date.get_month() + 1,
        date.get_date(),
        date.get_hours(),
        date.get_minutes()
    )
}
