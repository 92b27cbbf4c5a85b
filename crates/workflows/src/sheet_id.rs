//! The stable identifier of a data sheet.

use dyebook_documents::{Sheet, digest_in_order};

/// Letters of a readable part at most.
const LETTERS: usize = 24;
/// Hexadecimal digits that tell sheets apart whose readable parts are the same.
const DIGITS: usize = 6;

/// A sheet's identifier: section, group and date to read, and the beginning of a digest over
/// (section, group, date, method), so that the same sheet always has the same one.
pub fn sheet_id(sheet: &Sheet) -> String {
    let date = sheet.date.map(|date| date.to_string());
    let digest = digest_in_order(&(&sheet.section, &sheet.group, &date, &sheet.method));
    let readable = [
        sheet.section.as_deref(),
        Some(sheet.group.as_str()),
        date.as_deref(),
    ];
    let mut id = String::with_capacity(readable.len() * (LETTERS + 1) + DIGITS);
    for part in readable.into_iter().flatten() {
        let word = slug(part);
        if !word.is_empty() {
            id.push_str(&word);
            id.push('-');
        }
    }
    id.extend(digest.as_str().chars().take(DIGITS));
    id
}

/// Letters and digits in lower case, anything else one hyphen.
fn slug(text: &str) -> String {
    let mut slug = String::with_capacity(LETTERS);
    for c in text.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
        if slug.len() >= LETTERS {
            break;
        }
    }
    slug.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::slug;

    #[test]
    fn a_slug_keeps_what_reads() {
        assert_eq!(slug("Tuesday, 2 pm"), "tuesday-2-pm");
        assert_eq!(slug("<script>"), "script");
        assert_eq!(slug("Ω"), "");
    }
}
