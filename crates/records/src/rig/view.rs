//! A rig's document read into types: for each field the text as typed and the value or what is wrong with it.
//! What does not fit together is in [`super::checks`].

use std::collections::BTreeMap;

use units::{
    Density, Duration, FlowRate, Length, LengthUnit, Pressure, PulseConvention, PulsesPerDistance,
    PulsesPerVolume, Share, Speed, Typed, Volume, VolumePerArea, VolumeUnit,
};

use super::plumbing::{
    FeedAt, GaugeAt, HoseBy, LawBy, PieceView, PlumbingView, WallBy, piece_path, pieces_with_texts,
};
use super::table::{
    FEED, FIELDS, GAUGE, HOSE_BY, KEY_IN_ENTRIES, LAW, MOST_DROPLET_ROWS, MOST_PUMPS, MOST_SECTIONS,
    MOST_SETS, WALL, spec_of,
};
use crate::fields::{
    FieldProblem, FieldSpec, IsoNumber, Measure, PulseNumber, Texts, choice, convention, count,
    distance_pulses, iso_number, missing, number, product_rate, quantity, volume_pulses,
};
use crate::product_rate::ProductRate;
use crate::value::FieldValue;

/// One field: as typed, and as read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading<T> {
    /// Where it stands.
    pub path: String,
    /// As typed, with unit and source; `None` where nothing is.
    pub value: Option<FieldValue>,
    /// The value or what is wrong; `None` where nothing is and nothing needs to be.
    pub read: Option<Result<T, FieldProblem>>,
}

impl<T: Clone> Reading<T> {
    /// The value, where there is a sound one.
    #[must_use]
    pub fn ok(&self) -> Option<T> {
        self.read.as_ref().and_then(|read| read.as_ref().ok().cloned())
    }

    /// What is wrong, if anything.
    #[must_use]
    pub fn problem(&self) -> Option<&FieldProblem> {
        self.read.as_ref().and_then(|read| read.as_ref().err())
    }
}

/// A whole rig as described.
#[derive(Clone, Debug, PartialEq)]
pub struct RigView {
    /// Its name.
    pub name: Reading<String>,
    /// A free note.
    pub note: Option<String>,
    /// Carrier tank.
    pub tank_volume: Reading<Typed<Volume>>,
    /// Supply pump.
    pub supply: SupplyView,
    /// Flow meter.
    pub meter: MeterView,
    /// Speed or distance sensor.
    pub speed: SpeedView,
    /// How many sections there are.
    pub section_count: Reading<u32>,
    /// The sections, left to right as seen from behind.
    pub sections: Vec<SectionView>,
    /// Nozzle set.
    pub nozzle: NozzleView,
    /// How many nozzle sets of the user's own there are.
    pub set_count: Reading<u32>,
    /// Nozzle sets of the user's own, besides the one on the rig.
    pub sets: Vec<OwnSetView>,
    /// How many rows the user's droplet table has.
    pub droplet_count: Reading<u32>,
    /// Rows of the user's droplet table.
    pub droplets: Vec<DropletView>,
    /// How many injection pumps there are.
    pub pump_count: Reading<u32>,
    /// The injection pumps in the console's order.
    pub pumps: Vec<PumpView>,
    /// How the carrier is run.
    pub carrier: CarrierView,
    /// Standing-test speed.
    pub standing_speed: Reading<Typed<Speed>>,
    /// Minimum-speed hold.
    pub hold_speed: Reading<Typed<Speed>>,
    /// A stated top speed.
    pub top_speed: Reading<Typed<Speed>>,
    /// How carrier and pumps follow their targets.
    pub settle: SettleView,
    /// How it is plumbed.
    pub plumbing: PlumbingView,
    /// The console's steps and largest values, by entry, e.g. `pump.2.rate`.
    pub key_in: BTreeMap<String, KeyInView>,
}

/// Supply pump.
#[derive(Clone, Debug, PartialEq)]
pub struct SupplyView {
    /// Largest flow.
    pub greatest: Reading<Typed<FlowRate>>,
    /// Share that stirs the tank.
    pub agitation: Reading<Typed<Share>>,
    /// Share held back for wear.
    pub reserve: Reading<Typed<Share>>,
}

/// Flow meter.
#[derive(Clone, Debug, PartialEq)]
pub struct MeterView {
    /// Meter number and its meaning.
    pub number: Reading<PulseNumber<PulsesPerVolume>>,
    /// The console's convention for it.
    pub convention: Reading<PulseConvention<VolumeUnit>>,
    /// Lowest rated flow.
    pub least: Reading<Typed<FlowRate>>,
    /// Highest rated flow.
    pub greatest: Reading<Typed<FlowRate>>,
}

/// How the course number is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpeedBy {
    /// As a number in the console's convention.
    Number,
    /// From the wheel.
    Wheel,
}

/// Speed or distance sensor.
#[derive(Clone, Debug, PartialEq)]
pub struct SpeedView {
    /// How it is known.
    pub by: By<SpeedBy>,
    /// Course number and its meaning.
    pub number: Reading<PulseNumber<PulsesPerDistance>>,
    /// The console's convention, counting or spacing.
    pub convention: Reading<PulseConvention<LengthUnit>>,
    /// Rolling circumference of the wheel.
    pub circumference: Reading<Typed<Length>>,
    /// Pulses per turn of the wheel.
    pub pulses_per_turn: Reading<f64>,
}

impl SpeedView {
    /// What the sensor gives, from the number or from the wheel.
    #[must_use]
    pub fn pulses(&self) -> Option<PulsesPerDistance> {
        match self.by.ok()? {
            SpeedBy::Number => self.number.ok().map(|number| number.pulses),
            SpeedBy::Wheel => {
                let circumference = self.circumference.ok()?.value;
                Some(PulsesPerDistance::from_pulses_over(self.pulses_per_turn.ok()?, circumference))
            }
        }
    }
}

/// A choice that was read.
pub type By<T> = Reading<T>;

/// How a section's width is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionBy {
    /// Typed as a width.
    Width,
    /// Nozzles × spacing.
    Nozzles,
}

/// One boom section.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionView {
    /// Its number, from 1 at the left.
    pub n: u32,
    /// How its width is known.
    pub by: By<SectionBy>,
    /// Width as typed.
    pub width: Reading<Typed<Length>>,
    /// How many nozzles.
    pub nozzles: Reading<u32>,
    /// Its own spacing, where it differs from the boom's.
    pub spacing: Reading<Typed<Length>>,
    /// Width, as typed or as nozzles × spacing (its own, else the boom's).
    pub working_width: Option<Length>,
}

/// How the nozzles are described.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NozzleBy {
    /// By ISO 10625 number.
    Iso,
    /// By nominal flow at a rated pressure.
    Flow,
}

/// Nozzle set.
#[derive(Clone, Debug, PartialEq)]
pub struct NozzleView {
    /// How it is described.
    pub by: By<NozzleBy>,
    /// ISO 10625 number.
    pub iso: Reading<IsoNumber>,
    /// Nominal flow with water.
    pub flow: Reading<Typed<FlowRate>>,
    /// Pressure of the nominal flow.
    pub pressure: Reading<Typed<Pressure>>,
    /// Lowest pressure of the window.
    pub least_pressure: Reading<Typed<Pressure>>,
    /// Highest pressure of the window.
    pub greatest_pressure: Reading<Typed<Pressure>>,
    /// Distance between nozzles.
    pub spacing: Reading<Typed<Length>>,
}

/// A nozzle set of the user's own.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnSetView {
    /// Its number, from 1.
    pub n: u32,
    /// What it is called.
    pub name: Option<String>,
    /// Flow and pressure window; the spacing is that of the boom.
    pub nozzle: NozzleView,
}

/// One row of the user's droplet table.
#[derive(Clone, Debug, PartialEq)]
pub struct DropletView {
    /// Its number, from 1.
    pub n: u32,
    /// The own set that it is about; `None` for the set on the rig.
    pub set: Option<u32>,
    /// Pressure.
    pub pressure: Reading<Typed<Pressure>>,
    /// Class, in the user's words.
    pub class: Option<String>,
}

/// One injection pump.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpView {
    /// Its number on the console, from 1.
    pub n: u32,
    /// Product, e.g. `Product A`.
    pub name: Option<String>,
    /// Pump number and its meaning.
    pub number: Reading<PulseNumber<PulsesPerVolume>>,
    /// The console's convention for it.
    pub convention: Reading<PulseConvention<VolumeUnit>>,
    /// Least output that it meters well.
    pub least: Reading<Typed<FlowRate>>,
    /// Greatest output.
    pub greatest: Reading<Typed<FlowRate>>,
    /// Product rate.
    pub first: Reading<ProductRate>,
    /// Second product rate.
    pub second: Reading<ProductRate>,
    /// Nudge step.
    pub nudge: Reading<Typed<Share>>,
    /// Largest rate that the label allows.
    pub label_greatest: Reading<Typed<VolumePerArea>>,
}

/// How the carrier is run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CarrierMode {
    /// The console holds a target rate.
    Regulated,
    /// The valve is left alone.
    Manual,
}

/// The carrier.
#[derive(Clone, Debug, PartialEq)]
pub struct CarrierView {
    /// How it is run.
    pub mode: By<CarrierMode>,
    /// Target rate.
    pub rate: Reading<Typed<VolumePerArea>>,
    /// Pressure at the nozzles when in manual.
    pub pressure: Reading<Typed<Pressure>>,
    /// Density over that of water; nothing means water.
    pub specific_gravity: Reading<Typed<Density>>,
}

/// What stays when sections are switched, until the carrier has settled anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SwitchKeeps {
    /// Pressure: the flow of the section that is shut goes back to the tank.
    Pressure,
    /// Flow: the other sections take it.
    Flow,
}

/// How carrier and injection pumps follow their targets: nothing for the dead time, then 63 % of a step in each time
/// constant.
#[derive(Clone, Debug, PartialEq)]
pub struct SettleView {
    /// Dead time of the carrier.
    pub carrier_dead: Reading<Typed<Duration>>,
    /// Time constant of the carrier.
    pub carrier_constant: Reading<Typed<Duration>>,
    /// Dead time of the injection pumps.
    pub pump_dead: Reading<Typed<Duration>>,
    /// Time constant of the injection pumps.
    pub pump_constant: Reading<Typed<Duration>>,
    /// What stays when sections are switched.
    pub switch_keeps: By<SwitchKeeps>,
}

/// How the console takes one entry.
#[derive(Clone, Debug, PartialEq)]
pub struct KeyInView {
    /// Unit code, where the entry has one of its own.
    pub unit: Option<String>,
    /// Smallest step, in that unit.
    pub step: Reading<f64>,
    /// Largest value, in that unit.
    pub largest: Reading<f64>,
}

impl RigView {
    /// Reads a rig from its document, or from a form over it.
    #[must_use]
    pub fn read(texts: &dyn Texts) -> Self {
        let reader = Reader(texts);
        let pump_count = reader.count("pump.count");
        let section_count = reader.count("section.count");
        let n_pumps = pump_count.ok().unwrap_or_else(|| reader.highest("pump.", MOST_PUMPS));
        let n_sections = section_count.ok().unwrap_or_else(|| reader.highest("section.", MOST_SECTIONS));
        let set_count = reader.count("set.count");
        let droplet_count = reader.count("droplet.count");
        let n_sets = set_count.ok().unwrap_or_else(|| reader.highest("set.", MOST_SETS));
        let n_droplets = droplet_count.ok().unwrap_or_else(|| reader.highest("droplet.", MOST_DROPLET_ROWS));
        let spacing = reader.quantity::<Length>("nozzle.spacing");
        Self {
            name: reader.read("name", |stored, _| Ok(stored.to_owned())),
            note: reader.words("note"),
            tank_volume: reader.quantity("tank.volume"),
            supply: SupplyView {
                greatest: reader.quantity("supply.greatest"),
                agitation: reader.quantity("supply.agitation"),
                reserve: reader.quantity("supply.reserve"),
            },
            meter: MeterView {
                number: reader.volume_pulses("meter.number", "meter.convention"),
                convention: reader.read("meter.convention", |stored, _| convention(stored)),
                least: reader.quantity("meter.least"),
                greatest: reader.quantity("meter.greatest"),
            },
            speed: reader.speed(),
            section_count,
            sections: (1..=n_sections).map(|n| reader.section(n, spacing.ok())).collect(),
            sets: (1..=n_sets).map(|n| reader.own_set(n, &spacing)).collect(),
            set_count,
            droplets: (1..=n_droplets).map(|n| reader.droplet(n)).collect(),
            droplet_count,
            nozzle: reader.nozzle("nozzle", spacing),
            pump_count,
            pumps: (1..=n_pumps).map(|n| reader.pump(n)).collect(),
            carrier: reader.carrier(),
            standing_speed: reader.quantity("standing.speed"),
            hold_speed: reader.quantity("hold.speed"),
            top_speed: reader.quantity("top.speed"),
            settle: reader.settle(),
            plumbing: reader.plumbing(n_sections),
            key_in: reader.key_in(n_pumps),
        }
    }

    /// All sections together; `None` while the width of one is not known, or there are none.
    #[must_use]
    pub fn boom_width(&self) -> Option<Length> {
        if self.sections.is_empty() {
            return None;
        }
        let widths: Option<Vec<f64>> =
            self.sections.iter().map(|section| section.working_width.map(Length::as_m)).collect();
        widths.map(|m| Length::from_m(m.iter().sum()))
    }
}

struct Reader<'a>(&'a dyn Texts);

impl Reader<'_> {
    fn read<T>(
        &self,
        path: &str,
        read: impl FnOnce(&str, &FieldSpec) -> Result<T, FieldProblem>,
    ) -> Reading<T> {
        let stored = self.0.text_at(path);
        let spec = spec_of(path);
        let typed = spec.is_some_and(|spec| spec.holds.is_typed());
        let value =
            stored.map(|text| if typed { FieldValue::from_stored(text) } else { FieldValue::new(text) });
        let read = match (stored, spec) {
            (_, Some(spec)) if missing(spec, path, self.0, FIELDS) => Some(Err(FieldProblem::Missing)),
            (Some(stored), Some(spec)) => Some(read(stored, spec)),
            _ => None,
        };
        Reading { path: path.to_owned(), value, read }
    }

    fn words(&self, path: &str) -> Option<String> {
        self.0.text_at(path).map(str::to_owned)
    }

    fn count(&self, path: &str) -> Reading<u32> {
        self.read(path, |stored, spec| count(&FieldValue::from_stored(stored), spec))
    }

    fn number(&self, path: &str) -> Reading<f64> {
        self.read(path, |stored, spec| number(&FieldValue::from_stored(stored), spec))
    }

    fn quantity<Q: units::Quantity>(&self, path: &str) -> Reading<Typed<Q>> {
        self.read(path, |stored, spec| {
            let measure = match spec.holds {
                crate::fields::Holds::Quantity(measure) => measure,
                _ => Measure::Number,
            };
            quantity(&FieldValue::from_stored(stored), spec, measure)
        })
    }

    fn rate(&self, path: &str) -> Reading<ProductRate> {
        self.read(path, |stored, spec| product_rate(&FieldValue::from_stored(stored), spec))
    }

    fn volume_pulses(&self, path: &str, convention: &str) -> Reading<PulseNumber<PulsesPerVolume>> {
        self.read(path, |stored, spec| {
            volume_pulses(&FieldValue::from_stored(stored), spec, self.0.text_at(convention))
        })
    }

    /// A choice; where nothing was chosen the first option holds.
    fn choice<T>(&self, path: &str, options: &'static [&'static str], meaning: impl Fn(&str) -> T) -> By<T> {
        let mut reading = self.read(path, |stored, _| choice(stored, options).map(&meaning));
        if reading.read.is_none() {
            reading.read = options.first().map(|first| Ok(meaning(first)));
        }
        reading
    }

    fn speed(&self) -> SpeedView {
        SpeedView {
            by: self.choice("speed.by", &["number", "wheel"], |by| match by {
                "wheel" => SpeedBy::Wheel,
                _ => SpeedBy::Number,
            }),
            number: self.read("speed.number", |stored, spec| {
                distance_pulses(&FieldValue::from_stored(stored), spec, self.0.text_at("speed.convention"))
            }),
            convention: self.read("speed.convention", |stored, _| convention(stored)),
            circumference: self.quantity("wheel.circumference"),
            pulses_per_turn: self.number("wheel.pulses_per_turn"),
        }
    }

    fn section(&self, n: u32, boom_spacing: Option<Typed<Length>>) -> SectionView {
        let at = |field: &str| format!("section.{n}.{field}");
        let by = self.choice(&at("by"), &["width", "nozzles"], |by| match by {
            "nozzles" => SectionBy::Nozzles,
            _ => SectionBy::Width,
        });
        let width: Reading<Typed<Length>> = self.quantity(&at("width"));
        let nozzles = self.count(&at("nozzles"));
        let spacing: Reading<Typed<Length>> = self.quantity(&at("spacing"));
        let spacing_in_force = match &spacing.read {
            None => boom_spacing,
            Some(read) => read.as_ref().ok().copied(),
        };
        let working_width = match by.ok() {
            Some(SectionBy::Width) => width.ok().map(|typed| typed.value),
            Some(SectionBy::Nozzles) => nozzles.ok().zip(spacing_in_force).map(|(count, spacing)| {
                // Outermost nozzles cover half a spacing beyond themselves.
                Length::from_m(f64::from(count) * spacing.value.as_m())
            }),
            None => None,
        };
        SectionView { n, by, width, nozzles, spacing, working_width }
    }

    fn nozzle(&self, prefix: &str, spacing: Reading<Typed<Length>>) -> NozzleView {
        let at = |field: &str| format!("{prefix}.{field}");
        NozzleView {
            by: self.choice(&at("by"), &["iso", "flow"], |by| match by {
                "flow" => NozzleBy::Flow,
                _ => NozzleBy::Iso,
            }),
            iso: self.read(&at("iso"), |stored, _| iso_number(&FieldValue::from_stored(stored))),
            flow: self.quantity(&at("flow")),
            pressure: self.quantity(&at("pressure")),
            least_pressure: self.quantity(&at("least_pressure")),
            greatest_pressure: self.quantity(&at("greatest_pressure")),
            spacing,
        }
    }

    fn own_set(&self, n: u32, spacing: &Reading<Typed<Length>>) -> OwnSetView {
        let prefix = format!("set.{n}");
        OwnSetView {
            n,
            name: self.words(&format!("{prefix}.name")),
            nozzle: self.nozzle(&prefix, spacing.clone()),
        }
    }

    fn droplet(&self, n: u32) -> DropletView {
        let at = |field: &str| format!("droplet.{n}.{field}");
        DropletView {
            n,
            set: self.0.text_at(&at("set")).and_then(|text| text.parse().ok()),
            pressure: self.quantity(&at("pressure")),
            class: self.words(&at("class")),
        }
    }

    fn pump(&self, n: u32) -> PumpView {
        let at = |field: &str| format!("pump.{n}.{field}");
        PumpView {
            n,
            name: self.words(&at("name")),
            number: self.volume_pulses(&at("number"), &at("convention")),
            convention: self.read(&at("convention"), |stored, _| convention(stored)),
            least: self.quantity(&at("least")),
            greatest: self.quantity(&at("greatest")),
            first: self.rate(&at("first")),
            second: self.rate(&at("second")),
            nudge: self.quantity(&at("nudge")),
            label_greatest: self.quantity(&at("label_greatest")),
        }
    }

    fn carrier(&self) -> CarrierView {
        CarrierView {
            mode: self.choice("carrier.mode", &["regulated", "manual"], |mode| match mode {
                "manual" => CarrierMode::Manual,
                _ => CarrierMode::Regulated,
            }),
            rate: self.quantity("carrier.rate"),
            pressure: self.quantity("carrier.pressure"),
            specific_gravity: self.quantity("carrier.specific_gravity"),
        }
    }

    fn settle(&self) -> SettleView {
        SettleView {
            carrier_dead: self.quantity("settle.carrier.dead"),
            carrier_constant: self.quantity("settle.carrier.constant"),
            pump_dead: self.quantity("settle.pump.dead"),
            pump_constant: self.quantity("settle.pump.constant"),
            switch_keeps: self.choice("settle.switch", &["pressure", "flow"], |keeps| match keeps {
                "flow" => SwitchKeeps::Flow,
                _ => SwitchKeeps::Pressure,
            }),
        }
    }

    fn plumbing(&self, n_sections: u32) -> PlumbingView {
        let begun = |path: &str| path.starts_with("plumbing.");
        let mut pieces = BTreeMap::new();
        for id in pieces_with_texts(self.0) {
            let piece = self.piece(&id);
            pieces.insert(id, piece);
        }
        PlumbingView {
            is_begun: self.0.paths().into_iter().any(begun),
            supply_length: self.quantity("plumbing.supply_length"),
            main_length: self.quantity("plumbing.main_length"),
            main_bore: self.quantity("plumbing.main_bore"),
            hose_by: self.choice("plumbing.hose_by", HOSE_BY, |by| match by {
                "same" => HoseBy::Same,
                "each" => HoseBy::Each,
                _ => HoseBy::Reach,
            }),
            hose_length: self.quantity("plumbing.hose_length"),
            hose_extra: self.quantity("plumbing.hose_extra"),
            hose_lengths: (1..=n_sections)
                .map(|n| self.quantity(&format!("plumbing.section.{n}.hose")))
                .collect(),
            hose_bore: self.quantity("plumbing.hose_bore"),
            feed: self.choice("plumbing.feed", FEED, |feed| match feed {
                "inner" => FeedAt::Inner,
                "left" => FeedAt::Left,
                "right" => FeedAt::Right,
                "share" => FeedAt::Share,
                _ => FeedAt::Centre,
            }),
            feed_share: self.quantity("plumbing.feed_share"),
            section_bore: self.quantity("plumbing.section_bore"),
            valve_loss: self.number("plumbing.valve_loss"),
            boom_height: self.quantity("plumbing.boom_height"),
            wall: self.choice("plumbing.wall", WALL, |wall| match wall {
                "steel" => WallBy::Steel,
                "galvanized" => WallBy::Galvanized,
                "own" => WallBy::Own,
                _ => WallBy::Smooth,
            }),
            roughness: self.quantity("plumbing.roughness"),
            viscosity_mpa_s: self.number("plumbing.viscosity"),
            greatest_pressure: self.quantity("plumbing.greatest_pressure"),
            law: self.choice("plumbing.law", LAW, |law| match law {
                "colebrook" => LawBy::Colebrook,
                _ => LawBy::SwameeJain,
            }),
            gauge: self.choice("plumbing.gauge", GAUGE, |gauge| match gauge {
                "supply" => GaugeAt::Supply,
                "injection" => GaugeAt::Injection,
                _ => GaugeAt::Manifold,
            }),
            gauge_reading: self.quantity("plumbing.gauge_reading"),
            pieces,
            lag_speed: self.quantity("lag.speed"),
            lag_rate: self.quantity("lag.rate"),
        }
    }

    fn piece(&self, id: &str) -> PieceView {
        PieceView {
            length: self.quantity(&piece_path(id, "length")),
            bore: self.quantity(&piece_path(id, "bore")),
            roughness: self.quantity(&piece_path(id, "roughness")),
            loss: self.number(&piece_path(id, "loss")),
            from: self.words(&piece_path(id, "from")),
            to: self.words(&piece_path(id, "to")),
            height: self.quantity(&piece_path(id, "height")),
            nozzle: self.quantity(&piece_path(id, "nozzle")),
        }
    }

    fn key_in(&self, n_pumps: u32) -> BTreeMap<String, KeyInView> {
        let entries = KEY_IN_ENTRIES.iter().flat_map(|entry| {
            let last = if entry.contains('N') { n_pumps } else { 1 };
            (1..=last).map(move |n| entry.replace('N', &n.to_string()))
        });
        let mut views = BTreeMap::new();
        for entry in entries {
            let view = KeyInView {
                unit: self.words(&format!("keyin.{entry}.unit")),
                step: self.number(&format!("keyin.{entry}.step")),
                largest: self.number(&format!("keyin.{entry}.largest")),
            };
            views.insert(entry, view);
        }
        views
    }

    /// The highest number behind a prefix that anything is set for.
    fn highest(&self, prefix: &str, most: u32) -> u32 {
        let numbers = self.0.paths().into_iter().filter_map(|path| {
            path.strip_prefix(prefix)?.split('.').next()?.parse::<u32>().ok().filter(|n| *n <= most)
        });
        numbers.max().unwrap_or(0)
    }
}
