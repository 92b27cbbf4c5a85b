//! A correction of a sheet: its own record, the original kept.

use crate::failure::{Failure, FailureClass};
use dyebook_documents::{Check, Lane, Role, Row, Sheet, Where, WrittenDecimal};
use dyebook_library::{
    KeptSheet, Library, NewRevision, Packed, RevisionKind, Stamp, content_digest,
};
use dyebook_schemas::{catalogue, check_value};
use serde::Serialize;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// What to correct: one lane, or one spot of it, and the new values.
#[derive(Debug, Clone)]
pub struct Amendment {
    /// Paper.
    pub paper: String,
    /// Lane.
    pub lane: u32,
    /// Spot, for a field of one spot.
    pub spot: Option<u32>,
    /// Field and new value; an empty value takes the old one away.
    pub set: Vec<(String, String)>,
    /// Why.
    pub reason: String,
}

/// One field that a person corrected.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AmendedField {
    /// The revision in which it was corrected.
    pub number: u32,
    /// Where.
    #[serde(rename = "where")]
    pub place: Where,
    /// Which field.
    pub field: String,
    /// What stood there.
    pub from: Value,
    /// What stands there now.
    pub to: Value,
    /// Why.
    pub reason: String,
    /// Who.
    pub by: String,
    /// When.
    pub at: String,
}

/// Fields of a lane.
const LANE_FIELDS: &[&str] = &["label", "role"];
/// Fields of a spot.
const SPOT_FIELDS: &[&str] = &[
    "distance", "front", "colour", "depth", "shape", "width", "remark",
];

/// Keeps a corrected revision of a sheet beside the one that was handed in.
///
/// # Errors
/// No such place or field, a value that can't be understood, nothing changed.
pub fn amend_sheet(
    library: &mut Library,
    kept: &KeptSheet,
    amendment: &Amendment,
    stamp: &Stamp,
) -> Result<Vec<AmendedField>, Failure> {
    needs_a_reason(&amendment.reason)?;
    let mut sheet = kept.sheet.clone();
    for (field, value) in &amendment.set {
        set_field(&mut sheet, amendment, field, value)?;
    }
    keep_amended(library, kept, &sheet, &amendment.reason, stamp)
}

/// A correction without a reason is refused.
pub(crate) fn needs_a_reason(reason: &str) -> Result<(), Failure> {
    if reason.trim().is_empty() {
        return Err(
            Failure::refused("sheet.no-reason", "a correction needs a reason")
                .hint("--reason \"the group read the front again\""),
        );
    }
    Ok(())
}

/// Keeps another revision of a sheet; answers what differs.
pub(crate) fn keep_amended(
    library: &mut Library,
    kept: &KeptSheet,
    sheet: &Sheet,
    reason: &str,
    stamp: &Stamp,
) -> Result<Vec<AmendedField>, Failure> {
    let mut fields = changed_fields(&kept.sheet, sheet);
    if fields.is_empty() {
        return Err(Failure::refused(
            "sheet.nothing-to-amend",
            format!("sheet `{}` says this already", kept.id),
        ));
    }
    let document = serde_json::to_value(sheet).map_err(|error| {
        Failure::new(FailureClass::Bug, "sheet.not-writable", error.to_string())
    })?;
    check_value(&catalogue::SHEET, &document)
        .map_err(|problems| Failure::not_valid(&kept.id, "sheet", &problems))?;
    let change = library.change(stamp.clone())?;
    let revision = change.keep_revision(&NewRevision {
        id: &kept.id,
        sheet,
        document: &Packed::new(document.to_string()),
        digest: &content_digest(&document),
        kind: RevisionKind::Amended,
        file_sha256: &kept.file_sha256,
        importer: &kept.importer,
        reading: &kept.reading,
        method_id: &kept.method_id,
        method_version: &kept.method_version,
        state_when_bound: kept.state_when_bound,
        origin: kept.origin,
        reason: Some(reason),
    })?;
    change.commit()?;
    for field in &mut fields {
        field.number = revision;
        reason.clone_into(&mut field.reason);
        field.by.clone_from(&stamp.by);
        field.at = stamp.at.to_string();
    }
    Ok(fields)
}

/// Every field that a person corrected in a sheet, in the order of the corrections.
///
/// # Errors
/// What the library says.
pub fn amendments(library: &Library, id: &str) -> Result<Vec<AmendedField>, Failure> {
    let revisions = library.sheet_revisions(id)?;
    let records: Vec<_> = library
        .history(Some(id))?
        .into_iter()
        .filter(|r| r.kind == "sheet" && ["imported", "replaced", "amended"].contains(&&*r.action))
        .collect();
    let mut out = Vec::new();
    for (pair, record) in revisions.windows(2).zip(records.iter().skip(1)) {
        let [before, after] = pair else { continue };
        if after.kind != RevisionKind::Amended {
            continue;
        }
        for mut field in changed_fields(&before.sheet, &after.sheet) {
            field.number = after.revision;
            field.reason = record.reason.clone().unwrap_or_default();
            field.by.clone_from(&record.by);
            field.at.clone_from(&record.at);
            out.push(field);
        }
    }
    Ok(out)
}

/// Findings without those about a reported Rf whose distance or front was corrected since: the group
/// worked it out from what it handed in.
pub(crate) fn of_what_stands(checks: Vec<Check>, corrected: &[AmendedField]) -> Vec<Check> {
    let lengths = |field: &&AmendedField| ["distance", "front"].contains(&&*field.field);
    let places: BTreeSet<&Where> = corrected.iter().filter(lengths).map(|f| &f.place).collect();
    let stands = |check: &Check| check.check != "reported-rf" || !places.contains(&check.place);
    checks.into_iter().filter(stands).collect()
}

fn set_field(
    sheet: &mut Sheet,
    place: &Amendment,
    field: &str,
    value: &str,
) -> Result<(), Failure> {
    let lane = sheet
        .lanes
        .iter_mut()
        .find(|lane| lane.paper == place.paper && lane.lane == place.lane)
        .ok_or_else(|| {
            Failure::refused(
                "sheet.no-such-place",
                format!(
                    "the sheet has no lane {} on paper {}",
                    place.lane, place.paper
                ),
            )
        })?;
    if LANE_FIELDS.contains(&field) {
        return set_lane_field(lane, field, value);
    }
    if !SPOT_FIELDS.contains(&field) {
        return Err(Failure::refused(
            "sheet.no-such-field",
            format!("there is no field `{field}`"),
        )
        .detail(format!("of a lane  {}", LANE_FIELDS.join(", ")))
        .detail(format!("of a spot  {}", SPOT_FIELDS.join(", "))));
    }
    match place.spot {
        // The front belongs to the lane: corrected for all its spots unless one is named.
        None if field == "front" => lane
            .rows
            .iter_mut()
            .try_for_each(|row| set_spot_field(row, field, value)),
        None => Err(Failure::refused(
            "sheet.no-such-place",
            format!("`{field}` belongs to a spot, and no spot is named"),
        )
        .hint("add --spot N")),
        Some(number) => {
            let row = (1..)
                .zip(lane.rows.iter_mut())
                .find(|(position, row)| row.spot.unwrap_or(*position) == number)
                .map(|(_, row)| row);
            let row = row.ok_or_else(|| {
                Failure::refused(
                    "sheet.no-such-place",
                    format!(
                        "lane {} of paper {} has no spot {number}",
                        place.lane, place.paper
                    ),
                )
            })?;
            set_spot_field(row, field, value)
        }
    }
}

fn set_lane_field(lane: &mut Lane, field: &str, value: &str) -> Result<(), Failure> {
    match (field, value) {
        ("role", "standard") => lane.role = Some(Role::Standard),
        ("role", "sample") => lane.role = Some(Role::Sample),
        ("role", "bridging") => lane.role = Some(Role::Bridging),
        ("role", "") => lane.role = None,
        ("role", other) => {
            return Err(
                Failure::refused("sheet.bad-value", format!("`{other}` is no role"))
                    .hint("a lane is a `standard`, a `sample` or `bridging`"),
            );
        }
        (_, "") => return Err(Failure::refused("sheet.bad-value", "a lane needs a label")),
        _ => lane.label = value.into(),
    }
    Ok(())
}

fn set_spot_field(row: &mut Row, field: &str, value: &str) -> Result<(), Failure> {
    let text = || (!value.is_empty()).then(|| value.into());
    match field {
        "distance" => row.distance = decimal(field, value)?,
        "front" => row.front = decimal(field, value)?,
        "width" => row.width = decimal(field, value)?,
        "colour" => row.colour = text(),
        "depth" => row.depth = text(),
        "shape" => row.shape = text(),
        _ => row.remark = text(),
    }
    Ok(())
}

fn decimal(field: &str, value: &str) -> Result<Option<WrittenDecimal>, Failure> {
    if value.is_empty() {
        return Ok(None);
    }
    value
        .parse()
        .map(Some)
        .map_err(|error: dyebook_documents::NotADecimal| {
            Failure::refused("sheet.bad-value", format!("`{field}`: {error}"))
                .hint("in the unit of the sheet, with a decimal point")
        })
}

/// Fields that differ between two revisions of a sheet; a correction adds and removes no rows.
fn changed_fields(before: &Sheet, after: &Sheet) -> Vec<AmendedField> {
    let mut out = Vec::new();
    let mut note = |place: Where, field: &str, from: Value, to: Value| {
        if from != to {
            out.push(AmendedField {
                number: 0,
                place,
                field: field.to_owned(),
                from,
                to,
                reason: String::new(),
                by: String::new(),
                at: String::new(),
            });
        }
    };
    for (old, new) in before.lanes.iter().zip(&after.lanes) {
        let place = Where::lane(&new.paper, new.lane);
        note(place.clone(), "label", json!(old.label), json!(new.label));
        note(place, "role", json!(old.role), json!(new.role));
        for (position, (old, new_row)) in (1..).zip(old.rows.iter().zip(&new.rows)) {
            let place = Where::spot(&new.paper, new.lane, new_row.spot.unwrap_or(position));
            let (old, new_row) = (json!(old), json!(new_row));
            for field in SPOT_FIELDS {
                let value = |row: &Value| row.get(field).cloned().unwrap_or_default();
                note(place.clone(), field, value(&old), value(&new_row));
            }
        }
    }
    out
}
