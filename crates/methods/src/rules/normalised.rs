//! A method document so that only what it says counts: named things by name, sets sorted, and
//! what is not known left out.

use crate::composition::substance_key;
use dyebook_documents::canonical_json;
use serde_json::{Map, Value};

/// A caution goes by the beginning of its text: enough to tell one from another.
const CAUTION_KEY: usize = 60;

/// The document with lists of named things as objects, sets sorted, `null` and empty members
/// left out.
pub(super) fn normalised(method: &Value) -> Value {
    let mut document = without_nothing(method).unwrap_or(Value::Object(Map::new()));
    by_name(&mut document, "/references", |reference| {
        text(reference, "dye")
    });
    by_name(&mut document, "/developer/components", |component| {
        text(component, "substance").map(|name| substance_key(&name))
    });
    by_name(&mut document, "/cautions", |caution| {
        text(caution, "text").map(|text| text.chars().take(CAUTION_KEY).collect())
    });
    if let Some(Value::Array(pairs)) = document.pointer_mut("/critical_pairs") {
        for pair in pairs {
            as_set(pair);
        }
    }
    for place in ["/controls", "/sources", "/critical_pairs"] {
        if let Some(list) = document.pointer_mut(place) {
            as_set(list);
        }
    }
    if let Some(Value::Object(references)) = document.pointer_mut("/references") {
        for reference in references.values_mut() {
            for key in ["colours", "minor_spots"] {
                if let Some(list) = reference.get_mut(key) {
                    as_set(list);
                }
            }
        }
    }
    document
}

fn text(value: &Value, key: &str) -> Option<String> {
    value.get(key)?.as_str().map(str::to_owned)
}

/// What is left without `null`, empty lists and empty objects: they say "not known" or "none".
fn without_nothing(value: &Value) -> Option<Value> {
    match value {
        Value::Null => None,
        Value::Array(items) => {
            let kept: Vec<Value> = items.iter().filter_map(without_nothing).collect();
            (!kept.is_empty()).then_some(Value::Array(kept))
        }
        Value::Object(members) => {
            let kept: Map<String, Value> = members
                .iter()
                .filter_map(|(key, member)| Some((key.clone(), without_nothing(member)?)))
                .collect();
            (!kept.is_empty()).then_some(Value::Object(kept))
        }
        other => Some(other.clone()),
    }
}

/// Turns a list into an object by the name of each item; a second one of a name gets a number.
fn by_name(document: &mut Value, place: &str, name: impl Fn(&Value) -> Option<String>) {
    let Some(list) = document.pointer_mut(place) else {
        return;
    };
    let Value::Array(items) = list.take() else {
        return;
    };
    let mut items: Vec<(String, Value)> = items
        .into_iter()
        .map(|item| (name(&item).unwrap_or_default(), item))
        .collect();
    // Two of one name are told apart by what they say, not by which stands first.
    items.sort_by_cached_key(|(name, item)| (name.clone(), canonical_json(item)));
    let mut named = Map::new();
    for (name, item) in items {
        let mut key = name.clone();
        let mut number = 2;
        while named.contains_key(&key) {
            key = format!("{name}#{number}");
            number += 1;
        }
        named.insert(key, item);
    }
    *list = Value::Object(named);
}

fn as_set(list: &mut Value) {
    if let Value::Array(items) = list {
        items.sort_by_cached_key(canonical_json);
        items.dedup_by_key(|item| canonical_json(item));
    }
}
