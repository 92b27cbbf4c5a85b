//! The binary form of a file that was read: its rows, then what is said of all of it.

use serde::{Deserialize, Serialize};

use super::messages::{Column, Imported, Reading, Remark, Row, Units, Warning};
use crate::binary::read_next;

/// One message of the stream that a file is handed over in.
#[derive(Serialize, Deserialize)]
pub(super) enum Piece<'a> {
    Row {
        row: u64,
        #[serde(borrow)]
        fields: [Option<&'a str>; 19],
    },
    /// The last one.
    Rest(Rest),
}

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
            let (piece, behind) = read_next(left)?;
            left = behind;
            match piece {
                Piece::Row { row, fields } => rows.push(Row::of_fields(row, &fields)),
                Piece::Rest(rest) if left.is_empty() => {
                    return Ok(Self {
                        rows,
                        units: rest.units,
                        reading: rest.reading,
                        columns: rest.columns,
                        remarks: rest.remarks,
                        warnings: rest.warnings,
                    });
                }
                Piece::Rest(_) => return Err("something stands behind the end".into()),
            }
        }
    }
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
            *row.field_mut(field).unwrap() = Some(field.to_owned());
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
