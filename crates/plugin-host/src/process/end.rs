//! Ends a worker with all that it started, and says what it died of.
#![expect(
    unsafe_code,
    reason = "only `wait4` tells how much memory a child had used"
)]

use std::time::{Duration, Instant};

use rustix::process::{Pid, Signal, WaitId, WaitIdOptions, kill_process_group, waitid};

use super::Process;
use super::exchange::{Trouble, drain};
use crate::failure::Failure;

/// A process whose socket closed is given so long to be gone by itself, which tells more than how
/// we killed it.
const OWN_END: Duration = Duration::from_millis(200);
/// Words of an allocator that found no memory.
const NO_MEMORY: [&str; 4] = [
    "memory allocation of",
    "bad_alloc",
    "out of memory",
    "Out of memory",
];

/// What a process died of.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Death {
    signal: Option<i32>,
    code: i32,
    resident_kib: u64,
    /// It was gone before we killed it.
    by_itself: bool,
}

impl Process {
    /// Ends the worker and its group. Twice is once.
    pub(super) fn end(&mut self) -> Death {
        if std::mem::replace(&mut self.ended, true) {
            return Death::default();
        }
        let by_itself = self.is_gone();
        if let Some(group) = self.pid() {
            // Before the child is reaped: until then its number can't be another process's. It may
            // be gone already, or have had nobody beside it.
            let _ = kill_process_group(group, Signal::KILL);
        }
        for _ in 0..16 {
            let before = self.log.total();
            drain(&self.log_pipe, &mut self.log);
            if self.log.total() == before {
                break;
            }
        }
        Death {
            by_itself,
            ..self.reap()
        }
    }

    /// What a failed exchange means, and the end of the worker.
    pub(super) fn fault(&mut self, trouble: Trouble, budget: Duration) -> Failure {
        if matches!(trouble, Trouble::Gone) {
            let patience = Instant::now() + OWN_END;
            while !self.is_gone() && Instant::now() < patience {
                std::thread::sleep(Duration::from_millis(1));
            }
        }
        let death = self.end();
        match trouble {
            Trouble::Late => Failure::Timeout {
                limit_ms: u64::try_from(budget.as_millis()).unwrap_or(u64::MAX),
            },
            Trouble::Broken(text) => Failure::Protocol { text },
            Trouble::Gone => self.meaning(death, budget),
        }
    }

    fn meaning(&self, death: Death, budget: Duration) -> Failure {
        let budget_mb = self.limits.memory_mb;
        let said = self.log.tail();
        let aborted = death.signal == Some(libc::SIGABRT);
        let killed = death.signal == Some(libc::SIGKILL) && death.by_itself;
        // What a child had used includes what the host had used when it was started (the two share
        // memory until the child's program is loaded), so only more than that is the child's own.
        let own = death.resident_kib > self.host_kib;
        if (own && death.resident_kib >= budget_mb * 1024 * 9 / 10)
            || killed
            || (aborted && NO_MEMORY.iter().any(|words| said.contains(words)))
        {
            return Failure::Memory { budget_mb };
        }
        if death.signal == Some(libc::SIGXCPU) {
            return Failure::Timeout {
                limit_ms: u64::try_from(budget.as_millis()).unwrap_or(u64::MAX),
            };
        }
        let how = match death.signal {
            _ if !death.by_itself => "it closed its socket and went on".into(),
            Some(signal) => signal_words(signal),
            None => format!("exit code {}", death.code),
        };
        Failure::Crashed { how }
    }

    fn pid(&self) -> Option<Pid> {
        Pid::from_raw(i32::try_from(self.child.id()).ok()?)
    }

    fn is_gone(&self) -> bool {
        let options = WaitIdOptions::EXITED | WaitIdOptions::NOHANG | WaitIdOptions::NOWAIT;
        let Some(pid) = self.pid() else { return true };
        waitid(WaitId::Pid(pid), options).is_ok_and(|status| status.is_some())
    }

    fn reap(&self) -> Death {
        let Ok(pid) = i32::try_from(self.child.id()) else {
            return Death::default();
        };
        let mut status = 0;
        // SAFETY: all zeros is a valid value, which the call fills.
        let mut usage: libc::rusage = unsafe { std::mem::zeroed() };
        // SAFETY: our own child, not reaped before; the pointers are valid during the call.
        while unsafe { libc::wait4(pid, &raw mut status, 0, &raw mut usage) } < 0 {
            if std::io::Error::last_os_error().kind() != std::io::ErrorKind::Interrupted {
                return Death::default();
            }
        }
        Death {
            signal: libc::WIFSIGNALED(status).then(|| libc::WTERMSIG(status)),
            code: libc::WEXITSTATUS(status),
            resident_kib: u64::try_from(usage.ru_maxrss).unwrap_or(0),
            by_itself: false,
        }
    }
}

/// The most memory that this process had used so far, in KiB.
pub(super) fn host_kib() -> u64 {
    // SAFETY: all zeros is a valid value, which the call fills.
    let mut usage: libc::rusage = unsafe { std::mem::zeroed() };
    // SAFETY: the pointer is valid during the call.
    unsafe { libc::getrusage(libc::RUSAGE_SELF, &raw mut usage) };
    u64::try_from(usage.ru_maxrss).unwrap_or(0)
}

fn signal_words(signal: i32) -> String {
    let name = match signal {
        libc::SIGABRT => " (abort)",
        libc::SIGSEGV => " (bad memory access)",
        libc::SIGBUS => " (bus error)",
        libc::SIGILL => " (bad instruction)",
        libc::SIGFPE => " (arithmetic)",
        libc::SIGXFSZ => " (file size)",
        _ => "",
    };
    format!("signal {signal}{name}")
}
