//! From the nested document to flat rows.

use dyebook_plugin::Result;
use dyebook_plugin::importer::table::{Decimals, FIELDS, check_row};
use dyebook_plugin::importer::{Output, Problem, Row, Unit, Units};
use serde_json::Value;

use crate::places::Place;

const SHEET_KEYS: [&str; 8] = [
    "section", "group", "date", "method", "batch", "units", "lanes", "remarks",
];
const LANE_KEYS: [&str; 5] = ["paper", "lane", "label", "role", "rows"];
const ROW_KEYS: [&str; 11] = [
    "row",
    "spot",
    "distance",
    "front",
    "colour",
    "depth",
    "shape",
    "width",
    "remark",
    "reported_rf",
    "reported_identity",
];

pub(crate) fn read(document: &Value, out: &mut Output<'_, '_>) -> Result<Decimals> {
    let sheet = Place::new(Some(document), "", out);
    sheet.only(&SHEET_KEYS, out);
    read_units(&sheet, out);
    let mut head = Row::new(0);
    for key in ["section", "group", "date", "method", "batch"] {
        put(&mut head, key, sheet.text(key, out));
    }
    let mut count = 0;
    let mut decimals = Decimals::default();
    for lane in sheet.objects("lanes", out) {
        lane.only(&LANE_KEYS, out);
        let mut of_lane = head.clone();
        for key in ["paper", "label", "role"] {
            put(&mut of_lane, key, lane.text(key, out));
        }
        of_lane.lane = lane.whole("lane", out).map(Into::into);
        for place in lane.objects("rows", out) {
            count += 1;
            let mut row = read_row(&place, &of_lane, count, out);
            let name_of = |field: &str| match field {
                field if SHEET_KEYS.contains(&field) => sheet.pointer_to(field),
                field if LANE_KEYS.contains(&field) => lane.pointer_to(field),
                field => place.pointer_to(field),
            };
            check_row(&mut row, &name_of, &mut decimals, out);
            out.row(&row)?;
        }
    }
    if count == 0 && !out.refused() {
        out.problem(Problem::new("the sheet has no rows").hint("a lane has one row a spot"));
    }
    read_remarks(&sheet, document, out);
    for field in FIELDS {
        out.column(field, field);
    }
    Ok(decimals)
}

fn read_row(place: &Place<'_>, lane: &Row, count: u64, out: &mut Output<'_, '_>) -> Row {
    place.only(&ROW_KEYS, out);
    let mut row = lane.clone();
    // The line of the file that the document was once made from, else the row's place here.
    row.row = place.row("row", out).unwrap_or(count);
    row.spot = place.whole("spot", out).map(Into::into);
    for key in ROW_KEYS.into_iter().skip(2) {
        put(&mut row, key, place.text(key, out));
    }
    row
}

fn read_units(sheet: &Place<'_>, out: &mut Output<'_, '_>) {
    let place = sheet.object("units", out);
    if !place.is_there() {
        return;
    }
    place.only(&["distance", "front", "width"], out);
    let mut unit = |key: &str| match place.text(key, out).as_deref() {
        Some("cm") => Some(Unit::Cm),
        Some("mm") => Some(Unit::Mm),
        Some("in") => Some(Unit::In),
        None if key == "width" => None,
        other => {
            let pointer = place.pointer_to(key);
            let found = other.unwrap_or("nothing");
            let problem = Problem::new(format!("`{found}` is not a unit of a sheet"));
            out.problem(problem.in_column(pointer).hint("use `cm`, `mm` or `in`"));
            None
        }
    };
    let (distance, front, width) = (unit("distance"), unit("front"), unit("width"));
    if let (Some(distance), Some(front)) = (distance, front) {
        out.units(Units {
            distance,
            front,
            width,
        });
    }
}

fn read_remarks(sheet: &Place<'_>, document: &Value, out: &mut Output<'_, '_>) {
    if document.get("remarks").is_none_or(Value::is_null) {
        return;
    }
    for (number, remark) in sheet.objects("remarks", out).into_iter().enumerate() {
        let row = remark.row("row", out);
        if let Some(text) = remark.text("text", out) {
            out.remark(row.unwrap_or(number as u64 + 1), text);
        }
    }
}

fn put(row: &mut Row, field: &str, text: Option<String>) {
    if let Some(place) = row.field_mut(field) {
        *place = text.map(Into::into);
    }
}
