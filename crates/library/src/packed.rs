//! Documents and files as they stand in the library: packed, since the disk is what a large term
//! waits for.
//!
//! The form is an LZ4 block (github.com/lz4/lz4, `doc/lz4_Block_format.md`) behind the length of
//! what was packed, four bytes, the lowest first. Whoever has the file and not this program reads it
//! with any LZ4 library, in Python `lz4.block.decompress(packed)`.

use crate::dyes::parse;
use crate::error::LibraryError;
use lz4_flex::block::{
    CompressTable, compress_into_with_table, compress_prepend_size, decompress_size_prepended,
    get_maximum_output_size,
};
use rusqlite::types::{FromSql, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use std::cell::RefCell;

/// A document or a file, packed for the library.
#[derive(Debug, Clone)]
pub struct Packed(Vec<u8>);

impl Packed {
    /// Packs a file, or the text of a document.
    pub fn new(bytes: impl AsRef<[u8]>) -> Self {
        let bytes = bytes.as_ref();
        Self(pack_short(bytes).unwrap_or_else(|| compress_prepend_size(bytes)))
    }
}

/// Packs what is short, as most documents are, with a table and in a room that are kept from one to
/// the next.
fn pack_short(bytes: &[u8]) -> Option<Vec<u8>> {
    thread_local!(static BENCH: RefCell<(CompressTable, Vec<u8>)> = RefCell::default());
    // At this length the table would grow and stay so, and what is packed next would look otherwise.
    let length = u16::try_from(bytes.len())
        .ok()
        .filter(|length| *length < u16::MAX)?;
    BENCH.with_borrow_mut(|(table, room)| {
        room.resize(get_maximum_output_size(bytes.len()).max(room.len()), 0);
        let packed = compress_into_with_table(bytes, room, table).ok()?;
        Some([&u32::from(length).to_le_bytes(), &room[..packed]].concat())
    })
}

impl ToSql for Packed {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        self.0.to_sql()
    }
}

/// What was packed, read back from a row; damage is for the reader to tell, who knows what it was.
#[derive(Debug)]
pub(crate) struct Unpacked(Result<Vec<u8>, String>);

impl FromSql for Unpacked {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let ValueRef::Blob(packed) = value else {
            return Ok(Self(Err("it is not packed".to_owned())));
        };
        Ok(Self(unpack(packed)))
    }
}

/// A byte of a block stands for 255 bytes at most; a length beyond that is damage, and would ask for
/// memory that is not there.
const MOST_A_BYTE: usize = 255;

fn unpack(packed: &[u8]) -> Result<Vec<u8>, String> {
    let length = packed.first_chunk().copied().map(u32::from_le_bytes);
    let length = length.and_then(|length| usize::try_from(length).ok());
    if length.is_none_or(|length| length > packed.len().saturating_mul(MOST_A_BYTE)) {
        return Err("its packed form is damaged".to_owned());
    }
    decompress_size_prepended(packed)
        .map_err(|error| format!("its packed form is damaged: {error}"))
}

impl Unpacked {
    /// The bytes.
    ///
    /// # Errors
    /// The packed form is damaged.
    pub(crate) fn bytes(self, what: impl Fn() -> String) -> Result<Vec<u8>, LibraryError> {
        self.0.map_err(|detail| LibraryError::Unreadable {
            what: what(),
            detail,
        })
    }

    /// The document.
    ///
    /// # Errors
    /// The packed form is damaged, or what was packed is not such a document.
    pub(crate) fn document<T: serde::de::DeserializeOwned>(
        self,
        what: impl Fn() -> String,
    ) -> Result<T, LibraryError> {
        parse(&self.bytes(&what)?, what)
    }

    /// The bytes, or what is wrong with them.
    pub(crate) fn into_result(self) -> Result<Vec<u8>, String> {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::{Packed, unpack};

    #[test]
    fn a_packed_text_comes_back() {
        let long = "Rf 0.42 fits allura-red-ac; ".repeat(500);
        for text in ["", "{}", long.as_str()] {
            assert_eq!(unpack(&Packed::new(text).0).unwrap(), text.as_bytes());
        }
        assert!(Packed::new(&long).0.len() * 20 < long.len());
    }

    /// Around the length from which LZ4 keeps places in four bytes instead of two.
    #[test]
    fn what_was_packed_before_leaves_no_trace() {
        let numbers: Vec<String> = (0..50_000_u64).map(|n| (n * n).to_string()).collect();
        let numbers = numbers.join(" ");
        let text = |length: usize| &numbers[..length];
        let short = text(3_000);
        let first = Packed::new(short).0;
        for length in [65_533, 65_534, 65_535, 65_536, 200_000] {
            let long = text(length);
            assert_eq!(unpack(&Packed::new(long).0).unwrap(), long.as_bytes());
            assert_eq!(Packed::new(short).0, first, "after {length} bytes");
        }
    }

    /// Laid out by hand after the LZ4 block format (lz4_Block_format.md, "Compressed block format"):
    /// a token with the number of literals above and the match length less 4 below, the literals,
    /// the distance back as two bytes; at the end come literals only.
    #[test]
    fn the_form_is_that_of_the_published_format() {
        let packed = b"\x11\0\0\0\x44acid\x04\0\x50water";
        assert_eq!(unpack(packed).unwrap(), b"acidacidacidwater");
    }

    #[test]
    fn damage_is_told_and_asks_for_no_memory() {
        let sound = Packed::new("a text that is packed, a text that is packed").0;
        let mut longer = sound.clone();
        longer[..4].copy_from_slice(&u32::MAX.to_le_bytes());
        let cut = &sound[..sound.len() - 3];
        for damaged in [&[][..], &[7], cut, &longer] {
            let told = unpack(damaged).unwrap_err();
            assert!(told.starts_with("its packed form is damaged"), "{told}");
        }
    }
}
