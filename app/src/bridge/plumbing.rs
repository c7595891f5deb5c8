//! A rig's lines as described become a network as numbers, with the pieces that somebody changed put in; what keeps that
//! from being done is named together with the box or the piece that mends it.
//!
//! What is not said and has a usual value is taken as that, and listed in [`Drawn::assumed`] so that screens can say so.

use super::rig::rig_of;
use calc::plumbing::Plumbing;
use calc::plumbing::boom::{GaugeReading, read_gauge};
use calc::plumbing::friction::FrictionLaw;
use calc::plumbing::hydraulics::{Hydraulics, HydraulicsError, Solver};
use calc::plumbing::lag::{LagError, LagJob, LagSheet, lag_sheet};
use calc::plumbing::network::{Network, NetworkError, Piece, Pipe};
use calc::plumbing::quick::{
    FeedPoint, HoseLengths, INJECTION, MANIFOLD, QuickAnswers, QuickError, SMOOTH_WALL, SUPPLY, quick_network,
};
use calc::rate::{flow_for_rate, product_rate_per_area};
use calc::rig::{Carrier, Rig};
use records::fields::FieldProblem;
use records::rig::{
    FeedAt, GaugeAt, HoseBy, LawBy, PieceView, PlumbingView, Reading, RigView, WallBy, piece_path,
};
use units::{FlowRate, Length, Pressure, Quantity, Speed, Typed, Viscosity, VolumePerArea};

/// Loss coefficient of a section valve with its tee and bend: common practice, no source.
pub(crate) const USUAL_VALVE_LOSS: f64 = 4.0;
/// Roughness of commercial steel and of galvanized pipe. Source: L. F. Moody, *Friction factors for pipe flow*, Trans. ASME
/// 66 (1944) 671–684 (0.00015 ft and 0.0005 ft).
const STEEL_WALL: Length = Length::from_ft(0.000_15);
const GALVANIZED_WALL: Length = Length::from_ft(0.000_5);

/// Something that nobody said and that has a usual value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Assumed {
    /// No line between supply and injection point.
    SupplyLength,
    /// Hoses just reach their feed points.
    HoseExtra,
    /// [`USUAL_VALVE_LOSS`].
    ValveLoss,
    /// Boom and supply on one level.
    BoomHeight,
    /// As thin as water at 20 °C.
    Viscosity,
}

/// What keeps a rig from being computed, and where it is mended.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Trouble {
    /// Nothing is said about lines yet.
    NotBegun,
    /// An answer of the form is missing or no value. The path, and what is wrong.
    Field(String, FieldProblem),
    /// The rig itself lacks something.
    Rig(QuickError),
    /// A piece is wrong, or how pieces hang together.
    Network(NetworkError),
    /// The pieces are right, and this state of them cannot be.
    State(HydraulicsError),
    /// The state is right, and there is no lag in it.
    Lag(LagError),
}

/// A rig's network as described, not checked yet: the list of pieces shows it even where it is wrong.
#[derive(Clone, Debug)]
pub(crate) struct Drawn {
    /// The rig.
    pub(crate) rig: Rig,
    /// With the changes of single pieces.
    pub(crate) network: Network,
    /// As the form alone gives it.
    pub(crate) built: Network,
    /// Friction formula.
    pub(crate) law: FrictionLaw,
    /// Place of the node at which the console's gauge sits.
    pub(crate) gauge: usize,
    /// Largest pressure that the supply can hold, where that is known.
    pub(crate) greatest: Option<Pressure>,
    /// What was taken as usual.
    pub(crate) assumed: Vec<Assumed>,
}

/// The network of a rig.
///
/// # Errors
/// Everything that keeps it from being drawn, in the order of the form.
pub(crate) fn drawn_of(view: &RigView) -> Result<Drawn, Vec<Trouble>> {
    let lines = &view.plumbing;
    if !lines.is_begun {
        return Err(vec![Trouble::NotBegun]);
    }
    let mut form = Form::default();
    let answers = form.answers(lines);
    let rig = rig_of(view);
    for piece in lines.pieces.values() {
        form.piece(piece);
    }
    let Form { mut troubles, assumed } = form;
    let Some(answers) = answers.filter(|_| troubles.is_empty()) else { return Err(troubles) };
    let built = match quick_network(&rig, &answers) {
        Ok(network) => network,
        Err(error) => {
            troubles.push(Trouble::Rig(error));
            return Err(troubles);
        }
    };
    let network = changed(&built, lines);
    let gauge_id = match lines.gauge.ok() {
        Some(GaugeAt::Supply) => SUPPLY,
        Some(GaugeAt::Injection) => INJECTION,
        _ => MANIFOLD,
    };
    let gauge = network.nodes.iter().position(|node| node.id == gauge_id).unwrap_or_default();
    let law = match lines.law.ok() {
        Some(LawBy::Colebrook) => FrictionLaw::Colebrook,
        _ => FrictionLaw::SwameeJain,
    };
    let greatest = lines.greatest_pressure.ok().map(|typed| typed.value);
    Ok(Drawn { rig, network, built, law, gauge, greatest, assumed })
}

/// The network of a rig, checked and made ready to be solved.
///
/// # Errors
/// As [`drawn_of`], and what is wrong with how the pieces hang together.
#[cfg_attr(not(test), allow(dead_code, reason = "for screens that want nothing but the solver"))]
pub(crate) fn solver_of(view: &RigView) -> Result<(Drawn, Solver), Vec<Trouble>> {
    let drawn = drawn_of(view)?;
    let solver = drawn.solver().map_err(|trouble| vec![trouble])?;
    Ok((drawn, solver))
}

impl Drawn {
    /// Checks the network and makes it ready.
    ///
    /// # Errors
    /// [`Trouble::Network`].
    pub(crate) fn solver(&self) -> Result<Solver, Trouble> {
        let plumbing = Plumbing::check(&self.network).map_err(Trouble::Network)?;
        Ok(Solver::new(plumbing, self.law))
    }

    /// The piece that a trouble is about: the name of a pipe. A nozzle or a node is mended at the pipe that leads to it.
    pub(crate) fn piece_of(&self, trouble: &Trouble) -> Option<String> {
        let pipe = |place: &usize| self.network.pipes.get(*place).map(|pipe| pipe.id.clone());
        match trouble {
            Trouble::Network(error) => match error {
                NetworkError::Bore { pipe, .. }
                | NetworkError::Length { pipe, .. }
                | NetworkError::Roughness { pipe, .. }
                | NetworkError::MinorLoss { pipe, .. }
                | NetworkError::Loop { pipe } => Some(pipe.clone()),
                NetworkError::Height { node, .. } => self.leading_to(node),
                NetworkError::Coefficient { nozzle, .. } => self.at_nozzle(*nozzle),
                NetworkError::UnknownNode { piece, .. }
                | NetworkError::SameId(piece)
                | NetworkError::FedFromNowhere(piece) => match piece {
                    Piece::Pipe(id) => Some(id.clone()),
                    Piece::Node(id) => self.leading_to(id),
                    Piece::Nozzle(place) => self.at_nozzle(*place),
                    _ => None,
                },
                _ => None,
            },
            Trouble::State(HydraulicsError::Reynolds { pipe: place, .. }) => pipe(place),
            Trouble::State(HydraulicsError::NozzleDry { nozzle, .. }) => self.at_nozzle(*nozzle),
            _ => None,
        }
    }

    /// The pipe that led to a node before anybody changed where pipes go.
    pub(crate) fn leading_to(&self, node: &str) -> Option<String> {
        self.built.pipes.iter().find(|pipe| pipe.to == node).map(|pipe| pipe.id.clone())
    }

    fn at_nozzle(&self, nozzle: usize) -> Option<String> {
        self.network.nozzles.get(nozzle).and_then(|nozzle| self.leading_to(&nozzle.node))
    }

    /// Working width of the open sections.
    pub(crate) fn width(&self, shut: &[usize]) -> Length {
        let sections = self.rig.sections.iter().enumerate();
        let open = sections.filter(|(idx, _)| !shut.contains(idx));
        Length::from_m(open.map(|(_, section)| section.width.as_m()).sum())
    }
}

/// The box that a trouble with a piece is mended in; `None` where there is no such box.
pub(crate) fn path_of(drawn: &Drawn, trouble: &Trouble) -> Option<String> {
    let piece = drawn.piece_of(trouble)?;
    let field = match trouble {
        Trouble::Network(NetworkError::Length { .. }) => "length",
        Trouble::Network(NetworkError::Roughness { .. }) => "roughness",
        Trouble::Network(NetworkError::MinorLoss { .. }) => "loss",
        Trouble::Network(NetworkError::Height { .. }) | Trouble::State(HydraulicsError::NozzleDry { .. }) => {
            "height"
        }
        Trouble::Network(NetworkError::Coefficient { .. }) => "nozzle",
        Trouble::Network(NetworkError::Loop { .. }) => "to",
        Trouble::Network(NetworkError::FedFromNowhere(_) | NetworkError::UnknownNode { .. }) => "from",
        _ => "bore",
    };
    Some(piece_path(&piece, field))
}

/// One product and its rate.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Product {
    /// Number of its pump on the console.
    pub(crate) pump: u32,
    /// Its name, where it has one.
    pub(crate) name: Option<String>,
    /// Per area; worked out with the carrier rate of the sheet where it is stated per carrier.
    pub(crate) rate: VolumePerArea,
}

/// What a lag sheet is asked about.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LagPlan {
    /// Ground speed.
    pub(crate) speed: Speed,
    /// Whether that is the standing-test speed, since no other is said.
    pub(crate) speed_is_standing: bool,
    /// Carrier rate.
    pub(crate) carrier_rate: VolumePerArea,
    /// Whether that is the rig's target, since no other is said.
    pub(crate) rate_is_target: bool,
    /// What the pumps add, in the console's order.
    pub(crate) products: Vec<Product>,
}

impl LagPlan {
    /// All products together.
    pub(crate) fn product_rate(&self) -> VolumePerArea {
        VolumePerArea::from_si(self.products.iter().map(|product| product.rate.as_si()).sum())
    }

    /// The job with these sections shut.
    pub(crate) fn job<'a>(&self, drawn: &Drawn, shut: &'a [usize]) -> LagJob<'a> {
        LagJob {
            speed: self.speed,
            carrier_rate: self.carrier_rate,
            product_rate: self.product_rate(),
            width: drawn.width(shut),
            shut,
        }
    }
}

/// Speed and rates of the lag sheet: its own, else the rig's standing-test speed and target.
///
/// # Errors
/// What is missing or no value.
pub(crate) fn lag_plan_of(view: &RigView, rig: &Rig) -> Result<LagPlan, Vec<Trouble>> {
    let lines = &view.plumbing;
    let mut form = Form::default();
    let own_speed = form.optional(&lines.lag_speed);
    let own_rate = form.optional(&lines.lag_rate);
    let target = match rig.carrier {
        Some(Carrier::Regulated(rate)) => Some(rate),
        _ => None,
    };
    let mut or_missing =
        |path: &str| form.troubles.push(Trouble::Field(path.to_owned(), FieldProblem::Missing));
    let speed = own_speed.or(rig.standing_speed);
    if speed.is_none() {
        or_missing("lag.speed");
    }
    let carrier_rate = own_rate.or(target);
    if carrier_rate.is_none() {
        or_missing("lag.rate");
    }
    let (Some(speed), Some(carrier_rate), true) = (speed, carrier_rate, form.troubles.is_empty()) else {
        return Err(form.troubles);
    };
    let products = view
        .pumps
        .iter()
        .zip(&rig.pumps)
        .filter_map(|(described, pump)| {
            let rate = product_rate_per_area(pump.first?, carrier_rate).ok()?;
            Some(Product { pump: described.n, name: described.name.clone(), rate })
        })
        .collect();
    Ok(LagPlan {
        speed,
        speed_is_standing: own_speed.is_none(),
        carrier_rate,
        rate_is_target: own_rate.is_none(),
        products,
    })
}

/// Everything that a screen about lines shows, as far as it can be worked out.
#[derive(Debug, Default)]
pub(crate) struct Worked {
    /// The pieces.
    pub(crate) drawn: Option<Drawn>,
    /// The pieces, made ready.
    pub(crate) solver: Option<Solver>,
    /// Speed and rates.
    pub(crate) plan: Option<LagPlan>,
    /// Lags, pressures and flows.
    pub(crate) sheet: Option<LagSheet>,
    /// What keeps the rest from being worked out.
    pub(crate) troubles: Vec<Trouble>,
}

/// Works out what it can, with these sections shut.
pub(crate) fn work_out(view: &RigView, shut: &[usize]) -> Worked {
    let mut worked = Worked::default();
    let drawn = match drawn_of(view) {
        Ok(drawn) => drawn,
        Err(troubles) => {
            worked.troubles = troubles;
            return worked;
        }
    };
    match lag_plan_of(view, &drawn.rig) {
        Ok(plan) => worked.plan = Some(plan),
        Err(troubles) => worked.troubles.extend(troubles),
    }
    match drawn.solver() {
        Ok(solver) => worked.solver = Some(solver),
        Err(trouble) => worked.troubles.push(trouble),
    }
    if let (Some(solver), Some(plan)) = (&worked.solver, &worked.plan) {
        match sheet_of(&drawn, solver, plan, shut) {
            Ok(sheet) => worked.sheet = Some(sheet),
            Err(trouble) => worked.troubles.push(trouble),
        }
    }
    worked.drawn = Some(drawn);
    worked
}

/// The lag sheet with these sections shut, and the pressures and flows that go with it.
///
/// # Errors
/// [`Trouble::State`], [`Trouble::Lag`].
pub(crate) fn sheet_of(
    drawn: &Drawn,
    solver: &Solver,
    plan: &LagPlan,
    shut: &[usize],
) -> Result<LagSheet, Trouble> {
    // Without an open section there is no width either; the sections are what to change.
    if shut.len() == drawn.network.sections.len() {
        return Err(Trouble::State(HydraulicsError::AllShut));
    }
    let sheet = lag_sheet(solver, &plan.job(drawn, shut)).map_err(|error| match error {
        LagError::Hydraulics(error) => Trouble::State(error),
        other => Trouble::Lag(other),
    })?;
    within(drawn, &sheet.state)?;
    Ok(sheet)
}

/// What a pressure at the console's gauge is worth at the nozzles, while the pumps add what they do at the plan.
///
/// # Errors
/// [`Trouble::State`].
pub(crate) fn gauge_of(
    drawn: &Drawn,
    solver: &Solver,
    plan: Option<&LagPlan>,
    reading: Pressure,
    shut: &[usize],
) -> Result<GaugeReading, Trouble> {
    let injected = plan
        .and_then(|plan| flow_for_rate(plan.product_rate(), plan.speed, drawn.width(shut)).ok())
        .unwrap_or(FlowRate::from_m3_per_s(0.0));
    let read = read_gauge(solver, drawn.gauge, reading, injected, shut).map_err(Trouble::State)?;
    within(drawn, &read.state)?;
    Ok(read)
}

/// Whether the supply can hold the pressure that a state needs.
fn within(drawn: &Drawn, state: &Hydraulics) -> Result<(), Trouble> {
    let (needs, flow) = (state.supply_pressure, state.carrier);
    match drawn.greatest {
        Some(greatest) if greatest < needs => {
            Err(Trouble::State(HydraulicsError::BeyondPressure { flow, needs, greatest }))
        }
        _ => Ok(()),
    }
}

/// Reads the form, gathering what is wrong and what is taken as usual.
#[derive(Default)]
struct Form {
    troubles: Vec<Trouble>,
    assumed: Vec<Assumed>,
}

impl Form {
    fn answers(&mut self, lines: &PlumbingView) -> Option<QuickAnswers> {
        let zero = Length::from_m(0.0);
        let supply_length = self.or_usual(&lines.supply_length, zero, Assumed::SupplyLength);
        let main_length = self.needed(&lines.main_length);
        let main_bore = self.needed(&lines.main_bore);
        let hose_lengths = match lines.hose_by.ok() {
            Some(HoseBy::Same) => self.needed(&lines.hose_length).map(HoseLengths::Same),
            Some(HoseBy::Each) => {
                let each: Vec<Option<Length>> =
                    lines.hose_lengths.iter().map(|reading| self.needed(reading)).collect();
                each.into_iter().collect::<Option<Vec<_>>>().map(HoseLengths::Each)
            }
            _ => {
                let more = self.or_usual(&lines.hose_extra, zero, Assumed::HoseExtra);
                Some(HoseLengths::ReachPlus(more))
            }
        };
        let hose_bore = self.needed(&lines.hose_bore);
        let feed = match lines.feed.ok() {
            Some(FeedAt::Inner) => Some(FeedPoint::InnerEnd),
            Some(FeedAt::Left) => Some(FeedPoint::LeftEnd),
            Some(FeedAt::Right) => Some(FeedPoint::RightEnd),
            Some(FeedAt::Share) => self.needed(&lines.feed_share).map(FeedPoint::At),
            _ => Some(FeedPoint::Centre),
        };
        let section_bore = self.needed(&lines.section_bore);
        let valve_k = self.number_or(&lines.valve_loss, USUAL_VALVE_LOSS, Assumed::ValveLoss);
        let boom_height = self.or_usual(&lines.boom_height, zero, Assumed::BoomHeight);
        let roughness = match lines.wall.ok() {
            Some(WallBy::Steel) => Some(STEEL_WALL),
            Some(WallBy::Galvanized) => Some(GALVANIZED_WALL),
            Some(WallBy::Own) => self.needed(&lines.roughness),
            _ => Some(SMOOTH_WALL),
        };
        let water_mpa_s = calc::plumbing::network::Liquid::water_20_c().viscosity.as_mpa_s();
        let viscosity_mpa_s = self.number_or(&lines.viscosity_mpa_s, water_mpa_s, Assumed::Viscosity);
        self.optional(&lines.greatest_pressure);
        Some(QuickAnswers {
            supply_length,
            main_length: main_length?,
            main_bore: main_bore?,
            hose_lengths: hose_lengths?,
            hose_bore: hose_bore?,
            valve_k,
            feed: feed?,
            section_bore: section_bore?,
            boom_height,
            roughness: roughness?,
            viscosity: Viscosity::from_mpa_s(viscosity_mpa_s),
        })
    }

    /// Only what is wrong with it; the values are put in by [`changed`].
    fn piece(&mut self, piece: &PieceView) {
        for length in [&piece.length, &piece.bore, &piece.roughness, &piece.height] {
            self.optional(length);
        }
        self.optional(&piece.nozzle);
        self.wrong(&piece.loss);
    }

    /// Nothing there is fine; what is there has to read well.
    fn optional<Q: Quantity>(&mut self, reading: &Reading<Typed<Q>>) -> Option<Q> {
        self.wrong(reading);
        reading.ok().map(|typed| typed.value)
    }

    fn wrong<T: Clone>(&mut self, reading: &Reading<T>) {
        if let Some(problem) = reading.problem() {
            self.troubles.push(Trouble::Field(reading.path.clone(), problem.clone()));
        }
    }

    fn needed<Q: Quantity>(&mut self, reading: &Reading<Typed<Q>>) -> Option<Q> {
        if reading.read.is_none() {
            self.troubles.push(Trouble::Field(reading.path.clone(), FieldProblem::Missing));
        }
        self.optional(reading)
    }

    fn or_usual(&mut self, reading: &Reading<Typed<Length>>, usual: Length, assumed: Assumed) -> Length {
        if reading.read.is_none() {
            self.assumed.push(assumed);
        }
        self.optional(reading).unwrap_or(usual)
    }

    fn number_or(&mut self, reading: &Reading<f64>, usual: f64, assumed: Assumed) -> f64 {
        if reading.read.is_none() {
            self.assumed.push(assumed);
        }
        self.wrong(reading);
        reading.ok().unwrap_or(usual)
    }
}

/// Puts the changes of single pieces into a network. Changes of pieces that are no longer there (a section was taken
/// away) change nothing.
fn changed(built: &Network, lines: &PlumbingView) -> Network {
    let mut network = built.clone();
    for (id, change) in &lines.pieces {
        let Some(pipe) = network.pipes.iter_mut().find(|pipe| pipe.id == *id) else { continue };
        // Height and nozzle belong to the node at which the pipe ends as built, wherever it leads now.
        let end = pipe.to.clone();
        change_pipe(pipe, change);
        if let Some(height) = change.height.ok()
            && let Some(node) = network.nodes.iter_mut().find(|node| node.id == end)
        {
            node.height = height.value;
        }
        if let Some(share) = change.nozzle.ok() {
            let nozzles = network.nozzles.iter_mut().filter(|nozzle| nozzle.node == end);
            nozzles.for_each(|nozzle| nozzle.size = nozzle.size.times(share.value.as_fraction()));
        }
    }
    network
}

fn change_pipe(pipe: &mut Pipe, change: &PieceView) {
    let put = |reading: &Reading<Typed<Length>>, into: &mut Length| {
        if let Some(typed) = reading.ok() {
            *into = typed.value;
        }
    };
    put(&change.length, &mut pipe.length);
    put(&change.bore, &mut pipe.bore);
    put(&change.roughness, &mut pipe.roughness);
    if let Some(loss) = change.loss.ok() {
        pipe.minor_k = loss;
    }
    if let Some(from) = &change.from {
        pipe.from.clone_from(from);
    }
    if let Some(to) = &change.to {
        pipe.to.clone_from(to);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use calc::plumbing::pipe_content;
    use records::examples::{DITCH_BANK_TRUCK, DRAINAGE_ROAD_CARRIER, ExampleField};
    use std::collections::BTreeMap;

    fn view(fields: &[ExampleField], change: &[(&str, &str)]) -> RigView {
        let mut texts: BTreeMap<String, String> =
            fields.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
        for (path, text) in change {
            if text.is_empty() {
                texts.remove(*path);
            } else {
                texts.insert((*path).to_owned(), (*text).to_owned());
            }
        }
        RigView::read(&texts)
    }

    fn troubles(change: &[(&str, &str)]) -> Vec<Trouble> {
        solver_of(&view(DRAINAGE_ROAD_CARRIER, change)).map(|_| ()).unwrap_err()
    }

    fn pipe<'a>(drawn: &'a Drawn, id: &str) -> &'a Pipe {
        drawn.network.pipes.iter().find(|pipe| pipe.id == id).unwrap()
    }

    #[test]
    fn both_examples_come_over_whole() {
        let (truck, _) = solver_of(&view(DITCH_BANK_TRUCK, &[])).unwrap();
        assert_eq!((truck.network.nozzles.len(), truck.network.sections.len()), (25, 5));
        assert_eq!(truck.assumed, [Assumed::Viscosity]);
        // By hand: section 1 is 12 ft wide, its middle 50/2 − 6 = 19 ft from the rig's middle, and 3 ft more.
        assert!((pipe(&truck, "1.hose").length.as_ft() - 22.0).abs() < 1e-9);
        assert!((pipe(&truck, "main").bore.as_in() - 1.5).abs() < 1e-12);
        let (carrier, solver) = solver_of(&view(DRAINAGE_ROAD_CARRIER, &[])).unwrap();
        assert_eq!(carrier.network.nozzles.len(), 24);
        // Section 3 begins at the rig's middle and is fed there: its first nozzle is a quarter metre away.
        assert!((pipe(&carrier, "3.p1").length.as_m() - 0.25).abs() < 1e-12);
        // By hand, π/4 d² L: line and main 0.025² × 7 m = 3.436 L, hoses 0.019² × 16 m = 4.536 L, sections 0.019² ×
        // 4 × 2.75 m = 3.119 L.
        assert!((solver.plumbing().content().as_l() - 11.091).abs() < 2e-3);
    }

    // The first nozzle of the metric example: 6 m of main at the whole flow, 4 m of hose and a quarter metre of pipe at a
    // quarter of it. By hand: 200 L/ha × 8 km/h × 12 m ÷ 600 = 32 L/min and 1.5 L/ha of product with it make 32.24; main
    // 2.945 L at 0.5373 L/s = 5.48 s; hose and pipe 1.205 L at a quarter, 0.1343 L/s = 8.97 s; together 14.45 s, 32.1 m.
    #[test]
    fn the_lag_of_the_first_nozzle_is_that_of_a_hand_calculation() {
        let view = view(DRAINAGE_ROAD_CARRIER, &[]);
        let (drawn, solver) = solver_of(&view).unwrap();
        let plan = lag_plan_of(&view, &drawn.rig).unwrap();
        let sheet = lag_sheet(&solver, &plan.job(&drawn, &[])).unwrap();
        let first = sheet.first().unwrap();
        assert!((first.lag.as_s() - 14.45).abs() < 0.02, "{first:?}");
        assert!((first.distance.as_m() - 32.1).abs() < 0.05, "{first:?}");
        let by_hand = pipe_content(Length::from_m(6.0), Length::from_mm(25.0)).as_l();
        assert!((by_hand - 2.945).abs() < 1e-3);
    }

    #[test]
    fn a_rig_without_lines_is_not_guessed_at() {
        let none: Vec<ExampleField> =
            DITCH_BANK_TRUCK.iter().copied().filter(|(path, _)| !path.starts_with("plumbing.")).collect();
        assert_eq!(solver_of(&view(&none, &[])).map(|_| ()).unwrap_err(), [Trouble::NotBegun]);
    }

    #[test]
    fn what_is_missing_is_named_by_its_box() {
        assert_eq!(
            troubles(&[("plumbing.main_bore", ""), ("plumbing.hose_length", "")]),
            ["plumbing.main_bore", "plumbing.hose_length"]
                .map(|path| Trouble::Field(path.to_owned(), FieldProblem::Missing))
        );
        assert_eq!(
            troubles(&[("plumbing.hose_by", "each"), ("plumbing.section.2.hose", "measured;m;4")]).len(),
            3
        );
    }

    #[test]
    fn a_bore_of_zero_is_named_by_its_box() {
        assert_eq!(
            troubles(&[("plumbing.piece.2-hose.bore", "measured;mm;0")]),
            [Trouble::Field("plumbing.piece.2-hose.bore".to_owned(), FieldProblem::Zero)]
        );
    }

    #[test]
    fn what_nobody_said_is_taken_as_usual_and_said() {
        let view =
            view(DRAINAGE_ROAD_CARRIER, &[("plumbing.valve_loss", ""), ("plumbing.supply_length", "")]);
        let drawn = drawn_of(&view).unwrap();
        assert_eq!(drawn.assumed, [Assumed::SupplyLength, Assumed::ValveLoss, Assumed::Viscosity]);
        assert_eq!(pipe(&drawn, "1.hose").minor_k, USUAL_VALVE_LOSS);
    }

    #[test]
    fn a_loop_and_a_nozzle_fed_from_nowhere_are_named_by_their_piece() {
        let mended_at = |change: &[(&str, &str)]| {
            let drawn = drawn_of(&view(DRAINAGE_ROAD_CARRIER, change)).unwrap();
            let trouble = drawn.solver().map(|_| ()).unwrap_err();
            (path_of(&drawn, &trouble).unwrap(), trouble)
        };
        // The hose of section 2 led into section 1, which has a hose of its own.
        let (path, trouble) = mended_at(&[("plumbing.piece.2-hose.to", "1.n6")]);
        assert!(matches!(trouble, Trouble::Network(NetworkError::Loop { .. })), "{trouble:?}");
        assert!(path.ends_with(".to"), "{path}");
        // A pipe that begins beyond its own end.
        let (path, trouble) = mended_at(&[("plumbing.piece.3-p2.from", "3.n6")]);
        assert!(matches!(trouble, Trouble::Network(NetworkError::FedFromNowhere(_))), "{trouble:?}");
        assert_eq!(path, "plumbing.piece.3-p2.from");
        let (path, trouble) = mended_at(&[("plumbing.piece.3-p2.from", "nowhere")]);
        assert!(matches!(trouble, Trouble::Network(NetworkError::UnknownNode { .. })), "{trouble:?}");
        assert_eq!(path, "plumbing.piece.3-p2.from");
    }

    #[test]
    fn what_the_pump_or_the_switches_cannot_do_is_named() {
        let told = |change: &[(&str, &str)], shut: &[usize]| {
            let view = view(DRAINAGE_ROAD_CARRIER, change);
            let (drawn, solver) = solver_of(&view).unwrap();
            let plan = lag_plan_of(&view, &drawn.rig).unwrap();
            let trouble = sheet_of(&drawn, &solver, &plan, shut).unwrap_err();
            (drawn.piece_of(&trouble), trouble)
        };
        assert_eq!(told(&[], &[0, 1, 2, 3]), (None, Trouble::State(HydraulicsError::AllShut)));
        // 1.343 L/min and nozzle of size 03 want 3 × (1.343/1.2)² = 3.76 bar, so a pump of 3 bar cannot.
        let (_, trouble) = told(&[("plumbing.greatest_pressure", "sheet;bar;3")], &[]);
        let Trouble::State(HydraulicsError::BeyondPressure { needs, .. }) = trouble else {
            panic!("{trouble:?}")
        };
        assert!((3.76..4.5).contains(&needs.as_bar()), "{needs:?}");
        // By hand: 20 000 L/ha at 8 km/h and 12 m are 53.3 L/s; through 0.5 mm, Re = 4q/(π d ν) = 1.35e8.
        let change = [
            ("plumbing.main_bore", "measured;mm;0.5"),
            ("lag.rate", "guessed;l_per_ha;20000"),
            ("plumbing.greatest_pressure", ""),
        ];
        let (piece, trouble) = told(&change, &[]);
        assert!(matches!(trouble, Trouble::State(HydraulicsError::Reynolds { .. })), "{trouble:?}");
        assert_eq!(piece.as_deref(), Some("line"));
    }

    #[test]
    fn a_gauge_is_turned_into_nozzle_pressure() {
        let view = view(DRAINAGE_ROAD_CARRIER, &[]);
        let (drawn, solver) = solver_of(&view).unwrap();
        let plan = lag_plan_of(&view, &drawn.rig).unwrap();
        let sheet = sheet_of(&drawn, &solver, &plan, &[]).unwrap();
        // The two ways round: the pressure that the sheet has at the gauge leads back to its flow.
        let at_gauge = sheet.state.nodes[drawn.gauge].unwrap();
        let read = gauge_of(&drawn, &solver, Some(&plan), at_gauge, &[]).unwrap();
        assert!((read.state.carrier.as_l_per_min() - 32.0).abs() < 1e-3, "{read:?}");
        assert!(read.loss.as_pa() > 0.0);
    }

    #[test]
    fn a_piece_that_is_changed_is_the_only_one() {
        let change = [
            ("plumbing.piece.3-p2.bore", "measured;mm;12"),
            ("plumbing.piece.3-p2.nozzle", "measured;pct;50"),
        ];
        let drawn = drawn_of(&view(DRAINAGE_ROAD_CARRIER, &change)).unwrap();
        assert!((pipe(&drawn, "3.p2").bore.as_mm() - 12.0).abs() < 1e-12);
        assert_eq!(drawn.network.pipes.iter().zip(&drawn.built.pipes).filter(|(a, b)| a != b).count(), 1);
        let differ: Vec<f64> = drawn
            .network
            .nozzles
            .iter()
            .zip(&drawn.built.nozzles)
            .filter(|(a, b)| a.size != b.size)
            .map(|(a, b)| a.size.as_m3_s_pa05() / b.size.as_m3_s_pa05())
            .collect();
        assert_eq!(differ, [0.5]);
    }

    #[test]
    fn the_lag_sheet_takes_what_it_is_told_before_what_the_rig_says() {
        let change = [("lag.speed", "guessed;km_per_h;6"), ("lag.rate", "guessed;l_per_ha;100")];
        let told = view(DITCH_BANK_TRUCK, &change);
        let plan = lag_plan_of(&told, &rig_of(&told)).unwrap();
        assert!((plan.speed.as_km_per_h() - 6.0).abs() < 1e-12 && !plan.speed_is_standing);
        assert!((plan.carrier_rate.as_l_per_ha() - 100.0).abs() < 1e-9 && !plan.rate_is_target);
        // By hand: the third product is a quart in 100 gal, 0.25 % of 100 L/ha.
        assert_eq!(plan.products.len(), 3);
        assert!((plan.products[2].rate.as_l_per_ha() - 0.25).abs() < 1e-9);
        let bare = view(DITCH_BANK_TRUCK, &[("standing.speed", "")]);
        let missing = lag_plan_of(&bare, &rig_of(&bare)).unwrap_err();
        assert_eq!(missing, [Trouble::Field("lag.speed".to_owned(), FieldProblem::Missing)]);
    }
}
