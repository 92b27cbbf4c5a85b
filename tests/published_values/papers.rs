//! `planar`.

use dyebook_statistics::planar::{self, Anchor, Corrected};
use serde_json::{Value, json};

use crate::case::{Failure, Inputs};
use crate::functions::Run;

pub(crate) const FUNCTIONS: &[(&str, Run)] = &[
    ("planar::retardation_factor", |i| {
        Ok(json!({ "rf": planar::retardation_factor(i.number("distance")?, i.number("front")?)? }))
    }),
    ("planar::retardation_factor_uncertainty", |i| {
        let (d, f) = (i.number("distance")?, i.number("front")?);
        let (u_d, u_f) = (i.number("distance_sd")?, i.number("front_sd")?);
        Ok(json!({ "u": planar::retardation_factor_uncertainty(d, f, u_d, u_f)? }))
    }),
    ("planar::relative_retardation", |i| {
        let ratio = planar::relative_retardation(i.number("spot")?, i.number("standard")?)?;
        Ok(json!({ "ratio": ratio }))
    }),
    ("planar::rm_value", |i| {
        Ok(json!({ "rm": planar::rm_value(i.number("rf")?)? }))
    }),
    ("planar::rf_of_rm", |i| {
        Ok(json!({ "rf": planar::rf_of_rm(i.number("rm")?)? }))
    }),
    ("planar::rf_change_per_rm", |i| {
        Ok(json!({ "slope": planar::rf_change_per_rm(i.number("rf")?)? }))
    }),
    ("planar::resolution", |i| {
        let [d1, d2, w1, w2] = spots(i)?;
        Ok(json!({ "resolution": planar::resolution(d1, d2, w1, w2)? }))
    }),
    ("planar::resolution_at_half_height", |i| {
        let [d1, d2, w1, w2] = spots(i)?;
        Ok(json!({ "resolution": planar::resolution_at_half_height(d1, d2, w1, w2)? }))
    }),
    ("planar::retention_uniformity", spread),
    ("planar::retention_distance", spread),
    ("planar::multispot_response", spread),
    ("planar::smallest_gap", |i| {
        Ok(json!({ "gap": planar::smallest_gap(&i.series("rf")?)? }))
    }),
    ("planar::pairs_not_separated", power),
    ("planar::discriminating_power", power),
    ("planar::mean_list_length", power),
    ("planar::wrong_side_risk", |i| {
        Ok(json!({ "risk": planar::wrong_side_risk(i.number("gap")?, i.number("sd")?)? }))
    }),
    ("planar::correct_by_one", |i| {
        corrected(planar::correct_by_one(anchors(i)?[0], i.number("value")?)?)
    }),
    ("planar::correct_by_two", |i| {
        let ends = anchors(i)?;
        let (value, gap) = (i.number("value")?, i.number("minimum_gap")?);
        corrected(planar::correct_by_two(ends[0], ends[1], value, gap)?)
    }),
    ("planar::correct_by_polygon", |i| {
        let (value, full) = (i.number("value")?, i.number("full_scale")?);
        corrected(planar::correct_by_polygon(
            &anchors(i)?,
            value,
            full,
            i.number("minimum_gap")?,
        )?)
    }),
    ("planar::correction_residual", |i| {
        let pairs: Vec<(f64, f64)> = i
            .table("pairs")?
            .iter()
            .map(|pair| (pair[0], pair[1]))
            .collect();
        Ok(json!({ "rms": planar::correction_residual(&pairs)? }))
    }),
];

fn spots(i: &Inputs<'_>) -> Result<[f64; 4], Failure> {
    let widths = (i.number("first_width")?, i.number("second_width")?);
    Ok([i.number("first")?, i.number("second")?, widths.0, widths.1])
}

fn spread(i: &Inputs<'_>) -> Result<Value, Failure> {
    let rf = i.series("rf")?;
    Ok(json!({
        "uniformity": planar::retention_uniformity(&rf)?,
        "distance": planar::retention_distance(&rf)?,
        "multispot": planar::multispot_response(&rf)?,
    }))
}

fn power(i: &Inputs<'_>) -> Result<Value, Failure> {
    let systems = i.table("systems")?;
    let systems: Vec<&[f64]> = systems.iter().map(Vec::as_slice).collect();
    let window = i.number("window")?;
    Ok(json!({
        "pairs": planar::pairs_not_separated(&systems, window)?,
        "power": planar::discriminating_power(&systems, window)?,
        "list_length": planar::mean_list_length(&systems, window)?,
    }))
}

fn anchors(i: &Inputs<'_>) -> Result<Vec<Anchor>, Failure> {
    let pairs = i
        .series("observed")?
        .into_iter()
        .zip(i.series("reference")?);
    Ok(pairs
        .map(|(observed, reference)| Anchor {
            observed,
            reference,
        })
        .collect())
}

fn corrected(corrected: Corrected) -> Result<Value, Failure> {
    Ok(json!({ "value": corrected.value, "extrapolated": corrected.extrapolated }))
}
