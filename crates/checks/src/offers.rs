//! Readings that findings suggest, as data: a person may accept one. Nothing is changed here.

use crate::checks::exchanged_lanes;
use crate::context::Context;
use crate::exchanged_columns::Exchanged;
use crate::scale_slip::{ScaleSlip, SlipPlace};
use crate::sheet_view::{PaperView, SheetView};
use crate::signatures::{Remedy, Signature, reading_of};
use crate::words;
use serde::Serialize;

/// A reading that a finding suggests.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Offer {
    /// Name of the finding.
    pub check: &'static str,
    /// Papers whose values would have to be read otherwise.
    pub papers: Vec<String>,
    /// The one lane, where it isn't all lanes of the papers.
    pub lane: Option<u32>,
    /// The one spot of that lane.
    pub spot: Option<u32>,
    /// What would have to be read otherwise.
    pub edit: Edit,
    /// The same in words.
    pub reading: String,
}

/// What would have to be read otherwise.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum Edit {
    /// Lengths to be taken off every spot distance and every front, in cm.
    TakeOff {
        /// Off every spot distance.
        distance_cm: f64,
        /// Off every front.
        front_cm: f64,
    },
    /// Distance and front in each other's column.
    Exchange,
    /// Lanes, each with the lane whose label belongs to it where that is known.
    Relabel {
        /// Lane, and the lane whose label it should have.
        lanes: Vec<(u32, Option<u32>)>,
    },
    /// Values to be multiplied.
    Times {
        /// Of which column.
        column: Column,
        /// By what.
        factor: f64,
    },
}

/// A column of lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Column {
    /// Spot distances.
    Distance,
    /// Fronts.
    Front,
}

/// Every reading that the findings of a sheet suggest and that a program can carry out, the
/// likelier one of a finding first.
pub fn offers(context: &Context<'_>) -> Vec<Offer> {
    let sheet = SheetView::new(context);
    let mut offers = vec![];
    for paper in &sheet.papers {
        offers.extend(exchanged(paper));
        offers.extend(paper.slips.iter().map(|slip| scaled(paper, slip)));
    }
    let told = exchanged_lanes(&sheet);
    offers.extend(
        told.iter()
            .map(|(paper, lanes)| out_of_order(paper, *lanes)),
    );
    for signature in &sheet.signatures {
        // Exchanged lanes that the order of the standards shows are told under that name.
        let is_news = |lanes| !told.contains(&lanes);
        if signature.exchanged_lanes().is_none_or(is_news) {
            offers.extend(of_remedy(
                &sheet,
                signature,
                signature.model,
                &signature.remedy,
            ));
        }
        for other in &signature.others {
            offers.extend(of_remedy(&sheet, signature, other.model, &other.remedy));
        }
    }
    offers
}

fn exchanged(paper: &PaperView<'_>) -> Vec<Offer> {
    let offer = |lane: Option<u32>| Offer {
        check: "columns-exchanged",
        papers: vec![paper.name.to_owned()],
        lane,
        spot: None,
        edit: Edit::Exchange,
        reading: "distance and front in each other's column".to_owned(),
    };
    match &paper.exchanged {
        Exchanged::WholePaper => vec![offer(None)],
        Exchanged::Lanes(lanes) => lanes.iter().map(|lane| offer(Some(*lane))).collect(),
    }
}

fn out_of_order(paper: &str, [one, other]: [u32; 2]) -> Offer {
    Offer {
        check: "rank-order-inverted",
        papers: vec![paper.to_owned()],
        lane: None,
        spot: None,
        edit: Edit::Relabel {
            lanes: vec![(one, Some(other)), (other, Some(one))],
        },
        reading: format!("the labels of lanes {one} and {other} exchanged"),
    }
}

fn scaled(paper: &PaperView<'_>, slip: &ScaleSlip) -> Offer {
    let (column, lane, spot) = match slip.place {
        SlipPlace::DistanceColumn => (Column::Distance, None, None),
        SlipPlace::FrontColumn => (Column::Front, None, None),
        SlipPlace::Front { lane } => (Column::Front, Some(lane), None),
        SlipPlace::Distance { lane, spot } => (Column::Distance, Some(lane), Some(spot)),
    };
    Offer {
        check: "column-scale",
        papers: vec![paper.name.to_owned()],
        lane,
        spot,
        edit: Edit::Times {
            column,
            factor: slip.factor,
        },
        reading: slip_words(slip, column),
    }
}

fn slip_words(slip: &ScaleSlip, column: Column) -> String {
    let what = match column {
        Column::Distance => "distance",
        Column::Front => "front",
    };
    let whole = matches!(
        slip.place,
        SlipPlace::DistanceColumn | SlipPlace::FrontColumn
    );
    let which = if whole { "every" } else { "the" };
    match slip.unit {
        Some(unit) => format!("{which} {what} written in {}", words::unit(unit)),
        None => format!("{which} {what} with its decimal point slipped"),
    }
}

fn of_remedy(
    sheet: &SheetView<'_>,
    signature: &Signature,
    check: &'static str,
    remedy: &Remedy,
) -> Option<Offer> {
    let (edit, lane, spot) = match remedy {
        Remedy::Lengths {
            off_distance_cm,
            off_front_cm,
        } => {
            let edit = Edit::TakeOff {
                distance_cm: *off_distance_cm,
                front_cm: *off_front_cm,
            };
            (edit, None, None)
        }
        Remedy::ColumnsExchanged => (Edit::Exchange, None, None),
        Remedy::Relabelled { lanes } => {
            let lanes = lanes.clone();
            (Edit::Relabel { lanes }, None, None)
        }
        Remedy::Scaled { lane, spot, factor } => {
            let (column, factor) = (Column::Distance, *factor);
            (Edit::Times { column, factor }, Some(*lane), Some(*spot))
        }
        // That a value is wrong doesn't say what it should be.
        Remedy::Stray { .. } => return None,
    };
    Some(Offer {
        check,
        papers: signature.papers.clone(),
        lane,
        spot,
        edit,
        reading: reading_of(sheet, remedy),
    })
}

#[cfg(test)]
mod tests {
    use super::{Column, Edit, Offer, offers};
    use crate::example::Example;
    use std::collections::BTreeSet;

    fn of(example: &Example) -> Vec<Offer> {
        example.in_context(offers)
    }

    /// Every offer bears the name of a finding, or of what explains the standards nearly as well.
    fn told(example: &Example) -> Vec<Offer> {
        let checks: BTreeSet<String> = example.all().into_iter().map(|c| c.check).collect();
        let found = of(example);
        assert!(checks.contains(found[0].check), "{found:#?} {checks:?}");
        found
    }

    #[test]
    fn a_clean_sheet_offers_nothing() {
        assert!(of(&Example::clean()).is_empty());
    }

    #[test]
    fn distances_from_the_edge_offer_the_length_to_take_off() {
        let edge = |d: f64, f: f64| (d + 1.5, f + 1.5);
        let example = Example::clean().measured("1", edge).measured("2", edge);
        let found = told(&example);
        let Edit::TakeOff {
            distance_cm,
            front_cm,
        } = found[0].edit
        else {
            panic!("{found:#?}")
        };
        assert!((distance_cm - 1.5).abs() < 0.1 && (front_cm - 1.5).abs() < 0.1);
        assert_eq!(found[0].papers, ["1", "2"]);
    }

    #[test]
    fn two_exchanged_lanes_are_offered_under_the_name_of_their_finding() {
        let example = Example::clean()
            .row("1", 5, |row| row.distance = Some("3.24".parse().unwrap()))
            .row("1", 5, |row| row.colour = Some("red".into()))
            .row("1", 4, |row| row.distance = Some("4.51".parse().unwrap()))
            .row("1", 4, |row| row.colour = Some("yellow".into()));
        let found = told(&example);
        let lanes = vec![(4, Some(5)), (5, Some(4))];
        assert_eq!(found[0].edit, Edit::Relabel { lanes });
    }

    #[test]
    fn a_slipped_point_and_an_exchanged_lane_name_their_place() {
        let point =
            Example::clean().row("1", 4, |row| row.distance = Some("32.4".parse().unwrap()));
        let found = told(&point);
        assert_eq!((found[0].lane, found[0].spot), (Some(4), Some(1)));
        let (column, factor) = (Column::Distance, 0.1);
        assert_eq!(found[0].edit, Edit::Times { column, factor });
        let lane = Example::clean().row("2", 3, |row| {
            std::mem::swap(&mut row.distance, &mut row.front);
        });
        let found = told(&lane);
        assert_eq!((found[0].lane, &found[0].edit), (Some(3), &Edit::Exchange));
    }
}
