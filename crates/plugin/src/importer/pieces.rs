//! The binary form of a file that was read: its rows, then what is said of all of it.

use compact_str::CompactString;
use serde::{Deserialize, Serialize};

use super::messages::{Column, Imported, Reading, Remark, Row, Units, Warning};
use crate::binary::read_next;

/// One message of the stream that a file is handed over in.
#[derive(Serialize)]
pub(super) enum Piece<'a> {
    Row {
        row: u64,
        fields: [Option<&'a str>; 19],
    },
    /// The last one.
    Rest(Rest),
}

/// How the two begin.
const ROW: u32 = 0;
const REST: u32 = 1;

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
        let mut rows = Vec::new();
        let mut left = bytes;
        loop {
            match take(&mut left)? {
                ROW => rows.push(take_row(&mut left)?),
                REST => break,
                other => return Err(format!("{other} is neither a row nor the end")),
            }
        }
        let rest: Rest = take(&mut left)?;
        if !left.is_empty() {
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

/// Reads a row field by field, each into its place: rows come by the million.
fn take_row(left: &mut &[u8]) -> Result<Row, String> {
    let mut row = Row::new(take(left)?);
    for place in row.places() {
        *place = take::<Option<&str>>(left)?.map(CompactString::new);
    }
    Ok(row)
}

fn take<'a, T: Deserialize<'a>>(left: &mut &'a [u8]) -> Result<T, String> {
    let (message, behind) = read_next(left)?;
    *left = behind;
    Ok(message)
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
