//! What the frame round every screen says: navigation, saving, updates.

pub(crate) struct FrameWords {
    pub(crate) crashed: &'static str,
    pub(crate) skip: &'static str,
    pub(crate) nav: &'static str,
    pub(crate) rig: &'static str,
    pub(crate) key_in: &'static str,
    pub(crate) prove: &'static str,
    pub(crate) book: &'static str,
    pub(crate) settings: &'static str,
    pub(crate) no_rig: &'static str,
    pub(crate) saving: &'static str,
    pub(crate) saved: &'static str,
    pub(crate) not_saved: fn(count: usize) -> String,
    pub(crate) retry: &'static str,
    pub(crate) only_here: fn(count: usize) -> String,
    pub(crate) update_waiting: &'static str,
    pub(crate) update_now: &'static str,
    pub(crate) nothing_here: &'static str,
    pub(crate) nothing_here_more: &'static str,
    pub(crate) to_rigs: &'static str,
    pub(crate) page_title: fn(screen: &str) -> String,
}
