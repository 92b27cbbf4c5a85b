//! From a JSON Pointer to the line of the text it points at.

use serde_json::value::RawValue;
use std::collections::HashMap;

/// Line (from 1) at which the value that `pointer` names begins in `text`.
///
/// `None` when the text is not JSON or the pointer names nothing in it. Positions come from
/// `serde_json`'s raw values, which borrow from the text, so no second parser is needed.
pub fn line_of(text: &str, pointer: &str) -> Option<usize> {
    let mut here: &RawValue = serde_json::from_str(text).ok()?;
    for step in pointer.split('/').skip(1) {
        let step = step.replace("~1", "/").replace("~0", "~");
        here = child(here, &step)?;
    }
    let offset = here
        .get()
        .as_ptr()
        .addr()
        .checked_sub(text.as_ptr().addr())?;
    text.get(..offset)
        .map(|before| before.matches('\n').count() + 1)
}

fn child<'a>(parent: &'a RawValue, step: &str) -> Option<&'a RawValue> {
    if parent.get().starts_with('[') {
        let items: Vec<&RawValue> = serde_json::from_str(parent.get()).ok()?;
        items.get(step.parse::<usize>().ok()?).copied()
    } else {
        let members: HashMap<String, &RawValue> = serde_json::from_str(parent.get()).ok()?;
        members.get(step).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::line_of;

    const TEXT: &str = "{\n  \"a\": 1,\n  \"b\": [\n    { \"c/d\": 2 },\n    3\n  ]\n}\n";

    #[test]
    fn nested_places_are_found() {
        assert_eq!(line_of(TEXT, ""), Some(1));
        assert_eq!(line_of(TEXT, "/a"), Some(2));
        assert_eq!(line_of(TEXT, "/b/0/c~1d"), Some(4));
        assert_eq!(line_of(TEXT, "/b/1"), Some(5));
    }

    #[test]
    fn a_place_that_is_not_there_has_no_line() {
        assert_eq!(line_of(TEXT, "/b/7"), None);
        assert_eq!(line_of("not json", "/a"), None);
    }
}
