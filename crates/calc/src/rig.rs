//! What a rig is, as numbers: the vocabulary that every other module shares.
//!
//! No formula lives here, and no convention of a console (that is [`units::PulseConvention`]). What is not known is
//! `None`: an unknown limit is neither zero nor infinite, and each formula says which parts it needs.

use units::{
    FlowRate, Length, Pressure, PulsesPerDistance, PulsesPerVolume, Share, Speed, VolumePerArea,
    VolumePerCarrier,
};

/// A whole sprayer, as far as it is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Rig {
    /// The boom, left to right as seen from behind.
    pub sections: Vec<Section>,
    /// The nozzle set, the same on every section.
    pub nozzles: Option<NozzleSet>,
    /// The carrier flow meter.
    pub meter: Option<FlowMeter>,
    /// What the speed sensor gives.
    pub speed_sensor: Option<PulsesPerDistance>,
    /// The carrier supply pump.
    pub supply: Option<SupplyPump>,
    /// The injection pumps, in the console's order.
    pub pumps: Vec<InjectionPump>,
    /// How the carrier is run.
    pub carrier: Option<Carrier>,
    /// Carrier density over that of water, > 0. Water is 1.
    pub specific_gravity: f64,
    /// Speed that the console pretends for a standing run.
    pub standing_speed: Option<Speed>,
    /// Minimum-speed hold: below it the console keeps the output it would give at this speed.
    pub hold_speed: Option<Speed>,
    /// Any top speed stated for the vehicle or the job.
    pub top_speed: Option<Speed>,
}

/// One boom section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Working width, > 0.
    pub width: Length,
    /// How many nozzles it carries; 0 where that is not known.
    pub n_nozzles: u32,
}

/// A nozzle set: flow `q = rated_flow · √(P / rated_pressure)` with water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NozzleSet {
    /// Nominal flow with water at [`Self::rated_pressure`], > 0.
    pub rated_flow: FlowRate,
    /// Pressure of the nominal flow, > 0.
    pub rated_pressure: Pressure,
    /// Lowest pressure of the nozzle's window.
    pub least_pressure: Option<Pressure>,
    /// Highest pressure of the nozzle's window.
    pub greatest_pressure: Option<Pressure>,
    /// Distance between neighbouring nozzles.
    pub spacing: Option<Length>,
}

/// The carrier flow meter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlowMeter {
    /// Pulses per volume, as keyed in.
    pub number: PulsesPerVolume,
    /// Lowest rated flow.
    pub least: Option<FlowRate>,
    /// Highest rated flow.
    pub greatest: Option<FlowRate>,
}

/// The carrier supply pump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SupplyPump {
    /// Largest flow at working pressure, > 0.
    pub greatest: FlowRate,
    /// Share of the largest flow that goes back to the tank to keep it stirred, 0 to below 1.
    pub agitation: Share,
    /// Share of the largest flow held back for wear, 0 to below 1.
    pub reserve: Share,
}

/// One injection pump and the rates it is to give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InjectionPump {
    /// Pulses per volume, as keyed in.
    pub number: Option<PulsesPerVolume>,
    /// Least output that it meters well.
    pub least: Option<FlowRate>,
    /// Greatest output.
    pub greatest: Option<FlowRate>,
    /// The product rate.
    pub first: Option<ProductRate>,
    /// The other product rate, on a switch.
    pub second: Option<ProductRate>,
    /// Step of the nudge, as a share of the rate in force.
    pub nudge: Option<Share>,
    /// Largest product rate that the label allows, where one was given.
    pub label_greatest: Option<VolumePerArea>,
}

/// A product rate as the label or the console states it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProductRate {
    /// Volume of product per area of ground.
    PerArea(VolumePerArea),
    /// Volume of product added to each volume of carrier.
    PerCarrier(VolumePerCarrier),
}

/// How the carrier is run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Carrier {
    /// The console steers the valve so that the shown rate sits on this target.
    Regulated(VolumePerArea),
    /// The valve is left alone; this is the pressure at the nozzles.
    Manual(Pressure),
}

impl InjectionPump {
    /// A pump of which nothing is known.
    #[must_use]
    pub const fn blank() -> Self {
        Self {
            number: None,
            least: None,
            greatest: None,
            first: None,
            second: None,
            nudge: None,
            label_greatest: None,
        }
    }
}

impl Section {
    /// A section of evenly spaced nozzles: as wide as their number times the spacing, since the outermost ones cover half
    /// a spacing beyond themselves.
    ///
    /// ```
    /// # use calc::rig::Section;
    /// # use units::Length;
    /// // Texas A&M AgriLife: 13 nozzles at 20 in are 21.7 ft (260 in).
    /// assert!((Section::of_nozzles(13, Length::from_in(20.0)).width.as_in() - 260.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of_nozzles(n_nozzles: u32, spacing: Length) -> Self {
        Self { width: Length::from_m(f64::from(n_nozzles) * spacing.as_m()), n_nozzles }
    }
}

impl Rig {
    /// Working width as sections go on, left to right: one for each section, the last is the whole boom.
    ///
    /// ```
    /// # use calc::rig::{Rig, Section};
    /// # use units::Length;
    /// // By hand: 12, 12 + 10, 12 + 10 + 12 ft.
    /// let sections = [12.0, 10.0, 12.0].map(|ft| Section { width: Length::from_ft(ft), n_nozzles: 0 });
    /// let widths = Rig { sections: sections.to_vec(), ..Rig::blank() }.cumulative_widths();
    /// assert!(widths.iter().zip([12.0, 22.0, 34.0]).all(|(got, ft)| (got.as_ft() - ft).abs() < 1e-9));
    /// ```
    #[must_use]
    pub fn cumulative_widths(&self) -> Vec<Length> {
        let mut so_far_m = 0.0;
        self.sections
            .iter()
            .map(|section| {
                so_far_m += section.width.as_m();
                Length::from_m(so_far_m)
            })
            .collect()
    }

    /// Working width of all sections together.
    ///
    /// ```
    /// # use calc::rig::{Rig, Section};
    /// # use units::Length;
    /// // By hand: 12 ft + 10 ft + 12 ft = 34 ft.
    /// let sections = [12.0, 10.0, 12.0].map(|ft| Section { width: Length::from_ft(ft), n_nozzles: 0 });
    /// let rig = Rig { sections: sections.to_vec(), ..Rig::blank() };
    /// assert!((rig.boom_width().as_ft() - 34.0).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn boom_width(&self) -> Length {
        Length::from_m(self.sections.iter().map(|s| s.width.as_m()).sum())
    }

    /// How many nozzles all sections carry.
    #[must_use]
    pub fn n_nozzles(&self) -> u32 {
        self.sections.iter().map(|s| s.n_nozzles).sum()
    }

    /// A rig of which nothing is known, with water as its carrier.
    #[must_use]
    pub const fn blank() -> Self {
        Self {
            sections: Vec::new(),
            nozzles: None,
            meter: None,
            speed_sensor: None,
            supply: None,
            pumps: Vec::new(),
            carrier: None,
            specific_gravity: 1.0,
            standing_speed: None,
            hold_speed: None,
            top_speed: None,
        }
    }
}
