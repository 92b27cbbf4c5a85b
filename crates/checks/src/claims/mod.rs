//! What a group says of its own sheet, held against its distances, its own standards and the
//! record. Evidence for the person who gives the mark; nothing here gives one.

mod identity_claim;
mod own_standards;
mod summary;

use crate::context::Context;
use crate::quotient_error::{QuotientVerdict, judge_quotient};
use crate::sheet_view::{LaneView, SheetView};
use crate::verdict::Verdict;
use dyebook_documents::{Role, Where};
use serde::Serialize;
use std::collections::BTreeMap;

pub use identity_claim::{IdentityClaim, RecordVerdict};
pub use own_standards::{OwnData, OwnStandard};

/// What a lane really holds, as recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LaneTruth {
    /// Paper.
    pub paper: String,
    /// Lane.
    pub lane: u32,
    /// Identifiers of the dyes.
    pub dyes: Vec<String>,
}

/// What a group claims, spot by spot and lane by lane.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Claims {
    /// Spots with a reported Rf or identity.
    pub spots: Vec<SpotClaim>,
    /// Sample lanes with a reported identity or a record.
    pub lanes: Vec<LaneClaim>,
}

/// One spot's claims.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpotClaim {
    /// Where.
    #[serde(rename = "where")]
    pub place: Where,
    /// Label of the lane.
    pub label: String,
    /// Whether the reported Rf follows from the distances.
    pub arithmetic: Option<ArithmeticClaim>,
    /// Whether the reported identity holds.
    pub identity: Option<IdentityClaim>,
    /// What the day's suitability check said, where there was one.
    pub suitability: Option<Verdict>,
    /// All of it in a sentence.
    pub summary: String,
}

/// A reported Rf.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArithmeticClaim {
    /// As written.
    pub reported: String,
    /// The quotient of the distances.
    pub rf: f64,
    /// How the two stand to each other.
    pub verdict: QuotientVerdict,
}

/// The dyes claimed in a lane against the record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LaneClaim {
    /// Where.
    #[serde(rename = "where")]
    pub place: Where,
    /// Label.
    pub label: String,
    /// Dyes claimed in its spots.
    pub claimed: Vec<String>,
    /// Dyes that it holds, where that is recorded.
    pub holds: Option<Vec<String>>,
    /// Held and not claimed.
    pub missed: Vec<String>,
    /// Claimed and not held.
    pub extra: Vec<String>,
}

/// Holds a group's own Rf and identities against its distances, its own standards and the record.
pub fn claims(context: &Context<'_>, record: &[LaneTruth], suitability: Option<Verdict>) -> Claims {
    let sheet = SheetView::new(context);
    let holds: BTreeMap<(&str, u32), &[String]> = record
        .iter()
        .map(|truth| ((&*truth.paper, truth.lane), &*truth.dyes))
        .collect();
    let mut spots = vec![];
    let mut lanes = vec![];
    for view in sheet.lanes() {
        let held = holds.get(&(&*view.lane.paper, view.lane.lane)).copied();
        let of_lane = spot_claims(&sheet, view, held, suitability);
        lanes.extend(lane_claim(view, held, &of_lane));
        spots.extend(of_lane);
    }
    Claims { spots, lanes }
}

/// Spots whose verdicts differ between two evaluations, e.g. before and after a record or a
/// reference was corrected: nobody else's result changed.
pub fn changed_claims(before: &Claims, after: &Claims) -> Vec<Where> {
    let verdicts = |claim: &SpotClaim| {
        let identity = claim.identity.as_ref();
        (
            claim
                .arithmetic
                .as_ref()
                .map(|arithmetic| arithmetic.verdict),
            identity.map(|identity| (identity.record, identity.own_data.agrees())),
        )
    };
    let earlier: BTreeMap<&Where, _> = before
        .spots
        .iter()
        .map(|claim| (&claim.place, verdicts(claim)))
        .collect();
    let later: BTreeMap<&Where, _> = after
        .spots
        .iter()
        .map(|claim| (&claim.place, verdicts(claim)))
        .collect();
    let all: std::collections::BTreeSet<&Where> =
        earlier.keys().chain(later.keys()).copied().collect();
    all.into_iter()
        .filter(|place| earlier.get(place) != later.get(place))
        .cloned()
        .collect()
}

fn spot_claims(
    sheet: &SheetView<'_>,
    view: LaneView<'_>,
    held: Option<&[String]>,
    suitability: Option<Verdict>,
) -> Vec<SpotClaim> {
    let units = sheet.context.sheet.units;
    let spots = view.lane.spots.iter().filter_map(|spot| {
        let row = &view.written.rows[spot.position];
        let front = row.front_cm(units).or_else(|| view.written.front_cm(units));
        let arithmetic = row.reported_rf.as_ref().and_then(|reported| {
            Some(ArithmeticClaim {
                reported: reported.text().to_owned(),
                rf: spot.rf?,
                verdict: judge_quotient(row.distance_cm(units)?, front?, reported),
            })
        });
        // In a standard's lane the label says what it is; that check is `reported-identity`.
        let reported = row
            .reported_identity
            .as_deref()
            .filter(|_| view.lane.role == Role::Sample);
        let identity = reported
            .map(|reported| identity_claim::identity_claim(sheet, view.lane, spot, reported, held));
        if arithmetic.is_none() && identity.is_none() {
            return None;
        }
        let summary = summary::summary(
            sheet.context,
            arithmetic.as_ref(),
            identity.as_ref(),
            suitability,
        );
        Some(SpotClaim {
            place: Where::spot(&view.lane.paper, view.lane.lane, spot.spot),
            label: view.lane.label.to_string(),
            arithmetic,
            identity,
            suitability,
            summary,
        })
    });
    spots.collect()
}

fn lane_claim(
    view: LaneView<'_>,
    held: Option<&[String]>,
    spots: &[SpotClaim],
) -> Option<LaneClaim> {
    if view.lane.role != Role::Sample {
        return None;
    }
    let identities = spots.iter().filter_map(|claim| claim.identity.as_ref());
    let mut claimed: Vec<String> = identities
        .flat_map(|identity| identity.dyes.iter().cloned())
        .collect();
    claimed.sort_unstable();
    claimed.dedup();
    if claimed.is_empty() && held.is_none() {
        return None;
    }
    let without = |these: &[String], those: &[String]| -> Vec<String> {
        these
            .iter()
            .filter(|dye| !those.contains(dye))
            .cloned()
            .collect()
    };
    Some(LaneClaim {
        place: Where::lane(&view.lane.paper, view.lane.lane),
        label: view.lane.label.to_string(),
        missed: held.map(|held| without(held, &claimed)).unwrap_or_default(),
        extra: held.map(|held| without(&claimed, held)).unwrap_or_default(),
        holds: held.map(<[String]>::to_vec),
        claimed,
    })
}

#[cfg(test)]
mod tests {
    use super::{Claims, LaneTruth, OwnData, RecordVerdict, changed_claims, claims};
    use crate::example::Example;
    use crate::quotient_error::QuotientVerdict;
    use crate::verdict::Verdict;
    use dyebook_documents::Where;

    fn holds(dyes: &[&str]) -> Vec<LaneTruth> {
        let dyes = dyes.iter().map(|dye| (*dye).to_owned()).collect();
        vec![LaneTruth {
            paper: "2".into(),
            lane: 3,
            dyes,
        }]
    }

    fn of(example: &Example, record: &[LaneTruth]) -> Claims {
        example.in_context(|context| claims(context, record, None))
    }

    /// Sample Q2 in lane 3 of paper 2, at Rf 0.406, red.
    fn claiming(rf: &str, identity: &str) -> Example {
        Example::clean().row("2", 3, |row| {
            row.reported_rf = Some(rf.parse().unwrap());
            row.reported_identity = Some(identity.into());
        })
    }

    #[test]
    fn right_in_every_respect() {
        let found = of(&claiming("0.41", "Red 40"), &holds(&["allura-red-ac"]));
        let [claim] = &found.spots[..] else {
            panic!("{found:#?}")
        };
        assert_eq!(
            claim.arithmetic.as_ref().unwrap().verdict,
            QuotientVerdict::Rounded
        );
        let identity = claim.identity.as_ref().unwrap();
        assert!(
            matches!(identity.own_data, OwnData::Agrees { .. }),
            "{identity:#?}"
        );
        assert_eq!(identity.record, RecordVerdict::Right);
        assert!(found.lanes[0].missed.is_empty() && found.lanes[0].extra.is_empty());
    }

    #[test]
    fn wrong_against_the_record_yet_consistent_with_shifted_standards() {
        // Own Yellow 6 ran to 0.406 instead of 0.505: by their own data the spot is Yellow 6.
        let example = claiming("0.41", "Yellow 6")
            .row("1", 6, |row| row.distance = Some("3.23".parse().unwrap()));
        let found = of(&example, &holds(&["allura-red-ac"]));
        let identity = found.spots[0].identity.as_ref().unwrap();
        assert_eq!(identity.record, RecordVerdict::Wrong);
        let OwnData::Agrees { standard, .. } = &identity.own_data else {
            panic!("{identity:#?}")
        };
        assert!(
            (standard.off_expected.unwrap() + 0.099).abs() < 0.002,
            "{standard:?}"
        );
        assert!(
            found.spots[0].summary.contains("consistent with their own"),
            "{found:#?}"
        );
        assert_eq!(
            (&*found.lanes[0].missed, &*found.lanes[0].extra),
            (
                &["allura-red-ac".to_owned()][..],
                &["sunset-yellow-fcf".to_owned()][..]
            )
        );
    }

    #[test]
    fn against_their_own_standards() {
        let found = of(&claiming("0.60", "Blue 1"), &[]);
        let claim = &found.spots[0];
        assert_eq!(
            claim.arithmetic.as_ref().unwrap().verdict,
            QuotientVerdict::Wrong
        );
        let identity = claim.identity.as_ref().unwrap();
        assert!(
            matches!(identity.own_data, OwnData::Contradicts { .. }),
            "{identity:#?}"
        );
        assert_eq!(identity.record, RecordVerdict::NotRecorded);
    }

    #[test]
    fn names_that_are_no_dye_and_dyes_without_an_own_standard_are_not_judged() {
        let found = of(&claiming("0.41", "some red"), &[]);
        assert_eq!(
            found.spots[0].identity.as_ref().unwrap().own_data,
            OwnData::NotRead
        );
        let found = of(&claiming("0.41", "Ponceau 4R"), &holds(&["ponceau-4r"]));
        let identity = found.spots[0].identity.as_ref().unwrap();
        assert_eq!(identity.own_data, OwnData::NoOwnStandard);
        assert_eq!(identity.record, RecordVerdict::Right);
    }

    #[test]
    fn a_corrected_record_changes_its_own_lane_only() {
        let example = claiming("0.41", "Red 40").row("2", 2, |row| {
            row.reported_identity = Some("Yellow 5".into());
        });
        let mut record = holds(&["sunset-yellow-fcf"]);
        record.push(LaneTruth {
            paper: "2".into(),
            lane: 2,
            dyes: vec!["tartrazine".into()],
        });
        let before = of(&example, &record);
        record[0].dyes = vec!["allura-red-ac".into()];
        let after = of(&example, &record);
        assert_eq!(changed_claims(&before, &after), [Where::spot("2", 3, 1)]);
        assert!(changed_claims(&after, &after).is_empty());
    }

    #[test]
    fn a_failed_suitability_check_is_said() {
        let claims = claiming("0.41", "Red 40")
            .in_context(|context| claims(context, &[], Some(Verdict::Stop)));
        assert!(
            claims.spots[0].summary.contains("suitability"),
            "{claims:#?}"
        );
    }
}
