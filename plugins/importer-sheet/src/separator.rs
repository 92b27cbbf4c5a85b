//! Which character separates the fields.

use dyebook_plugin::importer::table::names_a_field;

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
    let best = SEPARATORS
        .into_iter()
        .rev()
        .max_by_key(|&separator| worth(separator));
    best.map_or((',', 0), |separator| (separator, worth(separator).0))
}

/// The first line that is neither empty nor a remark.
pub(crate) fn header_line(text: &str) -> Option<&str> {
    text.lines()
        .find(|line| !line.starts_with('#') && !line.trim().is_empty())
}

fn split(line: &str, separator: char) -> Vec<String> {
    // Making a reader takes longer than reading a line does.
    if !line.contains('"') {
        return line.split(separator).map(str::to_owned).collect();
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator as u8)
        .from_reader(line.as_bytes());
    let first = reader.records().next().and_then(Result::ok);
    first
        .map(|record| record.iter().map(str::to_owned).collect())
        .unwrap_or_default()
}
