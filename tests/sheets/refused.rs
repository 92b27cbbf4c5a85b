//! A file that can't be understood is refused with its lines, and nothing is written.

use crate::PROGRAM;
use dyebook_testkit::{Encoding, Lab, SheetCsv};

/// Imports files that must be refused; answers what was said. The library must be as before.
fn refused(lab: &Lab, files: &[&str]) -> String {
    let (sheets, head) = (lab.answer(0, &["sheet", "list"]), lab.head_of_history());
    let arguments: Vec<&str> = ["sheet", "import"].iter().chain(files).copied().collect();
    let said = lab.ends_with(3, &arguments);
    assert_eq!(said.out, "");
    assert_eq!(
        lab.answer(0, &["sheet", "list"]),
        sheets,
        "a refused file left a sheet"
    );
    assert_eq!(
        lab.head_of_history(),
        head,
        "a refused file left a change record"
    );
    said.err
}

fn refused_text(text: impl AsRef<[u8]>) -> String {
    let lab = Lab::ready(PROGRAM);
    lab.write("sheet.csv", text);
    refused(&lab, &["sheet.csv"])
}

#[test]
fn a_length_without_a_unit_says_how_to_add_it() {
    let said = refused_text(
        "group,method,paper,lane,label,distance,front\ng,harrow-saline@1.0.0,p,1,x,1,2\n",
    );
    assert!(said.contains("distance") && said.contains("_mm"), "{said}");
    assert!(said.contains("line 1"), "{said}");
}

#[test]
fn missing_and_misspelt_columns_are_all_named() {
    let said = refused_text("grup,method,lane,label,distance_cm,front_cm\ng,m@1.0.0,1,x,1,2\n");
    assert!(said.contains("`grup` is close"), "{said}");
    assert!(said.contains("`paper` is missing"), "{said}");
}

#[test]
fn every_bad_value_is_named_with_its_line() {
    let said = refused_text(
        "group,date,method,paper,lane,label,distance_cm,front_cm\n\
         g,2026-09-08,harrow-saline@1.0.0,p,1,Red 40,3.2,8.0\n\
         g,2026-09-08,harrow-saline@1.0.0,p,two,Red 40,3.2,8.0\n\
         g,2026-09-08,harrow-saline@1.0.0,p,3,Red 40,three,8.0\n",
    );
    assert!(said.contains("line 3") && said.contains("two"), "{said}");
    assert!(said.contains("line 4") && said.contains("three"), "{said}");
    assert!(!said.contains("line 2"), "{said}");
}

#[test]
fn what_is_no_table_is_refused() {
    for bytes in [
        b"".as_slice(),
        b"\n\n",
        b"PK\x03\x04 not a table",
        b"group,method,paper,lane,label,distance_cm,front_cm\n",
        b"\xff\xfeg\x00r",
        b"\x00\x01\x02\x03",
    ] {
        assert!(refused_text(bytes).starts_with("error["));
    }
    let cut = Encoding::Utf16Le.bytes(&SheetCsv::clean("heron").text());
    assert!(refused_text(&cut[..cut.len() - 1]).starts_with("error["));
}

#[test]
fn a_file_with_one_bad_row_leaves_none_of_its_sheets() {
    let good = SheetCsv::clean("heron").text();
    refused_text(good + "tue-2,teal,2026-09-08,harrow-saline@1.0.0,t,sample,x,red,1.0,8.0,red\n");
}

#[test]
fn of_two_files_both_are_taken_or_none() {
    let lab = Lab::ready(PROGRAM);
    lab.write("good.csv", SheetCsv::clean("heron").text());
    lab.write(
        "bad.csv",
        SheetCsv::clean("teal")
            .other_readings(5)
            .text()
            .replace("8.10", "eight"),
    );
    for order in [["good.csv", "bad.csv"], ["bad.csv", "good.csv"]] {
        let said = refused(&lab, &order);
        assert!(said.contains("bad.csv"), "{said}");
    }
    let taken = lab.answer(0, &["sheet", "import", "good.csv"]);
    assert_eq!(taken["sheets"][0]["new"], true);
}

#[test]
fn one_sheet_in_two_files_of_one_import_is_refused() {
    let lab = Lab::ready(PROGRAM);
    lab.write("one.csv", SheetCsv::clean("heron").text());
    lab.write(
        "other.csv",
        SheetCsv::clean("heron").text().replace("3.24", "3.42"),
    );
    let said = refused(&lab, &["one.csv", "other.csv"]);
    assert!(
        said.contains("one.csv") && said.contains("other.csv"),
        "{said}"
    );
}

#[test]
fn a_method_that_is_not_there_or_a_draft_is_refused_by_name() {
    let lab = Lab::ready(PROGRAM);
    for (reference, id) in [
        ("nothing@1.0.0", "error[method.unknown]"),
        ("harrow-saline@2.0.0", "error[method.unknown-version]"),
        ("harrow-saline@^3", "error[method.nothing-approved]"),
        ("harrow-citrate@1.0.0", "error[method.is-a-draft]"),
        ("harrow saline", "error["),
    ] {
        lab.write(
            "sheet.csv",
            SheetCsv::clean("heron").by_method(reference).text(),
        );
        let said = refused(&lab, &["sheet.csv"]);
        assert!(said.starts_with(id), "{reference}: {said}");
    }
}
