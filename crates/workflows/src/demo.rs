//! The whole job on invented data, in a fresh folder.

use crate::bundled_plugins::DEFAULT_STRATEGY;
use crate::failure::Failure;
use crate::identify::{IdentifyRequest, identify, keep_identifications};
use crate::import_report::ImportReport;
use crate::library_make::make_library;
use crate::methods::{Approval, approve_method};
use crate::plugin_matcher::PluginMatcher;
use crate::read_files::read_file;
use crate::sheet_files::HandedIn;
use crate::sheet_import::{Replacement, import_sheets};
use crate::sheet_page::sheet_page;
use crate::sheet_show::show_sheet;
use crate::sheet_truth::{TruthReport, record_truth};
use crate::solvent_demo::{DemoSwitch, demo_switch};
use crate::watch::Unwatched;
use dyebook_documents::{DyeRegister, Identification};
use dyebook_library::{Library, Stamp};
use dyebook_plugin_host::Plugins;
use std::path::{Path, PathBuf};

/// The invented data sheets, in the order they come in.
const SEPTEMBER: &[(&str, &[u8])] = &[
    (
        "tue-2-heron.csv",
        include_bytes!("../../../references/demo/tue-2-heron.csv"),
    ),
    (
        "tue-2-curlew.csv",
        include_bytes!("../../../references/demo/tue-2-curlew.csv"),
    ),
    (
        "tue-2-plover-teal.csv",
        include_bytes!("../../../references/demo/tue-2-plover-teal.csv"),
    ),
    (
        "thu-1-wigeon.csv",
        include_bytes!("../../../references/demo/thu-1-wigeon.csv"),
    ),
    (
        "thu-1-dunlin.csv",
        include_bytes!("../../../references/demo/thu-1-dunlin.csv"),
    ),
    (
        "thu-1-knot-siskin-gadwall.csv",
        include_bytes!("../../../references/demo/thu-1-knot-siskin-gadwall.csv"),
    ),
];
const OCTOBER: &[(&str, &[u8])] = &[(
    "tue-2-smew.csv",
    include_bytes!("../../../references/demo/tue-2-smew.csv"),
)];
const WEEK_6: &[(&str, &[u8])] = &[(
    "tue-2-godwit.csv",
    include_bytes!("../../../references/demo/tue-2-godwit.csv"),
)];
const TRUTH: (&str, &[u8]) = (
    "truth.csv",
    include_bytes!("../../../references/demo/truth.csv"),
);

/// What the demo made, chapter by chapter.
#[derive(Debug)]
pub struct Demo {
    /// The folder.
    pub directory: PathBuf,
    /// The reference library in it.
    pub library: PathBuf,
    /// The dyes of the library.
    pub dyes: DyeRegister,
    /// The sheets as files.
    pub sheets: Vec<PathBuf>,
    /// The reports.
    pub reports: Vec<PathBuf>,
    /// September: the first version, most of the sheets.
    pub first: Chapter,
    /// October: a minor version with one dye more.
    pub minor: Chapter,
    /// What the change of the developing solvent took: compared, planned, made up.
    pub planned: DemoSwitch,
    /// Its pages.
    pub pages: Vec<PathBuf>,
    /// Week 6: another developing solvent.
    pub switch: Chapter,
    /// What the samples really hold.
    pub truth: TruthReport,
    /// What is said to whoever matches a sheet across the switch.
    pub across: Failure,
}

/// One chapter: a version approved, sheets taken in and identified.
#[derive(Debug)]
pub struct Chapter {
    /// The approval.
    pub approval: Approval,
    /// The import.
    pub import: ImportReport,
    /// The identities.
    pub identifications: Vec<Identification>,
}

/// Plays the whole job in a folder that must not exist or be empty.
///
/// # Errors
/// A folder that is not empty, and what the file system says.
pub fn play_demo(directory: &Path, plugins: &Plugins, stamp: &Stamp) -> Result<Demo, Failure> {
    make_folder(directory)?;
    let path = directory.join("harrowmere.sqlite");
    let mut library = make_library(&path, stamp)?;
    let mut play = Play {
        library: &mut library,
        directory,
        plugins,
        stamp,
        sheets: Vec::new(),
    };
    let first = play.chapter(
        "harrow-saline@1.0.0",
        "six bench days before the term",
        SEPTEMBER,
    )?;
    let minor = play.chapter(
        "harrow-saline@1.1.0",
        "Green 3 added after nine bench days",
        OCTOBER,
    )?;
    let (planned, pages) = play.plan_switch()?;
    let switch = play.chapter(
        "harrow-citrate@1.0.0",
        "room 4 complained of the vinegar smell; the safety adviser agreed",
        WEEK_6,
    )?;
    let truth = play.truth()?;
    let across = play.across(&first)?;
    let sheets = play.sheets.clone();
    let reports = play.reports([&first, &minor, &switch])?;
    Ok(Demo {
        directory: directory.to_path_buf(),
        dyes: library.dye_register()?,
        library: path,
        sheets,
        reports,
        first,
        minor,
        planned,
        pages,
        switch,
        truth,
        across,
    })
}

/// The folder, which must not hold anything.
fn make_folder(directory: &Path) -> Result<(), Failure> {
    let failed = |error: std::io::Error| {
        Failure::refused("demo.folder", format!("`{}`: {error}", directory.display()))
    };
    std::fs::create_dir_all(directory).map_err(failed)?;
    if std::fs::read_dir(directory)
        .map_err(failed)?
        .next()
        .is_some()
    {
        return Err(Failure::refused(
            "demo.folder-not-empty",
            format!(
                "`{}` is not empty and is left as it is",
                directory.display()
            ),
        )
        .hint("name a new folder: dyebook demo FOLDER"));
    }
    Ok(())
}

struct Play<'a> {
    library: &'a mut Library,
    directory: &'a Path,
    plugins: &'a Plugins,
    stamp: &'a Stamp,
    sheets: Vec<PathBuf>,
}

impl Play<'_> {
    fn chapter(
        &mut self,
        version: &str,
        reason: &str,
        files: &[(&str, &[u8])],
    ) -> Result<Chapter, Failure> {
        let dyes = self.library.dye_register()?;
        let approval = approve_method(self.library, &dyes, version, reason, self.stamp)?;
        let mut read = Vec::new();
        for (name, bytes) in files {
            self.write("sheets", name, bytes)?;
            let handed = HandedIn {
                name: (*name).to_owned(),
                bytes: bytes.to_vec(),
            };
            let file = read_file(self.plugins, &handed, None, &[])?;
            read.push((handed, file));
        }
        let import = import_sheets(
            self.library,
            self.stamp,
            &read,
            Replacement::default(),
            &Unwatched,
        )?;
        let mut sheets = Vec::new();
        for sheet in &import.sheets {
            sheets.extend(self.library.sheet(&sheet.id, None)?);
        }
        let mut matcher = PluginMatcher::new(self.plugins, DEFAULT_STRATEGY, &[])?;
        let request = IdentifyRequest {
            sheets: &sheets,
            method: None,
            across_versions: None,
        };
        let identifications = identify(self.library, &dyes, &mut matcher, request)?;
        keep_identifications(self.library, &identifications, self.stamp)?;
        Ok(Chapter {
            approval,
            import,
            identifications,
        })
    }

    /// Before the change: both solvents compared, the plan, a batch and the paper.
    fn plan_switch(&mut self) -> Result<(DemoSwitch, Vec<PathBuf>), Failure> {
        let (old, new) = ("harrow-saline@1.1.0", "harrow-citrate@1.0.0");
        let handed_out = String::from_utf8_lossy(TRUTH.1);
        let dyes_of = |line| {
            str::rsplit(line, ',')
                .next()
                .filter(|dyes| dyes.contains('+'))
        };
        let mut mixtures: Vec<&str> = handed_out.lines().filter_map(dyes_of).collect();
        mixtures.sort_unstable();
        mixtures.dedup();
        let planned = demo_switch(self.library, old, new, &mixtures, self.stamp)?;
        let mut paths = Vec::new();
        for (name, text) in &planned.pages {
            paths.push(self.write("change", name, text)?);
        }
        Ok((planned, paths))
    }

    fn truth(&mut self) -> Result<TruthReport, Failure> {
        let (name, bytes) = TRUTH;
        self.write("sheets", name, bytes)?;
        let dyes = self.library.dye_register()?;
        record_truth(self.library, &dyes, name, bytes, None, self.stamp)
    }

    /// Asks for what must be refused: a sheet of the old solvent by the references of the new one.
    fn across(&mut self, first: &Chapter) -> Result<Failure, Failure> {
        let dyes = self.library.dye_register()?;
        let id = first
            .import
            .sheets
            .first()
            .map(|s| s.id.clone())
            .unwrap_or_default();
        let sheets: Vec<_> = self.library.sheet(&id, None)?.into_iter().collect();
        let mut matcher = PluginMatcher::new(self.plugins, DEFAULT_STRATEGY, &[])?;
        let request = IdentifyRequest {
            sheets: &sheets,
            method: Some("harrow-citrate@1.0.0"),
            across_versions: None,
        };
        match identify(self.library, &dyes, &mut matcher, request) {
            Err(refused) => Ok(refused),
            Ok(_) => Err(Failure::new(
                crate::FailureClass::Bug,
                "demo.across-not-refused",
                "matching across versions was not refused",
            )),
        }
    }

    fn reports(&mut self, chapters: [&Chapter; 3]) -> Result<Vec<PathBuf>, Failure> {
        let dyes = self.library.dye_register()?;
        let mut paths = Vec::new();
        for found in chapters.iter().flat_map(|chapter| &chapter.identifications) {
            let shown = show_sheet(self.library, &dyes, &found.sheet)?;
            let html = sheet_page(self.library, &dyes, &shown, Some(found), true)?;
            let name = format!("{}.html", found.sheet);
            paths.push(self.write("reports", &name, html.as_bytes())?);
        }
        Ok(paths)
    }

    fn write(&mut self, folder: &str, name: &str, bytes: &[u8]) -> Result<PathBuf, Failure> {
        let folder = self.directory.join(folder);
        let path = folder.join(name);
        std::fs::create_dir_all(&folder)
            .and_then(|()| std::fs::write(&path, bytes))
            .map_err(|error| {
                Failure::refused("demo.folder", format!("`{}`: {error}", path.display()))
            })?;
        if path.extension().is_some_and(|ending| ending == "csv") {
            self.sheets.push(path.clone());
        }
        Ok(path)
    }
}
