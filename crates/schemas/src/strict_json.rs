//! JSON in which a key stands once.
//!
//! `serde_json` keeps the last of two equal keys and says nothing, so half of what somebody wrote
//! would be lost in silence. Here it is refused.

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};
use std::fmt;

/// Parses a JSON text, refusing repeated keys.
pub(crate) fn parse(text: &str) -> Result<Value, serde_json::Error> {
    let mut from = serde_json::Deserializer::from_str(text);
    let value = Strict.deserialize(&mut from)?;
    from.end()?;
    Ok(value)
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
                return Err(A::Error::custom(format!("the key `{key}` stands twice")));
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
        let problem = parse("{\"a\":{\"b\":1,\n\"b\":2}}").unwrap_err();
        assert!(problem.to_string().contains("the key `b` stands twice"));
        assert_eq!(problem.line(), 2);
    }

    #[test]
    fn other_json_is_read_as_serde_json_reads_it() {
        let text = r#"{"a":[1,-2,2.5e-3,"x",null,true],"b":{}}"#;
        let plain: serde_json::Value = serde_json::from_str(text).unwrap();
        assert_eq!(parse(text).unwrap(), plain);
    }
}
