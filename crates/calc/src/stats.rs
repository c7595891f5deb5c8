//! Mean, standard deviation, coefficient of variation.
//!
//! Confidence does not live here: [`crate::student_t`] and [`crate::uncertainty`].

/// Why there is no statistic.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum StatsError {
    /// Not enough values.
    TooFew {
        /// How many were given.
        got: usize,
        /// How many are needed.
        needed: usize,
    },
    /// A value that is not finite.
    NotFinite {
        /// Its index.
        idx: usize,
        /// What was given.
        got: f64,
    },
    /// A coefficient of variation needs a mean above zero.
    Mean {
        /// The mean.
        got: f64,
    },
}

/// Arithmetic mean.
///
/// Range: at least one value, all finite.
///
/// # Errors
/// [`StatsError::TooFew`], [`StatsError::NotFinite`].
///
/// # Example
/// By hand: (44 + 45 + 44) / 3 = 44.333 (three nozzles of a published catch test).
/// ```
/// # use calc::stats::mean;
/// assert!((mean(&[44.0, 45.0, 44.0])? - 133.0 / 3.0).abs() < 1e-12);
/// # Ok::<(), calc::stats::StatsError>(())
/// ```
pub fn mean(values: &[f64]) -> Result<f64, StatsError> {
    check(values, 1)?;
    Ok(values.iter().sum::<f64>() / values.len() as f64)
}

/// Experimental standard deviation, with `n − 1`.
///
/// | symbol | meaning        | range                    |
/// |--------|----------------|--------------------------|
/// | `x_i`  | the values     | at least two, all finite |
///
/// `s = √(Σ(x_i − mean)² / (n − 1))`.
///
/// # Errors
/// [`StatsError::TooFew`] below two values, [`StatsError::NotFinite`].
///
/// # Source
/// JCGM 100:2008, 4.2.2.
///
/// # Example
/// By hand: 44, 45, 44 have deviations −1/3, 2/3, −1/3, squares 6/9, so s = √(1/3).
/// ```
/// # use calc::stats::standard_deviation;
/// assert!((standard_deviation(&[44.0, 45.0, 44.0])? - (1.0_f64 / 3.0).sqrt()).abs() < 1e-12);
/// # Ok::<(), calc::stats::StatsError>(())
/// ```
pub fn standard_deviation(values: &[f64]) -> Result<f64, StatsError> {
    check(values, 2)?;
    let centre = mean(values)?;
    let squares: f64 = values.iter().map(|x| (x - centre) * (x - centre)).sum();
    Ok((squares / (values.len() - 1) as f64).sqrt())
}

/// Coefficient of variation as a fraction: `s / mean`.
///
/// Range: at least two finite values with a mean above zero.
///
/// # Errors
/// [`StatsError`].
///
/// # Source
/// ISO 5682 and ISO 16122 practice (from memory), `n − 1` in s.
///
/// # Example
/// By hand: √(1/3) ÷ 44.3333 = 1.302 %.
/// ```
/// # use calc::stats::coefficient_of_variation;
/// assert!((coefficient_of_variation(&[44.0, 45.0, 44.0])? - 0.013_023).abs() < 1e-6);
/// # Ok::<(), calc::stats::StatsError>(())
/// ```
pub fn coefficient_of_variation(values: &[f64]) -> Result<f64, StatsError> {
    let s = standard_deviation(values)?;
    let centre = mean(values)?;
    if centre > 0.0 { Ok(s / centre) } else { Err(StatsError::Mean { got: centre }) }
}

fn check(values: &[f64], needed: usize) -> Result<(), StatsError> {
    if let Some((idx, got)) = values.iter().enumerate().find(|(_, x)| !x.is_finite()) {
        return Err(StatsError::NotFinite { idx, got: *got });
    }
    if values.len() < needed {
        return Err(StatsError::TooFew { got: values.len(), needed });
    }
    Ok(())
}
