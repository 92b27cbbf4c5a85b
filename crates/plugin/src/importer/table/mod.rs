//! Data sheets that come as a table: a header line, then one row a spot. An importer that can give
//! its cells as text leaves the rest to these: names and units of the columns, required fields,
//! numbers, dates.
//!
//! Nothing is corrected: a text is kept as written, and only a decimal comma becomes a point.

mod closeness;
mod header;
mod number;
mod row;

pub use header::{FIELDS, Header, names_a_field};
pub use number::is_iso_date;
pub use row::{Decimals, RowReader, check_row};
