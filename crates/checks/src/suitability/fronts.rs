//! Fronts against the limits of length and tilt.

use super::{Outcome, SuitabilityItem};
use crate::sheet_view::{PaperView, SheetView};
use crate::words;
use dyebook_documents::{Acceptance, Where};
use dyebook_statistics::summary::mean;

pub(super) fn fronts(sheet: &SheetView<'_>) -> Vec<SuitabilityItem> {
    let limits = sheet.context.method.acceptance.as_ref();
    sheet
        .papers
        .iter()
        .flat_map(|paper| of_paper(paper, limits))
        .collect()
}

fn of_paper(paper: &PaperView<'_>, limits: Option<&Acceptance>) -> Vec<SuitabilityItem> {
    let fronts: Vec<f64> = paper
        .lanes
        .iter()
        .filter_map(|view| view.lane.front_cm)
        .filter(|f| *f > 0.0)
        .collect();
    let place = || Where::paper(paper.name);
    let Ok(middle) = mean(&fronts) else {
        let message = format!("paper {} has no front", paper.name);
        return vec![SuitabilityItem::new(
            "front-length",
            place(),
            Outcome::Stops,
            message,
        )];
    };
    let low = fronts.iter().copied().fold(f64::INFINITY, f64::min);
    let high = fronts.iter().copied().fold(0.0, f64::max);
    let judged = |met: bool| if met { Outcome::Met } else { Outcome::Stops };
    let mut items = vec![];
    if let Some(limit) = limits.and_then(|limits| limits.front_min_cm) {
        let message = format!(
            "shortest front {}, at least {} is asked for",
            words::cm(low),
            words::cm(limit)
        );
        items.push(SuitabilityItem::new(
            "front-length",
            place(),
            judged(low >= limit),
            message,
        ));
    }
    if let Some(limit) = limits.and_then(|limits| limits.front_max_cm) {
        let message = format!(
            "longest front {}, at most {} is allowed",
            words::cm(high),
            words::cm(limit)
        );
        items.push(SuitabilityItem::new(
            "front-length",
            place(),
            judged(high <= limit),
            message,
        ));
    }
    if let Some(limit) = limits.and_then(|limits| limits.front_tilt) {
        let tilt = (high - low) / middle;
        let message = format!(
            "front tilt {}, at most {} is allowed",
            words::percent(tilt),
            words::percent(limit)
        );
        items.push(SuitabilityItem::new(
            "front-tilt",
            place(),
            judged(tilt <= limit),
            message,
        ));
    }
    items
}
