//! Reach: between which speeds, with which sections, at which rates the rig holds what it is asked for, and what binds.
//!
//! Here the screen is put together. Each part has a file of its own beside this one; what is tried and kept in the
//! address is in `tried`, units and steps in `shown`. The operator's card is `pages::card`.

mod dose_plot;
mod doses;
mod droplets;
mod limits;
mod nozzles;
mod part;
mod pressures;
mod remedies;
mod sections;
mod shown;
mod stepper;
mod tried;
mod turns;
mod what_if;

use self::droplets::DropletAxis;
use self::limits::{Axis, Bars, problems, refusals, window_view};
use self::nozzles::Nozzles;
use self::part::Part;
use self::remedies::Remedies;
use self::shown::to_step;
pub(crate) use self::shown::{In, units_of};
use self::tried::Tried;
use self::turns::Turns;
use self::what_if::WhatIfPanel;
use crate::bridge::nozzles::OwnNozzles;
use crate::bridge::proven::{Proof, proofs, proven};
use crate::bridge::rig::rig_of;
use crate::bridge::what_if::WhatIf;
use crate::browser::{clock, screen};
use crate::components::table::sentences;
use crate::pages::rig_choice::{RigChoice, rig_at_hand, rig_name};
use crate::route::Route;
use crate::state::ledger::ledger;
use crate::state::sheet::System;
use crate::text::{reach as told, words};
use calc::reach::doses::doses;
use calc::reach::plan::Plan;
use calc::reach::sections::by_count;
use calc::reach::window::{Reach, window};
use calc::rig::{Carrier, Rig};
use leptos::prelude::*;
use records::DocId;
use records::rig::RigView;
use units::Speed;

/// The reach of the rig in the address, or of the one last looked at.
#[component]
pub(crate) fn ReachPage(
    /// The rig's id, where the address has one.
    id: Option<String>,
    /// What is tried beside the rig's own plan, as in the address.
    tried: String,
) -> impl IntoView {
    let Some(rig) = rig_at_hand(id.as_deref()) else {
        return view! { <RigChoice title=words().reach.title route=|id| Route::Reach(Some(id), String::new()) /> }
            .into_any();
    };
    view! { <Screen rig=rig in_address=tried /> }.into_any()
}

/// A rig's own plan with everything that the screen and the card need of it.
pub(crate) struct Known {
    /// The plan, with what trials proved of it.
    pub(crate) plan: Plan,
    /// What is proven.
    pub(crate) proofs: Vec<Proof>,
    /// Products, by pump.
    pub(crate) products: Vec<String>,
    /// Nozzle sets and droplet tables of the user's own.
    pub(crate) nozzles: OwnNozzles,
    /// The rig as described.
    pub(crate) view: RigView,
    /// Its system of units.
    pub(crate) system: System,
    /// Units.
    pub(crate) shown_in: In,
}

/// Reads a rig from the book.
pub(crate) fn known(rig: &DocId) -> Option<Known> {
    ledger().book.with_untracked(|book| {
        let doc = book.doc(rig)?;
        let view = RigView::read(doc);
        let proofs = proofs(book, rig);
        let system = System::from_code(doc.text("system"));
        let mut plan = Plan::new(rig_of(&view));
        plan.proven = proven(&proofs, view.pumps.len());
        Some(Known {
            plan,
            proofs,
            products: view.pumps.iter().map(|pump| pump.name.clone().unwrap_or_default()).collect(),
            nozzles: OwnNozzles::of(&view),
            shown_in: units_of(system),
            system,
            view,
        })
    })
}

#[component]
fn Screen(
    /// The rig.
    rig: DocId,
    /// What is tried, as in the address.
    in_address: String,
) -> impl IntoView {
    let w = &words().reach;
    let name = rig_name(&rig);
    let Some(known) = known(&rig) else { return view! { <crate::pages::nothing::Nothing /> }.into_any() };
    let Known { plan: own, proofs, products, nozzles, shown_in, .. } = known;
    let own_reach = window(&own);
    let axis = Axis { top: axis_top(&own.rig, &own_reach, shown_in) };
    let slow = own_reach.rate_held_from().or(own_reach.window.low()).unwrap_or(shown_in.step);
    let wanted = (slow, own_reach.window.high().unwrap_or(axis.top));
    let wanted = (to_step(wanted.0, shown_in.fine_step), to_step(wanted.1, shown_in.fine_step));
    let hold = own.rig.hold_speed;
    let tried = Tried::new(own, &own_reach, WhatIf::from_code(&in_address), axis.top, shown_in);
    tried.keep_in_address(rig.to_string(), in_address);
    let ghost = StoredValue::new(own_reach);
    let nozzles = StoredValue::new(nozzles);
    let products = StoredValue::new(products);

    let plan = tried.plan;
    let reach = Memo::new(move |_| window(&plan.read()));
    // Comes anew only when it changes: whoever opened it finds it open while the thumb moves.
    let unknown = Memo::new(move |_| reach.with(|reach| reach.problems.clone()));
    // An alert is spoken when it comes: once, not at every step of the thumb.
    let refused = Memo::new(move |_| {
        let all = doses(&plan.read());
        (all.refused, all.doubtful)
    });
    // What stands further down follows when the thumb rests: nobody can look at both.
    let rested = Memo::new(move |before: Option<&Plan>| match (tried.calm.get(), before) {
        (Some((plan, _)), _) => plan,
        (None, Some(before)) => before.clone(),
        (None, None) => plan.get_untracked(),
    });
    let rested_doses = Memo::new(move |_| doses(&rested.read()));
    let counts = Memo::new(move |_| by_count(&rested.read()));
    let in_manual = move || matches!(plan.read().rig.carrier, Some(Carrier::Manual(_)));
    let floats = move || {
        in_manual().then(|| {
            reach.with(|reach| {
                pressures::float_plot(&rested.read(), &reach.window, tried.rate.get(), axis, shown_in)
            })
        })
    };
    let wide = screen::is_wide();
    view! {
        <h1>{w.title}</h1>
        <p class="keyin__rig">{name}</p>
        <div class="reach">
            <div class="reach__alert">{move || refused.with(|(refused, doubtful)| refusals(refused, doubtful, shown_in))}</div>
            <WhatIfPanel tried=tried reach=reach ghost=ghost axis=axis rig=rig.to_string() shown_in=shown_in />
            <div class="reach__result">
                {move || window_view(&reach.read(), shown_in)}
                <Remedies tried=tried own=nozzles shown_in=shown_in />
                {move || unknown.with(|unknown| problems(unknown, shown_in))}
                <Bars reach=reach rested=rested ghost=ghost speed=tried.speed axis=axis shown_in=shown_in />
                <DropletAxis plan=plan own=nozzles axis=axis shown_in=shown_in />
                {proof_list(&proofs)}
            </div>
            <div class="reach__more">
                <Part title=w.pressures open=true>
                    {floats}
                    {move || nozzles.with_value(|own| pressures::by_speed(&rested.read(), &rested_doses.read().window, own.on_rig.as_ref(), axis, shown_in))}
                </Part>
                <Part title=w.doses open=true>
                    {move || products.with_value(|products| doses::by_pump(&rested_doses.read(), products, hold, axis, shown_in))}
                </Part>
                <Part title=w.by_sections open=wide>{move || sections::by_count(&counts.read(), shown_in)}</Part>
                <Part title=w.nozzles open=wide>
                    <Nozzles plan=rested own=nozzles first=wanted top=axis.top shown_in=shown_in />
                </Part>
                <Part title=w.turns open=wide><Turns plan=rested speed=tried.speed shown_in=shown_in /></Part>
            </div>
        </div>
        <p class="keyin__foot">{words().keyin.foot}</p>
    }
    .into_any()
}

/// What trials proved, in words.
fn proof_list(proofs: &[Proof]) -> AnyView {
    if proofs.is_empty() {
        return ().into_any();
    }
    let day = |at: &str| clock::local_minute(at).split(' ').next().unwrap_or_default().to_owned();
    let texts = proofs.iter().map(|proof| told::proof_text(proof, &day(&proof.at))).collect();
    view! {
        <details class="group">
            <summary>{words().reach.proofs}</summary>
            {sentences(texts)}
        </details>
    }
    .into_any()
}

/// Room for the window and some beyond it; limits further out run off the edge, where nobody drives.
fn axis_top(rig: &Rig, reach: &Reach, shown_in: In) -> Speed {
    let ends = [reach.window.high(), rig.top_speed].into_iter().flatten().map(Speed::as_m_per_s);
    let fastest = ends.fold(shown_in.step.as_m_per_s() * 6.0, f64::max);
    Speed::from_m_per_s(fastest * 1.5)
}
