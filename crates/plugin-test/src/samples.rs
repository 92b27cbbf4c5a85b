//! What strategies and importers are tried with. Invented values.

use dyebook_plugin::strategy::{
    ColourWord, Lane, MatchRequest, MethodVersion, MinorSpot, Reference, ReferenceSet, Sheet, Spot,
    Spread,
};

use crate::random::Random;

/// A reference set of five dyes.
pub(crate) fn set() -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.method = MethodVersion::new("kit-paper", "1.0.0", "00");
    for (dye, assigned, colour) in [
        ("dye-a", 0.15, "yellow"),
        ("dye-b", 0.35, "red"),
        ("dye-c", 0.42, "red"),
        ("dye-d", 0.70, "blue"),
        ("dye-e", 0.90, "green"),
    ] {
        let mut reference = Reference::new(dye, assigned - 0.05, assigned + 0.05);
        reference.assigned_rf = Some(assigned);
        reference.colours = vec![colour.into()];
        let mut sd = Spread::default();
        sd.within_paper = Some(0.01);
        sd.between_sessions = Some(0.015);
        reference.sd = Some(sd);
        set.references.push(reference);
    }
    if let Some(first) = set.references.first_mut() {
        let mut minor = MinorSpot::default();
        minor.rf = 0.05;
        first.minor_spots.push(minor);
    }
    set.colour_words = ["yellow", "red", "blue", "green"]
        .map(|w| ColourWord::new(w, &[]))
        .into();
    set
}

/// Another one, of other dyes.
pub(crate) fn other_set() -> ReferenceSet {
    let mut set = set();
    for reference in &mut set.references {
        reference.dye = reference.dye.replace("dye", "other");
    }
    set.method.version = "2.0.0".into();
    set
}

/// A lane called so with these spots.
pub(crate) fn lane(id: &str, spots: Vec<Spot>) -> Lane {
    let mut lane = Lane::default();
    lane.id = id.into();
    lane.sheet = "sheet".into();
    lane.session = "session".into();
    lane.paper = "P1".into();
    lane.lane = 1;
    lane.role = "sample".into();
    lane.spots = spots;
    lane
}

pub(crate) fn spot(number: u32, rf: f64, colour: &str) -> Spot {
    let mut spot = Spot::new(number, rf, 0.008);
    spot.colour = Some(colour.into());
    spot
}

/// A request for these lanes.
pub(crate) fn request(lanes: Vec<Lane>) -> MatchRequest {
    let mut sheet = Sheet::default();
    sheet.sheet = "sheet".into();
    sheet.session = "session".into();
    let mut request = MatchRequest::default();
    request.sheets = vec![sheet];
    request.lanes = lanes;
    request
}

/// So many lanes, drawn by chance.
pub(crate) fn drawn(count: usize, random: &mut Random) -> MatchRequest {
    let colours = ["yellow", "red", "blue", "green", "teal", ""];
    let draw = |number: usize| {
        let spots = (1..=random.below(6)).map(|at| {
            let colour = colours
                .get(random.below(colours.len()))
                .copied()
                .unwrap_or_default();
            let mut spot = spot(u32::try_from(at).unwrap_or(1), random.unit() * 1.05, colour);
            match random.below(8) {
                0 => spot.rf = None,
                1 => spot.u = None,
                2 => spot.shape = Some("streak".into()),
                3 => spot.unusable = Some("the front was not measured".into()),
                _ => {}
            }
            spot
        });
        lane(&format!("lane-{number}"), spots.collect())
    };
    request((0..count).map(draw).collect())
}

/// A data sheet as text, for importers that bring no samples of their own.
pub(crate) const SHEET: &str = "\
section,group,date,method,paper,lane,label,spot,distance_cm,front_cm,colour
Tue,A,2026-09-14,kit-paper@1.0.0,P1,1,Red,1,3.40,8.05,red
Tue,A,2026-09-14,kit-paper@1.0.0,P1,2,Green,1,1.20,8.00,yellow
Tue,A,2026-09-14,kit-paper@1.0.0,P1,2,Green,2,5.60,8.00,blue
";
