//! Relations that hold for every input.

use dyebook_statistics::least_squares::{weighted_line, york_line};
use dyebook_statistics::matching::{Choice, assignment, choice_marginals, one_to_one_marginals};
use dyebook_statistics::planar::{
    discriminating_power, mean_list_length, multispot_response, retention_distance, rf_of_rm,
    rm_value,
};
use dyebook_statistics::summary::{mean, median, robust_sd, standard_deviation};
use dyebook_statistics::variance_components::{nested, nested_components, nested_reml, one_way};
use proptest::prelude::*;

/// Values in 0.001, so that differences equal to a window arise.
fn thousandths() -> impl Strategy<Value = f64> {
    (0..=1000_u32).prop_map(|value| f64::from(value) / 1000.0)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Smalldon and Moffat's power and Schepers' list length with one window are one number.
    #[test]
    fn list_length_follows_from_power(
        rf in prop::collection::vec(thousandths(), 2..20),
        window in 0..300_u32,
    ) {
        let window = f64::from(window) / 1000.0;
        let n = f64::from(u32::try_from(rf.len()).unwrap());
        let power = discriminating_power(&[&rf], window).unwrap();
        let length = mean_list_length(&[&rf], window).unwrap();
        prop_assert!((length - (1.0 + (n - 1.0) * (1.0 - power))).abs() < 1e-12);
        prop_assert!((1.0..=n).contains(&length));
        // in whole thousandths the same pairs are counted
        let whole: Vec<f64> = rf.iter().map(|value| (value * 1000.0).round()).collect();
        let in_thousandths = mean_list_length(&[&whole], (window * 1000.0).round()).unwrap();
        prop_assert!((length - in_thousandths).abs() < 1e-12);
    }

    #[test]
    fn a_second_system_never_lowers_the_power(
        pairs in prop::collection::vec((thousandths(), thousandths()), 2..15),
        window in 0.0..0.3,
    ) {
        let (a, b): (Vec<f64>, Vec<f64>) = pairs.into_iter().unzip();
        let both = discriminating_power(&[&a, &b], window).unwrap();
        prop_assert!(both >= discriminating_power(&[&a], window).unwrap());
    }

    #[test]
    fn multispot_response_is_a_power_of_retention_distance(
        rf in prop::collection::vec(thousandths(), 1..8),
    ) {
        let n = i32::try_from(rf.len()).unwrap();
        let distance = retention_distance(&rf).unwrap();
        prop_assert!((distance.powi(n) - multispot_response(&rf).unwrap()).abs() < 1e-12);
        prop_assert!((0.0..=1.0 + 1e-12).contains(&distance));
    }

    #[test]
    fn rm_goes_there_and_back(rf in 0.001..0.999) {
        prop_assert!((rf_of_rm(rm_value(rf).unwrap()).unwrap() - rf).abs() < 1e-14);
    }

    #[test]
    fn centre_and_spread_follow_shift_and_scale(
        data in prop::collection::vec(-10.0..10.0_f64, 2..30),
        shift in -1e6..1e6_f64,
        scale in 0.01..100.0_f64,
    ) {
        let moved: Vec<f64> = data.iter().map(|x| shift + scale * x).collect();
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-8 * (1.0 + shift.abs().sqrt() + b.abs());
        prop_assert!(near(mean(&moved).unwrap(), shift + scale * mean(&data).unwrap()));
        prop_assert!(near(median(&moved).unwrap(), shift + scale * median(&data).unwrap()));
        let (before, after) = (standard_deviation(&data).unwrap(), standard_deviation(&moved).unwrap());
        prop_assert!(near(after, scale * before));
        prop_assert!(near(robust_sd(&moved).unwrap(), scale * robust_sd(&data).unwrap()));
    }

    /// With one spot a paper and equal numbers of papers the nested layout is the one-way layout.
    #[test]
    fn balanced_nested_equals_one_way(
        data in prop::collection::vec(prop::collection::vec(-1.0..1.0_f64, 3), 2..6),
    ) {
        let flat = one_way(&data).unwrap();
        let papers: Vec<Vec<Vec<f64>>> =
            data.iter().map(|row| row.iter().map(|x| vec![*x]).collect()).collect();
        let table = nested(&papers).unwrap();
        prop_assert!((3.0 * table.sessions.value - flat.ms_between()).abs() < 1e-12);
        prop_assert!((table.papers.value - flat.ms_within()).abs() < 1e-12);
        let between = nested_components(&table).between_sessions;
        prop_assert!((between - flat.between_variance()).abs() < 1e-12);
    }

    #[test]
    fn a_line_with_exact_x_is_the_weighted_line(
        points in prop::collection::vec((0.0..1.0_f64, 0.01..0.1_f64), 4..9),
    ) {
        let x: Vec<f64> = (0..points.len()).map(|i| f64::from(u32::try_from(i).unwrap())).collect();
        let (y, u): (Vec<f64>, Vec<f64>) = points.into_iter().unzip();
        let weighted = weighted_line(&x, &y, &u).unwrap();
        let york = york_line(&x, &y, &vec![1e-9; x.len()], &u).unwrap();
        prop_assert!((weighted.slope - york.slope).abs() < 1e-9);
        prop_assert!((weighted.u_slope - york.u_slope).abs() < 1e-9);
    }

    /// Marginals by subsets, by choices, and by writing out every matching, are the same.
    #[test]
    fn marginals_agree_with_enumeration(
        rows in prop::collection::vec(prop::collection::vec(-400.0..5.0_f64, 4), 1..5),
        none in -300.0..0.0_f64,
    ) {
        let nones = vec![none; rows.len()];
        let subsets = one_to_one_marginals(&rows, &nones).unwrap();
        let choices: Vec<Vec<Choice>> = rows
            .iter()
            .map(|row| {
                let column = row.iter().enumerate();
                let take = column.map(|(j, w)| Choice { takes: 1 << j, log_weight: *w });
                take.chain([Choice { takes: 0, log_weight: none }]).collect()
            })
            .collect();
        let by_choices = choice_marginals(&choices, |_set| 0.0).unwrap();
        let written_out = enumerate(&rows, none);
        for (i, row) in written_out.iter().enumerate() {
            for (j, expected) in row.iter().enumerate() {
                prop_assert!((subsets.rows[i][j] - expected).abs() < 1e-9);
                prop_assert!((by_choices.rows[i][j] - expected).abs() < 1e-9);
            }
        }
        prop_assert!((subsets.ln_total - by_choices.ln_total).abs() < 1e-9);
    }

    #[test]
    fn no_swap_improves_the_best_assignment(
        cost in prop::collection::vec(prop::collection::vec(-9.0..9.0_f64, 5), 5),
    ) {
        let best = assignment(&cost).unwrap();
        let column: Vec<usize> = best.column_of_row.iter().map(|c| c.unwrap()).collect();
        for a in 0..5 {
            for b in 0..a {
                let now = cost[a][column[a]] + cost[b][column[b]];
                let swapped = cost[a][column[b]] + cost[b][column[a]];
                prop_assert!(swapped >= now - 1e-12);
            }
        }
    }
}

/// Every way to give each row one of its columns or none, in logarithms.
fn enumerate(rows: &[Vec<f64>], none: f64) -> Vec<Vec<f64>> {
    let columns = rows[0].len();
    let mut all: Vec<(Vec<usize>, f64)> = vec![(Vec::new(), 0.0)];
    for row in rows {
        let mut next = Vec::new();
        for (picked, log) in &all {
            for (j, weight) in row.iter().chain([&none]).enumerate() {
                if j == columns || !picked.contains(&j) {
                    let mut picked = picked.clone();
                    picked.push(j);
                    next.push((picked, log + weight));
                }
            }
        }
        all = next;
    }
    let highest = all
        .iter()
        .map(|(_, log)| *log)
        .fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = all.iter().map(|(_, log)| (log - highest).exp()).sum();
    let mut marginals = vec![vec![0.0; columns + 1]; rows.len()];
    for (picked, log) in &all {
        for (i, j) in picked.iter().enumerate() {
            marginals[i][*j] += (log - highest).exp() / total;
        }
    }
    marginals
}

/// The restricted likelihood is at its highest: written out with the whole covariance matrix, a step
/// in any direction lowers it. Unbalanced data, no closed form.
#[test]
fn restricted_likelihood_is_at_its_highest() {
    let sessions = vec![
        vec![vec![0.41, 0.43], vec![0.46, 0.45, 0.47], vec![0.40]],
        vec![vec![0.37, 0.36], vec![0.39]],
        vec![vec![0.44, 0.45], vec![0.47, 0.49]],
        vec![vec![0.35]],
    ];
    let found = nested_reml(&sessions).unwrap();
    let at = [
        found.within_paper.unwrap(),
        found.between_papers.unwrap(),
        found.between_sessions,
    ];
    let best = dense_deviance(&sessions, at);
    for k in 0..3 {
        for factor in [0.9, 0.97, 1.03, 1.1] {
            let mut moved = at;
            moved[k] *= factor;
            assert!(
                dense_deviance(&sessions, moved) > best - 1e-9,
                "component {k} times {factor}"
            );
        }
    }
}

/// -2 ln of the restricted likelihood by Gaussian elimination of the full matrix.
fn dense_deviance(sessions: &[Vec<Vec<f64>>], [within, papers, between]: [f64; 3]) -> f64 {
    let mut spots = Vec::new();
    for (s, of_session) in sessions.iter().enumerate() {
        for (p, of_paper) in of_session.iter().enumerate() {
            spots.extend(of_paper.iter().map(|y| (s, p, *y)));
        }
    }
    let n = spots.len();
    // [V | 1 | y], eliminated: ln|V| from the pivots, V⁻¹1 and V⁻¹y from the right
    let mut rows: Vec<Vec<f64>> = (0..n)
        .map(|i| {
            let mut row: Vec<f64> = (0..n)
                .map(|j| {
                    let mut v = 0.0;
                    if spots[i].0 == spots[j].0 {
                        v += between;
                        v += if spots[i].1 == spots[j].1 {
                            papers
                        } else {
                            0.0
                        };
                    }
                    v + if i == j { within } else { 0.0 }
                })
                .collect();
            row.extend([1.0, spots[i].2]);
            row
        })
        .collect();
    let mut log_determinant = 0.0;
    for k in 0..n {
        let pivot = rows[k][k];
        log_determinant += pivot.ln();
        let lead = rows[k].clone();
        for (i, row) in rows.iter_mut().enumerate() {
            let factor = if i == k {
                1.0 - 1.0 / pivot
            } else {
                row[k] / pivot
            };
            for (entry, above) in row.iter_mut().zip(&lead) {
                *entry -= factor * above;
            }
        }
    }
    let ones: f64 = rows.iter().map(|row| row[n]).sum();
    let ys: f64 = rows.iter().map(|row| row[n + 1]).sum();
    let quadratic: f64 = rows
        .iter()
        .zip(&spots)
        .map(|(row, spot)| row[n + 1] * spot.2)
        .sum();
    log_determinant + ones.ln() + quadratic - ys * ys / ones
}
