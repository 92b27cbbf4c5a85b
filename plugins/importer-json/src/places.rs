//! Values of a JSON object by name, each missing or wrong one reported with its place.

use dyebook_plugin::importer::{Output, Problem};
use serde_json::{Map, Value};

/// A JSON object and where it stands.
#[derive(Debug)]
pub(crate) struct Place<'d> {
    object: Option<&'d Map<String, Value>>,
    pointer: String,
}

impl<'d> Place<'d> {
    pub(crate) fn new(value: Option<&'d Value>, pointer: &str, out: &mut Output<'_, '_>) -> Self {
        let place = Self {
            object: value.and_then(Value::as_object),
            pointer: pointer.to_owned(),
        };
        if place.object.is_none() {
            out.problem(place.problem("", missing_or_no(value, "object")));
        }
        place
    }

    /// Whether there is an object in this place.
    pub(crate) fn is_there(&self) -> bool {
        self.object.is_some()
    }

    /// Warns of keys that are not among these.
    pub(crate) fn only(&self, known: &[&str], out: &mut Output<'_, '_>) {
        let keys = self.object.into_iter().flat_map(Map::keys);
        for key in keys.filter(|key| !known.contains(&key.as_str()) && !key.starts_with("x-")) {
            let message = format!(
                "the key `{}/{key}` is not known and was not read",
                self.pointer
            );
            out.warn("unknown-key", message, None);
        }
    }

    pub(crate) fn object(&self, key: &str, out: &mut Output<'_, '_>) -> Place<'d> {
        Place::new(self.get(key), &format!("{}/{key}", self.pointer), out)
    }

    /// The objects of an array.
    pub(crate) fn objects(&self, key: &str, out: &mut Output<'_, '_>) -> Vec<Place<'d>> {
        let value = self.get(key);
        let Some(items) = value.and_then(Value::as_array) else {
            if self.is_there() {
                out.problem(self.problem(key, missing_or_no(value, "array")));
            }
            return Vec::new();
        };
        let place = |(number, item)| {
            let pointer = format!("{}/{key}/{number}", self.pointer);
            Place::new(Some(item), &pointer, out)
        };
        items.iter().enumerate().map(place).collect()
    }

    /// A text; `None` when it is null, absent or empty.
    pub(crate) fn text(&self, key: &str, out: &mut Output<'_, '_>) -> Option<String> {
        match self.get(key)? {
            Value::Null => None,
            Value::String(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
            Value::Number(number) => {
                let problem = self.problem(key, format!("is the number {number}"));
                out.problem(problem.hint(format!(
                    "write it as text, \"{number}\": a number does not keep the digits as written"
                )));
                None
            }
            _ => {
                out.problem(self.problem(key, "is not a text"));
                None
            }
        }
    }

    /// A whole number, as text.
    pub(crate) fn whole(&self, key: &str, out: &mut Output<'_, '_>) -> Option<String> {
        match self.get(key)? {
            Value::Null => None,
            Value::Number(number) if number.is_u64() => Some(number.to_string()),
            _ => {
                out.problem(self.problem(key, "is not a whole number"));
                None
            }
        }
    }

    /// The number of a row.
    pub(crate) fn row(&self, key: &str, out: &mut Output<'_, '_>) -> Option<u64> {
        let row = self.whole(key, out)?.parse().ok()?;
        if row == 0 {
            out.problem(self.problem(key, "is 0, and rows are counted from 1"));
            return None;
        }
        Some(row)
    }

    pub(crate) fn pointer_to(&self, key: &str) -> String {
        format!("{}/{key}", self.pointer)
    }

    fn problem(&self, key: &str, what: impl AsRef<str>) -> Problem {
        let pointer = if key.is_empty() {
            self.pointer.clone()
        } else {
            self.pointer_to(key)
        };
        let what = what.as_ref();
        if pointer.is_empty() {
            return Problem::new(format!("the document {what}"));
        }
        Problem::new(format!("it {what}")).in_column(pointer)
    }

    fn get(&self, key: &str) -> Option<&'d Value> {
        self.object?.get(key)
    }
}

fn missing_or_no(value: Option<&Value>, kind: &str) -> String {
    match value {
        None | Some(Value::Null) => "is missing".to_owned(),
        Some(_) => format!("is no {kind}"),
    }
}
