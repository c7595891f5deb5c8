//! The frame round every screen: what is above all screens (ledger, settings, route), navigation, notices.

use crate::browser::{address, focus, offline};
use crate::components::icon::{Icon, NavIcon};
use crate::pages;
use crate::route::Route;
use crate::state::ledger::{Found, Ledger};
use crate::state::prefs::Prefs;
use crate::text::words;
use leptos::prelude::*;

/// The app.
#[component]
pub(crate) fn App(
    /// What was found in storage.
    found: Found,
) -> impl IntoView {
    let prefs = Prefs::open();
    provide_context(prefs);
    let ledger = Ledger::new(found);
    provide_context(ledger);
    provide_context(offline::register());
    let route = address::follow_route();

    Effect::new(move |_| {
        let size = if prefs.glove.get() { "glove" } else { "hand" };
        if let Some(root) = document().document_element() {
            // Refused only for a name that is no attribute name.
            let _ = root.set_attribute("data-size", size);
        }
    });
    Effect::new(move |before: Option<Route>| {
        let route = route.get();
        focus::set_title(&(words().frame.page_title)(pages::title(&route)));
        if before.is_some_and(|before| before != route) {
            focus::focus_heading();
        }
        route
    });

    view! {
        <div class="frame">
            <a class="skip" href="#main" on:click=move |event| {
                // The address behind the # is the screen; the skip link moves the keyboard only.
                event.prevent_default();
                focus::focus_heading();
            }>{words().frame.skip}</a>
            <pages::frame_top::FrameTop />
            <div class="frame__body">
                <pages::notices::Notices />
                <main id="main" class="frame__main">{move || pages::screen(&route.get())}</main>
            </div>
            <Navigation route=route />
        </div>
    }
}

/// Main screens in the order of the work.
#[component]
fn Navigation(route: ReadSignal<Route>) -> impl IntoView {
    let w = &words().frame;
    let items = [
        (Icon::Rig, w.rig, Route::Rigs),
        (Icon::KeyIn, w.key_in, Route::KeyIn(None)),
        (Icon::Prove, w.prove, Route::Prove(None)),
        (Icon::Reach, words().reach.title, Route::Reach(None, String::new())),
        (Icon::Lag, words().plumbing.nav, Route::Lag(None)),
        (Icon::Book, w.book, Route::Book(None)),
    ];
    view! {
        <nav class="nav" aria-label=w.nav>
            <ul class="nav__list">
                {items
                    .into_iter()
                    .map(|(icon, label, target)| {
                        let href = target.to_hash();
                        let current = move || pages::belongs_to(&route.read(), &target).then_some("page");
                        view! {
                            <li class="nav__item">
                                <a class="nav__link" href=href aria-current=current><NavIcon icon=icon />{label}</a>
                            </li>
                        }
                    })
                    .collect_view()}
            </ul>
        </nav>
    }
}
