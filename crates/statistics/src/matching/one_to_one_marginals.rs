//! Exact probabilities of every pair in a random one-to-one matching.

use super::MatchingError;
use super::weight::{Logarithm, SAFE, Weight};

/// Largest table the sum may fill: (larger side + 1) × 2^(smaller side). 4,194,304 cells are
/// 32 MiB and some 0.1 s; 16 spots by 63 dyes are the limit, 12 spots by 1,000 dyes fit.
pub const MOST_CELLS: usize = 1 << 22;

/// Probabilities over all one-to-one matchings.
#[derive(Debug, Clone, PartialEq)]
pub struct OneToOneMarginals {
    /// `row[i][j]`: probability that row `i` has column `j`; the last entry that it has none.
    pub rows: Vec<Vec<f64>>,
    /// Probability that a column is taken by any row.
    pub column_used: Vec<f64>,
    /// Logarithm of the sum of the weights of all matchings.
    pub ln_total: f64,
}

/// Probabilities of every pair, over all ways to give each row one column or none, no column twice.
///
/// # Shape and units
/// `log_weights[i][j]` is the natural logarithm of the weight of row `i` with column `j`, minus
/// infinity for never; `log_none[i]` of row `i` without a column.
///
/// # Formula
/// ```text
/// weight of a matching = ∏ weights picked          P(i has j) = Σ_{matchings with (i,j)} / Σ_all
/// ```
///
/// Exact: a sum over subsets of the smaller side, forwards and backwards over the larger one, time
/// (rows × columns) × 2^(smaller side). Rows are scaled to a largest weight of 1; where so many
/// rows compete that the plain sum falls below 1e-150, it is done again in logarithms.
///
/// # Errors
/// [`MatchingError::Empty`], [`MatchingError::Ragged`], [`MatchingError::NotUsable`],
/// [`MatchingError::Impossible`], and [`MatchingError::TooLarge`] beyond [`MOST_CELLS`].
///
/// # Source
/// Ryser1963 (permanents by subsets); checked against exact enumeration
///
/// # Examples
/// ```
/// use dyebook_statistics::matching::one_to_one_marginals;
/// let even = one_to_one_marginals(&[vec![0.0, 0.0]], &[0.0])?;
/// assert!((even.rows[0][2] - 1.0 / 3.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::matching::MatchingError>(())
/// ```
pub fn one_to_one_marginals(
    log_weights: &[Vec<f64>],
    log_none: &[f64],
) -> Result<OneToOneMarginals, MatchingError> {
    let (rows, columns) = (log_weights.len(), check(log_weights, log_none)?);
    let (small, large) = (rows.min(columns), rows.max(columns));
    let needed = 1_usize
        .checked_shl(u32::try_from(small).unwrap_or(u32::MAX))
        .unwrap_or(usize::MAX);
    let needed = needed.saturating_mul(large + 1);
    if small >= 32 || needed > MOST_CELLS {
        return Err(MatchingError::TooLarge {
            needed,
            limit: MOST_CELLS,
        });
    }
    let scale: Vec<f64> = log_weights
        .iter()
        .zip(log_none)
        .map(|(row, none)| row.iter().copied().fold(*none, f64::max))
        .collect();
    if scale.contains(&f64::NEG_INFINITY) {
        return Err(MatchingError::Impossible);
    }
    let table = Table {
        log_weights,
        log_none,
        scale: &scale,
        rows,
        columns,
    };
    let (total, marginals) = table.sum::<f64>();
    if total > SAFE {
        return Ok(marginals);
    }
    let (total, marginals) = table.sum::<Logarithm>();
    if total.ln() == f64::NEG_INFINITY {
        return Err(MatchingError::Impossible);
    }
    Ok(marginals)
}

fn check(log_weights: &[Vec<f64>], log_none: &[f64]) -> Result<usize, MatchingError> {
    let expected = log_weights.first().map_or(0, Vec::len);
    if expected == 0 {
        return Err(MatchingError::Empty);
    }
    let usable = |log: &f64| *log < f64::INFINITY;
    for (row, entries) in log_weights.iter().enumerate() {
        if entries.len() != expected {
            return Err(MatchingError::Ragged {
                row,
                found: entries.len(),
                expected,
            });
        }
        if !(entries.iter().all(usable) && log_none.get(row).is_some_and(usable)) {
            return Err(MatchingError::NotUsable { row });
        }
    }
    Ok(expected)
}

struct Table<'a> {
    log_weights: &'a [Vec<f64>],
    log_none: &'a [f64],
    scale: &'a [f64],
    rows: usize,
    columns: usize,
}

impl Table<'_> {
    /// Sum over all matchings. The smaller side is the set of places, the larger one the items that
    /// come one after the other, each to a free place or to none.
    fn sum<W: Weight>(&self) -> (W, OneToOneMarginals) {
        let by_rows = self.rows <= self.columns;
        let (places, items) = (self.rows.min(self.columns), self.rows.max(self.columns));
        let none = |row: usize| W::of_log(self.log_none[row] - self.scale[row]);
        // what an item costs when it gets no place: a column nothing, a row its weight of none
        let skip: Vec<W> = (0..items)
            .map(|i| if by_rows { W::ONE } else { none(i) })
            .collect();
        let mut pair = Vec::with_capacity(items * places);
        for item in 0..items {
            for place in 0..places {
                let (row, column) = if by_rows {
                    (place, item)
                } else {
                    (item, place)
                };
                pair.push(W::of_log(self.log_weights[row][column] - self.scale[row]));
            }
        }
        let sets = 1_usize << places;
        let forward = fill_forward(&skip, &pair, places);
        // backward[set]: weight of all ways to go on when `set` is filled
        let mut backward: Vec<W> = (0..sets)
            .map(|set| {
                let open = (0..places).filter(|place| by_rows && set & (1 << place) == 0);
                open.fold(W::ONE, |product, place| product.times(none(place)))
            })
            .collect();
        let last = &forward[items * sets..];
        let total = last
            .iter()
            .zip(&backward)
            .fold(W::NOTHING, |t, (f, b)| t.plus(f.times(*b)));
        let mut share = vec![0.0; items * places];
        for item in (0..items).rev() {
            let before = &forward[item * sets..(item + 1) * sets];
            let weights = &pair[item * places..(item + 1) * places];
            for (place, weight) in weights.iter().enumerate() {
                let open = (0..sets).filter(|set| set & (1 << place) == 0);
                let ways = open.fold(W::NOTHING, |sum, set| {
                    sum.plus(before[set].times(backward[set | (1 << place)]))
                });
                share[item * places + place] = ways.times(*weight).share_of(total);
            }
            for set in 0..sets {
                let stay = backward[set].times(skip[item]);
                let open = (0..places).filter(|place| set & (1 << place) == 0);
                backward[set] = open.fold(stay, |sum, place| {
                    sum.plus(backward[set | (1 << place)].times(weights[place]))
                });
            }
        }
        (total, self.arrange(&share, by_rows, total.ln()))
    }

    fn arrange(&self, share: &[f64], by_rows: bool, ln_total: f64) -> OneToOneMarginals {
        let places = self.rows.min(self.columns);
        let at = |row: usize, column: usize| {
            let (item, place) = if by_rows {
                (column, row)
            } else {
                (row, column)
            };
            share[item * places + place]
        };
        let rows: Vec<Vec<f64>> = (0..self.rows)
            .map(|row| {
                let mut entries: Vec<f64> = (0..self.columns).map(|c| at(row, c)).collect();
                entries.push((1.0 - entries.iter().sum::<f64>()).max(0.0));
                entries
            })
            .collect();
        let used = |column: usize| rows.iter().map(|row| row[column]).sum();
        let column_used = (0..self.columns).map(used).collect();
        let ln_total = ln_total + self.scale.iter().sum::<f64>();
        OneToOneMarginals {
            rows,
            column_used,
            ln_total,
        }
    }
}

/// Weight of all ways in which the first k items fill exactly a set of places, for every k and set.
fn fill_forward<W: Weight>(skip: &[W], pair: &[W], places: usize) -> Vec<W> {
    let sets = 1_usize << places;
    let mut forward = vec![W::NOTHING; (skip.len() + 1) * sets];
    forward[0] = W::ONE;
    for (item, skip) in skip.iter().enumerate() {
        let (before, after) = forward[item * sets..(item + 2) * sets].split_at_mut(sets);
        let weights = &pair[item * places..(item + 1) * places];
        for set in 0..sets {
            after[set] = places_in(set).fold(before[set].times(*skip), |sum, place| {
                sum.plus(before[set & !(1 << place)].times(weights[place]))
            });
        }
    }
    forward
}

/// The places in a set.
fn places_in(set: usize) -> impl Iterator<Item = usize> {
    let mut left = set;
    std::iter::from_fn(move || {
        (left != 0).then(|| {
            let place = left.trailing_zeros() as usize;
            left &= left - 1;
            place
        })
    })
}
