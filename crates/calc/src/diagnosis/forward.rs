//! What every reading would be, in logs, if one thing were wrong: the model of [`crate::model`], made linear.
//!
//! Each reading is a sum of parts (shown speed, shown width, target …). A candidate moves parts by fixed amounts; what
//! nobody knows (true speed, time, flow of an unregulated carrier) and what is only nearly right (every proven number)
//! are latent variables with priors (`latents`). Fitting is `fit`.
//!
//! In logs `v̂ = v − c_course`, `V̂ = V − c_meter`, `q̂ = T + v̂ + ŵ` when regulated: there the shown side holds no
//! `c_meter`, so a wrong meter number is invisible on the display.

use super::latents::{COURSE, Layout, METER, NOZZLE, PUMPS, WIDTH};
use super::parts::{N_PARTS, Part, Terms};
use super::reading::{Amount, What};
use super::setup::{CarrierMode, Condition, Entry, Motion, NumberForm, ProductInUse, Setup, Situation};

/// What a candidate does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Change {
    Nothing,
    /// The console holds one number, another would be right; both as meanings in SI.
    Number {
        entry: Entry,
        keyed_si: f64,
        wanted_si: f64,
    },
    /// The same with a free factor: keyed over right is `exp θ`, and `side` says which of the two the sheet has.
    FreeNumber {
        entry: Entry,
        sheet_si: f64,
        side: super::slips::Side,
    },
    /// The wheel turns `exp θ` times as far as the rig moves.
    Slip,
    /// The minimum-speed hold is in force, whatever the speed is thought to be.
    Hold,
    /// The console counts a section so many times.
    SectionCounted(usize, f64),
    /// A section does not spray.
    SectionShut(usize),
    /// So many nozzles do not spray.
    Blocked(u32),
    /// Every nozzle gives `exp θ` times its nominal flow.
    Worn,
    /// A pump delivers `exp θ` times what its turns say.
    ProductLoss(usize),
    /// A pump turns and delivers nothing.
    NoProduct(usize),
    /// The other of a pump's two rates is in force.
    OtherRate(usize),
    /// So many presses of the nudge more than thought.
    Nudged(usize, i32),
    /// One reading is `exp θ` times what it should be; the rig is as the sheet says. Applied where readings are compared.
    Misread {
        situation: usize,
        reading: usize,
    },
}

/// A shown speed this many uncertainties from the hold speed decides alone whether the hold is in force.
const SURE_OF_SPEED: f64 = 5.0;

/// The product rate in force at one pump, as the sheet has it.
#[derive(Clone, Copy, Debug)]
struct SceneRate {
    ln: f64,
    per_carrier: bool,
    in_use: ProductInUse,
    ln_other: Option<f64>,
    step: Option<f64>,
}

/// One situation, as the sheet has it.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    idx: usize,
    layout: Layout,
    driving: bool,
    steered: bool,
    follows_nozzles: bool,
    ln_standing: Option<f64>,
    ln_hold: Option<f64>,
    /// Shown speed, with its relative uncertainty, where it was read.
    shown_speed: Option<KnownSpeed>,
    widths_on_m: Vec<f64>,
    width_m: f64,
    /// The total that some consoles want beside the sections or instead of them.
    total_m: Option<f64>,
    n_on: u32,
    n_of_section: Vec<u32>,
    ln_target: f64,
    rates: Vec<Option<SceneRate>>,
    ln_k: Option<(f64, f64)>,
    /// Each product's flow over that of the carrier, where it does not take the speed of an unregulated carrier.
    over_carrier: Vec<Terms>,
}

#[derive(Clone, Copy, Debug)]
struct KnownSpeed {
    ln: f64,
    u_rel: f64,
}

/// Values of all parts under one candidate in one situation, latent variables at zero.
pub(crate) struct Values(Vec<f64>);

impl Values {
    pub(crate) fn sum(&self, terms: &Terms) -> f64 {
        terms.parts.iter().fold(terms.fixed, |sum, (part, by)| sum + by * self.0[part.place()])
    }
}

impl Scene {
    pub(crate) fn new(setup: &Setup, idx: usize, n_situations: usize, situation: &Situation) -> Self {
        let condition = &situation.condition;
        let layout = Layout { n_pumps: setup.n_pumps(), n_situations };
        let ln_of = |entry| setup.number(entry).map(|n| n.meaning_si().ln());
        let total_m = setup.number(Entry::TotalWidth).map(super::setup::SheetNumber::meaning_si);
        let mut widths_on_m: Vec<f64> = (0..setup.n_sections())
            .map(|j| match setup.number(Entry::Width(j)) {
                Some(number) if condition.section_on(j) => number.meaning_si(),
                _ => 0.0,
            })
            .collect();
        if widths_on_m.is_empty() {
            widths_on_m.extend(total_m);
        }
        let steered = condition.carrier == CarrierMode::Regulated && ln_of(Entry::CarrierRate).is_some();
        let driving = condition.motion == Motion::Driving;
        let ln_k = setup.nozzles.map(|n| {
            let k = n.rated_flow.as_m3_per_s() / setup.specific_gravity.sqrt();
            (k.ln(), n.rated_pressure.as_pa().ln())
        });
        let mut scene = Self {
            idx,
            layout,
            driving,
            steered,
            over_carrier: Vec::new(),
            follows_nozzles: condition.carrier == CarrierMode::Manual,
            ln_standing: if driving { None } else { ln_of(Entry::StandingSpeed) },
            ln_hold: ln_of(Entry::HoldSpeed),
            shown_speed: shown_speed(situation),
            width_m: widths_on_m.iter().sum(),
            widths_on_m,
            total_m,
            n_on: setup.nozzles_on(condition),
            n_of_section: setup.n_nozzles.clone(),
            ln_target: ln_of(Entry::CarrierRate).unwrap_or(0.0),
            rates: (0..setup.n_pumps()).map(|pump| scene_rate(setup, condition, pump)).collect(),
            ln_k,
        };
        scene.over_carrier = (0..scene.rates.len()).filter_map(|pump| scene.over_carrier(pump)).collect();
        scene
    }

    /// Flow of a product over that of the carrier. With the carrier in manual a product per area has none that could be
    /// said here: its share turns on the speed. It is left out then, some percent of what the nozzles pass.
    fn over_carrier(&self, pump: usize) -> Option<Terms> {
        let rate = self.rates.get(pump).copied().flatten()?;
        let carrier = self.flow().times(-1.0);
        (self.steered || rate.per_carrier)
            .then(|| self.product(pump).map(|terms| terms.plus(&carrier.parts)))?
    }

    /// The parts of a reading; none where the rig or the condition gives it no meaning.
    pub(crate) fn terms(&self, setup: &Setup, what: What, amount: Amount) -> Option<Terms> {
        use Part::{ShownSpeed, ShownWidth, Speed, Time, Wetted, Width};
        let time = [(Time, 1.0)];
        let per_shown_area = [(ShownSpeed, -1.0), (ShownWidth, -1.0)];
        let driving = |terms: Terms| self.driving.then_some(terms);
        match what {
            What::ShownFlow => Some(self.shown_flow()),
            What::ShownVolume => Some(self.shown_flow().plus(&time)),
            What::ShownSpeed => Some(Terms::of(&[(ShownSpeed, 1.0)])),
            What::ShownDistance => Some(Terms::of(&[(ShownSpeed, 1.0), (Time, 1.0)])),
            What::ShownWidth => Some(Terms::of(&[(ShownWidth, 1.0)])),
            What::ShownArea => Some(Terms::of(&[(ShownSpeed, 1.0), (Time, 1.0), (ShownWidth, 1.0)])),
            What::ShownRate => Some(self.shown_flow().plus(&per_shown_area)),
            What::ShownProductVolume(pump) => Some(self.shown_product(pump)?.plus(&time)),
            What::ShownProductRate(pump) => match amount {
                Amount::PerCarrier(_) => {
                    Some(self.shown_product(pump)?.plus(&self.shown_flow().times(-1.0).parts))
                }
                _ => Some(self.shown_product(pump)?.plus(&per_shown_area)),
            },
            What::Flow => Some(self.flow()),
            What::Volume => Some(self.flow().plus(&time)),
            What::Time => Some(Terms::of(&time)),
            What::Width => Some(Terms::of(&[(Wetted, 1.0)])),
            What::Speed => driving(Terms::of(&[(Speed, 1.0)])),
            What::Distance => driving(Terms::of(&[(Speed, 1.0), (Time, 1.0)])),
            What::Area => driving(Terms::of(&[(Speed, 1.0), (Time, 1.0), (Width, 1.0)])),
            What::ProductVolume(pump) => Some(self.product(pump)?.plus(&time)),
            What::NozzleFlow => self.nozzle_flow(),
            What::Pressure => {
                let (ln_k, ln_rated) = self.ln_k?;
                let over_nominal =
                    self.nozzle_flow()?.plus(&[(Part::Wear, -1.0), (Part::Nozzle, -1.0)]).and_fixed(-ln_k);
                Some(over_nominal.times(2.0).and_fixed(ln_rated))
            }
            What::ReadBack(entry) => {
                let number = setup.number(entry)?;
                let spacing = match number.form {
                    NumberForm::PerVolume(form) => form.form == units::Form::Spacing,
                    NumberForm::PerDistance(form) => form.form == units::Form::Spacing,
                    _ => false,
                };
                Some(Terms {
                    fixed: number.value.ln(),
                    parts: vec![(Part::ReadBack, if spacing { -1.0 } else { 1.0 })],
                    read_back: Some(entry),
                })
            }
        }
    }

    fn shown_flow(&self) -> Terms {
        if self.steered {
            Terms::of(&[(Part::Target, 1.0), (Part::Steering, 1.0), (Part::ShownWidth, 1.0)])
        } else {
            self.flow().plus(&[(Part::Meter, -1.0)])
        }
    }

    fn flow(&self) -> Terms {
        if self.steered {
            self.shown_flow().plus(&[(Part::Meter, 1.0)])
        } else if self.follows_nozzles {
            Terms::of(&[(Part::Flow, 1.0), (Part::Open, 1.0), (Part::Wear, 1.0)])
        } else {
            Terms::of(&[(Part::Flow, 1.0)])
        }
    }

    /// Flow of one nozzle that sprays, products included.
    fn nozzle_flow(&self) -> Option<Terms> {
        let each = [(Part::Products, 1.0), (Part::Open, -1.0)];
        (self.n_on > 0).then(|| self.flow().plus(&each).and_fixed(-f64::from(self.n_on).ln()))
    }

    fn shown_product(&self, pump: usize) -> Option<Terms> {
        let rate = self.rates.get(pump).copied().flatten()?;
        let by = if rate.per_carrier {
            self.shown_flow()
        } else {
            Terms::of(&[(Part::Steering, 1.0), (Part::ShownWidth, 1.0)])
        };
        Some(by.plus(&[(Part::Rate(pump), 1.0)]))
    }

    fn product(&self, pump: usize) -> Option<Terms> {
        Some(self.shown_product(pump)?.plus(&[(Part::Pump(pump), 1.0), (Part::Loss(pump), 1.0)]))
    }

    /// Latent variables in a part.
    fn latents(&self, part: Part, held: bool) -> Vec<(usize, f64)> {
        let shown_speed = || match (self.driving, self.ln_standing) {
            (true, _) => vec![(self.layout.speed(self.idx), 1.0), (COURSE, -1.0)],
            (false, Some(_)) => Vec::new(),
            (false, None) => vec![(self.layout.speed(self.idx), 1.0)],
        };
        match part {
            Part::ShownSpeed => shown_speed(),
            Part::Steering => {
                if held {
                    Vec::new()
                } else {
                    shown_speed()
                }
            }
            Part::Width | Part::Wetted => vec![(WIDTH, 1.0)],
            Part::Speed => vec![(self.layout.speed(self.idx), 1.0)],
            Part::Time => vec![(self.layout.time(self.idx), 1.0)],
            Part::Target => vec![(self.layout.regulation(self.idx), 1.0)],
            Part::Meter => vec![(METER, 1.0)],
            Part::Course => vec![(COURSE, 1.0)],
            Part::Flow => vec![(self.layout.flow(self.idx), 1.0)],
            Part::Nozzle => vec![(NOZZLE, 1.0)],
            Part::Rate(pump) => vec![(self.layout.product_regulation(self.idx, pump), 1.0)],
            Part::Pump(pump) => vec![(PUMPS + pump, 1.0)],
            // A few percent of product, itself some percent off, moves what the nozzles pass by a thousandth.
            Part::Products => Vec::new(),
            Part::ShownWidth | Part::Open | Part::Wear | Part::Loss(_) | Part::ReadBack => Vec::new(),
        }
    }

    /// How much each latent variable moves a reading.
    pub(crate) fn row(&self, terms: &Terms, held: bool) -> Vec<f64> {
        let mut row = vec![0.0; self.layout.len()];
        for (part, by) in &terms.parts {
            for (latent, share) in self.latents(*part, held) {
                row[latent] += by * share;
            }
        }
        row
    }

    /// Whether the minimum-speed hold is in force under a candidate; `None` where the readings have to say it.
    pub(crate) fn held(&self, change: &Change, theta: f64) -> Option<bool> {
        let Some(ln_hold) = self.ln_hold_under(change, theta) else { return Some(false) };
        if !self.driving {
            let ln_standing = match *change {
                Change::Number { entry: Entry::StandingSpeed, keyed_si, .. } => Some(keyed_si.ln()),
                // A free factor may carry it across: that is for the fit to say.
                Change::FreeNumber { entry: Entry::StandingSpeed | Entry::HoldSpeed, .. } => return None,
                _ => self.ln_standing,
            };
            return Some(ln_standing.is_some_and(|v| v < ln_hold));
        }
        let known = self.shown_speed?;
        let above = (known.ln - ln_hold) / known.u_rel;
        if above.abs() > SURE_OF_SPEED { Some(above < 0.0) } else { None }
    }

    pub(crate) const fn is_driving(&self) -> bool {
        self.driving
    }

    /// Log of the hold speed under a candidate.
    pub(crate) fn ln_hold_under(&self, change: &Change, theta: f64) -> Option<f64> {
        let sheet = self.ln_hold?;
        Some(match *change {
            Change::Number { entry: Entry::HoldSpeed, keyed_si, .. } => keyed_si.ln(),
            Change::FreeNumber { entry: Entry::HoldSpeed, .. } => sheet + theta,
            _ => sheet,
        })
    }

    /// Values of all parts under a candidate. `read_back` is the entry that a read-back reading asks for.
    pub(crate) fn values(&self, change: &Change, theta: f64, held: bool, into: &mut Values) {
        let values = &mut into.0;
        values.clear();
        values.resize(N_PARTS + 3 * self.rates.len(), 0.0);
        let mut shown_m = self.width_m;
        let mut true_m = self.width_m;
        let mut wetted_share = 1.0;
        for (pump, rate) in self.rates.iter().enumerate() {
            values[Part::Rate(pump).place()] = rate.map_or(0.0, |r| r.ln);
        }
        values[Part::Target.place()] = self.ln_target;
        let mut ln_standing = self.ln_standing.unwrap_or(0.0);
        let mut ln_hold = self.ln_hold.unwrap_or(0.0);
        let mut slip = 0.0;
        let change = change.fixed(theta);
        match change {
            Change::Number { entry, keyed_si, wanted_si } => {
                let ln_c = (keyed_si / wanted_si).ln();
                match entry {
                    Entry::Meter => values[Part::Meter.place()] = ln_c,
                    Entry::Course => values[Part::Course.place()] = ln_c,
                    Entry::Pump(pump) => values[Part::Pump(pump).place()] = ln_c,
                    Entry::Width(j) => {
                        let sheet_m = self.widths_on_m.get(j).copied().unwrap_or(0.0);
                        if sheet_m > 0.0 {
                            shown_m += keyed_si - sheet_m;
                            true_m += wanted_si - sheet_m;
                        }
                    }
                    Entry::TotalWidth => {
                        shown_m *= keyed_si / self.total_m.unwrap_or(keyed_si);
                        true_m *= wanted_si / self.total_m.unwrap_or(wanted_si);
                    }
                    Entry::CarrierRate => values[Part::Target.place()] += ln_c,
                    Entry::StandingSpeed => ln_standing += ln_c,
                    Entry::HoldSpeed => ln_hold += ln_c,
                    Entry::FirstRate(pump) => self.move_rate(values, pump, false, ln_c),
                    Entry::SecondRate(pump) => self.move_rate(values, pump, true, ln_c),
                    Entry::NudgeStep(pump) => {
                        if let Some(Some(rate)) = self.rates.get(pump) {
                            let moved =
                                nudge(rate.in_use.presses, keyed_si) / nudge(rate.in_use.presses, wanted_si);
                            values[Part::Rate(pump).place()] += moved.ln();
                        }
                    }
                }
            }
            Change::Slip => slip = theta,
            Change::SectionCounted(j, times) => {
                shown_m += self.widths_on_m.get(j).copied().unwrap_or(0.0) * (times - 1.0);
            }
            Change::SectionShut(j) => {
                let shut_m = self.widths_on_m.get(j).copied().unwrap_or(0.0);
                wetted_share = 1.0 - shut_m / self.width_m;
                let n_shut = if shut_m > 0.0 { self.n_of_section.get(j).copied().unwrap_or(0) } else { 0 };
                let open =
                    if self.n_on > 0 { 1.0 - f64::from(n_shut) / f64::from(self.n_on) } else { wetted_share };
                values[Part::Open.place()] = open.ln();
            }
            Change::Blocked(count) => {
                values[Part::Open.place()] = (1.0 - f64::from(count) / f64::from(self.n_on.max(1))).ln();
            }
            Change::Worn => values[Part::Wear.place()] = theta,
            Change::ProductLoss(pump) => values[Part::Loss(pump).place()] = theta,
            Change::NoProduct(pump) => values[Part::Loss(pump).place()] = f64::NEG_INFINITY,
            Change::OtherRate(pump) => {
                if let Some(Some(rate)) = self.rates.get(pump) {
                    // Without another rate nothing would explain anything: not a number, and the candidate drops out.
                    let step = rate.step.map_or(1.0, |s| nudge(rate.in_use.presses, s));
                    values[Part::Rate(pump).place()] = rate.ln_other.unwrap_or(f64::NAN) + step.ln();
                }
            }
            Change::Nudged(pump, presses) => {
                if let Some(Some(rate)) = self.rates.get(pump) {
                    let step = rate.step.unwrap_or(f64::NAN);
                    let moved = nudge(rate.in_use.presses + presses, step) / nudge(rate.in_use.presses, step);
                    values[Part::Rate(pump).place()] += moved.ln();
                }
            }
            Change::Nothing | Change::Hold | Change::Misread { .. } | Change::FreeNumber { .. } => {}
        }
        let course = values[Part::Course.place()];
        values[Part::ShownSpeed.place()] = if self.driving { slip - course } else { ln_standing };
        values[Part::Steering.place()] = if held { ln_hold } else { values[Part::ShownSpeed.place()] };
        values[Part::ShownWidth.place()] = shown_m.ln();
        values[Part::Width.place()] = true_m.ln();
        values[Part::Wetted.place()] = (true_m * wetted_share).ln();
        if !self.over_carrier.is_empty() {
            let products: f64 = self.over_carrier.iter().map(|terms| into.sum(terms).exp()).sum();
            into.0[Part::Products.place()] = products.ln_1p();
        }
    }

    /// The value of a read-back number under a candidate, as a log of keyed over sheet (counting sense).
    pub(crate) fn read_back(
        values: &mut Values,
        entry: Option<Entry>,
        setup: &Setup,
        change: &Change,
        theta: f64,
    ) {
        values.0[Part::ReadBack.place()] = match change.fixed(theta) {
            Change::Number { entry: changed, keyed_si, .. } if Some(changed) == entry => {
                setup.number(changed).map_or(0.0, |n| (keyed_si / n.meaning_si()).ln())
            }
            _ => 0.0,
        };
    }

    fn move_rate(&self, values: &mut [f64], pump: usize, second: bool, by: f64) {
        if let Some(Some(rate)) = self.rates.get(pump)
            && rate.in_use.second == second
        {
            values[Part::Rate(pump).place()] += by;
        }
    }
}

impl Values {
    pub(crate) const fn new() -> Self {
        Self(Vec::new())
    }
}

impl Change {
    /// With its free factor put in.
    pub(crate) fn fixed(&self, theta: f64) -> Self {
        use super::slips::Side;
        match *self {
            Self::FreeNumber { entry, sheet_si, side: Side::Console } => {
                Self::Number { entry, keyed_si: sheet_si * theta.exp(), wanted_si: sheet_si }
            }
            Self::FreeNumber { entry, sheet_si, side: Side::Sheet } => {
                Self::Number { entry, keyed_si: sheet_si, wanted_si: sheet_si * (-theta).exp() }
            }
            other => other,
        }
    }
}

fn nudge(presses: i32, step: f64) -> f64 {
    1.0 + f64::from(presses) * step
}

/// Shown speed where it was read.
fn shown_speed(situation: &Situation) -> Option<KnownSpeed> {
    let read = situation.readings.iter().find(|r| r.what == What::ShownSpeed)?;
    let (si, u_rel) = (read.seen.as_si(), read.u.as_si() / read.seen.as_si());
    (si > 0.0 && u_rel < 0.3).then_some(KnownSpeed { ln: si.ln(), u_rel })
}

fn scene_rate(setup: &Setup, condition: &Condition, pump: usize) -> Option<SceneRate> {
    let in_use = condition.product(pump)?;
    let first = setup.number(Entry::FirstRate(pump));
    let second = setup.number(Entry::SecondRate(pump));
    let (own, other) = if in_use.second { (second, first) } else { (first, second) };
    let own = own?;
    let step = setup.number(Entry::NudgeStep(pump)).map(super::setup::SheetNumber::meaning_si);
    let ln_nudged = if in_use.presses == 0 { 0.0 } else { nudge(in_use.presses, step?).ln() };
    let per_carrier = matches!(own.form, NumberForm::PerCarrier(_));
    // A rate per area and one per carrier cannot stand for each other here.
    let other = other.filter(|o| matches!(o.form, NumberForm::PerCarrier(_)) == per_carrier);
    Some(SceneRate {
        ln: own.meaning_si().ln() + ln_nudged,
        per_carrier,
        in_use,
        ln_other: other.map(|o| o.meaning_si().ln()),
        step,
    })
}
