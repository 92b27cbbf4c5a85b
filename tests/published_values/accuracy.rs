//! `summary`, `distribution`, `intervals`, `uncertainty`.

use dyebook_statistics::{distribution, intervals, summary, uncertainty};
use serde_json::{Value, json};

use crate::case::{Failure, Inputs, array, numbers};
use crate::functions::Run;

pub(crate) const FUNCTIONS: &[(&str, Run)] = &[
    ("summary::mean", series),
    ("summary::standard_deviation", series),
    ("summary::median", series),
    ("summary::robust_sd", series),
    ("summary::compensated_sum", sum),
    ("summary::pooled_sd", pooled_sd),
    ("distribution::normal_cdf", |i| {
        value(distribution::normal_cdf(i.number("x")?))
    }),
    ("distribution::normal_quantile", |i| {
        Ok(json!({ "z": distribution::normal_quantile(i.number("p")?)? }))
    }),
    ("distribution::student_t_cdf", |i| {
        value(distribution::student_t_cdf(
            i.number("x")?,
            i.number("df")?,
        )?)
    }),
    ("distribution::student_t_quantile", |i| {
        quantile(distribution::student_t_quantile(
            i.number("p")?,
            i.number("df")?,
        )?)
    }),
    ("distribution::student_t_log_density", |i| {
        value(distribution::student_t_log_density(
            i.number("x")?,
            i.number("df")?,
        )?)
    }),
    ("distribution::chi_square_survival", |i| {
        value(distribution::chi_square_survival(
            i.number("x")?,
            i.number("df")?,
        )?)
    }),
    ("distribution::chi_square_quantile", |i| {
        quantile(distribution::chi_square_quantile(
            i.number("p")?,
            i.number("df")?,
        )?)
    }),
    ("distribution::f_survival", |i| {
        let (df1, df2) = (i.number("df1")?, i.number("df2")?);
        value(distribution::f_survival(i.number("x")?, df1, df2)?)
    }),
    ("distribution::f_quantile", |i| {
        let (df1, df2) = (i.number("df1")?, i.number("df2")?);
        quantile(distribution::f_quantile(i.number("p")?, df1, df2)?)
    }),
    ("intervals::tolerance_factor", |i| {
        let (n, df) = (i.number("n")?, i.number("df")?);
        let (coverage, confidence) = (i.number("coverage")?, i.number("confidence")?);
        factor(intervals::tolerance_factor(n, df, coverage, confidence)?)
    }),
    ("intervals::howe_tolerance_factor", |i| {
        one_size(i, intervals::howe_tolerance_factor)
    }),
    ("intervals::one_sided_tolerance_factor", |i| {
        one_size(i, intervals::one_sided_tolerance_factor)
    }),
    ("intervals::natrella_tolerance_factor", |i| {
        one_size(i, intervals::natrella_tolerance_factor)
    }),
    ("intervals::prediction_factor", |i| {
        factor(intervals::prediction_factor(
            i.number("n")?,
            i.number("level")?,
        )?)
    }),
    ("uncertainty::combined_uncertainty", combined),
    ("uncertainty::welch_satterthwaite", combined),
    ("uncertainty::correlation", resistance),
    ("uncertainty::ratio_uncertainty", ratio),
    (
        "uncertainty::shared_origin_ratio_uncertainty",
        shared_origin,
    ),
    ("uncertainty::half_width_uncertainty", half_width),
    ("uncertainty::weighted_mean", weighted_mean),
    ("uncertainty::random_effects_mean", weighted_mean),
    ("uncertainty::WeightedMean::birge_ratio", weighted_mean),
    ("uncertainty::WeightedMean::u_external", weighted_mean),
];

fn value(value: f64) -> Result<Value, Failure> {
    Ok(json!({ "value": value }))
}

fn quantile(value: f64) -> Result<Value, Failure> {
    Ok(json!({ "quantile": value }))
}

fn factor(k: f64) -> Result<Value, Failure> {
    Ok(json!({ "k": k }))
}

fn one_size(
    i: &Inputs<'_>,
    of: fn(f64, f64, f64) -> Result<f64, intervals::IntervalError>,
) -> Result<Value, Failure> {
    factor(of(
        i.number("n")?,
        i.number("coverage")?,
        i.number("confidence")?,
    )?)
}

fn series(i: &Inputs<'_>) -> Result<Value, Failure> {
    let data = i.series("data")?;
    Ok(json!({
        "mean": summary::mean(&data)?,
        "sd": summary::standard_deviation(&data)?,
        "median": summary::median(&data)?,
        "robust_sd": summary::robust_sd(&data)?,
    }))
}

fn sum(i: &Inputs<'_>) -> Result<Value, Failure> {
    Ok(json!({ "sum": summary::compensated_sum(i.series("data")?) }))
}

fn pooled_sd(i: &Inputs<'_>) -> Result<Value, Failure> {
    Ok(json!({ "pooled_sd": summary::pooled_sd(&i.series("sds")?, &i.series("df")?)? }))
}

fn combined(i: &Inputs<'_>) -> Result<Value, Failure> {
    if i.has("V") {
        return resistance(i);
    }
    let parts = array(i.get("parts")?)?
        .iter()
        .map(numbers)
        .collect::<Result<Vec<_>, _>>()?;
    let contributions: Vec<f64> = parts.iter().map(|part| part[0]).collect();
    let pairs: Vec<(f64, f64)> = parts.iter().map(|part| (part[0], part[1])).collect();
    let df = uncertainty::welch_satterthwaite(&pairs)?;
    Ok(json!({ "u": uncertainty::combined_uncertainty(&contributions, &[])?, "df": df }))
}

/// Resistance, reactance and impedance of JCGM 100:2008 H.2, by the functions under test.
fn resistance(i: &Inputs<'_>) -> Result<Value, Failure> {
    let readings = [i.series("V")?, i.series("I")?, i.series("phi")?];
    let mut means = [0.0; 3];
    let mut u = [0.0; 3];
    for (k, series) in readings.iter().enumerate() {
        means[k] = summary::mean(series)?;
        u[k] =
            summary::standard_deviation(series)? / f64::from(u32::try_from(series.len())?).sqrt();
    }
    let mut correlations = vec![vec![1.0; 3]; 3];
    for (a, b) in [(0, 1), (0, 2), (1, 2)] {
        correlations[a][b] = uncertainty::correlation(&readings[a], &readings[b])?;
        correlations[b][a] = correlations[a][b];
    }
    let [v, current, phi] = means;
    let z = v / current;
    let (r, x) = (z * phi.cos(), z * phi.sin());
    let combine = |sensitivities: [f64; 3]| {
        let parts: Vec<f64> = sensitivities.iter().zip(u).map(|(c, u)| c * u).collect();
        uncertainty::combined_uncertainty(&parts, &correlations)
    };
    Ok(json!({
        "R": r, "u_R": combine([r / v, -r / current, -x])?,
        "X": x, "u_X": combine([x / v, -x / current, r])?,
        "Z": z, "u_Z": combine([z / v, -z / current, 0.0])?,
        "r_VI": correlations[0][1], "r_Vphi": correlations[0][2], "r_Iphi": correlations[1][2],
    }))
}

fn ratio(i: &Inputs<'_>) -> Result<Value, Failure> {
    let (a, b) = (i.number("a")?, i.number("b")?);
    let u =
        uncertainty::ratio_uncertainty(a, i.number("u_a")?, b, i.number("u_b")?, i.number("r")?)?;
    Ok(json!({ "ratio": a / b, "u_ratio": u }))
}

fn shared_origin(i: &Inputs<'_>) -> Result<Value, Failure> {
    let at = [i.number("spot")?, i.number("origin")?, i.number("front")?];
    let u = [
        i.number("u_spot")?,
        i.number("u_origin")?,
        i.number("u_front")?,
    ];
    Ok(json!({
        "ratio": (at[0] - at[1]) / (at[2] - at[1]),
        "u": uncertainty::shared_origin_ratio_uncertainty(at, u)?,
    }))
}

fn half_width(i: &Inputs<'_>) -> Result<Value, Failure> {
    let shape = match i.text("shape")? {
        "uniform" => uncertainty::Shape::Uniform,
        "triangular" => uncertainty::Shape::Triangular,
        "arcsine" => uncertainty::Shape::Arcsine,
        other => return Err(format!("no shape `{other}`").into()),
    };
    Ok(json!({ "u": uncertainty::half_width_uncertainty(shape, i.number("half_width")?)? }))
}

fn weighted_mean(i: &Inputs<'_>) -> Result<Value, Failure> {
    let (values, u) = (i.series("values")?, i.series("u")?);
    let fixed = uncertainty::weighted_mean(&values, &u)?;
    let random = uncertainty::random_effects_mean(&values, &u)?;
    Ok(json!({
        "mean": fixed.mean, "u_internal": fixed.u_internal, "chi_square": fixed.chi_square,
        "df": fixed.df, "birge_ratio": fixed.birge_ratio(), "u_external": fixed.u_external(),
        "between_variance": random.between_variance, "random_mean": random.mean,
        "random_u": random.u,
    }))
}
