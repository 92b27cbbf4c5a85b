//! Texts of a row that may hold anything: a flipped byte must become a finding, not an error.

use rusqlite::Row;
use rusqlite::types::ValueRef;

/// A column as text, whatever is in it.
pub(super) fn text(row: &Row<'_>, column: usize) -> rusqlite::Result<String> {
    Ok(optional_text(row, column)?.unwrap_or_default())
}

/// A column as text, `None` when it is null.
pub(super) fn optional_text(row: &Row<'_>, column: usize) -> rusqlite::Result<Option<String>> {
    Ok(match row.get_ref(column)? {
        ValueRef::Null => None,
        ValueRef::Integer(number) => Some(number.to_string()),
        ValueRef::Real(number) => Some(number.to_string()),
        ValueRef::Text(bytes) | ValueRef::Blob(bytes) => {
            Some(String::from_utf8_lossy(bytes).into_owned())
        }
    })
}

/// All columns of a row as texts.
pub(super) fn texts<const N: usize>(row: &Row<'_>) -> rusqlite::Result<[String; N]> {
    let mut out = [const { String::new() }; N];
    for (column, place) in out.iter_mut().enumerate() {
        *place = text(row, column)?;
    }
    Ok(out)
}
