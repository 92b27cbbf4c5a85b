//! The canonical form of RFC 8785.
//!
//! `serde_json_canonicalizer` defines it. A document whose keys are all ASCII, as every kept one
//! is, comes out of `serde_json` in the right order already; written straight away, with numbers by
//! `ryu_js`, it takes a tenth of the time. A test holds the two against each other. Types whose
//! fields stand in the order of their names need no detour over a JSON value at all.

use serde::ser::{Serialize, SerializeMap, SerializeSeq, Serializer};
use serde_json::ser::{CompactFormatter, Formatter};
use serde_json::{Map, Value};
use std::cell::Cell;
use std::io::{self, Write};
use std::ops::Range;

/// A value in the canonical form of RFC 8785: keys sorted, numbers in their shortest form, no
/// white space. Two documents that say the same have the same canonical form.
#[expect(
    clippy::expect_used,
    clippy::missing_panics_doc,
    reason = "a JSON value has text keys and finite numbers only, so this never fails"
)]
pub fn canonical_json(value: &Value) -> String {
    if has_plain_keys(value) {
        return written(value);
    }
    serde_json_canonicalizer::to_string(value).expect("a JSON value always has a canonical form")
}

/// What `make` makes of the canonical form of something whose members come in the order of their
/// names, at all depths, under names of plain ASCII. Builds with assertions, and so every test, hold
/// it against [`canonical_json`].
///
/// # Panics
/// Where the members are found to be in another order, and for what has no JSON form.
#[expect(
    clippy::expect_used,
    reason = "fails for maps with keys that are no text only, which is the caller's mistake"
)]
pub fn of_canonical_json_in_order<T: Serialize + ?Sized, R>(
    value: &T,
    make: impl FnOnce(&[u8]) -> R,
) -> R {
    // Many a document is written, digested and gone: they stand in the same place.
    thread_local!(static PLACE: Cell<Vec<u8>> = const { Cell::new(Vec::new()) });
    let mut text = PLACE.take();
    text.clear();
    write(value, &mut text);
    debug_assert_eq!(
        str::from_utf8(&text),
        Ok(canonical_json(&serde_json::to_value(value).expect("it has a JSON form")).as_str()),
        "members are declared in the order of their names"
    );
    let made = make(&text);
    PLACE.set(text);
    made
}

/// The canonical form of a value without the members of this name, at any depth.
pub(crate) fn canonical_json_without(value: &Value, left_out: &str) -> String {
    if has_plain_keys(value) {
        return written(&Part { value, left_out });
    }
    canonical_json(&without(value, left_out))
}

/// Whether the order of bytes is that of UTF-16 units.
fn has_plain_keys(value: &Value) -> bool {
    match value {
        Value::Object(members) => members
            .iter()
            .all(|(name, member)| name.is_ascii() && has_plain_keys(member)),
        Value::Array(items) => items.iter().all(has_plain_keys),
        _ => true,
    }
}

fn without(value: &Value, left_out: &str) -> Value {
    match value {
        Value::Object(members) => members
            .iter()
            .filter(|(name, _)| *name != left_out)
            .map(|(name, member)| (name.clone(), without(member, left_out)))
            .collect::<Map<_, _>>()
            .into(),
        Value::Array(items) => items.iter().map(|item| without(item, left_out)).collect(),
        plain => plain.clone(),
    }
}

#[expect(clippy::expect_used, reason = "what serde_json writes is text")]
fn written<T: Serialize + ?Sized>(value: &T) -> String {
    let mut text = Vec::new();
    write(value, &mut text);
    String::from_utf8(text).expect("JSON is UTF-8")
}

#[expect(
    clippy::expect_used,
    reason = "writing into memory fails for maps with keys that are no text only"
)]
fn write<T: Serialize + ?Sized>(value: &T, text: &mut Vec<u8>) {
    let mut serializer = serde_json::Serializer::with_formatter(text, Numbers);
    value
        .serialize(&mut serializer)
        .expect("it has a JSON form");
}

/// A value of which members of one name are left out.
struct Part<'a> {
    value: &'a Value,
    left_out: &'a str,
}

impl Serialize for Part<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let part = |value| Part {
            value,
            left_out: self.left_out,
        };
        match self.value {
            Value::Object(members) => {
                let mut map = serializer.serialize_map(None)?;
                for (name, member) in members {
                    if self.left_out != name {
                        map.serialize_entry(name, &part(member))?;
                    }
                }
                map.end()
            }
            Value::Array(items) => {
                let mut list = serializer.serialize_seq(None)?;
                for item in items {
                    list.serialize_element(&part(item))?;
                }
                list.end()
            }
            plain => plain.serialize(serializer),
        }
    }
}

/// Numbers as RFC 8785, 3.2.2.3 wants them: every one is a double, written as ECMAScript does.
struct Numbers;

/// Whole numbers up to here are the same as doubles.
const EXACT: u64 = 1 << 53;

/// Fractions that `serde_json` writes as ECMAScript does, and faster: those without an exponent.
const ALIKE: Range<f64> = 1e-4..1e15;

impl Formatter for Numbers {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        if value.fract() != 0.0 && ALIKE.contains(&value.abs()) {
            return CompactFormatter.write_f64(writer, value);
        }
        writer.write_all(ryu_js::Buffer::new().format_finite(value).as_bytes())
    }

    #[expect(clippy::cast_precision_loss, reason = "RFC 8785 knows doubles only")]
    fn write_u64<W: ?Sized + Write>(&mut self, writer: &mut W, value: u64) -> io::Result<()> {
        if value > EXACT {
            return self.write_f64(writer, value as f64);
        }
        CompactFormatter.write_u64(writer, value)
    }

    #[expect(clippy::cast_precision_loss, reason = "RFC 8785 knows doubles only")]
    fn write_i64<W: ?Sized + Write>(&mut self, writer: &mut W, value: i64) -> io::Result<()> {
        if value.unsigned_abs() > EXACT {
            return self.write_f64(writer, value as f64);
        }
        CompactFormatter.write_i64(writer, value)
    }
}

#[cfg(test)]
mod tests {
    use super::{canonical_json, canonical_json_without, without};
    use proptest::prelude::*;
    use serde_json::{Value, json};

    fn value() -> impl Strategy<Value = Value> {
        let plain = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            any::<u64>().prop_map(Value::from),
            (-100i64..100).prop_map(Value::from),
            any::<f64>().prop_map(Value::from),
            (-1e7..1e7).prop_map(Value::from),
            (-1e-3..1e-3).prop_map(Value::from),
            (-1.0..1.0).prop_map(Value::from),
            any::<String>().prop_map(Value::from),
        ];
        plain.prop_recursive(4, 40, 6, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
                prop::collection::btree_map("[a-z_\"\\\\ ]{0,4}|\\PC{0,3}", inner, 0..6)
                    .prop_map(|members| members.into_iter().collect()),
            ]
        })
    }

    proptest! {
        #[test]
        fn it_is_what_the_library_of_the_standard_writes(value in value()) {
            let expected = serde_json_canonicalizer::to_string(&value).unwrap();
            prop_assert_eq!(canonical_json(&value), expected);
        }

        #[test]
        fn members_are_left_out_at_any_depth(value in value()) {
            let expected = canonical_json(&without(&value, "a"));
            prop_assert_eq!(canonical_json_without(&value, "a"), expected);
        }
    }

    #[test]
    fn the_numbers_of_the_standard_come_out_as_there() {
        // RFC 8785, appendix B, samples.
        for (bits, text) in [
            (0x0000_0000_0000_0000_u64, "0"),
            (0x8000_0000_0000_0000, "0"),
            (0x0000_0000_0000_0001, "5e-324"),
            (0x7fef_ffff_ffff_ffff, "1.7976931348623157e+308"),
            (0x4340_0000_0000_0000, "9007199254740992"),
            (0x4430_0000_0000_0000, "295147905179352830000"),
            (0x44b5_2d02_c7e1_4af5, "9.999999999999997e+22"),
            (0x44b5_2d02_c7e1_4af6, "1e+23"),
            (0x444b_1ae4_d6e2_ef4e, "999999999999999700000"),
            (0x444b_1ae4_d6e2_ef50, "1e+21"),
            (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
            (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
        ] {
            assert_eq!(canonical_json(&json!(f64::from_bits(bits))), text);
        }
    }
}
