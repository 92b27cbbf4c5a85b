//! From the rows of a file to data sheets.

use dyebook_documents::{
    Lane, LengthUnit, NotADecimal, Remark, Role, Row, Sheet, Units, WrittenDecimal,
};
use dyebook_plugin::importer::{Imported, Problem, Row as FileRow, Unit, Units as FileUnits};
use jiff::civil::Date;

/// Problems listed of one file.
const MOST_PROBLEMS: usize = 200;

/// Groups rows by section, group, date and method, in the order of the file.
///
/// # Errors
/// Every value that can't be understood, with its line.
pub(crate) fn group_rows(file: &Imported) -> Result<Vec<Sheet>, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut sheets: Vec<Sheet> = Vec::new();
    let mut by_key = std::collections::HashMap::new();
    for row in &file.rows {
        let Some(read) = read_row(row, &mut problems) else {
            continue;
        };
        let key = (
            read.section.clone(),
            read.group.clone(),
            read.date,
            read.method.clone(),
        );
        let at = *by_key.entry(key).or_insert_with(|| {
            sheets.push(empty_sheet(&read, file.units));
            sheets.len() - 1
        });
        if let Some(sheet) = sheets.get_mut(at) {
            add(sheet, read, &mut problems);
        }
    }
    if let [only] = sheets.as_mut_slice() {
        only.remarks = file.remarks.iter().map(remark).collect();
    } else {
        give_remarks(&mut sheets, file);
    }
    if file.rows.is_empty() {
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

fn read_row(file: &FileRow, problems: &mut Vec<Problem>) -> Option<ReadRow> {
    let before = problems.len();
    let mut fields = Fields {
        row: file.row,
        problems,
    };
    let group = fields.required("group", file.group.as_ref());
    let method = fields.method(file.method.as_ref());
    let paper = fields.required("paper", file.paper.as_ref());
    let label = fields.required("label", file.label.as_ref());
    let lane = fields.required("lane", file.lane.as_ref());
    let lane = lane.and_then(|text| fields.whole_number("lane", &text));
    let spot = file
        .spot
        .as_ref()
        .and_then(|text| fields.whole_number("spot", text));
    let date = file.date.as_ref().and_then(|text| fields.date(text));
    let role = file.role.as_ref().and_then(|text| fields.role(text));
    let row = Row {
        row: u32::try_from(file.row).ok(),
        spot,
        distance: fields.decimal("distance", file.distance.as_ref()),
        front: fields.decimal("front", file.front.as_ref()),
        width: fields.decimal("width", file.width.as_ref()),
        reported_rf: fields.decimal("reported_rf", file.reported_rf.as_ref()),
        colour: file.colour.clone(),
        depth: file.depth.clone(),
        shape: file.shape.clone(),
        remark: file.remark.clone(),
        reported_identity: file.reported_identity.clone(),
    };
    if problems.len() > before {
        return None;
    }
    Some(ReadRow {
        section: file.section.clone(),
        group: group?,
        date,
        method: method?,
        batch: file.batch.clone(),
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

    fn required(&mut self, column: &str, text: Option<&String>) -> Option<String> {
        let found = text.filter(|text| !text.is_empty()).cloned();
        if found.is_none() {
            self.note(column, format!("`{column}` is empty"), "every row names it");
        }
        found
    }

    fn method(&mut self, text: Option<&String>) -> Option<String> {
        let text = self.required("method", text)?;
        if let Err(error) = text.parse::<dyebook_documents::MethodReference>() {
            self.note("method", error.to_string(), "e.g. saline-paper@^1.2");
            return None;
        }
        Some(text)
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
            Ok(date) => Some(date),
            Err(_ignored) => {
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

    fn decimal(&mut self, column: &str, text: Option<&String>) -> Option<WrittenDecimal> {
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
    if let Some(lane) = sheet.lanes.iter_mut().find(same) {
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

fn remark(remark: &dyebook_plugin::importer::Remark) -> Remark {
    Remark {
        row: u32::try_from(remark.row).ok(),
        text: remark.text.clone(),
    }
}

/// A remark line belongs to the sheet whose rows follow it, the last one to the sheet before.
fn give_remarks(sheets: &mut [Sheet], file: &Imported) {
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
    for found in &file.remarks {
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
        let sheets = group_rows(&file).unwrap();
        let remarks: Vec<Vec<&str>> = sheets
            .iter()
            .map(|sheet| sheet.remarks.iter().map(|r| r.text.as_str()).collect())
            .collect();
        assert_eq!(remarks, [vec!["remark 1"], vec!["remark 4", "remark 6"]]);
    }
}
