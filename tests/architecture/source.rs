//! Rust source with comments left out, line by line.

use crate::project;

/// A line of code.
#[derive(Debug)]
pub(super) struct Line {
    /// File, from the top of the project.
    pub(super) path: String,
    /// Line number.
    pub(super) number: usize,
    /// The code on it, without a comment at its end.
    pub(super) code: String,
}

/// The code that ends up in the program and the plug-ins: no tests, no benches, no build scripts.
pub(super) fn shipped() -> Vec<Line> {
    let mut lines = Vec::new();
    for path in project::files_ending(&["crates", "plugins"], ".rs") {
        let in_src = path.contains("/src/");
        let of_tests = path.ends_with("/tests.rs") || path.starts_with("crates/testkit/");
        if !in_src || of_tests {
            continue;
        }
        let text = project::text(&path);
        for (number, line) in (1..).zip(text.lines()) {
            // Unit tests stand at the end of a file.
            if line.starts_with("#[cfg(test)]") {
                break;
            }
            lines.push(Line {
                path: path.clone(),
                number,
                code: line.split("//").next().unwrap_or_default().to_owned(),
            });
        }
    }
    assert!(lines.len() > 5000, "only {} lines were found", lines.len());
    lines
}

/// Whether a text holds a word that is not a part of a longer one.
pub(super) fn has_word(text: &str, word: &str) -> bool {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    text.match_indices(word)
        .any(|(at, _)| !text[..at].ends_with(part) && !text[at + word.len()..].starts_with(part))
}
