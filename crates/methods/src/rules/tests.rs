//! Every rule, in its list, on its examples, and over the whole schema.

use super::rule::{FILES, RuleExample, rule};
use super::{Bump, Diff, check_bump, diff, rules};
use crate::test_method::{clean_method, set, unset};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::path::Path;

fn applied(example: &RuleExample) -> Value {
    let mut method = clean_method();
    for place in &example.unset {
        unset(&mut method, place);
    }
    for (place, value) in &example.set {
        set(&mut method, place, serde_json::to_value(value).unwrap());
    }
    method
}

fn rules_seen(diff: &Diff) -> BTreeSet<&str> {
    diff.changes.iter().map(|c| c.rule.as_str()).collect()
}

#[test]
fn folder_list_and_ids_agree() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules");
    let mut files: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .map(|name| name.strip_suffix(".toml").unwrap().to_owned())
        .collect();
    files.sort();
    let listed: Vec<&str> = FILES.iter().map(|(id, _)| *id).collect();
    assert_eq!(listed, files, "rules/ and the list in rules/rule.rs");
    for (id, _) in FILES {
        assert_eq!(rule(id).id, *id);
    }
}

#[test]
fn every_rule_sees_its_examples_and_no_others() {
    for rule in rules() {
        assert!(
            !rule.fires.is_empty() && !rule.silent.is_empty(),
            "{}",
            rule.id
        );
        for example in &rule.fires {
            let found = diff(&clean_method(), &applied(example));
            assert!(
                rules_seen(&found).contains(rule.id.as_str()),
                "{}: {}",
                rule.id,
                example.what
            );
        }
        for example in &rule.silent {
            let found = diff(&clean_method(), &applied(example));
            assert!(
                !rules_seen(&found).contains(rule.id.as_str()),
                "{}: {}",
                rule.id,
                example.what
            );
        }
    }
}

#[test]
fn the_examples_need_the_step_that_the_rule_asks_for() {
    for rule in rules() {
        for example in &rule.fires {
            let found = diff(&clean_method(), &applied(example));
            assert!(found.required >= rule.bump, "{}", rule.id);
            let own = found.changes.iter().find(|c| c.rule == rule.id).unwrap();
            assert!(!own.message.contains('{'), "{}", own.message);
            assert_eq!(own.bump, rule.bump);
        }
    }
}

/// Every path of the method schema, with `*` for the name of an item; `low`/`high`-like members
/// of what a rule takes whole are left to that rule.
fn schema_paths(schema: &Value, node: &Value, path: &str, out: &mut Vec<String>) {
    let node = match node.get("$ref").and_then(Value::as_str) {
        Some(reference) => schema.pointer(reference.trim_start_matches('#')).unwrap(),
        None => node,
    };
    if let Some(items) = node
        .get("items")
        .filter(|_| ["/references", "/cautions", "/developer/components"].contains(&path))
    {
        return schema_paths(schema, items, &format!("{path}/*"), out);
    }
    match node.get("properties").and_then(Value::as_object) {
        Some(properties) => {
            for (key, member) in properties {
                schema_paths(schema, member, &format!("{path}/{key}"), out);
            }
        }
        None => out.push(path.to_owned()),
    }
}

#[test]
fn every_path_of_the_method_schema_has_a_rule() {
    let text = include_str!("../../../../schemas/method.schema.json");
    let schema: Value = serde_json::from_str(text).unwrap();
    let mut paths = Vec::new();
    schema_paths(&schema, &schema, "", &mut paths);
    assert!(paths.len() > 60, "{}", paths.len());
    // The number names the version; the name of a listed thing is its key.
    let names = [
        "/version",
        "/references/*/dye",
        "/developer/components/*/substance",
    ];
    let uncovered: Vec<&String> = paths
        .iter()
        .filter(|path| !names.contains(&path.as_str()))
        .filter(|path| {
            !rules().iter().flat_map(|r| &r.paths).any(|pattern| {
                let wanted: Vec<&str> = pattern.split('/').collect();
                let found: Vec<&str> = path.split('/').collect();
                wanted.len() <= found.len()
                    && wanted.iter().zip(&found).all(|(w, f)| w == f || *w == "*")
                    // Added and removed items of a list say nothing about their members.
                    && pattern != "/references/*"
                    && (pattern != "/developer/components/*" || found.len() == wanted.len())
            })
        })
        .collect();
    assert!(uncovered.is_empty(), "no rule looks at {uncovered:?}");
}

#[test]
fn a_bump_that_is_too_small_is_refused_with_the_rules() {
    let mut draft = clean_method();
    set(&mut draft, "/version", json!("1.4.1"));
    set(&mut draft, "/title", json!("Another title"));
    set(&mut draft, "/developer/components/2/amount", json!(3));
    let found = diff(&clean_method(), &draft);
    assert_eq!((found.required, found.declared), (Bump::Major, Bump::Patch));
    let version = |text: &str| text.parse().unwrap();
    let refused = check_bump(&version("1.4.0"), &version("1.4.1"), &found).unwrap_err();
    assert_eq!(refused.id(), "method.bump-too-small");
    assert_eq!(
        refused.to_string(),
        "version 1.4.1 is a patch, but the changes need a major bump"
    );
    let details = refused.details();
    assert_eq!(
        details[0],
        "method  `saline-paper`, approved 1.4.0, draft 1.4.1"
    );
    assert!(details[1].starts_with("major   sodium chloride goes from 12 to 30 g/L "));
    assert!(details[1].ends_with("(composition_changed)"));
    assert!(details[2].starts_with("patch   title is worded otherwise"));
    assert_eq!(
        refused.hints(),
        ["set `version` to 2.0.0, or restore the composition"]
    );
    assert_eq!(
        check_bump(&version("1.4.0"), &version("2.0.0"), &found),
        Ok(Bump::Major)
    );
    let back = check_bump(&version("1.4.0"), &version("1.3.0"), &found).unwrap_err();
    assert_eq!(back.id(), "method.version-not-higher");
}

#[test]
fn order_and_null_are_no_change() {
    let mut other = clean_method();
    for list in [
        "/references",
        "/developer/components",
        "/controls",
        "/sources",
    ] {
        let Some(Value::Array(items)) = other.pointer_mut(list) else {
            panic!("{list}")
        };
        items.reverse();
    }
    set(&mut other, "/references/0/behaviour", Value::Null);
    set(&mut other, "/references/1/minor_spots", json!([]));
    set(
        &mut other,
        "/developer/components/0/substance",
        json!("NaCl"),
    );
    let found = diff(&clean_method(), &other);
    assert_eq!(
        rules_seen(&found),
        BTreeSet::from(["composition_rewritten"])
    );
}

#[test]
fn a_recipe_that_cant_be_compared_is_a_major_change() {
    let mut other = clean_method();
    unset(&mut other, "/developer/components/2/amount");
    unset(&mut other, "/developer/components/2/basis");
    unset(&mut other, "/developer/components/2/tolerance");
    let found = diff(&clean_method(), &other);
    assert_eq!(found.required, Bump::Major);
    assert!(
        found.changes[0]
            .message
            .contains("amount of `sodium chloride` is not known")
    );
}

/// Values that a place of the example can take.
fn edits() -> impl Strategy<Value = (String, Value)> {
    let number = (0.01f64..0.99).prop_map(Value::from);
    prop_oneof![
        (0usize..6, number.clone()).prop_map(|(i, v)| (format!("/references/{i}/assigned_rf"), v)),
        (1usize..3, number.clone())
            .prop_map(|(i, v)| (format!("/developer/components/{i}/amount"), v)),
        (1usize..3).prop_map(|i| (format!("/developer/components/{i}/basis"), json!("g/L"))),
        number
            .clone()
            .prop_map(|v| ("/layout/front_margin_cm".to_owned(), v)),
        number.prop_map(|v| ("/chamber/inner_diameter_cm".to_owned(), v)),
        (0usize..6).prop_map(|i| (format!("/references/{i}/dye"), json!("green-s"))),
        (0usize..6).prop_map(|i| (format!("/references/{i}"), Value::Null)),
        Just(("/stationary_phase/grade".to_owned(), Value::Null)),
        Just(("/cautions".to_owned(), Value::Null)),
        Just(("/x-own".to_owned(), json!({"a": [1, 2]}))),
        Just(("/layout".to_owned(), Value::Null)),
    ]
}

fn edited(edits: &[(String, Value)]) -> Value {
    let mut method = clean_method();
    for (place, value) in edits {
        if value.is_null() {
            unset(&mut method, place);
        } else if method.pointer(place.rsplit_once('/').unwrap().0).is_some() {
            set(&mut method, place, value.clone());
        }
    }
    method
}

proptest! {
    #[test]
    fn what_differs_one_way_differs_the_other_way(
        one in proptest::collection::vec(edits(), 0..4),
        other in proptest::collection::vec(edits(), 0..4),
    ) {
        let (a, b) = (edited(&one), edited(&other));
        let seen = |found: &Diff, swap: bool| -> BTreeSet<(String, String, String)> {
            found.changes.iter().map(|c| {
                let rule = match c.rule.as_str() {
                    "dye_added" | "dye_removed" => "dye_added_or_removed",
                    rule => rule,
                };
                let (from, to) = (c.from.to_string(), c.to.to_string());
                let values = if swap { format!("{to} {from}") } else { format!("{from} {to}") };
                (rule.to_owned(), c.path.clone(), values)
            }).collect()
        };
        prop_assert_eq!(seen(&diff(&a, &b), false), seen(&diff(&b, &a), true));
        prop_assert!(diff(&a, &a).changes.is_empty());
        let equal = super::normalised::normalised(&a) == super::normalised::normalised(&b);
        prop_assert_eq!(diff(&a, &b).changes.is_empty(), equal);
    }
}
