//! Every lint, in its list, on its examples.

use super::{LINTS, LintExample, lint};
use crate::test_method::{bundled_dyes, clean_method, set, unset};
use dyebook_documents::Method;
use serde_json::Value;
use std::path::Path;

fn found_by(document: &Value, id: &str) -> Vec<super::Finding> {
    let method: Method = serde_json::from_value(document.clone()).unwrap();
    let mut found = lint(&method, document, &bundled_dyes());
    found.retain(|finding| finding.lint == id);
    found
}

fn applied(example: &LintExample) -> Value {
    let mut document = clean_method();
    for place in example.unset {
        unset(&mut document, place);
    }
    for (place, text) in example.set {
        set(&mut document, place, serde_json::from_str(text).unwrap());
    }
    document
}

#[test]
fn a_clean_method_has_no_findings() {
    let document = clean_method();
    let method: Method = serde_json::from_value(document.clone()).unwrap();
    assert_eq!(lint(&method, &document, &bundled_dyes()), []);
}

#[test]
fn folder_list_and_ids_agree() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lints");
    let mut files: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .map(|name| name.strip_suffix(".rs").unwrap().replace('_', "-"))
        .filter(|name| !["mod", "lint", "tests"].contains(&name.as_str()))
        .collect();
    files.sort();
    let listed: Vec<&str> = LINTS.iter().map(|lint| lint.id).collect();
    assert_eq!(listed, files, "lints/ and the list in lints/mod.rs");
}

#[test]
fn every_lint_finds_its_examples_and_no_others() {
    for lint in LINTS {
        assert!(
            !lint.fires.is_empty() && !lint.silent.is_empty(),
            "{}",
            lint.id
        );
        for example in lint.fires {
            let found = found_by(&applied(example), lint.id);
            assert!(!found.is_empty(), "{}: {}", lint.id, example.what);
            for finding in found {
                assert!(!finding.hints.is_empty(), "{}: nothing to do", lint.id);
                assert_eq!(finding.severity, lint.severity);
            }
        }
        for example in lint.silent {
            let found = found_by(&applied(example), lint.id);
            assert!(found.is_empty(), "{}: {}: {found:?}", lint.id, example.what);
        }
    }
}

#[test]
fn places_lead_into_the_document() {
    for lint in LINTS {
        for example in lint.fires {
            let document = applied(example);
            for finding in found_by(&document, lint.id) {
                let above = finding.path.rsplit_once('/').map_or("", |(above, _)| above);
                assert!(
                    document.pointer(above).is_some(),
                    "{}: {}",
                    lint.id,
                    finding.path
                );
            }
        }
    }
}

#[test]
fn a_slip_gets_the_nearest_dye() {
    let mut document = clean_method();
    set(&mut document, "/references/3/dye", "tartrazin".into());
    let found = found_by(&document, "dye-unknown");
    assert_eq!(found[0].hints, ["did you mean `tartrazine`?"]);
}

#[test]
fn bundled_methods_have_nothing_that_stops() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../references/methods");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let document: Value =
            serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
        let method: Method = serde_json::from_value(document.clone()).unwrap();
        let found = lint(&method, &document, &bundled_dyes());
        let loud: Vec<_> = found
            .iter()
            .filter(|f| f.severity > dyebook_documents::Severity::Info)
            .collect();
        assert!(loud.is_empty(), "{}: {loud:?}", path.display());
        seen += 1;
    }
    assert!(seen > 1);
}
