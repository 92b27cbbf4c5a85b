//! An example method without a fault, and edits to it. Tests only.

use dyebook_documents::DyeRegister;
use serde_json::Value;

/// A method in which no lint finds anything.
pub(crate) fn clean_method() -> Value {
    serde_json::from_str(include_str!("../test-data/clean-method.json")).unwrap()
}

/// Sets a member, or an item of a list (one past the end appends).
pub(crate) fn set(document: &mut Value, place: &str, value: Value) {
    let (parent, key) = place.rsplit_once('/').unwrap();
    match document
        .pointer_mut(parent)
        .unwrap_or_else(|| panic!("no {parent}"))
    {
        Value::Object(members) => {
            members.insert(key.to_owned(), value);
        }
        Value::Array(items) => {
            let index: usize = key.parse().unwrap();
            if index < items.len() {
                items[index] = value;
            } else {
                items.push(value);
            }
        }
        other => panic!("{parent} is {other}"),
    }
}

/// Takes a member or an item out, where it is there.
pub(crate) fn unset(document: &mut Value, place: &str) {
    let (parent, key) = place.rsplit_once('/').unwrap();
    match document.pointer_mut(parent) {
        Some(Value::Object(members)) => {
            members.remove(key);
        }
        Some(Value::Array(items)) => {
            let index: usize = key.parse().unwrap();
            if index < items.len() {
                items.remove(index);
            }
        }
        _ => {}
    }
}

/// The bundled dyes.
pub(crate) fn bundled_dyes() -> DyeRegister {
    let text = include_str!("../../../references/dyes.json");
    DyeRegister::new(serde_json::from_str::<Vec<dyebook_documents::Dye>>(text).unwrap())
}
