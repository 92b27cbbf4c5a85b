//! Copies of SQLite files.

/// Whether a copy is the file as it was, but for the two counters of writes in its header, which
/// SQLite's online backup sets (sqlite.org/fileformat2.html, 1.3.7 and 1.3.15).
pub fn is_copy(copy: &[u8], file: &[u8]) -> bool {
    let counters = [24..28, 92..96];
    let counted = |at: usize| counters.iter().any(|range| range.contains(&at));
    copy.len() == file.len()
        && (copy.iter().zip(file).zip(0..)).all(|((a, b), at)| a == b || counted(at))
}
