//! Hostile and broken input: every file of the corpora, and what becomes of them when bytes are
//! changed, is taken or refused in words.

mod limits;
mod targets;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use targets::{TARGETS, Target};

fn corpus(target: &Target) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/fuzz/corpus")
        .join(target.name);
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    files
        .into_iter()
        .map(|path| {
            let bytes = std::fs::read(&path).unwrap();
            (path, bytes)
        })
        .collect()
}

/// A file whose name begins with `good` is taken, any other is refused.
#[test]
fn every_file_of_the_corpora_is_taken_or_refused_as_its_name_says() {
    let mut otherwise = Vec::new();
    for target in TARGETS {
        let files = corpus(target);
        assert!(files.len() >= 8, "{} has too few files", target.name);
        for (path, bytes) in files {
            let name = path.file_name().unwrap().to_str().unwrap();
            let taken = (target.run)(&bytes);
            if taken != name.starts_with("good") {
                otherwise.push(format!("{}/{name}: {taken}", target.name));
            }
        }
    }
    assert!(otherwise.is_empty(), "{otherwise:#?}");
}

/// One change of a file.
#[derive(Debug, Clone)]
enum Slip {
    Flip(usize, u8),
    Cut(usize, usize),
    Repeat(usize, usize),
    Insert(usize, &'static [u8]),
}

const TOKENS: &[&[u8]] = &[
    b"\0",
    b"\"",
    b"\n",
    b",",
    b"{",
    b"]",
    b"null",
    b"-1",
    b"1e308",
    b"NaN",
    b"99999999999999999999",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"<script>",
    b"../",
    b"'; DROP TABLE sheet; --",
    b"\xed\xa0\x80",
];

fn slip() -> impl Strategy<Value = Slip> {
    prop_oneof![
        (any::<usize>(), any::<u8>()).prop_map(|(at, with)| Slip::Flip(at, with)),
        (any::<usize>(), 1..200_usize).prop_map(|(at, count)| Slip::Cut(at, count)),
        (any::<usize>(), 1..200_usize).prop_map(|(at, count)| Slip::Repeat(at, count)),
        (any::<usize>(), prop::sample::select(TOKENS)).prop_map(|(at, t)| Slip::Insert(at, t)),
    ]
}

fn apply(bytes: &mut Vec<u8>, slip: &Slip) {
    let length = bytes.len();
    let place = |at: usize| at % (length + 1);
    match *slip {
        Slip::Flip(at, with) => {
            if let Some(byte) = bytes.get_mut(place(at)) {
                *byte ^= with;
            }
        }
        Slip::Cut(at, count) => drop(bytes.drain(place(at)..(place(at) + count).min(length))),
        Slip::Repeat(at, count) => {
            let piece = bytes[place(at)..(place(at) + count).min(length)].to_vec();
            bytes.splice(place(at)..place(at), piece);
        }
        Slip::Insert(at, token) => drop(bytes.splice(place(at)..place(at), token.iter().copied())),
    }
}

/// Time and number for each door: whichever is reached first, but never fewer than the least.
const TIME: Duration = Duration::from_millis(2500);
const MOST: u32 = 600;
const LEAST: u32 = 20;

#[test]
fn changed_files_are_taken_or_refused_in_words() {
    for target in TARGETS {
        let files = corpus(target);
        let seed = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
        let mut runner = TestRunner::new_with_rng(Config::default(), seed);
        let case = (0..files.len(), prop::collection::vec(slip(), 1..6));
        let begin = Instant::now();
        let mut done = 0;
        while done < MOST && (begin.elapsed() < TIME || done < LEAST) {
            let (file, slips) = case.new_tree(&mut runner).unwrap().current();
            let mut bytes = files[file].1.clone();
            for slip in &slips {
                apply(&mut bytes, slip);
            }
            let tried = std::panic::catch_unwind(|| (target.run)(&bytes));
            assert!(tried.is_ok(), "{} after {slips:?}", files[file].0.display());
            done += 1;
        }
    }
}

/// SQL is only ever put together from constants: what a person wrote goes in as a parameter.
#[test]
fn sql_holds_no_value_that_came_from_outside() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../library/src");
    let words = ["SELECT ", "INSERT ", "UPDATE ", "DELETE ", "PRAGMA "];
    let mut seen = 0;
    for path in rust_files(&folder) {
        let text = std::fs::read_to_string(&path).unwrap();
        for call in text.split("format!(").skip(1) {
            let literal = call.split(')').next().unwrap();
            if !words.iter().any(|word| literal.contains(word)) {
                continue;
            }
            seen += 1;
            // Only constants of ours may stand in braces.
            for hole in literal
                .split('{')
                .skip(1)
                .filter_map(|rest| rest.split('}').next())
            {
                assert_eq!(hole, "COLUMNS", "in {}: {literal}", path.display());
            }
        }
        for sign in ["+ &", "push_str(&"] {
            let joined = text
                .lines()
                .any(|line| line.contains(sign) && words.iter().any(|word| line.contains(word)));
            assert!(!joined, "{}", path.display());
        }
    }
    assert!(seen >= 3, "the test looks at nothing any more");
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    std::fs::read_dir(folder)
        .unwrap()
        .flat_map(|entry| {
            let path = entry.unwrap().path();
            if path.is_dir() {
                rust_files(&path)
            } else {
                vec![path]
            }
        })
        .collect()
}
