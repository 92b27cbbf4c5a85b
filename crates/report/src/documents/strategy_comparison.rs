//! Strategies beside each other: where they differ, how often they err, whether their
//! probabilities can be believed. Each method version has its own tables and plot.

use crate::drawings::calibration_plot::calibration_plot;
use crate::drawings::marker::Shape;
use crate::page::{Fact, Page};
use crate::parts::body::{Body, Table};
use crate::words::{decimals, range};
use dyebook_documents::Range;

/// The comparison of strategies on the same sheets.
#[derive(Debug, Clone, PartialEq)]
pub struct StrategyComparison {
    /// The sheets in words, e.g. `48 sheets of saline-paper@1.2.0`.
    pub sheets: String,
    /// Strategies with version and digest, in order.
    pub strategies: Vec<String>,
    /// The method versions, each with its own figures.
    pub versions: Vec<VersionComparison>,
    /// What must be known with all of it.
    pub notes: Vec<String>,
    /// Whether the data is invented.
    pub demo: bool,
    /// Program and version.
    pub program: String,
}

/// The comparison on the sheets of one method version.
#[derive(Debug, Clone, PartialEq)]
pub struct VersionComparison {
    /// `id@version`.
    pub method: String,
    /// The sheets in words, e.g. `48 sheets, 192 sample lanes, 310 spots`.
    pub covers: String,
    /// Error rates where the truth is recorded.
    pub rates: Vec<RateLine>,
    /// Verdicts on which they differ.
    pub differences: Vec<DifferenceLine>,
    /// How believable the probabilities are, for strategies that give any.
    pub calibration: Vec<CalibrationSeries>,
    /// What must be known with these figures.
    pub notes: Vec<String>,
}

/// Error rates of one strategy; numbers as text, e.g. `3 of 120 (2.5 %)`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RateLine {
    /// Strategy.
    pub strategy: String,
    /// Spots with a known truth.
    pub judged: String,
    /// Right answers.
    pub right: String,
    /// Wrong names.
    pub wrong: String,
    /// Honest "can't tell".
    pub undecided: String,
    /// Dyes that were there and not found.
    pub missed: String,
}

/// One verdict on which strategies differ.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DifferenceLine {
    /// Sheet, paper, lane, spot.
    pub place: String,
    /// What is known to be there; empty where it isn't known.
    pub truth: String,
    /// Answer of each strategy, in the order of `strategies`.
    pub answers: Vec<String>,
}

/// Whether the probabilities of one strategy can be believed.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationSeries {
    /// Strategy.
    pub strategy: String,
    /// Bins of stated probability.
    pub bins: Vec<CalibrationBin>,
    /// Summary in a sentence, e.g. a Brier score with its meaning.
    pub summary: String,
}

/// Answers whose stated probability lies in one bin.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationBin {
    /// Stated probabilities of the bin.
    pub stated: Range,
    /// How many answers.
    pub count: u32,
    /// Mean stated probability.
    pub mean_stated: f64,
    /// Share of them that was right.
    pub share_right: f64,
    /// Interval of that share, where known.
    pub interval: Option<Range>,
}

/// The comparison as a page.
pub fn strategy_comparison(comparison: &StrategyComparison) -> String {
    let mut sections = Vec::new();
    if !comparison.notes.is_empty() {
        let body = Body::default().list(&comparison.notes);
        sections.push(body.section("to-know", "What must be known with it"));
    }
    for (number, version) in (1..).zip(&comparison.versions) {
        let id = |what: &str| format!("{what}-{number}");
        let heading = |what: &str| format!("{}: {what}", version.method);
        sections.push(rates(version).section(&id("rates"), &heading("how often they err")));
        sections.push(
            differences(version, &comparison.strategies)
                .section(&id("differences"), &heading("where they differ")),
        );
        if !version.calibration.is_empty() {
            sections.push(calibration(version, &id("plot")).section(
                &id("calibration"),
                &heading("can the probabilities be believed?"),
            ));
        }
    }
    Page {
        kicker: "Comparison of strategies".to_owned(),
        heading: comparison.sheets.clone(),
        marks: vec![],
        demo: comparison.demo,
        facts: (1..)
            .zip(&comparison.strategies)
            .map(|(n, strategy)| Fact::new(&format!("Strategy {n}"), strategy.as_str()))
            .collect(),
        sections,
        stamp: format!("Strategies compared: {}", comparison.strategies.join(", ")),
        program: comparison.program.clone(),
    }
    .html()
}

fn rates(comparison: &VersionComparison) -> Body {
    let mut body = Body::default().paragraph(&comparison.covers);
    for note in &comparison.notes {
        body = body.note(note);
    }
    if comparison.rates.is_empty() {
        return body.paragraph("The truth is recorded for none of these sheets.");
    }
    let head = &[
        "Strategy",
        "Judged",
        "Right",
        "Wrong name",
        "Can't tell",
        "Missed",
    ];
    body.table(
        &Table::new("Where the truth is recorded", head).rows(comparison.rates.iter().map(
            |rate| {
                vec![
                    rate.strategy.clone(),
                    rate.judged.clone(),
                    rate.right.clone(),
                    rate.wrong.clone(),
                    rate.undecided.clone(),
                    rate.missed.clone(),
                ]
            },
        )),
    )
}

fn differences(comparison: &VersionComparison, strategies: &[String]) -> Body {
    if comparison.differences.is_empty() {
        return Body::default().paragraph("They agree on every spot.");
    }
    let mut head = vec!["Spot", "Known to be there"];
    head.extend(strategies.iter().map(String::as_str));
    Body::default().table(
        &Table::new("Every verdict on which they differ", &head).rows(
            comparison.differences.iter().map(|line| {
                let truth = if line.truth.is_empty() {
                    "not recorded"
                } else {
                    &line.truth
                };
                let mut row = vec![line.place.clone(), truth.to_owned()];
                row.extend(line.answers.iter().cloned());
                row
            }),
        ),
    )
}

/// A mean or share, where there is anything to take it of.
fn of_some(bin: &CalibrationBin, value: f64) -> String {
    if bin.count == 0 {
        "none".to_owned()
    } else {
        decimals(value, 2)
    }
}

fn calibration(comparison: &VersionComparison, plot: &str) -> Body {
    let shapes: Vec<String> = comparison
        .calibration
        .iter()
        .enumerate()
        .map(|(index, series)| format!("{} is a {}", series.strategy, Shape::of(index).name()))
        .collect();
    let caption = format!(
        "Share of right answers against the probability that was stated. On the dashed line \
         probabilities mean what they say; below it they promise too much. An upright stroke is \
         the interval of the share. {}.",
        shapes.join("; ")
    );
    let head = &[
        "Strategy",
        "Stated",
        "Answers",
        "Mean stated",
        "Share right",
        "Interval",
    ];
    let table = Table::new("Stated probability and share of right answers", head).rows(
        comparison.calibration.iter().flat_map(|series| {
            series.bins.iter().map(|bin| {
                let interval = bin.interval.map_or_else(|| "not known".to_owned(), range);
                vec![
                    series.strategy.clone(),
                    range(bin.stated),
                    bin.count.to_string(),
                    of_some(bin, bin.mean_stated),
                    of_some(bin, bin.share_right),
                    interval,
                ]
            })
        }),
    );
    let summaries: Vec<String> = comparison
        .calibration
        .iter()
        .filter(|series| !series.summary.is_empty())
        .map(|series| format!("{}: {}", series.strategy, series.summary))
        .collect();
    Body::default()
        .list(&summaries)
        .figure(&calibration_plot(plot, &comparison.calibration), &caption)
        .table(&table)
}
