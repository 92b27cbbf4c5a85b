//! Importing again, and handing in again.

use crate::PROGRAM;
use dyebook_testkit::{Dialect, Encoding, Lab, SheetCsv};

#[test]
fn importing_twice_adds_nothing_and_says_so() {
    let lab = Lab::ready(PROGRAM);
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    let first = lab.answer(0, &["sheet", "import", "heron.csv"]);
    let head = lab.head_of_history();
    let second = lab.answer(0, &["sheet", "import", "heron.csv"]);
    assert_eq!(first["sheets"][0]["new"], true);
    assert_eq!(second["sheets"][0]["new"], false);
    assert_eq!(second["sheets"][0]["id"], first["sheets"][0]["id"]);
    assert_eq!(second["sheets"][0]["checks"], first["sheets"][0]["checks"]);
    assert_eq!(lab.head_of_history(), head);
    let said = lab.done(&["sheet", "import", "heron.csv"]).out;
    assert!(said.contains("nothing changed"), "{said}");
}

#[test]
fn other_contents_of_the_same_sheet_are_a_resubmission() {
    let lab = Lab::ready(PROGRAM);
    let text = SheetCsv::clean("heron").text();
    lab.write("heron.csv", &text);
    let id = lab.answer(0, &["sheet", "import", "heron.csv"])["sheets"][0]["id"].clone();
    let id = id.as_str().unwrap();
    let original = lab.answer(0, &["sheet", "show", id]);
    lab.write("again.csv", text.replace("3.24", "3.42"));

    let head = lab.head_of_history();
    let said = lab.ends_with(3, &["sheet", "import", "again.csv"]).err;
    assert!(said.starts_with("error[sheet.handed-in-again]"), "{said}");
    assert!(said.contains("--replace --reason"), "{said}");
    lab.ends_with(2, &["sheet", "import", "again.csv", "--replace"]);
    assert_eq!(lab.head_of_history(), head);
    assert_eq!(lab.answer(0, &["sheet", "show", id]), original);

    let reason = "the group measured again";
    let taken = lab.answer(
        0,
        &[
            "sheet",
            "import",
            "again.csv",
            "--replace",
            "--reason",
            reason,
        ],
    );
    assert_eq!(
        (&taken["sheets"][0]["id"], &taken["sheets"][0]["new"]),
        (&id.into(), &true.into())
    );
    let shown = lab.answer(0, &["sheet", "show", id]);
    assert_eq!(shown["sheet"]["lanes"][0]["rows"][0]["distance"], "3.42");
    let history = lab.answer(0, &["history", id]);
    let records = history["changes"].as_array().unwrap();
    assert_eq!(records.len(), 2);
    assert_eq!(records[1]["reason"], reason);
    // The one that was handed in first is where the second one began, and is still in the file.
    assert_eq!(records[1]["before"], records[0]["after"]);
    assert_eq!(lab.answer(0, &["library", "verify"])["sound"], true);
}

#[test]
fn a_resubmission_in_one_of_two_files_holds_up_both() {
    let lab = Lab::ready(PROGRAM);
    let text = SheetCsv::clean("heron").text();
    lab.write("heron.csv", &text);
    lab.done(&["sheet", "import", "heron.csv"]);
    lab.write("heron.csv", text.replace("3.24", "3.42"));
    lab.write("teal.csv", SheetCsv::clean("teal").other_readings(5).text());
    lab.ends_with(3, &["sheet", "import", "teal.csv", "heron.csv"]);
    let sheets = lab.answer(0, &["sheet", "list"]);
    assert_eq!(sheets["sheets"].as_array().unwrap().len(), 1);
}

#[test]
fn the_same_data_in_another_dialect_is_the_same_sheet() {
    let lab = Lab::ready(PROGRAM);
    let sheet = SheetCsv::clean("heron");
    lab.write("heron.csv", sheet.text());
    lab.done(&["sheet", "import", "heron.csv"]);
    let dialect = Dialect {
        separator: ';',
        decimal_comma: true,
        crlf: true,
        encoding: Encoding::Utf16Le,
        ..Dialect::default()
    };
    lab.write("heron.csv", sheet.bytes_in(dialect));
    let again = lab.answer(0, &["sheet", "import", "heron.csv"]);
    assert_eq!(again["sheets"][0]["new"], false);
}
