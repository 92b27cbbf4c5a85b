//! Under which terms the dependencies come, and that none of them opens a network connection.

use super::metadata;
use std::collections::BTreeSet;

/// Terms that let anyone use, change and pass on the program.
const ALLOWED: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Crates that talk to a network or are there for it.
const NETWORK: &[&str] = &[
    "async-std",
    "attohttpc",
    "curl",
    "h2",
    "hickory-resolver",
    "hyper",
    "isahc",
    "minreq",
    "mio",
    "native-tls",
    "openssl",
    "openssl-sys",
    "quinn",
    "reqwest",
    "rustls",
    "smol",
    "socket2",
    "surf",
    "tokio",
    "tonic",
    "tungstenite",
    "ureq",
];

/// Whether an SPDX expression can be met with allowed terms: one of the alternatives is enough.
fn acceptable(expression: &str) -> bool {
    let spaced = expression
        .replace('(', " ( ")
        .replace(')', " ) ")
        .replace('/', " OR ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut rest = words.as_slice();
    let met = any_of(&mut rest);
    met && rest.is_empty()
}

fn any_of(words: &mut &[&str]) -> bool {
    let mut met = all_of(words);
    while words.first() == Some(&"OR") {
        *words = &words[1..];
        let other = all_of(words);
        met |= other;
    }
    met
}

fn all_of(words: &mut &[&str]) -> bool {
    let mut met = one(words);
    while words.first() == Some(&"AND") {
        *words = &words[1..];
        let other = one(words);
        met &= other;
    }
    met
}

fn one(words: &mut &[&str]) -> bool {
    let Some((first, rest)) = words.split_first() else {
        return false;
    };
    *words = rest;
    if *first == "(" {
        let met = any_of(words);
        *words = words.get(1..).unwrap_or_default();
        return met;
    }
    // An exception only ever grants more than the licence before it.
    if words.first() == Some(&"WITH") {
        *words = &words[2..];
    }
    ALLOWED.contains(first)
}

#[test]
fn expressions_are_understood() {
    assert!(acceptable("MIT OR Apache-2.0"));
    assert!(acceptable("MIT/GPL-3.0"));
    assert!(acceptable("(MIT OR GPL-3.0-only) AND Unicode-3.0"));
    assert!(acceptable("Apache-2.0 WITH LLVM-exception"));
    assert!(!acceptable("GPL-3.0-only"));
    assert!(!acceptable("MIT AND GPL-3.0-only"));
    assert!(!acceptable("(MIT AND GPL-2.0-only) OR AGPL-3.0-only"));
    assert!(!acceptable(""));
}

#[test]
fn every_dependency_comes_under_terms_that_can_be_met() {
    let metadata = metadata();
    let used: BTreeSet<_> = metadata
        .resolve
        .as_ref()
        .unwrap()
        .nodes
        .iter()
        .map(|n| &n.id)
        .collect();
    let mut seen = 0;
    for package in metadata
        .packages
        .iter()
        .filter(|package| used.contains(&package.id))
    {
        seen += 1;
        let terms = package.license.as_deref().unwrap_or_default();
        assert!(
            acceptable(terms),
            "{} {} comes under `{terms}`",
            package.name,
            package.version
        );
    }
    assert!(seen > 50, "only {seen} packages were seen");
}

#[test]
fn nothing_in_the_tree_talks_to_a_network() {
    for package in metadata().packages {
        assert!(
            !NETWORK.contains(&package.name.as_str()),
            "{} is in the tree",
            package.name
        );
    }
}
