//! Every schema compiles, stands in the catalogue, and takes the good and refuses the bad examples
//! of `schemas/examples/<name>/{valid,invalid}/`. JSON Schema draft 2020-12 is the standard behind
//! the meta-schema check.

#![expect(
    clippy::unwrap_used,
    reason = "helpers of tests stop the test when they fail"
)]

use dyebook_schemas::{Schema, catalogue, check_text};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../schemas")
}

fn examples(schema: &Schema, kind: &str) -> Vec<(String, String)> {
    let folder = folder().join("examples").join(schema.name).join(kind);
    let Ok(entries) = fs::read_dir(&folder) else {
        return Vec::new();
    };
    let mut examples: Vec<(String, String)> = entries
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into(),
                fs::read_to_string(path).unwrap(),
            )
        })
        .collect();
    examples.sort();
    examples
}

#[test]
fn the_catalogue_lists_the_folder() {
    let files: BTreeSet<String> = fs::read_dir(folder())
        .unwrap()
        .filter_map(|entry| {
            let name = entry.unwrap().file_name().into_string().unwrap();
            name.strip_suffix(".schema.json").map(str::to_owned)
        })
        .collect();
    let listed: BTreeSet<String> = catalogue::ALL.iter().map(|s| s.name.to_owned()).collect();
    assert_eq!(
        files, listed,
        "add the missing line to crates/schemas/src/catalogue.rs"
    );
}

#[test]
fn every_schema_is_a_schema_of_draft_2020_12() {
    for schema in catalogue::ALL {
        let value: serde_json::Value = serde_json::from_str(schema.text).unwrap();
        assert_eq!(
            value["$schema"], "https://json-schema.org/draft/2020-12/schema",
            "{}",
            schema.name
        );
        assert_eq!(value["$id"], schema.uri(), "{}", schema.name);
        jsonschema::draft202012::meta::validate(&value).unwrap();
    }
}

#[test]
fn good_examples_are_taken_and_bad_ones_refused_with_a_place() {
    for schema in catalogue::ALL {
        let (valid, invalid) = (examples(schema, "valid"), examples(schema, "invalid"));
        assert!(!valid.is_empty(), "no valid example of {}", schema.name);
        assert!(!invalid.is_empty(), "no invalid example of {}", schema.name);
        for (name, text) in valid {
            if let Err(problems) = check_text(schema, &text) {
                panic!("{}/valid/{name}: {}", schema.name, problems[0]);
            }
        }
        for (name, text) in invalid {
            let Err(problems) = check_text(schema, &text) else {
                panic!("{}/invalid/{name} was taken", schema.name);
            };
            for problem in problems {
                assert!(
                    problem.line.is_some(),
                    "{}/invalid/{name}: {problem} points nowhere",
                    schema.name
                );
            }
        }
    }
}
