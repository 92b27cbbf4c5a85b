//! JSON in which a key stands once.
//!
//! `serde_json` keeps the last of two equal keys and says nothing, so half of what somebody wrote
//! would be lost in silence. Here it is refused. Documents and importers read with it alike.

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};
use std::fmt;

/// What stopped the reading, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct NotStrict {
    /// What is wrong, without the place.
    pub what: String,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
    /// Whether it is a key that stands twice; such a text is JSON otherwise.
    pub repeated_key: bool,
}

/// Ends the sentence about a repeated key, and nothing that `serde_json` says.
const TWICE: &str = "stands twice in one object";

/// Parses a JSON text, refusing keys that stand twice in one object, however they are escaped.
///
/// # Errors
/// What is no JSON, and the first repeated key.
pub fn parse(text: &[u8]) -> Result<Value, NotStrict> {
    let mut from = serde_json::Deserializer::from_slice(text);
    Strict
        .deserialize(&mut from)
        .and_then(|value| from.end().map(|()| value))
        .map_err(|error| {
            let said = error.to_string();
            // The place stands last; a key may hold the same words.
            let what = said
                .rsplit_once(" at line ")
                .map_or(&*said, |(what, _)| what)
                .to_owned();
            NotStrict {
                repeated_key: what.ends_with(TWICE),
                what,
                line: error.line(),
                column: error.column(),
            }
        })
}

struct Strict;

impl<'de> DeserializeSeed<'de> for Strict {
    type Value = Value;
    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Value, D::Error> {
        from.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Strict {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }
    fn visit_bool<E>(self, v: bool) -> Result<Value, E> {
        Ok(Value::Bool(v))
    }
    fn visit_i64<E>(self, v: i64) -> Result<Value, E> {
        Ok(v.into())
    }
    fn visit_u64<E>(self, v: u64) -> Result<Value, E> {
        Ok(v.into())
    }
    fn visit_f64<E: Error>(self, v: f64) -> Result<Value, E> {
        Number::from_f64(v)
            .map(Value::Number)
            .ok_or_else(|| E::custom("not a finite number"))
    }
    fn visit_str<E>(self, v: &str) -> Result<Value, E> {
        Ok(Value::String(v.to_owned()))
    }
    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut out = Vec::new();
        while let Some(item) = items.next_element_seed(Strict)? {
            out.push(item);
        }
        Ok(Value::Array(out))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Value, A::Error> {
        let mut out = Map::new();
        while let Some(key) = members.next_key::<String>()? {
            if out.contains_key(&key) {
                return Err(A::Error::custom(format!("the key `{key}` {TWICE}")));
            }
            out.insert(key, members.next_value_seed(Strict)?);
        }
        Ok(Value::Object(out))
    }
}

#[cfg(test)]
mod tests {
    use super::parse;

    #[test]
    fn a_repeated_key_is_refused_at_any_depth() {
        let problem = parse(b"{\"a\":{\"b\":1,\n\"b\":2}}").unwrap_err();
        assert_eq!(problem.what, "the key `b` stands twice in one object");
        assert_eq!((problem.line, problem.repeated_key), (2, true));
    }

    #[test]
    fn a_key_written_with_an_escape_is_the_same_key() {
        let problem = parse(br#"{"a": 1, "\u0061": 2}"#).unwrap_err();
        assert!(
            problem.repeated_key && problem.what.contains("`a`"),
            "{problem:?}"
        );
        // The same key in two objects is no repetition.
        assert!(parse(br#"[{"a": 1}, {"a": 2}]"#).is_ok());
    }

    #[test]
    fn what_is_no_json_is_no_repeated_key() {
        let problem = parse(b"{\n\"a\": }").unwrap_err();
        assert_eq!((problem.line, problem.repeated_key), (2, false));
    }

    #[test]
    fn other_json_is_read_as_serde_json_reads_it() {
        let text = r#"{"a":[1,-2,2.5e-3,"x",null,true],"b":{}}"#;
        let plain: serde_json::Value = serde_json::from_str(text).unwrap();
        assert_eq!(parse(text.as_bytes()).unwrap(), plain);
    }
}
