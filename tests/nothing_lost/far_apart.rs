//! A session whose sheets come in files that are not in memory together is checked as one.

use crate::PROGRAM;
use dyebook_testkit::Lab;
use dyebook_testkit::large_term::LargeTerm;
use serde_json::Value;

/// A file of one group, and the same readings as another group of the session hands them in.
fn copied(file: &str) -> (String, String) {
    let (header, rows) = file.split_once('\n').unwrap();
    let of_first = |row: &&str| row.split(',').nth(1) == Some("g1");
    let rows: Vec<&str> = rows.lines().filter(of_first).collect();
    let first = format!("{header}\n{}\n", rows.join("\n"));
    let copy = first.replace(",g1,", ",teal,").replace(",g1-", ",t-");
    (first, copy)
}

fn repeated(answer: &Value, group: &str) -> usize {
    let sheets = answer["sheets"].as_array().unwrap();
    let sheet = sheets.iter().find(|sheet| sheet["group"] == group).unwrap();
    let checks = sheet["checks"].as_array().unwrap();
    let repeated = |check: &&Value| check["check"] == "paper-repeated";
    checks.iter().filter(repeated).count()
}

#[test]
fn a_copy_is_found_however_far_behind_it_comes() {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    let reason = ["--reason", "for a test"];
    lab.done(&[&["method", "approve", "harrow-saline@1.1.0"], &reason[..]].concat());
    let mut term = LargeTerm::new(6_000, 3);
    let (first, copy) = copied(&term.next().unwrap().text);
    let mut files = vec!["first.csv".to_owned()];
    lab.write("first.csv", &first);
    for file in term.by_ref() {
        lab.write(&file.name, &file.text);
        files.push(file.name);
    }
    assert!(
        files.len() > 16,
        "{} files are near each other",
        files.len()
    );
    files.push("copy.csv".to_owned());
    lab.write("copy.csv", &copy);
    let mut import = vec!["sheet", "import"];
    import.extend(files.iter().map(String::as_str));
    let answer = lab.answer(1, &import);
    assert_eq!((repeated(&answer, "g1"), repeated(&answer, "teal")), (2, 2));

    // A third group's copy in a later import.
    lab.write("later.csv", copy.replace(",teal,", ",heron,"));
    let answer = lab.answer(1, &["sheet", "import", "later.csv"]);
    assert_eq!(repeated(&answer, "heron"), 2);
}
