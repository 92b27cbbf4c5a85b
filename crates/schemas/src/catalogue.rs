//! The embedded schemas, one constant each. A test compares this list with the folder.

/// A named, embedded JSON Schema.
#[derive(Debug, Clone, Copy)]
pub struct Schema {
    /// Name of the document, as in `schemas/<name>.schema.json`.
    pub name: &'static str,
    /// Text of the schema.
    pub text: &'static str,
}

impl Schema {
    /// The identifier by which schemas refer to each other; nothing is ever fetched from it.
    pub fn uri(&self) -> String {
        format!("https://dyebook.invalid/schemas/{}.schema.json", self.name)
    }
}

macro_rules! embedded {
    ($name:literal) => {
        Schema {
            name: $name,
            text: include_str!(concat!("../../../schemas/", $name, ".schema.json")),
        }
    };
}

/// One finding of a check.
pub const CHECK: Schema = embedded!("check");

/// All of them.
pub const ALL: &[Schema] = &[CHECK];

/// The schema of that name.
pub fn by_name(name: &str) -> Option<&'static Schema> {
    ALL.iter().find(|schema| schema.name == name)
}
