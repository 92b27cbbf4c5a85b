//! Patterns on a control chart, as sentences.

use dyebook_report::ChartPoint;
use dyebook_statistics::control_charts::{Direction, RunRule, Signal, run_signals};

/// So many values in a row on one side of the centre count.
const ONE_SIDE: usize = 7;

/// What the run rules see in the values of one method version, and marks the points. A run that
/// goes on is said once, at its longest.
pub(crate) fn signals_in_words(
    version: &str,
    points: &mut [ChartPoint],
    centre: f64,
    sd: f64,
) -> Vec<String> {
    let values: Vec<f64> = points.iter().map(|point| point.value).collect();
    let Ok(signals) = run_signals(&values, centre, sd, ONE_SIDE) else {
        return Vec::new();
    };
    let goes_on = |signal: &Signal| {
        signals.iter().any(|next| {
            next.rule == signal.rule
                && next.direction == signal.direction
                && next.index == signal.index + 1
                && signal.rule != RunRule::BeyondAction
        })
    };
    let mut words = Vec::new();
    for signal in signals.iter().filter(|signal| !goes_on(signal)) {
        words.push(sentence(version, points, &signals, signal, centre, sd));
        let first = (signal.index + 1).saturating_sub(signal.length);
        for point in points.iter_mut().take(signal.index + 1).skip(first) {
            point.flagged = true;
        }
    }
    words.extend(lone_warnings(version, points, centre, sd));
    words
}

/// Values beyond a warning limit that no rule speaks of: one in twenty is chance.
fn lone_warnings(version: &str, points: &[ChartPoint], centre: f64, sd: f64) -> Vec<String> {
    points
        .iter()
        .filter(|point| !point.flagged && (point.value - centre).abs() > 2.0 * sd)
        .map(|point| {
            format!(
                "{version}: {}, {}: {:.3} lies {} warning limit; alone that is no signal, so watch \
                 the next value",
                point.date,
                point.session,
                point.value,
                if point.value > centre {
                    "above the upper"
                } else {
                    "below the lower"
                }
            )
        })
        .collect()
}

fn sentence(
    version: &str,
    points: &[ChartPoint],
    signals: &[Signal],
    signal: &Signal,
    centre: f64,
    sd: f64,
) -> String {
    let at = |index: usize| {
        points.get(index).map_or_else(String::new, |point| {
            format!("{}, {}", point.date, point.session)
        })
    };
    let up = signal.direction == Direction::Up;
    let side = if up { "above" } else { "below" };
    let last = at(signal.index);
    let value = points.get(signal.index).map_or(centre, |point| point.value);
    match signal.rule {
        RunRule::BeyondAction => {
            let limit = if up {
                centre + 3.0 * sd
            } else {
                centre - 3.0 * sd
            };
            let first = signals
                .iter()
                .find(|s| s.rule == RunRule::BeyondAction)
                .is_some_and(|s| s.index == signal.index);
            format!(
                "{version}: {last}: {value:.3} lies {side} the {} action limit {limit:.3}{}",
                if up { "upper" } else { "lower" },
                if first {
                    ", the first value outside"
                } else {
                    ""
                }
            )
        }
        RunRule::TwoOfThreeBeyondWarning => format!(
            "{version}: 2 of 3 in a row {side} the {} warning limit, up to {last}",
            if up { "upper" } else { "lower" }
        ),
        RunRule::FourOfFiveBeyondOneSd => {
            format!("{version}: 4 of 5 in a row more than one SD {side} the centre, up to {last}")
        }
        RunRule::OneSide => format!(
            "{version}: {} in a row {side} the centre, from {} to {last}",
            signal.length,
            at((signal.index + 1).saturating_sub(signal.length))
        ),
        RunRule::Trend => format!(
            "{version}: {} in a row {}, up to {last}",
            signal.length,
            if up { "rising" } else { "falling" }
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::signals_in_words;
    use dyebook_report::ChartPoint;

    fn points(values: &[f64]) -> Vec<ChartPoint> {
        (1..)
            .zip(values)
            .map(|(day, value)| ChartPoint {
                date: format!("2026-09-{day:02}"),
                session: "Tue-2".into(),
                value: *value,
                note: String::new(),
                flagged: false,
            })
            .collect()
    }

    /// The rules are those of the NIST handbook, 6.3.2; seven in a row as job practice has it.
    #[test]
    fn a_run_is_said_once_with_its_length() {
        let mut low = points(&[
            0.401, 0.399, 0.398, 0.399, 0.397, 0.399, 0.398, 0.399, 0.398,
        ]);
        let words = signals_in_words("1.0.0", &mut low, 0.4, 0.02);
        assert_eq!(
            words,
            ["1.0.0: 8 in a row below the centre, from 2026-09-02, Tue-2 to 2026-09-09, Tue-2"]
        );
        assert!(!low[0].flagged && low[1].flagged && low[8].flagged);
    }

    #[test]
    fn the_first_value_outside_is_named_with_its_limit() {
        let mut one = points(&[0.40, 0.47, 0.40]);
        let words = signals_in_words("1.0.0", &mut one, 0.4, 0.02);
        assert_eq!(
            words,
            [
                "1.0.0: 2026-09-02, Tue-2: 0.470 lies above the upper action limit 0.460, the first value outside"
            ]
        );
        assert!(signals_in_words("1.0.0", &mut points(&[0.41, 0.39]), 0.4, 0.02).is_empty());
        let alone = signals_in_words("1.0.0", &mut points(&[0.41, 0.355, 0.40]), 0.4, 0.02);
        assert!(
            alone.len() == 1 && alone[0].contains("no signal"),
            "{alone:?}"
        );
    }
}
