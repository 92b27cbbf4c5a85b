//! A change in a few words.

use super::path_pattern::keys;
use crate::composition::{digits, shown_name};
use serde_json::Value;

/// Longest text shown of a value.
const SHOWN: usize = 72;

/// What fills the places of a rule's message.
#[derive(Debug, Clone)]
pub(super) struct Words {
    /// The place, in words.
    pub(super) what: String,
    /// The named thing at the place.
    pub(super) name: String,
    /// What stood there.
    pub(super) from: String,
    /// What stands there.
    pub(super) to: String,
}

impl Words {
    /// The words for a place and the values there.
    pub(super) fn of(path: &str, from: &Value, to: &Value) -> Self {
        let keys = keys(path);
        let named = match keys.first().map(String::as_str) {
            Some("references" | "cautions") => keys.get(1).cloned(),
            Some("developer") => keys.get(2).map(|key| shown_name(key)),
            _ => None,
        };
        Self {
            what: place(&keys),
            name: cut(&named.unwrap_or_else(|| place(&keys))),
            from: shown(from),
            to: shown(to),
        }
    }

    /// The message with its places filled.
    pub(super) fn filled_in(&self, message: &str) -> String {
        message
            .replace("{what}", &self.what)
            .replace("{name}", &self.name)
            .replace("{from}", &self.from)
            .replace("{to}", &self.to)
    }
}

/// A place in words: `stationary phase, grade`; `expected rf of tartrazine`.
fn place(keys: &[String]) -> String {
    let words = |key: &String| key.replace('_', " ");
    match keys {
        [list, name, rest @ ..] if list == "references" && !rest.is_empty() => {
            let rest: Vec<String> = rest.iter().map(words).collect();
            format!("{} of {name}", rest.join(", "))
        }
        [developer, components, name, rest @ ..]
            if developer == "developer" && components == "components" && !rest.is_empty() =>
        {
            let rest: Vec<String> = rest.iter().map(words).collect();
            format!("{} of {}", rest.join(", "), shown_name(name))
        }
        _ => keys.iter().map(words).collect::<Vec<_>>().join(", "),
    }
}

/// A value in a few words.
fn shown(value: &Value) -> String {
    match value {
        Value::Null => "not recorded".to_owned(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => format!("`{}`", cut(text)),
        Value::Array(items) => {
            let all: Vec<String> = items.iter().map(item).collect();
            format!("{} ({})", items.len(), cut(&all.join(", ")))
        }
        Value::Object(members) => {
            if let (Some(low), Some(high)) = (members.get("low"), members.get("high")) {
                return format!("{low}–{high}");
            }
            let all: Vec<String> = members
                .iter()
                .map(|(key, member)| format!("{} {}", key.replace('_', " "), item(member)))
                .collect();
            cut(&all.join(", "))
        }
    }
}

fn item(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(pair) => pair.iter().map(item).collect::<Vec<_>>().join(" / "),
        Value::Number(number) => number.to_string(),
        other => shown(other),
    }
}

fn cut(text: &str) -> String {
    if text.chars().count() <= SHOWN {
        return text.to_owned();
    }
    let kept: String = text.chars().take(SHOWN).collect();
    format!("{kept}…")
}

/// A number with three digits.
pub(super) fn three_digits(g_per_l: f64) -> String {
    digits(g_per_l)
}
