//! Control limits.

use super::{ChartError, chart_constants};
use crate::summary::{mean, standard_deviation};

/// Centre and action limits of a chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChartLimits {
    /// Centre line.
    pub centre: f64,
    /// Lower action limit.
    pub lower: f64,
    /// Upper action limit.
    pub upper: f64,
    /// Lower warning limit, two thirds of the way out.
    pub lower_warning: f64,
    /// Upper warning limit, two thirds of the way out.
    pub upper_warning: f64,
}

fn limits(centre: f64, lower: f64, upper: f64) -> ChartLimits {
    let two_thirds = |end: f64| centre + (end - centre) * 2.0 / 3.0;
    let (lower_warning, upper_warning) = (two_thirds(lower), two_thirds(upper));
    ChartLimits {
        centre,
        lower,
        upper,
        lower_warning,
        upper_warning,
    }
}

/// Limits about a reference value with a known standard deviation.
///
/// # Shape and units
/// `centre` the assigned value, `sd` of one plotted value about it, above 0; one unit.
///
/// # Formula
/// ```text
/// warning  centre ± 2 s      action  centre ± 3 s
/// ```
///
/// The centre stays the assigned value, so that a bias shows; limits computed from the plotted
/// values themselves would follow it.
///
/// # Errors
/// [`ChartError::NoSpread`].
///
/// # Source
/// IUPAC-GoldBook-08127 (control chart); NIST-Handbook, 6.3.2
///
/// # Examples
/// ```
/// use dyebook_statistics::control_charts::reference_limits;
/// let chart = reference_limits(0.42, 0.01)?;
/// assert!((chart.upper - 0.45).abs() < 1e-12 && (chart.lower_warning - 0.40).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::control_charts::ChartError>(())
/// ```
pub fn reference_limits(centre: f64, sd: f64) -> Result<ChartLimits, ChartError> {
    if sd > 0.0 && (centre + sd).is_finite() {
        Ok(limits(centre, centre - 3.0 * sd, centre + 3.0 * sd))
    } else {
        Err(ChartError::NoSpread { value: sd })
    }
}

/// Limits of single values from their moving ranges.
///
/// # Shape and units
/// At least two values in order of time; unit of the values.
///
/// # Formula
/// ```text
/// x̄ ± 3 · mean|x_i - x_(i-1)| / d2(2)
/// ```
///
/// `d2` is exact (2/√π); tables print 1.128.
///
/// # Errors
/// [`ChartError::Summary`].
///
/// # Source
/// NIST-Handbook, 6.3.2.2
///
/// # Examples
/// ```
/// use dyebook_statistics::control_charts::individuals_limits;
/// let chart = individuals_limits(&[49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])?;
/// assert!((chart.upper - 55.80).abs() < 0.01);
/// # Ok::<(), dyebook_statistics::control_charts::ChartError>(())
/// ```
pub fn individuals_limits(values: &[f64]) -> Result<ChartLimits, ChartError> {
    let centre = mean(values)?;
    let ranges: Vec<f64> = values
        .windows(2)
        .map(|pair| (pair[1] - pair[0]).abs())
        .collect();
    let reach = mean(&ranges)? * chart_constants(2)?.e2;
    Ok(limits(centre, centre - reach, centre + reach))
}

/// Mean of the samples' means, of their ranges and of their SDs, and their size.
fn samples_summary(samples: &[Vec<f64>]) -> Result<(f64, f64, f64, usize), ChartError> {
    let expected = samples.first().map_or(0, Vec::len);
    let (mut means, mut ranges, mut sds) = (Vec::new(), Vec::new(), Vec::new());
    for (index, sample) in samples.iter().enumerate() {
        if sample.len() != expected {
            return Err(ChartError::SizesDiffer {
                index,
                found: sample.len(),
                expected,
            });
        }
        means.push(mean(sample)?);
        sds.push(standard_deviation(sample)?);
        let highest = sample.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        ranges.push(highest - sample.iter().copied().fold(f64::INFINITY, f64::min));
    }
    Ok((mean(&means)?, mean(&ranges)?, mean(&sds)?, expected))
}

/// Limits of sample means from the samples' ranges.
///
/// # Shape and units
/// At least one sample, all of one size from 2; unit of the values.
///
/// # Formula
/// ```text
/// x̄ ± A2 · R̄
/// ```
///
/// # Errors
/// [`ChartError::SizesDiffer`], [`ChartError::Summary`], [`ChartError::SampleSize`].
///
/// # Source
/// Montgomery, chapter 6; NIST-Handbook, 6.3.2.1
///
/// # Examples
/// ```
/// use dyebook_statistics::control_charts::mean_limits_from_ranges;
/// let chart = mean_limits_from_ranges(&[vec![0.41, 0.43], vec![0.42, 0.42]])?;
/// assert!((chart.upper - (0.42 + 1.88 * 0.01)).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::control_charts::ChartError>(())
/// ```
pub fn mean_limits_from_ranges(samples: &[Vec<f64>]) -> Result<ChartLimits, ChartError> {
    let (centre, range, _, n) = samples_summary(samples)?;
    let reach = chart_constants(n)?.a2 * range;
    Ok(limits(centre, centre - reach, centre + reach))
}

/// Limits of sample means from the samples' standard deviations.
///
/// # Shape and units
/// As for [`mean_limits_from_ranges`].
///
/// # Formula
/// ```text
/// x̄ ± A3 · s̄
/// ```
///
/// # Errors
/// As for [`mean_limits_from_ranges`].
///
/// # Source
/// Montgomery, chapter 6; NIST-Handbook, 6.3.2.1
///
/// # Examples
/// ```
/// use dyebook_statistics::control_charts::mean_limits_from_sds;
/// let chart = mean_limits_from_sds(&[vec![0.41, 0.43], vec![0.42, 0.42]])?;
/// assert!((chart.centre - 0.42).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::control_charts::ChartError>(())
/// ```
pub fn mean_limits_from_sds(samples: &[Vec<f64>]) -> Result<ChartLimits, ChartError> {
    let (centre, _, sd, n) = samples_summary(samples)?;
    let reach = chart_constants(n)?.a3 * sd;
    Ok(limits(centre, centre - reach, centre + reach))
}

/// Limits of the samples' ranges.
///
/// # Shape and units
/// As for [`mean_limits_from_ranges`].
///
/// # Formula
/// ```text
/// D3 · R̄  to  D4 · R̄
/// ```
///
/// # Errors
/// As for [`mean_limits_from_ranges`].
///
/// # Source
/// Montgomery, chapter 6; NIST-Handbook, 6.3.2.1
///
/// # Examples
/// ```
/// use dyebook_statistics::control_charts::range_limits;
/// let chart = range_limits(&[vec![0.41, 0.43], vec![0.42, 0.42]])?;
/// assert!(chart.lower == 0.0 && (chart.upper - 3.267 * 0.01).abs() < 1e-4);
/// # Ok::<(), dyebook_statistics::control_charts::ChartError>(())
/// ```
pub fn range_limits(samples: &[Vec<f64>]) -> Result<ChartLimits, ChartError> {
    let (_, range, _, n) = samples_summary(samples)?;
    let constants = chart_constants(n)?;
    Ok(limits(
        range,
        constants.range_low * range,
        constants.range_high * range,
    ))
}

/// Limits of the samples' standard deviations.
///
/// # Shape and units
/// As for [`mean_limits_from_ranges`].
///
/// # Formula
/// ```text
/// B3 · s̄  to  B4 · s̄
/// ```
///
/// # Errors
/// As for [`mean_limits_from_ranges`].
///
/// # Source
/// Montgomery, chapter 6; NIST-Handbook, 6.3.2.1
///
/// # Examples
/// ```
/// use dyebook_statistics::control_charts::sd_limits;
/// assert_eq!(sd_limits(&[vec![0.41, 0.43], vec![0.42, 0.42]])?.lower, 0.0);
/// # Ok::<(), dyebook_statistics::control_charts::ChartError>(())
/// ```
pub fn sd_limits(samples: &[Vec<f64>]) -> Result<ChartLimits, ChartError> {
    let (_, _, sd, n) = samples_summary(samples)?;
    let constants = chart_constants(n)?;
    Ok(limits(sd, constants.b3 * sd, constants.b4 * sd))
}
