//! `equivalence`, `control_charts`, `calibration`.

use dyebook_statistics::calibration::{self, CoverageLimits, ReliabilityBin};
use dyebook_statistics::control_charts::{self, ChartError, ChartLimits, Direction, RunRule};
use dyebook_statistics::equivalence::{self, Design, Equivalence};
use serde_json::{Value, json};

use crate::case::{Failure, Inputs};
use crate::functions::Run;

pub(crate) const FUNCTIONS: &[(&str, Run)] = &[
    ("equivalence::unpaired_half_width", |i| {
        let (first, second) = (i.count("first")?, i.count("second")?);
        let (sd, level) = (i.number("sd")?, i.number("level")?);
        let half_width = equivalence::unpaired_half_width(sd, first, second, level)?;
        Ok(json!({ "half_width": half_width }))
    }),
    ("equivalence::paired_half_width", |i| {
        let (sd, level) = (i.number("sd")?, i.number("level")?);
        let half_width = equivalence::paired_half_width(sd, i.count("papers")?, level)?;
        Ok(json!({ "half_width": half_width }))
    }),
    ("equivalence::papers_needed", papers_needed),
    ("equivalence::unpaired_equivalence", unpaired),
    ("equivalence::paired_equivalence", paired),
    ("equivalence::Equivalence::equivalent", paired),
    ("equivalence::Equivalence::different", paired),
    ("control_charts::chart_constants", constants),
    ("control_charts::individuals_limits", |i| {
        limits(control_charts::individuals_limits(&i.series("data")?)?)
    }),
    ("control_charts::mean_limits_from_ranges", |i| {
        of_samples(i, control_charts::mean_limits_from_ranges)
    }),
    ("control_charts::mean_limits_from_sds", |i| {
        of_samples(i, control_charts::mean_limits_from_sds)
    }),
    ("control_charts::range_limits", |i| {
        of_samples(i, control_charts::range_limits)
    }),
    ("control_charts::sd_limits", |i| {
        of_samples(i, control_charts::sd_limits)
    }),
    ("control_charts::reference_limits", |i| {
        limits(control_charts::reference_limits(
            i.number("centre")?,
            i.number("sd")?,
        )?)
    }),
    ("control_charts::run_signals", run_signals),
    ("calibration::brier_score", binary),
    ("calibration::log_loss", binary),
    ("calibration::reliability_table", binary),
    ("calibration::expected_calibration_error", binary),
    ("calibration::maximum_calibration_error", binary),
    ("calibration::many_classes", many_classes),
    ("calibration::exact_coverage_limits", |i| {
        let (inside, trials) = (i.count("inside")? as u64, i.count("trials")? as u64);
        share(calibration::exact_coverage_limits(
            inside,
            trials,
            i.number("level")?,
        )?)
    }),
    ("calibration::wilson_coverage_limits", |i| {
        let (inside, trials) = (i.count("inside")? as u64, i.count("trials")? as u64);
        share(calibration::wilson_coverage_limits(
            inside,
            trials,
            i.number("level")?,
        )?)
    }),
];

fn papers_needed(i: &Inputs<'_>) -> Result<Value, Failure> {
    let design = if i.text("design")? == "paired" {
        Design::Paired
    } else {
        Design::Unpaired
    };
    let (sd, limit, difference) = (i.number("sd")?, i.number("limit")?, i.number("difference")?);
    let (risk, power) = (i.number("risk")?, i.number("power")?);
    let papers = equivalence::papers_needed(design, sd, limit, difference, risk, power)?;
    Ok(json!({ "papers": papers }))
}

fn outcome(test: &Equivalence) -> Result<Value, Failure> {
    Ok(json!({
        "difference": test.difference, "half_width": test.half_width,
        "equivalent": test.equivalent(), "different": test.different(),
    }))
}

fn unpaired(i: &Inputs<'_>) -> Result<Value, Failure> {
    let (first, second) = (i.series("first")?, i.series("second")?);
    let (limit, risk) = (i.number("limit")?, i.number("risk")?);
    outcome(&equivalence::unpaired_equivalence(
        &first, &second, limit, risk,
    )?)
}

fn paired(i: &Inputs<'_>) -> Result<Value, Failure> {
    let (limit, risk) = (i.number("limit")?, i.number("risk")?);
    outcome(&equivalence::paired_equivalence(
        &i.series("differences")?,
        limit,
        risk,
    )?)
}

fn constants(i: &Inputs<'_>) -> Result<Value, Failure> {
    let c = control_charts::chart_constants(i.count("n")?)?;
    Ok(json!({
        "d2": c.d2, "d3": c.d3, "c4": c.c4, "A2": c.a2, "A3": c.a3, "B3": c.b3, "B4": c.b4,
        "D3": c.range_low, "D4": c.range_high, "E2": c.e2,
    }))
}

fn limits(chart: ChartLimits) -> Result<Value, Failure> {
    Ok(json!({
        "centre": chart.centre, "lower": chart.lower, "upper": chart.upper,
        "lower_warning": chart.lower_warning, "upper_warning": chart.upper_warning,
    }))
}

fn of_samples(
    i: &Inputs<'_>,
    of: fn(&[Vec<f64>]) -> Result<ChartLimits, ChartError>,
) -> Result<Value, Failure> {
    limits(of(&i.table("samples")?)?)
}

fn run_signals(i: &Inputs<'_>) -> Result<Value, Failure> {
    let (centre, sd) = (i.number("centre")?, i.number("sd")?);
    let signals =
        control_charts::run_signals(&i.series("data")?, centre, sd, i.count("one_side")?)?;
    let rows: Vec<Value> = signals
        .iter()
        .map(|signal| {
            let rule = match signal.rule {
                RunRule::BeyondAction => "beyond_action",
                RunRule::TwoOfThreeBeyondWarning => "two_of_three",
                RunRule::FourOfFiveBeyondOneSd => "four_of_five",
                RunRule::OneSide => "one_side",
                RunRule::Trend => "trend",
            };
            let way = if signal.direction == Direction::Up {
                "up"
            } else {
                "down"
            };
            json!([signal.index, rule, way, signal.length])
        })
        .collect();
    Ok(json!({ "signals": rows }))
}

fn binary(i: &Inputs<'_>) -> Result<Value, Failure> {
    let happened: Vec<bool> = i.series("y")?.iter().map(|y| *y > 0.5).collect();
    let p = i.series("p")?;
    let five = calibration::reliability_table(&happened, &p, 5)?;
    let ten = calibration::reliability_table(&happened, &p, 10)?;
    let row =
        |bin: &ReliabilityBin| json!([bin.count, bin.mean_probability, bin.observed_frequency]);
    Ok(json!({
        "brier": calibration::brier_score(&happened, &p)?,
        "log_loss_nats": calibration::log_loss(&happened, &p)?,
        "bins_5": five.iter().map(row).collect::<Vec<Value>>(),
        "ece_5_bins": calibration::expected_calibration_error(&five)?,
        "mce_5_bins": calibration::maximum_calibration_error(&five)?,
        "ece_10_bins": calibration::expected_calibration_error(&ten)?,
    }))
}

fn many_classes(i: &Inputs<'_>) -> Result<Value, Failure> {
    let mut happened = Vec::new();
    for class in crate::case::array(i.get("y")?)? {
        happened.push(usize::try_from(
            class.as_u64().ok_or("a class is no number")?,
        )?);
    }
    let scores = calibration::many_classes(&happened, &i.table("p")?, i.count("bins")?)?;
    Ok(json!({
        "log_loss": scores.log_loss, "brier": scores.brier, "top_accuracy": scores.top_accuracy,
        "top_calibration_error": scores.top_calibration_error,
        "top_largest_gap": scores.top_largest_gap,
    }))
}

fn share(limits: CoverageLimits) -> Result<Value, Failure> {
    Ok(json!({ "low": limits.low, "high": limits.high }))
}
