//! The whole way from bytes to rows.

use dyebook_plugin::Result;
use dyebook_plugin::importer::table::{Decimals, Header, RowReader};
use dyebook_plugin::importer::{Confidence, Output, ProbeRequest, Problem, Reading};

use crate::decode::{decode, decode_head};
use crate::limits::{MOST_BYTES, MOST_ROWS};
use crate::records::{Piece, Records};
use crate::separator;

pub(crate) fn probe(request: &ProbeRequest, head: &[u8]) -> Confidence {
    let Some(text) = decode_head(head) else {
        return Confidence::new(0.0, "not a text file");
    };
    let Some(line) = separator::header_line(&text) else {
        return Confidence::new(0.0, "no header line");
    };
    if line.trim_start().starts_with(['{', '[', '<']) {
        return Confidence::new(0.0, "begins like JSON or a page, not like a header line");
    }
    let (_, known) = separator::find(line);
    let name = request.name.to_lowercase();
    let text_name = [".csv", ".tsv", ".txt"]
        .iter()
        .any(|end| name.ends_with(end));
    let confidence = match known {
        5.. => 0.95,
        2..=4 => 0.7,
        1 => 0.5,
        _ if text_name => 0.3,
        _ => 0.05,
    };
    Confidence::new(
        confidence,
        format!("its header line names {known} columns of a data sheet"),
    )
}

pub(crate) fn import(bytes: &[u8], out: &mut Output<'_, '_>) -> Result<()> {
    if bytes.len() > MOST_BYTES {
        let mebibytes = MOST_BYTES / (1024 * 1024);
        out.problem(
            Problem::new(format!("the file is larger than {mebibytes} MiB"))
                .hint("split it, or check that it is the right file"),
        );
        return Ok(());
    }
    let decoded = match decode(bytes) {
        Ok(decoded) => decoded,
        Err(problem) => {
            out.problem(problem);
            return Ok(());
        }
    };
    let Some(line) = separator::header_line(&decoded.text) else {
        out.problem(no_header());
        return Ok(());
    };
    if decoded.assumed {
        let message =
            "the file is not UTF-8 and was read as Windows-1252; check letters with marks";
        out.warn("encoding-assumed", message, None);
    }
    let (separator, _) = separator::find(line);
    let decimals = read_records(Records::new(&decoded.text, separator), out)?;
    if let (Some(comma), Some(point)) = (decimals.comma, decimals.point) {
        let message =
            format!("numbers have a decimal comma (line {comma}) and a point (line {point})");
        out.warn("mixed-decimals", message, Some(comma.max(point)));
    }
    out.reading(Reading {
        separator: Some(separator.into()),
        decimal: decimals.sign().map(Into::into),
        encoding: Some(decoded.encoding),
    });
    Ok(())
}

fn read_records(mut pieces: Records<'_>, out: &mut Output<'_, '_>) -> Result<Decimals> {
    let Some(header) = read_header(&mut pieces, out) else {
        // Lines of nothing but separators.
        out.problem(no_header());
        return Ok(Decimals::default());
    };
    let mut reader = RowReader::new(&header);
    let mut rows: u64 = 0;
    while let Some(piece) = pieces.read_next() {
        match piece {
            Piece::Remark { line, text } => out.remark(line, text),
            Piece::Record { line, fields } => {
                let Some(row) = reader.read(line, fields, out) else {
                    continue;
                };
                rows += 1;
                if rows > MOST_ROWS {
                    out.problem(
                        Problem::new("the file has more than 1,000,000 rows")
                            .in_row(line)
                            .hint("split it, or check that it is the right file"),
                    );
                    return Ok(reader.decimals);
                }
                out.row(&row)?;
            }
        }
    }
    if rows == 0 && !out.refused() {
        out.problem(Problem::new("the file has a header and no rows").hint("write one row a spot"));
    }
    Ok(reader.decimals)
}

fn no_header() -> Problem {
    Problem::new("the file has no header line")
        .hint("begin with the names of the columns: `group,method,paper,lane,label,…`")
}

fn read_header(pieces: &mut Records<'_>, out: &mut Output<'_, '_>) -> Option<Header> {
    while let Some(piece) = pieces.read_next() {
        match piece {
            Piece::Remark { line, text } => out.remark(line, text),
            Piece::Record { line, fields } => {
                if fields.iter().any(|field| !field.trim().is_empty()) {
                    return Some(Header::read(fields, line, out));
                }
            }
        }
    }
    None
}
