//! When the host is killed in the middle of a call, its worker is dead at once.
#![expect(
    clippy::unwrap_used,
    reason = "a test may stop at once, in its helpers too"
)]

use std::fs;
use std::process::Command;
use std::time::{Duration, Instant};

use dyebook_hostile::Lab;
use dyebook_plugin_host::ApprovalFiles;

const WORKER: &str = env!("CARGO_BIN_EXE_plugin-worker");

fn workers_of(host: u32) -> Vec<u32> {
    let of_host = |entry: &fs::DirEntry| {
        let stat = fs::read_to_string(entry.path().join("stat")).unwrap_or_default();
        let parent = stat
            .rsplit(") ")
            .next()
            .and_then(|rest| rest.split(' ').nth(1))
            .map(str::to_owned);
        parent == Some(host.to_string())
    };
    let entries = fs::read_dir("/proc").unwrap().flatten().filter(of_host);
    entries
        .filter_map(|entry| entry.file_name().to_string_lossy().parse().ok())
        .collect()
}

fn alive(process: u32) -> bool {
    fs::read_to_string(format!("/proc/{process}/stat")).is_ok_and(|stat| !stat.contains(") Z "))
}

#[test]
fn a_worker_does_not_outlive_its_host() {
    let lab = Lab::new(WORKER);
    lab.hostile(&[]);
    let ApprovalFiles {
        user: Some(approvals),
        ..
    } = &lab.settings.approvals
    else {
        panic!("the lab has approvals")
    };
    let mut host = Command::new(WORKER)
        .arg("ask")
        .arg(&lab.settings.search[0])
        .arg(approvals)
        .arg("sleep")
        .spawn()
        .unwrap();
    let patience = Instant::now() + Duration::from_secs(5);
    let workers = loop {
        let found = workers_of(host.id());
        if !found.is_empty() || Instant::now() > patience {
            break found;
        }
    };
    assert_eq!(workers.len(), 1, "the host started a worker");
    std::thread::sleep(Duration::from_millis(100));
    host.kill().unwrap();
    host.wait().unwrap();
    let gone = Instant::now() + Duration::from_secs(1);
    while workers.iter().any(|worker| alive(*worker)) && Instant::now() < gone {
        std::thread::sleep(Duration::from_millis(1));
    }
    assert!(!workers.iter().any(|worker| alive(*worker)), "{workers:?}");
}
