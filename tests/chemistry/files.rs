//! A published value that no test reads guards nothing.

use crate::project;

#[test]
fn every_published_file_is_read_by_a_test() {
    let tests: String = project::files_ending(&["crates", "plugins", "tests"], ".rs")
        .iter()
        .map(|path| project::text(path))
        .collect();
    let mut seen = 0;
    for folder in ["chemistry", "student"] {
        for name in project::names_in(&format!("tests/published/{folder}")) {
            if name == "README.md" {
                continue;
            }
            seen += 1;
            let stem = name.rsplit_once('.').unwrap().0;
            let read = tests.contains(&format!("{folder}/{name}"))
                || tests.contains(&format!("\"{stem}\""));
            assert!(read, "no test reads tests/published/{folder}/{name}");
        }
    }
    assert!(seen >= 18, "only {seen} files were seen");
}

#[test]
fn every_published_file_is_named_in_its_read_me_and_says_its_source() {
    for folder in ["chemistry", "student"] {
        let read_me = project::text(&format!("tests/published/{folder}/README.md"));
        for name in project::names_in(&format!("tests/published/{folder}")) {
            if name == "README.md" {
                continue;
            }
            assert!(read_me.contains(name.rsplit_once('.').unwrap().0), "{name}");
            let text = project::text(&format!("tests/published/{folder}/{name}"));
            let sourced = ["\"source\"", "\"sources\"", "memory", "http", ".com/"];
            assert!(
                sourced.iter().any(|mark| text.contains(mark)),
                "{name} names no source"
            );
        }
    }
}
