//! A signature as a finding.

use super::model::Remedy;
use super::signature::Signature;
use crate::entry_check::Finding;
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::{Severity, Where};

/// A length agrees with the height of the start line within this, in cm.
const LIKE_THE_START_LINE_CM: f64 = 0.3;
/// Spots are so large that a rim is up to this far from the centre, in cm.
const RIM_CM: f64 = 0.6;
/// Spots of which the Rf are shown.
const SHOWN: usize = 3;

/// The finding that tells of a signature.
pub(crate) fn finding(sheet: &SheetView<'_>, signature: &Signature) -> Finding {
    let baseline = sheet
        .context
        .method
        .layout
        .as_ref()
        .and_then(|layout| layout.baseline_cm);
    let (place, whose) = match signature.papers.as_slice() {
        [paper] => (
            Where::paper(paper),
            format!("the standards of paper {paper}"),
        ),
        papers => (
            Where::sheet(),
            format!("the standards of papers {}", words::list(papers)),
        ),
    };
    let readings = readings(&signature.remedy, baseline);
    let (first, rest) = readings.split_first().map_or_else(
        || (String::new(), &[][..]),
        |(first, rest)| (first.clone(), rest),
    );
    let size = signature
        .u_cm
        .map(|u| format!(", known to ± {u:.2} cm"))
        .unwrap_or_default();
    let faintly = if signature.is_clear() { "" } else { "faintly " };
    let then = if_so(sheet, signature);
    let message = format!(
        "{whose} are {faintly}consistent with {first} ({} standards{size}){then}",
        signature.standards
    );
    let others = signature.others.iter().filter_map(|other| {
        let reading = self::readings(&other.remedy, baseline).into_iter().next()?;
        Some(format!("nearly as well explained by {reading}"))
    });
    let severity = if signature.is_clear() {
        Severity::Warn
    } else {
        Severity::Info
    };
    Finding::new(severity, place, message)
        .or_all(
            rest.iter()
                .map(|reading| format!("as well explained by {reading}")),
        )
        .or_all(others)
}

/// The likeliest reading of a remedy, in words.
pub(crate) fn reading_of(sheet: &SheetView<'_>, remedy: &Remedy) -> String {
    let baseline = sheet
        .context
        .method
        .layout
        .as_ref()
        .and_then(|layout| layout.baseline_cm);
    readings(remedy, baseline)
        .into_iter()
        .next()
        .unwrap_or_default()
}

/// What a remedy means in words, the likeliest reading first; all of them fit equally well.
fn readings(remedy: &Remedy, baseline: Option<f64>) -> Vec<String> {
    let like_baseline =
        |cm: f64| baseline.filter(|baseline| (cm - baseline).abs() <= LIKE_THE_START_LINE_CM);
    match remedy {
        Remedy::Lengths {
            off_distance_cm,
            off_front_cm,
        } => lengths(*off_distance_cm, *off_front_cm, &like_baseline),
        Remedy::ColumnsExchanged => vec!["distance and front in each other's column".to_owned()],
        Remedy::Relabelled { lanes } => vec![relabelled(lanes)],
        Remedy::Scaled { lane, spot, factor } => {
            let times = format!("{factor:.2}");
            let times = times.trim_end_matches('0').trim_end_matches('.').to_owned();
            let unit = if (factor - 2.54).abs() < 1e-9 || (factor - 1.0 / 2.54).abs() < 1e-9 {
                ", an inch for a cm or the reverse"
            } else {
                ", a mm for a cm or a slipped decimal point"
            };
            vec![format!(
                "the distance of lane {lane}, spot {spot}, to be read times {times}{unit}"
            )]
        }
        Remedy::Stray { lane } => vec![format!("the value of lane {lane} alone being wrong")],
    }
}

#[expect(
    clippy::float_cmp,
    reason = "the models write exact zeros and equal values"
)]
fn lengths(distance: f64, front: f64, like_baseline: &dyn Fn(f64) -> Option<f64>) -> Vec<String> {
    let baseline = |cm: f64| {
        like_baseline(cm)
            .map(|height| format!(", about the start line's height of {}", words::cm(height)))
            .unwrap_or_default()
    };
    if distance == front {
        let size = words::cm(distance);
        return vec![format!(
            "distances and fronts measured from the paper's edge, {size} too long{}",
            baseline(distance)
        )];
    }
    if distance == 0.0 {
        let size = words::cm(front.abs());
        if front < 0.0 {
            return vec![
                format!("the front marked {size} too low"),
                "the front marked after it had dried back".to_owned(),
            ];
        }
        let edge = format!(
            "the front measured from the paper's edge, {size} too long{}",
            baseline(front)
        );
        let late = format!("the front marked late, {size} too far up");
        return if like_baseline(front).is_some() {
            vec![edge, late]
        } else {
            vec![late, edge]
        };
    }
    let size = words::cm(distance.abs());
    if distance < 0.0 {
        return vec![format!(
            "spots measured to their rear rim, {size} short of the centre"
        )];
    }
    let edge = format!(
        "spot distances alone measured from the paper's edge, {size} too long{}",
        baseline(distance)
    );
    let rim = format!("spots measured to their leading rim, {size} beyond the centre");
    if distance <= RIM_CM && like_baseline(distance).is_none() {
        vec![rim, edge]
    } else {
        vec![edge]
    }
}

fn relabelled(lanes: &[(u32, Option<u32>)]) -> String {
    if let [(one, Some(to)), (other, Some(back))] = lanes
        && (one, other) == (back, to)
    {
        return format!("the labels of lanes {one} and {other} exchanged");
    }
    let shown: Vec<String> = lanes
        .iter()
        .filter_map(|(lane, of)| Some(format!("lane {lane} holds what belongs to lane {}", (*of)?)))
        .collect();
    let step = |(lane, of): &(u32, Option<u32>)| of.map(|of| i64::from(of) - i64::from(*lane));
    let steps: Vec<i64> = lanes.iter().filter_map(step).collect();
    let what = if steps.windows(2).all(|pair| pair[0] == pair[1]) {
        "a row left out or entered twice"
    } else if lanes.windows(2).all(|pair| pair[0].1 > pair[1].1) {
        "lanes counted from the other side"
    } else {
        "rows that slipped round"
    };
    format!("{what}: {}", shown.join(", "))
}

/// The standards whose Rf would change most, before and after.
fn if_so(sheet: &SheetView<'_>, signature: &Signature) -> String {
    if matches!(signature.remedy, Remedy::Relabelled { .. }) {
        return String::new();
    }
    let label = |paper: &str, lane: u32| {
        let mut lanes = sheet.lanes();
        lanes
            .find(|view| {
                view.lane.paper == paper && view.lane.lane == lane && view.lane.dye.is_some()
            })
            .map(|view| view.lane.label.to_string())
    };
    let mut known: Vec<(String, f64, f64)> = signature
        .spots
        .iter()
        .filter(|spot| (spot.rf - spot.rf_if_so).abs() > 1e-9)
        .filter_map(|spot| Some((label(&spot.paper, spot.lane)?, spot.rf, spot.rf_if_so)))
        .collect();
    known.sort_by(|a, b| (b.1 - b.2).abs().total_cmp(&(a.1 - a.2).abs()));
    let shown: Vec<String> = known
        .iter()
        .take(SHOWN)
        .map(|(label, rf, so)| {
            format!(
                "{label} {} (now {})",
                words::rf(Some(*so)),
                words::rf(Some(*rf))
            )
        })
        .collect();
    if shown.is_empty() {
        String::new()
    } else {
        format!("; Rf would be {}", shown.join(", "))
    }
}
