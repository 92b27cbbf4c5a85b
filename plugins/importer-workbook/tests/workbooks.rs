//! Workbooks as spreadsheets write them. They are made here by another library than the one that
//! reads them; values are invented.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use dyebook_importer_workbook::{Config, Workbook};
use dyebook_plugin::importer::{
    Imported, Importer, ProbeRequest, Problem, Refusal, Unit, read_without_host,
};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook as Book, Worksheet};

const HEADER: [&str; 8] = [
    "group",
    "date",
    "method",
    "paper",
    "lane",
    "label",
    "distance_cm",
    "front (mm)",
];

fn sheet() -> Worksheet {
    let mut sheet = Worksheet::new();
    sheet.write_string(0, 0, "Class of Tuesday").unwrap();
    for (column, name) in (0..).zip(HEADER) {
        sheet.write_string(2, column, name).unwrap();
    }
    row(&mut sheet, 3);
    sheet
}

fn row(sheet: &mut Worksheet, row: u32) {
    for (column, text) in [(0, "A"), (2, "saline-paper@1.0.0"), (3, "P1"), (5, "Red")] {
        sheet.write_string(row, column, text).unwrap();
    }
    let date = ExcelDateTime::parse_from_str("2026-09-14").unwrap();
    let format = Format::new().set_num_format("dd/mm/yyyy");
    sheet
        .write_datetime_with_format(row, 1, &date, &format)
        .unwrap();
    sheet.write_number(row, 4, 2).unwrap();
    sheet.write_number(row, 6, 3.4).unwrap();
    sheet.write_string(row, 7, "80,5").unwrap();
}

fn bytes(sheets: Vec<Worksheet>) -> Vec<u8> {
    let mut book = Book::new();
    for sheet in sheets {
        book.push_worksheet(sheet);
    }
    book.save_to_buffer().unwrap()
}

fn read_as(sheet: Option<&str>, bytes: &[u8]) -> Result<Imported, Vec<Problem>> {
    let importer = Workbook::new(Config {
        sheet: sheet.map(Into::into),
    })
    .unwrap();
    read_without_host(&importer, "a.xlsx", bytes).map_err(|error| {
        serde_json::from_str::<Refusal>(&error.to_string())
            .unwrap()
            .problems
    })
}

#[test]
fn a_row_is_read_below_a_title_with_its_row_number() {
    let read = read_as(None, &bytes(vec![sheet()])).unwrap();
    let row = &read.rows[0];
    assert_eq!(row.row, 4);
    assert_eq!(row.date.as_deref(), Some("2026-09-14"));
    assert_eq!(row.lane.as_deref(), Some("2"));
    assert_eq!(
        (row.distance.as_deref(), row.front.as_deref()),
        (Some("3.4"), Some("80.5"))
    );
    assert_eq!(
        (read.units.distance, read.units.front),
        (Unit::Cm, Unit::Mm)
    );
    assert_eq!(read.warnings[0].code, "digits-not-kept");
}

#[test]
fn a_number_that_became_a_date_is_refused_by_name() {
    let mut sheet = sheet();
    let date = ExcelDateTime::parse_from_str("2026-04-03").unwrap();
    let format = Format::new().set_num_format("dd/mm/yyyy");
    sheet
        .write_datetime_with_format(3, 6, &date, &format)
        .unwrap();
    let problems = read_as(None, &bytes(vec![sheet])).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert_eq!(
        (problems[0].row, problems[0].column.as_deref()),
        (Some(4), Some("distance_cm"))
    );
    assert!(
        problems[0].message.contains("the date 2026-04-03"),
        "{problems:?}"
    );
}

#[test]
fn values_of_formulas_are_used_and_said_so() {
    let mut sheet = sheet();
    sheet
        .write_formula(3, 6, Formula::new("=1.7*2").set_result("3.4"))
        .unwrap();
    let read = read_as(None, &bytes(vec![sheet])).unwrap();
    assert_eq!(read.rows[0].distance.as_deref(), Some("3.4"));
    let warning = read
        .warnings
        .iter()
        .find(|warning| warning.code == "formula-values")
        .unwrap();
    assert_eq!(warning.row, Some(4));
}

#[test]
fn sheets_go_by_name_and_the_first_one_is_said() {
    let mut named = sheet();
    named.set_name("Papers").unwrap();
    let book = bytes(vec![Worksheet::new(), named]);
    assert!(
        read_as(None, &book).unwrap_err()[0]
            .message
            .contains("names the columns")
    );
    let read = read_as(Some("Papers"), &book).unwrap();
    assert_eq!(read.rows.len(), 1);
    let problems = read_as(Some("Other"), &book).unwrap_err();
    assert!(problems[0].hint.as_deref().unwrap().contains("`Papers`"));
    let two = bytes(vec![sheet(), Worksheet::new()]);
    assert_eq!(
        read_as(None, &two).unwrap().warnings[0].code,
        "other-sheets"
    );
}

#[test]
fn wrong_cells_and_missing_columns_are_all_listed() {
    let mut sheet = sheet();
    sheet.write_string(2, 3, "papr").unwrap();
    sheet.write_boolean(3, 6, true).unwrap();
    row(&mut sheet, 5);
    sheet.write_string(5, 7, "eight").unwrap();
    let problems = read_as(None, &bytes(vec![sheet])).unwrap_err();
    let words: Vec<&str> = problems
        .iter()
        .map(|problem| problem.message.as_str())
        .collect();
    assert!(words[0].contains("`paper` is missing"), "{words:?}");
    assert!(words[1].contains("truth value TRUE"), "{words:?}");
    assert!(
        words
            .iter()
            .any(|words| words.contains("`eight` is not a number")),
        "{words:?}"
    );
}

#[test]
fn remark_rows_and_empty_rows_are_no_rows() {
    let mut sheet = sheet();
    sheet.write_string(4, 0, "# dried flat").unwrap();
    row(&mut sheet, 6);
    let read = read_as(None, &bytes(vec![sheet])).unwrap();
    let numbers: Vec<u64> = read.rows.iter().map(|row| row.row).collect();
    assert_eq!(numbers, [4, 7]);
    assert_eq!(
        (read.remarks[0].row, read.remarks[0].text.as_str()),
        (5, "dried flat")
    );
}

#[test]
fn other_files_are_not_taken() {
    let importer = Workbook::new(Config::default()).unwrap();
    let sure = |head: &[u8]| importer.probe(&ProbeRequest::new("a", 0), head).confidence;
    assert!(sure(&bytes(vec![sheet()])) > 0.8);
    assert!(sure(b"group,method\n") < 0.1);
    assert!(read_as(None, b"PK\x03\x04 and nothing else").is_err());
    let whole = bytes(vec![sheet()]);
    for part in 1..16 {
        let cut = whole.get(..whole.len() * part / 16).unwrap();
        assert!(read_as(None, cut).is_err(), "{part}/16");
    }
}
