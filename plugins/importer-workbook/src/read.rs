//! From a workbook's bytes to rows.

use std::io::Cursor;

use calamine::{Data, Range, Reader, Xlsx};
use dyebook_plugin::Result;
use dyebook_plugin::importer::table::{Header, RowReader, names_a_field};
use dyebook_plugin::importer::{Output, Problem, Reading};

use crate::cells;

type Book<'b> = Xlsx<Cursor<&'b [u8]>>;

/// The header row names so many columns at least; above it, titles and notes may stand.
const HEADER_NAMES: usize = 3;
/// The header row is one of the first.
const HEADER_WITHIN: usize = 100;

pub(crate) fn import(bytes: &[u8], sheet: Option<&str>, out: &mut Output<'_, '_>) -> Result<()> {
    let mut book: Book<'_> = match Xlsx::new(Cursor::new(bytes)) {
        Ok(book) => book,
        Err(error) => {
            out.problem(
                Problem::new(format!(
                    "the file is no XLSX workbook that can be read: {error}"
                ))
                .hint("open it in the spreadsheet and save it again as XLSX"),
            );
            return Ok(());
        }
    };
    let Some(name) = find_sheet(&book, sheet, out) else {
        return Ok(());
    };
    let range = match book.worksheet_range(&name) {
        Ok(range) => range,
        Err(error) => {
            out.problem(Problem::new(format!(
                "the sheet `{name}` can't be read: {error}"
            )));
            return Ok(());
        }
    };
    // Without formulas the values are all the same; with them, a person should know.
    let formulas = book.worksheet_formula(&name).ok();
    read_sheet(&name, &range, formulas.as_ref(), out)
}

fn find_sheet(book: &Book<'_>, wanted: Option<&str>, out: &mut Output<'_, '_>) -> Option<String> {
    let names = book.sheet_names();
    let Some(wanted) = wanted else {
        if names.is_empty() {
            out.problem(Problem::new("the workbook has no sheet"));
        }
        if names.len() > 1 {
            let first = names.first().map(String::as_str).unwrap_or_default();
            let message = format!(
                "the workbook has {} sheets; the first, `{first}`, was read",
                names.len()
            );
            out.warn("other-sheets", message, None);
        }
        return names.first().cloned();
    };
    let found = names.iter().find(|name| name.as_str() == wanted).cloned();
    if found.is_none() {
        let problem = Problem::new(format!("the workbook has no sheet `{wanted}`"));
        out.problem(problem.hint(format!("it has `{}`", names.join("`, `"))));
    }
    found
}

fn read_sheet(
    name: &str,
    range: &Range<Data>,
    formulas: Option<&Range<String>>,
    out: &mut Output<'_, '_>,
) -> Result<()> {
    let first_row = u64::from(range.start().map_or(0, |(row, _)| row)) + 1;
    let rows: Vec<(u64, &[Data])> = (first_row..).zip(range.rows()).collect();
    let shown = |row: &[Data]| -> Vec<String> {
        row.iter()
            .map(|cell| cells::text(cell, true).unwrap_or_default())
            .collect()
    };
    let is_header = |(_, row): &&(u64, &[Data])| {
        shown(row).iter().filter(|text| names_a_field(text)).count() >= HEADER_NAMES
    };
    let Some((header_row, cells)) = rows.iter().take(HEADER_WITHIN).find(is_header) else {
        out.problem(
            Problem::new(format!(
                "no row of the sheet `{name}` names the columns of a data sheet"
            ))
            .hint("one row holds `group`, `method`, `paper`, `lane`, `label`, …"),
        );
        return Ok(());
    };
    let names = shown(cells);
    let header = Header::read(&names, *header_row, out);
    let mut reader = RowReader::new(&header);
    let mut count = 0;
    for (number, cells) in rows.iter().filter(|(number, _)| number > header_row) {
        if let Some(remark) = remark(cells) {
            out.remark(*number, remark);
            continue;
        }
        let fields = read_cells(*number, cells, &names, out);
        if let Some(row) = reader.read(*number, &fields, out) {
            count += 1;
            out.row(&row)?;
        }
    }
    if count == 0 && !out.refused() {
        out.problem(
            Problem::new("the sheet has a header and no rows").hint("write one row a spot"),
        );
    }
    say_what_was_done(&rows, *header_row, formulas, out);
    out.reading(Reading {
        separator: None,
        decimal: reader.decimals.sign().map(Into::into),
        encoding: None,
    });
    Ok(())
}

fn read_cells(row: u64, cells: &[Data], names: &[String], out: &mut Output<'_, '_>) -> Vec<String> {
    let texts = names.iter().zip(cells).map(|(name, cell)| {
        let date_column = name.trim().eq_ignore_ascii_case("date");
        cells::text(cell, date_column).unwrap_or_else(|unreadable| {
            out.problem(
                Problem::new(unreadable.what)
                    .in_row(row)
                    .in_column(name)
                    .hint(unreadable.hint),
            );
            String::new()
        })
    });
    texts.collect()
}

/// A row that begins with `#` is a remark.
fn remark(cells: &[Data]) -> Option<String> {
    let mut texts = cells
        .iter()
        .map(|cell| cells::text(cell, true).unwrap_or_default());
    let first = texts.next()?;
    let remark = first.strip_prefix('#')?.trim().to_owned();
    let rest = texts.filter(|text| !text.is_empty());
    Some(
        std::iter::once(remark)
            .chain(rest)
            .collect::<Vec<_>>()
            .join(" "),
    )
}

fn say_what_was_done(
    rows: &[(u64, &[Data])],
    header_row: u64,
    formulas: Option<&Range<String>>,
    out: &mut Output<'_, '_>,
) {
    let below = rows.iter().filter(|(number, _)| *number > header_row);
    if below
        .flat_map(|(_, row)| row.iter())
        .any(|cell| matches!(cell, Data::Float(_)))
    {
        let message = "a workbook keeps numbers, not digits: trailing zeros are lost (3.40 is 3.4)";
        out.warn("digits-not-kept", message, None);
    }
    let Some(formulas) = formulas else { return };
    let used: Vec<(usize, usize)> = formulas
        .used_cells()
        .filter(|(_, _, formula)| !formula.is_empty())
        .map(|(row, column, _)| (row, column))
        .collect();
    let (Some((row, _)), Some(start)) = (used.first(), formulas.start()) else {
        return;
    };
    let row = u64::from(start.0) + *row as u64 + 1;
    let message = format!(
        "{} cells hold formulas (the first in row {row}); the values last worked out were read",
        used.len()
    );
    out.warn("formula-values", message, Some(row));
}
