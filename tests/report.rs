//! A sheet as one HTML file.

use crate::PROGRAM;
use dyebook_testkit::{Lab, SheetCsv};

/// The report of a sheet, as the program writes it.
fn report(sheet: &SheetCsv) -> String {
    let lab = Lab::ready(PROGRAM);
    lab.write("sheet.csv", sheet.text());
    let taken = lab.run(&["sheet", "import", "sheet.csv", "--json"]).json();
    let id = taken["sheets"][0]["id"].as_str().unwrap();
    lab.run(&["identify", id]);
    let answer = lab.answer(0, &["report", id, "--out", "report.html"]);
    let html = std::fs::read_to_string(lab.path("report.html")).unwrap();
    assert_eq!(answer["bytes"], html.len());
    lab.done(&["report", id, "--out", "again.html"]);
    assert_eq!(
        std::fs::read_to_string(lab.path("again.html")).unwrap(),
        html,
        "not the same twice"
    );
    html
}

/// Nothing is fetched and nothing runs.
pub(crate) fn is_self_contained(html: &str) {
    let lower = html.to_lowercase();
    for forbidden in [
        "<script",
        "<link",
        "<iframe",
        "<object",
        "<embed",
        "javascript:",
        "@import",
        "url(http",
    ] {
        assert!(!lower.contains(forbidden), "{forbidden}");
    }
    for attribute in [" src=", " href=", "xlink:href="] {
        for (at, _) in lower.match_indices(attribute) {
            let value = lower[at + attribute.len()..].trim_start_matches(['"', '\'']);
            assert!(
                value.starts_with('#') || value.starts_with("data:"),
                "{}",
                &value[..40]
            );
        }
    }
    for handler in [" onload=", " onclick=", " onerror="] {
        assert!(!lower.contains(handler), "{handler}");
    }
}

#[test]
fn a_report_is_one_file_that_says_what_it_rests_on() {
    let html = report(&SheetCsv::clean("heron"));
    is_self_contained(&html);
    assert!(html.starts_with("<!DOCTYPE html>") || html.starts_with("<!doctype html>"));
    for part in [
        "heron",
        "harrow-saline",
        "1.0.0",
        "<svg",
        "<table",
        "green drink",
        "0.40",
    ] {
        assert!(html.contains(part), "{part} is not in the report");
    }
    assert!(
        html.contains("lang=\"en"),
        "a screen reader needs the language"
    );
}

#[test]
fn what_a_group_wrote_is_text_and_never_markup() {
    let attack = "<script>alert(1)</script>";
    let sheet = SheetCsv::empty(attack)
        .spot(
            "\"><img src=x onerror=alert(2)>",
            "sample",
            1,
            attack,
            3.24,
            8.02,
            "<b>red</b>",
        )
        .spot("p&q", "sample", 2, "' onload='x", 3.24, 8.05, "red");
    let mut sheet = sheet;
    // Quotation marks in a CSV field are doubled.
    for row in &mut sheet.rows {
        if row.paper.contains('"') {
            row.paper = format!("\"{}\"", row.paper.replace('"', "\"\""));
        }
    }
    let html = report(&sheet);
    assert!(!html.contains("<script>"), "a label became markup");
    assert!(!html.contains("<img"), "a paper's name became markup");
    assert!(!html.contains("<b>red</b>"), "a colour became markup");
    assert!(
        html.contains("&lt;script&gt;") || html.contains("&#60;script&#62;"),
        "the label is not shown"
    );
}

#[test]
fn a_sheet_with_mistakes_is_reported_with_them() {
    let sheet = SheetCsv::empty("coot")
        .spot("c-1", "sample", 1, "red sweet", 9.1, 8.0, "red")
        .spot("c-1", "sample", 2, "blue sweet", 7.4, 8.0, "blue");
    let html = report(&sheet);
    is_self_contained(&html);
    assert!(
        html.contains("beyond"),
        "the spot beyond the front is not named"
    );
}
