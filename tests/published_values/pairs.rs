//! `matching`.

use dyebook_statistics::matching::{self, Choice};
use serde_json::{Value, json};

use crate::case::{Failure, Inputs};
use crate::functions::Run;

pub(crate) const FUNCTIONS: &[(&str, Run)] = &[
    ("matching::assignment", |i| {
        best(&matching::assignment(&i.table("cost")?)?)
    }),
    ("matching::assignment_or_none", |i| {
        best(&matching::assignment_or_none(
            &i.table("cost")?,
            &i.series("cost_of_none")?,
        )?)
    }),
    ("matching::one_to_one_marginals", one_to_one),
    ("matching::choice_marginals", by_choices),
];

fn best(found: &matching::Assignment) -> Result<Value, Failure> {
    Ok(json!({ "total": found.total, "column_of_row": found.column_of_row }))
}

fn logarithms(weights: &[f64]) -> Vec<f64> {
    weights.iter().map(|weight| weight.ln()).collect()
}

fn one_to_one(i: &Inputs<'_>) -> Result<Value, Failure> {
    let weights: Vec<Vec<f64>> = i
        .table("weights")?
        .iter()
        .map(|row| logarithms(row))
        .collect();
    let none = logarithms(&i.series("weight_of_none")?);
    let found = matching::one_to_one_marginals(&weights, &none)?;
    Ok(json!({
        "total_weight": found.ln_total.exp(),
        "row_marginals_last_column_none": found.rows,
        "column_used_probability": found.column_used,
    }))
}

/// The same problem as choices: column `j` is thing `j`, none takes nothing.
fn by_choices(i: &Inputs<'_>) -> Result<Value, Failure> {
    let none = i.series("weight_of_none")?;
    let choices: Vec<Vec<Choice>> = i
        .table("weights")?
        .iter()
        .zip(&none)
        .map(|(row, none)| {
            let column = row.iter().enumerate();
            let mut options: Vec<Choice> = column
                .map(|(j, weight)| Choice {
                    takes: 1 << j,
                    log_weight: weight.ln(),
                })
                .collect();
            options.push(Choice {
                takes: 0,
                log_weight: none.ln(),
            });
            options
        })
        .collect();
    let found = matching::choice_marginals(&choices, |_set| 0.0)?;
    let used = |j: usize| {
        let with = found.sets.iter().filter(|(set, _)| set & (1 << j) != 0);
        with.map(|(_, probability)| probability).sum::<f64>()
    };
    let columns = i.table("weights")?.first().map_or(0, Vec::len);
    Ok(json!({
        "total_weight": found.ln_total.exp(),
        "row_marginals_last_column_none": found.rows,
        "column_used_probability": (0..columns).map(used).collect::<Vec<f64>>(),
    }))
}
