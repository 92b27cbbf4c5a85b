//! The cheapest one-to-one matching.

use super::MatchingError;

/// A matching and what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// Sum of the costs.
    pub total: f64,
    /// Column of each row, `None` where it has none.
    pub column_of_row: Vec<Option<usize>>,
}

/// Cheapest one-to-one matching of a rectangular table.
///
/// # Shape and units
/// `cost[row][column]`, finite, negative allowed. The smaller side is matched completely.
///
/// # Formula
/// ```text
/// minimise Σ cost[i][σ(i)] over one-to-one σ
/// ```
///
/// Shortest augmenting paths with row and column prices; time (smaller side)² × larger side. Where
/// several matchings cost the same, one of them.
///
/// # Errors
/// [`MatchingError::Empty`], [`MatchingError::Ragged`], [`MatchingError::NotUsable`].
///
/// # Source
/// Kuhn1955; shortest augmenting paths as in JonkerVolgenant1987
///
/// # Examples
/// ```
/// use dyebook_statistics::matching::assignment;
/// let best = assignment(&[vec![1.0, 7.0], vec![2.0, 9.0], vec![8.0, 3.0]])?;
/// assert_eq!(best.column_of_row, [Some(0), None, Some(1)]);
/// # Ok::<(), dyebook_statistics::matching::MatchingError>(())
/// ```
pub fn assignment(cost: &[Vec<f64>]) -> Result<Assignment, MatchingError> {
    let columns = check(cost)?;
    let rows = cost.len();
    let column_of_row = if rows <= columns {
        augment(rows, columns, |i, j| cost[i][j])
            .into_iter()
            .map(Some)
            .collect()
    } else {
        let mut column_of_row = vec![None; rows];
        for (column, row) in augment(columns, rows, |i, j| cost[j][i])
            .into_iter()
            .enumerate()
        {
            column_of_row[row] = Some(column);
        }
        column_of_row
    };
    let paid = column_of_row
        .iter()
        .zip(cost)
        .filter_map(|(column, row)| column.map(|j| row[j]));
    Ok(Assignment {
        total: paid.sum(),
        column_of_row,
    })
}

/// Cheapest one-to-one matching where each row may also go without, at a price.
///
/// # Shape and units
/// As for [`assignment`], with one price of none a row.
///
/// # Formula
/// ```text
/// minimise Σ_matched cost[i][σ(i)] + Σ_unmatched none[i]
/// ```
///
/// # Errors
/// As for [`assignment`].
///
/// # Source
/// Kuhn1955 (one column of the row's price added for each row)
///
/// # Examples
/// ```
/// use dyebook_statistics::matching::assignment_or_none;
/// let best = assignment_or_none(&[vec![1.0], vec![2.0]], &[5.0, 0.5])?;
/// assert_eq!((best.total, best.column_of_row), (1.5, vec![Some(0), None]));
/// # Ok::<(), dyebook_statistics::matching::MatchingError>(())
/// ```
pub fn assignment_or_none(
    cost: &[Vec<f64>],
    cost_of_none: &[f64],
) -> Result<Assignment, MatchingError> {
    let columns = check(cost)?;
    let rows = cost.len();
    if cost_of_none.len() != rows {
        let found = cost_of_none.len();
        return Err(MatchingError::Ragged {
            row: rows,
            found,
            expected: rows,
        });
    }
    if let Some(row) = cost_of_none.iter().position(|price| !price.is_finite()) {
        return Err(MatchingError::NotUsable { row });
    }
    let price = |i: usize, j: usize| {
        if j < columns {
            cost[i][j]
        } else {
            cost_of_none[i]
        }
    };
    let chosen = augment(rows, columns + rows, price);
    let total = chosen.iter().enumerate().map(|(i, j)| price(i, *j)).sum();
    let column_of_row = chosen
        .into_iter()
        .map(|j| (j < columns).then_some(j))
        .collect();
    Ok(Assignment {
        total,
        column_of_row,
    })
}

fn check(cost: &[Vec<f64>]) -> Result<usize, MatchingError> {
    let expected = cost.first().map_or(0, Vec::len);
    if expected == 0 {
        return Err(MatchingError::Empty);
    }
    for (row, entries) in cost.iter().enumerate() {
        if entries.len() != expected {
            return Err(MatchingError::Ragged {
                row,
                found: entries.len(),
                expected,
            });
        }
        if entries.iter().any(|entry| !entry.is_finite()) {
            return Err(MatchingError::NotUsable { row });
        }
    }
    Ok(expected)
}

/// The column of each row, `rows ≤ columns`. One shortest path a row; index 0 is a stand-in.
fn augment(rows: usize, columns: usize, cost: impl Fn(usize, usize) -> f64) -> Vec<usize> {
    let mut row_price = vec![0.0; rows + 1];
    let mut column_price = vec![0.0; columns + 1];
    let mut row_of = vec![0_usize; columns + 1];
    for row in 1..=rows {
        let mut came_from = vec![0_usize; columns + 1];
        let mut nearest = vec![f64::INFINITY; columns + 1];
        let mut done = vec![false; columns + 1];
        row_of[0] = row;
        let mut at = 0;
        while row_of[at] != 0 {
            done[at] = true;
            let (here, mut step, mut next) = (row_of[at], f64::INFINITY, 0);
            for column in (1..=columns).filter(|column| !done[*column]) {
                let reduced = cost(here - 1, column - 1) - row_price[here] - column_price[column];
                if reduced < nearest[column] {
                    (nearest[column], came_from[column]) = (reduced, at);
                }
                if nearest[column] < step {
                    (step, next) = (nearest[column], column);
                }
            }
            for column in 0..=columns {
                if done[column] {
                    row_price[row_of[column]] += step;
                    column_price[column] -= step;
                } else {
                    nearest[column] -= step;
                }
            }
            at = next;
        }
        while at != 0 {
            let before = came_from[at];
            row_of[at] = row_of[before];
            at = before;
        }
    }
    let mut column_of = vec![0; rows];
    for column in 1..=columns {
        if row_of[column] != 0 {
            column_of[row_of[column] - 1] = column - 1;
        }
    }
    column_of
}
