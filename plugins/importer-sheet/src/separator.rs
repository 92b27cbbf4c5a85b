//! Which character separates the fields.

use dyebook_plugin::importer::table::names_a_field;
use std::borrow::Cow;

/// Separators in the order in which they win a tie.
const SEPARATORS: [char; 3] = [',', ';', '\t'];

/// The separator under which the header line names most known columns, and how many it names.
/// A header in which nothing is known goes by the number of its columns.
pub(crate) fn find(header_line: &str) -> (char, usize) {
    let worth = |separator: char| {
        let names = split(header_line, separator);
        (
            names.iter().filter(|name| names_a_field(name)).count(),
            names.len(),
        )
    };
    let separators = SEPARATORS.into_iter().rev();
    let best = separators
        .map(|separator| (separator, worth(separator)))
        .max_by_key(|(_, worth)| *worth);
    best.map_or((',', 0), |(separator, (known, _))| (separator, known))
}

/// The first line that is neither empty nor a remark.
pub(crate) fn header_line(text: &str) -> Option<&str> {
    text.lines()
        .find(|line| !line.starts_with('#') && !line.trim().is_empty())
}

fn split(line: &str, separator: char) -> Vec<Cow<'_, str>> {
    // Making a reader takes longer than reading a line does.
    if !line.contains('"') {
        return line.split(separator).map(Cow::Borrowed).collect();
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator as u8)
        .from_reader(line.as_bytes());
    let first = reader.records().next().and_then(Result::ok);
    first
        .map(|record| record.iter().map(|name| name.to_owned().into()).collect())
        .unwrap_or_default()
}
