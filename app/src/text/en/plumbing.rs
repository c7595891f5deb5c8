//! Lines and how liquid runs in them, in English.

use crate::bridge::plumbing::Assumed;
use crate::text::plumbing::{OddPiece, PlumbingWords, Wrong};
use calc::plumbing::friction::FrictionLaw;

pub(super) const WORDS: PlumbingWords = PlumbingWords {
    title: "Plumbing",
    nav: "Lag",
    not_begun: "Nothing is said about the lines yet. Five answers are enough: length and bore of the main line, the hoses and their bore, the bore of the sections’ pipes.",
    form: "How the lines run",
    form_hint: "Bores are inside diameters. Sections and nozzles come from the rig.",
    main_bore: "Bore of the main line",
    main_length: "Length of the main line",
    main_hint: "From the injection point to where the hoses begin.",
    supply_length: "Line from the pump to the injection point",
    supply_length_hint: "Empty: none. It plays no part in the lag.",
    hose_by: "Hoses to the sections",
    hose_by_reach: "Reach across, and some more",
    hose_by_same: "All one length",
    hose_by_each: "One by one",
    hose_length: "Length of every hose",
    hose_extra: "How much more than the reach",
    hose_extra_hint: "Each hose is as long as from the rig’s middle to its feed point, and this much more. Empty: nothing more.",
    hose_n: |n| format!("Hose to section {n}"),
    hose_bore: "Bore of the hoses",
    feed: "Hoses meet the section’s pipe",
    feed_centre: "In the middle",
    feed_inner: "At the inner end",
    feed_left: "At the left end",
    feed_right: "At the right end",
    feed_at: "Elsewhere",
    feed_share: "Feed point, share of the width from the left",
    section_bore: "Bore of the sections’ pipes",
    more: "Fittings, walls, heights, liquid, gauge",
    valve_loss: "Loss of a section valve (K)",
    valve_loss_hint: "Valve with its tee and bends, in velocity heads of the hose. Empty: 4, common practice.",
    boom_height: "Boom above the pump",
    boom_height_hint: "With a minus where it hangs lower. Empty: one level.",
    wall: "Lines are made of",
    wall_smooth: "Hose, plastic, drawn tube",
    wall_steel: "Steel pipe",
    wall_galvanized: "Galvanized pipe",
    wall_own: "A roughness of their own",
    roughness: "Wall roughness",
    viscosity: "Viscosity of the carrier, mPa·s (cP)",
    viscosity_hint: "Empty: 1.002, water at 20 °C (68 °F).",
    greatest_pressure: "Most pressure the pump can hold",
    greatest_pressure_hint: "Empty: not looked at.",
    law: "Friction of turbulent flow by",
    law_swamee_jain: "Swamee and Jain 1976",
    law_colebrook: "Colebrook 1939",
    gauge: "The console’s gauge sits",
    gauge_manifold: "Where the hoses begin",
    gauge_supply: "At the pump",
    gauge_injection: "At the injection point",
    gauge_reading: "Pressure read at the console",
    gauge_reading_hint: "Turned into the pressure at the nozzles, with the sections that are open above.",
    assumed: "Taken as usual, because nobody said:",
    assume: |assumed, loss| match assumed {
        Assumed::SupplyLength => "no line between pump and injection point".to_owned(),
        Assumed::HoseExtra => "hoses just as long as their reach".to_owned(),
        Assumed::ValveLoss => format!("a loss of K = {loss} for each section valve"),
        Assumed::BoomHeight => "boom and pump on one level".to_owned(),
        Assumed::Viscosity => "a carrier as thin as water at 20 °C (68 °F)".to_owned(),
    },
    troubles: "This has to be mended first",
    to_rig: "To the rig",
    open_piece: |piece| format!("Open: {piece}"),
    drawing: "The boom from behind",
    drawing_key: "Across and up to scale; lines as wide as their bores, drawn larger. Triangles are nozzles, dashed lines are shut. Main line and hoses are drawn as they connect, with their true lengths in the list of pieces.",
    drawn: |nozzles, sections, lines| {
        format!("The boom seen from behind: {nozzles} nozzles in {sections} sections. {lines}.")
    },
    drawn_hose: |hose, length, feed, shut| {
        let shut = if shut { ", shut" } else { "" };
        format!("{hose} {length}, meets its section {feed}{shut}")
    },
    right_of_middle: |distance| format!("{distance} right of the middle"),
    left_of_middle: |distance| format!("{distance} left of the middle"),
    in_the_middle: "in the middle",
    drawn_line: |line, length, bore| format!("{line} {length}, bore {bore}"),
    pump_mark: "pump",
    injection_mark: "injection",
    state: "Pressures and flows",
    speed: "Speed for lag and pressures",
    speed_hint: |standing| format!("Empty: the standing-test speed, {standing}."),
    rate: "Carrier rate for lag and pressures",
    rate_hint: |target| format!("Empty: the rig’s target, {target}."),
    open_sections: "Open sections",
    at_pump: "At the pump",
    at_gauge: "At the gauge",
    at_nozzles: "At the nozzles, mean",
    loss: "From gauge to nozzle, height counted",
    loss_more: |share| format!("{share} of the gauge"),
    spread: "Flow across the boom",
    least_greatest: |least, greatest| format!("{least} to {greatest}"),
    variation: |share| format!("CV {share}"),
    gauge_says: |mean, least, greatest, flow| {
        format!(
            "That is {mean} at the nozzles on average, from {least} to {greatest}, and {flow} through the boom."
        )
    },
    no_reading: "Type what the gauge shows.",
    small_lines: "Lines that are too small",
    no_small_line: |drop, velocity| {
        format!(
            "None: nowhere more than {drop} of pressure lost along a section or from gauge to nozzle, nowhere faster than {velocity}."
        )
    },
    section_drop: |section, drop, greatest| {
        format!(
            "Section {section}: {drop} of the pressure is lost along it, and {greatest} is the most. A wider pipe or a feed in the middle helps."
        )
    },
    gauge_drop: |nozzle, drop, greatest| {
        format!(
            "From the gauge to {nozzle}: {drop} of the pressure is lost, and {greatest} is the most. Wider hoses or main line help."
        )
    },
    velocity: |piece, velocity, greatest| {
        format!("{piece}: {velocity}, and {greatest} is the most. A wider bore helps.")
    },
    criterion: "10 % as in-use tests of sprayers ask along a boom; 6 ft/s (1.8 m/s) is common guidance for pressure lines.",
    method: |law| {
        format!(
            "Losses after Darcy and Weisbach: laminar up to a Reynolds number of 2000, {law} from 4000 on, a cubic between the two. Nozzles give flow by the square root of pressure."
        )
    },
    law_of: |law| match law {
        FrictionLaw::SwameeJain => "Swamee and Jain 1976",
        FrictionLaw::Colebrook => "Colebrook 1939",
    },
    regimes: |laminar, transition, turbulent| {
        format!("Of the pieces, {laminar} run laminar, {transition} in transition, {turbulent} turbulent.")
    },
    settled: |steps| {
        format!(
            "The answer settled after {steps} steps; what enters every joint leaves it to better than one part in a billion."
        )
    },
    nozzle_flows: "Flow of each nozzle",
    nozzle_table: "Pressure and flow of each nozzle",
    nozzle: "Nozzle",
    pressure: "Pressure",
    flow: "Flow",
    shut: "shut",
    pieces: "Every piece",
    pieces_hint: "Pieces follow the answers above. Change one here where it is different; a mark shows which are.",
    piece: "Piece",
    length: "Length",
    bore: "Bore",
    fittings: "K",
    changed: "● changed",
    piece_length: "length",
    piece_bore: "bore",
    piece_roughness: "wall roughness",
    piece_loss: "loss of its fittings (K)",
    piece_loss_hint: "Bends, tees, valves, strainers, in velocity heads of this bore.",
    piece_height: "height of its end above the pump",
    piece_height_hint: "Where the boom slopes or breaks.",
    piece_nozzle: "flow of its nozzle against a new one",
    piece_nozzle_hint: "110 % when worn by a tenth, 0 % when blocked.",
    piece_from: "begins at",
    piece_to: "ends at",
    as_in_form: |value| format!("Empty: {value}, as in the form."),
    piece_reset: "As in the form again",
    piece_close: "Close this piece",
    caution: "These are calculations from what was typed. Product may stand in lines under pressure: relieve the pressure and wear the label’s protective equipment before you open one. The label, local codes and licensed practice come first.",
    to_lag: "To the lag sheet",
    line_name: "Line to the injection point",
    main_name: "Main line",
    hose_name: |section| format!("Hose to section {section}"),
    pipe_name: |section, nozzle| format!("Pipe to nozzle {nozzle} of section {section}"),
    supply_node: "the pump",
    injection_node: "the injection point",
    manifold_node: "where the hoses begin",
    feed_node: |section| format!("the feed point of section {section}"),
    nozzle_node: |section, nozzle| format!("nozzle {nozzle} of section {section}"),
    wrong: |wrong| match wrong {
        Wrong::NoSections => "The rig has no sections yet. Describe them first.".to_owned(),
        Wrong::NoNozzleSet => "The rig has no nozzle set yet. Describe it first.".to_owned(),
        Wrong::NoNozzleCount { section } => {
            format!(
                "Section {section}: it is not said how many nozzles it carries, nor how far apart they are."
            )
        }
        Wrong::NoWidth { section } => format!("Section {section}: its width is not known."),
        Wrong::Bore { piece } => {
            format!("{piece}: a bore of zero lets nothing through. Measure it or read it off the hose.")
        }
        Wrong::Length { piece } => format!("{piece}: its length cannot be negative."),
        Wrong::Roughness { piece, greatest } => {
            format!(
                "{piece}: the wall is rougher than the formulas know for this bore. Up to {greatest} is possible."
            )
        }
        Wrong::Loop { piece } => {
            format!("{piece} closes a loop: both its ends are fed already. Lines must branch like a tree.")
        }
        Wrong::FedFromNowhere { piece } => {
            format!(
                "Fed from nowhere: no line leads from the pump to {piece}. See where the pipes before it begin."
            )
        }
        Wrong::UnknownNode { piece, node } => {
            format!("{piece} begins or ends at “{node}”, which is not there.")
        }
        Wrong::AllShut => "All sections are shut. Open one.".to_owned(),
        Wrong::AllBlocked => "Every open nozzle is blocked: nothing can flow.".to_owned(),
        Wrong::BeyondPressure { needs, greatest } => {
            format!(
                "The pump cannot give this flow: it needs {needs} and holds {greatest} at most. Lower the rate or the speed, or fit larger nozzles or lines."
            )
        }
        Wrong::NozzleDry { nozzle } => {
            format!("No pressure is left at {nozzle}: too little for the height at which it sits.")
        }
        Wrong::Reynolds { piece, got, greatest } => {
            format!(
                "{piece}: its Reynolds number would be {got}, and the formulas hold up to {greatest}. Check bore, rate and viscosity."
            )
        }
        Wrong::Backwards => {
            "The pumps add more than the nozzles take at this pressure: carrier would run back.".to_owned()
        }
        Wrong::NotSettled { steps } => {
            format!("No answer settled after {steps} steps, so none is shown. Check the odd pieces.")
        }
        Wrong::NothingArrives => "Product reaches no open nozzle.".to_owned(),
        Wrong::Unusable => "These numbers cannot be computed with. Check speed, rate and pieces.".to_owned(),
    },
    remark: |odd| match odd {
        OddPiece::DeadEnd { piece } => format!("{piece} leads to no nozzle; what it holds never moves."),
        OddPiece::Outside { nozzle, section } => {
            format!("Shutting section {section} does not shut {nozzle}: it is fed another way.")
        }
        OddPiece::NoNozzles { section } => format!("No nozzle is behind the hose of section {section}."),
    },
};
