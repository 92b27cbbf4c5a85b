//! Faults of a plug-in's folder: all of them are seen without loading anything, or stop at opening.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use std::fs::{self, OpenOptions, Permissions};
use std::io::{Seek, SeekFrom, Write};
use std::os::unix::fs::{PermissionsExt, symlink};

use dyebook_hostile::{Lab, children};
use dyebook_plugin_host::{Failure, Grade, Stage, State, inspect, revoke, seal};

const WORKER: &str = env!("CARGO_BIN_EXE_plugin-worker");
const ID: &str = "org.example.hostile";

fn approved() -> Lab {
    let lab = Lab::new(WORKER);
    lab.hostile(&[]);
    lab
}

fn state(lab: &Lab, id: &str) -> State {
    lab.plugins()
        .list()
        .into_iter()
        .find(|info| info.id == id)
        .unwrap()
        .state
}

fn failure(lab: &Lab) -> Failure {
    lab.ask("none", &["L1"]).unwrap_err()
}

fn refusals(lab: &Lab) -> Vec<String> {
    let findings = inspect(&lab.plugin(ID)).findings.into_iter();
    findings
        .filter(|finding| finding.grade == Grade::Refuse)
        .map(|finding| format!("{}: {}", finding.rule, finding.text))
        .collect()
}

#[test]
fn approved_unapproved_and_revoked() {
    let lab = Lab::new(WORKER);
    lab.hostile_unapproved(&[]);
    assert_eq!(state(&lab, ID), State::Unapproved);
    let Failure::Unapproved { sha256 } = failure(&lab) else {
        panic!("not approved")
    };
    assert_eq!(sha256.len(), 64);
    lab.approve(ID);
    assert_eq!(state(&lab, ID), State::Approved);
    assert!(lab.ask("none", &["L1"]).unwrap()[0].answer.is_ok());
    assert_eq!(revoke(ID, &lab.settings.approvals).unwrap().removed, 1);
    assert_eq!(state(&lab, ID), State::Unapproved);
    let file = lab.settings.approvals.user.clone().unwrap();
    assert_eq!(
        fs::metadata(file).unwrap().permissions().mode() & 0o777,
        0o600
    );
}

#[test]
fn a_library_that_changed_after_its_approval_is_never_loaded() {
    let lab = approved();
    let library = lab.plugin(ID).join("libplugin.so");
    let mut bytes = fs::read(&library).unwrap();
    *bytes.last_mut().unwrap() ^= 1;
    fs::write(&library, &bytes).unwrap();
    assert!(matches!(failure(&lab), Failure::Changed { .. }));
    assert_eq!(state(&lab, ID), State::Changed);
    // With its manifest made to fit, it is another plug-in than the approved one.
    seal(&lab.plugin(ID)).unwrap();
    assert!(matches!(failure(&lab), Failure::Changed { .. }));
    assert_eq!(
        lab.plugins().strategy("hostile").unwrap_err().id(),
        "plugin.changed"
    );
}

#[test]
fn a_manifest_that_changed_after_its_approval_counts_too() {
    let lab = approved();
    let manifest = lab.plugin(ID).join("manifest.json");
    let text = fs::read_to_string(&manifest).unwrap().replace("128", "129");
    fs::write(&manifest, text).unwrap();
    let Failure::Changed { part, .. } = failure(&lab) else {
        panic!("changed")
    };
    assert_eq!(part, "manifest");
}

#[test]
fn a_missing_library_and_a_missing_plugin_are_not_found() {
    let lab = approved();
    fs::remove_file(lab.plugin(ID).join("libplugin.so")).unwrap();
    assert!(matches!(failure(&lab), Failure::NotFound { .. }));
    fs::remove_dir_all(lab.plugin(ID)).unwrap();
    assert!(matches!(failure(&lab), Failure::NotFound { .. }));
}

#[test]
fn a_library_overwritten_while_loaded_changes_nothing() {
    let lab = approved();
    let mut strategy = lab.plugins().strategy("hostile").unwrap();
    strategy.prepare(&dyebook_hostile::set()).unwrap();
    let library = lab.plugin(ID).join("libplugin.so");
    fs::write(&library, "cut off").unwrap();
    let outcomes = strategy
        .match_lanes(&dyebook_hostile::zero_spots(&["L1"]))
        .unwrap();
    assert!(outcomes[0].answer.is_ok());
}

#[test]
fn links_loose_permissions_and_wrong_names_are_invalid() {
    let lab = approved();
    let library = lab.plugin(ID).join("libplugin.so");
    fs::set_permissions(&library, Permissions::from_mode(0o666)).unwrap();
    assert!(refusals(&lab)[0].contains("can be written to by others"));
    fs::set_permissions(&library, Permissions::from_mode(0o644)).unwrap();
    fs::set_permissions(lab.plugin(ID), Permissions::from_mode(0o777)).unwrap();
    assert_eq!(state(&lab, ID), State::Invalid);
    fs::set_permissions(lab.plugin(ID), Permissions::from_mode(0o755)).unwrap();
    fs::rename(&library, lab.path("elsewhere.so")).unwrap();
    symlink(lab.path("elsewhere.so"), &library).unwrap();
    assert!(refusals(&lab)[0].contains("symbolic link"));
    assert!(matches!(failure(&lab), Failure::InvalidManifest { .. }));
    fs::remove_file(&library).unwrap();
    fs::rename(lab.path("elsewhere.so"), &library).unwrap();
    fs::rename(lab.plugin(ID), lab.plugin("org.example.renamed")).unwrap();
    assert_eq!(state(&lab, "org.example.renamed"), State::Invalid);
}

#[test]
fn one_id_in_two_folders_is_blocked_unless_one_of_them_is_the_approved() {
    let mut lab = approved();
    let second = lab.path("second");
    fs::create_dir_all(second.join(ID)).unwrap();
    for file in ["manifest.json", "libplugin.so"] {
        fs::copy(lab.plugin(ID).join(file), second.join(ID).join(file)).unwrap();
    }
    lab.settings.search.insert(0, second.clone());
    let Failure::Blocked { paths } = failure(&lab) else {
        panic!("blocked")
    };
    assert_eq!(paths.len(), 2);
    let manifest = second.join(ID).join("manifest.json");
    let other = fs::read_to_string(&manifest)
        .unwrap()
        .replace("Hostile", "Other");
    fs::write(&manifest, other).unwrap();
    assert!(lab.ask("none", &["L1"]).unwrap()[0].answer.is_ok());
    let states: Vec<State> = lab
        .plugins()
        .list()
        .iter()
        .filter(|i| i.id == ID)
        .map(|i| i.state)
        .collect();
    assert_eq!(states, [State::Blocked, State::Approved]);
}

#[test]
fn a_huge_manifest_and_a_sparse_library_are_not_read() {
    let lab = approved();
    let library = lab.plugin(ID).join("libplugin.so");
    let mut file = OpenOptions::new().write(true).open(&library).unwrap();
    file.seek(SeekFrom::Start(2 * 1024 * 1024 * 1024)).unwrap();
    file.write_all(b"x").unwrap();
    let begun = std::time::Instant::now();
    assert!(refusals(&lab)[0].contains("2147483649 bytes"));
    assert!(matches!(failure(&lab), Failure::InvalidManifest { .. }));
    assert!(begun.elapsed() < std::time::Duration::from_secs(1));
    let manifest = lab.plugin(ID).join("manifest.json");
    let long = format!(
        "{}{}",
        fs::read_to_string(&manifest).unwrap(),
        " ".repeat(300 * 1024)
    );
    fs::write(&manifest, long).unwrap();
    assert_eq!(state(&lab, ID), State::Invalid);
}

/// Files that are no plug-in: a look refuses them, and loading them all the same costs a worker.
#[test]
fn what_is_no_library_is_seen_by_a_look_and_survived_by_the_loader() {
    let lab = approved();
    let library = lab.plugin(ID).join("libplugin.so");
    let whole = fs::read(&library).unwrap();
    let cut = |part: usize| whole.get(..whole.len() * part / 8).unwrap().to_vec();
    let mut machine = whole.clone();
    machine[18] = 0x28; // e_machine: 40 is 32-bit ARM (ELF header, byte 18)
    let mut narrow = whole.clone();
    narrow[4] = 1; // EI_CLASS: 32 bit
    for (name, bytes) in [
        ("text", b"not a library at all".to_vec()),
        ("cut to 1/8", cut(1)),
        ("cut to 4/8", cut(4)),
        ("cut to 7/8", cut(7)),
        ("machine", machine),
        ("class", narrow),
    ] {
        fs::write(&library, bytes).unwrap();
        seal(&lab.plugin(ID)).unwrap();
        assert!(!refusals(&lab).is_empty(), "{name}");
        lab.approve(ID);
        match lab.ask("none", &["L1"]) {
            Err(
                Failure::LoadFailed {
                    stage: Stage::Dlopen,
                    ..
                }
                | Failure::Crashed { .. },
            ) => {}
            // A cut behind the last segment leaves a library that loads; only the look minds.
            Ok(_) if name == "cut to 7/8" => {}
            other => panic!("{name}: {other:?}"),
        }
        assert!(children().is_empty());
    }
}

#[test]
fn a_look_names_strange_needs_search_paths_and_executable_stacks() {
    let lab = approved();
    assert_eq!(refusals(&lab), Vec::<String>::new());
    let other = lab.compile(&lab.path("empty.c").tap_write(""), "org.example.evil", &[]);
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/c/hostile.c");
    lab.compile(
        source.as_ref(),
        ID,
        &["-Wl,--no-as-needed", other.to_str().unwrap()],
    );
    seal(&lab.plugin(ID)).unwrap();
    assert!(
        refusals(&lab)[0].contains("libplugin.so"),
        "{:?}",
        refusals(&lab)
    );
    lab.compile(source.as_ref(), ID, &["-Wl,-rpath,/tmp/evil"]);
    seal(&lab.plugin(ID)).unwrap();
    assert!(
        refusals(&lab)[0].contains("`/tmp/evil`"),
        "{:?}",
        refusals(&lab)
    );
    lab.compile(source.as_ref(), ID, &["-z", "execstack"]);
    seal(&lab.plugin(ID)).unwrap();
    assert!(refusals(&lab)[0].contains("stack"), "{:?}", refusals(&lab));
    lab.compile(source.as_ref(), ID, &["-DNO_SYMBOL"]);
    seal(&lab.plugin(ID)).unwrap();
    assert!(
        refusals(&lab)[0].contains("dyb_plugin_entry_v2"),
        "{:?}",
        refusals(&lab)
    );
}

trait TapWrite {
    fn tap_write(self, text: &str) -> Self;
}

impl TapWrite for std::path::PathBuf {
    fn tap_write(self, text: &str) -> Self {
        fs::write(&self, text).unwrap();
        self
    }
}

#[test]
fn an_unreadable_approvals_file_approves_nothing_and_stops_nothing() {
    let lab = approved();
    let file = lab.settings.approvals.user.clone().unwrap();
    fs::write(&file, "{").unwrap();
    assert_eq!(state(&lab, ID), State::Unapproved);
    assert!(lab.plugins().strategy("range").is_ok());
    assert_eq!(
        revoke(ID, &lab.settings.approvals).unwrap_err().id(),
        "approvals.unreadable"
    );
}
