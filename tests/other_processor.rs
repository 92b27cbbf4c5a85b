//! The same question has the same bytes on another processor.
//!
//! The GNU C library has its logarithms, exponentials and hypotenuses twice, with and without fused
//! multiplication, and takes what the processor has; the two differ in last digits
//! (glibc manual, "Errors in Math Functions": results may be off by some units in the last place).
//! `GLIBC_TUNABLES` (same manual, "Hardware Capability Tunables") makes it take the other ones here.
//! With another C library, or a processor without, both runs are alike and nothing is tested.

use crate::PROGRAM;
use dyebook_testkit::Lab;
use dyebook_testkit::large_term::{LargeTerm, TermFile};
use serde_json::Value;
use std::process::Command;

/// About one sheet in a hundred came out otherwise when all digits were told.
const SPOTS: usize = 6_000;
const WITHOUT_FUSED: &str = "glibc.cpu.hwcaps=-FMA,-FMA4,-AVX2,-AVX512F";

fn lab_with_term() -> Lab {
    let lab = Lab::empty(PROGRAM);
    lab.done(&["library", "init"]);
    let reason = ["--reason", "for a test"];
    lab.done(&[&["method", "approve", "harrow-saline@1.1.0"][..], &reason].concat());
    let write = |file: TermFile| {
        lab.write(&file.name, &file.text);
        file.name
    };
    let files: Vec<String> = LargeTerm::new(SPOTS, 7).map(write).collect();
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    // 1: something may need a person
    let taken = lab.run(&[&["sheet", "import"][..], &files].concat());
    assert!(matches!(taken.code, 0 | 1), "{}", taken.err);
    lab
}

fn identities(lab: &Lab, strategy: &str, tunables: &str) -> Vec<Value> {
    let output = Command::new(PROGRAM)
        .args(["identify", "--all", "--json", "--strategy", strategy])
        .env_clear()
        .env("DYEBOOK_LIBRARY", lab.library())
        .env("DYEBOOK_BY", "test")
        .env("GLIBC_TUNABLES", tunables)
        .output()
        .unwrap();
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let found = answer["identifications"].as_array().unwrap();
    found.iter().map(|one| one["lanes"].clone()).collect()
}

#[test]
fn an_answer_has_the_same_bytes_without_fused_multiplication() {
    let lab = lab_with_term();
    for strategy in ["co-run", "posterior", "nearest", "range"] {
        let here = identities(&lab, strategy, "");
        let there = identities(&lab, strategy, WITHOUT_FUSED);
        assert!(here.len() > 300, "{} sheets", here.len());
        assert_eq!(here.len(), there.len());
        let others = here.iter().zip(&there).filter(|(a, b)| a != b).count();
        assert_eq!(others, 0, "{strategy}: sheets that came out otherwise");
    }
}
