//! A checked network, its pieces put in the order in which liquid passes them. What is computed on it lives elsewhere.

use units::Volume;

use super::network::{Ids, Network, NetworkError, NetworkRemark, Piece};

/// A network that is known to be a tree in which every piece is fed.
///
/// Everything else in [`plumbing`](super) is computed on this. Places (`usize`) count as in the network's own lists.
#[derive(Clone, Debug)]
pub struct Plumbing {
    network: Network,
    /// Network places of the nodes, each after the node that feeds it, every branch in one piece.
    pub(crate) node_at: Vec<usize>,
    /// The inverse: where in the order a node of the network stands.
    pub(crate) spot_of: Vec<usize>,
    /// By spot: spot of the node that feeds it; the root feeds itself.
    pub(crate) feeder: Vec<usize>,
    /// By spot: the pipe from its feeder; `usize::MAX` at the root.
    pub(crate) pipe_at: Vec<usize>,
    /// By spot: 1 where that pipe is written away from the supply, −1 where towards it.
    pub(super) sense: Vec<f64>,
    /// By spot: first spot behind its branch.
    pub(crate) branch_end: Vec<usize>,
    /// By section: spot whose pipe is its inlet.
    pub(crate) inlet_spot: Vec<usize>,
    /// By nozzle: its spot.
    pub(crate) nozzle_spot: Vec<usize>,
    /// Spot of the injection point.
    pub(crate) injection_spot: Option<usize>,
    /// By spot: content of its pipe.
    pub(crate) content_m3: Vec<f64>,
}

impl Plumbing {
    /// Checks a network and puts it in order.
    ///
    /// # Errors
    /// The first of [`Network::problems`]; else [`NetworkError::Loop`] or [`NetworkError::FedFromNowhere`].
    ///
    /// # Example
    /// One nozzle behind one pipe.
    /// ```
    /// # use calc::plumbing::{Plumbing, network::*};
    /// # use units::Length;
    /// let node = |id: &str| Node { id: id.into(), height: Length::from_m(0.0), across: None };
    /// let pipe = Pipe {
    ///     id: "hose".into(), from: "tank".into(), to: "tip".into(), length: Length::from_m(2.0),
    ///     bore: Length::from_mm(19.0), roughness: Length::from_mm(0.0015), minor_k: 0.0,
    /// };
    /// let size = FlowCoefficient::from_m3_s_pa05(2.4e-8);
    /// let mut network = Network {
    ///     liquid: Liquid::water_20_c(), nodes: vec![node("tank"), node("tip")], pipes: vec![pipe],
    ///     nozzles: vec![Nozzle { node: "tip".into(), size, section: None }], sections: vec![],
    ///     supply: "tank".into(), injection: None,
    /// };
    /// // By hand: π/4 × 0.019² × 2 m³ = 0.567 L.
    /// assert!((Plumbing::check(&network)?.content().as_l() - 0.567).abs() < 1e-3);
    /// network.pipes[0].bore = Length::from_mm(0.0);
    /// assert!(matches!(Plumbing::check(&network), Err(NetworkError::Bore { pipe, .. }) if pipe == "hose"));
    /// # Ok::<(), NetworkError>(())
    /// ```
    pub fn check(network: &Network) -> Result<Self, NetworkError> {
        if let Some(problem) = network.problems().into_iter().next() {
            return Err(problem);
        }
        let ids = Ids::of(network);
        let mut plumbing = Self::ordered(network, &ids)?;
        plumbing.close_branches();
        let unfed = |node: &str| plumbing.spot_of[ids.nodes[node]] == usize::MAX;
        if let Some(nozzle) = network.nozzles.iter().position(|nozzle| unfed(&nozzle.node)) {
            return Err(NetworkError::FedFromNowhere(Piece::Nozzle(nozzle)));
        }
        if network.injection.as_ref().is_some_and(|node| unfed(node)) {
            return Err(NetworkError::FedFromNowhere(Piece::Injection));
        }
        if let Some(pipe) = network.pipes.iter().find(|pipe| unfed(&pipe.from)) {
            return Err(NetworkError::FedFromNowhere(Piece::Pipe(pipe.id.clone())));
        }
        if let Some(node) = network.nodes.iter().find(|node| unfed(&node.id)) {
            return Err(NetworkError::FedFromNowhere(Piece::Node(node.id.clone())));
        }
        let mut spot_of_pipe = vec![0; network.pipes.len()];
        for (spot, &pipe) in plumbing.pipe_at.iter().enumerate().skip(1) {
            spot_of_pipe[pipe] = spot;
        }
        let spot_of = |node: &String| plumbing.spot_of[ids.nodes[node.as_str()]];
        plumbing.inlet_spot =
            network.sections.iter().map(|s| spot_of_pipe[ids.pipes[s.inlet_pipe.as_str()]]).collect();
        plumbing.nozzle_spot = network.nozzles.iter().map(|nozzle| spot_of(&nozzle.node)).collect();
        plumbing.injection_spot = network.injection.as_ref().map(spot_of);
        Ok(plumbing)
    }

    /// The network as it was checked.
    #[must_use]
    pub fn network(&self) -> &Network {
        &self.network
    }

    /// What all pipes hold together.
    #[must_use]
    pub fn content(&self) -> Volume {
        Volume::from_m3(self.content_m3.iter().sum())
    }

    /// What one pipe holds: `π/4 d² L`.
    ///
    /// ```
    /// # use calc::plumbing::pipe_content;
    /// # use units::Length;
    /// // 1 1/2 in bore × 100 ft: 9.2 US gal (NWCG, firefighter math, table 3.1; exactly 9.18).
    /// let content = pipe_content(Length::from_ft(100.0), Length::from_in(1.5));
    /// assert!((content.as_us_gal() - 9.18).abs() < 0.005);
    /// ```
    #[must_use]
    pub fn pipe_content(&self, pipe: usize) -> Option<Volume> {
        self.network.pipes.get(pipe).map(|pipe| pipe_content(pipe.length, pipe.bore))
    }

    /// Pipes on the way from the supply to a node, in the order in which liquid passes them; `None` without that node.
    #[must_use]
    pub fn way_to(&self, node: usize) -> Option<Vec<usize>> {
        let mut spot = *self.spot_of.get(node)?;
        let mut way = Vec::new();
        while spot != 0 {
            way.push(self.pipe_at[spot]);
            spot = self.feeder[spot];
        }
        way.reverse();
        Some(way)
    }

    /// What is odd about the network, though it can be computed.
    #[must_use]
    pub fn remarks(&self) -> Vec<NetworkRemark> {
        let mut found = Vec::new();
        let network = &self.network;
        let is_behind = |spot: usize, inlet: usize| inlet <= spot && spot < self.branch_end[inlet];
        for (nozzle, piece) in network.nozzles.iter().enumerate() {
            let Some(id) = &piece.section else { continue };
            let inlets =
                network.sections.iter().zip(&self.inlet_spot).filter(|(section, _)| section.id == *id);
            for (section, &inlet) in inlets {
                if !is_behind(self.nozzle_spot[nozzle], inlet) {
                    let section = section.id.clone();
                    found.push(NetworkRemark::NozzleOutsideItsSection { nozzle, section });
                }
            }
        }
        for (section, &inlet) in network.sections.iter().zip(&self.inlet_spot) {
            if !self.nozzle_spot.iter().any(|&spot| is_behind(spot, inlet)) {
                found.push(NetworkRemark::SectionWithoutNozzles { section: section.id.clone() });
            }
        }
        let mut carries = vec![false; self.node_at.len()];
        self.nozzle_spot.iter().chain(&self.injection_spot).for_each(|&spot| carries[spot] = true);
        for spot in (1..carries.len()).rev() {
            if carries[spot] {
                carries[self.feeder[spot]] = true;
            } else {
                found.push(NetworkRemark::DeadEnd { pipe: network.pipes[self.pipe_at[spot]].id.clone() });
            }
        }
        found
    }

    /// Walks the pipes from the supply outwards.
    fn ordered(network: &Network, ids: &Ids) -> Result<Self, NetworkError> {
        let mut at_node = vec![Vec::new(); network.nodes.len()];
        let ends: Vec<[usize; 2]> =
            network.pipes.iter().map(|p| [ids.nodes[p.from.as_str()], ids.nodes[p.to.as_str()]]).collect();
        for (pipe, [from, to]) in ends.iter().copied().enumerate() {
            at_node[from].push(pipe);
            at_node[to].push(pipe);
        }
        let mut tree = Self {
            network: network.clone(),
            node_at: Vec::new(),
            spot_of: vec![usize::MAX; network.nodes.len()],
            feeder: Vec::new(),
            pipe_at: Vec::new(),
            sense: Vec::new(),
            branch_end: Vec::new(),
            inlet_spot: Vec::new(),
            nozzle_spot: Vec::new(),
            injection_spot: None,
            content_m3: Vec::new(),
        };
        let mut to_visit = vec![(ids.nodes[network.supply.as_str()], usize::MAX, 0)];
        while let Some((node, pipe, feeder)) = to_visit.pop() {
            if tree.spot_of[node] != usize::MAX {
                return Err(NetworkError::Loop { pipe: network.pipes[pipe].id.clone() });
            }
            let spot = tree.node_at.len();
            tree.spot_of[node] = spot;
            tree.node_at.push(node);
            tree.feeder.push(feeder);
            tree.pipe_at.push(pipe);
            let content = network.pipes.get(pipe).map_or(0.0, |p| pipe_content(p.length, p.bore).as_m3());
            tree.content_m3.push(content);
            tree.sense.push(if ends.get(pipe).is_some_and(|[_, to]| *to != node) { -1.0 } else { 1.0 });
            for &next in at_node[node].iter().rev().filter(|&&next| next != pipe) {
                let [from, to] = ends[next];
                if from == to {
                    return Err(NetworkError::Loop { pipe: network.pipes[next].id.clone() });
                }
                to_visit.push((if from == node { to } else { from }, next, spot));
            }
        }
        Ok(tree)
    }

    fn close_branches(&mut self) {
        self.branch_end = (1..=self.node_at.len()).collect();
        for spot in (1..self.node_at.len()).rev() {
            let feeder = self.feeder[spot];
            self.branch_end[feeder] = self.branch_end[feeder].max(self.branch_end[spot]);
        }
    }
}

/// What a pipe holds: `π/4 d² L`. Any sign and size is taken as it comes.
///
/// ```
/// # use calc::plumbing::pipe_content;
/// # use units::Length;
/// // By hand: π/4 × 0.025² m² × 10 m = 4.909 L.
/// let content = pipe_content(Length::from_m(10.0), Length::from_mm(25.0));
/// assert!((content.as_l() - 4.909).abs() < 5e-4);
/// ```
#[must_use]
pub fn pipe_content(length: units::Length, bore: units::Length) -> Volume {
    Volume::from_m3(std::f64::consts::FRAC_PI_4 * bore.as_m() * bore.as_m() * length.as_m())
}
