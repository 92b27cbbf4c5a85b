//! How much a document may hold. The size of files is limited where they are read, the depth by the
//! parser.

use crate::problem::Problem;
use serde_json::Value;
use std::fmt::Write;

/// Levels of brackets; the parser's own limit.
pub(crate) const MOST_LEVELS: usize = 127;
/// Characters of one text: a page of notes has some three thousand.
const MOST_CHARACTERS: usize = 100_000;

/// The first text that is too long to have been written by a person.
pub(crate) fn too_long(value: &Value) -> Option<Problem> {
    let mut pointer = String::new();
    find(value, &mut pointer)
}

fn find(value: &Value, pointer: &mut String) -> Option<Problem> {
    let length = pointer.len();
    match value {
        Value::String(text) => is_long(text).then(|| problem(pointer)),
        Value::Array(items) => items.iter().enumerate().find_map(|(number, item)| {
            pointer.truncate(length);
            let _never_fails = write!(pointer, "/{number}");
            find(item, pointer)
        }),
        Value::Object(members) => members.iter().find_map(|(key, member)| {
            pointer.truncate(length);
            if is_long(key) {
                return Some(problem(pointer));
            }
            pointer.push('/');
            pointer.push_str(&key.replace('~', "~0").replace('/', "~1"));
            find(member, pointer)
        }),
        _ => None,
    }
}

/// Counts characters only where bytes leave a doubt.
fn is_long(text: &str) -> bool {
    text.len() > MOST_CHARACTERS && text.chars().count() > MOST_CHARACTERS
}

fn problem(pointer: &str) -> Problem {
    Problem::at(
        pointer,
        format!("a text may have {MOST_CHARACTERS} characters, and this has more"),
    )
    .with_hint("keep long notes in a file of their own and name it here")
}

#[cfg(test)]
mod tests {
    use super::{MOST_CHARACTERS, MOST_LEVELS, too_long};
    use crate::parse;
    use serde_json::json;

    #[test]
    fn a_long_text_is_named_with_its_place() {
        let long = "é".repeat(MOST_CHARACTERS + 1);
        let problem = too_long(&json!({ "a": [1, { "b/c": long }] })).unwrap();
        assert_eq!(problem.pointer, "/a/1/b~1c");
        assert!(problem.message.contains("100000 characters"));
        let just = "é".repeat(MOST_CHARACTERS);
        assert!(too_long(&json!([just])).is_none());
    }

    #[test]
    fn depth_is_limited_in_words() {
        let deep = |levels: usize| format!("{}{}", "[".repeat(levels), "]".repeat(levels));
        assert!(parse(&deep(MOST_LEVELS)).is_ok());
        let problem = parse(&deep(MOST_LEVELS + 1)).unwrap_err();
        assert!(problem.message.contains("127 levels"), "{problem}");
    }
}
