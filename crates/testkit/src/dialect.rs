//! How a spreadsheet writes a table as text.

/// A unit of length as it stands in the header.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// `distance_cm`
    Centimetre,
    /// `distance_mm`
    Millimetre,
    /// `Distance (mm)`
    MillimetreInBrackets,
    /// `distance_in`
    Inch,
}

impl Unit {
    /// The header of a length.
    pub(crate) fn header(self, field: &str) -> String {
        match self {
            Self::Centimetre => format!("{field}_cm"),
            Self::Millimetre => format!("{field}_mm"),
            Self::MillimetreInBrackets => format!("{field} (mm)"),
            Self::Inch => format!("{field}_in"),
        }
    }

    /// A length of so many centimetres, written in this unit.
    pub(crate) fn text(self, centimetres: f64) -> String {
        match self {
            Self::Centimetre => format!("{centimetres:.2}"),
            Self::Millimetre | Self::MillimetreInBrackets => format!("{:.1}", centimetres * 10.0),
            Self::Inch => format!("{:.3}", centimetres / 2.54),
        }
    }
}

/// How characters become bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8
    Utf8,
    /// UTF-8 with byte order mark
    Utf8WithMark,
    /// UTF-16, little end first, with byte order mark
    Utf16Le,
    /// UTF-16, big end first, with byte order mark
    Utf16Be,
}

impl Encoding {
    /// The bytes of a text.
    pub fn bytes(self, text: &str) -> Vec<u8> {
        let marked = || std::iter::once(0xfeff_u16).chain(text.encode_utf16());
        match self {
            Self::Utf8 => text.as_bytes().to_vec(),
            Self::Utf8WithMark => [b"\xef\xbb\xbf", text.as_bytes()].concat(),
            Self::Utf16Le => marked().flat_map(u16::to_le_bytes).collect(),
            Self::Utf16Be => marked().flat_map(u16::to_be_bytes).collect(),
        }
    }
}

/// One way of writing a data sheet.
#[expect(
    clippy::struct_excessive_bools,
    reason = "the ways are independent of each other"
)]
#[derive(Debug, Clone, Copy)]
pub struct Dialect {
    /// Between fields.
    pub separator: char,
    /// `3,24` instead of `3.24`; such numbers are put in quotation marks where the separator is a
    /// comma too.
    pub decimal_comma: bool,
    /// CRLF instead of LF.
    pub crlf: bool,
    /// Characters to bytes.
    pub encoding: Encoding,
    /// Of the lengths.
    pub unit: Unit,
    /// Columns from the last to the first, their names in capitals.
    pub turned_header: bool,
    /// Lines that begin with `#` above the header and between the rows.
    pub remarks: bool,
}

impl Default for Dialect {
    fn default() -> Self {
        Self {
            separator: ',',
            decimal_comma: false,
            crlf: false,
            encoding: Encoding::Utf8,
            unit: Unit::Centimetre,
            turned_header: false,
            remarks: false,
        }
    }
}
