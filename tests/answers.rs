//! Every answer of `--json`, held against the schema that promises it.

use crate::PROGRAM;
use crate::{commands, project};
use dyebook_schemas::{catalogue, check_value};
use dyebook_testkit::{Lab, MethodDraft, SheetCsv};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::Command;

/// Whether answers are held against this schema below.
pub(crate) fn holds_against(schema: &str) -> bool {
    let lines = LINES.iter().chain(PLUG_IN_LINES);
    let of_commands = lines.map(|line| commands::named_in(line).replace(' ', "-"));
    let mut names = of_commands.chain(["error".to_owned()]);
    schema == "reference" || names.any(|name| schema == format!("answer-{name}"))
}

/// Commands whose answer has no schema: what they write is for a shell or `man`.
const WITHOUT_SCHEMA: &[&str] = &["completions", "man-pages"];

/// Stops when an answer is not what its schema promises.
pub(crate) fn hold_against_schema(name: &str, answer: &Value) {
    let schema = catalogue::by_name(name).unwrap_or_else(|| panic!("no schema `{name}`"));
    if let Err(problems) = check_value(schema, answer) {
        let problems: Vec<String> = problems.iter().map(ToString::to_string).collect();
        panic!("not what `{name}` promises: {problems:#?}\n{answer:#}");
    }
}

/// A lab in which every command has something to answer.
fn furnished() -> (Lab, String) {
    let lab = Lab::ready(PROGRAM);
    lab.write("heron.csv", SheetCsv::clean("heron").text());
    let taken = lab.answer(0, &["sheet", "import", "heron.csv"]);
    let id = taken["sheets"][0]["id"].as_str().unwrap().to_owned();
    lab.write("teal.csv", SheetCsv::clean("teal").other_readings(5).text());
    lab.write(
        "runs.csv",
        project::text("references/demo/reference-runs.csv"),
    );
    lab.write("draft.json", MethodDraft::new("trial", "1.0.0").text());
    lab.write(
        "bad.json",
        MethodDraft::new("trial", "1.0.0").without("/title").text(),
    );
    lab.write(
        "truth.csv",
        "sheet,paper,lane,dyes\nheron,heron-2,2,Red 40\n",
    );
    let salt = "/developer/components/1/amount";
    for (name, version, amount) in [("salty.json", "2.0.0", 2.0), ("saltier.json", "3.0.0", 4.0)] {
        let draft = MethodDraft::new("trial", version).with(salt, json!(amount));
        lab.write(name, draft.text());
    }
    let between = MethodDraft::new("trial", "1.0.0").with(salt, json!(1.5));
    lab.write("between.json", between.document["developer"].to_string());
    lab.write("dye.json", invented_dye().to_string());
    (lab, id)
}

fn invented_dye() -> Value {
    json!({
        "id": "meadow-green", "name": "Meadow Green", "colours": ["green"],
        "names": [{"name": "Meadow Green", "kind": "common"}],
        "sources": ["invented for a test"],
    })
}

/// One command a line, in an order in which each has something to do. `ID` is a kept sheet.
const LINES: &[&str] = &[
    "library status",
    "library verify",
    "library backup copy.sqlite",
    "dye list",
    "dye show E129",
    "dye add dye.json",
    "method list",
    "method show harrow-saline@^1",
    "method check draft.json",
    "method add draft.json",
    "method diff harrow-saline@1.0.0 harrow-saline@1.1.0",
    "method approve trial@1.0.0 --reason tried",
    "method add salty.json",
    "method approve trial@2.0.0 --reason tried",
    "method add saltier.json",
    "method approve trial@3.0.0 --reason tried",
    "solvent predict trial --composition between.json",
    "method history trial",
    "sheet template harrow-saline@^1",
    "sheet import teal.csv",
    "sheet list",
    "sheet show ID",
    "sheet amend ID --paper heron-2 --lane 2 --spot 1 --set distance=3.25 --reason misread",
    "sheet show ID",
    "sheet truth truth.csv",
    "identify --all",
    "identify --all --strategy nearest",
    "strategy list",
    "strategy compare ID",
    "sheet claims ID",
    "report ID --out report.html",
    "report --class --out class.html --csv class.csv",
    "layout harrow-saline@^1",
    "solvent compare harrow-saline@1.0.0 harrow-citrate@1.0.0",
    "solvent plan harrow-saline@1.0.0 harrow-citrate@1.0.0",
    "solvent recipe harrow-saline@^1 --volume 500mL",
    "term plan --sections 2 --groups 6",
    "suitability ID",
    "lot verify harrow-saline@1.0.0 --kind batch --lot B26-01 --reason tried",
    "lot list",
    "sheet import runs.csv",
    "lot impact B26-01",
    "sheet exclude bench-preparation-room-2026-08-10 --paper D1-a1 --lane 3 --reason slip",
    "reference establish harrow-saline@1.0.0 --from bench*",
    "reference show harrow-saline@1.0.0",
    "reference chart harrow-saline@1.0.0",
    "reference verify harrow-saline@1.0.0 harrow-saline@1.0.0 --delta 0.2 \
     --from-old bench-preparation-room-2026-08-10 --from-new bench-preparation-room-2026-08-12",
    "method withdraw trial@1.0.0 --reason mixed",
    "history",
    "history trial@1.0.0",
    "library export bundle.json",
    "library import bundle.json",
    "library restore copy.sqlite",
    "demo demo",
    "--library new.sqlite library status",
    "--library new.sqlite library init",
];

/// The same for a strategy in C, from its first line to the day it may not run any more. `SHA` is the
/// digest of its library, built after the first line.
const PLUG_IN_LINES: &[&str] = &[
    "plugin new org.example.mine --kind strategy --lang c",
    "plugin seal org.example.mine",
    "plugin inspect org.example.mine",
    "plugin test org.example.mine --allow-unapproved-here --fuzz 0",
    "plugin approve org.example.mine --sha256 SHA",
    "plugin list --plugin-dir .",
    "identify ID --strategy mine --plugin-dir .",
    "plugin revoke org.example.mine",
];

/// An answer's schema is named after the command.
#[test]
fn every_command_answers_what_its_schema_promises() {
    let (lab, id) = furnished();
    for line in LINES {
        answer(&lab, &line.replace("ID", &id));
    }
}

/// Runs a line and holds its answer against the schema.
fn answer(lab: &Lab, line: &str) -> Value {
    let words: Vec<&str> = line.split(' ').collect();
    let answer = lab.answer(0, &words);
    let command = commands::named_in(line);
    hold_against_schema(&format!("answer-{}", command.replace(' ', "-")), &answer);
    answer
}

#[test]
fn a_plug_in_answers_from_its_first_line_to_its_last_day() {
    let (lab, id) = furnished();
    let mut sha256 = String::new();
    for line in PLUG_IN_LINES {
        let said = answer(&lab, &line.replace("ID", &id).replace("SHA", &sha256));
        match line.split(' ').nth(1) {
            Some("new") => build(&lab.path("org.example.mine")),
            Some("seal") => said["library"]["sha256"]
                .as_str()
                .unwrap()
                .clone_into(&mut sha256),
            _ => {}
        }
    }
    let identify = ["identify", &id, "--strategy", "mine", "--plugin-dir", "."];
    let said = lab.ends_with(5, &identify).err;
    assert!(said.contains("mine"), "{said}");
}

/// Builds the plug-in as its Makefile does, with the C compiler that README.md asks for.
fn build(folder: &Path) {
    let flags = ["-std=c99", "-shared", "-fPIC", "-fvisibility=hidden"];
    let built = Command::new("cc")
        .args(flags)
        .args(["plugin.c", "-o", "libplugin.so"])
        .current_dir(folder)
        .status()
        .unwrap();
    assert!(built.success());
    let library = folder.join("libplugin.so");
    std::fs::set_permissions(library, std::fs::Permissions::from_mode(0o644)).unwrap();
}

#[test]
fn no_command_is_without_an_answer() {
    let lines = LINES.iter().chain(PLUG_IN_LINES);
    let answered: BTreeSet<String> = lines.map(|line| commands::named_in(line)).collect();
    for command in commands::NO_ANSWER_YET {
        assert!(
            !answered.contains(*command),
            "`{command}` answers; take it out of NO_ANSWER_YET"
        );
    }
    let excused = |command: &String| {
        let lists = [WITHOUT_SCHEMA, commands::NO_ANSWER_YET];
        lists.concat().contains(&command.as_str())
    };
    let silent: Vec<String> = commands::all()
        .into_iter()
        .filter(|command| !answered.contains(command) && !excused(command))
        .collect();
    assert!(
        silent.is_empty(),
        "no answer of these was held against a schema: {silent:?}"
    );
}

#[test]
fn what_a_method_expects_of_a_dye_is_a_reference_document() {
    let lab = Lab::ready(PROGRAM);
    let shown = lab.answer(0, &["method", "show", "harrow-saline@^1"]);
    for reference in shown["references"].as_array().unwrap() {
        hold_against_schema("reference", reference);
    }
}

#[test]
fn answers_without_a_schema_are_one_document_too() {
    let lab = Lab::empty(PROGRAM);
    let script = lab.answer(0, &["completions", "bash"]);
    assert!(script["script"].as_str().unwrap().contains("dyebook"));
    let pages = lab.answer(0, &["man-pages", "man"]);
    assert!(pages["pages"].as_u64().unwrap() > 20);
}

#[test]
fn every_refusal_answers_what_the_schema_of_errors_promises() {
    let (lab, id) = furnished();
    lab.write("text.txt", "not a library");
    lab.write(
        "no-unit.csv",
        "group,method,paper,lane,label,distance,front\n",
    );
    lab.write(
        "unknown.csv",
        SheetCsv::clean("wren").by_method("trial@1").text(),
    );
    let refused = [
        (3, "dye.ambiguous", "dye show Azorubin-S"),
        (3, "dye.unknown", "dye show Ponceau-SX"),
        (3, "method.bad-reference", "method show @1"),
        (3, "method.unknown", "method show nothing@1.0.0"),
        (
            3,
            "method.unknown-version",
            "method show harrow-saline@9.0.0",
        ),
        (
            3,
            "method.nothing-approved",
            "method show harrow-citrate@^1",
        ),
        (3, "document.not-valid", "method check bad.json"),
        (3, "document.not-valid", "method add bad.json"),
        (3, "file.not-readable", "method add gone.json"),
        (3, "sheet.not-readable", "sheet import no-unit.csv"),
        (3, "method.unknown", "sheet import unknown.csv"),
        (3, "sheet.unknown", "sheet show nobody"),
        (
            3,
            "sheet.no-such-place",
            "sheet amend ID --paper x --lane 1 --set front=8 --reason r",
        ),
        (3, "history.unknown", "history nobody"),
        (3, "library.exists", "library init"),
        (4, "library.missing", "--library gone.sqlite sheet list"),
        (4, "library.foreign", "--library text.txt sheet list"),
    ];
    let before = lab.head_of_history();
    for (code, error, line) in refused {
        let line = line.replace("ID", &id);
        let answer = lab.answer(code, &line.split(' ').collect::<Vec<_>>());
        hold_against_schema("answer-error", &answer);
        assert_eq!(answer["error"]["id"], error, "{line}");
    }
    assert_eq!(
        lab.head_of_history(),
        before,
        "a refusal changed the library"
    );
}

#[test]
fn a_plug_in_that_is_not_there_and_a_bad_parameter_are_refused() {
    let (lab, id) = furnished();
    let unknown = lab.run(&["identify", &id, "--strategy", "guess", "--json"]);
    hold_against_schema("answer-error", &unknown.json());
    assert!([3, 5].contains(&unknown.code), "{unknown:?}");
    let parameter = lab.run(&["identify", &id, "--param", "nonsense=1", "--json"]);
    hold_against_schema("answer-error", &parameter.json());
    assert_eq!(parameter.code, 3, "{parameter:?}");
}

#[test]
fn messages_go_to_standard_error_and_data_to_standard_output() {
    let (lab, _) = furnished();
    let said = lab.ends_with(3, &["dye", "show", "Azorubin S"]);
    assert_eq!(said.out, "");
    assert!(
        said.err.starts_with("error[dye.ambiguous]: "),
        "{}",
        said.err
    );
    let usage = lab.ends_with(2, &["dye", "paint"]);
    assert_eq!(usage.out, "");
    assert_ne!(usage.err, "");
    let quiet = lab.done(&["dye", "list", "--quiet"]);
    assert_eq!((quiet.out.as_str(), quiet.err.as_str()), ("", ""));
    let data = lab.done(&["dye", "list"]);
    assert!(data.out.contains("allura-red-ac") && data.err.is_empty());
    assert!(
        !data.out.contains('\u{1b}'),
        "no colour when not a terminal"
    );
}

#[test]
fn done_with_something_for_a_person_ends_with_one() {
    let lab = Lab::ready(PROGRAM);
    // A spot beyond the front can't be right.
    let sheet = SheetCsv::empty("coot").spot("c-1", "sample", 1, "red sweet", 9.1, 8.0, "red");
    lab.write("coot.csv", sheet.text());
    let answer = lab.answer(1, &["sheet", "import", "coot.csv"]);
    hold_against_schema("answer-sheet-import", &answer);
    assert_eq!(answer["sheets"][0]["new"], true);
    assert_eq!(answer["sheets"][0]["checks"][0]["severity"], "stop");
    let unknown = lab.write("truth.csv", "sheet,paper,lane,dyes\nnobody,p,1,Red 40\n");
    let answer = lab.answer(1, &["sheet", "truth", unknown.to_str().unwrap()]);
    hold_against_schema("answer-sheet-truth", &answer);
}
