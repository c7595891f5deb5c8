//! Where the user is: the address behind the `#`, as a value. Pure; the browser side is `browser::address`.
//!
//! Addresses stand behind a `#` so that any static host serves every deep link from the one page it has, under any
//! sub-path and without a signal.

/// A screen, with the record that it shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Route {
    /// All rigs; where the app starts.
    Rigs,
    /// One rig, what is bolted on.
    Rig(String),
    /// The key-in sheet of a rig (none: the rig last looked at).
    KeyIn(Option<String>),
    /// The trials that a rig can be put through, and those it has been through.
    Prove(Option<String>),
    /// One trial.
    Trial(String),
    /// Readings that do not add up: those of a rig, or one set by its id.
    AddsUp(Option<String>),
    /// What speeds, sections and rates a rig can hold.
    Reach(Option<String>),
    /// When product reaches the nozzles of a rig.
    Lag(Option<String>),
    /// How a rig is plumbed.
    Plumbing(Option<String>),
    /// What a pass will look like: of a rig, or one drive.
    Pass(Option<String>),
    /// The closing balance: a day, or the days of a rig (none: the rig last looked at).
    Closing(Option<String>),
    /// The operator's card of a rig.
    Card(String),
    /// The log; with an id, opened at one trial, change or note.
    Book(Option<String>),
    /// Units, glove size, backup, what is set aside.
    Settings,
    /// An address that leads nowhere.
    Unknown(String),
}

impl Route {
    /// Reads what stands behind the `#`.
    pub(crate) fn from_hash(hash: &str) -> Self {
        let path = hash.trim_start_matches('#').trim_matches('/');
        let mut parts = path.split('/').filter(|p| !p.is_empty());
        let (first, second) = (parts.next(), parts.next().map(str::to_owned));
        if parts.next().is_some() {
            return Self::Unknown(path.to_owned());
        }
        match (first, second) {
            (None, _) | (Some("rig"), None) => Self::Rigs,
            (Some("rig"), Some(id)) => Self::Rig(id),
            (Some("keyin"), id) => Self::KeyIn(id),
            (Some("prove"), id) => Self::Prove(id),
            (Some("trial"), Some(id)) => Self::Trial(id),
            (Some("adds-up"), id) => Self::AddsUp(id),
            (Some("reach"), id) => Self::Reach(id),
            (Some("lag"), id) => Self::Lag(id),
            (Some("plumbing"), id) => Self::Plumbing(id),
            (Some("pass"), id) => Self::Pass(id),
            (Some("closing"), id) => Self::Closing(id),
            (Some("card"), Some(id)) => Self::Card(id),
            (Some("book"), id) => Self::Book(id),
            (Some("settings"), None) => Self::Settings,
            _ => Self::Unknown(path.to_owned()),
        }
    }

    /// The address, `#` and all, for an `href`.
    pub(crate) fn to_hash(&self) -> String {
        let with = |name: &str, id: &Option<String>| match id {
            Some(id) => format!("#/{name}/{id}"),
            None => format!("#/{name}"),
        };
        match self {
            Self::Rigs => "#/rig".to_owned(),
            Self::Rig(id) => format!("#/rig/{id}"),
            Self::KeyIn(id) => with("keyin", id),
            Self::Prove(id) => with("prove", id),
            Self::Trial(id) => format!("#/trial/{id}"),
            Self::AddsUp(id) => with("adds-up", id),
            Self::Reach(id) => with("reach", id),
            Self::Lag(id) => with("lag", id),
            Self::Plumbing(id) => with("plumbing", id),
            Self::Pass(id) => with("pass", id),
            Self::Closing(id) => with("closing", id),
            Self::Card(id) => format!("#/card/{id}"),
            Self::Book(id) => with("book", id),
            Self::Settings => "#/settings".to_owned(),
            Self::Unknown(path) => format!("#/{path}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Route;

    #[test]
    fn every_address_leads_back_to_its_screen() {
        let id = || Some("rig:k3f9a2bc-17".to_owned());
        for route in [
            Route::Rigs,
            Route::Rig("rig:k3f9a2bc-17".to_owned()),
            Route::KeyIn(None),
            Route::KeyIn(id()),
            Route::Prove(id()),
            Route::Trial("trial:k3f9a2bc-18".to_owned()),
            Route::AddsUp(None),
            Route::AddsUp(Some("readings:k3f9a2bc-19".to_owned())),
            Route::Reach(None),
            Route::Reach(id()),
            Route::Lag(None),
            Route::Lag(id()),
            Route::Plumbing(id()),
            Route::Pass(None),
            Route::Pass(Some("drive:k3f9a2bc-19".to_owned())),
            Route::Closing(None),
            Route::Closing(Some("job:k3f9a2bc-19".to_owned())),
            Route::Card("rig:k3f9a2bc-17".to_owned()),
            Route::Book(None),
            Route::Book(id()),
            Route::Settings,
            Route::Unknown("no/such/place".to_owned()),
        ] {
            assert_eq!(Route::from_hash(&route.to_hash()), route);
        }
    }

    #[test]
    fn a_card_is_of_one_rig() {
        assert_eq!(Route::from_hash("#/card"), Route::Unknown("card".to_owned()));
    }

    #[test]
    fn an_empty_address_is_the_start() {
        for hash in ["", "#", "#/", "/"] {
            assert_eq!(Route::from_hash(hash), Route::Rigs);
        }
    }
}
