//! From bytes to text, and which encoding that was.

use std::borrow::Cow;

use dyebook_plugin::importer::Problem;
use encoding_rs::{Encoding, UTF_8, WINDOWS_1252};
use memchr::memchr;

/// A file as text.
#[derive(Debug)]
pub(crate) struct Decoded<'a> {
    pub(crate) text: Cow<'a, str>,
    pub(crate) encoding: String,
    /// Neither a byte order mark nor valid UTF-8 told the encoding.
    pub(crate) assumed: bool,
}

/// Decodes a whole file: by its byte order mark, else as UTF-8, else as Windows-1252, which is what
/// spreadsheets on older office machines write and which gives every byte a character.
pub(crate) fn decode(bytes: &[u8]) -> Result<Decoded<'_>, Problem> {
    if bytes.starts_with(b"PK\x03\x04") {
        return Err(Problem::new(
            "the file is a ZIP archive, as a spreadsheet's workbook is, not text",
        )
        .hint("save the sheet as CSV, or import the workbook by its own importer"));
    }
    if let Some((encoding, mark)) = Encoding::for_bom(bytes) {
        let body = bytes.get(mark..).unwrap_or_default();
        let (text, malformed) = encoding.decode_without_bom_handling(body);
        if malformed {
            return Err(Problem::new(format!(
                "the file begins as {} but holds bytes that are not",
                encoding.name()
            ))
            .hint("save it again as CSV in UTF-8"));
        }
        let mark = if encoding == UTF_8 {
            " with byte order mark"
        } else {
            ""
        };
        return named(text, format!("{}{mark}", encoding.name()), false);
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return named(Cow::Borrowed(text), UTF_8.name().into(), false);
    }
    let (text, _) = WINDOWS_1252.decode_without_bom_handling(bytes);
    named(text, WINDOWS_1252.name().into(), true)
}

/// Decodes the beginning of a file, which may end in the middle of a character.
pub(crate) fn decode_head(head: &[u8]) -> Option<Cow<'_, str>> {
    let cut_character = (0..4).find_map(|back| {
        let shorter = head.get(..head.len().checked_sub(back)?)?;
        decode(shorter).ok().filter(|decoded| !decoded.assumed)
    });
    let decoded = cut_character.or_else(|| decode(head).ok())?;
    Some(decoded.text)
}

fn named(text: Cow<'_, str>, encoding: String, assumed: bool) -> Result<Decoded<'_>, Problem> {
    if memchr(0, text.as_bytes()).is_some() {
        return Err(
            Problem::new("the file holds NUL characters, so it is not text as it stands")
                .hint("save it again as CSV in UTF-8"),
        );
    }
    Ok(Decoded {
        text,
        encoding,
        assumed,
    })
}
