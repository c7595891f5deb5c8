//! Pressures and flows in a network, one state at a time, with how well the answer converged beside it.
//!
//! Steady flow of one liquid: no water hammer, no filling of empty pipe. The arithmetic of the iteration is in `newton`;
//! what the answers mean for a boom (spread, gauge against nozzle, lines too small) is in [`super::lag`].

use std::f64::consts::FRAC_PI_4;

use units::{FlowRate, Pressure, Speed};

pub use super::state::{Convergence, DryNozzles, Given, Hydraulics, HydraulicsError, Operating, PipeFlow};

use super::Plumbing;
use super::friction::{Curve, FrictionLaw, RE_MAX, Regime};
use super::newton::{Ended, Flows, Hold, NEAR, Numbers, PipeLaw};

/// Standard gravity, m/s². 3rd CGPM (1901).
pub(crate) const GRAVITY_M_S2: f64 = 9.806_65;

/// A network made ready for one friction law.
#[derive(Clone, Debug)]
pub struct Solver {
    plumbing: Plumbing,
    law: FrictionLaw,
    pub(crate) numbers: Numbers,
}

impl Solver {
    /// Makes a network ready.
    #[must_use]
    pub fn new(plumbing: Plumbing, law: FrictionLaw) -> Self {
        let network = plumbing.network();
        let (rho, mu) = (network.liquid.density.as_kg_per_m3(), network.liquid.viscosity.as_pa_s());
        let pipe_law = |pipe: &super::network::Pipe| {
            let d_m = pipe.bore.as_m();
            let area_m2 = FRAC_PI_4 * d_m * d_m;
            PipeLaw {
                re_per_m3_s: rho * d_m / (mu * area_m2),
                head_per_q2: rho / (2.0 * area_m2 * area_m2),
                l_over_d: pipe.length.as_m() / d_m,
                minor_k: pipe.minor_k,
                curve: Curve::new(pipe.roughness.as_m() / d_m, law),
            }
        };
        // No pipe leads to the root; what stands there is never looked at.
        let no_pipe = PipeLaw {
            re_per_m3_s: 1.0,
            head_per_q2: 0.0,
            l_over_d: 0.0,
            minor_k: 0.0,
            curve: Curve::new(0.0, law),
        };
        let laws =
            plumbing.pipe_at.iter().map(|&pipe| network.pipes.get(pipe).map_or(no_pipe, pipe_law)).collect();
        let mut nozzle_k = vec![0.0; plumbing.node_at.len()];
        for (nozzle, &spot) in network.nozzles.iter().zip(&plumbing.nozzle_spot) {
            nozzle_k[spot] += nozzle.size.as_m3_s_pa05();
        }
        // Heights count from the nozzles' own, so that small pressures are not lost in the digits of large heads.
        let (mut k_sum, mut k_height) = (f64::MIN_POSITIVE, 0.0);
        let height_m = |spot: usize| network.nodes[plumbing.node_at[spot]].height.as_m();
        for (spot, k) in nozzle_k.iter().enumerate() {
            k_sum += k;
            k_height += k * height_m(spot);
        }
        let level_m = if k_sum == f64::MIN_POSITIVE { 0.0 } else { k_height / k_sum };
        let height_pa: Vec<f64> =
            (0..nozzle_k.len()).map(|spot| rho * GRAVITY_M_S2 * (height_m(spot) - level_m)).collect();
        let tallest_nozzle_pa =
            plumbing.nozzle_spot.iter().fold(0.0_f64, |most, &i| most.max(height_pa[i].abs()));
        let feeder = plumbing.feeder.clone();
        let numbers = Numbers { feeder, laws, nozzle_k, height_pa, tallest_nozzle_pa };
        Self { plumbing, law, numbers }
    }

    /// The network.
    #[must_use]
    pub fn plumbing(&self) -> &Plumbing {
        &self.plumbing
    }

    /// The friction law.
    #[must_use]
    pub fn law(&self) -> FrictionLaw {
        self.law
    }

    /// Pressures and flows of one state.
    ///
    /// | equation | where |
    /// |---|---|
    /// | `q = k √P` | nozzle; the pressure outside is zero everywhere |
    /// | `P₁ + ρ g z₁ = P₂ + ρ g z₂ + (f L/d + K) ρ v²/2` | pipe, in the direction of flow, `v` in its own bore |
    /// | in = out | node; the injected flow joins at the injection point |
    ///
    /// `f` is Darcy's, by [`friction_factor`](super::friction::friction_factor). Cost grows with the number of pipes;
    /// five to eight steps are usual, from a guess in which every nozzle has the same pressure.
    ///
    /// # Errors
    /// [`HydraulicsError`]; each variant says when.
    ///
    /// # Source
    /// J. Weisbach, *Lehrbuch der Ingenieur- und Maschinen-Mechanik* (1845), H. Darcy (1857); in any textbook. The
    /// iteration: E. Todini, S. Pilati (1988).
    ///
    /// # Example
    /// A nozzle of 0.8 L/min at 3 bar behind a short wide hose, 1 m lower than its supply.
    /// ```
    /// # use calc::plumbing::{Plumbing, friction::FrictionLaw, hydraulics::*, network::*};
    /// # use units::{FlowRate, Length, Pressure};
    /// # let node = |id: &str, m: f64| Node { id: id.into(), height: Length::from_m(m), across: None };
    /// # let hose = Pipe {
    /// #     id: "hose".into(), from: "tank".into(), to: "tip".into(), length: Length::from_m(1.0),
    /// #     bore: Length::from_mm(50.0), roughness: Length::from_mm(0.0), minor_k: 0.0,
    /// # };
    /// let size = FlowCoefficient::from_rating(FlowRate::from_l_per_min(0.8), Pressure::from_bar(3.0));
    /// # let network = Network {
    /// #     liquid: Liquid::water_20_c(), nodes: vec![node("tank", 1.0), node("tip", 0.0)], pipes: vec![hose],
    /// #     nozzles: vec![Nozzle { node: "tip".into(), size, section: None }], sections: vec![],
    /// #     supply: "tank".into(), injection: None,
    /// # };
    /// let solver = Solver::new(Plumbing::check(&network).unwrap(), FrictionLaw::SwameeJain);
    /// let given = Given::Carrier(FlowRate::from_l_per_min(0.8));
    /// let operating = Operating { given, injected: FlowRate::from_l_per_min(0.0), shut: &[] };
    /// let answer = solver.solve(&operating, DryNozzles::Refuse).unwrap();
    /// // By hand: 3 bar less 998.2 × 9.80665 × 1 m = 9789 Pa of height; the hose takes less than 0.01 Pa.
    /// assert!((answer.supply_pressure.as_pa() - 290_211.0).abs() < 1.0);
    /// ```
    pub fn solve(&self, operating: &Operating, dry: DryNozzles) -> Result<Hydraulics, HydraulicsError> {
        let mut flows = Flows::default();
        let ended = self.solve_flows(operating, dry, &mut flows, false)?;
        Ok(self.answer(operating, &flows, ended))
    }

    /// The same into kept room. `is_near` says that `flows` holds a state with the same sections shut.
    pub(crate) fn solve_flows(
        &self,
        operating: &Operating,
        dry: DryNozzles,
        flows: &mut Flows,
        is_near: bool,
    ) -> Result<Convergence, HydraulicsError> {
        let injection = self.check(operating, flows, is_near)?;
        let hold = match operating.given {
            Given::Carrier(flow) | Given::CarrierUpTo { flow, .. } => {
                let q = flow.as_m3_per_s();
                // Only from a state that is near in its carrier too: while a pump runs on, the carrier alone may have grown by
                // twenty orders of magnitude, and flows scaled by that are no guess.
                let ratio = q / flows.carrier;
                if is_near && (0.1..=10.0).contains(&ratio) && !flows.is_dry.contains(&true) {
                    flows.pipe.iter_mut().chain(&mut flows.nozzle).for_each(|old| *old *= ratio);
                } else {
                    self.numbers.guess_from_flow(flows, q, injection);
                }
                Hold::Carrier(q)
            }
            Given::SupplyPressure(p) => {
                self.numbers.guess_from_pressure(flows, p.as_pa(), injection);
                Hold::RootHead(p.as_pa() + self.numbers.height_pa[0])
            }
            Given::PressureAt { node, pressure } => {
                let spot = self.plumbing.spot_of[node];
                self.numbers.guess_from_pressure(flows, pressure.as_pa(), injection);
                Hold::HeadAt(spot, pressure.as_pa() + self.numbers.height_pa[spot])
            }
        };
        let ended = self.numbers.iterate(flows, hold, injection);
        self.numbers.add_up(flows, hold, injection);
        let convergence = self.convergence(flows, ended, injection);
        self.judge(operating, dry, flows, convergence)?;
        Ok(convergence)
    }

    fn check(
        &self,
        operating: &Operating,
        flows: &mut Flows,
        is_near: bool,
    ) -> Result<Option<(usize, f64)>, HydraulicsError> {
        let injected = operating.injected;
        if !(0.0 <= injected.as_m3_per_s() && injected.as_m3_per_s().is_finite()) {
            return Err(HydraulicsError::Injected { got: injected });
        }
        if !is_near {
            self.open(operating.shut, flows)?;
        }
        let injection = match (self.plumbing.injection_spot, injected.as_m3_per_s()) {
            (_, 0.0) => None,
            (None, _) => return Err(HydraulicsError::NoInjectionPoint),
            (Some(spot), _) if !flows.is_fed[spot] => return Err(HydraulicsError::InjectionShutOff),
            (Some(spot), q) => Some((spot, q)),
        };
        match operating.given {
            Given::Carrier(flow) | Given::CarrierUpTo { flow, .. } => {
                let q = flow.as_m3_per_s();
                if !(0.0 <= q && q.is_finite() && 0.0 < q + injected.as_m3_per_s()) {
                    return Err(HydraulicsError::Carrier { got: flow });
                }
            }
            Given::SupplyPressure(got) | Given::PressureAt { pressure: got, .. } => {
                if !got.as_pa().is_finite() {
                    return Err(HydraulicsError::Pressure { got });
                }
            }
        }
        if let Given::PressureAt { node, .. } = operating.given {
            match self.plumbing.spot_of.get(node) {
                None => return Err(HydraulicsError::UnknownNode { node }),
                Some(&spot) if !flows.is_fed[spot] => return Err(HydraulicsError::GaugeShutOff { node }),
                Some(_) => {}
            }
        }
        Ok(injection)
    }

    /// Marks what is fed when these sections are shut.
    fn open(&self, shut: &[usize], flows: &mut Flows) -> Result<(), HydraulicsError> {
        let plumbing = &self.plumbing;
        flows.is_fed.clear();
        flows.is_fed.resize(self.numbers.len(), true);
        for &section in shut {
            let inlet =
                *plumbing.inlet_spot.get(section).ok_or(HydraulicsError::UnknownSection { section })?;
            flows.is_fed[inlet..plumbing.branch_end[inlet]].fill(false);
        }
        if !plumbing.nozzle_spot.iter().any(|&spot| flows.is_fed[spot]) {
            return Err(HydraulicsError::AllShut);
        }
        if !(0..self.numbers.len()).any(|i| flows.is_fed[i] && 0.0 < self.numbers.nozzle_k[i]) {
            return Err(HydraulicsError::AllBlocked);
        }
        Ok(())
    }

    /// Puts the flows back into the equations. Heads are worked out anew from the losses at the final flows.
    fn convergence(&self, flows: &mut Flows, ended: Ended, injection: Option<(usize, f64)>) -> Convergence {
        let numbers = &self.numbers;
        let mut excess: Vec<f64> = flows.nozzle.iter().map(|q| -q).collect();
        excess[0] += flows.carrier;
        if let Some((spot, q)) = injection {
            excess[spot] += q;
        }
        let (mut misfit_pa, mut greatest_pa) = (0.0_f64, f64::MIN_POSITIVE);
        let most = |most: f64, p: f64| most.max(p.abs());
        for i in (0..numbers.len()).filter(|&i| flows.is_fed[i]) {
            if i != 0 {
                let feeder = numbers.feeder[i];
                flows.head[i] = flows.head[feeder] - numbers.laws[i].loss(flows.pipe[i]);
                excess[feeder] -= flows.pipe[i];
                excess[i] += flows.pipe[i];
            }
            if 0.0 < flows.nozzle[i] {
                let p = flows.head[i] - numbers.height_pa[i];
                misfit_pa = most(misfit_pa, p - (flows.nozzle[i] / numbers.nozzle_k[i]).powi(2));
            }
            greatest_pa = most(most(greatest_pa, flows.head[i]), numbers.height_pa[i]);
        }
        let total = (flows.carrier + injection.map_or(0.0, |(_, q)| q)).abs().max(f64::MIN_POSITIVE);
        Convergence {
            n_steps: ended.n_steps,
            last_change: ended.last_change,
            pressure_residual: misfit_pa / greatest_pa,
            flow_residual: excess.iter().fold(0.0_f64, |most, e| most.max(e.abs())) / total,
        }
    }

    fn judge(
        &self,
        operating: &Operating,
        dry: DryNozzles,
        flows: &Flows,
        convergence: Convergence,
    ) -> Result<(), HydraulicsError> {
        let numbers = &self.numbers;
        if dry == DryNozzles::Refuse
            && let Some(spot) = (0..numbers.len()).find(|&i| flows.is_fed[i] && flows.is_dry[i])
        {
            let pressure = Pressure::from_pa(flows.head[spot] - numbers.height_pa[spot]);
            let nozzle = self.plumbing.nozzle_spot.iter().position(|&at| at == spot).unwrap_or_default();
            return Err(HydraulicsError::NozzleDry { nozzle, pressure });
        }
        if flows.carrier < 0.0 {
            let carrier = FlowRate::from_m3_per_s(flows.carrier);
            return Err(HydraulicsError::CarrierBackwards { carrier });
        }
        for i in (1..numbers.len()).filter(|&i| flows.is_fed[i]) {
            let got = numbers.laws[i].re_per_m3_s * flows.pipe[i].abs();
            if RE_MAX < got {
                let pipe = self.plumbing.pipe_at[i];
                return Err(HydraulicsError::Reynolds { pipe, got, greatest: RE_MAX });
            }
        }
        // A step that changes no flow by more than NEAR leaves an error of the order of its square. Where pressures at nozzles are
        // next to nothing, flows keep trembling in rounding; the equations tell that nothing is left to gain.
        let Convergence { last_change, pressure_residual, flow_residual, .. } = convergence;
        let is_still = last_change < NEAR && pressure_residual < 1e-9 || pressure_residual < 1e-12;
        // The largest of a list passes over what is no number, so that is asked for by itself.
        let is_finite = (0..numbers.len())
            .filter(|&i| flows.is_fed[i])
            .all(|i| flows.nozzle[i].is_finite() && flows.pipe[i].is_finite() && flows.head[i].is_finite());
        if !(is_still && flow_residual < 1e-9 && is_finite) {
            return Err(HydraulicsError::NotConverged(convergence));
        }
        if let Given::CarrierUpTo { flow, greatest } = operating.given {
            let needs = Pressure::from_pa(flows.head[0] - numbers.height_pa[0]);
            if greatest < needs {
                return Err(HydraulicsError::BeyondPressure { flow, needs, greatest });
            }
        }
        Ok(())
    }

    fn answer(&self, operating: &Operating, flows: &Flows, convergence: Convergence) -> Hydraulics {
        let (plumbing, numbers) = (&self.plumbing, &self.numbers);
        let pressure_pa = |spot: usize| flows.head[spot] - numbers.height_pa[spot];
        let at_node = |&spot: &usize| flows.is_fed[spot].then(|| Pressure::from_pa(pressure_pa(spot)));
        let mut pipes = vec![PipeFlow::still(); plumbing.network().pipes.len()];
        for i in (1..numbers.len()).filter(|&i| flows.is_fed[i]) {
            pipes[plumbing.pipe_at[i]] = self.pipe_flow(i, flows.pipe[i]);
        }
        let nozzle_q = |(nozzle, &spot): (&super::network::Nozzle, &usize)| {
            let is_open = flows.is_fed[spot] && !flows.is_dry[spot];
            let share = nozzle.size.as_m3_s_pa05() / numbers.nozzle_k[spot];
            FlowRate::from_m3_per_s(if is_open && 0.0 < share { share * flows.nozzle[spot] } else { 0.0 })
        };
        Hydraulics {
            carrier: FlowRate::from_m3_per_s(flows.carrier),
            injected: operating.injected,
            supply_pressure: Pressure::from_pa(pressure_pa(0)),
            nodes: plumbing.spot_of.iter().map(at_node).collect(),
            pipes,
            nozzles: plumbing.network().nozzles.iter().zip(&plumbing.nozzle_spot).map(nozzle_q).collect(),
            nozzle_is_shut: plumbing.nozzle_spot.iter().map(|&spot| !flows.is_fed[spot]).collect(),
            convergence,
        }
    }

    fn pipe_flow(&self, spot: usize, q_m3_s: f64) -> PipeFlow {
        let law = &self.numbers.laws[spot];
        let area_m2 =
            FRAC_PI_4 * self.plumbing.network().pipes[self.plumbing.pipe_at[spot]].bore.as_m().powi(2);
        let reynolds = law.re_per_m3_s * q_m3_s.abs();
        PipeFlow {
            flow: FlowRate::from_m3_per_s(self.plumbing.sense[spot] * q_m3_s),
            velocity: Speed::from_m_per_s(q_m3_s.abs() / area_m2),
            reynolds,
            regime: Regime::of(reynolds),
            loss: Pressure::from_pa(law.loss(q_m3_s).abs()),
        }
    }
}
