//! How a rig is plumbed: the form of a few answers, the boom drawn with its lines, pressures and flows, every piece.
//!
//! What the lines mean for the dose is on the lag sheet, `pages::lag`, which shares the boxes of `asked` with this screen.

pub(super) mod asked;
mod drawing;
mod form;
mod pieces;
mod results;

use crate::bridge::plumbing::{Worked, work_out};
use crate::browser::focus;
use crate::components::caution::Caution;
use crate::pages::nothing::Nothing;
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::sheet::{Sheet, System};
use crate::text::plumbing::Shown;
use crate::text::words;
use leptos::prelude::*;
use records::DocId;
use records::rig::{RigView, spec_of};
use std::ops::Deref;
use std::sync::Arc;

/// What was worked out, for every part of a screen. Two are the same only when they are one.
#[derive(Clone)]
pub(super) struct Shared(Arc<Worked>);

impl PartialEq for Shared {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl Deref for Shared {
    type Target = Worked;

    fn deref(&self) -> &Worked {
        &self.0
    }
}

/// What the parts of the screens about lines share.
#[derive(Clone, Copy)]
pub(super) struct Bench {
    /// What was worked out from the rig as it stands.
    pub(super) worked: Memo<Shared>,
    /// Places of the sections that are shut here; nothing of it is kept.
    pub(super) shut: RwSignal<Vec<usize>>,
    /// The piece that is open, by name.
    pub(super) piece: RwSignal<Option<String>>,
    /// Whether the form and the pieces stand on this screen.
    pub(super) has_form: bool,
    /// Units.
    pub(super) shown_in: Shown,
}

impl Bench {
    /// Puts the form of a rig and what is worked out from it into the context of a screen.
    pub(super) fn provide(rig: &DocId, has_form: bool) -> Self {
        let system = ledger()
            .book
            .with_untracked(|book| System::from_code(book.doc(rig).and_then(|doc| doc.text("system"))));
        let sheet = Sheet::new(rig.clone(), spec_of, system);
        provide_context(sheet);
        let shut = RwSignal::new(Vec::new());
        let worked = Memo::new(move |_| {
            let shut = shut.get();
            let worked = sheet.read(|doc| work_out(&RigView::read(doc), &shut)).unwrap_or_default();
            Shared(Arc::new(worked))
        });
        Self { worked, shut, piece: RwSignal::new(None), has_form, shown_in: Shown::of(system) }
    }

    /// Opens a piece and puts the keyboard on its boxes.
    fn open(self, id: &str) {
        self.piece.set(Some(id.to_owned()));
        // They are there once the screen has been drawn again.
        request_animation_frame(|| focus::focus_on("#piece h2"));
    }
}

/// The lines of the rig in the address, or of the one last looked at.
#[component]
pub(crate) fn PlumbingPage(
    /// The rig's id, where the address has one.
    id: Option<String>,
) -> impl IntoView {
    let w = &words().plumbing;
    let Some(rig) = rig_at_hand(id.as_deref()) else {
        if id.is_some() {
            return view! { <Nothing /> }.into_any();
        }
        return view! { <RigChoice title=w.title route=|id| Route::Plumbing(Some(id)) /> }.into_any();
    };
    let bench = Bench::provide(&rig, true);
    view! {
        <h1>{w.title}</h1>
        <p class="keyin__rig">{rig_name(&rig)}</p>
        <div class="sides">
            <div class="sides__do">{form::form(bench)}</div>
            <div class="sides__result">
                {drawing::drawing(bench)}
                {asked::asked(bench)}
                {results::results(bench)}
            </div>
            <div class="sides__more">{pieces::pieces(bench)}</div>
        </div>
        <Caution text=w.caution />
        <div class="button-row">
            <a class="button button--main" href=Route::Lag(Some(rig.to_string())).to_hash()>{w.to_lag}</a>
            <a class="button" href=Route::Rig(rig.to_string()).to_hash()>{w.to_rig}</a>
        </div>
    }
    .into_any()
}
