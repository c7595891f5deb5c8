//! The screens, by their route. What they are made of is in `components`; what they say is in `text`.

pub(crate) mod adds_up;
mod book;
mod card;
mod closing;
pub(crate) mod frame_top;
mod keyin;
mod lag;
mod nothing;
pub(crate) mod notices;
mod pass;
mod plumbing;
mod prove;
mod reach;
mod rig;
mod rig_choice;
mod rigs;
mod settings;

use crate::route::Route;
use crate::text::words;
use leptos::prelude::*;

/// The screen of a route.
pub(crate) fn screen(route: &Route) -> AnyView {
    match route {
        Route::Rigs => view! { <rigs::Rigs /> }.into_any(),
        Route::Rig(id) => view! { <rig::RigPage id=id.clone() /> }.into_any(),
        Route::Book(id) => view! { <book::Book id=id.clone() /> }.into_any(),
        Route::Reach(id, tried) => {
            view! { <reach::ReachPage id=id.clone() tried=tried.clone() /> }.into_any()
        }
        Route::Card(id, tried) => view! { <card::Card id=id.clone() tried=tried.clone() /> }.into_any(),
        Route::Lag(id) => view! { <lag::LagPage id=id.clone() /> }.into_any(),
        Route::Plumbing(id) => view! { <plumbing::PlumbingPage id=id.clone() /> }.into_any(),
        Route::Pass(id) => view! { <pass::PassPage id=id.clone() /> }.into_any(),
        Route::AddsUp(id) => view! { <adds_up::AddsUp id=id.clone() /> }.into_any(),
        Route::Closing(id) => view! { <closing::ClosingPage id=id.clone() /> }.into_any(),
        Route::Settings => view! { <settings::Settings /> }.into_any(),
        Route::KeyIn(id) => view! { <keyin::KeyIn id=id.clone() /> }.into_any(),
        Route::Prove(id) => view! { <prove::Prove id=id.clone() /> }.into_any(),
        Route::Trial(id) => view! { <prove::trial::TrialPage id=id.clone() /> }.into_any(),
        Route::Unknown(_) => view! { <nothing::Nothing /> }.into_any(),
    }
}

/// The name of a screen, for the tab and for a screen reader.
pub(crate) fn title(route: &Route) -> &'static str {
    let w = &words().frame;
    match route {
        Route::Rigs | Route::Rig(_) => w.rig,
        Route::KeyIn(_) => w.key_in,
        Route::Prove(_) | Route::Trial(_) => w.prove,
        Route::Reach(..) => words().reach.title,
        Route::Card(..) => words().card.title,
        Route::Lag(_) => words().lag.title,
        Route::Plumbing(_) => words().plumbing.title,
        Route::Pass(_) => words().pass.title,
        Route::AddsUp(_) => words().adds_up.title,
        Route::Closing(_) => words().closing.title,
        Route::Book(_) => w.book,
        Route::Settings => w.settings,
        Route::Unknown(_) => w.nothing_here,
    }
}

/// Whether a route lies under an item of the navigation.
pub(crate) fn belongs_to(route: &Route, item: &Route) -> bool {
    match item {
        Route::Rigs => matches!(route, Route::Rigs | Route::Rig(_)),
        Route::KeyIn(_) => matches!(route, Route::KeyIn(_)),
        Route::Prove(_) => {
            matches!(route, Route::Prove(_) | Route::Trial(_) | Route::AddsUp(_) | Route::Closing(_))
        }
        Route::Reach(..) => matches!(route, Route::Reach(..) | Route::Card(..)),
        Route::Lag(_) => matches!(route, Route::Lag(_) | Route::Plumbing(_) | Route::Pass(_)),
        Route::Book(_) => matches!(route, Route::Book(_)),
        _ => route == item,
    }
}
