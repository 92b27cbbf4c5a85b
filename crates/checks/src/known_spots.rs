//! The main spot of every lane of known dye, beside what the method expects of it.

use crate::context::Context;
use crate::evaluated_sheet::{EvaluatedLane, EvaluatedSpot};
use dyebook_documents::{ColourVerdict, ExpectedColours, Reference};

/// A range of expected values is read as covering 95 %, so its half width is 1.96 SD.
const HALF_WIDTH_IN_SD: f64 = 1.96;

/// Standards that are compared with each other at most: more are no paper of a class, nor do they
/// tell more of a habit, and trying every pair of them would take long.
pub(crate) const MOST_STANDARDS: usize = 60;

/// What is expected of the dye of a lane; nothing where no dye is known.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct ExpectedDye<'a> {
    /// Where the dye is in the reference set.
    pub(crate) reference: Option<&'a Reference>,
    pub(crate) colours: ExpectedColours,
}

impl<'a> ExpectedDye<'a> {
    pub(crate) fn of(context: &Context<'a>, lane: &EvaluatedLane) -> Self {
        let Some(dye) = lane.dye.as_deref() else {
            return Self::default();
        };
        let reference = context.method.reference(dye);
        Self {
            reference,
            colours: ExpectedColours::new(colours_of(context, dye, reference)),
        }
    }
}

/// The spot that a lane of known dye was run for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct KnownSpot<'a> {
    pub(crate) lane: &'a EvaluatedLane,
    pub(crate) spot: &'a EvaluatedSpot,
    pub(crate) reference: &'a Reference,
    /// Colours expected of the dye.
    pub(crate) colours: ExpectedColours,
    pub(crate) rf: f64,
    /// Standard deviation of one spot in a new session, reading included.
    pub(crate) sd: f64,
}

impl KnownSpot<'_> {
    /// Whether a value lies in the expected range widened by twice the reading uncertainty.
    pub(crate) fn fits(&self, rf: f64) -> bool {
        let slack = 2.0 * self.spot.u.unwrap_or(0.0);
        let range = self.reference.expected_rf;
        range.low - slack <= rf && rf <= range.high + slack
    }
}

/// The main spot of a lane, if its dye is in the reference set and a spot has an Rf.
pub(crate) fn known_spot<'a>(
    lane: &'a EvaluatedLane,
    dye: ExpectedDye<'a>,
) -> Option<KnownSpot<'a>> {
    let (reference, colours) = (dye.reference?, dye.colours);
    let spot = main_spot(lane, reference, colours)?;
    let rf = spot.rf?;
    Some(KnownSpot {
        lane,
        spot,
        reference,
        colours,
        rf,
        sd: spread(reference, spot.u),
    })
}

/// The spot nearest to the expected value among those of a fitting colour, if there are any.
fn main_spot<'a>(
    lane: &'a EvaluatedLane,
    reference: &Reference,
    colours: ExpectedColours,
) -> Option<&'a EvaluatedSpot> {
    let measured = || lane.spots.iter().filter(|spot| spot.rf.is_some());
    let first = measured().next()?;
    if measured().nth(1).is_none() {
        return Some(first);
    }
    let fits =
        |spot: &EvaluatedSpot| colours.judge(spot.colour.as_deref()) != ColourVerdict::Disagrees;
    let some_fit = measured().any(fits);
    let off = |spot: &EvaluatedSpot| (spot.rf.unwrap_or(f64::MAX) - reference.centre()).abs();
    measured()
        .filter(|spot| !some_fit || fits(spot))
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// The method's colours of a dye, else the dye's own.
pub(crate) fn expected_colours<'a>(context: &Context<'a>, dye: &str) -> &'a [String] {
    colours_of(context, dye, context.method.reference(dye))
}

fn colours_of<'a>(
    context: &Context<'a>,
    dye: &str,
    reference: Option<&'a Reference>,
) -> &'a [String] {
    reference
        .and_then(|reference| reference.colours.as_deref())
        .or_else(|| context.dyes.by_id(dye).map(|dye| dye.colours.as_slice()))
        .unwrap_or_default()
}

/// The larger of what the variance components give and what the expected range stands for: a range
/// from few sessions is wider than its components, because they are poorly known.
fn spread(reference: &Reference, u: Option<f64>) -> f64 {
    let of_components = reference.sd.and_then(|sd| sd.intermediate()).unwrap_or(0.0);
    let of_range = reference.expected_rf.width() / 2.0 / HALF_WIDTH_IN_SD;
    of_components.max(of_range).hypot(u.unwrap_or(0.0))
}
