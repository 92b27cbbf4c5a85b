//! The conformance kit: it passes what is good, names what is bad, and gives the same report for
//! the same seed. And what `plugin new` writes is good without an edit.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::Command;
use std::time::Duration;

use dyebook_hostile::Lab;
use dyebook_plugin_host::{Kind, seal};
use dyebook_plugin_test::scaffold::{Language, scaffold};
use dyebook_plugin_test::{Grade, KitReport, Options, run};

const WORKER: &str = env!("CARGO_BIN_EXE_plugin-worker");

fn options() -> Options {
    Options {
        allow_unapproved: true,
        fuzz: Duration::from_millis(500),
        ..Options::default()
    }
}

fn bad(report: &KitReport) -> Vec<String> {
    let bad = report.cases.iter().filter(|case| case.grade >= Grade::Warn);
    bad.map(|case| format!("{} {:?}: {}", case.case, case.grade, case.text))
        .collect()
}

/// What `plugin new` writes, tried as it is.
fn new_plugin(lab: &Lab, kind: Kind, language: Language) -> KitReport {
    changed_plugin(lab, kind, language, ("", ""), &options())
}

/// Writes what `plugin new` would, with one change, builds it as its Makefile does, seals it and
/// tries it.
fn changed_plugin(
    lab: &Lab,
    kind: Kind,
    language: Language,
    (from, to): (&str, &str),
    options: &Options,
) -> KitReport {
    let id = format!("org.example.my-{}-{language:?}", kind.word()).to_lowercase();
    let folder = lab.plugin(&id);
    for file in scaffold(&id, kind, language).unwrap() {
        let path = folder.join(&file.path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        let source = file.path == "src/lib.rs";
        assert!(!source || file.text.contains(from), "{from}");
        let text = if source {
            file.text.replacen(from, to, 1)
        } else {
            file.text
        };
        fs::write(&path, text).unwrap();
    }
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o755)).unwrap();
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).join("scaffold");
    let made = Command::new("make")
        .args(["build", "DYEBOOK=true"])
        .env("CARGO_TARGET_DIR", target)
        .env("CARGO_NET_OFFLINE", "true")
        .current_dir(&folder)
        .output()
        .unwrap();
    assert!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );
    let warnings = String::from_utf8_lossy(&made.stderr).into_owned();
    assert!(!warnings.contains("warning"), "{warnings}");
    seal(&folder).unwrap();
    run(&folder, options, &lab.settings).unwrap()
}

#[test]
fn new_plugins_in_c_pass_without_an_edit() {
    let lab = Lab::new(WORKER);
    for kind in [Kind::Strategy, Kind::Importer] {
        let report = new_plugin(&lab, kind, Language::C);
        assert!(report.passed, "{:?}", bad(&report));
        assert_eq!(bad(&report), Vec::<String>::new());
    }
}

#[test]
fn new_plugins_in_rust_pass_without_an_edit() {
    let lab = Lab::new(WORKER);
    for kind in [Kind::Strategy, Kind::Importer] {
        let report = new_plugin(&lab, kind, Language::Rust);
        assert!(report.passed, "{:?}", bad(&report));
        assert_eq!(bad(&report), Vec::<String>::new());
        // The SDK brings the binary form, so this is not skipped.
        let both = report.cases.iter().find(|case| case.case == "both-forms");
        assert_eq!(both.map(|case| case.grade), Some(Grade::Pass));
    }
}

/// Rust plug-ins have the binary form from the SDK; these say another thing at every call.
#[test]
fn the_kit_names_what_differs_between_json_and_binary() {
    let lab = Lab::new(WORKER);
    let calls = "static CALLS: std::sync::atomic::AtomicU32 = std::sync::atomic::AtomicU32::new(0); \
                 let call = CALLS.fetch_add(1, std::sync::atomic::Ordering::Relaxed);";
    let mut options = options();
    options.only = Some("both-forms".into());
    for (kind, from, to) in [
        (
            Kind::Strategy,
            "let reason = format!(\"",
            format!("{calls} let reason = format!(\"Call {{call}}. "),
        ),
        (
            Kind::Importer,
            "row.row = number;",
            format!("{calls} row.row = number + u64::from(call);"),
        ),
    ] {
        let report = changed_plugin(&lab, kind, Language::Rust, (from, &to), &options);
        let case = &report.cases[0];
        assert_eq!((case.case, case.grade), ("both-forms", Grade::Fail));
        assert!(
            case.text.contains("otherwise in binary than in JSON"),
            "{case:?}"
        );
    }
}

#[test]
fn a_bad_id_is_refused() {
    for id in [
        "nearest",
        "Org.example",
        "dyebook.mine",
        "org..x",
        "org.example.a b",
        "../x.y",
    ] {
        assert!(scaffold(id, Kind::Strategy, Language::C).is_err(), "{id}");
    }
}

/// What is changed in the example in C, into what, and the case that must see it.
const CHANGES: &[(&str, &str, &str, Grade)] = &[
    (
        "return DYB_E_UNSUPPORTED;",
        "return 7;",
        "unknown-operation",
        Grade::Fail,
    ),
    (
        "return DYB_E_UNSUPPORTED;",
        "return args->op == DYB_OP_MATCH_BINARY ? 0 : DYB_E_UNSUPPORTED;",
        "both-forms",
        Grade::Fail,
    ),
    (
        "return say(args->err, \"prepare first\"), DYB_E_INVALID;",
        "return 0;",
        "match-before-prepare",
        Grade::Fail,
    ),
    (
        "static dyb_status call(dyb_instance *self, const dyb_call *args) {",
        "static dyb_status call(dyb_instance *self, const dyb_call *args) { if (args->op == DYB_OP_MATCH) setenv(\"A\", \"b\", 1);",
        "surroundings",
        Grade::Fail,
    ),
    (
        "n < 0 ? \"not evaluable\"",
        "n < 0 ? \"not in reference set\"",
        "without-rf",
        Grade::Fail,
    ),
    (
        "free(request);",
        "free(request); if (args->request.len > 3000) *(volatile int *)8 = 1;",
        "a-thousand-spots",
        Grade::Crash,
    ),
    (
        "static void destroy(dyb_instance *self) {",
        "static void destroy(dyb_instance *self) { char *volatile leak = malloc(20000); memset(leak, 1, 20000);",
        "churn",
        Grade::Fail,
    ),
    (
        "return say(args->out, \"]}\");",
        "static int n; return say(args->out, n++ % 2 ? \"]}\" : \"] }\");",
        "twice",
        Grade::Fail,
    ),
];

#[test]
fn the_kit_names_what_is_wrong() {
    let lab = Lab::new(WORKER);
    let example = Path::new(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../plugins/example-c"
    ));
    let source = fs::read_to_string(example.join("strategy.c")).unwrap();
    let id = "org.example.example-c";
    let prefix = "#include <unistd.h>\nint setenv(const char *, const char *, int);\n";
    for (from, to, case, grade) in CHANGES {
        assert!(source.contains(*from), "{from}");
        let changed = lab.path("changed.c");
        fs::write(
            &changed,
            format!(
                "#define _GNU_SOURCE\n{prefix}{}",
                source.replacen(from, to, 1)
            ),
        )
        .unwrap();
        lab.compile(&changed, id, &[]);
        fs::copy(
            example.join("manifest.json"),
            lab.plugin(id).join("manifest.json"),
        )
        .unwrap();
        seal(&lab.plugin(id)).unwrap();
        let mut options = options();
        options.only = Some((*case).into());
        let report = run(&lab.plugin(id), &options, &lab.settings).unwrap();
        assert_eq!(report.cases[0].grade, *grade, "{case}: {:?}", report.cases);
        assert!(!report.passed);
    }
}

#[test]
fn an_unapproved_plugin_is_not_run_and_a_seed_repeats_a_report() {
    let lab = Lab::new(WORKER);
    lab.hostile_unapproved(&[]);
    let folder = lab.plugin("org.example.hostile");
    let mut options = options();
    options.allow_unapproved = false;
    assert_eq!(
        run(&folder, &options, &lab.settings).unwrap_err().id(),
        "plugin.unapproved"
    );
    lab.approve("org.example.hostile");
    options.fuzz = Duration::ZERO;
    let grades = |report: KitReport| -> Vec<(String, Grade)> {
        report
            .cases
            .into_iter()
            .map(|case| (case.case.to_owned(), case.grade))
            .collect()
    };
    let once = grades(run(&folder, &options, &lab.settings).unwrap());
    assert_eq!(once, grades(run(&folder, &options, &lab.settings).unwrap()));
    options.only = Some("no-such".into());
    assert_eq!(
        run(&folder, &options, &lab.settings).unwrap_err().id(),
        "plugin.no-such-case"
    );
}
