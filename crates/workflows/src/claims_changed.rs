//! Whose result changes when a record or a reference is corrected, and nobody else's.

use crate::claims::{claims_by, handed_in, recorded};
use crate::failure::Failure;
use crate::identify::{IdentifyRequest, identify};
use crate::matcher::Matcher;
use crate::resolve_method::resolve_method;
use crate::sheet_page::stored_identification;
use crate::strategy_compare_words::spot_verdict;
use dyebook_checks::{Claims, LaneTruth, changed_claims};
use dyebook_documents::{DyeRegister, Identification, Role, SpotIdentity, StrategyStamp, Where};
use dyebook_library::{KeptSheet, Library};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A sheet of which something changes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChangedSheet {
    /// Sheet.
    pub sheet: String,
    /// Class section.
    pub section: Option<String>,
    /// Group.
    pub group: String,
    /// What changes, place by place.
    pub changes: Vec<ChangedResult>,
}

/// One result that changes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChangedResult {
    /// Where.
    #[serde(rename = "where")]
    pub place: Where,
    /// Whether it is the group's claim or the program's identity that is judged otherwise.
    pub of: ChangedWhat,
    /// What was said before.
    pub before: String,
    /// What is said now.
    pub after: String,
}

/// What is judged otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ChangedWhat {
    /// What the group claims.
    Claim,
    /// What the program found.
    Identity,
}

/// What a version would change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ChangedBy {
    /// The version whose references would count.
    pub method: String,
    /// Sheets by other versions of the same major that were held against it.
    pub sheets: usize,
    /// Those of which something changes.
    pub changed: Vec<ChangedSheet>,
    /// Identities that could not be worked out again, and why.
    pub not_compared: Vec<String>,
}

/// Makes the matcher of a strategy as an identification names it.
pub type MatcherOf<'a> = &'a dyn Fn(&StrategyStamp) -> Result<Box<dyn Matcher>, Failure>;

/// What the references of a version would change in sheets run by other versions of the same major:
/// the groups' claims, and the identities, both worked out afresh by the strategy that was asked
/// last. Nothing is stored.
///
/// # Errors
/// A reference that leads nowhere, and what the library says.
pub fn changed_by_version(
    library: &Library,
    dyes: &DyeRegister,
    reference: &str,
    matcher_of: MatcherOf<'_>,
) -> Result<ChangedBy, Failure> {
    let new = resolve_method(library, reference)?;
    let method = new.method()?;
    let mut sheets = vec![];
    let mut changes: BTreeMap<String, Vec<ChangedResult>> = BTreeMap::new();
    for version in library.methods(Some(&new.id))? {
        if version.version.major != new.version.major || version.version == new.version {
            continue;
        }
        let bound = version.method()?;
        for id in library.sheets_of_method(&version.id, &version.version)? {
            let Some(kept) = library.sheet(&id, None)? else {
                continue;
            };
            let record = recorded(library, &id)?;
            let sheet = handed_in(library, &kept)?;
            let before = claims_by(&sheet, &bound, dyes, &record, None);
            let after = claims_by(&sheet, &method, dyes, &record, None);
            changes.insert(id, claim_changes(&before, &after));
            sheets.push(kept);
        }
    }
    let mut not_compared = vec![];
    for (stamp, asked) in by_strategy(library, &sheets)? {
        let found = matcher_of(&stamp)
            .and_then(|matcher| identity_changes(library, dyes, &asked, &new.name(), matcher));
        match found {
            Ok(found) => {
                for (sheet, found) in found {
                    changes.entry(sheet).or_default().extend(found);
                }
            }
            Err(failure) => not_compared.push(format!(
                "the identities of {} by `{}`: {}",
                count_sheets(asked.len()),
                stamp.id,
                failure.message
            )),
        }
    }
    let changed = sheets
        .iter()
        .filter_map(|kept| changed_sheet(kept, changes.remove(&kept.id)?))
        .collect();
    Ok(ChangedBy {
        method: new.name(),
        sheets: sheets.len(),
        changed,
        not_compared,
    })
}

fn count_sheets(number: usize) -> String {
    match number {
        1 => "1 sheet".to_owned(),
        several => format!("{several} sheets"),
    }
}

/// Sheets that the same strategy was asked about with the same parameters.
type AskedAlike = (Arc<StrategyStamp>, Vec<KeptSheet>);

/// The sheets by the strategy and parameters that they were asked by last.
fn by_strategy(library: &Library, sheets: &[KeptSheet]) -> Result<Vec<AskedAlike>, Failure> {
    let mut groups: Vec<AskedAlike> = vec![];
    for kept in sheets {
        let Some(stored) = stored_identification(library, &kept.id)? else {
            continue;
        };
        let stamp = stored.strategy;
        let same = |(one, _): &&mut AskedAlike| {
            (&one.id, &one.parameters) == (&stamp.id, &stamp.parameters)
        };
        match groups.iter_mut().find(same) {
            Some((_, sheets)) => sheets.push(kept.clone()),
            None => groups.push((stamp, vec![kept.clone()])),
        }
    }
    Ok(groups)
}

/// What a corrected record changes in a sheet's claims, in the lanes whose record there was before.
pub(crate) fn changed_by_record(
    library: &Library,
    kept: &KeptSheet,
    method: &dyebook_documents::Method,
    dyes: &DyeRegister,
    before: &[LaneTruth],
    after: &[LaneTruth],
) -> Result<Option<ChangedSheet>, Failure> {
    let sheet = handed_in(library, kept)?;
    let corrected = |place: &Where| {
        let is_it = |one: &&LaneTruth| {
            Some(&one.paper) == place.paper.as_ref() && Some(one.lane) == place.lane
        };
        before.iter().any(|one| is_it(&one))
    };
    let claims = |record: &[LaneTruth]| claims_by(&sheet, method, dyes, record, None);
    let mut changes = claim_changes(&claims(before), &claims(after));
    changes.retain(|change| corrected(&change.place));
    Ok(changed_sheet(kept, changes))
}

fn changed_sheet(kept: &KeptSheet, changes: Vec<ChangedResult>) -> Option<ChangedSheet> {
    (!changes.is_empty()).then(|| ChangedSheet {
        sheet: kept.id.clone(),
        section: kept.sheet.section.clone(),
        group: kept.sheet.group.clone(),
        changes,
    })
}

fn claim_changes(before: &Claims, after: &Claims) -> Vec<ChangedResult> {
    let said = |claims: &Claims, place: &Where| {
        let mut spots = claims.spots.iter();
        spots
            .find(|claim| claim.place == *place)
            .map_or_else(|| "nothing".to_owned(), |claim| claim.summary.clone())
    };
    changed_claims(before, after)
        .into_iter()
        .map(|place| ChangedResult {
            of: ChangedWhat::Claim,
            before: said(before, &place),
            after: said(after, &place),
            place,
        })
        .collect()
}

/// Identities by the version that each sheet is bound to and by another one.
fn identity_changes(
    library: &Library,
    dyes: &DyeRegister,
    sheets: &[KeptSheet],
    method: &str,
    mut matcher: Box<dyn Matcher>,
) -> Result<Vec<(String, Vec<ChangedResult>)>, Failure> {
    let mut by = |method: Option<&str>| {
        let request = IdentifyRequest {
            sheets,
            method,
            across_versions: None,
        };
        identify(library, dyes, &mut *matcher, request)
    };
    let (before, after) = (by(None)?, by(Some(method))?);
    let pairs = before.iter().zip(&after);
    Ok(pairs
        .map(|(before, after)| {
            let changes = changed_identities(before, after, dyes);
            (after.sheet.clone(), changes)
        })
        .collect())
}

/// Spots of which something else is said.
fn changed_identities(
    before: &Identification,
    after: &Identification,
    dyes: &DyeRegister,
) -> Vec<ChangedResult> {
    let mut changes = vec![];
    for lane in after.lanes.iter().filter(|lane| lane.role == Role::Sample) {
        let earlier = before
            .lanes
            .iter()
            .find(|one| (&one.paper, one.lane) == (&lane.paper, lane.lane));
        for spot in &lane.spots {
            let same = |one: &&SpotIdentity| one.spot == spot.spot;
            let was = earlier.and_then(|lane| lane.spots.iter().find(same));
            let was = was.map_or_else(|| "not judged".to_owned(), |was| spot_verdict(was, dyes));
            let is = spot_verdict(spot, dyes);
            if was != is {
                changes.push(ChangedResult {
                    place: Where::spot(&lane.paper, lane.lane, spot.spot),
                    of: ChangedWhat::Identity,
                    before: was,
                    after: is,
                });
            }
        }
    }
    changes
}
