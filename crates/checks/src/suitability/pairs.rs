//! Which pairs of dyes can be told apart by Rf today.

use super::{Outcome, SuitabilityItem};
use crate::known_spots::{KnownSpot, expected_colours};
use crate::sheet_view::SheetView;
use dyebook_documents::{ColourVerdict, Reference, Where, judge_colour};
use dyebook_statistics::planar::{resolution, wrong_side_risk};
use serde::Serialize;

/// A pair with more than this share of spots on the wrong side of its middle can't be told by Rf.
const RISK: f64 = 0.05;
/// A range of expected values is read as covering 95 %.
const HALF_WIDTH_IN_SD: f64 = 1.96;

/// Two dyes that colour doesn't tell apart, or that the method lists as a critical pair.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PairToday {
    /// The two dyes.
    pub dyes: [String; 2],
    /// Difference of their Rf: as run today on one paper, else as expected.
    pub gap: f64,
    /// Whether both were run on one paper of the sheet.
    pub run_today: bool,
    /// Share of spots of one that fall nearer to the other.
    pub risk: Option<f64>,
    /// Resolution, where both were run on one paper with their widths.
    pub resolution: Option<f64>,
    /// Whether they can be told apart by Rf.
    pub told_apart: bool,
    /// In a sentence.
    pub message: String,
}

impl PairToday {
    pub(super) fn item(&self) -> SuitabilityItem {
        let outcome = if self.told_apart {
            Outcome::Met
        } else {
            Outcome::Restricts
        };
        SuitabilityItem::new("pair", Where::sheet(), outcome, self.message.clone())
    }
}

pub(super) fn pairs_today(sheet: &SheetView<'_>) -> Vec<PairToday> {
    let references = &sheet.context.method.references;
    let pairs = references
        .iter()
        .enumerate()
        .flat_map(|(i, one)| references[i + 1..].iter().map(move |other| (one, other)));
    pairs
        .filter(|(one, other)| {
            sheet.context.method.is_critical_pair(&one.dye, &other.dye)
                || like_coloured(sheet, one, other)
        })
        .filter_map(|(one, other)| pair(sheet, one, other))
        .collect()
}

fn like_coloured(sheet: &SheetView<'_>, one: &Reference, other: &Reference) -> bool {
    let colours = expected_colours(sheet.context, &other.dye);
    let agrees = |word: &String| judge_colour(Some(word), colours) == ColourVerdict::Agrees;
    expected_colours(sheet.context, &one.dye).iter().any(agrees)
}

fn pair(sheet: &SheetView<'_>, one: &Reference, other: &Reference) -> Option<PairToday> {
    let today = run_together(sheet, one, other);
    let gap = today.map_or_else(
        || (one.centre() - other.centre()).abs(),
        |(a, b)| (a.rf - b.rf).abs(),
    );
    let u = today
        .and_then(|(a, b)| Some(a.spot.u?.max(b.spot.u?)))
        .unwrap_or(0.0);
    let sd = spot_sd(one).max(spot_sd(other)).hypot(u);
    let risk = wrong_side_risk(gap, sd).ok();
    let widths = today.and_then(|(a, b)| Some((a.spot.width_rf?, b.spot.width_rf?, a.rf, b.rf)));
    let resolution =
        widths.and_then(|(first, second, a, b)| resolution(a.min(b), a.max(b), first, second).ok());
    let limit = sheet
        .context
        .method
        .acceptance
        .as_ref()
        .and_then(|limits| limits.resolution_min);
    let by_resolution = resolution.zip(limit).map(|(found, limit)| found >= limit);
    let told_apart = by_resolution.unwrap_or(true) && risk? <= RISK;
    let names = [one, other].map(|reference| sheet.context.dye_name(&reference.dye));
    let how = if told_apart {
        "can be told apart"
    } else {
        "can't be told apart by Rf today"
    };
    let origin = if today.is_some() {
        "ran"
    } else {
        "are expected"
    };
    let resolved = resolution
        .zip(limit)
        .map_or_else(String::new, |(found, limit)| {
            format!(", resolution {found:.2} of at least {limit}")
        });
    let message = format!(
        "{} and {} {how}: they {origin} {gap:.3} apart, {:.0} % of spots would fall nearer to the other{resolved}",
        names[0],
        names[1],
        100.0 * risk?
    );
    Some(PairToday {
        dyes: [one.dye.clone(), other.dye.clone()],
        gap,
        run_today: today.is_some(),
        risk,
        resolution,
        told_apart,
        message,
    })
}

/// The standards of both dyes on one paper.
fn run_together<'a>(
    sheet: &SheetView<'a>,
    one: &Reference,
    other: &Reference,
) -> Option<(KnownSpot<'a>, KnownSpot<'a>)> {
    sheet.papers.iter().find_map(|paper| {
        let of = |reference: &Reference| {
            paper
                .sound_known()
                .into_iter()
                .find(|known| known.reference.dye == reference.dye)
        };
        Some((of(one)?, of(other)?))
    })
}

/// SD of a sample's spot on another paper of the session.
fn spot_sd(reference: &Reference) -> f64 {
    let parts = reference
        .sd
        .and_then(|sd| Some((sd.within_paper?, sd.between_papers?)));
    parts.map_or_else(
        || reference.expected_rf.width() / 2.0 / HALF_WIDTH_IN_SD,
        |(within, papers)| within.hypot(papers),
    )
}
