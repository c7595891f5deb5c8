//! What goes into a closing balance: jobs, loads, priors. Nothing is solved here.

use units::{Area, Length, Quantity, Volume, VolumePerArea};

/// A quantity with its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured<Q> {
    /// The value, > 0 (what is left in a tank may be 0).
    pub value: Q,
    /// Its standard uncertainty, > 0.
    pub u: Q,
}

impl<Q: Quantity> Measured<Q> {
    /// With a relative standard uncertainty.
    ///
    /// ```
    /// # use calc::balance::Measured;
    /// # use units::Area;
    /// // By hand: half a percent of 40 ac is 0.2 ac.
    /// let field = Measured::relative(Area::from_ac(40.0), 0.005);
    /// assert!((field.u.as_ac() - 0.2).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn relative(value: Q, u_rel: f64) -> Self {
        Self { value, u: Q::from_si(value.as_si() * u_rel) }
    }
}

/// A strip: what is known is its length and the width that was really wetted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Length driven with the boom on.
    pub length: Measured<Length>,
    /// Width wetted.
    pub width: Measured<Length>,
}

/// What was used of one liquid in one load, and what the console counted. Each part may be unknown.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ProductUse {
    /// In the tank before, or filled in.
    pub loaded: Option<Measured<Volume>>,
    /// In the tank after, or drained. Unknown is not the same as empty.
    pub left: Option<Measured<Volume>>,
    /// Counted by the console.
    pub shown: Option<Measured<Volume>>,
}

/// One filling of the tank.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Load {
    /// The carrier.
    pub carrier: ProductUse,
    /// One for each injection pump, in the console's order; may be shorter where pumps were not used.
    pub products: Vec<ProductUse>,
}

/// One field, strip or day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// Area of the field, from a map or a survey, as far as it was treated.
    pub area: Option<Measured<Area>>,
    /// In place of an area, or beside it.
    pub strip: Option<Strip>,
    /// Area counted by the console.
    pub shown_area: Option<Measured<Area>>,
    /// Distance counted by the console.
    pub shown_distance: Option<Measured<Length>>,
    /// Its loads.
    pub loads: Vec<Load>,
    /// Largest product rate that each label allows, one for each injection pump; may be shorter.
    pub label_greatest: Vec<Option<VolumePerArea>>,
}

/// What is known of the ratio errors beforehand: relative standard uncertainties from the last proofs, > 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Priors {
    /// Of the course number; `None` where it was never tried.
    pub speed: Option<f64>,
    /// Of the working width.
    pub width: Option<f64>,
    /// Of the meter number.
    pub meter: Option<f64>,
    /// Of each pump number. Its length is the number of injection pumps.
    pub pumps: Vec<Option<f64>>,
}

/// Prior of a number that was never tried: published field observations found wrong meter numbers to give "more than
/// 10 percent rate error" (No-Till Farmer 1418).
pub(crate) const UNTRIED: f64 = 0.10;

/// The part of a job or load that an error is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Part {
    /// The known area.
    Area,
    /// Length of the strip.
    StripLength,
    /// Width of the strip.
    StripWidth,
    /// The shown area.
    ShownArea,
    /// The shown distance.
    ShownDistance,
    /// Carrier of a load.
    Carrier {
        /// Which load.
        load: usize,
    },
    /// Product of a load.
    Product {
        /// Which load.
        load: usize,
        /// Which pump.
        pump: usize,
    },
    /// The largest rate that a label allows.
    Label {
        /// Which pump.
        pump: usize,
    },
}

/// Why nothing can be balanced.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum BalanceError {
    /// A value is negative, zero where it must not be, or not finite.
    Value {
        /// In which job.
        job: usize,
        /// Of what.
        part: Part,
        /// The SI number.
        got: f64,
    },
    /// A standard uncertainty is not finite or not above zero.
    Uncertainty {
        /// In which job.
        job: usize,
        /// Of what.
        part: Part,
        /// The SI number.
        got: f64,
    },
    /// More is left than was loaded.
    LeftOverLoaded {
        /// In which job.
        job: usize,
        /// Of what.
        part: Part,
    },
    /// A prior is not finite or not above zero.
    Prior {
        /// What was given.
        got: f64,
    },
    /// A load has products for more pumps than there are priors.
    PumpCount {
        /// In which job.
        job: usize,
        /// How many were given.
        got: usize,
        /// How many pumps there are.
        expected: usize,
    },
    /// Uncertainties so far apart that the equations have no answer in double precision.
    Unsolvable,
}

/// A logarithm with its variance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LnMeasured {
    pub(crate) ln: f64,
    pub(crate) variance: f64,
}

impl LnMeasured {
    pub(crate) fn of(si: f64, u: f64) -> Self {
        Self { ln: si.ln(), variance: (u / si).powi(2) }
    }
}

/// What is known and shown of one liquid in one load.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct LnUse {
    pub(crate) used: Option<LnMeasured>,
    pub(crate) shown: Option<LnMeasured>,
}

/// A job in logs, checked.
#[derive(Clone, Debug)]
pub(crate) struct LnJob {
    pub(crate) field: Option<LnMeasured>,
    pub(crate) length: Option<LnMeasured>,
    pub(crate) width: Option<LnMeasured>,
    pub(crate) shown_area: Option<LnMeasured>,
    pub(crate) shown_distance: Option<LnMeasured>,
    pub(crate) carrier: Vec<LnUse>,
    /// For each pump, each load.
    pub(crate) products: Vec<Vec<LnUse>>,
}

struct Check {
    job: usize,
}

impl Check {
    fn ln<Q: Quantity>(
        &self,
        part: Part,
        m: Option<Measured<Q>>,
    ) -> Result<Option<LnMeasured>, BalanceError> {
        let Some(m) = m else { return Ok(None) };
        let (si, u) = (m.value.as_si(), m.u.as_si());
        if !(si.is_finite() && si > 0.0) {
            return Err(BalanceError::Value { job: self.job, part, got: si });
        }
        self.uncertainty(part, u)?;
        Ok(Some(LnMeasured::of(si, u)))
    }

    fn uncertainty(&self, part: Part, u: f64) -> Result<(), BalanceError> {
        if u.is_finite() && u > 0.0 {
            Ok(())
        } else {
            Err(BalanceError::Uncertainty { job: self.job, part, got: u })
        }
    }

    fn product(&self, part: Part, of: &ProductUse) -> Result<LnUse, BalanceError> {
        let shown = self.ln(part, of.shown)?;
        let used = match (of.loaded, of.left) {
            (Some(loaded), Some(left)) => {
                let (full, rest) = (loaded.value.as_si(), left.value.as_si());
                for got in [full, rest] {
                    if !(got.is_finite() && got >= 0.0) {
                        return Err(BalanceError::Value { job: self.job, part, got });
                    }
                }
                self.uncertainty(part, loaded.u.as_si())?;
                self.uncertainty(part, left.u.as_si())?;
                if rest >= full {
                    return Err(BalanceError::LeftOverLoaded { job: self.job, part });
                }
                Some(LnMeasured::of(full - rest, loaded.u.as_si().hypot(left.u.as_si())))
            }
            // Without the rest, what was loaded says nothing about what was used.
            _ => None,
        };
        Ok(LnUse { used, shown })
    }
}

/// Checks one job and takes its logarithms.
pub(crate) fn ln_job(job: usize, given: &Job, n_pumps: usize) -> Result<LnJob, BalanceError> {
    let check = Check { job };
    let length = check.ln(Part::StripLength, given.strip.map(|s| s.length))?;
    let width = check.ln(Part::StripWidth, given.strip.map(|s| s.width))?;
    let field = check.ln(Part::Area, given.area)?;
    let mut carrier = Vec::with_capacity(given.loads.len());
    let mut products = vec![Vec::with_capacity(given.loads.len()); n_pumps];
    for (load, of) in given.loads.iter().enumerate() {
        if of.products.len() > n_pumps {
            return Err(BalanceError::PumpCount { job, got: of.products.len(), expected: n_pumps });
        }
        carrier.push(check.product(Part::Carrier { load }, &of.carrier)?);
        for (pump, uses) in products.iter_mut().enumerate() {
            uses.push(match of.products.get(pump) {
                Some(product) => check.product(Part::Product { load, pump }, product)?,
                None => LnUse::default(),
            });
        }
    }
    for (pump, greatest) in given.label_greatest.iter().enumerate() {
        if let Some(got) = greatest.map(VolumePerArea::as_si)
            && !(got.is_finite() && got > 0.0)
        {
            return Err(BalanceError::Value { job, part: Part::Label { pump }, got });
        }
    }
    Ok(LnJob {
        field,
        length,
        width,
        shown_area: check.ln(Part::ShownArea, given.shown_area)?,
        shown_distance: check.ln(Part::ShownDistance, given.shown_distance)?,
        carrier,
        products,
    })
}
