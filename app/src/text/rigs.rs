//! What the list of rigs says.

pub(crate) struct RigsWords {
    pub(crate) title: &'static str,
    pub(crate) none_yet: &'static str,
    pub(crate) unnamed: &'static str,
    pub(crate) begin: &'static str,
    pub(crate) blank_us: &'static str,
    pub(crate) blank_metric: &'static str,
    pub(crate) examples: &'static str,
    pub(crate) choose: &'static str,
    pub(crate) copy_hint: &'static str,
}
