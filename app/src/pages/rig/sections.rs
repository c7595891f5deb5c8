//! Boom sections one by one, with the boom drawn from behind as it grows.

use crate::components::boom::{BoomDrawing, DrawnSection};
use crate::components::choice::Choice;
use crate::components::doc_field::DocField;
use crate::state::sheet::{System, sheet};
use crate::text::{number, words};
use leptos::prelude::*;
use records::rig::RigView;
use units::LengthUnit;

/// How many sections, and each.
#[component]
pub(super) fn Sections() -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let count = Memo::new(move |_| sheet.read(|doc| RigView::read(doc).sections.len() as u32).unwrap_or(0));
    let drawn = Memo::new(move |_| {
        sheet
            .read(|doc| {
                RigView::read(doc)
                    .sections
                    .iter()
                    .map(|section| {
                        let width = section.working_width;
                        DrawnSection {
                            width_m: width.map_or(0.0, units::Length::as_m),
                            label: width.map_or_else(
                                || "?".to_owned(),
                                |width| {
                                    let unit = if sheet.system == System::Us {
                                        LengthUnit::Foot
                                    } else {
                                        LengthUnit::Metre
                                    };
                                    number::quantity(width, unit, 4)
                                },
                            ),
                            on: true,
                        }
                    })
                    .collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    view! {
        <DocField path="section.count" label=w.section_count />
        {move || (!drawn.read().is_empty()).then(|| view! { <BoomDrawing sections=drawn /> })}
        <For each=move || 1..=count.get() key=|n| *n let(n)>
            <Section n=n />
        </For>
    }
}

/// One section: its width, or nozzles times spacing.
#[component]
fn Section(
    /// From 1, left to right as seen from behind.
    n: u32,
) -> impl IntoView {
    let sheet = sheet();
    let w = &words().rig;
    let at = move |name: &str| format!("section.{n}.{name}");
    let stored = sheet.text(at("by"));
    let by = Signal::derive(move || stored.get().unwrap_or_else(|| "width".to_owned()));
    let options =
        vec![("width".to_owned(), w.by_width.to_owned()), ("nozzles".to_owned(), w.by_nozzles.to_owned())];
    let (n_label, width_label) = ((w.section_n)(n), (w.section_width)(n));
    view! {
        <div class="card">
            <Choice legend=n_label options=options chosen=by on_choose=move |code| sheet.set_one(at("by"), code) />
            <div class="fields">
                <div hidden=move || *by.read() != "width">
                    <DocField path=at("width") label=width_label hint=w.width_hint with_source=true />
                </div>
                <DocField path=at("nozzles") label=(w.section_nozzles)(n) hint=w.section_nozzles_hint />
                <div hidden=move || *by.read() != "nozzles">
                    <DocField path=at("spacing") label=(w.section_spacing)(n) hint=w.section_spacing_hint unit_first="in" with_source=true />
                </div>
            </div>
        </div>
    }
}
