//! Fronts of one paper that differ.

use crate::entry_check::{EntryCheck, Finding};
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{Method, Severity, Where};
use dyebook_statistics::summary::{mean, median};

/// A front that climbs unevenly (paper touching the wall, a crooked cut, draught) means that lanes
/// ran under different conditions. A gentle, smooth tilt is taken care of by measuring each lane.
pub(crate) const CHECK: EntryCheck = EntryCheck {
    id: "front-tilt",
    why: "Lanes under an uneven front ran under different conditions.",
    find,
};

/// A trend is called one from this many lanes on.
const LANES_OF_A_TREND: usize = 4;
/// Rise from side to side that is told from reading noise, in cm, where the method says nothing.
const RISE_CM: f64 = 0.2;
/// The same in reading uncertainties of a front.
const RISE_IN_SD: f64 = 4.0;

fn find(sheet: &SheetView<'_>) -> Vec<Finding> {
    let method = sheet.context.method;
    sheet
        .papers
        .iter()
        .filter_map(|paper| of_paper(method, paper))
        .collect()
}

fn of_paper(method: &Method, paper: &PaperView<'_>) -> Option<Finding> {
    let above_zero = paper.fronts.iter().filter(|(_, front)| *front > 0.0);
    let mut fronts: Vec<(u32, f64)> = above_zero.copied().collect();
    fronts.sort_unstable_by_key(|(lane, _)| *lane);
    let values: Vec<f64> = fronts.iter().map(|(_, front)| *front).collect();
    let low = fronts.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let high = fronts.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let tilt = (high.1 - low.1) / mean(&values).ok()?;
    let spread = || {
        format!(
            "fronts run from {} (lane {}) to {} (lane {}), {} of their mean",
            words::cm(low.1),
            low.0,
            words::cm(high.1),
            high.0,
            words::percent(tilt)
        )
    };
    let limit = method
        .acceptance
        .as_ref()
        .and_then(|acceptance| acceptance.front_tilt);
    if let Some(limit) = limit.filter(|limit| tilt > *limit) {
        let message = format!(
            "{}; {} allows {}",
            spread(),
            method.name(),
            words::percent(limit)
        );
        let finding = Finding::new(Severity::Warn, Where::paper(paper.name), message);
        return Some(match odd_one(&fronts) {
            Some((lane, front)) => finding.or(format!(
                "the front of lane {lane} ({}) alone was misread; the others agree",
                words::cm(front)
            )),
            None => finding.or("the paper leaned, was cut crooked or touched the wall"),
        });
    }
    let reading = method
        .measuring
        .front_sd_cm
        .map_or(RISE_CM, |sd| RISE_IN_SD * sd);
    let is_trend = is_monotone(&values) && high.1 - low.1 >= reading;
    is_trend.then(|| {
        let message = format!(
            "{}, in a smooth tilt; each lane's own front is used",
            spread()
        );
        Finding::new(Severity::Info, Where::paper(paper.name), message)
    })
}

fn is_monotone(values: &[f64]) -> bool {
    let rises = values.windows(2).all(|pair| pair[0] <= pair[1]);
    let falls = values.windows(2).all(|pair| pair[0] >= pair[1]);
    values.len() >= LANES_OF_A_TREND && (rises || falls)
}

/// The one lane whose front stands off while the others lie within a third of its distance.
fn odd_one(fronts: &[(u32, f64)]) -> Option<(u32, f64)> {
    if fronts.len() < LANES_OF_A_TREND {
        return None;
    }
    let values: Vec<f64> = fronts.iter().map(|(_, front)| *front).collect();
    let middle = median(&values).ok()?;
    let off = |front: f64| (front - middle).abs();
    let odd = fronts.iter().max_by(|a, b| off(a.1).total_cmp(&off(b.1)))?;
    let others_agree = fronts
        .iter()
        .filter(|(lane, _)| *lane != odd.0)
        .all(|(_, f)| off(*f) * 3.0 <= off(odd.1));
    others_agree.then_some(*odd)
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::example::Example;
    use dyebook_documents::Severity;

    fn fronts(fronts: [&str; 4]) -> Example {
        let lines: Vec<String> = fronts
            .iter()
            .enumerate()
            .map(|(i, front)| format!("1|{}||Red 40|3.2|{front}|red", i + 1))
            .collect();
        Example::table(&lines.join("\n"))
    }

    #[test]
    fn more_than_the_method_allows_warns() {
        let (severity, place, check) = fronts(["8.0", "8.2", "8.4", "8.6"]).only(&CHECK);
        assert_eq!((severity, place.as_str()), (Severity::Warn, "paper 1"));
        assert!(check.message.contains("7.2 %"), "{check:?}");
    }

    #[test]
    fn one_misread_front_is_named() {
        let check = fronts(["8.0", "8.02", "7.4", "8.03"]).only(&CHECK).2;
        assert!(
            check.alternatives[0].contains("lane 3 (7.4 cm)"),
            "{check:?}"
        );
    }

    #[test]
    fn a_smooth_tilt_within_limits_is_info() {
        assert_eq!(
            fronts(["8.0", "8.1", "8.2", "8.3"]).only(&CHECK).0,
            Severity::Info
        );
    }

    #[test]
    fn fronts_that_scatter_by_reading_do_not_fire() {
        assert!(Example::clean().check(&CHECK).is_empty());
    }
}
