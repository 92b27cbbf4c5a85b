//! What differs between two versions of a method, and which version step that needs.

use super::bump::Bump;
use super::composition_rule::composition_changes;
use super::declared_bump::declared_bump;
use super::normalised::normalised;
use super::path_pattern::member;
use super::rule::{Compute, Rule, When, rule, rules};
use super::run_length_rule::run_length_change;
use super::wording::Words;
use semver::Version;
use serde::Serialize;
use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// What differs between two versions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Diff {
    /// The one, as `id@version`.
    pub from: String,
    /// The other, as `id@version`.
    pub to: String,
    /// The step that the changes need.
    pub required: Bump,
    /// The step between the version numbers; none where the second is not higher.
    pub declared: Bump,
    /// Every change, the weightiest first.
    pub changes: Vec<Change>,
}

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// The rule that saw it.
    pub rule: String,
    /// The step that the rule asks for.
    pub bump: Bump,
    /// Where, as a JSON Pointer in which references go by dye, components by substance and
    /// cautions by text.
    pub path: String,
    /// What stood there; null where nothing was recorded.
    pub from: Value,
    /// What stands there; null where nothing is recorded.
    pub to: Value,
    /// The change in a few words.
    pub message: String,
    /// Why the rule asks for that step.
    pub why: String,
}

/// What a version's number is made of is not what the method says.
const VERSION: &str = "/version";

/// What differs between two versions of a method, and which version step that needs.
///
/// Both are method documents that their schema accepts. The order of references, components,
/// cautions, controls, pairs, colours and sources is no difference, nor is `null` in place of a
/// missing member.
pub fn diff(from: &Value, to: &Value) -> Diff {
    let (one, other) = (normalised(from), normalised(to));
    let mut walk = Walk::default();
    walk.compare("", &one, &other);
    let mut changes = walk.changes;
    for compute in walk.computes {
        match compute {
            Compute::Composition => changes.extend(composition_changes(from, to)),
            Compute::RunLength => changes.extend(run_length_change(from, to)),
        }
    }
    changes.sort_by(|a, b| {
        (b.bump.cmp(&a.bump))
            .then_with(|| a.rule.cmp(&b.rule))
            .then_with(|| a.path.cmp(&b.path))
    });
    let required = changes.iter().map(|c| c.bump).max().unwrap_or(Bump::None);
    let declared = version_of(from)
        .zip(version_of(to))
        .and_then(|(from, to)| declared_bump(&from, &to));
    Diff {
        from: name_of(from),
        to: name_of(to),
        required,
        declared: declared.unwrap_or(Bump::None),
        changes,
    }
}

fn version_of(method: &Value) -> Option<Version> {
    method.get("version")?.as_str()?.parse().ok()
}

fn name_of(method: &Value) -> String {
    let member = |key| method.get(key).and_then(Value::as_str).unwrap_or("?");
    format!("{}@{}", member("id"), member("version"))
}

/// The places at which two documents differ, as the rules see them.
#[derive(Default)]
struct Walk {
    changes: Vec<Change>,
    computes: BTreeSet<Compute>,
}

impl Walk {
    fn compare(&mut self, path: &str, from: &Value, to: &Value) {
        if path == VERSION || same(from, to) {
            return;
        }
        if self.seen_by_rules(path, from, to) {
            return;
        }
        match (from, to) {
            (Value::Object(one), Value::Object(other)) => self.members(path, one, other),
            (Value::Object(one), Value::Null) => self.members(path, one, &Map::new()),
            (Value::Null, Value::Object(other)) => self.members(path, &Map::new(), other),
            _ => self.report(rule("anything_else_changed"), path, from, to),
        }
    }

    fn members(&mut self, path: &str, from: &Map<String, Value>, to: &Map<String, Value>) {
        let keys: BTreeSet<&String> = from.keys().chain(to.keys()).collect();
        for key in keys {
            let of = |members: &Map<String, Value>| members.get(key).cloned().unwrap_or_default();
            self.compare(&member(path, key), &of(from), &of(to));
        }
    }

    /// Whether a rule looks at this very place, and so takes all that is below it.
    fn seen_by_rules(&mut self, path: &str, from: &Value, to: &Value) -> bool {
        let kind = match (from, to) {
            (Value::Null, _) => When::Added,
            (_, Value::Null) => When::Removed,
            _ => When::Changed,
        };
        // A list of named things that is there on both sides is looked into, not taken whole.
        if kind == When::Changed && from.is_object() && to.is_object() && looked_into(path) {
            return false;
        }
        let looking: Vec<&Rule> = rules()
            .iter()
            .filter(|rule| rule.looks_at(path, kind))
            .collect();
        self.computes
            .extend(looking.iter().filter_map(|rule| rule.compute));
        let plain = looking
            .iter()
            .filter(|rule| rule.compute.is_none())
            .max_by_key(|rule| rule.exactness(path));
        if let Some(rule) = plain {
            self.report(rule, path, from, to);
        }
        !looking.is_empty()
    }

    fn report(&mut self, rule: &Rule, path: &str, from: &Value, to: &Value) {
        self.changes
            .push(change(rule, path, from.clone(), to.clone(), None));
    }
}

/// Whether some rule looks at members of the place.
fn looked_into(path: &str) -> bool {
    rules().iter().flat_map(|rule| &rule.paths).any(|pattern| {
        let longer = pattern.matches('/').count() > path.matches('/').count();
        longer
            && pattern
                .split('/')
                .zip(path.split('/'))
                .all(|(want, have)| want == "*" || want == have)
    })
}

/// Equal values; whole numbers and decimals of one value are equal.
fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Number(a), Value::Number(b)) => a.as_f64() == b.as_f64(),
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
        }
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, a)| b.get(key).is_some_and(|b| same(a, b)))
        }
        _ => one == other,
    }
}

/// A change as a rule tells it.
pub(super) fn change(
    rule: &Rule,
    path: &str,
    from: Value,
    to: Value,
    words: Option<Words>,
) -> Change {
    let words = words.unwrap_or_else(|| Words::of(path, &from, &to));
    Change {
        rule: rule.id.clone(),
        bump: rule.bump,
        path: path.to_owned(),
        message: words.filled_in(&rule.message),
        why: rule.why.clone(),
        from,
        to,
    }
}
