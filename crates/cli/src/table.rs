//! Tables that read well line by line: aligned columns, no lines drawn, no colour.

use std::fmt;

/// A table; the last column is not padded, so that long sentences go there.
#[derive(Debug)]
pub(crate) struct Table {
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with these columns.
    pub(crate) fn new<const N: usize>(header: [&str; N]) -> Self {
        Self {
            header: header.map(str::to_owned).to_vec(),
            rows: Vec::new(),
        }
    }

    /// One row.
    pub(crate) fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(Vec::from(cells));
    }

    /// Whether it has rows.
    pub(crate) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines = || std::iter::once(&self.header).chain(&self.rows);
        let mut widths = vec![0; self.header.len()];
        for line in lines() {
            for (width, cell) in widths.iter_mut().zip(line) {
                *width = (*width).max(cell.chars().count());
            }
        }
        for line in lines() {
            let padded: Vec<String> = line
                .iter()
                .zip(&widths)
                .map(|(cell, width)| format!("{cell:width$}"))
                .collect();
            writeln!(f, "{}", padded.join("  ").trim_end())?;
        }
        Ok(())
    }
}
