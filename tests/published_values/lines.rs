//! `least_squares`.

use dyebook_statistics::least_squares::{self, Line};
use dyebook_statistics::planar::rm_value;
use serde_json::{Value, json};

use crate::case::{Failure, Inputs};
use crate::functions::Run;

pub(crate) const FUNCTIONS: &[(&str, Run)] = &[
    ("least_squares::linear_model", linear_model),
    ("least_squares::LinearModel::r_squared", linear_model),
    ("least_squares::LinearModel::f", linear_model),
    ("least_squares::line", line),
    ("least_squares::Line::predict", weighted),
    ("least_squares::Line::scaled", weighted),
    ("least_squares::weighted_line", weighted),
    ("least_squares::Line::inverse", inverse),
    ("least_squares::york_line", york),
];

fn linear_model(i: &Inputs<'_>) -> Result<Value, Failure> {
    let x = i.series("x")?;
    let columns: Vec<Vec<f64>> = i
        .series("powers")?
        .into_iter()
        .map(|power| x.iter().map(|x| x.powf(power)).collect())
        .collect();
    let model = least_squares::linear_model(&columns, &i.series("y")?)?;
    Ok(json!({
        "coefficients": model.coefficients, "standard_errors": model.standard_errors,
        "residual_sd": model.residual_sd, "df_regression": model.df_regression,
        "df_residual": model.df_residual, "ss_regression": model.ss_regression,
        "ss_residual": model.ss_residual, "r_squared": model.r_squared(), "f": model.f(),
    }))
}

fn line(i: &Inputs<'_>) -> Result<Value, Failure> {
    let y = if i.has("rf") {
        i.series("rf")?
            .into_iter()
            .map(rm_value)
            .collect::<Result<Vec<f64>, _>>()?
    } else {
        i.series("y")?
    };
    let fit = least_squares::line(&i.series("x")?, &y)?;
    let at = fit.predict(if i.has("at") { i.number("at")? } else { 0.0 });
    Ok(json!({
        "intercept": fit.intercept, "slope": fit.slope, "u_intercept": fit.u_intercept,
        "u_slope": fit.u_slope, "r": fit.covariance / (fit.u_intercept * fit.u_slope),
        "r_squared": fit.r_squared, "fit": at.value, "u_fit": at.u,
    }))
}

fn weighted_fit(i: &Inputs<'_>) -> Result<Line, Failure> {
    Ok(least_squares::weighted_line(
        &i.series("x")?,
        &i.series("y")?,
        &i.series("u")?,
    )?)
}

fn weighted(i: &Inputs<'_>) -> Result<Value, Failure> {
    let fit = weighted_fit(i)?;
    let scaled = fit.scaled();
    let at = i.series("at")?;
    let all = |of: &dyn Fn(f64) -> f64| at.iter().map(|x| of(*x)).collect::<Vec<f64>>();
    Ok(json!({
        "intercept": fit.intercept, "slope": fit.slope, "u_intercept": fit.u_intercept,
        "u_slope": fit.u_slope, "covariance": fit.covariance, "chi_square": fit.chi_square,
        "df": fit.df, "r_squared": fit.r_squared, "scaled_u_intercept": scaled.u_intercept,
        "scaled_u_slope": scaled.u_slope, "fit": all(&|x| fit.predict(x).value),
        "u_fit": all(&|x| fit.predict(x).u), "scaled_u_fit": all(&|x| scaled.predict(x).u),
    }))
}

fn inverse(i: &Inputs<'_>) -> Result<Value, Failure> {
    let fit = weighted_fit(i)?;
    let (mut x0, mut u_x0) = (Vec::new(), Vec::new());
    for (y, u) in i
        .series("readings")?
        .into_iter()
        .zip(i.series("u_readings")?)
    {
        let found = fit.inverse(y, u)?;
        x0.push(found.value);
        u_x0.push(found.u);
    }
    Ok(json!({ "x0": x0, "u_x0": u_x0 }))
}

fn york(i: &Inputs<'_>) -> Result<Value, Failure> {
    let (x, y) = (i.series("x")?, i.series("y")?);
    let fit = least_squares::york_line(&x, &y, &i.series("u_x")?, &i.series("u_y")?)?;
    Ok(json!({
        "intercept": fit.intercept, "slope": fit.slope, "u_intercept": fit.u_intercept,
        "u_slope": fit.u_slope, "chi_square": fit.chi_square, "covariance": fit.covariance,
        "reduced_chi_square": fit.chi_square / fit.df,
    }))
}
