//! A cell as the text that a person typed, as far as the workbook still knows it.

use calamine::{Data, ExcelDateTime};

/// Why a cell has no text.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Unreadable {
    pub(crate) what: String,
    pub(crate) hint: &'static str,
}

/// The text of a cell under a header. Only a column called `date` may hold dates.
pub(crate) fn text(cell: &Data, date_column: bool) -> Result<String, Unreadable> {
    let refused = |what: String, hint| Err(Unreadable { what, hint });
    match cell {
        Data::Empty => Ok(String::new()),
        Data::String(text) => Ok(text.trim().to_owned()),
        Data::Float(number) => Ok(number_text(*number)),
        Data::Int(number) => Ok(number.to_string()),
        Data::DateTime(date) if date_column => Ok(iso(date)),
        Data::DateTimeIso(date) if date_column => {
            Ok(date.split('T').next().unwrap_or_default().to_owned())
        }
        Data::DateTime(date) => refused(
            format!("the spreadsheet turned it into the date {}", iso(date)),
            "set the column's format to text and type the number again",
        ),
        Data::DateTimeIso(text) | Data::DurationIso(text) => refused(
            format!("the spreadsheet turned it into the date or time `{text}`"),
            "set the column's format to text and type the number again",
        ),
        Data::Bool(value) => refused(
            format!(
                "it holds the truth value {}",
                if *value { "TRUE" } else { "FALSE" }
            ),
            "type a text or a number",
        ),
        Data::Error(error) => refused(
            format!("its formula gives the error {error}"),
            "mend the formula",
        ),
    }
}

/// A number as a spreadsheet shows it: in at most 15 digits, which is what it keeps.
fn number_text(number: f64) -> String {
    let digits = format!("{number:.14e}").parse::<f64>().unwrap_or(number);
    format!("{digits}")
}

fn iso(date: &ExcelDateTime) -> String {
    let (year, month, day, ..) = date.to_ymd_hms_milli();
    format!("{year:04}-{month:02}-{day:02}")
}
