//! What `dyebook plugin new` writes: a plug-in that compiles, passes the kit and answers, to be
//! changed from there.

mod sdk;

use dyebook_plugin_host::Kind;
use serde::Serialize;

/// The language of a new plug-in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    /// Rust.
    Rust,
    /// C.
    C,
}

/// A file to write, below the folder of the new plug-in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NewFile {
    /// Its path, with `/`.
    pub path: String,
    /// Its contents.
    pub text: String,
}

/// Why nothing can be written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ScaffoldError {
    /// The id is none.
    #[error("`{id}` is not an id of a plug-in")]
    BadId {
        /// As given.
        id: String,
    },
}

impl ScaffoldError {
    /// The stable code.
    pub fn id(&self) -> &'static str {
        "plugin.bad-id"
    }

    /// What to do.
    pub fn hints(&self) -> Vec<String> {
        vec!["an id is a domain name turned round, in lower case: `org.example.my-strategy`".into()]
    }
}

/// The files of a new plug-in, which belong into a folder that is called like its id.
///
/// # Errors
/// When the id is none.
pub fn scaffold(id: &str, kind: Kind, language: Language) -> Result<Vec<NewFile>, ScaffoldError> {
    let name = component_name(id).ok_or_else(|| ScaffoldError::BadId { id: id.into() })?;
    let crate_name = name.replace('-', "_");
    let fill = |template: &str| {
        let used = match kind {
            Kind::Strategy => format!("dyebook identify --all --strategy {id}/{name}"),
            Kind::Importer => "dyebook sheet import FILE".to_owned(),
        };
        template
            .replace("@ID@", id)
            .replace("@NAME@", name)
            .replace("@CRATE@", &crate_name)
            .replace("@KIND@", kind.word())
            .replace("@USE@", &used)
            .replace("@VERSION@", env!("CARGO_PKG_VERSION"))
    };
    let mut templates = vec![
        ("manifest.json", manifest(id, name, kind, language)),
        (
            "README.md",
            include_str!("../../templates/README.md").into(),
        ),
    ];
    if kind == Kind::Importer {
        templates.push(("samples/accepted/two-lanes.txt", ACCEPTED.into()));
        templates.push(("samples/refused/no-number.txt", REFUSED.into()));
    }
    templates.extend(match language {
        Language::Rust => in_rust(kind),
        Language::C => in_c(kind),
    });
    let filled = |(path, template): (&str, String)| NewFile {
        path: path.into(),
        text: fill(&template),
    };
    let mut files: Vec<NewFile> = templates.into_iter().map(filled).collect();
    if language == Language::Rust {
        files.extend(sdk::SOURCES.iter().map(|(path, text)| NewFile {
            path: (*path).into(),
            text: (*text).into(),
        }));
    }
    Ok(files)
}

fn in_rust(kind: Kind) -> Vec<(&'static str, String)> {
    let source = match kind {
        Kind::Strategy => include_str!("../../templates/strategy.rs"),
        Kind::Importer => include_str!("../../templates/importer.rs"),
    };
    vec![
        (
            "Makefile",
            include_str!("../../templates/Makefile.rust").into(),
        ),
        (
            "Cargo.toml",
            include_str!("../../templates/Cargo.toml.in").into(),
        ),
        ("sdk/dyebook-plugin/Cargo.toml", sdk::SDK_MANIFEST.into()),
        (
            "sdk/dyebook-plugin-abi/Cargo.toml",
            sdk::ABI_MANIFEST.into(),
        ),
        ("src/lib.rs", source.into()),
    ]
}

fn in_c(kind: Kind) -> Vec<(&'static str, String)> {
    let source = match kind {
        Kind::Strategy => strategy_in_c(),
        Kind::Importer => include_str!("../../templates/importer.c").into(),
    };
    vec![
        (
            "Makefile",
            include_str!("../../templates/Makefile.c").into(),
        ),
        ("dyebook_plugin.h", dyebook_plugin_abi::HEADER.into()),
        ("plugin.c", source),
    ]
}

const ACCEPTED: &str =
    "@NAME@ 1\ngroup: A\nmethod: kit-paper@1.0.0\nP1 1 Red 3.40 8.05\nP1 2 Blue 6.10 8.00\n";
const REFUSED: &str = "@NAME@ 1\ngroup: A\nmethod: kit-paper@1.0.0\nP1 1 Red much 8.05\n";

/// The example in C, under the new plug-in's names.
fn strategy_in_c() -> String {
    include_str!("../../../../plugins/example-c/strategy.c")
        .replace("org.example.example-c", "@ID@")
        .replace("example-c", "@NAME@")
}

/// The last part of the id, which names the component and the crate.
fn component_name(id: &str) -> Option<&str> {
    let good = |part: &str| {
        part.starts_with(|c: char| c.is_ascii_lowercase())
            && part.split('-').all(|word| {
                !word.is_empty()
                    && word
                        .chars()
                        .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit())
            })
    };
    let (domain, name) = id.rsplit_once('.')?;
    (domain.split('.').all(good) && good(name) && domain != "dyebook").then_some(name)
}

fn manifest(id: &str, name: &str, kind: Kind, language: Language) -> String {
    let parameters = if (kind, language) == (Kind::Strategy, Language::Rust) {
        r#"
          "widen": {
            "description": "how much an expected range is widened by on either side, in Rf",
            "type": "number", "minimum": 0, "maximum": 1, "default": 0
          }
        "#
    } else {
        ""
    };
    let (what, more) = match kind {
        Kind::Strategy => (
            "inside the expected range",
            r#""evidence": ["Rf", "expected ranges"],"#,
        ),
        Kind::Importer => (
            "lines of paper, lane, label, distance and front",
            r#""extensions": ["txt"],"#,
        ),
    };
    let kind = kind.word();
    format!(
        r#"{{
  "manifest": 1,
  "id": "{id}",
  "name": "{name}",
  "version": "0.1.0",
  "description": "{what}",
  "license": "MIT",
  "abi": "1.0",
  "components": [
    {{
      "kind": "{kind}",
      "name": "{name}",
      "contract": "{kind}/1",
      "description": "{what}",
      {more}
      "deterministic": true,
      "config_schema": {{
        "type": "object",
        "additionalProperties": false,
        "properties": {{{parameters}}}
      }}
    }}
  ],
  "libraries": [],
  "limits": {{ "memory_mb": 256, "base_ms": 2000, "per_item_ms": 50, "output_mb": 16 }}
}}
"#
    )
}
