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
    /// What speeds, sections and rates a rig can hold; the text says what is tried beside the rig's own plan.
    Reach(Option<String>, String),
    /// The operator's card of a rig, and of what is tried.
    Card(String, String),
    /// When product reaches the nozzles of a rig.
    Lag(Option<String>),
    /// How a rig is plumbed.
    Plumbing(Option<String>),
    /// What a pass will look like: of a rig, or one drive.
    Pass(Option<String>),
    /// The closing balance: a day, or the days of a rig (none: the rig last looked at).
    Closing(Option<String>),
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
        let third = parts.next().map(str::to_owned);
        let has_third = matches!((first, &second), (Some("reach" | "card"), Some(_)));
        if parts.next().is_some() || (third.is_some() && !has_third) {
            return Self::Unknown(path.to_owned());
        }
        let tried = third.unwrap_or_default();
        match (first, second) {
            (None, _) | (Some("rig"), None) => Self::Rigs,
            (Some("rig"), Some(id)) => Self::Rig(id),
            (Some("keyin"), id) => Self::KeyIn(id),
            (Some("prove"), id) => Self::Prove(id),
            (Some("trial"), Some(id)) => Self::Trial(id),
            (Some("reach"), id) => Self::Reach(id, tried),
            (Some("card"), Some(id)) => Self::Card(id, tried),
            (Some("lag"), id) => Self::Lag(id),
            (Some("plumbing"), id) => Self::Plumbing(id),
            (Some("pass"), id) => Self::Pass(id),
            (Some("adds-up"), id) => Self::AddsUp(id),
            (Some("closing"), id) => Self::Closing(id),
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
        let tried = |tried: &str| if tried.is_empty() { String::new() } else { format!("/{tried}") };
        match self {
            Self::Rigs => "#/rig".to_owned(),
            Self::Rig(id) => format!("#/rig/{id}"),
            Self::KeyIn(id) => with("keyin", id),
            Self::Prove(id) => with("prove", id),
            Self::Trial(id) => format!("#/trial/{id}"),
            Self::Reach(id @ Some(_), what_if) => with("reach", id) + &tried(what_if),
            Self::Reach(None, _) => with("reach", &None),
            Self::Card(id, what_if) => format!("#/card/{id}{}", tried(what_if)),
            Self::Lag(id) => with("lag", id),
            Self::Plumbing(id) => with("plumbing", id),
            Self::Pass(id) => with("pass", id),
            Self::AddsUp(id) => with("adds-up", id),
            Self::Closing(id) => with("closing", id),
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
            Route::Reach(None, String::new()),
            Route::Reach(id(), String::new()),
            Route::Reach(id(), "r:30:us_gal_per_ac,s:1.3".to_owned()),
            Route::Card("rig:k3f9a2bc-17".to_owned(), String::new()),
            Route::Card("rig:k3f9a2bc-17".to_owned(), "p:40:psi".to_owned()),
            Route::AddsUp(None),
            Route::AddsUp(Some("readings:k3f9a2bc-19".to_owned())),
            Route::Lag(None),
            Route::Lag(id()),
            Route::Plumbing(id()),
            Route::Pass(None),
            Route::Pass(Some("drive:k3f9a2bc-19".to_owned())),
            Route::Closing(None),
            Route::Closing(Some("job:k3f9a2bc-19".to_owned())),
            Route::Book(None),
            Route::Book(id()),
            Route::Settings,
            Route::Unknown("no/such/place".to_owned()),
        ] {
            assert_eq!(Route::from_hash(&route.to_hash()), route);
        }
    }

    #[test]
    fn a_card_is_of_one_rig_and_one_plan() {
        for address in ["card", "keyin/rig:k3f9a2bc-17/p:40:psi", "card/rig:k3f9a2bc-17/p:40:psi/more"] {
            assert_eq!(Route::from_hash(address), Route::Unknown(address.to_owned()));
        }
    }

    #[test]
    fn an_empty_address_is_the_start() {
        for hash in ["", "#", "#/", "/"] {
            assert_eq!(Route::from_hash(hash), Route::Rigs);
        }
    }
}
