//! From kept documents to the messages that strategies get.

use compact_str::CompactString;
use dyebook_checks::{EvaluatedLane, EvaluatedSheet, EvaluatedSpot};
use dyebook_documents::{COLOUR_WORDS, DyeRegister, Method, Role, show_rf};
use dyebook_library::KeptMethod;
use dyebook_plugin::strategy as message;

/// The reference set of a method version, or an empty one when none of it may be used.
pub(crate) fn reference_set(
    kept: &KeptMethod,
    method: &Method,
    dyes: &DyeRegister,
    usable: bool,
) -> message::ReferenceSet {
    let mut set = message::ReferenceSet::default();
    set.method =
        message::MethodVersion::new(&kept.id, &kept.version.to_string(), kept.digest.as_str());
    set.colour_words = COLOUR_WORDS
        .iter()
        .map(|colour| message::ColourWord::new(colour.word, colour.neighbours))
        .collect();
    set.measuring = message::Measuring::default();
    set.measuring.distance_sd_cm = method.measuring.distance_sd_cm;
    set.measuring.front_sd_cm = method.measuring.front_sd_cm;
    if usable {
        set.references = method
            .references
            .iter()
            .map(|r| reference(r, dyes))
            .collect();
    }
    set
}

fn reference(reference: &dyebook_documents::Reference, dyes: &DyeRegister) -> message::Reference {
    let range = reference.expected_rf;
    let mut out = message::Reference::new(&reference.dye, range.low, range.high);
    out.assigned_rf = reference.assigned_rf;
    out.sd = reference.sd.map(|sd| {
        let mut spread = message::Spread::default();
        spread.within_paper = sd.within_paper;
        spread.between_papers = sd.between_papers;
        spread.between_sessions = sd.between_sessions;
        spread
    });
    out.count = reference.count.map(|count| {
        let mut numbers = message::Count::default();
        numbers.sessions = count.sessions;
        numbers.papers = count.papers;
        numbers.spots = count.spots;
        numbers
    });
    // The method's own words first: the same dye may look another way in another solvent.
    out.colours = reference
        .colours
        .clone()
        .or_else(|| dyes.by_id(&reference.dye).map(|dye| dye.colours.clone()))
        .unwrap_or_default();
    out.minor_spots = reference
        .minor_spots
        .iter()
        .flatten()
        .map(|minor| {
            let mut spot = message::MinorSpot::default();
            spot.rf = minor.rf;
            spot.colour.clone_from(&minor.colour);
            spot
        })
        .collect();
    out.behaviour.clone_from(&reference.behaviour);
    out
}

/// What is known of a sheet's papers.
pub(crate) fn known_sheet(id: &str, session: &str, evaluated: &EvaluatedSheet) -> message::Sheet {
    let mut sheet = message::Sheet::default();
    sheet.sheet = id.into();
    sheet.session = session.into();
    sheet.known = evaluated
        .lanes
        .iter()
        .filter_map(|lane| {
            let mut known = message::KnownLane::default();
            known.dyes = vec![lane.dye.as_deref()?.to_owned()];
            known.paper.clone_from(&lane.paper);
            known.lane = lane.lane;
            known.role = CompactString::const_new(role_word(lane.role));
            known.spots = lane.spots.iter().map(spot).collect();
            Some(known)
        })
        .collect();
    sheet
}

/// A lane under question. Its label stays here: a strategy must not peek.
pub(crate) fn lane(
    question: CompactString,
    sheet: &str,
    session: &str,
    lane: &EvaluatedLane,
) -> message::Lane {
    let mut out = message::Lane::default();
    out.id = question;
    out.sheet = sheet.into();
    out.session = session.into();
    out.paper.clone_from(&lane.paper);
    out.lane = lane.lane;
    out.role = CompactString::const_new(role_word(if lane.role == Role::Sample {
        Role::Sample
    } else {
        Role::Standard
    }));
    out.spots = lane.spots.iter().map(spot).collect();
    out
}

fn role_word(role: Role) -> &'static str {
    match role {
        Role::Standard => "standard",
        Role::Sample => "sample",
        Role::Bridging => "bridging",
    }
}

fn spot(spot: &EvaluatedSpot) -> message::Spot {
    let mut out = message::Spot::default();
    out.spot = spot.spot;
    out.rf = spot.rf;
    out.u = spot.u;
    out.front_cm = spot.front_cm;
    out.colour.clone_from(&spot.colour);
    out.depth.clone_from(&spot.depth);
    out.shape.clone_from(&spot.shape);
    out.width_rf = spot.width_rf;
    out.unusable = spot.unusable.map(CompactString::const_new);
    if let Some(why) = spot.rf.and_then(|rf| impossible(rf, spot.u)) {
        out.rf = None;
        out.u = None;
        out.unusable = Some(why.into());
    }
    out
}

/// Reading uncertainty assumed for this purpose where the method states none.
const USUAL_U: f64 = 0.01;

/// No dye runs ahead of the front or below the start line: beyond what reading the ruler explains
/// (three standard uncertainties), such an Rf is a mistake and says nothing about the dye.
fn impossible(rf: f64, u: Option<f64>) -> Option<String> {
    let margin = 3.0 * u.unwrap_or(USUAL_U);
    if rf > 1.0 + margin {
        Some(format!(
            "Rf {} can't be: the spot would lie beyond the front",
            show_rf(rf)
        ))
    } else if rf < -margin {
        Some(format!(
            "Rf {} can't be: the spot would lie below the start line",
            show_rf(rf)
        ))
    } else {
        None
    }
}
