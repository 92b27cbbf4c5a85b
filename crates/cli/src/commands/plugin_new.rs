//! `plugin new`

use crate::outcome::{Outcome, Page};
use dyebook_plugin_host::Kind;
use dyebook_plugin_test::scaffold::{Language, scaffold};
use dyebook_workflows::{Failure, write_file};
use serde_json::json;
use std::path::PathBuf;

/// Write a new plug-in that builds and runs as it stands.
#[derive(Debug, clap::Args)]
pub(crate) struct PluginNew {
    /// Its id, a domain name turned round: `org.example.my-strategy`
    id: String,
    /// What it is
    #[arg(long, value_enum)]
    kind: NewKind,
    /// In which language
    #[arg(long, value_enum)]
    lang: NewLanguage,
    /// The folder to make its folder in
    #[arg(long, value_name = "DIR", default_value = ".")]
    dir: PathBuf,
}

/// What a new plug-in is.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum NewKind {
    /// Says which dyes are in a lane
    Strategy,
    /// Reads data sheets of a format
    Importer,
}

/// The language of a new plug-in.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum NewLanguage {
    /// Safe Rust with the plug-in crate
    Rust,
    /// C99 with the header
    C,
}

impl PluginNew {
    pub(crate) fn run(self) -> Result<Outcome, Failure> {
        let kind = match self.kind {
            NewKind::Strategy => Kind::Strategy,
            NewKind::Importer => Kind::Importer,
        };
        let language = match self.lang {
            NewLanguage::Rust => Language::Rust,
            NewLanguage::C => Language::C,
        };
        let files = scaffold(&self.id, kind, language).map_err(|error| {
            let mut failure = Failure::refused(error.id(), error.to_string());
            failure.hints = error.hints();
            failure
        })?;
        let folder = self.dir.join(&self.id);
        if folder.exists() {
            return Err(Failure::refused(
                "file.exists",
                format!("`{}` exists already and is left as it is", folder.display()),
            ));
        }
        let mut page = Page::default();
        for file in &files {
            let path = folder.join(&file.path);
            if let Some(parent) = path.parent() {
                std::fs::create_dir_all(parent).map_err(|error| {
                    Failure::refused(
                        "file.not-writable",
                        format!("`{}` can't be made: {error}", parent.display()),
                    )
                })?;
            }
            write_file(&path, &file.text)?;
            page.line(path.display().to_string());
        }
        page.line(format!("next: read {}", folder.join("README.md").display()));
        let paths: Vec<&str> = files.iter().map(|file| file.path.as_str()).collect();
        Ok(Outcome::new(
            json!({ "id": self.id, "folder": folder, "files": paths }),
            page.text(),
        ))
    }
}
