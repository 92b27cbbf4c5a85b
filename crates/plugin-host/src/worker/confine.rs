//! Limits and sandbox of a worker, in force before a byte of the plug-in is mapped.

use std::time::Duration;

use landlock::{
    ABI, Access, AccessFs, AccessNet, CompatLevel, Compatible, PathBeneath, PathFd, Ruleset,
    RulesetAttr, RulesetCreatedAttr, RulesetStatus, Scope,
};
use rustix::process::{Resource, Rlimit, setrlimit};

use super::seccomp;
use crate::limits::Limits;

const MIB: u64 = 1024 * 1024;
/// Address space beyond the memory that may be used: libraries, stacks, shared mappings.
const ADDRESS_ROOM_MB: u64 = 1024;
/// Files that a plug-in may have open, with those of the worker.
const MOST_FILES: u64 = 64;
/// Folders that a library may be loaded from when another one needs it.
const LIBRARIES: [&str; 5] = ["/lib", "/lib64", "/usr/lib", "/usr/lib64", "/usr/local/lib"];
/// Where the loader looks for their places first.
const LIBRARY_CACHE: &str = "/etc/ld.so.cache";

/// What is in force.
#[derive(Debug)]
pub(super) struct Confined {
    pub(super) words: String,
    pub(super) whole: bool,
}

/// Sets the limits.
pub(super) fn limit(limits: Limits) -> std::io::Result<()> {
    let hard = |most: u64| Rlimit {
        current: Some(most),
        maximum: Some(most),
    };
    setrlimit(Resource::Core, hard(0))?;
    setrlimit(Resource::Fsize, hard(0))?;
    setrlimit(Resource::Nofile, hard(MOST_FILES))?;
    setrlimit(Resource::Data, hard(limits.memory_mb * MIB))?;
    setrlimit(
        Resource::As,
        hard((limits.memory_mb + ADDRESS_ROOM_MB) * MIB),
    )?;
    Ok(())
}

/// Lets the processor be used for so much longer than up to now, and a second more: the host
/// watches the clock; this is for the case that the host is gone or can't.
pub(super) fn limit_cpu(budget: Duration) -> std::io::Result<()> {
    let used = rustix::time::clock_gettime(rustix::time::ClockId::ProcessCPUTime);
    let used = u64::try_from(used.tv_sec).unwrap_or(0);
    let most = used + budget.as_secs() + 2;
    setrlimit(
        Resource::Cpu,
        Rlimit {
            current: Some(most),
            maximum: None,
        },
    )?;
    Ok(())
}

/// Closes files, network, signals and system calls that no plug-in needs; as much of it as the
/// kernel has, and says how much that was.
pub(super) fn sandbox() -> Confined {
    let files = landlock().unwrap_or(RulesetStatus::NotEnforced);
    let calls = seccomp::filter();
    let files_words = match files {
        RulesetStatus::FullyEnforced => "files, network and signals closed",
        RulesetStatus::PartiallyEnforced => "files closed, network or signals only partly",
        RulesetStatus::NotEnforced => {
            "files, network and signals open (no Landlock in this kernel)"
        }
    };
    let calls_words = if calls.is_ok() {
        "no new processes or sockets"
    } else {
        "new processes and sockets possible (no seccomp)"
    };
    Confined {
        words: format!("own process; {files_words}; {calls_words}"),
        whole: files == RulesetStatus::FullyEnforced && calls.is_ok(),
    }
}

fn landlock() -> Result<RulesetStatus, landlock::RulesetError> {
    // ABI 6 (Linux 6.12) is the first with all that is meant here; older kernels give what they can.
    let abi = ABI::V6;
    let mut ruleset = Ruleset::default()
        .set_compatibility(CompatLevel::BestEffort)
        .handle_access(AccessFs::from_all(abi))?
        .handle_access(AccessNet::from_all(abi))?
        .scope(Scope::from_all(abi))?
        .create()?;
    // Reading, and no executing: a program in these folders is not to be started.
    let reading = AccessFs::ReadFile | AccessFs::ReadDir;
    for folder in LIBRARIES {
        // Not every system has all of them.
        if let Ok(folder) = PathFd::new(folder) {
            ruleset = ruleset.add_rule(PathBeneath::new(folder, reading))?;
        }
    }
    if let Ok(cache) = PathFd::new(LIBRARY_CACHE) {
        ruleset = ruleset.add_rule(PathBeneath::new(cache, AccessFs::ReadFile))?;
    }
    Ok(ruleset.restrict_self()?.ruleset)
}
