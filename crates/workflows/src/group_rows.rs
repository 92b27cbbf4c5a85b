//! From the rows of a file to data sheets.

use dyebook_documents::{
    Lane, LengthUnit, MethodReference, NotADecimal, Remark, Role, Row, Sheet, Units, WrittenDecimal,
};
use dyebook_plugin::importer::{
    Imported, Problem, Remark as FileRemark, Row as FileRow, Unit, Units as FileUnits,
};
use jiff::civil::Date;
use std::collections::HashMap;

/// Problems listed of one file.
const MOST_PROBLEMS: usize = 200;

/// Groups rows by section, group, date and method, in the order of the file.
///
/// # Errors
/// Every value that can't be understood, with its line.
pub(crate) fn group_rows(file: Imported) -> Result<Vec<Sheet>, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut sheets: Vec<Sheet> = Vec::new();
    // Rows of one sheet nearly always stand together.
    let mut last = 0;
    let mut by_key: HashMap<Key, usize> = HashMap::new();
    let is_empty = file.rows.is_empty();
    for row in file.rows {
        let Some(read) = read_row(row, sheets.get(last), &mut problems) else {
            continue;
        };
        if !sheets.get(last).is_some_and(|sheet| read.is_of(sheet)) {
            last = *by_key.entry(read.key()).or_insert_with(|| {
                sheets.push(empty_sheet(&read, file.units));
                sheets.len() - 1
            });
        }
        if let Some(sheet) = sheets.get_mut(last) {
            add(sheet, read, &mut problems);
        }
    }
    if let [only] = sheets.as_mut_slice() {
        only.remarks = file.remarks.iter().map(remark).collect();
    } else {
        give_remarks(&mut sheets, &file.remarks);
    }
    if is_empty {
        problems.push(
            Problem::new("the file holds no row of data")
                .hint("one row a spot goes below the header"),
        );
    }
    if problems.is_empty() {
        return Ok(sheets);
    }
    problems.truncate(MOST_PROBLEMS);
    Err(problems)
}

/// What tells sheets of one file apart: section, group, date, method.
type Key = (Option<String>, String, Option<Date>, String);

struct ReadRow {
    section: Option<String>,
    group: String,
    date: Option<Date>,
    method: String,
    batch: Option<String>,
    paper: String,
    lane: u32,
    label: String,
    role: Option<Role>,
    row: Row,
}

impl ReadRow {
    fn is_of(&self, sheet: &Sheet) -> bool {
        self.group == sheet.group
            && self.section == sheet.section
            && self.date == sheet.date
            && self.method == sheet.method
    }

    fn key(&self) -> Key {
        (
            self.section.clone(),
            self.group.clone(),
            self.date,
            self.method.clone(),
        )
    }
}

/// Reads a row; `above` is the sheet of the row before it.
fn read_row(file: FileRow, above: Option<&Sheet>, problems: &mut Vec<Problem>) -> Option<ReadRow> {
    let before = problems.len();
    let mut fields = Fields {
        row: file.row,
        problems,
    };
    let group = fields.required("group", file.group);
    let method = fields.method(file.method, above);
    let paper = fields.required("paper", file.paper);
    let label = fields.required("label", file.label);
    let lane = fields.required("lane", file.lane);
    let lane = lane.and_then(|text| fields.whole_number("lane", &text));
    let spot = (file.spot).and_then(|text| fields.whole_number("spot", &text));
    let date = file.date.and_then(|text| fields.date(&text));
    let role = file.role.and_then(|text| fields.role(&text));
    let row = Row {
        row: u32::try_from(file.row).ok().filter(|row| *row >= 1),
        spot,
        distance: fields.decimal("distance", file.distance),
        front: fields.decimal("front", file.front),
        width: fields.decimal("width", file.width),
        reported_rf: fields.decimal("reported_rf", file.reported_rf),
        colour: file.colour,
        depth: file.depth,
        shape: file.shape,
        remark: file.remark,
        reported_identity: file.reported_identity,
    };
    if problems.len() > before {
        return None;
    }
    Some(ReadRow {
        section: file.section,
        group: group?,
        date,
        method: method?,
        batch: file.batch,
        paper: paper?,
        lane: lane?,
        label: label?,
        role,
        row,
    })
}

/// Reads the fields of one row, noting what can't be understood.
struct Fields<'a> {
    row: u64,
    problems: &'a mut Vec<Problem>,
}

impl Fields<'_> {
    fn note(&mut self, column: &str, message: String, hint: &str) {
        let problem = Problem::new(message).in_row(self.row).in_column(column);
        self.problems.push(problem.hint(hint));
    }

    fn required(&mut self, column: &str, text: Option<String>) -> Option<String> {
        let found = text.filter(|text| !text.is_empty());
        if found.is_none() {
            self.note(column, format!("`{column}` is empty"), "every row names it");
        }
        found
    }

    fn method(&mut self, text: Option<String>, above: Option<&Sheet>) -> Option<String> {
        let text = self.required("method", text)?;
        if above.is_some_and(|sheet| sheet.method == text) {
            return Some(text);
        }
        let message = match text.parse::<MethodReference>() {
            Ok(_) if is_full_reference(&text) => return Some(text),
            Ok(_) if !text.contains('@') => format!("`{text}` does not say which version"),
            Ok(_) => {
                format!("`{text}` is not written as a method's id in lower case and its version")
            }
            Err(error) => error.to_string(),
        };
        self.note("method", message, "e.g. saline-paper@^1.2");
        None
    }

    fn whole_number(&mut self, column: &str, text: &str) -> Option<u32> {
        // A spreadsheet writes 3 as 3.0.
        let whole = text.strip_suffix(".0").unwrap_or(text);
        match whole.parse::<u32>() {
            Ok(number) if number >= 1 => Some(number),
            _ => {
                let message = format!("`{text}` is not a number of a {column}");
                self.note(column, message, "lanes and spots are counted 1, 2, 3 …");
                None
            }
        }
    }

    fn date(&mut self, text: &str) -> Option<Date> {
        match text.parse::<Date>() {
            Ok(date) if date.year() >= 0 => Some(date),
            _ => {
                let message = format!("`{text}` is not a date");
                self.note("date", message, "write dates as year-month-day: 2026-10-05");
                None
            }
        }
    }

    fn role(&mut self, text: &str) -> Option<Role> {
        match text.to_lowercase().as_str() {
            "standard" | "standards" => Some(Role::Standard),
            "sample" | "samples" | "unknown" => Some(Role::Sample),
            "bridging" => Some(Role::Bridging),
            _ => {
                let message = format!("`{text}` is no role of a lane");
                self.note("role", message, "a lane is a `standard` or a `sample`");
                None
            }
        }
    }

    fn decimal(&mut self, column: &str, text: Option<String>) -> Option<WrittenDecimal> {
        match WrittenDecimal::try_from(text?) {
            Ok(decimal) => Some(decimal),
            Err(NotADecimal(text)) => {
                let message = format!("`{text}` is not a number");
                self.note(
                    column,
                    message,
                    "leave the field empty where nothing was measured",
                );
                None
            }
        }
    }
}

/// Whether a reference is written as a sheet has to write it: a method's id, which is in lower case,
/// and what its version has to be.
fn is_full_reference(text: &str) -> bool {
    let word = |part: &str| {
        !part.is_empty()
            && (part.bytes()).all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
    };
    text.split_once('@').is_some_and(|(id, version)| {
        id.split('-').all(word) && version.starts_with(|c: char| !c.is_whitespace())
    })
}

fn empty_sheet(first: &ReadRow, units: FileUnits) -> Sheet {
    Sheet {
        section: first.section.clone(),
        group: first.group.clone(),
        date: first.date,
        method: first.method.clone(),
        batch: first.batch.clone(),
        units: Units {
            distance: unit(units.distance),
            front: unit(units.front),
            width: units.width.map(unit),
        },
        lanes: Vec::new(),
        remarks: Vec::new(),
    }
}

fn unit(unit: Unit) -> LengthUnit {
    match unit {
        Unit::Cm => LengthUnit::Centimetre,
        Unit::Mm => LengthUnit::Millimetre,
        Unit::In => LengthUnit::Inch,
    }
}

fn add(sheet: &mut Sheet, read: ReadRow, problems: &mut Vec<Problem>) {
    if sheet.batch != read.batch {
        match (&sheet.batch, &read.batch) {
            (_, None) => {}
            (None, Some(_)) => sheet.batch = read.batch,
            (Some(first), Some(other)) => problems.push(
                Problem::new(format!("the batch is `{other}`, and `{first}` above"))
                    .in_row(u64::from(read.row.row.unwrap_or_default()))
                    .in_column("batch")
                    .hint(
                        "one data sheet is run with one batch; split the sheet, or mend the slip",
                    ),
            ),
        }
    }
    // A lane number that comes with another label is another lane: a check will ask about it.
    let same = |lane: &&mut Lane| {
        lane.lane == read.lane && lane.paper == read.paper && lane.label == read.label
    };
    if let Some(lane) = sheet.lanes.iter_mut().rev().find(same) {
        lane.role = lane.role.or(read.role);
        lane.rows.push(read.row);
    } else {
        sheet.lanes.push(Lane {
            paper: read.paper,
            lane: read.lane,
            label: read.label,
            role: read.role,
            rows: vec![read.row],
        });
    }
}

fn remark(remark: &FileRemark) -> Remark {
    Remark {
        row: u32::try_from(remark.row).ok(),
        text: remark.text.clone(),
    }
}

/// A remark line belongs to the sheet whose rows follow it, the last one to the sheet before.
fn give_remarks(sheets: &mut [Sheet], remarks: &[FileRemark]) {
    if remarks.is_empty() {
        return;
    }
    let mut sheet_of_row: Vec<(u64, usize)> = sheets
        .iter()
        .enumerate()
        .flat_map(|(at, sheet)| {
            let rows = sheet.lanes.iter().flat_map(|lane| &lane.rows);
            rows.filter_map(move |row| Some((u64::from(row.row?), at)))
        })
        .collect();
    sheet_of_row.sort_unstable();
    let last = sheets.len().saturating_sub(1);
    for found in remarks {
        let next = sheet_of_row.partition_point(|(row, _)| *row <= found.row);
        let at = sheet_of_row.get(next).map_or(last, |(_, at)| *at);
        if let Some(sheet) = sheets.get_mut(at) {
            sheet.remarks.push(remark(found));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::group_rows;
    use dyebook_plugin::importer::{Imported, Remark, Row};

    fn row(number: u64, group: &str) -> Row {
        let mut row = Row::new(number);
        for (field, value) in [
            ("group", group),
            ("method", "m@1.0.0"),
            ("paper", "1"),
            ("lane", "1"),
            ("label", "Red 40"),
        ] {
            *row.field_mut(field).unwrap() = Some(value.to_owned());
        }
        row
    }

    #[test]
    fn a_remark_belongs_to_the_sheet_below_it_and_the_last_to_the_last_sheet() {
        let mut file = Imported::default();
        file.rows = vec![row(2, "heron"), row(3, "heron"), row(5, "teal")];
        file.remarks = [1, 4, 6]
            .map(|row| Remark {
                row,
                text: format!("remark {row}"),
            })
            .to_vec();
        let sheets = group_rows(file).unwrap();
        let remarks: Vec<Vec<&str>> = sheets
            .iter()
            .map(|sheet| sheet.remarks.iter().map(|r| r.text.as_str()).collect())
            .collect();
        assert_eq!(remarks, [vec!["remark 1"], vec!["remark 4", "remark 6"]]);
    }
}
