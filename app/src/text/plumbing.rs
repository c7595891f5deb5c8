//! What the screens of lines and lag say: names of pieces, what is wrong and where it is mended, what a state means.

use super::{number, problem, words};
use crate::bridge::plumbing::{Assumed, Drawn, Trouble};
use crate::state::sheet::System;
use calc::plumbing::boom::LineWarning;
use calc::plumbing::friction::{FrictionLaw, Regime};
use calc::plumbing::hydraulics::{Hydraulics, HydraulicsError};
use calc::plumbing::lag::LagError;
use calc::plumbing::network::{NetworkError, NetworkRemark, Piece, Pipe};
use calc::plumbing::quick::{INJECTION, MANIFOLD, QuickError, SUPPLY};
use units::{
    DurationUnit, FlowRateUnit, Length, LengthUnit, PressureUnit, SpeedUnit, VolumePerAreaUnit, VolumeUnit,
};

pub(crate) struct PlumbingWords {
    pub(crate) title: &'static str,
    pub(crate) nav: &'static str,
    pub(crate) not_begun: &'static str,
    pub(crate) form: &'static str,
    pub(crate) form_hint: &'static str,
    pub(crate) main_bore: &'static str,
    pub(crate) main_length: &'static str,
    pub(crate) main_hint: &'static str,
    pub(crate) supply_length: &'static str,
    pub(crate) supply_length_hint: &'static str,
    pub(crate) hose_by: &'static str,
    pub(crate) hose_by_reach: &'static str,
    pub(crate) hose_by_same: &'static str,
    pub(crate) hose_by_each: &'static str,
    pub(crate) hose_length: &'static str,
    pub(crate) hose_extra: &'static str,
    pub(crate) hose_extra_hint: &'static str,
    pub(crate) hose_n: fn(n: u32) -> String,
    pub(crate) hose_bore: &'static str,
    pub(crate) feed: &'static str,
    pub(crate) feed_centre: &'static str,
    pub(crate) feed_inner: &'static str,
    pub(crate) feed_left: &'static str,
    pub(crate) feed_right: &'static str,
    pub(crate) feed_at: &'static str,
    pub(crate) feed_share: &'static str,
    pub(crate) section_bore: &'static str,
    pub(crate) more: &'static str,
    pub(crate) valve_loss: &'static str,
    pub(crate) valve_loss_hint: &'static str,
    pub(crate) boom_height: &'static str,
    pub(crate) boom_height_hint: &'static str,
    pub(crate) wall: &'static str,
    pub(crate) wall_smooth: &'static str,
    pub(crate) wall_steel: &'static str,
    pub(crate) wall_galvanized: &'static str,
    pub(crate) wall_own: &'static str,
    pub(crate) roughness: &'static str,
    pub(crate) viscosity: &'static str,
    pub(crate) viscosity_hint: &'static str,
    pub(crate) greatest_pressure: &'static str,
    pub(crate) greatest_pressure_hint: &'static str,
    pub(crate) law: &'static str,
    pub(crate) law_swamee_jain: &'static str,
    pub(crate) law_colebrook: &'static str,
    pub(crate) gauge: &'static str,
    pub(crate) gauge_manifold: &'static str,
    pub(crate) gauge_supply: &'static str,
    pub(crate) gauge_injection: &'static str,
    pub(crate) gauge_reading: &'static str,
    pub(crate) gauge_reading_hint: &'static str,
    pub(crate) assumed: &'static str,
    pub(crate) assume: fn(Assumed, usual_loss: &str) -> String,
    pub(crate) troubles: &'static str,
    pub(crate) to_rig: &'static str,
    pub(crate) open_piece: fn(piece: &str) -> String,
    pub(crate) drawing: &'static str,
    pub(crate) drawing_key: &'static str,
    pub(crate) drawn: fn(nozzles: usize, sections: usize, lines: &str) -> String,
    pub(crate) drawn_hose: fn(hose: &str, length: &str, feed: &str, shut: bool) -> String,
    pub(crate) right_of_middle: fn(distance: &str) -> String,
    pub(crate) left_of_middle: fn(distance: &str) -> String,
    pub(crate) in_the_middle: &'static str,
    pub(crate) drawn_line: fn(line: &str, length: &str, bore: &str) -> String,
    pub(crate) pump_mark: &'static str,
    pub(crate) injection_mark: &'static str,
    pub(crate) state: &'static str,
    pub(crate) speed: &'static str,
    pub(crate) speed_hint: fn(standing: &str) -> String,
    pub(crate) rate: &'static str,
    pub(crate) rate_hint: fn(target: &str) -> String,
    pub(crate) open_sections: &'static str,
    pub(crate) at_pump: &'static str,
    pub(crate) at_gauge: &'static str,
    pub(crate) at_nozzles: &'static str,
    pub(crate) loss: &'static str,
    pub(crate) loss_more: fn(share: &str) -> String,
    pub(crate) spread: &'static str,
    pub(crate) least_greatest: fn(least: &str, greatest: &str) -> String,
    pub(crate) variation: fn(share: &str) -> String,
    pub(crate) gauge_says: fn(mean: &str, least: &str, greatest: &str, flow: &str) -> String,
    pub(crate) no_reading: &'static str,
    pub(crate) small_lines: &'static str,
    pub(crate) no_small_line: fn(drop: &str, velocity: &str) -> String,
    pub(crate) section_drop: fn(section: usize, drop: &str, greatest: &str) -> String,
    pub(crate) gauge_drop: fn(nozzle: &str, drop: &str, greatest: &str) -> String,
    pub(crate) velocity: fn(piece: &str, velocity: &str, greatest: &str) -> String,
    pub(crate) criterion: &'static str,
    pub(crate) method: fn(law: &str) -> String,
    pub(crate) law_of: fn(FrictionLaw) -> &'static str,
    pub(crate) regimes: fn(laminar: usize, transition: usize, turbulent: usize) -> String,
    pub(crate) settled: fn(steps: u32) -> String,
    pub(crate) nozzle_flows: &'static str,
    pub(crate) nozzle_table: &'static str,
    pub(crate) nozzle: &'static str,
    pub(crate) pressure: &'static str,
    pub(crate) flow: &'static str,
    pub(crate) shut: &'static str,
    pub(crate) pieces: &'static str,
    pub(crate) pieces_hint: &'static str,
    pub(crate) piece: &'static str,
    pub(crate) length: &'static str,
    pub(crate) bore: &'static str,
    pub(crate) fittings: &'static str,
    pub(crate) changed: &'static str,
    pub(crate) piece_length: &'static str,
    pub(crate) piece_bore: &'static str,
    pub(crate) piece_roughness: &'static str,
    pub(crate) piece_loss: &'static str,
    pub(crate) piece_loss_hint: &'static str,
    pub(crate) piece_height: &'static str,
    pub(crate) piece_height_hint: &'static str,
    pub(crate) piece_nozzle: &'static str,
    pub(crate) piece_nozzle_hint: &'static str,
    pub(crate) piece_from: &'static str,
    pub(crate) piece_to: &'static str,
    pub(crate) as_in_form: fn(value: &str) -> String,
    pub(crate) piece_reset: &'static str,
    pub(crate) piece_close: &'static str,
    pub(crate) caution: &'static str,
    pub(crate) to_lag: &'static str,
    pub(crate) line_name: &'static str,
    pub(crate) main_name: &'static str,
    pub(crate) hose_name: fn(section: &str) -> String,
    pub(crate) pipe_name: fn(section: &str, nozzle: &str) -> String,
    pub(crate) supply_node: &'static str,
    pub(crate) injection_node: &'static str,
    pub(crate) manifold_node: &'static str,
    pub(crate) feed_node: fn(section: &str) -> String,
    pub(crate) nozzle_node: fn(section: &str, nozzle: &str) -> String,
    pub(crate) wrong: fn(Wrong) -> String,
    pub(crate) remark: fn(OddPiece) -> String,
}

/// What is wrong, with its pieces and numbers already in words.
pub(crate) enum Wrong {
    NoSections,
    NoNozzleSet,
    NoNozzleCount { section: usize },
    NoWidth { section: usize },
    Bore { piece: String },
    Length { piece: String },
    Roughness { piece: String, greatest: String },
    Loop { piece: String },
    FedFromNowhere { piece: String },
    UnknownNode { piece: String, node: String },
    AllShut,
    AllBlocked,
    BeyondPressure { needs: String, greatest: String },
    NozzleDry { nozzle: String },
    Reynolds { piece: String, got: String, greatest: String },
    Backwards,
    NotSettled { steps: u32 },
    NothingArrives,
    Unusable,
}

/// What is odd without being wrong.
pub(crate) enum OddPiece {
    DeadEnd { piece: String },
    Outside { nozzle: String, section: String },
    NoNozzles { section: String },
}

/// The units of the screens about lines.
#[derive(Clone, Copy)]
pub(crate) struct Shown {
    pub(crate) system: System,
    pub(crate) length: LengthUnit,
    pub(crate) bore: LengthUnit,
    pub(crate) pressure: PressureUnit,
    pub(crate) flow: FlowRateUnit,
    pub(crate) volume: VolumeUnit,
    pub(crate) product: VolumeUnit,
    pub(crate) velocity: SpeedUnit,
    pub(crate) speed: SpeedUnit,
    pub(crate) rate: VolumePerAreaUnit,
    pub(crate) time: DurationUnit,
}

impl Shown {
    /// Of a rig's system.
    pub(crate) fn of(system: System) -> Self {
        let time = DurationUnit::Second;
        match system {
            System::Us => Self {
                system,
                length: LengthUnit::Foot,
                bore: LengthUnit::Inch,
                pressure: PressureUnit::Psi,
                flow: FlowRateUnit::UsGallonPerMinute,
                volume: VolumeUnit::UsGallon,
                product: VolumeUnit::UsFluidOunce,
                velocity: SpeedUnit::FootPerMinute,
                speed: SpeedUnit::MilePerHour,
                rate: VolumePerAreaUnit::UsGallonPerAcre,
                time,
            },
            System::Metric => Self {
                system,
                length: LengthUnit::Metre,
                bore: LengthUnit::Millimetre,
                pressure: PressureUnit::Bar,
                flow: FlowRateUnit::LitrePerMinute,
                volume: VolumeUnit::Litre,
                product: VolumeUnit::Millilitre,
                velocity: SpeedUnit::MetrePerSecond,
                speed: SpeedUnit::KilometrePerHour,
                rate: VolumePerAreaUnit::LitrePerHectare,
                time,
            },
        }
    }
}

/// What a pipe is called.
pub(crate) fn pipe_text(id: &str) -> String {
    let w = &words().plumbing;
    match id.split_once('.') {
        Some((section, "hose")) => (w.hose_name)(section),
        Some((section, pipe)) => (w.pipe_name)(section, pipe.trim_start_matches('p')),
        None if id == "main" => w.main_name.to_owned(),
        None if id == "line" => w.line_name.to_owned(),
        None => id.to_owned(),
    }
}

/// What a node is called.
pub(crate) fn node_text(id: &str) -> String {
    let w = &words().plumbing;
    match id.split_once('.') {
        Some((section, "feed")) => (w.feed_node)(section),
        Some((section, nozzle)) => (w.nozzle_node)(section, nozzle.trim_start_matches('n')),
        None if id == SUPPLY => w.supply_node.to_owned(),
        None if id == INJECTION => w.injection_node.to_owned(),
        None if id == MANIFOLD => w.manifold_node.to_owned(),
        None => id.to_owned(),
    }
}

fn piece_text(drawn: Option<&Drawn>, piece: &Piece) -> String {
    match piece {
        Piece::Pipe(id) => pipe_text(id),
        Piece::Node(id) => node_text(id),
        Piece::Nozzle(place) => nozzle_text(drawn, *place),
        Piece::Section(id) => id.clone(),
        Piece::Supply => words().plumbing.supply_node.to_owned(),
        Piece::Injection => words().plumbing.injection_node.to_owned(),
    }
}

/// What the nozzle at a place of the network is called.
pub(crate) fn nozzle_text(drawn: Option<&Drawn>, place: usize) -> String {
    let node = drawn.and_then(|drawn| drawn.network.nozzles.get(place)).map(|nozzle| node_text(&nozzle.node));
    node.unwrap_or_else(|| (place + 1).to_string())
}

fn pipe_at(drawn: Option<&Drawn>, place: usize) -> String {
    let pipe = drawn.and_then(|drawn| drawn.network.pipes.get(place)).map(|pipe| pipe_text(&pipe.id));
    pipe.unwrap_or_else(|| (place + 1).to_string())
}

/// What is wrong and what mends it, as a sentence.
pub(crate) fn trouble_text(trouble: &Trouble, drawn: Option<&Drawn>, shown_in: Shown) -> String {
    let w = &words().plumbing;
    let pressure = |p| number::quantity(p, shown_in.pressure, 3);
    let wrong = match trouble {
        Trouble::NotBegun => return w.not_begun.to_owned(),
        Trouble::Field(path, field) => {
            let place = place_text(path);
            return format!("{place}: {}", problem::field_problem(field, shown_in.system));
        }
        Trouble::Rig(error) => match error {
            QuickError::NoSections => Wrong::NoSections,
            QuickError::NozzleSet => Wrong::NoNozzleSet,
            QuickError::NozzleCount { section } => Wrong::NoNozzleCount { section: section + 1 },
            QuickError::Width { section, .. } => Wrong::NoWidth { section: section + 1 },
            _ => Wrong::Unusable,
        },
        Trouble::Network(error) => match error {
            NetworkError::NoNozzles => Wrong::NoNozzleSet,
            NetworkError::Bore { pipe, .. } => Wrong::Bore { piece: pipe_text(pipe) },
            NetworkError::Length { pipe, .. } => Wrong::Length { piece: pipe_text(pipe) },
            NetworkError::Roughness { pipe, greatest, .. } => Wrong::Roughness {
                piece: pipe_text(pipe),
                greatest: number::quantity(*greatest, LengthUnit::Millimetre, 3),
            },
            NetworkError::Loop { pipe } => Wrong::Loop { piece: pipe_text(pipe) },
            NetworkError::FedFromNowhere(piece) => Wrong::FedFromNowhere { piece: piece_text(drawn, piece) },
            NetworkError::UnknownNode { piece, node } => {
                Wrong::UnknownNode { piece: piece_text(drawn, piece), node: node.clone() }
            }
            _ => Wrong::Unusable,
        },
        Trouble::State(error) => match error {
            HydraulicsError::AllShut => Wrong::AllShut,
            HydraulicsError::AllBlocked => Wrong::AllBlocked,
            HydraulicsError::BeyondPressure { needs, greatest, .. } => {
                Wrong::BeyondPressure { needs: pressure(*needs), greatest: pressure(*greatest) }
            }
            HydraulicsError::NozzleDry { nozzle, .. } => {
                Wrong::NozzleDry { nozzle: nozzle_text(drawn, *nozzle) }
            }
            HydraulicsError::Reynolds { pipe, got, greatest } => Wrong::Reynolds {
                piece: pipe_at(drawn, *pipe),
                got: number::significant(*got, 2),
                greatest: number::significant(*greatest, 2),
            },
            HydraulicsError::CarrierBackwards { .. } => Wrong::Backwards,
            HydraulicsError::NotConverged(convergence) => Wrong::NotSettled { steps: convergence.n_steps },
            _ => Wrong::Unusable,
        },
        Trouble::Lag(LagError::NothingArrives) => Wrong::NothingArrives,
        Trouble::Lag(_) => Wrong::Unusable,
    };
    (w.wrong)(wrong)
}

/// What is odd, as a sentence.
pub(crate) fn remark_text(remark: &NetworkRemark, drawn: &Drawn) -> String {
    let odd = match remark {
        NetworkRemark::DeadEnd { pipe } => OddPiece::DeadEnd { piece: pipe_text(pipe) },
        NetworkRemark::NozzleOutsideItsSection { nozzle, section } => {
            OddPiece::Outside { nozzle: nozzle_text(Some(drawn), *nozzle), section: section.clone() }
        }
        NetworkRemark::SectionWithoutNozzles { section } => OddPiece::NoNozzles { section: section.clone() },
        _ => return words().problem.other.to_owned(),
    };
    (words().plumbing.remark)(odd)
}

/// The label of the box at a path of lines or lag.
pub(crate) fn place_text(path: &str) -> String {
    let w = &words().plumbing;
    let parts: Vec<&str> = path.split('.').collect();
    match parts.as_slice() {
        ["plumbing", "section", n, _] => (w.hose_n)(n.parse().unwrap_or(0)),
        ["plumbing", "piece", name, field] => {
            format!("{}, {}", pipe_text(&name.replace('-', ".")), piece_field(field))
        }
        ["plumbing", field] => form_field(field).to_owned(),
        ["lag", "speed"] => w.speed.to_owned(),
        ["lag", _] => w.rate.to_owned(),
        _ => w.title.to_owned(),
    }
}

/// The label of a field of a piece.
pub(crate) fn piece_field(field: &str) -> &'static str {
    let w = &words().plumbing;
    match field {
        "length" => w.piece_length,
        "bore" => w.piece_bore,
        "roughness" => w.piece_roughness,
        "loss" => w.piece_loss,
        "height" => w.piece_height,
        "nozzle" => w.piece_nozzle,
        "from" => w.piece_from,
        _ => w.piece_to,
    }
}

fn form_field(field: &str) -> &'static str {
    let w = &words().plumbing;
    match field {
        "supply_length" => w.supply_length,
        "main_length" => w.main_length,
        "main_bore" => w.main_bore,
        "hose_by" => w.hose_by,
        "hose_length" => w.hose_length,
        "hose_extra" => w.hose_extra,
        "hose_bore" => w.hose_bore,
        "feed" => w.feed,
        "feed_share" => w.feed_share,
        "section_bore" => w.section_bore,
        "valve_loss" => w.valve_loss,
        "boom_height" => w.boom_height,
        "wall" => w.wall,
        "roughness" => w.roughness,
        "viscosity" => w.viscosity,
        "greatest_pressure" => w.greatest_pressure,
        "gauge" => w.gauge,
        "gauge_reading" => w.gauge_reading,
        _ => w.law,
    }
}

/// A line that is too small, by what, as a sentence.
pub(crate) fn warning_text(warning: &LineWarning, drawn: &Drawn, shown_in: Shown) -> String {
    let w = &words().plumbing;
    let share = |share: units::Share| number::percent(share.as_fraction(), 2);
    match warning {
        LineWarning::SectionDrop { section, drop, greatest } => {
            (w.section_drop)(section + 1, &share(*drop), &share(*greatest))
        }
        LineWarning::GaugeDrop { nozzle, drop, greatest } => {
            (w.gauge_drop)(&nozzle_text(Some(drawn), *nozzle), &share(*drop), &share(*greatest))
        }
        LineWarning::Velocity { pipe, velocity, greatest } => (w.velocity)(
            &pipe_at(Some(drawn), *pipe),
            &number::quantity(*velocity, shown_in.velocity, 3),
            &number::quantity(*greatest, shown_in.velocity, 3),
        ),
        _ => words().problem.other.to_owned(),
    }
}

/// By which formulas, in which kinds of flow, and how well the answer settled.
pub(crate) fn method_text(law: FrictionLaw, state: &Hydraulics) -> String {
    let w = &words().plumbing;
    let count = |regime| state.pipes.iter().filter(|pipe| pipe.regime == regime).count();
    let regimes = (w.regimes)(count(Regime::Laminar), count(Regime::Transition), count(Regime::Turbulent));
    format!("{} {regimes} {}", (w.method)((w.law_of)(law)), (w.settled)(state.convergence.n_steps))
}

/// Where something sits, from the rig's middle.
pub(crate) fn across_text(across: Length, shown_in: Shown) -> String {
    let w = &words().plumbing;
    let distance = number::quantity(Length::from_m(across.as_m().abs()), shown_in.length, 3);
    match across.as_m() {
        m if m > 0.005 => (w.right_of_middle)(&distance),
        m if m < -0.005 => (w.left_of_middle)(&distance),
        _ => w.in_the_middle.to_owned(),
    }
}

/// The drawing in words: lines, then the hose of each section with its feed point.
pub(crate) fn drawing_text(drawn: &Drawn, shut: &[usize], shown_in: Shown) -> String {
    let w = &words().plumbing;
    let network = &drawn.network;
    let length = |pipe: &Pipe| number::quantity(pipe.length, shown_in.length, 3);
    let mut parts: Vec<String> = network
        .pipes
        .iter()
        .filter(|pipe| !pipe.id.contains('.'))
        .map(|pipe| {
            (w.drawn_line)(
                &pipe_text(&pipe.id),
                &length(pipe),
                &number::quantity(pipe.bore, shown_in.bore, 3),
            )
        })
        .collect();
    for (idx, section) in network.sections.iter().enumerate() {
        let Some(hose) = network.pipes.iter().find(|pipe| pipe.id == section.inlet_pipe) else { continue };
        let feed = network.nodes.iter().find(|node| node.id == hose.to).and_then(|node| node.across);
        let feed = feed.map(|across| across_text(across, shown_in)).unwrap_or_default();
        parts.push((w.drawn_hose)(&pipe_text(&hose.id), &length(hose), &feed, shut.contains(&idx)));
    }
    (w.drawn)(network.nozzles.len(), network.sections.len(), &parts.join("; "))
}

/// What was taken as usual, as sentences.
pub(crate) fn assumed_texts(drawn: &Drawn) -> Vec<String> {
    let loss = number::significant(crate::bridge::plumbing::USUAL_VALVE_LOSS, 2);
    drawn.assumed.iter().map(|assumed| (words().plumbing.assume)(*assumed, &loss)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bridge::plumbing::{drawn_of, lag_plan_of, sheet_of, solver_of};
    use records::examples::DRAINAGE_ROAD_CARRIER;
    use records::fields::FieldProblem;
    use records::rig::{FIELDS, RigView};
    use std::collections::{BTreeMap, BTreeSet};

    fn view(change: &[(&str, &str)]) -> RigView {
        let texts: BTreeMap<String, String> = DRAINAGE_ROAD_CARRIER
            .iter()
            .chain(change)
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
            .collect();
        RigView::read(&texts)
    }

    fn of_network(change: &[(&str, &str)]) -> String {
        let drawn = drawn_of(&view(change)).unwrap();
        let trouble = drawn.solver().map(|_| ()).unwrap_err();
        trouble_text(&trouble, Some(&drawn), Shown::of(System::Metric))
    }

    #[test]
    fn every_box_has_a_label_of_its_own() {
        let own = |path: &str| path.starts_with("plumbing.") || path.starts_with("lag.");
        let labels: Vec<String> = FIELDS
            .iter()
            .map(|spec| spec.path.replace(".N", ".2").replace(".*", ".3-p2"))
            .filter(|path| own(path))
            .map(|path| place_text(&path))
            .collect();
        assert!(labels.len() > 25);
        assert_eq!(labels.iter().collect::<BTreeSet<_>>().len(), labels.len(), "{labels:?}");
    }

    #[test]
    fn what_is_wrong_is_said_with_its_piece() {
        let field = Trouble::Field("plumbing.piece.2-hose.bore".to_owned(), FieldProblem::Zero);
        let text = trouble_text(&field, None, Shown::of(System::Metric));
        assert!(text.starts_with("Hose to section 2, bore: Zero"), "{text}");
        let text = of_network(&[("plumbing.piece.2-hose.to", "1.n6")]);
        assert!(text.contains("closes a loop"), "{text}");
        let text = of_network(&[("plumbing.piece.3-p2.from", "3.n6")]);
        assert!(text.contains("from the pump to nozzle 2 of section 3"), "{text}");
        let text = of_network(&[("plumbing.piece.3-p2.from", "gone")]);
        assert!(text.starts_with("Pipe to nozzle 2 of section 3 begins or ends at “gone”"), "{text}");
    }

    #[test]
    fn what_a_state_cannot_be_is_said_with_its_numbers() {
        let view = view(&[("plumbing.greatest_pressure", "sheet;bar;3")]);
        let (drawn, solver) = solver_of(&view).unwrap();
        let plan = lag_plan_of(&view, &drawn.rig).unwrap();
        let said = |shut: &[usize]| {
            let trouble = sheet_of(&drawn, &solver, &plan, shut).unwrap_err();
            trouble_text(&trouble, Some(&drawn), Shown::of(System::Metric))
        };
        assert_eq!(said(&[0, 1, 2, 3]), "All sections are shut. Open one.");
        assert!(said(&[]).contains("holds 3\u{a0}bar at most"), "{}", said(&[]));
    }

    #[test]
    fn the_drawing_says_lines_and_feeds() {
        let drawn = drawn_of(&view(&[])).unwrap();
        let text = drawing_text(&drawn, &[1], Shown::of(System::Metric));
        assert!(text.contains("24 nozzles in 4 sections"), "{text}");
        assert!(text.contains("Main line 6\u{a0}m, bore 25\u{a0}mm"), "{text}");
        // Fed at the inner end: section 1 lies from 6 to 3 m left of the middle.
        assert!(
            text.contains("Hose to section 1 4\u{a0}m, meets its section 3\u{a0}m left of the middle"),
            "{text}"
        );
        assert!(text.contains("Hose to section 2 4\u{a0}m, meets its section in the middle, shut"), "{text}");
    }
}
