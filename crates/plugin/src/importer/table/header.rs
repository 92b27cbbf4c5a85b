//! The header line: which column is which field, in which unit.

use super::closeness::closeness;
use crate::importer::{Output, Problem, Unit, Units};

/// Every field of a row, in the order in which a sheet is usually laid out.
pub const FIELDS: [&str; 19] = [
    "section",
    "group",
    "date",
    "method",
    "batch",
    "paper",
    "role",
    "lane",
    "label",
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
/// Fields that hold text or a plain number.
const PLAIN: [&str; 16] = [
    "section",
    "group",
    "date",
    "method",
    "batch",
    "paper",
    "role",
    "lane",
    "label",
    "spot",
    "colour",
    "depth",
    "shape",
    "remark",
    "reported_rf",
    "reported_identity",
];
/// Fields that hold a length and need a unit.
const LENGTHS: [&str; 3] = ["distance", "front", "width"];
/// Fields without which a sheet says too little.
const REQUIRED: [&str; 7] = [
    "group", "method", "paper", "lane", "label", "distance", "front",
];

/// One column of the file.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) header: String,
    /// `None`: not known, its contents are left alone.
    pub(super) field: Option<&'static str>,
}

/// The header of a file, understood.
#[derive(Clone, Debug)]
pub struct Header {
    pub(super) columns: Vec<Column>,
    units: Units,
}

enum Name {
    Plain(&'static str),
    Length(&'static str, Unit),
    NoUnit(&'static str),
    OtherUnit(&'static str, String),
    Unknown,
}

/// Does this header name a field, with or without a unit?
pub fn names_a_field(header: &str) -> bool {
    !matches!(understand(header), Name::Unknown)
}

impl Header {
    /// Understands a header line, and says in `out` what was taken for what and what is wrong.
    pub fn read<S: AsRef<str>>(headers: &[S], row: u64, out: &mut Output<'_, '_>) -> Self {
        let mut found = Self {
            columns: Vec::new(),
            units: Units::default(),
        };
        for header in headers {
            let header = header.as_ref().trim();
            let field = found.field_of(header, row, out);
            if let Some(field) = field {
                out.column(header, field);
            }
            found.columns.push(Column {
                header: header.into(),
                field,
            });
        }
        found.refuse_duplicates(row, out);
        found.refuse_missing(row, out);
        found.warn_of_unknown(row, out);
        out.units(found.units);
        found
    }

    fn field_of(
        &mut self,
        header: &str,
        row: u64,
        out: &mut Output<'_, '_>,
    ) -> Option<&'static str> {
        let at = |problem: Problem| problem.in_row(row).in_column(header);
        match understand(header) {
            Name::Plain(field) => Some(field),
            Name::Length(field, unit) => {
                match field {
                    "distance" => self.units.distance = unit,
                    "front" => self.units.front = unit,
                    _ => self.units.width = Some(unit),
                }
                Some(field)
            }
            Name::NoUnit(field) => {
                out.problem(
                    at(Problem::new(format!("the column `{header}` has no unit"))).hint(format!(
                        "write the unit into the header: `{field}_cm`, `{field}_mm` or `{field}_in`"
                    )),
                );
                Some(field)
            }
            Name::OtherUnit(field, unit) => {
                out.problem(
                    at(Problem::new(format!(
                        "`{unit}` in `{header}` is not a unit of a sheet"
                    )))
                    .hint(format!("use `{field}_cm`, `{field}_mm` or `{field}_in`")),
                );
                Some(field)
            }
            Name::Unknown => None,
        }
    }

    fn refuse_duplicates(&self, row: u64, out: &mut Output<'_, '_>) {
        for (place, column) in self.columns.iter().enumerate() {
            let earlier = self.columns.iter().take(place);
            let mut same =
                earlier.filter(|other| column.field.is_some() && other.field == column.field);
            if let (Some(first), Some(field)) = (same.next_back(), column.field) {
                out.problem(
                    Problem::new(format!(
                        "`{}` and `{}` are both the column `{field}`",
                        first.header, column.header
                    ))
                    .in_row(row)
                    .in_column(&column.header)
                    .hint("keep one of the two, or give the other one another name"),
                );
            }
        }
    }

    fn refuse_missing(&self, row: u64, out: &mut Output<'_, '_>) {
        for field in REQUIRED {
            if self
                .columns
                .iter()
                .any(|column| column.field == Some(field))
            {
                continue;
            }
            let wanted = if LENGTHS.contains(&field) {
                format!("{field}_cm")
            } else {
                field.into()
            };
            let near = self.unknown().find(|header| nearest(header) == Some(field));
            let hint = match near {
                Some(header) => format!("`{header}` is close; name it `{wanted}`"),
                None => format!("add a column `{wanted}`"),
            };
            let problem = Problem::new(format!("the column `{wanted}` is missing"));
            out.problem(problem.in_row(row).hint(hint));
        }
    }

    fn warn_of_unknown(&self, row: u64, out: &mut Output<'_, '_>) {
        for header in self.unknown() {
            let near =
                nearest(header).map(|field| format!("; the nearest known name is `{field}`"));
            let near = near.unwrap_or_default();
            let message = format!("the column `{header}` is not known and was not read{near}");
            out.warn("unknown-column", message, Some(row));
        }
    }

    fn unknown(&self) -> impl Iterator<Item = &str> {
        let unknown = self.columns.iter().filter(|column| column.field.is_none());
        unknown
            .map(|column| column.header.as_str())
            .filter(|header| !header.is_empty())
    }

    /// The header of the column that holds this field, for messages.
    pub(super) fn name_of(&self, field: &str) -> String {
        let column = self
            .columns
            .iter()
            .find(|column| column.field == Some(field));
        column.map_or_else(|| field.to_owned(), |column| column.header.clone())
    }
}

fn understand(header: &str) -> Name {
    // As the template writes them.
    if let Some(field) = PLAIN.into_iter().find(|field| *field == header) {
        return Name::Plain(field);
    }
    let folded = match fold(header).as_str() {
        // American spelling.
        "color" => "colour".to_owned(),
        other => other.to_owned(),
    };
    if let Some(field) = PLAIN.into_iter().find(|field| *field == folded) {
        return Name::Plain(field);
    }
    for field in LENGTHS {
        match folded.strip_prefix(field) {
            Some("") => return Name::NoUnit(field),
            Some(rest) => match rest.strip_prefix('_') {
                Some("cm") => return Name::Length(field, Unit::Cm),
                Some("mm") => return Name::Length(field, Unit::Mm),
                Some("in") => return Name::Length(field, Unit::In),
                Some(other) => return Name::OtherUnit(field, other.into()),
                None => {}
            },
            None => {}
        }
    }
    Name::Unknown
}

/// Lower case, with `_` for everything between words: `Distance (mm)` is `distance_mm`.
fn fold(header: &str) -> String {
    let lower = header.to_lowercase();
    let words = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("_")
}

/// The field whose name is closest to an unknown header, when it is close at all.
fn nearest(header: &str) -> Option<&'static str> {
    let folded = fold(header);
    let without_unit = folded
        .trim_end_matches("_cm")
        .trim_end_matches("_mm")
        .trim_end_matches("_in");
    let fields = PLAIN.into_iter().chain(LENGTHS);
    let measured = fields.map(|field| (closeness(without_unit, field), field));
    let best = measured.max_by(|a, b| a.0.total_cmp(&b.0))?;
    (best.0 >= 0.6).then_some(best.1)
}
