//! `variance_components`, `outliers`.

use dyebook_statistics::variance_components::{self as components, MeanSquare, Nested};
use dyebook_statistics::{outliers, summary};
use serde_json::{Value, json};

use crate::case::{Failure, Inputs};
use crate::functions::Run;

pub(crate) const FUNCTIONS: &[(&str, Run)] = &[
    ("variance_components::one_way", one_way),
    ("variance_components::OneWay::ms_between", one_way),
    ("variance_components::OneWay::ms_within", one_way),
    ("variance_components::OneWay::f", one_way),
    ("variance_components::OneWay::r_squared", one_way),
    ("variance_components::OneWay::between_variance", precision),
    ("variance_components::precision", precision),
    ("variance_components::satterthwaite_df", nested),
    ("variance_components::nested", nested),
    ("variance_components::nested_components", nested),
    ("variance_components::Components::truncated", nested),
    ("variance_components::Components::intermediate_sd", nested),
    ("variance_components::nested_reml", nested),
    ("variance_components::future_spot", future_spot),
    ("variance_components::with_pooled", future_spot),
    ("variance_components::pool", pool),
    ("variance_components::squared_correlation", |i| {
        let squared = components::squared_correlation(&i.table("deviations")?, i.number("df")?)?;
        Ok(json!({ "squared_correlation": squared }))
    }),
    ("outliers::grubbs_critical", |i| {
        let side = match i.count("sides")? {
            1 => outliers::Side::High,
            _ => outliers::Side::Both,
        };
        let critical = outliers::grubbs_critical(i.count("n")?, i.number("alpha")?, side)?;
        Ok(json!({ "critical": critical }))
    }),
    ("outliers::grubbs_test", grubbs),
    ("outliers::Grubbs::stands_apart", grubbs),
    ("outliers::cochran_critical", |i| {
        let (groups, values) = (i.count("groups")?, i.count("values")?);
        let critical = outliers::cochran_critical(groups, values, i.number("alpha")?)?;
        Ok(json!({ "critical": critical }))
    }),
    ("outliers::cochran_statistic", laboratories),
    ("outliers::cochran_test", laboratories),
    ("outliers::Cochran::stands_apart", laboratories),
    ("outliers::mandel_h", laboratories),
    ("outliers::mandel_k", laboratories),
    ("outliers::mandel_h_critical", |i| {
        let critical = outliers::mandel_h_critical(i.count("groups")?, i.number("alpha")?)?;
        Ok(json!({ "critical": critical }))
    }),
    ("outliers::mandel_k_critical", |i| {
        let (groups, values) = (i.count("groups")?, i.count("values")?);
        let critical = outliers::mandel_k_critical(groups, values, i.number("alpha")?)?;
        Ok(json!({ "critical": critical }))
    }),
];

fn one_way(i: &Inputs<'_>) -> Result<Value, Failure> {
    let table = components::one_way(&i.table("groups")?)?;
    Ok(json!({
        "df_between": table.df_between, "df_within": table.df_within,
        "ss_between": table.ss_between, "ss_within": table.ss_within,
        "ms_between": table.ms_between(), "ms_within": table.ms_within(), "f": table.f(),
        "r_squared": table.r_squared(), "residual_sd": table.ms_within().sqrt(),
    }))
}

fn precision(i: &Inputs<'_>) -> Result<Value, Failure> {
    let trial = components::precision(&i.table("groups")?)?;
    let table = trial.table;
    Ok(json!({
        "mean": table.mean, "ms_between": table.ms_between(), "ms_within": table.ms_within(),
        "f": table.f(), "n0": table.values_per_group,
        "between_variance_untruncated": table.between_variance(),
        "s_r": trial.repeatability_sd, "s_L": trial.between_sd, "s_R": trial.reproducibility_sd,
        "satterthwaite_df_of_s_R_squared_untruncated": trial.reproducibility_df,
    }))
}

fn nested(i: &Inputs<'_>) -> Result<Value, Failure> {
    let sessions = i.tables("sessions")?;
    let table = components::nested(&sessions)?;
    let parts = components::nested_components(&table);
    let mut got = json!({
        "centre": table.centre,
        "ms_sessions_times_4": 4.0 * table.sessions.value,
        "ms_papers_times_2": 2.0 * table.papers.value,
        "ms_spots": table.spots.value,
        "between_sessions": parts.between_sessions,
        "between_papers": parts.between_papers,
        "within_paper": parts.within_paper,
        "truncated_between_sessions": parts.truncated().between_sessions,
        "intermediate_sd": parts.intermediate_sd(),
    });
    if table.papers.df > 0.0 {
        // total variance of one value: σ²_S + σ²_P + σ²_w of a design with two papers and two spots
        let total = [
            (1.0, table.sessions),
            (0.5, table.papers),
            (0.5, table.spots),
        ];
        let likelihood = components::nested_reml(&sessions)?;
        got["df_total"] = json!(components::satterthwaite_df(&total)?);
        got["reml_between_sessions"] = json!(likelihood.between_sessions);
        got["reml_between_papers"] = json!(likelihood.between_papers);
        got["reml_within_paper"] = json!(likelihood.within_paper);
    }
    Ok(got)
}

fn future_spot(i: &Inputs<'_>) -> Result<Value, Failure> {
    let mut table = components::nested(&i.tables("sessions")?)?;
    if i.has("pooled_sd") {
        let none = MeanSquare {
            value: 0.0,
            df: 0.0,
        };
        let sessions = MeanSquare {
            value: i.number("pooled_sd")?.powi(2),
            df: i.number("pooled_df")?,
        };
        let pooled = components::Pooled {
            sessions,
            papers: none,
            spots: none,
        };
        table = components::with_pooled(&table, &pooled);
    }
    let range = components::future_spot(&table, i.number("level")?)?;
    Ok(json!({ "half_width": range.half_width, "df": range.df, "centre": range.centre }))
}

fn pool(i: &Inputs<'_>) -> Result<Value, Failure> {
    // tables whose mean square of sessions is the one given; the other levels are empty
    let single = components::nested(&[vec![vec![0.0]], vec![vec![1.0]]])?;
    let squares = i.series("ms")?.into_iter().zip(i.series("df")?);
    let dyes: Vec<Nested> = squares
        .map(|(value, df)| Nested {
            sessions: MeanSquare { value, df },
            ..single
        })
        .collect();
    let pooled = components::pool(&dyes, [i.number("shared")?, 0.0, 0.0])?;
    Ok(json!({ "value": pooled.sessions.value, "df": pooled.sessions.df }))
}

fn grubbs(i: &Inputs<'_>) -> Result<Value, Failure> {
    let side = match i.text("side")? {
        "high" => outliers::Side::High,
        "low" => outliers::Side::Low,
        _ => outliers::Side::Both,
    };
    let test = outliers::grubbs_test(&i.series("data")?, i.number("alpha")?, side)?;
    Ok(json!({
        "statistic": test.statistic, "critical": test.critical, "index": test.index,
        "stands_apart": test.stands_apart(),
    }))
}

fn laboratories(i: &Inputs<'_>) -> Result<Value, Failure> {
    let groups = i.table("groups")?;
    let mut means = Vec::new();
    let mut sds = Vec::new();
    for group in &groups {
        means.push(summary::mean(group)?);
        sds.push(summary::standard_deviation(group)?);
    }
    let test = outliers::cochran_test(&groups, 0.05)?;
    let c = outliers::cochran_statistic(&sds)?;
    if (test.statistic - c).abs() > 1e-12 || test.stands_apart() != (c > test.critical) {
        return Err("the test and its statistic disagree".into());
    }
    Ok(json!({ "h": outliers::mandel_h(&means)?, "k": outliers::mandel_k(&sds)?, "c": c }))
}
