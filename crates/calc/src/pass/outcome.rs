//! What a simulated pass leaves: dose and carrier on the ground, cell by cell; shares of area; time series; balance.

use units::{Area, Duration, FlowRate, Length, Pressure, Quantity, Share, Speed, Volume, VolumePerArea};

use super::pieces::Cut;
use super::setup::Pass;
use crate::plumbing::Plumbing;
use crate::plumbing::transport::Balance;

/// What flows and how the rig moves over a stretch of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// From when, since the start.
    pub from: Duration,
    /// Until when.
    pub to: Duration,
    /// Where along the track it begins.
    pub place: Length,
    /// Mean speed.
    pub speed: Speed,
    /// Mean carrier flow.
    pub carrier: FlowRate,
    /// Mean output of the injection pump.
    pub pump: FlowRate,
    /// Pressure at the supply; `None` while nothing flows.
    pub supply_pressure: Option<Pressure>,
    /// Mean pressure at the open nozzles; `None` while nothing flows.
    pub nozzle_pressure: Option<Pressure>,
}

/// What landed on one cell: the width of one nozzle, one cell of the track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellDose {
    /// Ground that was to be sprayed; less than the cell where the boom came on or went off in it.
    pub area: Area,
    /// Product per area.
    pub product: VolumePerArea,
    /// Carrier per area.
    pub carrier: VolumePerArea,
    /// Product over what was wanted.
    pub dose: Share,
    /// Carrier over what was wanted.
    pub carrier_share: Share,
}

/// From where to where a dose counts as on target, relative to the target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseLimits {
    /// Below this it is under.
    pub least: Share,
    /// Above this it is over.
    pub greatest: Share,
}

impl DoseLimits {
    /// ± 10 %, common practice, no source.
    #[must_use]
    pub const fn usual() -> Self {
        Self { least: Share::from_percent(90.0), greatest: Share::from_percent(110.0) }
    }
}

/// How the field's area is shared out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AreaShares {
    /// Ground that was to be sprayed within the field.
    pub area: Area,
    /// Share of it that got less than the least.
    pub under: Share,
    /// Share within the limits.
    pub on: Share,
    /// Share that got more than the greatest.
    pub over: Share,
    /// Share that got more than the label allows; zero where no label maximum was given.
    pub above_label: Share,
    /// Mean of dose over target, by area.
    pub mean: Share,
}

/// The greatest or least dose and where it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseAt {
    /// Place of the nozzle.
    pub nozzle: usize,
    /// Place of the cell.
    pub cell: usize,
    /// What landed there.
    pub dose: CellDose,
}

/// What a pass leaves.
#[derive(Clone, Debug)]
pub struct PassOutcome {
    field: Field,
    moments: Vec<Moment>,
    balance: Balance,
    carrier_m: f64,
    label_m: Option<f64>,
    field_from_m: f64,
    field_to_m: f64,
}

impl PassOutcome {
    pub(super) fn new(pass: &Pass, field: Field, moments: Vec<Moment>, balance: Balance) -> Self {
        Self {
            field,
            moments,
            balance,
            carrier_m: pass.carrier_rate.as_si(),
            label_m: pass.label_greatest.map(Quantity::as_si),
            field_from_m: pass.field.from.as_m(),
            field_to_m: pass.field.to.map_or(f64::INFINITY, Length::as_m),
        }
    }

    /// Number of cells along the track.
    #[must_use]
    pub fn n_cells(&self) -> usize {
        self.field.n_cells
    }

    /// Number of nozzles across the boom.
    #[must_use]
    pub fn n_nozzles(&self) -> usize {
        self.field.widths_m.len()
    }

    /// Where a cell begins along the track, from the start of the drive. A cell begins where the field does.
    #[must_use]
    pub fn cell_from(&self, cell: usize) -> Length {
        Length::from_m(self.field.cell_from_m(cell))
    }

    /// Whether the middle of a cell lies in the field.
    #[must_use]
    pub fn is_in_field(&self, cell: usize) -> bool {
        let middle_m = self.field.cell_from_m(cell) + self.field.cell_m / 2.0;
        self.field_from_m <= middle_m && middle_m <= self.field_to_m && cell < self.field.n_cells
    }

    /// What landed on a cell; `None` where nothing was to be sprayed, or without such a cell.
    #[must_use]
    pub fn cell(&self, nozzle: usize, cell: usize) -> Option<CellDose> {
        let field = &self.field;
        if field.widths_m.len() <= nozzle || field.n_cells <= cell {
            return None;
        }
        let planned = field.planned[field.gate_of[nozzle] * field.n_cells + cell];
        let area_m2 = planned.driven_m * field.widths_m[nozzle];
        let target_m3 = planned.target_m2 * field.widths_m[nozzle];
        if !(0.0 < area_m2 && 0.0 < target_m3) {
            return None;
        }
        let landed = field.landed[nozzle * field.n_cells + cell];
        Some(CellDose {
            area: Area::from_m2(area_m2),
            product: VolumePerArea::from_si(landed.product_m3 / area_m2),
            carrier: VolumePerArea::from_si(landed.carrier_m3 / area_m2),
            dose: Share::from_fraction(landed.product_m3 / target_m3),
            carrier_share: Share::from_fraction(landed.carrier_m3 / (area_m2 * self.carrier_m)),
        })
    }

    /// Shares of the field's area under, on and over the product target.
    #[must_use]
    pub fn product_shares(&self, limits: DoseLimits) -> AreaShares {
        self.shares(limits, |dose| dose.dose)
    }

    /// Shares of the field's area under, on and over the carrier target.
    #[must_use]
    pub fn carrier_shares(&self, limits: DoseLimits) -> AreaShares {
        self.shares(limits, |dose| dose.carrier_share)
    }

    /// The largest dose relative to its target within the field.
    #[must_use]
    pub fn greatest(&self) -> Option<DoseAt> {
        let all = self.in_field();
        all.reduce(|a, b| if a.dose.dose < b.dose.dose { b } else { a })
    }

    /// The smallest dose relative to its target within the field.
    #[must_use]
    pub fn least(&self) -> Option<DoseAt> {
        let all = self.in_field();
        all.reduce(|a, b| if b.dose.dose < a.dose.dose { b } else { a })
    }

    /// Speed, flows and pressures against time.
    #[must_use]
    pub fn moments(&self) -> &[Moment] {
        &self.moments
    }

    /// Product in = product on the ground + product in the lines.
    #[must_use]
    pub fn balance(&self) -> Balance {
        self.balance
    }

    /// Product that landed in the field.
    #[must_use]
    pub fn product_in_field(&self) -> Volume {
        let field = &self.field;
        let cells = (0..field.n_cells).filter(|&cell| self.is_in_field(cell));
        let nozzles = field.widths_m.len();
        let on_cell = |cell: usize| -> f64 {
            (0..nozzles).map(|n| field.landed[n * field.n_cells + cell].product_m3).sum()
        };
        Volume::from_m3(cells.map(on_cell).sum())
    }

    /// Product that was wanted in the field.
    #[must_use]
    pub fn product_wanted(&self) -> Volume {
        let field = &self.field;
        let cells = (0..field.n_cells).filter(|&cell| self.is_in_field(cell));
        let on_cell = |cell: usize| -> f64 {
            let target_m2 = |gate: usize| field.planned[gate * field.n_cells + cell].target_m2;
            field.widths_m.iter().zip(&field.gate_of).map(|(width_m, &gate)| width_m * target_m2(gate)).sum()
        };
        Volume::from_m3(cells.map(on_cell).sum())
    }

    fn in_field(&self) -> impl Iterator<Item = DoseAt> + '_ {
        let cells = (0..self.field.n_cells).filter(|&cell| self.is_in_field(cell));
        cells.flat_map(move |cell| {
            (0..self.n_nozzles())
                .filter_map(move |nozzle| Some(DoseAt { nozzle, cell, dose: self.cell(nozzle, cell)? }))
        })
    }

    fn shares(&self, limits: DoseLimits, of: impl Fn(&CellDose) -> Share) -> AreaShares {
        let (mut area, mut under, mut over, mut label, mut sum) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for DoseAt { dose, .. } in self.in_field() {
            let area_m2 = dose.area.as_m2();
            let share = of(&dose);
            area += area_m2;
            sum += area_m2 * share.as_fraction();
            if share < limits.least {
                under += area_m2;
            }
            if limits.greatest < share {
                over += area_m2;
            }
            if self.label_m.is_some_and(|label_m| label_m < dose.product.as_si()) {
                label += area_m2;
            }
        }
        let share = |part: f64| Share::from_fraction(if 0.0 < area { part / area } else { 0.0 });
        AreaShares {
            area: Area::from_m2(area),
            under: share(under),
            on: share(area - under - over),
            over: share(over),
            above_label: share(label),
            mean: share(sum),
        }
    }
}

/// What landed on a cell.
#[derive(Clone, Copy, Debug, Default)]
struct Landed {
    product_m3: f64,
    carrier_m3: f64,
}

/// What was to land on a cell, per width.
#[derive(Clone, Copy, Debug, Default)]
struct Planned {
    /// Driven with the boom on.
    driven_m: f64,
    /// Wanted rate × distance.
    target_m2: f64,
}

/// The ground under the boom, cut into cells.
#[derive(Clone, Debug)]
pub(super) struct Field {
    cell_m: f64,
    from_m: f64,
    n_cells: usize,
    widths_m: Vec<f64>,
    /// By nozzle and cell.
    landed: Vec<Landed>,
    /// By gate and cell: nozzles that are always open together share one.
    planned: Vec<Planned>,
    gate_of: Vec<usize>,
    /// By spot: nozzles and their part of the spot's flow.
    at_spot: Vec<Vec<(usize, f64)>>,
}

/// The row of cells under one nozzle, while it is filled.
pub(super) struct Ground<'a> {
    cells: &'a mut [Landed],
    cell_m: f64,
    from_m: f64,
}

impl Ground<'_> {
    /// Lays volumes evenly along a way; all on one spot when standing.
    pub(super) fn spray(&mut self, from_m: f64, to_m: f64, product_m3: f64, carrier_m3: f64) {
        let cells = &mut *self.cells;
        spread_along(
            (from_m - self.from_m) / self.cell_m,
            (to_m - self.from_m) / self.cell_m,
            |cell, part| {
                let last = cells.len().saturating_sub(1);
                if let Some(landed) = cells.get_mut(cell.min(last)) {
                    landed.product_m3 += part * product_m3;
                    landed.carrier_m3 += part * carrier_m3;
                }
            },
        );
    }
}

/// Parts of a way that lie in each cell; positions in cells, ≥ 0.
fn spread_along(from: f64, to: f64, mut add: impl FnMut(usize, f64)) {
    // Positions are checked to be few enough, and are never below zero but by rounding.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the cast floors and saturates"
    )]
    let cell_of = |at: f64| at as usize;
    let (first, last) = (cell_of(from), cell_of(to));
    if first == last || to <= from {
        add(first, 1.0);
        return;
    }
    let mut at = from;
    for cell in first..=last {
        #[allow(clippy::cast_precision_loss, reason = "cells are few enough")]
        let end = to.min((cell + 1) as f64);
        add(cell, (end - at) / (to - from));
        at = end;
    }
}

impl Field {
    pub(super) fn new(plumbing: &Plumbing, pass: &Pass, cut: &Cut) -> Self {
        let cell_m = pass.cell.as_m();
        let length_m = cut.pieces.last().map_or(0.0, |piece| piece.to_m);
        let before = (pass.field.from.as_m() / cell_m).ceil();
        let from_m = pass.field.from.as_m() - before * cell_m;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "checked before to be few enough"
        )]
        let n_cells = (((length_m - from_m) / cell_m).ceil() as usize).max(1);
        let widths_m: Vec<f64> = pass.widths.iter().map(|width| width.as_m()).collect();
        let mut at_spot = vec![Vec::new(); plumbing.node_at.len()];
        let nozzles = &plumbing.network().nozzles;
        let mut k_sum = vec![0.0; plumbing.node_at.len()];
        for (nozzle, &spot) in nozzles.iter().zip(&plumbing.nozzle_spot) {
            k_sum[spot] += nozzle.size.as_m3_s_pa05();
        }
        for (nozzle, &spot) in plumbing.nozzle_spot.iter().enumerate() {
            let k = nozzles[nozzle].size.as_m3_s_pa05();
            at_spot[spot].push((nozzle, if 0.0 < k { k / k_sum[spot] } else { 0.0 }));
        }
        let (gates, gate_of) = gates(plumbing);
        let mut planned = vec![Planned::default(); gates.len() * n_cells];
        for piece in &cut.pieces {
            let Some(pattern) = piece.pattern else { continue };
            let way_m = piece.to_m - piece.from_m;
            for (gate, sections) in gates.iter().enumerate() {
                if sections.iter().any(|section| cut.patterns[pattern].contains(section)) {
                    continue;
                }
                let row = &mut planned[gate * n_cells..(gate + 1) * n_cells];
                spread_along(
                    (piece.from_m - from_m) / cell_m,
                    (piece.to_m - from_m) / cell_m,
                    |cell, part| {
                        let planned = &mut row[cell.min(n_cells - 1)];
                        planned.driven_m += part * way_m;
                        planned.target_m2 += part * way_m * piece.target_m;
                    },
                );
            }
        }
        let landed = vec![Landed::default(); widths_m.len() * n_cells];
        Self { cell_m, from_m, n_cells, widths_m, landed, planned, gate_of, at_spot }
    }

    /// Nozzles at a spot, and their part of its flow.
    pub(super) fn at_spot(&self, spot: usize) -> Vec<(usize, f64)> {
        self.at_spot[spot].clone()
    }

    /// The row under a nozzle.
    pub(super) fn under(&mut self, nozzle: usize) -> Ground<'_> {
        let row = nozzle * self.n_cells..(nozzle + 1) * self.n_cells;
        Ground { cells: &mut self.landed[row], cell_m: self.cell_m, from_m: self.from_m }
    }

    pub(super) fn product_m3(&self) -> f64 {
        self.landed.iter().map(|landed| landed.product_m3).sum()
    }

    fn cell_from_m(&self, cell: usize) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "cells are few enough")]
        let before = cell as f64;
        self.from_m + before * self.cell_m
    }
}

/// Lists of sections behind which nozzles sit, and which of them each nozzle has.
fn gates(plumbing: &Plumbing) -> (Vec<Vec<usize>>, Vec<usize>) {
    let mut gates: Vec<Vec<usize>> = Vec::new();
    let mut gate_of = Vec::with_capacity(plumbing.nozzle_spot.len());
    for &spot in &plumbing.nozzle_spot {
        let is_behind = |&section: &usize| {
            let inlet = plumbing.inlet_spot[section];
            inlet <= spot && spot < plumbing.branch_end[inlet]
        };
        let sections: Vec<usize> = (0..plumbing.inlet_spot.len()).filter(is_behind).collect();
        let known = gates.iter().position(|gate| *gate == sections).unwrap_or_else(|| {
            gates.push(sections);
            gates.len() - 1
        });
        gate_of.push(known);
    }
    (gates, gate_of)
}
