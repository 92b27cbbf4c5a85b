//! Where an importer puts what it reads: rows go straight to the host.

use dyebook_plugin_abi::DYB_OP_IMPORT_BINARY;

use super::messages::{Column, Problem, Reading, Refusal, Remark, Row, Units, Warning};
use super::pieces::{Piece, Rest};
use crate::component::Call;
use crate::{Context, Error, Result};

/// Problems that a refusal lists; a person mends the first and imports again.
const MOST_PROBLEMS: usize = 200;
/// Remarks and warnings kept of one file.
const MOST_NOTES: usize = 1000;
/// What the host takes as the text of a refused file, less room for the closing sentence.
const MOST_REFUSAL_BYTES: usize = 60 * 1024;

/// Takes in a file as an importer reads it.
#[derive(Debug)]
pub struct Output<'c, 'a> {
    call: &'c mut Call<'a>,
    rows: u64,
    problems: Vec<Problem>,
    unlisted: usize,
    units: Option<Units>,
    reading: Reading,
    columns: Vec<Column>,
    remarks: Vec<Remark>,
    warnings: Vec<Warning>,
}

impl<'c, 'a> Output<'c, 'a> {
    pub(crate) fn new(call: &'c mut Call<'a>) -> Self {
        Self {
            call,
            rows: 0,
            problems: Vec::new(),
            unlisted: 0,
            units: None,
            reading: Reading::default(),
            columns: Vec::new(),
            remarks: Vec::new(),
            warnings: Vec::new(),
        }
    }

    /// Hands over one row. Rows after a problem are not kept: the file is refused anyway.
    ///
    /// # Errors
    /// When the host takes no more, or wants the call to end.
    pub fn row(&mut self, row: &Row) -> Result<()> {
        if !self.problems.is_empty() {
            return Ok(());
        }
        if self.rows.is_multiple_of(1024) && self.call.context.should_stop() {
            return Err(Error::cancelled());
        }
        self.rows += 1;
        if self.is_binary() {
            return self.call.write_binary(&Piece::from(row));
        }
        self.call
            .write(if self.rows == 1 { b"{\"rows\":[" } else { b"," })?;
        self.call.write_json(row)
    }

    fn is_binary(&self) -> bool {
        self.call.op == DYB_OP_IMPORT_BINARY
    }

    /// Reports a problem: the file will be refused.
    pub fn problem(&mut self, problem: Problem) {
        if self.problems.len() < MOST_PROBLEMS {
            self.problems.push(problem);
        } else {
            self.unlisted += 1;
        }
    }

    /// Has any problem been reported?
    pub fn refused(&self) -> bool {
        !self.problems.is_empty()
    }

    /// Says in which units the lengths are. Without it a file can't be taken.
    pub fn units(&mut self, units: Units) {
        self.units = Some(units);
    }

    /// Says how the bytes were taken.
    pub fn reading(&mut self, reading: Reading) {
        self.reading = reading;
    }

    /// Says which column was taken for what.
    pub fn column(&mut self, header: impl Into<String>, field: impl Into<String>) {
        self.columns.push(Column {
            header: header.into(),
            field: field.into(),
        });
    }

    /// Keeps a remark line.
    pub fn remark(&mut self, row: u64, text: impl Into<String>) {
        if self.remarks.len() < MOST_NOTES {
            self.remarks.push(Remark {
                row,
                text: text.into(),
            });
        }
    }

    /// Says what a person should know although the file was taken.
    pub fn warn(&mut self, code: &str, message: impl Into<String>, row: Option<u64>) {
        if self.warnings.len() < MOST_NOTES {
            self.warnings.push(Warning {
                code: code.into(),
                message: message.into(),
                row,
            });
        }
    }

    /// Log and the host's wish to stop.
    pub fn context(&self) -> &Context<'a> {
        &self.call.context
    }

    pub(crate) fn finish(self) -> Result<()> {
        if !self.problems.is_empty() {
            return Err(Error::data(limit_refusal(self.problems, self.unlisted)));
        }
        let units = self
            .units
            .ok_or_else(|| Error::internal("the importer did not say in which units it read"))?;
        let binary = self.is_binary();
        let rest = Rest {
            units,
            reading: self.reading,
            columns: self.columns,
            remarks: self.remarks,
            warnings: self.warnings,
        };
        if binary {
            return self.call.write_binary(&Piece::Rest(rest));
        }
        self.call
            .write(if self.rows == 0 { b"{\"rows\":[" } else { b"" })?;
        self.call.write(b"],")?;
        let tail = serde_json::to_vec(&rest).map_err(|error| Error::internal(error.to_string()))?;
        // Its opening brace is already there, before the rows.
        self.call.write(tail.get(1..).unwrap_or_default())
    }
}

/// The text of a refusal, cut to what the host takes, with a last problem that says what was cut.
fn limit_refusal(problems: Vec<Problem>, unlisted: usize) -> String {
    let total = problems.len() + unlisted;
    let mut size = 0;
    let mut kept: Vec<Problem> = Vec::new();
    for problem in problems {
        size += serde_json::to_string(&problem).map_or(usize::MAX / 2, |text| text.len() + 1);
        if size > MOST_REFUSAL_BYTES {
            break;
        }
        kept.push(problem);
    }
    let cut = total - kept.len();
    if cut > 0 {
        kept.push(Problem::new(format!(
            "{cut} further problems are not listed"
        )));
    }
    serde_json::to_string(&Refusal { problems: kept }).unwrap_or_default()
}
