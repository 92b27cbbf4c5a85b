//! How much is taken: each limit has its sentence, and nothing was written.

use crate::PROGRAM;
use dyebook_testkit::{Lab, MethodDraft, Said, SheetCsv};
use serde_json::json;

fn refused(lab: &Lab, arguments: &[&str], sentence: &str) {
    let head = lab.head_of_history();
    let said: Said = lab.ends_with(3, arguments);
    let beginning: String = said.err.chars().take(500).collect();
    assert!(said.err.contains(sentence), "{beginning}");
    assert_eq!(lab.head_of_history(), head);
}

#[test]
fn a_file_that_is_too_large_is_not_read() {
    let lab = Lab::ready(PROGRAM);
    let file = std::fs::File::create(lab.path("large.csv")).unwrap();
    file.set_len(65 * 1024 * 1024).unwrap();
    for command in [
        ["sheet", "import"],
        ["method", "add"],
        ["dye", "add"],
        ["library", "import"],
    ] {
        refused(
            &lab,
            &[command[0], command[1], "large.csv"],
            "more than 64 MiB",
        );
    }
    // A device says that it has no size.
    refused(&lab, &["method", "add", "/dev/zero"], "more than 64 MiB");
}

#[test]
fn too_many_rows_are_not_read() {
    let lab = Lab::ready(PROGRAM);
    let mut text = "group,method,paper,lane,label,distance_cm,front_cm\n".to_owned();
    text += &"h,harrow-saline@1.0.0,p,1,x,1,2\n".repeat(1_000_001);
    lab.write("long.csv", text);
    refused(&lab, &["sheet", "import", "long.csv"], "1,000,000 rows");
}

#[test]
fn too_long_a_field_is_not_read() {
    let lab = Lab::ready(PROGRAM);
    let mut sheet = SheetCsv::clean("heron");
    sheet.rows[0].label = "x".repeat(10_001);
    lab.write("wide.csv", sheet.text());
    refused(
        &lab,
        &["sheet", "import", "wide.csv"],
        "more than 10000 characters",
    );
}

#[test]
fn too_deep_or_too_long_a_document_is_not_read() {
    let lab = Lab::ready(PROGRAM);
    let deep = format!("{}{}", "[".repeat(200), "]".repeat(200));
    lab.write("deep.json", deep);
    let long = MethodDraft::new("trial", "1.0.0").with("/title", json!("x".repeat(100_001)));
    lab.write("long.json", long.text());
    for command in [["method", "add"], ["method", "check"], ["dye", "add"]] {
        refused(&lab, &[command[0], command[1], "deep.json"], "127 levels");
        refused(
            &lab,
            &[command[0], command[1], "long.json"],
            "100000 characters",
        );
    }
    refused(&lab, &["library", "import", "deep.json"], "127 levels");
}
