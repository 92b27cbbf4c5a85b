//! The sheet document becomes rows; what does not fit is refused with its place. The documents are
//! invented; their form is the project's own `schemas/sheet.schema.json`.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use dyebook_importer_json::SheetDocument;
use dyebook_plugin::importer::{
    Imported, Importer, ProbeRequest, Problem, Refusal, Unit, read_without_host,
};
use serde_json::{Value, json};

fn document() -> Value {
    json!({ "section": "Tue", "group": "A", "date": "2026-09-14", "method": "saline-paper@1.0.0",
        "batch": null, "units": { "distance": "mm", "front": "cm", "width": null },
        "lanes": [ { "paper": "P1", "lane": 2, "label": "Red", "role": "bridging", "rows": [
            { "row": 7, "spot": 1, "distance": "34.0", "front": "8.05", "colour": "red",
              "depth": null, "shape": null, "width": null, "remark": null, "reported_rf": null,
              "reported_identity": null } ] } ],
        "remarks": [ { "row": 1, "text": "dried flat" } ] })
}

fn read(document: &Value) -> Result<Imported, Vec<Problem>> {
    read_without_host(&SheetDocument, "a.json", document.to_string().as_bytes()).map_err(|error| {
        serde_json::from_str::<Refusal>(&error.to_string())
            .unwrap()
            .problems
    })
}

#[test]
fn a_document_becomes_rows() {
    let read = read(&document()).unwrap();
    let row = &read.rows[0];
    assert_eq!(
        (row.row, row.lane.as_deref(), row.role.as_deref()),
        (7, Some("2"), Some("bridging"))
    );
    assert_eq!(
        (row.group.as_deref(), row.distance.as_deref()),
        (Some("A"), Some("34.0"))
    );
    assert_eq!(
        (read.units.distance, read.units.front),
        (Unit::Mm, Unit::Cm)
    );
    assert_eq!(read.remarks[0].text, "dried flat");
}

#[test]
fn every_problem_is_named_with_its_place() {
    let mut wrong = document();
    wrong["units"]["front"] = json!("m");
    wrong["lanes"][0]["rows"][0]["distance"] = json!(34.0);
    wrong["lanes"][0]["rows"][0]["front"] = json!("8 cm");
    wrong["lanes"][0]["lane"] = json!(null);
    let places: Vec<String> = read(&wrong)
        .unwrap_err()
        .into_iter()
        .filter_map(|problem| problem.column)
        .collect();
    assert_eq!(
        places,
        [
            "/units/front",
            "/lanes/0/rows/0/distance",
            "/lanes/0/lane",
            "/lanes/0/rows/0/front"
        ]
    );
}

#[test]
fn what_is_no_sheet_is_refused() {
    assert!(read(&json!([])).is_err());
    assert!(read(&json!({ "lanes": [] })).is_err());
    let text = read_without_host(&SheetDocument, "a.json", b"{\n\"lanes\": }").unwrap_err();
    assert!(text.to_string().contains("line 2"), "{text}");
}

/// The problems of a document in which one piece of text stands for another.
fn with_text(from: &str, to: &str) -> Vec<Problem> {
    let text = serde_json::to_string_pretty(&document()).unwrap();
    assert_eq!(text.matches(from).count(), 1, "{from}");
    let text = text.replace(from, to);
    let error = read_without_host(&SheetDocument, "a.json", text.as_bytes()).unwrap_err();
    serde_json::from_str::<Refusal>(&error.to_string())
        .unwrap()
        .problems
}

#[test]
fn a_key_that_stands_twice_is_refused_by_name_and_line() {
    // Expected lines: counted in the text as `serde_json` prints it, keys in alphabetical order.
    let group = "\"group\": \"A\",";
    let text = serde_json::to_string_pretty(&document()).unwrap();
    let line_of = |piece: &str| {
        let before = text.split(piece).next().unwrap();
        before.matches('\n').count() as u64 + 1
    };
    let distance = "\"distance\": \"34.0\",";
    for (key, piece, twice) in [
        ("group", group, format!("{group}\n\"group\": \"B\",")),
        (
            "distance",
            distance,
            format!("{distance}\n\"distance\": \"3.4\","),
        ),
        // The same key, written with an escape.
        (
            "distance",
            distance,
            format!("{distance}\n\"dist\\u0061nce\": \"3.4\","),
        ),
    ] {
        let problems = with_text(piece, &twice);
        let [problem] = &problems[..] else {
            panic!("{problems:?}")
        };
        let line = line_of(piece) + 1;
        let sentence = format!("the key `{key}` stands twice in one object");
        assert!(problem.message.starts_with(&sentence), "{problem:?}");
        assert_eq!(problem.row, Some(line));
    }
}

#[test]
fn an_unknown_key_is_warned_about() {
    let mut more = document();
    more["weather"] = json!("dry");
    more["x-note"] = json!("free");
    let warnings = read(&more).unwrap().warnings;
    assert_eq!(warnings.len(), 1);
    assert!(warnings[0].message.contains("`/weather`"));
}

#[test]
fn a_sheet_document_is_recognised() {
    let sure = |text: &str| {
        SheetDocument
            .probe(&ProbeRequest::new("a.json", 0), text.as_bytes())
            .confidence
    };
    assert!(sure(&document().to_string()) > 0.9);
    assert!(sure("{\"dyes\": []}") < 0.5);
    assert!(sure("group,method\n") < 0.1);
}
