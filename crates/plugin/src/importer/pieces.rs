//! The binary form of a file that was read: its rows, then what is said of all of it.

use compact_str::CompactString;
use serde::{Deserialize, Serialize};

use super::messages::{Column, Imported, Reading, Remark, Row, Units, Warning};
use crate::binary::Messages;

/// One message of the stream that a file is handed over in.
#[derive(Serialize)]
pub(super) enum Piece<'a> {
    Row {
        row: u64,
        fields: [&'a Option<CompactString>; 19],
    },
    /// The last one.
    Rest(Rest),
}

/// How the two begin.
const ROW: u32 = 0;
const REST: u32 = 1;

/// About what a row takes; there is no harm in rows that take less or more.
const USUAL_BYTES: usize = 96;

/// What is said of a file beside its rows.
#[derive(Serialize, Deserialize)]
pub(super) struct Rest {
    pub(super) units: Units,
    pub(super) reading: Reading,
    pub(super) columns: Vec<Column>,
    pub(super) remarks: Vec<Remark>,
    pub(super) warnings: Vec<Warning>,
}

impl<'a> From<&'a Row> for Piece<'a> {
    fn from(row: &'a Row) -> Self {
        Self::Row {
            row: row.row,
            fields: row.fields(),
        }
    }
}

impl Imported {
    /// Reads the binary form.
    ///
    /// # Errors
    /// Bytes that are no such stream, or go on behind its end.
    pub fn from_binary(bytes: &[u8]) -> Result<Self, String> {
        let mut messages = Messages::new(bytes);
        let mut rows = Vec::with_capacity(bytes.len() / USUAL_BYTES);
        let mut texts = Vec::new();
        loop {
            match messages.next()? {
                ROW => rows.push(next_row(&mut messages, &mut texts)?),
                REST => break,
                other => return Err(format!("{other} is neither a row nor the end")),
            }
        }
        let rest: Rest = messages.next()?;
        if !messages.left().is_empty() {
            return Err("something stands behind the end".into());
        }
        Ok(Self {
            rows,
            units: rest.units,
            reading: rest.reading,
            columns: rest.columns,
            remarks: rest.remarks,
            warnings: rest.warnings,
        })
    }
}

/// Reads a row. Rows come by the million, so that all texts of one are found to be UTF-8 in one go.
fn next_row(messages: &mut Messages<'_>, texts: &mut Vec<u8>) -> Result<Row, String> {
    let mut row = Row::new(messages.next()?);
    let fields: [Option<&[u8]>; 19] = messages.next()?;
    texts.clear();
    for field in fields.iter().flatten() {
        texts.extend_from_slice(field);
    }
    let mut left = std::str::from_utf8(texts).map_err(|error| error.to_string())?;
    for (place, field) in row.places().iter_mut().zip(&fields) {
        if let Some(field) = field {
            let (text, behind) =
                (left.split_at_checked(field.len())).ok_or("a text ends within a character")?;
            **place = Some(CompactString::new(text));
            left = behind;
        }
    }
    Ok(row)
}

#[cfg(test)]
mod tests {
    use super::{Piece, Rest};
    use crate::binary::write_behind;
    use crate::importer::table::FIELDS;
    use crate::importer::{Imported, Row};

    #[test]
    fn every_field_of_a_row_comes_back_in_its_own_place() {
        let mut row = Row::new(7);
        for field in FIELDS {
            *row.field_mut(field).unwrap() = Some(field.into());
        }
        let file = Imported {
            rows: vec![row, Row::new(8)],
            ..Imported::default()
        };
        let mut bytes = Vec::new();
        for row in &file.rows {
            bytes = write_behind(&Piece::from(row), bytes).unwrap();
        }
        let rest = Rest {
            units: file.units,
            reading: file.reading.clone(),
            columns: Vec::new(),
            remarks: Vec::new(),
            warnings: Vec::new(),
        };
        bytes = write_behind(&Piece::Rest(rest), bytes).unwrap();
        assert_eq!(Imported::from_binary(&bytes).unwrap(), file);
    }
}
