//! The summands of which the logarithm of every reading is made. Their values are `forward`.

use super::setup::Entry;

/// A summand of a reading's logarithm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// Shown speed.
    ShownSpeed,
    /// Speed that the console steers by: shown, or held.
    Steering,
    /// Shown width.
    ShownWidth,
    /// True width.
    Width,
    /// Width that is wetted.
    Wetted,
    /// True speed.
    Speed,
    /// Time.
    Time,
    /// Target of the regulated carrier.
    Target,
    /// Meter number over the right one.
    Meter,
    /// Flow that the pressure would give through a healthy boom, or any flow at all.
    Flow,
    /// Share of the nozzles that spray.
    Open,
    /// Flow of a nozzle over nominal.
    Wear,
    /// Scatter of good nozzles.
    Nozzle,
    /// Course number over the right one, without slip.
    Course,
    /// Rate of a pump that is in force.
    Rate(usize),
    /// Pump number over the right one.
    Pump(usize),
    /// Product delivered over product counted.
    Loss(usize),
    /// A number read back: how far it is from the sheet's.
    ReadBack,
    /// What the nozzles pass over the carrier in it: products are injected before them.
    Products,
}

pub(crate) const N_PARTS: usize = 16;

impl Part {
    pub(crate) const fn place(self) -> usize {
        match self {
            Self::ShownSpeed => 0,
            Self::Steering => 1,
            Self::ShownWidth => 2,
            Self::Width => 3,
            Self::Wetted => 4,
            Self::Speed => 5,
            Self::Time => 6,
            Self::Target => 7,
            Self::Meter => 8,
            Self::Flow => 9,
            Self::Open => 10,
            Self::Wear => 11,
            Self::Nozzle => 12,
            Self::Course => 13,
            Self::ReadBack => 14,
            Self::Products => 15,
            Self::Rate(pump) => N_PARTS + 3 * pump,
            Self::Pump(pump) => N_PARTS + 3 * pump + 1,
            Self::Loss(pump) => N_PARTS + 3 * pump + 2,
        }
    }
}

/// A reading's logarithm as a constant and a sum of parts.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Terms {
    pub(crate) fixed: f64,
    pub(crate) parts: Vec<(Part, f64)>,
    /// The entry that a read-back number belongs to.
    pub(crate) read_back: Option<Entry>,
}

impl Terms {
    pub(crate) fn of(parts: &[(Part, f64)]) -> Self {
        Self { fixed: 0.0, parts: parts.to_vec(), read_back: None }
    }

    pub(crate) fn plus(mut self, parts: &[(Part, f64)]) -> Self {
        self.parts.extend_from_slice(parts);
        self
    }

    pub(crate) fn times(mut self, factor: f64) -> Self {
        self.fixed *= factor;
        for (_, by) in &mut self.parts {
            *by *= factor;
        }
        self
    }

    pub(crate) fn and_fixed(mut self, fixed: f64) -> Self {
        self.fixed += fixed;
        self
    }
}
