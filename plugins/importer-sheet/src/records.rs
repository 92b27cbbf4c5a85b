//! Records and remark lines of a text, each with its true line number.

use csv::{Position, Reader, ReaderBuilder, StringRecord};
use memchr::{memchr_iter, memchr3};
use std::borrow::Cow;
use std::io::Cursor;

/// A record or a remark line.
#[derive(Debug)]
pub(crate) enum Piece<'r> {
    Record {
        line: u64,
        fields: &'r [Cow<'r, str>],
    },
    Remark {
        line: u64,
        text: String,
    },
}

/// Walks over a text. A line without quotation marks, as nearly all are, is taken apart where it
/// stands; the others are left to the reader of the csv crate.
#[derive(Debug)]
pub(crate) struct Records<'t> {
    text: &'t str,
    separator: char,
    /// How far it is read, in bytes, and the number of the line there.
    at: usize,
    line: u64,
    fields: Vec<Cow<'t, str>>,
    /// Made for the first quotation mark, as it takes as long as reading a thousand lines.
    reader: Option<Reader<Cursor<&'t str>>>,
}

impl<'t> Records<'t> {
    pub(crate) fn new(text: &'t str, separator: char) -> Self {
        Self {
            text,
            separator,
            at: 0,
            line: 1,
            fields: Vec::new(),
            reader: None,
        }
    }

    /// Reads the next record or remark; `None` behind the last one.
    pub(crate) fn read_next(&mut self) -> Option<Piece<'_>> {
        self.skip_empty_lines();
        let left = self.text.get(self.at..).filter(|left| !left.is_empty())?;
        let line = self.line;
        if let Some(remark) = left.strip_prefix('#') {
            let remark = remark.split_once('\n').map_or(remark, |(remark, _)| remark);
            self.at += '#'.len_utf8() + remark.len();
            return Some(self.remark(line, remark));
        }
        self.fields.clear();
        let end = memchr3(b'\r', b'\n', b'"', left.as_bytes()).unwrap_or(left.len());
        let (written, behind) = left.split_at(end);
        if behind.starts_with('"') {
            self.read_quoted();
        } else {
            self.at += end;
            let mut begin = 0;
            for end in memchr_iter(self.separator as u8, written.as_bytes()) {
                self.fields.push(Cow::Borrowed(&written[begin..end]));
                begin = end + 1;
            }
            self.fields.push(Cow::Borrowed(&written[begin..]));
        }
        // A remark that went through a spreadsheet ends in separators, or stands in quotation marks.
        let first = self.fields.first()?;
        if first.trim_start().starts_with('#') {
            let text = self.joined();
            return Some(self.remark(line, text.trim_start().strip_prefix('#')?));
        }
        Some(Piece::Record {
            line,
            fields: &self.fields,
        })
    }

    fn skip_empty_lines(&mut self) {
        let left = self.text.as_bytes().get(self.at..).unwrap_or_default();
        let ends = left.iter().take_while(|byte| matches!(byte, b'\r' | b'\n'));
        for byte in ends {
            self.at += 1;
            self.line += u64::from(*byte == b'\n');
        }
    }

    /// Reads a record with quotation marks in it, which may go on over several lines.
    fn read_quoted(&mut self) {
        let reader = self.reader.get_or_insert_with(|| {
            ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .delimiter(self.separator as u8)
                .from_reader(Cursor::new(self.text))
        });
        let mut begin = Position::new();
        begin.set_byte(self.at as u64).set_line(self.line);
        let mut record = StringRecord::new();
        // The text is UTF-8 and in memory, so that nothing is left that could fail.
        let found = reader
            .seek(begin)
            .and_then(|()| reader.read_record(&mut record));
        let end = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        self.at = if found.unwrap_or(false) {
            end
        } else {
            self.text.len()
        };
        self.line = reader.position().line();
        let fields = record.iter().map(|field| Cow::Owned(field.to_owned()));
        self.fields.extend(fields);
    }

    /// The fields as one text, with spaces between those that are not empty.
    fn joined(&self) -> String {
        let (first, rest) = self.fields.split_at(1);
        let rest = rest.iter().filter(|field| !field.trim().is_empty());
        let fields = first.iter().chain(rest).map(AsRef::as_ref);
        fields.collect::<Vec<&str>>().join(" ")
    }

    fn remark(&self, line: u64, text: &str) -> Piece<'t> {
        let text = text.trim().trim_end_matches(self.separator).trim();
        Piece::Remark {
            line,
            text: text.to_owned(),
        }
    }
}
