//! From lab to lab: nothing is lost on the way, what arrives is external and unverified, nothing
//! that is there is overwritten, and every conflict is named.

use crate::PROGRAM;
use dyebook_testkit::{Lab, MethodDraft, SheetCsv};
use serde_json::{Value, json};

/// A lab with a method of its own in two versions, sheets behind it, and one of them corrected.
fn sender() -> Lab {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    for (version, title) in [("1.0.0", "first"), ("1.1.0", "second, invented")] {
        let draft = MethodDraft::new("trial", version).with("/title", json!(title));
        lab.write("draft.json", draft.text());
        lab.done(&["method", "add", "draft.json"]);
        let reference = format!("trial@{version}");
        lab.done(&["method", "approve", &reference, "--reason", "tried"]);
        let group = format!("heron {version}");
        lab.write(
            "sheet.csv",
            SheetCsv::clean(&group)
                .by_method(&reference)
                .on(&day(version))
                .text(),
        );
        lab.done(&["sheet", "import", "sheet.csv"]);
    }
    let id = lab.answer(0, &["sheet", "list"])["sheets"][0]["id"]
        .as_str()
        .unwrap()
        .to_owned();
    let shown = lab.answer(0, &["sheet", "show", &id]);
    let paper = shown["sheet"]["lanes"][0]["paper"]
        .as_str()
        .unwrap()
        .to_owned();
    lab.done(&[
        "sheet",
        "amend",
        &id,
        "--paper",
        &paper,
        "--lane",
        "1",
        "--spot",
        "1",
        "--set",
        "distance=3.25",
        "--reason",
        "read again",
    ]);
    lab
}

fn day(version: &str) -> String {
    format!("2026-09-0{}", if version == "1.0.0" { 7 } else { 8 })
}

fn export(lab: &Lab, name: &str) -> Value {
    lab.done(&["library", "export", name, "--method", "trial"]);
    serde_json::from_slice(&std::fs::read(lab.path(name)).unwrap()).unwrap()
}

fn send(from: &Lab, to: &Lab, name: &str) {
    to.write(name, std::fs::read(from.path(name)).unwrap());
}

fn receiver() -> Lab {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    lab
}

#[test]
fn nothing_is_lost_on_the_way_there_and_on() {
    let (here, there) = (sender(), receiver());
    let sent = export(&here, "out.json");
    send(&here, &there, "out.json");
    there.answer(0, &["library", "import", "out.json"]);
    let onward = export(&there, "on.json");
    for part in ["dyes", "files", "sheets"] {
        assert_eq!(sent[part], onward[part], "{part}");
        assert_ne!(sent[part], json!([]), "{part}");
    }
    assert_eq!(
        sent["sheets"].as_array().unwrap().len(),
        3,
        "the correction goes along"
    );
    let documents = |bundle: &Value| -> Vec<(Value, Value)> {
        let methods = bundle["methods"].as_array().unwrap().iter();
        methods
            .map(|m| (m["document"].clone(), m["digest"].clone()))
            .collect()
    };
    assert_eq!(documents(&sent), documents(&onward));
    assert_eq!(there.answer(0, &["library", "verify"])["sound"], true);
}

#[test]
fn what_arrives_is_external_and_unverified_and_arrives_once() {
    let (here, there) = (sender(), receiver());
    export(&here, "out.json");
    send(&here, &there, "out.json");
    let taken = there.answer(0, &["library", "import", "out.json"]);
    for method in taken["methods"].as_array().unwrap() {
        assert_eq!(
            (&method["taken"], &method["verified"]),
            (&json!(true), &json!(false))
        );
    }
    let shown = there.answer(0, &["method", "show", "trial@1.0.0"]);
    assert_eq!(shown["state"], "draft", "it is approved here or not at all");
    let head = there.head_of_history();
    let again = there.answer(0, &["library", "import", "out.json"]);
    let nothing = |part: &str| {
        again[part]
            .as_array()
            .unwrap()
            .iter()
            .all(|one| one["taken"] == false)
    };
    assert!(
        ["methods", "dyes", "sheets"].into_iter().all(nothing),
        "{again:#}"
    );
    assert_eq!(there.head_of_history(), head);
}

#[test]
fn what_is_there_is_never_overwritten_and_the_conflict_is_named() {
    let (here, there) = (sender(), receiver());
    export(&here, "out.json");
    send(&here, &there, "out.json");
    let other = MethodDraft::new("trial", "1.0.0").with("/title", json!("another method"));
    there.write("other.json", other.text());
    there.done(&["method", "add", "other.json"]);
    let before = there.answer(0, &["method", "show", "trial@1.0.0"]);
    let taken = there.answer(1, &["library", "import", "out.json"]);
    let method = |version: &str| {
        let methods = taken["methods"].as_array().unwrap();
        methods
            .iter()
            .find(|m| m["version"] == version)
            .unwrap()
            .clone()
    };
    assert_eq!(
        (&method("1.0.0")["taken"], &method("1.0.0")["conflict"]),
        (&json!(false), &json!(true))
    );
    assert_eq!(method("1.1.0")["taken"], true);
    assert_eq!(there.answer(0, &["method", "show", "trial@1.0.0"]), before);
    // Sheets run by the other content of that version would be bound to a method they never saw.
    let sheets = taken["sheets"].as_array().unwrap();
    let refused: Vec<&Value> = sheets
        .iter()
        .filter(|sheet| sheet["conflict"] == true)
        .collect();
    assert_eq!(refused.len(), 1, "{taken:#}");
    assert!(refused[0]["why"].as_str().unwrap().contains("trial@1.0.0"));
    assert_eq!(there.answer(0, &["library", "verify"])["sound"], true);
}

#[test]
fn a_bundle_changed_on_the_way_is_refused_whole() {
    let (here, there) = (sender(), receiver());
    let sent = export(&here, "out.json");
    let head = there.head_of_history();
    for pointer in [
        "/methods/0/document/title",
        "/sheets/0/document/group",
        "/files/0/name",
        "/files/0/base64",
        "/dyes/0/name",
        "/made_by",
    ] {
        let mut changed = sent.clone();
        *changed.pointer_mut(pointer).unwrap() = json!("b3RoZXI=");
        there.write("changed.json", changed.to_string());
        let said = there.ends_with(3, &["library", "import", "changed.json"]);
        assert!(
            said.err.starts_with("error[bundle.changed]"),
            "{pointer}: {said:?}"
        );
        assert_eq!(there.head_of_history(), head);
    }
    there.write("half.json", &sent.to_string()[..2000]);
    there.ends_with(3, &["library", "import", "half.json"]);
}
