//! The comparison of strategies as a page.

use crate::strategy_compare::{
    ComparedOnVersion, ComparedStrategies, ComparedStrategy, Difference,
};
use crate::strategy_compare_score::Scores;
use crate::strategy_compare_words::share_words;
use dyebook_documents::{Range, StrategyStamp, counted, show_rf};
use dyebook_report::{
    CalibrationBin, CalibrationSeries, DifferenceLine, RateLine, StrategyComparison,
    VersionComparison, strategy_comparison,
};

/// Differences shown on a page: more of them nobody reads, and a file grows without end.
const MOST_DIFFERENCES: usize = 500;

/// The comparison as a page with a calibration plot for each method version.
pub fn strategy_comparison_page(compared: &ComparedStrategies) -> String {
    strategy_comparison(&StrategyComparison {
        sheets: compared.covers.clone(),
        strategies: compared.strategies.iter().map(name).collect(),
        versions: compared.versions.iter().map(version_page).collect(),
        notes: compared.notes.iter().map(|note| sentence(note)).collect(),
        demo: compared.demo,
        program: format!("dyebook {}", env!("CARGO_PKG_VERSION")),
    })
}

fn version_page(version: &ComparedOnVersion) -> VersionComparison {
    let mut notes: Vec<String> = truth_note(version).into_iter().collect();
    let left_out = version.differences.len().saturating_sub(MOST_DIFFERENCES);
    if left_out > 0 {
        notes.push(format!(
            "of {} differences the first {MOST_DIFFERENCES} are shown",
            version.differences.len()
        ));
    }
    VersionComparison {
        method: version.method.clone(),
        covers: sentence(&version_covers(version)),
        rates: version
            .strategies
            .iter()
            .filter(|one| one.rates.judged > 0)
            .map(rate_line)
            .collect(),
        differences: version
            .differences
            .iter()
            .take(MOST_DIFFERENCES)
            .map(difference_line)
            .collect(),
        calibration: version.strategies.iter().filter_map(series).collect(),
        notes: notes.iter().map(|note| sentence(note)).collect(),
    }
}

fn difference_line(one: &Difference) -> DifferenceLine {
    DifferenceLine {
        place: format!(
            "{}, {} ({}, Rf {})",
            one.sheet,
            one.place.words(),
            one.label,
            one.rf.map_or_else(|| "not known".to_owned(), show_rf)
        ),
        truth: one.truth.clone().unwrap_or_default(),
        answers: one.verdicts.clone(),
    }
}

/// What the figures of a version rest on: `9 sheets, 36 sample lanes, 54 spots`.
pub fn version_covers(version: &ComparedOnVersion) -> String {
    format!(
        "{}, {}, {}",
        counted(version.sheets, "sheet"),
        counted(version.lanes, "sample lane"),
        counted(version.spots, "spot")
    )
}

/// Which lanes of a version are judged by nobody, if any.
pub fn truth_note(version: &ComparedOnVersion) -> Option<String> {
    (version.lanes_without_truth > 0).then(|| {
        format!(
            "what {} of {} hold is not recorded; they count for differences only",
            version.lanes_without_truth,
            counted(version.lanes, "sample lane")
        )
    })
}

/// With a capital and a full stop.
pub(crate) fn sentence(note: &str) -> String {
    let mut letters = note.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), letters.as_str())
}

fn name(one: &StrategyStamp) -> String {
    format!("{} {}", one.id, one.version)
}

fn rate_line(one: &ComparedStrategy) -> RateLine {
    let rates = &one.rates;
    let of = |part: usize| share_words(part, rates.judged);
    let mut undecided = of(rates.undecided);
    if rates.undecided > 0 {
        undecided = format!(
            "{undecided}, {} with the truth among them",
            rates.truth_among
        );
    }
    if rates.not_evaluable > 0 {
        undecided = format!("{undecided}; {} not evaluable", of(rates.not_evaluable));
    }
    RateLine {
        strategy: name(&one.strategy),
        judged: rates.judged.to_string(),
        right: of(rates.right),
        wrong: of(rates.wrong),
        undecided,
        missed: format!(
            "{} said to be in no reference set",
            of(rates.false_not_in_set)
        ),
    }
}

fn series(one: &ComparedStrategy) -> Option<CalibrationSeries> {
    let scores = one.rates.probabilities.as_ref()?;
    let bins = scores.calibration.iter().map(|row| CalibrationBin {
        stated: Range {
            low: row.low,
            high: row.high,
        },
        count: u32::try_from(row.count).unwrap_or(u32::MAX),
        mean_stated: row.stated,
        share_right: row.right,
        interval: Some(Range {
            low: row.right_low,
            high: row.right_high,
        }),
    });
    Some(CalibrationSeries {
        strategy: name(&one.strategy),
        bins: bins.collect(),
        summary: score_sentence(scores),
    })
}

/// The scores with what they mean.
pub fn score_sentence(scores: &Scores) -> String {
    format!(
        "over {} spots the Brier score is {:.3} (0 is perfect, 2 the worst), the log loss {:.3} \
         (0 is perfect), and stated probabilities are off by {:.3} on average",
        scores.spots, scores.brier, scores.log_loss, scores.calibration_error
    )
}
