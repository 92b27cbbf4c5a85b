//! One record becomes one row: fields trimmed, numbers and dates looked at, nothing corrected.

use compact_str::CompactString;

use super::header::{FIELDS, Header};
use super::number::{decimal_sign, is_iso_date};
use crate::importer::{Output, Problem, Row};

/// Characters of one field: a longer one is mostly a quotation mark that was never closed.
const MOST_CHARACTERS: usize = 10_000;

/// Which decimal signs a file uses.
#[derive(Clone, Copy, Debug, Default)]
pub struct Decimals {
    /// Rows with a decimal comma; the first of them.
    pub comma: Option<u64>,
    /// Rows with a decimal point; the first of them.
    pub point: Option<u64>,
}

impl Decimals {
    /// The decimal sign to say in the answer: the comma when any number has one.
    pub fn sign(self) -> Option<&'static str> {
        match (self.comma, self.point) {
            (Some(_), _) => Some(","),
            (None, Some(_)) => Some("."),
            (None, None) => None,
        }
    }
}

/// Reads rows under a header.
#[derive(Debug)]
pub struct RowReader<'h> {
    header: &'h Header,
    /// For each column, which of the fields it holds.
    places: Vec<Option<usize>>,
    /// Decimal signs met so far.
    pub decimals: Decimals,
}

impl<'h> RowReader<'h> {
    /// A reader of rows under this header.
    pub fn new(header: &'h Header) -> Self {
        let place = |field: Option<&str>| FIELDS.iter().position(|name| Some(*name) == field);
        Self {
            header,
            places: header.columns.iter().map(|c| place(c.field)).collect(),
            decimals: Decimals::default(),
        }
    }

    /// Reads one record. `None` when it is empty or not a row; problems went to `out`.
    pub fn read<S: AsRef<str>>(
        &mut self,
        number: u64,
        fields: &[S],
        out: &mut Output<'_, '_>,
    ) -> Option<Row> {
        if fields.iter().all(is_empty) {
            return None;
        }
        let (found, expected) = (fields.len(), self.places.len());
        if found < expected || !fields.iter().skip(expected).all(is_empty) {
            out.problem(ragged(number, found, expected));
            return None;
        }
        let mut row = Row::new(number);
        let places = row.places();
        for (at, (place, field)) in self.places.iter().zip(fields).enumerate() {
            let text = trimmed(field.as_ref());
            if text.len() > MOST_CHARACTERS && text.chars().count() > MOST_CHARACTERS {
                out.problem(
                    Problem::new(format!(
                        "a field has more than {MOST_CHARACTERS} characters"
                    ))
                    .in_row(number)
                    .in_column(&self.header.columns[at].header)
                    .hint("look for a quotation mark that is not closed"),
                );
            } else if let Some(place) = place {
                *places[*place] = (!text.is_empty()).then(|| CompactString::new(text));
            }
        }
        check_row(
            &mut row,
            &|field| self.header.name_of(field),
            &mut self.decimals,
            out,
        );
        Some(row)
    }
}

fn is_empty<S: AsRef<str>>(field: &S) -> bool {
    trimmed(field.as_ref()).is_empty()
}

/// A field without the spaces around it, of which nearly all have none.
fn trimmed(field: &str) -> &str {
    match field.as_bytes() {
        [one] if one.is_ascii_graphic() => field,
        [first, .., last] if first.is_ascii_graphic() && last.is_ascii_graphic() => field,
        _ => field.trim(),
    }
}

/// Looks at the fields of a row: what must be filled, numbers, role and date. `name_of` gives a
/// field the name by which its writer knows it.
pub fn check_row(
    row: &mut Row,
    name_of: &dyn Fn(&str) -> String,
    decimals: &mut Decimals,
    out: &mut Output<'_, '_>,
) {
    let number = row.row;
    let mut refuse = |field: &str, message: String, hint: &str| {
        let problem = Problem::new(message)
            .in_row(number)
            .in_column(name_of(field));
        out.problem(problem.hint(hint));
    };
    let must_be_filled = [
        ("group", &row.group),
        ("method", &row.method),
        ("paper", &row.paper),
        ("lane", &row.lane),
        ("label", &row.label),
    ];
    for (field, text) in must_be_filled {
        if text.is_none() {
            refuse(field, format!("`{field}` is empty"), "every row names it");
        }
    }
    let decimal_numbers = [
        ("distance", &mut row.distance),
        ("front", &mut row.front),
        ("width", &mut row.width),
        ("reported_rf", &mut row.reported_rf),
    ];
    for (field, text) in decimal_numbers {
        let Some(text) = text else {
            continue;
        };
        match decimal_sign(text) {
            Ok(Some(',')) => {
                decimals.comma.get_or_insert(number);
                *text = text.replace(',', ".").into();
            }
            Ok(Some(_)) => {
                decimals.point.get_or_insert(number);
            }
            Ok(None) => {}
            Err(hint) => refuse(field, format!("`{text}` is not a number"), hint),
        }
    }
    for (field, text) in [("lane", &row.lane), ("spot", &row.spot)] {
        let Some(text) = text else {
            continue;
        };
        if text.parse::<u32>().is_err() || text.starts_with('+') {
            let hint = "lanes and spots are counted 1, 2, 3 …";
            refuse(field, format!("`{text}` is not a whole number"), hint);
        }
    }
    if let Some(role) = row.role.as_mut().filter(|role| !is_role(role)) {
        *role = role.to_lowercase();
        if !is_role(role) {
            let message = format!("the role `{role}` is neither `standard` nor `sample`");
            refuse("role", message, "leave it empty to let the label decide");
        }
    }
    if let Some(date) = row.date.as_deref().filter(|date| !is_iso_date(date)) {
        let message = format!("`{date}` is not a date of the form 2026-11-25");
        refuse("date", message, "write year, month, day: YYYY-MM-DD");
    }
}

fn is_role(text: &str) -> bool {
    matches!(text, "standard" | "sample" | "bridging")
}

fn ragged(row: u64, found: usize, expected: usize) -> Problem {
    let hint = if found > expected {
        "a number with a decimal comma needs `;` between the fields, or quotation marks around it"
    } else {
        "an empty field still has its separator"
    };
    let message = format!("the row has {found} fields, the header {expected}");
    Problem::new(message).in_row(row).hint(hint)
}
