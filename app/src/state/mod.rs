//! What the app holds above its screens: the ledger of records, drafts of half-typed text, small settings.

pub(crate) mod drafts;
pub(crate) mod ledger;
pub(crate) mod pass_run;
pub(crate) mod prefs;
pub(crate) mod sheet;
