//! Exact probabilities where a choice may take several things at once.

use std::collections::BTreeMap;

use super::MatchingError;
use super::weight::{Logarithm, SAFE, Weight};

/// Largest number of different sets of things taken that may have to be held after one row.
pub const MOST_STATES: usize = 1 << 16;

/// One thing a row may choose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// Bits of the things taken; none for a choice that takes nothing.
    pub takes: u64,
    /// Natural logarithm of its weight; minus infinity for never.
    pub log_weight: f64,
}

/// Probabilities over all joint choices.
#[derive(Debug, Clone, PartialEq)]
pub struct ChoiceMarginals {
    /// `rows[i][c]`: probability that row `i` makes choice `c`.
    pub rows: Vec<Vec<f64>>,
    /// Sets of things taken in the end, each with its probability.
    pub sets: Vec<(u64, f64)>,
    /// Logarithm of the sum of the weights of all joint choices.
    pub ln_total: f64,
}

/// Probabilities of every choice of every row, over all joint choices in which no thing is taken
/// twice.
///
/// # Shape and units
/// `choices[i]` are what row `i` may choose, at least one each; up to 64 things. `log_of_set` gives
/// the logarithm of a further weight of the set of things taken in all, minus infinity to forbid
/// it: for priors of things, or things that may only come together.
///
/// # Formula
/// ```text
/// weight of a joint choice = ∏ weights chosen · w(set)      P(i, c) = Σ_{with (i,c)} / Σ_all
/// ```
///
/// Exact: only sets that can be reached are held, merged after each row, so that the work grows
/// with the number of different sets and not with the number of joint choices. In plain numbers
/// with each row's largest weight scaled to 1, and again in logarithms where that falls below 1e-150.
///
/// # Errors
/// [`MatchingError::Empty`], [`MatchingError::NotUsable`], [`MatchingError::Impossible`], and
/// [`MatchingError::TooLarge`] where more than [`MOST_STATES`] sets must be held: split rows that
/// share nothing, or leave out choices, and say so.
///
/// # Source
/// Bellman1957 (dynamic programming over sets); checked against exact enumeration
///
/// # Examples
/// ```
/// use dyebook_statistics::matching::{Choice, choice_marginals};
/// let take = |takes| Choice { takes, log_weight: 0.0 };
/// // two rows, both may take thing 0 or nothing: not both
/// let rows = [vec![take(1), take(0)], vec![take(1), take(0)]];
/// let marginals = choice_marginals(&rows, |_set| 0.0)?;
/// assert!((marginals.rows[0][0] - 1.0 / 3.0).abs() < 1e-12);
/// # Ok::<(), dyebook_statistics::matching::MatchingError>(())
/// ```
pub fn choice_marginals(
    choices: &[Vec<Choice>],
    log_of_set: impl Fn(u64) -> f64,
) -> Result<ChoiceMarginals, MatchingError> {
    let mut scale = 0.0;
    for (row, options) in choices.iter().enumerate() {
        if options
            .iter()
            .any(|c| c.log_weight.is_nan() || c.log_weight == f64::INFINITY)
        {
            return Err(MatchingError::NotUsable { row });
        }
        let best = best_of(options);
        if best == f64::NEG_INFINITY {
            let empty = options.is_empty();
            return Err(if empty {
                MatchingError::Empty
            } else {
                MatchingError::Impossible
            });
        }
        scale += best;
    }
    let graph = Graph::<f64>::build(choices)?;
    let ends: Vec<f64> = graph
        .last_states()
        .map(|(set, _)| log_of_set(*set))
        .collect();
    let highest = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !highest.is_finite() {
        return Err(MatchingError::Impossible);
    }
    let ends: Vec<f64> = ends.iter().map(|log| log - highest).collect();
    let (total, mut marginals) = graph.finish(choices, &ends);
    if total.is_nan() || total <= SAFE {
        let (total, again) = Graph::<Logarithm>::build(choices)?.finish(choices, &ends);
        if total.ln() == f64::NEG_INFINITY {
            return Err(MatchingError::Impossible);
        }
        marginals = again;
    }
    marginals.ln_total += scale + highest;
    Ok(marginals)
}

fn best_of(options: &[Choice]) -> f64 {
    options
        .iter()
        .map(|choice| choice.log_weight)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// A step from one set to the next by a choice.
struct Step<W> {
    from: u32,
    to: u32,
    choice: u32,
    weight: W,
}

/// Sets reachable after each row, and the steps between them.
struct Graph<W> {
    /// All layers one after the other, each state with the weight of all ways to it.
    states: Vec<(u64, W)>,
    /// Where each layer begins.
    layers: Vec<usize>,
    steps: Vec<Step<W>>,
    /// Where each row's steps begin.
    rows: Vec<usize>,
}

/// Up to so many states a layer, looking through them all is faster than an index.
const FEW: usize = 24;

impl<W: Weight> Graph<W> {
    fn build(choices: &[Vec<Choice>]) -> Result<Self, MatchingError> {
        let mut graph = Self {
            states: vec![(0, W::ONE)],
            layers: vec![0, 1],
            steps: Vec::with_capacity(64),
            rows: vec![0],
        };
        let mut index = BTreeMap::new();
        for options in choices {
            let best = best_of(options);
            let (first, start) = (graph.layers[graph.layers.len() - 2], graph.states.len());
            index.clear();
            for (number, choice) in (0_u32..).zip(options) {
                if choice.log_weight == f64::NEG_INFINITY {
                    continue;
                }
                let weight = W::of_log(choice.log_weight - best);
                for from in first..start {
                    let (set, ways) = graph.states[from];
                    if set & choice.takes == 0 {
                        let next = (set | choice.takes, ways.times(weight));
                        let to = graph.reach(start, &mut index, next)?;
                        let from = position(from);
                        graph.steps.push(Step {
                            from,
                            to,
                            choice: number,
                            weight,
                        });
                    }
                }
            }
            graph.layers.push(graph.states.len());
            graph.rows.push(graph.steps.len());
        }
        Ok(graph)
    }

    /// Adds ways to a state of the layer that begins at `start`, making it where it is new.
    fn reach(
        &mut self,
        start: usize,
        index: &mut BTreeMap<u64, usize>,
        (set, ways): (u64, W),
    ) -> Result<u32, MatchingError> {
        let layer = &mut self.states[start..];
        let known = if layer.len() <= FEW {
            layer.iter().position(|state| state.0 == set)
        } else {
            if index.is_empty() {
                index.extend(layer.iter().enumerate().map(|(at, state)| (state.0, at)));
            }
            index.get(&set).copied()
        };
        if let Some(at) = known {
            layer[at].1 = layer[at].1.plus(ways);
            return Ok(position(start + at));
        }
        let at = layer.len();
        if at >= MOST_STATES {
            return Err(MatchingError::TooLarge {
                needed: at + 1,
                limit: MOST_STATES,
            });
        }
        if !index.is_empty() {
            index.insert(set, at);
        }
        self.states.push((set, ways));
        Ok(position(start + at))
    }

    fn last_states(&self) -> std::slice::Iter<'_, (u64, W)> {
        self.states[self.layers[self.layers.len() - 2]..].iter()
    }

    /// Weighs the last sets, then goes backwards and shares out.
    fn finish(&self, choices: &[Vec<Choice>], ends: &[f64]) -> (W, ChoiceMarginals) {
        let mut onward = vec![W::NOTHING; self.states.len()];
        let last = self.states.len() - ends.len();
        let mut total = W::NOTHING;
        for (k, end) in ends.iter().enumerate() {
            onward[last + k] = W::of_log(*end);
            total = total.plus(self.states[last + k].1.times(onward[last + k]));
        }
        let mut rows: Vec<Vec<f64>> = choices.iter().map(|row| vec![0.0; row.len()]).collect();
        for (row, shares) in rows.iter_mut().enumerate().rev() {
            for step in self.steps[self.rows[row]..self.rows[row + 1]].iter().rev() {
                let (from, to) = (step.from as usize, step.to as usize);
                let ways = step.weight.times(onward[to]);
                onward[from] = onward[from].plus(ways);
                shares[step.choice as usize] += self.states[from].1.times(ways).share_of(total);
            }
        }
        let sets = (last..self.states.len())
            .map(|at| {
                (
                    self.states[at].0,
                    self.states[at].1.times(onward[at]).share_of(total),
                )
            })
            .collect();
        (
            total,
            ChoiceMarginals {
                rows,
                sets,
                ln_total: total.ln(),
            },
        )
    }
}

/// A position as stored; layers hold at most [`MOST_STATES`] states and lanes few rows.
fn position(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}
