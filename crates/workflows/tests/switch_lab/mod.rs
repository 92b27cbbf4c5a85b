//! A reference library in a temporary folder, and what is done with it.

use dyebook_documents::Identification;
use dyebook_library::{KeptSheet, Library, Stamp};
use dyebook_plugin_host::{Plugins, Settings};
use dyebook_workflows::{
    BUNDLED, DEFAULT_STRATEGY, Failure, HandedIn, IdentifyRequest, PluginMatcher, Replacement,
    Unwatched, approve_method, check_method, identify, import_sheets, keep_draft, make_library,
    read_file,
};
use serde_json::{Value, json};
use std::fmt::Write as _;

pub(crate) const SALINE: &str = "harrow-saline@1.0.0";
pub(crate) const CITRATE: &str = "harrow-citrate@1.0.0";

/// A library in a folder that goes away with the test.
pub(crate) struct Lab {
    folder: tempfile::TempDir,
    pub(crate) library: Library,
}

pub(crate) fn stamp() -> Stamp {
    Stamp {
        by: "coordinator".to_owned(),
        at: "2026-10-14T08:00:00Z".parse().unwrap(),
    }
}

impl Lab {
    /// With the bundled dyes and methods, the first saline version in use.
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let library = make_library(&folder.path().join("lab.sqlite"), &stamp()).unwrap();
        let mut lab = Self { folder, library };
        lab.approve(SALINE);
        lab
    }

    pub(crate) fn path(&self, name: &str) -> std::path::PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn approve(&mut self, version: &str) {
        let dyes = self.library.dye_register().unwrap();
        approve_method(&mut self.library, &dyes, version, "for a test", &stamp()).unwrap();
    }

    /// Keeps a document and puts it into use.
    pub(crate) fn keep_and_approve(&mut self, document: &Value) -> String {
        let dyes = self.library.dye_register().unwrap();
        let checked = check_method("test", &document.to_string(), &dyes).unwrap();
        keep_draft(&mut self.library, &checked, &stamp()).unwrap();
        self.approve(&checked.method.name());
        checked.method.name()
    }

    /// Takes in a sheet of three standards and a sample by a method version.
    pub(crate) fn sheet(&mut self, group: &str, method: &str, width_cm: Option<f64>) -> KeptSheet {
        let mut csv = String::from(
            "section,group,date,method,batch,paper,role,lane,label,distance_cm,front_cm,colour,width_cm\n",
        );
        let width = width_cm.map_or_else(String::new, |w| w.to_string());
        for (lane, (role, label, distance, colour)) in (1..).zip([
            ("standard", "Red 40", "3.24", "red"),
            ("standard", "Yellow 5", "4.83", "yellow"),
            ("standard", "Blue 1", "7.44", "blue"),
            ("sample", "sweet", "4.79", "yellow"),
        ]) {
            writeln!(
                csv,
                "Tue-2,{group},2026-10-13,{method},B26-07,{group}-1,{role},{lane},{label},{distance},8.05,{colour},{width}"
            )
            .unwrap();
        }
        let handed = HandedIn {
            name: format!("{group}.csv"),
            bytes: csv.into_bytes(),
        };
        let read = read_file(&plugins(), &handed, None, &[]).unwrap();
        let taken = import_sheets(
            &mut self.library,
            &stamp(),
            &[(handed, read)],
            Replacement::default(),
            &Unwatched,
        )
        .unwrap();
        let id = &taken.sheets[0].id;
        self.library.sheet(id, None).unwrap().unwrap()
    }

    /// Identifies a sheet, by another version and across versions where asked.
    pub(crate) fn identify(
        &self,
        sheet: &KeptSheet,
        method: Option<&str>,
        across_versions: Option<&str>,
    ) -> Result<Identification, Failure> {
        let dyes = self.library.dye_register().unwrap();
        let mut matcher = PluginMatcher::new(&plugins(), DEFAULT_STRATEGY, &[]).unwrap();
        let request = IdentifyRequest {
            sheets: std::slice::from_ref(sheet),
            method,
            across_versions,
        };
        identify(&self.library, &dyes, &mut matcher, request).map(|mut found| found.pop().unwrap())
    }
}

pub(crate) fn plugins() -> Plugins {
    Plugins::new(BUNDLED, Settings::default())
}

/// Versions of one invented method that differ in salt alone: more salt, shorter ways.
pub(crate) fn salt_version(version: &str, salt_percent: f64, factor: f64) -> Value {
    let reference = |dye: &str, rf: f64, behaviour: Option<&str>| {
        let rf = rf * factor;
        json!({
            "dye": dye, "assigned_rf": rf, "expected_rf": {"low": rf - 0.05, "high": rf + 0.05},
            "sd": {"within_paper": 0.01, "between_papers": 0.01, "between_sessions": 0.015},
            "count": {"sessions": 6, "papers": 12, "spots": 24},
            "behaviour": behaviour, "source": "invented for a test",
        })
    };
    json!({
        "id": "salt-row", "version": version, "title": "Food dyes in salt water, invented",
        "stationary_phase": {"material": "cellulose paper", "grade": null, "lot": null},
        "developer": {"components": [
            {"substance": "water", "make_up_to_volume": true},
            {"substance": "sodium chloride", "amount": salt_percent, "basis": "% w/v"},
        ]},
        "chamber": {"kind": "lidded jar", "saturated": false,
            "volume_ml": {"low": 45, "high": 50}, "inner_diameter_cm": 7.5},
        "layout": {"baseline_cm": 1, "lane_pitch_cm": 1.5, "lanes": 6, "fold_margin_cm": 1.5,
            "paper_height_cm": 12, "paper_width_cm": 15, "front_margin_cm": 1},
        "measuring": {"convention": "centre", "distance_sd_cm": 0.05, "front_sd_cm": 0.05},
        "references": [
            reference("allura-red-ac", 0.40, None),
            reference("tartrazine", 0.60, None),
            reference("indigo-carmine", 0.20, Some("reacts with the liquid and fades")),
        ],
        "change_note": "another amount of salt",
    })
}
