//! Records and remark lines of a text, each with its true line number.

use csv::{Reader, ReaderBuilder, StringRecord};
use std::collections::VecDeque;

/// Room for a record as a class writes it; a longer one takes more.
const USUAL_BYTES: usize = 256;
const USUAL_FIELDS: usize = 24;

/// A record or a remark line.
#[derive(Debug)]
pub(crate) enum Piece {
    Record { line: u64, fields: StringRecord },
    Remark { line: u64, text: String },
}

/// Walks over a text. The reader skips empty lines and remark lines by itself and gives as a
/// record's place the one where it began to skip; the skipped text is looked at again here, for
/// the remarks and for the line on which the record truly begins.
#[derive(Debug)]
pub(crate) struct Records<'t> {
    text: &'t str,
    separator: char,
    reader: Reader<&'t [u8]>,
    waiting: VecDeque<Piece>,
}

impl<'t> Records<'t> {
    pub(crate) fn new(text: &'t str, separator: char) -> Self {
        let reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .delimiter(separator as u8)
            .from_reader(text.as_bytes());
        Self {
            text,
            separator,
            reader,
            waiting: VecDeque::new(),
        }
    }

    /// Reads up to the end of the next record.
    fn read_on(&mut self) {
        let begin = self.reader.position().clone();
        let mut fields = StringRecord::with_capacity(USUAL_BYTES, USUAL_FIELDS);
        // The text is UTF-8 and of free length, so that nothing is left that could fail.
        let found = self.reader.read_record(&mut fields).unwrap_or(false);
        let end = if found {
            self.reader.position().byte()
        } else {
            self.text.len() as u64
        };
        let passed = usize::try_from(begin.byte())
            .ok()
            .zip(usize::try_from(end).ok());
        let passed = passed
            .and_then(|(begin, end)| self.text.get(begin..end))
            .unwrap_or_default();
        let mut line = begin.line();
        for skipped in passed.split_inclusive('\n') {
            let bare = skipped.trim_end_matches(['\r', '\n']);
            if let Some(remark) = bare.strip_prefix('#') {
                let remark = self.remark(line, remark);
                self.waiting.push_back(remark);
            } else if !bare.is_empty() {
                break;
            }
            line += 1;
        }
        if found {
            let record = self.record(line, fields);
            self.waiting.push_back(record);
        }
    }

    /// A remark that went through a spreadsheet ends in separators, or stands in quotation marks.
    fn record(&self, line: u64, fields: StringRecord) -> Piece {
        match fields
            .get(0)
            .and_then(|first| first.trim_start().strip_prefix('#'))
        {
            Some(remark) => {
                let rest = fields
                    .iter()
                    .skip(1)
                    .filter(|field| !field.trim().is_empty());
                let text = std::iter::once(remark)
                    .chain(rest)
                    .collect::<Vec<_>>()
                    .join(" ");
                self.remark(line, &text)
            }
            None => Piece::Record { line, fields },
        }
    }

    fn remark(&self, line: u64, text: &str) -> Piece {
        let text = text
            .trim()
            .trim_end_matches(self.separator)
            .trim()
            .to_owned();
        Piece::Remark { line, text }
    }
}

impl Iterator for Records<'_> {
    type Item = Piece;

    fn next(&mut self) -> Option<Piece> {
        if self.waiting.is_empty() {
            self.read_on();
        }
        self.waiting.pop_front()
    }
}
