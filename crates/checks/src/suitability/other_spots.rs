//! The blank, extra spots in controls, and spots without a centre.

use super::{Outcome, SuitabilityItem};
use crate::checks::{is_smeared, unexpected_spots};
use crate::evaluate::is_blank;
use crate::sheet_view::SheetView;
use crate::words;
use dyebook_documents::Where;

pub(super) fn other_spots(sheet: &SheetView<'_>) -> Vec<SuitabilityItem> {
    blank(sheet)
        .into_iter()
        .chain(extra(sheet))
        .chain(smeared(sheet))
        .collect()
}

fn blank(sheet: &SheetView<'_>) -> Vec<SuitabilityItem> {
    let blanks = sheet.lanes().filter(|view| is_blank(&view.lane.label));
    blanks
        .map(|view| {
            let lane = view.lane;
            let place = Where::lane(&lane.paper, lane.lane);
            match lane.spots.first() {
                None => SuitabilityItem::new("blank", place, Outcome::Met, "the blank is clean"),
                Some(spot) => {
                    let message = format!("the blank shows a spot at Rf {}", words::rf(spot.rf));
                    SuitabilityItem::new("blank", place, Outcome::Stops, message)
                }
            }
        })
        .collect()
}

fn extra(sheet: &SheetView<'_>) -> Vec<SuitabilityItem> {
    unexpected_spots(sheet)
        .into_iter()
        .map(|(known, spot)| {
            let place = Where::spot(&known.lane.paper, known.lane.lane, spot.spot);
            let message = format!(
                "{} shows an extra spot at Rf {}: take another bottle, or tell the class",
                known.lane.label,
                words::rf(spot.rf)
            );
            SuitabilityItem::new("extra-spot", place, Outcome::Restricts, message)
        })
        .collect()
}

fn smeared(sheet: &SheetView<'_>) -> Vec<SuitabilityItem> {
    let known = sheet.papers.iter().flat_map(|paper| &paper.known);
    known
        .filter(|known| known.spot.shape.as_deref().is_some_and(is_smeared))
        .map(|known| {
            let place = Where::spot(&known.lane.paper, known.lane.lane, known.spot.spot);
            let message = format!(
                "{} ran as {}: its Rf is not well measurable today",
                known.lane.label,
                known.spot.shape.as_deref().unwrap_or("a streak")
            );
            SuitabilityItem::new("smeared-spot", place, Outcome::Restricts, message)
        })
        .collect()
}
