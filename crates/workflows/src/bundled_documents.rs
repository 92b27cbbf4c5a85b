//! The dyes and methods that a new library begins with.

/// All bundled dyes, one JSON list.
pub(crate) const DYES: &str = include_str!("../../../references/dyes.json");

/// Bundled methods: invented examples to start from, kept as drafts.
pub(crate) const METHODS: &[&str] = &[
    include_str!("../../../references/methods/harrow-saline-1.0.0.json"),
    include_str!("../../../references/methods/harrow-saline-1.1.0.json"),
    include_str!("../../../references/methods/harrow-citrate-1.0.0.json"),
];
