//! Patterns on a control chart that chance seldom makes.

use super::ChartError;
use crate::summary::require;

/// What was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunRule {
    /// One value beyond three SDs.
    BeyondAction,
    /// Two of three values in a row beyond two SDs on one side.
    TwoOfThreeBeyondWarning,
    /// Four of five values in a row beyond one SD on one side.
    FourOfFiveBeyondOneSd,
    /// So many values in a row on one side of the centre.
    OneSide,
    /// Six values in a row, each higher (or each lower) than the one before.
    Trend,
}

/// Which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Above the centre, or rising.
    Up,
    /// Below the centre, or falling.
    Down,
}

/// A pattern found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Signal {
    /// Position of the value that completes the pattern, from 0.
    pub index: usize,
    /// The rule.
    pub rule: RunRule,
    /// Its direction.
    pub direction: Direction,
    /// How many values in a row the rule looks at; for [`RunRule::OneSide`] and [`RunRule::Trend`]
    /// how long the run is at this value.
    pub length: usize,
}

/// Run rules on values in order of time.
///
/// # Shape and units
/// Values of one version of a method, about one `centre` with one `sd` above 0. `one_side` is the
/// length of a run on one side that counts, at least 2; 7 gives about 1.6 % false alarms a run, 8
/// is the handbook's. Signals come in order of the value that completes them; a run goes on
/// signalling with every further value.
///
/// # Formula
/// ```text
/// z = (x - centre)/sd
/// |z| > 3 · 2 of 3 beyond 2 · 4 of 5 beyond 1 · `one_side` in a row on one side · 6 in a row
/// rising or falling
/// ```
///
/// A value exactly on the centre ends a run on one side; equal values end a trend.
///
/// # Errors
/// [`ChartError::NoSpread`], [`ChartError::Summary`] for a value that isn't finite.
///
/// # Source
/// NIST-Handbook, 6.3.2 (Western Electric rules)
///
/// # Examples
/// ```
/// use dyebook_statistics::control_charts::{Direction, RunRule, run_signals};
/// let low = [0.41, 0.415, 0.41, 0.412, 0.413, 0.415, 0.41];
/// let signals = run_signals(&low, 0.42, 0.02, 7)?;
/// assert_eq!((signals[0].rule, signals[0].direction), (RunRule::OneSide, Direction::Down));
/// # Ok::<(), dyebook_statistics::control_charts::ChartError>(())
/// ```
pub fn run_signals(
    values: &[f64],
    centre: f64,
    sd: f64,
    one_side: usize,
) -> Result<Vec<Signal>, ChartError> {
    require(values, 0)?;
    if !(sd > 0.0 && (centre + sd).is_finite()) {
        return Err(ChartError::NoSpread { value: sd });
    }
    let z: Vec<f64> = values.iter().map(|value| (value - centre) / sd).collect();
    let mut signals = Vec::new();
    for index in 0..z.len() {
        for (direction, sign) in [(Direction::Up, 1.0), (Direction::Down, -1.0)] {
            let mut signal = |rule, length| {
                signals.push(Signal {
                    index,
                    rule,
                    direction,
                    length,
                });
            };
            let beyond = |at: usize, limit: f64| sign * z[at] > limit;
            let count = |window: usize, limit: f64| {
                (index.saturating_sub(window - 1)..=index)
                    .filter(|at| beyond(*at, limit))
                    .count()
            };
            if beyond(index, 3.0) {
                signal(RunRule::BeyondAction, 1);
            }
            if beyond(index, 2.0) && count(3, 2.0) >= 2 {
                signal(RunRule::TwoOfThreeBeyondWarning, 3);
            }
            if beyond(index, 1.0) && count(5, 1.0) >= 4 {
                signal(RunRule::FourOfFiveBeyondOneSd, 5);
            }
            let side = (0..=index).rev().take_while(|at| beyond(*at, 0.0)).count();
            if side >= one_side.max(2) {
                signal(RunRule::OneSide, side);
            }
            let trend = trend_length(&z[..=index], sign);
            if trend >= 6 {
                signal(RunRule::Trend, trend);
            }
        }
    }
    Ok(signals)
}

/// Values at the end of `z` that each go further in the direction of `sign` than the one before.
fn trend_length(z: &[f64], sign: f64) -> usize {
    1 + z
        .windows(2)
        .rev()
        .take_while(|pair| sign * (pair[1] - pair[0]) > 0.0)
        .count()
}
