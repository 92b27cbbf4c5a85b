//! Folders, approvals and a compiler for one test.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Mutex, MutexGuard, PoisonError};

use dyebook_plugin::strategy::{Lane, MatchRequest, MethodVersion, Reference, ReferenceSet, Sheet};
use dyebook_plugin_host::{
    ApprovalFiles, Approver, Failure, LaneOutcome, Plugins, Settings, WorkerProgram, approve, seal,
};
use tempfile::TempDir;

use crate::BUNDLED;

/// Tests that count processes must not run beside each other.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// Folders, approvals and a compiler.
#[derive(Debug)]
pub struct Lab {
    folder: TempDir,
    /// Settings that lead here.
    pub settings: Settings,
    _alone: MutexGuard<'static, ()>,
}

impl Lab {
    /// An empty lab whose workers are this program.
    pub fn new(worker: &str) -> Self {
        let alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("plugins")).unwrap();
        let mut settings = Settings::default();
        settings.search = vec![folder.path().join("plugins")];
        settings.approvals.user = Some(folder.path().join("config/approvals.json"));
        settings.worker = WorkerProgram::at(worker);
        Self {
            folder,
            settings,
            _alone: alone,
        }
    }

    /// A file beside the plug-ins.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The folder of a plug-in.
    pub fn plugin(&self, id: &str) -> PathBuf {
        self.path("plugins").join(id)
    }

    /// The plug-ins of this lab.
    pub fn plugins(&self) -> Plugins {
        Plugins::new(BUNDLED, self.settings.clone())
    }

    /// Compiles a C source to a library in the folder of a plug-in.
    pub fn compile(&self, source: &Path, id: &str, more: &[&str]) -> PathBuf {
        let folder = self.plugin(id);
        fs::create_dir_all(&folder).unwrap();
        let library = folder.join("libplugin.so");
        let ran = Command::new("cc")
            .args([
                "-std=c11",
                "-O1",
                "-shared",
                "-fPIC",
                "-fvisibility=hidden",
                "-w",
            ])
            .args(["-I", header_folder(), "-o"])
            .arg(&library)
            .arg(source)
            .args(more)
            .output()
            .unwrap();
        assert!(
            ran.status.success(),
            "{}",
            String::from_utf8_lossy(&ran.stderr)
        );
        fs::set_permissions(&library, fs::Permissions::from_mode(0o644)).unwrap();
        library
    }

    /// Compiles the hostile plug-in with faults built in, seals and approves it.
    pub fn hostile(&self, defines: &[&str]) {
        self.hostile_unapproved(defines);
        self.approve("org.example.hostile");
    }

    /// Compiles the hostile plug-in and seals it.
    pub fn hostile_unapproved(&self, defines: &[&str]) {
        let source = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/c/hostile.c"));
        let defines: Vec<String> = defines.iter().map(|define| format!("-D{define}")).collect();
        let defines: Vec<&str> = defines.iter().map(String::as_str).collect();
        self.compile(source, "org.example.hostile", &defines);
        self.manifest("org.example.hostile", "hostile");
    }

    /// Writes and seals a manifest for a strategy in a plug-in's folder.
    pub fn manifest(&self, id: &str, component: &str) {
        let folder = self.plugin(id);
        let manifest = serde_json::json!({
            "manifest": 1, "id": id, "name": "Hostile", "version": "0.1.0", "license": "Apache-2.0",
            "abi": "1.0", "components": [ { "kind": "strategy", "name": component,
                "contract": "strategy/1", "config_schema": { "type": "object", "properties": {
                    "fault": { "type": "string" }, "file": { "type": "string" } } } } ],
            "libraries": [],
            "limits": { "memory_mb": 128, "base_ms": 1500, "per_item_ms": 10, "output_mb": 1 } });
        let path = folder.join("manifest.json");
        fs::write(&path, serde_json::to_string_pretty(&manifest).unwrap()).unwrap();
        for (path, mode) in [(&path, 0o644), (&folder, 0o755)] {
            fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
        }
        seal(&folder).unwrap();
    }

    /// Approves what is in the folder of a plug-in by the digest that its manifest states, whatever
    /// a look at it would say: these tests want to see what happens then.
    pub fn approve(&self, id: &str) {
        let text = fs::read(self.plugin(id).join("manifest.json")).unwrap();
        let manifest = dyebook_plugin_host::Manifest::read(&text).unwrap();
        let library = &manifest.libraries[0];
        let approver = Approver {
            by: "a test".into(),
            at: "2026-11-25T10:00:00Z".into(),
            note: None,
        };
        let files: &ApprovalFiles = &self.settings.approvals;
        if approve(&self.plugin(id), &library.sha256, &approver, files).is_ok() {
            return;
        }
        files
            .put(dyebook_plugin_host::Approval {
                id: manifest.id.clone(),
                version: manifest.version.clone(),
                target: library.target.clone(),
                library_sha256: library.sha256.clone(),
                library_size: library.size,
                manifest_sha256: manifest.sha256.clone(),
                approved_at: approver.at,
                approved_by: approver.by,
                note: Some("forced".into()),
                limits: manifest.limits,
                bad_runs: 0,
            })
            .unwrap();
    }

    /// Asks the hostile strategy with a fault about these lanes.
    ///
    /// # Errors
    /// When it could not be started or prepared.
    pub fn ask(&self, fault: &str, lanes: &[&str]) -> Result<Vec<LaneOutcome>, Failure> {
        let file = format!("file={}", self.path("bystander").display());
        let mut strategy = self
            .plugins()
            .strategy("hostile")
            .map_err(|error| error.failure)?
            .with_parameters(&[format!("fault={fault}"), file])
            .unwrap();
        strategy.prepare(&set()).map_err(|error| error.failure)?;
        strategy
            .match_lanes(&zero_spots(lanes))
            .map_err(|error| error.failure)
    }
}

/// The folder of the C header.
pub fn header_folder() -> &'static str {
    concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../crates/plugin-abi/include"
    )
}

/// A reference set of one invented dye.
pub fn set() -> ReferenceSet {
    let mut set = ReferenceSet::default();
    set.method = MethodVersion::new("saline-paper", "1.0.0", "00");
    set.references = vec![Reference::new("allura-red-ac", 0.36, 0.45)];
    set
}

/// Lanes without spots, called so.
pub fn zero_spots(ids: &[&str]) -> MatchRequest {
    let mut request = MatchRequest::default();
    let mut sheet = Sheet::default();
    sheet.sheet = "S".into();
    request.sheets = vec![sheet];
    for (id, number) in ids.iter().zip(1..) {
        let mut lane = Lane::default();
        lane.id = (*id).into();
        lane.sheet = "S".into();
        lane.paper = "P1".into();
        lane.lane = number;
        lane.role = "sample".into();
        request.lanes.push(lane);
    }
    request
}

/// Processes whose parent is this one, and those of no parent that were started as a worker.
pub fn children() -> Vec<String> {
    let own = std::process::id().to_string();
    let mut found = Vec::new();
    for entry in fs::read_dir("/proc").unwrap().flatten() {
        let stat = fs::read_to_string(entry.path().join("stat")).unwrap_or_default();
        let command = fs::read_to_string(entry.path().join("cmdline")).unwrap_or_default();
        let parent = stat
            .rsplit(") ")
            .next()
            .and_then(|rest| rest.split(' ').nth(1));
        let orphan = parent == Some("1") && command.contains("plugin-worker\0__plugin-host");
        if parent == Some(own.as_str()) || orphan {
            found.push(format!(
                "{} {}",
                entry.path().display(),
                command.replace('\0', " ")
            ));
        }
    }
    found
}
