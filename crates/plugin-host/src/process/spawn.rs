//! Starts workers, all from one thread.
//!
//! A worker asks the kernel to be killed when its parent dies, and the kernel means the parent
//! *thread*. So workers are started by a thread that lives as long as the program.

use std::io::{self, PipeReader};
use std::os::fd::OwnedFd;
use std::os::unix::net::UnixStream;
use std::os::unix::process::CommandExt;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::{OnceLock, mpsc};
use std::thread;

use crate::failure::{Failure, Stage};
use crate::worker::ARGUMENT;

/// Which program becomes a worker when it is started with [`worker::ARGUMENT`](crate::worker).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkerProgram(PathBuf);

impl WorkerProgram {
    /// This very program, even when its file was replaced meanwhile.
    pub fn itself() -> Self {
        Self("/proc/self/exe".into())
    }

    /// Another program, for tests.
    pub fn at(path: impl Into<PathBuf>) -> Self {
        Self(path.into())
    }
}

type Job = (Command, mpsc::Sender<io::Result<Child>>);

/// The worker, and the host's ends of its socket and of its log.
pub(super) fn spawn(program: &WorkerProgram) -> Result<(Child, UnixStream, PipeReader), Failure> {
    try_spawn(program).map_err(|error| Failure::LoadFailed {
        stage: Stage::Start,
        text: format!("`{}` could not be started: {error}", program.0.display()),
    })
}

fn try_spawn(program: &WorkerProgram) -> io::Result<(Child, UnixStream, PipeReader)> {
    let (ours, theirs) = UnixStream::pair()?;
    let (log, log_end) = io::pipe()?;
    ours.set_nonblocking(true)?;
    rustix::io::ioctl_fionbio(&log, true)?;
    let mut command = Command::new(&program.0);
    command
        .arg(ARGUMENT)
        .env_clear()
        .env("LANG", "C.UTF-8")
        // The program's allocator would take a GiB of address space in advance, more than a worker
        // has.
        .env("MIMALLOC_ARENA_RESERVE", "0")
        .process_group(0)
        .current_dir("/")
        .stdin(Stdio::from(OwnedFd::from(theirs)))
        .stdout(Stdio::null())
        .stderr(Stdio::from(OwnedFd::from(log_end)));
    let (reply, answer) = mpsc::channel();
    let gone = || io::Error::other("the thread that starts workers is gone");
    supervisor()?
        .send((command, reply))
        .map_err(|_unsent| gone())?;
    let child = answer.recv().map_err(|_unanswered| gone())??;
    Ok((child, ours, log))
}

fn supervisor() -> io::Result<mpsc::Sender<Job>> {
    static SUPERVISOR: OnceLock<mpsc::Sender<Job>> = OnceLock::new();
    if let Some(jobs) = SUPERVISOR.get() {
        return Ok(jobs.clone());
    }
    let (jobs, waiting) = mpsc::channel::<Job>();
    thread::Builder::new()
        .name("dyebook-plugins".into())
        .spawn(move || {
            for (mut command, reply) in waiting {
                // Whoever asked may be gone; then the child is ended by its closed socket.
                let _ = reply.send(command.spawn());
            }
        })?;
    Ok(SUPERVISOR.get_or_init(|| jobs).clone())
}
