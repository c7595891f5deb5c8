//! What notices above a screen say.

pub(crate) struct NoticeWords {
    pub(crate) storage_blocked: &'static str,
    pub(crate) storage_full: &'static str,
    pub(crate) storage_failed: &'static str,
    pub(crate) shelf_full: &'static str,
    pub(crate) newer: &'static str,
    pub(crate) set_aside: fn(count: usize) -> String,
    pub(crate) outdated: &'static str,
    pub(crate) to_export: &'static str,
    pub(crate) to_set_aside: &'static str,
}
