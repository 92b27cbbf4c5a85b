//! A sheet paper by paper, with what several checks need worked out once.

use crate::context::Context;
use crate::evaluated_sheet::EvaluatedLane;
use crate::exchanged_columns::{Exchanged, exchanged_columns};
use crate::known_spots::{ExpectedDye, KnownSpot, known_spot};
use crate::possible_front::possible_front;
use crate::scale_slip::{ScaleSlip, SlipPlace, UNITS, scale_slips};
use crate::signatures::{Remedy, Signature, signatures};
use dyebook_documents::{Lane, LengthUnit};
use std::collections::BTreeMap;

/// A sheet under its context.
#[derive(Debug)]
pub(crate) struct SheetView<'a> {
    pub(crate) context: &'a Context<'a>,
    pub(crate) papers: Vec<PaperView<'a>>,
    /// Mistakes of measuring that the standards are consistent with.
    pub(crate) signatures: Vec<Signature>,
}

/// One paper.
#[derive(Debug)]
pub(crate) struct PaperView<'a> {
    pub(crate) name: &'a str,
    pub(crate) lanes: Vec<LaneView<'a>>,
    /// Main spots of the lanes of known dye that is in the reference set.
    pub(crate) known: Vec<KnownSpot<'a>>,
    /// Spot distances and fronts that stand in each other's column.
    pub(crate) exchanged: Exchanged,
    /// Values that are a power of ten or an inch off.
    pub(crate) slips: Vec<ScaleSlip>,
    /// Lane numbers with their fronts in cm, without those that a slip explains.
    pub(crate) fronts: Vec<(u32, f64)>,
    /// Other units that make the paper's fronts possible, where they are not as labelled and spot
    /// distances carry the same label.
    pub(crate) other_units: Vec<LengthUnit>,
}

/// One lane, as written and as evaluated, with what is expected of its dye.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LaneView<'a> {
    pub(crate) written: &'a Lane,
    pub(crate) lane: &'a EvaluatedLane,
    pub(crate) dye: ExpectedDye<'a>,
}

impl<'a> SheetView<'a> {
    pub(crate) fn new(context: &'a Context<'a>) -> Self {
        let mut lanes: BTreeMap<&str, Vec<LaneView<'a>>> = BTreeMap::new();
        for (written, lane) in context.sheet.lanes.iter().zip(&context.evaluated.lanes) {
            lanes.entry(&lane.paper).or_default().push(LaneView {
                written,
                lane,
                dye: ExpectedDye::of(context, lane),
            });
        }
        let papers = context.evaluated.papers.iter();
        let papers: Vec<PaperView<'a>> = papers
            .map(|name| PaperView::new(context, name, lanes.remove(&**name).unwrap_or_default()))
            .collect();
        let signatures = signatures(context, &papers);
        Self {
            context,
            papers,
            signatures,
        }
    }

    pub(crate) fn lanes(&self) -> impl Iterator<Item = LaneView<'a>> {
        self.papers
            .iter()
            .flat_map(|paper| paper.lanes.iter().copied())
    }

    /// The clear signature under which a standard would stand where it belongs.
    pub(crate) fn signature_of(&self, known: &KnownSpot<'_>) -> Option<&Signature> {
        let (paper, lane, spot) = (&known.lane.paper, known.lane.lane, known.spot.spot);
        let mut clear = self
            .signatures
            .iter()
            .filter(|signature| signature.is_clear());
        clear.find(|signature| {
            if let Remedy::Relabelled { lanes } = &signature.remedy {
                return signature.papers.iter().any(|one| one == paper)
                    && lanes.iter().any(|(at, _)| *at == lane);
            }
            let so = signature.rf_if_so(paper, lane, spot);
            so.is_some_and(|rf| known.fits(rf) && !known.fits(known.rf))
        })
    }

    /// Main spots of known dye on all papers whose numbers no slip explains.
    pub(crate) fn sound_known(&self) -> impl Iterator<Item = &KnownSpot<'a>> {
        self.papers.iter().flat_map(PaperView::sound_known)
    }
}

impl<'a> PaperView<'a> {
    fn new(context: &'a Context<'a>, name: &'a str, lanes: Vec<LaneView<'a>>) -> Self {
        let known: Vec<_> = lanes
            .iter()
            .filter_map(|view| known_spot(view.lane, view.dye))
            .collect();
        let evaluated: Vec<&EvaluatedLane> = lanes.iter().map(|lane| lane.lane).collect();
        let exchanged = exchanged_columns(&evaluated, &known);
        let slips = if exchanged == Exchanged::WholePaper {
            vec![]
        } else {
            scale_slips(context, &evaluated, &known)
        };
        let mut paper = Self {
            name,
            lanes,
            known,
            exchanged,
            slips,
            fronts: vec![],
            other_units: vec![],
        };
        paper.fronts = paper.sound_fronts();
        paper.other_units = other_units(context, &paper.fronts);
        paper
    }

    /// Whether a slip or an exchange already explains what is odd about a spot.
    pub(crate) fn explains(&self, lane: u32, spot: u32) -> bool {
        let exchanged = match &self.exchanged {
            Exchanged::WholePaper => true,
            Exchanged::Lanes(lanes) => lanes.contains(&lane),
        };
        exchanged
            || self.slips.iter().any(|slip| match slip.place {
                SlipPlace::DistanceColumn | SlipPlace::FrontColumn => true,
                SlipPlace::Front { lane: at } => at == lane,
                SlipPlace::Distance { lane: at, spot: of } => (at, of) == (lane, spot),
            })
    }

    /// Main spots of known dye whose numbers no slip explains.
    pub(crate) fn sound_known(&self) -> impl Iterator<Item = &KnownSpot<'a>> {
        let sound = |known: &&KnownSpot<'_>| !self.explains(known.lane.lane, known.spot.spot);
        self.known.iter().filter(sound)
    }

    fn sound_fronts(&self) -> Vec<(u32, f64)> {
        let mut fronts = Vec::with_capacity(self.lanes.len());
        let lanes = self.lanes.iter().map(|view| view.lane);
        fronts.extend(
            lanes
                .filter(|lane| !self.explains(lane.lane, u32::MAX))
                .filter_map(|lane| Some((lane.lane, lane.front_cm?))),
        );
        fronts
    }
}

fn other_units(context: &Context<'_>, fronts: &[(u32, f64)]) -> Vec<LengthUnit> {
    let units = context.sheet.units;
    let possible = possible_front(context.method);
    if units.distance != units.front
        || fronts.is_empty()
        || fronts.iter().any(|(_, front)| possible.contains(*front))
    {
        return vec![];
    }
    let makes_possible = |unit: &LengthUnit| {
        let factor = unit.ratio_to(units.front);
        let mut fronts = fronts.iter();
        fronts.all(|(_, front)| possible.contains(front * factor))
    };
    UNITS
        .into_iter()
        .filter(|unit| *unit != units.front && makes_possible(unit))
        .collect()
}
