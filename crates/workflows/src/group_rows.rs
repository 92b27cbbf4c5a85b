//! From the rows of a file to data sheets.

use compact_str::CompactString;
use dyebook_documents::{
    Lane, LengthUnit, MethodReference, NotADecimal, Remark, Role, Row, Sheet, Units, WrittenDecimal,
};
use dyebook_plugin::importer::{
    Imported, Problem, Remark as FileRemark, Row as FileRow, Unit, Units as FileUnits,
};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Problems listed of one file.
const MOST_PROBLEMS: usize = 200;

/// Groups rows by section, group, date and method, in the order of the file.
///
/// # Errors
/// Every value that can't be understood, with its line.
pub(crate) fn group_rows(mut file: Imported) -> Result<Vec<Sheet>, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut sheets: Vec<Sheet> = Vec::new();
    let mut above: Option<Above> = None;
    let mut by_key: BTreeMap<Key, usize> = BTreeMap::new();
    let is_empty = file.rows.is_empty();
    for row in &mut file.rows {
        let head = Head::take(row);
        let known = above.as_ref().filter(|above| above.head == head);
        let Some((read, date)) = read_row(row, &head, known, &mut problems) else {
            continue;
        };
        let at = if let Some(above) = known {
            above.sheet
        } else {
            let sheet = *by_key.entry(head.key(date)).or_insert_with(|| {
                // Groups of one class run as many lanes.
                let lanes = sheets.last().map_or(0, |before| before.lanes.len());
                sheets.push(empty_sheet(&head, date, file.units, lanes));
                sheets.len() - 1
            });
            above = Some(Above { head, date, sheet });
            sheet
        };
        if let Some(sheet) = sheets.get_mut(at) {
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

/// What tells sheets of one file apart, as a row writes it.
#[derive(PartialEq)]
struct Head {
    section: Option<CompactString>,
    group: Option<CompactString>,
    date: Option<CompactString>,
    method: Option<CompactString>,
}

/// The same, understood.
type Key = (
    Option<CompactString>,
    Option<CompactString>,
    Option<Date>,
    Option<CompactString>,
);

impl Head {
    fn take(row: &mut FileRow) -> Self {
        Self {
            section: row.section.take(),
            group: row.group.take(),
            date: row.date.take(),
            method: row.method.take(),
        }
    }

    fn key(&self, date: Option<Date>) -> Key {
        let (section, group) = (self.section.clone(), self.group.clone());
        (section, group, date, self.method.clone())
    }
}

/// The head of the last row that was taken. Rows of one sheet nearly always stand together, and what
/// they all say is understood once.
struct Above {
    head: Head,
    date: Option<Date>,
    sheet: usize,
}

/// What a row says of its own spot and lane.
struct ReadRow {
    batch: Option<CompactString>,
    paper: CompactString,
    lane: u32,
    label: CompactString,
    role: Option<Role>,
    row: Row,
}

/// Takes what a row says out of it, and understands its head where that is not `known` from above.
fn read_row(
    file: &mut FileRow,
    head: &Head,
    known: Option<&Above>,
    problems: &mut Vec<Problem>,
) -> Option<(ReadRow, Option<Date>)> {
    let before = problems.len();
    let mut fields = Fields {
        row: file.row,
        problems,
    };
    if known.is_none() {
        fields.required("group", head.group.as_deref());
        fields.method(head.method.as_deref());
    }
    fields.required("paper", file.paper.as_deref());
    fields.required("label", file.label.as_deref());
    let lane = fields.required("lane", file.lane.as_deref());
    let lane = lane.and_then(|text| fields.whole_number("lane", text));
    let spot = (file.spot.as_deref()).and_then(|text| fields.whole_number("spot", text));
    let date = match known {
        Some(above) => above.date,
        None => head.date.as_deref().and_then(|text| fields.date(text)),
    };
    let role = file.role.as_deref().and_then(|text| fields.role(text));
    let row = Row {
        row: u32::try_from(file.row).ok().filter(|row| *row >= 1),
        spot,
        distance: fields.decimal("distance", file.distance.as_deref()),
        front: fields.decimal("front", file.front.as_deref()),
        width: fields.decimal("width", file.width.as_deref()),
        reported_rf: fields.decimal("reported_rf", file.reported_rf.as_deref()),
        colour: file.colour.take(),
        depth: file.depth.take(),
        shape: file.shape.take(),
        remark: file.remark.take(),
        reported_identity: file.reported_identity.take(),
    };
    if problems.len() > before {
        return None;
    }
    let read = ReadRow {
        batch: file.batch.take(),
        paper: file.paper.take()?,
        lane: lane?,
        label: file.label.take()?,
        role,
        row,
    };
    Some((read, date))
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

    fn required<'t>(&mut self, column: &str, text: Option<&'t str>) -> Option<&'t str> {
        let found = text.filter(|text| !text.is_empty());
        if found.is_none() {
            self.note(column, format!("`{column}` is empty"), "every row names it");
        }
        found
    }

    fn method(&mut self, text: Option<&str>) {
        let Some(text) = self.required("method", text) else {
            return;
        };
        let message = match text.parse::<MethodReference>() {
            Ok(_) if is_full_reference(text) => return,
            Ok(_) if !text.contains('@') => format!("`{text}` does not say which version"),
            Ok(_) => {
                format!("`{text}` is not written as a method's id in lower case and its version")
            }
            Err(error) => error.to_string(),
        };
        self.note("method", message, "e.g. saline-paper@^1.2");
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
        let found = role(text).or_else(|| role(&text.to_lowercase()));
        if found.is_none() {
            let message = format!("`{text}` is no role of a lane");
            self.note("role", message, "a lane is a `standard` or a `sample`");
        }
        found
    }

    fn decimal(&mut self, column: &str, text: Option<&str>) -> Option<WrittenDecimal> {
        match text?.parse() {
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

fn role(word: &str) -> Option<Role> {
    match word {
        "standard" | "standards" => Some(Role::Standard),
        "sample" | "samples" | "unknown" => Some(Role::Sample),
        "bridging" => Some(Role::Bridging),
        _ => None,
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

fn empty_sheet(head: &Head, date: Option<Date>, units: FileUnits, lanes: usize) -> Sheet {
    let text = |text: &Option<CompactString>| text.as_deref().map(str::to_owned);
    Sheet {
        section: text(&head.section),
        group: text(&head.group).unwrap_or_default(),
        date,
        method: text(&head.method).unwrap_or_default(),
        batch: None,
        units: Units {
            distance: unit(units.distance),
            front: unit(units.front),
            width: units.width.map(unit),
        },
        lanes: Vec::with_capacity(lanes),
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
    match (sheet.batch.as_deref(), read.batch) {
        (_, None) => {}
        (None, Some(batch)) => sheet.batch = Some(batch.into()),
        (Some(first), Some(other)) if *first == other => {}
        (Some(first), Some(other)) => problems.push(
            Problem::new(format!("the batch is `{other}`, and `{first}` above"))
                .in_row(u64::from(read.row.row.unwrap_or_default()))
                .in_column("batch")
                .hint("one data sheet is run with one batch; split the sheet, or mend the slip"),
        ),
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
            *row.field_mut(field).unwrap() = Some(value.into());
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
