//! What a simulated pass says, in what a screen can show: a step of the scale for each tile of the picture, stretches of the
//! track in a table, courses against time. Worked out piece by piece, so that a screen stays awake.

use calc::pass::outcome::{AreaShares, CellDose, DoseAt, DoseLimits, Moment, PassOutcome};
use calc::pass::setup::Pass;
use units::{Length, Share};

/// Steps of the scale: three below the limits, on target, three above, above the label, not to be sprayed.
pub(crate) const N_STEPS: usize = 9;
/// The step of what is on target.
pub(crate) const ON_TARGET: u8 = 3;
/// The step of what is above the label maximum.
pub(crate) const ABOVE_LABEL: u8 = 7;
/// The step of ground that was not to be sprayed.
pub(crate) const NOT_SPRAYED: u8 = 8;

/// Which of the two is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Of {
    /// The product of one pump.
    Product,
    /// The carrier.
    Carrier,
}

/// The upper edges of the steps below and on target and the first two above: shares of what was wanted.
pub(crate) fn edges(limits: DoseLimits) -> [Share; 6] {
    let (least, greatest) = (limits.least.as_fraction(), limits.greatest.as_fraction());
    [least / 3.0, least * 2.0 / 3.0, least, greatest, greatest * 1.25, greatest * 1.5]
        .map(Share::from_fraction)
}

/// The step of a share of what was wanted. A share at a limit is on target.
pub(crate) fn step_of(share: Share, limits: DoseLimits) -> u8 {
    let [far, nearer, least, greatest, over, further] = edges(limits);
    match share {
        s if s < far => 0,
        s if s < nearer => 1,
        s if s < least => 2,
        s if s <= greatest => ON_TARGET,
        s if s <= over => 4,
        s if s <= further => 5,
        _ => 6,
    }
}

/// One stretch of the track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stretch {
    /// Where it begins.
    pub(crate) from: Length,
    /// Where it ends.
    pub(crate) to: Length,
    /// Least, mean and greatest across the boom and along the stretch; `None` where nothing was to be sprayed.
    pub(crate) shares: Option<[Share; 3]>,
}

/// A simulated pass, ready to be shown.
#[derive(Clone, Debug)]
pub(crate) struct Digest {
    /// What the simulation left.
    pub(crate) outcome: PassOutcome,
    /// What was simulated.
    pub(crate) pass: Pass,
    /// From where to where a dose counts as on target.
    pub(crate) limits: DoseLimits,
    /// Shares of area by product and by carrier.
    pub(crate) areas: [AreaShares; 2],
    /// Steps by nozzle and cell, for product and for carrier.
    pub(crate) tiles: [Vec<u8>; 2],
    /// The track in stretches, for product and for carrier.
    pub(crate) stretches: [Vec<Stretch>; 2],
    /// The greatest and the least dose of product.
    pub(crate) extremes: Option<(DoseAt, DoseAt)>,
    /// Where the first product lands.
    pub(crate) first_product: Option<Length>,
}

/// A table says no more than so many lines.
const N_STRETCHES: usize = 12;

impl Digest {
    /// What a tile got.
    pub(crate) fn at(&self, nozzle: usize, cell: usize) -> Option<CellDose> {
        self.outcome.cell(nozzle, cell)
    }

    /// The step of a tile.
    pub(crate) fn step_at(&self, of: Of, nozzle: usize, cell: usize) -> u8 {
        let n_cells = self.outcome.n_cells();
        self.tiles[of as usize].get(nozzle * n_cells + cell).copied().unwrap_or(NOT_SPRAYED)
    }
}

/// A digest being made.
pub(crate) struct Digesting {
    made: Option<Digest>,
    next: usize,
}

impl Digesting {
    /// Of an outcome; nothing is worked out yet.
    pub(crate) fn new(outcome: PassOutcome, pass: Pass, limits: DoseLimits) -> Self {
        let none = outcome.product_shares(limits);
        let made = Digest {
            pass,
            limits,
            areas: [none, none],
            tiles: [Vec::new(), Vec::new()],
            stretches: [Vec::new(), Vec::new()],
            extremes: None,
            first_product: None,
            outcome,
        };
        Self { made: Some(made), next: 0 }
    }

    /// Does one piece; the digest when that was the last, once.
    pub(crate) fn step(&mut self) -> Option<Digest> {
        let made = self.made.as_mut()?;
        match self.next {
            0 => made.areas[1] = made.outcome.carrier_shares(made.limits),
            1 => made.tiles[0] = tiles(made, Of::Product),
            2 => made.tiles[1] = tiles(made, Of::Carrier),
            3 => made.stretches[0] = stretches(&made.outcome, Of::Product),
            4 => made.stretches[1] = stretches(&made.outcome, Of::Carrier),
            5 => made.extremes = made.outcome.greatest().zip(made.outcome.least()),
            _ => {
                made.first_product = first_product(&made.outcome);
                return self.made.take();
            }
        }
        self.next += 1;
        None
    }
}

fn share_of(dose: &CellDose, of: Of) -> Share {
    match of {
        Of::Product => dose.dose,
        Of::Carrier => dose.carrier_share,
    }
}

fn tiles(made: &Digest, of: Of) -> Vec<u8> {
    let outcome = &made.outcome;
    let label = made.pass.label_greatest.filter(|_| of == Of::Product);
    let mut tiles = Vec::with_capacity(outcome.n_nozzles() * outcome.n_cells());
    for nozzle in 0..outcome.n_nozzles() {
        for cell in 0..outcome.n_cells() {
            tiles.push(match outcome.cell(nozzle, cell) {
                None => NOT_SPRAYED,
                Some(dose) if label.is_some_and(|label| label < dose.product) => ABOVE_LABEL,
                Some(dose) => step_of(share_of(&dose, of), made.limits),
            });
        }
    }
    tiles
}

fn stretches(outcome: &PassOutcome, of: Of) -> Vec<Stretch> {
    let n_cells = outcome.n_cells();
    let cells_each = n_cells.div_ceil(N_STRETCHES).max(1);
    let mut found = Vec::with_capacity(N_STRETCHES);
    let mut first = 0;
    while first < n_cells {
        let last = (first + cells_each).min(n_cells);
        let (mut least, mut greatest, mut sum, mut area) = (f64::INFINITY, 0.0_f64, 0.0, 0.0);
        for nozzle in 0..outcome.n_nozzles() {
            for dose in (first..last).filter_map(|cell| outcome.cell(nozzle, cell)) {
                let (share, m2) = (share_of(&dose, of).as_fraction(), dose.area.as_m2());
                least = least.min(share);
                greatest = greatest.max(share);
                sum += share * m2;
                area += m2;
            }
        }
        found.push(Stretch {
            from: outcome.cell_from(first),
            to: outcome.cell_from(last),
            shares: (0.0 < area).then(|| [least, sum / area, greatest].map(Share::from_fraction)),
        });
        first = last;
    }
    found
}

fn first_product(outcome: &PassOutcome) -> Option<Length> {
    let has_any = |cell: &usize| {
        (0..outcome.n_nozzles())
            .any(|nozzle| outcome.cell(nozzle, *cell).is_some_and(|dose| 0.0 < dose.dose.as_fraction()))
    };
    (0..outcome.n_cells()).find(has_any).map(|cell| outcome.cell_from(cell))
}

/// Something against time: seconds and values, one straight line after another.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Course {
    /// By piece of time: until when, and the value meanwhile; nothing where there is none.
    pub(crate) pieces: Vec<(f64, Option<f64>)>,
}

impl Course {
    /// Of an outcome, by what is wanted from each moment.
    pub(crate) fn of(outcome: &PassOutcome, value: &dyn Fn(&Moment) -> Option<f64>) -> Self {
        Self { pieces: outcome.moments().iter().map(|moment| (moment.to.as_s(), value(moment))).collect() }
    }

    /// The value at a time.
    pub(crate) fn at(&self, time_s: f64) -> Option<f64> {
        let place = self.pieces.partition_point(|(to_s, _)| *to_s <= time_s);
        self.pieces.get(place.min(self.pieces.len().checked_sub(1)?)).and_then(|(_, value)| *value)
    }

    /// Least and greatest.
    pub(crate) fn span(&self) -> Option<(f64, f64)> {
        let values = self.pieces.iter().filter_map(|(_, value)| *value);
        values.fold(None, |span, v| Some(span.map_or((v, v), |(lo, hi): (f64, f64)| (lo.min(v), hi.max(v)))))
    }

    /// When it ends.
    pub(crate) fn lasts_s(&self) -> f64 {
        self.pieces.last().map_or(0.0, |(to_s, _)| *to_s)
    }
}
